r"""A boat's DC network solved: the voltage at every bus, the current in every run.

Nodal analysis with Newton's method: in each round the conductances of all parts at the present
voltages, the exact Jacobian of the currents, are eliminated along the order found once for the
network (:mod:`elec.calc.network._elimination`), for all samples together.

Constant-power loads make the problem one that may have two answers, or none. The one with the
higher voltages is the one a boat runs at, and it is the one found: the first guess puts the
highest voltage of any source at every load, above any answer, and from above each step of
Newton's method stays above every answer and goes down as long as there is one, for the currents
bend only one way. Where a step finds the Jacobian not positive definite, or a load at or below
0 V, there is most likely no answer; all the loads are then raised together from nothing to the
most that the network can carry, and the one that gives way there is named. So no load is ever
called too much on the strength of a first guess, and none is carried at the lower answer.

The current of each run is carried along rather than taken from the difference of two nearly equal
voltages, so that what enters a bus leaves it to rounding, however short the run.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from elec.calc.network._cases import Case, cases, samples_of, together
from elec.calc.network._names import place_of
from elec.calc.network._newton import Point, Solver, across
from elec.calc.network.network_parts import Network

__all__ = ["Solution", "bank_shares", "solve"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Bools = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Solution:
    """A network solved. Parts along the last axis in the order of the network, samples before.

    ``bus_V`` [V] is measured from the return; ``run_A`` [A] counts from the start of a run to its
    end, ``run_drop_V`` [V] likewise; ``bank_A`` [A] is what a bank gives, below zero what it
    takes; ``source_A`` [A] what a charger or alternator gives; ``load_V`` [V] and ``load_A`` [A]
    what a load sees and takes, and ``load_drop_V`` [V] how far that is below the highest voltage
    at the terminals of any source in its part of the network.

    ``supplied`` says whether the network can carry the loads. Where it cannot, all the values are
    those at the most it can carry: constant currents and powers at ``supplied_fraction`` [-] of
    what they ask, all alike, where ``gives_way`` is the place of the load that gives way first
    (-1 elsewhere). They are then not the values of the network as asked, for it has none.
    """

    network: Network
    supplied: Bools
    supplied_fraction: Floats
    gives_way: Ints
    bus_V: Floats
    run_A: Floats
    bank_A: Floats
    source_A: Floats
    load_V: Floats
    load_A: Floats
    load_drop_V: Floats

    @property
    def run_drop_V(self) -> Floats:
        """Voltage lost along each run, out and back where that is what the run is [V]."""
        return np.asarray(self.run_A * self.network.run_ohm)

    def at_bus_V(self, bus: str) -> Floats:
        """Return the voltage of a bus [V]."""
        return self.bus_V[..., place_of(bus, self.network.buses, "bus")]

    def in_run_A(self, run: str) -> Floats:
        """Return the current in a run [A]."""
        return self.run_A[..., place_of(run, self.network.runs, "run")]

    def along_run_V(self, run: str) -> Floats:
        """Return the voltage lost along a run [V]."""
        return self.run_drop_V[..., place_of(run, self.network.runs, "run")]

    def at_load_V(self, load: str) -> Floats:
        """Return the voltage that a load sees [V]."""
        return self.load_V[..., place_of(load, self.network.loads, "load")]

    def statement(self) -> str:
        """Say in one sentence whether the loads can be carried, of the worst sample."""
        if np.all(self.supplied):
            return "The network carries its loads."
        fraction = np.ravel(self.supplied_fraction)
        worst = int(np.argmin(fraction))
        load = int(np.ravel(self.gives_way)[worst])
        net, share = self.network, float(fraction[worst])

        def asked(values: Floats) -> float:
            every = np.broadcast_to(values, (*self.supplied.shape, len(net.loads)))
            return float(every.reshape(-1, len(net.loads))[worst, load])

        most = [
            f"{share * asked(values):.6g} {unit} of the {asked(values):.6g} {unit} asked"
            for values, unit in ((net.load_W, "W"), (net.load_A, "A"))
            if asked(values) > 0
        ]
        place = net.terminals[0, load - len(net.loads)]
        return (
            f"The network cannot carry its loads: load '{net.loads[load]}' at bus "
            f"'{net.buses[place]}' gives way first, at {' and '.join(most)}, all loads being "
            f"raised alike."
        )


def solve(network: Network) -> Solution:
    r"""Solve a network at all its samples.

    .. math::
        \sum_{k \in \text{runs}} g_k (V_i - V_k)
        + \sum_{\text{loads}} \left(I + \frac{P}{V_i} + \frac{V_i}{R}\right)
        = \sum_{\text{banks}} \frac{E - V_i}{r}
        + \sum_{\text{chargers}} \min\left(\max\left(\frac{E - V_i}{r}, 0\right), I_m\right)

    Parameters
    ----------
    network : Network
        The network, from `prepare`. [-]

    Returns
    -------
    Solution
        Voltages, converged to 1e-9 V, and currents; and whether the loads can be carried. Never
        NaN. [V, A]

    References
    ----------
    J. Ortega and W. Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables,
    1970, 13.3 (Newton's method from one side); K. Murty, Linear Algebra and its Applications 7,
    1974 (the order in which sources reach their limits).

    Examples
    --------
    The most that a source can give away is a quarter of the square of its voltage, divided by
    the resistance up to the load, here 2,500 W:

    >>> from elec.calc.network import Bank, Load, Run, prepare
    >>> network = prepare(
    ...     [Run("feeder", "battery", "bow", 0.010)],
    ...     banks=[Bank("house", "battery", emf_V=12.0, resistance_ohm=0.0044)],
    ...     loads=[Load("thruster", "bow", power_W=[2400.0, 2600.0])],
    ... )
    >>> found = solve(network)
    >>> found.supplied.tolist()
    [True, False]
    >>> [round(float(volts), 2) for volts in found.at_bus_V("bow")]
    [7.2, 6.0]
    """
    shape = samples_of(network)
    blocks = [_solved(network, case) for case in cases(network, shape)]
    return Solution(
        network,
        **{name: together([block[name] for block in blocks], shape) for name in blocks[0]},
    )


def _solved(network: Network, case: Case) -> dict[str, npt.NDArray[Any]]:
    """Solve a block of samples."""
    solver = Solver(network, case)
    with np.errstate(all="ignore"):  # samples that cannot be supplied may overflow on the way
        point = solver.newton(np.ones(solver.samples))
        supplied = point.settled
        fraction, gives_way = np.ones(solver.samples), np.full(solver.samples, -1)
        if not np.all(supplied):
            point, fraction, gives_way = _overloaded(network, solver, point)
    load_V = across(point.bus_V, solver.load)
    return {
        "supplied": fraction >= 1.0,
        "supplied_fraction": fraction,
        "gives_way": np.where(fraction >= 1.0, -1, gives_way),
        "bus_V": point.bus_V[network.pattern.node_at],
        "run_A": point.run_A,
        "bank_A": -solver.bank_A(point.bus_V),
        "source_A": -solver.source_A(point.bus_V, point.state)[0],
        "load_V": load_V,
        "load_A": solver.load_A(load_V, fraction)[0],
        "load_drop_V": _highest_V(network, solver, point.bus_V) - load_V,
    }


def _overloaded(network: Network, solver: Solver, point: Point) -> tuple[Point, Floats, Ints]:
    """Put in place of the samples that did not settle what can be carried of their loads."""
    if not solver.samples:
        fraction, point, gives_way = solver.most_carried()
        return point, fraction, gives_way
    failed = ~point.settled
    reached, at_most, load = Solver(network, solver.case.only(failed)).most_carried()
    fraction, gives_way = np.ones(solver.samples), np.full(solver.samples, -1)
    for whole, part in (
        (fraction, reached),
        (gives_way, load),
        (point.bus_V, at_most.bus_V),
        (point.run_A, at_most.run_A),
        (point.state, at_most.state),
    ):
        whole[..., failed] = part
    return point, fraction, gives_way


def _highest_V(network: Network, solver: Solver, bus_V: Floats) -> Floats:
    """Highest voltage at the terminals of any source in the island of each load."""
    count = len(network.banks) + len(network.sources)
    at_source = np.concatenate([across(bus_V, solver.bank), across(bus_V, solver.source)])
    fed = network.terminals[0, len(network.runs) :]
    island = network.island[fed]
    highest = np.zeros((len(network.loads), *bus_V.shape[1:]))
    for one in np.unique(island[count:]):
        highest[island[count:] == one] = at_source[island[:count] == one].max(axis=0)
    return highest


def bank_shares(solution: Solution) -> Floats:
    r"""Share of each bank in what the banks give together, along the last axis [-].

    .. math:: s_b = \frac{I_b}{\sum_c I_c}

    Below zero for a bank that the others charge. Zero for all where together they give nothing.

    Parameters
    ----------
    solution : Solution
        A network solved. [-]

    Examples
    --------
    >>> from elec.calc.network import Bank, Load, prepare
    >>> network = prepare(
    ...     [],
    ...     banks=[
    ...         Bank("old", "busbar", emf_V=12.6, resistance_ohm=0.015),
    ...         Bank("new", "busbar", emf_V=12.6, resistance_ohm=0.005),
    ...     ],
    ...     loads=[Load("inverter", "busbar", current_A=100.0)],
    ... )
    >>> bank_shares(solve(network)).round(3).tolist()
    [0.25, 0.75]
    """
    total = solution.bank_A.sum(axis=-1, keepdims=True)
    gives = total > 0
    return np.asarray(np.where(gives, solution.bank_A / np.where(gives, total, 1.0), 0.0))
