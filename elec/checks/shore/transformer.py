"""Shore transformers: rating against what they carry, and what they mean for earth and metal."""

from __future__ import annotations

from functools import partial
from typing import Any

from elec.boat.ac_loads import SERVICES
from elec.boat.records import BoatFile, Inlet, Transformer
from elec.checks.legs.running import draws_of
from elec.checks.presence import presence_finding
from elec.checks.question import Question
from elec.checks.shore.inlet_notes import elsewhere
from elec.checks.shore.inlet_rating import heaviest_within
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "transformer"
CHECKS = (CHECK,)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every transformer behind an inlet of known service."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for one in boat.transformer:
        findings.append(_isolating(one))
        inlet = _inlet(boat, one)
        if inlet is None or not inlet.service.seen:
            reason = "which inlet it stands behind, and on which voltages, was not noted"
            read = f"which inlet feeds '{one.id}'"
            skipped.append(NotChecked(CHECK, one.id, reason, one.where, read))
        elif not one.rating.seen:
            read = f"kVA on the plate of '{one.id}'"
            skipped.append(NotChecked(CHECK, one.id, "its rating was not noted", one.where, read))
        else:
            judged = partial(_rating, boat, one)
            found = judged(inlet)
            other = elsewhere(found, judged, inlet, SERVICES[inlet.service.word])
            findings.append(found.with_changes(notes=(*found.notes, *other)))
            if other:
                reason = f"the volts of its dock were not noted. {other[0]}".rstrip(".")
                read = f"the voltage at '{inlet.id}' under load"
                skipped.append(NotChecked(CHECK, one.id, reason, one.where, read))
    return findings, skipped


def _inlet(boat: BoatFile, one: Transformer) -> Inlet | None:
    if one.inlet is None:
        return boat.inlet[0] if len(boat.inlet) == 1 else None
    found = boat.find(one.inlet)
    return found if isinstance(found, Inlet) else None


def _rating(boat: BoatFile, one: Transformer, inlet: Inlet) -> Finding:
    service = SERVICES[inlet.service.word]
    draws = draws_of(boat, inlet, service)
    question = Question()
    load, words = heaviest_within(question, boat, inlet, draws, service)
    question.noted("rating_VA", one.rating, entry=one, field="rating", worse="lower")
    volts = service.to_neutral_V * len(service.legs)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return load.heaviest_A(given) * volts, given["rating_VA"] + 0.0 * given["uneven"]

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    amps = float(load.heaviest_A(best))
    return question.finding(
        ruling,
        check=CHECK,
        entry=one,
        sense="at most",
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
        check=CHECK,
        entry=one,
        field="isolating windings",
        part="windings",
        read=f"the diagram on '{one.id}', and whether the shore earth wire ends at it",
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
