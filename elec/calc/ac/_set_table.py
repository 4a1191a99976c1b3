"""Every set of loads in one table, loads that are alike taken by number.

Places of the table count in mixed radix: of loads alike there are none, one, two ... of them. Its
rows are the ways to take the larger loads, along a row are those to take the smaller ones. No load
lowers the amps of a leg: so a row is over from its first place on, or up to its last not at all, or
mixed, and only mixed rows are worked through.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc.ac._leg_amps import LegAmps

__all__ = ["Over", "SetTable"]

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Legs = npt.NDArray[np.uint8]
Places = npt.NDArray[np.intp]
#: Places along a row at most, and those worked through at once.
_ROW = 2**9
_AT_ONCE = 2**15


def _every(values: Floats, counts: Sequence[int], start: Floats) -> Floats:
    """Return sums, columns by places, of every way to take up to ``counts`` of each row."""
    sums = start[:, None]
    for value, count in zip(values, counts, strict=True):
        steps = np.arange(count + 1) * value[:, None]
        sums = (sums[:, :, None] + steps[:, None, :]).reshape(len(start), -1)
    return sums


@dataclass(frozen=True)
class Over:
    """Which legs each set takes above their limits, as bits.

    `first` and `last` are those of the ends of each row, `mixed` whole rows where these differ, and
    `row_of` the place of a row among these, below zero for the others.
    """

    first: Legs
    last: Legs
    mixed: Legs
    row_of: Places

    def at(self, places: Places) -> Legs:
        """Return the legs at some places of the table."""
        row, along = np.divmod(places, self.mixed.shape[1])
        found = self.first[row]
        inside = self.row_of[row] >= 0
        found[inside] = self.mixed[self.row_of[row[inside]], along[inside]]
        return found


@dataclass(frozen=True)
class SetTable:
    """The loads, in groups of loads alike; the last groups vary fastest."""

    groups: tuple[tuple[int, ...], ...]

    @property
    def counts(self) -> list[int]:
        """Loads in each group."""
        return [len(group) for group in self.groups]

    def _split(self) -> int:
        """Return from which group on sets lie along a row."""
        size, first = 1, len(self.groups)
        while first and size * (self.counts[first - 1] + 1) <= _ROW:
            first -= 1
            size *= self.counts[first] + 1
        return first

    def over(self, legs: Sequence[LegAmps], limit_A: Floats) -> Over:
        """Return which legs each set takes above their limits."""
        cut, counts = self._split(), self.counts
        shapes = [math.prod(c + 1 for c in part) for part in (counts[:cut], counts[cut:])]
        first, last = (np.zeros(shapes[0], dtype=np.uint8) for _ in range(2))
        sums = []
        for number, (leg, limit) in enumerate(zip(legs, limit_A, strict=True)):
            rows = leg.loads[[group[0] for group in self.groups]]
            outer = _every(rows[:cut], counts[:cut], leg.start)
            inner = _every(rows[cut:], counts[cut:], np.zeros_like(leg.start))
            sums.append((outer, inner))
            bit = np.uint8(number)
            first |= (leg.amps(outer) > limit).astype(np.uint8) << bit
            last |= (leg.amps(outer + inner[:, -1:]) > limit).astype(np.uint8) << bit
        mixed_rows = np.flatnonzero((first == 0) & (last > 0))
        row_of = np.full(shapes[0], -1)
        row_of[mixed_rows] = np.arange(len(mixed_rows))
        mixed = np.zeros((len(mixed_rows), shapes[1]), dtype=np.uint8)
        step = max(_AT_ONCE // shapes[1], 1)
        for number, ((outer, inner), leg) in enumerate(zip(sums, legs, strict=True)):
            wanted = np.flatnonzero(last[mixed_rows] >> np.uint8(number) & np.uint8(1))
            for start in range(0, len(wanted), step):
                part = wanted[start : start + step]
                amps = leg.amps(outer[:, mixed_rows[part], None] + inner[:, None, :])
                mixed[part] |= (amps > limit_A[number]).astype(np.uint8) << np.uint8(number)
        return Over(first, last, mixed, row_of)

    def _axes(self, counts: Sequence[int]) -> Iterator[tuple[int, int]]:
        """Yield how many there are of each group, and how far apart one more of it lies."""
        apart = math.prod(count + 1 for count in counts)
        for count in counts:
            apart //= count + 1
            yield count, apart

    def minimal(self, over: Over) -> Places:
        """Return places of the sets that are over, and would not be with any load less."""
        cut = self._split()
        on = over.mixed > 0
        kept, packed = on.copy(), np.packbits(on, axis=1)
        for count, apart in self._axes(self.counts[cut:]):
            shape = (len(on), on.shape[1] // (count + 1) // apart, count + 1, apart)
            view, below = kept.reshape(shape), on.reshape(shape)
            view[:, :, 1:] &= ~below[:, :, :-1]
        rows = np.arange(len(over.first))
        lone, mixed_rows = over.first > 0, np.flatnonzero(over.row_of >= 0)
        spared = np.zeros_like(packed)
        for count, apart in self._axes(self.counts[:cut]):
            less = rows - apart
            held = rows // apart % (count + 1) > 0
            lone[held] &= over.first[less[held]] == 0
            below_of = np.where(held[mixed_rows], over.row_of[less[mixed_rows]], -1)
            some = np.flatnonzero(below_of >= 0)
            spared[some] |= packed[below_of[some]]
        kept &= ~np.unpackbits(spared, axis=1, count=on.shape[1]).astype(bool)
        along = np.nonzero(kept)
        return np.concatenate(
            [np.flatnonzero(lone) * on.shape[1], mixed_rows[along[0]] * on.shape[1] + along[1]]
        )

    def maximal(self, over: Over) -> Places:
        """Return places of the sets that are not over, and would be with any load more."""
        cut = self._split()
        on = over.mixed > 0
        kept, packed = ~on, np.packbits(on, axis=1)
        for count, apart in self._axes(self.counts[cut:]):
            shape = (len(on), on.shape[1] // (count + 1) // apart, count + 1, apart)
            view, above = kept.reshape(shape), on.reshape(shape)
            view[:, :, :-1] &= above[:, :, 1:]
        rows = np.arange(len(over.first))
        whole, mixed_rows = over.last == 0, np.flatnonzero(over.row_of >= 0)
        full = np.full_like(packed, 255)
        for count, apart in self._axes(self.counts[:cut]):
            room = rows // apart % (count + 1) < count
            more = np.where(room, rows + apart, 0)
            whole[room] &= over.last[more[room]] > 0
            above_of = np.where(room[mixed_rows], over.row_of[more[mixed_rows]], -1)
            some = np.flatnonzero(above_of >= 0)
            full[some] &= packed[above_of[some]]
        kept &= np.unpackbits(full, axis=1, count=on.shape[1]).astype(bool)
        along = np.nonzero(kept)
        width = on.shape[1]
        return np.concatenate(
            [np.flatnonzero(whole) * width + width - 1, mixed_rows[along[0]] * width + along[1]]
        )

    def masks(self, places: Places) -> npt.NDArray[np.uint64]:
        """Return sets as bits; of loads alike, the first."""
        cut = self._split()
        parts = []
        for groups in (self.groups[:cut], self.groups[cut:]):
            masks = np.zeros(1, dtype=np.uint64)
            for group in groups:
                bits = np.cumsum([0, *(1 << place for place in group)], dtype=np.uint64)
                masks = (masks[:, None] | bits).reshape(-1)
            parts.append(masks)
        row, along = np.divmod(places, len(parts[1]))
        return np.asarray(parts[0][row] | parts[1][along])
