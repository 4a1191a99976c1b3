"""Largest device by each form of rule: edges and laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import protection
from elec.errors import InputError

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


def test_arrays():
    assert greatest([9.9, 38.25, 445.0]).tolist() == [9.9, 40.0, 445.0]


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: greatest(-1), "ampacity_A"),
        (lambda: greatest(float("nan")), "ampacity_A"),
        (lambda: greatest(1, 0.9), "most_multiple"),
        (
            lambda: protection.greatest_standard_A(1, standard_A=[20, 15], most_multiple=1),
            "standard_A",
        ),
        (lambda: protection.greatest_standard_A(1, standard_A=[], most_multiple=1), "standard_A"),
        (lambda: protection.greatest_device_A(1, multiple=0), "multiple"),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()
