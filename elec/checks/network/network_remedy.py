"""The smallest change that gives the loads of a network what they need.

What is proposed has been ruled on, the network solved with it, over everything that is not settled.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Literal

import numpy as np

from elec import units
from elec.checks.cables.cable import Cable
from elec.checks.network.graph import Graph, Place
from elec.checks.network.graph_solve import area_mm2
from elec.checks.network.network_warmth import possible_mm2
from elec.checks.question import Question

__all__ = ["MULTIPLES", "Change", "cables_by_drop", "more_batteries"]

Sense = Literal["at most", "at least"]
#: The least share of a length that is tried, and how often the way from there to all is halved.
_LEAST, _HALVINGS = 1e-3, 12
#: How often the strings of a bank are multiplied before another remedy is named.
MULTIPLES = (2, 3, 4)
#: How many loads, the largest first, are tried off.
_OFF = 3


def cables_by_drop(graph: Graph, path: Sequence[str], hardest: Any) -> list[Cable]:
    """Return the cables of a way, the one with the largest drop first."""
    return sorted(
        graph.way(path),
        key=lambda cable: -abs(float(np.asarray(hardest.along_run_V(cable.run.id)))),
    )


def more_batteries(question: Question, asked: Any, so_that: str) -> str | None:
    """Return the least multiple of the batteries, in parallel, that is enough."""
    for times in MULTIPLES:
        if question.holds(lambda *, _n=times, **g: asked(g, stronger=_n), "at least"):
            return (
                f"No cable on the way is the cause: {times} times the batteries in parallel would "
                f"{so_that}."
            )
    return None


@dataclass(frozen=True)
class Change:
    """What may be changed of a way: its cables, those to be tried first in front."""

    cables: Sequence[Cable]
    question: Question
    asked: Callable[..., tuple[Any, Any]]
    sense: Sense

    def of_one_run(self) -> str | None:
        """Return the least size, and the greatest length, of one run that are enough."""
        for cable in self.cables:
            run, larger = cable.run.id, _larger(cable)
            place = self._first([{run: size} for size in larger])
            if place is not None:
                shorter = self._shorter([cable]) if cable.length.settled else []
                or_shorter = f", or shorten it to {shorter[0]} one way" if shorter else ""
                return f"Fit {larger[place][1]} or larger on '{run}'{or_shorter}."
        return None

    def of_all_runs(self) -> str | None:
        """Return the least number of sizes up that is enough where all runs of the way go up."""
        sizes = {c.run.id: larger for c in self.cables if (larger := _larger(c))}
        if len(sizes) < 2:
            return None
        steps = [
            {run: larger[min(number, len(larger) - 1)] for run, larger in sizes.items()}
            for number in range(max(map(len, sizes.values())))
        ]
        place = self._first(steps)
        if place is None:
            return None
        fitted = " and ".join(f"{label} on '{run}'" for run, (_, label) in steps[place].items())
        return f"No one run of the way is enough: fit {fitted}, or larger."

    def of_a_load(self, loads: Sequence[tuple[int, Place]]) -> str | None:
        """Return the largest of the other loads that would have to be off."""
        ranked = sorted(loads, key=lambda one: -one[1].current.span[2] * one[1].count)
        for number, place in ranked[:_OFF]:
            if self._holds(off=number):
                return (
                    f"No listed size is enough; it is with '{place.id}' off: keep it off "
                    "meanwhile, or feed it by another way."
                )
        return None

    def of_all_lengths(self) -> str | None:
        """Return the lengths at which the way is short enough, all runs shortened alike."""
        shorter = self._shorter(self.cables)
        if not shorter:
            return None
        ways = " and ".join(
            f"'{cable.run.id}' of {length} one way at most"
            for cable, length in zip(self.cables, shorter, strict=True)
        )
        return f"No listed size is enough; {ways} would be: bring bank and load nearer together."

    def _holds(self, *, searched: bool = True, **changes: Any) -> bool:
        return self.question.holds(
            lambda **given: self.asked(given, **changes), self.sense, searched=searched
        )

    def _first(self, steps: Sequence[dict[str, tuple[float, str]]]) -> int | None:
        """Return the place of the first sizes, each no smaller than those before, that do."""

        def enough(number: int, *, searched: bool = True) -> bool:
            areas = {run: area for run, (area, _) in steps[number].items()}
            return self._holds(searched=searched, areas=areas)

        first = _first_of(len(steps), partial(enough, searched=False))
        if first is None:
            return None
        return next((number for number in range(first, len(steps)) if enough(number)), None)

    def _shorter(self, cables: Sequence[Cable]) -> list[str]:
        """Return in words the greatest lengths that are enough at the sizes that they have."""

        def metres(share: float) -> dict[str, float]:
            return {cable.run.id: cable.length.span[2] * share for cable in cables}

        def enough(share: float, *, searched: bool = True) -> bool:
            return self._holds(searched=searched, lengths=metres(share))

        share = _greatest(partial(enough, searched=False))
        if share is not None and not enough(share):
            share = _greatest(enough)
        if share is None:
            return []
        return [units.show_limit(m, "length", sense="at most") for m in metres(share).values()]


def _greatest(enough: Callable[[float], bool]) -> float | None:
    """Return the greatest share, from the least that is tried to all, that is enough."""
    low, high = _LEAST, 1.0
    if not enough(low):
        return None
    for _ in range(_HALVINGS):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if enough(middle) else (low, middle)
    return low


def _first_of(number: int, enough: Callable[[int], bool]) -> int | None:
    """Return the first of so many changes, each greater than the one before, that is enough."""
    if not number or not enough(number - 1):
        return None
    low, high = 0, number - 1
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return high


def _larger(cable: Cable) -> list[tuple[float, str]]:
    """Return area and name of every listed size above the one that it has, all if not read."""
    areas = possible_mm2(cable)
    now = area_mm2(cable) if cable.run.size.size is not None else 0.0
    return [
        (float(area), label)
        for area, label in zip(areas, cable.basis.size_labels, strict=True)
        if np.isfinite(area) and area > now
    ]
