"""Something to ask the yard about, short of a verdict."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

__all__ = ["Remark"]


@dataclass(frozen=True)
class Remark:
    """A remark on one line: what was seen, the arithmetic, and the question to put."""

    place: str
    kind: str
    statement: str
    working: str
    question: str

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "place": self.place,
            "kind": self.kind,
            "statement": self.statement,
            "working": self.working or None,
            "question": self.question,
        }
