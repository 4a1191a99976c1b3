"""What a bank holds: rated capacity, age, cold, rate, and how much of it may be used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import noted
from elec.boat.possible import possible
from elec.boat.records import Bank, BatteryString, BoatFile
from elec.boat.typical import remaining, unit_capacity
from elec.calc.batteries import storage
from elec.checks.banks.bank_effects import ask_exponent, ask_rate, ask_temperature, size_factor
from elec.checks.question import Option, Question, Worse
from elec.errors import TableRangeError
from elec.finding import NotChecked
from elec.noted import Noted
from elec.published import Source, table

__all__ = [
    "FAST",
    "SHORTEST_H",
    "Held",
    "ask_by_chemistry",
    "ask_capacity",
    "ask_fast",
    "ask_held",
    "ask_strings",
    "ask_usable",
    "cannot",
    "one_hour_Ah",
    "return_span",
    "strings_of",
    "usable_best",
]

Capacity = Callable[[dict[str, Any]], Any]
#: Emptied faster than in this time, no published rate effect holds.
SHORTEST_H = 1.0
#: Name of the input for what a bank gives when it is emptied faster.
FAST = "fast"


def strings_of(bank: Bank) -> list[BatteryString | None]:
    """Return its parallel strings, None for one that was not described."""
    if bank.string:
        return list(bank.string)
    number = bank.in_parallel if isinstance(bank.in_parallel, int) else 1
    return [None] * number


def ask_strings(question: Question, bank: Bank, *, worse: Worse = "lower") -> None:
    """Add its number of parallel strings, every one that it may have if that was not traced."""
    if bank.in_parallel != "?" or bank.string:
        question.exact("strings", float(len(strings_of(bank))))
        return
    low, high, source = possible("parallel strings")
    question.among(
        "strings",
        [Option(float(n), str(n)) for n in range(int(low), int(high) + 1)],
        entry=bank,
        field="strings in parallel",
        worse=worse,
        best=2.0,
        source=source,
    )


def ask_capacity(
    question: Question, bank: Bank, boat: BoatFile, *, aged: bool, worse: Worse = "lower"
) -> Capacity:
    """Add what the bank holds; return its capacity from the inputs, with ageing if asked."""
    one = unit_capacity(bank)
    assert one is not None
    question.noted(
        "unit_Ah",
        one,
        entry=bank,
        field="capacity",
        worse=worse,
        read=f"the Ah and its hour rate on one battery of '{bank.id}'",
    )
    same = not bank.string
    names: list[str] = []
    for number, string in enumerate([None] if same else bank.string):
        if not aged:
            break
        names.append(f"remaining_{number}")
        question.noted(
            names[-1],
            remaining(bank, string, boat.boat)[0],
            entry=bank,
            field="remaining capacity" + ("" if same else f" of string {number + 1}"),
            worse=worse,
            read=f"a capacity test of '{bank.id}', or its invoice for the age",
        )
    ask_strings(question, bank, worse=worse)

    def capacity(given: dict[str, Any]) -> Any:
        if not aged:
            return storage.bank_capacity_Ah(given["unit_Ah"], strings=given["strings"])
        if same:
            return storage.bank_capacity_Ah(
                given["unit_Ah"] * given["remaining_0"], strings=given["strings"]
            )
        return given["unit_Ah"] * sum(given[name] for name in names)

    return capacity


@dataclass(frozen=True)
class Held:
    """What a bank holds, aged: its rated capacity, and what of it may be used at a current."""

    capacity: Capacity
    usable: Callable[[dict[str, Any], Any], Any]
    size_factor: Capacity
    sources: tuple[Source, ...]
    notes: tuple[str, ...]


def ask_held(question: Question, bank: Bank, boat: BoatFile) -> Held:
    """Add capacity, age, usable share, rate effect and cold, in that order."""
    capacity = ask_capacity(question, bank, boat, aged=True)
    sources = ask_usable(question, bank)
    sources.append(ask_exponent(question, bank))
    notes = ask_rate(question, bank)
    size_factor, said = ask_temperature(question, bank, sources)

    def usable(given: dict[str, Any], current_A: Any) -> Any:
        current = np.maximum(current_A, 1e-12)
        held = storage.peukert_capacity_Ah(
            capacity(given),
            rate_h=given["rate_h"],
            current_A=current,
            exponent=given["exponent"],
        )
        if FAST in given:
            most = one_hour_Ah(capacity(given), given)
            held = np.where(held < current * SHORTEST_H, most * given[FAST], held)
        return held * given["usable"] / size_factor(given)

    return Held(capacity, usable, size_factor, tuple(sources), (*notes, *said))


def one_hour_Ah(capacity_Ah: Any, given: dict[str, Any]) -> Any:
    """Return what a bank gives when it is emptied in an hour [Ah]."""
    return storage.peukert_capacity_in_Ah(
        capacity_Ah, rate_h=given["rate_h"], time_h=SHORTEST_H, exponent=given["exponent"]
    )


def ask_fast(question: Question, bank: Bank, held: Held, most_A: float) -> list[str]:
    """Add, if its loads may empty it in under an hour, that what it then gives is not known."""
    worst = question.worst_values()
    if most_A * SHORTEST_H <= float(one_hour_Ah(held.capacity(worst), worst)):
        return []
    question.among(
        FAST,
        [Option(0.0, "nothing"), Option(1.0, "as much as in one hour")],
        entry=bank,
        field="what it gives if emptied in under an hour",
        worse="lower",
        best=1.0,
        source="no published capacity holds for it",
        more="",
        read=f"the discharge figures of the maker of '{bank.id}' for less than an hour",
    )
    return [
        "At the most that its loads may take it would be empty in under an hour. The published "
        "effect of the rate ends at one hour and is not carried beyond it: from nothing to what "
        "the bank gives in one hour is taken."
    ]


def ask_by_chemistry(
    question: Question, bank: Bank, name: str, table_name: str, column: str, **words: Any
) -> Source:
    """Add what a table holds for its chemistry, or for every chemistry if that was not seen."""
    rows = {r["chemistry"]: float(r[column]) for r in table(table_name).rows()}
    chosen = {one: rows[one] for one in rows if bank.chemistry.may_be(one)}
    options: dict[float, str] = {}
    for chemistry, value in chosen.items():
        options[value] = f"{options[value]}, {chemistry}" if value in options else chemistry
    ordered = [Option(v, options[v]) for v in sorted(options)]
    question.among(name, ordered, entry=bank, field="chemistry", best=ordered[0].value, **words)
    return table(table_name).source()


def ask_usable(question: Question, bank: Bank, *, worse: Worse = "lower") -> list[Source]:
    """Add the share of its capacity that may be used."""
    if bank.usable.seen:
        question.noted("usable", bank.usable, entry=bank, field="usable share", worse=worse)
        return []
    read = f"the chemistry on the label of '{bank.id}'"
    return [
        ask_by_chemistry(
            question, bank, "usable", "usable_fraction", "usable_fraction", worse=worse, read=read
        )
    ]


def usable_best(bank: Bank) -> float:
    """Return the share that may be used, at its best value."""
    if bank.usable.seen and bank.usable.best is not None:
        return bank.usable.best
    chemistry = bank.chemistry.word if bank.chemistry.seen else "agm"
    return table("usable_fraction").exact("usable_fraction", chemistry=chemistry)


def return_span(bank: Bank) -> Noted:
    """Return the charge to be put back over the charge taken."""
    if bank.charge_return.seen:
        return bank.charge_return
    rows = {r["chemistry"]: r for r in table("charge_return_by_chemistry").rows()}
    chosen = list(rows.values()) if not bank.chemistry.seen else [rows[bank.chemistry.word]]
    return noted.between(
        min(float(r["ah_in_over_out_low"]) for r in chosen),
        max(float(r["ah_in_over_out_high"]) for r in chosen),
        "percentage",
        origin="typical",
        source="table charge_return_by_chemistry",
        text="not seen",
    )


def cannot(bank: Bank, check: str, subject: str, where: str | None) -> NotChecked | None:
    """Say why a bank cannot be judged, or None if it can."""
    if not bank.voltage.settled:
        words = (
            f"noted as {bank.voltage.text}, no one voltage" if bank.voltage.seen else "not noted"
        )
        return NotChecked(
            check,
            subject,
            f"the voltage of bank '{bank.id}' was {words}",
            where,
            f"the voltage of '{bank.id}'",
        )
    if unit_capacity(bank) is None:
        return NotChecked(
            check,
            subject,
            f"the capacity of bank '{bank.id}' was not noted",
            where,
            f"the Ah on the label of '{bank.id}'",
        )
    if bank.temperature.seen:
        try:
            for celsius in bank.temperature.span:
                size_factor(bank, celsius, [])
        except TableRangeError as error:
            reason = str(error).splitlines()[0].rstrip(".")
            return NotChecked(check, subject, f"at {bank.temperature.text}: {reason}", where)
    return None
