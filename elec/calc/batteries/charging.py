"""Charging a bank: rates, the least time it takes, what a source must give.

Times are to the end of the bulk stage and so lower bounds: the absorption that follows takes
hours that depend on the battery, and is never promised.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, finite, positive, up_to_one, within
from elec.errors import InputError

__all__ = [
    "charger_for_time_A",
    "charger_fraction",
    "converter_input_A",
    "hold_hours_per_day_h",
    "recharge_bulk_h",
    "setpoint_V",
    "solar_charge_Ah",
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
    r"""Charging current as a fraction of the capacity of the bank [1/h].

    .. math:: f = I / C

    Parameters
    ----------
    charger_A : float or array
        Current of the charger. [A]
    capacity_Ah : float or array
        Rated capacity of the bank, usually at the 20-hour rate. [Ah]

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
    r"""Least time to put a charge back while a standing load is fed [h].

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
    r"""Charger current that puts a charge back in a stated time while a standing load is fed [A].

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

    Examples
    --------
    >>> I = charger_for_time_A(171.0, return_factor=1.15, time_h=8.0, standing_A=143.0)
    >>> round(float(I), 2)
    167.58
    """
    put_back = at_least_zero("removed_Ah", removed_Ah) * _return_factor(return_factor)
    return put_back / positive("time_h", time_h) + at_least_zero("standing_A", standing_A)


def hold_hours_per_day_h(
    daily_Ah: npt.ArrayLike, *, return_factor: npt.ArrayLike, charger_A: npt.ArrayLike
) -> Floats:
    r"""Hours a day that a generator with its charger must run to hold a bank where it is.

    While it runs it also feeds the average load :math:`I = Q/24`; the bank carries the rest of
    the day, and that charge is put back with its losses:

    .. math:: t = \frac{24 \, I \, k}{I_c - I + I \, k}

    A lower bound, as :func:`recharge_bulk_h`: held low, a bank takes the full current; near full
    it does not.

    Parameters
    ----------
    daily_Ah : float or array
        Charge used in a day :math:`Q`. [Ah]
    return_factor : float or array
        Charge put back over charge taken out :math:`k`, one or more. [-]
    charger_A : float or array
        Current of the charger :math:`I_c`. [A]

    Returns
    -------
    float or array
        Least hours a day, infinite if all day is not enough. [h]
    """
    load = at_least_zero("daily_Ah", daily_Ah) / 24.0
    put_back = load * _return_factor(return_factor)
    charger = at_least_zero("charger_A", charger_A)
    enough = charger >= load
    whole = np.where(enough, charger - load + put_back, 1.0)
    hours = np.where(enough, 24.0 * put_back / np.where(whole > 0, whole, 1.0), np.inf)
    result: Floats = np.where(load == 0, 0.0, hours)[()]
    return result


def converter_input_A(
    output_A: npt.ArrayLike,
    *,
    output_V: npt.ArrayLike,
    input_V: npt.ArrayLike,
    efficiency: npt.ArrayLike,
) -> Floats:
    r"""Find the current a converter draws from the source before it [A].

    .. math:: I_1 = \frac{I_2 V_2}{V_1 \, \eta}

    Parameters
    ----------
    output_A : float or array
        Current given :math:`I_2`. [A]
    output_V : float or array
        Voltage on the output side :math:`V_2`. [V]
    input_V : float or array
        Voltage on the input side :math:`V_1`. [V]
    efficiency : float or array
        Power out over power in :math:`\eta`, above 0, at most 1. [-]

    Examples
    --------
    >>> I = converter_input_A(20.0, output_V=28.0, input_V=13.8, efficiency=0.88)
    >>> round(float(I), 1)
    46.1
    """
    share = up_to_one("efficiency", efficiency)
    power_W = at_least_zero("output_A", output_A) * positive("output_V", output_V)
    return power_W / (positive("input_V", input_V) * share)


def solar_charge_Ah(
    rated_W: npt.ArrayLike,
    *,
    peak_sun_h: npt.ArrayLike,
    system_fraction: npt.ArrayLike,
    voltage_V: npt.ArrayLike,
) -> Floats:
    r"""Charge that solar panels give in a day [Ah].

    .. math:: Q = P \, H \, f / V

    Panels are rated at 1 kW/m², so a day of :math:`H` kWh/m² counts as :math:`H` hours. With a
    clear-sky figure the result is an upper bound even before the fraction.

    Parameters
    ----------
    rated_W : float or array
        Rated power of the panels :math:`P`. [W]
    peak_sun_h : float or array
        Irradiation of the day in the plane of the panels, kWh/m² :math:`H`. [h]
    system_fraction : float or array
        What is left after shade, heat, dirt, angle and regulator :math:`f`, 0 to 1. [-]
    voltage_V : float or array
        Voltage of the bank :math:`V`. [V]

    Examples
    --------
    >>> Q = solar_charge_Ah(350.0, peak_sun_h=4.5, system_fraction=0.70, voltage_V=24.0)
    >>> round(float(Q), 1)
    45.9
    """
    return (
        at_least_zero("rated_W", rated_W)
        * within("peak_sun_h", peak_sun_h, 0.0, 24.0)
        * within("system_fraction", system_fraction, 0.0, 1.0)
        / positive("voltage_V", voltage_V)
    )


def setpoint_V(
    reference_V: npt.ArrayLike,
    *,
    cells: npt.ArrayLike,
    slope_V_per_K: npt.ArrayLike,
    temperature_C: npt.ArrayLike,
    reference_temperature_C: npt.ArrayLike,
    coldest_C: float,
    warmest_C: float,
) -> Floats:
    r"""Charging voltage set for the temperature of the battery [V].

    .. math:: V = V_0 + n \, s \, (T - T_0)

    Below the coldest and above the warmest temperature for which the maker lets the voltage
    follow, it stays where it is there: the temperature is held to that range.

    Parameters
    ----------
    reference_V : float or array
        Voltage of the bank at the reference temperature :math:`V_0`. [V]
    cells : float or array
        Cells in series :math:`n`. [-]
    slope_V_per_K : float or array
        Change for each cell :math:`s`, zero or negative. [V/K]
    temperature_C : float or array
        Temperature of the battery :math:`T`. [°C]
    reference_temperature_C : float or array
        Temperature the reference voltage holds for :math:`T_0`. [°C]
    coldest_C : float
        Coldest temperature the voltage follows, below the warmest. [°C]
    warmest_C : float
        Warmest temperature the voltage follows. [°C]

    Examples
    --------
    >>> V = setpoint_V(13.4, cells=6, slope_V_per_K=-0.005, temperature_C=30.0,
    ...                reference_temperature_C=25.0, coldest_C=0.0, warmest_C=50.0)
    >>> round(float(V), 2)
    13.25
    """
    slope = finite("slope_V_per_K", slope_V_per_K)
    if np.any(slope > 0):
        raise InputError(
            f"slope_V_per_K: {np.max(slope):g} was given.",
            remedy="Accepted: zero or negative; charging voltage falls with warmth.",
        )
    if coldest_C >= warmest_C:
        raise InputError(
            f"coldest_C: {coldest_C:g} is not below warmest_C ({warmest_C:g}).",
            remedy="Give the range of temperature from the maker of the battery.",
        )
    followed = np.clip(finite("temperature_C", temperature_C), coldest_C, warmest_C)
    warmer = followed - finite("reference_temperature_C", reference_temperature_C)
    return positive("reference_V", reference_V) + positive("cells", cells) * slope * warmer
