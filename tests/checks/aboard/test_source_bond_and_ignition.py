"""Neutral and earth at each source, and gear in petrol spaces: yes, no and not seen.

ISO 13297 and 33 CFR 183.410 as republished.
"""

import pytest

from made import inlet, one, surveyed

# -- the bond of each source ---------------------------------------------------------------------

LOAD = {"id": "k", "inlet": "v", "power": "600 W", "behaviour": "resistance"}


@pytest.mark.parametrize(
    ("bond", "poles", "verdict"),
    [("yes", "?", "adequate"), ("no", "?", "inadequate"), ("no", "no", "inadequate"),
     ("no", "yes", "adequate"), ("?", "?", "undetermined"), ("?", "yes", "undetermined")],
)  # fmt: skip
@pytest.mark.parametrize("kind", ["generator", "inverter"])
def test_neutral_and_earth_are_joined_at_a_source_or_float_behind_double_poles(
    kind, bond, poles, verdict
):
    # ISO 13297:2020, 6.8
    source = {"id": "v", "neutral_earth_bond": bond}
    dock = inlet(rating="16 A", service="230 V", supply="230 V", double_pole=poles)
    lists = {kind: [source], "ac_load": [LOAD], "inlet": [dock]}
    found = one(surveyed("source-bond", basis="iso", **lists))
    assert (found.verdict, found.priority) == (verdict, None if verdict == "adequate" else "B")
    assert any("6.8" in s.edition + s.clause for s in found.sources)
    if verdict == "undetermined":
        assert "joined at 'v'" in found.turns_on[0].read
    if verdict == "inadequate":
        assert "by a switch that parts them" in found.remedy


def test_an_inverter_that_feeds_nothing_is_not_asked():
    assert not surveyed("source-bond", inverter=[{"id": "v"}]).findings


# -- petrol spaces -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "verdict", "priority"),
    [("yes", "adequate", None), ("no", "inadequate", "A"), ("?", "undetermined", "B")],
)
@pytest.mark.parametrize("where", ["engine space", "fuel tank locker", None])
def test_gear_in_petrol_spaces(where, given, verdict, priority):
    charger = {"id": "c", "bank": "b", "ignition_protected": given} | (
        {"where": where} if where else {}
    )
    lists = {"bank": [{"id": "b"}], "charger": [charger], "about": {"fuel": "petrol"}}
    found = one(surveyed("ignition-protection", **lists))
    assert (found.verdict, found.priority) == (verdict, priority)
    assert any("183.410" in s.edition + s.clause for s in found.sources)


def test_gear_whose_mark_is_not_asked_for_is_said():
    pump = {"id": "bilge pump", "where": "bilge", "current": "5 A"}
    lists = {"bank": [{"id": "b", "voltage": "12 V"}], "dc_load": [pump]}
    petrol = surveyed("ignition-protection", about={"fuel": "petrol"}, **lists)
    assert [(n.subject, "not asked" in n.reason) for n in petrol.not_checked] == [
        ("bilge pump", True)
    ]
    assert not surveyed("ignition-protection", about={"fuel": "diesel"}, **lists).not_checked


@pytest.mark.parametrize(
    ("fuel", "findings", "open_"), [("diesel", 0, 0), ("petrol", 1, 0), ("?", 0, 1)]
)
def test_ignition_protection_is_asked_where_petrol_is_aboard(fuel, findings, open_):
    bank = {"id": "b", "voltage": "12 V"}
    charger = {"id": "ch", "bank": "b", "where": "engine space"}
    result = surveyed("ignition-protection", about={"fuel": fuel}, bank=[bank], charger=[charger])
    assert (len(result.findings), len(result.not_checked)) == (findings, open_)
