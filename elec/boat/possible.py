"""What a field may be when it was not seen: the range that its declaration names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from elec import noted
from elec.noted import Noted
from elec.published import table

if TYPE_CHECKING:
    from elec.boat.declared import Record

__all__ = ["possible", "typical", "value_of"]


def possible(field: str) -> tuple[float, float, str]:
    """Return the bounds of a thing not seen, and where they are from."""
    # alternating current has a table of its own
    name = "possible_ranges" if field in table("possible_ranges").text("field") else "ac_practice"
    row = table(name).row(field=field)
    return float(row["low"]), float(row["high"]), f"table {name} ({row['status']})"


def typical(
    low: float, high: float, quantity: str, source: str, best: float | None = None
) -> Noted:
    """Return what a value not seen may be, with where its range is from."""
    return noted.between(
        low, high, quantity, origin="typical", source=source, text="not seen", best=best
    )


def value_of(entry: Record, field: str) -> Noted:
    """Return a value of an entry as noted, or all that its declaration says that it may be.

    It is not seen, and so has no range, where nothing bounds it.
    """
    value: Noted = getattr(entry, field)
    facts = entry.declarations[field]
    if value.seen or not facts.may_be:
        return value
    low, high, source = possible(facts.may_be)
    best = None if facts.best is None else min(max(facts.best, low), high)
    return typical(low, high, value.quantity, source, best)
