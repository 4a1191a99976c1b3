"""Edges and laws of short-time duty; printed answers are in the published tests."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import duty
from elec.errors import InputError

TAU = st.floats(10, 5000)
TIME = st.floats(1, 20000)
COPPER = {
    # IEC 60949: volumetric heat of copper; IEC 60028: resistivity, here at 105 °C
    "heat_capacity_J_per_K_mm3": 3.45e-3,
    "resistivity_hot_ohm_mm2_per_m": 0.017241 * (1 + 0.00393 * 85),
}


def heated(current, time, tau, start=30.0):
    """Temperature after a time by first-order heating: 100 A settle at 105 °C, in 30 °C."""
    settled = 30.0 + 75.0 * (current / 100.0) ** 2
    return start - (settled - start) * np.expm1(-time / tau)


@given(time=TIME, tau=TAU)
def test_one_spell_at_the_factor_ends_at_the_rating(time, tau):
    factor = duty.short_time_factor(time, time_constant_s=tau)
    assert factor >= 1
    assert heated(100 * factor, time, tau) == pytest.approx(105)


@given(time=TIME, tau=TAU, preload=st.floats(0, 1))
def test_one_spell_after_a_load_ends_at_the_rating(time, tau, preload):
    factor = duty.short_time_factor(time, time_constant_s=tau, preload=preload)
    before = 30 + 75 * preload**2
    assert heated(100 * factor, time, tau, before) == pytest.approx(105)
    assert 1 - 1e-12 <= factor <= duty.short_time_factor(time, time_constant_s=tau) + 1e-12


@given(
    on=st.floats(10, 600), rest=st.floats(0, 3000), tau=st.floats(60, 2000), more=st.floats(1, 3)
)
def test_repeated_spells_at_the_factor_settle_at_the_rating(on, rest, tau, more):
    factor = duty.intermittent_factor(on, cycle_s=on + rest, time_constant_s=tau)
    peak = 105.0
    peak = heated(0, rest, tau, peak)
    peak = heated(100 * factor, on, tau, peak)
    assert peak == pytest.approx(105)
    single = duty.short_time_factor(on, time_constant_s=tau)
    assert 1 - 1e-12 <= factor <= single + 1e-12
    assert duty.intermittent_factor(on, cycle_s=(on + rest) * more, time_constant_s=tau) >= factor


def test_no_rest_is_continuous():
    assert duty.intermittent_factor(60.0, cycle_s=60.0, time_constant_s=300.0) == 1


@given(time=TIME, tau=TAU, longer=st.floats(1, 5))
def test_longer_on_never_carries_more_and_a_slower_cable_never_less(time, tau, longer):
    base = duty.short_time_factor(time, time_constant_s=tau)
    assert duty.short_time_factor(time * longer, time_constant_s=tau) <= base
    assert duty.short_time_factor(time, time_constant_s=tau * longer) >= base


def test_after_three_time_constants_little_is_left():
    # IEC 60092-352 (from memory): beyond three time constants a load counts as continuous.
    assert duty.short_time_factor(3.0, time_constant_s=1.0) < 1.03


def test_ships_cable_time_constant_and_factor():
    # IEC 60092-352, from memory: 0.245 d^1.35 minutes; 20 mm by hand: 20^1.35 = 57.06, 13.98 min.
    tau = duty.iec60092_352_time_constant_s(20.0, coefficient_min=0.245, exponent=1.35)
    assert tau / 60 == pytest.approx(13.98, abs=0.01)
    factor = duty.iec60092_352_short_time_factor(tau, time_constant_s=tau, overheat=1.12)
    assert factor == pytest.approx(np.sqrt(1.12 / (1 - np.exp(-1))))


def test_time_constant_of_the_metal_alone_is_below_the_whole_cables():
    # 2 AWG, 105 °C: 210 A at 30 °C by 33 CFR 183.425; about 11 mm overall (common practice).
    metal = duty.time_constant_from_rating_s(
        210.0, area_mm2=33.6, ambient_C=30.0, rated_C=105.0, **COPPER
    )
    # by hand: 3.45e-3 * 33.6² * 75 / (210² * 0.0230 / 1000) = 288 s
    assert metal == pytest.approx(288, abs=1)
    whole = duty.iec60092_352_time_constant_s(11.0, coefficient_min=0.245, exponent=1.35)
    assert 0.5 * whole < metal < whole


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: duty.short_time_factor(0, time_constant_s=1), "on_s"),
        (lambda: duty.short_time_factor(1, time_constant_s=0), "time_constant_s"),
        (lambda: duty.short_time_factor(1, time_constant_s=1, preload=1.1), "preload"),
        (lambda: duty.intermittent_factor(2, cycle_s=1, time_constant_s=1), "cycle_s"),
        (lambda: duty.nec_630_11_ampacity_A(40, multiplier=1.2), "multiplier"),
        (lambda: duty.nec_630_11_ampacity_A(40, multiplier=0), "multiplier"),
        (lambda: duty.nec_430_22E_ampacity_A(40, percent=0), "percent"),
        (lambda: duty.nec_610_14A_ampacity_15min_A(-1, multiple=1.12), "ampacity_30min_A"),
        (
            lambda: duty.iec60092_352_short_time_factor(1, time_constant_s=1, overheat=0.9),
            "overheat",
        ),
        (
            lambda: duty.time_constant_from_rating_s(
                1, area_mm2=1, ambient_C=105, rated_C=105, **COPPER
            ),
            "ambient_C",
        ),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()


@given(share=st.floats(0.01, 1))
def test_short_cycles_never_carry_less_than_continuously(share):
    # PUE 1.3.3, its coefficient from memory
    factor = duty.pue_1_3_3_factor(share, coefficient=0.875)
    assert factor == pytest.approx(max(1.0, 0.875 / share**0.5))


def test_a_share_of_nothing_is_refused():
    with pytest.raises(InputError, match="share_on"):
        duty.pue_1_3_3_factor(0.0, coefficient=0.875)
