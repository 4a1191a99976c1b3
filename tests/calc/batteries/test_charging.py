"""Charging: edges, properties, and the arithmetic of two invented boats."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.batteries import charging
from elec.errors import InputError

CHARGE = st.floats(0.1, 2000.0)
CURRENT = st.floats(0.1, 500.0)
FACTOR = st.floats(1.0, 1.5)


def test_invented_motor_yacht():
    # By hand: 100 A on 490 Ah; 245 Ah back with factor 1.2 while feeding 11.3 A.
    assert charging.charger_fraction(100.0, capacity_Ah=490.0) == pytest.approx(0.20, abs=0.005)
    hours = charging.recharge_bulk_h(245.0, return_factor=1.2, charger_A=100.0, standing_A=11.3)
    assert hours == pytest.approx(3.3, abs=0.05)


def test_invented_sloop():
    # By hand: 350 W flat, 4.5 h, factor 0.70; 180 Ah back with 1.15 at 40 A less 3.6 A; a 20 A
    # converter from 13.8 V to 28 V at 0.88.
    sun = charging.solar_charge_Ah(350.0, peak_sun_h=4.5, system_fraction=0.70, voltage_V=24.0)
    assert sun == pytest.approx(45.9, abs=0.05)
    assert 86.4 - sun == pytest.approx(40.4, abs=0.1)
    assert charging.charger_fraction(40.0, capacity_Ah=360.0) == pytest.approx(0.11, abs=0.005)
    hours = charging.recharge_bulk_h(180.0, return_factor=1.15, charger_A=40.0, standing_A=3.6)
    assert hours == pytest.approx(5.7, abs=0.05)
    drawn = charging.converter_input_A(20.0, output_V=28.0, input_V=13.8, efficiency=0.88)
    assert drawn == pytest.approx(46.1, abs=0.05)


@given(CHARGE, FACTOR, CURRENT, CURRENT, CURRENT)
def test_more_standing_load_never_recharges_sooner(charge, factor, charger, one, other):
    standing = np.sort([one, other])
    hours = charging.recharge_bulk_h(
        charge, return_factor=factor, charger_A=charger, standing_A=standing
    )
    assert hours[1] >= hours[0]


@given(CHARGE, FACTOR, st.floats(0.1, 48.0), st.floats(0.0, 100.0))
def test_charger_for_a_time_takes_that_time(charge, factor, hours, standing):
    charger = charging.charger_for_time_A(
        charge, return_factor=factor, time_h=hours, standing_A=standing
    )
    found = charging.recharge_bulk_h(
        charge, return_factor=factor, charger_A=charger, standing_A=standing
    )
    # The difference of two close currents is what limits the digits.
    assert found == pytest.approx(hours, rel=1e-9 * (1 + standing * hours / charge))


def test_charger_that_does_not_gain_never_recharges():
    hours = charging.recharge_bulk_h(
        [10.0, 10.0, 10.0, 0.0],
        return_factor=1.1,
        charger_A=[20.0, 10.0, 5.0, 5.0],
        standing_A=10.0,
    )
    assert hours.tolist() == [1.1, np.inf, np.inf, 0.0]


@given(st.floats(1.0, 1000.0), FACTOR, CURRENT)
def test_hold_hours_balance_the_day(daily, factor, charger):
    hours = float(charging.hold_hours_per_day_h(daily, return_factor=factor, charger_A=charger))
    load = daily / 24
    if charger < load:
        assert hours == np.inf
        return
    assert 0 < hours <= 24 * (1 + 1e-12)
    put_in = (charger - load) * hours
    taken = load * (24 - hours)
    assert put_in == pytest.approx(taken * factor, rel=1e-9, abs=1e-9 * daily)


def test_hold_hours_without_load_or_charger():
    hours = charging.hold_hours_per_day_h([0.0, 24.0], return_factor=1.2, charger_A=0.0)
    assert hours.tolist() == [0.0, np.inf]


SETPOINT = {
    "cells": 6,
    "slope_V_per_K": -0.004,
    "reference_temperature_C": 25.0,
    "coldest_C": 0.0,
    "warmest_C": 50.0,
}


def test_set_point_stays_beyond_the_range_it_may_follow():
    voltage = charging.setpoint_V(14.4, temperature_C=[-20.0, 0.0, 25.0, 50.0, 70.0], **SETPOINT)
    assert voltage == pytest.approx([15.0, 15.0, 14.4, 13.8, 13.8])


def test_no_slope_for_chemistries_without_compensation():
    voltage = charging.setpoint_V(
        14.2, temperature_C=[0.0, 40.0], **{**SETPOINT, "slope_V_per_K": 0.0}
    )
    assert voltage.tolist() == [14.2, 14.2]


@pytest.mark.parametrize(("name", "value"), [("slope_V_per_K", 0.004), ("coldest_C", 50.0)])
def test_bad_set_point_is_refused(name, value):
    with pytest.raises(InputError, match=name):
        charging.setpoint_V(14.4, temperature_C=20.0, **{**SETPOINT, name: value})


@pytest.mark.parametrize(
    ("name", "value"),
    [("return_factor", 0.99), ("charger_A", -1.0), ("standing_A", -1.0), ("removed_Ah", np.nan)],
)
def test_bad_recharge_is_refused(name, value):
    good = {"removed_Ah": 100.0, "return_factor": 1.1, "charger_A": 30.0, "standing_A": 5.0}
    with pytest.raises(InputError, match=name):
        charging.recharge_bulk_h(**{**good, name: value})
