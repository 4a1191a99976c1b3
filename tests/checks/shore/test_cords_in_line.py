"""Shore cords: those in line are one line; which breaker guards them; sizes that are made.

NFPA 70-2017, chapter 9 Table 9 (resistance at 75 °C), Table 400.5(A)(1) (flexible cord).
"""

import pytest

from made import surveyed

R_10, R_12, R_6 = 1.2e-3, 2.0e-3, 0.49e-3  # ohm per ft: 10, 12 and 6 AWG in steel conduit


def in_line(cords, *, amps=24, inlet=None, about=None, **lists):
    first = {"id": "i", "rating": "30 A", "service": "120 V"} | (inlet or {})
    one = {
        "id": "a",
        "inlet": "i",
        "volts": "120 V",
        "current": f"{amps} A",
        "when": ["shore"],
        "behaviour": "resistance",
    } | lists.pop("load", {})
    cords = [{"id": f"c{n}", "inlet": "i"} | cord for n, cord in enumerate(cords)]
    return surveyed("cord", about=about, inlet=[first], ac_load=[one], cord=cords, **lists)


def parts(result, name):
    return [f for f in result.findings if f.part == name]


def cord(size, length="50 ft", **more):
    return {"size": size, "length": length} | more


# -- drop ----------------------------------------------------------------------------------------


def test_a_cord_of_two_pieces_drops_as_much_as_one():
    (whole,) = parts(in_line([cord("10 AWG", "75 ft")]), "drop")
    (two,) = parts(in_line([cord("10 AWG", "50 ft"), cord("10 AWG", "25 ft")]), "drop")
    assert whole.value.best == pytest.approx(2 * 24 * 75 * R_10 / 120)  # 3.6 %
    assert two.value.best == pytest.approx(whole.value.best)
    assert (two.verdict, whole.verdict) == ("inadequate", "inadequate")
    assert "'c0' and 'c1' in line" in two.statement


def test_pieces_of_two_sizes_add_up():
    (found,) = parts(in_line([cord("10 AWG", "50 ft"), cord("12 AWG", "25 ft")], amps=20), "drop")
    assert found.value.best == pytest.approx(2 * 20 * (50 * R_10 + 25 * R_12) / 120)


def test_a_piece_that_was_not_read_leaves_the_line_open_unless_the_rest_is_too_much():
    short = in_line([cord("10 AWG", "25 ft"), {"size": "10 AWG"}])
    assert not parts(short, "drop")
    assert any("'c0' alone drops up to 1.20 %" in item.reason for item in short.not_checked)
    assert any("'c1'" in item.read for item in short.not_checked)
    (long,) = parts(in_line([cord("10 AWG", "75 ft"), {"size": "10 AWG"}]), "drop")
    assert long.verdict == "inadequate"
    assert any("'c1' in line" in note for note in long.notes)
    first = in_line([{"size": "10 AWG"}, cord("10 AWG", "75 ft")])
    assert [f.verdict for f in parts(first, "drop")] == ["inadequate"]


def test_two_cords_into_one_adapter_stand_side_by_side():
    fifty = {"rating": "50 A", "service": "120/240 V", "adapter": "two 30 A into one 50 A"}
    found = parts(
        in_line([cord("10 AWG"), cord("10 AWG")], inlet=fifty, load={"legs": "L1"}), "drop"
    )
    assert [f.subject for f in found] == ["c0", "c1"]
    assert [f.value.best for f in found] == pytest.approx([2 * 24 * 50 * R_10 / 120] * 2)


def test_a_noted_power_factor_settles_the_drop():
    motor = {"behaviour": "motor", "power_factor": "1"}
    (found,) = parts(
        in_line([cord("6 AWG", "100 ft")], amps=40, load=motor, inlet={"rating": "50 A"}), "drop"
    )
    assert found.verdict == "inadequate"
    assert found.value.low == found.value.high == pytest.approx(2 * 40 * 100 * R_6 / 120)


@pytest.mark.parametrize(
    ("service", "legs", "volts", "factor"),
    [
        ("120/240 V", "L1-L2", "240 V", 2.0),
        # 208 V, 60 A, 2 AWG, 50 ft, 0.19 ohm per 1000 ft: √3 I R L = 0.99 V
        ("120/208 V three-phase", "all", "208 V", 3**0.5),
    ],
)
def test_the_drop_between_legs(service, legs, volts, factor):
    inlet = {"service": service, "rating": "100 A"}
    result = in_line([cord("2 AWG")], amps=60, inlet=inlet, load={"legs": legs, "volts": volts})
    (found,) = parts(result, "drop")
    step = next(s for s in found.working if s.symbol == "E")
    resistance = step.result / (factor * 60 * 50)
    assert resistance == pytest.approx(0.19e-3, abs=0.015e-3)
    assert ("√3" in step.formula) == (factor < 2)


