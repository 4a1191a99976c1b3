"""The least change that brings an inlet within its rating: what to leave off or limit."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Any

import numpy as np

from elec import units
from elec.boat.ac_loads import Service, is_always
from elec.checks.legs.dock_volts import drawn_A
from elec.checks.legs.leg_unknowns import Counted
from elec.judge import HOLDS_WITHIN
from elec.noted import Noted

__all__ = ["remedy"]

#: More loads than this left off is no remedy.
_MOST_LEFT_OFF = 3


def _most_A(counted: Sequence[Counted], service: Service, supply: Noted) -> np.ndarray[Any, Any]:
    """Return the most that each load may add to each leg, all of it running."""
    table_A = np.zeros((len(counted), len(service.legs)))
    for row, c in zip(table_A, counted, strict=True):
        current = drawn_A(c.one, service, supply)[2]
        for column, leg in enumerate(service.legs):
            if not c.one.legs or leg in c.one.legs:
                row[column] = current
    return table_A


def remedy(
    counted: Sequence[Counted], service: Service, supply: Noted, rating_A: float
) -> str | None:
    """Return the fewest, then smallest, loads to leave off so that every leg holds at the most.

    What is always on stays on.
    """
    contribution_A = _most_A(counted, service, supply)
    total = contribution_A.sum(axis=0)
    excess = float(np.max(total - rating_A))
    if excess <= HOLDS_WITHIN * rating_A:
        return None
    parts = [
        _leave_off(counted, contribution_A, rating_A),
        _limit_charger(counted, contribution_A, rating_A),
    ]
    text = ", or ".join(part for part in parts if part)
    if not text:
        always = [is_always(c.one.load) for c in counted]
        text = "no three loads left off are enough: divide the loads over another inlet"
        if np.any(contribution_A[always].sum(axis=0) > rating_A * (1 + HOLDS_WITHIN)):
            text = "what is always on is too much alone: divide the loads over another inlet"
    return f"{text[0].upper()}{text[1:]}. Manage the loads; a larger inlet is not the least change."


def _leave_off(
    counted: Sequence[Counted], contribution_A: np.ndarray[Any, Any], rating_A: float
) -> str:
    excess_A = contribution_A.sum(axis=0) - rating_A * (1 + HOLDS_WITHIN)
    alike: dict[tuple[bool, ...], list[int]] = {}
    for i in np.argsort(contribution_A.max(axis=1), kind="stable"):
        if is_always(counted[i].one.load):
            continue
        alike.setdefault(tuple(contribution_A[i] > 0), []).append(int(i))
    # of loads on the same legs the largest do it if any do, so only these are combined
    largest = [i for places in alike.values() for i in places[-_MOST_LEFT_OFF:]]
    for number in range(1, _MOST_LEFT_OFF + 1):
        found = [
            _shrunk(chosen, alike, contribution_A, excess_A)
            for chosen in combinations(largest, number)
            if np.all(contribution_A[list(chosen)].sum(axis=0) >= excess_A)
        ]
        if found:
            least = min(found, key=lambda chosen: float(contribution_A[chosen].sum(axis=0).max()))
            names = [counted[i].one.load.id for i in sorted(least)]
            return f"leave {' and '.join(repr(name) for name in names)} off while the rest runs"
    return ""


def _shrunk(
    chosen: Sequence[int],
    alike: dict[tuple[bool, ...], list[int]],
    contribution_A: np.ndarray[Any, Any],
    excess_A: np.ndarray[Any, Any],
) -> list[int]:
    """Return the loads, each exchanged for the smallest on the same legs that still does it."""
    left = list(chosen)
    for place, i in enumerate(left):
        others = [j for j in left if j != i]
        rest_A = excess_A - contribution_A[others].sum(axis=0)
        free = [j for j in alike[tuple(contribution_A[i] > 0)] if j not in others]
        enough = np.all(contribution_A[free] >= rest_A, axis=1)
        left[place] = free[int(enough.argmax())]
    return left


def _limit_charger(
    counted: Sequence[Counted], contribution_A: np.ndarray[Any, Any], rating_A: float
) -> str:
    over = np.max(contribution_A.sum(axis=0) - rating_A)
    for c, own in zip(counted, contribution_A, strict=True):
        is_charger = "charger" in f"{c.one.load.kind} {c.one.load.id}".lower()
        left = float(own.max() - over)
        if is_charger and c.one.load.count == 1 and left > 0 and np.all(own > 0):
            amount = units.show_limit(left, "current", sense="at most")
            return f"limit the input of '{c.one.load.id}' to {amount}"
    return ""
