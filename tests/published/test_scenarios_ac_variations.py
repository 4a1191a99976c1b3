"""The two hand-worked boats at other docks, areas, loads and cords: numbers worked out apart.

The arithmetic beside each case is by hand from the formulas of the published methods: constant
power draws I V0 / V and a heater I V / V0 (circuit theory); demand by the ABYC E-11 line, from
memory; the alternator derating of a maker's chart; IEC 60228 resistance. Within 0.5 %.
"""

import pytest

from made import one, step, surveyed

HEAT, POWER, MOTOR = "resistance", "constant power", "motor"
EVENING = {
    "water heater": ("L1-L2", 12.5, HEAT),
    "battery charger": ("L1-L2", 14.0, POWER),
    "washer-dryer": ("L1", 12.0, MOTOR),
    "galley sockets": ("L1", 12.5, HEAT),
    "lighting ac": ("L1", 5.2, HEAT),
    "microwave": ("L2", 12.9, POWER),
    "refrigerator ac": ("L2", 5.5, MOTOR),
    "entertainment": ("L2", 5.2, HEAT),
}
NOW_AND_THEN = {
    "cooktop": ("L1-L2", 15.0, HEAT),
    "dishwasher": ("L1", 10.0, HEAT),
    "ice maker": ("L1", 3.0, MOTOR),
    "galley sockets 2": ("L2", 12.5, HEAT),
}
CLIMATE = {"saloon": 10.5, "deck": 7.2, "owner": 7.2, "guest": 4.8, "pump": 3.5, "dive": 12.0}


def load(name, inlet, legs, amps, behaviour, when):
    volts = "240 V" if "-" in legs else "120 V"
    return {
        "id": f"{name} {inlet}", "inlet": inlet, "legs": legs, "current": f"{amps} A",
        "volts": volts, "behaviour": behaviour, "when": when, "power_factor": "1",
    }  # fmt: skip


def yacht(only, *, house="240 V", climate="240 V", without=(), amps=None, **lists):
    loads = []
    for group, when in ((EVENING, ["evening"]), (NOW_AND_THEN, [])):
        for name, (legs, current, behaviour) in group.items():
            if name in without:
                continue
            current = (amps or {}).get(name, current)
            loads.append(load(name, "house", legs, current, behaviour, when))
            loads[-1]["kind"] = name.removesuffix(" 2")
    for name, current in CLIMATE.items():
        if name not in without:
            loads.append(load(name, "climate", "L1-L2", current, MOTOR, ["evening"]))
    service = {"rating": "50 A", "service": "120/240 V"}
    data = {
        "inlet": [
            {"id": "house", "supply": house} | service | lists.pop("inlet", {}),
            {"id": "climate", "supply": climate} | service,
        ],
        "ac_load": loads,
    }
    about = {"length": "19.2 m", "conditions": ["evening"]}
    return surveyed(only, about=about, **data | lists)


def near(value):
    return pytest.approx(value, rel=0.005)


@pytest.mark.parametrize(
    ("volts", "without", "amps", "rating", "hours"),
    [
        # 45.2 A x 240 / V, without the dive compressor 33.2 A x 240 / V; flips at 217.0 V
        (240, (), 45.2, "marginal", "inadequate"),
        (217.1, (), 49.97, "marginal", "inadequate"),
        (216.9, (), 50.01, "inadequate", "inadequate"),
        (208, (), 52.15, "inadequate", "inadequate"),
        (240, ("dive",), 33.2, "adequate", "adequate"),
        (208, ("dive",), 38.31, "adequate", "marginal"),
    ],
)
def test_a2_and_a3_climate_inlet_at_other_docks(volts, without, amps, rating, hours):
    at = {"climate": f"{volts} V", "without": without}
    found = one(yacht("inlet-load", **at), subject="climate")
    assert (found.value.best, found.verdict) == (near(amps), rating)
    long = one(yacht("inlet-demand", **at), subject="climate", words="goes on for hours")
    assert (long.limit.best, long.verdict) == (40, hours)


def test_a3_a_range_of_docks_turns_at_217_volts():
    found = one(yacht("inlet-load", climate="208..240 V"), subject="climate")
    assert (found.value.low, found.value.high) == (near(45.2), near(52.15))
    assert found.verdict == "undetermined"
    assert found.turns_on[0].adequate_if == "217 V or more"


@pytest.mark.parametrize(
    ("area", "without", "general", "first", "second"),
    [
        # T = 2 x m2 / 0.0929 + 3000; 2000 + 0.35 (T - 2000), over 240 V; range 0.8 x 15 = 12 A;
        # L1: heater, charger, 0.25 washer-dryer, 0.25 dishwasher, 0.5 ice maker; L2: heater,
        # charger, refrigerator, 0.1 microwave; x 0.60 from four up
        ("58 m²", (), 11.61, 11.61 + 12 + 33.5 * 0.6, 11.61 + 12 + 33.29 * 0.6),
        ("40 m²", (), 11.05, 11.05 + 12 + 33.5 * 0.6, 11.05 + 12 + 33.29 * 0.6),
        ("58 m²", ("microwave",), 11.61, 11.61 + 12 + 33.5 * 0.6, 11.61 + 12 + 32.0),
        ("58 m²", ("cooktop",), 11.61, 11.61 + 33.5 * 0.6, 11.61 + 33.29 * 0.6),
        (
            "58 m²",
            ("ice maker", "dishwasher"),
            11.61,
            11.61 + 12 + 29.5,
            11.61 + 12 + 33.29 * 0.6,
        ),
    ],
)
def test_a4_demand_at_other_areas_and_gear(area, without, general, first, second):
    found = one(
        yacht("inlet-demand", inlet={"area": area}, without=without),
        subject="house",
        words="Demand",
    )
    assert step(found, "I(general)") == near(general)
    assert (step(found, "I L1"), step(found, "I L2")) == (near(first), near(second))
    assert found.value.best == near(max(first, second))


