"""The DC networks of a boat, from what its runs join: banks, buses, and the loads at their ends.

A run noted ``from`` a bank or bus joins it to where it goes: the bank or bus named ``to``, else an
end of its own, that of another run beside it from the same place to the same loads included. What
runs join is solved as one, rings and banks in parallel included. The loads that a run serves, or
the current noted on it, lie at its end; loads and inverters on no run lie at the terminals of
their bank, and loads on a run whose size was not read where it starts.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from elec import noted
from elec.boat.fields import GaugeNoted
from elec.boat.records import (
    STANDARD_CONDITIONS,
    Alternator,
    Bank,
    BoatFile,
    Bus,
    Charger,
    DcLoad,
    Inverter,
    Run,
)
from elec.boat.typical import dc_current, gear, scaled
from elec.checks.banks.bank_loads import efficiency_of, owner_of
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_load import is_direct
from elec.checks.cables.run_noted import cable_of, short_time
from elec.checks.cannot import CannotJudge
from elec.checks.network.network_inverter import drawn
from elec.finding import NotChecked
from elec.noted import Noted

__all__ = ["ELECTRONIC", "Graph", "Place", "charger_of", "counted", "graphs_of"]

ELECTRONIC = ("electronic", "radar", "autopilot", "vhf", "ais", "network", "instrument", "alarm")
Behaviour = Literal["constant power", "constant current", "resistance"]


@dataclass(frozen=True)
class Place:
    """A load in the network: its entry, current of one piece, bus, last run, conditions.

    ``beyond`` is the run between its bus and itself whose size was not read.
    """

    id: str
    entry: Any
    current: Noted
    count: int
    bus: str
    cable: Cable | None
    when: tuple[str, ...]
    short_time: bool
    beyond: str = ""

    @property
    def electronic(self) -> bool:
        """Whether it is electronics or an inverter, which a low voltage switches off."""
        return isinstance(self.entry, Inverter) or any(word in self.words for word in ELECTRONIC)

    @property
    def motor(self) -> bool:
        """Whether the catalogue has it as a motor."""
        known = gear(getattr(self.entry, "kind", None))
        return known is not None and known.row["behaviour"] == "motor"

    @property
    def behaviour(self) -> Behaviour:
        """What it draws as its voltage falls.

        A current that was read is held; a load known by its power alone draws more.
        """
        if self.electronic:
            return "constant power"
        known = gear(getattr(self.entry, "kind", None))
        kind = known.row["behaviour"] if known else ""
        heats = "heater" in self.words and "fan" not in self.words and "pump" not in self.words
        if kind == "resistance" or (not kind and heats):
            return "resistance"
        if kind == "motor" or (not kind and self.entry.current.seen):
            return "constant current"
        return "constant power"

    @property
    def words(self) -> str:
        """What it is called, and its kind."""
        return f"{self.id} {getattr(self.entry, 'kind', '') or ''}".lower()


@dataclass
class Graph:
    """What runs join: banks, the cables between them and buses and load ends, and the loads.

    ``joined`` are the two ends of each run; ``loose`` the loads that no run names; ``said`` how
    its switches stand, in words; ``returns`` the runs that are the return of others, by id.
    """

    banks: list[Bank]
    cables: list[Cable] = field(default_factory=list)
    joined: dict[str, tuple[str, str]] = field(default_factory=dict)
    places: list[Place] = field(default_factory=list)
    loose: list[str] = field(default_factory=list)
    said: str = ""
    returns: dict[str, Cable] = field(default_factory=dict)

    @property
    def id(self) -> str:
        """The banks by name."""
        return " and ".join(bank.id for bank in self.banks)

    @property
    def volts(self) -> float:
        """Nominal voltage."""
        return max(bank.voltage.span[1] for bank in self.banks)

    @property
    def buses(self) -> set[str]:
        """Everything that the runs join, and the banks."""
        return {name for ends in self.joined.values() for name in ends} | {b.id for b in self.banks}

    @property
    def radial(self) -> bool:
        """Whether one bank feeds each place by one way."""
        return len(self.banks) == 1 and len(self.joined) == len(self.buses) - 1

    def running(self, condition: str) -> list[Place]:
        """Return the loads that run in a condition."""
        return [place for place in self.places if condition in place.when]

    def path(self, bus: str, root: str | None = None) -> tuple[str, ...]:
        """Return the runs of the shortest way to a bus, from a bank or the nearest one."""
        reached: dict[str, tuple[str, ...]] = {
            bank.id: () for bank in self.banks if root in (None, bank.id)
        }
        waiting = deque(reached)
        while waiting and bus not in reached:
            here = waiting.popleft()
            for run, ends in self.joined.items():
                if here in ends:
                    other = ends[1] if ends[0] == here else ends[0]
                    if other not in reached:
                        reached[other] = (*reached[here], run)
                        waiting.append(other)
        return reached[bus]

    def back(self, path: Sequence[str]) -> Cable | None:
        """Return the run by which the current of a way comes back, where not by the way it came."""
        cables = {cable.run.id: cable for cable in self.cables}
        names = (cables[run].run.return_by for run in reversed(path))
        return next((self.returns[name] for name in names if name), None)

    def way(self, path: Sequence[str]) -> list[Cable]:
        """Return the cables of a way, and last the one by which its current comes back."""
        cables = {cable.run.id: cable for cable in self.cables}
        back = self.back(path)
        return [*(cables[run] for run in path), *([] if back is None else [back])]

    def conductors(self, cable: Cable) -> int:
        """Return how many conductors of a run lie in the way of its current, out and back."""
        return 1 if cable.run.return_by or cable.run.id in self.returns else 2

    def needed(self, places: list[Place]) -> list[Cable]:
        """Return the cables that bear on what the loads get."""
        used = {run for place in places for run in self.path(place.bus)}
        if not self.radial:
            ends = {place.bus for place in places}
            used |= {r for r, (_, end) in self.joined.items() if not end.startswith("end of ")}
            used |= {r for r, (_, end) in self.joined.items() if end in ends}
        return [cable for cable in self.cables if cable.run.id in used]

    def shares_path(self, place: Place, condition: str) -> bool:
        """Whether a load has other loads, or more than one run, on its way."""
        path = self.path(place.bus)
        others = [one for one in self.running(condition) if one is not place]
        return (
            len(path) > 1
            or self.back(path) is not None
            or any(set(self.path(o.bus)) & set(path) for o in others)
        )


def counted(places: list[Place]) -> str:
    """Return how many loads these are, in words."""
    return "1 load" if len(places) == 1 else f"{len(places)} loads"


def charger_of(run: Run, boat: BoatFile) -> Charger | Alternator | None:
    """Return the charger or alternator at either end of a DC run."""
    ends = [boat.find(name) for name in (run.start, run.end, *run.serves) if name]
    return next((one for one in ends if isinstance(one, (Charger, Alternator))), None)


def graphs_of(
    boat: BoatFile,
    basis: str,
    *,
    check: str,
    unread: bool = False,
    unjudged: bool = False,
    apart: frozenset[str] = frozenset(),
) -> tuple[list[Graph], list[NotChecked]]:
    """Return the networks of a boat, each bank in one, and what could not be joined.

    Runs between banks and buses whose size was not read are joined only if ``unread``; runs of
    chargers and alternators carry no load and are left out. With ``unjudged`` those that no table
    holds are joined as well, as of unread size: they conduct whatever can be said of them.
    Runs ``apart`` join nothing: the switch in them is open.
    """
    graphs: list[Graph] = []
    skipped: list[NotChecked] = []
    nodes = {entry.id for entry in (*boat.bank, *boat.bus)}
    joins: dict[str, tuple[str, str]] = {}
    cables: dict[str, Cable] = {}
    same: dict[tuple[str, ...], str] = {}
    returns = {run.return_by for run in boat.run if run.return_by}
    for run in boat.run:
        if run.start not in nodes or not is_direct(run, boat) or charger_of(run, boat):
            continue
        if run.id in apart or run.id in returns:
            continue
        end = run.end if run.end in nodes else f"end of {run.id}"
        assert run.start is not None
        assert end is not None
        between, sized = end in nodes, run.size.size is not None
        try:
            cable = _cable(run, boat, basis, joins_buses=between)
        except CannotJudge as error:
            if not (between and unjudged):
                skipped.append(NotChecked(check, run.id, error.reason, run.where, error.read))
                continue
            cable = _unjudged(run, boat, basis)
        if not sized and not (between and unread):
            read = f"the size of the cable of '{run.id}'"
            reason = "its size was not read"
            if not between and cable.loads:
                reason += ": what it feeds is counted where it starts; its own drop is in run-drop"
            skipped.append(NotChecked(check, run.id, reason, run.where, read))
            if between:
                continue
            end = run.start
        elif not between and run.serves:
            end = same.setdefault((run.start, *sorted(run.serves)), end)
        cables[run.id], joins[run.id] = cable, (run.start, end)
    taken: set[str] = set()
    for bank in boat.bank:
        if bank.id in taken:
            continue
        within = _reached(bank.id, joins)
        taken |= within
        graph = Graph([one for one in boat.bank if one.id in within])
        of_it = {run: ends for run, ends in joins.items() if ends[0] in within}
        graph.joined = {run: ends for run, ends in of_it.items() if ends[0] != ends[1]}
        graph.cables = [cables[run] for run in graph.joined]
        graph.returns = _returns(graph, boat, basis)
        for run_id, (_, end) in of_it.items():
            _loads_of(graph, cables[run_id], end, boat)
        skipped += _once(graph, check)
        skipped += _loose(graph, boat, check)
        graphs.append(graph)
    return graphs, skipped


def _returns(graph: Graph, boat: BoatFile, basis: str) -> dict[str, Cable]:
    """Return the runs by which the current of others comes back, by id."""
    found = {}
    for name in dict.fromkeys(one.run.return_by for one in graph.cables):
        run = boat.find(name or "")
        if isinstance(run, Run):
            found[run.id] = _cable(
                run.model_copy(update={"serves": ()}), boat, basis, joins_buses=True
            )
    return found


def _reached(start: str, joins: dict[str, tuple[str, str]]) -> set[str]:
    within = {start}
    while more := {n for ends in joins.values() if within & {*ends} for n in ends} - within:
        within |= more
    return within


def _cable(run: Run, boat: BoatFile, basis: str, *, joins_buses: bool) -> Cable:
    """Return the cable of a run; one between buses needs no load of its own."""
    if joins_buses:
        # the current of a feeder is that of what hangs on its bus
        nothing = noted.exact(0.0, "current", text="none of its own")
        update: dict[str, Any] = {"current": nothing, "serves": ()}
        if not run.voltage.seen and not isinstance(boat.find(run.start or ""), Bank):
            volts = {one.voltage.span for one in boat.bank if one.voltage.seen}
            if len(volts) == 1:
                update["voltage"] = next(one.voltage for one in boat.bank if one.voltage.seen)
        if run.serves:
            return cable_of(run, boat, basis, fed=False)
        return cable_of(run.model_copy(update=update), boat, basis)
    if (
        not run.serves
        and not run.current.seen
        and isinstance(boat.find(run.end or ""), (DcLoad, Inverter))
    ):
        run = run.model_copy(update={"serves": (run.end,)})
    return cable_of(run, boat, basis)


def _unjudged(run: Run, boat: BoatFile, basis: str) -> Cable:
    """Return the cable of a run between buses of which nothing is used but that it joins them."""
    volts = next((one.voltage for one in boat.bank if one.voltage.seen), None)
    update: dict[str, Any] = {
        "insulation": noted.unseen("temperature"),
        "legend": None,
        "current": noted.exact(0.0, "current", text="none of its own"),
        "serves": (),
    }
    if volts is not None:
        update["voltage"] = volts
    try:
        return cable_of(run.model_copy(update=update), boat, basis)
    except CannotJudge:  # its size is in no table
        update["size"] = GaugeNoted(None, False, run.size.text)
        return cable_of(run.model_copy(update=update), boat, basis)


def _loads_of(graph: Graph, cable: Cable, end: str, boat: BoatFile) -> None:
    run = cable.run
    joined = run.id in graph.joined
    for _, entry, current, count in cable.loads:
        if entry.id == run.id and joined and isinstance(boat.find(end), (Bank, Bus)):
            continue
        way = (cable, "") if joined else (None, run.id)
        _place(graph, entry.id, entry, current, count, end, getattr(entry, "when", None), *way)


def _once(graph: Graph, check: str) -> list[NotChecked]:
    """Keep each load at one place: the end of the longest of the ways by which runs serve it."""
    kept: dict[str, Place] = {}
    for place in graph.places:
        other = kept.get(place.id)
        if other is None or len(graph.path(place.bus)) > len(graph.path(other.bus)):
            kept[place.id] = place
    skipped = []
    for place in graph.places:
        one = kept[place.id]
        if place is one or place.cable is None or place.bus == one.bus:
            continue
        run = place.cable.run
        if run.id not in graph.path(one.bus):
            by = one.cable.run.id if one.cable else one.beyond
            reason = f"'{place.id}', which it serves, is counted at the end of '{by}'"
            read = f"which of '{run.id}' and '{by}' feeds '{place.id}'"
            skipped.append(NotChecked(check, run.id, reason, run.where, read))
    graph.places[:] = kept.values()
    return skipped


def _loose(graph: Graph, boat: BoatFile, check: str) -> list[NotChecked]:
    """Put the loads and inverters that no run names at the terminals of their bank."""
    skipped = []
    served = {name for run in boat.run for name in (*run.serves, run.end)}
    banks = {bank.id: bank for bank in graph.banks if bank.voltage.seen}
    for load in boat.dc_load:
        bank = banks.get(owner_of(boat, load) or "")
        fed = load.bank is None and load.inverter in served
        if bank is None or load.id in served or fed:
            continue
        graph.loose.append(load.id)
        current = dc_current(load, bank.voltage.span[1])
        if load.inverter is not None and not load.current.seen:
            worst, _, best = efficiency_of(boat, load).span
            current = scaled(current, 1 / best, 1 / worst, "current")
        _place(graph, load.id, load, current, load.count, bank.id, load.when)
    for one in boat.inverter:
        bank = banks.get(owner_of(boat, one) or "")
        if bank is None or one.id in served:
            continue
        try:
            for current, when in drawn(one, boat, bank.voltage.span[1]):
                _place(graph, one.id, one, current, 1, bank.id, when)
            graph.loose.append(one.id)
        except CannotJudge as error:
            skipped.append(NotChecked(check, one.id, error.reason, one.where, error.read))
    return skipped


def _place(
    graph: Graph,
    name: str,
    entry: Any,
    current: Noted,
    count: int,
    bus: str,
    when: tuple[str, ...] | None,
    cable: Cable | None = None,
    beyond: str = "",
) -> None:
    brief = short_time(getattr(entry, "kind", None)) or short_time(name)
    if when is None:
        when = ("manoeuvring",) if brief else STANDARD_CONDITIONS
    place = Place(name, entry, current, count, bus, cable, tuple(when), brief, beyond)
    graph.places.append(place)
