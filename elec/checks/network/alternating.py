"""Things on alternating current, told of in one line: what feeds a fault there is not judged."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from elec.boat.records import Entry

__all__ = ["ON_ALTERNATING", "Alternating", "listed", "together"]

ON_ALTERNATING = "on alternating current: what a dock or generator gives a fault is not judged"


@dataclass(frozen=True)
class Alternating:
    """Several things, by their ids."""

    id: str
    where: None = None


def together(entries: Sequence[Entry]) -> list[Alternating]:
    """Return these things as one; nothing of none."""
    return [Alternating(listed(one.id for one in entries))] if entries else []


def listed(ids: Iterable[str]) -> str:
    """Return the ids of things of which one line tells."""
    return ", ".join(dict.fromkeys(ids))
