"""Values that no gear aboard can have: zero where it must be more, over a day, under one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from elec.noted import Noted

if TYPE_CHECKING:
    from elec.boat.declared import Record

__all__ = ["ABOVE_ZERO", "AIR", "AT_LEAST_ALL", "A_TEST", "IN_A_DAY", "Bound", "senseless"]


@dataclass(frozen=True)
class Bound:
    """What a value must be: whether it is, what is said if not, and what to give instead."""

    holds: Callable[[float, float], bool]
    fault: str
    remedy: str


#: Air and water round working gear. Our own convention, wider than any boat meets.
_COLDEST_C, _HOTTEST_C = -40.0, 100.0

ABOVE_ZERO = Bound(
    lambda low, _: low > 0,
    "is or may be zero",
    'Give a value above zero, or "?" if it was not seen.',
)
#: What a capacity test found.
A_TEST = Bound(
    ABOVE_ZERO.holds,
    ABOVE_ZERO.fault,
    'Give what a test found, "1 %" for a dead battery, or "?" if it was not tested.',
)
IN_A_DAY = Bound(
    lambda _, high: high <= 24, "is more than a day has", "Give hours a day, 24 h at most."
)
AIR = Bound(
    lambda low, high: low >= _COLDEST_C and high <= _HOTTEST_C,
    "is met nowhere aboard",
    f"Give it from {_COLDEST_C:g} to {_HOTTEST_C:g} °C.",
)
AT_LEAST_ALL = Bound(
    lambda low, _: low >= 1,
    "is less than was taken out",
    "Give charge put back over charge taken: '115 %'.",
)


def senseless(list_name: str, entry: Any) -> Iterator[tuple[str, str, str]]:
    """Yield field, what is wrong with it and what is accepted, for every such value of an entry."""
    for field, value, bound in _outside(entry):
        yield field, f"{value.text} {bound.fault}", bound.remedy
    for number, string in enumerate(getattr(entry, "string", ()), start=1):
        for _, value, bound in _outside(string):
            yield "string", f"string {number}: {value.text} {bound.fault}", bound.remedy
    if list_name == "protection" and _opens_below_its_rating(entry):
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


def _opens_below_its_rating(device: Any) -> bool:
    curve, rating = device.opens, device.rating
    in_amperes = curve.seen and not curve.of_rating
    return bool(in_amperes and rating.seen and curve.currents[0] <= rating.span[0])
