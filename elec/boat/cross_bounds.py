"""Which values of an entry no gear aboard can have, by the bounds that its fields declare."""

from __future__ import annotations

from collections.abc import Iterator

from elec.boat.bounds import Bound
from elec.boat.declared import Record
from elec.boat.records import Bank, Entry, Protection
from elec.noted import Noted

__all__ = ["senseless"]


def senseless(entry: Entry) -> Iterator[tuple[str, str, str]]:
    """Yield field, what is wrong with it and what is accepted, for every such value of an entry."""
    for field, value, bound in _outside(entry):
        yield field, f"{value.text} {bound.fault}", bound.remedy
    for number, string in enumerate(entry.string if isinstance(entry, Bank) else (), start=1):
        for _, value, bound in _outside(string):
            yield "string", f"string {number}: {value.text} {bound.fault}", bound.remedy
    if isinstance(entry, Protection) and _opens_below_its_rating(entry):
        least = f"{entry.opens.currents[0]:g} A"
        yield (
            "opens",
            f"its first current, {least}, is not above its rating of {entry.rating.text}",
            "Give the points of its own curve, smallest current first.",
        )


def _outside(entry: Record) -> Iterator[tuple[str, Noted, Bound]]:
    for field, facts in entry.declarations.items():
        value = getattr(entry, field)
        if facts.bound is not None and value.seen:
            low, _, high = value.span
            if not facts.bound.holds(low, high):
                yield field, value, facts.bound


def _opens_below_its_rating(device: Protection) -> bool:
    curve, rating = device.opens, device.rating
    in_amperes = curve.seen and not curve.of_rating
    return bool(in_amperes and rating.seen and curve.currents[0] <= rating.span[0])
