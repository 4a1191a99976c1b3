"""Metal lost to a current and current shown by lost metal, by Faraday's law.

Only direct current is meant. Metal is lost where current leaves it for the water. Alternating
leakage is a shock hazard first and must not be put through these functions.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within

__all__ = [
    "FARADAY_C_PER_MOL",
    "HOURS_PER_YEAR",
    "current_density_A_per_m2",
    "mass_loss_kg",
    "mass_rate_kg_per_year",
    "penetration_mm_per_year",
]

Floats = npt.NDArray[np.float64]

FARADAY_C_PER_MOL = 96485.33212  # CODATA 2018, exact since the SI of 2019
HOURS_PER_YEAR = 8760.0  # 365 days; the year that DNV-RP-B401 and the ABS guidance notes design by
_SECONDS_PER_HOUR = 3600.0


def mass_loss_kg(
    current_A: npt.ArrayLike,
    *,
    time_h: npt.ArrayLike,
    equivalent_weight_g: npt.ArrayLike,
    efficiency: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Mass that a steady direct current takes off the metal it leaves [kg].

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
    r"""Mass that a steady direct current takes in a year of 8760 h [kg/year].

    .. math:: \dot m = I \, EW \, t_\text{year} / F

    Parameters
    ----------
    current_A : float or array
        Current leaving the metal into the water. [A]
    equivalent_weight_g : float or array
        Equivalent weight. [g]

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
    r"""Even loss of thickness in a year of 8760 h; pits go several times deeper [mm/year].

    .. math:: CR = \frac{i \, t_\text{year} \, EW}{F \, \rho}

    Parameters
    ----------
    current_density_A_per_m2 : float or array
        Current density :math:`i` leaving the metal. [A/m²]
    equivalent_weight_g : float or array
        Equivalent weight :math:`EW`. [g]
    density_g_per_cm3 : float or array
        Density :math:`\rho`. [g/cm³]

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
    r"""Give the current density that an even loss of thickness stands for [A/m²].

    .. math:: i = \frac{CR \, F \, \rho}{t_\text{year} \, EW}

    Parameters
    ----------
    rate_mm_per_year : float or array
        Loss of thickness in a year of 8760 h. [mm/year]
    equivalent_weight_g : float or array
        Equivalent weight. [g]
    density_g_per_cm3 : float or array
        Density. [g/cm³]

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
