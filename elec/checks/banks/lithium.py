"""What has to be aboard with a lithium bank, and which standards bind it."""

from __future__ import annotations

from typing import Any

from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.boat.typical import strings_counted, unit_capacity
from elec.checks.banks.bank_cautions import LITHIUM
from elec.checks.presence import THERE, ask_presence
from elec.checks.question import Question, asked_for
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.noted import Choice, Noted
from elec.published import table

_STANDARDS = ("abyc_e13_scope", "iso23625_2021_scope", "iso23625_2025_scope")


def _lithium(bank: Bank, _boat: BoatFile, _basis: str) -> Finding | None:
    if not bank.chemistry.is_surely("lfp"):
        return None
    wanted = {
        "management": bank.management,
        "cold_cutoff": bank.cold_cutoff,
        "alarm": bank.alarm,
    }
    question = Question()
    for field, given in wanted.items():
        ask_presence(question, field, given, entry=bank, field=field)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return sum(given[field] for field in wanted), len(wanted) - 1 + THERE

    def named(fields: dict[str, Choice]) -> str:
        return ", ".join(asked_for(bank, field)[0] for field in fields)

    unseen = {field: given for field, given in wanted.items() if not given.is_surely("yes")}
    working, notes = _thresholds(bank)
    notes.append(
        "See also: over-current device at the bank that can break its fault current; what happens "
        "to the alternator when the bank disconnects itself."
    )
    duties = table("standards_duties")
    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity="presence",
        worst="A",
        statement=lambda _value, _limit: (
            f"Lithium bank '{bank.id}': {named(unseen)} not seen."
            if unseen
            else f"Lithium bank '{bank.id}': {named(wanted)} seen."
        ),
        working=working,
        sources=[duties.source(duty_id=name) for name in (*_STANDARDS, "abyc_e13_alarm")],
        remedy=f"Fit, or find: {named(unseen)}.",
        caution=LITHIUM,
        notes=notes,
    )


def _thresholds(bank: Bank) -> tuple[list[Step], list[str]]:
    """Return the working and the words of which standards bind what the bank stores."""
    one = unit_capacity(bank)
    if one is None or not bank.voltage.seen:
        return [], []
    (least, most), words = _energy_Wh(bank, one)
    rows = [table("standards_duties").row(duty_id=name) for name in _STANDARDS]

    def named(chosen: list[dict[str, str]]) -> str:
        return "; ".join(f"{row['document']} ({row['value']} Wh)" for row in chosen)

    reached = [row for row in rows if least >= float(row["value"])]
    perhaps = [row for row in rows if least < float(row["value"]) <= most]
    notes = []
    if reached or not perhaps:
        bound = named(reached) or "none of the standards held"
        notes.append(f"It reaches the threshold of: {bound}.")
    if perhaps:
        notes.append(f"By what was not settled ({words}) it may reach that of: {named(perhaps)}.")
    if least != most:
        return [], notes
    return [Step("E", "capacity x strings x voltage", words, least, "Wh")], notes


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
