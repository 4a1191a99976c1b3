"""Drop, loaded conductors and contacts: closed forms, properties, invented boats by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc import ac
from elec.errors import InputError

FACTORS = st.floats(0.05, 1.0)


def test_yacht_cord_by_hand():
    # 75 ft of 0.491 ohm per 1000 ft under 45.2 A, both ways: 3.33 V, 1.4 % of 240 V
    found = ac.voltage_drop_V(
        45.2, length_one_way_m=75 * 0.3048, resistance_ohm_per_m=0.491 / 304.8
    )
    assert found == pytest.approx(3.33, abs=0.005)
    assert 100 * found / 240 == pytest.approx(1.4, abs=0.05)


def test_contact_of_a_browned_inlet_by_hand():
    assert ac.contact_heating_W(38, drop_V=0.35) == pytest.approx(13.3, abs=0.05)
    assert 1000 * ac.contact_resistance_ohm(38, drop_V=0.35) == pytest.approx(9.2, abs=0.05)


@pytest.mark.parametrize(
    ("ohm_per_m", "volts", "percent"),
    [(0.00798, 6.24, 2.7), (0.0164 / 2.5, 5.13, 2.2)],
)
def test_sloop_cord_by_hand(ohm_per_m, volts, percent):
    # 25 m of 2.5 mm2 under 15.65 A: 7.98 ohm/km of class 5 at 20 °C, and the constant of 0.0164
    found = ac.voltage_drop_V(15.65, length_one_way_m=25, resistance_ohm_per_m=ohm_per_m)
    assert found == pytest.approx(volts, abs=0.005)
    assert 100 * found / 230 == pytest.approx(percent, abs=0.05)


@given(st.floats(1, 100), st.floats(1, 100), st.floats(1e-4, 0.01), st.floats(0, 1e-3), FACTORS)
def test_drop_is_no_more_than_the_phasor_drop_and_grows_with_reactance(
    amps, length, ohms, reactance, factor
):
    wire = {"length_one_way_m": length, "resistance_ohm_per_m": ohms, "power_factor": factor}
    with_x = ac.voltage_drop_V(amps, reactance_ohm_per_m=reactance, **wire)
    assert with_x <= 2 * amps * length * math.hypot(ohms, reactance) * (1 + 1e-12)
    assert with_x >= ac.voltage_drop_V(amps, **wire)


@given(st.floats(5, 60), FACTORS)
def test_drop_is_that_of_the_circuit_to_first_order(amps, factor):
    # exact magnitudes: source voltage of a load of 230 V behind R + jX, less 230 V
    ohms, reactance, length = 1.2e-3, 0.16e-3, 20.0
    current = amps * complex(factor, -math.sqrt(1 - factor**2))
    exact = abs(230 + 2 * length * complex(ohms, reactance) * current) - 230
    found = ac.voltage_drop_V(
        amps,
        length_one_way_m=length,
        resistance_ohm_per_m=ohms,
        reactance_ohm_per_m=reactance,
        power_factor=factor,
    )
    across = 2 * length * amps * math.hypot(ohms, reactance)
    assert abs(exact - found) <= across**2 / (2 * 230) + 1e-9


def test_circuits():
    one = {"length_one_way_m": 10, "resistance_ohm_per_m": 1e-3}
    two_wire, leg, lines = (
        ac.voltage_drop_V(10, circuit=circuit, **one)
        for circuit in ("two-wire", "balanced split-phase leg", "three-phase line-to-line")
    )
    assert two_wire == pytest.approx(0.2, rel=1e-12)
    assert leg == pytest.approx(two_wire / 2, rel=1e-12)
    assert lines == pytest.approx(two_wire * math.sqrt(3) / 2, rel=1e-12)
    with pytest.raises(InputError, match="circuit: 'loop'"):
        ac.voltage_drop_V(10, circuit="loop", **one)
    with pytest.raises(InputError, match="length_one_way_m"):
        ac.voltage_drop_V(10, length_one_way_m=0, resistance_ohm_per_m=1e-3)


@pytest.mark.parametrize(
    ("system", "nonlinear", "count"),
    [
        ("single", False, 2),
        ("single", True, 2),
        ("split-phase", False, 2),
        ("wye two legs", False, 3),
        ("three-phase wye", False, 3),
        ("three-phase wye", True, 4),
    ],
)
def test_loaded_conductors(system, nonlinear, count):
    assert ac.loaded_conductors(system=system, mostly_nonlinear=nonlinear) == count


@given(st.floats(0.1, 100), st.floats(0, 2))
def test_contact_heat_is_current_squared_times_resistance(amps, drop):
    ohms = ac.contact_resistance_ohm(amps, drop_V=drop)
    assert ac.contact_heating_W(amps, drop_V=drop) == pytest.approx(amps**2 * ohms, rel=1e-9)
    with pytest.raises(InputError, match="current_A: 0"):
        ac.contact_resistance_ohm(0, drop_V=drop)
