"""What each load gets with everything else running, and what is not drawn of the networks."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Inverter
from elec.checks import bank_share, brown_out, network_charge, run_drop
from elec.checks.bank_loads import owner_of
from elec.checks.bank_source import is_direct
from elec.checks.cable import CannotJudge
from elec.checks.graph import Graph, Place, charger_of, counted, graphs_of
from elec.checks.graph_solve import WARM_C, Solver, ask_network
from elec.checks.network_remedy import Change, cables_by_drop
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step

__all__ = ["CHECKS", "check"]

DROP = "network-drop"
CHECKS = (DROP, brown_out.CHECK, bank_share.CHECK)


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Solve every network in every condition."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for run in boat.run:
        if not run.start and (not run.voltage.seen or run.voltage.span[2] < 50):
            reason = "where it starts was not noted"
            read = f"what '{run.id}' starts from: its bank, busbar or panel"
            skipped.append(NotChecked(DROP, run.id, reason, run.where, read))
    graphs, left = graphs_of(boat, basis, check=DROP, unread=True)
    skipped += left + _elsewhere(boat)
    for graph in graphs:
        said = _not_solvable(graph)
        if said is None:
            skipped += _loose(graph, boat)
            found, open_ = _judge(graph)
            findings += found
            skipped += open_
        if said is not None and graph.cables:
            skipped.append(said)
    found, open_ = network_charge.judge(boat, basis, graphs, DROP)
    findings += found
    skipped += open_
    skipped += _not_fed(boat, graphs, {item.subject: item for item in left})
    return findings, skipped


def _judge(graph: Graph) -> tuple[list[Finding], list[NotChecked]]:
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    conditions = list(dict.fromkeys(when for place in graph.places for when in place.when))
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
    for run in boat.run:
        start = boat.find(run.start or "")
        if start is None or start.id in known or charger_of(run, boat):
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
    return [_drop(graph, condition, running, number) for number, _ in ends.values()], []


def _drop(graph: Graph, condition: str, running: list[Place], number: int) -> Finding:
    place = running[number]
    assert place.cable is not None
    run = place.cable.run
    question = Question()
    solved, sources, notes = ask_network(question, graph, running, drop=True)
    options = run_drop.ask_limit(place.cable, question)
    volts = place.cable.voltage_V

    def share(given: dict[str, Any], **changes: Any) -> tuple[Any, Any]:
        solution = solved(given, **changes)
        lost = solution.load_drop_V[..., number] / volts
        return np.where(solution.supplied, lost, np.inf), given["limit"]

    ruling = question.rule(lambda **given: share(given), "at most")
    best = solved(question.best_values())
    root = max(graph.banks, key=lambda bank: float(np.asarray(best.at_bus_V(bank.id)))).id
    path = graph.path(place.bus, root)
    remedy = None
    if ruling.verdict in ("inadequate", "undetermined"):
        remedy = _remedy(graph, running, number, question, solved, share, path) or (
            "No listed size, no length and no load left off is enough for all that it may be: "
            f"divide the loads between several runs from '{root}'."
        )
    several = "" if len(graph.banks) == 1 else " The highest of the banks' terminals counts."
    return question.finding(
        ruling,
        check=DROP,
        entry=run,
        sense="at most",
        quantity="percentage",
        worst="B",
        statement=lambda value, limit: (
            f"With everything on that runs '{condition}' ({counted(running)}), the end of run "
            f"'{run.id}' loses {value} on the way from '{root}'; at most {limit} is allowed."
        ),
        working=_path_steps(graph, path, root, best),
        sources=[*sources, *run_drop.limit_sources(place.cable, options)],
        remedy=remedy,
        notes=[
            *notes,
            f"By physics, copper at {WARM_C:g} °C, all drops on the way added, no charger or "
            f"alternator helping.{several}",
        ],
        part=condition,
    )


def _remedy(
    graph: Graph,
    running: list[Place],
    number: int,
    question: Question,
    solved: Solver,
    share: Any,
    path: tuple[str, ...],
) -> str | None:
    cables = cables_by_drop(graph, path, solved(question.worst_values()))
    change = Change(cables, question, share, "at most")
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


def _path_steps(graph: Graph, path: tuple[str, ...], root: str, solution: Any) -> list[Step]:
    """Return the drop along each run of the way, counted away from the bank."""
    steps, here = [], root
    for number, run in enumerate(path, start=1):
        start, end = graph.joined[run]
        sign = 1.0 if start == here else -1.0
        here = end if start == here else start
        amperes = sign * float(np.asarray(solution.in_run_A(run)))
        volts = sign * float(np.asarray(solution.along_run_V(run)))
        formula = f"I R along '{run}'"
        steps.append(Step(f"E{number}", formula, f"{amperes:.4g} A", volts, "V", "nodal analysis"))
    return steps
