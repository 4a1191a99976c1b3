"""The constants of corrosion, each with its ends, and what stands for a value not seen."""

from __future__ import annotations

from elec.boat import possible
from elec.noted import Noted
from elec.published import table

__all__ = ["Span", "constant", "typical"]

#: Lowest, best and highest.
Span = tuple[float, float, float]


def constant(name: str) -> tuple[float, float]:
    """Return the ends of a constant of corrosion."""
    row = table("corrosion_constants").row(name=name)
    return float(row["low"]), float(row["high"])


def typical(name: str, quantity: str) -> Noted:
    """Return a typical value of the constants, marked as not seen."""
    return possible.typical(*constant(name), quantity, f"table corrosion_constants, {name}")
