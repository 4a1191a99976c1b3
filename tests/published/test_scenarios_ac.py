"""Shore power and generator of the two hand-worked boats, number by number.

The boats are invented. The arithmetic was done apart from this package, with NFPA 70-2017 Table
400.5(A)(1) and chapter 9 Table 9, IEC 60228, the NETA classes of temperature rise, and the demand
method of the ABYC E-11 line from memory: volts and amperes within 1 %, verdicts exact.
"""

import time

import pytest

from elec.survey import survey
from made import EXAMPLES, example, from_text, near, one, step

AC = ("inlet-load", "inlet-demand", "inlet-path", "inlet-protection", "cord", "generator")


def test_a1_hot_contact(a):
    over_similar = one(a, "inlet-protection", "climate", "like terminal")
    over_air = one(a, "inlet-protection", "climate", "over the air")
    assert over_similar.value.best == pytest.approx(19)
    assert over_air.value.best == pytest.approx(42)
    for found in (over_similar, over_air):
        assert "class 1" in found.statement
        assert (found.verdict, found.priority) == ("inadequate", "A")
        assert step(found, "P") == near(13.3)
        assert step(found, "R") == near(0.0092)


def test_a1_browned_face_is_out_of_use(a):
    found = one(a, "inlet-protection", "climate", "marks of heat")
    assert (found.verdict, found.priority) == ("inadequate", "A")


def test_a2_climate_inlet_for_hours_and_with_its_largest_motor(a):
    hours = one(a, "inlet-demand", "climate", "hours")
    assert (hours.value.best, hours.limit.best) == (near(45.2), near(40))
    assert (hours.verdict, hours.priority) == ("inadequate", "B")
    motor = one(a, "inlet-demand", "climate", "largest motor")
    assert motor.value.best == near(48.2)
    assert motor.verdict == "marginal"  # passes, with 3.6 % in hand


def test_a4_demand_by_the_method_from_memory(a):
    found = one(a, "inlet-demand", "house", "Demand")
    assert step(found, "T") == pytest.approx(4249, abs=0.5)
    assert step(found, "I(general)") == near(11.6)
    assert step(found, "I(range)") == near(12.0)
    assert step(found, "I(fixed) L1") == near(20.1)
    assert step(found, "I(fixed) L2") == near(20.0)
    assert step(found, "I L1") == near(43.7)
    assert step(found, "I L2") == near(43.6)
    assert found.verdict == "adequate"
    assert found.provisional


def test_a4_three_answers_are_told_apart(a):
    (note,) = [n for n in one(a, "inlet-demand", "house", "Demand").notes if "Three answers" in n]
    assert "connected 84.2 A" in note
    assert "inlet-load" in note


def test_a5_neutral_of_the_evening(a):
    found = one(a, "inlet-demand", "house", ("'evening'", "hours"))
    assert step(found, "I(N)", "120/240 V") == near(6.1)
    assert step(found, "I(N)", "120/208 V") == near(27.2)


def test_a7_main_breaker_is_18_ft_away_and_leakage_protection_is_absent(a):
    distance = one(a, "inlet-protection", "climate", ("main breaker", "of cable"))
    assert distance.value.best == near(18 * 0.3048)
    assert distance.limit.best == pytest.approx(3.048)
    assert (distance.verdict, distance.priority) == ("inadequate", "B")
    for inlet in ("house", "climate"):
        leakage = one(a, "inlet-protection", inlet, "trips on leakage")
        assert leakage.verdict == "inadequate"
        assert leakage.priority in ("A", "B")  # by jurisdiction


def test_a8_generator(a):
    found = one(a, "generator", "generator", "heavier leg")
    assert found.value.best == near(101.4)
    assert found.limit.best == near(89.6)
    assert found.verdict == "inadequate"
    assert any("24.0 kVA" in note and "21.5 kVA" in note for note in found.notes)


def test_a16_cord_drop(a):
    found = one(a, "cord", "shore cord", "drops")
    assert step(found, "E") == near(3.33)
    assert step(found, "E") / 240 == pytest.approx(0.014, abs=5e-4)
    assert step(found, "e") == pytest.approx(1.4, abs=0.05)


def test_a16_cord_carries_it_on_120_240_V_and_less_on_two_legs_of_a_wye():
    text = (EXAMPLES / "ostrelline.toml").read_text(encoding="utf-8")
    head, tail = text.split('id = "climate"', 1)
    for volts, amps in (("240 V", 55), ("208 V", 45)):
        there = tail.replace('supply = "240 V"', f'supply = "{volts}"', 1)
        boat = from_text(head + 'id = "climate"' + there)
        found = one(survey(boat, only=("cord",)), "cord", "shore cord", "ampacity")
        assert found.limit.best == amps


def test_b2_cord_drop(b):
    found = one(b, "cord", "shore cord", "drops")
    assert step(found, "E") == near(6.24)
    assert found.value.best == pytest.approx(0.027, abs=5e-4)
    assert step(found, "E(0.0164)") == near(5.13)


def test_b1_charging_has_no_margin_for_hours(b):
    found = one(b, "inlet-demand", "inlet", ("'charging'", "hours"))
    assert (found.value.best, found.limit.best) == (near(15.7), near(12.8))
    assert found.verdict == "inadequate"


def test_both_boats_on_shore_power_within_half_a_second():
    boats = [example(name) for name in ("ostrelline", "vindle_sorrel")]
    checks = (*AC, "transformer", "inverter", "load-card")
    for boat in boats:
        survey(boat, only=checks)  # tables read
    started = time.process_time()
    for boat in boats:
        survey(boat, only=checks)
    assert time.process_time() - started < 0.5
