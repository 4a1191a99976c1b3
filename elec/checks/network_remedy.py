"""The smallest change of one run that gives the loads of a network what they need."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Literal

import numpy as np

from elec import units
from elec.checks.cable import Cable
from elec.checks.graph import Graph
from elec.checks.graph_solve import area_mm2
from elec.checks.question import Question

__all__ = ["larger_or_shorter"]

Sense = Literal["at most", "at least"]
Asked = Callable[..., tuple[Any, Any]]


def larger_or_shorter(
    graph: Graph,
    path: tuple[str, ...],
    question: Question,
    hardest: Any,
    asked: Asked,
    sense: Sense,
) -> str | None:
    """Return the smallest size, and the greatest length, of one run on the way that are enough.

    The run with the largest drop is tried first. What is proposed has been ruled on over
    everything that is not settled.
    """
    cables = {cable.run.id: cable for cable in graph.cables}
    by_drop = sorted(path, key=lambda run: -abs(float(np.asarray(hardest.along_run_V(run)))))
    for run in by_drop:
        label = _least_size(cables[run], question, asked, sense)
        if label is None:
            continue
        shorter = _longest(cables[run], question, asked, sense)
        return f"Fit {label} or larger on '{run}'{shorter}."
    return None


def _holds(question: Question, asked: Asked, sense: Sense, **changes: Any) -> bool:
    ruling = question.rule(lambda **given: asked(given, **changes), sense)
    return ruling.verdict in ("adequate", "marginal")


def _least_size(cable: Cable, question: Question, asked: Asked, sense: Sense) -> str | None:
    """Return the smallest listed size with which the requirement holds."""
    normal, small = cable.areas_mm2()
    areas = small if cable.run.size.ambiguous else normal
    now = area_mm2(cable)
    larger = [
        (float(area), label)
        for area, label in zip(areas, cable.basis.size_labels, strict=True)
        if np.isfinite(area) and area > now
    ]
    run = cable.run.id

    def enough(place: int) -> bool:
        return _holds(question, asked, sense, areas={run: larger[place][0]})

    if not larger or not enough(len(larger) - 1):
        return None
    return larger[_first(range(len(larger)), enough)][1]


def _first(places: Iterable[int], enough: Callable[[int], bool]) -> int:
    """Return the first place from which on it is enough, the last being known to be."""
    low, high = min(places), max(places)
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return high


def _longest(cable: Cable, question: Question, asked: Asked, sense: Sense) -> str:
    """Return in words the greatest length at the size that it has, if one is enough."""
    low, _, high = cable.length.span
    if low != high:
        return ""
    run, steps = cable.run.id, 64

    def enough(place: int) -> bool:
        return _holds(question, asked, sense, lengths={run: high * (steps - place) / steps})

    if not enough(steps - 1):
        return ""
    length = high * (steps - _first(range(1, steps), enough)) / steps
    return f", or shorten it to {units.show_limit(length, 'length', sense='at most')} one way"
