"""Fault current of battery systems: what the sources can push through a short circuit.

Strings in parallel add to it; cells in series add voltage and resistance alike. Two figures are
needed: the largest (full bank, cold cable, near end) against what the device can break, and the
smallest (weak bank, hot cable, far end) against what makes it open.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.errors import InputError

__all__ = [
    "FaultRange",
    "Source",
    "bank_resistance_ohm",
    "current_after_A",
    "fault_from_capacity_A",
    "fault_range_A",
    "loop_time_constant_s",
    "motor_contribution_A",
    "parallel_cranking_A",
    "parallel_sources",
    "prospective_fault_A",
    "time_to_reach_s",
]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Source:
    """Sources seen as one: ``potential_V`` [V] behind ``resistance_ohm`` [ohm]."""

    potential_V: Floats
    resistance_ohm: Floats


@dataclass(frozen=True)
class FaultRange:
    """``least_A`` [A] at the far end of a weak system, ``greatest_A`` [A] near a strong one."""

    least_A: Floats
    greatest_A: Floats


def bank_resistance_ohm(
    cell_ohm: npt.ArrayLike, *, cells_in_series: npt.ArrayLike, strings_in_parallel: npt.ArrayLike
) -> Floats:
    r"""Resistance inside a bank of like cells, its connections left out.

    .. math:: R_b = \frac{n_s}{n_p} \, r

    Parameters
    ----------
    cell_ohm : float or array
        Resistance of one cell (or of one battery) :math:`r`: the slope of its discharge volts
        against current, not its AC impedance. [ohm]
    cells_in_series : float or array
        Cells (or batteries) in a string :math:`n_s`. [-]
    strings_in_parallel : float or array
        Strings :math:`n_p`. [-]

    Returns
    -------
    float or array
        Resistance :math:`R_b`. [ohm]

    Raises
    ------
    InputError
        If a value is not above zero.

    References
    ----------
    Kirchhoff's laws; IEEE 946, annex on battery short-circuit current.

    Examples
    --------
    >>> round(float(bank_resistance_ohm(0.0005, cells_in_series=110, strings_in_parallel=1)), 4)
    0.055
    """
    series = positive("cells_in_series", cells_in_series)
    parallel = positive("strings_in_parallel", strings_in_parallel)
    return (positive("cell_ohm", cell_ohm) * series / parallel)[()]


def parallel_sources(potential_V: npt.ArrayLike, *, resistance_ohm: npt.ArrayLike) -> Source:
    r"""Several sources in parallel seen as one.

    .. math:: \frac1R = \sum_i \frac1{R_i}, \quad V = R \sum_i \frac{V_i}{R_i}

    Parameters
    ----------
    potential_V : array
        Open-circuit voltage :math:`V_i` of each, along the last axis. [V]
    resistance_ohm : array
        Resistance :math:`R_i` of each up to the point they share. [ohm]

    Returns
    -------
    Source
        The one source. [V, ohm]

    Raises
    ------
    InputError
        If a value is not above zero.

    References
    ----------
    Millman's theorem.
    """
    volts, ohms = np.broadcast_arrays(
        np.atleast_1d(positive("potential_V", potential_V)),
        positive("resistance_ohm", resistance_ohm),
    )
    one = 1.0 / (1.0 / ohms).sum(axis=-1)
    return Source((one * (volts / ohms).sum(axis=-1))[()], one[()])


def prospective_fault_A(
    open_circuit_V: npt.ArrayLike, *, bank_ohm: npt.ArrayLike, loop_ohm: npt.ArrayLike = 0.0
) -> Floats:
    r"""Steady current of a dead short at the end of a loop.

    .. math:: I_p = \frac{V}{R_b + R_l}

    Parameters
    ----------
    open_circuit_V : float or array
        Open-circuit voltage :math:`V`. [V]
    bank_ohm : float or array
        Internal resistance of the bank :math:`R_b`. [ohm]
    loop_ohm : float or array, default 0
        Both conductors and the joints up to the fault :math:`R_l`. [ohm]

    Returns
    -------
    float or array
        Prospective fault current :math:`I_p`. [A]

    Raises
    ------
    InputError
        If voltage or bank resistance is not above zero, or the loop's is below zero.

    References
    ----------
    IEEE 946, annex on battery short-circuit current.

    Examples
    --------
    >>> round(float(prospective_fault_A(240.0, bank_ohm=0.055)), 1)
    4363.6
    """
    total = positive("bank_ohm", bank_ohm) + at_least_zero("loop_ohm", loop_ohm)
    return (positive("open_circuit_V", open_circuit_V) / total)[()]


def fault_range_A(
    open_circuit_V: npt.ArrayLike,
    *,
    bank_ohm: npt.ArrayLike,
    near_cold_loop_ohm: npt.ArrayLike,
    far_hot_loop_ohm: npt.ArrayLike,
    weak_multiple: npt.ArrayLike,
    weak_open_circuit_V: npt.ArrayLike | None = None,
) -> FaultRange:
    r"""Smallest and largest fault current that a device may see.

    .. math:: I_{max} = \frac{V}{R_b + R_{near}}, \quad I_{min} = \frac{V_w}{w R_b + R_{far}}

    Parameters
    ----------
    open_circuit_V : float or array
        Open-circuit voltage of the full bank :math:`V`. [V]
    bank_ohm : float or array
        Internal resistance of the full bank :math:`R_b`. [ohm]
    near_cold_loop_ohm : float or array
        Loop from the bank to the device, coldest :math:`R_{near}`. [ohm]
    far_hot_loop_ohm : float or array
        Loop from the bank to the far end of the run, hottest :math:`R_{far}`. [ohm]
    weak_multiple : float or array
        Resistance of the weak bank over the full one's :math:`w`, from 1. [-]
    weak_open_circuit_V : float or array, optional
        Open-circuit voltage of the weak bank :math:`V_w`; the full bank's if left out. [V]

    Returns
    -------
    FaultRange
        Smallest and largest current. [A]

    Raises
    ------
    InputError
        If a value is outside its range, or the far loop is less than the near one.

    References
    ----------
    IEEE 946 for the largest; the weak bank after Medora and Kusko, battery cable faults.
    """
    near = at_least_zero("near_cold_loop_ohm", near_cold_loop_ohm)
    far = at_least_zero("far_hot_loop_ohm", far_hot_loop_ohm)
    if np.any(far < near):
        raise InputError(
            "far_hot_loop_ohm: less than near_cold_loop_ohm.",
            remedy="Give the whole loop to the far end, with the part up to the device.",
        )
    weaker = positive("weak_multiple", weak_multiple)
    if np.any(weaker < 1):
        raise InputError(
            f"weak_multiple: {float(weaker.min()):g} was given.", remedy="Accepted: 1 or more."
        )
    weak_V = open_circuit_V if weak_open_circuit_V is None else weak_open_circuit_V
    bank = positive("bank_ohm", bank_ohm)
    return FaultRange(
        least_A=prospective_fault_A(weak_V, bank_ohm=bank * weaker, loop_ohm=far),
        greatest_A=prospective_fault_A(open_circuit_V, bank_ohm=bank, loop_ohm=near),
    )


def fault_from_capacity_A(capacity_Ah: npt.ArrayLike, *, amperes_per_Ah: npt.ArrayLike) -> Floats:
    r"""Rough fault current of a bank from its capacity alone: a sanity check, no answer.

    .. math:: I_p \approx k C

    Parameters
    ----------
    capacity_Ah : float or array
        Capacity of all strings together :math:`C`. [Ah]
    amperes_per_Ah : float or array
        Rule-of-thumb ratio :math:`k`. [1/h]

    Returns
    -------
    float or array
        Rough fault current. [A]

    Raises
    ------
    InputError
        If a value is not above zero.

    References
    ----------
    Practice for lead-acid, as republished in a guide to DC distribution.
    """
    return (positive("capacity_Ah", capacity_Ah) * positive("amperes_per_Ah", amperes_per_Ah))[()]


def motor_contribution_A(rated_current_A: npt.ArrayLike, *, multiple: npt.ArrayLike) -> Floats:
    r"""Largest current that running DC motors add to a fault.

    .. math:: I_m = m I

    Parameters
    ----------
    rated_current_A : float or array
        Rated current of the motors running :math:`I`. [A]
    multiple : float or array
        Multiple :math:`m`. [-]

    Returns
    -------
    float or array
        Added current. [A]

    Raises
    ------
    InputError
        If the current is below zero or the multiple is not above zero.

    References
    ----------
    IEEE 946-2020, annex D.
    """
    current = at_least_zero("rated_current_A", rated_current_A)
    return (current * positive("multiple", multiple))[()]


def parallel_cranking_A(cranking_A: npt.ArrayLike, *, strings_in_parallel: npt.ArrayLike) -> Floats:
    r"""Cranking current of all batteries connected, by which interrupting tables are entered.

    .. math:: I = n_p I_1

    Batteries in series are not added.

    Parameters
    ----------
    cranking_A : float or array
        Cold cranking rating of one battery, or of a series string of like ones :math:`I_1`. [A]
    strings_in_parallel : float or array
        Strings :math:`n_p`. [-]

    Returns
    -------
    float or array
        Cranking current connected. [A]

    Raises
    ------
    InputError
        If a value is not above zero.

    References
    ----------
    ABYC E-11, Table V-A, as republished.
    """
    strings = positive("strings_in_parallel", strings_in_parallel)
    return (positive("cranking_A", cranking_A) * strings)[()]


# -- how fast it rises -------------------------------------------------------------------------


def loop_time_constant_s(inductance_H: npt.ArrayLike, *, resistance_ohm: npt.ArrayLike) -> Floats:
    r"""Time constant with which a DC fault current rises.

    .. math:: \tau = L / R

    Parameters
    ----------
    inductance_H : float or array
        Inductance of the whole loop :math:`L`. [H]
    resistance_ohm : float or array
        Resistance of the whole loop with the bank :math:`R`. [ohm]

    Returns
    -------
    float or array
        Time constant :math:`\tau`. [s]

    Raises
    ------
    InputError
        If the inductance is below zero or the resistance not above zero.
    """
    ohms = positive("resistance_ohm", resistance_ohm)
    return (at_least_zero("inductance_H", inductance_H) / ohms)[()]


def current_after_A(
    time_s: npt.ArrayLike, *, prospective_A: npt.ArrayLike, time_constant_s: npt.ArrayLike
) -> Floats:
    r"""Fault current a time after it began.

    .. math:: i = I_p (1 - e^{-t/\tau})

    Parameters
    ----------
    time_s : float or array
        Time since the fault began :math:`t`. [s]
    prospective_A : float or array
        Prospective fault current :math:`I_p`. [A]
    time_constant_s : float or array
        Time constant of the loop :math:`\tau`, above zero. [s]

    Returns
    -------
    float or array
        Current :math:`i`. [A]

    Raises
    ------
    InputError
        If a value is outside its range.

    References
    ----------
    Step response of an inductive loop; physics.
    """
    spans = at_least_zero("time_s", time_s) / positive("time_constant_s", time_constant_s)
    return (at_least_zero("prospective_A", prospective_A) * -np.expm1(-spans))[()]


def time_to_reach_s(
    current_A: npt.ArrayLike, *, prospective_A: npt.ArrayLike, time_constant_s: npt.ArrayLike
) -> Floats:
    r"""Time that a rising fault current takes to a level; infinite if it never gets there.

    .. math:: t = -\tau \ln(1 - i / I_p)

    Parameters
    ----------
    current_A : float or array
        Level :math:`i`, such as a magnetic trip. [A]
    prospective_A : float or array
        Prospective fault current :math:`I_p`. [A]
    time_constant_s : float or array
        Time constant of the loop :math:`\tau`. [s]

    Returns
    -------
    float or array
        Time; infinite where the level is the prospective current or above. [s]

    Raises
    ------
    InputError
        If a value is outside its range.

    References
    ----------
    Step response of an inductive loop; physics.
    """
    share = at_least_zero("current_A", current_A) / positive("prospective_A", prospective_A)
    tau = at_least_zero("time_constant_s", time_constant_s)
    reached = share < 1
    time = -tau * np.log1p(-np.where(reached, share, 0.0))
    return np.where(reached, time, np.inf)[()]
