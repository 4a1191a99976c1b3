r"""Whether a device can break a fault, opens on it, and opens before the conductor is harmed.

A time-current curve is read between its points only, straight on logarithmic scales. Outside, no
more is said than that a larger current never opens a device later.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.calc.sizing import HOLDS_WITHIN
from elec.errors import InputError

__all__ = ["Opening", "breaks", "clears", "currents_to_try_A", "opening_time_s"]

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Texts = npt.NDArray[np.str_]


@dataclass(frozen=True)
class Opening:
    """Opening time between ``least_s`` [s] and ``most_s`` [s].

    ``read`` is true where the curve has the current between its points. Below them the device is
    not known to open (``most_s`` is infinite); above them it opens no later than at the last.
    """

    least_s: Floats
    most_s: Floats
    read: Bools


def breaks(
    fault_A: npt.ArrayLike,
    *,
    interrupting_A: npt.ArrayLike,
    device_V: npt.ArrayLike,
    circuit_V: npt.ArrayLike,
) -> Bools:
    r"""Whether a device can break a fault: current and voltage both within its marking.

    .. math:: I_p \le I_{cn} \ \text{and} \ V \le V_{cn}

    Above its marked voltage an interrupting rating is void.

    Parameters
    ----------
    fault_A : float or array
        Prospective fault current :math:`I_p`, the largest there can be. [A]
    interrupting_A : float or array
        Interrupting rating marked :math:`I_{cn}`, for direct current on DC. [A]
    device_V : float or array
        Voltage :math:`V_{cn}` at which it is marked. [V]
    circuit_V : float or array
        Nominal voltage of the circuit :math:`V`. [V]

    Returns
    -------
    bool or array
        True where it can. [-]

    Raises
    ------
    InputError
        If the fault current is below zero or another value not above zero.

    References
    ----------
    33 CFR 183.455(d) for the voltage; ABYC E-11 for the current, as republished.
    """
    fault = at_least_zero("fault_A", fault_A)
    strong = fault <= positive("interrupting_A", interrupting_A) * (1 + HOLDS_WITHIN)
    marked_V = positive("device_V", device_V) * (1 + HOLDS_WITHIN)
    result: Bools = np.asarray(strong & (positive("circuit_V", circuit_V) <= marked_V))
    return result[()]


def opening_time_s(
    current_A: npt.ArrayLike,
    *,
    curve_current_A: npt.ArrayLike,
    most_s: npt.ArrayLike,
    least_s: npt.ArrayLike | None = None,
) -> Opening:
    r"""Time that a device takes to open, from points of its published curve.

    .. math:: \ln t = \ln t_1 + (\ln t_2 - \ln t_1)
              \frac{\ln (I / I_1)}{\ln (I_2 / I_1)}

    Parameters
    ----------
    current_A : float or array
        Current through the device :math:`I`. [A]
    curve_current_A : array
        Currents of the points, ascending, at least two. [A]
    most_s : array
        Longest time at each point, never rising; infinite where the device need not open. [s]
    least_s : array, optional
        Shortest time at each point, if the curve is a band; left out, as ``most_s``. [s]

    Returns
    -------
    Opening
        Bounds of the opening time, and where they were read inside the points. [s]

    Raises
    ------
    InputError
        If the curve is no curve, or the current is below zero.

    Examples
    --------
    >>> found = opening_time_s([50.0, 200.0, 900.0], curve_current_A=[100, 400], most_s=[16, 1])
    >>> [round(float(t), 9) for t in found.most_s]
    [inf, 4.0, 1.0]
    """
    currents = positive("curve_current_A", curve_current_A)
    longest = _times("most_s", most_s, currents)
    shortest = _times("least_s", most_s if least_s is None else least_s, currents)
    if np.any(np.isinf(shortest)):
        raise InputError(
            "least_s: infinite, or left out where most_s is infinite.",
            remedy="Give the shortest time at each point, or leave out the point.",
        )
    if currents.ndim != 1 or currents.size < 2 or np.any(np.diff(currents) <= 0):
        raise InputError(
            f"curve_current_A: {currents.tolist()!r} was given.",
            remedy="Accepted: two or more currents, each larger than the one before.",
        )
    if np.any(shortest > longest):
        raise InputError("least_s: above most_s.", remedy="Give the shorter time of each point.")
    current = at_least_zero("current_A", current_A)
    below, above = current < currents[0], current > currents[-1]
    inside = np.clip(current, currents[0], currents[-1])
    most = np.where(below, np.inf, _between(inside, currents, longest))
    least = np.where(above, 0.0, _between(inside, currents, shortest))
    read: Bools = np.asarray(~(below | above))
    return Opening(least[()], most[()], read[()])


def _times(name: str, times_s: npt.ArrayLike, currents_A: Floats) -> Floats:
    times = np.asarray(times_s, dtype=np.float64)
    falling = times.shape == currents_A.shape and not np.any(times[1:] > times[:-1])
    if not falling or not np.all(times > 0):
        raise InputError(
            f"{name}: {times.tolist()!r} was given.",
            remedy="Accepted: one time above zero for each current, never rising.",
        )
    return times


def _between(current_A: Floats, points_A: Floats, times_s: Floats) -> Floats:
    upper = np.clip(np.searchsorted(points_A, current_A, side="left"), 1, points_A.size - 1)
    lower = upper - 1
    share = np.log(current_A / points_A[lower]) / np.log(points_A[upper] / points_A[lower])
    with np.errstate(invalid="ignore"):
        log_time = np.log(times_s[lower]) * (1 - share) + np.log(times_s[upper]) * share
    # a point on the curve keeps its own time, also beside an infinite one
    exact = np.where(share == 0, times_s[lower], np.exp(log_time))
    return np.asarray(np.where(share == 1, times_s[upper], exact))


def clears(opening: Opening, *, withstand_s: npt.ArrayLike) -> Texts:
    """Whether a device opens before a conductor is harmed.

    Parameters
    ----------
    opening : Opening
        Bounds of the opening time. [s]
    withstand_s : float or array
        Time that the conductor survives the same current. [s]

    Returns
    -------
    text or array
        ``meets`` if the longest opening time is within it, ``fails`` if the shortest is not,
        else ``not known``. [text]

    Raises
    ------
    InputError
        If the time is not above zero.

    References
    ----------
    IEC 60364-4-43, 434.5.2.
    """
    limit = positive("withstand_s", withstand_s) * (1 + HOLDS_WITHIN)
    late = np.where(opening.least_s > limit, "fails", "not known")
    result: Texts = np.asarray(np.where(opening.most_s <= limit, "meets", late))
    return result[()]


def currents_to_try_A(
    least_A: float, *, greatest_A: float, curve_current_A: npt.ArrayLike
) -> Floats:
    """Fault currents at which opening and withstand times must be compared, and no others.

    On logarithmic scales both run straight between the points of the curve, so that what holds at
    the ends of the range and at the points between holds throughout.

    Parameters
    ----------
    least_A : float
        Smallest fault current. [A]
    greatest_A : float
        Largest fault current. [A]
    curve_current_A : array
        Currents of the points of the device's curve. [A]

    Returns
    -------
    array
        Currents, ascending. [A]

    Raises
    ------
    InputError
        If the largest is below the smallest or a value is not above zero.
    """
    ends = np.array([positive("least_A", least_A), positive("greatest_A", greatest_A)])
    if ends[1] < ends[0]:
        raise InputError("greatest_A: below least_A.", remedy="Give the range of fault currents.")
    points = positive("curve_current_A", curve_current_A)
    between = points[(points > ends[0]) & (points < ends[1])]
    return np.asarray(np.unique(np.concatenate([ends, between])))
