"""Alternating current that comes back by another way than the shore cord: through the water."""

from __future__ import annotations

from typing import Any

from elec.boat.records import BoatFile, Inlet
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding
from elec.published import table

_RULE = "nfpa303_boat"


def _leakage(inlet: Inlet, _boat: BoatFile, _basis: str) -> Finding | None:
    """Judge alternating leakage as what it is: a shock hazard, not corrosion."""
    if not inlet.leakage.seen:
        return None
    limits = table("leakage_and_trip_limits")
    question = Question()
    question.ask("leakage_A", inlet, "leakage", worse="higher")
    question.exact("limit_A", limits.exact("limit_mA", rule_id=_RULE) / 1000.0)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["leakage_A"], given["limit_A"]

    return question.finding(
        question.rule(requirement, "at most"),
        entry=inlet,
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"{value} of alternating current returns by another way than the cord of '{inlet.id}'; "
            f"at most {limit} is let in at a marina. It is a danger to swimmers and crew, not a "
            "cause of corrosion."
        ),
        sources=[limits.source(rule_id=_RULE)],
        remedy="Unplug; find the circuit by switching off one after another, and have it mended.",
        caution="Electric shock drowning: nobody in the water while she is plugged in.",
    )


CHECK = Check(
    name="ac-leakage",
    judges="alternating current that leaves by another way than the cord",
    system="shore power",
    place=471,
    of="inlet",
    ask=_leakage,
)
