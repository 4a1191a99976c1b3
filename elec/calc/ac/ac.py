"""Alternating current: legs and neutral, supply voltage and frequency, drop, cords, contacts.

Loads lie on the last axis of an array and samples in front of it. Power factors are lagging but
where they are said to lead.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within
from elec.errors import InputError

__all__ = [
    "BEHAVIOURS",
    "CIRCUITS",
    "LEGS",
    "LegCurrents",
    "apparent_power_VA",
    "connections",
    "contact_heating_W",
    "contact_resistance_ohm",
    "cord_ampacity_A",
    "current_A",
    "current_at_supply_A",
    "effective_impedance_ohm_per_m",
    "inverter_dc_current_A",
    "leg_angles_rad",
    "leg_currents_A",
    "line_to_line_V",
    "loaded_conductors",
    "motor_speed_ratio",
    "neutral_current_A",
    "power_at_supply_W",
    "power_factor",
    "reactance_at_frequency_ohm_per_m",
    "reactive_power_var",
    "supply_resistance_ohm",
    "three_phase_apparent_power_VA",
    "three_phase_current_A",
    "voltage_drop_V",
    "volts_per_hertz_ratio",
]

Floats = npt.NDArray[np.float64]

#: Supply system -> its hot legs.
LEGS = {
    "single": ("L1",),
    "split-phase": ("L1", "L2"),
    "wye two legs": ("L1", "L2"),
    "three-phase wye": ("L1", "L2", "L3"),
}
_LEG_ANGLES_DEG = {
    "single": (0.0,),
    "split-phase": (0.0, 180.0),
    "wye two legs": (0.0, -120.0),
    "three-phase wye": (0.0, -120.0, 120.0),
}
#: How the current of a load answers to the supply voltage.
BEHAVIOURS = ("constant power", "resistance", "motor")
#: Circuit -> conductors' worth of impedance in its voltage drop.
CIRCUITS = {
    "two-wire": 2.0,
    "balanced split-phase leg": 1.0,
    "three-phase line-to-line": np.sqrt(3.0),
}


def _choice(name: str, given: str, accepted: Sequence[str]) -> str:
    if given not in accepted:
        raise InputError(
            f"{name}: {given!r} was given.", remedy=f"Accepted: {', '.join(accepted)}."
        )
    return given


def _factor(name: str, value: npt.ArrayLike) -> Floats:
    return within(name, positive(name, value), 0, 1)


def _phasor(current: Floats, factor: Floats, leading: npt.ArrayLike) -> npt.NDArray[np.complex128]:
    # Lagging: the current is behind its voltage.
    side = np.where(np.asarray(leading, dtype=bool), 1j, -1j)
    return np.asarray(current * (factor + side * np.sqrt(1 - factor**2)))


def leg_angles_rad(system: str) -> Floats:
    """Return the angle of the voltage of each leg to neutral.

    Parameters
    ----------
    system : str
        One of `LEGS`. [text]

    Returns
    -------
    array
        Angles, the first leg at zero. [rad]

    Raises
    ------
    InputError
        If the system is unknown.

    Examples
    --------
    >>> leg_angles_rad("split-phase").round(3).tolist()
    [0.0, 3.142]
    """
    return np.radians(_LEG_ANGLES_DEG[_choice("system", system, tuple(LEGS))])


def _leg_voltages(system: str) -> npt.NDArray[np.complex128]:
    return np.asarray(np.exp(1j * leg_angles_rad(system)))


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
        at_least_zero("power_W", power_W) / (volts * _factor("power_factor", power_factor))
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
        at_least_zero("power_W", power_W) / (volts * _factor("power_factor", power_factor))
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
    factor = _factor("power_factor", power_factor)
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


def current_at_supply_A(
    current_A: npt.ArrayLike,
    *,
    rated_V: npt.ArrayLike,
    supply_V: npt.ArrayLike,
    behaviour: str | Sequence[str],
) -> Floats:
    r"""Return the current of a load off its rated voltage.

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

    Returns
    -------
    float or array
        Current on the supply voltage. [A]

    Raises
    ------
    InputError
        If a current is negative, a voltage not above zero, or a behaviour unknown.

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
        _choice("behaviour", str(name), BEHAVIOURS)
    resists = np.asarray(behaviour) == "resistance"
    return np.asarray(at_least_zero("current_A", current_A) * np.where(resists, ratio, 1 / ratio))[
        ()
    ]


