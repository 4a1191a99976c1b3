"""Whether a bank has had its life: by a test of its capacity, or else by its age."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Bank, BoatFile
from elec.checks.banks.bank_cautions import GAS
from elec.checks.banks.battery_ages import ask_ages
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding
from elec.noted import Noted
from elec.published import table


def _age(bank: Bank, boat: BoatFile, _basis: str) -> Finding:
    shares = [one.remaining for one in bank.string] or [bank.remaining]
    if all(one.seen for one in shares):
        return _tested(bank, shares)
    surveyed = boat.boat.surveyed
    if not bank.year.seen and not any(s.year.seen or s.date_code for s in bank.string):
        raise CannotJudge(
            "the age of the batteries was not noted", f"the date code or invoice of '{bank.id}'"
        )
    if surveyed is None:
        raise CannotJudge("the date of the survey was not noted")
    question = Question()
    names, notes = ask_ages(question, bank, surveyed, "higher")
    lives = table("cycle_count_trade_ranges_marine")
    ends = sorted(
        {
            float(r["life_years_high"])
            for r in lives.rows()
            if r["life_years_high"] and bank.chemistry.may_be(r["battery_type"])
        }
    )
    question.among(
        "life_years",
        [Option(years, f"a life of {years:g} years") for years in ends],
        entry=bank,
        field="life of its kind",
        worse="lower",
        best=ends[0],
        source=f"table {lives.name}, every upper end for its chemistry",
        read=f"a capacity test of '{bank.id}'",
    )

    def requirement(**given: Any) -> tuple[Any, Any]:
        return reduce(np.maximum, [given[name] for name in names]), given["life_years"]

    end = table("standards_duties")
    return question.finding(
        question.rule(requirement, "at most"),
        entry=bank,
        quantity="age",
        worst="C",
        statement=lambda value, limit: (
            f"The oldest battery of bank '{bank.id}' is {value} old; the trade gives its kind "
            f"{limit} at most."
        ),
        sources=(lives.source(), end.source(duty_id="end_of_life")),
        remedy="Test its capacity: below "
        f"{end.row(duty_id='end_of_life')['value']} % of rated it is at its end.",
        caution=GAS,
        notes=notes,
    )


def _tested(bank: Bank, shares: Sequence[Noted]) -> Finding:
    question = Question()
    for number, share in enumerate(shares):
        question.noted(
            f"share_{number}",
            share,
            entry=bank,
            field="remaining",
            worse="lower",
            read=f"the remaining capacity of '{bank.id}'",
        )
    limit = table("standards_duties").exact("value", duty_id="end_of_life") / 100

    def requirement(**given: Any) -> tuple[Any, Any]:
        return reduce(np.minimum, given.values()), limit

    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity="fraction",
        worst="C",
        statement=lambda value, limit: (
            f"The weakest string of bank '{bank.id}' still holds {value} of its rated capacity; "
            f"at {limit} it is at its end."
        ),
        sources=(table("standards_duties").source(duty_id="end_of_life"),),
        remedy=f"Plan to replace it: under {units.show(limit, 'fraction')} it fails soon.",
        caution=GAS,
    )


CHECK = Check(
    name="bank-age",
    judges="age or tested capacity against the life of its kind",
    system="batteries and charging",
    place=362,
    of="bank",
    ask=_age,
    commands=("bank",),
)
