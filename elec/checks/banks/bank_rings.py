"""How many rings are on one post of a bank."""

from __future__ import annotations

from typing import Any

from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.checks.banks.bank_cautions import SHORT
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding
from elec.published import table


def _rings(bank: Bank, _boat: BoatFile, _basis: str) -> Finding:
    _, most, source = possible("rings on one battery post")
    question = Question()
    if isinstance(bank.rings_on_post, int):
        question.exact("rings", bank.rings_on_post)
    else:
        question.among(
            "rings",
            [Option(float(n), str(n)) for n in range(1, 9)],
            entry=bank,
            field="rings_on_post",
            worse="higher",
            best=2.0,
            source="1 to 8 considered",
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["rings"], most

    return question.finding(
        question.rule(requirement, "at most"),
        entry=bank,
        quantity="ratio",
        worst="B",
        statement=lambda _value, _limit: (
            f"A post of bank '{bank.id}' carries {bank.rings_on_post} rings; {most:g} is the most."
            if isinstance(bank.rings_on_post, int)
            else f"Rings on the posts of bank '{bank.id}' were not counted; {most:g} is the most."
        ),
        sources=(table("possible_ranges").source(field="rings on one battery post"),),
        remedy="Bring the rest to a bus bar, one fused cable from the post.",
        caution=SHORT,
        notes=(f"Limit: {source}.", "The largest ring lies next to the post."),
    )


CHECK = Check(
    name="bank-rings",
    judges="rings on one post",
    system="batteries and charging",
    place=353,
    of="bank",
    ask=_rings,
)
