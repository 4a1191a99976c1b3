"""A finding: what was judged, the verdict, the arithmetic, the sources, what to read next."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Literal

from elec.json_form import as_json, form
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
_ENDS = form("low best high")


@dataclass(frozen=True)
class Shown:
    """A value over what is possible: low, best, high, in ``unit``."""

    low: float
    best: float
    high: float
    unit: str
    quantity: str = ""

    JSON = form("low best high unit")


@dataclass(frozen=True)
class Step:
    """One line of the arithmetic: ``symbol = formula = numbers = result unit``, and its source."""

    symbol: str
    formula: str
    numbers: str
    result: float
    unit: str
    source: str = ""


@dataclass(frozen=True)
class Typical:
    """An input that was not seen, with the range taken in its place and where that is from."""

    input: str
    taken: str
    source: str


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

    JSON = form(
        "input noted adequate_if inadequate_if settles", settles=lambda one: round(one.settles, 4)
    )


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

    JSON = form(
        "check subject part where verdict priority statement value limit sense margin working "
        "sources provisional typical turns_on remedy caution notes",
        part=lambda one: one.part or None,
        margin=lambda one: _ENDS(one.margin),
    )

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return as_json(self)  # type: ignore[no-any-return]

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


@dataclass(frozen=True)
class NotChecked:
    """A question that was not answered, for which thing, and why."""

    check: str
    subject: str
    reason: str
    where: str | None = None
    read: str = ""

    JSON = form("check subject where reason")


def priority_of(verdict: Verdict, worst: Priority) -> Priority | None:
    """Return ``worst`` if a finding fails or cannot be ruled out, C if it is close, else None."""
    if verdict == "adequate":
        return None
    return "C" if verdict == "marginal" else worst
