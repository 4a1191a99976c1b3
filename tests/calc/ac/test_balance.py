"""Leg balance: brute force, an integer program, properties."""

import itertools
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.calc.ac import balance
from elec.errors import InputError

LISTS = range(500)


def random_legs(seed):
    """Loads and fixed currents in whole tenths of an ampere, and the legs loads are on now."""
    rng = np.random.default_rng(10_000 + seed)
    legs, count = int(rng.integers(2, 4)), int(rng.integers(0, 7))
    step = int(rng.choice([1, 10, 50]))
    loads = rng.integers(1, 150 // step + 1, count) * step
    fixed = rng.integers(0, 200, legs) * (rng.random() < 0.6)
    return loads.tolist(), fixed.tolist(), rng.integers(0, legs, count).tolist()


def worst_tenths(loads, fixed, ways):
    return max(
        base + sum(load for load, way in zip(loads, ways, strict=True) if way == leg)
        for leg, base in enumerate(fixed)
    )


@pytest.mark.parametrize("block", range(10))
def test_balance_and_moves_equal_brute_force(block):
    for seed in LISTS[block::10]:
        loads, fixed, now = random_legs(seed)
        every = list(itertools.product(range(len(fixed)), repeat=len(loads)))
        worst = [worst_tenths(loads, fixed, ways) for ways in every]
        amps, stays = np.array(loads) / 10, np.array(fixed) / 10
        found = balance.balanced_legs(amps, fixed_A=stays)
        assert found.worst_A == pytest.approx(min(worst) / 10, rel=1e-9), seed
        assert found.bound_A == pytest.approx(found.worst_A, rel=1e-9), seed
        assert worst_tenths(loads, fixed, found.leg) == min(worst), seed
        moves = [
            (sum(a != b for a, b in zip(ways, now, strict=True)), amps_worst)
            for ways, amps_worst in zip(every, worst, strict=True)
            if amps_worst <= 1.02 * min(worst) * (1 + 1e-9)
        ]
        plan = balance.fewest_moves(amps, leg_now=now, fixed_A=stays, slack=0.02)
        assert plan.fewest
        assert len(plan.moved) == min(moves)[0], seed
        assert plan.worst_A == pytest.approx(min(moves)[1] / 10, rel=1e-9), seed
        assert worst_tenths(loads, fixed, plan.leg) == min(moves)[1]
        assert [i for i, (a, b) in enumerate(zip(plan.leg, now, strict=True)) if a != b] == list(
            plan.moved
        )


def by_integer_program(loads, fixed, now, goal=None):
    """Least worst leg, or the fewest moves within ``goal``, by a mixed-integer solver."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    count, legs = len(loads), len(fixed)
    size = count * legs + 1
    one_leg = np.kron(np.eye(count), np.ones(legs))
    on_leg = np.array(
        [[load * (leg == at) for load in loads for at in range(legs)] for leg in range(legs)]
    )
    worst = -np.ones((legs, 1)) if goal is None else np.zeros((legs, 1))
    ceiling = -np.asarray(fixed) if goal is None else goal - np.asarray(fixed)
    cost = np.zeros(size)
    if goal is None:
        cost[-1] = 1
    else:
        cost[:-1] = [leg != now[i] for i in range(count) for leg in range(legs)]
    found = milp(
        cost,
        constraints=[
            LinearConstraint(np.column_stack([one_leg, np.zeros(count)]), 1, 1),
            LinearConstraint(np.column_stack([on_leg, worst]), -np.inf, ceiling),
        ],
        integrality=np.append(np.ones(size - 1), 0),
        bounds=Bounds(0, np.append(np.ones(size - 1), np.inf)),
        options={"mip_rel_gap": 0, "time_limit": 3},
    )
    return found.fun if found.status == 0 else None


@pytest.mark.parametrize("seed", range(25))
def test_balance_and_moves_equal_an_integer_program(seed, capfd):
    rng = np.random.default_rng(60_000 + seed)
    legs, count = int(rng.integers(2, 4)), int(rng.integers(3, 15))
    loads, fixed = rng.integers(10, 150, count) / 10, rng.integers(0, 200, legs) / 10
    now = rng.integers(0, legs, count).tolist()
    found = balance.balanced_legs(loads, fixed_A=fixed)
    best = by_integer_program(loads, fixed, now)
    if best is not None:
        assert found.worst_A == pytest.approx(best, abs=1e-6)
    plan = balance.fewest_moves(loads, leg_now=now, fixed_A=fixed, slack=0.02)
    fewest = by_integer_program(loads, fixed, now, goal=found.worst_A * 1.02 + 1e-9)
    if fewest is not None:
        assert len(plan.moved) == round(fewest)
    assert best is not None or fewest is not None
    capfd.readouterr()


@pytest.mark.parametrize("legs", [2, 3])
def test_balance_of_28_loads_is_proven_and_no_worse_than_an_integer_program(legs, capfd):
    rng = np.random.default_rng(70_000 + legs)
    loads = rng.integers(10, 150, 28) / 10
    start = time.perf_counter()
    found = balance.balanced_legs(loads, fixed_A=np.zeros(legs))
    took = time.perf_counter() - start
    assert found.worst_A == pytest.approx(found.bound_A, rel=1e-9)
    best = by_integer_program(loads, np.zeros(legs), np.zeros(28, dtype=int))
    if best is not None:
        assert found.worst_A == pytest.approx(best, abs=1e-6)
    assert took < 10
    capfd.readouterr()


@given(
    st.lists(st.floats(0.1, 20), max_size=30),
    st.lists(st.floats(0, 30), min_size=2, max_size=3),
)
@settings(deadline=None, max_examples=60)
def test_balance_is_never_below_its_bound_nor_the_mean(loads, fixed):
    found = balance.balanced_legs(loads, fixed_A=fixed, most_tries=20)
    assert found.worst_A >= found.bound_A * (1 - 1e-9)
    assert found.bound_A >= (sum(loads) + sum(fixed)) / len(fixed) * (1 - 1e-9)
    assert found.leg_A.sum() == pytest.approx(sum(loads) + sum(fixed), rel=1e-9, abs=1e-9)
    assert found.worst_A == found.leg_A.max()


def test_rounded_loads_are_proven_best_at_once():
    # 24 loads in tenths on three legs: the bound knows that legs come in tenths
    loads = np.random.default_rng(1).integers(10, 150, 24) / 10
    found = balance.balanced_legs(loads, fixed_A=[0, 0, 0], most_tries=50)
    assert found.worst_A == pytest.approx(found.bound_A, rel=1e-9)
    assert found.worst_A - loads.sum() / 3 < 0.1


def test_loads_that_cannot_be_shared():
    # four loads of 30 A on three legs: two meet somewhere, whatever the small ones do
    found = balance.balanced_legs([30, 30, 30, 30, 1, 1], fixed_A=[0, 0, 0])
    assert found.worst_A == found.bound_A == 60


def test_no_loads_to_move():
    assert balance.balanced_legs([], fixed_A=[12.0, 7.0]).worst_A == 12
    plan = balance.fewest_moves([], leg_now=[], fixed_A=[12.0, 7.0], slack=0.02)
    assert (plan.moved, plan.worst_A, plan.fewest) == ((), 12, True)


def test_even_legs_need_no_move():
    plan = balance.fewest_moves([10, 10], leg_now=[1, 0], fixed_A=[5, 5], slack=0.0)
    assert plan.moved == ()


def test_all_loads_on_one_leg():
    # 8 + 7 + 6 + 5 on L1: half of 26 A is 13, reached by moving two
    plan = balance.fewest_moves([8, 7, 6, 5], leg_now=[0] * 4, fixed_A=[0, 0], slack=0.02)
    assert len(plan.moved) == 2
    assert plan.worst_A == 13


def test_cut_search_says_so_and_still_reaches_the_goal():
    loads = np.random.default_rng(2).integers(10, 150, 14) / 10
    best = balance.balanced_legs(loads, fixed_A=[0, 0, 0])
    plan = balance.fewest_moves(loads, leg_now=[0] * 14, fixed_A=[0, 0, 0], slack=0.02, most=3)
    assert not plan.fewest
    assert plan.worst_A <= 1.02 * best.worst_A * (1 + 1e-9)


def test_balance_refusals():
    with pytest.raises(InputError, match="shapes"):
        balance.balanced_legs([1, 2], fixed_A=[3])
    with pytest.raises(InputError, match="leg_now"):
        balance.fewest_moves([1, 2], leg_now=[0, 2], fixed_A=[0, 0], slack=0.02)
    with pytest.raises(InputError, match="slack"):
        balance.fewest_moves([1, 2], leg_now=[0, 1], fixed_A=[0, 0], slack=-0.1)
