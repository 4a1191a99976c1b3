"""Readings by hull and cell, both ends of a range, salinity, plugged and unplugged, bonds."""

import pytest

from elec.survey import survey
from made import alone, from_text, one, unjudged

BOAT = """
[boat]
name = "T"
hull = "HULL"
water = "WATER"
[[reading]]
id = "r"
potential = "VOLTS"
cell = "CELL"
MORE
"""


def ask(
    volts,
    *,
    hull="steel",
    water="sea",
    cell="Ag/AgCl seawater",
    more="",
    only="reading",
):
    text = BOAT.replace("HULL", hull).replace("WATER", water).replace("VOLTS", volts)
    text = text.replace("CELL", cell).replace("MORE", more)
    return survey(from_text(text), only=[only])


def verdict(*args, **options):
    return alone(ask(*args, **options)).verdict


# Steel: trade page -0.80 to -1.05 V, E-2 (from memory) -0.85 to -1.10, ABS -0.80 to -1.10 V.
@pytest.mark.parametrize(
    ("volts", "expected"),
    [
        ("-0.60 V", "inadequate"),
        ("-0.82 V", "undetermined"),
        ("-0.95 V", "adequate"),
        ("-1.08 V", "undetermined"),
        ("-1.20 V", "inadequate"),
    ],
)
def test_both_ends_of_every_range_for_steel(volts, expected):
    assert verdict(volts) == expected


@pytest.mark.parametrize(
    ("hull", "words"),
    [("aluminium", "attacks aluminium"), ("wood", "wood round the fittings"), ("steel", "paint")],
)
def test_over_protection_has_its_own_danger(hull, words):
    found = one(ask("-1.30 V", hull=hull))
    assert found.verdict == "inadequate"
    assert words in found.caution
    assert "over-protected by every one" in found.statement
    assert "less negative" in found.remedy


def test_a_reading_without_its_cell_is_refused():
    item = unjudged(ask("-0.95 V", cell="?"))
    assert "without its reference cell means nothing" in item.reason
    assert "which reference cell" in item.read


# Potentials of the cells: Int. J. Corrosion 2010, 756950, Table 2; zinc 1.03 V below Ag/AgCl.
@pytest.mark.parametrize(
    ("cell", "volts", "silver"),
    [
        ("SCE", "-0.95 V", -0.959),
        ("CSE", "-1.00 V", -0.934),
        ("zinc", "0.08 V", -0.95),
        ("Ag/AgCl seawater", "-0.95 V", -0.95),
    ],
)
def test_cells_are_converted(cell, volts, silver):
    found = one(ask(volts, cell=cell))
    assert found.working[0].result == pytest.approx(silver, abs=5e-4)
    assert found.verdict == "adequate"


def test_zinc_cell_adds_a_volt_and_not_a_tenth():
    found = one(ask("0.10 V", cell="zinc"))
    assert found.working[0].result == pytest.approx(-0.93, abs=5e-4)


# Shift of an open silver chloride cell, computed by its law: 13.5 mV at salinity 20, 46.3 at 5.
@pytest.mark.parametrize(("salinity", "mV"), [("20 PSU", 13.5), ("5 PSU", 46.3), ("35 PSU", 0.0)])
def test_open_cell_in_brackish_water_looks_better_than_it_is(salinity, mV):
    found = one(ask("-0.95 V", water="brackish", more=f'salinity = "{salinity}"'))
    assert found.working[0].result == pytest.approx(-0.95 + mV / 1000, abs=5e-5)


def test_brackish_water_of_unknown_salinity_takes_a_typical_range():
    found = one(ask("-0.88 V", water="brackish"))
    assert found.verdict == "undetermined"
    assert any("salinity" in item.input for item in found.typical)


def test_no_seawater_range_is_stretched_to_fresh_water():
    item = unjudged(ask("-0.95 V", water="fresh"))
    assert "seawater" in item.reason


def test_hull_not_noted_is_judged_by_every_hull():
    assert verdict("-0.95 V", hull="?") == "undetermined"
    assert verdict("-0.30 V", hull="?") == "inadequate"


PAIR = """shore = "unplugged"
[[reading]]
id = "p"
potential = "PLUGGED"
cell = "Ag/AgCl seawater"
shore = "plugged in"
[[metal]]
id = "m"
metal = "bronze"
exposure = "sea"
"""


@pytest.mark.parametrize(
    ("plugged", "expected", "words"),
    [
        ("-0.90 V", "inadequate", "toward noble"),
        ("-1.00 V", "inadequate", "toward active"),
        ("-0.96 V", "adequate", "within the error"),
        ("-0.93 V", "marginal", "within the error"),
    ],
)
def test_shift_on_plugging_in(plugged, expected, words):
    found = one(ask("-0.95 V", more=PAIR.replace("PLUGGED", plugged), only="shore-shift"))
    assert found.verdict == expected
    assert words in found.statement


def test_the_other_reading_is_asked_for():
    (item,) = ask("-0.95 V", more='shore = "plugged in"', only="shore-shift").not_checked
    assert "again, unplugged" in item.read


BOND = """[[metal]]
id = "strut"
metal = "bronze"
exposure = "sea"
bonded = "yes"
bond_resistance = "OHM"
"""


# 1 ohm from anode to fitting: two trade articles, as republished.
@pytest.mark.parametrize(
    ("ohm", "expected"),
    [("0.2 ohm", "adequate"), ("1 ohm", "marginal"), ("1.1 ohm", "inadequate")],
)
def test_bond_resistance(ohm, expected):
    found = alone(ask("-0.95 V", more=BOND.replace("OHM", ohm), only="bonding"))
    assert found.verdict == expected


def test_bond_not_measured_is_asked_for():
    item = unjudged(ask("-0.95 V", more=BOND.replace("OHM", "?"), only="bonding"))
    assert "strut" in item.read
