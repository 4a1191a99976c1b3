"""The DC networks of a boat, drawn up from what its runs join.

A run noted ``from`` a bank or bus joins it to where it goes: the bank or bus named ``to``, else an
end of its own, that of another run beside it from the same place to the same loads included. What
runs join is solved as one, rings and banks in parallel included. The loads that a run serves, or
the current noted on it, lie at its end; loads and inverters on no run lie at the terminals of
their bank, and loads on a run whose size was not read where it starts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

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
    Entry,
    Inverter,
    Run,
)
from elec.boat.typical import dc_current, scaled
from elec.checks.banks.bank_loads import efficiency_of, owner_of
from elec.checks.cables.cable import Cable, Load
from elec.checks.cables.run_load import is_direct
from elec.checks.cables.run_noted import cable_of, short_time
from elec.checks.cannot import CannotJudge, cannot
from elec.checks.network.graph import Graph, Place
from elec.checks.network.network_inverter import drawn
from elec.errors import ElecError
from elec.finding import NotChecked

__all__ = ["charger_of", "graph_at", "graphs_of", "not_drawn"]


def not_drawn(entry: Entry, reason: str, read: str) -> NotChecked:
    """Return why a thing is no part of a network."""
    return NotChecked("network-drop", entry.id, reason, entry.where, read)


@dataclass
class _Joins:
    """The runs that join something, by id: their cables, and what they join; the rest in ``left``.

    ``ends`` has one place twice where what a run feeds is counted where it starts.
    """

    cables: dict[str, Cable] = field(default_factory=dict)
    ends: dict[str, tuple[str, str]] = field(default_factory=dict)
    left: list[NotChecked] = field(default_factory=list)


def charger_of(run: Run, boat: BoatFile) -> Charger | Alternator | None:
    """Return the charger or alternator at either end of a DC run."""
    ends = [boat.find(name) for name in (run.start, run.end, *run.serves) if name]
    return next((one for one in ends if isinstance(one, (Charger, Alternator))), None)


def graphs_of(
    boat: BoatFile,
    basis: str,
    *,
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
    joins = _joins(boat, basis, unread=unread, unjudged=unjudged, apart=apart)
    graphs: list[Graph] = []
    skipped = joins.left
    taken: set[str] = set()
    for bank in boat.bank:
        if bank.id in taken:
            continue
        within = _reached(bank.id, joins.ends)
        taken |= within
        graph = Graph([one for one in boat.bank if one.id in within])
        of_it = {run: ends for run, ends in joins.ends.items() if ends[0] in within}
        graph.joined = {run: ends for run, ends in of_it.items() if ends[0] != ends[1]}
        graph.cables = [joins.cables[run] for run in graph.joined]
        graph.returns = _returns(graph, boat, basis)
        for run_id, (_, end) in of_it.items():
            _loads_of(graph, joins.cables[run_id], end, boat)
        skipped += _once(graph)
        skipped += _loose(graph, boat)
        graphs.append(graph)
    return graphs, skipped


def graph_at(place: str, boat: BoatFile, basis: str, *, unread: bool) -> Graph | None:
    """Return the network in which a bank or bus lies; with ``unread`` all that may be joined."""
    graphs, _ = graphs_of(boat, basis, unread=unread, unjudged=unread)
    return next((graph for graph in graphs if place in graph.buses), None)


def _joins(
    boat: BoatFile, basis: str, *, unread: bool, unjudged: bool, apart: frozenset[str]
) -> _Joins:
    joins = _Joins()
    nodes = {entry.id for entry in (*boat.bank, *boat.bus)}
    returns = {run.return_by for run in boat.run}
    same: dict[tuple[str, ...], str] = {}
    for run in boat.run:
        if run.start not in nodes or not is_direct(run, boat) or charger_of(run, boat):
            continue
        if run.id in apart or run.id in returns:
            continue
        assert run.start is not None
        between, sized = run.end in nodes, run.size.size is not None
        end = run.end if run.end is not None and between else f"end of {run.id}"
        try:
            cable = _cable(run, boat, basis, joins_buses=between)
        except ElecError as error:
            if not (between and unjudged):
                why = cannot(error)
                joins.left.append(not_drawn(run, why.reason, why.read))
                continue
            cable = _unjudged(run, boat, basis)
        if not sized and not (between and unread):
            reason = "its size was not read"
            if not between and cable.loads:
                reason += ": what it feeds is counted where it starts; its own drop is in run-drop"
            joins.left.append(not_drawn(run, reason, f"the size of the cable of '{run.id}'"))
            if between:
                continue
            end = run.start
        elif not between and run.serves:
            end = same.setdefault((run.start, *sorted(run.serves)), end)
        joins.cables[run.id], joins.ends[run.id] = cable, (run.start, end)
    return joins


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
    for load in cable.loads:
        if load.entry.id == run.id and joined and isinstance(boat.find(end), (Bank, Bus)):
            continue
        if joined:
            _place(graph, load, end, cable=cable)
        else:
            _place(graph, load, end, beyond=run.id)


def _once(graph: Graph) -> list[NotChecked]:
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
            skipped.append(not_drawn(run, reason, read))
    graph.places[:] = kept.values()
    return skipped


def _loose(graph: Graph, boat: BoatFile) -> list[NotChecked]:
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
        _place(graph, Load("current", load, current, load.count), bank.id)
    for one in boat.inverter:
        bank = banks.get(owner_of(boat, one) or "")
        if bank is None or one.id in served:
            continue
        try:
            for current, when in drawn(one, boat, bank.voltage.span[1]):
                _place(graph, Load("current", one, current, 1), bank.id, when=when)
            graph.loose.append(one.id)
        except ElecError as error:
            why = cannot(error)
            skipped.append(not_drawn(one, why.reason, why.read))
    return skipped


def _place(
    graph: Graph,
    load: Load,
    bus: str,
    *,
    when: Sequence[str] | None = None,
    cable: Cable | None = None,
    beyond: str = "",
) -> None:
    entry = load.entry
    brief = short_time(entry.kind) or short_time(entry.id)
    when = getattr(entry, "when", None) if when is None else when
    if when is None:
        when = ("manoeuvring",) if brief else STANDARD_CONDITIONS
    place = Place(
        entry.id, entry, load.current, load.pieces, bus, cable, tuple(when), brief, beyond
    )
    graph.places.append(place)
