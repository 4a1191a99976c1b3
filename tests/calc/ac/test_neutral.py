"""Neutral over what was not read, and triplens: waveforms by Fourier transform, random corners."""

import itertools

import numpy as np
import pytest

from elec.calc import ac
from elec.calc.ac import neutral
from elec.calc.ac.neutral import NeutralLoad
from elec.errors import InputError


def random_loads(rng, system):
    loads = []
    for _ in range(int(rng.integers(1, 6))):
        low, high = np.sort(rng.uniform(0, 30, 2))
        if rng.random() < 0.4:
            low = high
        legs = ac.LEGS[system]
        if rng.random() < 0.7:
            legs = (str(rng.choice(legs)),)
        else:
            low = 0.0
        worst, best = np.sort(rng.uniform(0.5, 1, 2))
        if rng.random() < 0.3:
            worst = best
        leads = bool(rng.random() < 0.2)
        loads.append(NeutralLoad(low, high, legs, worst, best, leads))
    return loads


@pytest.mark.parametrize("system", ["split-phase", "wye two legs", "three-phase wye"])
@pytest.mark.parametrize("block", range(4))
def test_bounds_hold_every_draw_and_the_greatest_is_reached(system, block):
    for seed in range(block, 60, 4):
        rng = np.random.default_rng(40_000 + seed)
        loads = random_loads(rng, system)
        low, high = neutral.neutral_bounds_A(loads, system=system)
        angles = dict(zip(ac.LEGS[system], ac.leg_angles_rad(system), strict=True))
        most = 0.0
        ends = []
        for one in loads:
            first, last = one.arc_rad
            ways = [
                r * np.exp(1j * (angles[leg] + turn))
                for leg in one.legs
                for r in (one.low_A, one.high_A)
                for turn in np.linspace(first, last, 5)
            ]
            ends.append(np.unique(ways))
        total = np.zeros(1, dtype=complex)
        for ways in ends:
            total = (total[:, None] + ways).reshape(-1)
            if len(total) > 20_000:
                total = rng.choice(total, 20_000, replace=False)
        size = abs(total)
        most = float(size.max())
        assert most <= high * (1 + 1e-9) + 1e-9, seed
        assert float(size.min()) >= low * (1 - 1e-9) - 1e-9, seed
        if all(len(ways) <= 8 for ways in ends):
            assert high <= most * 1.03 + 1e-9, seed


@pytest.mark.parametrize("seed", range(30))
def test_known_loads_have_one_neutral(seed):
    rng = np.random.default_rng(seed)
    legs = [str(leg) for leg in rng.choice(["L1", "L2"], 5)]
    amps, factors, leads = rng.uniform(1, 20, 5), rng.uniform(0.3, 1, 5), rng.random(5) < 0.3
    loads = [
        NeutralLoad(a, a, (leg,), f, f, bool(lead))
        for a, f, leg, lead in zip(amps, factors, legs, leads, strict=True)
    ]
    for system in ("split-phase", "wye two legs"):
        by_phasor = ac.leg_currents_A(
            amps,
            connection=[f"{leg}-N" for leg in legs],
            system=system,
            power_factor=factors,
            leading=leads,
        ).neutral_A
        found = neutral.neutral_bounds_A(loads, system=system)
        assert found == pytest.approx((by_phasor, by_phasor), rel=1e-9, abs=1e-7)


def test_two_motors_by_hand():
    # 10 A at 0.8 to 1 on each leg of split phase: even at best, |10 - 10 (0.8 - 0.6j)| at worst
    pair = [NeutralLoad(10, 10, (leg,), 0.8, 1) for leg in ("L1", "L2")]
    low, high = neutral.neutral_bounds_A(pair, system="split-phase")
    assert low == 0
    assert high == pytest.approx(abs(10 - 10 * (0.8 - 0.6j)), rel=1e-9)
    # on two legs of a wye, by corners
    corners = [
        abs(10 * a + 10 * b * np.exp(-2j * np.pi / 3))
        for a, b in itertools.product((1, 0.8 - 0.6j), repeat=2)
    ]
    low, high = neutral.neutral_bounds_A(pair, system="wye two legs")
    assert high == pytest.approx(max(corners), rel=1e-9)


def test_no_loads_and_refusals():
    assert neutral.neutral_bounds_A([], system="split-phase") == (0.0, 0.0)
    with pytest.raises(InputError, match="high_A"):
        neutral.neutral_bounds_A([NeutralLoad(5, 4, ("L1",))], system="split-phase")
    with pytest.raises(InputError, match="'L3' is no leg"):
        neutral.neutral_bounds_A([NeutralLoad(5, 5, ("L3",))], system="split-phase")
    with pytest.raises(InputError, match="power_factor_low"):
        neutral.neutral_bounds_A([NeutralLoad(5, 5, ("L1",), 0.0)], system="split-phase")
