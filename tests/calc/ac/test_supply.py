"""What a supply does to a load: properties, and an invented boat by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc import ac
from elec.errors import InputError

AMPS = st.floats(0.0, 100.0)
VOLTS = st.floats(90.0, 500.0)


def test_climate_inlet_by_hand():
    # climate inlet of a 19 m motor yacht, amps from plates; the last is the dive compressor
    total = 10.5 + 7.2 + 7.2 + 4.8 + 3.5 + 12.0
    assert total == pytest.approx(45.2, abs=0.05)
    on_208 = {"rated_V": 240, "supply_V": 208, "behaviour": "motor"}
    assert ac.current_at_supply_A(total, **on_208) == pytest.approx(52.2, abs=0.05)
    without = total - 12.0
    assert without == pytest.approx(33.2, abs=0.05)
    assert ac.current_at_supply_A(without, **on_208) == pytest.approx(38.3, abs=0.05)
    # the voltage below which the inlet is overloaded, 217.0 V, is where it carries 50 A
    for volts, over in ((217.05, False), (216.9, True)):
        found = ac.current_at_supply_A(total, rated_V=240, supply_V=volts, behaviour="motor")
        assert bool(found > 50) is over


@given(AMPS, VOLTS, VOLTS)
def test_resistance_and_constant_power_answer_in_opposite_ways(amps, rated, supply):
    resists, holds = (
        ac.current_at_supply_A(amps, rated_V=rated, supply_V=supply, behaviour=behaviour)
        for behaviour in ("resistance", "constant power")
    )
    assert resists * holds == pytest.approx(amps**2, rel=1e-9)
    assert holds * supply == pytest.approx(amps * rated, rel=1e-9)
    assert ac.current_at_supply_A(
        amps, rated_V=rated, supply_V=supply, behaviour="motor"
    ) == pytest.approx(holds, rel=1e-12)


def test_a_behaviour_for_each_load():
    found = ac.current_at_supply_A(
        [[10.0, 10.0]] * 3,
        rated_V=240,
        supply_V=[[200.0], [220.0], [240.0]],
        behaviour=("resistance", "motor"),
    )
    assert found[:, 0] == pytest.approx([10 * 200 / 240, 10 * 220 / 240, 10])
    assert found[:, 1] == pytest.approx([12, 10 * 240 / 220, 10])
    with pytest.raises(InputError, match=r"behaviour: 'lamp'.*\n.*constant power"):
        ac.current_at_supply_A([1, 2], rated_V=1, supply_V=1, behaviour=("motor", "lamp"))


def test_motor_of_60_Hz_on_50_Hz():
    # by hand: 230 V x 50/60 = 191.7 V keeps the flux; at 230 V it is 1.2 times, at 5/6 the speed
    given_Hz = {"supply_Hz": 50, "rated_V": 230, "rated_Hz": 60}
    assert ac.volts_per_hertz_ratio(230 * 50 / 60, **given_Hz) == pytest.approx(1, rel=1e-12)
    assert ac.volts_per_hertz_ratio(230, **given_Hz) == pytest.approx(1.2, rel=1e-12)
    assert ac.motor_speed_ratio(50, rated_Hz=60) == pytest.approx(5 / 6, rel=1e-12)


def test_supply_resistance_from_two_readings():
    # 122.0 V without and 116.0 V with 24 A: 0.25 ohm
    found = ac.supply_resistance_ohm(122, loaded_V=116, added_current_A=24)
    assert found == pytest.approx(0.25, rel=1e-12)
    with pytest.raises(InputError, match="123 V is above the 122 V without load"):
        ac.supply_resistance_ohm(122, loaded_V=[120, 123], added_current_A=24)
    with pytest.raises(InputError, match="added_current_A"):
        ac.supply_resistance_ohm(122, loaded_V=120, added_current_A=0)


@given(AMPS, st.floats(0.001, 0.02), st.floats(1, 50), VOLTS)
def test_supply_resistance_gives_back_the_drop(amps, ohm_per_m, length, volts):
    drop = ac.voltage_drop_V(amps, length_one_way_m=length, resistance_ohm_per_m=ohm_per_m)
    if not (1e-6 < drop < volts):
        return
    found = ac.supply_resistance_ohm(volts, loaded_V=volts - drop, added_current_A=amps)
    assert found == pytest.approx(2 * length * ohm_per_m, rel=1e-6)
