"""Sets that overload or fit: brute force, properties, invented boats by hand."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.calc.ac import together
from elec.errors import InputError

LISTS = range(500)


def overloads(loads, *, limit_A, always_A=0.0, **more):
    """The smallest sets that overload, of loads that are known exactly."""
    found = together.overloads_in_range(
        loads, high_A=loads, limit_low_A=limit_A, limit_high_A=limit_A,
        always_low_A=always_A, always_high_A=always_A, **more,
    )  # fmt: skip
    assert not len(found.possibly)
    return found.surely


def mask(members):
    return sum(1 << place for place in members)


def every(found):
    """Masks of all sets, those that differ in which of the loads alike they hold written out."""
    masks = [
        mask(itertools.chain(*ways))
        for chosen in found.chosen()
        for ways in itertools.product(*(itertools.combinations(g, n) for n, g in chosen))
    ]
    assert len(masks) == len(set(masks)) == found.count
    return set(masks)


# -- brute force: every subset, one by one, in whole tenths of an ampere ---------------------------


def random_list(seed):
    """A random load list in whole tenths of an ampere: loads by legs, limits, always on."""
    rng = np.random.default_rng(seed)
    count, legs = int(rng.integers(1, 11)), int(rng.integers(1, 4))
    step = int(rng.choice([1, 10, 50]))
    loads = rng.integers(1, 150 // step + 1, (count, legs)) * step
    if rng.random() < 0.5:
        loads[:] = loads[:, :1]  # the same on every leg that it is on
    loads *= rng.random((count, legs)) < 0.7
    limit = rng.integers(5, 60, legs) * 10
    always = rng.integers(0, 120, legs) * (rng.random() < 0.5)
    return loads.tolist(), limit.tolist(), always.tolist()


def brute_force(loads, limit, always):
    """Masks of minimal sets that overload, and of sets that fit and admit no further load."""
    count = len(loads)
    over = []
    for held in range(1 << count):
        on = [load for place, load in enumerate(loads) if held >> place & 1]
        over.append(
            any(
                base + sum(load[leg] for load in on) > top
                for leg, (top, base) in enumerate(zip(limit, always, strict=True))
            )
        )
    bits = [1 << place for place in range(count)]
    minimal = {
        held
        for held in range(1 << count)
        if over[held] and not any(over[held ^ bit] for bit in bits if held & bit)
    }
    maximal = {
        held
        for held in range(1 << count)
        if not over[held] and all(over[held | bit] for bit in bits if not held & bit)
    }
    return minimal, maximal


@pytest.mark.parametrize("most", [together.MOST_TABLE, 0], ids=["table", "grown"])
@pytest.mark.parametrize("block", range(10))
def test_sets_equal_brute_force(block, most, monkeypatch):
    monkeypatch.setattr(together, "MOST_TABLE", most)
    for seed in LISTS[block::10]:
        tenths = random_list(seed)
        loads, limit, always = (np.asarray(part) / 10 for part in tenths)
        minimal, maximal = brute_force(*tenths)
        found = overloads(loads, limit_A=limit, always_A=always)
        assert found.complete
        assert every(found) == minimal, seed
        fits = together.largest_fits(loads, limit_A=limit, always_A=always, enough=10**6)
        assert fits.complete
        assert every(fits) == maximal, seed


@pytest.mark.parametrize("block", range(5))
def test_few_largest_fits_are_the_largest_of_all(block):
    for seed in LISTS[block::50]:
        tenths = random_list(seed)
        loads, limit, always = (np.asarray(part) / 10 for part in tenths)
        sizes = sorted((bin(held).count("1") for held in brute_force(*tenths)[1]), reverse=True)
        few = together.largest_fits(loads, limit_A=limit, always_A=always, enough=3)
        found = sorted((bin(held).count("1") for held in every(few)), reverse=True)
        assert found == sizes[: len(found)], seed
        whole = together.largest_fits(loads, limit_A=limit, always_A=always, enough=10**6)
        assert len(few) >= min(3, len(whole)), seed


@pytest.mark.parametrize("block", range(5))
def test_each_load_that_fits_is_in_a_set_with_no_room_for_more(block):
    for seed in LISTS[block::5]:
        loads, limit, always = random_list(seed)
        maximal = brute_force(loads, limit, always)[1]
        found = together.fits_with(
            np.array(loads) / 10, limit_A=np.array(limit) / 10, always_A=np.array(always) / 10
        )
        held = {int(m) for m in found.masks}
        assert held <= maximal, seed
        in_any = {place for m in maximal for place in range(len(loads)) if m >> place & 1}
        named = {place for chosen in found.chosen() for _, group in chosen for place in group}
        assert named == in_any, seed
        rest = together.fits_with(
            np.array(loads) / 10,
            limit_A=np.array(limit) / 10,
            always_A=np.array(always) / 10,
            without=found.masks,
        )
        assert not len(rest)


def test_amps_of_each_set_hold_every_power_factor_in_range():
    for seed in LISTS[::25]:
        rng = np.random.default_rng(50_000 + seed)
        loads = np.array(random_list(seed)[0], dtype=float)
        arc = np.tile([-math.acos(0.8), 0.0], (loads.shape[1], 1))
        unread = together.Draws(np.zeros(loads.shape) + 0j, loads, arc)
        nothing = unread.only([])
        masks = np.arange(min(1 << len(loads), 64), dtype=np.uint64)
        low, high = together.carried_A(
            unread, high_A=unread, always_low_A=nothing, always_high_A=nothing, masks=masks
        )
        for _ in range(5):
            drawn = loads * np.exp(-1j * rng.uniform(0, math.acos(0.8), (len(loads), 1)))
            for number, held in enumerate(masks.tolist()):
                on = [place for place in range(len(loads)) if held >> place & 1]
                amps = abs(drawn[on].sum(axis=0))
                assert np.all(low[number] <= amps + 1e-9)
                assert np.all(amps <= high[number] + 1e-9)


@pytest.mark.parametrize("block", range(5))
def test_legs_are_those_that_the_set_overloads(block):
    for seed in LISTS[block::25]:
        loads, limit, always = (np.asarray(part) / 10 for part in random_list(seed))
        found = overloads(loads, limit_A=limit, always_A=always)
        for members, legs in zip(found.members(), found.legs, strict=True):
            carried = always + loads[list(members)].sum(axis=0)
            assert legs.tolist() == (carried > limit * (1 + 1e-9)).tolist()
            assert legs.any()


def test_cut_list_says_how_far_it_is_whole(monkeypatch):
    monkeypatch.setattr(together, "MOST_TABLE", 0)
    cut = 0
    for seed in LISTS[::5]:
        tenths = random_list(seed)
        loads, limit, always = (np.asarray(part) / 10 for part in tenths)
        minimal, _ = brute_force(*tenths)
        found = overloads(loads, limit_A=limit, always_A=always, most=8)
        masks = every(found)
        assert masks <= minimal, seed
        whole = {held for held in minimal if bin(held).count("1") <= found.complete_to}
        assert whole <= masks, seed
        if found.complete:
            assert masks == minimal, seed
        else:
            cut += 1
            # even then one of the smallest there are is shown
            least = min(bin(held).count("1") for held in minimal)
            assert len(found.members()[0]) == least, seed
    assert cut > 10


@pytest.mark.parametrize("seed", range(4))
def test_sixteen_choices_equal_a_table_of_all_subsets(seed):
    # every subset at once, in whole tenths: minimal if it overloads and no subset one less does
    rng = np.random.default_rng(50 + seed)
    tenths = rng.integers(10, 150, (16, 2)) * (rng.random((16, 2)) < 0.7)
    held = np.arange(1 << 16)[:, None] >> np.arange(16) & 1
    over = np.any(held @ tenths > 500, axis=1)
    minimal = over.copy()
    for place in range(16):
        has = held[:, place] == 1
        minimal[has] &= ~over[np.flatnonzero(has) ^ (1 << place)]
    found = overloads(tenths / 10, limit_A=50)
    assert sorted(every(found)) == np.flatnonzero(minimal).tolist()
    assert len(found) > 100


# -- phasors: every subset at once, by circuit theory ----------------------------------------------


def random_phasors(seed, spread_deg=90.0):
    """Phasors of up to 12 loads on two legs, within ``spread_deg`` of one another; limits, always.

    Some are equal, some line to line of a wye (30 degrees ahead in L1, behind in L2), some lead.
    """
    rng = np.random.default_rng(20_000 + seed)
    count = int(rng.integers(1, 13))
    amps = rng.integers(10, 150, count) / 10
    amps[rng.random(count) < 0.3] = 6.0
    angles = np.radians(rng.choice([0, -10, -20, 20 - spread_deg / 2, spread_deg / 2 - 20], count))
    turn = np.radians(rng.choice([0.0, 20.0 if spread_deg <= 90 else 30.0]))
    kind = rng.integers(0, 3, count)
    first = amps * np.exp(1j * (angles + turn * (kind == 2))) * (kind != 1)
    second = amps * np.exp(1j * (angles - turn * (kind == 2))) * (kind != 0)
    always = rng.uniform(0, 8, 2) * (rng.random() < 0.5)
    return np.column_stack([first, second]), rng.integers(8, 50, 2) * 1.0, always


def by_every_subset(phasors, limit, always):
    """Whether each subset overloads, by the magnitude of its phasor sum."""
    held = np.arange(1 << len(phasors))[:, None] >> np.arange(len(phasors)) & 1
    return np.any(abs(always + held @ phasors) > limit * (1 + 1e-9), axis=1)


def minimal_of(over):
    kept, count = over.copy(), len(over).bit_length() - 1
    for place in range(count):
        has = np.flatnonzero(np.arange(len(over)) >> place & 1)
        kept[has] &= ~over[has ^ (1 << place)]
    return set(np.flatnonzero(kept).tolist())


@pytest.mark.parametrize("most", [together.MOST_TABLE, 0], ids=["table", "grown"])
@pytest.mark.parametrize("block", range(10))
def test_phasor_sets_equal_brute_force(block, most, monkeypatch):
    monkeypatch.setattr(together, "MOST_TABLE", most)
    for seed in LISTS[block::10]:
        phasors, limit, always = random_phasors(seed)
        over = by_every_subset(phasors, limit, always)
        found = overloads(phasors, limit_A=limit, always_A=always)
        assert every(found) == minimal_of(over), seed
        fits = together.largest_fits(phasors, limit_A=limit, always_A=always, enough=10**6)
        turned = minimal_of(~over[::-1])  # the fewest left out so that the rest fits
        assert every(fits) == {len(over) - 1 - left for left in turned}, seed


def test_unlike_power_factors_overload_less_than_their_sum():
    # circuit theory: |30 + 22 (0.8 - 0.6j)| = 49.4 A, 52 by magnitudes
    pair = [[30.0 + 0j], [22 * (0.8 - 0.6j)]]
    assert not len(overloads(pair, limit_A=50))
    assert overloads(pair, limit_A=49.3).members() == [(0, 1)]
    assert together.largest_fits(pair, limit_A=50).members() == [(0, 1)]


@pytest.mark.parametrize("spread", [60.0, 150.0])
@pytest.mark.parametrize("block", range(5))
def test_ends_hold_every_power_factor_in_range(block, spread):
    # power factors drawn at random from the arcs: what surely overloads does, what is not even
    # possible does not; with leading and lagging loads far apart too
    for seed in LISTS[block::10]:
        rng = np.random.default_rng(30_000 + seed)
        phasors, limit, always = random_phasors(seed, spread)
        unread = rng.random(len(phasors)) < 0.5
        arc = np.tile([-math.acos(0.8), 0.0], (2, 1))
        exact = np.where(unread[:, None], 0, phasors)
        any_A = np.where(unread[:, None], abs(phasors), 0)
        draws = together.Draws(exact, any_A, arc)
        found = together.overloads_in_range(
            draws, high_A=draws, limit_low_A=limit, limit_high_A=limit,
            always_low_A=always, always_high_A=always,
        )  # fmt: skip
        surely, possibly = every(found.surely), every(found.possibly)
        for _ in range(6):
            lag = -rng.choice([0, 0.3, math.acos(0.8)], (len(phasors), 1))
            drawn = exact + any_A * np.exp(1j * lag)
            over = by_every_subset(drawn, limit, always)
            assert all(over[held] for held in surely), seed
            for held in minimal_of(over):
                assert any(s & held == s for s in surely | possibly), seed


def test_a_load_that_overloads_alone_does_so_at_any_power_factor():
    alone = together.Draws(np.zeros((1, 1)) + 0j, np.array([[50.5]]), np.array([[-0.6435, 0.0]]))
    found = together.overloads_in_range(alone, high_A=alone, limit_low_A=50, limit_high_A=50)
    assert found.surely.members() == [(0,)]
    low, high = together.carried_A(
        alone, high_A=alone, always_low_A=alone.only([]), always_high_A=alone.only([])
    )
    assert (low[0], high[0]) == pytest.approx((50.5, 50.5))


def test_equal_loads_of_forty_are_counted_at_once():
    # 40 loads as aboard: 6 large ones apart, the rest in kinds alike; the count is the number of
    # sets written out, here by kinds: numbers taken of each kind, and the ways to take them
    large = [12.5, 14.0, 15.0, 11.3, 9.6, 12.1]
    kinds = {3.0: 10, 5.0: 8, 1.5: 12, 8.3: 4}
    amps = large + [a for a, n in kinds.items() for _ in range(n)]
    found = overloads(np.array(amps)[:, None], limit_A=50)
    assert found.complete
    total = 0
    for held in itertools.product((0, 1), repeat=6):
        for numbers in itertools.product(*(range(n + 1) for n in kinds.values())):
            sizes = [a for a, h in zip(large, held, strict=True) if h]
            sizes += [a for a, n in zip(kinds, numbers, strict=True) if n]
            carried = sum(a for a, h in zip(large, held, strict=True) if h)
            carried += sum(a * n for a, n in zip(kinds, numbers, strict=True))
            if carried > 50 + 1e-6 and carried - min(sizes) <= 50 + 1e-6:
                total += math.prod(map(math.comb, kinds.values(), numbers))
    assert found.count == total


def test_smallest_sets_come_first():
    rng = np.random.default_rng(3)
    found = overloads(rng.uniform(1, 15, (16, 2)), limit_A=40)
    sizes = [len(members) for members in found.members()]
    assert sizes == sorted(sizes)
    assert len(set(sizes)) > 2
    assert found.members(2) == found.members()[:2]


# -- edges -----------------------------------------------------------------------------------------


def test_decimal_amps_that_add_up_to_the_limit_fit():
    # 0.1 + 0.2 is above 0.3 in binary; on the boat it is 0.3
    assert not len(overloads([[0.1], [0.2]], limit_A=0.3))
    fits = together.largest_fits([[0.1], [0.2]], limit_A=0.3)
    assert fits.members() == [(0, 1)]
    over = overloads([[0.1], [0.2001]], limit_A=0.3)
    assert over.members() == [(0, 1)]


def test_always_on_already_too_much():
    over = overloads([[5.0], [6.0]], limit_A=50, always_A=51)
    assert over.members() == [()]
    assert over.legs.tolist() == [[True]]
    assert not len(together.largest_fits([[5.0], [6.0]], limit_A=50, always_A=51))


def test_always_on_exactly_at_the_limit():
    over = overloads([[5.0], [0.0]], limit_A=50, always_A=50)
    assert over.members() == [(0,)]
    assert together.largest_fits([[5.0], [0.0]], limit_A=50, always_A=50).members() == [(1,)]


def test_no_choices():
    nothing = np.zeros((0, 2))
    assert not len(overloads(nothing, limit_A=50))
    assert together.largest_fits(nothing, limit_A=50).members() == [()]
    assert overloads(nothing, limit_A=50, always_A=60).members() == [()]


def test_refusals():
    with pytest.raises(InputError, match=r"shape \(2,\)"):
        overloads([1, 2], limit_A=3)
    with pytest.raises(InputError, match="65 loads"):
        overloads(np.ones((65, 1)), limit_A=3)
    with pytest.raises(InputError, match="each of 2 legs"):
        overloads([[1, 2]], limit_A=[3, 3, 3])
    with pytest.raises(InputError, match="limit_A"):
        overloads([[1, 2]], limit_A=0)
    with pytest.raises(InputError, match="high_A"):
        together.overloads_in_range([[2.0]], high_A=[[1.0]], limit_low_A=1, limit_high_A=1)


def test_sixty_four_choices():
    found = overloads(np.full((64, 1), 26.0), limit_A=50)
    assert (found.chosen(), found.count) == ([[(2, tuple(range(64)))]], math.comb(64, 2))
    unlike = overloads(26 + np.arange(64)[:, None] / 100, limit_A=50)
    assert len(unlike) == unlike.count == math.comb(64, 2)
    assert any(63 in members for members in unlike.members())


# -- properties ------------------------------------------------------------------------------------

AMPS = st.floats(0.1, 20).map(lambda amps: round(amps, 1))
LOADS = st.lists(st.tuples(AMPS, st.sampled_from([(1, 0), (0, 1), (1, 1)])), min_size=1, max_size=9)


def on_legs(loads):
    return np.array([[amps * first, amps * second] for amps, (first, second) in loads])


@given(LOADS, st.floats(5, 50), st.floats(0, 30))
@settings(deadline=None)
def test_larger_inlet_is_never_worse(loads, limit, more):
    small = overloads(on_legs(loads), limit_A=limit)
    large = overloads(on_legs(loads), limit_A=limit + more)
    # each set that overloads the larger inlet holds one that overloads the smaller
    for members in large.members():
        assert any(set(less) <= set(members) for less in small.members())
    fit_small = together.largest_fits(on_legs(loads), limit_A=limit).members(1)
    fit_large = together.largest_fits(on_legs(loads), limit_A=limit + more).members(1)
    assert len(fit_large[0]) >= len(fit_small[0])


@given(LOADS, st.integers(5, 50), st.sampled_from([0.5, 2.0, 1024.0]))
@settings(deadline=None)
def test_units_scale(loads, limit, scale):
    once = overloads(on_legs(loads), limit_A=limit)
    often = overloads(scale * on_legs(loads), limit_A=scale * limit)
    assert once.members() == often.members()


@given(LOADS, st.integers(5, 50), st.floats(0, 0.5), st.floats(0, 0.3))
@settings(deadline=None, max_examples=60)
def test_surely_and_possibly(loads, limit, spread, slack):
    best = on_legs(loads)
    low, high = best * (1 - spread / 2), best * (1 + spread / 2)
    bounds = {"limit_low_A": limit * (1 - slack / 2), "limit_high_A": limit * (1 + slack / 2)}
    found = together.overloads_in_range(low, high_A=high, **bounds)
    for members in found.surely.members():
        assert np.any(low[list(members)].sum(axis=0) > bounds["limit_high_A"])
    for members in found.possibly.members():
        assert np.any(high[list(members)].sum(axis=0) > bounds["limit_low_A"])
        assert not np.any(low[list(members)].sum(axis=0) > bounds["limit_high_A"] * (1 + 1e-8))
    # nothing that overloads at the best values is missing from both
    every = [*map(set, found.surely.members()), *map(set, found.possibly.members())]
    for members in overloads(best, limit_A=limit).members():
        assert any(listed <= set(members) for listed in every)


def test_exact_values_leave_nothing_only_possible():
    found = together.overloads_in_range(
        [[30.0], [25.0]], high_A=[[30.0], [25.0]], limit_low_A=50, limit_high_A=50
    )
    assert found.surely.members() == [(0, 1)]
    assert not len(found.possibly)


# -- an invented boat, by hand ---------------------------------------------------------------------

# House inlet of a 19 m motor yacht, 50 A a leg: refrigerator, lights always on
CHOICES = [
    (12.5, 12.5),  # 0 water heater
    (15.0, 15.0),  # 1 cooktop
    (14.0, 14.0),  # 2 charger
    (12.0, 0.0),  # 3 washer-dryer
    (10.0, 0.0),  # 4 dishwasher
    (12.5, 0.0),  # 5 galley circuit 1
    (0.0, 12.9),  # 6 microwave
    (0.0, 12.5),  # 7 galley circuit 2
]
ALWAYS = (5.2 + 3.0, 5.2 + 5.5)


def test_house_inlet_by_hand():
    found = overloads(CHOICES, limit_A=50, always_A=ALWAYS)
    sets = found.members()
    # 8.2 + 12.5 + 15 + 14 = 49.7 on L1, 10.7 + 41.5 = 52.2 on L2
    assert (0, 1, 2) in sets
    assert found.legs[sets.index((0, 1, 2))].tolist() == [False, True]
    # 8.2 + 12.5 + 14 + 12 + 12.5 = 59.2 on L1, where 46.7 fits
    assert (0, 2, 3, 5) in sets
    assert not any(set(less) <= {0, 2, 3} for less in sets)


def test_evening_set_overloads_both_legs_by_hand():
    # without the ice maker: L1 56.2 A by 6.2, L2 50.1 A by 0.1
    on_L1_and_L2 = [(12.5, 12.5), (14, 14), (12, 0), (12.5, 0), (0, 12.9)]
    found = overloads(on_L1_and_L2, limit_A=50, always_A=[5.2, 5.2 + 5.5])
    assert sorted(found.members()) == [(0, 1, 2, 3), (0, 1, 4)]
    # the charger cut to 7.8 A by its input limit: L1 exactly at 50 A, L2 at 43.9
    cut = [(12.5, 12.5), (7.8, 7.8), (12, 0), (12.5, 0), (0, 12.9)]
    assert not len(overloads(cut, limit_A=50, always_A=[5.2, 10.7]))
    above = [(12.5, 12.5), (7.9, 7.9), (12, 0), (12.5, 0), (0, 12.9)]
    assert overloads(above, limit_A=50, always_A=[5.2, 10.7]).members() == [(0, 1, 2, 3)]


def test_sloop_inlet_by_hand():
    # 16 A at 230 V: calorifier 1200, charger 1250, microwave 1350, heater 2000, kettle 1800,
    # dehumidifier 350 W
    amps = np.array([[1200], [1250], [1350], [2000], [1800], [350]]) / 230
    found = overloads(amps, limit_A=16).members()
    # charger + heater + dehumidifier, 15.7 A, fit; with the calorifier, 20.9 A, they do not
    assert not any(set(members) <= {1, 3, 5} for members in found)
    assert any(set(members) <= {0, 1, 3, 5} for members in found)
    assert (3, 4) in found  # heater and kettle, 16.5 A


# -- phasors that undo one another ---------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(1, 30), st.sampled_from([-1.2, -0.9, 0.0, 0.6, 1.2])),
        min_size=1,
        max_size=7,
    ),
    st.integers(8, 60),
)
def test_known_phasors_are_summed_set_by_set(loads, limit):
    phasors = np.array([[amps * np.exp(1j * angle)] for amps, angle in loads])
    draws = together.Draws(phasors, np.zeros(phasors.shape), np.zeros((1, 2)))
    every = [
        frozenset(c)
        for k in range(len(loads) + 1)
        for c in itertools.combinations(range(len(loads)), k)
    ]
    over = {s for s in every if abs(sum(phasors[i, 0] for i in s)) > limit * (1 + 1e-9)}
    # too much if any part of it is: whatever is switched off first
    over = {s for s in every if any(part <= s for part in over)}
    least = {s for s in over if not any(s - {i} in over for i in s)}
    most = {
        s
        for s in every
        if s not in over and all(s | {i} in over for i in range(len(loads)) if i not in s)
    }
    found = together.overloads_in_range(
        draws, high_A=draws, limit_low_A=limit, limit_high_A=limit, exact=True
    )
    assert found.possibly.count == 0
    assert found.surely.count == len(least)
    assert {frozenset(m) for m in found.surely.members()} <= least
    fits = together.largest_fits(draws, limit_A=limit, enough=1000, exact=True)
    assert fits.count == len(most)
    assert {frozenset(m) for m in fits.members()} <= most
