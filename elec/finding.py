"""A finding: what was judged, the verdict, the arithmetic, the sources, what to read next."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Literal

from elec.published import Source

__all__ = [
    "Finding",
    "NotChecked",
    "Priority",
    "Shown",
    "Step",
    "TurnsOn",
    "Typical",
    "priority_of",
]

Verdict = Literal["adequate", "marginal", "inadequate", "undetermined"]
Sense = Literal["at most", "at least"]
Priority = Literal["A", "B", "C"]


@dataclass(frozen=True)
class Shown:
    """A value over what is possible: low, best, high, in ``unit``."""

    low: float
    best: float
    high: float
    unit: str
    quantity: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {"low": self.low, "best": self.best, "high": self.high, "unit": self.unit}


@dataclass(frozen=True)
class Step:
    """One line of the arithmetic: ``symbol = formula = numbers = result unit``, and its source."""

    symbol: str
    formula: str
    numbers: str
    result: float
    unit: str
    source: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "symbol": self.symbol,
            "formula": self.formula,
            "numbers": self.numbers,
            "result": self.result,
            "unit": self.unit,
            "source": self.source,
        }


@dataclass(frozen=True)
class Typical:
    """An input that was not seen, with the range taken in its place and where that is from."""

    input: str
    taken: str
    source: str

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {"input": self.input, "taken": self.taken, "source": self.source}


@dataclass(frozen=True)
class TurnsOn:
    """An unsettled input on which the verdict turns."""

    input: str
    noted: str
    adequate_if: str | None
    inadequate_if: str | None
    settles: float
    subject: str = ""
    where: str | None = None
    read: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "input": self.input,
            "noted": self.noted,
            "adequate_if": self.adequate_if,
            "inadequate_if": self.inadequate_if,
            "settles": round(self.settles, 4),
        }


@dataclass(frozen=True)
class Finding:
    """One question asked of one thing aboard, answered; one to one with the JSON."""

    check: str
    subject: str
    where: str | None
    verdict: Verdict
    priority: Priority | None
    statement: str
    value: Shown
    limit: Shown
    sense: Sense
    margin: Shown
    working: tuple[Step, ...] = ()
    sources: tuple[Source, ...] = ()
    typical: tuple[Typical, ...] = ()
    turns_on: tuple[TurnsOn, ...] = ()
    remedy: str | None = None
    caution: str | None = None
    notes: tuple[str, ...] = field(default=())
    part: str = ""

    @property
    def about(self) -> str:
        """The subject, with the condition or matter that tells findings of one check apart."""
        return f"{self.subject}, {self.part}" if self.part else self.subject

    @property
    def counted(self) -> bool:
        """Whether its value is an amount; if not, it is a yes or no, and has nothing in hand."""
        return self.value.quantity != "presence"

    @property
    def provisional(self) -> bool:
        """Whether a table it rests on is from memory."""
        return any(source.provisional for source in self.sources)

    def with_changes(self, **changes: Any) -> Finding:
        """Return a copy with some fields replaced."""
        return replace(self, **changes)

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form, in the order of the design."""
        margin = self.margin.as_dict()
        del margin["unit"]
        return {
            "check": self.check,
            "subject": self.subject,
            "part": self.part or None,
            "where": self.where,
            "verdict": self.verdict,
            "priority": self.priority,
            "statement": self.statement,
            "value": self.value.as_dict(),
            "limit": self.limit.as_dict(),
            "sense": self.sense,
            "margin": margin,
            "working": [step.as_dict() for step in self.working],
            "sources": [
                {
                    "table": source.table,
                    "title": source.title,
                    "edition": source.edition,
                    "clause": source.clause,
                    "read": source.read,
                }
                for source in self.sources
            ],
            "provisional": self.provisional,
            "typical": [item.as_dict() for item in self.typical],
            "turns_on": [item.as_dict() for item in self.turns_on],
            "remedy": self.remedy,
            "caution": self.caution,
            "notes": list(self.notes),
        }


@dataclass(frozen=True)
class NotChecked:
    """A question that was not answered, for which thing, and why."""

    check: str
    subject: str
    reason: str
    where: str | None = None
    read: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "check": self.check,
            "subject": self.subject,
            "where": self.where,
            "reason": self.reason,
        }


def priority_of(verdict: Verdict, worst: Priority) -> Priority | None:
    """Return ``worst`` if a finding fails or cannot be ruled out, C if it is close, else None."""
    if verdict == "adequate":
        return None
    return "C" if verdict == "marginal" else worst
