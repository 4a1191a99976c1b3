"""Starting an engine: cranking amperes against the need, and the drop of the starter loop."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.errors import InputError

__all__ = [
    "cranking_needed_A",
    "loop_drop_V",
    "loop_drop_per_100A_V",
    "loop_length_m",
    "marine_cranking_A",
]

Floats = npt.NDArray[np.float64]


def loop_drop_per_100A_V(
    length_both_poles_m: npt.ArrayLike,
    *,
    area_mm2: npt.ArrayLike,
    resistivity_ohm_mm2_per_m: npt.ArrayLike,
    connections_ohm: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Drop of a starter loop for each 100 A, the measure of starter-circuit rules [V].

    .. math:: V_{100} = 100 \left(\frac{\rho L}{A} + R_c\right)

    The loop is both poles and every connection; motor, relay and solenoid are left out.

    Parameters
    ----------
    length_both_poles_m : float or array
        Cable of positive and negative side together :math:`L`: not one way. [m]
    area_mm2 : float or array
        Metal cross-section :math:`A`. [mm²]
    resistivity_ohm_mm2_per_m : float or array
        Resistivity :math:`\rho` at the temperature the rule holds for. [ohm·mm²/m]
    connections_ohm : float or array, default 0
        Resistance of all connections :math:`R_c`. [ohm]

    References
    ----------
    The measure of SAE J541 (from a summary of it).

    Examples
    --------
    >>> V = loop_drop_per_100A_V(1.8, area_mm2=35.0, resistivity_ohm_mm2_per_m=0.0175)
    >>> round(float(V), 3)
    0.09
    """
    cable_ohm = (
        positive("resistivity_ohm_mm2_per_m", resistivity_ohm_mm2_per_m)
        * positive("length_both_poles_m", length_both_poles_m)
        / positive("area_mm2", area_mm2)
    )
    return 100.0 * (cable_ohm + at_least_zero("connections_ohm", connections_ohm))


def loop_length_m(
    drop_per_100A_V: npt.ArrayLike,
    *,
    area_mm2: npt.ArrayLike,
    resistivity_ohm_mm2_per_m: npt.ArrayLike,
    connections_ohm: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Longest cable of both poles together that keeps a starter loop within a drop.

    .. math:: L = \frac{A}{\rho} \left(\frac{V_{100}}{100} - R_c\right)

    Parameters
    ----------
    drop_per_100A_V : float or array
        Drop allowed at 100 A :math:`V_{100}`. [V]
    area_mm2 : float or array
        Metal cross-section :math:`A`. [mm²]
    resistivity_ohm_mm2_per_m : float or array
        Resistivity :math:`\rho` at the temperature the rule holds for. [ohm·mm²/m]
    connections_ohm : float or array, default 0
        Resistance of all connections :math:`R_c`. [ohm]

    Returns
    -------
    float or array
        Longest cable, both poles together; zero where the connections alone use up the drop. [m]
    """
    left_ohm = positive("drop_per_100A_V", drop_per_100A_V) / 100.0 - at_least_zero(
        "connections_ohm", connections_ohm
    )
    length: Floats = (
        np.maximum(left_ohm, 0.0)
        * positive("area_mm2", area_mm2)
        / positive("resistivity_ohm_mm2_per_m", resistivity_ohm_mm2_per_m)
    )
    return length


def loop_drop_V(drop_per_100A_V: npt.ArrayLike, *, current_A: npt.ArrayLike) -> Floats:
    r"""Drop of a starter loop, or its limit, at a cranking current [V].

    .. math:: V = V_{100} \, I / 100

    Parameters
    ----------
    drop_per_100A_V : float or array
        Drop at 100 A :math:`V_{100}`. [V]
    current_A : float or array
        Cranking current :math:`I`. [A]

    Examples
    --------
    >>> float(loop_drop_V(0.10, current_A=200.0))
    0.2
    """
    return (
        at_least_zero("drop_per_100A_V", drop_per_100A_V)
        * at_least_zero("current_A", current_A)
        / 100.0
    )


def marine_cranking_A(cold_cranking_A: npt.ArrayLike, *, ratio: npt.ArrayLike) -> Floats:
    r"""Cranking amperes at freezing point estimated from those in the cold [A].

    .. math:: I_\text{MCA} = r \, I_\text{CCA}

    An estimate: published ratios differ, and the ratio used must be shown.

    Parameters
    ----------
    cold_cranking_A : float or array
        Cold-cranking amperes. [A]
    ratio : float or array
        Amperes at 0 °C over those at -18 °C :math:`r`, one or more. [-]

    Examples
    --------
    >>> float(marine_cranking_A(500.0, ratio=1.3))
    650.0
    """
    share = positive("ratio", ratio)
    if np.any(share < 1.0):
        raise InputError(
            f"ratio: {np.min(share):g} was given.",
            remedy="Accepted: one or more; a battery gives more when it is less cold.",
        )
    return positive("cold_cranking_A", cold_cranking_A) * share


def cranking_needed_A(
    displacement_L: npt.ArrayLike, *, cold_cranking_A_per_L: npt.ArrayLike
) -> Floats:
    r"""Cold-cranking amperes by the rule of thumb on engine size [A].

    .. math:: I = i \, V

    Common practice only: the engine maker's figure goes before it.

    Parameters
    ----------
    displacement_L : float or array
        Displacement of the engine :math:`V`. [L]
    cold_cranking_A_per_L : float or array
        Amperes for each litre :math:`i`. [A/L]
    """
    return positive("displacement_L", displacement_L) * positive(
        "cold_cranking_A_per_L", cold_cranking_A_per_L
    )