def power_at_supply_W(
    power_W: npt.ArrayLike, *, rated_V: npt.ArrayLike, supply_V: npt.ArrayLike
) -> Floats:
    r"""Return the power of a constant resistance on a voltage other than its rated one.

    .. math:: P = P_r (V / V_r)^2

    Parameters
    ----------
    power_W : float or array
        Power at the rated voltage :math:`P_r`. [W]
    rated_V : float or array
        Rated voltage :math:`V_r`. [V]
    supply_V : float or array
        Voltage that the supply gives :math:`V`. [V]

    Returns
    -------
    float or array
        Power on the supply voltage. [W]

    Raises
    ------
    InputError
        If a power is negative or a voltage not above zero.
    """
    ratio = positive("supply_V", supply_V) / positive("rated_V", rated_V)
    return np.asarray(at_least_zero("power_W", power_W) * ratio**2)[()]


def line_to_line_V(line_to_neutral_V: npt.ArrayLike, *, system: str) -> Floats:
    r"""Return the voltage between two legs.

    .. math:: V_{LL} = 2 V_{LN} \ \text{(split phase)}, \quad \sqrt 3 \, V_{LN} \ \text{(wye)}

    Parameters
    ----------
    line_to_neutral_V : float or array
        Voltage from a leg to neutral :math:`V_{LN}`. [V]
    system : str
        One of `LEGS` with two or three legs. [text]

    Returns
    -------
    float or array
        Voltage between two legs :math:`V_{LL}`. [V]

    Raises
    ------
    InputError
        If a voltage is not above zero, or the system is unknown or has one leg.
    """
    legs = _leg_voltages(system)
    if len(legs) < 2:
        raise InputError(
            f"system: {system!r} has one leg.", remedy="A line-to-line voltage needs two legs."
        )
    return np.asarray(positive("line_to_neutral_V", line_to_neutral_V) * abs(legs[0] - legs[1]))[()]


def connections(system: str) -> tuple[str, ...]:
    """List the ways in which a load may be connected to a system.

    Parameters
    ----------
    system : str
        One of `LEGS`. [text]

    Returns
    -------
    tuple of str
        For example ``("L1-N", "L2-N", "L1-L2")``. [text]

    Raises
    ------
    InputError
        If the system is unknown.

    Examples
    --------
    >>> connections("split-phase")
    ('L1-N', 'L2-N', 'L1-L2')
    """
    legs = LEGS[_choice("system", system, tuple(LEGS))]
    neutral = tuple(f"{leg}-N" for leg in legs)
    lines = {1: (), 2: ("L1-L2",), 3: ("L1-L2", "L2-L3", "L3-L1", "three-phase")}
    return neutral + lines[len(legs)]


@dataclass(frozen=True)
class LegCurrents:
    """Currents of a set of loads, by leg and in the neutral.

    `sum_A` adds magnitudes, as is done on paper; `phasor_A` adds phasors. The sum is never the
    smaller. Both have the legs on the last axis; `neutral_A` has the samples only.
    """

    legs: tuple[str, ...]
    sum_A: Floats
    phasor_A: Floats
    neutral_A: Floats


def _flow(connection: str, voltages: npt.NDArray[np.complex128]) -> npt.NDArray[np.complex128]:
    """Phasor in each leg of a load that draws 1 A in phase with its own voltage."""
    flow = np.zeros(len(voltages), dtype=np.complex128)
    if connection == "three-phase":
        return voltages
    out, _, back = connection.partition("-")
    start = int(out[1]) - 1
    if back == "N":
        flow[start] = voltages[start]
        return flow
    end = int(back[1]) - 1
    across = voltages[start] - voltages[end]
    flow[start], flow[end] = across / abs(across), -across / abs(across)
    return flow


