"""Newton's method on a DC network, for a block of samples at once.

Arrays have parts along the first axis and samples along the second, or no second axis for one
sample alone. Buses stand in order of elimination, the return after them. Currents count from the
first end of a part to the second, so that those of a source that gives are below zero.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from elec.calc.network import _elimination
from elec.calc.network._cases import Case
from elec.calc.network.network_parts import Network
from elec.errors import InputError

__all__ = ["Point", "Solver", "across"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Bools = npt.NDArray[np.bool_]
Ends = tuple[Ints, Ints]

TOLERANCE_V = 1e-9  # of the last step; the error left after it is far smaller
FRACTION_TOLERANCE = 1e-6  # relative, of the share of its loads that a network carries
_ROUNDS = 60
_ROUNDS_ALL_AT_ONCE = 30
_SWITCH_V = 1e-12  # a source changes its state when it is past the edge by more than this
_LEAST_V = 1e-6  # below it no load is fed; keeps the power divided by it finite
# Beside a source that is off or at its limit where no bank is, so that no bus is left floating.
_LEAK_S = 1e-9

_HOLDS, _AT_LIMIT, _OFF = 0, 1, 2


@dataclass(frozen=True)
class Point:
    """Where Newton's method stands, and for which samples it has settled."""

    bus_V: Floats
    run_A: Floats
    state: npt.NDArray[np.int8]
    settled: Bools


def across(bus_V: Floats, ends: Ends) -> Floats:
    """Return the voltages across parts."""
    return np.asarray(bus_V[ends[0]] - bus_V[ends[1]])


