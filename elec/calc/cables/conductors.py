r"""Copper runs: resistance, voltage drop by each formula in use, ampacity, temperature.

A run is two conductors; lengths are one way and the return is added here. Every drop is
:math:`I \cdot 2L \cdot R'`, and the formulas differ only in :math:`R'`, the ohms they give to a
metre of conductor: ``ohm_per_m_circular_mil``, ``ohm_per_m_metric``, ``ohm_per_m_physical``.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within
from elec.errors import InputError

__all__ = [
    "FOOT_M",
    "ambient_factor",
    "ampacity_A",
    "area_needed_cmil",
    "area_needed_mm2",
    "conductor_temperature_C",
    "drop_V",
    "drop_circular_mil_V",
    "drop_metric_V",
    "drop_physical_V",
    "ohm_per_m_circular_mil",
    "ohm_per_m_metric",
    "ohm_per_m_physical",
    "resistance_ohm",
]

Floats = npt.NDArray[np.float64]

FOOT_M = 0.3048  # exact by definition
_COLDEST_C, _HOTTEST_C = -60.0, 260.0  # where the straight line of resistance is used, our choice


def _temperature(value: npt.ArrayLike) -> Floats:
    return within("conductor_temp_C", value, _COLDEST_C, _HOTTEST_C)


# -- ohms of a metre ---------------------------------------------------------------------------


def ohm_per_m_circular_mil(area_cmil: npt.ArrayLike, *, k_ohm_cmil_per_ft: npt.ArrayLike) -> Floats:
    r"""Resistance that the circular-mil formula gives to a metre of conductor [ohm/m].

    .. math:: R' = \frac{K}{CM \cdot 0.3048}

    Parameters
    ----------
    area_cmil : float or array
        Metal area :math:`CM` of one conductor. [cmil]
    k_ohm_cmil_per_ft : float or array
        Constant :math:`K` of the formula. [ohm cmil/ft]

    References
    ----------
    ABYC E-11, conductor sizing formula, as republished.
    """
    k = positive("k_ohm_cmil_per_ft", k_ohm_cmil_per_ft)
    return (k / (FOOT_M * positive("area_cmil", area_cmil)))[()]


def ohm_per_m_metric(area_mm2: npt.ArrayLike, *, constant_ohm_mm2_per_m: npt.ArrayLike) -> Floats:
    r"""Resistance that the metric formula gives to a metre of conductor [ohm/m].

    .. math:: R' = c / S

    Parameters
    ----------
    area_mm2 : float or array
        Metal area :math:`S` of one conductor. [mm²]
    constant_ohm_mm2_per_m : float or array
        Constant :math:`c` of the formula. [ohm mm²/m]

    References
    ----------
    ISO 10133, annex on voltage drop, as republished.
    """
    constant = positive("constant_ohm_mm2_per_m", constant_ohm_mm2_per_m)
    return (constant / positive("area_mm2", area_mm2))[()]


def ohm_per_m_physical(
    ohm_per_km_20C: npt.ArrayLike,
    *,
    temperature_coefficient_per_K: npt.ArrayLike,
    conductor_temp_C: npt.ArrayLike,
) -> Floats:
    r"""Resistance of a metre of a real conductor at its temperature [ohm/m].

    .. math:: R' = \frac{R'_{20}}{1000} \, [1 + \alpha_{20} (T - 20)]

    Parameters
    ----------
    ohm_per_km_20C : float or array
        Resistance of a kilometre at 20 °C :math:`R'_{20}`. [ohm/km]
    temperature_coefficient_per_K : float or array
        Temperature coefficient :math:`\alpha_{20}`, referred to 20 °C. [1/K]
    conductor_temp_C : float or array
        Temperature of the metal :math:`T`, not of the air, -60 to 260. [°C]

    References
    ----------
    IEC 60228, annex on correction of resistance to 20 °C; IEC 60028.
    """
    cold = positive("ohm_per_km_20C", ohm_per_km_20C) / 1000.0
    return (cold * _warming(temperature_coefficient_per_K, conductor_temp_C))[()]


def _warming(
    temperature_coefficient_per_K: npt.ArrayLike, conductor_temp_C: npt.ArrayLike
) -> Floats:
    coefficient = within("temperature_coefficient_per_K", temperature_coefficient_per_K, 0, 0.01)
    return 1.0 + coefficient * (_temperature(conductor_temp_C) - 20.0)


def resistance_ohm(
    length_m: npt.ArrayLike,
    *,
    area_mm2: npt.ArrayLike,
    resistivity_20C_ohm_mm2_per_m: npt.ArrayLike,
    temperature_coefficient_per_K: npt.ArrayLike,
    conductor_temp_C: npt.ArrayLike,
) -> Floats:
    r"""Resistance of a length of conductor at its temperature [ohm].

    .. math:: R = \frac{\rho_{20} L}{S} \, [1 + \alpha_{20} (T - 20)]

    Parameters
    ----------
    length_m : float or array
        Length of conductor :math:`L`; for a run, out and back. [m]
    area_mm2 : float or array
        Metal area :math:`S`. [mm²]
    resistivity_20C_ohm_mm2_per_m : float or array
        Resistivity at 20 °C :math:`\rho_{20}`. [ohm mm²/m]
    temperature_coefficient_per_K : float or array
        Temperature coefficient :math:`\alpha_{20}`, referred to 20 °C. [1/K]
    conductor_temp_C : float or array
        Temperature of the metal :math:`T`, not of the air, -60 to 260. [°C]

    References
    ----------
    IEC 60028, resistance of annealed copper.

    Examples
    --------
    Standard annealed copper, 1 km of 1 mm² at 20 °C:

    >>> float(resistance_ohm(
    ...     1000.0, area_mm2=1.0, resistivity_20C_ohm_mm2_per_m=0.017241,
    ...     temperature_coefficient_per_K=0.00393, conductor_temp_C=20.0))
    17.241
    """
    rho = positive("resistivity_20C_ohm_mm2_per_m", resistivity_20C_ohm_mm2_per_m)
    cold = rho * positive("length_m", length_m) / positive("area_mm2", area_mm2)
    return (cold * _warming(temperature_coefficient_per_K, conductor_temp_C))[()]


# -- drop and its inverses ---------------------------------------------------------------------


def drop_V(
    current_A: npt.ArrayLike, *, length_one_way_m: npt.ArrayLike, ohm_per_m: npt.ArrayLike
) -> Floats:
    r"""Steady voltage drop of a two-wire run [V].

    .. math:: E = 2 \, I L R'

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`. [A]
    length_one_way_m : float or array
        Source to load :math:`L`; the return is added here. [m]
    ohm_per_m : float or array
        Resistance of a metre of one conductor :math:`R'`. [ohm/m]
    """
    current = at_least_zero("current_A", current_A)
    length = positive("length_one_way_m", length_one_way_m)
    return (2.0 * current * length * positive("ohm_per_m", ohm_per_m))[()]


def drop_circular_mil_V(
    current_A: npt.ArrayLike,
    *,
    length_one_way_m: npt.ArrayLike,
    area_cmil: npt.ArrayLike,
    k_ohm_cmil_per_ft: npt.ArrayLike,
) -> Floats:
    r"""Voltage drop by the circular-mil formula [V].

    .. math:: E = \frac{K I L}{CM}, \quad L \text{ out and back, in feet}

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`. [A]
    length_one_way_m : float or array
        Source to load; doubled and turned into feet here. [m]
    area_cmil : float or array
        Metal area :math:`CM` of one conductor. [cmil]
    k_ohm_cmil_per_ft : float or array
        Constant :math:`K`. [ohm cmil/ft]

    References
    ----------
    ABYC E-11, conductor sizing formula, as republished.

    Examples
    --------
    >>> volts = drop_circular_mil_V(
    ...     10.0, length_one_way_m=3.048, area_cmil=6530.0, k_ohm_cmil_per_ft=10.75)
    >>> round(float(volts), 4)
    0.3292
    """
    per_m = ohm_per_m_circular_mil(area_cmil, k_ohm_cmil_per_ft=k_ohm_cmil_per_ft)
    return drop_V(current_A, length_one_way_m=length_one_way_m, ohm_per_m=per_m)


def drop_metric_V(
    current_A: npt.ArrayLike,
    *,
    length_one_way_m: npt.ArrayLike,
    area_mm2: npt.ArrayLike,
    constant_ohm_mm2_per_m: npt.ArrayLike,
) -> Floats:
    r"""Voltage drop by the metric formula [V].

    .. math:: E = \frac{c \, I \, 2L}{S}

    The published constant is below that of copper at 20 °C, so the result is on the low side of
    what a meter shows: give :func:`drop_physical_V` beside it.

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`. [A]
    length_one_way_m : float or array
        Source to load :math:`L`; the return is added here. [m]
    area_mm2 : float or array
        Metal area :math:`S` of one conductor. [mm²]
    constant_ohm_mm2_per_m : float or array
        Constant :math:`c`. [ohm mm²/m]

    References
    ----------
    ISO 10133, annex on voltage drop, as republished.
    """
    per_m = ohm_per_m_metric(area_mm2, constant_ohm_mm2_per_m=constant_ohm_mm2_per_m)
    return drop_V(current_A, length_one_way_m=length_one_way_m, ohm_per_m=per_m)


def drop_physical_V(
    current_A: npt.ArrayLike,
    *,
    length_one_way_m: npt.ArrayLike,
    ohm_per_km_20C: npt.ArrayLike,
    temperature_coefficient_per_K: npt.ArrayLike,
    conductor_temp_C: npt.ArrayLike,
) -> Floats:
    r"""Voltage drop of the real conductor at its temperature [V].

    .. math:: E = 2 \, I L \, \frac{R'_{20}}{1000} \, [1 + \alpha_{20} (T - 20)]

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`. [A]
    length_one_way_m : float or array
        Source to load :math:`L`; the return is added here. [m]
    ohm_per_km_20C : float or array
        Resistance of a kilometre of one conductor at 20 °C :math:`R'_{20}`. [ohm/km]
    temperature_coefficient_per_K : float or array
        Temperature coefficient :math:`\alpha_{20}`, referred to 20 °C. [1/K]
    conductor_temp_C : float or array
        Temperature of the metal :math:`T`, not of the air, -60 to 260. [°C]

    References
    ----------
    IEC 60228, annex on correction of resistance to 20 °C.
    """
    per_m = ohm_per_m_physical(
        ohm_per_km_20C,
        temperature_coefficient_per_K=temperature_coefficient_per_K,
        conductor_temp_C=conductor_temp_C,
    )
    return drop_V(current_A, length_one_way_m=length_one_way_m, ohm_per_m=per_m)


def area_needed_cmil(
    current_A: npt.ArrayLike,
    *,
    length_one_way_m: npt.ArrayLike,
    allowed_drop_V: npt.ArrayLike,
    k_ohm_cmil_per_ft: npt.ArrayLike,
) -> Floats:
    r"""Metal area that the circular-mil formula asks for, not yet a listed size [cmil].

    .. math:: CM = \frac{K I L}{E}, \quad L \text{ out and back, in feet}

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`. [A]
    length_one_way_m : float or array
        Source to load; doubled and turned into feet here. [m]
    allowed_drop_V : float or array
        Drop allowed :math:`E`. [V]
    k_ohm_cmil_per_ft : float or array
        Constant :math:`K`. [ohm cmil/ft]

    References
    ----------
    ABYC E-11, conductor sizing formula, as republished.

    Examples
    --------
    10 A over 21 ft of conductor, 3 % of 12 V:

    >>> area = area_needed_cmil(
    ...     10.0, length_one_way_m=10.5 * 0.3048, allowed_drop_V=0.36, k_ohm_cmil_per_ft=10.75)
    >>> round(float(area), 1)
    6270.8
    """
    k = positive("k_ohm_cmil_per_ft", k_ohm_cmil_per_ft)
    feet = 2.0 * positive("length_one_way_m", length_one_way_m) / FOOT_M
    current = at_least_zero("current_A", current_A)
    return (k * current * feet / positive("allowed_drop_V", allowed_drop_V))[()]


def area_needed_mm2(
    current_A: npt.ArrayLike,
    *,
    length_one_way_m: npt.ArrayLike,
    allowed_drop_V: npt.ArrayLike,
    constant_ohm_mm2_per_m: npt.ArrayLike,
) -> Floats:
    r"""Metal area that the metric formula asks for, not yet a listed size [mm²].

    .. math:: S = \frac{c \, I \, 2L}{E}

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`. [A]
    length_one_way_m : float or array
        Source to load :math:`L`; the return is added here. [m]
    allowed_drop_V : float or array
        Drop allowed :math:`E`. [V]
    constant_ohm_mm2_per_m : float or array
        Constant :math:`c`; give a resistivity at temperature for the physical area. [ohm mm²/m]

    References
    ----------
    ISO 10133, annex on voltage drop, as republished.
    """
    constant = positive("constant_ohm_mm2_per_m", constant_ohm_mm2_per_m)
    length = 2.0 * positive("length_one_way_m", length_one_way_m)
    current = at_least_zero("current_A", current_A)
    return (constant * current * length / positive("allowed_drop_V", allowed_drop_V))[()]


# -- ampacity ----------------------------------------------------------------------------------


def ampacity_A(
    base_A: npt.ArrayLike,
    *,
    engine_space_factor: npt.ArrayLike = 1.0,
    bundle_factor: npt.ArrayLike = 1.0,
    ambient_factor: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Ampacity of a conductor where it lies [A].

    .. math:: I_z = I_{table} \, f_{engine} \, f_{bundle} \, f_{ambient}

    An engine-space factor already stands for a hot ambient: give that or ``ambient_factor``.

    Parameters
    ----------
    base_A : float or array
        Current in the table for the size and insulation. [A]
    engine_space_factor : float or array, default 1
        Factor of the table for engine spaces, 0 to 1. [-]
    bundle_factor : float or array, default 1
        Factor of the table for conductors together, 0 to 1. [-]
    ambient_factor : float or array, default 1
        Factor for an ambient other than the table's; above 1 where cooler. [-]

    References
    ----------
    33 CFR 183.425, Table 5 and its notes.

    Examples
    --------
    12 AWG, 105 °C, three together in an engine space:

    >>> round(float(ampacity_A(45.0, engine_space_factor=0.85, bundle_factor=0.70)), 3)
    26.775
    """
    engine = within("engine_space_factor", engine_space_factor, 0, 1)
    bundle = within("bundle_factor", bundle_factor, 0, 1)
    ambient = at_least_zero("ambient_factor", ambient_factor)
    return (positive("base_A", base_A) * engine * bundle * ambient)[()]


def ambient_factor(
    ambient_C: npt.ArrayLike, *, table_ambient_C: npt.ArrayLike, rated_C: npt.ArrayLike
) -> Floats:
    r"""Factor that carries a table's current to another ambient [-].

    .. math:: f = \sqrt{\frac{T_c - T_a'}{T_c - T_a}}

    Zero where the ambient is at or above the rating: the conductor may then carry nothing.

    Parameters
    ----------
    ambient_C : float or array
        Ambient where the conductor lies :math:`T_a'`. [°C]
    table_ambient_C : float or array
        Ambient of the table :math:`T_a`, below the rating. [°C]
    rated_C : float or array
        Temperature rating of the insulation :math:`T_c`. [°C]

    References
    ----------
    NFPA 70, 310.15(B), ambient correction equation; also the 50 °C engine spaces of 33 CFR
    183.425, Table 5, note 1, for six of seven ratings.

    Examples
    --------
    >>> round(float(ambient_factor(50.0, table_ambient_C=30.0, rated_C=90.0)), 3)
    0.816
    """
    rated = _ratings(rated_C)
    spread = rated - _below_rating("table_ambient_C", table_ambient_C, rated)
    left = np.maximum(rated - within("ambient_C", ambient_C, -60, 1000), 0.0)
    return np.sqrt(left / spread)[()]


def _ratings(rated_C: npt.ArrayLike) -> Floats:
    return within("rated_C", rated_C, 0, 1000)


def _below_rating(name: str, ambient_C: npt.ArrayLike, rated_C: Floats) -> Floats:
    ambient = within(name, ambient_C, -60, 1000)
    if np.any(ambient >= rated_C):
        raise InputError(
            f"{name}: {float(np.max(ambient)):g} °C was given, rated_C: "
            f"{float(np.min(rated_C)):g} °C.",
            remedy="Accepted: an ambient below the rating of the insulation.",
        )
    return ambient


# -- temperature -------------------------------------------------------------------------------


def conductor_temperature_C(
    current_A: npt.ArrayLike,
    *,
    ampacity_A: npt.ArrayLike,
    ambient_C: npt.ArrayLike,
    rated_C: npt.ArrayLike,
) -> Floats:
    r"""Steady temperature of the metal under load, heat growing with the square of the current.

    .. math:: T = T_a + (T_r - T_a) \left(\frac{I}{I_z}\right)^2

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`. [A]
    ampacity_A : float or array
        Current :math:`I_z` that brings the metal to its rating in this ambient. [A]
    ambient_C : float or array
        Ambient :math:`T_a`, below the rating. [°C]
    rated_C : float or array
        Temperature rating of the insulation :math:`T_r`. [°C]

    Returns
    -------
    float or array
        Temperature of the metal :math:`T`; above the rating when overloaded. [°C]

    Notes
    -----
    Resistance is taken as at the rating throughout, so below it the result is on the hot side.

    References
    ----------
    Neher and McGrath (1957), heat balance with one fixed thermal resistance; common practice.
    """
    rated = _ratings(rated_C)
    ambient = _below_rating("ambient_C", ambient_C, rated)
    load = at_least_zero("current_A", current_A) / positive("ampacity_A", ampacity_A)
    return (ambient + (rated - ambient) * load**2)[()]
