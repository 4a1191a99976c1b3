"""What a bank holds: rated capacity, age, cold, rate, and how much of it may be used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import noted
from elec.boat.records import Bank, BatteryString, BoatFile
from elec.boat.typical import possible, remaining, unit_capacity
from elec.calc import storage
from elec.checks.question import Option, Question
from elec.errors import TableRangeError
from elec.finding import NotChecked
from elec.noted import Noted
from elec.published import Source, table

__all__ = [
    "Held",
    "ask_by_chemistry",
    "ask_capacity",
    "ask_exponent",
    "ask_held",
    "ask_temperature",
    "ask_usable",
    "cannot",
    "rate_h",
    "return_span",
    "strings_of",
    "usable_best",
]

Capacity = Callable[[dict[str, Any]], Any]


def rate_h(bank: Bank) -> tuple[float, list[str]]:
    """Return the hour rate of the capacity, and what is said if it was not noted."""
    if bank.rate.seen and bank.rate.best:
        return bank.rate.best, []
    return 20.0, ["No hour rate was noted: the capacity is taken as the 20-hour one."]


def strings_of(bank: Bank) -> list[BatteryString | None]:
    """Return its parallel strings, None for one that was not described."""
    if bank.string:
        return list(bank.string)
    number = bank.in_parallel if isinstance(bank.in_parallel, int) else 1
    return [None] * number


def ask_capacity(
    question: Question, bank: Bank, boat: BoatFile, *, aged: bool
) -> Callable[[dict[str, Any]], Any] | None:
    """Add what the bank holds; return its capacity from the inputs, with ageing if asked."""
    one = unit_capacity(bank)
    if one is None:
        return None
    question.noted(
        "unit_Ah",
        one,
        entry=bank,
        field="capacity",
        worse="lower",
        read=f"the Ah and its hour rate on one battery of '{bank.id}'",
    )
    names = []
    strings = strings_of(bank)
    same = not bank.string
    for number, string in enumerate(strings):
        if not aged:
            break
        name = "remaining_0" if same else f"remaining_{number}"
        names.append(name)
        if same and number:
            continue
        share, _ = remaining(bank, string, boat.boat)
        field = "remaining capacity" if same else f"remaining capacity of string {number + 1}"
        question.noted(
            name,
            share,
            entry=bank,
            field=field,
            worse="lower",
            read=f"a capacity test of '{bank.id}', or its invoice for the age",
        )
    if bank.in_parallel == "?" and not bank.string:
        low, high, source = possible("parallel strings")
        options = [Option(float(n), str(n)) for n in range(int(low), int(high) + 1)]
        question.among(
            "strings",
            options,
            entry=bank,
            field="strings in parallel",
            worse="lower",
            best=2.0,
            source=source,
        )
    else:
        question.exact("strings", float(len(strings)))

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
    rate_h: float
    sources: tuple[Source, ...]
    notes: tuple[str, ...]


def ask_held(question: Question, bank: Bank, boat: BoatFile) -> Held:
    """Add capacity, age, usable share, rate effect and cold, in that order."""
    capacity = ask_capacity(question, bank, boat, aged=True)
    assert capacity is not None
    sources = ask_usable(question, bank)
    sources.append(ask_exponent(question, bank))
    notes = ask_temperature(question, bank, sources)
    hours, unsaid = rate_h(bank)

    def usable(given: dict[str, Any], current_A: Any) -> Any:
        held = storage.peukert_capacity_Ah(
            capacity(given),
            rate_h=hours,
            current_A=np.maximum(current_A, 1e-12),
            exponent=given["exponent"],
        )
        return held * given["usable"] / given["size_factor"]

    return Held(capacity, usable, hours, tuple(sources), (*notes, *unsaid))


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


def ask_usable(question: Question, bank: Bank) -> list[Source]:
    """Add the share of its capacity that may be used."""
    if bank.usable.seen:
        question.noted("usable", bank.usable, entry=bank, field="usable share", worse="lower")
        return []
    read = f"the chemistry on the label of '{bank.id}'"
    return [
        ask_by_chemistry(
            question, bank, "usable", "usable_fraction", "usable_fraction", worse="lower", read=read
        )
    ]


def ask_exponent(question: Question, bank: Bank) -> Source:
    """Add the rate exponent: from its reserve capacity, or what is published for its chemistry."""
    if bank.reserve.seen and bank.capacity.seen:
        current = table("standards_duties").exact("value", duty_id="reserve_current")
        given = {"reserve_current_A": current, "rate_h": rate_h(bank)[0]}
        ends = [
            float(storage.exponent_from_reserve(minutes * 60, capacity_Ah=charge, **given))
            for minutes, charge in zip(bank.reserve.span, bank.capacity.span, strict=True)
        ]
        low, best, high = sorted(ends)
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


def ask_temperature(question: Question, bank: Bank, sources: list[Source]) -> list[str]:
    """Add the factor by which cold makes a bank too small; no credit is taken for warmth."""
    if not bank.temperature.seen:
        question.exact("size_factor", 1.0)
        return ["Judged at 25 °C: the battery's temperature was not noted; cold takes from it."]
    coldest, _, warmest = bank.temperature.span
    least, most = (_size_factor(bank, celsius, sources) for celsius in (warmest, coldest))
    span = noted.between(least, most, "ratio", text=bank.temperature.text)
    question.noted("size_factor", span, entry=bank, field="temperature", worse="higher")
    return ["No credit is taken for a battery warmer than 25 °C."]


def _size_factor(bank: Bank, celsius: float, sources: list[Source]) -> float:
    """Return the larger factor of those of the chemistries it may have, never under one."""
    found = [1.0]
    if bank.chemistry != "lfp":
        factors = table("temperature_size_factor_ieee485")
        sources.append(factors.source())
        found.append(float(factors.linear("electrolyte_temp_C", "size_multiplier", celsius)))
    if bank.chemistry in ("lfp", "?"):
        shares = table("capacity_vs_temperature_dataset").where(chemistry="lfp")
        sources.append(shares.source())
        at, base = (
            float(shares.linear("cell_temp_C", "capacity_pct_of_rated", t)) for t in (celsius, 25.0)
        )
        found.append(base / at)
    return max(found)


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
    if not bank.voltage.seen or bank.voltage.low != bank.voltage.high:
        return NotChecked(
            check,
            subject,
            f"the voltage of bank '{bank.id}' was not noted",
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
