"""Metal lost to a current and current shown by lost metal, by Faraday's law.

Only direct current is meant. Metal is lost where current leaves it for the water. Alternating
leakage is a shock hazard first and must not be put through these functions.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within
from elec.errors import InputError

__all__ = [
    "FARADAY_C_PER_MOL",
    "HOURS_PER_YEAR",
    "alloy_equivalent_weight_g",
    "capacity_Ah_per_kg",
    "consumption_kg_per_A_year",
    "coupon_rate_mm_per_year",
    "current_density_A_per_m2",
    "equivalent_weight_g",
    "mass_loss_kg",
    "mass_rate_kg_per_year",
    "penetration_mm_per_year",
]

Floats = npt.NDArray[np.float64]

FARADAY_C_PER_MOL = 96485.33212  # CODATA 2018, exact since the SI of 2019
HOURS_PER_YEAR = 8760.0  # 365 days; the year that DNV-RP-B401 and the ABS guidance notes design by
_SECONDS_PER_HOUR = 3600.0


def equivalent_weight_g(molar_mass_g_per_mol: npt.ArrayLike, *, valence: npt.ArrayLike) -> Floats:
    r"""Mass of a metal that goes with one mole of electrons.

    .. math:: EW = M / n

    In chloride water copper dissolves mainly with valence 1, which doubles its loss.

    Parameters
    ----------
    molar_mass_g_per_mol : float or array
        Molar mass :math:`M`. [g/mol]
    valence : float or array
        Charge :math:`n` of the ion that leaves. [-]

    Returns
    -------
    float or array
        Equivalent weight. [g]

    Raises
    ------
    InputError
        If a value is not above zero.

    Examples
    --------
    >>> float(equivalent_weight_g(63.546, valence=2))
    31.773
    """
    weight = positive("molar_mass_g_per_mol", molar_mass_g_per_mol) / positive("valence", valence)
    return weight[()]


def alloy_equivalent_weight_g(
    mass_fractions: npt.ArrayLike,
    *,
    molar_masses_g_per_mol: npt.ArrayLike,
    valences: npt.ArrayLike,
) -> Floats:
    r"""Equivalent weight of an alloy whose elements dissolve in proportion.

    .. math:: EW = \frac{\sum_i f_i}{\sum_i n_i f_i / W_i}

    The fractions are those of the elements counted; minor elements may be left out, and the sum
    is then taken as the whole.

    Parameters
    ----------
    mass_fractions : array
        Mass fractions :math:`f_i` along the last axis, adding up to 0.9 to 1. [-]
    molar_masses_g_per_mol : array
        Molar masses :math:`W_i`. [g/mol]
    valences : array
        Charges :math:`n_i` of the ions. [-]

    Returns
    -------
    float or array
        Equivalent weight. [g]

    Raises
    ------
    InputError
        If a value is not above zero or the fractions do not add up to about one.

    References
    ----------
    ASTM G102, calculation of corrosion rates from electrochemical measurements.

    Examples
    --------
    Stainless 304 counted as 19 Cr, 9.25 Ni, 71.75 Fe:

    >>> ew = alloy_equivalent_weight_g(
    ...     [0.19, 0.0925, 0.7175],
    ...     molar_masses_g_per_mol=[51.996, 58.693, 55.845],
    ...     valences=[3, 2, 2],
    ... )
    >>> round(float(ew), 2)
    25.12
    """
    fractions = positive("mass_fractions", mass_fractions)
    total = fractions.sum(axis=-1)
    if np.any((total < 0.9) | (total > 1.0 + 1e-9)):
        raise InputError(
            f"mass_fractions: a sum of {float(np.asarray(total).flat[0]):g} was given.",
            remedy="Accepted: fractions of the elements counted that add up to 0.9 to 1.",
        )
    electrons_per_g = positive("valences", valences) / positive(
        "molar_masses_g_per_mol", molar_masses_g_per_mol
    )
    weight: Floats = total / (fractions * electrons_per_g).sum(axis=-1)
    return weight[()]


def mass_loss_kg(
    current_A: npt.ArrayLike,
    *,
    time_h: npt.ArrayLike,
    equivalent_weight_g: npt.ArrayLike,
    efficiency: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Mass that a steady direct current takes off the metal it leaves.

    .. math:: m = \eta \, \frac{I \, t \, EW}{F}

    Parameters
    ----------
    current_A : float or array
        Current :math:`I` leaving the metal into the water. [A]
    time_h : float or array
        Duration :math:`t`. [h]
    equivalent_weight_g : float or array
        Equivalent weight :math:`EW`. [g]
    efficiency : float or array, default 1
        Share :math:`\eta` of the current that dissolves metal, 0 to 1. [-]

    Returns
    -------
    float or array
        Mass lost. [kg]

    Raises
    ------
    InputError
        If a value is negative or not finite, or the efficiency is above one.

    References
    ----------
    Faraday's laws of electrolysis.

    Examples
    --------
    0.1 A leaving bronze for 30 days, counted as copper with valence 1:

    >>> round(float(mass_loss_kg(0.1, time_h=720.0, equivalent_weight_g=63.546)), 4)
    0.1707
    """
    charge_C = at_least_zero("current_A", current_A) * (
        at_least_zero("time_h", time_h) * _SECONDS_PER_HOUR
    )
    weight_kg = positive("equivalent_weight_g", equivalent_weight_g) / 1000.0
    share = within("efficiency", efficiency, 0.0, 1.0)
    return (share * charge_C * weight_kg / FARADAY_C_PER_MOL)[()]


