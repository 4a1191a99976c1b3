"""Banks and what they start: edges, unknowns, order, and numbers by hand.

Values "by hand" were worked out apart from this package from the equations and rows named beside
them; boats and readings are invented.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.checks.banks.bank_ventilation import charger_classes
from made import LOAD, PASSES, bank, judged, step, surveyed

SETTINGS = settings(max_examples=15, deadline=None)


# -- autonomy ----------------------------------------------------------------------------------


def test_every_condition_away_from_the_dock_is_asked():
    loads = [
        LOAD,
        LOAD | {"id": "radar", "when": ["under way"]},
        LOAD | {"id": "thruster", "when": ["manoeuvring", "shore"]},
    ]
    found = surveyed("bank-autonomy", bank=[bank()], dc_load=loads).findings
    words = sorted(f.statement.split("'")[3] for f in found)
    assert words == ["anchor", "manoeuvring", "under way"]


def test_the_time_asked_holds_for_the_condition_it_was_asked_for():
    loads = [LOAD, LOAD | {"id": "radar", "when": ["under way"]}]
    found = surveyed(
        "bank-autonomy", bank=[bank(autonomy="40 h", condition="anchor")], dc_load=loads
    ).findings
    limits = {f.statement.split("'")[3]: f.limit.best for f in found}
    # 3 h: 46 CFR 28.870(a), emergency loads of fishing vessels, as a yardstick
    assert limits == {"anchor": 40.0, "under way": 3.0}


def test_in_a_span_shorter_than_a_day_all_hours_of_the_day_may_fall():
    # 300 A for 0.2 h a day, all of it within the half hour asked: 60 Ah, mean 120 A.
    thruster = LOAD | {"current": "300 A", "hours": "0.2 h", "when": ["manoeuvring"]}
    found = judged("bank-autonomy", bank=[bank()], dc_load=[thruster])
    assert step(found, "Q") == pytest.approx(60.0)


def test_hours_asked_are_met_exactly_at_the_turn():
    # 200 Ah, half usable: 100 Ah, at 5 A (below 200/20 A) exactly 20 h by definition of the rating.
    for asked, sure in (("20 h", True), ("20.1 h", False)):
        found = judged(
            "bank-autonomy", bank=[bank(autonomy=asked)], dc_load=[LOAD | {"current": "5 A"}]
        )
        assert (found.verdict in PASSES) is sure


def test_bank_needed_carries_what_is_asked_and_a_smaller_one_does_not():
    lists = {"dc_load": [LOAD | {"current": "40 A"}]}
    lithium = {"chemistry": "lfp", "autonomy": "4 h"}  # one published exponent, 1.05
    text = judged("bank-autonomy", bank=[bank(**lithium, capacity="100 Ah")], **lists).remedy
    needed = float(text.split("bank of ")[1].split(" Ah")[0])
    for capacity, sure in ((needed, True), (needed - 1, False)):
        found = judged("bank-autonomy", bank=[bank(**lithium, capacity=f"{capacity} Ah")], **lists)
        assert (found.verdict in PASSES) is sure


@pytest.mark.parametrize("temperature", ["-30 °C", "60 °C"])
def test_outside_the_temperature_table_nothing_is_said(temperature):
    result = surveyed("bank-autonomy", bank=[bank(temperature=temperature)], dc_load=[LOAD])
    assert not result.findings
    assert "not extrapolated" in result.not_checked[0].reason


@SETTINGS
@given(st.floats(0.5, 30), st.floats(0.5, 30))
def test_more_load_never_lasts_longer(first, second):
    few, many = (
        judged("bank-autonomy", bank=[bank()], dc_load=[LOAD | {"current": f"{amps:.3f} A"}])
        for amps in sorted((first, second))
    )
    assert few.value.best >= many.value.best
    assert not (few.verdict == "inadequate" and many.verdict in PASSES)


@SETTINGS
@given(st.floats(50, 1000), st.floats(0.5, 20))
def test_an_unknown_age_never_turns_out_better_than_new(capacity, amps):
    loads = [LOAD | {"current": f"{amps:.3f} A"}]
    new = judged("bank-autonomy", bank=[bank(capacity=f"{capacity:.1f} Ah")], dc_load=loads)
    unknown = judged(
        "bank-autonomy", bank=[bank(capacity=f"{capacity:.1f} Ah", remaining="?")], dc_load=loads
    )
    assert unknown.value.high <= new.value.high * (1 + 1e-9)
    assert not (new.verdict == "inadequate" and unknown.verdict in PASSES)


# -- fitting, age, gas ---------------------------------------------------------------------------


@pytest.mark.parametrize("field", ["secured", "covers"])
@pytest.mark.parametrize(
    ("seen", "verdict"), [("yes", "adequate"), ("no", "inadequate"), ("?", "undetermined")]
)
def test_presence(field, seen, verdict):
    check = {"secured": "bank-restraint", "covers": "bank-covers"}[field]
    assert judged(check, bank=[bank(**{field: seen})]).verdict == verdict


def test_loose_battery_in_a_petrol_boat_comes_first():
    for fuel, priority in (("petrol", "A"), ("diesel", "B")):
        found = judged("bank-restraint", about={"fuel": fuel}, bank=[bank(secured="no")])
        assert found.priority == priority


@pytest.mark.parametrize(
    # 33 CFR 183.420: lesser of 90 lbf and twice the weight; 30 lb gives 60 lbf, 60 lb gives 90 lbf
    ("mass", "pull_lbf"),
    [("30 lb", 60.0), ("45 lb", 90.0), ("60 lb", 90.0)],
)
def test_pull_on_the_restraint(mass, pull_lbf):
    found = judged("bank-restraint", bank=[bank(mass=mass)])
    assert step(found, "F") / 4.4482216 == pytest.approx(pull_lbf, abs=0.01)


@pytest.mark.parametrize(
    ("rings", "verdict"),
    [(1, "adequate"), (4, "marginal"), (5, "inadequate"), ("?", "undetermined")],
)
def test_rings_on_a_post(rings, verdict):
    assert judged("bank-rings", bank=[bank(rings_on_post=rings)]).verdict == verdict


def strings(*dates, **bank_words):
    return bank(**bank_words) | {"string": list(dates), "remaining": "?"}


def test_strings_of_one_year_may_be_a_year_apart_and_no_more():
    found = judged("bank-mix", bank=[strings({"year": 2022}, {"year": 2022})])
    assert found.verdict in PASSES
    assert found.value.high == pytest.approx(1.0, abs=0.01)


def test_strings_of_unknown_age_are_no_match():
    found = judged("bank-mix", bank=[strings({"year": 2022}, {})])
    assert found.verdict == "undetermined"


def test_unreadable_code_is_said_and_counts_as_unknown():
    found = judged("bank-mix", bank=[strings({"date_code": "XQ-77"}, {"year": 2022})])
    assert found.verdict == "undetermined"
    assert any("no form that can be read" in note for note in found.notes)


def test_code_that_belies_the_year_is_said():
    found = judged("bank-mix", bank=[strings({"date_code": "C5", "year": 2022}, {"year": 2022})])
    assert any("does not go with" in note for note in found.notes)


def test_types_mixed_in_one_bank():
    pair = [{"year": 2022, "label": "Type X 180"}, {"year": 2022, "label": "Type Y 180"}]
    found = surveyed("bank-mix", bank=[strings(*pair)]).findings
    assert {f.verdict for f in found if "types" in f.statement} == {"inadequate"}


@pytest.mark.parametrize(
    # IEEE 450 and 1188: replaced below 80 % of rated capacity
    ("remaining", "verdict"),
    [
        ("79 %", "inadequate"),
        ("80 %", "marginal"),
        ("90 %", "adequate"),
        ("75..95 %", "undetermined"),
    ],
)
def test_tested_capacity(remaining, verdict):
    assert judged("bank-age", bank=[bank(remaining=remaining)]).verdict == verdict


def test_age_not_known_is_asked_for():
    result = surveyed("bank-age", bank=[bank(remaining="?")])
    assert not result.findings
    assert "invoice" in result.not_checked[0].read


def test_air_for_a_flooded_and_a_sealed_bank():
    # EN 50272-2 on boost, 12 V 400 Ah: flooded 0.05 x 6 x 20 x 400 / 1000 = 2.4 m3/h, 67.2 cm2;
    # valve-regulated with gas current 8: 0.96 m3/h, 26.9 cm2.
    for chemistry, flow, area in (("flooded", 2.4, 67.2), ("agm", 0.96, 26.88)):
        found = judged("bank-ventilation", bank=[bank(chemistry=chemistry, capacity="400 Ah")])
        assert step(found, "Q") == pytest.approx(flow)
        assert step(found, "A") == pytest.approx(area)


@pytest.mark.parametrize(
    ("opening", "verdict"),
    [("67 cm²", "inadequate"), ("67.3 cm²", "marginal"), ("80 cm²", "adequate")],
)
def test_openings_measured(opening, verdict):
    sides = bank(chemistry="flooded", capacity="400 Ah", vented="yes", opening=opening)
    assert judged("bank-ventilation", bank=[sides]).verdict == verdict


def test_aired_but_not_measured_is_not_passed():
    assert judged("bank-ventilation", bank=[bank(vented="yes")]).verdict == "undetermined"


def test_lithium_gives_off_no_hydrogen():
    assert not surveyed("bank-ventilation", bank=[bank(chemistry="lfp")]).findings


@pytest.mark.parametrize(
    # 46 CFR 111.15-3 and 183.352: a charger of 0.9 kW is moderate in one and small in the other
    ("power", "classes"),
    [(180.0, ["small", "small"]), (900.0, ["moderate", "small"]), (2001.0, ["large", "large"])],
)
def test_two_parts_of_46_cfr_class_one_charger_apart(power, classes):
    assert [name for _, name in charger_classes(power)] == classes


LITHIUM = {"chemistry": "lfp", "management": "yes", "cold_cutoff": "yes", "alarm": "yes"}


def test_lithium_needs_all_three():
    assert judged("lithium", bank=[bank(**LITHIUM)]).verdict == "adequate"
    for field in ("management", "cold_cutoff", "alarm"):
        assert judged("lithium", bank=[bank(**LITHIUM | {field: "no"})]).verdict == "inadequate"
        assert judged("lithium", bank=[bank(**LITHIUM | {field: "?"})]).verdict == "undetermined"


@pytest.mark.parametrize(
    # thresholds: ISO 23625:2025 500 Wh; ISO/TS 23625:2021 and ABYC E-13 600 Wh
    ("capacity", "named"),
    [("40 Ah", 0), ("45 Ah", 1), ("50 Ah", 3)],
)
def test_lithium_thresholds_by_edition(capacity, named):
    found = judged("lithium", bank=[bank(**LITHIUM, capacity=capacity)])
    note = next(n for n in found.notes if "threshold" in n)
    assert note.count("Wh)") == named


# -- starting, draws ---------------------------------------------------------------------------


def test_cranking_needed_by_the_engine_maker():
    # Small marine diesel manual, family A: 540 CCA at least
    start = bank(id="start battery", cranking="600 CCA", cranking_needed="540 CCA")
    assert judged("cranking", bank=[start]).verdict == "adequate"
    aged = judged("cranking", bank=[start | {"remaining": "85 %"}])
    assert aged.verdict == "inadequate"  # 510 CCA
    two = judged("cranking", bank=[start | {"remaining": "85 %", "in_parallel": 2}])
    assert two.value.best == pytest.approx(1020)


def test_rule_of_thumb_spans_both_published_figures():
    start = bank(id="start battery", cranking="400 CCA", displacement="2 L")
    found = judged("cranking", bank=[start])
    assert (found.limit.low, found.limit.high) == pytest.approx((244, 440))
    assert found.verdict == "undetermined"


def test_what_the_engine_needs_is_asked_for():
    result = surveyed("cranking", bank=[bank(id="start battery", cranking="600 CCA")])
    assert "manual of the engine" in result.not_checked[0].read


@pytest.mark.parametrize(
    # engine manual, both poles together: 1.8 m of 35 mm2 drops 0.090 V for each 100 A (at
    # 0.0175 ohm mm2/m, here 0.0172); SAE J541, 12 V heavy duty: 0.10 V
    ("length", "verdict"),
    [("0.9 m", "adequate"), ("1.0 m", "marginal"), ("2.2 m", "inadequate")],
)
def test_starter_loop(length, verdict):
    cable = {"id": "starter cable", "voltage": "12 V", "length": length, "size": "35 mm²"}
    found = judged("starter-loop", run=[cable])
    assert found.verdict == verdict
    if length == "0.9 m":
        assert found.value.best == pytest.approx(0.090, rel=0.02)


def test_inverter_beyond_the_one_hour_current():
    inverter = {"id": "inverter", "bank": "bank", "power": "2 kW", "efficiency": "90 %"}
    found = judged("inverter-draw", bank=[bank()], inverter=[inverter])
    assert found.value.best == pytest.approx(2000 / (12 * 0.9))
    # 200 Ah emptied in 1 h, exponent 1.05 to 1.15: 200 x 20 ** (1/k - 1)
    assert found.limit.high == pytest.approx(200 * 20 ** (1 / 1.05 - 1))
    assert found.limit.low == pytest.approx(200 * 20 ** (1 / 1.15 - 1))
    assert found.verdict == "inadequate"


def test_makers_discharge_limit_goes_first():
    inverter = {"id": "inverter", "bank": "bank", "power": "2 kW", "efficiency": "90 %"}
    found = judged("inverter-draw", bank=[bank(discharge_limit="250 A")], inverter=[inverter])
    assert found.limit.best == 250
    assert found.verdict == "adequate"


def test_forgotten_inverter_empties_a_bank():
    # 1.5 A is 36 Ah a day (energy arithmetic of a handbook): 100 Ah usable last under three days
    found = judged("parasitic-drain", bank=[bank(drain="1.5 A")])
    assert 24 * 2 < found.value.high < 24 * 100 / 36 * (1 + 1e-9)
    assert found.verdict == "inadequate"


def test_drain_not_measured_is_asked_for_once():
    result = surveyed("parasitic-drain", bank=[bank(), bank(id="other")])
    (item,) = result.not_checked
    assert "'bank'" in item.read
    assert "'other'" in item.read
