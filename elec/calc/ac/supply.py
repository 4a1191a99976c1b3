"""What a supply of another voltage or frequency does to a load, and how stiff the supply is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, one_of, positive
from elec.errors import InputError

__all__ = [
    "BEHAVIOURS",
    "current_at_supply_A",
    "motor_speed_ratio",
    "supply_resistance_ohm",
    "volts_per_hertz_ratio",
]

Floats = npt.NDArray[np.float64]

#: How the current of a load answers to the supply voltage.
BEHAVIOURS = ("constant power", "resistance", "motor")


def current_at_supply_A(
    current_A: npt.ArrayLike,
    *,
    rated_V: npt.ArrayLike,
    supply_V: npt.ArrayLike,
    behaviour: str | Sequence[str],
) -> Floats:
    r"""Return the current of a load off its rated voltage [A].

    .. math::

        I = I_r V_r / V \quad\text{(constant power, motor)} \qquad
        I = I_r V / V_r \quad\text{(resistance)}

    A motor is taken as constant power (fixed shaft load); this leaves out the changes of its
    efficiency and power factor, which published tables put at a few percent for 10 % of voltage.

    Parameters
    ----------
    current_A : float or array
        Current at the rated voltage :math:`I_r`; loads on the last axis. [A]
    rated_V : float or array
        Voltage for which the current holds :math:`V_r`. [V]
    supply_V : float or array
        Voltage that the supply gives :math:`V`. [V]
    behaviour : str or sequence of str
        One of `BEHAVIOURS`, for all loads or one for each. [text]

    Notes
    -----
    Loads of constant power draw more on a low supply, resistances less.

    Examples
    --------
    >>> round(float(current_at_supply_A(45.2, rated_V=240, supply_V=208, behaviour="motor")), 1)
    52.2
    """
    ratio = positive("supply_V", supply_V) / positive("rated_V", rated_V)
    for name in {behaviour} if isinstance(behaviour, str) else sorted(set(behaviour)):
        one_of("behaviour", str(name), BEHAVIOURS)
    resists = np.asarray(behaviour) == "resistance"
    return np.asarray(at_least_zero("current_A", current_A) * np.where(resists, ratio, 1 / ratio))[
        ()
    ]


def volts_per_hertz_ratio(
    supply_V: npt.ArrayLike,
    *,
    supply_Hz: npt.ArrayLike,
    rated_V: npt.ArrayLike,
    rated_Hz: npt.ArrayLike,
) -> Floats:
    r"""Return the flux of a motor or transformer against the flux it is made for.

    .. math:: \frac{\Phi}{\Phi_r} = \frac{V / f}{V_r / f_r}

    Parameters
    ----------
    supply_V : float or array
        Voltage of the supply :math:`V`. [V]
    supply_Hz : float or array
        Frequency of the supply :math:`f`. [Hz]
    rated_V : float or array
        Rated voltage :math:`V_r`. [V]
    rated_Hz : float or array
        Rated frequency :math:`f_r`. [Hz]

    Returns
    -------
    float or array
        Ratio; above 1 the iron is driven towards saturation. [-]

    Examples
    --------
    >>> ratio = volts_per_hertz_ratio(230, supply_Hz=50, rated_V=230, rated_Hz=60)
    >>> round(float(ratio), 3)
    1.2
    """
    flux = positive("supply_V", supply_V) / positive("supply_Hz", supply_Hz)
    return np.asarray(flux / (positive("rated_V", rated_V) / positive("rated_Hz", rated_Hz)))[()]


def motor_speed_ratio(supply_Hz: npt.ArrayLike, *, rated_Hz: npt.ArrayLike) -> Floats:
    r"""Return the synchronous speed against the rated one [-].

    .. math:: n / n_r = f / f_r

    Parameters
    ----------
    supply_Hz : float or array
        Frequency of the supply :math:`f`. [Hz]
    rated_Hz : float or array
        Rated frequency :math:`f_r`. [Hz]
    """
    return np.asarray(positive("supply_Hz", supply_Hz) / positive("rated_Hz", rated_Hz))[()]


def supply_resistance_ohm(
    no_load_V: npt.ArrayLike, *, loaded_V: npt.ArrayLike, added_current_A: npt.ArrayLike
) -> Floats:
    r"""Return the resistance of a supply and its cord, from a reading without and one with load.

    .. math:: R = (V_0 - V_1) / \Delta I

    Parameters
    ----------
    no_load_V : float or array
        Voltage :math:`V_0` before the load was switched on. [V]
    loaded_V : float or array
        Voltage :math:`V_1` at the same place with the load on, not above the other. [V]
    added_current_A : float or array
        Current :math:`\Delta I` that the load added, above zero. [A]

    Returns
    -------
    float or array
        Resistance :math:`R`; with a resistive load, of both conductors together. [ohm]
    """
    before, after = np.broadcast_arrays(
        positive("no_load_V", no_load_V), positive("loaded_V", loaded_V)
    )
    if np.any(after > before):
        raise InputError(
            f"loaded_V: {after[after > before].flat[0]:g} V is above the "
            f"{before[after > before].flat[0]:g} V without load.",
            remedy="The supply moved between the readings: take them again, close together.",
        )
    return np.asarray((before - after) / positive("added_current_A", added_current_A))[()]
