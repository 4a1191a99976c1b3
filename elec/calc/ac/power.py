"""Power, current and power factor, on one voltage and in three phases. Factors are lagging."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, up_to_one
from elec.errors import InputError

__all__ = [
    "apparent_power_VA",
    "current_A",
    "inverter_dc_current_A",
    "power_factor",
    "reactive_power_var",
    "three_phase_apparent_power_VA",
    "three_phase_current_A",
]

Floats = npt.NDArray[np.float64]


def current_A(
    power_W: npt.ArrayLike, *, voltage_V: npt.ArrayLike, power_factor: npt.ArrayLike = 1.0
) -> Floats:
    r"""Return the current of a load on one voltage: line to neutral, or line to line.

    .. math:: I = \frac{P}{V \cos\varphi}

    Parameters
    ----------
    power_W : float or array
        Real power :math:`P`, zero or more; give volt-amperes with power factor 1. [W]
    voltage_V : float or array
        Voltage across the load :math:`V`. [V]
    power_factor : float or array, default 1
        :math:`\cos\varphi`, above 0 to 1. [-]

    Returns
    -------
    float or array
        Current in each of the two conductors of the load. [A]

    Raises
    ------
    InputError
        If a power is negative, a voltage not above zero, or a power factor not in (0, 1].

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
    r"""Return the line current of a balanced three-phase load.

    .. math:: I = \frac{P}{\sqrt 3 \, V_{LL} \cos\varphi}

    Parameters
    ----------
    power_W : float or array
        Real power of all three phases :math:`P`; volt-amperes with power factor 1. [W]
    voltage_line_to_line_V : float or array
        Voltage between two lines :math:`V_{LL}`. [V]
    power_factor : float or array, default 1
        :math:`\cos\varphi`, above 0 to 1. [-]

    Returns
    -------
    float or array
        Current in each of the three lines. [A]

    Raises
    ------
    InputError
        If a power is negative, a voltage not above zero, or a power factor not in (0, 1].

    References
    ----------
    US DOE Fundamentals Handbook, Electrical Science, volume 3: basic AC power.
    """
    volts = np.sqrt(3.0) * positive("voltage_line_to_line_V", voltage_line_to_line_V)
    return np.asarray(
        at_least_zero("power_W", power_W) / (volts * up_to_one("power_factor", power_factor))
    )[()]


def apparent_power_VA(current_A: npt.ArrayLike, *, voltage_V: npt.ArrayLike) -> Floats:
    r"""Return the apparent power on one voltage.

    .. math:: S = V I

    Parameters
    ----------
    current_A : float or array
        Current :math:`I`. [A]
    voltage_V : float or array
        Voltage :math:`V`. [V]

    Returns
    -------
    float or array
        Apparent power :math:`S`. [VA]

    Raises
    ------
    InputError
        If a current is negative or a voltage not above zero.
    """
    return np.asarray(at_least_zero("current_A", current_A) * positive("voltage_V", voltage_V))[()]


def three_phase_apparent_power_VA(
    current_A: npt.ArrayLike, *, voltage_line_to_line_V: npt.ArrayLike
) -> Floats:
    r"""Return the apparent power of three equally loaded lines.

    .. math:: S = \sqrt 3 \, V_{LL} I

    Parameters
    ----------
    current_A : float or array
        Line current :math:`I`. [A]
    voltage_line_to_line_V : float or array
        Voltage between two lines :math:`V_{LL}`. [V]

    Returns
    -------
    float or array
        Apparent power :math:`S`. [VA]

    Raises
    ------
    InputError
        If a current is negative or a voltage not above zero.

    References
    ----------
    US DOE Fundamentals Handbook, Electrical Science, volume 3: basic AC power.
    """
    volts = positive("voltage_line_to_line_V", voltage_line_to_line_V)
    return np.asarray(np.sqrt(3.0) * volts * at_least_zero("current_A", current_A))[()]


def reactive_power_var(apparent_VA: npt.ArrayLike, *, power_factor: npt.ArrayLike) -> Floats:
    r"""Return the reactive power of a lagging load.

    .. math:: Q = S \sqrt{1 - \cos^2\varphi}

    Parameters
    ----------
    apparent_VA : float or array
        Apparent power :math:`S`. [VA]
    power_factor : float or array
        :math:`\cos\varphi`, above 0 to 1. [-]

    Returns
    -------
    float or array
        Reactive power :math:`Q`. [var]

    Raises
    ------
    InputError
        If an apparent power is negative or a power factor not in (0, 1].

    References
    ----------
    US DOE Fundamentals Handbook, Electrical Science, volume 3: basic AC power.
    """
    factor = up_to_one("power_factor", power_factor)
    return np.asarray(at_least_zero("apparent_VA", apparent_VA) * np.sqrt(1 - factor**2))[()]


def power_factor(power_W: npt.ArrayLike, *, apparent_VA: npt.ArrayLike) -> Floats:
    r"""Return the power factor from the watts and volt-amperes on a plate.

    .. math:: \cos\varphi = P / S

    Parameters
    ----------
    power_W : float or array
        Real power :math:`P`, above zero. [W]
    apparent_VA : float or array
        Apparent power :math:`S`, at least the real power. [VA]

    Returns
    -------
    float or array
        Power factor. [-]

    Raises
    ------
    InputError
        If the volt-amperes are below the watts, or either is not above zero.
    """
    watts, volt_amperes = np.broadcast_arrays(
        positive("power_W", power_W), positive("apparent_VA", apparent_VA)
    )
    wrong = volt_amperes < watts
    if np.any(wrong):
        raise InputError(
            f"apparent_VA: {volt_amperes[wrong].flat[0]:g} VA is below the real power of "
            f"{watts[wrong].flat[0]:g} W.",
            remedy="Apparent power is never below real power: read both again.",
        )
    return np.asarray(watts / volt_amperes)[()]


def inverter_dc_current_A(
    power_W: npt.ArrayLike,
    *,
    bank_V: npt.ArrayLike,
    efficiency: npt.ArrayLike,
    idle_A: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Return the current that an inverter takes from its bank.

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

    Returns
    -------
    float or array
        Direct current :math:`I`. [A]

    Raises
    ------
    InputError
        If a power or idle draw is negative, a voltage not above zero, or an efficiency not in
        (0, 1].
    """
    volts = positive("bank_V", bank_V) * up_to_one("efficiency", efficiency)
    return np.asarray(at_least_zero("power_W", power_W) / volts + at_least_zero("idle_A", idle_A))[
        ()
    ]
