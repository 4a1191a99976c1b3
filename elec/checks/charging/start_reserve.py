"""What is left for starting in a bank that carries loads as well."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.checks.banks.bank_carries import ask_carried
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.banks.bank_loads import daily_Ah, main_condition
from elec.checks.banks.cranking import starts_engine
from elec.checks.charging.bank_course import follows
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding


def _reserve(bank: Bank, boat: BoatFile, _basis: str) -> Finding | None:
    condition = main_condition(bank)
    if not follows(boat, bank) or not starts_engine(bank):
        return None
    if not daily_Ah(boat, bank, condition)[2]:
        return None
    question = Question()
    carried = ask_carried(question, bank, boat, condition)
    if bank.start_reserve.seen:
        question.ask("kept", bank, "start_reserve", worse="higher")
    else:
        _, high, source = possible("charge kept for starting")
        question.exact("kept", high)
        carried.notes.append(f"No charge to be kept was noted: {high:.0%} is taken ({source}).")
    carried.ask_fast(question)

    def requirement(**given: Any) -> tuple[Any, Any]:
        drawn = carried.drawn_Ah(given)
        whole = carried.usable_Ah(given, drawn) / given["usable"]
        left = np.maximum(1.0 - drawn / 24.0 * given["wanted_h"] / whole, 0.0)
        return left, given["kept"]

    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity="fraction",
        worst="B",
        statement=lambda value, limit: (
            f"After the time asked in condition '{condition}', {value} of the charge is left in "
            f"bank '{bank.id}' to start {bank.starts or 'its engine'}; {limit} is to be kept."
        ),
        sources=carried.held.sources,
        remedy="Give starting a bank of its own, with a relay or isolator between.",
        caution=caution_of(bank),
        notes=carried.notes,
    )


CHECK = Check(
    name="start-reserve",
    judges="what is left for starting in a bank that carries loads as well",
    system="batteries and charging",
    place=333,
    of="bank",
    ask=_reserve,
)
