"""Currents from power: properties, and an invented boat by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc import ac
from elec.errors import InputError

FACTORS = st.floats(0.05, 1.0)
VOLTS = st.floats(90.0, 500.0)


@pytest.mark.parametrize(("watts", "amps"), [(7950, 34.6), (4800, 20.9), (3600, 15.7)])
def test_sloop_inlet_by_hand(watts, amps):
    # a 16 A 230 V inlet; the charger's VA at power factor 1
    assert ac.current_A(watts, voltage_V=230) == pytest.approx(amps, abs=0.05)


def test_inverter_current_is_greatest_at_the_lowest_bank_voltage():
    # by hand: 2000 W / (10.5 V x 0.88) = 216.5 A, and 2 A of idle draw
    found = ac.inverter_dc_current_A(2000, bank_V=[10.5, 12.8], efficiency=0.88, idle_A=2)
    assert found[0] == pytest.approx(216.45 + 2, abs=0.005)
    assert found[0] > found[1]
    with pytest.raises(InputError, match="efficiency"):
        ac.inverter_dc_current_A(2000, bank_V=12, efficiency=88)


@given(st.floats(0, 1e5), VOLTS, FACTORS)
def test_units_scale_and_three_phases_share(watts, volts, factor):
    one = ac.current_A(watts, voltage_V=volts, power_factor=factor)
    assert ac.current_A(10 * watts, voltage_V=10 * volts, power_factor=factor) == pytest.approx(one)
    # three phases line to line are three line-to-neutral loads of a third of the power
    lines = ac.three_phase_current_A(watts, voltage_line_to_line_V=volts, power_factor=factor)
    third = ac.current_A(watts / 3, voltage_V=volts / math.sqrt(3), power_factor=factor)
    assert lines == pytest.approx(third, rel=1e-9)