def mass_rate_kg_per_year(
    current_A: npt.ArrayLike, *, equivalent_weight_g: npt.ArrayLike
) -> Floats:
    r"""Mass that a steady direct current takes in a year of 8760 h.

    .. math:: \dot m = I \, EW \, t_\text{year} / F

    Parameters
    ----------
    current_A : float or array
        Current leaving the metal into the water. [A]
    equivalent_weight_g : float or array
        Equivalent weight. [g]

    Returns
    -------
    float or array
        Mass lost in a year. [kg/year]

    Raises
    ------
    InputError
        If the current is negative or the equivalent weight not above zero.

    Examples
    --------
    >>> round(float(mass_rate_kg_per_year(1.0, equivalent_weight_g=27.922)), 3)
    9.126
    """
    return mass_loss_kg(current_A, time_h=HOURS_PER_YEAR, equivalent_weight_g=equivalent_weight_g)


def penetration_mm_per_year(
    current_density_A_per_m2: npt.ArrayLike,
    *,
    equivalent_weight_g: npt.ArrayLike,
    density_g_per_cm3: npt.ArrayLike,
) -> Floats:
    r"""Even loss of thickness at a current density; pits go several times deeper.

    .. math:: CR = \frac{i \, t_\text{year} \, EW}{F \, \rho}

    Parameters
    ----------
    current_density_A_per_m2 : float or array
        Current density :math:`i` leaving the metal. [A/m²]
    equivalent_weight_g : float or array
        Equivalent weight :math:`EW`. [g]
    density_g_per_cm3 : float or array
        Density :math:`\rho`. [g/cm³]

    Returns
    -------
    float or array
        Loss of thickness in a year of 8760 h. [mm/year]

    Raises
    ------
    InputError
        If the current density is negative, or another value is not above zero.

    References
    ----------
    ASTM G102 (prints the same as 3.27e-3 times µA/cm², rounded).

    Examples
    --------
    >>> rate = penetration_mm_per_year(1.0, equivalent_weight_g=8.994, density_g_per_cm3=2.70)
    >>> round(float(rate), 3)
    1.089
    """
    density = at_least_zero("current_density_A_per_m2", current_density_A_per_m2)
    return (density * _mm_per_year_per_A_per_m2(equivalent_weight_g, density_g_per_cm3))[()]


