"""What an AC load draws, from what was noted of it."""

import pytest

from elec.boat.ac_loads import SERVICES, draw, loads_of
from elec.boat.read import from_data
from elec.boat.records import BoatFile
from elec.errors import InputError


def drawn(service="120/240 V", **load):
    data = {"boat": {"name": "x"}, "ac_load": [{"id": "l"} | load]}
    return draw(BoatFile.model_validate(data).ac_load[0], SERVICES[service])


def test_three_phase_current_is_power_over_root_three_times_line_voltage():
    # S = sqrt(3) V I: 11,085 VA at 400 V is 16 A (IEC 60309 rating)
    one = drawn("230/400 V three-phase", apparent_power="11085 VA", legs="all")
    assert one.current.best == pytest.approx(16.0, abs=0.005)


def test_a_heater_in_watts_has_one_current():
    one = drawn(power="1500 W", volts="120 V", behaviour="resistance")
    assert one.current.span == pytest.approx((12.5,) * 3)


def test_watts_of_anything_else_leave_the_power_factor_open():
    # UFC 3-520-01 (2002) B-2.1: 0.8 where it is unknown
    one = drawn(power="1200 W", volts="120 V", behaviour="constant power")
    assert one.current.span[0] == pytest.approx(10.0)
    assert one.current.span[2] == pytest.approx(12.5)
    assert one.current.origin == "typical"


def test_a_noted_power_factor_settles_it():
    one = drawn(power="1200 W", volts="120 V", power_factor="0.8")
    assert one.current.span == pytest.approx((12.5,) * 3)


def test_neither_volts_nor_legs_noted_leaves_both_voltages_open():
    one = drawn(power="2400 W", behaviour="resistance")
    assert (one.current.span[0], one.current.span[2]) == pytest.approx((10.0, 20.0))
    assert one.legs == ()


def test_a_load_without_figure_or_kind_may_take_anything_to_a_branch_circuit():
    one = drawn(volts="120 V")
    assert one.current.span[0] == 0
    assert one.current.span[2] >= 50
    assert one.current.origin == "typical"


def test_the_only_inlet_feeds_loads_that_name_none():
    data = {
        "boat": {"name": "x"},
        "inlet": [{"id": "i", "service": "230 V"}],
        "ac_load": [{"id": "l", "power": "7 kW"}],
    }
    assert [load.id for load in loads_of(BoatFile.model_validate(data), "i")] == ["l"]


def test_a_power_factor_may_lead():
    assert drawn(power_factor="0.95 leading").leads
    assert drawn(power_factor="0.9..0.95 leading").leads
    for text in ("0.95", "0.95 lagging", "?"):
        assert not drawn(power_factor=text).leads
    assert drawn(power_factor="0.95 leading").power_factor.span == (0.95,) * 3


def test_a_power_factor_is_noted_or_that_of_a_heater_or_open():
    # UFC 3-520-01 (2002) B-2.1: 0.8 where it is unknown
    assert drawn(current="5 A").power_factor.span == pytest.approx((0.8, 1, 1))
    assert drawn(current="5 A", behaviour="resistance").power_factor.span == (1, 1, 1)


@pytest.mark.parametrize("text", ["1.2 leading", "leading", "0.9 leading lagging", "-0.9 leading"])
def test_what_is_no_power_factor_is_refused(text):
    data = {"boat": {"name": "x"}, "ac_load": [{"id": "l", "power_factor": text}]}
    with pytest.raises(InputError):
        from_data(data, "test")
