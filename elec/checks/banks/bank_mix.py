"""Whether the strings of a bank are of one age and one type."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce
from typing import Any

import numpy as np

from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.checks.banks.bank_cautions import GAS
from elec.checks.banks.battery_ages import ask_ages
from elec.checks.cannot import CannotJudge
from elec.checks.presence import THERE
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, Step
from elec.published import table

_LIMIT = "age difference within a bank"
_SERIES = (
    "In series the weakest battery stops its string and is charged wrongly by the others; in "
    "parallel the better strings carry the worse."
)


def _mix(bank: Bank, boat: BoatFile, _basis: str) -> Iterator[Answer]:
    yield from each("bank-mix", [bank], lambda one: _ages(one, boat))
    yield from each("bank-mix", [bank], _types)


def _ages(bank: Bank, boat: BoatFile) -> Finding | None:
    if len(bank.string) < 2:
        return None
    if boat.boat.surveyed is None:
        raise CannotJudge("the date of the survey was not noted")
    question = Question()
    names, notes = ask_ages(question, bank, boat.boat.surveyed, None)
    most, _, source = possible(_LIMIT)

    def requirement(**given: Any) -> tuple[Any, Any]:
        ages = [given[name] for name in names]
        return reduce(np.maximum, ages) - reduce(np.minimum, ages), most

    return question.finding(
        question.rule(requirement, "at most"),
        part="age",
        entry=bank,
        quantity="age",
        worst="B",
        statement=lambda value, limit: (
            f"Strings of bank '{bank.id}' differ in age by {value}; {limit} is taken as the most."
        ),
        working=tuple(
            Step(f"age {n + 1}", "survey less making, years", "", question.best(name), "years")
            for n, name in enumerate(names)
        ),
        sources=(table("possible_ranges").source(field=_LIMIT),),
        remedy="Replace the older strings, so that all batteries of the bank are of one age and "
        "type; until then test each string by itself.",
        caution=GAS,
        notes=(
            *notes,
            _SERIES,
            "Most guidance forbids old beside new in series and advises against it in parallel; "
            f"one maker permits a new parallel string of like type. Limit: {source}.",
        ),
    )


def _types(bank: Bank) -> Finding | None:
    labels = [string.label for string in bank.string if string.label]
    if len(labels) < 2:
        return None
    kinds = {" ".join(label.lower().split()) for label in labels}
    question = Question()
    question.exact("kinds", len(kinds))

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["kinds"], 1.0 + THERE

    return question.finding(
        question.rule(requirement, "at most"),
        part="types",
        entry=bank,
        quantity="presence",
        worst="B",
        statement=lambda _value, _limit: (
            f"Bank '{bank.id}' holds batteries of {len(kinds)} type{'s' * (len(kinds) > 1)}; one "
            "bank takes one."
        ),
        sources=(table("possible_ranges").source(field=_LIMIT),),
        remedy="Make the bank up of one make, type and size.",
        caution=GAS,
        notes=(_SERIES, f"Labels: {'; '.join(labels)}."),
    )


CHECK = Check(
    name="bank-mix",
    judges="strings of different age or type in one bank",
    system="batteries and charging",
    place=361,
    of="bank",
    ask=_mix,
)
