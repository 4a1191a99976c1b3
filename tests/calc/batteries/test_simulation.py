"""A bank through time: closed forms, conservation, independence of the step."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.calc.batteries import charging, kinetic, simulation, timetable
from elec.calc.batteries.simulation import Acceptance, ChargeEfficiency, simulate
from elec.errors import InputError

STEP_H = 1 / 6
LOSSLESS = ChargeEfficiency(below_knee=1.0, knee=0.8, at_full=1.0)
# Within the published spread (0.80 to 1.00 below full); at full from memory, not confirmed.
LOSSY = ChargeEfficiency(below_knee=0.95, knee=0.8, at_full=0.55)


def one_well(capacity):
    return kinetic.Kinetic(np.float64(1.0), np.float64(1.0), np.float64(capacity))


def steps_carried(trace):
    """Steps through which the whole load is carried."""
    fails = trace.unserved_A > 1e-9
    return np.where(fails.any(axis=-1), fails.argmax(axis=-1), fails.shape[-1])


def steady(value, hours, step=STEP_H):
    return np.full(round(hours / step), float(value))


def run(model, load, source=None, *, rated_Ah=100.0, step_h=STEP_H, efficiency=LOSSLESS, **more):
    return simulate(
        model,
        rated_Ah=rated_Ah,
        load_A=load,
        source_A=0 * load if source is None else source,
        step_h=step_h,
        efficiency=efficiency,
        **more,
    )


class TestDischarge:
    # System Simulation Core (NREL) as packaged, same ratings: 20.00 h at 5 A, 10.00 h at 9.3 A,
    # 1.00 h at 60 A, by definition of the three ratings.
    @pytest.mark.parametrize("step", [1.0, STEP_H, 1 / 60])
    @pytest.mark.parametrize(("current", "hours"), [(5.0, 20.0), (9.3, 10.0), (60.0, 1.0)])
    def test_ratings_come_back_whatever_the_step(self, two_wells, step, current, hours):
        load = steady(current, 24.0, step)
        trace = run(two_wells, load, step_h=step)
        assert steps_carried(trace) == round(hours / step)
        assert trace.available_Ah[round(hours / step)] == pytest.approx(0.0, abs=1e-4)

    def test_no_credit_beyond_the_rated_capacity(self, two_wells):
        load = steady(1.0, 150.0)
        trace = run(two_wells, load)
        assert steps_carried(trace) == 600
        assert simulation.lowest(trace)[0] == pytest.approx(0.0, abs=1e-12)
        unserved = trace.unserved_A.sum() * STEP_H
        assert unserved == pytest.approx(50.0)

    def test_hours_to_the_usable_limit_of_an_invented_boat(self):
        # By hand: 490 Ah, half usable, 271.8 Ah a day: 21.6 h; as aged 379.75 Ah: 16.8 h.
        capacity = np.array([490.0, 379.75])
        load = steady(271.8 / 24, 48.0)
        trace = run(one_well(capacity), load, rated_Ah=capacity)
        hours = simulation.hours_to_level_h(trace, state_of_charge=0.5)
        assert hours == pytest.approx([21.6, 16.8], abs=0.05)
        assert hours == pytest.approx(capacity * 0.5 / (271.8 / 24), rel=1e-12)

    def test_level_never_reached_and_level_at_the_start(self, two_wells):
        load = steady(1.0, 24.0)
        trace = run(two_wells, load, start_state_of_charge=np.array([1.0, 0.5, 0.4]))
        hours = simulation.hours_to_level_h(trace, state_of_charge=0.5)
        assert hours.tolist() == [np.inf, 0.0, 0.0]
        assert not trace.unserved_A.any()

    def test_lowest_state_and_when(self, two_wells):
        load = np.concatenate([steady(10.0, 3.0), steady(0.0, 3.0)])
        source = np.concatenate([steady(0.0, 4.0), steady(5.0, 2.0)])
        trace = run(two_wells, load, source)
        level, when = simulation.lowest(trace)
        assert level == pytest.approx(0.70)
        assert when == pytest.approx(3.0)
        assert trace.state_of_charge[-1] == pytest.approx(0.80)

    @settings(max_examples=25)
    @given(st.floats(2.0, 60.0), st.floats(1.0, 2.0), st.floats(0.5, 1.0))
    def test_bigger_or_warmer_bank_never_lasts_less(self, current, bigger, colder):
        factors = np.array([colder, 1.0, bigger])
        model = kinetic.scaled(
            kinetic.identify([1.0, 10.0, 20.0], capacity_Ah=[60.0, 93.0, 100.0]), factor=factors
        )
        load = steady(current, 48.0, 1.0)
        trace = run(model, load, rated_Ah=100.0 * factors, step_h=1.0)
        assert np.all(np.diff(steps_carried(trace)) >= 0)
        assert np.all(np.diff(trace.unserved_A.sum(axis=-1)) <= 1e-9)

    @settings(max_examples=25)
    @given(st.floats(1.0, 1.6), st.floats(1.0, 1.6), st.floats(6.0, 60.0))
    def test_higher_exponent_never_lasts_longer(self, one, other, current):
        exponents = np.sort([one, other])
        model = kinetic.identify_from_peukert(
            100.0, rate_h=20.0, exponent=exponents, time_h=(1.0, 10.0, 20.0)
        )
        load = steady(current, 24.0, 1.0)
        trace = run(model, load, step_h=1.0)
        gentle, hard = steps_carried(trace)
        assert hard <= gentle


class TestCharge:
    def test_bulk_takes_what_the_closed_form_says(self):
        # One well, no taper: 245 Ah back at 100 A with 11.3 A standing, factor 1.2 (invented boat).
        hours = charging.recharge_bulk_h(245.0, return_factor=1.2, charger_A=100.0, standing_A=11.3)
        source, load = steady(100.0, 6.0, 0.01), steady(11.3, 6.0, 0.01)
        trace = run(
            one_well(490.0),
            load,
            source,
            rated_Ah=490.0,
            step_h=0.01,
            efficiency=ChargeEfficiency(1 / 1.2, 0.9, 1 / 1.2),
            start_state_of_charge=0.5,
        )
        assert (trace.unused_A > 0).argmax() * 0.01 == pytest.approx(hours, abs=0.01)
        assert trace.state_of_charge[-1] == pytest.approx(1.0, abs=1e-12)

    @pytest.mark.parametrize("step", [1.0, 0.1])
    def test_taper_is_the_exponential_of_its_straight_line(self, step):
        # dq/dt = (C - q) / tau from half full has s(t) = 1 - 0.5 exp(-t / tau).
        trace = run(
            one_well(100.0),
            steady(0.0, 10.0, step),
            steady(1e3, 10.0, step),
            step_h=step,
            acceptance=Acceptance(empty_A=100.0 / 2.5, full_A=0.0),
            start_state_of_charge=0.5,
        )
        expected = 1 - 0.5 * np.exp(-trace.time_h / 2.5)
        assert trace.state_of_charge == pytest.approx(expected, abs=1e-12)

    def test_set_point_too_low_ends_charging_short(self):
        # 12.5 V into a bank of 11.9 V empty and 12.7 V full stops where it stands at 12.5 V: 75 %.
        acceptance = Acceptance(empty_A=0.6 / 0.02, full_A=-0.2 / 0.02)
        trace = run(
            one_well(100.0),
            steady(0.0, 200.0),
            steady(50.0, 200.0),
            acceptance=acceptance,
            start_state_of_charge=0.2,
        )
        assert trace.state_of_charge[-1] == pytest.approx(0.75, abs=1e-6)

    def test_efficiency_below_and_above_the_knee(self):
        trace = run(
            one_well(100.0),
            steady(0.0, 60.0),
            steady(2.0, 60.0),
            efficiency=LOSSY,
            start_state_of_charge=0.1,
        )
        put_in = -trace.bank_A + trace.lost_A
        below = trace.state_of_charge[1:] < 0.8
        charged = put_in > 0
        share = -trace.bank_A[charged] / put_in[charged]
        assert share[below[charged]] == pytest.approx(0.95)
        assert np.all(np.diff(share) <= 1e-12)
        assert share[-1] == pytest.approx(0.55, abs=0.02)

    def test_full_bank_takes_nothing(self, two_wells):
        source = steady(20.0, 5.0)
        trace = run(two_wells, 0 * source, source, efficiency=LOSSY)
        assert trace.total_Ah == pytest.approx(two_wells.total_Ah)
        assert trace.unused_A == pytest.approx(20.0)

    @settings(max_examples=25)
    @given(st.floats(0.0, 20.0), st.floats(0.0, 20.0))
    def test_more_standing_load_never_recharges_sooner(self, one, other):
        standing = np.sort([one, other])
        source, load = steady(40.0, 12.0), standing[:, None] + steady(0.0, 12.0)
        trace = run(
            one_well(100.0),
            load,
            source,
            efficiency=LOSSY,
            acceptance=Acceptance(100.0, 0.0),
            start_state_of_charge=0.5,
        )
        light, heavy = trace.state_of_charge
        assert np.all(heavy <= light + 1e-12)


def week(step, scale=1.0):
    """A timetable with every kind of load and source, seven days."""
    span = {"total_h": 168.0, "step_h": step}

    def again(start, lasts, current, every=24.0):
        starts = np.arange(start, 168.0, every)
        ends = np.minimum(starts + lasts, 168.0)
        return timetable.windows_A(
            starts, end_h=ends, current_A=np.full(len(starts), current), **span
        )

    load = again(19.0, 4.0, 6.0) + again(21.0, 10.0, 0.5) + again(0.0, 0.3, 5.0, every=0.75)
    source = again(8.0, 2.0, 45.0) + timetable.arch_A(30.0, rise_h=6.0, set_h=20.0, **span)
    return scale * load, source


def run_week(model, step, scale=1.0):
    load, source = week(step, scale)
    return run(
        model, load, source, step_h=step, efficiency=LOSSY, acceptance=Acceptance(120.0, 0.0)
    )


class TestBalance:
    def test_nothing_is_made_or_lost_in_a_year(self, two_wells):
        rng = np.random.default_rng(7)
        steps = 365 * 144
        load = rng.uniform(0.0, 8.0, steps)
        source = np.where(rng.random(steps) < 0.12, 45.0, 0.0)
        source[100 * 144 : 103 * 144] = 0.0
        trace = run(
            two_wells,
            load,
            source,
            efficiency=LOSSY,
            acceptance=Acceptance(120.0, 0.0),
            start_state_of_charge=0.7,
        )
        out = np.cumsum(trace.bank_A) * STEP_H
        assert np.abs(trace.total_Ah[0] - out - trace.total_Ah[1:]).max() < 1e-9
        busbar = source - load + trace.bank_A - trace.lost_A + trace.unserved_A - trace.unused_A
        assert np.abs(busbar).max() < 1e-9
        # The run must have met every limit, or it shows little.
        assert trace.unserved_A.max() > 0
        assert trace.unused_A.max() > 0
        assert trace.lost_A.min() >= 0
        assert trace.available_Ah.min() >= -1e-9
        assert trace.available_Ah.max() <= two_wells.fraction * two_wells.total_Ah + 1e-9

    def test_days_add_up(self, two_wells):
        trace = run_week(two_wells, STEP_H)
        day = simulation.per_day(trace)
        load, source = week(STEP_H)
        by_day = (load - source).reshape(7, 144).sum(axis=1) * STEP_H
        assert day.change_Ah == pytest.approx(day.stored_Ah - day.discharged_Ah)
        assert by_day == pytest.approx(
            day.discharged_Ah - day.stored_Ah - day.lost_Ah + day.unserved_Ah - day.unused_Ah
        )
        assert day.change_Ah.sum() == pytest.approx(trace.total_Ah[-1] - trace.total_Ah[0])

    def test_part_of_a_day_is_an_entry_of_its_own(self, two_wells):
        load = steady(1.0, 30.0)
        trace = run(two_wells, load)
        assert simulation.per_day(trace).discharged_Ah == pytest.approx([24.0, 6.0])

    def test_samples_are_the_same_as_one_by_one(self, two_wells):
        factor = np.array([0.5, 0.8, 1.0, 1.7])
        load, source = week(STEP_H)
        kind = {
            "source_A": source,
            "step_h": STEP_H,
            "efficiency": LOSSY,
            "acceptance": Acceptance(120.0, 0.0),
        }
        together = simulate(
            kinetic.scaled(two_wells, factor=factor),
            rated_Ah=100.0 * factor,
            load_A=load * np.array([[1.0], [1.5], [2.0], [0.7]]),
            **kind,
        )
        for i, scale in enumerate([1.0, 1.5, 2.0, 0.7]):
            alone = simulate(
                kinetic.scaled(two_wells, factor=factor[i]),
                rated_Ah=100.0 * factor[i],
                load_A=load * scale,
                **kind,
            )
            assert together.state_of_charge[i] == pytest.approx(alone.state_of_charge, abs=1e-12)
            assert together.unserved_A[i] == pytest.approx(alone.unserved_A, abs=1e-10)

    def test_one_sample_keeps_its_axis(self, two_wells):
        load = steady(1.0, 2.0)
        trace = run(two_wells, load, rated_Ah=np.array([100.0]))
        assert trace.state_of_charge.shape == (1, 13)
        assert simulation.lowest(trace)[0].shape == (1,)

    # The same timetable in steps half as long: state of charge moves by less than 0.001 anywhere.
    @pytest.mark.parametrize("scale", [0.6, 1.0, 1.4])
    @pytest.mark.parametrize("acceptance", [Acceptance(120.0, 0.0), None])
    def test_halving_the_step_changes_little(self, two_wells, scale, acceptance):
        load, source = week(STEP_H, scale)
        coarse, fine = (
            run(
                two_wells,
                np.repeat(load, n),
                np.repeat(source, n),
                step_h=STEP_H / n,
                efficiency=LOSSY,
                acceptance=acceptance,
            ).state_of_charge
            for n in (1, 2)
        )
        assert np.abs(coarse - fine[::2]).max() < 0.001

    # Cycles of 45 min averaged into steps of 10 min, against 1 min: less than 0.01.
    @pytest.mark.parametrize("scale", [0.6, 1.0, 1.4])
    def test_averaging_short_cycles_into_steps_changes_little(self, two_wells, scale):
        coarse = run_week(two_wells, STEP_H, scale).state_of_charge
        fine = run_week(two_wells, STEP_H / 10, scale).state_of_charge
        assert np.abs(coarse - fine[::10]).max() < 0.01


class TestBadInput:
    @pytest.mark.parametrize(
        ("changed", "said"),
        [
            ({"rated_Ah": 109.0}, "rated_Ah"),
            ({"load_A": [1.0, -1.0]}, "load_A"),
            ({"load_A": 1.0}, "load_A"),
            ({"source_A": [1.0]}, "source_A"),
            ({"start_state_of_charge": 1.1}, "start_state_of_charge"),
            ({"efficiency": ChargeEfficiency(0.8, 0.8, 0.9)}, "at_full"),
            ({"efficiency": ChargeEfficiency(0.8, 0.8, 0.0)}, "at_full"),
            ({"efficiency": ChargeEfficiency(1.1, 0.8, 0.9)}, "below_knee"),
            ({"efficiency": ChargeEfficiency(0.9, 1.0, 0.9)}, "knee"),
            ({"acceptance": Acceptance(10.0, 10.0)}, "empty_A"),
            ({"step_h": 0.0}, "time_h"),
        ],
    )
    def test_is_named(self, two_wells, changed, said):
        good = {
            "rated_Ah": 100.0,
            "load_A": [1.0, 1.0],
            "source_A": [0.0, 0.0],
            "step_h": 1.0,
            "efficiency": LOSSLESS,
        }
        with pytest.raises(InputError, match=said):
            simulate(two_wells, **{**good, **changed})

    def test_step_that_does_not_divide_a_day(self, two_wells):
        trace = simulate(
            two_wells,
            rated_Ah=100.0,
            load_A=[1.0],
            source_A=[0.0],
            step_h=0.7,
            efficiency=LOSSLESS,
        )
        with pytest.raises(InputError, match="divide a day"):
            simulation.per_day(trace)
