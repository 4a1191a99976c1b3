"""Names, series, film and direction of couples, by the tables and as the survey asks."""

import pytest

from elec.checks.metals import named_metals
from elec.errors import InputError
from elec.survey import survey
from made import alone, from_text

SEA = named_metals.yardstick("sea")


def pair(a, b, where="sea", series="LAQUE_ACA"):
    by = named_metals.yardstick(where, series)
    return named_metals.compare(named_metals.named(a, by), named_metals.named(b, by), by)


# Ranges of the chart of ASTM G82 Fig. 1, as republished by the Australasian Corrosion Association.
@pytest.mark.parametrize(
    ("a", "b", "smallest", "largest", "wastes"),
    [
        ("aluminium alloy", "silicon bronze", "0.47", "0.75", "aluminium alloy"),
        ("mild steel", "nickel aluminium bronze", "0.38", "0.58", "mild steel"),
        ("zinc", "mild steel", "0.26", "0.43", "zinc"),
        ("copper", "tin", "0.00", "0.07", None),
    ],
)
def test_ranges_of_the_chart(a, b, smallest, largest, wastes):
    found = pair(a, b)
    assert found.smallest_V == pytest.approx(float(smallest), abs=1e-9)
    assert found.largest_V == pytest.approx(float(largest), abs=1e-9)
    assert (found.wastes.name if found.wastes else None) == wastes


def test_passive_and_active_rows_are_both_judged():
    found = pair("silicon bronze", "316")
    assert found.wastes is None
    assert found.sure == (
        "depends on the film: 'silicon bronze' wastes while '316' is passive, "
        "'316' itself wastes while active"
    )
    turned = pair("316", "silicon bronze")
    assert turned.sure == found.sure


def test_steel_wastes_beside_316_whatever_the_film():
    found = pair("mild steel", "316")
    assert found.wastes.name == "mild steel"
    assert found.sure.startswith("sure")


def test_ambiguous_names_are_ranges_with_what_to_ask():
    # "Aluminium bronze" with and without nickel: -0.22..-0.14 and -0.40..-0.31 V in the chart.
    found = named_metals.named("aluminium bronze", SEA)
    assert (found.low_V.min(), found.high_V.max()) == (-0.40, -0.14)
    assert "nickel" in found.ask
    assert "CW602N" in named_metals.named("brass", SEA).ask


@pytest.mark.parametrize(
    ("name", "metal_id"),
    [
        ("C95800", "nab"),
        ("s31603", "ss_316"),
        ("N04400", "ni_cu_400"),
        ("1.4404", "ss_316"),
        ("Nickel-Aluminium Bronze", "nab"),
        ("manganese bronze", "manganese_bronze"),
    ],
)
def test_designations_and_synonyms(name, metal_id):
    assert named_metals.metal_ids(name) == [metal_id]


def test_unknown_metal_gets_the_nearest_names():
    words = named_metals.not_held(named_metals.named("silicone bronze", SEA), SEA)
    assert "no metal known" in words
    assert "silicon bronze" in words


@pytest.mark.parametrize("series", named_metals.SERIES)
def test_every_candidate_is_of_the_one_series_asked_for(series):
    by = named_metals.yardstick("sea", series)
    source = (
        named_metals.table("galvanic_series_seawater").where(source_key=series).rows()[0]["source"]
    )
    for name in ("bronze", "316", "zinc", "mild steel", "copper"):
        for one in named_metals.named(name, by).found:
            assert one.source.edition == source


def test_stand_ins_are_of_the_list_they_were_chosen_for():
    assert named_metals.named("gunmetal", SEA).found
    assert named_metals.named("gunmetal", named_metals.yardstick("sea", "NRL")).missing == (
        "gunmetal",
    )


def test_a_series_that_is_not_held():
    with pytest.raises(InputError, match="no galvanic series") as caught:
        named_metals.yardstick("sea", "NLR")
    assert "Did you mean 'NRL'?" in caught.value.remedy


def test_fresh_water_has_no_yardstick():
    with pytest.raises(InputError, match="fresh water"):
        named_metals.yardstick("fresh")


# MIL-F-14072 groups and limits, as republished: 0.15 V in the open, 0.25 V indoors.
@pytest.mark.parametrize(
    ("a", "b", "where", "verdict"),
    [
        ("tin", "copper", "dry", "undetermined"),
        ("copper", "aluminium 6061", "splash", "inadequate"),
        ("stainless 316", "copper", "bilge", "adequate"),
    ],
)
def test_index_in_air_and_series_in_water(a, b, where, verdict):
    assert pair(a, b, where).verdict == verdict


def test_exactly_at_the_limit_in_air_passes():
    # Copper 0.35, stainless 0.50: 0.15 V, not exactly so in binary.
    assert pair("stainless 316", "copper", "splash").verdict == "adequate"


def test_every_pair_of_every_series_is_listed():
    for series in named_metals.SERIES:
        by = named_metals.yardstick("sea", series)
        rows = named_metals.every_row(by)
        assert len(rows) > 20
        for k, a in enumerate(rows):
            for b in rows[k + 1 :]:
                assert named_metals.compare(a, b, by, limit_V=0.2).largest_V >= 0


BOAT = """
[boat]
name = "T"
water = "sea"
SERIES
[[metal]]
id = "hull"
metal = "mild steel"
exposure = "sea"
area = "20 m2"
[[metal]]
id = "propeller"
metal = "copper"
exposure = "sea"
area = "0.5..1 m2"
[[couple]]
id = "c"
a = "hull"
b = "propeller"
"""


def couple(text):
    return alone(survey(from_text(text), only=["metal-couple"]))


def test_the_series_of_the_boat_file_is_followed_and_others_are_told():
    found = couple(BOAT.replace("SERIES", ""))
    assert found.value.low == pytest.approx(0.23)  # -0.60 and -0.37 V
    assert found.verdict == "inadequate"
    (note,) = [n for n in found.notes if "other published lists" in n]
    assert "E2_RANGES undetermined" in note  # copper down to -0.57 V there
    other = couple(BOAT.replace("SERIES", 'series = "E2_RANGES"'))
    assert other.verdict == "undetermined"
    assert other.working[0].source == "vs Ag/AgCl"


def test_area_ratio_is_told():
    found = couple(BOAT.replace("SERIES", ""))
    assert any("0.025 to 0.05 times the bare surface of 'hull'" in note for note in found.notes)


def test_exactly_at_the_limit_prints_the_limit():
    text = BOAT.replace("SERIES", "").replace('exposure = "sea"', 'exposure = "splash"')
    text = text.replace('"mild steel"', '"stainless 316"')
    found = couple(text)
    assert found.verdict == "marginal"
    assert "0.150 V apart" in found.statement
