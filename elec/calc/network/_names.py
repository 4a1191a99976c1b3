"""Names of parts: found by name, shown in messages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from elec.errors import InputError

__all__ = ["listed", "nearest", "place_of"]


def listed(names: Sequence[str], most: int = 8) -> str:
    """Return names in quotes, cut short if they are many."""
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(f"'{name}'" for name in names[:most]) + more


def nearest(wanted: str, names: Iterable[str]) -> str:
    """Return a sentence that suggests the known name most like the one wanted."""
    known = sorted(names)
    near = get_close_matches(wanted, known, n=1)
    return f"Did you mean '{near[0]}'?" if near else f"Known: {listed(known)}."


def place_of(wanted: str, names: Sequence[str], kind: str) -> int:
    """Return the place of a name, or raise with the nearest one."""
    if wanted not in names:
        raise InputError(f"{kind} '{wanted}': unknown.", remedy=nearest(wanted, names))
    return names.index(wanted)