# -- which breaker guards it ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("size", "inlet", "verdict", "words"),
    [
        # column B of the table: 10 AWG 30 A, 12 AWG 25 A, 16 AWG 13 A
        ("10 AWG", {"adapter": "none"}, "adequate", "own rating"),
        ("12 AWG", {"adapter": "none"}, "inadequate", "stands behind 30.0 A"),
        ("16 AWG", {}, "inadequate", "listed for 13.0 A"),
        # an adapter that was not read may put it behind a receptacle of 50 A
        ("10 AWG", {}, "undetermined", "stands behind 30.0 to 50.0 A"),
        ("10 AWG", {"adapter": "?"}, "undetermined", "with an adapter or without"),
        ("10 AWG", {"breaker": "30 A"}, "adequate", "main breaker"),
        ("6 AWG", {}, "adequate", "listed for 55.0 A"),
        ("10 AWG", {"adapter": "one 50 A into 30 A"}, "inadequate", "stands behind 50.0 A"),
        ("10 AWG", {"pedestal": "50 A"}, "inadequate", "stands behind 50.0 A"),
        ("10 AWG", {"pedestal": "50 A", "breaker": "30 A"}, "adequate", "main breaker"),
        ("12 AWG", {"pedestal": "20 A"}, "adequate", "stands behind 20.0 A"),
        ("10 AWG", {"pedestal": "30..50 A"}, "undetermined", "breaker on the dock"),
        ("?", {"adapter": "none"}, "undetermined", "listed for 13.0 to 95.0 A"),
    ],
)
def test_a_cord_is_no_smaller_than_the_least_breaker_of_its_line(size, inlet, verdict, words):
    (found,) = parts(in_line([cord(size)], amps=12, inlet=inlet), "protection")
    assert found.verdict == verdict
    assert words in found.statement
    assert found.priority == ("B" if verdict != "adequate" else None)


def test_a_fault_in_the_cord_is_left_to_the_dock():
    inlet = {"adapter": "one 50 A into 30 A", "breaker": "30 A"}
    (found,) = parts(in_line([cord("10 AWG")], inlet=inlet), "protection")
    assert any("50 A receptacle" in note and "alone" in note for note in found.notes)


def test_without_any_rating_nothing_is_said_to_guard_it():
    result = in_line([cord("10 AWG")], inlet={"rating": "?"})
    assert not parts(result, "protection")
    assert any("no breaker that guards it" in item.reason for item in result.not_checked)


# -- what it carries -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amps", "size", "made"),
    [(26, "12 AWG", "10 AWG"), (31, "10 AWG", "8 AWG"), (45, "10 AWG", "6 AWG"),
     (60, "10 AWG", "4 AWG")],
)  # fmt: skip
def test_the_cord_named_is_one_that_is_made(amps, size, made):
    """Column B lists 9, 7 and 5 AWG too (34, 47 and 62 A), in which no cord is sold."""
    inlet = {"rating": "100 A", "pedestal": f"{amps} A"}
    (found,) = parts(in_line([cord(size)], amps=amps, inlet=inlet), "ampacity")
    assert (found.verdict, found.priority) == ("inadequate", "A")
    assert f"A cord of {made} or larger" in found.remedy


def test_a_cord_made_for_its_inlet_is_not_the_cause_of_an_overload():
    (found,) = parts(in_line([cord("10 AWG")], amps=32.9), "ampacity")
    assert (found.verdict, found.priority) == ("inadequate", "B")
    assert "Less load at once" in found.remedy
    assert "AWG" not in found.remedy
    (thin,) = parts(in_line([cord("12 AWG")], amps=32.9), "ampacity")
    assert (thin.verdict, thin.priority) == ("inadequate", "A")


def test_the_rating_moulded_on_a_cord_of_unread_size_stands():
    (found,) = parts(in_line([{"rating": "30 A"}], amps=24), "ampacity")
    assert (found.value.best, found.limit.low, found.limit.high) == (24, 30, 30)
    assert found.verdict == "adequate"
    assert not found.turns_on


@pytest.mark.parametrize(("supply", "low", "high"), [("240 V", 50, 50), ("208 V", 45, 45),
                                                     ("?", 45, 50)])  # fmt: skip
def test_a_moulded_rating_falls_where_the_neutral_is_loaded(supply, low, high):
    """Made for 50 A it is 6 AWG: 55 A with two loaded, 45 A with three (Table 400.5(A)(1))."""
    inlet = {"service": "120/240 V", "rating": "50 A", "supply": supply}
    result = in_line([{"rating": "50 A"}], inlet=inlet, load={"legs": "L1"})
    (found,) = parts(result, "ampacity")
    assert (found.limit.low, found.limit.high) == (low, high)


