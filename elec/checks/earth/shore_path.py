"""What stands in the shore earth: isolator or transformer, its rating, its test; AC leakage."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Inlet
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked
from elec.noted import NO, YES, YES_OR_NO, Choice
from elec.published import table

__all__ = ["CHECKS", "check", "has_wet_metal"]

PATH, RATING, TEST, LEAKAGE = "shore-path", "isolator-rating", "isolator-test", "ac-leakage"
CHECKS = (PATH, RATING, TEST, LEAKAGE)
_SALT = ("sea", "brackish")
_CUTS_EARTH = (
    "An isolator that has failed open has cut the safety earth: a fault aboard then makes metal "
    "and water live."
)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge the earth of every inlet."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    wet = has_wet_metal(boat)
    for inlet in boat.inlet:
        results: list[Finding | NotChecked | None] = [_leakage(inlet), _path(inlet, boat, wet)]
        if inlet.isolator.is_surely("yes"):
            results += [_rating(inlet), _test(inlet)]
        for result in results:
            if isinstance(result, Finding):
                findings.append(result)
            elif result is not None:
                skipped.append(result)
    return findings, skipped


def has_wet_metal(boat: BoatFile) -> bool:
    """Return whether metal was noted in the water, which a shore earth could join to others."""
    immersed = any(metal.exposure.is_surely(*_SALT, "fresh") for metal in boat.metal)
    return immersed or boat.boat.hull.is_surely("steel", "aluminium") or bool(boat.anode)


# -- whether anything stands in the path -------------------------------------------------------


def _yes_no(
    question: Question, name: str, given: Choice, inlet: Inlet, field: str, read: str
) -> None:
    settled = {"yes": [Option(1.0, "present")], "no": [Option(0.0, "absent")]}
    question.among(
        name,
        settled.get(given.text, [Option(0.0, "absent"), Option(1.0, "present")]),
        entry=inlet,
        field=field,
        worse="lower",
        more="",
        read=read,
    )


def _transformer(inlet: Inlet, boat: BoatFile) -> Choice:
    """Return whether an isolating transformer stands behind an inlet."""
    said = [t.isolating for t in boat.transformer if t.inlet == inlet.id]
    loose = [t.isolating for t in boat.transformer if t.inlet is None]
    if any(one.is_surely("yes") for one in said):
        return YES
    return NO if all(one.is_surely("no") for one in (*said, *loose)) else YES_OR_NO


def _path(inlet: Inlet, boat: BoatFile, wet: bool) -> Finding:
    question = Question()
    transformer = _transformer(inlet, boat)
    parted = inlet.isolator.is_surely("yes") or transformer.is_surely("yes")
    read = f"what stands in the earth of '{inlet.id}', traced from it"
    _yes_no(question, "isolator", inlet.isolator, inlet, "isolator", read)
    _yes_no(question, "transformer", transformer, inlet, "isolating transformer", read)
    in_water = [Option(0.0, "metal is in the water"), Option(1.0, "none is")]
    question.among(
        "dry",
        in_water[:1] if wet or parted else in_water,
        entry=None,
        field="metal in the water that an earth aboard reaches",
        worse="lower",
        more="",
        read="what metal of hers is in the water: shaft, propeller, sea-cocks, keel, anodes",
    )
    question.exact("needed", 0.5)  # one of the three is 1, none 0

    def requirement(**given: Any) -> tuple[Any, Any]:
        held = np.maximum(np.asarray(given["isolator"]), given["transformer"])
        return np.maximum(held, given["dry"]), given["needed"]

    words = {
        "yes": "an isolator stands in its earth",
        "no": "no isolator stands in its earth",
        "?": "whether an isolator stands in its earth was not seen",
    }[inlet.isolator.text]
    if transformer.is_surely("yes"):
        words = "an isolating transformer parts it from the shore earth"
    others = [
        other.id
        for other in boat.inlet
        if other.id != inlet.id
        and not other.isolator.is_surely("yes")
        and not _transformer(other, boat).is_surely("yes")
    ]
    notes = []
    if not (wet or parted):
        notes.append("No metal was noted in the water. Not noted is not absent.")
    if others and parted:
        names = " and ".join(f"'{name}'" for name in others)
        notes.append(
            f"It parts nothing while {names} is plugged in without one: aboard, all earths join."
        )
    return question.finding(
        question.rule(requirement, "at least"),
        check=PATH,
        entry=inlet,
        sense="at least",
        quantity="presence",
        worst="B",
        statement=lambda _value, _limit: (
            f"Inlet '{inlet.id}': {words}. Without one the shore earth joins her metals to those "
            "of the dock and of her neighbours."
        ),
        sources=[table("corrosion_constants").source(name="block of a galvanic isolator")],
        remedy=f"Fit an isolator or an isolating transformer of its rating at '{inlet.id}'.",
        caution="Never cut or leave off the earth conductor itself: it is what trips the breaker.",
        notes=notes,
    )


# -- the isolator itself -----------------------------------------------------------------------


def _rating(inlet: Inlet) -> Finding | NotChecked:
    read = f"the rating on the isolator of '{inlet.id}'"
    if not inlet.isolator_rating.seen or not inlet.rating.seen:
        lacking = "isolator's rating" if not inlet.isolator_rating.seen else "inlet's rating"
        words = read if not inlet.isolator_rating.seen else f"the rating of inlet '{inlet.id}'"
        return NotChecked(RATING, inlet.id, f"the {lacking} was not noted", inlet.where, words)
    question = Question()
    question.noted(
        "isolator_A",
        inlet.isolator_rating,
        entry=inlet,
        field="isolator rating",
        worse="lower",
        read=read,
    )
    question.noted("inlet_A", inlet.rating, entry=inlet, field="rating", worse="higher")
    share = table("shore_protection_rules").exact("value", rule_id="isolator_rating")

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["isolator_A"]), share * given["inlet_A"]

    finding = question.finding(
        question.rule(requirement, "at least"),
        check=RATING,
        entry=inlet,
        sense="at least",
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"The isolator of inlet '{inlet.id}' is rated {value} on a circuit of {limit}; it has "
            "to carry the fault current until the breaker trips."
        ),
        sources=[table("shore_protection_rules").source(rule_id="isolator_rating")],
        remedy=f"Fit one rated {units.show(inlet.rating.span[2], 'current')} or more.",
        caution=_CUTS_EARTH,
    )
    # equal ratings are what the rule asks for: nothing has to be in hand
    if finding.verdict == "marginal":
        return finding.with_changes(verdict="adequate", priority=None)
    return finding


def _test(inlet: Inlet) -> Finding:
    question = Question()
    read = f"the isolator of '{inlet.id}', tested both ways by a licensed marine electrician"
    settled = {"yes": [Option(1.0, "sound")], "no": [Option(0.0, "failed")]}
    question.among(
        "sound",
        settled.get(inlet.isolator_tested.text, [Option(0.0, "failed"), Option(1.0, "sound")]),
        entry=inlet,
        field="isolator tested",
        worse="lower",
        more="",
        read=read,
    )
    question.exact("needed", 0.5)  # sound is 1, failed 0

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["sound"]), given["needed"]

    words = {
        "yes": "was tested: it blocks, and carries a fault",
        "no": "failed its test",
        "?": "was not tested",
    }[inlet.isolator_tested.text]
    return question.finding(
        question.rule(requirement, "at least"),
        check=TEST,
        entry=inlet,
        sense="at least",
        quantity="presence",
        worst="A" if inlet.isolator_tested.is_surely("no") else "B",
        statement=lambda _value, _limit: (
            f"The isolator of inlet '{inlet.id}' {words}. Failed open it has cut the safety earth; "
            "failed closed it lets the galvanic current pass unseen."
        ),
        sources=[table("shore_protection_rules").source(rule_id="isolator_fail")],
        remedy="Have it tested with the shore cord out; renew it if it fails either way.",
        caution=_CUTS_EARTH,
    )


def _leakage(inlet: Inlet) -> Finding | None:
    """Judge alternating leakage as what it is: a shock hazard, not corrosion."""
    if not inlet.leakage.seen:
        return None
    limits = table("leakage_and_trip_limits")
    rule = "nfpa303_boat"
    question = Question()
    question.noted("leakage_A", inlet.leakage, entry=inlet, field="AC leakage", worse="higher")
    question.exact("limit_A", limits.exact("limit_mA", rule_id=rule) / 1000.0)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["leakage_A"]), given["limit_A"]

    return question.finding(
        question.rule(requirement, "at most"),
        check=LEAKAGE,
        entry=inlet,
        sense="at most",
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"{value} of alternating current returns by another way than the cord of '{inlet.id}'; "
            f"at most {limit} is let in at a marina. It is a danger to swimmers and crew, not a "
            "cause of corrosion."
        ),
        sources=[limits.source(rule_id=rule)],
        remedy="Unplug; find the circuit by switching off one after another, and have it mended.",
        caution="Electric shock drowning: nobody in the water while she is plugged in.",
    )
