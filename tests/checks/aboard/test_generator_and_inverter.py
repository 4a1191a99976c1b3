"""Generators and inverters: rating in hot and thin air, light load, starting, what a bank gives.

The rules are those of the tables named in each finding; the arithmetic is by hand beside each test.
"""

import pytest

from made import ac_load, one, surveyed


def generator(current, **changes):
    source = {"id": "g", "service": "120/240 V", "apparent_power": "12 kVA", "feeds": []} | changes
    loads = [ac_load("a", current, "L1-L2", inlet="g", when=["anchor"], behaviour="resistance")]
    return surveyed("generator", generator=[source], ac_load=loads)


@pytest.mark.parametrize(
    ("intake", "altitude", "most"),
    [("30 °C", "1 m", 50), ("45 °C", "1 m", 48.5), ("45 °C", "1500 m", 50 * 0.97 * 0.97)],
)
def test_generator_gives_less_where_it_is_hot_or_high(intake, altitude, most):
    found = one(generator(20, intake=intake, altitude=altitude), "generator", words="heavier leg")
    assert found.limit.best == pytest.approx(most)


def test_generator_of_unknown_rating_says_what_it_would_need():
    result = generator(20, apparent_power="?")
    assert not result.findings
    assert any("4.80 kVA" in item.reason for item in result.not_checked)  # 20 A x 240 V


@pytest.mark.parametrize(("power", "verdict"), [("16 kW", "adequate"), ("17 kW", "inadequate")])
def test_light_load_of_a_diesel_is_below_30_percent(power, verdict):
    result = generator(20.4, power=power, apparent_power="20 kVA")  # 4896 W
    found = one(result, "generator", words="steady running")
    assert found.verdict == ("marginal" if verdict == "adequate" else verdict)


@pytest.mark.parametrize(
    ("current", "verdict"),
    [("30..40 A", "adequate"), ("10..20 A", "inadequate"), ("10..40 A", "undetermined")],
)
def test_light_load_of_a_diesel_is_judged_by_the_least_that_may_run(current, verdict):
    # NFPA 110-2010, 8.4.2: 30 % of 20 kW is 6 kW, 25 A at 240 V
    source = {"id": "g", "service": "120/240 V", "power": "20 kW", "apparent_power": "20 kVA"}
    entries = [ac_load("a", 1, "L1-L2", inlet="g", when=["anchor"], behaviour="resistance")]
    entries[0]["current"] = current
    result = surveyed("generator", generator=[source], ac_load=entries)
    assert one(result, "generator", words="steady running").verdict == verdict


def start(**changes):
    motor = ac_load("m", 10, "L1-L2", inlet="g", when=["anchor"], behaviour="motor") | changes
    source = {
        "id": "g",
        "service": "120/240 V",
        "apparent_power": "12 kVA",
        "reactance": 0.25,
        "intake": "30 °C",
    }
    return one(
        surveyed("generator", generator=[source], ac_load=[motor]), "generator", words="Starting"
    )


def test_dip_by_plate_code_letter_and_multiple():
    def dip(volt_amperes):
        return volt_amperes / (volt_amperes + 12000 / 0.25)

    assert start(locked_rotor="60 A").value.best == pytest.approx(dip(14400))
    letter = start(code_letter="G", shaft_power="2 hp")  # 5.6 to 6.29 kVA per hp
    assert letter.value.low == pytest.approx(dip(2 * 5600))
    assert letter.value.high == pytest.approx(dip(2 * 6290))
    assert start().value.high == pytest.approx(dip(6 * 10 * 240))


@pytest.mark.parametrize(
    ("hp", "verdict"),
    [
        # NFPA 70-2017, Table 430.7(B): V is 22.4 kVA per hp and more, with no top end
        ("1 hp", "inadequate"),  # 22.4 / (22.4 + 48) = 31.8 %
        ("0.9 hp", "undetermined"),  # 20.2 / (20.2 + 48) = 29.6 %, and more
    ],
)
def test_the_last_code_letter_has_no_top_end(hp, verdict):
    found = start(code_letter="v", shaft_power=hp)
    assert found.verdict == verdict
    assert found.value.low == pytest.approx(
        22400 * float(hp[:-3]) / (22400 * float(hp[:-3]) + 48000)
    )
    assert found.value.high > 0.99
    assert any("no top end" in item.source for item in found.typical)


def test_a_code_letter_without_shaft_power_and_below_half_a_horsepower():
    multiple = start().value
    # at most 2400 VA at its shaft = 3.218 hp of 745.7 W: G, 6.29 kVA per hp, 20.2 kVA
    alone = start(code_letter="G")
    assert alone.value.low == multiple.low
    assert alone.value.high == pytest.approx(20244 / (20244 + 48000), rel=1e-4)
    assert start(code_letter="A").value == multiple  # 3.14 kVA per hp: 6 x running is more
    last = start(code_letter="V")
    assert last.verdict == "undetermined"
    read = [turn.read for turn in last.turns_on]
    assert "locked-rotor amperes, or hp beside its letter, on the plate of 'm'" in read
    # below 1/2 hp some letters mean kVA itself: taken as unknown
    assert start(code_letter="V", shaft_power="0.4 hp").value == multiple


def inverter(*loads, **changes):
    bank = {"id": "b", "voltage": "12 V"}
    source = {"id": "v", "bank": "b", "power": "2000 W"} | changes
    return surveyed("inverter", bank=[bank], inverter=[source], ac_load=list(loads))


def test_inverter_output_and_its_current_at_the_lowest_bank_voltage():
    kettle = ac_load("k", 15, "L1", inlet="v", when=["anchor"], behaviour="resistance")
    result = inverter(kettle, lowest_voltage="10.5 V", efficiency="90 %", idle="2 A")
    found = one(result, "inverter")
    assert found.value.best == pytest.approx(1800)
    current = next(s.result for s in found.working if s.symbol == "I bank")
    assert current == pytest.approx(1800 / (10.5 * 0.9) + 2)


def test_a_kVA_made_from_kW_is_not_stated_as_fact():
    watts = one(generator(20, power="10 kW", apparent_power="?"), "generator", words="heavier leg")
    assert "10 kW, of a power factor that was not read" in watts.statement
