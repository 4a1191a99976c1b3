"""Tables behind rates, anodes and readings: what their papers promise, and published answers."""

import math

import pytest

from elec.checks.metals.corrosion_constants import constant
from elec.published import table

GAS, FARADAY, KELVIN_25 = 8.314462618, 96485.33212, 298.15  # CODATA 2018


def test_slopes_of_oxygen_reduction_follow_the_printed_transfer_coefficients():
    # Public code of the US Naval Research Laboratory: anodic shares 0.89 (steel, 316), 0.72
    # (copper-nickel), 0.65 (titanium), four electrons: b = 2.303 R T / ((1 - share) 4 F).
    kinetics = table("metal_kinetics")
    for family, state, share, column in (
        ("iron_steel", "n/a", 0.89, "high"),
        ("copper", "n/a", 0.72, "low"),
        ("titanium", "passive", 0.65, "low"),
    ):
        slope = math.log(10) * GAS * KELVIN_25 / ((1 - share) * 4 * FARADAY)
        printed = kinetics.exact(
            f"cathodic_slope_{column}_V_per_decade", family=family, state=state
        )
        assert printed == pytest.approx(slope, abs=0.0006)


def test_slope_of_steel_is_within_what_was_printed():
    # Weight lost at a held potential, natural and sterile seawater: 54 and 64 mV a decade.
    kinetics = table("metal_kinetics")
    for end, volts in (("low", 0.054), ("high", 0.064)):
        column = f"anodic_slope_{end}_V_per_decade"
        assert kinetics.exact(column, family="iron_steel", state="n/a") == volts


def test_low_ends_stand_first():
    for name in ("metal_kinetics", "hull_wetted_area"):
        held = table(name)
        for column in held.columns:
            if "_low" in column:
                low, high = held.numbers(column), held.numbers(column.replace("_low", "_high"))
                assert (low <= high).all()
    for row in table("corrosion_constants").rows():
        assert float(row["low"]) <= float(row["high"])


def test_every_row_that_is_pointed_at_stands_where_it_is_said():
    couples = table("mil_std_889d_aluminium_couples").text("material_2")
    assert set(table("cathode_efficiency_rows").text("material_2")) <= set(couples)
    for row in table("metal_equivalents").rows():
        held = table(row["table"])
        name = "metal" if row["table"] == "faraday_rates" else "alloy"
        other = "ion" if name == "metal" else "valences"
        assert held.row(**{name: row["row"], other: row["valences"]})


def test_copper_leaves_with_valence_one_by_default():
    for row in table("metal_equivalents").rows():
        assert "Cu2 Zn" not in row["valences"]
        assert row["valences"] != "Cu2+"
        assert not row["valences"].startswith("Cu2 Al")


def test_metals_ashore_stand_in_the_series():
    rows = table("galvanic_series_seawater").where(source_key="LAQUE_ACA").rows()
    listed = {(row["metal_id"], row["condition"]) for row in rows}
    for row in table("shore_metals").rows():
        assert (row["metal_id"], row["condition"]) in listed


def test_stand_off_rule_of_dnv():
    # DNV-RP-B401, notes to Table 10-7 (2010) and 8-7 (2021): 0.30 m, from 0.15 m times 1.3.
    assert constant("stand-off that needs no factor") == (0.30, 0.30)
    assert constant("least stand-off of the slender formulas") == (0.15, 0.15)
    assert constant("factor on resistance at a close stand-off") == (1.3, 1.3)


def test_every_material_and_water_has_an_answer_and_one_that_suits():
    choice = table("anode_choice_by_water")
    assert len(choice) == 9
    for water in ("sea", "brackish", "fresh"):
        assert "yes" in choice.where(water=water).text("suits")


def test_magnesium_is_for_fresh_water_only():
    # Common practice, no source.
    rows = table("anode_choice_by_water").where(material="magnesium").rows()
    assert {row["water"] for row in rows if row["suits"] == "yes"} == {"fresh"}
