"""What a DC network is made of.

A bus is any point where things meet: a busbar, a terminal, a splice, a device. Everything lies
between two buses. Left to itself the second one is the return, the point that the voltages are
measured from; that serves a system in which every run carries its own current out and back, when
the resistance of a run is that of both conductors. Where several circuits share a return
conductor, name the buses on the return side too, give each conductor as a run of its own, and let
the loads lie ``back`` on those buses.

Values are floats, or arrays of samples that broadcast together. Several states of the loads are
samples like any others: a load that is off in a state has zero there.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from elec.calc.network import _elimination

__all__ = ["RETURN", "Bank", "ChargeSource", "Load", "Network", "Run"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

RETURN = "return"


@dataclass(frozen=True)
class Run:
    """A cable run between two buses, its joints, fuse and switch included.

    ``resistance_ohm`` [ohm] is that of both conductors where the run goes out and back, of one
    where the returns are runs themselves. A run that is not ``closed`` is left out.
    """

    id: str
    start: str
    end: str
    resistance_ohm: npt.ArrayLike
    closed: bool = True


@dataclass(frozen=True)
class Bank:
    """A bank: ``emf_V`` [V] behind ``resistance_ohm`` [ohm]; it takes current as it gives it."""

    id: str
    bus: str
    emf_V: npt.ArrayLike
    resistance_ohm: npt.ArrayLike
    back: str = RETURN


@dataclass(frozen=True)
class ChargeSource:
    """A charger, alternator or converter.

    It holds ``set_V`` [V] behind ``resistance_ohm`` [ohm] up to ``limit_A`` [A], gives the limit
    where more is asked, and takes nothing back. Zero for the limit switches it off.
    """

    id: str
    bus: str
    set_V: npt.ArrayLike
    resistance_ohm: npt.ArrayLike
    limit_A: npt.ArrayLike
    back: str = RETURN


@dataclass(frozen=True)
class Load:
    """A load: a constant current [A], a constant power [W], a constant resistance [ohm].

    Give one of them, or several for a mixed load. Infinite resistance is none.
    """

    id: str
    bus: str
    current_A: npt.ArrayLike = 0.0
    power_W: npt.ArrayLike = 0.0
    resistance_ohm: npt.ArrayLike = np.inf
    back: str = RETURN


@dataclass(frozen=True)
class Network:
    """A network prepared: what is in it, the values, and the order in which it is solved.

    ``buses``, ``runs``, ``banks``, ``sources`` and ``loads`` are ids; each of the arrays has them
    along its last axis and samples along the others. The values may be changed, the order kept:
    ``dataclasses.replace(network, load_W=...)``.
    """

    buses: tuple[str, ...]
    runs: tuple[str, ...]
    banks: tuple[str, ...]
    sources: tuple[str, ...]
    loads: tuple[str, ...]
    run_ohm: Floats
    bank_V: Floats
    bank_ohm: Floats
    source_V: Floats
    source_ohm: Floats
    source_limit_A: Floats
    load_A: Floats
    load_W: Floats
    load_ohm: Floats
    terminals: Ints = field(repr=False)  # two rows: bus and back of runs, banks, sources, loads
    island: Ints = field(repr=False)  # of each bus, joined by runs
    pattern: _elimination.Pattern = field(repr=False)
