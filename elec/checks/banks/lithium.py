"""What has to be aboard with a lithium bank, and which standards bind it."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.boat.typical import strings_counted, unit_capacity
from elec.checks.banks.bank_autonomy import LITHIUM
from elec.checks.presence import THERE, ask_presence
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.noted import Noted
from elec.published import table

__all__ = ["CHECK"]

_DUTIES = "standards_duties"


def _lithium(bank: Bank, _boat: BoatFile, _basis: str) -> Finding | None:
    if not bank.chemistry.is_surely("lfp"):
        return None
    duties = table(_DUTIES)
    question = Question()
    wanted = (
        ("management", bank.management, "battery management system", "the management system"),
        ("cold_cutoff", bank.cold_cutoff, "cut-off below freezing", "what stops charging in cold"),
        ("alarm", bank.alarm, "alarm before shut-down", "the alarm before it shuts down"),
    )
    for name, given, field, words in wanted:
        ask_presence(question, name, given, entry=bank, field=field, read=f"{words} of '{bank.id}'")

    def requirement(**given: Any) -> tuple[Any, Any]:
        present = sum(given[name] for name, *_ in wanted)
        return present, len(wanted) - 1 + THERE + 0.0 * np.asarray(present)

    ids = ("abyc_e13_scope", "iso23625_2021_scope", "iso23625_2025_scope")
    working, notes = [], []
    one = unit_capacity(bank)
    if one is not None and bank.voltage.seen:
        energy, words = _energy_Wh(bank, one)
        if energy[0] == energy[1]:
            working.append(Step("E", "capacity x strings x voltage", words, energy[0], "Wh"))
        rows = [duties.row(duty_id=name) for name in ids]
        named = {row["duty_id"]: f"{row['document']} ({row['value']} Wh)" for row in rows}
        reached = [row["duty_id"] for row in rows if energy[0] >= float(row["value"])]
        perhaps = [r["duty_id"] for r in rows if energy[0] < float(r["value"]) <= energy[1]]
        if reached or not perhaps:
            bound = "; ".join(named[name] for name in reached)
            notes.append(f"It reaches the threshold of: {bound or 'none of the standards held'}.")
        if perhaps:
            bound = "; ".join(named[name] for name in perhaps)
            notes.append(f"By what was not settled ({words}) it may reach that of: {bound}.")
    notes.append(
        "See also: over-current device at the bank that can break its fault current; what happens "
        "to the alternator when the bank disconnects itself."
    )
    unseen = [field for _, given, field, _ in wanted if not given.is_surely("yes")]
    return question.finding(
        question.rule(requirement, "at least"),
        check="lithium",
        entry=bank,
        sense="at least",
        quantity="presence",
        worst="A",
        statement=lambda _value, _limit: (
            f"Lithium bank '{bank.id}': {', '.join(unseen)} not seen."
            if unseen
            else f"Lithium bank '{bank.id}': {', '.join(field for _, _, field, _ in wanted)} seen."
        ),
        working=working,
        sources=[duties.source(duty_id=name) for name in (*ids, "abyc_e13_alarm")],
        remedy=f"Fit, or find: {', '.join(unseen)}.",
        caution=LITHIUM,
        notes=notes,
    )


def _energy_Wh(bank: Bank, one: Noted) -> tuple[tuple[float, float], str]:
    """Return the least and most that a bank stores, and how it comes about."""
    low, high, _ = possible("parallel strings")
    counted = strings_counted(bank)
    few, many = (counted, counted) if counted is not None else (int(low), int(high))
    least, most = (
        one.span[end] * number * bank.voltage.span[end] for end, number in ((0, few), (2, many))
    )
    shown = f"{few}" if few == many else f"{few} to {many}"
    return (least, most), f"{one.text} x {shown} strings x {bank.voltage.text}"


CHECK = Check(
    name="lithium",
    judges="what has to be aboard with a lithium bank",
    system="batteries and charging",
    place=354,
    of="bank",
    ask=_lithium,
)
