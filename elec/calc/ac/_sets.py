"""Sets of loads as bit masks, those of loads that are alike counted once."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["RangedSets", "Sets"]

Masks = npt.NDArray[np.uint64]
Bools = npt.NDArray[np.bool_]
Groups = tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Sets:
    """Sets of loads, smallest first, each a bit mask over the loads as given.

    Loads that are alike are in one of the `groups`, and of the sets that differ only in which of
    them they hold, one is listed: that with the first of them. `complete` says whether every set
    is listed; if not, every set of up to `complete_to` loads is (of up to that many left out, for
    sets that fit), and larger ones may be missing. `legs` says which legs each set overloads, sets
    by legs.
    """

    masks: Masks
    legs: Bools
    loads: int
    complete: bool
    complete_to: int
    groups: Groups

    def __len__(self) -> int:
        return len(self.masks)

    @property
    def count(self) -> int:
        """Sets in all, those that differ in loads that are alike counted each."""
        return self.first(len(self))

    def first(self, most: int) -> int:
        """Return the sets that the first `most` of the list stand for."""
        masks = self.masks[:most]
        several = [group for group in self.groups if len(group) > 1]
        ways = np.ones(len(masks), dtype=np.float64 if not several else object)
        for group in several:
            bits = np.uint64(sum(1 << place for place in group))
            held = np.bitwise_count(masks & bits)
            ways *= np.array([math.comb(len(group), n) for n in range(len(group) + 1)], object)[
                held
            ]
        return int(ways.sum())

    def members(self, most: int | None = None) -> list[tuple[int, ...]]:
        """Return the first `most` sets as positions of their loads."""
        places = np.arange(self.loads, dtype=np.uint64)
        held = self.masks[:most, None] >> places & np.uint64(1)
        return [tuple(np.flatnonzero(row).tolist()) for row in held]

    def chosen(self, most: int | None = None) -> list[list[tuple[int, tuple[int, ...]]]]:
        """Return the first `most` sets as how many of which loads that are alike."""
        found = []
        for members in self.members(most):
            held = set(members)
            numbers = [(len(held & set(group)), group) for group in self.groups]
            found.append([(number, group) for number, group in numbers if number])
        return found


@dataclass(frozen=True)
class RangedSets:
    """Sets that overload whatever the values are, and those that do only at some of them."""

    surely: Sets
    possibly: Sets
