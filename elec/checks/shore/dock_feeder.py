"""The feeder of a dock, by the receptacles it feeds: asked only where a dock was noted."""

from __future__ import annotations

from typing import Any

from elec import units
from elec.boat.ac_loads import OF_230_V, SERVICES
from elec.boat.records import BoatFile, Dock
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "dock-feeder"
CHECKS = (CHECK,)
_TABLE = "demand_marina_receptacles"


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge each feeder by all the receptacles noted on it."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    feeders: dict[str, list[Dock]] = {}
    for one in boat.dock:
        feeders.setdefault(one.feeder, []).append(one)
    for name, receptacles in feeders.items():
        answer = _judge(name, receptacles)
        if isinstance(answer, Finding):
            findings.append(answer)
        else:
            skipped.append(answer)
    return findings, skipped


def _judge(name: str, receptacles: list[Dock]) -> Finding | NotChecked:
    first = receptacles[0]
    for one in receptacles:
        if not one.service.seen or not one.rating.seen:
            read = f"rating and voltages of the receptacles '{one.id}'"
            return NotChecked(CHECK, name, f"'{one.id}' was not read", one.where, read)
        if one.service.is_surely(*OF_230_V):
            return NotChecked(CHECK, name, "no demand of 230 V dock receptacles is held", one.where)
    rows = table(_TABLE)
    count = sum(one.count for one in receptacles)
    # a listed range ends before the next begins; the last is open
    band = max(float(low) for low in rows.numbers("receptacles_from") if low <= count)
    factor = rows.exact("demand_pct", receptacles_from=f"{band:g}") / 100
    supplies = [one for one in receptacles if one.feeder_service.seen]
    question = Question()
    for number, one in enumerate(receptacles):
        question.noted(f"r{number}_A", one.rating, entry=one, field="rating", worse="higher")
    each_VA = [
        SERVICES[one.service.word].to_neutral_V * len(SERVICES[one.service.word].legs) * one.count
        for one in receptacles
    ]
    best = [question.best(f"r{number}_A") for number in range(len(receptacles))]
    whole_VA = sum(amps * volts for amps, volts in zip(best, each_VA, strict=True))
    shown = units.show(whole_VA * factor, "apparent_power", unit="kVA")
    words = f"{count} receptacles, counted at {factor * 100:g} %, ask for {shown}"
    rated = [one for one in receptacles if one.feeder_rating.seen]
    if not supplies or not rated:
        read = f"breaker and voltages of the feeder '{name}'"
        reason = f"{words}; its rating or voltages were not noted"
        return NotChecked(CHECK, name, reason, first.where, read)
    service = SERVICES[supplies[0].feeder_service.word]
    volts = service.to_neutral_V * len(service.legs)
    question.noted(
        "feeder_A", rated[0].feeder_rating, entry=rated[0], field="feeder breaker", worse="lower"
    )

    def demand_A(given: dict[str, Any]) -> Any:
        total = sum(given[f"r{n}_A"] * each for n, each in enumerate(each_VA))
        return total * factor / volts

    ruling = question.rule(lambda **given: (demand_A(given), given["feeder_A"]), "at most")
    return question.finding(
        ruling,
        check=CHECK,
        entry=first,
        subject=name,
        sense="at most",
        quantity="current",
        worst="C",
        statement=lambda value, limit: (
            f"Feeder '{name}' of the dock: {words}, {value} a leg; it is rated {limit}."
        ),
        working=[
            Step("S", "sum of the receptacles' ratings", "", whole_VA, "VA"),
            Step("D", "share counted x S", f"{factor:g} x {whole_VA:g}", factor * whole_VA, "VA"),
            Step("I", "D / volts over all legs", f"/ {volts:g}", factor * whole_VA / volts, "A"),
        ],
        sources=[rows.source()],
        remedy="A larger feeder, or fewer receptacles on it.",
        notes=[
            "For a dock's feeder, never for a boat's inlet. Of two receptacles of different "
            "voltage at one berth the larger counts alone: note only that one."
        ],
    )