def leg_currents_A(
    current_A: npt.ArrayLike,
    *,
    connection: Sequence[str],
    system: str,
    power_factor: npt.ArrayLike = 1.0,
    leading: npt.ArrayLike = False,
) -> LegCurrents:
    r"""Return the current in each leg and in the neutral, of loads connected in any way.

    .. math::

        \underline I_l = \sum_i m_{il} \, I_i (\cos\varphi_i - j \sin\varphi_i), \qquad
        \underline I_N = \sum_{i \in LN} \underline I_i

    where :math:`m_{il}` is the direction of the voltage across load :math:`i`, with its sign in
    leg :math:`l`. A line-to-line load counts with its whole current in both its legs.

    Parameters
    ----------
    current_A : float or array
        Current of each load at its own terminals :math:`I_i`; of a three-phase load, in each
        line. Loads on the last axis, samples in front. [A]
    connection : sequence of str
        How each load is connected, one of ``connections(system)``. [text]
    system : str
        One of `LEGS`. [text]
    power_factor : float or array, default 1
        :math:`\cos\varphi_i` of each load, above 0 to 1. [-]
    leading : bool or array, default False
        Whether the power factor of each load leads; the sine is then negative. [-]

    Returns
    -------
    LegCurrents
        Arithmetic sum and phasor sum for each leg, and phasor in the neutral. [A]

    Raises
    ------
    InputError
        If the system has no such connection, the numbers of loads and connections differ, a
        current is negative, or a power factor is not in (0, 1].

    Notes
    -----
    Balanced supply voltages, currents without harmonics; for the neutral of electronic loads see
    `elec.calc.ac.ac.neutral`.

    References
    ----------
    Circuit theory.

    Examples
    --------
    >>> loads = leg_currents_A([30, 50], connection=("L1-N", "L2-N"), system="split-phase")
    >>> loads.sum_A.tolist(), round(float(loads.neutral_A), 6)
    ([30.0, 50.0], 20.0)
    """
    voltages = _leg_voltages(system)
    accepted = connections(system)
    for place, name in enumerate(connection, start=1):
        if name not in accepted:
            raise InputError(
                f"connection: load {place} is connected {name!r}, which a {system!r} supply "
                "does not have.",
                remedy=f"Accepted: {', '.join(accepted)}.",
            )
    current = np.atleast_1d(at_least_zero("current_A", current_A))
    factor = np.atleast_1d(_factor("power_factor", power_factor))
    if current.shape[-1] != len(connection) or factor.shape[-1] not in (1, len(connection)):
        raise InputError(
            f"connection: {len(connection)} connections for {current.shape[-1]} currents and "
            f"{factor.shape[-1]} power factors.",
            remedy="Give one connection for each load, loads on the last axis.",
        )
    flows = np.array([_flow(name, voltages) for name in connection]).reshape(-1, len(voltages))
    to_neutral = np.array([name.endswith("-N") for name in connection], dtype=bool)
    phasors = _phasor(current, factor, leading)
    own = flows[to_neutral].sum(axis=-1)
    return LegCurrents(
        legs=LEGS[system],
        sum_A=np.asarray(np.broadcast_to(current, phasors.shape) @ (abs(flows) > 0).astype(float)),
        phasor_A=np.asarray(abs(phasors @ flows)),
        neutral_A=np.asarray(abs(phasors[..., to_neutral] @ own))[()],
    )


def neutral_current_A(
    line_to_neutral_A: npt.ArrayLike,
    *,
    system: str,
    power_factor: npt.ArrayLike = 1.0,
    leading: npt.ArrayLike = False,
) -> Floats:
    r"""Return the neutral current from the line-to-neutral current of each leg.

    With one power factor on all legs,

    .. math::

        I_N = |I_1 - I_2| \ \text{(split phase)}, \quad
        I_N = \sqrt{I_1^2 + I_2^2 - I_1 I_2} \ \text{(two legs of a wye)}.

    Parameters
    ----------
    line_to_neutral_A : array
        Line-to-neutral current of each leg, legs on the last axis. [A]
    system : str
        One of `LEGS`. [text]
    power_factor : float or array, default 1
        Power factor of each leg, above 0 to 1. [-]
    leading : bool or array, default False
        Whether that of each leg leads. [-]

    Returns
    -------
    float or array
        Neutral current. Two equal legs of a wye give as much in the neutral, not zero. [A]

    Raises
    ------
    InputError
        If the last axis is not as long as the legs of the system, a current is negative, or a
        power factor is not in (0, 1].

    References
    ----------
    Circuit theory; NFPA 70-2017, 220.61 (maximum unbalance).

    Examples
    --------
    >>> round(float(neutral_current_A([30, 40], system="wye two legs")), 2)
    36.06
    """
    names = tuple(f"{leg}-N" for leg in LEGS[_choice("system", system, tuple(LEGS))])
    return leg_currents_A(
        line_to_neutral_A,
        connection=names,
        system=system,
        power_factor=power_factor,
        leading=leading,
    ).neutral_A


