"""What each load gets with everything else running, and what is not drawn of the networks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Inverter
from elec.checks.banks.bank_loads import owner_of
from elec.checks.cables import drop_limits
from elec.checks.cables.run_load import is_direct
from elec.checks.cannot import CannotJudge
from elec.checks.network import (
    bank_share,
    brown_out,
    network_charge,
    network_supply,
    network_switches,
)
from elec.checks.network.graph import Graph, Place, charger_of, counted, graphs_of
from elec.checks.network.graph_solve import Solver, ask_network
from elec.checks.network.network_remedy import Change, cables_by_drop
from elec.checks.network.network_warmth import WARMTH
from elec.checks.network.network_working import by_formula, path_steps
from elec.checks.question import Question
from elec.finding import Finding, NotChecked
from elec.published import Source

__all__ = ["CHECKS", "check"]

DROP = "network-drop"
CHECKS = (DROP, brown_out.CHECK, bank_share.CHECK)


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Solve every network in every condition."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    returns = {run.return_by for run in boat.run}
    for run in boat.run:
        if run.id in returns:
            continue
        if not run.start and (not run.voltage.seen or run.voltage.span[2] < 50):
            reason = "where it starts was not noted"
            read = f"what '{run.id}' starts from: its bank, busbar or panel"
            skipped.append(NotChecked(DROP, run.id, reason, run.where, read))
    graphs, left = graphs_of(boat, basis, check=DROP, unread=True)
    skipped += left + _elsewhere(boat)
    for graph in graphs:
        said = _not_solvable(graph)
        if said is not None:
            skipped += [said] if graph.cables else []
            continue
        skipped += _loose(graph, boat)
        try:
            for one, conditions, off in network_switches.states(graph, boat, basis, DROP):
                found, open_ = _judge(one, conditions)
                findings += found
                skipped += open_ + off
        except CannotJudge as error:
            where = graph.banks[0].where
            skipped.append(NotChecked(DROP, graph.id, error.reason, where, error.read))
    skipped[:] = dict.fromkeys(skipped)
    found, open_ = network_charge.judge(boat, basis, graphs, DROP)
    findings += found
    skipped += open_
    skipped += _not_fed(boat, graphs, {item.subject: item for item in left})
    sure = [found for found in findings if not _unread_size(found)]
    return sure, skipped + [_any_size(found) for found in findings if _unread_size(found)]


def _unread_size(found: Finding) -> str | None:
    """Return the run of unread size over whose listed sizes a finding holds, if there is one."""
    if found.verdict not in ("adequate", "marginal"):
        return None
    runs = (item.input.removesuffix(": size") for item in found.typical if ": size" in item.input)
    return next(runs, None)


def _any_size(found: Finding) -> NotChecked:
    """Refuse what holds for every listed size of a run whose size was not read: it may be less."""
    run = _unread_size(found)
    reason = (
        f"the size of '{run}' was not read: every listed size would be {found.verdict}, but a "
        "smaller one may lie there"
    )
    return NotChecked(
        found.check, found.subject, reason, found.where, f"the size printed on the cable of '{run}'"
    )


def _judge(graph: Graph, conditions: list[str]) -> tuple[list[Finding], list[NotChecked]]:
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    if not graph.cables or not conditions:
        return findings, skipped
    asked: list[tuple[str, Callable[[], tuple[list[Finding], list[NotChecked]]]]] = []
    if len(graph.banks) > 1:
        hardest = max(conditions, key=lambda c: _drawn_A(graph, c))
        asked.append((bank_share.CHECK, partial(bank_share.judge, graph, hardest)))
    for condition in conditions:
        asked.append((DROP, partial(_drops, graph, condition)))
        asked.append((brown_out.CHECK, partial(brown_out.judge, graph, condition)))
    for check_id, ask in asked:
        try:
            found, open_ = ask()
        except CannotJudge as error:
            where = graph.banks[0].where
            found, open_ = [], [NotChecked(check_id, graph.id, error.reason, where, error.read)]
        findings += found
        skipped += open_
    return findings, list(dict.fromkeys(skipped))


def _drawn_A(graph: Graph, condition: str) -> float:
    return sum(place.current.span[1] * place.count for place in graph.running(condition))


def _not_solvable(graph: Graph) -> NotChecked | None:
    """Say what keeps a network from being solved at all."""
    volts = {bank.voltage.span for bank in graph.banks if bank.voltage.seen}
    where = graph.banks[0].where
    if len(volts) > 1:
        shown = " and ".join(f"'{bank.id}' ({bank.voltage.text})" for bank in graph.banks)
        reason = f"runs join banks of different voltages: {shown}"
        return NotChecked(DROP, graph.id, reason, where, f"what joins {shown}")
    unread = [bank.id for bank in graph.banks if not bank.voltage.seen]
    if unread:
        reason = f"the voltage of '{unread[0]}' was not noted"
        read = f"the voltage and chemistry on the label of '{unread[0]}'"
        return NotChecked(DROP, graph.id, reason, where, read)
    return None


def _loose(graph: Graph, boat: BoatFile) -> list[NotChecked]:
    """Say which loads no run names, where the network of their bank is drawn up to a bus."""
    if not graph.loose or not graph.buses & {bus.id for bus in boat.bus}:
        return []
    names = brown_out.listed(graph.loose)
    reason = f"no run names {names}: taken at the bank's terminals, the drop of no cable counted"
    read = f"which run feeds {names}"
    return [NotChecked(DROP, graph.id, reason, graph.banks[0].where, read)]


def _elsewhere(boat: BoatFile) -> list[NotChecked]:
    """Say which runs and inverters are no part of any network."""
    found = []
    known = {entry.id for entry in (*boat.bank, *boat.bus)}
    returns = {run.return_by for run in boat.run}
    for run in boat.run:
        start = boat.find(run.start or "")
        if start is None or start.id in known or charger_of(run, boat) or run.id in returns:
            continue
        if is_direct(run, boat) and (run.voltage.seen or not isinstance(start, Inverter)):
            reason = f"it starts at '{start.id}', which is no bank, busbar, charger or alternator"
            read = f"which bank or busbar feeds '{run.id}'"
            found.append(NotChecked(DROP, run.id, reason, run.where, read))
    served = {name for run in boat.run for name in (*run.serves, run.end)}
    for one in boat.inverter:
        if boat.run and one.id not in served and owner_of(boat, one) is None and boat.bank:
            reason = "neither a run that feeds it nor its bank was noted: it is not counted"
            read = f"which run and bank feed '{one.id}'"
            found.append(NotChecked(DROP, one.id, reason, one.where, read))
    return found


def _not_fed(boat: BoatFile, graphs: list[Graph], said: dict[str, NotChecked]) -> list[NotChecked]:
    """Say which buses no bank feeds: the runs that start there, else the bus itself."""
    fed = {name for graph in graphs for name in graph.buses}
    found = []
    backs = {run.return_by for run in boat.run}
    fed |= {run.end for run in boat.run if run.id in backs and run.end}
    fed |= {run.start for run in boat.run if run.id in backs and run.start}
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
            found.append(NotChecked(DROP, run.id, reason, run.where, read))
        if not starting and feeder is None:
            reason = "no bank feeds it by any run noted"
            found.append(NotChecked(DROP, bus.id, reason, bus.where, read))
    return found


def _drops(graph: Graph, condition: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge the drop at the end of each run that shares its way with other loads."""
    running = graph.running(condition)
    ends: dict[str, tuple[int, Place]] = {}
    for number, place in enumerate(running):
        if place.cable is not None and graph.shares_path(place, condition):
            ends.setdefault(place.cable.run.id, (number, place))
    weakest = network_supply.gives_way(graph, running)
    drops = (
        []
        if weakest and weakest[1]
        else [_drop(graph, condition, running, n) for n, _ in ends.values()]
    )
    if weakest is None or (drops and weakest[0].id in {place.id for _, place in ends.values()}):
        return drops, []
    remedy = partial(_remedy_of, graph, running)
    overload = network_supply.judge(graph, condition, running, DROP, remedy)
    if drops:
        return [overload, *drops], []
    reason = (
        f"with everything on that runs '{condition}'{graph.said}, '{overload.subject}' cannot be "
        "supplied: no drop can be told"
    )
    read = f"what keeps '{overload.subject}' from being supplied"
    return [overload], [
        NotChecked(DROP, run, reason, place.entry.where, read)
        for run, (_, place) in ends.items()
        if place.id != overload.subject
    ]


