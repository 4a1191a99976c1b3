"""Where a verdict turns: for each unsettled input, the values that decide it alone."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from elec.judge.records import HOLDS_WITHIN, Interval, TurningPoint
from elec.judge.space import Floats, Ints, Space

__all__ = ["turning_points"]

Flags = npt.NDArray[np.bool_]

#: Ends of intervals are found to this fraction of the input's range; where a point is dear, to the
#: digits shown.
_RESOLUTION, _DEAR_RESOLUTION = 1e-10, 1e-5
#: Points in one call of the function, at most.
_MOST = 2**20
#: Points along an input at first, the fewest if the others need many points, and how many with
#: those at most: without a declared direction, and with one, where it turns but once.
_FREE_LINE, _DECLARED_LINE = (129, 17, _MOST), (33, 5, 2**14)
#: Where points are tried between two others, as parts of the way: evenly, and off a first guess.
_EVEN = np.arange(1, 16)[None] / 16
_CLOSER = np.outer([-1, 1], 10.0 ** -np.arange(1, 11)).ravel()
#: Points that stand for the others: from how many on only those are kept that tell, the hardest and
#: the easiest so many at each of a few places along an input.
_MANY, _TELLING, _PLACES = 1024, 16, np.arange(3) / 2
#: Points along an input times points of the others, at first, where an evaluation is dear.
_DEAR = 2**12
#: Rounds in which the free inputs are searched anew at the ends found.
_ROUNDS = 5


def turning_points(
    space: Space, rest: Floats, extremes: Floats, swings: Floats
) -> Iterator[TurningPoint]:
    """Yield the turning point of every unsettled input, in the order of ``space``.

    ``rest`` stands for the listed and free inputs, where a point is dear by those that tell;
    ``extremes`` are the worst and best points that
    a search found between those, if any.
    """
    for which in _groups(space):
        first = which[0]
        anew = first >= space.declared and not space.dear
        points = space.others(without=first)[0] if anew else rest
        points = np.concatenate([points, extremes[space.declared :]], axis=1)
        moving = [k for k in range(space.first_free, len(space.inputs)) if k != first]
        intervals, shares = _solve(space, which, points, moving, extremes)
        for row, k in enumerate(which):
            entry = space.inputs[k]
            yield TurningPoint(
                entry.name,
                entry.low,
                entry.best,
                entry.high,
                adequate_if=intervals[row],
                inadequate_if=intervals[row + len(which)],
                settles=shares[row] + shares[row + len(which)],
                swing=float(swings[k]),
            )


def _groups(space: Space) -> list[list[int]]:
    """Return inputs that are solved together: all declared ranges; every other by itself."""
    together = [k for k in range(space.declared) if not space.inputs[k].choices]
    apart = [[k] for k in range(len(space.inputs)) if k not in together]
    return [together, *apart] if together else apart


def _solve(
    space: Space, which: list[int], rest: Floats, moving: list[int], extremes: Floats
) -> tuple[list[tuple[Interval, ...]], list[float]]:
    """Return intervals and shares: first where each input's worst case holds, then its best fails.

    With free inputs besides, a sample of them makes the intervals too wide: they are searched
    anew at the ends found, and what is found there joins the sample.
    """
    if rest.shape[1] > _MANY and not space.dear:
        rest = _telling(space, which, rest)
    for _ in range(_ROUNDS):
        intervals, shares = _intervals(space, which, rest, extremes)
        if not moving:
            break
        found = _counterexamples(space, which, rest, intervals, moving)
        if not found.size:
            break
        rest = np.concatenate([rest, found], axis=1)
    else:
        intervals, shares = _intervals(space, which, rest, extremes)
    return intervals, shares


def _telling(space: Space, which: list[int], rest: Floats) -> Floats:
    """Return those points of ``rest`` that are the hardest, or the easiest, somewhere."""
    kept = np.zeros(rest.shape[1], dtype=bool)
    for k in which:
        row, t = np.array([k]), _between(space.low[[k]], space.high[[k]], _PLACES)
        if choices := space.inputs[k].choices:
            t = np.array(choices)[None, np.rint(_PLACES * (len(choices) - 1)).astype(int)]
        hardest, easiest = _margins(
            space, row.repeat(2), np.array([True, False]), t.repeat(2, axis=0), rest
        )
        for margin in (hardest, -easiest):
            kept[np.argpartition(margin, _TELLING, axis=1)[:, :_TELLING]] = True
    return rest[:, kept]


def _intervals(
    space: Space, which: list[int], rest: Floats, extremes: Floats
) -> tuple[list[tuple[Interval, ...]], list[float]]:
    rows = np.array(which + which)
    harsh = np.arange(len(rows)) < len(which)
    choices = space.inputs[which[0]].choices
    if choices:
        t = np.array([choices, choices])
    else:
        line, fewest, most = _DECLARED_LINE if which[0] < space.declared else _FREE_LINE
        most = min(most, _DEAR) if space.dear else most
        many = max(fewest, min(line, most // (len(rows) * rest.shape[1])))
        t = _between(space.low[rows], space.high[rows], np.arange(many) / (many - 1))
        t = np.sort(np.concatenate([t, extremes[rows]], axis=1), axis=1)
    margin, _ = _over_others(space, rows, harsh, t, rest)
    if which[0] < space.declared:
        space.confirm(rows, margin[:, :-1], margin[:, 1:], space.way[rows, None])
    wanted = _wanted(margin, harsh, -HOLDS_WITHIN)
    row, column = np.nonzero(wanted[:, 1:] != wanted[:, :-1])
    inner = column + ~wanted[row, column]
    outer = column + wanted[row, column]
    inside = t[row, inner]
    if not choices and row.size:
        # A worst case that holds outright at the inner end is followed to where it does so
        # outright; the allowance is for what only just misses.
        level = np.where(harsh[row] & (margin[row, inner] >= 0), 0.0, -HOLDS_WITHIN)
        at = np.stack([inner, outer], axis=1)
        bracket, gap = t[row[:, None], at], margin[row[:, None], at] - level[:, None]
        inside = _close_in(space, rows[row], harsh[row], level, bracket, gap, rest)
    ends: list[list[float]] = [[] for _ in rows]
    for k, end in zip(row.tolist(), inside.tolist(), strict=True):
        ends[k].append(end)
    intervals, shares = [], []
    for k, from_low, to_high, some in zip(
        rows.tolist(), wanted[:, 0].tolist(), wanted[:, -1].tolist(), ends, strict=True
    ):
        entry = space.inputs[k]
        edges = [entry.low] * from_low + some + [entry.high] * to_high
        pairs = tuple(zip(edges[::2], edges[1::2], strict=True))
        intervals.append(pairs)
        shares.append(sum(b - a for a, b in pairs) / (entry.high - entry.low))
    return intervals, wanted.mean(axis=1).tolist() if choices else shares


def _close_in(
    space: Space,
    rows: Ints,
    harsh: Flags,
    level: Floats,
    t: Floats,
    gap: Floats,
    rest: Floats,
) -> Floats:
    """Return the ends, on the inside, of the intervals that end between two points.

    Rows of ``t`` and ``gap`` hold, for the point inside and the one outside, where it is and how
    far its margin is above ``level``. Many points at once are tried between them: evenly spread,
    and ever closer to where a straight line would cross.
    """
    every = np.arange(len(rows))[:, None]
    resolution = _DEAR_RESOLUTION if space.dear else _RESOLUTION
    close = resolution * (space.high - space.low)[rows] + 4 * np.spacing(np.abs(t).max(axis=1))
    while np.any(np.abs(t[:, 1] - t[:, 0]) > close):
        crossing = gap[:, :1] / (gap[:, :1] - gap[:, 1:])
        parts = np.where(np.isfinite(crossing), crossing, 0.5) + _CLOSER
        parts = np.sort(np.concatenate([parts, _EVEN.repeat(len(rows), axis=0)], axis=1), axis=1)
        between = _between(t[:, 0], t[:, 1], parts)
        margin, _ = _over_others(space, rows, harsh, between, rest)
        t = np.concatenate([t[:, :1], between, t[:, 1:]], axis=1)
        gap = np.concatenate([gap[:, :1], margin - level[:, None], gap[:, 1:]], axis=1)
        out = ~_wanted(gap[:, 1:], harsh, 0.0)
        out[:, -1] = True
        at = out.argmax(axis=1)[:, None] + [0, 1]
        t, gap = t[every, at], gap[every, at]
    return t[:, 0]


def _between(start: Floats, end: Floats, parts: Floats) -> Floats:
    """Return points between start and end, never outside by a rounding."""
    t = start[:, None] * (1 - parts) + end[:, None] * parts
    least, most = np.minimum(start, end)[:, None], np.maximum(start, end)[:, None]
    return np.minimum(np.maximum(t, least), most)


def _wanted(margin: Floats, harsh: Flags, level: Floats | float) -> Flags:
    """Return where the worst case holds (harsh rows) or the best case fails (the others)."""
    return np.equal(margin >= level, harsh[:, None])


def _over_others(
    space: Space, rows: Ints, harsh: Flags, t: Floats, rest: Floats
) -> tuple[Floats, Ints]:
    """Return the least (harsh) or greatest margin over the other inputs, and where in ``rest``.

    Row ``k`` varies the input ``rows[k]`` over ``t[k]``.
    """
    (count, many), drawn = t.shape, rest.shape[1]
    if count > 1 and count * many * drawn > _MOST:
        parts = [
            _over_others(space, rows[k : k + 1], harsh[k : k + 1], t[k : k + 1], rest)
            for k in range(count)
        ]
        return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])
    margin = _margins(space, rows, harsh, t, rest)
    if drawn == 1:
        return margin[:, :, 0], np.zeros((count, many), dtype=np.intp)
    at = np.where(harsh[:, None, None], margin, -margin).argmin(axis=2)
    return np.take_along_axis(margin, at[:, :, None], axis=2)[:, :, 0], at


def _margins(space: Space, rows: Ints, harsh: Flags, t: Floats, rest: Floats) -> Floats:
    """Return the margin at each point along each row's input, for each point of ``rest``."""
    if not space.declared and len(t) > 1 and (rows == rows[0]).all() and (t == t[0]).all():
        # nothing but a declared direction tells hard from easy
        return _margins(space, rows[:1], harsh[:1], t[:1], rest).repeat(len(t), axis=0)
    (count, many), drawn = t.shape, rest.shape[1]
    x = np.empty((len(space.inputs), count, many, drawn))
    ends = np.where(harsh, space.hard[:, None], space.easy[:, None])
    x[: space.declared] = ends[:, :, None, None]
    x[space.declared :] = rest[:, None, None, :]
    x[rows, np.arange(count)] = t[:, :, None]
    return space.evaluate(x.reshape(len(x), -1)).margin.reshape(count, many, drawn)


def _counterexamples(
    space: Space,
    which: list[int],
    rest: Floats,
    intervals: list[tuple[Interval, ...]],
    moving: list[int],
) -> Floats:
    """Return values of the other inputs, near those in ``rest``, that refute an interval's end."""
    ends = [
        (which[k % len(which)], k < len(which), end)
        for k, pairs in enumerate(intervals)
        for pair in pairs
        for end in pair
    ]
    if not ends:
        return np.empty((len(rest), 0))
    rows, harsh, t = (np.array(column) for column in zip(*ends, strict=True))
    _, at = _over_others(space, rows, harsh, t[:, None], rest)
    x = np.concatenate(
        [np.where(harsh, space.hard[:, None], space.easy[:, None]), rest[:, at[:, 0]]]
    )
    x[rows, np.arange(len(rows))] = t
    x, outcome = space.polish(x, np.where(harsh, 1.0, -1.0), moving)
    refuted = ~_wanted(outcome.margin[:, None], harsh, -HOLDS_WITHIN)[:, 0]
    return x[space.declared :, refuted]
