"""Opening time from the points of a curve: never sooner than they say, nothing between them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import clearing
from elec.errors import InputError

# an invented fuse curve
CURRENT = np.array([150.0, 200, 400, 1000, 3000])
MOST = np.array([600.0, 60, 4, 0.2, 0.02])


def opening(current, **more):
    return clearing.longest_opening_s(current, curve_current_A=CURRENT, most_s=MOST, **more)


def test_every_point_keeps_its_printed_time():
    assert opening(CURRENT).tolist() == MOST.tolist()


def test_just_below_a_point_it_is_the_time_of_the_point_before():
    assert opening(CURRENT * (1 - 1e-6)).tolist() == [np.inf, *MOST[:-1]]


def test_below_the_first_point_it_may_never_open_above_the_last_no_later():
    assert opening([0.0, 149.9, 3000.1, 1e6]).tolist() == [np.inf, np.inf, 0.02, 0.02]


@given(current=st.floats(0, 10000), more=st.floats(1, 3))
def test_more_current_never_opens_later(current, more):
    assert opening(current * more) <= opening(current)


@given(current=st.floats(150, 3000))
def test_it_is_never_sooner_than_the_curve_on_logarithmic_scales(current):
    # the usual reading of a printed curve: straight between its points, both scales logarithmic
    read = np.exp(np.interp(np.log(current), np.log(CURRENT), np.log(MOST)))
    assert opening(current) >= read * (1 - 1e-6)


@given(rating=st.floats(1, 500), current=st.floats(0, 5000))
def test_multiples_of_the_rating_are_currents_once_multiplied(rating, current):
    multiples = np.array([1.35, 2.0, 6.0])
    by_multiple = clearing.longest_opening_s(
        current, curve_current_A=multiples, most_s=[600, 5, 0.1], rating_A=rating
    )
    by_current = clearing.longest_opening_s(
        current, curve_current_A=multiples * rating, most_s=[600, 5, 0.1]
    )
    assert by_multiple == by_current


def test_one_point_is_a_curve():
    found = clearing.longest_opening_s([1.9, 2.0], curve_current_A=[2.0], most_s=[120.0])
    assert found.tolist() == [np.inf, 120.0]


@pytest.mark.parametrize(
    ("more", "named"),
    [
        ({"curve_current_A": [], "most_s": []}, "curve_current_A"),
        ({"curve_current_A": [2.0, 1.0], "most_s": [2.0, 1.0]}, "curve_current_A"),
        ({"curve_current_A": [1.0, 1.0], "most_s": [2.0, 1.0]}, "curve_current_A"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [1.0, 2.0]}, "most_s"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [1.0]}, "most_s"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [1.0, 0.0]}, "most_s"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [np.nan, 1.0]}, "most_s"),
    ],
)
def test_no_curve_is_refused(more, named):
    with pytest.raises(InputError, match=named):
        clearing.longest_opening_s(1.5, **more)


def test_bad_values_are_refused_by_name():
    with pytest.raises(InputError, match="current_A"):
        opening(-1.0)
    with pytest.raises(InputError, match="rating_A"):
        opening(1.0, rating_A=0)
