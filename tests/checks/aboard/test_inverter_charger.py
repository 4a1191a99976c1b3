"""An inverter-charger at the dock: its charger on the inlet, what it passes on, its supply run.

Arithmetic by hand: I = S / V; what a device passes on is the sum of the loads behind it.
"""

import pytest

from made import inlet, one, surveyed


def load(name, current, **changes):
    return {
        "id": name, "inlet": "v", "current": f"{current} A", "volts": "120 V", "when": ["shore"],
        "behaviour": "resistance",
    } | changes  # fmt: skip


def aboard(*loads, only=("inlet-load", "inverter"), extra=None, **changes):
    source = {"id": "v", "bank": "b", "power": "3000 W", "service": "120 V", "inlet": "i"}
    lists = {
        "inlet": [inlet(rating="30 A", service="120 V", supply="120 V")],
        "bank": [{"id": "b", "voltage": "12 V", "chemistry": "agm"}],
        "inverter": [source | {"passes_through": "yes"} | changes],
        "ac_load": list(loads),
    } | (extra or {})
    return surveyed(*only, **lists)


def test_its_own_charger_and_what_it_passes_on_count_on_the_inlet():
    result = aboard(load("kettle", 15), input="1200 VA", transfer="30 A")
    inlet = one(result, "inlet-load")
    assert inlet.value.best == pytest.approx(15 + 1200 / 120)
    assert inlet.verdict == "adequate"
    assert one(aboard(load("kettle", 25), input="1200 VA"), "inlet-load").verdict == "inadequate"
    none = aboard(load("kettle", 25), input="0 VA", transfer="30 A")
    assert one(none, "inlet-load").value.best == pytest.approx(25)


@pytest.mark.parametrize(
    ("amps", "verdict"), [(26, "adequate"), (30, "marginal"), (30.1, "inadequate")]
)
def test_what_it_passes_on_is_held_against_its_transfer_rating(amps, verdict):
    result = aboard(load("k", amps), input="0 VA", transfer="30 A")
    found = one(result, "inverter", part="transfer 'shore'")
    assert (found.verdict, found.value.best, found.limit.best) == (verdict, pytest.approx(amps), 30)
    if verdict == "inadequate":
        assert found.priority == "B"
        assert "30.0 A at once" in found.remedy


def test_passed_on_or_not_known_is_open_and_not_passed_on_is_no_question():
    maybe = aboard(load("k", 31), input="0 VA", transfer="30 A", passes_through="?")
    assert one(maybe, "inverter", part="transfer 'shore'").verdict == "undetermined"
    no = aboard(load("k", 31), input="0 VA", transfer="30 A", passes_through="no")
    assert not [f for f in no.findings if "transfer" in f.part]


def test_what_was_not_noted_is_said_exactly():
    result = aboard(load("k", 15))
    reasons = {item.reason: item.read for item in result.not_checked}
    charger = next(r for r in reasons if "its own charger" in r)
    assert "what chargers take is counted on the inlet" in charger
    assert "AC input of the charger in 'v'" in reasons[charger]
    passed = next(r for r in reasons if "how much it passes on" in r)
    assert "15.0 A" in passed
    assert "transfer (pass-through) rating" in reasons[passed]
    other = aboard(load("k", 15), extra={"charger": [{"id": "c", "bank": "b", "inlet": "i"}]})
    assert not any("its own charger" in item.reason for item in other.not_checked)


def test_a_charger_in_it_that_was_not_read_leaves_the_inlet_open():
    result = aboard(load("k", 12), load("z", 12), transfer="30 A")
    inlet = one(result, "inlet-load")
    assert (inlet.verdict, inlet.value.low) == ("undetermined", pytest.approx(24))
    assert any("'v'" in one.read for one in inlet.turns_on)
    none = aboard(load("k", 12), load("z", 12), transfer="30 A", input="0 VA")
    assert one(none, "inlet-load").verdict == "adequate"
    assert not one(none, "inverter", part="transfer 'shore'").notes


@pytest.mark.parametrize(
    ("passes", "verdict"), [("?", "undetermined"), ("no", "inadequate"), ("yes", None)]
)
def test_loads_that_may_be_passed_on_at_the_dock_leave_the_inverter_open(passes, verdict):
    result = aboard(load("k", 30), input="0 VA", passes_through=passes)
    verdicts = [f.verdict for f in result.findings if f.check == "inverter" and f.part == "'shore'"]
    assert verdicts == ([verdict] if verdict else [])


def test_at_the_dock_its_loads_do_not_run_on_the_inverter():
    result = aboard(load("k", 30, when=["shore", "anchor"]), input="0 VA", transfer="50 A")
    parts = {f.part for f in result.findings if f.check == "inverter"}
    assert parts == {"'anchor'", "transfer 'shore'"}
    only_shore = aboard(load("k", 30), input="0 VA", transfer="50 A")
    assert {f.part for f in only_shore.findings if f.check == "inverter"} == {"transfer 'shore'"}


def supply(**changes):
    run = {"id": "r", "from": "i", "serves": ["v"], "length": "5 m", "size": "10 AWG"}
    return aboard(load("k", 15), only=("run-ampacity", "run-drop"), extra={"run": [run]}, **changes)


def test_the_run_that_feeds_it_from_the_shore_carries_both():
    assert one(supply(input="1200 VA"), "run-ampacity").value.best == pytest.approx(25)
    apart = supply(input="1200 VA", passes_through="no")
    assert one(apart, "run-ampacity").value.best == pytest.approx(10)
    perhaps = one(supply(input="1200 VA", passes_through="?"), "run-ampacity").value
    assert (perhaps.low, perhaps.high) == pytest.approx((10, 25))
    assert "of 120 V" in one(supply(input="1200 VA"), "run-drop").statement


def test_without_its_charger_s_input_that_run_is_not_checked_and_says_what_to_read():
    result = supply()
    assert not result.findings
    assert all("AC input of its own charger" in item.reason for item in result.not_checked)
    assert all("AC input on the plate of 'v'" in item.read for item in result.not_checked)


def test_a_charger_of_the_only_inlet_counts_though_its_inlet_was_not_named():
    charger = {"id": "c", "bank": "b", "input": "1200 VA"}
    result = aboard(load("k", 15, inlet="i"), extra={"charger": [charger], "inverter": []})
    assert one(result, "inlet-load").value.best == pytest.approx(25)
