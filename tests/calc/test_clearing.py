"""Breaking and opening: edges of the curve, and nothing said beyond it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc import clearing, withstand
from elec.errors import InputError

# an invented fuse curve
CURRENT = np.array([150.0, 200, 400, 1000, 3000])
MOST = np.array([600.0, 60, 4, 0.2, 0.02])
LEAST = MOST / 3


def opening(current, **more):
    return clearing.opening_time_s(current, curve_current_A=CURRENT, most_s=MOST, **more)


def test_every_point_keeps_its_printed_time():
    found = opening(CURRENT, least_s=LEAST)
    assert found.most_s == pytest.approx(MOST, rel=1e-12)
    assert found.least_s == pytest.approx(LEAST, rel=1e-12)
    assert found.read.all()


def test_between_points_it_runs_straight_on_logarithmic_scales():
    # half way in the logarithm of both: the geometric means
    found = opening(np.sqrt(200.0 * 400.0))
    assert found.most_s == pytest.approx(np.sqrt(60.0 * 4.0))
    assert found.least_s == found.most_s


def test_beyond_the_points_no_time_is_made_up():
    found = opening([149.999, 3000.001, 0.0], least_s=LEAST)
    assert found.most_s.tolist() == [np.inf, MOST[-1], np.inf]
    assert found.least_s.tolist() == [LEAST[0], 0.0, LEAST[0]]
    assert not found.read.any()


@given(current=st.floats(0, 10000), more=st.floats(1, 3))
def test_more_current_never_opens_later(current, more):
    slow, fast = opening(current, least_s=LEAST), opening(current * more, least_s=LEAST)
    assert fast.most_s <= slow.most_s * (1 + 1e-9)
    assert fast.least_s <= slow.least_s * (1 + 1e-9)
    assert slow.least_s <= slow.most_s


def test_beside_a_point_where_it_need_not_open_nothing_is_promised():
    found = clearing.opening_time_s(
        [110.0, 120.0, 135.0],
        curve_current_A=[110.0, 135.0],
        least_s=[1000.0, 0.75],
        most_s=[np.inf, 600.0],
    )
    assert found.most_s.tolist() == [np.inf, np.inf, 600.0]


@pytest.mark.parametrize(
    ("current", "limit", "verdict"),
    [
        pytest.param(400.0, 4.0, "meets", id="the limit itself"),
        pytest.param(400.0, 3.99, "not known", id="within the band"),
        pytest.param(400.0, 1.3, "fails", id="below the band"),
        pytest.param(100.0, 700.0, "not known", id="not known to open"),
        pytest.param(100.0, 100.0, "fails", id="no sooner than at the first point"),
        pytest.param(9000.0, 0.02, "meets", id="no later than at the last point"),
        pytest.param(9000.0, 0.01, "not known", id="beyond the curve, shorter limit"),
    ],
)
def test_clears(current, limit, verdict):
    assert clearing.clears(opening(current, least_s=LEAST), withstand_s=limit) == verdict


@given(least=st.floats(50, 2000), ratio=st.floats(1, 50), area=st.floats(1, 60))
def test_the_currents_to_try_decide_for_all_between(least, ratio, area):
    def in_hand(current):
        limit = withstand.withstand_time_s(current, area_mm2=area, k_A_sqrt_s_per_mm2=115.0)
        return opening(current).most_s / limit

    greatest = least * ratio
    tried = clearing.currents_to_try_A(least, greatest_A=greatest, curve_current_A=CURRENT)
    assert tried[0] == least
    assert tried[-1] == greatest
    between = np.geomspace(least, greatest, 200).clip(least, greatest)
    assert in_hand(between).max() <= in_hand(tried).max() * (1 + 1e-9)


@pytest.mark.parametrize(
    ("fault", "volts", "holds"),
    [
        (5000, 32, True),
        (5001, 32, False),
        (5000, 32.1, False),
        (0, 12, True),
    ],
)
def test_breaks(fault, volts, holds):
    found = clearing.breaks(fault, interrupting_A=5000, device_V=32, circuit_V=volts)
    assert bool(found) is holds


@pytest.mark.parametrize(
    ("more", "named"),
    [
        ({"curve_current_A": [1.0], "most_s": [1.0]}, "curve_current_A"),
        ({"curve_current_A": [2.0, 1.0], "most_s": [2.0, 1.0]}, "curve_current_A"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [1.0, 2.0]}, "most_s"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [1.0]}, "most_s"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [1.0, 0.0]}, "most_s"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [np.nan, 1.0]}, "most_s"),
        ({"curve_current_A": [1.0, 2.0], "most_s": [np.inf, 1.0]}, "least_s"),
        (
            {"curve_current_A": [1.0, 2.0], "most_s": [2.0, 1.0], "least_s": [3.0, 1.0]},
            "least_s: above",
        ),
    ],
)
def test_no_curve_is_refused(more, named):
    with pytest.raises(InputError, match=named):
        clearing.opening_time_s(1.5, **more)


def test_bad_values_are_refused_by_name():
    with pytest.raises(InputError, match="current_A"):
        opening(-1.0)
    with pytest.raises(InputError, match="withstand_s"):
        clearing.clears(opening(200.0), withstand_s=0)
    with pytest.raises(InputError, match="greatest_A"):
        clearing.currents_to_try_A(2.0, greatest_A=1.0, curve_current_A=CURRENT)
    with pytest.raises(InputError, match="device_V"):
        clearing.breaks(1, interrupting_A=1, device_V=0, circuit_V=12)
