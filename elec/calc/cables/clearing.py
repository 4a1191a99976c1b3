"""How long a device may take to open, from the points of its time-current curve."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.calc.cables.sizing import HOLDS_WITHIN
from elec.errors import InputError

__all__ = ["longest_opening_s"]

Floats = npt.NDArray[np.float64]


def longest_opening_s(
    current_A: npt.ArrayLike,
    *,
    curve_current_A: npt.ArrayLike,
    most_s: npt.ArrayLike,
    rating_A: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Longest time to open at a current: that of the next lower point of the curve.

    .. math:: t(I) = t_i, \quad i = \max \{ j : m_j I_n \le I \}

    A larger current never opens a device later, and no more is taken from the points than that:
    nothing is read between them, below the first the device may never open, and above the last it
    opens no later than there.

    Parameters
    ----------
    current_A : float or array
        Current through the device :math:`I`. [A]
    curve_current_A : array
        Currents of the points :math:`m_j`, ascending; multiples of the rating if one is given. [A]
    most_s : array
        Longest time at each point :math:`t_j`, never rising. [s]
    rating_A : float or array, default 1
        Rating :math:`I_n` that the points are multiples of; 1 if they are currents. [A]

    Returns
    -------
    float or array
        Longest time; infinite below the first point. [s]

    Examples
    --------
    >>> times = longest_opening_s([99.0, 399, 400], curve_current_A=[100, 400], most_s=[16, 1])
    >>> times.tolist()
    [inf, 16.0, 1.0]
    """
    points, times = positive("curve_current_A", curve_current_A), positive("most_s", most_s)
    if points.ndim != 1 or points.size == 0 or np.any(np.diff(points) <= 0):
        raise InputError(
            f"curve_current_A: {points.tolist()!r} was given.",
            remedy="Accepted: one current or more, each larger than the one before.",
        )
    if times.shape != points.shape or np.any(np.diff(times) > 0):
        raise InputError(
            f"most_s: {times.tolist()!r} was given.",
            remedy="Accepted: one time above zero for each current, never rising.",
        )
    current = at_least_zero("current_A", current_A) * (1 + HOLDS_WITHIN)
    place = np.searchsorted(points, current / positive("rating_A", rating_A), side="right") - 1
    return np.asarray(np.where(place < 0, np.inf, times[np.maximum(place, 0)]))[()]