def current_density_A_per_m2(
    rate_mm_per_year: npt.ArrayLike,
    *,
    equivalent_weight_g: npt.ArrayLike,
    density_g_per_cm3: npt.ArrayLike,
) -> Floats:
    r"""Give the current density that an even loss of thickness stands for.

    .. math:: i = \frac{CR \, F \, \rho}{t_\text{year} \, EW}

    Parameters
    ----------
    rate_mm_per_year : float or array
        Loss of thickness in a year of 8760 h. [mm/year]
    equivalent_weight_g : float or array
        Equivalent weight. [g]
    density_g_per_cm3 : float or array
        Density. [g/cm³]

    Returns
    -------
    float or array
        Current density leaving the metal. [A/m²]

    Raises
    ------
    InputError
        If the rate is negative, or another value is not above zero.

    Examples
    --------
    >>> i = current_density_A_per_m2(0.1401, equivalent_weight_g=8.994, density_g_per_cm3=2.70)
    >>> round(float(i), 4)
    0.1287
    """
    rate = at_least_zero("rate_mm_per_year", rate_mm_per_year)
    return (rate / _mm_per_year_per_A_per_m2(equivalent_weight_g, density_g_per_cm3))[()]


def _mm_per_year_per_A_per_m2(
    equivalent_weight_g: npt.ArrayLike, density_g_per_cm3: npt.ArrayLike
) -> Floats:
    weight = positive("equivalent_weight_g", equivalent_weight_g)
    density = positive("density_g_per_cm3", density_g_per_cm3)
    cm_per_year = HOURS_PER_YEAR * _SECONDS_PER_HOUR * 1e-4 * weight / (FARADAY_C_PER_MOL * density)
    return 10.0 * cm_per_year


def coupon_rate_mm_per_year(
    mass_loss_kg: npt.ArrayLike,
    *,
    area_m2: npt.ArrayLike,
    time_h: npt.ArrayLike,
    density_g_per_cm3: npt.ArrayLike,
) -> Floats:
    r"""Even loss of thickness shown by a weighed loss.

    .. math:: CR = \frac{m}{\rho \, A} \, \frac{t_\text{year}}{t}

    Parameters
    ----------
    mass_loss_kg : float or array
        Mass lost :math:`m`. [kg]
    area_m2 : float or array
        Surface that lost it. [m²]
    time_h : float or array
        Duration. [h]
    density_g_per_cm3 : float or array
        Density. [g/cm³]

    Returns
    -------
    float or array
        Loss of thickness in a year of 8760 h. [mm/year]

    Raises
    ------
    InputError
        If the mass is negative, or another value is not above zero.

    Examples
    --------
    >>> rate = coupon_rate_mm_per_year(
    ...     0.787, area_m2=0.1, time_h=8760.0, density_g_per_cm3=7.87)
    >>> round(float(rate), 9)
    1.0
    """
    mass_g = at_least_zero("mass_loss_kg", mass_loss_kg) * 1000.0
    volume_cm3 = mass_g / positive("density_g_per_cm3", density_g_per_cm3)
    thickness_mm = volume_cm3 / (positive("area_m2", area_m2) * 1e4) * 10.0
    return (thickness_mm * HOURS_PER_YEAR / positive("time_h", time_h))[()]


def capacity_Ah_per_kg(equivalent_weight_g: npt.ArrayLike) -> Floats:
    r"""Charge in a kilogram of metal, all of it used; anodes in practice give less.

    .. math:: \varepsilon = F / EW

    Parameters
    ----------
    equivalent_weight_g : float or array
        Equivalent weight :math:`EW`. [g]

    Returns
    -------
    float or array
        Theoretical capacity. [Ah/kg]

    Raises
    ------
    InputError
        If the equivalent weight is not above zero.

    Examples
    --------
    >>> round(float(capacity_Ah_per_kg(32.69)))
    820
    """
    weight_kg = positive("equivalent_weight_g", equivalent_weight_g) / 1000.0
    return (FARADAY_C_PER_MOL / _SECONDS_PER_HOUR / weight_kg)[()]


def consumption_kg_per_A_year(capacity_Ah_per_kg: npt.ArrayLike) -> Floats:
    r"""Anode mass that one ampere uses in a year of 8760 h.

    .. math:: S = t_\text{year} / \varepsilon

    Parameters
    ----------
    capacity_Ah_per_kg : float or array
        Capacity :math:`\varepsilon` of the anode alloy. [Ah/kg]

    Returns
    -------
    float or array
        Consumption. [kg/(A·year)]

    Raises
    ------
    InputError
        If the capacity is not above zero.

    Examples
    --------
    >>> float(consumption_kg_per_A_year(1200.0))
    7.3
    """
    return (HOURS_PER_YEAR / positive("capacity_Ah_per_kg", capacity_Ah_per_kg))[()]
