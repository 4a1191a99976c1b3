"""Banks at rest: capacity, the effect of rate, and how long a load is carried.

Capacity is always stated with the hour rate it holds for. A temperature size factor is the number
by which a *required* size is multiplied in the cold (above one), so capacity is divided by it.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, up_to_one, within
from elec.errors import InputError

__all__ = [
    "EXPONENT_HIGHEST",
    "EXPONENT_LOWEST",
    "autonomy_h",
    "bank_capacity_Ah",
    "bank_needed_Ah",
    "charge_from_energy_Ah",
    "daily_charge_Ah",
    "exponent_from_reserve",
    "peukert_capacity_Ah",
    "peukert_capacity_in_Ah",
    "peukert_capacity_needed_Ah",
    "peukert_exponent",
    "peukert_time_h",
    "restraint_pull_N",
    "usable_Ah",
]

Floats = npt.NDArray[np.float64]

# Below 1 a battery would give more the harder it is worked; 1.6 is the upper end of the widest
# range published for flooded lead-acid by type. Two tests that give anything else do not belong
# to one battery.
EXPONENT_LOWEST = 1.0
EXPONENT_HIGHEST = 1.6

STANDARD_GRAVITY_M_PER_S2 = 9.80665  # by definition, CGPM 1901


def _exponent(value: npt.ArrayLike) -> Floats:
    return within("exponent", value, EXPONENT_LOWEST, EXPONENT_HIGHEST)


def bank_capacity_Ah(unit_capacity_Ah: npt.ArrayLike, *, strings: npt.ArrayLike) -> Floats:
    r"""Capacity of a bank of like units: parallel strings add, units in series do not [Ah].

    .. math:: C = n_\text{strings} \, C_\text{unit}

    Parameters
    ----------
    unit_capacity_Ah : float or array
        Capacity of one cell or block at a stated hour rate. [Ah]
    strings : int or array
        Number of strings in parallel, whole. [-]

    Examples
    --------
    >>> float(bank_capacity_Ah(105.0, strings=4))
    420.0
    """
    capacity = positive("unit_capacity_Ah", unit_capacity_Ah)
    number = positive("strings", strings)
    if np.any(number != np.floor(number)):
        raise InputError(
            f"strings: {strings!r} was given.", remedy="Accepted: a whole number, one or more."
        )
    return capacity * number


def daily_charge_Ah(
    current_A: npt.ArrayLike, *, duty: npt.ArrayLike = 1.0, hours_h: npt.ArrayLike
) -> Floats:
    r"""Charge that a load takes while it is in use [Ah].

    .. math:: Q = I \, d \, t

    Parameters
    ----------
    current_A : float or array
        Current while the load runs. [A]
    duty : float or array, default 1
        Fraction of the hours for which it runs, 0 to 1. [-]
    hours_h : float or array
        Hours for which it is in use, in a day 24 at most. [h]

    Examples
    --------
    >>> round(float(daily_charge_Ah(5.0, duty=0.30, hours_h=24.0)), 6)
    36.0
    """
    return (
        at_least_zero("current_A", current_A)
        * within("duty", duty, 0.0, 1.0)
        * at_least_zero("hours_h", hours_h)
    )


def charge_from_energy_Ah(
    energy_Wh: npt.ArrayLike, *, voltage_V: npt.ArrayLike, efficiency: npt.ArrayLike = 1.0
) -> Floats:
    r"""Charge drawn from a bank to deliver an energy, through a converter if there is one [Ah].

    .. math:: Q = \frac{E}{V \, \eta}

    Parameters
    ----------
    energy_Wh : float or array
        Energy delivered to the load. [Wh]
    voltage_V : float or array
        Voltage of the bank. [V]
    efficiency : float or array, default 1
        Delivered over drawn, of the inverter or converter between; above 0, at most 1. [-]

    Examples
    --------
    >>> round(float(charge_from_energy_Ah(2000.0, voltage_V=12.0)), 2)
    166.67
    """
    return at_least_zero("energy_Wh", energy_Wh) / (
        positive("voltage_V", voltage_V) * up_to_one("efficiency", efficiency)
    )


def peukert_capacity_Ah(
    capacity_Ah: npt.ArrayLike,
    *,
    rate_h: npt.ArrayLike,
    current_A: npt.ArrayLike,
    exponent: npt.ArrayLike,
) -> Floats:
    r"""Charge a bank gives at a steady current, by Peukert's relation for an hour rate [Ah].

    .. math:: Q(I) = C_H \left(\frac{\max(I, C_H/H)}{C_H/H}\right)^{1-k}

    Below the rated current :math:`C_H/H` the rated capacity is returned: makers promise no more.
    The relation holds for one temperature, from about the 20-hour to the one-hour rate.

    Parameters
    ----------
    capacity_Ah : float or array
        Rated capacity :math:`C_H` at the hour rate. [Ah]
    rate_h : float or array
        Hour rate :math:`H` of that capacity, usually 20. [h]
    current_A : float or array
        Steady discharge current :math:`I`. [A]
    exponent : float or array
        Peukert exponent :math:`k`, 1 to 1.6. [-]

    References
    ----------
    W. Peukert, Elektrotechnische Zeitschrift 20, 1897 (the relation; the capacity-hour form is
    an identity of it).

    Examples
    --------
    >>> round(float(peukert_capacity_Ah(100.0, rate_h=20.0, current_A=20.0, exponent=1.2)), 2)
    75.79
    """
    capacity = positive("capacity_Ah", capacity_Ah)
    rated_A = capacity / positive("rate_h", rate_h)
    ratio = np.maximum(at_least_zero("current_A", current_A) / rated_A, 1.0)
    return capacity * ratio ** (1.0 - _exponent(exponent))


def peukert_capacity_needed_Ah(
    charge_Ah: npt.ArrayLike,
    *,
    current_A: npt.ArrayLike,
    rate_h: npt.ArrayLike,
    exponent: npt.ArrayLike,
) -> Floats:
    r"""Rated capacity that gives a charge at a steady current, by Peukert's relation [Ah].

    .. math:: C_H = Q \, \max\!\left(\frac{I H}{Q}, 1\right)^{(k-1)/k}

    The inverse of :func:`peukert_capacity_Ah`.

    Parameters
    ----------
    charge_Ah : float or array
        Charge to be given :math:`Q`. [Ah]
    current_A : float or array
        Steady discharge current :math:`I`, above zero. [A]
    rate_h : float or array
        Hour rate :math:`H` of the capacity, usually 20. [h]
    exponent : float or array
        Peukert exponent :math:`k`, 1 to 1.6. [-]
    """
    charge = at_least_zero("charge_Ah", charge_Ah)
    current = positive("current_A", current_A)
    hours = positive("rate_h", rate_h)
    power = 1.0 - 1.0 / _exponent(exponent)
    needed: Floats = np.maximum(charge, charge ** (1.0 - power) * (current * hours) ** power)[()]
    return needed


def peukert_capacity_in_Ah(
    capacity_Ah: npt.ArrayLike,
    *,
    rate_h: npt.ArrayLike,
    time_h: npt.ArrayLike,
    exponent: npt.ArrayLike,
) -> Floats:
    r"""Charge a bank gives when it is emptied at a steady current in a stated time [Ah].

    .. math:: Q(t) = C_H \left(\frac{\min(t, H)}{H}\right)^{1 - 1/k}

    Not the same as the capacity at the current :math:`C_H/t`, which is larger than the current
    that empties the bank in :math:`t`. For times above :math:`H` the rated capacity is returned.

    Parameters
    ----------
    capacity_Ah : float or array
        Rated capacity :math:`C_H` at the hour rate. [Ah]
    rate_h : float or array
        Hour rate :math:`H` of that capacity. [h]
    time_h : float or array
        Time :math:`t` in which it is emptied. [h]
    exponent : float or array
        Peukert exponent :math:`k`, 1 to 1.6. [-]

    Examples
    --------
    >>> round(float(peukert_capacity_in_Ah(100.0, rate_h=20.0, time_h=1.0, exponent=1.2)), 1)
    60.7
    """
    share = np.minimum(positive("time_h", time_h) / positive("rate_h", rate_h), 1.0)
    return positive("capacity_Ah", capacity_Ah) * share ** (1.0 - 1.0 / _exponent(exponent))


def peukert_time_h(
    capacity_Ah: npt.ArrayLike,
    *,
    rate_h: npt.ArrayLike,
    current_A: npt.ArrayLike,
    exponent: npt.ArrayLike,
) -> Floats:
    r"""Time for which a full bank carries a steady current, by Peukert's relation [h].

    .. math:: t = Q(I) / I

    with :math:`Q(I)` of :func:`peukert_capacity_Ah`, so that :math:`t = H (C_H / I H)^k` at and
    above the rated current and :math:`C_H/I` below it.

    Parameters
    ----------
    capacity_Ah : float or array
        Rated capacity at the hour rate. [Ah]
    rate_h : float or array
        Hour rate of that capacity. [h]
    current_A : float or array
        Steady discharge current, above zero. [A]
    exponent : float or array
        Peukert exponent, 1 to 1.6. [-]

    Examples
    --------
    >>> round(float(peukert_time_h(250.0, rate_h=20.0, current_A=20.0, exponent=1.3)), 3)
    10.856
    """
    current = positive("current_A", current_A)
    return (
        peukert_capacity_Ah(capacity_Ah, rate_h=rate_h, current_A=current, exponent=exponent)
        / current
    )


def peukert_exponent(
    current_A: npt.ArrayLike,
    *,
    time_h: npt.ArrayLike,
    other_current_A: npt.ArrayLike,
    other_time_h: npt.ArrayLike,
) -> Floats:
    r"""Peukert exponent from two discharges of one battery at different steady currents [-].

    .. math:: k = \frac{\ln(t_2/t_1)}{\ln(I_1/I_2)}

    Parameters
    ----------
    current_A : float or array
        Current :math:`I_1` of the one test. [A]
    time_h : float or array
        Time :math:`t_1` it was carried. [h]
    other_current_A : float or array
        Current :math:`I_2` of the other test; must differ. [A]
    other_time_h : float or array
        Time :math:`t_2` it was carried. [h]

    Raises
    ------
    InputError
        If the exponent falls outside 1..1.6: the figures are not of one healthy lead-acid battery.

    Examples
    --------
    >>> k = peukert_exponent(25.0, time_h=447 / 60, other_current_A=225 / 20, other_time_h=20.0)
    >>> round(float(k), 4)
    1.2367
    """
    first, second = positive("current_A", current_A), positive("other_current_A", other_current_A)
    if np.any(first == second):
        raise InputError(
            "current_A and other_current_A are equal, so they say nothing of the effect of rate.",
            remedy="Give two tests at different currents, for example 20 h and 5 h ratings.",
        )
    times = positive("other_time_h", other_time_h) / positive("time_h", time_h)
    exponent = np.log(times) / np.log(first / second)
    bad = (exponent < EXPONENT_LOWEST) | (exponent > EXPONENT_HIGHEST)
    if np.any(bad):
        raise InputError(
            f"exponent: the two tests give {exponent[bad].flat[0]:.3g}, "
            f"outside {EXPONENT_LOWEST:g}..{EXPONENT_HIGHEST:g}.",
            remedy="One of the figures is wrong or of another battery: read both again.",
        )
    return exponent


def exponent_from_reserve(
    reserve_min: npt.ArrayLike,
    *,
    reserve_current_A: npt.ArrayLike,
    capacity_Ah: npt.ArrayLike,
    rate_h: npt.ArrayLike,
) -> Floats:
    r"""Peukert exponent from reserve capacity (minutes at a stated current) and an hour rating [-].

    .. math:: k = \frac{\ln(H / t_R)}{\ln(I_R H / C_H)}

    Parameters
    ----------
    reserve_min : float or array
        Reserve capacity :math:`t_R`. [min]
    reserve_current_A : float or array
        Current at which reserve capacity is stated, :math:`I_R`. [A]
    capacity_Ah : float or array
        Rated capacity :math:`C_H`. [Ah]
    rate_h : float or array
        Hour rate :math:`H` of that capacity. [h]

    Raises
    ------
    InputError
        If the exponent falls outside 1..1.6, which shows a misread plate.

    Examples
    --------
    >>> k = exponent_from_reserve(375.0, reserve_current_A=25.0, capacity_Ah=180.0, rate_h=20.0)
    >>> round(float(k), 4)
    1.1385
    """
    hours = positive("rate_h", rate_h)
    return peukert_exponent(
        reserve_current_A,
        time_h=positive("reserve_min", reserve_min) / 60.0,
        other_current_A=positive("capacity_Ah", capacity_Ah) / hours,
        other_time_h=hours,
    )


def usable_Ah(
    capacity_Ah: npt.ArrayLike,
    *,
    usable_fraction: npt.ArrayLike,
    remaining_fraction: npt.ArrayLike = 1.0,
    temperature_size_factor: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Charge that may be drawn from a bank, its age and the cold considered [Ah].

    .. math:: Q = \frac{C \, r \, u}{f_T}

    Parameters
    ----------
    capacity_Ah : float or array
        Capacity :math:`C` when new, at the rate of the load. [Ah]
    usable_fraction : float or array
        Depth :math:`u` to which it may be discharged, above 0, at most 1. [-]
    remaining_fraction : float or array, default 1
        Capacity :math:`r` left by age and use, as a fraction of new, 0 to 1. [-]
    temperature_size_factor : float or array, default 1
        Factor :math:`f_T` by which a size is multiplied at the electrolyte temperature. [-]

    Examples
    --------
    >>> float(usable_Ah(490.0, usable_fraction=0.5))
    245.0
    """
    return (
        positive("capacity_Ah", capacity_Ah)
        * within("remaining_fraction", remaining_fraction, 0.0, 1.0)
        * up_to_one("usable_fraction", usable_fraction)
        / positive("temperature_size_factor", temperature_size_factor)
    )


