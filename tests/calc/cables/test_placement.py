"""The placement rules at their edges, and with facts not noted."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import placement
from elec.errors import InputError
from elec.published import table

INCH_M = 0.0254
INSTRUMENTS = {
    "cfr": {"cfr_0": 0, "cfr_7": 7 * INCH_M, "cfr_40": 40 * INCH_M, "cfr_72": 72 * INCH_M},
    "abyc": {"abyc_7": 7 * INCH_M, "abyc_40": 40 * INCH_M, "abyc_72": 72 * INCH_M, "abyc_crank": 0},
    "iso": {"iso_200": 0.2, "iso_1800": 1.8},
    "iso ac": {"iso_ac_500": 0.5},
}
ALLOWED = {name: placement.allowances(rows) for name, rows in INSTRUMENTS.items()}


def place(instrument, metres, **facts):
    return placement.place(metres, allowed=ALLOWED[instrument], facts=facts)


NOT_BATTERY = {"from_battery": False, "cranking": False}


@pytest.mark.parametrize(
    ("inches", "facts", "verdict", "rule"),
    [
        # 33 CFR 183.455(b)
        (0, {}, "meets", "cfr_0"),
        (0.1, {"not_at_source": False} | NOT_BATTERY, "fails", ""),
        (7, {"not_at_source": True} | NOT_BATTERY, "meets", "cfr_7"),
        (7, NOT_BATTERY, "conditional", "cfr_7"),
        (7.01, {"not_at_source": True, "sheathed": False} | NOT_BATTERY, "fails", ""),
        (
            40,
            {"not_at_source": True, "not_near_source": True, "sheathed": True} | NOT_BATTERY,
            "meets",
            "cfr_40",
        ),
        (
            40,
            {"not_at_source": True, "not_near_source": False, "sheathed": True} | NOT_BATTERY,
            "fails",
            "",
        ),
        (40, {"sheathed": True} | NOT_BATTERY, "conditional", "cfr_40"),
        (40.1, {"sheathed": True} | NOT_BATTERY, "fails", ""),
        # 33 CFR 183.460, from memory
        (72, {"from_battery": True, "cranking": False}, "meets", "cfr_72"),
        (71, {"from_battery": True}, "conditional", "cfr_72"),
        (72.1, {"from_battery": True, "cranking": False}, "fails", ""),
    ],
)
def test_coast_guard(inches, facts, verdict, rule):
    found = place("cfr", inches * INCH_M, **facts)
    assert (found.verdict, found.rule_id) == (verdict, rule)


@pytest.mark.parametrize(
    ("inches", "facts", "verdict", "rule"),
    [
        # ABYC E-11 (2015), as republished; the key to 40 or 72 is "direct to the battery"
        (7, {"sheathed": False, "cranking": False}, "meets", "abyc_7"),
        (7.1, {"sheathed": False, "cranking": False}, "fails", ""),
        (40, {"sheathed": True, "from_battery": False, "cranking": False}, "meets", "abyc_40"),
        (40.1, {"sheathed": True, "from_battery": False, "cranking": False}, "fails", ""),
        (40.1, {"sheathed": True, "from_battery": True, "cranking": False}, "meets", "abyc_72"),
        (72.1, {"sheathed": True, "from_battery": True, "cranking": False}, "fails", ""),
        (72.1, {"sheathed": True, "from_battery": True}, "conditional", "abyc_crank"),
        (20, {"from_battery": True, "cranking": False}, "conditional", "abyc_72"),
    ],
)
def test_abyc(inches, facts, verdict, rule):
    found = place("abyc", inches * INCH_M, **facts)
    assert (found.verdict, found.rule_id) == (verdict, rule)


def test_a_fact_that_makes_no_difference_is_not_asked_for():
    # 30 in, sheathed: within 40 in if not from the battery, within 72 in if so
    found = place("abyc", 30 * INCH_M, sheathed=True, cranking=False)
    assert (found.verdict, found.hangs_on) == ("meets", ())
    found = place("abyc", 50 * INCH_M, sheathed=True, cranking=False)
    assert (found.verdict, found.hangs_on) == ("conditional", ("from_battery",))
    assert found.sure_m == pytest.approx(40 * INCH_M)
    assert found.most_m == pytest.approx(72 * INCH_M)


@pytest.mark.parametrize(
    ("metres", "facts", "verdict"),
    [
        # ISO 10133:2000, 8.1; ISO 13297:2020, 12.3
        (0.2, {"charging_source": False}, "meets"),
        (0.201, {"charging_source": False}, "fails"),
        (1.8, {"charging_source": True}, "meets"),
        (1.801, {"charging_source": True, "self_limiting": False, "inside_source": False}, "fails"),
        (5.0, {"charging_source": True, "self_limiting": True}, "meets"),
        (5.0, {"charging_source": True}, "conditional"),
    ],
)
def test_iso(metres, facts, verdict):
    assert place("iso", metres, **facts).verdict == verdict


@pytest.mark.parametrize(
    ("metres", "covered", "verdict"),
    [
        (0.5, False, "meets"),
        (0.51, False, "fails"),
        (0.51, True, "meets"),
        (9, None, "conditional"),
    ],
)
def test_iso_ac(metres, covered, verdict):
    # ISO 13297:2020, 13.2.2
    assert place("iso ac", metres, covered_to_panel=covered).verdict == verdict


FACT = st.sampled_from([True, False, None])


@given(
    instrument=st.sampled_from(sorted(ALLOWED)),
    metres=st.sampled_from([0, 0.1, 0.178, 0.19, 0.5, 1.0, 1.1, 1.82, 1.9]),
    noted=st.lists(FACT, min_size=len(placement.FACTS), max_size=len(placement.FACTS)),
)
def test_not_noted_means_tried_both_ways(instrument, metres, noted):
    facts = dict(zip(placement.FACTS, noted, strict=True))
    settled = {
        place(instrument, metres, **dict(zip(facts, values, strict=True))).verdict
        for values in product(*[(v,) if v is not None else (True, False) for v in noted])
    }
    assert settled <= {"meets", "fails"}
    found = place(instrument, metres, **facts)
    assert found.verdict == (settled.pop() if len(settled) == 1 else "conditional")
    assert bool(found.hangs_on) == (found.verdict == "conditional")
    assert bool(found.rule_id) == (found.verdict != "fails")
    assert found.sure_m <= found.most_m
    nearer = place(instrument, metres / 2, **facts)
    order = ["fails", "conditional", "meets"]
    assert order.index(nearer.verdict) >= order.index(found.verdict)


def test_every_row_of_the_table_has_its_logic():
    rows = table("ocpd_placement_rules").text("rule_id")
    assert set(rows) == set(placement.ALLOWS)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: place("cfr", -1), "distance_m"),
        (lambda: place("cfr", float("nan")), "distance_m"),
        (lambda: place("cfr", 1, sheath=True), "sheath"),
        (lambda: placement.place(1, allowed=(), facts={}), "allowed"),
        (lambda: placement.allowances({"cfr_99": 1}), "cfr_99"),
        (lambda: placement.allowances({"cfr_7": -1}), "cfr_7"),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()


def test_where_no_rule_applies_only_the_source_itself_is_allowed():
    charging_only = placement.allowances({"iso_1800": 1.8})
    for metres, verdict in ((0.0, "meets"), (0.05, "conditional"), (1.9, "fails")):
        facts = {"inside_source": False, "self_limiting": False}
        found = placement.place(metres, allowed=charging_only, facts=facts)
        assert found.verdict == verdict
        assert (found.sure_m, found.most_m) == (0.0, 1.8)
