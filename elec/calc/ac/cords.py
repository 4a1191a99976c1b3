"""Cords, feeders and their contacts: drop of voltage, loaded conductors, heat."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, one_of, positive, up_to_one
from elec.calc.ac.legs import LEGS

__all__ = [
    "CIRCUITS",
    "contact_heating_W",
    "contact_resistance_ohm",
    "effective_impedance_ohm_per_m",
    "loaded_conductors",
    "voltage_drop_V",
]

Floats = npt.NDArray[np.float64]

#: Circuit -> conductors' worth of impedance in its voltage drop.
CIRCUITS = {
    "two-wire": 2.0,
    "balanced split-phase leg": 1.0,
    "three-phase line-to-line": np.sqrt(3.0),
}


def effective_impedance_ohm_per_m(
    resistance_ohm_per_m: npt.ArrayLike,
    *,
    reactance_ohm_per_m: npt.ArrayLike = 0.0,
    power_factor: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Return the impedance of one conductor that counts in the drop of voltage magnitude [ohm/m].

    .. math:: Z_e = R \cos\varphi + X \sin\varphi, \qquad \sin\varphi \ge 0 \ \text{(lagging)}

    Parameters
    ----------
    resistance_ohm_per_m : float or array
        AC resistance :math:`R` of one conductor at its temperature. [ohm/m]
    reactance_ohm_per_m : float or array, default 0
        Reactance :math:`X` of one conductor to neutral, at the supply frequency. [ohm/m]
    power_factor : float or array, default 1
        Lagging :math:`\cos\varphi` of the load, above 0 to 1. [-]

    References
    ----------
    NFPA 70-2017, chapter 9, Table 9, note 2.
    """
    factor = up_to_one("power_factor", power_factor)
    return np.asarray(
        at_least_zero("resistance_ohm_per_m", resistance_ohm_per_m) * factor
        + at_least_zero("reactance_ohm_per_m", reactance_ohm_per_m) * np.sqrt(1 - factor**2)
    )[()]


def voltage_drop_V(
    current_A: npt.ArrayLike,
    *,
    length_one_way_m: npt.ArrayLike,
    resistance_ohm_per_m: npt.ArrayLike,
    reactance_ohm_per_m: npt.ArrayLike = 0.0,
    power_factor: npt.ArrayLike = 1.0,
    circuit: str = "two-wire",
) -> Floats:
    r"""Return the drop of voltage magnitude along a cord or feeder.

    .. math:: \Delta V = k \, I L (R \cos\varphi + X \sin\varphi)

    with :math:`k` 2 for two wires, :math:`\sqrt 3` line to line in three phases, and 1 in each leg
    of a balanced split-phase circuit, whose neutral has no drop.

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`. [A]
    length_one_way_m : float or array
        Source to load :math:`L`; the return conductor is added here. [m]
    resistance_ohm_per_m : float or array
        AC resistance :math:`R` of one conductor at its temperature. [ohm/m]
    reactance_ohm_per_m : float or array, default 0
        Reactance :math:`X` of one conductor to neutral, at the supply frequency. [ohm/m]
    power_factor : float or array, default 1
        Lagging :math:`\cos\varphi` of the load, above 0 to 1. [-]
    circuit : str, default "two-wire"
        One of `CIRCUITS`. [text]

    Returns
    -------
    float or array
        Drop in magnitude, to first order; the phasor drop :math:`I|Z|` is larger. [V]

    References
    ----------
    NFPA 70-2017, chapter 9, Table 9, note 2; UFC 3-520-01 (2002), B-2.1.

    Examples
    --------
    >>> drop = voltage_drop_V(24, length_one_way_m=15.24, resistance_ohm_per_m=1.2 / 304.8)
    >>> round(float(drop), 2)
    2.88
    """
    impedance = effective_impedance_ohm_per_m(
        resistance_ohm_per_m, reactance_ohm_per_m=reactance_ohm_per_m, power_factor=power_factor
    )
    conductors = CIRCUITS[one_of("circuit", circuit, tuple(CIRCUITS))]
    length = positive("length_one_way_m", length_one_way_m)
    return np.asarray(conductors * at_least_zero("current_A", current_A) * length * impedance)[()]


def loaded_conductors(*, system: str, mostly_nonlinear: bool = False) -> int:
    """Count the conductors of a cord that count as loaded [-].

    A neutral that carries only the unbalance of split phase does not count. That of two legs of a
    wye always counts; that of three legs, when most of the load is nonlinear.

    Parameters
    ----------
    system : str
        One of `LEGS`. [text]
    mostly_nonlinear : bool, default False
        Whether most of the load is electronic (third harmonics add in a wye neutral). [-]

    References
    ----------
    NFPA 70-2017, 310.15(B)(5) and 400.5.

    Examples
    --------
    >>> [loaded_conductors(system=system) for system in ("split-phase", "wye two legs")]
    [2, 3]
    """
    legs = len(LEGS[one_of("system", system, tuple(LEGS))])
    if system == "three-phase wye":
        return legs + int(mostly_nonlinear)
    return legs if system == "split-phase" else legs + 1


def contact_heating_W(current_A: npt.ArrayLike, *, drop_V: npt.ArrayLike) -> Floats:
    r"""Return the heat in a contact, from the drop measured across it [W].

    .. math:: P = I \, \Delta V

    Parameters
    ----------
    current_A : float or array
        Current :math:`I` at the moment of the reading. [A]
    drop_V : float or array
        Drop :math:`\Delta V` across the contact alone. [V]
    """
    return np.asarray(at_least_zero("current_A", current_A) * at_least_zero("drop_V", drop_V))[()]


def contact_resistance_ohm(current_A: npt.ArrayLike, *, drop_V: npt.ArrayLike) -> Floats:
    r"""Return the resistance of a contact, from the drop measured across it [ohm].

    .. math:: R = \Delta V / I

    Parameters
    ----------
    current_A : float or array
        Current :math:`I` at the moment of the reading, above zero. [A]
    drop_V : float or array
        Drop :math:`\Delta V` across the contact alone. [V]
    """
    return np.asarray(at_least_zero("drop_V", drop_V) / positive("current_A", current_A))[()]
