"""What a conductor survives of a short circuit, with no heat lost.

Constants of the metal come in as arguments. Below 0.1 s use the let-through of the device against
``withstand_A2s``; above 5 s the results are on the safe side, as heat is lost meanwhile.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive

__all__ = [
    "adiabatic_area_mm2",
    "withstand_A2s",
    "withstand_time_s",
]

Floats = npt.NDArray[np.float64]


def withstand_A2s(area_mm2: npt.ArrayLike, *, k_A_sqrt_s_per_mm2: npt.ArrayLike) -> Floats:
    r"""Joule integral, current squared times time, that a conductor survives [A² s].

    .. math:: I^2 t = k^2 S^2

    Parameters
    ----------
    area_mm2 : float or array
        Metal area :math:`S`. [mm²]
    k_A_sqrt_s_per_mm2 : float or array
        Factor :math:`k` of metal, insulation and start. [A √s/mm²]

    References
    ----------
    IEC 60364-4-43, 434.5.2.
    """
    return (
        (positive("k_A_sqrt_s_per_mm2", k_A_sqrt_s_per_mm2) * positive("area_mm2", area_mm2)) ** 2
    )[()]


def withstand_time_s(
    current_A: npt.ArrayLike, *, area_mm2: npt.ArrayLike, k_A_sqrt_s_per_mm2: npt.ArrayLike
) -> Floats:
    r"""Time for which a conductor survives a fault current [s].

    .. math:: t = (k S / I)^2

    Parameters
    ----------
    current_A : float or array
        Fault current :math:`I`, above zero. [A]
    area_mm2 : float or array
        Metal area :math:`S`. [mm²]
    k_A_sqrt_s_per_mm2 : float or array
        Factor :math:`k`. [A √s/mm²]

    References
    ----------
    IEC 60364-4-43, 434.5.2, printed for 0.1 to 5 s.
    """
    capacity = withstand_A2s(area_mm2, k_A_sqrt_s_per_mm2=k_A_sqrt_s_per_mm2)
    return (capacity / positive("current_A", current_A) ** 2)[()]


def adiabatic_area_mm2(
    current_A: npt.ArrayLike, *, time_s: npt.ArrayLike, k_A_sqrt_s_per_mm2: npt.ArrayLike
) -> Floats:
    r"""Metal area that survives a fault current until it is cleared, not yet a listed size [mm²].

    .. math:: S = I \sqrt{t} / k

    Parameters
    ----------
    current_A : float or array
        Fault current :math:`I`. [A]
    time_s : float or array
        Time until the fault is cleared :math:`t`. [s]
    k_A_sqrt_s_per_mm2 : float or array
        Factor :math:`k`. [A √s/mm²]

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
