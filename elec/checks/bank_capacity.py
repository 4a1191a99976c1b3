"""What a bank holds: rated capacity, age, cold, rate, and how much of it may be used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.records import Bank, BatteryString, BoatFile
from elec.boat.typical import possible, remaining, unit_capacity
from elec.calc import storage
from elec.checks.question import Option, Question, Worse
from elec.errors import InputError, TableRangeError
from elec.finding import NotChecked
from elec.noted import Noted
from elec.published import Source, table

__all__ = [
    "FAST",
    "SHORTEST_H",
    "Held",
    "ask_by_chemistry",
    "ask_capacity",
    "ask_exponent",
    "ask_fast",
    "ask_held",
    "ask_rate",
    "ask_strings",
    "ask_temperature",
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
    chosen = rows if bank.chemistry == "?" else {bank.chemistry: rows[bank.chemistry]}
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


def _hour_rate(bank: Bank) -> Noted:
    """Return the hour rate of its capacity: noted, that of a box size, or any usual one."""
    if bank.rate.seen:
        return bank.rate
    if not bank.capacity.seen:
        source = "table battery_groups, by the 20-hour rate"
        return noted.between(20.0, 20.0, "duration", origin="typical", source=source)
    low, high, source = possible("hour rate of a capacity")
    return noted.between(low, high, "duration", best=20.0, origin="typical", source=source)


def ask_rate(question: Question, bank: Bank) -> list[str]:
    """Add the hour rate of the capacity; the longer it is, the less is held at a heavy load."""
    rate = _hour_rate(bank)
    question.noted(
        "rate_h",
        rate,
        entry=bank,
        field="hour rate",
        worse="higher",
        read=f"the hour rate beside the Ah on one battery of '{bank.id}'",
    )
    if bank.rate.seen:
        return []
    if rate.settled:
        return ["The capacity is that of the box size, at the 20-hour rate."]
    taken = units.show_range(rate.span[0], rate.span[2], "duration")
    return [f"No hour rate was noted: {taken} is taken, 20 h in the working."]


def ask_exponent(question: Question, bank: Bank) -> Source:
    """Add the rate exponent: from its reserve capacity, or what is published for its chemistry."""
    if bank.reserve.seen and bank.capacity.seen:
        low, best, high = _reserve_exponents(bank)
        span = noted.between(low, high, "ratio", best=best, text=bank.reserve.text)
        question.noted("exponent", span, entry=bank, field="reserve capacity", worse="higher")
        return table("standards_duties").source(duty_id="reserve_current")
    rows = {r["chemistry"]: r for r in table("peukert_by_chemistry").rows()}
    chosen = rows.values() if bank.chemistry == "?" else [rows[bank.chemistry]]
    span = noted.between(
        min(float(r["exponent_low"]) for r in chosen),
        max(float(r["exponent_high"]) for r in chosen),
        "ratio",
        origin="typical",
        source="table peukert_by_chemistry",
        text="not seen",
    )
    question.noted(
        "exponent",
        span,
        entry=bank,
        field="rate exponent",
        worse="higher",
        read=f"a second hour rating or the reserve minutes of '{bank.id}'",
    )
    return table("peukert_by_chemistry").source()


def _reserve_exponents(bank: Bank) -> tuple[float, float, float]:
    """Return the least, best and most exponent of every reserve, capacity and hour rate noted.

    Ends that cannot be of one battery leave open any exponent that a battery may have.
    """
    current = table("standards_duties").exact("value", duty_id="reserve_current")
    spans = (bank.reserve.span, bank.capacity.span, _hour_rate(bank).span)

    def exponent(reserve_h: float, capacity_Ah: float, rate_h: float) -> float | None:
        try:
            return float(
                storage.exponent_from_reserve(
                    reserve_h * 60,
                    reserve_current_A=current,
                    capacity_Ah=capacity_Ah,
                    rate_h=rate_h,
                )
            )
        except InputError:
            return None

    best = exponent(*(span[1] for span in spans))
    ends = [exponent(*corner) for corner in product(*((span[0], span[2]) for span in spans))]
    found = [end for end in ends if end is not None]
    low, high = (
        (min(found), max(found))
        if len(found) == len(ends)
        else (storage.EXPONENT_LOWEST, storage.EXPONENT_HIGHEST)
    )
    return low, (low + high) / 2 if best is None else best, high


def ask_temperature(
    question: Question, bank: Bank, sources: list[Source]
) -> tuple[Capacity, list[str]]:
    """Add its temperature; return the factor by which cold makes it too small, and notes.

    No credit is taken for warmth: the factor is never under one.
    """
    notes = ["No credit is taken for a battery warmer than 25 °C."]
    value = bank.temperature
    if not value.seen:
        low, high, source = possible("battery temperature")
        value = noted.between(
            low, high, "temperature", best=25.0, origin="typical", source=source, text="not seen"
        )
        taken = units.show_range(low, high, "temperature")
        notes.insert(0, f"Its temperature was not noted: {taken} is taken, 25 °C in the working.")
    question.noted(
        "temperature_C",
        value,
        entry=bank,
        field="temperature",
        worse="lower",
        read=f"the temperature of '{bank.id}' when it is coldest in use",
    )
    _size_factor(bank, value.span[1], sources)
    return lambda given: _size_factor(bank, given["temperature_C"], []), notes


def _size_factor(bank: Bank, celsius: Any, sources: list[Source]) -> Any:
    """Return the larger factor of those of the chemistries it may have, never under one."""
    found = np.ones_like(np.asarray(celsius, dtype=np.float64))
    if bank.chemistry != "lfp":
        factors = table("temperature_size_factor_ieee485")
        sources.append(factors.source())
        found = np.maximum(found, factors.linear("electrolyte_temp_C", "size_multiplier", celsius))
    if bank.chemistry in ("lfp", "?"):
        shares = table("capacity_vs_temperature_dataset").where(chemistry="lfp")
        sources.append(shares.source())
        at, base = (
            shares.linear("cell_temp_C", "capacity_pct_of_rated", t) for t in (celsius, 25.0)
        )
        found = np.maximum(found, base / at)
    return found


def usable_best(bank: Bank) -> float:
    """Return the share that may be used, at its best value."""
    if bank.usable.seen and bank.usable.best is not None:
        return bank.usable.best
    chemistry = "agm" if bank.chemistry == "?" else bank.chemistry
    return table("usable_fraction").exact("usable_fraction", chemistry=chemistry)


def return_span(bank: Bank) -> Noted:
    """Return the charge to be put back over the charge taken."""
    if bank.charge_return.seen:
        return bank.charge_return
    rows = {r["chemistry"]: r for r in table("charge_return_by_chemistry").rows()}
    chosen = list(rows.values()) if bank.chemistry == "?" else [rows[bank.chemistry]]
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
                _size_factor(bank, celsius, [])
        except TableRangeError as error:
            reason = str(error).splitlines()[0].rstrip(".")
            return NotChecked(check, subject, f"at {bank.temperature.text}: {reason}", where)
    return None
