"""Charging a bank: rates, the least time it takes, what a source must give.

Times are to the end of the bulk stage and so lower bounds: the absorption that follows takes
hours that depend on the battery, and is never promised.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.errors import InputError

__all__ = [
    "charger_for_time_A",
    "charger_fraction",
    "recharge_bulk_h",
]

Floats = npt.NDArray[np.float64]


def _return_factor(value: npt.ArrayLike) -> Floats:
    factor = positive("return_factor", value)
    if np.any(factor < 1.0):
        raise InputError(
            f"return_factor: {np.min(factor):g} was given.",
            remedy="Accepted: one or more (charge put back over charge taken out).",
        )
    return factor


def charger_fraction(charger_A: npt.ArrayLike, *, capacity_Ah: npt.ArrayLike) -> Floats:
    r"""Charging current as a fraction of the capacity of the bank.

    .. math:: f = I / C

    Parameters
    ----------
    charger_A : float or array
        Current of the charger. [A]
    capacity_Ah : float or array
        Rated capacity of the bank, usually at the 20-hour rate. [Ah]

    Returns
    -------
    float or array
        Fraction of the capacity per hour. [1/h]

    Raises
    ------
    InputError
        If the current is negative or the capacity not above zero.

    Examples
    --------
    >>> round(float(charger_fraction(100.0, capacity_Ah=490.0)), 2)
    0.2
    """
    return at_least_zero("charger_A", charger_A) / positive("capacity_Ah", capacity_Ah)


def recharge_bulk_h(
    removed_Ah: npt.ArrayLike,
    *,
    return_factor: npt.ArrayLike,
    charger_A: npt.ArrayLike,
    standing_A: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Least time to put a charge back while a standing load is fed.

    .. math:: t = \frac{Q \, k}{I_c - I_s}

    A lower bound: the absorption stage, in which the current tapers, is not included. Infinite
    where the standing load takes all the charger gives; zero where nothing was removed.

    Parameters
    ----------
    removed_Ah : float or array
        Charge :math:`Q` taken out of the bank. [Ah]
    return_factor : float or array
        Charge put back over charge taken out :math:`k`, one or more. [-]
    charger_A : float or array
        Current of the charger :math:`I_c`. [A]
    standing_A : float or array, default 0
        Load fed at the same time :math:`I_s`. [A]

    Returns
    -------
    float or array
        Least time, infinite if the charger cannot gain on the load. [h]

    Raises
    ------
    InputError
        If a current or charge is negative, or the return factor below one.

    Examples
    --------
    >>> t = recharge_bulk_h(245.0, return_factor=1.2, charger_A=100.0, standing_A=11.3)
    >>> round(float(t), 1)
    3.3
    """
    put_back = at_least_zero("removed_Ah", removed_Ah) * _return_factor(return_factor)
    net = at_least_zero("charger_A", charger_A) - at_least_zero("standing_A", standing_A)
    gains = net > 0
    hours = np.where(gains, put_back / np.where(gains, net, 1.0), np.inf)
    result: Floats = np.where(put_back == 0, 0.0, hours)[()]
    return result


def charger_for_time_A(
    removed_Ah: npt.ArrayLike,
    *,
    return_factor: npt.ArrayLike,
    time_h: npt.ArrayLike,
    standing_A: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Charger current that puts a charge back in a stated time while a standing load is fed.

    .. math:: I_c = \frac{Q \, k}{t} + I_s

    Parameters
    ----------
    removed_Ah : float or array
        Charge :math:`Q` taken out of the bank. [Ah]
    return_factor : float or array
        Charge put back over charge taken out :math:`k`, one or more. [-]
    time_h : float or array
        Time :math:`t` allowed, absorption not included. [h]
    standing_A : float or array, default 0
        Load fed at the same time :math:`I_s`. [A]

    Returns
    -------
    float or array
        Current of the charger. [A]

    Raises
    ------
    InputError
        If the time is not above zero, a current or charge is negative, or the return factor is
        below one.

    Examples
    --------
    >>> I = charger_for_time_A(171.0, return_factor=1.15, time_h=8.0, standing_A=143.0)
    >>> round(float(I), 2)
    167.58
    """
    put_back = at_least_zero("removed_Ah", removed_Ah) * _return_factor(return_factor)
    return put_back / positive("time_h", time_h) + at_least_zero("standing_A", standing_A)
