"""Gas and air: edges and properties; printed answers are in tests/published."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.batteries import ventilation
from elec.errors import InputError


@given(st.floats(1.0, 5000.0), st.integers(1, 120), st.floats(0.5, 50.0))
def test_flow_rises_with_everything(capacity, cells, gassing):
    flow = ventilation.gassing_flow_m3_per_h(
        capacity * np.array([1.0, 2.0]),
        cells=cells,
        gassing_mA_per_Ah=gassing,
        air_m3_per_Ah=0.05,
    )
    assert flow[1] == pytest.approx(2 * flow[0])
    area = ventilation.opening_area_m2(flow, area_m2_per_m3_per_h=28e-4)
    diameter = ventilation.opening_diameter_m(area)
    assert np.pi / 4 * diameter**2 == pytest.approx(area)


# Exactly on a limit: "over 2 kW", "0.2 to 2 kW", "under 0.2 kW" (46 CFR 111.15-3).
@pytest.mark.parametrize(
    ("power", "three", "two"),
    [
        (0.0, "small", "small"),
        (199.99, "small", "small"),
        (200.0, "moderate", "small"),
        (2000.0, "moderate", "small"),
        (2000.01, "large", "large"),
    ],
)
def test_class_on_both_sides_of_each_limit_and_on_it(power, three, two):
    assert ventilation.charger_class(power, large_above_W=2000.0, small_below_W=200.0) == three
    assert ventilation.charger_class(power, large_above_W=2000.0) == two


def test_classes_over_samples():
    found = ventilation.charger_class(
        [100.0, 500.0, 3000.0], large_above_W=2000.0, small_below_W=200.0
    )
    assert found.tolist() == ["small", "moderate", "large"]


def test_limits_in_the_wrong_order_are_refused():
    with pytest.raises(InputError, match="small_below_W"):
        ventilation.charger_class(100.0, large_above_W=200.0, small_below_W=2000.0)


@pytest.mark.parametrize(
    ("name", "value"), [("charging_A", 41.0), ("charging_A", -1.0), ("least_share", 1.5)]
)
def test_bad_ship_form_is_refused(name, value):
    good = {
        "charger_A": 40.0,
        "charging_A": 10.0,
        "cells": 6,
        "flow_m3_per_Ah": 0.11,
        "least_share": 0.25,
    }
    with pytest.raises(InputError, match=name):
        ventilation.ship_flow_m3_per_h(**{**good, name: value})
