"""When a device opens: by the curve noted for it, else by what is published for its kind."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import noted
from elec.boat.records import Protection
from elec.calc.cables import clearing
from elec.checks.question import Option, Question
from elec.published import Source, table

__all__ = ["CARRIES", "OpeningCurve", "curve_of", "to_read"]


@dataclass(frozen=True)
class OpeningCurve:
    """Points of a curve, in multiples of the rating if ``of_rating``, else in A; times in s.

    ``whole`` unless they are a few points of a curve that was not given.
    """

    currents: tuple[float, ...]
    most_s: tuple[float, ...]
    of_rating: bool
    words: str
    source: Source | None
    whole: bool = True
    least: tuple[float, ...] = ()  # lower ends of the currents, where they are ranges

    def from_A(self, rating_A: Any, first: Any = None) -> Any:
        """Return the current from which the device is known to open, or from ``first`` on."""
        least = self.currents[0] if first is None else first
        return least * (rating_A if self.of_rating else 1.0)

    def ask_first(self, question: Question, device: Protection) -> None:
        """Add from where it opens: above its rating, which it carries, and by its first point."""
        top, rated = self.currents[0], device.rating
        carried = 1.0 if self.of_rating else rated.span[0] if rated.seen else 0.0
        low = min(carried, top)
        question.noted(
            "first",
            noted.between(low, top, "ratio" if self.of_rating else "current", best=top),
            entry=device,
            field="least current that opens it" + (", over its rating" if self.of_rating else ""),
            worse="higher",
            read=f"points of the time-current curve of '{device.id}' at smaller currents",
        )

    def within_s(self, current_A: Any, rating_A: Any, upper: Any = 1.0) -> Any:
        """Return the longest time to open, by the ``upper`` (1) or lower (0) ends of currents."""

        def longest(currents: tuple[float, ...], most_s: tuple[float, ...]) -> Any:
            return clearing.longest_opening_s(
                current_A,
                curve_current_A=currents,
                most_s=most_s,
                rating_A=rating_A if self.of_rating else 1.0,
            )

        late = longest(self.currents, self.most_s)
        if not self._ranges():
            return late
        # a lower end not below all that follow says nothing: those open it sooner
        early = [
            (low, time)
            for number, (low, time) in enumerate(zip(self.least, self.most_s, strict=True))
            if all(low < other for other in self.least[number + 1 :])
        ]
        soon = longest(*zip(*early, strict=True))
        return np.where(np.asarray(upper) > 0.5, late, soon)

    def _ranges(self) -> bool:
        return bool(self.least) and self.least != self.currents

    def ask_points(self, question: Question, device: Protection) -> None:
        """Add at which end its currents lie, where ranges of them were noted."""
        ends = [Option(0.0, "the lower ends"), Option(1.0, "the upper ends")]
        question.among(
            "upper",
            ends if self._ranges() else ends[1:],
            entry=device,
            field="currents of its time-current curve",
            worse="higher",
            best=1.0,
            noted="ranges",
            more="",
            read=f"points of the time-current curve of '{device.id}', exactly",
        )

    def ask_rating(self, question: Question, device: Protection) -> None:
        """Add the rating, where the points are multiples of it."""
        if self.of_rating:
            question.ask("rating_A", device, "rating", worse="higher")
        else:
            question.exact("rating_A", 1.0)

    def place(self, current_A: float, rating_A: float) -> str:
        """Say by which point a current is judged."""
        scale = rating_A if self.of_rating else 1.0
        number = sum(point * scale <= current_A * (1 + 1e-9) for point in self.currents) - 1
        if number < 0:
            return "below its first point"
        point = f"{self.currents[number]:g} {'x its rating' if self.of_rating else 'A'}"
        last = ", its last point" if number == len(self.currents) - 1 else ""
        return f"the time at {point}{last}"


#: What is known of every device: that it does not open at its rating (UL 489, at 100 %).
CARRIES = OpeningCurve(
    (1.0,), (math.inf,), True, "its rating, which it carries without opening", None, whole=False
)


def to_read(device: Protection) -> str:
    """Return what to read aboard where no curve is held: the kind, never the curve itself."""
    known = device.device.is_surely("breaker") or (
        device.device.is_surely("fuse") and device.family.seen
    )
    return "" if known else f"whether '{device.id}' is a breaker or what kind of fuse"


def curve_of(device: Protection) -> OpeningCurve | None:
    """Return the curve noted, the one published for its kind, or None."""
    given = device.opens
    if given.seen:
        return OpeningCurve(
            given.currents,
            given.most_s,
            given.of_rating,
            "the curve noted",
            None,
            least=given.least,
        )
    if device.device.is_surely("breaker"):
        return _breaker(device.rating.span[2])
    if device.device.is_surely("fuse") and device.family.is_surely("blade"):
        curve = table("fuse_blade_time_current")
        points = [
            (float(row["percent_of_rating"]) / 100, float(row["opening_time_max_s"]))
            for row in curve.rows()
            if row["opening_time_max_s"]
        ]
        return _published(points, "the limits of blade fuses", curve.source())
    return None


def _breaker(rating_A: float) -> OpeningCurve:
    """Return the calibration points of the rating; those are all that is published."""
    points = table("breaker_trip_ul489")
    rows = [
        row
        for row in points.rows()
        if row["opens_within_s"]
        and float(row["rating_over_A"] or 0) < rating_A
        and (not row["rating_to_A"] or rating_A <= float(row["rating_to_A"]))
    ]
    listed = [(float(r["percent_of_rating"]) / 100, float(r["opens_within_s"])) for r in rows]
    words = "the calibration points of UL 489"
    return _published(listed, words, points.source(point=rows[0]["point"]), whole=False)


def _published(
    points: list[tuple[float, float]], words: str, source: Source, *, whole: bool = True
) -> OpeningCurve:
    currents, times = zip(*sorted(points), strict=True)
    return OpeningCurve(currents, times, True, words, source, whole)
