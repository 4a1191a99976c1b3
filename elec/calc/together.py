"""What runs together: which sets of loads overload a leg, and which fit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.calc._sums import TOLERANCE, top_sums
from elec.errors import InputError

__all__ = [
    "RangedSets",
    "Sets",
    "largest_fits",
    "minimal_overloads",
    "overloads_in_range",
]

Floats = npt.NDArray[np.float64]
Masks = npt.NDArray[np.uint64]
Bools = npt.NDArray[np.bool_]

MOST_LOADS = 64
#: Above 24! / (12!)^2: no more than that many subsets of 24 loads can be free of one another
#: (Sperner), and each partial set leads to a set of its own.
MOST_HELD = 3_000_000


@dataclass(frozen=True)
class Sets:
    """Sets of loads, smallest first, each a bit mask over the loads as given.

    `complete` says whether every set is listed; if not, every set of up to `complete_to` loads is
    (of up to that many left out, for sets that fit), and larger ones may be missing.
    `legs` says which legs each set overloads, sets by legs.
    """

    masks: Masks
    legs: Bools
    loads: int
    complete: bool
    complete_to: int

    def __len__(self) -> int:
        return len(self.masks)

    def members(self, most: int | None = None) -> list[tuple[int, ...]]:
        """Return the first `most` sets as positions of their loads."""
        places = np.arange(self.loads, dtype=np.uint64)
        held = self.masks[:most, None] >> places & np.uint64(1)
        return [tuple(np.flatnonzero(row).tolist()) for row in held]


@dataclass(frozen=True)
class RangedSets:
    """Sets that overload whatever the values are, and those that do only at some of them."""

    surely: Sets
    possibly: Sets


class _TooMany(Exception):
    """More partial sets than allowed."""


@dataclass(frozen=True)
class _Found:
    """Sets with their size, and their sum in each column (columns by sets)."""

    masks: Masks
    sizes: npt.NDArray[np.int8]
    sums: Floats

    def only(self, which: Bools | npt.NDArray[np.intp]) -> _Found:
        return _Found(self.masks[which], self.sizes[which], self.sums[:, which])


def _joined(parts: list[_Found]) -> _Found:
    return _Found(
        np.concatenate([part.masks for part in parts]),
        np.concatenate([part.sizes for part in parts]),
        np.concatenate([part.sums for part in parts], axis=1),
    )


def _bit(place: int) -> np.uint64:
    return np.uint64(1) << np.uint64(place)


def _grown(
    loads: Floats,
    need: Floats,
    *,
    exceed: list[int],
    alone: bool,
    size: int,
    most: int,
    cut: bool,
) -> _Found:
    """Return sets of up to ``size`` loads whose sums exceed ``need`` in all columns of ``exceed``.

    Grows partial sets load by load in falling order, and drops those that can no longer get there;
    with ``alone``, those that exceed any other column too. A set that got there grows no further:
    with one column, its last load is its smallest, so no load of it can be spared.

    Beyond ``most`` sets it gives up, or with ``cut`` goes on with the largest.
    """
    watched = loads[:, exceed]
    order = np.argsort(-watched.sum(axis=1), kind="stable")
    top = top_sums(watched[order])
    wanted = need[exceed, None]
    partial = _Found(
        np.zeros(1, dtype=np.uint64), np.zeros(1, dtype=np.int8), np.zeros((len(need), 1))
    )
    if np.all(wanted < 0):
        return partial
    found = [partial.only(np.zeros(0, dtype=np.intp))]
    held = 0
    for step, place in enumerate(order, start=1):
        more = _Found(
            partial.masks | _bit(place),
            partial.sizes + np.int8(1),
            partial.sums + loads[place, :, None],
        )
        there = np.all(more.sums[exceed] > wanted, axis=0)
        found.append(more.only(there))
        held += len(found[-1].masks)
        keep = ~there & ~np.any(more.sums > need[:, None], axis=0) if alone else ~there
        partial = _joined([partial, more.only(keep)])
        reach = partial.sums[exceed] + top[step][:, size - partial.sizes]
        partial = partial.only(np.all(reach > wanted, axis=0))
        if held + len(partial.masks) > most:
            if not cut:
                raise _TooMany
            largest = np.argsort(-partial.sums[exceed].sum(axis=0), kind="stable")
            partial = partial.only(np.sort(largest[: max(most - held, 1)]))
    return _joined(found)


def _spared(found: _Found, loads: Floats, need: Floats, *, enough: bool) -> Bools:
    """Return whether each set still exceeds with one of its loads left out: some column, or all."""
    spared = np.zeros(len(found.masks), dtype=bool)
    still = np.all if enough else np.any
    for place, load in enumerate(loads):
        held = found.masks & _bit(place) != 0
        spared |= held & still(found.sums - load[:, None] > need[:, None], axis=0)
    return spared


def _without(found: _Found, doubtful: Bools, spared: Bools) -> _Found:
    keep = ~doubtful
    keep[doubtful] = ~spared
    return found.only(keep)


def _overloads(loads: Floats, need: Floats, *, size: int, most: int, cut: bool) -> _Found:
    """Return the minimal sets of up to ``size`` loads that exceed ``need`` in any column."""
    parts = []
    for column in range(len(need)):
        found = _grown(loads, need, exceed=[column], alone=True, size=size, most=most, cut=cut)
        over = found.sums > need[:, None]
        first = ~np.any(over[:column], axis=0)
        found, several = found.only(first), np.count_nonzero(over[:, first], axis=0) > 1
        doubtful = found.only(several)
        parts.append(_without(found, several, _spared(doubtful, loads, need, enough=False)))
    return _joined(parts)


def _leave_outs(loads: Floats, need: Floats, *, size: int, most: int, cut: bool) -> _Found:
    """Return the minimal sets of up to ``size`` loads that exceed ``need`` in all columns."""
    # The sum over columns follows from the columns; it only lets hopeless sets be dropped sooner.
    loads, need = np.column_stack([loads, loads.sum(axis=1)]), np.append(need, need.sum())
    every = list(range(len(need)))
    found = _grown(loads, need, exceed=every, alone=False, size=size, most=most, cut=cut)
    larger = found.sizes > found.sizes.min(initial=127)
    return _without(found, larger, _spared(found.only(larger), loads, need, enough=True))


def _smallest(
    search: Callable[..., _Found], loads: Floats, need: Floats, *, enough: float, most: int
) -> tuple[_Found, int]:
    """Return sets found by ``search``, of up to the number of loads returned, smallest first.

    Goes on to larger sets until ``enough`` are found or more than ``most`` would be held.
    """
    found, complete_to = None, 0
    for size in range(1, max(len(loads), 1) + 1):
        try:
            found = search(loads, need, size=size, most=most, cut=False)
        except _TooMany:
            if found is None or not len(found.masks):
                found = search(loads, need, size=size, most=most // 64, cut=True)
            break
        complete_to = size
        if len(found.masks) >= enough:
            break
    assert found is not None
    return found.only(np.argsort(found.sizes, kind="stable")), complete_to


def _given_loads(
    current_A: npt.ArrayLike, limit_A: npt.ArrayLike, always_A: npt.ArrayLike
) -> tuple[Floats, Floats, Floats]:
    loads = at_least_zero("current_A", current_A)
    if loads.ndim != 2 or not loads.shape[1]:
        raise InputError(
            f"current_A: an array of shape {loads.shape} was given.",
            remedy="Give a row for each load and a column for each leg.",
        )
    if len(loads) > MOST_LOADS:
        raise InputError(
            f"current_A: {len(loads)} loads that are choices were given.",
            remedy=f"Accepted: up to {MOST_LOADS}. Join loads that always run together.",
        )
    legs = loads.shape[1:]
    try:
        limit = np.broadcast_to(positive("limit_A", limit_A), legs)
        always = np.broadcast_to(at_least_zero("always_A", always_A), legs)
    except ValueError as error:
        if isinstance(error, InputError):
            raise
        raise InputError(
            f"limit_A, always_A: not one value, nor one for each of {legs[0]} legs.",
            remedy="Give one value for all legs or one for each.",
        ) from None
    return loads, limit * (1 + TOLERANCE), always


def minimal_overloads(
    current_A: npt.ArrayLike,
    *,
    limit_A: npt.ArrayLike,
    always_A: npt.ArrayLike = 0.0,
    most: int = MOST_HELD,
) -> Sets:
    r"""Find every smallest set of loads that overloads a leg.

    A set :math:`S` is listed if

    .. math:: \exists l: \ a_l + \sum_{i \in S} I_{il} > R_l
              \qquad \text{and for no } S' \subset S

    on sums of magnitudes, which are never below the sums of phasors.

    Parameters
    ----------
    current_A : array
        Current :math:`I_{il}` of each load that is a choice on each leg, loads by legs. [A]
    limit_A : float or array
        Limit of each leg :math:`R_l`; a leg loaded to it exactly is not overloaded. [A]
    always_A : float or array, default 0
        Current of loads that are always on, on each leg :math:`a_l`. [A]
    most : int, default 3 000 000
        Sets, partial ones too, to hold at once for a leg; never reached with 24 loads. Beyond it,
        sets of as many loads as stay within a quarter of it are listed. [-]

    Returns
    -------
    Sets
        Smallest first. One empty set if what is always on is already too much. When even the sets
        of the least possible number of loads are too many, some of those. [-]

    Raises
    ------
    InputError
        If a current is negative, a limit not above zero, the shapes do not agree, or there are
        more than 64 choices.

    Examples
    --------
    >>> minimal_overloads([[30.0], [15.0], [10.0]], limit_A=40).members()
    [(0, 1)]
    """
    loads, limit, always = _given_loads(current_A, limit_A, always_A)
    need = limit - always
    columns, copies = np.unique(np.vstack([loads, need]), axis=1, return_inverse=True)
    loads, need = columns[:-1], columns[-1]
    try:
        found = _overloads(loads, need, size=len(loads), most=most, cut=False)
        found, complete_to = found.only(np.argsort(found.sizes, kind="stable")), len(loads)
    except _TooMany:
        found, complete_to = _smallest(_overloads, loads, need, enough=np.inf, most=most // 4)
    return Sets(
        masks=found.masks,
        legs=(found.sums > need[:, None])[copies.reshape(-1)].T,
        loads=len(loads),
        complete=complete_to == len(loads),
        complete_to=complete_to,
    )


def overloads_in_range(
    low_A: npt.ArrayLike,
    *,
    high_A: npt.ArrayLike,
    limit_low_A: npt.ArrayLike,
    limit_high_A: npt.ArrayLike,
    always_low_A: npt.ArrayLike = 0.0,
    always_high_A: npt.ArrayLike = 0.0,
    most: int = MOST_HELD,
) -> RangedSets:
    """Find the smallest sets that overload a leg at all values of a range, and at some.

    Parameters
    ----------
    low_A : array
        Least current of each load that is a choice on each leg, loads by legs. [A]
    high_A : array
        Greatest current of each, not below the least. [A]
    limit_low_A : float or array
        Least limit of each leg. [A]
    limit_high_A : float or array
        Greatest limit of each leg. [A]
    always_low_A : float or array, default 0
        Least current of loads that are always on, on each leg. [A]
    always_high_A : float or array, default 0
        Greatest current of those. [A]
    most : int, default 3 000 000
        As for `minimal_overloads`. [-]

    Returns
    -------
    RangedSets
        `surely`: smallest sets that overload even at the least currents and greatest limit.
        `possibly`: smallest sets that overload at the greatest currents and least limit, without
        those that surely do. [-]

    Raises
    ------
    InputError
        As for `minimal_overloads`, or if a greatest value is below its least.
    """
    for name, low, high in (
        ("high_A", low_A, high_A),
        ("limit_high_A", limit_low_A, limit_high_A),
        ("always_high_A", always_low_A, always_high_A),
    ):
        if np.any(np.asarray(high) < np.asarray(low)):
            raise InputError(
                f"{name}: a value below the low end of its range was given.",
                remedy="Give the low end first.",
            )
    surely = minimal_overloads(low_A, limit_A=limit_high_A, always_A=always_low_A, most=most)
    possibly = minimal_overloads(high_A, limit_A=limit_low_A, always_A=always_high_A, most=most)
    loads, limit, always = _given_loads(low_A, limit_high_A, always_low_A)
    places = np.arange(len(loads), dtype=np.uint64)
    held = (possibly.masks[:, None] >> places & np.uint64(1)).astype(np.float64)
    open_sets = ~np.any(held @ loads > limit - always, axis=1)
    return RangedSets(
        surely,
        replace(possibly, masks=possibly.masks[open_sets], legs=possibly.legs[open_sets]),
    )


def largest_fits(
    current_A: npt.ArrayLike,
    *,
    limit_A: npt.ArrayLike,
    always_A: npt.ArrayLike = 0.0,
    enough: int = 10,
    most: int = MOST_HELD,
) -> Sets:
    """Find the sets of loads that run together and leave the fewest out.

    Every set listed fits on all legs, and would not with any further load.

    Parameters
    ----------
    current_A : array
        Current of each load that is a choice on each leg, loads by legs. [A]
    limit_A : float or array
        Limit of each leg. [A]
    always_A : float or array, default 0
        Current of loads that are always on, on each leg. [A]
    enough : int, default 10
        Goes on to sets that leave more out until it has this many. [-]
    most : int, default 3 000 000
        Sets, partial ones too, to hold at once. [-]

    Returns
    -------
    Sets
        Those that leave the fewest out first; `complete_to` counts the loads left out. None if
        what is always on is already too much. [-]

    Raises
    ------
    InputError
        As for `minimal_overloads`.

    Examples
    --------
    >>> largest_fits([[30.0], [15.0], [10.0]], limit_A=40).members()
    [(1, 2), (0, 2)]
    """
    loads, limit, always = _given_loads(current_A, limit_A, always_A)
    excess = loads.sum(axis=0) + always - limit
    short = excess > 0
    everything = np.bitwise_or.reduce([np.uint64(0), *map(_bit, range(len(loads)))])
    if not short.any():
        nothing_over = np.zeros((1, len(limit)), dtype=bool)
        return Sets(np.array([everything]), nothing_over, len(loads), True, len(loads))
    left_out, complete_to = _smallest(
        _leave_outs, loads[:, short], excess[short], enough=enough, most=most
    )
    masks = left_out.masks ^ everything
    return Sets(
        masks=masks,
        legs=np.zeros((len(masks), len(limit)), dtype=bool),
        loads=len(loads),
        complete=complete_to == len(loads),
        complete_to=complete_to,
    )