def autonomy_h(
    capacity_Ah: npt.ArrayLike,
    *,
    current_A: npt.ArrayLike,
    usable_fraction: npt.ArrayLike,
    remaining_fraction: npt.ArrayLike = 1.0,
    temperature_size_factor: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Time for which the usable part of a bank carries an average load, nothing charging it.

    .. math:: t = \frac{C \, r \, u}{f_T \, I}

    The capacity is taken as given: at loads above its rated current put in the capacity from
    :func:`peukert_capacity_Ah`. A load of zero is carried for ever (infinity).

    Parameters
    ----------
    capacity_Ah : float or array
        Capacity :math:`C` when new, at the rate of the load. [Ah]
    current_A : float or array
        Average load :math:`I`, zero or more. [A]
    usable_fraction : float or array
        Depth :math:`u` to which it may be discharged, above 0, at most 1. [-]
    remaining_fraction : float or array, default 1
        Capacity :math:`r` left by age and use, as a fraction of new, 0 to 1. [-]
    temperature_size_factor : float or array, default 1
        Factor :math:`f_T` by which a size is multiplied at the electrolyte temperature. [-]

    Returns
    -------
    float or array
        Time to the usable limit, infinite without a load. [h]

    Examples
    --------
    >>> round(float(autonomy_h(490.0, current_A=271.8 / 24, usable_fraction=0.5)), 1)
    21.6
    """
    usable = usable_Ah(
        capacity_Ah,
        usable_fraction=usable_fraction,
        remaining_fraction=remaining_fraction,
        temperature_size_factor=temperature_size_factor,
    )
    current = at_least_zero("current_A", current_A)
    idle = current == 0
    hours: Floats = np.where(idle, np.inf, usable / np.where(idle, 1.0, current))[()]
    return hours


def bank_needed_Ah(
    daily_Ah: npt.ArrayLike,
    *,
    days: npt.ArrayLike,
    usable_fraction: npt.ArrayLike,
    remaining_fraction: npt.ArrayLike = 1.0,
    temperature_size_factor: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Rated capacity that carries a daily charge for some days, the trade's daily form [Ah].

    .. math:: C = \frac{Q_\text{day} \, D \, f_T}{u \, r}

    Parameters
    ----------
    daily_Ah : float or array
        Charge used in a day :math:`Q_\text{day}`. [Ah]
    days : float or array
        Days :math:`D` without charging. [d]
    usable_fraction : float or array
        Depth :math:`u` to which the bank may be discharged, above 0, at most 1. [-]
    remaining_fraction : float or array, default 1
        Capacity :math:`r` still there when it matters, as a fraction of new, above 0. [-]
    temperature_size_factor : float or array, default 1
        Factor :math:`f_T` by which a size is multiplied at the electrolyte temperature. [-]

    Examples
    --------
    >>> float(bank_needed_Ah(500.0, days=1.0, usable_fraction=0.5, temperature_size_factor=1.65))
    1650.0
    """
    return (
        at_least_zero("daily_Ah", daily_Ah)
        * at_least_zero("days", days)
        * positive("temperature_size_factor", temperature_size_factor)
        / (
            up_to_one("usable_fraction", usable_fraction)
            * up_to_one("remaining_fraction", remaining_fraction)
        )
    )


def restraint_pull_N(
    mass_kg: npt.ArrayLike, *, weight_multiple: npt.ArrayLike, most_N: npt.ArrayLike
) -> Floats:
    r"""Pull that a battery's restraint must stand: a multiple of its weight, up to a limit [N].

    .. math:: F = \min(F_\text{most}, \; n \, m \, g)

    Parameters
    ----------
    mass_kg : float or array
        Mass of the battery :math:`m`. [kg]
    weight_multiple : float or array
        Multiple :math:`n` of its weight that the rule asks for. [-]
    most_N : float or array
        Limit :math:`F_\text{most}` of the rule. [N]
    """
    weight = positive("mass_kg", mass_kg) * STANDARD_GRAVITY_M_PER_S2
    return np.minimum(
        positive("most_N", most_N), positive("weight_multiple", weight_multiple) * weight
    )
