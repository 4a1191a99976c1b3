"""Sizing by sections: hand arithmetic and properties; the standard's own examples were not seen."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.calc.batteries import duty_cycle, kinetic
from elec.errors import InputError

PLAIN = {"temperature_size_factor": 1.0, "design_margin": 1.0, "ageing_factor": 1.0}
CURRENTS = st.lists(st.floats(0.0, 200.0), min_size=1, max_size=6)


def size(current, duration, factor=lambda hours: hours, **other):
    return duty_cycle.duty_cycle_size(
        current, duration_h=duration, hours_factor_h=factor, **{**PLAIN, **other}
    )


def factor(exponent):
    return lambda hours: duty_cycle.peukert_hours_h(hours, rate_h=20.0, exponent=exponent)


def test_by_hand_with_a_load_that_falls_and_rises():
    # K(t) = 2 t**0.5: sections 100*2; 100*2*sqrt(4) - 60*2*sqrt(3); and with 140 A at the end
    # 100*2*sqrt(4.25) - 60*2*sqrt(3.25) + 100*2*sqrt(0.25).
    found = size([100.0, 40.0, 140.0], [1.0, 3.0, 0.25], lambda hours: 2 * np.sqrt(hours))
    by_hand = [
        200.0,
        400.0 - 120.0 * 3**0.5,
        200.0 * 4.25**0.5 - 120.0 * 3.25**0.5 + 100.0,
    ]
    assert found.section_Ah == pytest.approx(by_hand)
    assert found.governing == 2
    assert found.needed_Ah == pytest.approx(by_hand[2])


def test_early_section_may_govern():
    found = size([100.0, 1.0], [1.0, 5.0], factor(1.3))
    assert found.governing == 0
    assert found.needed_Ah == pytest.approx(found.section_Ah[0])


@settings(max_examples=50)
@given(CURRENTS)
def test_without_effect_of_rate_it_is_the_sum_of_charge(currents):
    hours = np.linspace(0.5, 2.0, len(currents))
    found = size(currents, hours)
    assert found.section_Ah == pytest.approx(np.cumsum(np.multiply(currents, hours)), abs=1e-9)
    assert found.needed_Ah == pytest.approx(np.dot(currents, hours), abs=1e-9)


@settings(max_examples=50)
@given(st.floats(1.0, 200.0), st.floats(0.1, 3.0), st.floats(0.1, 3.0), st.floats(1.0, 1.6))
def test_one_period_cut_in_two_changes_nothing(current, one, other, exponent):
    whole = size([current], [one + other], factor(exponent))
    cut = size([current, current], [one, other], factor(exponent))
    assert cut.needed_Ah == pytest.approx(whole.needed_Ah)


@settings(max_examples=50)
@given(CURRENTS, st.floats(1.0, 1.6), st.floats(1.0, 1.6))
def test_more_effect_of_rate_never_needs_less_for_a_steady_load(currents, one, other):
    low, high = sorted((one, other))
    current = [max(currents)]
    assert size(current, [2.0], factor(high)).needed_Ah >= size(
        current, [2.0], factor(low)
    ).needed_Ah * (1 - 1e-12)


def test_kinetic_model_may_stand_for_the_rating_factors(two_wells):
    def hours_factor(hours):
        return 100.0 * hours / kinetic.capacity_in_Ah(two_wells, time_h=hours)

    # By the ratings themselves: 60 A for 1 h and 9.3 A for 10 h each need the 100 Ah bank.
    assert size([60.0], [1.0], hours_factor).needed_Ah == pytest.approx(100.0)
    assert size([9.3], [10.0], hours_factor).needed_Ah == pytest.approx(100.0)


def test_random_load_is_added_to_the_largest_section():
    found = size([10.0], [2.0], random_current_A=30.0, random_duration_h=0.5)
    assert found.random_Ah == 15.0
    assert found.needed_Ah == 35.0


def test_factors_multiply():
    found = size(
        [10.0], [2.0], temperature_size_factor=1.19, design_margin=1.10, ageing_factor=1.25
    )
    assert found.needed_Ah == pytest.approx(20.0 * 1.19 * 1.10 * 1.25)


@pytest.mark.parametrize(
    ("current", "duration", "other", "said"),
    [
        ([1.0, 2.0], [1.0], {}, "current_A"),
        ([], [], {}, "current_A"),
        ([1.0], [0.0], {}, "duration_h"),
        ([-1.0], [1.0], {}, "current_A"),
        ([1.0], [1.0], {"design_margin": 0.9}, "design_margin"),
        ([1.0], [1.0], {"ageing_factor": 0.8}, "ageing_factor"),
        ([1.0], [1.0], {"temperature_size_factor": 0.0}, "temperature_size_factor"),
    ],
)
def test_bad_input_is_named(current, duration, other, said):
    with pytest.raises(InputError, match=said):
        size(current, duration, **other)
