"""Currents over time: the charge of each load is kept whatever the step."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.calc.batteries import timetable
from elec.errors import InputError

STEPS = st.sampled_from([1 / 60, 1 / 6, 0.25, 0.5, 1.0, 2.0])
HOUR = st.floats(0.0, 24.0)


@settings(max_examples=50)
@given(HOUR, HOUR, STEPS)
def test_daily_window_keeps_its_charge(start, end, step):
    if abs(start - end) < 1e-6:
        return
    current = timetable.daily_A(start, end_h=end, current_A=3.0, total_h=72.0, step_h=step)
    hours = end - start if end > start else 24.0 + end - start
    assert current.sum() * step == pytest.approx(3 * 3.0 * hours, abs=1e-9)
    assert np.all((current >= -1e-9) & (current <= 3.0 + 1e-9))


@settings(max_examples=50)
@given(st.floats(0.0, 1.0), st.floats(0.1, 6.0), STEPS)
def test_cycles_keep_their_duty(duty, period, step):
    current = timetable.cycled_A(2.0, duty=duty, period_h=period, total_h=240.0, step_h=step)
    # The last period may be cut short; on comes first, so at most one of them is too many.
    assert current.mean() == pytest.approx(2.0 * duty, abs=2.0 * period / 240.0)


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


def test_past_midnight():
    current = timetable.daily_A(22.0, end_h=6.0, current_A=1.0, total_h=24.0, step_h=1.0)
    assert current == pytest.approx([1.0] * 6 + [0.0] * 16 + [1.0] * 2)


@pytest.mark.parametrize("duty", [0.0, 1.0])
def test_duty_at_its_ends_is_off_and_steady(duty):
    current = timetable.cycled_A(2.0, duty=duty, period_h=0.7, total_h=10.0, step_h=0.5)
    assert current == pytest.approx([2.0 * duty] * 20)


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
    ("arguments", "said"),
    [
        ({"duty": -0.1}, "duty"),
        ({"duty": 1.1}, "duty"),
        ({"period_h": 0.0}, "period_h"),
        ({"step_h": 0.7}, "step_h"),
        ({"step_h": 0.0}, "step_h"),
    ],
)
def test_bad_cycles_are_refused(arguments, said):
    good = {"duty": 0.5, "period_h": 1.0, "total_h": 24.0, "step_h": 1.0}
    with pytest.raises(InputError, match=said):
        timetable.cycled_A(2.0, **{**good, **arguments})


def test_a_window_of_no_length_and_a_sun_that_sets_before_it_rises():
    with pytest.raises(InputError, match="end_h"):
        timetable.daily_A(6.0, end_h=6.0, current_A=1.0, total_h=24.0, step_h=1.0)
    with pytest.raises(InputError, match="set_h"):
        timetable.arch_A(10.0, rise_h=18.0, set_h=6.0, total_h=24.0, step_h=1.0)
