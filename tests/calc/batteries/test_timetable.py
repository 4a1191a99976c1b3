"""Currents over time: the charge of each load is kept whatever the step."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.batteries import timetable
from elec.errors import InputError

STEPS = st.sampled_from([1 / 60, 1 / 6, 0.25, 0.5, 1.0, 2.0])


@given(STEPS)
def test_arch_keeps_its_charge_and_peaks_at_noon(step):
    current = timetable.arch_A(40.0, rise_h=6.0, set_h=18.0, total_h=48.0, step_h=step)
    assert current.sum() * step == pytest.approx(80.0)
    # Half sine of 12 h: the peak is pi/2 of the average, 40/12 A.
    assert current.max() == pytest.approx(np.pi / 2 * 40 / 12, rel=0.05)
    assert current[: int(6 / step)] == pytest.approx(0.0)


def test_windows_inside_steps():
    current = timetable.windows_A(
        [3.25, 0.5], end_h=[3.5, 2.0], current_A=[8.0, 4.0], total_h=4.0, step_h=1.0
    )
    assert current == pytest.approx([2.0, 4.0, 0.0, 2.0])


def test_touching_windows_do_not_overlap():
    current = timetable.windows_A(
        [0.0, 1.0], end_h=[1.0, 2.0], current_A=[1.0, 2.0], total_h=2.0, step_h=1.0
    )
    assert current == pytest.approx([1.0, 2.0])


@pytest.mark.parametrize(
    ("start", "end", "current", "said"),
    [
        ([0.0, 1.5], [2.0, 3.0], [1.0, 1.0], "overlap"),
        ([2.0, 0.0], [3.0, 2.5], [1.0, 1.0], "overlap"),
        ([2.0], [1.0], [1.0], "end_h"),
        ([2.0], [2.0], [1.0], "end_h"),
        ([2.0], [5.0], [1.0], "end_h"),
        ([-1.0], [2.0], [1.0], "start_h"),
        ([0.0], [2.0], [-1.0], "current_A"),
        ([0.0, 1.0], [2.0], [1.0], "differ in length"),
    ],
)
def test_bad_windows_are_refused(start, end, current, said):
    with pytest.raises(InputError, match=said):
        timetable.windows_A(start, end_h=end, current_A=current, total_h=4.0, step_h=1.0)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"set_h": 6.0, "rise_h": 18.0}, "set_h"),
        ({"step_h": 0.7}, "step_h"),
        ({"step_h": 0.0}, "step_h"),
    ],
)
def test_a_sun_that_sets_before_it_rises_and_steps_that_do_not_fit(changed, said):
    good = {"rise_h": 6.0, "set_h": 18.0, "total_h": 24.0, "step_h": 1.0}
    with pytest.raises(InputError, match=said):
        timetable.arch_A(10.0, **{**good, **changed})
