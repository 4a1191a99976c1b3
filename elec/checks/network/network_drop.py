"""What each load gets with everything else running."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile
from elec.calc.network import Solution
from elec.checks.cables import drop_limits
from elec.checks.network import network_charge, network_supply
from elec.checks.network.graph import Graph, Place, counted
from elec.checks.network.graph_solve import Solver, area_mm2, ask_network
from elec.checks.network.network_remedy import Change, cables_by_drop
from elec.checks.network.network_warmth import WARMTH, warmth_of
from elec.checks.network.networks import Networks, each_once, networks
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, NotChecked, Step
from elec.judge import HOLDS_WITHIN, Ruling
from elec.published import Source


def _ask_all(drawn: Networks, boat: BoatFile, basis: str) -> Iterator[Answer]:
    return each_once(_every(drawn, boat, basis))


def _every(drawn: Networks, boat: BoatFile, basis: str) -> Iterator[Answer]:
    yield from drawn.left
    for network in drawn.every:
        yield from network.left
        for state in network.states:
            for condition in state.conditions:
                ask = partial(_drops, condition=condition)
                yield from each("network-drop", [state.graph], ask)
            yield from state.off
    yield from network_charge.judge(boat, basis, drawn.graphs)
    yield from drawn.unfed


def _drops(graph: Graph, condition: str) -> Iterator[Finding | NotChecked]:
    """Judge the drop at the end of each run that shares its way with other loads."""
    running = graph.running(condition)
    ends: dict[str, int] = {}
    for number, place in enumerate(running):
        if place.cable is not None and graph.shares_path(place, condition):
            ends.setdefault(place.cable.run.id, number)
    weakest = network_supply.gives_way(graph, running)
    never = weakest is not None and weakest[1]
    drops = [] if never else [_drop(graph, condition, running, n) for n in ends.values()]
    told = drops and weakest and weakest[0].id in {running[n].id for n in ends.values()}
    if weakest is None or told:
        yield from drops
        return
    remedy = partial(_remedy_of, graph, running)
    overload = network_supply.judge(graph, condition, running, "network-drop", remedy)
    yield from (overload, *drops)
    if drops:
        return
    reason = (
        f"with everything on that runs '{condition}'{graph.said}, '{overload.subject}' cannot be "
        "supplied: no drop can be told"
    )
    read = f"what keeps '{overload.subject}' from being supplied"
    for run, number in ends.items():
        place = running[number]
        if place.id != overload.subject:
            yield NotChecked("network-drop", run, reason, place.entry.where, read)


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
        entry=run,
        quantity="percentage",
        worst="B",
        statement=statement,
        working=_path_steps(graph, path, root, best) if bool(np.asarray(best.supplied)) else [],
        sources=asked.sources,
        remedy=remedy,
        notes=[
            *asked.notes,
            f"By physics, {WARMTH}; all drops on the way added, no charger or alternator "
            f"helping.{several}",
            *_by_formula(graph, path, best, ruling),
        ],
        part=f"{condition}{graph.said}",
    )


def _path_steps(graph: Graph, path: tuple[str, ...], root: str, solution: Solution) -> list[Step]:
    """Return the drop along each run of the way, counted away from the bank."""
    steps, here = [], root
    for number, cable in enumerate(graph.way(path), start=1):
        run = cable.run.id
        start, end = graph.joined.get(run, (here, here))
        sign = 1.0 if start == here else -1.0
        here = end if start == here else start
        amperes = sign * float(np.asarray(solution.in_run_A(run)))
        volts = sign * float(np.asarray(solution.along_run_V(run)))
        formula, numbers = f"I R along '{run}'", f"{amperes:.4g} A"
        if cable.run.size.size is not None:
            warm = float(warmth_of(cable)(area_mm2(cable), amperes))
            numbers += f", copper at {warm:.0f} °C"
        steps.append(Step(f"E{number}", formula, numbers, volts, "V", "nodal analysis"))
    return steps


def _by_formula(
    graph: Graph, path: tuple[str, ...], solution: Solution, ruling: Ruling
) -> list[str]:
    """Say what the standard's own formula makes of the same currents on the way."""
    way = graph.way(path)
    if any(one.run.size.size is None for one in way) or not bool(np.asarray(solution.supplied)):
        return []
    basis, nominal_V = way[-1].basis.name, graph.volts
    volts = sum(
        float(
            0.5
            * graph.conductors(one)
            * drop_limits.formula_V(
                abs(float(np.asarray(solution.in_run_A(one.run.id)))),
                one.length.span[1],
                area_mm2(one),
                basis,
            )
        )
        for one in way
    )
    shown = units.show(volts / nominal_V, "percentage")
    passes = volts / nominal_V <= ruling.limit.low * (1 + HOLDS_WITHIN)
    turned = passes and ruling.verdict not in ("adequate", "marginal")
    return [
        f"By the {drop_limits.FORMULAS[basis][1]}, of cooler metal, the same currents lose {shown} "
        "on the way" + (": by it alone the way would pass." if turned else ".")
    ]


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


CHECK = Check(
    name="network-drop",
    judges="drop of a DC load with everything else running",
    system="cables and protection",
    place=281,
    of="boat",
    prepare=networks,
    ask=_ask_all,
)
