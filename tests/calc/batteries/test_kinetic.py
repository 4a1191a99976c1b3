"""Kinetic battery model: closed forms against each other, limits, identification."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.calc.batteries import kinetic, storage
from elec.errors import InputError

RATE = st.floats(0.02, 5.0)
FRACTION = st.floats(0.05, 0.98)
TOTAL = st.floats(20.0, 2000.0)
MODEL = st.builds(
    lambda *numbers: kinetic.Kinetic(*map(np.float64, numbers)), RATE, FRACTION, TOTAL
)


def step(charge, *, model, current_A, time_h):
    """Charge after a steady current for a time."""
    a, b, d = kinetic.coefficients(model, time_h=time_h)
    available = a * charge.available_Ah + b * charge.total_Ah - d * current_A
    return kinetic.Charge(available, charge.total_Ah - current_A * time_h - available)


@given(MODEL, st.floats(0.0, 1.0), st.floats(-0.3, 0.3), st.floats(0.01, 10.0), st.floats(0.01, 10))
def test_two_steps_are_one_long_step(model, level, share, first, second):
    current = share * model.total_Ah
    start = kinetic.rested(model, total_Ah=level * model.total_Ah)
    once = step(start, model=model, current_A=current, time_h=first + second)
    twice = step(start, model=model, current_A=current, time_h=first)
    twice = step(twice, model=model, current_A=current, time_h=second)
    scale = float(model.total_Ah) * (1 + abs(share) * (first + second))
    assert twice.available_Ah == pytest.approx(once.available_Ah, abs=1e-11 * scale)
    assert twice.bound_Ah == pytest.approx(once.bound_Ah, abs=1e-11 * scale)


def test_step_solves_the_differential_equations():
    # dq1/dt = -I - k(1-c)q1 + k c q2, dq2/dt = k(1-c)q1 - k c q2 (Manwell & McGowan 1993),
    # integrated here by the classical Runge-Kutta method.
    k, c, current = 0.6, 0.4, 9.0
    model = kinetic.Kinetic(np.float64(k), np.float64(c), np.float64(100.0))
    state = np.array([30.0, 50.0])

    def slope(q):
        flow = k * (1 - c) * q[0] - k * c * q[1]
        return np.array([-current - flow, flow])

    h = 0.002
    for _ in range(1000):
        k1 = slope(state)
        k2 = slope(state + h / 2 * k1)
        k3 = slope(state + h / 2 * k2)
        k4 = slope(state + h * k3)
        state = state + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
    start = kinetic.Charge(np.float64(30.0), np.float64(50.0))
    found = step(start, model=model, current_A=current, time_h=2.0)
    assert found.available_Ah == pytest.approx(state[0], abs=1e-9)
    assert found.bound_Ah == pytest.approx(state[1], abs=1e-9)


def test_rest_brings_charge_back_but_makes_none(two_wells):
    model = two_wells
    full = kinetic.rested(model, total_Ah=model.total_Ah)
    spent = step(full, model=model, current_A=60.0, time_h=1.0)
    assert spent.available_Ah == pytest.approx(0.0, abs=1e-9)
    rested = step(spent, model=model, current_A=0.0, time_h=100.0)
    assert rested.total_Ah == pytest.approx(model.total_Ah - 60.0, rel=1e-12)
    assert rested.available_Ah == pytest.approx(model.fraction * rested.total_Ah, rel=1e-9)


class TestEmptying:
    @given(MODEL, st.floats(0.01, 50.0))
    def test_capacity_in_a_time_empties_the_available_well_in_that_time(self, model, hours):
        current = kinetic.capacity_in_Ah(model, time_h=hours) / hours
        full = kinetic.rested(model, total_Ah=model.total_Ah)
        empty = step(full, model=model, current_A=current, time_h=hours)
        assert empty.available_Ah == pytest.approx(0.0, abs=1e-11 * model.total_Ah)

    @given(MODEL, st.floats(0.01, 50.0), st.floats(1.0, 10.0))
    def test_a_slower_discharge_never_gives_less_charge(self, model, hours, factor):
        fast, slow = kinetic.capacity_in_Ah(model, time_h=hours * np.array([1.0, factor]))
        assert slow >= fast * (1 - 1e-12)

    def test_between_the_available_well_and_everything(self):
        model = kinetic.Kinetic(np.float64(0.5), np.float64(0.3), np.float64(100.0))
        assert kinetic.capacity_in_Ah(model, time_h=1e-6) == pytest.approx(30.0, rel=1e-5)
        assert kinetic.capacity_in_Ah(model, time_h=1e5) == pytest.approx(100.0, rel=1e-4)

    def test_one_well_has_no_effect_of_rate(self):
        model = kinetic.Kinetic(np.float64(1.0), np.float64(1.0), np.float64(80.0))
        assert kinetic.capacity_in_Ah(model, time_h=[0.2, 8.0, 800.0]) == pytest.approx([80] * 3)


class TestIdentify:
    @settings(max_examples=60)
    @given(st.floats(0.05, 3.0), FRACTION, TOTAL)
    def test_comes_back_from_three_capacities(self, rate, fraction, total):
        model = kinetic.Kinetic(np.float64(rate), np.float64(fraction), np.float64(total))
        times = np.array([1.0, 5.0, 20.0])
        found = kinetic.identify(times, capacity_Ah=kinetic.capacity_in_Ah(model, time_h=times))
        assert found.total_Ah == pytest.approx(total, rel=1e-6)
        assert found.fraction == pytest.approx(fraction, rel=1e-6)
        assert found.rate_per_h == pytest.approx(rate, rel=1e-6)

    def test_two_capacities_with_a_rate_from_elsewhere(self, two_wells):
        rate = two_wells.rate_per_h
        two = kinetic.identify([1.0, 20.0], capacity_Ah=[60.0, 100.0], rate_per_h=rate)
        assert two.total_Ah == pytest.approx(two_wells.total_Ah, rel=1e-9)
        assert two.fraction == pytest.approx(two_wells.fraction, rel=1e-9)

    def test_over_samples(self):
        capacities = np.array([60.0, 93.0, 100.0]) * np.array([[1.0], [2.0]])
        found = kinetic.identify([1.0, 10.0, 20.0], capacity_Ah=capacities)
        assert found.total_Ah[1] == pytest.approx(2 * found.total_Ah[0], rel=1e-12)
        assert found.fraction[1] == pytest.approx(found.fraction[0], rel=1e-12)

    def test_equal_capacities_are_one_well(self):
        found = kinetic.identify([1.0, 10.0, 20.0], capacity_Ah=[100.0, 100.0, 100.0])
        assert found.fraction == pytest.approx(1.0)
        assert found.total_Ah == pytest.approx(100.0)

    @pytest.mark.parametrize(
        ("times", "capacities", "rate", "said"),
        [
            ([1.0, 20.0], [60.0, 100.0], None, "2 ratings"),
            ([1.0, 10.0, 20.0], [60.0, 93.0, 100.0], 0.5, "3 ratings"),
            ([20.0], [100.0], 0.5, "1 ratings"),
            ([10.0, 1.0, 20.0], [93.0, 60.0, 100.0], None, "do not rise"),
            ([1.0, 10.0, 20.0], [93.0, 60.0, 100.0], None, "as much"),
            ([1.0, 10.0, 20.0], [60.0, 60.5, 100.0], None, "no kinetic model"),
            ([1.0, 10.0, 20.0], [10.0, 99.9, 100.0], None, "no kinetic model"),
            ([1.0, 20.0], [1.0, 100.0], 50.0, "too steeply"),
        ],
    )
    def test_ratings_that_do_not_belong_together_are_refused(self, times, capacities, rate, said):
        with pytest.raises(InputError, match=said):
            kinetic.identify(times, capacity_Ah=capacities, rate_per_h=rate)

    @given(st.floats(1.0, 1.6), TOTAL)
    def test_follows_peukert_at_the_times_asked(self, exponent, capacity):
        times = (1.0, 10.0, 20.0)
        model = kinetic.identify_from_peukert(
            capacity, rate_h=20.0, exponent=exponent, time_h=times
        )
        wanted = storage.peukert_capacity_in_Ah(
            capacity, rate_h=20.0, time_h=times, exponent=exponent
        )
        assert kinetic.capacity_in_Ah(model, time_h=times) == pytest.approx(wanted, rel=2e-6)
        assert 0 < model.fraction <= 1
        assert model.total_Ah >= capacity * (1 - 1e-9)

    def test_peukert_is_not_followed_beyond_the_rating(self):
        with pytest.raises(InputError, match="above the hour rate"):
            kinetic.identify_from_peukert(
                100.0, rate_h=20.0, exponent=1.2, time_h=(1.0, 20.0, 100.0)
            )


def test_bank_cannot_hold_more_than_its_total():
    model = kinetic.Kinetic(np.float64(1.0), np.float64(0.5), np.float64(100.0))
    with pytest.raises(InputError, match="total_Ah"):
        kinetic.rested(model, total_Ah=100.1)