def reactance_at_frequency_ohm_per_m(
    reactance_ohm_per_m: npt.ArrayLike, *, listed_Hz: npt.ArrayLike, supply_Hz: npt.ArrayLike
) -> Floats:
    r"""Return an inductive reactance at a frequency other than its listed one.

    .. math:: X = X_r f / f_r

    Parameters
    ----------
    reactance_ohm_per_m : float or array
        Reactance :math:`X_r` as listed. [ohm/m]
    listed_Hz : float or array
        Frequency :math:`f_r` for which it is listed. [Hz]
    supply_Hz : float or array
        Frequency of the supply :math:`f`. [Hz]

    Returns
    -------
    float or array
        Reactance at the supply frequency. [ohm/m]

    Raises
    ------
    InputError
        If a reactance is negative or a frequency not above zero.
    """
    ratio = positive("supply_Hz", supply_Hz) / positive("listed_Hz", listed_Hz)
    return np.asarray(at_least_zero("reactance_ohm_per_m", reactance_ohm_per_m) * ratio)[()]


def effective_impedance_ohm_per_m(
    resistance_ohm_per_m: npt.ArrayLike,
    *,
    reactance_ohm_per_m: npt.ArrayLike = 0.0,
    power_factor: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Return the impedance of one conductor that counts in the drop of voltage magnitude.

    .. math:: Z_e = R \cos\varphi + X \sin\varphi, \qquad \sin\varphi \ge 0 \ \text{(lagging)}

    Parameters
    ----------
    resistance_ohm_per_m : float or array
        AC resistance :math:`R` of one conductor at its temperature. [ohm/m]
    reactance_ohm_per_m : float or array, default 0
        Reactance :math:`X` of one conductor to neutral, at the supply frequency. [ohm/m]
    power_factor : float or array, default 1
        Lagging :math:`\cos\varphi` of the load, above 0 to 1. [-]

    Returns
    -------
    float or array
        Effective impedance :math:`Z_e`. [ohm/m]

    Raises
    ------
    InputError
        If an impedance is negative or a power factor not in (0, 1].

    References
    ----------
    NFPA 70-2017, chapter 9, Table 9, note 2.
    """
    factor = _factor("power_factor", power_factor)
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

    Raises
    ------
    InputError
        If a current or impedance is negative, a length not above zero, a power factor not in
        (0, 1], or the circuit unknown.

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
    conductors = CIRCUITS[_choice("circuit", circuit, tuple(CIRCUITS))]
    length = positive("length_one_way_m", length_one_way_m)
    return np.asarray(conductors * at_least_zero("current_A", current_A) * length * impedance)[()]


def loaded_conductors(*, system: str, mostly_nonlinear: bool = False) -> int:
    """Count the conductors of a cord that count as loaded.

    A neutral that carries only the unbalance of split phase does not count. That of two legs of a
    wye always counts; that of three legs, when most of the load is nonlinear.

    Parameters
    ----------
    system : str
        One of `LEGS`. [text]
    mostly_nonlinear : bool, default False
        Whether most of the load is electronic (third harmonics add in a wye neutral). [-]

    Returns
    -------
    int
        Loaded conductors. [-]

    Raises
    ------
    InputError
        If the system is unknown.

    References
    ----------
    NFPA 70-2017, 310.15(B)(5) and 400.5.

    Examples
    --------
    >>> [loaded_conductors(system=system) for system in ("split-phase", "wye two legs")]
    [2, 3]
    """
    legs = len(LEGS[_choice("system", system, tuple(LEGS))])
    if system == "three-phase wye":
        return legs + int(mostly_nonlinear)
    return legs if system == "split-phase" else legs + 1


def cord_ampacity_A(
    two_loaded_A: npt.ArrayLike,
    *,
    three_loaded_A: npt.ArrayLike,
    loaded: int,
    more_loaded_factor: npt.ArrayLike | None = None,
    ambient_factor: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Return the ampacity of a flexible cord for the number of its loaded conductors.

    .. math::

        I_z = k_\theta \times \begin{cases} I_2 & n = 2 \\ I_3 & n = 3 \\
        k_n I_3 & n \ge 4 \end{cases}

    Parameters
    ----------
    two_loaded_A : float or array
        Table value :math:`I_2` for two loaded conductors. [A]
    three_loaded_A : float or array
        Table value :math:`I_3` for three loaded conductors, not above the other. [A]
    loaded : int
        Loaded conductors :math:`n`, two or more; see `loaded_conductors`. [-]
    more_loaded_factor : float or array, optional
        Factor :math:`k_n` on the three-conductor value; needed from four up. [-]
    ambient_factor : float or array, default 1
        Correction :math:`k_\theta` for an ambient other than the table's. [-]

    Returns
    -------
    float or array
        Ampacity :math:`I_z`. [A]

    Raises
    ------
    InputError
        If fewer than two conductors are loaded, the columns are swapped, or a needed factor is
        missing or not above zero.

    References
    ----------
    NFPA 70-2017, 400.5(A) and Tables 400.5(A)(1), 400.5(A)(3).
    """
    two = positive("two_loaded_A", two_loaded_A)
    three = positive("three_loaded_A", three_loaded_A)
    if np.any(three > two):
        raise InputError(
            "three_loaded_A: a value above that for two loaded conductors was given.",
            remedy="More loaded conductors never carry more each: the columns may be swapped.",
        )
    if loaded < 2:
        raise InputError(f"loaded: {loaded} was given.", remedy="Accepted: two or more.")
    if loaded > 3 and more_loaded_factor is None:
        raise InputError(
            f"more_loaded_factor: not given, with {loaded} loaded conductors.",
            remedy="Give the table's factor for that number of conductors.",
        )
    value = two if loaded == 2 else three
    if loaded > 3 and more_loaded_factor is not None:
        value = value * _factor("more_loaded_factor", more_loaded_factor)
    return np.asarray(value * positive("ambient_factor", ambient_factor))[()]


def contact_heating_W(current_A: npt.ArrayLike, *, drop_V: npt.ArrayLike) -> Floats:
    r"""Return the heat in a contact, from the drop measured across it.

    .. math:: P = I \, \Delta V

    Parameters
    ----------
    current_A : float or array
        Current :math:`I` at the moment of the reading. [A]
    drop_V : float or array
        Drop :math:`\Delta V` across the contact alone. [V]

    Returns
    -------
    float or array
        Heat :math:`P`. [W]

    Raises
    ------
    InputError
        If either is negative.
    """
    return np.asarray(at_least_zero("current_A", current_A) * at_least_zero("drop_V", drop_V))[()]


def contact_resistance_ohm(current_A: npt.ArrayLike, *, drop_V: npt.ArrayLike) -> Floats:
    r"""Return the resistance of a contact, from the drop measured across it.

    .. math:: R = \Delta V / I

    Parameters
    ----------
    current_A : float or array
        Current :math:`I` at the moment of the reading, above zero. [A]
    drop_V : float or array
        Drop :math:`\Delta V` across the contact alone. [V]

    Returns
    -------
    float or array
        Resistance :math:`R`. [ohm]

    Raises
    ------
    InputError
        If the current is not above zero or the drop negative.
    """
    return np.asarray(at_least_zero("drop_V", drop_V) / positive("current_A", current_A))[()]


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

    Raises
    ------
    InputError
        If the voltage rose under load, a voltage is not above zero, or no current was added.
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

    Raises
    ------
    InputError
        If any of them is not above zero.

    Examples
    --------
    >>> ratio = volts_per_hertz_ratio(230, supply_Hz=50, rated_V=230, rated_Hz=60)
    >>> round(float(ratio), 3)
    1.2
    """
    flux = positive("supply_V", supply_V) / positive("supply_Hz", supply_Hz)
    return np.asarray(flux / (positive("rated_V", rated_V) / positive("rated_Hz", rated_Hz)))[()]


def motor_speed_ratio(supply_Hz: npt.ArrayLike, *, rated_Hz: npt.ArrayLike) -> Floats:
    r"""Return the synchronous speed against the rated one.

    .. math:: n / n_r = f / f_r

    Parameters
    ----------
    supply_Hz : float or array
        Frequency of the supply :math:`f`. [Hz]
    rated_Hz : float or array
        Rated frequency :math:`f_r`. [Hz]

    Returns
    -------
    float or array
        Ratio of speeds. [-]

    Raises
    ------
    InputError
        If either is not above zero.
    """
    return np.asarray(positive("supply_Hz", supply_Hz) / positive("rated_Hz", rated_Hz))[()]


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
    volts = positive("bank_V", bank_V) * _factor("efficiency", efficiency)
    return np.asarray(at_least_zero("power_W", power_W) / volts + at_least_zero("idle_A", idle_A))[
        ()
    ]
