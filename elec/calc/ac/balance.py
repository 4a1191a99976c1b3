"""Leg balance: which leg each line-to-neutral load should be on, and the fewest moves to it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero
from elec.calc.ac._sums import TOLERANCE, top_sums
from elec.errors import InputError

__all__ = ["Balance", "Moves", "balanced_legs", "fewest_moves"]

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]

_TABLE = 2**16


@dataclass(frozen=True)
class Balance:
    """A leg for each load, the worst leg that gives, and a bound that no choice can beat.

    The balance is the best there is, and proven so, where the two are equal.
    """

    leg: tuple[int, ...]
    leg_A: Floats
    worst_A: float
    bound_A: float


@dataclass(frozen=True)
class Moves:
    """The loads to move, to which legs, and what that gives; `fewest` if proven so."""

    moved: tuple[int, ...]
    leg: tuple[int, ...]
    leg_A: Floats
    worst_A: float
    fewest: bool


def _common_step(loads: Floats) -> float:
    """Return the largest step of which all loads are multiples, down to 1 mA; else 0."""
    for per_amp in (1, 10, 100, 1000):
        steps = loads * per_amp
        whole = np.rint(steps)
        if np.allclose(steps, whole, rtol=0, atol=1e-6):
            return math.gcd(*whole.astype(int).tolist()) / per_amp
    return 0.0


def _least_worst(loads: Floats, fixed: Floats) -> float:
    """Return a bound: the worst leg if loads could be split, in steps where they come in steps."""
    lowest = np.sort(fixed)
    levels = (np.cumsum(lowest) + loads.sum()) / np.arange(1, len(fixed) + 1)
    level = max(levels.min(), lowest[-1], lowest[0] + loads.max(initial=0.0))
    step = _common_step(loads)
    if not step:
        return float(level)
    needed = np.rint(loads.sum() / step)
    reachable = np.sort(fixed + step * np.ceil((level - fixed) / step - TOLERANCE))
    rooms = np.floor((reachable[:, None] - fixed) / step + TOLERANCE).sum(axis=1)
    return float(max(level, reachable[np.argmax(rooms >= needed)]))


def _every_way(loads: Floats, legs: int) -> Floats:
    """Return leg sums (by legs) of each way to connect the loads, their digits in base `legs`."""
    sums = np.zeros((legs, 1))
    for load in loads:
        sums = (sums[:, :, None] + load * np.eye(legs)[:, None, :]).reshape(legs, -1)
    return sums


def _first_ways(
    loads: Floats, sums: Floats, best: list[float]
) -> Iterator[tuple[list[int], Floats]]:
    """Yield ways to connect the first loads, most even first, while they can beat the best."""
    if sums.max() >= best[0] * (1 - TOLERANCE):
        return
    if not len(loads):
        yield [], sums
        return
    tried: set[float] = set()
    for leg in np.argsort(sums, kind="stable"):
        if sums[leg] in tried:
            continue  # legs that carry the same are the same to what comes after
        tried.add(sums[leg])
        after = sums.copy()
        after[leg] += loads[0]
        for ways, reached in _first_ways(loads[1:], after, best):
            yield [int(leg), *ways], reached


def _given_legs(current_A: npt.ArrayLike, fixed_A: npt.ArrayLike) -> tuple[Floats, Floats]:
    loads, fixed = at_least_zero("current_A", current_A), at_least_zero("fixed_A", fixed_A)
    if loads.ndim != 1 or fixed.ndim != 1 or len(fixed) < 2:
        raise InputError(
            f"current_A, fixed_A: shapes {loads.shape} and {fixed.shape} were given.",
            remedy="Give one current for each load, and what is fixed on each of two or more legs.",
        )
    return loads, fixed


def balanced_legs(
    current_A: npt.ArrayLike, *, fixed_A: npt.ArrayLike, most_tries: int = 1000
) -> Balance:
    r"""Choose a leg for each line-to-neutral load so that the worst leg is as small as possible.

    .. math:: \min_{m} \max_l \Big( a_l + \sum_i m_{il} I_i \Big), \qquad \sum_l m_{il} = 1

    The smallest loads are tried in every way at once, the rest one after another.

    Parameters
    ----------
    current_A : array
        Current of each load that may be moved :math:`I_i`. [A]
    fixed_A : array
        Current that stays on each leg :math:`a_l`, of two or more; zero if none. [A]
    most_tries : int, default 1000
        Ways to connect the rest that are tried before the bound is left unproven. [-]

    Returns
    -------
    Balance
        Proven best for up to 16 loads, and for more in most cases. [A]

    Examples
    --------
    >>> balanced_legs([8.0, 7.0, 6.0, 5.0, 4.0], fixed_A=[0.0, 0.0]).worst_A
    15.0
    """
    loads, fixed = _given_legs(current_A, fixed_A)
    legs = len(fixed)
    order = np.argsort(-loads, kind="stable")
    first = max(len(loads) - int(math.log(_TABLE, legs)), 0)
    rest = _every_way(loads[order[first:]], legs)
    bound = _least_worst(loads, fixed)
    best, best_leg, proven = [np.inf], np.zeros(len(loads), dtype=np.intp), True
    for tries, (ways, sums) in enumerate(_first_ways(loads[order[:first]], fixed, best)):
        if tries == most_tries:
            proven = False
            break
        worst = (rest + sums[:, None]).max(axis=0)
        place = int(worst.argmin())
        if worst[place] < best[0]:
            best[0] = float(worst[place])
            digits = np.unravel_index(place, (legs,) * (len(loads) - first))
            best_leg[order] = [*ways, *map(int, digits)]
        if best[0] <= bound * (1 + TOLERANCE):
            break
    leg_A = fixed + np.bincount(best_leg, weights=loads, minlength=legs)
    worst_A = float(leg_A.max())
    reached = proven or worst_A <= bound * (1 + TOLERANCE)
    return Balance(tuple(best_leg.tolist()), leg_A, worst_A, worst_A if reached else bound)


def fewest_moves(
    current_A: npt.ArrayLike,
    *,
    leg_now: npt.ArrayLike,
    fixed_A: npt.ArrayLike,
    slack: float,
    most: int = 500_000,
) -> Moves:
    """Choose the fewest loads to move so that the worst leg comes near the best balance.

    Parameters
    ----------
    current_A : array
        Current of each load that may be moved. [A]
    leg_now : array of int
        Leg that each is on now, counted from 0. [-]
    fixed_A : array
        Current that stays on each leg, of two or more; zero if none. [A]
    slack : float
        How far above the best worst leg is near enough, as a fraction of it. [-]
    most : int, default 500 000
        Partial plans to hold at once; beyond it the most even are kept. [-]

    Returns
    -------
    Moves
        Loads to move and the legs after it; of plans with as few moves, the most even. [A]

    Examples
    --------
    >>> plan = fewest_moves([8.0, 7.0, 6.0], leg_now=[0, 0, 0], fixed_A=[0.0, 0.0], slack=0.02)
    >>> plan.moved, plan.worst_A
    ((0,), 13.0)
    """
    loads, fixed = _given_legs(current_A, fixed_A)
    now = np.asarray(leg_now)
    if now.shape != loads.shape or not np.all(np.isin(now, np.arange(len(fixed)))):
        raise InputError(
            f"leg_now: {now.tolist()} was given for {len(loads)} loads on {len(fixed)} legs.",
            remedy="Give the leg of each load, counted from 0.",
        )
    now = now.astype(np.intp)
    best = balanced_legs(loads, fixed_A=fixed)
    goal = best.worst_A * (1 + float(at_least_zero("slack", slack))) * (1 + TOLERANCE)
    fewest, leg = True, np.asarray(best.leg, dtype=np.intp)
    for moves in range(len(loads)):
        plans, whole = _plans(loads, now, fixed, goal, moves, most)
        fewest = fewest and whole
        if len(plans):
            leg = plans[0]
            break
    leg_A = fixed + np.bincount(leg, weights=loads, minlength=len(fixed))
    moved = tuple(np.flatnonzero(leg != now).tolist())
    return Moves(moved, tuple(leg.tolist()), leg_A, float(leg_A.max()), fewest)


def _plans(
    loads: Floats, now: Places, fixed: Floats, goal: float, moves: int, most: int
) -> tuple[Places, bool]:
    """Return plans of up to ``moves`` moves that reach the goal, most even first; whether all."""
    legs = len(fixed)
    order = np.argsort(-loads, kind="stable")
    on_leg = loads[:, None] * (now[:, None] == np.arange(legs))
    top = top_sums(on_leg[order])
    plans, used = now[None, :], np.zeros(1, dtype=np.intp)
    sums = (fixed + on_leg.sum(axis=0))[None, :]
    whole = True
    for step, place in enumerate(order, start=1):
        free = used < moves
        parts = [(plans, used, sums)]
        for leg in range(legs):
            if leg != now[place]:
                to = plans[free].copy()
                to[:, place] = leg
                shift = loads[place] * (np.eye(legs)[leg] - np.eye(legs)[now[place]])
                parts.append((to, used[free] + 1, sums[free] + shift))
        plans, used, sums = (np.concatenate(part) for part in zip(*parts, strict=True))
        hopeful = np.all(sums - top[step][:, moves - used].T <= goal, axis=1)
        plans, used, sums = plans[hopeful], used[hopeful], sums[hopeful]
        if len(plans) > most:
            whole = False
            even = np.argsort(sums.max(axis=1), kind="stable")[:most]
            plans, used, sums = plans[even], used[even], sums[even]
    return plans[np.argsort(sums.max(axis=1), kind="stable")], whole
