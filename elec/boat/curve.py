"""When a fuse or breaker opens, as its data sheet lists it: current, and longest time to open."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from elec import noted, units
from elec.errors import InputError

__all__ = ["NO_CURVE", "Curve", "Opens"]

_REMEDY = (
    "Give current and longest time to open, smallest current first, all in A or all in percent or "
    'multiples of the rating: ["135 % in 30 min", "2 x in 0.15..5 s"].'
)


@dataclass(frozen=True)
class Curve:
    """Points of a time-current curve, currents rising; none if it was not given.

    ``currents`` are in ampere, or multiples of the rating if ``of_rating``: the upper ends, of
    which ``least`` are the lower.
    """

    currents: tuple[float, ...] = ()
    most_s: tuple[float, ...] = ()
    of_rating: bool = False
    least: tuple[float, ...] = ()

    @property
    def seen(self) -> bool:
        """Whether any point was given."""
        return bool(self.currents)


NO_CURVE = Curve()


def _curve(given: Any) -> Curve:
    if isinstance(given, Curve):
        return given
    if given in ("?", "not seen"):
        return NO_CURVE
    lines = [given] if isinstance(given, str) else given
    if not isinstance(lines, list) or not lines or not all(isinstance(one, str) for one in lines):
        raise InputError(f"{units.quoted(given)} is no list of points.", remedy=_REMEDY)
    points = [_point(line) for line in lines]
    if len({point[2] for point in points}) > 1:
        raise InputError("some points are in A, others relative to the rating.", remedy=_REMEDY)
    for number in range(1, len(points)):
        (current, time, *_), (before, longer, *_) = points[number], points[number - 1]
        if current <= before:
            words = f"{units.quoted(lines[number])}: its current is not above the one before it."
            raise InputError(words, remedy=_REMEDY)
        if time > longer:
            words = f"{units.quoted(lines[number])}: it opens later than at the smaller current."
            raise InputError(words, remedy=_REMEDY)
    currents, times, of_rating, least = zip(*points, strict=True)
    return Curve(currents, times, of_rating[0], least)


def _point(line: str) -> tuple[float, float, bool, float]:
    """Return a point's largest current, longest time, whether of the rating, and least current."""
    parts = re.split(r"\s+in\s+", units.clean(line))
    if len(parts) != 2:
        raise InputError(f"{units.quoted(line)} is no current and time.", remedy=_REMEDY)
    text = re.sub(r"\s*(?:percent|pct|per cent)$", " %", parts[0], flags=re.I)
    if re.search(r"[%x×]$", text):
        percent = text.endswith("%")
        current = noted.read(text if percent else text[:-1], "percentage" if percent else "ratio")
        least, of_rating = 1.0, True
    else:
        current, least, of_rating = noted.read(text, "current"), 0.0, False
    time = _time(parts[1])
    if not current.seen or not time.seen:
        raise InputError(f"{units.quoted(line)} says nothing.", remedy=_REMEDY)
    if current.span[0] <= least:
        above = "its rating" if of_rating else "zero"
        raise InputError(f"{units.quoted(line)}: the current is not above {above}.", remedy=_REMEDY)
    if time.span[2] <= 0:
        raise InputError(f"{units.quoted(line)}: no time.", remedy=_REMEDY)
    return current.span[2], time.span[2] * 3600, of_rating, current.span[0]


def _time(text: str) -> noted.Noted:
    """Read a time; data sheets give the shortest in milliseconds."""
    one = r"(\d+(?:[.,]\d+)?)"
    found = re.fullmatch(rf"(~?){one}(?:\s*\.\.\s*{one})?\s*ms", text.strip())
    if found is None:
        return noted.read(text, "duration")
    low, high = (units.number(end) / 1000 for end in (found[2], found[3] or found[2]))
    ends = f"{low!r}..{high!r}" if found[3] else f"{found[1]}{low!r}"
    return noted.read(f"{ends} s", "duration")


Opens = Annotated[
    Curve,
    PlainValidator(_curve),
    WithJsonSchema(
        {
            "anyOf": [{"type": "array", "items": {"type": "string"}}, {"type": "string"}],
            "description": (
                "points of its time-current curve, smallest current first: current in A, or in "
                "percent or multiples of the rating, and the longest time to open; ? if not seen"
            ),
            "examples": [["135 % in 30 min", "200 % in 60 s"], ["150 A in 1800 s"]],
        }
    ),
]
