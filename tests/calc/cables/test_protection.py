"""Largest and smallest device by each form of rule: edges and laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import protection
from elec.errors import InputError, TableRangeError

# NFPA 70, 240.6(A), the lower part
STANDARD = np.array([15.0, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100])


def greatest(ampacity, multiple=1.5):
    return protection.greatest_standard_A(ampacity, standard_A=STANDARD, most_multiple=multiple)


@pytest.mark.parametrize(
    ("ampacity", "limit"),
    [
        pytest.param(40.0, 40.0, id="is a standard rating: no step up"),
        pytest.param(40.0 * (1 + 1e-12), 40.0, id="is one but for rounding"),
        pytest.param(40.1, 45.0, id="just above one: next"),
        pytest.param(39.9, 40.0, id="just below one: next"),
        pytest.param(10.0, 15.0, id="next at 150 %, the cap itself"),
        pytest.param(9.9, 9.9, id="next above 150 %: the ampacity"),
        pytest.param(100.0, 100.0, id="last of the list"),
        pytest.param(445.0, 445.0, id="above the list: the ampacity"),
        pytest.param(0.0, 0.0, id="may carry nothing"),
    ],
)
def test_ampacity_or_next_standard_rating_within_the_cap(ampacity, limit):
    # 33 CFR 183.455(c)(2)
    assert greatest(ampacity) == pytest.approx(limit, rel=1e-9)


@given(ampacity=st.floats(0, 600), multiple=st.floats(1, 2))
def test_the_limit_is_from_the_ampacity_to_the_cap(ampacity, multiple):
    limit = greatest(ampacity, multiple)
    assert ampacity * (1 - 1e-9) <= limit <= max(multiple, 1) * ampacity * (1 + 2e-9)
    listed = [s for s in STANDARD if s <= limit]
    # no listed rating between the ampacity and the limit other than the limit itself
    assert all(s <= ampacity * (1 + 1e-9) or s == pytest.approx(limit) for s in listed)


def test_without_the_150_percent_a_cap_of_one_is_the_ampacity():
    # ISO 13297:2020, 13.1.5, has no allowance
    assert greatest(38.25, 1.0) == 38.25
    assert protection.greatest_device_A(38.25, multiple=1.0) == 38.25


@given(current=st.floats(0, 100))
def test_next_standard_is_the_first_that_carries(current):
    found = protection.next_standard_A(current, standard_A=STANDARD)
    assert found >= current
    assert not any(current <= s < found for s in STANDARD)


def test_least_device():
    # NFPA 70, 210.20(A): 125 % of continuous loads
    assert protection.least_device_A(16.0, multiple=1.25) == 20.0


def test_arrays():
    assert greatest([9.9, 38.25, 445.0]).tolist() == [9.9, 40.0, 445.0]
    assert protection.next_standard_A([1, 16], standard_A=STANDARD).tolist() == [15, 20]


def test_the_list_is_not_extended():
    with pytest.raises(TableRangeError, match="101"):
        protection.next_standard_A(101.0, standard_A=STANDARD)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: greatest(-1), "ampacity_A"),
        (lambda: greatest(float("nan")), "ampacity_A"),
        (lambda: greatest(1, 0.9), "most_multiple"),
        (lambda: protection.next_standard_A(1, standard_A=[20, 15]), "standard_A"),
        (lambda: protection.next_standard_A(1, standard_A=[]), "standard_A"),
        (lambda: protection.greatest_device_A(1, multiple=0), "multiple"),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()
