r"""Kinetic battery model: two wells of charge, one at hand and one that must first flow across.

A fraction :math:`c` of the capacity :math:`q_{max}` is available at once; the rest is bound and
moves over at rate :math:`k`. A hard discharge empties the first well while charge is left in the
second, so capacity falls with rate and part of it comes back in rest. Steps are the closed-form
solution at a steady current, exact for any length of step. Discharge is positive.

References
----------
J. F. Manwell and J. G. McGowan, "Lead acid battery storage model for hybrid energy systems",
Solar Energy 50(5), 1993.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.calc.batteries.storage import peukert_capacity_in_Ah
from elec.errors import InputError

__all__ = [
    "Charge",
    "Kinetic",
    "capacity_in_Ah",
    "coefficients",
    "identify",
    "identify_from_peukert",
    "rested",
    "scaled",
]

Floats = npt.NDArray[np.float64]

# Ratings closer than this (relative) show no effect of rate: one well holds everything.
_ALIKE = 1e-6
# Halvings of a bracket: 2**-80 of it is below the resolution of a float.
_HALVINGS = 80


@dataclass(frozen=True)
class Kinetic:
    """Parameters of the model.

    ``rate_per_h`` [1/h] is how fast bound charge comes across, ``fraction`` [-] the share of the
    capacity that is available at once (1 for a bank that rate does not touch), ``total_Ah`` [Ah]
    all charge of a full bank, as a very slow discharge would give it: above the 20-hour capacity.
    """

    rate_per_h: Floats
    fraction: Floats
    total_Ah: Floats


@dataclass(frozen=True)
class Charge:
    """Charge in the two wells: ``available_Ah`` [Ah] and ``bound_Ah`` [Ah]."""

    available_Ah: Floats
    bound_Ah: Floats

    @property
    def total_Ah(self) -> Floats:
        """All charge in the bank [Ah]."""
        return self.available_Ah + self.bound_Ah


def _crossing(rate_per_h: Floats, time_h: Floats) -> Floats:
    return -np.expm1(-rate_per_h * time_h) / time_h


def identify(
    time_h: npt.ArrayLike, *, capacity_Ah: npt.ArrayLike, rate_per_h: npt.ArrayLike | None = None
) -> Kinetic:
    r"""Parameters from the capacities of one battery when emptied in three (or two) times.

    The reciprocal of the charge :math:`q` given when emptied at a steady current in time
    :math:`t` is linear in :math:`(1-e^{-kt})/t`:

    .. math:: \frac{1}{q(t)} = \frac{1}{q_{max}}
              \left[1 + \frac{1-c}{k\,c} \, \frac{1 - e^{-kt}}{t}\right]

    Three capacities give :math:`k` from one equation that has one root, then :math:`c` and
    :math:`q_{max}` directly; two suffice where :math:`k` is taken from elsewhere.

    Parameters
    ----------
    time_h : array, last axis of length 2 or 3
        Times in which the full battery was emptied, rising. [h]
    capacity_Ah : array, last axis as time_h
        Charge it gave each time. [Ah]
    rate_per_h : float or array, optional
        Rate constant :math:`k`; needed with two capacities, not accepted with three. [1/h]

    Returns
    -------
    Kinetic
        Parameters that reproduce the capacities. [1/h, -, Ah]

    Raises
    ------
    InputError
        If times do not rise, or capacities fall with time, or no parameters fit: the ratings are
        then not of one battery, or misread.

    References
    ----------
    J. F. Manwell and J. G. McGowan, Solar Energy 50(5), 1993.

    Examples
    --------
    >>> model = identify([1.0, 10.0, 20.0], capacity_Ah=[60.0, 93.0, 100.0])
    >>> round(float(model.total_Ah), 2), round(float(model.fraction), 4)
    (108.16, 0.4751)
    """
    times, capacities = np.broadcast_arrays(
        positive("time_h", time_h), positive("capacity_Ah", capacity_Ah)
    )
    number = times.shape[-1] if times.ndim else 1
    if number not in (2, 3) or (number == 2) != (rate_per_h is not None):
        raise InputError(
            f"time_h: {number} ratings, rate_per_h: {rate_per_h!r}.",
            remedy="Accepted: three ratings, or two together with rate_per_h.",
        )
    if np.any(np.diff(times) <= 0):
        raise InputError("time_h: the times do not rise.", remedy="Give the shortest time first.")
    alike = np.ptp(capacities, axis=-1) <= _ALIKE * capacities[..., -1]
    if np.any(~alike[..., None] & (np.diff(capacities) <= 0)):
        raise InputError(
            "capacity_Ah: a shorter discharge gives as much as a longer one, or more.",
            remedy="Ratings of one battery rise with the hour rate: read them again.",
        )

    inverse = 1.0 / capacities
    if rate_per_h is None:
        rate = _rate_from_three(times, inverse, alike)
    else:
        rate = positive("rate_per_h", rate_per_h)
    first, last = _crossing(rate, times[..., 0]), _crossing(rate, times[..., -1])
    slope = np.where(alike, 0.0, (inverse[..., 0] - inverse[..., -1]) / (first - last))
    intercept = inverse[..., -1] - slope * last
    if np.any(intercept <= 0):
        raise InputError(
            "capacity_Ah: the capacities fall too steeply with rate for one battery.",
            remedy="Check that all are of the same battery, and the hour rates they hold for.",
        )
    fraction = 1.0 / (1.0 + slope * rate / intercept)
    return Kinetic(rate[()], fraction[()], (1.0 / intercept)[()])


def _rate_from_three(times: Floats, inverse: Floats, alike: npt.NDArray[np.bool_]) -> Floats:
    """Rate constant at which the three reciprocal capacities lie on one line, by halving."""
    first, middle, last = (times[..., i] for i in range(3))
    with np.errstate(invalid="ignore", divide="ignore"):
        wanted = (inverse[..., 0] - inverse[..., 2]) / (inverse[..., 1] - inverse[..., 2])
    # Limits of the ratio for a very slow and a very fast flow; it rises with the rate between.
    slowest = (last - first) / (last - middle)
    fastest = (1 / first - 1 / last) / (1 / middle - 1 / last)
    if np.any(~alike & ~((wanted > slowest) & (wanted < fastest))):
        raise InputError(
            "capacity_Ah: no kinetic model passes through the three ratings.",
            remedy="Check that all are of the same battery, and the hour rates they hold for.",
        )
    low, high = np.log(1e-6 / last), np.log(1e6 / first)
    for _ in range(_HALVINGS):
        middle_of_bracket = 0.5 * (low + high)
        rate = np.exp(middle_of_bracket)
        end = _crossing(rate, last)
        ratio = (_crossing(rate, first) - end) / (_crossing(rate, middle) - end)
        low = np.where(ratio < wanted, middle_of_bracket, low)
        high = np.where(ratio < wanted, high, middle_of_bracket)
    return np.where(alike, 1.0, np.exp(0.5 * (low + high)))


def identify_from_peukert(
    capacity_Ah: npt.ArrayLike,
    *,
    rate_h: npt.ArrayLike,
    exponent: npt.ArrayLike,
    time_h: npt.ArrayLike,
) -> Kinetic:
    r"""Parameters that give, when emptied in three times, what Peukert's relation gives.

    For a bank of which only one rating and an exponent are known. Between and near the three
    times the two agree within a few percent; the kinetic model adds recovery in rest.

    Parameters
    ----------
    capacity_Ah : float or array
        Rated capacity at the hour rate. [Ah]
    rate_h : float or array
        Hour rate of that capacity. [h]
    exponent : float or array
        Peukert exponent, 1 to 1.6. [-]
    time_h : array of shape (..., 3)
        Times at which the two are made to agree, rising, at most the hour rate. [h]

    Returns
    -------
    Kinetic
        Parameters, one set for each element of the arguments. [1/h, -, Ah]
    """
    times = positive("time_h", time_h)
    hours = positive("rate_h", rate_h)
    if np.any(times > hours[..., None]):
        raise InputError(
            f"time_h: {np.max(times):g} is above the hour rate {np.min(hours):g}.",
            remedy="Accepted: three rising times up to the hour rate, for example 1, 10 and 20.",
        )
    given = peukert_capacity_in_Ah(
        np.asarray(capacity_Ah)[..., None],
        rate_h=hours[..., None],
        time_h=times,
        exponent=np.asarray(exponent)[..., None],
    )
    return identify(times, capacity_Ah=given)


def scaled(model: Kinetic, *, factor: npt.ArrayLike) -> Kinetic:
    r"""Model of a like bank that holds a multiple of the charge: more strings, age, or cold.

    Parameters
    ----------
    model : Kinetic
        Parameters of the bank. [1/h, -, Ah]
    factor : float or array
        Capacity of the new bank over that of the old, above zero. [-]

    Returns
    -------
    Kinetic
        Parameters with the total charge multiplied. [1/h, -, Ah]
    """
    return Kinetic(model.rate_per_h, model.fraction, model.total_Ah * positive("factor", factor))


def rested(model: Kinetic, *, total_Ah: npt.ArrayLike) -> Charge:
    r"""Charge of a bank that has rested until its wells stand level.

    .. math:: q_1 = c \, q_0, \quad q_2 = (1-c) \, q_0

    Parameters
    ----------
    model : Kinetic
        Parameters of the bank. [1/h, -, Ah]
    total_Ah : float or array
        Charge in it :math:`q_0`, from zero to the total of the model. [Ah]

    Returns
    -------
    Charge
        Available and bound charge. [Ah]
    """
    total = at_least_zero("total_Ah", total_Ah)
    if np.any(total > model.total_Ah * (1 + 1e-12)):
        raise InputError(
            f"total_Ah: {np.max(total):g} was given.",
            remedy=f"Accepted: zero to what the full bank holds, {np.min(model.total_Ah):g} Ah.",
        )
    return Charge((model.fraction * total)[()], ((1.0 - model.fraction) * total)[()])


def coefficients(model: Kinetic, *, time_h: npt.ArrayLike) -> tuple[Floats, Floats, Floats]:
    r"""Coefficients of one step: the available charge after it is linear in what was before.

    .. math::

        q_1' &= a \, q_1 + b \, q_0 - d \, I \\
        a &= e^{-kt}, \quad b = c \, (1 - e^{-kt}), \quad
        d = \frac{(1 - e^{-kt}) + c \, (kt - 1 + e^{-kt})}{k}

    Parameters
    ----------
    model : Kinetic
        Parameters of the bank. [1/h, -, Ah]
    time_h : float or array
        Length of the step :math:`t`. [h]

    Returns
    -------
    tuple of three floats or arrays
        :math:`a` and :math:`b`, and :math:`d` in hours. [-, -, h]
    """
    exposure = model.rate_per_h * positive("time_h", time_h)
    moved = -np.expm1(-exposure)
    return (
        1.0 - moved,
        model.fraction * moved,
        (moved + model.fraction * (exposure - moved)) / model.rate_per_h,
    )


def capacity_in_Ah(model: Kinetic, *, time_h: npt.ArrayLike) -> Floats:
    r"""Charge a full bank gives when it is emptied at a steady current in a stated time [Ah].

    .. math:: q(t) = \frac{q_{max} \, c \, t}{d(t)}

    Parameters
    ----------
    model : Kinetic
        Parameters of the bank. [1/h, -, Ah]
    time_h : float or array
        Time in which it is emptied. [h]
    """
    d = coefficients(model, time_h=time_h)[2]
    return model.total_Ah * model.fraction * positive("time_h", time_h) / d
