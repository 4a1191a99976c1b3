"""The networks of a boat, for the checks that solve them, and what is no part of any."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from elec.boat.records import Boat, BoatFile, Inverter
from elec.checks.banks.bank_loads import owner_of
from elec.checks.cables.run_load import is_direct
from elec.checks.cannot import cannot
from elec.checks.network.graph import Graph
from elec.checks.network.graph_runs import charger_of, graphs_of, not_drawn
from elec.checks.network.network_switches import State, states
from elec.errors import ElecError
from elec.finding import Finding, NotChecked

__all__ = ["Network", "Networks", "each_once", "listed", "networks"]


@dataclass(frozen=True)
class Network:
    """One network in its states, and why it cannot be solved, or what it does not count."""

    states: tuple[State, ...]
    left: tuple[NotChecked, ...] = ()


@dataclass(frozen=True)
class Networks:
    """All networks of a boat, what is no part of any, and what no bank feeds."""

    graphs: tuple[Graph, ...]
    every: tuple[Network, ...]
    left: tuple[NotChecked, ...]
    unfed: tuple[NotChecked, ...]

    def states(self) -> Iterator[State]:
        """Yield every network in every state of its switches."""
        return (state for network in self.every for state in network.states)


def networks(_whole: Boat, boat: BoatFile, basis: str) -> Networks:
    """Draw up the networks of a boat, every one as its switches may stand."""
    graphs, left = graphs_of(boat, basis, unread=True)
    return Networks(
        tuple(graphs),
        tuple(_network(graph, boat, basis) for graph in graphs),
        (*_unstarted(boat), *left, *_elsewhere(boat)),
        tuple(_not_fed(boat, graphs, {item.subject: item for item in left})),
    )


def each_once(answers: Iterable[Finding | NotChecked]) -> Iterator[Finding | NotChecked]:
    """Give what could not be asked once, however often it came up, and what is sure of a size.

    Last, refused, what holds for every listed size of a run whose size was not read: a smaller
    one may lie there.
    """
    said: set[NotChecked] = set()
    unsure: list[NotChecked] = []
    for one in answers:
        if isinstance(one, NotChecked):
            if one not in said:
                yield one
            said.add(one)
        elif run := _unread_size(one):
            unsure.append(
                NotChecked(
                    one.check,
                    one.subject,
                    f"the size of '{run}' was not read: every listed size would be {one.verdict}, "
                    "but a smaller one may lie there",
                    one.where,
                    f"the size printed on the cable of '{run}'",
                )
            )
        else:
            yield one
    yield from unsure


def _unread_size(found: Finding) -> str | None:
    """Return the run of unread size over whose listed sizes a finding holds, if there is one."""
    if found.verdict not in ("adequate", "marginal"):
        return None
    runs = (item.input.removesuffix(": size") for item in found.typical if ": size" in item.input)
    return next(runs, None)


def _network(graph: Graph, boat: BoatFile, basis: str) -> Network:
    if not graph.cables:
        return Network(())
    if (said := _not_solvable(graph)) is not None:
        return Network((), (said,))
    loose = _loose(graph, boat)
    try:
        return Network(tuple(states(graph, boat, basis)), loose)
    except ElecError as error:
        why = cannot(error)
        refused = NotChecked("network-drop", graph.id, why.reason, graph.where, why.read)
        return Network((), (*loose, refused))


def _not_solvable(graph: Graph) -> NotChecked | None:
    """Say what keeps a network from being solved at all."""
    volts = {bank.voltage.span for bank in graph.banks if bank.voltage.seen}
    if len(volts) > 1:
        shown = " and ".join(f"'{bank.id}' ({bank.voltage.text})" for bank in graph.banks)
        reason = f"runs join banks of different voltages: {shown}"
        return NotChecked("network-drop", graph.id, reason, graph.where, f"what joins {shown}")
    unread = [bank.id for bank in graph.banks if not bank.voltage.seen]
    if unread:
        reason = f"the voltage of '{unread[0]}' was not noted"
        read = f"the voltage and chemistry on the label of '{unread[0]}'"
        return NotChecked("network-drop", graph.id, reason, graph.where, read)
    return None


def _loose(graph: Graph, boat: BoatFile) -> tuple[NotChecked, ...]:
    """Say which loads no run names, where the network of their bank is drawn up to a bus."""
    if not graph.loose or not graph.buses & {bus.id for bus in boat.bus}:
        return ()
    names = listed(graph.loose)
    reason = f"no run names {names}: taken at the bank's terminals, the drop of no cable counted"
    read = f"which run feeds {names}"
    return (NotChecked("network-drop", graph.id, reason, graph.where, read),)


def _unstarted(boat: BoatFile) -> Iterator[NotChecked]:
    """Say of which runs it was not noted where they start."""
    returns = {run.return_by for run in boat.run}
    for run in boat.run:
        low = not run.voltage.seen or run.voltage.span[2] < 50
        if not run.start and low and run.id not in returns:
            read = f"what '{run.id}' starts from: its bank, busbar or panel"
            yield not_drawn(run, "where it starts was not noted", read)


def _elsewhere(boat: BoatFile) -> Iterator[NotChecked]:
    """Say which runs and inverters are no part of any network."""
    known = {entry.id for entry in (*boat.bank, *boat.bus)}
    returns = {run.return_by for run in boat.run}
    for run in boat.run:
        start = boat.find(run.start or "")
        if start is None or start.id in known or charger_of(run, boat) or run.id in returns:
            continue
        if is_direct(run, boat) and (run.voltage.seen or not isinstance(start, Inverter)):
            reason = f"it starts at '{start.id}', which is no bank, busbar, charger or alternator"
            yield not_drawn(run, reason, f"which bank or busbar feeds '{run.id}'")
    served = {name for run in boat.run for name in (*run.serves, run.end)}
    for one in boat.inverter:
        if boat.run and one.id not in served and owner_of(boat, one) is None and boat.bank:
            reason = "neither a run that feeds it nor its bank was noted: it is not counted"
            yield not_drawn(one, reason, f"which run and bank feed '{one.id}'")


def _not_fed(
    boat: BoatFile, graphs: list[Graph], said: dict[str, NotChecked]
) -> Iterator[NotChecked]:
    """Say which buses no bank feeds: the runs that start there, else the bus itself."""
    fed = {name for graph in graphs for name in graph.buses}
    backs = {run.return_by for run in boat.run}
    fed |= {name for run in boat.run if run.id in backs for name in (run.start, run.end) if name}
    for bus in boat.bus:
        if bus.id in fed:
            continue
        joining = [run for run in boat.run if bus.id in (run.start, run.end)]
        starting = [run for run in joining if run.start == bus.id and run.id not in said]
        read = f"the run that feeds '{bus.id}', and from which bank"
        if any(run.voltage.seen and run.voltage.span[0] >= 50 for run in joining):
            continue
        feeder = next((run for run in joining if run.id in said and run.end == bus.id), None)
        for run in starting:
            reason = f"no bank feeds '{bus.id}', where it starts, by any run noted"
            if feeder is not None:
                reason = f"'{feeder.id}', which feeds it, is not counted: {said[feeder.id].reason}"
                read = said[feeder.id].read
            yield not_drawn(run, reason, read)
        if not starting and feeder is None:
            yield not_drawn(bus, "no bank feeds it by any run noted", read)


def listed(names: list[str]) -> str:
    """Return a few names in words."""
    if len(names) > 4:
        return f"'{names[0]}', '{names[1]}' and {len(names) - 2} more"
    return " and ".join(f"'{name}'" for name in names) or "nothing else"
