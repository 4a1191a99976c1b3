"""The verdict: the requirement over the whole of what is possible."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from elec.judge.records import HOLDS_WITHIN, Requirement, Ruling, Span, TurningPoint, Verdict
from elec.judge.space import BOUND, Floats, Ints, Outcome, Space, corners, outer
from elec.judge.turning import turning_points

__all__ = ["MARGIN", "holds", "judge"]

#: Margin, as a fraction of the limit, below which what holds is called marginal. Our own
#: convention, no source.
MARGIN = 0.10

_MOST_CORNERS = 10
#: Starts of a search in each combination of choices, where an evaluation is dear, and in all.
_STARTS, _DEAR_STARTS, _MOST_STARTS = 8, 2, 256
#: Hardest and easiest points that stand for all of them in turning points, where one is dear.
_DEAR_TELLING = 16


def judge(requirement: Requirement) -> Ruling:
    """Rule on a requirement over the whole of what its inputs can be.

    A declared direction is taken at its word and checked at the points evaluated. Without one,
    all choices are tried, and ranges are sampled, corners included, and searched around the worst
    and the best found.

    Parameters
    ----------
    requirement : Requirement
        The function, its inputs and the sense of the limit.

    Returns
    -------
    Ruling
        Verdict, spans of value, limit and margin, and what an open verdict turns on.

    Raises
    ------
    ElecError
        If the function gives no number somewhere, or an input has not its declared direction.

    Examples
    --------
    >>> from elec.judge import Input, Requirement, judge
    >>> def drop(length_m):
    ...     return 0.05 * length_m, 0.36
    >>> ruling = judge(Requirement(
    ...     drop, (Input.between("length_m", 5, 7, 9, worse="higher"),), "at most"))
    >>> ruling.verdict
    'undetermined'
    >>> round(ruling.turns_on[0].adequate_if[0][1], 6)
    7.2
    """
    with np.errstate(all="ignore"):
        return _judge(requirement)


def holds(requirement: Requirement, *, searched: bool = True) -> bool:
    """Say whether a requirement holds over the whole of what its inputs can be.

    The answer of `judge`, "adequate" or "marginal", at a small part of its evaluations: only
    where it is hardest, declared directions taken at their word.

    Parameters
    ----------
    requirement : Requirement
        The function, its inputs and the sense of the limit.
    searched : bool, default True
        Whether the worst is also searched between the points laid out. Without, a requirement
        that holds may still fail there; one that fails does fail.

    Returns
    -------
    bool
        Whether it does.

    Raises
    ------
    ElecError
        If the function gives no number somewhere.
    """
    with np.errstate(all="ignore"):
        space = Space(requirement)
        rest, combinations, _ = space.others()
        single, _ = space.one_at_a_time()
        x = np.concatenate([outer(space.hard[:, None], rest), single], axis=1)
        margin = space.evaluate(x).margin
        least = margin.min()
        if searched and least >= -HOLDS_WITHIN and space.first_free < len(space.inputs):
            start = x[:, _lowest_of_parts(space, margin[: rest.shape[1]], combinations)]
            free = list(range(space.first_free, len(x)))
            least = space.polish(start, np.ones(start.shape[1]), free)[1].margin.min()
        return bool(least >= -HOLDS_WITHIN)


def _judge(requirement: Requirement) -> Ruling:
    space = Space(requirement)
    rest, combinations, enumerated = space.others()
    drawn = rest.shape[1]
    declared = space.declared
    every_corner = declared <= _MOST_CORNERS and drawn << declared <= BOUND
    hard = corners(declared) if every_corner else np.array([[False, True]] * declared)
    ends = np.where(hard, space.hard[:, None], space.easy[:, None])
    single, which = space.one_at_a_time()
    x = np.concatenate([outer(ends, rest), single, space.best[:, None]], axis=1)
    outcome = space.evaluate(x)

    margin = outcome.margin[: ends.shape[1] * drawn].reshape(-1, drawn)
    along = outcome.margin[margin.size : -1]
    if every_corner:
        space.confirm_corners(margin)
    _confirm_along(space, which, along)

    extremes = np.empty((len(x), 0))
    best = [float(part[-1]) for part in outcome]
    if space.first_free < len(space.inputs):
        lowest = margin.size - drawn + _lowest_of_parts(space, margin[-1], combinations)
        highest = _lowest_of_parts(space, -margin[0], combinations)
        start = x[:, np.concatenate([lowest, highest])]
        sign = np.repeat([1.0, -1.0], len(lowest))
        reached, found = space.polish(start, sign, list(range(space.first_free, len(x))))
        extremes = reached[:, [found.margin.argmin(), found.margin.argmax()]]
        outcome = Outcome(*map(np.concatenate, zip(outcome, found, strict=True)))

    value, limit, span = (
        Span(float(part.min()), middle, float(part.max()))
        for part, middle in zip(outcome, best, strict=True)
    )
    verdict = _verdict(span)
    turns_on: tuple[TurningPoint, ...] = ()
    if verdict == "undetermined":
        swings = _swings(which, along)
        if space.dear:
            rest = rest[:, _telling(margin)]
        turns_on = _ranked(requirement, list(turning_points(space, rest, extremes, swings)))
    rigorous = enumerated and space.first_free == len(space.inputs)
    return Ruling(verdict, value, limit, span, turns_on, rigorous, space.points, requirement.sense)


def _lowest_of_parts(space: Space, margin: Floats, combinations: int) -> Ints:
    """Return where each combination of choices, in each of a few parts of its sample, is lowest.

    Several starts, apart from each other, so that a search does not rest on a single basin.
    """
    table = margin.reshape(combinations, -1)
    starts = _DEAR_STARTS if space.dear else _STARTS
    parts = max(1, min(starts, _MOST_STARTS // combinations, table.shape[1]))
    cuts = np.arange(parts + 1) * table.shape[1] // parts
    found = [table[:, a:b].argmin(axis=1) + a for a, b in pairwise(cuts)]
    return (np.array(found) + table.shape[1] * np.arange(combinations)).ravel()


def _telling(margin: Floats) -> Ints:
    """Return the few points that are the hardest or the easiest."""
    many = min(_DEAR_TELLING, margin.shape[1]) - 1
    ends = [np.argpartition(one, many)[: many + 1] for one in (margin[-1], -margin[0])]
    return np.unique(np.concatenate(ends))


def _verdict(margin: Span) -> Verdict:
    if margin.low >= MARGIN - HOLDS_WITHIN:
        return "adequate"
    if margin.low >= -HOLDS_WITHIN:
        return "marginal"
    return "inadequate" if margin.high < -HOLDS_WITHIN else "undetermined"


def _confirm_along(space: Space, which: Ints, margin: Floats) -> None:
    """Check the declared directions where one input is varied and the rest are at best."""
    pairs = np.flatnonzero((which[1:] == which[:-1]) & (which[1:] < space.declared))
    inputs = which[pairs]
    space.confirm(inputs, margin[pairs], margin[pairs + 1], space.way[inputs])


def _swings(which: Ints, margin: Floats) -> Floats:
    starts = np.searchsorted(which, np.arange(which[-1] + 1))
    swing = np.maximum.reduceat(margin, starts) - np.minimum.reduceat(margin, starts)
    return np.where(np.isnan(swing), 0.0, swing)  # infinite throughout: it does not move


def _ranked(requirement: Requirement, found: list[TurningPoint]) -> tuple[TurningPoint, ...]:
    """Return the likeliest to settle first, then the widest swing, then the order given."""
    order = {entry.name: k for k, entry in enumerate(requirement.inputs)}
    found.sort(key=lambda point: (-round(point.settles, 6), -point.swing, order[point.input]))
    return tuple(found)