@pytest.mark.parametrize(
    ("size", "length", "amps", "made"),
    [
        # column B: 12 AWG carries 25 A, and is too small behind 30 A; 10 AWG is listed for 30 A
        ("14 AWG", "25 ft", 20, "10 AWG"),
        ("?", "25 ft", 12, "10 AWG"),
        # 2 x 29 x 75 ft x 1.2 ohm/kft / 120 V is 4.35 %; 6 AWG at 0.49 is 1.78 %, 8 at 0.78 2.83 %
        ("12 AWG", "75 ft", 29, "8 AWG"),
    ],
)
def test_the_cord_of_a_remedy_passes_all_that_is_asked_of_it(size, length, amps, made):
    inlet = {"adapter": "none", "supply": "120 V"}
    result = in_line([cord(size, length)], amps=amps, inlet=inlet)
    failed = [f for f in result.findings if f.remedy]
    assert {f.part for f in failed} >= {"protection"}
    assert all(f"cord of {made} or larger" in f.remedy for f in failed)
    bought = in_line([cord(made, length)], amps=amps, inlet=inlet)
    assert {f.verdict for f in bought.findings} <= {"adequate", "marginal"}


def test_a_breaker_for_a_cord_of_unread_size_is_for_the_smallest_that_it_may_be():
    (found,) = parts(in_line([{}], inlet={"adapter": "none"}), "protection")
    assert "A breaker of 13.0 A or less" in found.remedy  # 16 AWG, column B


def test_a_small_cord_drops_by_the_table_of_direct_current():
    """NFPA 70-2017, chapter 9 Table 8: 16 AWG stranded, uncoated, 4.99 ohm per 1000 ft at 75 °C."""
    (found,) = parts(in_line([cord("16 AWG", "25 ft")], amps=10), "drop")
    assert found.value.best == pytest.approx(2 * 10 * 25 * 4.99e-3 / 120)
    (line,) = parts(in_line([cord("10 AWG", "25 ft"), cord("16 AWG", "25 ft")], amps=10), "drop")
    assert line.value.best == pytest.approx(2 * 10 * 25 * (R_10 + 4.99e-3) / 120)
    odd = in_line([cord("15 AWG", "25 ft")], amps=10)
    (said,) = [item.reason for item in odd.not_checked if "resistance" in item.reason]
    assert "15 AWG" in said
    assert "_" not in said


def test_volts_of_the_dock_that_were_not_read_may_turn_ampacity_and_drop():
    """29 A of constant power at 120 V is 30.5 A at 114 V, the least of COMAR 20.50.07.02."""
    load = {"behaviour": "constant power", "power_factor": "1"}
    result = in_line([cord("10 AWG", "50 ft")], amps=29, load=load, inlet={"adapter": "none"})
    for name, words in (("ampacity", "carry 30.5 A"), ("drop", "drop 3.05 %")):
        (found,) = parts(result, name)
        assert found.verdict == "marginal"
        assert any(words in note and "114 V" in note for note in found.notes)
    assert any("volts of its dock" in item.reason for item in result.not_checked)
    read = in_line(
        [cord("10 AWG", "50 ft")], amps=29, load=load, inlet={"adapter": "none", "supply": "120 V"}
    )
    assert not any("volts of its dock" in item.reason for item in read.not_checked)


@pytest.mark.parametrize(("rating", "verdict"), [("30 A", "undetermined"), ("50 A", None)])
def test_a_neutral_above_its_links_is_a_finding(rating, verdict):
    """Three legs of 20 A, third harmonic 80 %: up to 3 x 20 x 0.8 / sqrt(1 + 0.8²) = 37.5 A."""
    loads = [
        {"id": f"p{leg}", "inlet": "i", "volts": "120 V", "current": "20 A", "legs": leg,
         "power_factor": "1", "third_harmonic": "80 %", "behaviour": "constant power",
         "when": ["shore"]}
        for leg in ("L1", "L2", "L3")
    ]  # fmt: skip
    inlet = {"id": "i", "rating": rating, "service": "120/208 V three-phase", "supply": "208 V"}
    found = surveyed("inlet-path", inlet=[inlet], ac_load=loads).findings
    neutral = [one for one in found if one.part == "neutral 'shore'"]
    assert [one.verdict for one in neutral] == ([verdict] if verdict else [])
    if neutral:
        assert neutral[0].value.high == pytest.approx(37.5, rel=0.01)
        assert neutral[0].limit.high == 30


def test_a_neutral_of_one_leg_s_loads_is_the_leg_s_own():
    inlet = {"service": "120/240 V", "rating": "30 A", "supply": "240 V"}
    result = in_line([cord("10 AWG")], amps=40, inlet=inlet, load={"legs": "L1"})
    assert not [f for f in result.findings if "neutral" in f.part]


def test_the_transformer_says_what_volts_that_were_not_read_would_turn():
    """A heater of 48 A at 240 V takes 50.4 A at 252 V: above the 50 A of 12 kVA at 240 V."""
    lists = {
        "inlet": [{"id": "i", "rating": "50 A", "service": "120/240 V"}],
        "transformer": [{"id": "t", "inlet": "i", "rating": "12 kVA", "isolating": "no"}],
        "ac_load": [{"id": "a", "inlet": "i", "volts": "240 V", "current": "48 A",
                     "behaviour": "resistance", "when": ["shore"]}],
    }  # fmt: skip
    result = surveyed("transformer", **lists)
    (found,) = parts(result, "rating")
    assert any("252 V" in note and "12096 VA" in note for note in found.notes)
    assert any("volts of its dock" in item.reason for item in result.not_checked)
