"""A bank and all that it carries under one condition, and for how long that is asked of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from elec import units
from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.checks.banks.bank_capacity import Held, ask_fast, ask_held
from elec.checks.banks.bank_loads import Daily, ask_daily, main_condition, total
from elec.checks.question import Question

__all__ = ["Carried", "ask_carried"]


@dataclass
class Carried:
    """What a bank carries, in a span of at most a day."""

    bank: Bank
    condition: str
    parts: list[Daily]
    held: Held
    notes: list[str]
    span_h: float = 24.0

    def drawn_Ah(self, given: dict[str, Any]) -> Any:
        """Return what its loads take in the span."""
        return total(self.parts, self.condition, given, self.span_h)

    def usable_Ah(self, given: dict[str, Any], drawn_Ah: Any) -> Any:
        """Return what may be used of it where so much is taken in the span."""
        return self.held.usable(given, drawn_Ah / self.span_h)

    def ask_fast(self, question: Question) -> float:
        """Add that its loads may empty it in under an hour, if so; return the most they take."""
        most_A = float(self.drawn_Ah(question.worst_values())) / self.span_h
        self.notes += ask_fast(question, self.bank, self.held, most_A)
        return most_A


def ask_carried(question: Question, bank: Bank, boat: BoatFile, condition: str) -> Carried:
    """Add every load under a condition, what the bank holds, and the time asked of it."""
    parts = ask_daily(question, boat, bank, [condition])
    held = ask_held(question, bank, boat)
    notes = list(held.notes)
    _ask_wanted(question, bank, condition, notes)
    return Carried(bank, condition, parts, held, notes)


def _ask_wanted(question: Question, bank: Bank, condition: str, notes: list[str]) -> None:
    """Add the autonomy asked for under a condition, noted or the usual one."""
    main = condition == main_condition(bank)
    if main and bank.autonomy.seen:
        question.ask("wanted_h", bank, "autonomy", worse="higher")
        return
    own = f"autonomy asked {condition}"
    known = not main and condition in ("under way", "manoeuvring")
    low, _, source = possible(own if known else "autonomy asked")
    question.exact("wanted_h", low)
    taken = units.show(low, "duration")
    notes.append(f"No autonomy was asked for: {taken} is taken ({source}).")