@dataclass(frozen=True)
class _Asked:
    """The question of the drop at a load: its solver, what is lost, and what it rests on."""

    question: Question
    solved: Solver
    share: Callable[..., tuple[Any, Any]]
    sources: list[Source]
    notes: list[str]

    def way(self, graph: Graph, place: Place) -> tuple[str, tuple[str, ...]]:
        """Return the bank whose terminals are the highest, and the runs from it."""
        best = self.solved(self.question.best_values())
        root = max(graph.banks, key=lambda bank: float(np.asarray(best.at_bus_V(bank.id)))).id
        return root, graph.path(place.bus, root)


def _ask(graph: Graph, running: list[Place], number: int) -> _Asked:
    cable = running[number].cable
    assert cable is not None
    question = Question()
    solved, sources, notes = ask_network(question, graph, running, drop=True)
    options = drop_limits.ask_limit(cable, question)

    def share(given: dict[str, Any], **changes: Any) -> tuple[Any, Any]:
        solution = solved(given, **changes)
        lost = solution.load_drop_V[..., number] / cable.voltage_V
        return np.where(solution.supplied, lost, np.inf), given["limit"]

    sources = [*sources, *drop_limits.limit_sources(cable, options)]
    return _Asked(question, solved, share, sources, notes)


def _drop(graph: Graph, condition: str, running: list[Place], number: int) -> Finding:
    place = running[number]
    assert place.cable is not None
    run = place.cable.run
    asked = _ask(graph, running, number)
    ruling = asked.question.rule(lambda **given: asked.share(given), "at most")
    best = asked.solved(asked.question.best_values())
    root, path = asked.way(graph, place)
    remedy = None
    if ruling.verdict in ("inadequate", "undetermined"):
        remedy = _remedy(graph, running, number, asked, path) or (
            "No listed size, no length and no load left off is enough for all that it may be: "
            f"divide the loads between several runs from '{root}'."
        )
    several = (
        ""
        if len(graph.banks) == 1
        else " The highest of the banks' terminals counts, and with it what flows between banks "
        "that may not be equally full, which no load draws: see bank-share."
    )

    def statement(value: str, limit: str) -> str:
        if not np.isfinite(ruling.value.high):
            least = units.show(float(ruling.value.low), "percentage")
            value = f"{least} at the least, or cannot be supplied at all,"
        return (
            f"With everything on that runs '{condition}' ({counted(running)}){graph.said}, the end "
            f"of run '{run.id}' loses {value} on the way from '{root}'; at most {limit} is allowed."
        )

    return asked.question.finding(
        ruling,
        check=DROP,
        entry=run,
        sense="at most",
        quantity="percentage",
        worst="B",
        statement=statement,
        working=path_steps(graph, path, root, best) if bool(np.asarray(best.supplied)) else [],
        sources=asked.sources,
        remedy=remedy,
        notes=[
            *asked.notes,
            f"By physics, {WARMTH}; all drops on the way added, no charger or alternator "
            f"helping.{several}",
            *by_formula(graph, path, best, ruling),
        ],
        part=f"{condition}{graph.said}",
    )


def _remedy_of(graph: Graph, running: list[Place], number: int) -> str | None:
    """Return the smallest change by which a load gets its current within the drop allowed."""
    place = running[number]
    if place.cable is None:
        return None
    asked = _ask(graph, running, number)
    return _remedy(graph, running, number, asked, asked.way(graph, place)[1])


def _remedy(
    graph: Graph, running: list[Place], number: int, asked: _Asked, path: tuple[str, ...]
) -> str | None:
    cables = cables_by_drop(graph, path, asked.solved(asked.question.worst_values()))
    change = Change(cables, asked.question, asked.share, "at most")
    shared = [
        (other, place)
        for other, place in enumerate(running)
        if other != number and set(graph.path(place.bus)) & set(path)
    ]
    return (
        change.of_one_run()
        or change.of_all_runs()
        or change.of_a_load(shared)
        or change.of_all_lengths()
    )
