"""Shore transformers: rating against what they carry, and what they mean for earth and metal."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from elec.boat.ac_loads import SERVICES
from elec.boat.records import BoatFile, Inlet, Transformer
from elec.checks.cannot import CannotJudge
from elec.checks.legs.running import draws_of
from elec.checks.presence import presence_finding
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.checks.shore.cord_size import inlet_of
from elec.checks.shore.inlet_notes import dock_unread, elsewhere
from elec.checks.shore.inlet_rating import heaviest_within
from elec.finding import Finding, Step
from elec.published import table

_NAME = "transformer"


def _transformer(one: Transformer, boat: BoatFile, _basis: str) -> Iterator[Finding]:
    """Judge the windings of a transformer, and its rating behind an inlet of known service."""
    yield _isolating(one)
    inlet = inlet_of(one, boat)
    if inlet is None or not inlet.service.seen:
        reason = "which inlet it stands behind, and on which voltages, was not noted"
        raise CannotJudge(reason, f"which inlet feeds '{one.id}'")
    if not one.rating.seen:
        raise CannotJudge("its rating was not noted", f"kVA on the plate of '{one.id}'")
    judged = partial(_rating, boat, one)
    found = judged(inlet)
    other = elsewhere(found, judged, inlet, SERVICES[inlet.service.word])
    yield found.with_changes(notes=(*found.notes, *other))
    if other:
        raise dock_unread(inlet, other[0])


def _rating(boat: BoatFile, one: Transformer, inlet: Inlet) -> Finding:
    service = SERVICES[inlet.service.word]
    draws = draws_of(boat, inlet, service)
    question = Question()
    load, words = heaviest_within(question, boat, inlet, draws, service)
    question.ask("rating_VA", one, "rating", worse="lower")
    volts = service.to_neutral_V * len(service.legs)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return load.heaviest_A(given) * volts, given["rating_VA"]

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    amps = float(load.heaviest_A(best))
    return question.finding(
        ruling,
        entry=one,
        quantity="apparent_power",
        worst="B",
        statement=lambda value, limit: (
            f"Transformer '{one.id}' carries {value} {words} (its heavier leg counted on all); it "
            f"is rated {limit}."
        ),
        working=[
            Step(
                "S",
                "heavier leg x nominal volts over all legs: its windings are rated in amperes",
                f"{amps:.4g} x {volts:g}",
                amps * volts,
                "VA",
            )
        ],
        sources=[table("shore_services").source()],
        remedy="Run less at once, or fit one of that rating.",
        part="rating",
    )


def _isolating(one: Transformer) -> Finding:
    return presence_finding(
        one.isolating,
        entry=one,
        field="isolating",
        part="windings",
        words={
            "yes": f"Transformer '{one.id}' isolates: the shore earth ends at it, its secondary "
            "is a new source whose neutral may be earthed aboard, and no galvanic current passes.",
            "no": f"Transformer '{one.id}' does not isolate: the shore earth goes through, so it "
            "neither stops galvanic current nor stands in for leakage protection.",
            "?": f"Whether transformer '{one.id}' isolates was not seen: it may stop galvanic "
            "current and move the neutral's earth aboard, or do neither.",
        },
        worst="C",
        sources=[table("shore_protection_rules").source(rule_id="bond")],
        remedy="A galvanic isolator in the earth, leakage protection at the inlet, and no join of "
        "neutral and earth aboard, as if it were not there.",
    )


CHECK = Check(
    name=_NAME,
    judges="rating of a shore transformer, and whether it isolates",
    system="shore power",
    place=171,
    of="transformer",
    ask=_transformer,
)
