"""Currents from power: on one voltage, in three phases, from a bank through an inverter."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, up_to_one

__all__ = [
    "current_A",
    "inverter_dc_current_A",
    "three_phase_current_A",
]

Floats = npt.NDArray[np.float64]


def current_A(
    power_W: npt.ArrayLike, *, voltage_V: npt.ArrayLike, power_factor: npt.ArrayLike = 1.0
) -> Floats:
    r"""Return the current of a load on one voltage: line to neutral, or line to line [A].

    .. math:: I = \frac{P}{V \cos\varphi}

    Parameters
    ----------
    power_W : float or array
        Real power :math:`P`, zero or more; give volt-amperes with power factor 1. [W]
    voltage_V : float or array
        Voltage across the load :math:`V`. [V]
    power_factor : float or array, default 1
        :math:`\cos\varphi`, above 0 to 1. [-]

    References
    ----------
    Circuit theory.

    Examples
    --------
    >>> round(float(current_A(2000, voltage_V=120, power_factor=0.75)), 2)
    22.22
    """
    volts = positive("voltage_V", voltage_V)
    return np.asarray(
        at_least_zero("power_W", power_W) / (volts * up_to_one("power_factor", power_factor))
    )[()]


def three_phase_current_A(
    power_W: npt.ArrayLike,
    *,
    voltage_line_to_line_V: npt.ArrayLike,
    power_factor: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Return the line current of a balanced three-phase load [A].

    .. math:: I = \frac{P}{\sqrt 3 \, V_{LL} \cos\varphi}

    Parameters
    ----------
    power_W : float or array
        Real power of all three phases :math:`P`; volt-amperes with power factor 1. [W]
    voltage_line_to_line_V : float or array
        Voltage between two lines :math:`V_{LL}`. [V]
    power_factor : float or array, default 1
        :math:`\cos\varphi`, above 0 to 1. [-]

    References
    ----------
    US DOE Fundamentals Handbook, Electrical Science, volume 3: basic AC power.
    """
    volts = np.sqrt(3.0) * positive("voltage_line_to_line_V", voltage_line_to_line_V)
    return np.asarray(
        at_least_zero("power_W", power_W) / (volts * up_to_one("power_factor", power_factor))
    )[()]


def inverter_dc_current_A(
    power_W: npt.ArrayLike,
    *,
    bank_V: npt.ArrayLike,
    efficiency: npt.ArrayLike,
    idle_A: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Return the current that an inverter takes from its bank [A].

    .. math:: I = \frac{P}{V \eta} + I_0

    Parameters
    ----------
    power_W : float or array
        AC output :math:`P`. [W]
    bank_V : float or array
        Voltage at the inverter :math:`V`; for cable and fuse, the lowest it works at. [V]
    efficiency : float or array
        :math:`\eta` at that output, without the idle draw, above 0 to 1. [-]
    idle_A : float or array, default 0
        Draw without load :math:`I_0`, where the efficiency does not contain it. [A]
    """
    volts = positive("bank_V", bank_V) * up_to_one("efficiency", efficiency)
    return np.asarray(at_least_zero("power_W", power_W) / volts + at_least_zero("idle_A", idle_A))[
        ()
    ]
