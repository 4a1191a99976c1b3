"""What each load gets with everything else running, and what electronics see meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Bus, DcLoad
from elec.checks import run_drop
from elec.checks.cable import CannotJudge
from elec.checks.graph import WARM_C, Graph, Place, graph_of
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step

__all__ = ["CHECKS", "check"]

DROP, BROWN_OUT = "network-drop", "brown-out"
CHECKS = (DROP, BROWN_OUT)
#: Loads whose running together may starve the rest.
_HEAVY = ("windlass", "thruster", "capstan", "crane")


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Solve the network of every bank in every condition."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for run in boat.run:
        if not run.start and (not run.voltage.seen or run.voltage.span[2] < 50):
            reason = "where it starts was not noted"
            read = f"what '{run.id}' starts from: its bank, busbar or panel"
            skipped.append(NotChecked(DROP, run.id, reason, run.where, read))
    fed: set[str] = set()
    for bank in boat.bank:
        graph, left = graph_of(bank, boat, basis, check=DROP)
        skipped += left
        fed |= {*graph.ends, *(item.subject for item in left)}
        if not graph.cables:
            continue
        conditions = dict.fromkeys(when for place in graph.places for when in place.when)
        try:
            for condition in conditions:
                findings += _drops(graph, condition)
                found, open_ = _brown_outs(graph, condition)
                findings += found
                skipped += open_
        except CannotJudge as error:
            skipped.append(NotChecked(DROP, bank.id, error.reason, bank.where, error.read))
    for run in boat.run:
        if isinstance(boat.find(run.start or ""), Bus) and run.id not in fed:
            reason = f"no bank feeds '{run.start}', where it starts, by any run noted"
            read = f"the run that feeds '{run.start}', and from which bank"
            skipped.append(NotChecked(DROP, run.id, reason, run.where, read))
    return findings, skipped


def _drops(graph: Graph, condition: str) -> list[Finding]:
    """Judge the drop at the end of each run that shares its way with other loads."""
    running = graph.running(condition)
    ends: dict[str, tuple[int, Place]] = {}
    for number, place in enumerate(running):
        if place.cable is not None and graph.shares_path(place, condition):
            ends.setdefault(place.cable.run.id, (number, place))
    found = []
    for run_id, (number, place) in ends.items():
        assert place.cable is not None
        question = Question()
        solved, sources, notes = graph.ask(question, running)
        options = run_drop.ask_limit(place.cable, question)
        volts = place.cable.voltage_V

        def requirement(
            *, _solved: Any = solved, _at: int = number, _volts: float = volts, **given: Any
        ) -> tuple[Any, Any]:
            solution = _solved(given)
            share = solution.load_drop_V[..., _at] / _volts
            return np.where(solution.supplied, share, np.inf), given["limit"]

        ruling = question.rule(requirement, "at most")
        best = solved(question.best_values())
        found.append(
            question.finding(
                ruling,
                check=DROP,
                entry=place.cable.run,
                sense="at most",
                quantity="percentage",
                worst="B",
                statement=_drop_words(
                    f"With everything on that runs '{condition}' ({len(running)} loads), the end "
                    f"of run '{run_id}' loses",
                    f"on the way from '{graph.bank.id}'",
                ),
                working=_path_steps(graph, place, best),
                sources=[*sources, *run_drop.limit_sources(place.cable, options)],
                remedy="Fit larger cable on the run with the largest drop, or feed it apart.",
                notes=[*notes, f"By physics, copper at {WARM_C:g} °C, all drops on the way added."],
            )
        )
    return found


def _drop_words(first: str, way: str) -> Callable[[str, str], str]:
    return lambda value, limit: f"{first} {value} {way}; at most {limit} is allowed."


def _seen_words(first: str) -> Callable[[str, str], str]:
    return lambda value, limit: f"{first} {value}; it needs {limit}."


def _path_steps(graph: Graph, place: Place, solution: Any) -> list[Step]:
    steps = []
    for number, run in enumerate(graph.paths[place.bus], start=1):
        amperes = float(np.asarray(solution.in_run_A(run)))
        steps.append(
            Step(
                f"E{number}",
                f"I R along '{run}'",
                f"{amperes:.4g} A",
                float(np.asarray(solution.along_run_V(run))),
                "V",
                "nodal analysis",
            )
        )
    return steps


def _brown_outs(graph: Graph, condition: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge what electronics see while windlass and thrusters run together."""
    running = graph.running(condition)
    heavy = [place for place in running if any(word in place.words for word in _HEAVY)]
    # what is on the bank at all stays on while the heavy loads run
    seen = [
        place
        for place in graph.places
        if not place.short_time and (_lowest(place).seen or place.constant_power)
    ]
    if not heavy or not seen:
        return [], []
    together = [*running, *(place for place in seen if place not in running)]
    words = _listed([one.id for one in heavy])
    question = Question()
    solved, sources, notes = graph.ask(question, together)
    best = solved(question.best_values())
    findings, wanting = [], list[tuple[str, float]]()
    for place in seen:
        number = together.index(place)
        if not _lowest(place).seen:
            wanting.append((place.id, float(np.asarray(best.load_V[..., number]))))
            continue
        question = Question()
        solved, sources, notes = graph.ask(question, together)
        question.noted(
            "lowest_V", _lowest(place), entry=place.entry, field="lowest voltage", worse="higher"
        )

        def requirement(*, _solved: Any = solved, _at: int = number, **given: Any) -> Any:
            solution = _solved(given)
            return np.where(solution.supplied, solution.load_V[..., _at], 0.0), given["lowest_V"]

        ruling = question.rule(requirement, "at least")
        findings.append(
            question.finding(
                ruling,
                check=BROWN_OUT,
                entry=place.entry,
                sense="at least",
                quantity="voltage",
                worst="B",
                statement=_seen_words(f"While {words} run together, '{place.id}' sees"),
                sources=sources,
                remedy="Feed it from another bank, or through a converter that holds its voltage.",
                notes=[
                    *notes,
                    "The bank from half full to full, no charger or alternator helping.",
                ],
            )
        )
    if not wanting:
        return findings, []
    volts = [volt for _, volt in wanting]
    names = _listed([name for name, _ in wanting])
    reason = (
        f"the lowest voltage that {names} work at was not noted; they see about "
        f"{units.show_range(min(volts), max(volts), 'voltage')} while {words} run together"
        if len(set(volts)) > 1
        else f"the lowest voltage that {names} works at was not noted; about "
        f"{units.show(volts[0], 'voltage')} is there while {words} run together"
    )
    read = f"the lowest supply voltage of {names}, on the plate or in the papers"
    return findings, [NotChecked(BROWN_OUT, graph.bank.id, reason, None, read)]


def _lowest(place: Place) -> Any:
    from elec import noted

    return (
        place.entry.lowest_voltage if isinstance(place.entry, DcLoad) else noted.unseen("voltage")
    )


def _listed(names: list[str]) -> str:
    if len(names) > 4:
        return f"'{names[0]}', '{names[1]}' and {len(names) - 2} more"
    return " and ".join(f"'{name}'" for name in names) or "nothing else"
