"""State of a battery as read aboard: charge from voltage or hydrometer, capacity and load tests."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, finite, positive
from elec.errors import InputError

__all__ = [
    "capacity_test_current_A",
    "capacity_test_fraction",
    "load_test_minimum_V",
    "state_of_charge_band",
]

Floats = npt.NDArray[np.float64]


def state_of_charge_band(
    reading: npt.ArrayLike,
    *,
    curves: Sequence[tuple[npt.ArrayLike, npt.ArrayLike]],
    uncertainty: npt.ArrayLike,
) -> tuple[Floats, Floats]:
    r"""State of charge that a rested voltage or a hydrometer reading allows, as a band.

    Every published curve is read at the reading less and plus its uncertainty; the band spans
    all of them. A curve that ends above an empty battery says only "at most its last state"
    below its end, and one that is passed at the top says "at least its first".

    Parameters
    ----------
    reading : float or array
        Voltage of the block after rest, or specific gravity corrected to the curves. [V or -]
    curves : sequence of pairs of arrays
        For each published curve its readings and their states of charge, any order. [V or -, -]
    uncertainty : float or array
        How far the reading may be off, either way. [V or -]

    Returns
    -------
    tuple of two floats or arrays
        Lowest and highest state of charge. [-]

    Raises
    ------
    InputError
        If the reading is above every curve by more than its uncertainty (not rested: charging
        or surface charge) or below every curve (a dead cell, or not this chemistry).

    Examples
    --------
    >>> curve = ([11.9, 12.2, 12.6], [0.0, 0.5, 1.0])
    >>> low, high = state_of_charge_band(12.2, curves=[curve], uncertainty=0.04)
    >>> round(float(low), 3), round(float(high), 3)
    (0.433, 0.55)
    """
    value, off = finite("reading", reading), at_least_zero("uncertainty", uncertainty)
    known = [_curve(*curve) for curve in curves]
    if not known:
        raise InputError("curves: none was given.", remedy="Give at least one published curve.")
    top = max(readings[-1] for readings, _ in known)
    bottom = min(readings[0] for readings, _ in known)
    if np.any(value - off > top):
        raise InputError(
            f"reading: {np.max(value):g} is above a full battery at rest ({top:g}).",
            remedy="Let it rest off charge, or remove the surface charge, and read again.",
        )
    if np.any(value + off < bottom):
        raise InputError(
            f"reading: {np.min(value):g} is below an empty battery at rest ({bottom:g}).",
            remedy="Look for a dead cell or another chemistry; no state of charge follows.",
        )
    lows = [np.interp(value - off, *curve, left=0.0) for curve in known]
    highs = [np.interp(value + off, *curve, right=1.0) for curve in known]
    return np.minimum.reduce(lows)[()], np.maximum.reduce(highs)[()]


def _curve(readings: npt.ArrayLike, states: npt.ArrayLike) -> tuple[Floats, Floats]:
    x, y = finite("curves", readings), finite("curves", states)
    order = np.argsort(x)
    x, y = x[order], y[order]
    if x.size < 2 or np.any(np.diff(x) <= 0) or np.any(np.diff(y) < 0) or y[0] < 0 or y[-1] > 1:
        raise InputError(
            "curves: a curve does not rise with state of charge from 0 towards 1.",
            remedy="Give readings all different, with states of charge as fractions.",
        )
    return x, y


def capacity_test_fraction(
    run_h: npt.ArrayLike, *, rated_h: npt.ArrayLike, temperature_test_factor: npt.ArrayLike = 1.0
) -> Floats:
    r"""Capacity found by a discharge test, judged by its time, as a fraction of rated [-].

    .. math:: r = \frac{t}{t_\text{rated} \, K_T}

    The test factor :math:`K_T` is not the reciprocal of the size factor.

    Parameters
    ----------
    run_h : float or array
        Time to the end voltage at the rated current, :math:`t`. [h]
    rated_h : float or array
        Rated time at that current. [h]
    temperature_test_factor : float or array, default 1
        Time-adjusted factor :math:`K_T` at the electrolyte temperature at the start. [-]

    References
    ----------
    IEEE Std 450 and 1188, time-adjusted method, tests of an hour or more.

    Examples
    --------
    >>> f = capacity_test_fraction(6.0, rated_h=8.0, temperature_test_factor=0.790)
    >>> round(float(f), 3)
    0.949
    """
    return at_least_zero("run_h", run_h) / (
        positive("rated_h", rated_h) * positive("temperature_test_factor", temperature_test_factor)
    )


def capacity_test_current_A(
    rated_current_A: npt.ArrayLike, *, temperature_size_factor: npt.ArrayLike
) -> Floats:
    r"""Adjust the current of a discharge test to the temperature (rate-adjusted method) [A].

    .. math:: I = I_\text{rated} / f_T

    Parameters
    ----------
    rated_current_A : float or array
        Current of the rating tested. [A]
    temperature_size_factor : float or array
        Factor :math:`f_T` by which a size is multiplied at the electrolyte temperature. [-]
    """
    return positive("rated_current_A", rated_current_A) / positive(
        "temperature_size_factor", temperature_size_factor
    )


def load_test_minimum_V(
    temperature_C: npt.ArrayLike,
    *,
    table_temperature_C: npt.ArrayLike,
    table_minimum_V: npt.ArrayLike,
) -> Floats:
    r"""Least voltage that passes a load test at a temperature [V].

    Interpolated between the rows of the table; above its warmest row that row holds, as the
    manuals that print it have it; colder than its coldest row there is no answer.

    Parameters
    ----------
    temperature_C : float or array
        Temperature of the battery. [°C]
    table_temperature_C : array
        Temperatures of the rows, any order. [°C]
    table_minimum_V : array
        Least voltage of each row. [V]
    """
    wanted = finite("temperature_C", temperature_C)
    rows = finite("table_temperature_C", table_temperature_C)
    least = positive("table_minimum_V", table_minimum_V)
    if np.any(wanted < rows.min()):
        raise InputError(
            f"temperature_C: {np.min(wanted):g} was given.",
            remedy=f"Accepted: {rows.min():g} or more; warm the battery and test again.",
        )
    order = np.argsort(rows)
    return np.asarray(np.interp(wanted, rows[order], least[order]), dtype=np.float64)
