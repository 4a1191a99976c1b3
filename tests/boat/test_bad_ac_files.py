"""AC faults of a boat file: each refused with one clear message, by its line, entry and field."""

import pytest

from elec.boat.read import from_data
from elec.errors import BoatFileError

LOAD = {"id": "a", "inlet": "i", "current": "5 A", "volts": "120 V"}
WATTS = {"id": "a", "inlet": "i", "power": "500 W", "volts": "120 V"}
CORD = {"id": "c", "inlet": "i"}


def refused(load=LOAD, inlet=None, **lists):
    first = {"id": "i", "rating": "50 A", "service": "120/240 V"} | (inlet or {})
    data = {"boat": {"name": "Test"}, "inlet": [first], "ac_load": [load], **lists}
    with pytest.raises(BoatFileError) as caught:
        from_data(data, "boat.toml")
    return str(caught.value)


def only_message(text):
    lines = [line for line in text.splitlines() if line.startswith("boat.toml")]
    assert len(lines) == 1, text
    return text


ONE_LEG = {"service": "120 V", "rating": "30 A"}


@pytest.mark.parametrize(
    ("load", "inlet", "words"),
    [
        # a leg that the inlet does not have
        (LOAD | {"legs": "L3"}, None, ["'a', legs", "'L3' is not a leg", "Accepted there: L1"]),
        (LOAD | {"legs": "L2"}, ONE_LEG, ["'L2' is not a leg of 120 V"]),
        (LOAD | {"legs": "all"}, None, ["'all' is not a leg"]),
        # power factor 0 or above 1, at either end of a range
        (WATTS | {"power_factor": "0"}, None, ["power_factor", "above 0, up to 1"]),
        (WATTS | {"power_factor": "1.01"}, None, ["power_factor", "above 0, up to 1"]),
        (WATTS | {"power_factor": "0..0.9"}, None, ["power_factor", "above 0, up to 1"]),
        (WATTS | {"power_factor": "80 %"}, None, ["percentage", "for example '0.8'"]),
        # volt-amperes below watts
        (WATTS | {"apparent_power": "400 VA"}, None, ["400 VA is below the real power of 500 W"]),
        (
            WATTS | {"power": "500..600 W", "apparent_power": "300..450 VA"},
            None,
            ["below the real power"],
        ),
        # between the legs of one leg
        (
            LOAD | {"legs": "L1-L2", "volts": "240 V"},
            ONE_LEG,
            ["connects between legs, and there is one leg"],
        ),
        (LOAD | {"volts": "240 V"}, ONE_LEG, ["a load between legs cannot run on one leg"]),
        # the same where the only inlet aboard feeds it without being named
        (
            {"id": "a", "current": "5 A", "volts": "240 V"},
            ONE_LEG,
            ["a load between legs cannot run on one leg", "at 'i'"],
        ),
        # volts that no service has
        (LOAD | {"volts": "480 V"}, None, ["480 V on 120/240 V", "120 V to neutral or 240 V"]),
        (LOAD, {"service": "277 V"}, ["'277 V' is not known", "'120/240 V'"]),
        (LOAD, {"supply": "400 V"}, ["400 V is no voltage of a 120/240 V service"]),
        # adapters that do not give the service; ratings of nothing
        (
            LOAD | {"volts": "230 V"},
            {"service": "230 V", "adapter": "two 30 A into one 50 A"},
            ["does not give 230 V"],
        ),
        (LOAD, ONE_LEG | {"adapter": "two 30 A into one 50 A"}, ["does not give 120 V"]),
        (LOAD, {"rating": "0 A"}, ["rating", "is or may be zero"]),
        (LOAD, {"breaker": "0 A"}, ["breaker", "is or may be zero"]),
    ],
)
def test_a_bad_ac_load_or_inlet_gets_one_message(load, inlet, words):
    text = only_message(refused(load, inlet))
    assert all(word in text for word in words), text


@pytest.mark.parametrize(
    ("name", "entry", "words"),
    [
        ("cord", CORD | {"size": "thick"}, ["cord 'c', size", "is not a conductor size"]),
        ("cord", CORD | {"size": "10"}, ["gauge number or square millimetres", "'2 AWG'"]),
        ("cord", CORD | {"size": "5/0 AWG"}, ["is not a conductor size"]),
        ("cord", CORD | {"rating": "0 A"}, ["rating", "is or may be zero"]),
        (
            "generator",
            {"id": "g", "power": "10 kW", "apparent_power": "9 kVA"},
            ["generator 'g', apparent_power", "9 kVA is below the real power of 10 kW"],
        ),
        ("generator", {"id": "g", "power": "0 kW"}, ["power", "is or may be zero"]),
        ("inverter", {"id": "v", "transfer": "0 A"}, ["transfer", "is or may be zero"]),
        ("transformer", {"id": "t", "rating": "0 VA"}, ["rating", "is or may be zero"]),
    ],
)
def test_a_bad_cord_or_source_gets_one_message(name, entry, words):
    text = only_message(refused(**{name: [entry]}))
    assert all(word in text for word in words), text
