"""Anodes of a boat file: share gone, months left, metal for the water, life, output."""

import pytest

from elec.checks.metals.anode_alloys import closed_circuit
from elec.checks.metals.anode_demand import demand
from elec.checks.metals.anode_shapes import Dimensions, shape_of
from elec.errors import InputError
from elec.survey import survey
from made import from_text, one

BOAT = """
[boat]
name = "T"
hull = "steel"
water = "WATER"
[[anode]]
id = "plates"
REST
"""


def ask(rest, *, water="sea"):
    boat = from_text(BOAT.replace("WATER", water).replace("REST", rest))
    return survey(boat, only=("anode", "anode-material", "anode-life", "anode-output"))


# Renewed at about half: trade guidance, common practice, no source.
@pytest.mark.parametrize(
    ("gone", "verdict"),
    [
        ("40 %", "adequate"),
        ("50 %", "marginal"),
        ("51 %", "inadequate"),
        ("40..60 %", "undetermined"),
    ],
)
def test_share_gone_against_half(gone, verdict):
    result = ask(f'wasted = "{gone}"')
    assert one(result, "anode").verdict == verdict


def test_share_gone_not_noted_is_not_passed():
    result = ask("")
    assert "anode" not in {f.check for f in result.findings}
    assert any(item.check == "anode" and item.read for item in result.not_checked)


def test_sixty_percent_gone_after_eight_months():
    # Arithmetic: 7.5 % a month, half gone after 6 2/3 months, all of it in 13 1/3.
    finding = one(ask('wasted = "60 %"\nafter = "8 months"'), "anode")
    assert finding.working[-1].result == pytest.approx(-4 / 3)
    assert any("due 1.3 months ago" in n and "13.3 months" in n for n in finding.notes)


def test_months_left_of_a_range():
    # 20..30 % after 6 months: 15 to 30 % short of half at 5 to 3.33 % a month.
    result = ask('wasted = "20..30 %"\nafter = "6 months"')
    assert any("4.0 to 9.0 months" in note for note in one(result, "anode").notes)


# Common practice, no source: zinc or aluminium in salt, aluminium brackish, magnesium fresh only.
@pytest.mark.parametrize(
    ("material", "water", "verdict"),
    [
        ("zinc", "sea", "adequate"),
        ("aluminium", "brackish", "adequate"),
        ("magnesium", "fresh", "adequate"),
        ("zinc", "fresh", "inadequate"),
        ("magnesium", "sea", "inadequate"),
        ("zinc", "brackish", "inadequate"),
        ("?", "sea", "undetermined"),
        ("zinc", "?", "undetermined"),
    ],
)
def test_metal_for_the_water(material, water, verdict):
    result = ask(f'material = "{material}"', water=water)
    assert one(result, "anode-material").verdict == verdict


FULL = """material = "zinc"
count = 4
mass = "5 kg"
area = "40 m2"
current_density = "20 mA/m2"
life = "1 year"
mount = "flush"
length = "0.60 m"
width = "0.12 m"
thickness = "0.03 m"
"""


def test_life_of_the_mass():
    # t = m u capacity / I: 20 kg x 0.85 x 760..811 Ah/kg / 0.8 A, in years of 8760 h.
    finding = one(ask(FULL), "anode-life")
    assert finding.value.low == pytest.approx(20 * 0.85 * 760 / 0.8)
    assert finding.value.high == pytest.approx(20 * 0.85 * 811 / 0.8)
    assert finding.verdict == "adequate"


def test_what_is_lacking_for_a_life_is_asked_for():
    left = ask('material = "zinc"').not_checked
    (item,) = [i for i in left if i.check == "anode-life"]
    assert "mass" in item.read
    assert "surface" in item.read


def test_output_of_a_flush_plate():
    # R = rho / (L + w) as DNV-RP-B401 Table 10-7 has it; 0.20 and 0.23 V by its editions.
    finding = one(ask(FULL), "anode-output")
    resistance = finding.working[0].result
    assert finding.value.best == pytest.approx(4 * 0.215 / resistance, rel=0.25)
    assert finding.verdict == "adequate"


# -- the sums, against worked answers from the formulas and tables of DNV-RP-B401 ------------------


def test_coated_steel_for_two_years():
    # 40 m², temperate, 0 to 30 m, category II, 2021 tables: 0.400, 0.300 and 0.520 A.
    taken = demand("steel", "II", life_h=2 * 8760, temperature_C=10)
    for when, amperes in (("initial", 0.400), ("mean", 0.300), ("final", 0.520)):
        span = getattr(taken, f"{when}_A_per_m2")
        assert 40 * span[1] == pytest.approx(amperes, rel=1e-3)


def test_long_slender_anode_at_close_stand_off():
    # L = 1.0 m, perimeter of a round bar of 0.05 m radius, 0.25 ohm·m: 0.1346 ohm; x 1.3 at 0.20 m.
    side = 3.141592653589793 * 0.05
    far, close = (
        shape_of(Dimensions("stand-off", 1.0, side / 2, side / 2, away)) for away in (0.30, 0.20)
    )
    assert far.formula_id == "R_LONG"
    assert far.resistance_ohm(0.25) == pytest.approx(0.1346, rel=2e-3)
    assert close.resistance_ohm(0.25) == pytest.approx(0.1749, rel=2e-3)


def test_flush_plate():
    shape = shape_of(Dimensions("flush", 0.6, 0.12, 0.03))
    assert shape.resistance_ohm(0.25) == pytest.approx(0.347, rel=2e-3)


def test_closer_than_the_formulas_go():
    shape = shape_of(Dimensions("stand-off", 1.0, 0.08, 0.08, 0.10))
    with pytest.raises(InputError, match="standoff_m"):
        shape.resistance_ohm(0.25)


def test_both_editions_of_zinc_are_counted():
    # -1.00 V in DNV-RP-B401 to 2017, -1.03 V in 2021.
    assert [volts for volts, _ in closed_circuit("zinc")] == [-1.03, -1.0]


@pytest.mark.parametrize(
    ("celsius", "climate"),
    [(25, "tropical"), (20, "tropical"), (12, "subtropical"), (11, "temperate"), (5, "arctic")],
)
def test_climates_of_the_offshore_table(celsius, climate):
    words = demand("steel", "I", life_h=8760, temperature_C=celsius).words
    assert words.endswith(climate)
