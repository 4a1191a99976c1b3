r"""A bank through hours and days: loads and sources step by step, on the kinetic model.

The bank is discharged by what the sources do not cover and charged by what the loads leave over,
as far as it can give or take it. State of charge counts from the *rated* capacity left: zero when
the rated capacity has been taken out, although a slow discharge could find a little more.

Charging meets three limits in turn: the source, the acceptance of the bank at the absorption
voltage (falling in a straight line with state of charge, so the current tapers), and the room in
the available well. Part of it is lost as gas, more of it near full. The taper is a modelling
choice: it says when charging slows down, never when a bank is full.

Samples run along the leading axes, time along the last.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, finite, positive, up_to_one, within
from elec.calc.batteries.kinetic import Kinetic, coefficients, rested
from elec.errors import InputError

__all__ = [
    "Acceptance",
    "ChargeEfficiency",
    "Day",
    "Trace",
    "hours_to_level_h",
    "lowest",
    "per_day",
    "simulate",
]

Floats = npt.NDArray[np.float64]

DAY_H = 24.0


@dataclass(frozen=True)
class ChargeEfficiency:
    """Charge stored over charge put in, steady to a knee and then falling in a straight line.

    ``below_knee`` [-] holds up to the state of charge ``knee`` [-], ``at_full`` [-] at 1.
    """

    below_knee: npt.ArrayLike
    knee: npt.ArrayLike
    at_full: npt.ArrayLike


@dataclass(frozen=True)
class Acceptance:
    """Current a bank takes at the absorption voltage, on a straight line of state of charge.

    ``empty_A`` [A] at zero (larger than any charger would give), ``full_A`` [A] at 1; below zero
    there where the charging voltage is too low ever to fill the bank.
    """

    empty_A: npt.ArrayLike
    full_A: npt.ArrayLike


@dataclass(frozen=True)
class Trace:
    """What happened, time along the last axis; states have one entry more than steps.

    ``total_Ah`` and ``available_Ah`` [Ah] are states; ``bank_A`` [A] is what left the bank
    (stored charge negative), ``lost_A`` [A] charge lost as gas, ``unserved_A`` [A] load that was
    not carried, ``unused_A`` [A] source that found no taker: averages of each step of ``step_h``
    [h]. ``model`` and ``rated_Ah`` [Ah] are those of the bank.
    """

    model: Kinetic
    rated_Ah: Floats
    step_h: float
    total_Ah: Floats
    available_Ah: Floats
    bank_A: Floats
    lost_A: Floats
    unserved_A: Floats
    unused_A: Floats

    @property
    def time_h(self) -> Floats:
        """Times of the states, from zero [h]."""
        return np.arange(self.total_Ah.shape[-1], dtype=np.float64) * self.step_h

    @property
    def state_of_charge(self) -> Floats:
        """Fraction of the rated capacity left [-]."""
        return 1.0 - (_last(self.model.total_Ah) - self.total_Ah) / _last(self.rated_Ah)


@dataclass(frozen=True)
class Day:
    """Balance of each day along the last axis, a day cut short as an entry of its own.

    All [Ah]: ``discharged_Ah``, ``stored_Ah``, ``lost_Ah`` (gas), ``unserved_Ah``, ``unused_Ah``,
    and ``change_Ah`` of the charge in the bank.
    """

    discharged_Ah: Floats
    stored_Ah: Floats
    lost_Ah: Floats
    unserved_Ah: Floats
    unused_Ah: Floats
    change_Ah: Floats


def _last(value: npt.ArrayLike) -> Floats:
    """Give a value of samples a last axis for time."""
    return np.asarray(value, dtype=np.float64)[..., None]


def simulate(
    model: Kinetic,
    *,
    rated_Ah: npt.ArrayLike,
    load_A: npt.ArrayLike,
    source_A: npt.ArrayLike,
    step_h: float,
    efficiency: ChargeEfficiency,
    acceptance: Acceptance | None = None,
    start_state_of_charge: npt.ArrayLike = 1.0,
) -> Trace:
    r"""Carry a bank through a timetable of loads and sources.

    Each step is exact for its average currents (`kinetic.coefficients`), and charge is
    conserved to rounding. The taper is averaged over the step by its own exponential. At steps
    of 10 minutes, halving them moves the state of charge by less than 0.001; cycles shorter than
    a step are averaged, which moves it by less than 0.01.

    Parameters
    ----------
    model : Kinetic
        Parameters of the bank, aged and at temperature; arrays are samples. [1/h, -, Ah]
    rated_Ah : float or array
        Rated capacity left: that of the hour rate, aged and at temperature. At most the total
        of the model. [Ah]
    load_A : array, last axis time
        Average load of each step. [A]
    source_A : array, last axis time
        What charger, alternator and sun together can give in each of as many steps. [A]
    step_h : float
        Length of a step. [h]
    efficiency : ChargeEfficiency
        Charge stored over charge put in. [-]
    acceptance : Acceptance, optional
        Limit at the absorption voltage; without it only the kinetic limit holds. [A]
    start_state_of_charge : float or array, default 1
        Fraction of the rated capacity in the bank at the start, rested. [-]

    Returns
    -------
    Trace
        States and flows. [Ah, A]
    """
    load, source = at_least_zero("load_A", load_A), at_least_zero("source_A", source_A)
    if load.ndim == 0 or source.ndim == 0 or load.shape[-1] != source.shape[-1]:
        raise InputError(
            f"load_A has shape {load.shape}, source_A {source.shape}.",
            remedy="Give one value a step along the last axis, as many of each.",
        )
    rated = positive("rated_Ah", rated_Ah)
    if np.any(rated > model.total_Ah * (1 + 1e-9)):
        raise InputError(
            f"rated_Ah: {np.max(rated):g} is above the total of the kinetic model.",
            remedy=f"Accepted: up to {np.min(model.total_Ah):g} Ah for this model.",
        )
    begin = within("start_state_of_charge", start_state_of_charge, 0.0, 1.0)
    start = rested(model, total_Ah=model.total_Ah - rated * (1.0 - begin))
    numbers = [
        *coefficients(model, time_h=step_h),
        model.total_Ah - rated,
        rated,
        model.fraction * model.total_Ah,
        *_efficiency_line(efficiency),
        *_acceptance_line(acceptance),
        start.available_Ah,
        start.total_Ah,
    ]
    states, flows = _run(load, source, numbers, step_h)
    total, available = np.moveaxis(states, 1, -1)
    return Trace(model, rated, step_h, total, available, *np.moveaxis(flows, 1, -1))


def _run(
    load: Floats, source: Floats, numbers: list[Floats], step_h: float
) -> tuple[Floats, Floats]:
    """Return total and available charge, and the four flows, steps in front of the samples."""
    samples = np.broadcast_shapes(
        load.shape[:-1], source.shape[:-1], *(np.shape(number) for number in numbers)
    )
    steps = load.shape[-1]
    states = np.empty((2, steps + 1, *samples))
    flows = np.empty((4, steps, *samples))
    if math.prod(samples) == 1:
        # Plain floats run some ten times faster through the same lines than arrays of one.
        _step_by_step(
            load.reshape(steps).tolist(),
            source.reshape(steps).tolist(),
            [np.asarray(number).item() for number in numbers],
            step_h,
            states.reshape(2, steps + 1),
            flows.reshape(4, steps),
            (min, max, math.expm1),
        )
    else:
        _step_by_step(
            np.ascontiguousarray(np.moveaxis(load, -1, 0)),
            np.ascontiguousarray(np.moveaxis(source, -1, 0)),
            numbers,
            step_h,
            states,
            flows,
            (np.minimum, np.maximum, np.expm1),
        )
    return states, flows


def _efficiency_line(efficiency: ChargeEfficiency) -> tuple[Floats, Floats, Floats]:
    below = up_to_one("below_knee", efficiency.below_knee)
    full = positive("at_full", efficiency.at_full)
    knee = within("knee", efficiency.knee, 0.0, 1.0 - 1e-9)
    if np.any(full > below):
        raise InputError(
            f"at_full: {np.max(full):g} is above below_knee.",
            remedy="Charge efficiency falls near full: give a lower figure there, or the same.",
        )
    return below, (below - full) / (1.0 - knee), knee


def _acceptance_line(acceptance: Acceptance | None) -> tuple[Floats, Floats]:
    if acceptance is None:
        return np.asarray(np.inf), np.asarray(0.0)
    full = finite("full_A", acceptance.full_A)
    slope = positive("empty_A", acceptance.empty_A) - full
    if np.any(slope <= 0):
        raise InputError(
            f"empty_A: {np.min(acceptance.empty_A):g} is not above full_A.",
            remedy="A bank takes more when it is empty: give a larger current there.",
        )
    return full, slope


def _step_by_step(
    load: Any,
    source: Any,
    numbers: list[Any],
    step_h: float,
    states: Floats,
    flows: Floats,
    functions: tuple[Callable[..., Any], Callable[..., Any], Callable[..., Any]],
) -> None:
    """Fill states and flows step by step; the same lines serve floats and arrays of samples."""
    (
        a,
        b,
        d,
        floor_Ah,
        rated_Ah,
        well_Ah,
        eta_below,
        eta_slope,
        knee,
        accept_full_A,
        accept_slope_A,
        available,
        total,
    ) = numbers
    minimum, maximum, expm1 = functions
    totals, availables = states
    bank, lost, unserved, unused = flows
    tapers = bool(np.all(np.isfinite(accept_full_A)))
    totals[0], availables[0] = total, available
    for i in range(len(load)):
        net = load[i] - source[i]
        need, offer = maximum(net, 0.0), maximum(-net, 0.0)
        reach = a * available + b * total

        carried = maximum(minimum(minimum(need, reach / d), (total - floor_Ah) / step_h), 0.0)

        level = (total - floor_Ah) / rated_Ah
        eta = eta_below - eta_slope * maximum(level - knee, 0.0)
        accepted = offer
        if tapers:
            acceptance = maximum(accept_full_A + accept_slope_A * (1.0 - level), 0.0)
            exposure = eta * accept_slope_A * step_h / rated_Ah
            accepted = minimum(offer, -expm1(-exposure) / exposure * acceptance)
        # Efficiency at the middle of the step makes its error one of second order.
        level = minimum(level + 0.5 * step_h * eta * accepted / rated_Ah, 1.0)
        eta = eta_below - eta_slope * maximum(level - knee, 0.0)
        accepted = maximum(minimum(accepted, (well_Ah - reach) / (d * eta)), 0.0)
        stored = eta * accepted

        current = carried - stored
        available = reach - d * current
        total = total - step_h * current
        totals[i + 1], availables[i + 1] = total, available
        bank[i], lost[i] = current, accepted - stored
        unserved[i], unused[i] = need - carried, offer - accepted


def lowest(trace: Trace) -> tuple[Floats, Floats]:
    r"""Lowest state of charge, and when it is first reached.

    Parameters
    ----------
    trace : Trace
        A bank through time. [A, Ah]

    Returns
    -------
    tuple of two floats or arrays
        State of charge as a fraction, and the time. [-, h]
    """
    level = trace.state_of_charge
    return level.min(axis=-1), trace.time_h[level.argmin(axis=-1)]


def hours_to_level_h(trace: Trace, *, state_of_charge: npt.ArrayLike) -> Floats:
    r"""Time at which a state of charge is first reached from above.

    Exact inside a step, in which state of charge is a straight line of time.

    Parameters
    ----------
    trace : Trace
        A bank through time. [A, Ah]
    state_of_charge : float or array
        The level, for example one less the usable fraction. [-]

    Returns
    -------
    float or array
        Time; zero if the bank starts at or below the level, infinite if it is not reached in
        the time simulated. [h]
    """
    wanted = _last(within("state_of_charge", state_of_charge, 0.0, 1.0))
    level = trace.state_of_charge
    # A hair of slack, or rounding would miss a level that is met exactly.
    below = level <= wanted + 1e-12
    first = below.argmax(axis=-1)[..., None]
    before = np.maximum(first - 1, 0)
    upper, lower = (np.take_along_axis(level, i, axis=-1) for i in (before, first))
    fall = upper - lower
    part = np.where(fall > 0, (upper - wanted) / np.where(fall > 0, fall, 1.0), 0.0)
    hours = (before + np.clip(part, 0.0, 1.0)) * trace.step_h
    hours = np.where(first == 0, 0.0, hours)
    result: Floats = np.where(below.any(axis=-1), hours[..., 0], np.inf)[()]
    return result


def per_day(trace: Trace) -> Day:
    r"""Balance of charge of each day from the start.

    Parameters
    ----------
    trace : Trace
        A bank through time, with a whole number of steps a day. [A, Ah]

    Returns
    -------
    Day
        Charge out, in, lost, not served and not used, day by day. [Ah]
    """
    steps_a_day = round(DAY_H / trace.step_h)
    if steps_a_day < 1 or abs(steps_a_day * trace.step_h - DAY_H) > 1e-9 * DAY_H:
        raise InputError(
            f"step_h: {trace.step_h:g} h does not divide a day.",
            remedy="Accepted: for example 1, 0.5 or 1/6 h.",
        )
    steps = trace.bank_A.shape[-1]
    starts = np.arange(0, steps, steps_a_day)

    def sums(flow: Floats) -> Floats:
        return np.asarray(np.add.reduceat(flow, starts, axis=-1) * trace.step_h)

    edges = np.append(starts, steps)
    return Day(
        discharged_Ah=sums(np.maximum(trace.bank_A, 0.0)),
        stored_Ah=sums(np.maximum(-trace.bank_A, 0.0)),
        lost_Ah=sums(trace.lost_A),
        unserved_Ah=sums(trace.unserved_A),
        unused_Ah=sums(trace.unused_A),
        change_Ah=np.diff(trace.total_Ah[..., edges], axis=-1),
    )
