"""What generators and inverters give in watts, in hot or thin air, and what they cannot feed.

Power factor: P = S cos phi. An engine's loss: 3.5 % per 300 m above 1500 m by the manual of one
portable set, 90 % at 45 °C and 80 % at 50 °C by the table of one large set, both as republished.
"""

import pytest

from elec.published import table
from made import surveyed


def load(name, source, **changes):
    first = {"id": name, "inlet": source, "volts": "120 V", "when": ["anchor"]}
    return first | {"behaviour": "constant power"} | changes


def part(result, words):
    (found,) = [f for f in result.findings if f.part.startswith(words)]
    return found


# -- inverter ------------------------------------------------------------------------------------


def inverter(*loads, **changes):
    bank = {"id": "b", "voltage": "12 V"}
    source = {"id": "v", "bank": "b", "power": "2000 W", "service": "120 V"} | changes
    return surveyed("inverter", bank=[bank], inverter=[source], ac_load=list(loads))


def test_an_inverter_is_judged_in_watts_and_its_bank_gives_watts():
    loads = (
        load("a", "v", power="1000 W", power_factor="1"),
        load("b1", "v", power="900 W", power_factor="0.7"),
    )
    found = part(inverter(*loads, lowest_voltage="10.5 V", efficiency="90 %", idle="0 A"), "'anch")
    assert found.value.low == pytest.approx(1900)
    assert found.value.high == pytest.approx(1900)
    assert found.verdict == "marginal"
    steps = {s.symbol: s.result for s in found.working}
    assert steps["P"] == pytest.approx(1900)
    assert steps["S"] == pytest.approx(1000 + 900 / 0.7)
    assert steps["I bank"] == pytest.approx(1900 / (10.5 * 0.9))
    assert any("2.29 kVA" in note for note in found.notes)


@pytest.mark.parametrize(
    ("given", "low", "high"),
    [
        ({"current": "10 A", "power_factor": "0.8"}, 960, 960),
        ({"apparent_power": "1200 VA", "power_factor": "0.8"}, 960, 960),
        ({"power": "960 W"}, 960, 960),  # watts are watts, whatever the power factor
        ({"power": "900..960 W", "power_factor": "0.8"}, 900, 960),
        ({"current": "10 A", "behaviour": "resistance"}, 1200, 1200),
        ({"current": "10 A"}, 960, 1200),  # UFC 3-520-01: 0.8 to 1 where it was not read
        ({"current": "10 A", "power_factor": "0.7..0.9"}, 840, 1080),
        ({"power": "480 W", "power_factor": "0.8", "count": 2}, 960, 960),
    ],
)
def test_real_power_by_what_was_noted(given, low, high):
    found = part(inverter(load("a", "v", **given)), "'anch")
    assert (found.value.low, found.value.high) == pytest.approx((low, high))


# -- generator -----------------------------------------------------------------------------------


def generator(*loads, **changes):
    source = {
        "id": "g",
        "service": "120/240 V",
        "power": "10 kW",
        "apparent_power": "12.5 kVA",
        "intake": "30 °C",
    } | changes
    return surveyed("generator", generator=[source], ac_load=list(loads))


def heater(watts):
    return load("h", "g", volts="240 V", power=watts, behaviour="resistance")


@pytest.mark.parametrize(
    ("intake", "altitude", "left"),
    [
        ("30 °C", "0 m", 1.0),
        ("45 °C", "0 m", 0.90),
        ("50 °C", "0 m", 0.80),
        ("30 °C", "1500 m", 1.0),
        ("30 °C", "3500 m", 1 - 0.035 * 2000 / 300),
        ("45 °C", "1800 m", 0.9 * 0.965),
    ],
)
def test_the_kW_are_derated_by_the_air_and_the_height(intake, altitude, left):
    found = part(generator(heater("9.9 kW"), intake=intake, altitude=altitude), "most kW")
    assert found.limit.best == pytest.approx(left, abs=5e-4)
    assert found.value.best == pytest.approx(0.99)
    assert found.verdict == ("marginal" if left == 1.0 else "inadequate")
    assert any("two other sets" in note for note in found.notes) == (left < 1.0)


