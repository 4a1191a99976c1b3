"""What an inlet carries at the volts of its dock: behaviour and volts that were not read.

Circuit theory: constant power draws I_r V_r / V, a resistance I_r V / V_r; split phase gives half
of its volts to neutral, a wye those over the root of three. Limits of supply: COMAR 20.50.07.02
(114 to 126 V, 197 to 219 V, 228 to 252 V) and EN 50160 (207 to 253 V).
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.boat.ac_loads import SERVICES
from elec.calc.ac.neutral import NeutralLoad, neutral_bounds_A
from elec.checks.aboard.load_card import in_words
from elec.checks.legs.dock_volts import band, to_neutral_V
from made import PASSES, one, surveyed


def at_dock(*loads, only=("inlet-load",), basis="us", **inlet):
    source = {"id": "i", "rating": "50 A", "service": "120/240 V"} | inlet
    entries = [{"inlet": "i", "when": ["shore"], "power_factor": "1"} | load for load in loads]
    return surveyed(*only, basis=basis, inlet=[source], ac_load=entries)


# -- behaviour not read --------------------------------------------------------------------------

EUROPEAN = {"rating": "16 A", "service": "230 V", "basis": "iso"}


@pytest.mark.parametrize(
    ("behaviour", "low", "high", "verdict"),
    [
        ("?", 3500 / 253, 3500 * 253 / 230**2, "undetermined"),
        ("resistance", 3500 * 253 / 230**2, 3500 * 253 / 230**2, "inadequate"),
        ("constant power", 3500 / 253, 3500 / 253, "adequate"),
    ],
)
def test_a_load_of_unread_behaviour_is_either(behaviour, low, high, verdict):
    entry = {"id": "x", "volts": "230 V", "power": "3500 W", "behaviour": behaviour}
    found = one(at_dock(entry, supply="253 V", **EUROPEAN))
    assert (found.value.low, found.value.high) == (pytest.approx(low), pytest.approx(high))
    assert found.verdict == verdict
    if behaviour == "?":
        assert found.value.best == pytest.approx(low)  # constant power is the likeliest
        (turns,) = found.turns_on
        assert (turns.adequate_if, turns.inadequate_if) == ("as constant power", "as a resistance")
        assert "what 'x' is" in turns.read


def test_below_its_rated_volts_the_heater_draws_less():
    found = one(at_dock({"id": "x", "volts": "240 V", "current": "46 A"}, supply="208 V"))
    assert found.value.low == pytest.approx(46 * 208 / 240)
    assert found.value.high == pytest.approx(46 * 240 / 208)
    assert found.turns_on[0].adequate_if == "as a resistance"


def test_at_its_rated_volts_behaviour_is_not_asked():
    found = one(at_dock({"id": "x", "volts": "240 V", "current": "46 A"}, supply="240 V"))
    assert (found.value.low, found.value.high, found.typical) == (46, 46, ())


def test_the_card_leaves_open_what_behaviour_leaves_open():
    entry = {"id": "x", "volts": "230 V", "power": "3500 W", "use": "choice"}
    (card,) = at_dock(entry, only=("load-card",), supply="253 V", **EUROPEAN).cards
    assert (card.surely_count, card.possibly_count) == (0, 1)
    (card,) = at_dock(entry, only=("load-card",), supply="230 V", **EUROPEAN).cards
    assert (card.surely_count, card.possibly_count) == (0, 0)


# -- volts to neutral ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("service", "supply", "rating", "amps", "at", "verdict"),
    [
        ("230/400 V three-phase", "380 V", "16 A", 3600 / 230, 380 / 3**0.5, "inadequate"),
        ("230/400 V three-phase", "400 V", "16 A", 3600 / 230, 400 / 3**0.5, "marginal"),
        ("120/240 V", "228 V", "50 A", 48, 114, "inadequate"),
        ("120/240 V", "240 V", "50 A", 48, 120, "marginal"),
        ("120/240 V", "208 V", "50 A", 48, 208 / 3**0.5, "marginal"),  # two legs of a wye
    ],
)
def test_a_load_to_neutral_gets_what_the_dock_gives_there(
    service, supply, rating, amps, at, verdict
):
    rated = SERVICES[service].to_neutral_V
    entry = {"id": "x", "volts": f"{rated} V", "current": f"{amps} A", "legs": "L2"}
    entry |= {"behaviour": "constant power"}
    found = one(at_dock(entry, service=service, supply=supply, rating=rating))
    assert found.value.best == pytest.approx(amps * rated / at)
    assert found.verdict == verdict
    assert not any("nominal voltage" in note for note in found.notes)


def test_between_the_limits_of_wye_and_split_phase_both_are_possible():
    entry = {"id": "x", "volts": "120 V", "current": "48 A", "legs": "L1", "behaviour": "motor"}
    found = one(at_dock(entry, supply="224 V"))
    assert found.value.low == pytest.approx(48 * 120 / (224 / 3**0.5))
    assert found.value.high == pytest.approx(48 * 120 / 112)
    assert found.verdict == "undetermined"


@given(st.floats(197, 252), st.floats(0, 60), st.sampled_from(["motor", "resistance", "?"]))
@settings(max_examples=40, deadline=None)
def test_a_range_of_docks_holds_each_of_them(low, wide, behaviour):
    high = min(low + wide, 252)
    loads = [
        {"id": "a", "volts": "120 V", "current": "30 A", "legs": "L1", "behaviour": behaviour},
        {"id": "b", "volts": "240 V", "current": "10 A", "legs": "L1-L2"},
    ]
    whole = one(at_dock(*loads, supply=f"{low}..{high} V")).value
    for share in (0, 0.3, 1):
        at = one(at_dock(*loads, supply=f"{low + share * (high - low)} V")).value
        assert whole.low <= at.low * (1 + 1e-9)
        assert whole.high >= at.high * (1 - 1e-9)


def test_to_neutral_by_system():
    assert to_neutral_V(SERVICES["120 V"], 117.0, 0.0) == 117
    assert to_neutral_V(SERVICES["120/240 V"], 236.0, 0.0) == 118
    assert to_neutral_V(SERVICES["120/240 V"], 208.0, 0.0) == pytest.approx(120.09, abs=0.005)
    assert to_neutral_V(SERVICES["120/208 V three-phase"], 215.0, 0.0) == pytest.approx(
        124.13, abs=0.005
    )


# -- volts not read ------------------------------------------------------------------------------

CLIMATE = {"id": "ac", "volts": "240 V", "current": "45.2 A", "behaviour": "constant power"}


def test_a_dock_not_read_that_would_overload_is_said_and_asked():
    result = at_dock(CLIMATE)
    (found,) = result.findings
    assert (found.value.best, found.verdict) == (pytest.approx(45.2), "marginal")
    (note,) = found.notes
    assert "At 208 V" in note  # 45.2 x 240/208
    assert "52.2 A" in note
    assert "adequate at 217 V or more" in note  # 45.2 x 240/50 = 216.96
    assert [typical.taken for typical in found.typical] == ["240 V"]
    (missing,) = result.not_checked
    assert "52.2 A" in missing.reason
    assert [item.read for item in result.go_back] == ["the voltage at 'i' under load"]
    assert result.exit_code == 3


def test_a_dock_not_read_that_turns_nothing_asks_nothing():
    result = at_dock(CLIMATE | {"current": "40 A"})
    assert result.findings[0].notes == ()
    assert (result.not_checked, result.go_back, result.exit_code) == ((), (), 0)


@pytest.mark.parametrize(
    ("behaviour", "amps", "words"),
    [
        ("constant power", 15.2, "At 207 V"),  # 15.2 x 230/207 = 16.9 A
        ("resistance", 15.2, "At 253 V"),  # 15.2 x 1.1 = 16.7 A
        ("constant power", 14.3, None),  # 15.9 A
        ("resistance", 14.5, None),  # 15.95 A
    ],
)
def test_the_published_band_of_230_V_is_weighed(behaviour, amps, words):
    entry = {"id": "x", "volts": "230 V", "current": f"{amps} A", "behaviour": behaviour}
    found = one(at_dock(entry, **EUROPEAN))
    assert found.verdict in PASSES
    assert [words in note for note in found.notes] == ([True] if words else [])


@pytest.mark.parametrize(
    ("service", "low", "high"),
    [
        ("120 V", 114, 126),
        ("120/240 V", 228, 252),
        ("120/208 V two legs", 197, 219),
        ("120/208 V three-phase", 197, 219),
        ("230 V", 207, 253),
        ("230/400 V three-phase", 207 * 3**0.5, 253 * 3**0.5),
    ],
)
def test_bands_of_supply(service, low, high):
    assert band(SERVICES[service]).span[::2] == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize(
    ("amps", "said"),
    [(45.2, "At 208 V, two legs of a 120/208 V wye, all together may draw 52.2 A"), (40, None)],
)
def test_the_card_promises_nothing_for_a_dock_that_would_overload(amps, said):
    (card,) = at_dock(CLIMATE | {"current": f"{amps} A"}, only=("load-card",)).cards
    text = " ".join(in_words(card))
    assert ("Everything may run together" in text) is (said is None)
    assert said is None or said in text


# -- connected, remedy, phasors ------------------------------------------------------------------


def test_what_is_connected_is_told_at_the_volts_of_what_runs():
    found = one(at_dock(CLIMATE | {"current": "46 A"}, supply="208 V"))
    connected = [s for s in found.working if s.symbol == "connected(L1)"]
    assert [s.result for s in connected] == [pytest.approx(46 * 240 / 208)]
    assert "at 208 V" in connected[0].formula


def test_what_is_always_on_is_not_left_off():
    loads = [
        {"id": "fridge", "current": "2 A", "use": "always", "behaviour": "motor"},
        {"id": "heater", "current": "8 A", "use": "choice", "behaviour": "resistance"},
        {"id": "boiler", "current": "7 A", "use": "choice", "behaviour": "resistance"},
    ]
    loads = [one | {"volts": "230 V"} for one in loads]
    found = one(at_dock(*loads, **EUROPEAN))  # 17 A on 16 A
    assert found.remedy.startswith("Leave 'boiler' off")
    loads[0]["current"] = "17 A"
    assert "always on is too much alone" in one(at_dock(*loads, **EUROPEAN)).remedy


@pytest.mark.parametrize(
    ("factors", "amps", "said"),
    [
        (("1", "?"), 27, "48.4 to 51.0 A: read the power factor of 'b'"),
        (("1", "1"), 27, None),
        (("1", "?"), 35, None),  # 56 A at best
    ],
)
def test_phasors_stand_beside_the_sum_that_they_would_turn(factors, amps, said):
    pair = [
        {"id": name, "volts": "120 V", "legs": "L1", "current": f"{i} A", "power_factor": factor}
        for name, i, factor in zip("ab", (24, amps), factors, strict=True)
    ]
    found = one(at_dock(*pair, supply="240 V"))
    assert found.verdict == "inadequate"  # the published methods add amperes
    notes = [note for note in found.notes if "phasors" in note]
    assert [said in note for note in notes] == ([True] if said else [])


def test_where_every_power_factor_was_noted_legs_are_summed_by_phasors():
    # |24 + 27 (0.8 - 0.6j)| = |45.6 - 16.2j| = 48.4 A
    pair = [
        {"id": name, "volts": "120 V", "legs": "L1", "current": f"{i} A", "power_factor": factor}
        for name, i, factor in (("a", 24, "1"), ("b", 27, "0.8"))
    ]
    found = one(at_dock(*pair, supply="240 V"))
    assert found.value.best == pytest.approx(abs(24 + 27 * (0.8 - 0.6j)))
    assert (found.value.low, found.value.high) == (found.value.best,) * 2
    assert found.verdict == "marginal"
    (first,) = [step for step in found.working if step.symbol == "I(L1)"]
    assert "phasor sum" in first.formula
    assert first.numbers == "24 a at +0.0° + 27 b at -36.9°"


def test_leading_takes_from_lagging_in_an_inlet():
    # |12 at +25.84° + 12 at -60° + 8| = |24.8 - 5.16j| = 25.3 A on 30 A
    given_loads = (("pc", 12, "0.9 leading"), ("m", 12, "0.5"), ("q", 8, "1"))
    loads = [
        {"id": n, "volts": "120 V", "current": f"{i} A", "power_factor": factor}
        for n, i, factor in given_loads
    ]
    found = one(at_dock(*loads, service="120 V", rating="30 A", supply="120 V"))
    assert found.value.best == pytest.approx(25.33, abs=0.01)
    assert found.verdict in PASSES


def test_legs_of_a_wye_meet_by_phasors():
    # |20 at -66.87° + 20 at +30°| = 26.5 A on the leg that they share
    loads = [
        {"id": n, "volts": "208 V", "current": "20 A", "legs": legs, "power_factor": factor}
        for n, legs, factor in (("a", "L1-L2", "0.8"), ("b", "L2-L3", "1"))
    ]
    about = {"service": "120/208 V three-phase", "rating": "30 A", "supply": "208 V"}
    found = one(at_dock(*loads, **about))
    assert found.value.high == pytest.approx(26.53, abs=0.01)


def test_unread_behaviour_holds_between_the_volts_that_either_fails_at():
    entry = {"id": "x", "volts": "230 V", "power": "3500 W", "power_factor": "1"}
    (note,) = one(at_dock(entry, **EUROPEAN)).notes
    # 3500 W / 16 A = 218.75 V; as a heater 16 A is at 230 x 16 / (3500 / 230) = 241.8 V
    assert "adequate at 219 V or more and 241 V or less" in note


def test_volts_of_a_wye_to_neutral_are_nominal_though_208_is_rounded():
    entry = {"id": "x", "volts": "120 V", "legs": "L1", "current": "6 A"}
    found = one(at_dock(entry, service="120/208 V two legs", supply="208 V", rating="30 A"))
    assert found.value.low == found.value.high == pytest.approx(6, rel=1e-3)


def test_a_balanced_neutral_is_nothing():
    loads = [NeutralLoad(28, 28, (leg,)) for leg in ("L1", "L2")]
    assert neutral_bounds_A(loads, system="split-phase") == (0, 0)
    three = [NeutralLoad(28.3, 28.3, (leg,)) for leg in ("L1", "L2", "L3")]
    assert neutral_bounds_A(three, system="three-phase wye") == (0, 0)
