"""Banks: what was not noted widens the verdict, and no load aboard is left out of it.

Numbers "by hand" were worked out apart from this package; boats and readings are invented.
"""

from itertools import product
from math import log

import pytest

from elec.checks.banks.bank_loads import daily_Ah
from made import BANK, LOAD, PASSES, boat_of, judged, step, surveyed

INVERTER = {"id": "inverter", "bank": "bank", "efficiency": "90 %", "idle": "1 A"}
KETTLE = {"id": "kettle", "inlet": "inverter", "power": "1200 W", "when": ["anchor"]}


def autonomy(**lists):
    return judged("bank-autonomy", bank=[lists.pop("bank", BANK)], **lists)


# -- loads -------------------------------------------------------------------------------------


def test_ac_load_on_an_inverter_counts_with_what_the_inverter_takes():
    # 1200 W / (12 V x 0.9) for 0.5 h: 55.56 Ah; idle 1 A the whole day: 24 Ah; by hand
    found = autonomy(
        dc_load=[LOAD | {"id": "inverter idle", "inverter": "inverter", "current": "1 A"}],
        inverter=[INVERTER],
        ac_load=[KETTLE | {"hours": "0.5 h"}],
    )
    assert step(found, "Q(kettle)") == pytest.approx(55.56, abs=0.005)
    assert step(found, "Q") == pytest.approx(79.56, abs=0.005)


def test_ac_load_is_counted_by_its_kind_and_never_passes_unread():
    lists = {"inverter": [INVERTER], "ac_load": [KETTLE | {"power": "?", "kind": "microwave"}]}
    without = autonomy(dc_load=[LOAD])
    found = autonomy(dc_load=[LOAD], **lists)
    assert found.value.low < without.value.low
    assert any(item.input.startswith("kettle: hours") for item in found.typical)
    assert not surveyed("bank-autonomy", bank=[BANK], dc_load=[LOAD], **lists).not_checked


@pytest.mark.parametrize(
    ("draw", "low_W", "high_W"),
    [
        # power factor 0.8 to 1 where it was not noted (UFC 3-520-01, 2002, B-2.1)
        ({"apparent_power": "500 VA"}, 400.0, 500.0),
        ({"current": "5 A", "volts": "120 V", "power_factor": "0.9"}, 540.0, 540.0),
        ({"current": "5 A", "volts": "120 V", "behaviour": "resistance"}, 600.0, 600.0),
    ],
)
def test_real_power_of_an_ac_load(draw, low_W, high_W):
    load = {
        "id": "kettle",
        "inlet": "inverter",
        "when": ["anchor"],
        "hours": "1 h",
        "duty": "100 %",
    }
    idle = LOAD | {"id": "inverter idle", "current": "0 A"}
    found = autonomy(dc_load=[idle], inverter=[INVERTER], ac_load=[load | draw])
    # 100 Ah usable, at a load below the rated current
    ends = [100 * 24 * 12 * 0.9 / watts for watts in (high_W, low_W)]
    assert (found.value.low, found.value.high) == pytest.approx(ends)
    assert step(found, "Q(kettle)") == pytest.approx((low_W + high_W) / 2 / (12 * 0.9))


def test_inverter_without_a_word_on_its_idle_draw_takes_some():
    quiet = {k: v for k, v in INVERTER.items() if k != "idle"}
    found = autonomy(dc_load=[LOAD], inverter=[quiet])
    assert any(item.input.startswith("inverter idle: current") for item in found.typical)
    assert found.value.low < autonomy(dc_load=[LOAD]).value.low


def test_idle_draw_noted_as_a_load_is_not_counted_twice():
    idle = LOAD | {"id": "inverter idle", "kind": "inverter idle", "current": "1 A"}
    assert step(autonomy(dc_load=[idle], inverter=[INVERTER]), "Q") == pytest.approx(24.0)


def test_watts_through_an_inverter_cost_its_losses():
    # 108 W / (12 V x 0.9) = 10 A, by hand
    load = LOAD | {"current": "?", "power": "108 W", "hours": "1 h", "inverter": "inverter"}
    found = autonomy(dc_load=[load], inverter=[INVERTER])
    assert step(found, "Q(load)") == pytest.approx(10.0)


def test_load_without_any_figure_is_counted():
    bare = {"id": "box", "bank": "bank", "when": ["anchor"]}
    result = surveyed("bank-autonomy", bank=[BANK], dc_load=[LOAD, bare])
    assert not result.not_checked
    assert result.findings[0].verdict not in PASSES


@pytest.mark.parametrize(
    ("passes", "runs"), [("yes", "does not"), ("no", "does"), ("?", "may or may not")]
)
def test_at_the_dock_an_inverter_may_pass_power_on(passes, runs):
    boat = boat_of(
        bank=[BANK],
        inverter=[INVERTER | {"passes_through": passes}],
        ac_load=[KETTLE | {"hours": "1 h", "when": ["shore"]}],
        dc_load=[LOAD | {"id": "inverter idle"}],
    )
    least, _, most = daily_Ah(boat, boat.bank[0], "shore")
    kettle = 1200 / (12 * 0.9)
    expected = {"does not": (0, 0), "does": (kettle, kettle), "may or may not": (0, kettle)}[runs]
    assert (least, most) == pytest.approx(expected)


def test_kind_that_always_runs_is_not_asked_for():
    fridge = {"id": "fridge", "bank": "bank", "kind": "refrigerator"}
    found = autonomy(dc_load=[LOAD, fridge])
    assert not any("running in condition" in turn.input for turn in found.turns_on)
    assert not any("running in condition" in item.input for item in found.typical)


