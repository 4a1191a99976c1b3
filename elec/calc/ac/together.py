"""What runs together: which sets of loads overload a leg, and which fit, by phasors."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.calc.ac._leg_amps import Draws, LegAmps, greatest, least, within_right_angle
from elec.calc.ac._set_exact import MOST_EXACT, largest, over_of_sets, smallest
from elec.calc.ac._set_growth import Grown, least_left_out, smallest_overloads
from elec.calc.ac._set_table import Over, SetTable
from elec.calc.ac._sets import RangedSets, Sets
from elec.calc.ac._sums import TOLERANCE
from elec.errors import InputError

__all__ = [
    "MOST_LOADS",
    "Draws",
    "RangedSets",
    "Sets",
    "carried_A",
    "fits_with",
    "largest_fits",
    "overloads_in_range",
]

Floats = npt.NDArray[np.float64]
Masks = npt.NDArray[np.uint64]
Bools = npt.NDArray[np.bool_]
Groups = tuple[tuple[int, ...], ...]

MOST_LOADS = 64
#: Sets that a table of all may hold: those of 24 loads, or of more where some are alike.
MOST_TABLE = 2**24
#: Partial sets that a search may hold where the sets are too many for a table.
MOST_HELD = 1_000_000


def _draws(name: str, given: npt.ArrayLike | Draws) -> Draws:
    """Return currents as draws: numbers share one power factor, complex numbers are phasors."""
    if isinstance(given, Draws):
        return given
    phasors = np.asarray(given)
    if np.iscomplexobj(phasors):
        if not np.all(np.isfinite(phasors)):
            raise InputError(f"{name}: not finite.", remedy="Give finite phasors.")
    else:
        phasors = at_least_zero(name, given).astype(np.complex128)
    if phasors.ndim != 2 or not phasors.shape[1]:
        raise InputError(
            f"{name}: an array of shape {phasors.shape} was given.",
            remedy="Give a row for each load and a column for each leg.",
        )
    legs = phasors.shape[1]
    return Draws(phasors, np.zeros(phasors.shape), np.zeros((legs, 2)))


def _always(given: npt.ArrayLike | Draws, draws: Draws) -> Draws:
    legs = draws.any_A.shape[1]
    if isinstance(given, Draws):
        return given
    try:
        return _draws("always_A", np.broadcast_to(np.asarray(given), (1, legs)))
    except ValueError as error:
        raise _not_by_leg("always_A", legs, error) from None


def _not_by_leg(name: str, legs: int, error: ValueError) -> ValueError:
    if isinstance(error, InputError):
        return error
    return InputError(
        f"{name}: not one value, nor one for each of {legs} legs.",
        remedy="Give one value for all legs or one for each.",
    )


def _limits(given: npt.ArrayLike, legs: int) -> Floats:
    try:
        limit = np.broadcast_to(positive("limit_A", given), (legs,))
    except ValueError as error:
        raise _not_by_leg("limit_A", legs, error) from None
    return np.asarray(limit * (1 + TOLERANCE))


def _counted(draws: Draws) -> None:
    if len(draws.any_A) > MOST_LOADS:
        raise InputError(
            f"current_A: {len(draws.any_A)} loads that are choices were given.",
            remedy=f"Accepted: up to {MOST_LOADS}. Join loads that always run together.",
        )


def _alike(*columns: Floats) -> Groups:
    """Return groups of loads whose numbers are the same."""
    rows: dict[bytes, list[int]] = {}
    for place, row in enumerate(np.column_stack(columns) + 0.0):
        rows.setdefault(row.tobytes(), []).append(place)
    return tuple(tuple(group) for group in rows.values())


def _sizes(draws: Draws) -> Floats:
    return np.asarray(abs(draws.phasor_A) + draws.any_A)


def _table(draws: Draws, groups: Groups) -> SetTable | None:
    """Return a table of all sets, largest loads first, if they are few enough."""
    if math.prod(len(group) + 1 for group in groups) > MOST_TABLE:
        return None
    size = _sizes(draws).sum(axis=1)
    return SetTable(tuple(sorted(groups, key=lambda group: -size[group[0]])))


@dataclass(frozen=True)
class _Case:
    """Loads on legs by one measure of their amps, and the limits of the legs."""

    legs: Sequence[LegAmps]
    limit: Floats

    def over(self, masks: Masks) -> Bools:
        """Return which legs each set takes above its limit, sets by legs."""
        over = np.zeros((len(masks), len(self.legs)), dtype=bool)
        for number, leg in enumerate(self.legs):
            over[:, number] = _amps_of(leg, masks) > self.limit[number]
        return over


def _amps_of(leg: LegAmps, masks: Masks) -> Floats:
    """Return the amps of one leg for each of some sets."""
    state = np.repeat(leg.start[:, None], len(masks), axis=1)
    for place, load in enumerate(leg.loads):
        state += load[:, None] * (masks >> np.uint64(place) & np.uint64(1))
    return leg.amps(state)


@dataclass(frozen=True)
class _Exact:
    """Every set by its phasor sum: which are too much, alone or in part, and on which legs."""

    closed: Bools
    legs: Bools
    groups: Groups

    def over(self, masks: Masks) -> Bools:
        """Return whether each set is too much."""
        return np.asarray(self.closed[masks.astype(np.intp), None])

    def sets(self, masks: Masks) -> Sets:
        """Return sets, of loads alike the first."""
        for group in self.groups:
            for before, after in itertools.pairwise(group):
                held = masks >> np.uint64(after) & ~(masks >> np.uint64(before)) & np.uint64(1)
                masks = masks[held == 0]
        loads = len(self.closed).bit_length() - 1
        return Sets(masks, self.legs[masks.astype(np.intp)], loads, True, loads, self.groups)


def _exact(
    draws: Draws, always: Draws, limit_A: npt.ArrayLike, groups: Groups, exact: bool
) -> _Exact | None:
    """Return every set by its phasor sum, where asked, and where phasors may undo one another."""
    legs = range(draws.any_A.shape[1])
    if not exact or len(draws.any_A) > MOST_EXACT or draws.any_A.any() or always.any_A.any():
        return None
    if all(within_right_angle(always, draws, leg) for leg in legs):
        return None
    start = always.phasor_A.sum(axis=0)
    return _Exact(*over_of_sets(start, draws.phasor_A, _limits(limit_A, len(legs))), groups)


def _at_most(draws: Draws, always: Draws, limit_A: npt.ArrayLike) -> _Case:
    legs = [greatest(always, draws, leg) for leg in range(draws.any_A.shape[1])]
    return _Case(legs, _limits(limit_A, len(legs)))


def _at_least(draws: Draws, always: Draws, limit_A: npt.ArrayLike) -> _Case:
    limit = _limits(limit_A, draws.any_A.shape[1])
    legs = [least(always, draws, leg, float(top)) for leg, top in enumerate(limit)]
    return _Case(legs, limit)


def _grown(grown: Grown, case: _Case, groups: Groups) -> Sets:
    loads = sum(len(group) for group in groups)
    complete = grown.complete_to == loads
    return Sets(grown.masks, case.over(grown.masks), loads, complete, grown.complete_to, groups)


def _of_table(
    table: SetTable,
    over: Over,
    places: npt.NDArray[np.intp],
    case: _Case,
    groups: Groups,
) -> Sets:
    """Return sets smallest first, and the legs that each overloads."""
    masks = table.masks(places)
    order = np.argsort(np.bitwise_count(masks), kind="stable")
    bits = np.arange(len(case.legs), dtype=np.uint8)
    legs = (over.at(places[order])[:, None] >> bits & np.uint8(1)).astype(bool)
    loads = sum(table.counts)
    return Sets(masks[order], legs, loads, True, loads, groups)


def overloads_in_range(
    low_A: npt.ArrayLike | Draws,
    *,
    high_A: npt.ArrayLike | Draws,
    limit_low_A: npt.ArrayLike,
    limit_high_A: npt.ArrayLike,
    always_low_A: npt.ArrayLike | Draws = 0.0,
    always_high_A: npt.ArrayLike | Draws = 0.0,
    most: int = MOST_HELD,
    exact: bool = False,
) -> RangedSets:
    r"""Find the smallest sets that overload a leg at all values of a range, and at some.

    A set :math:`S` is listed if

    .. math:: \exists l: \ \Big| \underline a_l + \sum_{i \in S} \underline I_{il} \Big| > R_l
              \qquad \text{and for no } S' \subset S

    A leg loaded to its limit exactly is not overloaded.

    Parameters
    ----------
    low_A : array or Draws
        Least current :math:`\underline I_{il}` of each load that is a choice, 64 at most, on each
        leg, loads by legs: phasors against the voltage of the leg, or amps at one power factor. [A]
    high_A : array or Draws
        Greatest current of each, not below the least. [A]
    limit_low_A : float or array
        Least limit of each leg :math:`R_l`. [A]
    limit_high_A : float or array
        Greatest limit of each leg. [A]
    always_low_A : float, array or Draws, default 0
        Least current of loads that are always on, on each leg :math:`\underline a_l`. [A]
    always_high_A : float, array or Draws, default 0
        Greatest current of those. [A]
    most : int, default 1 000 000
        Sets, partial ones too, to hold at once where all of them are too many for a table: more
        than 24 loads, those alike apart. [-]
    exact : bool, default False
        The currents are known, not the ends of ranges: up to 16 loads whose phasors may undo one
        another are summed as they are, set by set. [-]

    Returns
    -------
    RangedSets
        `surely`: smallest sets that overload even at the least currents, the greatest limit, and
        the power factors in range that give the least. `possibly`: smallest sets that overload at
        the greatest currents and least limit, without those that surely do. [-]
        Smallest first; one empty set if what is always on is already too much. When even the
        sets of the least possible number of loads are too many, some of those.

    Notes
    -----
    Phasors on one leg more than a right angle apart may undo one another, so that a load more
    lowers the current; such a leg is taken at the sum of its magnitudes, never too low.

    Of several loads whose power factors are not known the least is taken on the chord of the arc
    between the ends of their range, by 5 % at most below what they can give from 0.8 to 1.

    Examples
    --------
    >>> loads = [[30.0], [15.0], [10.0]]
    >>> overloads_in_range(
    ...     loads, high_A=loads, limit_low_A=40, limit_high_A=40).surely.members()
    [(0, 1)]
    """
    low, high = _draws("low_A", low_A), _draws("high_A", high_A)
    _counted(high)
    always_low, always_high = _always(always_low_A, low), _always(always_high_A, high)
    for name, less, more in (
        ("high_A", _sizes(low), _sizes(high)),
        ("limit_high_A", np.asarray(limit_low_A), np.asarray(limit_high_A)),
        ("always_high_A", _sizes(always_low), _sizes(always_high)),
    ):
        if np.any(more < less * (1 - TOLERANCE)):
            raise InputError(
                f"{name}: a value below the low end of its range was given.",
                remedy="Give the low end first.",
            )
    sure = _at_least(low, always_low, limit_high_A)
    maybe = _at_most(high, always_high, limit_low_A)
    groups = _alike(low.columns(), high.columns())
    by_sum = _exact(high, always_high, limit_low_A, groups, exact)
    at_best = _exact(high, always_high, limit_high_A, groups, exact)
    if by_sum is not None and at_best is not None:
        loads = len(high.any_A)
        maybe_over = smallest(by_sum.closed, loads)
        return RangedSets(
            at_best.sets(smallest(at_best.closed, loads)),
            by_sum.sets(maybe_over[~at_best.closed[maybe_over.astype(np.intp)]]),
        )
    table = _table(high, groups)
    if table is None:
        surely = _grown(smallest_overloads(sure.legs, sure.limit, groups, most=most), sure, groups)
        grown = smallest_overloads(maybe.legs, maybe.limit, groups, most=most)
        possibly = _grown(grown, maybe, groups)
        kept = ~sure.over(possibly.masks).any(axis=1)
        possibly = replace(possibly, masks=possibly.masks[kept], legs=possibly.legs[kept])
        return RangedSets(surely, possibly)
    over_least = table.over(sure.legs, sure.limit)
    over_most = table.over(maybe.legs, maybe.limit)
    places = table.minimal(over_most)
    return RangedSets(
        _of_table(table, over_least, table.minimal(over_least), sure, groups),
        _of_table(table, over_most, places[over_least.at(places) == 0], maybe, groups),
    )


def largest_fits(
    current_A: npt.ArrayLike | Draws,
    *,
    limit_A: npt.ArrayLike,
    always_A: npt.ArrayLike | Draws = 0.0,
    enough: int = 10,
    most: int = MOST_HELD,
    exact: bool = False,
) -> Sets:
    """Find the sets of loads that run together and leave the fewest out.

    Every set listed fits on all legs, and would not with any further load.

    Parameters
    ----------
    current_A : array or Draws
        Current of each load that is a choice on each leg, loads by legs, as for
        `overloads_in_range`. [A]
    limit_A : float or array
        Limit of each leg. [A]
    always_A : float, array or Draws, default 0
        Current of loads that are always on, on each leg. [A]
    enough : int, default 10
        Goes on to sets that leave more out until it has this many. [-]
    most : int, default 1 000 000
        Sets, partial ones too, to hold at once where all are too many for a table. [-]
    exact : bool, default False
        As for `overloads_in_range`. [-]

    Returns
    -------
    Sets
        Those that leave the fewest out first; `complete_to` counts the loads left out. None if
        what is always on is already too much. [-]

    Examples
    --------
    >>> largest_fits([[30.0], [15.0], [10.0]], limit_A=40).members()
    [(1, 2), (0, 2)]
    """
    draws = _draws("current_A", current_A)
    _counted(draws)
    case = _at_most(draws, _always(always_A, draws), limit_A)
    groups = _alike(draws.columns())
    loads = len(draws.any_A)
    by_sum = _exact(draws, _always(always_A, draws), limit_A, groups, exact)
    if by_sum is not None:
        return by_sum.sets(largest(by_sum.closed, loads))
    every = np.array([(1 << loads) - 1], dtype=np.uint64)
    nothing = np.zeros(1, dtype=np.uint64)
    if case.over(nothing).any():
        return Sets(nothing[:0], case.over(nothing[:0]), loads, True, loads, groups)
    if not case.over(every).any():
        return Sets(every, case.over(every), loads, True, loads, groups)
    table = _table(draws, groups)
    if table is None:
        grown = least_left_out(case.legs, case.limit, groups, enough=enough, most=most)
        return _grown(replace(grown, masks=grown.masks ^ every), case, groups)
    over = table.over(case.legs, case.limit)
    masks = table.masks(table.maximal(over))
    left_out = loads - np.bitwise_count(masks).astype(np.intp)
    upto = np.cumsum(np.bincount(left_out, minlength=loads + 1))
    complete_to = int(np.argmax(upto >= min(enough, upto[-1])))
    if upto[complete_to] == upto[-1]:
        complete_to = loads
    kept = left_out <= complete_to
    masks = masks[kept][np.argsort(left_out[kept], kind="stable")]
    return Sets(masks, case.over(masks), loads, complete_to == loads, complete_to, groups)


def fits_with(
    current_A: npt.ArrayLike | Draws,
    *,
    limit_A: npt.ArrayLike,
    always_A: npt.ArrayLike | Draws = 0.0,
    without: npt.ArrayLike = (),
    exact: bool = False,
) -> Sets:
    """Find sets that fit, with no room for any further load, so that each load that fits is in one.

    Parameters
    ----------
    current_A : array or Draws
        Current of each load that is a choice on each leg, as for `overloads_in_range`. [A]
    limit_A : float or array
        Limit of each leg. [A]
    always_A : float, array or Draws, default 0
        Current of loads that are always on, on each leg. [A]
    without : array, default ()
        Sets as bit masks, whose loads, and those alike, need no other. [-]
    exact : bool, default False
        As for `overloads_in_range`. [-]

    Returns
    -------
    Sets
        One for each load that is in none of those before it: with that load, then others in none,
        then the smallest. Not the largest that there are. [-]

    Examples
    --------
    >>> fits_with([[30.0], [15.0], [10.0]], limit_A=40).members()
    [(0, 2), (1, 2)]
    """
    draws = _draws("current_A", current_A)
    _counted(draws)
    always = _always(always_A, draws)
    groups = _alike(draws.columns())
    by_sum = _exact(draws, always, limit_A, groups, exact)
    case = _at_most(draws, always, limit_A) if by_sum is None else by_sum
    order = sorted(groups, key=lambda group: float(_sizes(draws)[group[0]].sum()))
    left = {group for group in groups if not _touched(group, without)}
    found = []
    for first in groups:
        mask = np.array([1 << first[0]], dtype=np.uint64)
        if first not in left or case.over(mask).any():
            continue
        for group in sorted(order, key=lambda group: group not in left):
            for place in group:
                more = mask | np.uint64(1 << place)
                if not case.over(more).any():
                    mask = more
        found.append(mask[0])
        left = {group for group in left if not _touched(group, mask)}
    masks = np.array(found, dtype=np.uint64)
    return Sets(
        masks,
        np.zeros((len(masks), draws.any_A.shape[1]), dtype=bool),
        len(draws.any_A),
        False,
        0,
        groups,
    )


def _touched(group: Sequence[int], masks: npt.ArrayLike) -> bool:
    """Return whether any set holds a load of a group."""
    bits = np.uint64(sum(1 << place for place in group))
    return bool(np.any(np.asarray(masks, dtype=np.uint64) & bits))


def _is_open(low: Draws, high: Draws, leg: int) -> Bools:
    """Return which loads have not one known phasor on a leg."""
    same = low.phasor_A[:, leg] == high.phasor_A[:, leg]
    return np.asarray(~same | (low.any_A[:, leg] > 0) | (high.any_A[:, leg] > 0))


def carried_A(
    low_A: Draws,
    *,
    high_A: Draws,
    always_low_A: Draws,
    always_high_A: Draws,
    masks: npt.ArrayLike | None = None,
) -> tuple[Floats, Floats]:
    """Return the least and the greatest current on each leg with all the loads given on.

    Parameters
    ----------
    low_A : Draws
        Least current of each load on each leg. [A]
    high_A : Draws
        Greatest current of each. [A]
    always_low_A : Draws
        Least current of what is always on. [A]
    always_high_A : Draws
        Greatest current of that. [A]
    masks : array, optional
        Sets as bit masks, to have the currents of each; all loads if not given. [-]

    Returns
    -------
    tuple of array
        Least and greatest on each leg, the last axis; true bounds at any power factors in
        range. [A]
    """
    every = np.array([(1 << len(low_A.any_A)) - 1], dtype=np.uint64)
    sets = every if masks is None else np.asarray(masks, dtype=np.uint64)
    ends = []
    for leg in range(low_A.any_A.shape[1]):
        low = _amps_of(least(always_low_A, low_A, leg, np.inf), sets)
        if within_right_angle(always_low_A, low_A, leg):
            alone = np.full(len(sets), float(always_low_A.any_A[:, leg].max(initial=0.0)))
            for place, amps in enumerate(low_A.any_A[:, leg]):
                alone = np.maximum(alone, amps * (sets >> np.uint64(place) & np.uint64(1)))
            low = np.maximum(low, alone)
        high = _amps_of(greatest(always_high_A, high_A, leg), sets)
        # what is known of all that is on is the sum itself
        unsure = np.zeros(len(sets)) + _is_open(always_low_A, always_high_A, leg).any()
        for place, open_ in enumerate(_is_open(low_A, high_A, leg)):
            unsure += open_ * (sets >> np.uint64(place) & np.uint64(1))
        phasors = np.full(len(sets), always_low_A.phasor_A[:, leg].sum())
        for place, phasor in enumerate(low_A.phasor_A[:, leg]):
            phasors += phasor * (sets >> np.uint64(place) & np.uint64(1))
        low, high = (np.where(unsure == 0, abs(phasors), end) for end in (low, high))
        ends.append((low, np.maximum(low, high)))
    lows, highs = (np.stack([end[side] for end in ends], axis=-1) for side in range(2))
    return (lows[0], highs[0]) if masks is None else (lows, highs)
