"""What each load gets with everything else running, and what is not drawn of the networks."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import BoatFile
from elec.checks import bank_share, brown_out, run_drop
from elec.checks.cable import CannotJudge
from elec.checks.graph import Graph, Place, counted, graphs_of
from elec.checks.graph_solve import WARM_C, ask_network
from elec.checks.network_remedy import larger_or_shorter
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
    graphs, left = graphs_of(boat, basis, check=DROP)
    skipped += left
    for graph in graphs:
        said = _not_solvable(graph)
        if said is None:
            skipped += _loose(graph, boat)
            try:
                found, open_ = _judge(graph)
                findings += found
                skipped += open_
            except CannotJudge as error:
                where = graph.banks[0].where
                said = NotChecked(DROP, graph.id, error.reason, where, error.read)
        if said is not None and graph.cables:
            skipped.append(said)
    skipped += _not_fed(boat, graphs, {item.subject for item in left})
    return findings, skipped


def _judge(graph: Graph) -> tuple[list[Finding], list[NotChecked]]:
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    if not graph.cables:
        return findings, skipped
    conditions = dict.fromkeys(when for place in graph.places for when in place.when)
    if len(graph.banks) > 1 and conditions:
        findings += bank_share.judge(graph, max(conditions, key=lambda c: _drawn_A(graph, c)))
    for condition in conditions:
        findings += _drops(graph, condition)
        found, open_ = brown_out.judge(graph, condition)
        findings += found
        skipped += open_
    return findings, skipped


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


def _not_fed(boat: BoatFile, graphs: list[Graph], said: set[str]) -> list[NotChecked]:
    """Say which buses no bank feeds: the runs that start there, else the bus itself."""
    fed = {name for graph in graphs for name in graph.buses}
    found = []
    for bus in boat.bus:
        if bus.id in fed:
            continue
        starting = [run for run in boat.run if run.start == bus.id and run.id not in said]
        read = f"the run that feeds '{bus.id}', and from which bank"
        if any(
            run.voltage.seen and run.voltage.span[0] >= 50
            for run in boat.run
            if bus.id in (run.start, run.end)
        ):
            continue
        for run in starting:
            reason = f"no bank feeds '{bus.id}', where it starts, by any run noted"
            found.append(NotChecked(DROP, run.id, reason, run.where, read))
        if not starting:
            reason = "no bank feeds it by any run noted whose size was read"
            found.append(NotChecked(DROP, bus.id, reason, bus.where, read))
    return found


def _drops(graph: Graph, condition: str) -> list[Finding]:
    """Judge the drop at the end of each run that shares its way with other loads."""
    running = graph.running(condition)
    ends: dict[str, tuple[int, Place]] = {}
    for number, place in enumerate(running):
        if place.cable is not None and graph.shares_path(place, condition):
            ends.setdefault(place.cable.run.id, (number, place))
    return [_drop(graph, condition, running, number) for number, _ in ends.values()]


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
        hardest = solved(question.worst_values())
        remedy = larger_or_shorter(graph, path, question, hardest, share, "at most") or (
            "No listed size of any one run on the way is enough: divide the loads between several "
            f"runs from '{root}', or shorten the way."
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
