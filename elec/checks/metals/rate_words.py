"""Rates and currents in words, each with its bounds."""

from __future__ import annotations

from elec import units
from elec.checks.metals.corrosion_constants import Span

__all__ = ["best_words", "ends_words", "loss_words"]

_NOTHING_MM = 0.001


def best_words(span: Span, unit: str) -> str:
    """Return a value with its bounds and the best."""
    low, best, high = (units.plain(v, digits=2) for v in span)
    return f"{low} to {high} {unit} (best {best})" if low != high else f"{low} {unit}"


def ends_words(low: float, high: float, unit: str) -> str:
    """Return the bounds of a value."""
    return f"{units.plain(low, digits=3)} to {units.plain(high, digits=3)} {unit}"


def loss_words(mm_per_year: Span) -> str:
    """Return a loss of thickness in words, with its bounds."""
    low, best, high = (
        units.plain(v, digits=2) if v >= _NOTHING_MM else f"under {_NOTHING_MM:g}"
        for v in mm_per_year
    )
    return f"{low} mm a year" if low == high else f"{low} to {high} mm (best {best}) a year"
