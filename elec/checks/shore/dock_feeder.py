"""The feeder of a dock, by the receptacles it feeds: asked only where a dock was noted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from elec import units
from elec.boat.ac_loads import OF_230_V, SERVICES, Service
from elec.boat.records import BoatFile, Dock
from elec.checks.cannot import CannotJudge
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, NotChecked, Step
from elec.published import Table, table

_NAME = "dock-feeder"


@dataclass(frozen=True)
class _Feeder:
    """A feeder by its name, with the receptacles noted on it."""

    id: str
    receptacles: list[Dock]

    @property
    def where(self) -> str | None:
        """Where the first of them is."""
        return self.receptacles[0].where

    @property
    def count(self) -> int:
        """How many receptacles there are."""
        return sum(one.count for one in self.receptacles)

    def factor(self, rows: Table) -> float:
        """Return the share at which so many are counted."""
        # a listed range ends before the next begins; the last is open
        band = max(float(low) for low in rows.numbers("receptacles_from") if low <= self.count)
        return rows.exact("demand_pct", receptacles_from=f"{band:g}") / 100


def _feeders(boat: BoatFile) -> list[_Feeder]:
    feeders: dict[str, _Feeder] = {}
    for one in boat.dock:
        feeders.setdefault(one.feeder, _Feeder(one.feeder, [])).receptacles.append(one)
    return list(feeders.values())


def _whole_V(service: Service) -> float:
    """Return the volts of all legs together, which times amperes a leg are volt-amperes."""
    return service.to_neutral_V * len(service.legs)


def _feeder(feeder: _Feeder, _boat: BoatFile, _basis: str) -> Finding | NotChecked:
    """Judge a feeder by all the receptacles noted on it."""
    for one in feeder.receptacles:
        if not one.service.seen or not one.rating.seen:
            read = f"rating and voltages of the receptacles '{one.id}'"
            return NotChecked(_NAME, feeder.id, f"'{one.id}' was not read", one.where, read)
        if one.service.is_surely(*OF_230_V):
            reason = "no demand of 230 V dock receptacles is held"
            return NotChecked(_NAME, feeder.id, reason, one.where)
    rows = table("demand_marina_receptacles")
    factor = feeder.factor(rows)
    question = Question()
    for number, one in enumerate(feeder.receptacles):
        question.ask(f"r{number}_A", one, "rating", worse="higher")

    def whole_VA(given: dict[str, Any]) -> Any:
        return sum(
            given[f"r{number}_A"] * (_whole_V(SERVICES[one.service.word]) * one.count)
            for number, one in enumerate(feeder.receptacles)
        )

    all_VA = float(whole_VA(question.best_values()))
    shown = units.show(all_VA * factor, "apparent_power", unit="kVA")
    words = f"{feeder.count} receptacles, counted at {factor * 100:g} %, ask for {shown}"
    supply = next((one for one in feeder.receptacles if one.feeder_service.seen), None)
    rated = next((one for one in feeder.receptacles if one.feeder_rating.seen), None)
    if supply is None or rated is None:
        reason = f"{words}; its rating or voltages were not noted"
        raise CannotJudge(reason, f"breaker and voltages of the feeder '{feeder.id}'")
    volts = _whole_V(SERVICES[supply.feeder_service.word])
    question.ask("feeder_A", rated, "feeder_rating", worse="lower")
    ruling = question.rule(
        lambda **given: (whole_VA(given) * factor / volts, given["feeder_A"]), "at most"
    )
    return question.finding(
        ruling,
        entry=feeder.receptacles[0],
        subject=feeder.id,
        quantity="current",
        worst="C",
        statement=lambda value, limit: (
            f"Feeder '{feeder.id}' of the dock: {words}, {value} a leg; it is rated {limit}."
        ),
        working=[
            Step("S", "sum of the receptacles' ratings", "", all_VA, "VA"),
            Step("D", "share counted x S", f"{factor:g} x {all_VA:g}", factor * all_VA, "VA"),
            Step("I", "D / volts over all legs", f"/ {volts:g}", factor * all_VA / volts, "A"),
        ],
        sources=[rows.source()],
        remedy="A larger feeder, or fewer receptacles on it.",
        notes=[
            "For a dock's feeder, never for a boat's inlet. Of two receptacles of different "
            "voltage at one berth the larger counts alone: note only that one."
        ],
    )


CHECK = Check(
    name=_NAME,
    judges="a dock's feeder by its receptacles, where a dock was noted",
    system="shore power",
    place=231,
    of=_feeders,
    ask=_feeder,
)
