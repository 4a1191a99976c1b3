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
        (LOAD | {"count": 0}, None, ["count: 0 cannot", "a whole number from 1 to 1000"]),
        (LOAD | {"where": 7}, None, ["where: 7 cannot be used", "Give words in quotes"]),
        (LOAD, {"loaded_current": "0 A"}, ["loaded_current", "is or may be zero"]),
        # plates that no service runs, or that contradict themselves
        (LOAD | {"volts": "100 V"}, None, ["100 V on 120/240 V", "120 V to neutral or 240 V"]),
        (LOAD | {"volts": "277 V"}, None, ["277 V on 120/240 V"]),
        (LOAD | {"volts": "277 V"}, {"service": "230 V"}, ["277 V on 230 V"]),
        (
            WATTS | {"power": "1000 W", "apparent_power": "1250 VA", "power_factor": "0.5"},
            None,
            ["power_factor: 0.5 does not go with 1000 W and 1250 VA, which make 0.8"],
        ),
        (LOAD | {"locked_rotor": "4 A"}, None, ["4 A is below the 5 A that it runs at"]),
        (WATTS | {"locked_rotor": "4 A"}, None, ["4 A is below the 4.17 A that it runs at"]),
        # an isolator that is not there, readings between other conductors
        (LOAD, {"isolator": "no", "isolator_rating": "30 A"}, ['beside isolator = "no"']),
        (LOAD, {"isolator": "no", "isolator_tested": "yes"}, ['beside isolator = "no"']),
        (
            LOAD,
            {"no_load_voltage": "240 V", "loaded_voltage": "118 V"},
            ["118 V beside 240 V without the load", "same two conductors"],
        ),
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
        (
            "generator",
            {"id": "g", "feeds": ["it"]},
            ["generator 'g', feeds: 'it' names no entry", "under inlet: i", "Did you mean 'i'?"],
        ),
        ("generator", {"id": "g", "intake": "-50 °C"}, ["intake", "-50 °C is met nowhere aboard"]),
        (
            "bank",
            {"id": "b", "in_series": 1.5},
            ["in_series: 1.5 cannot be used", 'from 1 to 400, or "?" if not seen'],
        ),
        ("bank", {"id": "b", "resistance": "0 ohm"}, ["resistance", "is or may be zero"]),
        ("protection", {"id": "f", "rating": "0 A"}, ["rating", "is or may be zero"]),
        ("run", {"id": "r", "on_time": "0 min"}, ["on_time", "is or may be zero"]),
        ("anode", {"id": "z", "mass": "0 kg"}, ["mass", "is or may be zero"]),
        ("generator", {"id": "g", "altitude": "-1 m"}, ["altitude", "zero or more"]),
        ("inverter", {"id": "v", "transfer": "0 A"}, ["transfer", "is or may be zero"]),
        ("transformer", {"id": "t", "rating": "0 VA"}, ["rating", "is or may be zero"]),
    ],
)
def test_a_bad_cord_or_source_gets_one_message(name, entry, words):
    text = only_message(refused(**{name: [entry]}))
    assert all(word in text for word in words), text


def read(load=LOAD, inlet=None, **lists):
    first = {"id": "i", "rating": "50 A", "service": "120/240 V"} | (inlet or {})
    return from_data(
        {"boat": {"name": "Test"}, "inlet": [first], "ac_load": [load], **lists}, "boat.toml"
    )


@pytest.mark.parametrize("volts", ["110 V", "127 V", "208 V", "230 V", "250 V", "100..240 V"])
def test_plates_near_a_voltage_of_the_service_are_taken(volts):
    assert read(LOAD | {"volts": volts}).ac_load[0].volts.text == volts


@pytest.mark.parametrize("volts", ["208 V", "240 V", "220 V"])
def test_gear_of_either_american_voltage_runs_between_legs_of_a_wye(volts):
    assert read(LOAD | {"volts": volts}, {"service": "120/208 V two legs"})


def test_the_sea_is_at_zero():
    assert read(generator=[{"id": "g", "altitude": "0 m"}]).generator[0].altitude.span == (0, 0, 0)


def test_power_factors_rounded_on_the_plate_are_taken():
    # 1.2 kW over 1.4 kVA is 0.857: a plate may well print 0.85 or 0.9
    plate = {"power": "1.2 kW", "apparent_power": "1.4 kVA"}
    for factor in ("0.85", "0.9"):
        assert read(WATTS | plate | {"power_factor": factor})


@pytest.mark.parametrize(
    ("spelled", "name"),
    [
        ("125/250 V", "120/240 V"),
        ("120/240v", "120/240 V"),
        ("125 V", "120 V"),
        ("220 V", "230 V"),
        ("230/400", "230/400 V three-phase"),
        ("120/208 V Three Phase", "120/208 V three-phase"),
        ("?", "?"),
    ],
)
def test_a_service_may_be_spelled_as_its_mouldings_do(spelled, name):
    load = {"id": "a", "inlet": "i", "power": "1 kW"}
    assert read(load, {"service": spelled}).inlet[0].service.text == name


@pytest.mark.parametrize(
    ("spelled", "hint"),
    [
        ("120/208 V", "'120/208 V two legs' or '120/208 V three-phase'"),
        ("240 V", "'120/240 V' or '230 V'"),
    ],
)
def test_a_voltage_of_several_services_names_them(spelled, hint):
    text = only_message(refused(inlet={"service": spelled}))
    assert f"Did you mean {hint}?" in text


@pytest.mark.parametrize(
    ("spelled", "legs"), [("L2-L1", "L1-L2"), ("l1", "L1"), ("L1/L2", "L1-L2"), ("L3-L2", "L2-L3")]
)
def test_legs_may_be_named_either_way_round(spelled, legs):
    load = {"id": "a", "inlet": "i", "power": "1 kW", "legs": spelled}
    assert read(load, {"service": "120/208 V three-phase"}).ac_load[0].legs.text == legs


def test_every_field_that_names_an_entry_is_looked_up():
    """A field of ids that names no list would let a slip of the pen through."""
    from elec.boat.records import BoatFile

    for name in BoatFile.model_fields:
        if name == "boat":
            continue
        (model, *_) = BoatFile.model_fields[name].annotation.__args__
        for field, info in model.model_fields.items():
            checks = "_id at" in f"{info.annotation!r} {info.metadata!r}" and field != "id"
            joins = name == "run" and field in ("start", "end", "return_by")  # looked up as joined
            assert not checks or joins or model.declarations[field].names, (name, field)


@pytest.mark.parametrize("letter", ["I", "o", "Q", "zz"])
def test_letters_that_no_motor_has_are_refused(letter):
    """NFPA 70-2017, Table 430.7(B): A to V without I, O and Q."""
    text = only_message(refused({"id": "m", "inlet": "i", "power": "1 kW", "code_letter": letter}))
    assert f"'{letter}' is no code letter" in text
    assert "A, B" in text
