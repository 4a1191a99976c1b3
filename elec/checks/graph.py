"""The DC network of a boat, from what its runs join: banks, buses, and the loads at their ends.

A run noted ``from`` a bank or bus joins it to where it goes: the bus named ``to``, else an end of
its own. The loads that it serves, or the current noted on it, lie at that end; loads on no run lie
at the terminals of their bank. Chargers and alternators are left out: the bank alone is the worst.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from elec.boat.records import STANDARD_CONDITIONS, Bank, BoatFile, Bus, Inverter, Run
from elec.boat.typical import dc_current
from elec.calc import conductors, network
from elec.checks.bank_source import ask_fault, ask_open_circuit, is_direct
from elec.checks.cable import Cable, CannotJudge, cable_of, short_time
from elec.checks.question import Question
from elec.finding import NotChecked
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["ELECTRONIC", "WARM_C", "Graph", "Place", "graph_of"]

WARM_C = 60.0
ELECTRONIC = ("electronic", "radar", "autopilot", "vhf", "ais", "network", "instrument", "alarm")


@dataclass(frozen=True)
class Place:
    """A load in the network: its entry, current of all its pieces, bus, last run, conditions."""

    id: str
    entry: Any
    current: Noted
    count: int
    bus: str
    cable: Cable | None
    when: tuple[str, ...]
    short_time: bool

    @property
    def constant_power(self) -> bool:
        """Whether it takes more current the lower its voltage: inverters and electronics."""
        return isinstance(self.entry, Inverter) or any(word in self.words for word in ELECTRONIC)

    @property
    def words(self) -> str:
        """What it is called, and its kind."""
        return f"{self.id} {getattr(self.entry, 'kind', '')}".lower()


@dataclass
class Graph:
    """One bank with the runs and loads that hang on it; ``paths`` are the runs up to each bus."""

    bank: Bank
    cables: list[Cable] = field(default_factory=list)
    ends: dict[str, str] = field(default_factory=dict)
    places: list[Place] = field(default_factory=list)
    paths: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def running(self, condition: str) -> list[Place]:
        """Return the loads that run in a condition."""
        return [place for place in self.places if condition in place.when]

    def shares_path(self, place: Place, condition: str) -> bool:
        """Whether a load has other loads, or more than one run, on its way."""
        path = self.paths[place.bus]
        others = [one for one in self.running(condition) if one is not place]
        return len(path) > 1 or any(set(self.paths[o.bus]) & set(path) for o in others)

    def ask(self, question: Question, running: list[Place]) -> tuple[Any, list[Source], list[str]]:
        """Add what is not settled; return the solver from inputs, sources, and notes.

        The solver gives, for each load running, the drop from its bank's terminals and its
        voltage; no voltage at all where the network cannot carry the loads.
        """
        sources = [ask_open_circuit(question, self.bank, full=False, worse="lower")]
        full_A, notes = ask_fault(question, self.bank, worse="lower")
        for number, place in enumerate(running):
            question.noted(
                f"load_{number}_A",
                place.current,
                entry=place.entry,
                field="current",
                worse="higher",
            )
        used = {run for place in running for run in self.paths[place.bus]}
        cables = [cable for cable in self.cables if cable.run.id in used]
        for number, cable in enumerate(cables):
            question.noted(
                f"length_{number}_m", cable.length, entry=cable.run, field="length", worse="higher"
            )
        base = network.prepare(
            [network.Run(c.run.id, c.run.start or "", self.ends[c.run.id], 1.0) for c in cables],
            banks=[network.Bank(self.bank.id, self.bank.id, 12.0, 1.0)],
            loads=[network.Load(str(i), p.bus, 1.0) for i, p in enumerate(running)],
        )
        areas = [_area_mm2(cable) for cable in cables]
        volts = self.bank.voltage.span[1]
        steady = np.array([place.constant_power for place in running])

        def solved(given: dict[str, Any]) -> network.Solution:
            emf = np.asarray(given["emf_V"], dtype=float)
            ohms = [_ohm(given[f"length_{i}_m"], area_mm2=area) for i, area in enumerate(areas)]
            loads = _stacked(
                [np.asarray(given[f"load_{i}_A"]) * p.count for i, p in enumerate(running)]
            )
            return network.solve(
                dataclasses.replace(
                    base,
                    run_ohm=_stacked(ohms),
                    bank_V=emf[..., None],
                    bank_ohm=np.asarray(emf / full_A(given))[..., None],
                    load_A=np.where(steady, 0.0, loads),
                    load_W=np.where(steady, loads * volts, 0.0),
                )
            )

        sources.append(table("resistivity_constants").source(name="IACS annealed copper 20 C"))
        return solved, sources, notes


def _stacked(values: list[Any]) -> Any:
    if not values:
        return np.zeros((0,))
    return np.stack(np.broadcast_arrays(*(np.asarray(v, dtype=float) for v in values)), axis=-1)


def _area_mm2(cable: Cable) -> float:
    assert cable.run.size.size is not None
    row, _ = cable.basis.size_rows(cable.run.size.size)
    normal, small = cable.areas_mm2()
    ambiguous = cable.run.size.ambiguous and np.isfinite(small[row])
    return float(small[row] if ambiguous else normal[row])


def _ohm(length_m: Any, *, area_mm2: float) -> Any:
    constants = table("resistivity_constants")
    return conductors.resistance_ohm(
        2 * np.asarray(length_m),
        area_mm2=area_mm2,
        resistivity_20C_ohm_mm2_per_m=constants.exact(
            "equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C"
        ),
        temperature_coefficient_per_K=constants.exact("value", name="copper alpha20"),
        conductor_temp_C=WARM_C,
    )


def graph_of(
    bank: Bank, boat: BoatFile, basis: str, *, check: str
) -> tuple[Graph, list[NotChecked]]:
    """Return the network of a bank, and the runs that could not be joined to it."""
    graph = Graph(bank, paths={bank.id: ()})
    skipped: list[NotChecked] = []
    waiting = [run for run in boat.run if run.start and is_direct(run, boat)]
    reached = True
    while reached:
        reached = False
        for run in list(waiting):
            if run.start not in graph.paths:
                continue
            waiting.remove(run)
            reached = True
            try:
                _join(graph, run, boat, basis)
            except CannotJudge as error:
                skipped.append(NotChecked(check, run.id, error.reason, run.where, error.read))
    served = {name for run in boat.run for name in run.serves}
    for load in boat.dc_load:
        if load.bank == bank.id and load.id not in served and bank.voltage.seen:
            current = dc_current(load, bank.voltage.span[1])
            if current is not None:
                _place(graph, load.id, load, current, load.count, bank.id, None, load.when)
    return graph, skipped


def _join(graph: Graph, run: Run, boat: BoatFile, basis: str) -> None:
    """Add one run and what lies at its end."""
    end = run.end if isinstance(boat.find(run.end or ""), Bus) else f"end of {run.id}"
    assert end is not None
    if end in graph.paths:
        raise CannotJudge(f"it and another run both go to '{end}': a ring is not followed")
    if run.size.size is None:
        raise CannotJudge("its size was not read", f"the size of the cable of '{run.id}'")
    loads: tuple[Any, ...] = ()
    try:
        cable = cable_of(run, boat, basis)
        loads = cable.loads
    except CannotJudge:
        if not isinstance(boat.find(run.end or ""), Bus):
            raise
        feeder = run.model_copy(update={"current": _nothing()})
        cable = cable_of(feeder, boat, basis)
    graph.cables.append(cable)
    graph.ends[run.id] = end
    graph.paths[end] = (*graph.paths[run.start or ""], run.id)
    feeds_bus = isinstance(boat.find(run.end or ""), Bus)
    for _, entry, current, count in loads:
        if entry.id == run.id and feeds_bus:
            continue  # the current of a feeder is that of what hangs on its bus
        when = getattr(entry, "when", None)
        _place(graph, entry.id, entry, current, count, end, cable, when)


def _nothing() -> Noted:
    from elec import noted

    return noted.exact(0.0, "current", text="none of its own")


def _place(
    graph: Graph,
    name: str,
    entry: Any,
    current: Noted,
    count: int,
    bus: str,
    cable: Cable | None,
    when: tuple[str, ...] | None,
) -> None:
    brief = short_time(getattr(entry, "kind", None)) or short_time(name)
    if when is None:
        when = ("manoeuvring",) if brief else STANDARD_CONDITIONS
    graph.places.append(Place(name, entry, current, count, bus, cable, tuple(when), brief))
