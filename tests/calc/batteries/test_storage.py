"""Banks at rest: edges, properties, and the arithmetic of two invented boats."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.batteries import storage
from elec.errors import InputError

CAPACITY = st.floats(20.0, 2000.0)
CURRENT = st.floats(0.05, 500.0)
EXPONENT = st.floats(1.0, 1.6)
FRACTION = st.floats(0.05, 1.0)


class TestInventedMotorYacht:
    """Arithmetic done by hand for an invented boat: 4 x 12 V 245 Ah as two pairs on 24 V."""

    # A for h, then duty; the two in Wh at 24 V, the inverter at 88 %.
    def daily(self):
        loads = [
            storage.daily_charge_Ah([3.2, 3.2], duty=0.5, hours_h=24.0).sum(),
            storage.charge_from_energy_Ah(120.0 * 5.0, voltage_V=24.0),
            storage.charge_from_energy_Ah(6.0 * 11.0, voltage_V=24.0),
            storage.daily_charge_Ah(10.0, hours_h=0.7),
            storage.daily_charge_Ah(15.0, hours_h=0.3),
            storage.daily_charge_Ah(2.5, hours_h=24.0),
            storage.daily_charge_Ah(1.2, hours_h=24.0),
            storage.charge_from_energy_Ah(1350.0, voltage_V=24.0, efficiency=0.88),
            3.0,
        ]
        for load, by_hand in zip(loads, [76.8, 25, 2.75, 7, 4.5, 60, 28.8, 63.9, 3], strict=True):
            assert load == pytest.approx(by_hand, abs=0.05)
        return sum(loads)

    def test_bank_and_autonomy(self):
        daily = self.daily()
        assert daily == pytest.approx(271.8, abs=0.05)
        bank = storage.bank_capacity_Ah(245.0, strings=2)
        assert bank == 490.0
        hours = storage.autonomy_h(bank, current_A=daily / 24, usable_fraction=0.5)
        assert hours / 24 == pytest.approx(0.90, abs=0.005)
        assert hours == pytest.approx(21.6, abs=0.05)

    def test_day_needs_more_than_is_there_when_new(self):
        needed = storage.bank_needed_Ah(self.daily(), days=1.0, usable_fraction=0.5)
        assert needed == pytest.approx(543.5, abs=0.15)
        assert needed > 490.0


class TestInventedSloop:
    """Arithmetic done by hand for an invented boat: 4 x 12 V 180 Ah as two pairs on 24 V."""

    def daily(self, duty):
        return (
            storage.daily_charge_Ah(2.6, duty=duty, hours_h=24.0)
            + storage.charge_from_energy_Ah(160.0 + 25.0 + 200.0, voltage_V=24.0)
            + storage.daily_charge_Ah(0.4, hours_h=24.0)
            + 2.0
            + storage.daily_charge_Ah(18.0, hours_h=0.15)
            + storage.daily_charge_Ah(0.5, hours_h=24.0)
            + storage.charge_from_energy_Ah(150.0, voltage_V=24.0, efficiency=0.90)
            + storage.daily_charge_Ah(1.5, hours_h=6.0)
        )

    @pytest.mark.parametrize(("duty", "days"), [(0.35, 2.25), (0.45, 2.08), (0.60, 1.88)])
    def test_days_as_new(self, duty, days):
        daily = self.daily(np.array(duty))
        hours = storage.autonomy_h(360.0, current_A=daily / 24, usable_fraction=0.5)
        assert hours / 24 == pytest.approx(days, abs=0.005)

    @pytest.mark.parametrize(
        ("left", "days"), [(0.8, [1.80, 1.67, 1.50]), (0.5, [1.12, 1.04, 0.94])]
    )
    def test_days_when_worn(self, left, days):
        daily = self.daily(np.array([0.35, 0.45, 0.60]))
        hours = storage.autonomy_h(
            360.0, current_A=daily / 24, usable_fraction=0.5, remaining_fraction=left
        )
        assert hours / 24 == pytest.approx(days, abs=0.01)

    def test_daily_charge_and_the_duty_on_which_two_days_turn(self):
        assert self.daily(0.45) == pytest.approx(86.4, abs=0.05)
        needed = storage.bank_needed_Ah(
            self.daily(np.array([0.35, 0.45, 0.60])), days=2.0, usable_fraction=0.5
        )
        assert needed == pytest.approx([320, 345, 383], abs=0.7)
        fixed = self.daily(0.0)
        turn = (360.0 / 4.0 - fixed) / (2.6 * 24.0)
        assert turn == pytest.approx(0.508, abs=0.0005)


class TestPeukert:
    def test_rated_capacity_at_and_below_the_rated_current(self):
        found = storage.peukert_capacity_Ah(
            100.0, rate_h=20.0, current_A=[0.0, 1.0, 4.999, 5.0], exponent=1.3
        )
        assert found.tolist() == [100.0] * 4
        above = storage.peukert_capacity_Ah(100.0, rate_h=20.0, current_A=5.001, exponent=1.3)
        assert above < 100.0

    def test_exponent_one_means_no_effect_of_rate(self):
        assert storage.peukert_capacity_Ah(
            100.0, rate_h=20.0, current_A=80.0, exponent=1.0
        ) == pytest.approx(100.0)

    @given(CAPACITY, CURRENT, EXPONENT)
    def test_time_and_emptying_time_agree(self, capacity, current, exponent):
        hours = storage.peukert_time_h(capacity, rate_h=20.0, current_A=current, exponent=exponent)
        given_in = storage.peukert_capacity_in_Ah(
            capacity, rate_h=20.0, time_h=hours, exponent=exponent
        )
        assert given_in == pytest.approx(min(hours * current, capacity), rel=1e-9), (
            "capacity emptied in t must be the current that empties it in t, times t"
        )

    @given(CAPACITY, st.floats(1.0, 50.0), EXPONENT, EXPONENT)
    def test_higher_exponent_never_lasts_longer(self, capacity, factor, one, other):
        low, high = sorted((one, other))
        current = capacity / 20.0 * factor
        times = storage.peukert_time_h(
            capacity, rate_h=20.0, current_A=current, exponent=np.array([low, high])
        )
        assert times[1] <= times[0] * (1 + 1e-12)

    @given(st.floats(1.01, 1.59), CAPACITY)
    def test_exponent_comes_back_from_two_tests(self, exponent, capacity):
        currents = np.array([capacity / 20.0 * 2.0, capacity / 20.0 * 9.0])
        times = storage.peukert_time_h(capacity, rate_h=20.0, current_A=currents, exponent=exponent)
        found = storage.peukert_exponent(
            currents[0], time_h=times[0], other_current_A=currents[1], other_time_h=times[1]
        )
        assert found == pytest.approx(exponent, rel=1e-9)

    @pytest.mark.parametrize("exponent", [0.999, 1.601, float("nan")])
    def test_exponent_out_of_range_is_refused(self, exponent):
        with pytest.raises(InputError, match="exponent"):
            storage.peukert_time_h(100.0, rate_h=20.0, current_A=5.0, exponent=exponent)

    @pytest.mark.parametrize("exponent", [1.0, 1.6])
    def test_ends_of_the_range_are_accepted(self, exponent):
        assert storage.peukert_time_h(100.0, rate_h=20.0, current_A=5.0, exponent=exponent) == 20.0

    def test_two_tests_too_far_apart_are_refused(self):
        # 10 A for 10 h and 20 A for 3 h would be an exponent of 1.74.
        with pytest.raises(InputError, match=r"1\.74"):
            storage.peukert_exponent(20.0, time_h=3.0, other_current_A=10.0, other_time_h=10.0)

    def test_equal_currents_are_refused(self):
        with pytest.raises(InputError, match="equal"):
            storage.peukert_exponent(10.0, time_h=9.0, other_current_A=10.0, other_time_h=10.0)


class TestAutonomy:
    @given(CAPACITY, st.floats(1.0, 3.0), CURRENT, FRACTION)
    def test_bigger_bank_never_lasts_less(self, capacity, factor, current, usable):
        one, other = (
            storage.autonomy_h(c, current_A=current, usable_fraction=usable)
            for c in (capacity, capacity * factor)
        )
        assert other >= one

    @given(CAPACITY, CURRENT, st.floats(0.8, 1.6), st.floats(0.8, 1.6))
    def test_colder_never_lasts_more(self, capacity, current, one, other):
        warm, cold = sorted((one, other))  # factor on the size rises in the cold
        hours = storage.autonomy_h(
            capacity,
            current_A=current,
            usable_fraction=0.5,
            temperature_size_factor=np.array([warm, cold]),
        )
        assert hours[1] <= hours[0]

    @given(st.floats(1.0, 1000.0), st.floats(0.1, 10.0), FRACTION, FRACTION, st.floats(0.8, 1.6))
    def test_needed_bank_lasts_exactly(self, daily, days, usable, left, cold):
        factors = {
            "usable_fraction": usable,
            "remaining_fraction": left,
            "temperature_size_factor": cold,
        }
        bank = storage.bank_needed_Ah(daily, days=days, **factors)
        assert storage.autonomy_h(bank, current_A=daily / 24, **factors) == pytest.approx(
            24 * days, rel=1e-9
        )

    def test_no_load_lasts_for_ever_and_nothing_left_not_at_all(self):
        hours = storage.autonomy_h(100.0, current_A=[0.0, 1.0], usable_fraction=0.5)
        assert hours.tolist() == [np.inf, 50.0]
        assert storage.autonomy_h(
            100.0, current_A=1.0, usable_fraction=0.5, remaining_fraction=0.0
        ) == pytest.approx(0.0)

    def test_scalars_give_a_scalar(self):
        assert isinstance(storage.autonomy_h(100.0, current_A=5.0, usable_fraction=0.5), float)

    @pytest.mark.parametrize(
        ("name", "value"),
        [
            ("usable_fraction", 0.0),
            ("usable_fraction", 1.01),
            ("remaining_fraction", -0.1),
            ("temperature_size_factor", 0.0),
            ("current_A", -1.0),
            ("current_A", float("nan")),
            ("capacity_Ah", float("inf")),
            ("capacity_Ah", 0.0),
        ],
    )
    def test_bad_input_names_the_argument(self, name, value):
        good = {"capacity_Ah": 100.0, "current_A": 5.0, "usable_fraction": 0.5}
        with pytest.raises(InputError, match=name):
            storage.autonomy_h(**{**good, name: value})


class TestBankOfUnits:
    @pytest.mark.parametrize("strings", [0, -1, 1.5])
    def test_strings_are_whole(self, strings):
        with pytest.raises(InputError, match="strings"):
            storage.bank_capacity_Ah(100.0, strings=strings)


@pytest.mark.parametrize(("name", "value"), [("duty", -0.1), ("duty", 1.1), ("hours_h", -1.0)])
def test_bad_load_is_refused(name, value):
    good = {"current_A": 5.0, "duty": 0.5, "hours_h": 24.0}
    with pytest.raises(InputError, match=name):
        storage.daily_charge_Ah(**{**good, name: value})


@pytest.mark.parametrize(("name", "value"), [("efficiency", 0.0), ("efficiency", 1.1)])
def test_bad_efficiency_is_refused(name, value):
    with pytest.raises(InputError, match=name):
        storage.charge_from_energy_Ah(100.0, voltage_V=12.0, efficiency=value)


@given(charge=CAPACITY, current=CURRENT, exponent=EXPONENT)
def test_capacity_needed_gives_the_charge_and_no_more(charge, current, exponent):
    rule = {"current_A": current, "rate_h": 20.0, "exponent": exponent}
    needed = storage.peukert_capacity_needed_Ah(charge, **rule)
    assert storage.peukert_capacity_Ah(needed, **rule) == pytest.approx(charge, rel=1e-9)
    assert storage.peukert_capacity_Ah(0.99 * needed, **rule) < charge


def test_capacity_needed_at_the_rated_current_is_the_charge_itself():
    rule = {"rate_h": 20.0, "exponent": 1.2}
    assert storage.peukert_capacity_needed_Ah(100.0, current_A=5.0, **rule) == pytest.approx(100.0)
    assert storage.peukert_capacity_needed_Ah(100.0, current_A=4.9, **rule) == 100.0
    assert storage.peukert_capacity_needed_Ah(100.0, current_A=5.1, **rule) > 100.0


@pytest.mark.parametrize("name", ["charge_Ah", "current_A", "rate_h", "exponent"])
def test_capacity_needed_refuses_what_is_senseless(name):
    given = {"charge_Ah": 100.0, "current_A": 10.0, "rate_h": 20.0, "exponent": 1.2, name: -1.0}
    with pytest.raises(InputError, match=name):
        storage.peukert_capacity_needed_Ah(given.pop("charge_Ah"), **given)
