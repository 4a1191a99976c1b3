"""What takes from a bank's capacity: the rate of discharge and the cold."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.possible import value_of
from elec.boat.records import Bank
from elec.boat.typical import hour_rate, spanned
from elec.calc.batteries import storage
from elec.checks.question import Question
from elec.errors import InputError
from elec.published import Source, table

__all__ = ["ask_exponent", "ask_rate", "ask_temperature", "size_factor"]


def ask_rate(question: Question, bank: Bank) -> list[str]:
    """Add the hour rate of the capacity; the longer it is, the less is held at a heavy load."""
    rate = hour_rate(bank)
    question.noted("rate_h", rate, entry=bank, field="rate", worse="higher")
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
        question.noted("exponent", span, entry=bank, field="reserve", worse="higher")
        return table("standards_duties").source(duty_id="reserve_current")
    held = table("peukert_by_chemistry")
    rows = [r for r in held.rows() if bank.chemistry.may_be(r["chemistry"])]
    span = spanned(rows, "exponent_low", "exponent_high", "ratio", f"table {held.name}")
    question.noted(
        "exponent",
        span,
        entry=bank,
        field="rate exponent",
        worse="higher",
        read=f"a second hour rating or the reserve minutes of '{bank.id}'",
    )
    return held.source()


def _reserve_exponents(bank: Bank) -> tuple[float, float, float]:
    """Return the least, best and most exponent of every reserve, capacity and hour rate noted.

    Ends that cannot be of one battery leave open any exponent that a battery may have.
    """
    current = table("standards_duties").exact("value", duty_id="reserve_current")
    spans = (bank.reserve.span, bank.capacity.span, hour_rate(bank).span)

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
) -> tuple[Callable[[dict[str, Any]], Any], list[str]]:
    """Add its temperature; return the factor by which cold makes it too small, and notes.

    No credit is taken for warmth: the factor is never under one.
    """
    notes = ["No credit is taken for a battery warmer than 25 °C."]
    low, best, high = value_of(bank, "temperature").span
    if not bank.temperature.seen:
        taken = units.show_range(low, high, "temperature")
        notes.insert(0, f"Its temperature was not noted: {taken} is taken, 25 °C in the working.")
    question.ask("temperature_C", bank, "temperature", worse="lower")
    size_factor(bank, best, sources)
    return lambda given: size_factor(bank, given["temperature_C"], []), notes


def size_factor(bank: Bank, celsius: Any, sources: list[Source]) -> Any:
    """Return the larger factor of those of the chemistries it may have, never under one."""
    found = np.ones_like(np.asarray(celsius, dtype=np.float64))
    if not bank.chemistry.is_surely("lfp"):
        factors = table("temperature_size_factor_ieee485")
        sources.append(factors.source())
        found = np.maximum(found, factors.linear("electrolyte_temp_C", "size_multiplier", celsius))
    if bank.chemistry.may_be("lfp"):
        shares = table("capacity_vs_temperature_dataset").where(chemistry="lfp")
        sources.append(shares.source())
        at, base = (
            shares.linear("cell_temp_C", "capacity_pct_of_rated", t) for t in (celsius, 25.0)
        )
        found = np.maximum(found, base / at)
    return found
