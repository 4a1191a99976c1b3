"""Something to ask the yard about, short of a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from elec.json_form import form

__all__ = ["Remark"]


@dataclass(frozen=True)
class Remark:
    """A remark on one line: what was seen, the arithmetic, and the question to put."""

    place: str
    kind: str
    statement: str
    working: str
    question: str

    JSON = form("place kind statement working question", working=lambda one: one.working or None)
