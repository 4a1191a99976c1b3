"""Motor starting, dip, derating and fuel: edges and properties (published values are apart)."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.ac import motors
from elec.errors import InputError

POWERS = st.floats(100, 1e5)
REACTANCES = st.floats(0.05, 0.5)


@given(POWERS, POWERS, REACTANCES)
def test_dip_is_that_of_two_reactances_in_series(start, rating, reactance):
    # the motor held still as a reactance 1/S at rated voltage, behind X'd/Sg
    motor, alternator = 1 / start, reactance / rating
    found = motors.starting_dip(start, generator_VA=rating, transient_reactance=reactance)
    assert found == pytest.approx(alternator / (alternator + motor), rel=1e-12)


@given(POWERS, REACTANCES, st.floats(0.01, 0.9))
def test_largest_start_gives_its_dip(rating, reactance, dip):
    start = motors.largest_start_VA(rating, transient_reactance=reactance, dip=dip)
    assert motors.starting_dip(
        start, generator_VA=rating, transient_reactance=reactance
    ) == pytest.approx(dip, rel=1e-9)


@given(POWERS, st.floats(1, 1000), POWERS, REACTANCES)
def test_larger_generator_never_dips_more(start, more, rating, reactance):
    small, large = (
        motors.starting_dip(start, generator_VA=size, transient_reactance=reactance)
        for size in (rating, rating + more)
    )
    assert large <= small


def test_dip_edges():
    sized = {"generator_VA": 20_000, "transient_reactance": 0.23}
    assert motors.starting_dip(0, **sized) == 0
    assert motors.largest_start_VA(20_000, transient_reactance=0.23, dip=0) == 0
    with pytest.raises(InputError, match="dip"):
        motors.largest_start_VA(20_000, transient_reactance=0.23, dip=1)
    with pytest.raises(InputError, match="transient_reactance"):
        motors.starting_dip(1000, generator_VA=20_000, transient_reactance=0)


@given(POWERS, st.floats(0.5, 1), st.floats(0.5, 1))
def test_derating_never_adds(rating, hot, high):
    found = motors.derated_VA(rating, ambient_factor=hot, altitude_factor=high)
    assert found <= rating
    assert found <= motors.derated_VA(rating, ambient_factor=hot, altitude_factor=1)


@pytest.mark.parametrize("factor", [0, 1.01, math.nan])
def test_derating_factor_refused(factor):
    with pytest.raises(InputError, match="ambient_factor"):
        motors.derated_VA(1000, ambient_factor=factor, altitude_factor=1)


CHART = {"listed_fraction": [0.25, 0.5, 1.0], "listed_L_per_h": [2.0, 3.0, 6.0]}


def test_fuel_between_rows():
    # by hand: halfway from 0.25 to 0.5, and 1/5 of the way from 0.5 to 1
    found = motors.fuel_L_per_h([0.25, 0.375, 0.6, 1.0], **CHART)
    assert found == pytest.approx([2.0, 2.5, 3.6, 6.0], rel=1e-12)


@pytest.mark.parametrize(
    "chart",
    [
        {"listed_fraction": [0.5, 0.25], "listed_L_per_h": [1, 2]},
        {"listed_fraction": [0.5, 0.5], "listed_L_per_h": [1, 2]},
        {"listed_fraction": [0.25, 0.5], "listed_L_per_h": [1, 2, 3]},
    ],
)
def test_fuel_chart_refused(chart):
    with pytest.raises(InputError, match="not ascending"):
        motors.fuel_L_per_h(0.5, **chart)


@pytest.mark.parametrize("load", [0.2499, 1.0001, math.nan])
def test_fuel_outside_its_rows_refused(load):
    with pytest.raises(InputError, match="load_fraction"):
        motors.fuel_L_per_h(load, **CHART)


def test_arrays_broadcast():
    found = motors.starting_dip(
        np.array([1e3, 2e3])[:, None],
        generator_VA=np.array([1e4, 2e4, 3e4]),
        transient_reactance=0.2,
    )
    assert found.shape == (2, 3)