@pytest.mark.parametrize(
    ("volts", "charger", "first", "second", "verdict"),
    [
        (240, 14.0, 56.2, 50.1, "inadequate"),
        (240, 7.8, 50.0, 43.9, "marginal"),
        (240, 7.9, 50.1, 44.0, "inadequate"),
        # heater 12.5 x 208/240 = 10.83, charger 14 x 240/208 = 16.15
        (208, 14.0, 56.69, 50.59, "inadequate"),
    ],
)
def test_a5_evening_at_other_docks_and_chargers(volts, charger, first, second, verdict):
    found = yacht("inlet-load", house=f"{volts} V", amps={"battery charger": charger})
    house = one(found, subject="house")
    assert (step(house, "I(L1)"), step(house, "I(L2)")) == (near(first), near(second))
    assert house.verdict == verdict
    if volts == 240 and verdict == "inadequate":
        assert "7.80 A" in house.remedy


@pytest.mark.parametrize(
    ("intake", "altitude", "left"),
    [("40 °C", "0 m", 1.0), ("45 °C", "0 m", 0.97), ("50 °C", "0 m", 0.94),
     ("45 °C", "1500 m", 0.97 * 0.97)],
)  # fmt: skip
def test_a8_generator_at_other_intakes(intake, altitude, left):
    # 21,500 VA / 240 V = 89.58 A a leg, 3 % less for each 5 °C over 40 and 500 m over 1000
    source = {
        "id": "g", "power": "21.5 kW", "apparent_power": "21.5 kVA", "service": "120/240 V",
        "intake": intake, "altitude": altitude,
    }  # fmt: skip
    found = one(yacht("generator", generator=[source]), subject="g", words="heavier leg")
    assert (found.value.best, found.limit.best) == (near(101.4), near(89.58 * left))
    assert found.verdict == "inadequate"


# -- the sloop -----------------------------------------------------------------------------------

WATTS = {"calorifier": 1200, "charger": 1250, "microwave": 1350, "heater": 2000, "kettle": 1800,
         "dehumidifier": 350}  # fmt: skip
HEATERS = {"calorifier", "heater", "kettle"}
SETS = {
    "everything": set(WATTS),
    "winter": {"calorifier", "charger", "heater", "dehumidifier"},
    "charging": {"charger", "heater", "dehumidifier"},
}


def sloop(only, *, supply=None, cord=None):
    loads = [
        {
            "id": name,
            "inlet": "i",
            "power": f"{watts} W",
            "power_factor": "1",
            "behaviour": HEAT if name in HEATERS else POWER,
            "when": [group for group, names in SETS.items() if name in names],
        }
        for name, watts in WATTS.items()
    ]
    inlet = {"id": "i", "rating": "16 A", "service": "230 V"}
    data = {
        "inlet": [inlet | ({"supply": supply} if supply else {})],
        "ac_load": loads,
        "cord": [{"id": "c", "inlet": "i", "legend": "H07RN-F"} | (cord or {})],
    }
    return surveyed(only, basis="iso", about={"conditions": list(SETS)}, **data)


@pytest.mark.parametrize(
    ("supply", "group", "amps", "rating"),
    [
        # sum of W / 230, heaters x V / 230 and the rest x 230 / V
        ("230 V", "everything", 34.57, "inadequate"),
        ("230 V", "winter", 20.87, "inadequate"),
        ("230 V", "charging", 15.65, "marginal"),
        ("216 V", "winter", 20.47, "inadequate"),  # 3200 x 216/230 + 1600 x 230/216, over 230
        ("216 V", "charging", 15.57, "marginal"),
        ("253 V", "charging", 15.89, "marginal"),
        ("207 V", "everything", 33.92, "inadequate"),
    ],
)
def test_b1_inlet_at_other_docks(supply, group, amps, rating):
    found = one(sloop("inlet-load", supply=supply), subject="i", words=f"'{group}'")
    assert (found.value.best, found.verdict) == (near(amps), rating)


@pytest.mark.parametrize(
    ("size", "length", "volts", "share", "verdict"),
    [
        # 2 x L x ohm/km x 15.65 A (class 5: 7.98, 13.3, 4.95 ohm/km)
        ("2.5 mm²", "25 m", 6.245, 0.02715, "marginal"),
        ("1.5 mm²", "25 m", 10.41, 0.04525, "inadequate"),
        ("4 mm²", "40 m", 6.198, 0.02695, "adequate"),
        ("2.5 mm²", "10 m", 2.498, 0.01086, "adequate"),
    ],
)
def test_b2_drop_of_other_cords(size, length, volts, share, verdict):
    found = one(sloop("cord", cord={"size": size, "length": length}), subject="c", words="drops")
    assert (step(found, "E"), found.value.best) == (near(volts), near(share))
    assert found.verdict == verdict
