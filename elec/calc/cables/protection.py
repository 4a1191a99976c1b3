"""Fuses and breakers: the largest rating that each instrument's form of rule lets through.

Ampacities are those of the conductor where it lies, all factors applied.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.calc.cables.sizing import HOLDS_WITHIN
from elec.errors import InputError

__all__ = [
    "greatest_device_A",
    "greatest_standard_A",
]

Floats = npt.NDArray[np.float64]


def greatest_device_A(ampacity_A: npt.ArrayLike, *, multiple: npt.ArrayLike) -> Floats:
    r"""Largest rating under a rule of the form "at most so many times the ampacity" [A].

    .. math:: I_n = m I_z

    Parameters
    ----------
    ampacity_A : float or array
        Ampacity :math:`I_z`; zero where the conductor may carry nothing. [A]
    multiple : float or array
        Multiple :math:`m` of the rule. [-]

    References
    ----------
    33 CFR 183.455(c)(1), circuits below 50 V; ISO 13297:2020, 13.1.5, with a multiple of one.

    Examples
    --------
    >>> float(greatest_device_A(45.0, multiple=1.5))
    67.5
    """
    return (at_least_zero("ampacity_A", ampacity_A) * positive("multiple", multiple))[()]


def greatest_standard_A(
    ampacity_A: npt.ArrayLike, *, standard_A: npt.ArrayLike, most_multiple: npt.ArrayLike
) -> Floats:
    r"""Largest rating under "the ampacity, or the next standard rating up, within a cap" [A].

    .. math:: I_n = \begin{cases} S & S \le m I_z \\ I_z & \text{otherwise} \end{cases},
              \quad S = \min \{ s \ge I_z \}

    Where the ampacity is itself a standard rating, or lies above the whole list, it is the limit.

    Parameters
    ----------
    ampacity_A : float or array
        Ampacity :math:`I_z`; zero where the conductor may carry nothing. [A]
    standard_A : array
        Standard ratings of one series, ascending. [A]
    most_multiple : float or array
        Cap :math:`m` on the next rating up, as a multiple of the ampacity, one or more. [-]

    References
    ----------
    33 CFR 183.455(c)(2), circuits of 50 V and up; 46 CFR 183.380(d); ABYC E-11, as republished.

    Examples
    --------
    >>> float(greatest_standard_A(38.25, standard_A=[30, 35, 40, 45], most_multiple=1.5))
    40.0
    """
    ampacity = at_least_zero("ampacity_A", ampacity_A)
    standard = _series(standard_A)
    cap = positive("most_multiple", most_multiple)
    if np.any(cap < 1):
        raise InputError(
            f"most_multiple: {float(cap.min()):g} was given.", remedy="Accepted: 1 or more."
        )
    index = _next_index(ampacity, standard)
    following = np.append(standard, np.inf)[index]
    allowed = following <= cap * ampacity * (1 + HOLDS_WITHIN)
    return np.where(allowed, np.maximum(following, ampacity), ampacity)[()]


def _series(standard_A: npt.ArrayLike) -> Floats:
    standard = np.atleast_1d(positive("standard_A", standard_A))
    if standard.ndim != 1 or standard.size == 0 or np.any(np.diff(standard) <= 0):
        raise InputError(
            f"standard_A: {standard.tolist()!r} was given.",
            remedy="Accepted: the ratings of one series, each larger than the one before.",
        )
    return standard


def _next_index(least_A: Floats, standard_A: Floats) -> npt.NDArray[np.intp]:
    return np.asarray(np.searchsorted(standard_A, least_A * (1 - HOLDS_WITHIN), side="left"))