# -- hour rate, temperature, reserve -----------------------------------------------------------


@pytest.mark.parametrize("field", ["rate", "temperature"])
def test_what_was_not_noted_is_no_settled_value(field):
    load = [LOAD | {"current": "20 A"}]
    noted, unseen = (autonomy(bank=BANK | words, dc_load=load) for words in ({}, {field: "?"}))
    assert unseen.value.low < noted.value.low
    assert unseen.value.best == pytest.approx(noted.value.best)
    assert any("not noted" in note or "No hour rate" in note for note in unseen.notes)


def test_every_hour_rate_of_a_range_counts():
    load = [LOAD | {"current": "20 A"}]
    narrow = autonomy(bank=BANK | {"rate": "100 h"}, dc_load=load)
    wide = autonomy(bank=BANK | {"rate": "5..100 h"}, dc_load=load)
    assert wide.value.low == pytest.approx(narrow.value.low)


def test_cold_at_which_it_turns_is_named_as_a_temperature():
    # IEEE 485, Table 1: factor 1.19 at 10 °C; 100 Ah / 1.19 carry 5 A for 16.8 h
    found = autonomy(
        bank=BANK | {"temperature": "10..25 °C", "autonomy": "18 h"},
        dc_load=[LOAD | {"current": "5 A"}],
    )
    assert found.value.low == pytest.approx(100 / 1.19 / 5)
    assert found.verdict == "undetermined"
    assert "°C" in found.turns_on[0].adequate_if


def test_hard_and_easy_ends_of_reserve_and_capacity_are_paired_every_way():
    # k = ln(H / t) / ln(I H / C), 25 A and 20 h, over all four corners
    spans = (150.0, 200.0), (95.0, 105.0)
    by_hand = [log(20 / (m / 60)) / log(25 * 20 / c) for m, c in product(*spans)]
    found = autonomy(
        bank=BANK | {"chemistry": "flooded", "capacity": "95..105 Ah", "reserve": "150..200 min"},
        dc_load=[LOAD | {"current": "20 A"}],
    )
    hardest = 95 * (95 / (20 * 20)) ** (max(by_hand) - 1) * 0.5 / 20
    assert found.value.low == pytest.approx(hardest)


def test_rate_effect_is_not_carried_beyond_one_hour():
    windlass = LOAD | {"current": "300 A", "hours": "24 h", "when": ["manoeuvring"]}
    found = autonomy(dc_load=[windlass])
    # emptied in one hour it gives 200 x 20 ** (1/k - 1) Ah, k 1.05 to 1.15; half is usable
    assert found.value.low == 0
    assert found.value.high <= 200 * 20 ** (1 / 1.05 - 1) * 0.5 / 300 * (1 + 1e-9)
    assert any("under an hour" in note for note in found.notes)
    assert found.verdict != "adequate"


def test_use_that_is_advised_instead_is_carried_and_a_little_more_is_not():
    windlass = LOAD | {"hours": "0.5 h", "when": ["manoeuvring"]}
    bank = BANK | {"chemistry": "lfp"}  # one published exponent, 1.05
    remedy = autonomy(bank=bank, dc_load=[windlass | {"current": "900 A"}]).remedy
    most = float(remedy.split("use ")[1].split(" Ah")[0])
    for charge, sure in ((most, True), (most + 2, False)):
        load = [windlass | {"current": f"{charge / 0.5} A"}]
        assert (autonomy(bank=bank, dc_load=load).verdict in PASSES) is sure


# -- strings -----------------------------------------------------------------------------------


def test_unknown_strings_do_not_crank_as_one():
    start = BANK | {"id": "start battery", "cranking": "600 CCA", "cranking_needed": "540 CCA"}
    found = judged("cranking", bank=[start | {"in_parallel": "?"}])
    assert (found.value.low, found.value.high) == pytest.approx((600, 2400))


# -- words -------------------------------------------------------------------------------------


def test_conditions_of_one_bank_are_told_apart():
    loads = [LOAD, LOAD | {"id": "radar", "when": ["under way"]}]
    found = surveyed("bank-autonomy", bank=[BANK], dc_load=loads).findings
    assert {f.part for f in found} == {"'anchor'", "'under way'"}


def test_short_times_are_said_in_minutes():
    thruster = LOAD | {"current": "400 A", "hours": "0.2 h", "when": ["manoeuvring"]}
    found = autonomy(dc_load=[thruster])
    assert "30.0 min is asked" in found.statement
    assert "in 30.0 min" in found.remedy


def test_ages_and_types_of_one_bank_are_told_apart():
    strings = [{"year": 2022, "label": "Type X 180"}, {"year": 2018, "label": "Type Y 180"}]
    found = surveyed("bank-mix", bank=[BANK | {"string": strings}]).findings
    assert {f.part for f in found} == {"age", "types"}


def test_air_is_asked_for_the_most_strings_that_a_bank_may_have():
    # EN 50272-2: Q = 0.05 x 6 cells x 20 mA/Ah x 420 Ah / 1000 = 2.52 m3/h, 28 cm2 for each m3/h
    bank = {"id": "b", "voltage": "12 V", "chemistry": "flooded", "capacity": "105 Ah"}

    def aired(**noted):
        return judged("bank-ventilation", bank=[bank | {"in_parallel": "?"} | noted])

    assert step(aired(), "Q") == pytest.approx(2.52)
    assert aired(opening="40 cm²").verdict == "undetermined"
    assert aired(opening="80 cm²").verdict in PASSES
    assert aired(opening="15 cm²").verdict == "inadequate"
