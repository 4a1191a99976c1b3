"""Currents over hours and days as averages of equal steps, the charge of each load kept exactly.

Each load or source makes one array; arrays of the same steps are added. A window that begins
inside a step counts for its part of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within
from elec.errors import InputError

__all__ = [
    "arch_A",
    "windows_A",
]

Floats = npt.NDArray[np.float64]

DAY_H = 24.0


def _averages(charge_Ah: Callable[[Floats], Floats], total_h: float, step_h: float) -> Floats:
    """Average current of each step from the charge passed up to any time."""
    steps = float(positive("total_h", total_h)) / float(positive("step_h", step_h))
    number = round(steps)
    if number < 1 or abs(steps - number) > 1e-9 * number:
        raise InputError(
            f"step_h: {step_h:g} h does not divide {total_h:g} h.",
            remedy="Accepted: a whole number of steps in the time, for example 1/6 h.",
        )
    edges = np.arange(number + 1, dtype=np.float64) * step_h
    # The charge never falls: below zero is rounding of its difference.
    return np.maximum(np.diff(charge_Ah(edges)) / step_h, 0.0)


def windows_A(
    start_h: Sequence[float],
    *,
    end_h: Sequence[float],
    current_A: Sequence[float],
    total_h: float,
    step_h: float,
) -> Floats:
    r"""One load or condition that holds in separate windows of time.

    Parameters
    ----------
    start_h : sequence of floats
        Start of each window, from zero. [h]
    end_h : sequence of floats
        End of each window, later than its start, at most the whole time. [h]
    current_A : sequence of floats
        Current in each window. [A]
    total_h : float
        Whole time, a multiple of the step. [h]
    step_h : float
        Length of a step. [h]

    Returns
    -------
    array of shape (steps,)
        Average current of each step; zero outside the windows. [A]

    Raises
    ------
    InputError
        If windows overlap.

    Examples
    --------
    >>> windows_A([0.5], end_h=[2.0], current_A=[4.0], total_h=3.0, step_h=1.0).tolist()
    [2.0, 4.0, 0.0]
    """
    start, end = at_least_zero("start_h", start_h), within("end_h", end_h, 0.0, total_h)
    current = at_least_zero("current_A", current_A)
    if not start.ndim == end.ndim == current.ndim == 1 or not len(start) == len(end) == len(
        current
    ):
        raise InputError(
            "start_h, end_h and current_A differ in length.",
            remedy="Give one start, one end and one current for each window.",
        )
    _refuse_overlap(start, end)

    def charge(time: Floats) -> Floats:
        lasted = np.clip(time[:, None] - start, 0.0, end - start)
        return np.asarray(lasted @ current, dtype=np.float64)

    return _averages(charge, total_h, step_h)


def _refuse_overlap(start: Floats, end: Floats) -> None:
    backward = end <= start
    if np.any(backward):
        raise InputError(
            f"end_h: a window from {start[backward][0]:g} to {end[backward][0]:g} h was given.",
            remedy="Accepted: an end later than the start.",
        )
    order = np.argsort(start)
    late = np.flatnonzero(end[order][:-1] > start[order][1:])
    if late.size:
        one, two = order[late[0]], order[late[0] + 1]
        raise InputError(
            f"start_h: the windows {start[one]:g}..{end[one]:g} h and "
            f"{start[two]:g}..{end[two]:g} h overlap.",
            remedy="Let one end before the next begins, or give them as two loads.",
        )


def _every_day(charge_Ah: Callable[[Floats], Floats], total_h: float, step_h: float) -> Floats:
    whole = charge_Ah(np.array(DAY_H))

    def charge(time: Floats) -> Floats:
        days = np.floor(time / DAY_H)
        return days * whole + charge_Ah(time - days * DAY_H)

    return _averages(charge, total_h, step_h)


def arch_A(
    daily_Ah: float, *, rise_h: float, set_h: float, total_h: float, step_h: float
) -> Floats:
    r"""Charge of each day spread as a half sine between two hours: solar panels, roughly.

    .. math:: I(h) = \frac{\pi \, Q}{2 (h_s - h_r)} \sin \frac{\pi (h - h_r)}{h_s - h_r}

    The half sine is a modelling choice; the charge of the day is kept exactly, and against a
    computed clear sky from 0 to 55 degrees north the charge since sunrise is never off by more
    than a twentieth of the day's.

    Parameters
    ----------
    daily_Ah : float
        Charge of one day :math:`Q`. [Ah]
    rise_h : float
        Hour of the day at which it begins :math:`h_r`, 0 to 24. [h]
    set_h : float
        Hour of the day at which it ends :math:`h_s`, later than the beginning. [h]
    total_h : float
        Whole time from a midnight, a multiple of the step. [h]
    step_h : float
        Length of a step. [h]

    Returns
    -------
    array of shape (steps,)
        Average current of each step. [A]
    """
    charge = at_least_zero("daily_Ah", daily_Ah)
    rise = float(within("rise_h", rise_h, 0.0, DAY_H))
    fall = float(within("set_h", set_h, 0.0, DAY_H))
    if fall <= rise:
        raise InputError(f"set_h: {fall:g} was given.", remedy=f"Accepted: later than {rise:g} h.")

    def passed(hour: Floats) -> Floats:
        angle = np.pi * np.clip((hour - rise) / (fall - rise), 0.0, 1.0)
        return np.asarray(charge * (1.0 - np.cos(angle)) / 2.0, dtype=np.float64)

    return _every_day(passed, total_h, step_h)
