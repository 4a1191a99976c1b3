"""Sets of more loads than fit a table, grown load by load from the smallest sets up."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc.ac._leg_amps import LegAmps
from elec.calc.ac._sums import top_sums

__all__ = ["Grown", "least_left_out", "smallest_overloads"]

Floats = npt.NDArray[np.float64]
Masks = npt.NDArray[np.uint64]
Bools = npt.NDArray[np.bool_]
Groups = Sequence[Sequence[int]]


class _TooMany(Exception):
    """More partial sets than allowed."""


@dataclass(frozen=True)
class _Partial:
    """Sets with their size, their sums on each leg (columns by sets), and amps (legs by sets)."""

    masks: Masks
    sizes: npt.NDArray[np.int8]
    sums: tuple[Floats, ...]
    amps: Floats

    def only(self, which: Bools | npt.NDArray[np.intp]) -> _Partial:
        sums = tuple(part[:, which] for part in self.sums)
        return _Partial(self.masks[which], self.sizes[which], sums, self.amps[:, which])


@dataclass(frozen=True)
class Grown:
    """Sets, smallest first, and up to which number of loads they are all there."""

    masks: Masks
    complete_to: int


def _joined(parts: Sequence[_Partial]) -> _Partial:
    return _Partial(
        np.concatenate([part.masks for part in parts]),
        np.concatenate([part.sizes for part in parts]),
        tuple(
            np.concatenate(columns, axis=1)
            for columns in zip(*(part.sums for part in parts), strict=True)
        ),
        np.concatenate([part.amps for part in parts], axis=1),
    )


def _bit(place: int) -> np.uint64:
    return np.uint64(1) << np.uint64(place)


@dataclass(frozen=True)
class _Search:
    """What to grow: legs, limits, and loads alike, of which the first are taken first."""

    legs: Sequence[LegAmps]
    limit_A: Floats
    groups: Groups
    sign: float

    def amps(self, sums: tuple[Floats, ...]) -> Floats:
        return np.array([leg.amps(part) for leg, part in zip(self.legs, sums, strict=True)])

    def start(self) -> _Partial:
        first = [leg.start + (leg.loads.sum(axis=0) if self.sign < 0 else 0) for leg in self.legs]
        sums = tuple(part[:, None] for part in first)
        nothing = np.zeros(1, dtype=np.uint64)
        return _Partial(nothing, np.zeros(1, dtype=np.int8), sums, self.amps(sums))

    def with_load(self, partial: _Partial, load: int) -> _Partial:
        """Return the sets with a load more."""
        sums = tuple(
            part + self.sign * leg.loads[load][:, None]
            for leg, part in zip(self.legs, partial.sums, strict=True)
        )
        masks, sizes = partial.masks | _bit(load), partial.sizes + np.int8(1)
        return _Partial(masks, sizes, sums, self.amps(sums))

    def grow(
        self,
        watched: Sequence[int],
        there: Callable[[Floats], Bools],
        hopeful: Callable[[Floats, Floats], Bools],
        *,
        size: int,
        most: int,
        cut: bool,
    ) -> _Partial:
        """Return the sets of up to ``size`` loads that get there, grown no further.

        ``hopeful`` judges the amps of a partial set, and those that it may still get to.
        """
        weights = np.column_stack([self.legs[leg].magnitude_A for leg in watched])
        in_groups = [load for group in self.groups for load in group]
        order = sorted(in_groups, key=lambda load: -weights[load].sum())
        before = {b: a for group in self.groups for a, b in itertools.pairwise(group)}
        top = top_sums(np.column_stack([weights, weights.sum(axis=1)])[order])
        partial = self.start()
        if there(partial.amps)[0]:
            return partial
        found = [partial.only(np.zeros(0, dtype=np.intp))]
        held = 0
        for step, load in enumerate(order, start=1):
            able = (
                partial.only(partial.masks & _bit(before[load]) != 0) if load in before else partial
            )
            more = self.with_load(able, load)
            got = there(more.amps)
            found.append(more.only(got))
            held += len(found[-1].masks)
            partial = _joined([partial, more.only(~got)])
            amps = partial.amps
            reach = np.vstack([amps[list(watched)], amps[list(watched)].sum(axis=0)])
            reach = reach + self.sign * top[step][:, size - partial.sizes]
            keep = hopeful(amps, reach)
            partial, carried = partial.only(keep), amps[list(watched)][:, keep].sum(axis=0)
            if held + len(partial.masks) > most:
                if not cut:
                    raise _TooMany
                nearest = np.argsort(-self.sign * carried, kind="stable")
                partial = partial.only(np.sort(nearest[: max(most - held, 1)]))
        return _joined(found)

    def spared(self, found: _Partial, still: Callable[[Floats], Bools]) -> Bools:
        """Return whether each set would still do with one of its loads less."""
        spared = np.zeros(len(found.masks), dtype=bool)
        for load in range(len(self.legs[0].loads)):
            held = np.flatnonzero(~spared & (found.masks & _bit(load) != 0))
            part = found.only(held)
            less = tuple(
                part_sums - self.sign * leg.loads[load][:, None]
                for leg, part_sums in zip(self.legs, part.sums, strict=True)
            )
            spared[held] = still(self.amps(less))
        return spared


def smallest_overloads(
    legs: Sequence[LegAmps], limit_A: Floats, groups: Groups, *, most: int
) -> Grown:
    """Return the minimal sets that take a leg above its limit, of up to as many loads as it may."""
    search = _Search(legs, limit_A, groups, 1.0)

    def sets(size: int, most: int, cut: bool) -> _Partial:
        parts = []
        for leg in range(len(legs)):
            found = search.grow(
                [leg],
                lambda amps, leg=leg: amps[leg] > limit_A[leg],  # type: ignore[misc]
                lambda amps, reach, leg=leg: (  # type: ignore[misc]
                    (reach[0] > limit_A[leg]) & np.all(amps <= limit_A[:, None], axis=0)
                ),
                size=size,
                most=most,
                cut=cut,
            )
            over = found.amps > limit_A[:, None]
            parts.append(found.only(~np.any(over[:leg], axis=0)))
        every = _joined(parts)
        spared = search.spared(every, lambda amps: np.any(amps > limit_A[:, None], axis=0))
        return every.only(~spared)

    return _upwards(sets, search, most // 4, np.inf)


def least_left_out(
    legs: Sequence[LegAmps], limit_A: Floats, groups: Groups, *, enough: float, most: int
) -> Grown:
    """Return the minimal sets without which the rest stays within all limits."""
    # Of loads alike the last are left out first, so that the rest are the first.
    turned = [tuple(reversed(group)) for group in groups]
    search = _Search(legs, limit_A, turned, -1.0)
    ends = np.append(limit_A, limit_A.sum())[:, None]

    def within(amps: Floats) -> Bools:
        return np.asarray(np.all(amps <= limit_A[:, None], axis=0))

    def sets(size: int, most: int, cut: bool) -> _Partial:
        found = search.grow(
            range(len(legs)),
            within,
            lambda _amps, reach: np.all(reach <= ends, axis=0),
            size=size,
            most=most,
            cut=cut,
        )
        return found.only(~search.spared(found, within))

    return _upwards(sets, search, most, enough)


def _upwards(
    sets: Callable[[int, int, bool], _Partial], search: _Search, most: int, enough: float
) -> Grown:
    """Go on to larger sets until ``enough`` are found or more than ``most`` would be held."""
    found, complete_to, loads = None, 0, len(search.legs[0].loads)
    if enough == np.inf:
        try:
            found = sets(loads, 4 * most, False)
            return Grown(found.masks[np.argsort(found.sizes, kind="stable")], loads)
        except _TooMany:
            found = None
    for size in range(1, max(loads, 1) + 1):
        try:
            found = sets(size, most, False)
        except _TooMany:
            if found is None or not len(found.masks):
                found = sets(size, most // 16, True)
            break
        complete_to = size
        if len(found.masks) >= enough:
            break
    assert found is not None
    order = np.argsort(found.sizes, kind="stable")
    return Grown(found.masks[order], complete_to)
