"""Rates of couples and bonds: against the couples of MIL-STD-889D, by their bounds, and open."""

from itertools import pairwise

import pytest

from elec.checks.metals import named_metals
from elec.checks.metals.couple_rates import rates
from elec.checks.metals.salt_water import water_of
from elec.errors import InputError
from elec.noted import exact, unseen
from elec.noted import read as value
from elec.survey import survey
from made import from_text, one

SEA = named_metals.yardstick("sea")
STILL = water_of("sea", exact(35.0, "salinity"), exact(25.0, "temperature"))


def couple(a, b, areas=(1.0, 1.0), water=STILL):
    both = [named_metals.named(name, SEA) for name in (a, b)]
    return rates(both, areas=[exact(size, "surface") for size in areas], water=water)


# MIL-STD-889D (2021), anode rates with aluminium, equal areas, still artificial seawater.
COUPLES = [
    ("platinum", "266.8"),
    ("17-4 PH", "239.7"),
    ("nickel-aluminium bronze", "140.1"),
    ("titanium grade 5", "19.1"),
]


@pytest.mark.parametrize(("cathode", "printed"), COUPLES)
def test_published_couples_within_a_factor_of_two(cathode, printed):
    found = couple("aluminium alloy", cathode)
    assert not found.open
    low, best, high = (loss * 1000 for loss in found.mm_per_year[0])
    assert float(printed) / 2 < best < float(printed) * 2
    assert low < float(printed) < high


def test_published_order_of_cathodes():
    best = [couple("aluminium alloy", cathode).mm_per_year[0][1] for cathode, _ in COUPLES]
    assert best == sorted(best, reverse=True)


@pytest.mark.parametrize("cathode", ["bronze", "copper", "316", "mild steel", "graphite"])
def test_without_a_published_couple_only_the_direction(cathode):
    assert f"'{cathode}' uses as a cathode" in couple("zinc", cathode).open


def test_never_more_than_the_oxygen_feeds():
    found = couple("mild steel", "nickel-aluminium bronze", (0.5, 3.0))
    assert found.driven_A[0][2] <= found.law_A[2] * (1 + 1e-9)


def test_bigger_cathode_never_slows_the_anode():
    losses = [
        couple("aluminium alloy", "nickel-aluminium bronze", (1.0, size)).mm_per_year[0]
        for size in (0.25, 1.0, 4.0)
    ]
    for smaller, larger in pairwise(losses):
        assert all(a <= b * (1 + 1e-9) for a, b in zip(smaller, larger, strict=True))


def test_order_of_the_metals_does_not_matter():
    one, other = (
        couple("aluminium alloy", "nickel-aluminium bronze", (2.0, 1.0)),
        couple("nickel-aluminium bronze", "aluminium alloy", (1.0, 2.0)),
    )
    assert one.law_A == pytest.approx(other.law_A)
    assert one.mm_per_year[0][1] == pytest.approx(other.mm_per_year[1][1], rel=0.05)


@pytest.mark.parametrize("salinity", ["1 PSU", "43 PSU", "30..45 PSU"])
def test_salinity_outside_the_formulas(salinity):
    with pytest.raises(InputError, match="outside 2 to 42"):
        water_of("sea", value(salinity, "salinity"), unseen("temperature"))


def test_no_rate_in_fresh_water_or_air():
    for where in ("fresh", "splash", "bilge", "dry"):
        with pytest.raises(InputError, match="salt water only"):
            water_of(where, unseen("salinity"), unseen("temperature"))


BOAT = """
[boat]
name = "T"
water = "sea"
[[metal]]
id = "drive"
metal = "aluminium saildrive"
exposure = "sea"
AREA
bonded = "yes"
[[metal]]
id = "propeller"
metal = "nickel-aluminium bronze"
exposure = "sea"
area = "0.2..0.3 m2"
bonded = "yes"
[[metal]]
id = "shaft"
metal = "17-4 PH"
exposure = "sea"
area = "0.2 m2"
bonded = "yes"
[[couple]]
id = "propeller on drive"
a = "drive"
b = "propeller"
"""


def ask(text):
    return survey(from_text(text), only=("corrosion-rate", "stray-current"))


def test_couple_and_bond_in_amperes_millimetres_and_kilograms():
    result = ask(BOAT.replace("AREA", 'area = "0.4 m2"'))
    assert not result.not_checked
    assert {f.subject for f in result.findings} == {"propeller on drive", "drive in bond"}
    for found in result.findings:
        assert found.verdict == "inadequate"
        assert found.provisional
        assert [s.unit for s in found.working][-3:] == ["A", "mm/year", "kg/year"]
        assert "Never paint the wasting metal alone" in found.remedy
    couple_loss, bond_loss = (
        one(result, subject=subject).working[-2].result
        for subject in ("propeller on drive", "drive in bond")
    )
    assert bond_loss > couple_loss  # one more cathode


def test_without_areas_only_the_direction_and_the_loss_at_equal_surfaces():
    result = ask(BOAT.replace("AREA", ""))
    assert not result.findings
    by = {item.subject: item for item in result.not_checked}
    item = by["propeller on drive"]
    assert "direction only: 'aluminium saildrive' wastes" in item.reason
    assert "At equal surfaces it would lose" in item.reason
    assert "bare wetted surface" in item.read


STRAY = """
[boat]
name = "T"
[[metal]]
id = "valve"
metal = "METAL"
exposure = "sea"
stray = "100 mA"
area = "50 cm2"
"""


# Faraday's law, 8760 h: 20.77 kg for each ampere of copper as Cu(I), 9.126 kg of iron.
@pytest.mark.parametrize(("metal", "kilograms"), [("copper", 2.077), ("mild steel", 0.9126)])
def test_stray_direct_current_takes_metal(metal, kilograms):
    found = one(ask(STRAY.replace("METAL", metal)))
    assert (found.check, found.verdict, found.priority) == ("stray-current", "inadequate", "A")
    assert found.working[-1].result == pytest.approx(kilograms, rel=5e-4)


def test_stray_current_on_a_surface_not_noted_is_not_judged():
    (item,) = ask(STRAY.replace("METAL", "copper").replace('area = "50 cm2"', "")).not_checked
    assert "2.08 kg a year" in item.reason