class Solver:
    """The currents of all parts and their slopes, and the steps that bring them to balance."""

    def __init__(self, network: Network, case: Case) -> None:
        self.case = case
        self.pattern = network.pattern
        self.samples = case.run_S.shape[1:]
        node_at = np.append(network.pattern.node_at, len(network.buses))
        bounds = np.cumsum([len(network.runs), len(network.banks), len(network.sources)])
        starts, ends = (np.split(node_at[end], bounds) for end in network.terminals)
        self.run, self.bank, self.source, self.load = zip(starts, ends, strict=True)

        _, banks, sources, _ = np.split(network.terminals, bounds, axis=1)
        alone = ~np.isin(network.island[sources[0]], network.island[banks[0]])
        self.leak_S = np.where(alone, _LEAK_S, 0.0).reshape(-1, *(1 for _ in self.samples))
        # Sources may stand one on another: never less than a load can see.
        stacked = np.any(banks[1] >= 0) or np.any(sources[1] >= 0)
        highest = np.sum if stacked else np.max
        self.highest_V = np.asarray(highest(np.concatenate([case.bank_V, case.source_V]), axis=0))

    def bank_A(self, bus_V: Floats) -> Floats:
        """Return the currents of the banks."""
        return (across(bus_V, self.bank) - self.case.bank_V) * self.case.bank_S

    def source_A(self, bus_V: Floats, state: npt.NDArray[np.int8]) -> tuple[Floats, Floats]:
        """Return the currents of the sources in their states, and how they rise with voltage."""
        case, seen = self.case, across(bus_V, self.source)
        holds = state == _HOLDS
        slope = np.where(holds, case.source_S, self.leak_S)
        held = np.where(holds, case.source_V * case.source_S, 0.0)
        given = np.where(state == _AT_LIMIT, case.limit_A, held)
        return slope * seen - given, slope

    def load_A(self, load_V: Floats, fraction: Floats) -> tuple[Floats, Floats]:
        """Return the currents of the loads at a fraction, and how they rise with voltage."""
        seen = np.maximum(load_V, _LEAST_V)
        power_A = fraction * self.case.load_W / seen
        slope = self.case.load_S - power_A / seen
        return fraction * self.case.load_A + power_A + load_V * self.case.load_S, slope

    def _step(
        self, slopes: tuple[Floats, Floats], currents: tuple[Floats, Floats, Floats, Floats]
    ) -> tuple[Floats, Bools]:
        """Return the change of voltage that balances the currents, and whether it could be had."""
        work = self.pattern.assemble(
            np.concatenate([self.case.run_S, self.case.bank_S, *slopes, *currents])
        )
        _elimination.factor(self.pattern, work)
        change = _elimination.solution(self.pattern, work)
        return change, _elimination.positive_definite(self.pattern, work)

    def _switched(
        self, bus_V: Floats, state: npt.NDArray[np.int8], one_by_one: bool
    ) -> npt.NDArray[np.int8]:
        """Return the states of the sources at these voltages, each at most one edge away."""
        below = self.case.source_V - across(bus_V, self.source)
        to_limit = below - self.case.limit_A / self.case.source_S
        holds = state == _HOLDS
        new = np.where(holds & (to_limit > _SWITCH_V), _AT_LIMIT, state)
        new = np.where(holds & (below < -_SWITCH_V), _OFF, new)
        rises = (state == _OFF) & (below > _SWITCH_V) & (self.case.limit_A > 0)
        new = np.where(rises | ((state == _AT_LIMIT) & (to_limit < -_SWITCH_V)), _HOLDS, new)
        if one_by_one:  # the first one only: so it cannot go in circles
            changes = new != state
            new = np.where(changes & (np.cumsum(changes, axis=0) > 1), state, new)
        return new.astype(np.int8)

    def first_guess(self) -> Point:
        """Return where to begin: all dead, each source holding its voltage."""
        return Point(
            bus_V=np.zeros((self.pattern.number + 1, *self.samples)),
            run_A=np.zeros_like(self.case.run_S),
            state=np.where(self.case.limit_A == 0, _OFF, _HOLDS).astype(np.int8),
            settled=np.zeros(self.samples, dtype=np.bool_),
        )

    def newton(self, fraction: Floats, begin: Point | None = None) -> Point:
        """Find the operating point with constant currents and powers at a fraction."""
        point = begin or self.first_guess()
        bus_V, run_A, state = point.bus_V, point.run_A, point.state
        asks = fraction * (self.case.load_A + self.case.load_W) > 0
        possible, settled = np.ones(self.samples, dtype=np.bool_), point.settled
        # Without a point to begin from, the loads are taken on their tangents at the highest
        # voltage that there is, as seen from nothing.
        load_V = across(bus_V, self.load) if begin else self.highest_V + 0.0 * self.case.load_A
        for count in range(_ROUNDS):
            load_A, load_S = self.load_A(load_V, fraction)
            if count == 0 and begin is None:
                load_A = load_A - load_S * load_V
            source_A, source_S = self.source_A(bus_V, state)
            currents = (run_A, self.bank_A(bus_V), source_A, load_A)
            change, definite = self._step((source_S, load_S), currents)
            bus_V = bus_V + change
            run_A = run_A + self.case.run_S * across(change, self.run)
            load_V = across(bus_V, self.load)
            possible = possible & definite & ((load_V > 0) | ~asks).all(axis=0)
            before, state = state, self._switched(bus_V, state, count >= _ROUNDS_ALL_AT_ONCE)
            small = (np.abs(change) <= TOLERANCE_V).all(axis=0)
            settled = possible & small & (state == before).all(axis=0)
            if np.all(settled | ~possible):
                break
        return Point(bus_V, run_A, state, settled)

    def most_carried(self) -> tuple[Floats, Point, Ints]:
        """Raise the loads together from nothing to the most that can be carried.

        Returns the fraction, the point there, and the load that is about to give way.
        """
        reached, step = np.zeros(self.samples), np.full(self.samples, 0.5)
        point = self.newton(reached)
        if not np.all(point.settled):
            raise InputError(
                "network: it does not settle even with its loads off.",
                remedy="Check the resistances: some are very far apart.",
            )
        while np.any(step > FRACTION_TOLERANCE * np.maximum(reached, FRACTION_TOLERANCE)):
            trial = np.minimum(reached + step, 1.0)
            new = self.newton(trial, point)
            good = new.settled
            reached = np.where(good, trial, reached)
            point = replace(
                point,
                bus_V=np.where(good, new.bus_V, point.bus_V),
                run_A=np.where(good, new.run_A, point.run_A),
                state=np.where(good, new.state, point.state),
            )
            step = np.where(reached >= 1.0, 0.0, np.where(good, step, 0.5 * step))
        return reached, point, self._gives_way(point, reached)

    def _gives_way(self, point: Point, fraction: Floats) -> Ints:
        """Find the load that would first be left without voltage if all kept falling as they do.

        At the most a network can carry, either one of them is there, or the voltages fall ever
        steeper and most of all where the power cannot be had.
        """
        load_V = across(point.bus_V, self.load)
        _, load_S = self.load_A(load_V, fraction)
        _, source_S = self.source_A(point.bus_V, point.state)
        still = (0 * point.run_A, 0 * self.case.bank_V, 0 * source_S)
        rise = self.case.load_A + self.case.load_W / np.maximum(load_V, _LEAST_V)
        change, _ = self._step((source_S, load_S), (*still, rise))
        falls = -across(change, self.load)
        asks = (self.case.load_A + self.case.load_W > 0) & (falls > 0)
        return np.asarray(np.argmin(np.where(asks, load_V / falls, np.inf), axis=0))
