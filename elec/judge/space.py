"""The box of what is possible: lays out points in it and evaluates the requirement there."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from elec.errors import ElecError
from elec.judge.records import HOLDS_WITHIN, Input, Requirement

__all__ = ["BOUND", "Floats", "Ints", "Outcome", "Space", "corners", "outer", "spread"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

#: Points laid out at most, before choices are sampled instead of all tried.
BOUND = 65_536
#: Points along each axis of a full grid, by its number of axes; beyond that a sequence of points.
_PER_AXIS = {1: 129, 2: 33, 3: 13}
_SEQUENCE = 4096
_CLOUD = 1024
#: The same where an evaluation is dear: besides the corners, and around a point that is searched.
_DEAR_SEQUENCE, _DEAR_CLOUD = 512, 64
#: How far, as a part of its range, a search goes on; less far where an evaluation is dear.
_REACH, _DEAR_REACH = 1e-9, 1e-4
#: Rounds of a search along many axes in which a point may not get lower before it is left there.
_PATIENCE = 6
#: Points along an input when it alone is varied.
_STATIONS = np.linspace(0.0, 1.0, 9)


class Outcome(NamedTuple):
    """Value, limit and margin at each point."""

    value: Floats
    limit: Floats
    margin: Floats


def outer(left: Floats, right: Floats) -> Floats:
    """Return every column of ``left`` on top of every column of ``right``, left-major."""
    above, below = left.shape[0], right.shape[0]
    both = np.empty((above + below, left.shape[1], right.shape[1]))
    both[:above], both[above:] = left[:, :, None], right[:, None, :]
    return both.reshape(above + below, left.shape[1] * right.shape[1])


@lru_cache(maxsize=32)
def corners(axes: int) -> npt.NDArray[np.bool_]:
    """Return the corners of a cube as columns of bits; bit ``j`` of the column number is axis j."""
    return (np.arange(2**axes) >> np.arange(axes)[:, None] & 1).astype(bool)


@lru_cache(maxsize=32)
def _edges(axes: int) -> tuple[Ints, Ints]:
    """Return the corners at both ends of every edge, one row for each axis."""
    start = np.array([np.flatnonzero(~bits) for bits in corners(axes)])
    return start, start + (1 << np.arange(axes))[:, None]


@lru_cache(maxsize=32)
def _cloud(axes: int, room: int) -> Floats:
    """Return up to ``room`` points of the unit cube, all corners among them, as columns."""
    if axes in _PER_AXIS:
        each = min(_PER_AXIS[axes], int(room ** (1 / axes) + 1e-9))
        line = np.linspace(0.0, 1.0, each)[None]
        grid = np.empty((0, 1))
        for _ in range(axes):
            grid = outer(grid, line)
        return grid
    if 2**axes > BOUND:
        raise ElecError(f"{axes} unsettled inputs have no declared direction; 16 at most can.")
    count = max(0, min(_SEQUENCE, room - 2**axes)) if axes else 0
    return np.concatenate([corners(axes).astype(float), spread(axes, count)], axis=1)


@lru_cache(maxsize=32)
def _around(axes: int, dear: bool) -> Floats:
    """Return the points tried around another, as columns from -1 to 1."""
    if not dear:
        return 2 * _cloud(axes, _CLOUD + 2**axes) - 1
    star = np.eye(axes)
    return np.concatenate([star, -star, 2 * spread(axes, _DEAR_CLOUD) - 1], axis=1)


def spread(axes: int, count: int) -> Floats:
    """Return ``count`` points spread evenly over the unit cube, as columns, always the same.

    An additive recurrence on powers of the root of x**(axes + 1) = x + 1, the golden ratio made
    general: low discrepancy.
    """
    root = 2.0
    for _ in range(64):
        root = (1 + root) ** (1 / (axes + 1))
    steps = root ** -np.arange(1.0, axes + 1)
    points: Floats = (0.5 + steps[:, None] * np.arange(count)) % 1.0
    return points


def _filled(part: npt.ArrayLike, count: int) -> Floats:
    array = np.asarray(part, dtype=np.float64)
    if array.shape == (count,):
        return array
    filled = np.empty(count)
    filled[:] = array
    return filled


class Space:
    """The unsettled inputs of a requirement, and its function over them.

    Inputs are ordered declared (a direction is known), listed (choices, no direction), free
    (neither). Points are columns of an array with one row for each input.
    """

    def __init__(self, requirement: Requirement) -> None:
        unsettled = [entry for entry in requirement.inputs if not entry.settled]
        declared = [entry for entry in unsettled if entry.worse]
        listed = [entry for entry in unsettled if entry.choices and not entry.worse]
        free = [entry for entry in unsettled if not entry.choices and not entry.worse]
        self.inputs: Sequence[Input] = declared + listed + free
        self.declared = len(declared)
        self.first_free = len(declared) + len(listed)
        ranges = np.array([(entry.low, entry.best, entry.high) for entry in self.inputs])
        self.low, self.best, self.high = ranges.reshape(-1, 3).T
        rising = np.array([entry.worse == "higher" for entry in declared], dtype=bool)
        low, high = self.low[: self.declared], self.high[: self.declared]
        self.hard = np.where(rising, high, low)
        self.easy = np.where(rising, low, high)
        self.way = np.where(rising, 1.0, -1.0)
        self.points = 0
        self._names = [entry.name for entry in self.inputs]
        self._settled = {entry.name: entry.best for entry in requirement.inputs if entry.settled}
        self._function = requirement.function
        self._sign = 1.0 if requirement.sense == "at most" else -1.0
        self.dear = requirement.dear

    def evaluate(self, x: Floats) -> Outcome:
        """Return value, limit and margin at the points ``x``.

        The margin is a fraction of the size of the limit. Against a limit of zero it is 0 when
        the value is zero too, else infinite; an infinite limit counts as a whole limit in hand,
        or missing.
        """
        count = x.shape[1]
        self.points += count
        answer = self._function(**self._settled, **dict(zip(self._names, x, strict=True)))
        value, limit = (_filled(part, count) for part in answer)
        margin = self._sign * (limit - value) / np.abs(limit)
        if np.isnan(margin).any():
            nothing = (np.isinf(value) & np.isinf(limit)) | np.isnan(value) | np.isnan(limit)
            if nothing.any():
                raise ElecError(self._complaint(x[:, nothing.argmax()]))
            margin = np.where(np.isinf(limit), self._sign * np.sign(limit), margin)
            margin = np.where((limit == 0) & (value == 0), 0.0, margin)
        return Outcome(value, limit, margin)

    def _complaint(self, point: Floats) -> str:
        inputs = self._settled | dict(zip(self._names, point.tolist(), strict=True))
        given = ", ".join(f"{name} = {value:g}" for name, value in inputs.items())
        name = getattr(self._function, "__name__", repr(self._function))
        return f"{name}: no margin can be told (NaN, or both sides infinite) at {given}."

    def confirm(self, which: Ints, before: Floats, after: Floats, way: Floats | float) -> None:
        """Raise if a margin grows from before to after times ``way``, which is the hard way.

        Entries of ``which`` are the inputs of the rows. Beyond one limit in hand or missing the
        ratio to the limit says nothing about direction, and nothing hangs on it.
        """
        grown = np.minimum(np.maximum(after, -1), 1) - np.minimum(np.maximum(before, -1), 1)
        wrong = grown * way > HOLDS_WITHIN
        if wrong.any():
            at = np.unravel_index(wrong.argmax(), wrong.shape)
            entry = self.inputs[which[at[0]]]
            raise ElecError(
                f"{entry.name}: declared worse when {entry.worse}, but within "
                f"{entry.low:g}..{entry.high:g} the margin also changes the other way, between "
                f"{before[at]:g} and {after[at]:g}."
            )

    def confirm_corners(self, margin: Floats) -> None:
        """Apply `confirm` to margins at all corners (first axis) of the declared inputs."""
        if self.declared:
            easier, harder = _edges(self.declared)
            self.confirm(np.arange(self.declared), margin[easier], margin[harder], 1.0)

    def others(self, without: int | None = None) -> tuple[Floats, int, bool]:
        """Return points that stand for all listed and free inputs, but for one.

        Returns
        -------
        points : array
            One row for each listed and free input; that of ``without`` is at its best value.
        combinations : int
            Number of equal parts of ``points``, one for each combination of choices.
        enumerated : bool
            Whether all combinations of choices are there.
        """
        if self.declared == len(self.inputs):
            return np.empty((0, 1)), 1, True
        listed = [k for k in range(self.declared, self.first_free) if k != without]
        free = [k for k in range(self.first_free, len(self.inputs)) if k != without]
        choices = [np.array(self.inputs[k].choices) for k in listed]
        combinations = math.prod(map(len, choices))
        enumerated = combinations << len(free) <= BOUND
        if enumerated:
            drawn = np.empty((0, 1))
            for some in choices:
                drawn = outer(drawn, some[None])
            room = BOUND // combinations
            if self.dear:
                room = min(room, 2 ** len(free) + max(_DEAR_SEQUENCE // combinations, 1))
            drawn = outer(drawn, self._scaled(free, _cloud(len(free), room)))
        else:
            combinations = 1
            cloud = _cloud(len(listed) + len(free), BOUND)
            picks = [
                some[np.minimum((u * len(some)).astype(int), len(some) - 1)]
                for some, u in zip(choices, cloud, strict=False)
            ]
            drawn = np.concatenate([picks, self._scaled(free, cloud[len(listed) :])])
        points = np.repeat(self.best[self.declared :, None], drawn.shape[1], axis=1)
        points[np.array(listed + free, dtype=int) - self.declared] = drawn
        return points, combinations, enumerated

    def _scaled(self, which: list[int] | slice, unit: Floats) -> Floats:
        return self.low[which, None] * (1 - unit) + self.high[which, None] * unit

    def one_at_a_time(self) -> tuple[Floats, Ints]:
        """Return points with one input varied and the rest at best, and which input it is."""
        along = self._scaled(slice(None), _STATIONS)
        stations = [
            np.array(entry.choices) if entry.choices else line
            for entry, line in zip(self.inputs, along, strict=True)
        ]
        which = np.repeat(np.arange(len(stations)), list(map(len, stations)))
        x = np.repeat(self.best[:, None], len(which), axis=1)
        if stations:
            x[which, np.arange(len(which))] = np.concatenate(stations)
        return x, which

    def polish(self, x: Floats, sign: Floats, moving: list[int]) -> tuple[Floats, Outcome]:
        """Search near each point for a lower ``sign`` times margin, along the inputs ``moving``.

        A cloud of points is drawn ever tighter around the lowest found so far; along many axes a
        point that gets no lower is soon left where it is, as those in a corner do not.
        """
        axes = len(moving)
        cloud = _around(axes, self.dear)
        nearest = _DEAR_REACH if self.dear else _REACH
        shrink = {1: 1 / 32, 2: 1 / 8, 3: 1 / 3}.get(axes, 0.6)
        reach = 1 / (_PER_AXIS[axes] - 1) if axes in _PER_AXIS else 0.25
        low, high = self.low[moving, None, None], self.high[moving, None, None]
        outcome = self.evaluate(x)
        idle = np.zeros(x.shape[1], dtype=int)
        while reach > nearest and (going := np.flatnonzero(idle < _PATIENCE)).size:
            part, many = x[:, going], cloud.shape[1]
            tried = np.repeat(part[:, :, None], many, axis=2)
            near = part[moving][:, :, None] + reach * (high - low) * cloud[:, None, :]
            tried[moving] = np.clip(near, low, high)
            tried = tried.reshape(len(x), -1)
            found = self.evaluate(tried)
            at = (sign[going, None] * found.margin.reshape(-1, many)).argmin(axis=1)
            at += np.arange(going.size) * many
            better = sign[going] * found.margin[at] < sign[going] * outcome.margin[going]
            at, which = at[better], going[better]
            x[:, which] = tried[:, at]
            for new, old in zip(found, outcome, strict=True):
                old[which] = new[at]
            if axes not in _PER_AXIS:
                idle[going] = np.where(better, 0, idle[going] + 1)
            reach *= shrink
        return x, outcome
