"""What a conductor survives of a short circuit, with no heat lost; and what melts it.

Constants of the metal come in as arguments. Below 0.1 s use the let-through of the device against
``withstand_A2s``; above 5 s the results are on the safe side, as heat is lost meanwhile.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within
from elec.errors import InputError

__all__ = [
    "adiabatic_area_mm2",
    "adiabatic_k",
    "adiabatic_temperature_C",
    "melting_current_A",
    "withstand_A2s",
    "withstand_current_A",
    "withstand_time_s",
]

Floats = npt.NDArray[np.float64]

_COLDEST_C, _MOLTEN_C = -60.0, 1100.0


def _above_zero_resistance(name: str, temp_C: npt.ArrayLike, zero_resistance_C: Floats) -> Floats:
    return within(name, temp_C, _COLDEST_C, _MOLTEN_C) + zero_resistance_C


def _zero(zero_resistance_C: npt.ArrayLike) -> Floats:
    return within("zero_resistance_C", zero_resistance_C, 100, 400)


def adiabatic_k(
    initial_C: npt.ArrayLike,
    *,
    final_C: npt.ArrayLike,
    metal_A_sqrt_s_per_mm2: npt.ArrayLike,
    zero_resistance_C: npt.ArrayLike,
) -> Floats:
    r"""Factor of a conductor that may heat from one temperature to another without losing heat.

    .. math:: k = K \sqrt{\ln \frac{\beta + T_f}{\beta + T_i}}

    Parameters
    ----------
    initial_C : float or array
        Temperature at the start :math:`T_i`; as a rule the rating. [°C]
    final_C : float or array
        Temperature that the insulation survives :math:`T_f`, at or above the start. [°C]
    metal_A_sqrt_s_per_mm2 : float or array
        Constant of the metal :math:`K`. [A √s/mm²]
    zero_resistance_C : float or array
        Degrees below 0 °C :math:`\beta` at which the straight line of resistance meets zero. [K]

    Returns
    -------
    float or array
        Factor :math:`k`. [A √s/mm²]

    Raises
    ------
    InputError
        If the final temperature is below the initial, or a value is outside its range.

    References
    ----------
    IEC 60949; IEC 60364-5-54, annex on the factor k.

    Examples
    --------
    >>> k = adiabatic_k(70.0, final_C=160.0, metal_A_sqrt_s_per_mm2=226.0, zero_resistance_C=234.5)
    >>> round(float(k), 1)
    115.0
    """
    beta = _zero(zero_resistance_C)
    start = _above_zero_resistance("initial_C", initial_C, beta)
    end = _above_zero_resistance("final_C", final_C, beta)
    if np.any(end < start):
        raise InputError(
            "final_C: below initial_C.", remedy="Accepted: a final temperature at or above it."
        )
    metal = positive("metal_A_sqrt_s_per_mm2", metal_A_sqrt_s_per_mm2)
    return np.asarray(metal * np.sqrt(np.log(end / start)))[()]


def withstand_A2s(area_mm2: npt.ArrayLike, *, k_A_sqrt_s_per_mm2: npt.ArrayLike) -> Floats:
    r"""Joule integral, current squared times time, that a conductor survives.

    .. math:: I^2 t = k^2 S^2

    Parameters
    ----------
    area_mm2 : float or array
        Metal area :math:`S`. [mm²]
    k_A_sqrt_s_per_mm2 : float or array
        Factor :math:`k` of metal, insulation and start. [A √s/mm²]

    Returns
    -------
    float or array
        Current squared times time. [A² s]

    Raises
    ------
    InputError
        If a value is not above zero.

    References
    ----------
    IEC 60364-4-43, 434.5.2.
    """
    return ((positive("k_A_sqrt_s_per_mm2", k_A_sqrt_s_per_mm2) * _area(area_mm2)) ** 2)[()]


def _area(area_mm2: npt.ArrayLike) -> Floats:
    return positive("area_mm2", area_mm2)


def withstand_time_s(
    current_A: npt.ArrayLike, *, area_mm2: npt.ArrayLike, k_A_sqrt_s_per_mm2: npt.ArrayLike
) -> Floats:
    r"""Time for which a conductor survives a fault current.

    .. math:: t = (k S / I)^2

    Parameters
    ----------
    current_A : float or array
        Fault current :math:`I`, above zero. [A]
    area_mm2 : float or array
        Metal area :math:`S`. [mm²]
    k_A_sqrt_s_per_mm2 : float or array
        Factor :math:`k`. [A √s/mm²]

    Returns
    -------
    float or array
        Time. [s]

    Raises
    ------
    InputError
        If a value is not above zero.

    References
    ----------
    IEC 60364-4-43, 434.5.2, printed for 0.1 to 5 s.
    """
    capacity = withstand_A2s(area_mm2, k_A_sqrt_s_per_mm2=k_A_sqrt_s_per_mm2)
    return (capacity / positive("current_A", current_A) ** 2)[()]


def withstand_current_A(
    time_s: npt.ArrayLike, *, area_mm2: npt.ArrayLike, k_A_sqrt_s_per_mm2: npt.ArrayLike
) -> Floats:
    r"""Fault current that a conductor survives for a time.

    .. math:: I = k S / \sqrt{t}

    Parameters
    ----------
    time_s : float or array
        Time until the fault is cleared :math:`t`, above zero. [s]
    area_mm2 : float or array
        Metal area :math:`S`. [mm²]
    k_A_sqrt_s_per_mm2 : float or array
        Factor :math:`k`. [A √s/mm²]

    Returns
    -------
    float or array
        Current. [A]

    Raises
    ------
    InputError
        If a value is not above zero.

    References
    ----------
    IEC 60364-4-43, 434.5.2, printed for 0.1 to 5 s.
    """
    capacity = withstand_A2s(area_mm2, k_A_sqrt_s_per_mm2=k_A_sqrt_s_per_mm2)
    return np.sqrt(capacity / positive("time_s", time_s))[()]


def adiabatic_area_mm2(
    current_A: npt.ArrayLike, *, time_s: npt.ArrayLike, k_A_sqrt_s_per_mm2: npt.ArrayLike
) -> Floats:
    r"""Metal area that survives a fault current until it is cleared.

    .. math:: S = I \sqrt{t} / k

    Parameters
    ----------
    current_A : float or array
        Fault current :math:`I`. [A]
    time_s : float or array
        Time until the fault is cleared :math:`t`. [s]
    k_A_sqrt_s_per_mm2 : float or array
        Factor :math:`k`. [A √s/mm²]

    Returns
    -------
    float or array
        Metal area, not yet a listed size. [mm²]

    Raises
    ------
    InputError
        If a value is below zero or the factor is not above zero.

    References
    ----------
    IEC 60364-5-54, 543.1.2.

    Examples
    --------
    >>> round(float(adiabatic_area_mm2(200.0, time_s=0.4, k_A_sqrt_s_per_mm2=115.0)), 4)
    1.0999
    """
    heating = at_least_zero("current_A", current_A) * np.sqrt(at_least_zero("time_s", time_s))
    return (heating / positive("k_A_sqrt_s_per_mm2", k_A_sqrt_s_per_mm2))[()]


def adiabatic_temperature_C(
    current_A: npt.ArrayLike,
    *,
    time_s: npt.ArrayLike,
    area_mm2: npt.ArrayLike,
    initial_C: npt.ArrayLike,
    metal_A_sqrt_s_per_mm2: npt.ArrayLike,
    zero_resistance_C: npt.ArrayLike,
) -> Floats:
    r"""Temperature that a fault brings the metal to, no heat lost.

    .. math:: T_f = (\beta + T_i) \exp\frac{I^2 t}{K^2 S^2} - \beta

    Parameters
    ----------
    current_A : float or array
        Fault current :math:`I`. [A]
    time_s : float or array
        Time until the fault is cleared :math:`t`. [s]
    area_mm2 : float or array
        Metal area :math:`S`. [mm²]
    initial_C : float or array
        Temperature at the start :math:`T_i`. [°C]
    metal_A_sqrt_s_per_mm2 : float or array
        Constant of the metal :math:`K`. [A √s/mm²]
    zero_resistance_C : float or array
        Degrees below 0 °C :math:`\beta` at which the straight line of resistance meets zero. [K]

    Returns
    -------
    float or array
        Temperature; infinite where far beyond melting. [°C]

    Raises
    ------
    InputError
        If a value is outside its range.

    References
    ----------
    IEC 60949, solved for the final temperature.
    """
    beta = _zero(zero_resistance_C)
    start = _above_zero_resistance("initial_C", initial_C, beta)
    capacity = withstand_A2s(area_mm2, k_A_sqrt_s_per_mm2=metal_A_sqrt_s_per_mm2)
    given = at_least_zero("current_A", current_A) ** 2 * at_least_zero("time_s", time_s)
    with np.errstate(over="ignore"):
        return (start * np.exp(given / capacity) - beta)[()]


def melting_current_A(
    time_s: npt.ArrayLike,
    *,
    area_cmil: npt.ArrayLike,
    ambient_C: npt.ArrayLike,
    melting_C: npt.ArrayLike,
    zero_resistance_C: npt.ArrayLike,
    metal_cmil2_per_A2_s: npt.ArrayLike,
) -> Floats:
    r"""Melting current of a bare conductor for a time: Onderdonk's equation. No rating.

    .. math:: I = CM \sqrt{\frac{\log_{10}\left(1 + \frac{T_m - T_a}{\beta + T_a}\right)}{c\,t}}

    Parameters
    ----------
    time_s : float or array
        Time :math:`t`, above zero and at most 10 s, as no heat loss is counted. [s]
    area_cmil : float or array
        Metal area :math:`CM`. [cmil]
    ambient_C : float or array
        Temperature at the start :math:`T_a`. [°C]
    melting_C : float or array
        Melting point of the metal :math:`T_m`. [°C]
    zero_resistance_C : float or array
        Degrees below 0 °C :math:`\beta` at which the straight line of resistance meets zero. [K]
    metal_cmil2_per_A2_s : float or array
        Constant of the metal :math:`c`. [cmil²/(A² s)]

    Returns
    -------
    float or array
        Melting current. [A]

    Raises
    ------
    InputError
        If a value is outside its range or the melting point is not above the ambient.

    References
    ----------
    Onderdonk's equation, as republished; with another constant and final temperature it is the
    short-circuit formula of ICEA P-32-382.
    """
    time = within("time_s", positive("time_s", time_s), 0, 10)
    beta = _zero(zero_resistance_C)
    start = _above_zero_resistance("ambient_C", ambient_C, beta)
    end = _above_zero_resistance("melting_C", melting_C, beta)
    if np.any(end <= start):
        raise InputError("melting_C: not above ambient_C.", remedy="Accepted: a higher one.")
    metal = positive("metal_cmil2_per_A2_s", metal_cmil2_per_A2_s)
    area = positive("area_cmil", area_cmil)
    return (area * np.sqrt(np.log10(end / start) / (metal * time)))[()]
