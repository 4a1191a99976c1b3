"""Names of metals: each metal of the lists has one, and a name that does not settle it says so."""

from __future__ import annotations

import pytest

from elec.published import table

NAMES = table("metal_names")
SERIES = table("galvanic_series_seawater")


def ids(alias: str) -> set[str]:
    return set(NAMES.where(alias=alias).text("metal_id"))


def test_every_metal_of_the_lists_has_a_name() -> None:
    listed = {*SERIES.text("metal_id"), *table("metal_anodic_index").text("metal_id")}
    assert listed <= set(NAMES.text("metal_id"))


def test_every_name_leads_to_a_metal_of_the_lists_or_says_what_stands_in() -> None:
    listed = set(SERIES.text("metal_id"))
    stands = table("metal_row_in_series")
    for row in NAMES.rows():
        if row["metal_id"] in listed:
            continue
        if row["metal_id"] == "aluminium_anode":
            assert "anode_materials" in row["note"]
            continue
        rows = set(stands.where(metal_id=row["metal_id"]).text("row_metal_id"))
        assert any(metal in row["note"] for metal in rows), row


def test_names_are_written_one_way() -> None:
    for alias in NAMES.text("alias"):
        assert alias == " ".join(alias.lower().replace("-", " ").split())


@pytest.mark.parametrize(
    ("british", "american"),
    [
        ("aluminium", "aluminum"),
        ("grey", "gray"),
        ("galvanised", "galvanized"),
        ("fibre", "fiber"),
    ],
)
def test_both_spellings_mean_the_same(british: str, american: str) -> None:
    spelled = {alias for alias in NAMES.text("alias") if british in alias}
    assert spelled
    for alias in spelled:
        assert ids(alias) == ids(alias.replace(british, american))


def test_a_name_of_several_metals_says_what_to_look_at() -> None:
    for alias in set(NAMES.text("alias")):
        rows = NAMES.where(alias=alias)
        assert len(set(rows.text("ambiguous"))) == 1
        assert len(set(rows.text("ask"))) == 1
        assert (rows.text("ambiguous")[0] == "yes") == bool(rows.text("ask")[0])
        assert len(rows) == 1 or rows.text("ambiguous")[0] == "yes"


# Trade usage, common practice, no source: what a surveyor's word leaves open.
@pytest.mark.parametrize(
    ("alias", "may_be"),
    [
        ("aluminium bronze", {"aluminium_bronze", "nab"}),
        ("bronze", {"nab", "silicon_bronze", "tin_bronze", "manganese_bronze"}),
        ("brass", {"naval_brass", "yellow_brass", "red_brass", "muntz_metal"}),
        ("stainless", {"ss_304", "ss_316"}),
        ("stainless steel", {"ss_304", "ss_316", "ss_410", "ss_430"}),
        ("steel", {"mild_steel", "low_alloy_steel"}),
        ("aluminium", {"aluminium_alloys", "aluminium_5083_6061"}),
    ],
)
def test_words_that_settle_nothing(alias: str, may_be: set[str]) -> None:
    assert may_be <= ids(alias)
    assert set(NAMES.where(alias=alias).text("ambiguous")) == {"yes"}


# UNS and EN designations, from memory.
@pytest.mark.parametrize(
    ("alias", "metal"),
    [
        ("nickel aluminium bronze", "nab"),
        ("nab", "nab"),
        ("c95800", "nab"),
        ("c95400", "aluminium_bronze"),
        ("precipitation hardening stainless", "ss_17_4ph"),
        ("s17400", "ss_17_4ph"),
        ("s31603", "ss_316"),
        ("c46400", "naval_brass"),
        ("cw602n", "dzr_brass"),
        ("n04400", "ni_cu_400"),
        ("carbon fiber", "graphite"),
    ],
)
def test_words_that_settle_it(alias: str, metal: str) -> None:
    assert ids(alias) == {metal}
