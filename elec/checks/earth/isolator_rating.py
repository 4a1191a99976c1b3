"""The rating of a galvanic isolator against that of its inlet."""

from __future__ import annotations

from typing import Any

from elec import units
from elec.boat.records import BoatFile, Inlet
from elec.checks.cannot import CannotJudge
from elec.checks.earth.shore_earth import CUTS_EARTH
from elec.checks.question import Question, asked_for
from elec.checks.registry import Check
from elec.finding import Finding
from elec.published import table

_RULE = "isolator_rating"


def _rating(inlet: Inlet, _boat: BoatFile, _basis: str) -> Finding | None:
    if not inlet.isolator.is_surely("yes"):
        return None
    for lacking, field, read in (
        ("isolator's rating", "isolator_rating", ""),
        ("inlet's rating", "rating", f"the rating of inlet '{inlet.id}'"),
    ):
        if not getattr(inlet, field).seen:
            raise CannotJudge(f"the {lacking} was not noted", asked_for(inlet, field, read)[1])
    question = Question()
    question.ask("isolator_A", inlet, "isolator_rating", worse="lower")
    question.ask("inlet_A", inlet, "rating", worse="higher")
    rules = table("shore_protection_rules")
    share = rules.exact("value", rule_id=_RULE)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["isolator_A"], share * given["inlet_A"]

    finding = question.finding(
        question.rule(requirement, "at least"),
        entry=inlet,
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"The isolator of inlet '{inlet.id}' is rated {value} on a circuit of {limit}; it has "
            "to carry the fault current until the breaker trips."
        ),
        sources=[rules.source(rule_id=_RULE)],
        remedy=f"Fit one rated {units.show(inlet.rating.span[2], 'current')} or more.",
        caution=CUTS_EARTH,
    )
    # equal ratings are what the rule asks for: nothing has to be in hand
    if finding.verdict == "marginal":
        return finding.with_changes(verdict="adequate", priority=None)
    return finding


CHECK = Check(
    name="isolator-rating",
    judges="rating of an isolator against its inlet",
    system="shore power",
    place=473,
    of="inlet",
    ask=_rating,
)