def test_an_intake_not_seen_leaves_the_kW_open():
    found = part(generator(heater("9.5 kW"), intake="?"), "most kW")
    assert found.verdict == "undetermined"
    # 100 % at 40 °C, 90 % at 45 °C: 95 % at 42.5 °C
    (air,) = found.turns_on
    assert air.adequate_if == "42.5 °C or less"


def test_air_that_the_table_does_not_hold_is_said():
    result = generator(heater("5 kW"), intake="55 °C")
    assert not [f for f in result.findings if f.part.startswith("most kW")]
    assert any("its kW" in item.reason for item in result.not_checked)


def test_the_kW_count_noted_power_factors():
    loads = (
        load("a", "g", volts="240 V", current="20 A", power_factor="0.85"),
        load("b", "g", volts="240 V", current="10 A", power_factor="1"),
    )
    found = part(generator(*loads), "most kW")
    watts = 240 * (20 * 0.85 + 10)
    assert (found.value.low, found.value.high) == pytest.approx((watts / 1e4, watts / 1e4))


@pytest.mark.parametrize(("name", "column", "first", "step", "loss"), [
    ("engine_derate_altitude", "altitude_m", 1500, 300, 0.035),
    ("engine_derate_ambient", "ambient_C", 40, 5, 0.1),
])  # fmt: skip
def test_the_loss_of_an_engine_is_so_much_a_step(name, column, first, step, loss):
    rows = table(name)
    for at, factor in zip(rows.numbers(column), rows.numbers("factor"), strict=True):
        assert factor == pytest.approx(1 - loss * (at - first) / step, abs=5e-4)


@pytest.mark.parametrize(
    ("service", "changes", "fits"),
    [
        ("120 V", {"volts": "240 V", "legs": "?"}, False),
        ("120 V", {"volts": "120 V", "legs": "L2"}, True),
        ("120 V", {"volts": "240 V", "legs": "L1-L2"}, False),
        ("230 V", {"volts": "120 V", "legs": "L1"}, False),
        ("230 V", {"volts": "240 V", "legs": "?"}, True),
        ("120/240 V", {"volts": "240 V", "legs": "L1-L2"}, True),
        ("120/240 V", {"volts": "208 V", "legs": "L1-L2"}, True),
        ("120/208 V three-phase", {"volts": "240 V", "legs": "L1-L2"}, True),
    ],
)
def test_a_generator_whose_service_cannot_feed_a_load_says_so(service, changes, fits):
    one = load("a", "i", current="30 A", behaviour="resistance") | changes
    shore = {"id": "i", "service": "120/240 V", "rating": "50 A"}
    source = {"id": "g", "service": service, "apparent_power": "20 kVA", "intake": "30 °C"}
    small = load("s", "g", volts="230 V" if service == "230 V" else "120 V", current="5 A")
    result = surveyed("generator", inlet=[shore], generator=[source], ac_load=[one, small])
    said = [f for f in result.findings if f.part == "service"]
    assert [f.verdict for f in said] == ([] if fits else ["inadequate"])
    carried = part(result, "'anchor'")
    assert ("a" in " ".join(s.numbers for s in carried.working if s.symbol == "I(L1)")) == fits
    if not fits:
        assert "'a'" in said[0].statement


def test_loads_of_the_dock_alone_are_no_misfit():
    one = load("a", "i", volts="240 V", current="30 A", when=["shore"])
    shore = {"id": "i", "service": "120/240 V", "rating": "50 A"}
    source = {"id": "g", "service": "120 V", "apparent_power": "20 kVA", "intake": "30 °C"}
    small = load("s", "g", current="5 A")
    result = surveyed("generator", inlet=[shore], generator=[source], ac_load=[one, small])
    assert not [f for f in result.findings if f.part == "service"]


def test_a_generator_that_feeds_none_of_its_loads_says_that_alone():
    one = load("a", "i", volts="240 V", current="30 A")
    source = {"id": "g", "service": "120 V", "apparent_power": "20 kVA"}
    shore = {"id": "i", "service": "120/240 V", "rating": "50 A"}
    result = surveyed("generator", inlet=[shore], generator=[source], ac_load=[one])
    assert [f.part for f in result.findings] == ["service"]
    assert not result.not_checked
