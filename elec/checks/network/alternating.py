"""Things on alternating current, told of in one line: what feeds a fault there is not judged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

__all__ = ["ON_ALTERNATING", "Alternating", "listed", "together"]

ON_ALTERNATING = "on alternating current: what a dock or generator gives a fault is not judged"


class _Named(Protocol):
    @property
    def id(self) -> str: ...


@dataclass(frozen=True)
class Alternating:
    """Several things, by their ids."""

    id: str
    where: None = None


def together(entries: Iterable[_Named]) -> list[Alternating]:
    """Return these things as one; nothing of none."""
    ids = listed(entries)
    return [Alternating(ids)] if ids else []


def listed(things: Iterable[_Named]) -> str:
    """Return the ids of things of which one line tells."""
    return ", ".join(dict.fromkeys(one.id for one in things))
