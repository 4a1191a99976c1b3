"""Readings by hull and cell, both ends of a range, salinity, plugged and unplugged, bonds."""

import pytest

from elec.boat.read import read
from elec.checks.earth import shore_shift
from elec.checks.metals import bonding, reading

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
    tmp_path,
    volts,
    *,
    hull="steel",
    water="sea",
    cell="Ag/AgCl seawater",
    more="",
    module=reading,
):
    text = BOAT.replace("HULL", hull).replace("WATER", water).replace("VOLTS", volts)
    path = tmp_path / "boat.toml"
    path.write_text(text.replace("CELL", cell).replace("MORE", more))
    return module.check(read(path), "us")


def verdict(*args, **options):
    (found,), left = ask(*args, **options)
    assert not left
    return found.verdict


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
def test_both_ends_of_every_range_for_steel(tmp_path, volts, expected):
    assert verdict(tmp_path, volts) == expected


@pytest.mark.parametrize(
    ("hull", "words"),
    [("aluminium", "attacks aluminium"), ("wood", "wood round the fittings"), ("steel", "paint")],
)
def test_over_protection_has_its_own_danger(tmp_path, hull, words):
    (found,), _ = ask(tmp_path, "-1.30 V", hull=hull)
    assert found.verdict == "inadequate"
    assert words in found.caution
    assert "over-protected by every one" in found.statement
    assert "less negative" in found.remedy


def test_a_reading_without_its_cell_is_refused(tmp_path):
    found, (item,) = ask(tmp_path, "-0.95 V", cell="?")
    assert not found
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
def test_cells_are_converted(tmp_path, cell, volts, silver):
    (found,), _ = ask(tmp_path, volts, cell=cell)
    assert found.working[0].result == pytest.approx(silver, abs=5e-4)
    assert found.verdict == "adequate"


def test_zinc_cell_adds_a_volt_and_not_a_tenth(tmp_path):
    (found,), _ = ask(tmp_path, "0.10 V", cell="zinc")
    assert found.working[0].result == pytest.approx(-0.93, abs=5e-4)


# Shift of an open silver chloride cell, computed by its law: 13.5 mV at salinity 20, 46.3 at 5.
@pytest.mark.parametrize(("salinity", "mV"), [("20 PSU", 13.5), ("5 PSU", 46.3), ("35 PSU", 0.0)])
def test_open_cell_in_brackish_water_looks_better_than_it_is(tmp_path, salinity, mV):
    (found,), _ = ask(tmp_path, "-0.95 V", water="brackish", more=f'salinity = "{salinity}"')
    assert found.working[0].result == pytest.approx(-0.95 + mV / 1000, abs=5e-5)


def test_brackish_water_of_unknown_salinity_takes_a_typical_range(tmp_path):
    (found,), _ = ask(tmp_path, "-0.88 V", water="brackish")
    assert found.verdict == "undetermined"
    assert any("salinity" in item.input for item in found.typical)


def test_no_seawater_range_is_stretched_to_fresh_water(tmp_path):
    found, (item,) = ask(tmp_path, "-0.95 V", water="fresh")
    assert not found
    assert "seawater" in item.reason


def test_hull_not_noted_is_judged_by_every_hull(tmp_path):
    assert verdict(tmp_path, "-0.95 V", hull="?") == "undetermined"
    assert verdict(tmp_path, "-0.30 V", hull="?") == "inadequate"


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
def test_shift_on_plugging_in(tmp_path, plugged, expected, words):
    (found,), _ = ask(
        tmp_path, "-0.95 V", more=PAIR.replace("PLUGGED", plugged), module=shore_shift
    )
    assert found.verdict == expected
    assert words in found.statement


def test_the_other_reading_is_asked_for(tmp_path):
    _, (item,) = ask(tmp_path, "-0.95 V", more='shore = "plugged in"', module=shore_shift)
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
def test_bond_resistance(tmp_path, ohm, expected):
    (found,), left = ask(tmp_path, "-0.95 V", more=BOND.replace("OHM", ohm), module=bonding)
    assert not left
    assert found.verdict == expected


def test_bond_not_measured_is_asked_for(tmp_path):
    found, (item,) = ask(tmp_path, "-0.95 V", more=BOND.replace("OHM", "?"), module=bonding)
    assert not found
    assert "strut" in item.read
