"""Air for charging batteries: how much, and how large the openings.

The constants of the standards come in as arguments.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within
from elec.errors import InputError

__all__ = [
    "charger_class",
    "charger_power_W",
    "gassing_flow_m3_per_h",
    "opening_area_m2",
    "opening_diameter_m",
    "ship_flow_m3_per_h",
]

Floats = npt.NDArray[np.float64]


def gassing_flow_m3_per_h(
    capacity_Ah: npt.ArrayLike,
    *,
    cells: npt.ArrayLike,
    gassing_mA_per_Ah: npt.ArrayLike,
    air_m3_per_Ah: npt.ArrayLike,
) -> Floats:
    r"""Air for a bank whose gassing current is stated for its capacity [m³/h].

    .. math:: Q = a \, n \, I_\text{gas} \, C \cdot 10^{-3}

    The published gassing currents already hold emission and safety factors of their own, and
    :math:`a` holds dilution, volume of hydrogen and safety: nothing is multiplied twice.

    Parameters
    ----------
    capacity_Ah : float or array
        Capacity of all parallel strings :math:`C`, at the ten-hour rate for lead-acid. [Ah]
    cells : float or array
        Cells in series :math:`n`. [-]
    gassing_mA_per_Ah : float or array
        Gassing current :math:`I_\text{gas}` for the kind of battery and charge. [mA/Ah]
    air_m3_per_Ah : float or array
        Air for each ampere-hour of gassing in one cell :math:`a`. [m³/Ah]

    References
    ----------
    EN 50272-2:2001, ventilation flow and Table 1 (now IEC 62485-2).

    Examples
    --------
    >>> Q = gassing_flow_m3_per_h(50.0, cells=108, gassing_mA_per_Ah=1.0, air_m3_per_Ah=0.05)
    >>> round(float(Q), 4)
    0.27
    """
    gassing_A = 1e-3 * positive("gassing_mA_per_Ah", gassing_mA_per_Ah)
    return (
        positive("air_m3_per_Ah", air_m3_per_Ah)
        * positive("cells", cells)
        * gassing_A
        * positive("capacity_Ah", capacity_Ah)
    )


def opening_area_m2(flow_m3_per_h: npt.ArrayLike, *, area_m2_per_m3_per_h: npt.ArrayLike) -> Floats:
    r"""Free area of the inlet, and of the outlet, for a natural flow of air [m²].

    .. math:: A = a \, Q

    Parameters
    ----------
    flow_m3_per_h : float or array
        Flow of air :math:`Q`. [m³/h]
    area_m2_per_m3_per_h : float or array
        Area for each unit of flow :math:`a`; its reciprocal is a speed of air. [m²/(m³/h)]

    References
    ----------
    EN 50272-2:2001, natural ventilation (now IEC 62485-2).
    """
    return at_least_zero("flow_m3_per_h", flow_m3_per_h) * positive(
        "area_m2_per_m3_per_h", area_m2_per_m3_per_h
    )


def opening_diameter_m(area_m2: npt.ArrayLike) -> Floats:
    r"""Diameter of a round opening of a free area [m].

    .. math:: d = \sqrt{4 A / \pi}

    Parameters
    ----------
    area_m2 : float or array
        Free area :math:`A`. [m²]
    """
    diameter: Floats = np.sqrt(4.0 * at_least_zero("area_m2", area_m2) / np.pi)
    return diameter


def ship_flow_m3_per_h(
    charger_A: npt.ArrayLike,
    *,
    charging_A: npt.ArrayLike,
    cells: npt.ArrayLike,
    flow_m3_per_Ah: npt.ArrayLike,
    least_share: npt.ArrayLike,
) -> Floats:
    r"""Air by the older form of ship rules, from the charging current [m³/h].

    .. math:: Q = q \, n \, \max(I, \; x \, I_\text{max})

    Parameters
    ----------
    charger_A : float or array
        Largest current the charger can give :math:`I_\text{max}`. [A]
    charging_A : float or array
        Charging current during gassing :math:`I`, at most the largest. [A]
    cells : float or array
        Cells in series :math:`n`. [-]
    flow_m3_per_Ah : float or array
        Air for each ampere and cell :math:`q`, by kind of battery. [m³/Ah]
    least_share : float or array
        Share :math:`x` of the largest current that counts at least, 0 to 1. [-]
    """
    most = positive("charger_A", charger_A)
    current = at_least_zero("charging_A", charging_A)
    if np.any(current > most):
        raise InputError(
            f"charging_A: {np.max(current):g} is above the largest current of the charger.",
            remedy="Accepted: up to charger_A.",
        )
    least = within("least_share", least_share, 0.0, 1.0) * most
    return (
        positive("flow_m3_per_Ah", flow_m3_per_Ah)
        * positive("cells", cells)
        * np.maximum(current, least)
    )


def charger_power_W(charger_A: npt.ArrayLike, *, battery_V: npt.ArrayLike) -> Floats:
    r"""Charger power by which installation rules class a battery [W].

    .. math:: P = I_\text{max} \, V_\text{rated}

    Parameters
    ----------
    charger_A : float or array
        Largest current the charger can give. [A]
    battery_V : float or array
        Rated voltage of the battery, not the voltage of charging. [V]

    References
    ----------
    46 CFR 111.15-3 and 183.352.
    """
    return at_least_zero("charger_A", charger_A) * positive("battery_V", battery_V)


def charger_class(
    power_W: npt.ArrayLike, *, large_above_W: float, small_below_W: float | None = None
) -> npt.NDArray[np.str_]:
    r"""Class of a battery installation by charger power: large, moderate or small.

    Large is *above* its limit and small *below* its own; exactly on a limit is moderate. A rule
    without a moderate class calls everything small up to and with the limit.

    Parameters
    ----------
    power_W : float or array
        Charger power from :func:`charger_power_W`. [W]
    large_above_W : float
        Limit above which the rule calls an installation large. [W]
    small_below_W : float, optional
        Lower limit, below which it calls it small; left out for a rule with two classes. [W]

    Returns
    -------
    str or array of str
        ``large``, ``moderate`` or ``small``. [text]

    Examples
    --------
    >>> str(charger_class(240.0, large_above_W=2000.0, small_below_W=200.0))
    'moderate'
    >>> str(charger_class(240.0, large_above_W=2000.0))
    'small'
    """
    power = at_least_zero("power_W", power_W)
    large = float(positive("large_above_W", large_above_W))
    if small_below_W is None:
        return np.where(power > large, "large", "small")[()]
    if not 0 < small_below_W < large:
        raise InputError(
            f"small_below_W: {small_below_W:g} was given.",
            remedy=f"Accepted: above zero and below large_above_W ({large:g}).",
        )
    return np.where(power > large, "large", np.where(power < small_below_W, "small", "moderate"))[
        ()
    ]
