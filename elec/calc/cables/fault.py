"""Fault current of battery systems: what the sources can push through a short circuit.

Strings in parallel add to it; cells in series add voltage and resistance alike. Two figures are
needed: the largest (full bank, cold cable, near end) against what the device can break, and the
smallest (weak bank, hot cable, far end) against what makes it open.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive

__all__ = [
    "bank_resistance_ohm",
    "fault_from_capacity_A",
    "motor_contribution_A",
    "parallel_cranking_A",
    "prospective_fault_A",
]

Floats = npt.NDArray[np.float64]


def bank_resistance_ohm(
    cell_ohm: npt.ArrayLike, *, cells_in_series: npt.ArrayLike, strings_in_parallel: npt.ArrayLike
) -> Floats:
    r"""Resistance inside a bank of like cells, its connections left out [ohm].

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


def prospective_fault_A(
    open_circuit_V: npt.ArrayLike, *, bank_ohm: npt.ArrayLike, loop_ohm: npt.ArrayLike = 0.0
) -> Floats:
    r"""Steady current of a dead short at the end of a loop [A].

    .. math:: I_p = \frac{V}{R_b + R_l}

    Parameters
    ----------
    open_circuit_V : float or array
        Open-circuit voltage :math:`V`. [V]
    bank_ohm : float or array
        Internal resistance of the bank :math:`R_b`. [ohm]
    loop_ohm : float or array, default 0
        Both conductors and the joints up to the fault :math:`R_l`. [ohm]

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


def fault_from_capacity_A(capacity_Ah: npt.ArrayLike, *, amperes_per_Ah: npt.ArrayLike) -> Floats:
    r"""Rough fault current of a bank from its capacity alone: a sanity check, no answer [A].

    .. math:: I_p \approx k C

    Parameters
    ----------
    capacity_Ah : float or array
        Capacity of all strings together :math:`C`. [Ah]
    amperes_per_Ah : float or array
        Rule-of-thumb ratio :math:`k`. [1/h]

    References
    ----------
    Practice for lead-acid, as republished in a guide to DC distribution.
    """
    return (positive("capacity_Ah", capacity_Ah) * positive("amperes_per_Ah", amperes_per_Ah))[()]


def motor_contribution_A(rated_current_A: npt.ArrayLike, *, multiple: npt.ArrayLike) -> Floats:
    r"""Largest current that running DC motors add to a fault [A].

    .. math:: I_m = m I

    Parameters
    ----------
    rated_current_A : float or array
        Rated current of the motors running :math:`I`. [A]
    multiple : float or array
        Multiple :math:`m`. [-]

    References
    ----------
    IEEE 946-2020, annex D.
    """
    current = at_least_zero("rated_current_A", rated_current_A)
    return (current * positive("multiple", multiple))[()]


def parallel_cranking_A(cranking_A: npt.ArrayLike, *, strings_in_parallel: npt.ArrayLike) -> Floats:
    r"""Cranking current of all batteries connected, by which interrupting tables are entered [A].

    .. math:: I = n_p I_1

    Batteries in series are not added.

    Parameters
    ----------
    cranking_A : float or array
        Cold cranking rating of one battery, or of a series string of like ones :math:`I_1`. [A]
    strings_in_parallel : float or array
        Strings :math:`n_p`. [-]

    References
    ----------
    ABYC E-11, Table V-A, as republished.
    """
    strings = positive("strings_in_parallel", strings_in_parallel)
    return (positive("cranking_A", cranking_A) * strings)[()]
