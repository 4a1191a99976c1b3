"""What a bank holds: rated capacity, age, cold, rate, and how much of it may be used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.boat.typical import remaining, unit_capacity
from elec.calc.batteries import storage
from elec.checks.banks.bank_effects import ask_exponent, ask_rate, ask_temperature, size_factor
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question, Worse, asked_for
from elec.errors import TableRangeError
from elec.published import Source, table

__all__ = [
    "FAST",
    "SHORTEST_H",
    "Capacity",
    "Held",
    "ask_capacity",
    "ask_fast",
    "ask_held",
    "ask_strings",
    "ask_usable",
    "empties_fast",
    "one_hour_Ah",
    "usable_best",
    "why_not",
]

Capacity = Callable[[dict[str, Any]], Any]
#: Emptied faster than in this time, no published rate effect holds.
SHORTEST_H = 1.0
#: Name of the input for what a bank gives when it is emptied faster.
FAST = "fast"


def why_not(bank: Bank) -> CannotJudge | None:
    """Return why nothing can be said of what a bank holds, or None if something can."""
    if not bank.voltage.settled:
        words = (
            f"noted as {bank.voltage.text}, no one voltage" if bank.voltage.seen else "not noted"
        )
        return CannotJudge(
            f"the voltage of bank '{bank.id}' was {words}", f"the voltage of '{bank.id}'"
        )
    if unit_capacity(bank) is None:
        return CannotJudge(
            f"the capacity of bank '{bank.id}' was not noted", f"the Ah on the label of '{bank.id}'"
        )
    if bank.temperature.seen:
        try:
            for celsius in bank.temperature.span:
                size_factor(bank, celsius, [])
        except TableRangeError as error:
            reason = str(error).splitlines()[0].rstrip(".")
            return CannotJudge(f"at {bank.temperature.text}: {reason}")
    return None


def ask_strings(question: Question, bank: Bank, *, worse: Worse = "lower") -> None:
    """Add its number of parallel strings, every one that it may have if that was not traced."""
    counted = len(bank.string) or bank.in_parallel
    if isinstance(counted, int):
        question.exact("strings", counted)
        return
    low, high, source = possible("parallel strings")
    question.among(
        "strings",
        [Option(float(n), str(n)) for n in range(int(low), int(high) + 1)],
        entry=bank,
        field="in_parallel",
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
    read = f"the Ah and its hour rate on one battery of '{bank.id}'"
    question.noted("unit_Ah", one, entry=bank, field="capacity", worse=worse, read=read)
    same = not bank.string
    names: list[str] = []
    for number, string in enumerate((bank.string or (None,)) if aged else ()):
        words, read = asked_for(bank, "remaining")
        names.append(f"remaining_{number}")
        question.noted(
            names[-1],
            remaining(bank, string, boat.boat)[0],
            entry=bank,
            field=words if same else f"{words} of string {number + 1}",
            worse=worse,
            read=read,
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


def empties_fast(question: Question, held: Held, most_A: float) -> bool:
    """Whether a current may empty a bank in under an hour."""
    worst = question.worst_values()
    return most_A * SHORTEST_H > float(one_hour_Ah(held.capacity(worst), worst))


def ask_fast(question: Question, bank: Bank, held: Held, most_A: float) -> list[str]:
    """Add, if its loads may empty it in under an hour, that what it then gives is not known."""
    if not empties_fast(question, held, most_A):
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


def ask_usable(question: Question, bank: Bank, *, worse: Worse = "lower") -> list[Source]:
    """Add the share of its capacity that may be used: noted, or by each kind that it may be."""
    if bank.usable.seen:
        question.ask("usable", bank, "usable", worse=worse)
        return []
    shares = table("usable_fraction")
    kinds: dict[float, list[str]] = {}
    for row in shares.rows():
        if bank.chemistry.may_be(row["chemistry"]):
            kinds.setdefault(float(row["usable_fraction"]), []).append(row["chemistry"])
    options = [Option(share, ", ".join(kinds[share])) for share in sorted(kinds)]
    best = options[0].value
    question.among("usable", options, entry=bank, field="chemistry", worse=worse, best=best)
    return [shares.source()]


def usable_best(bank: Bank) -> float:
    """Return the share that may be used, at its best value."""
    if bank.usable.seen and bank.usable.best is not None:
        return bank.usable.best
    chemistry = bank.chemistry.word if bank.chemistry.seen else "agm"
    return table("usable_fraction").exact("usable_fraction", chemistry=chemistry)
