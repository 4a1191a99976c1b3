"""Published short-time methods side by side: each as printed, none turning the verdict."""

import math

import pytest

from made import judged, run

METHODS = {
    "NFPA 70, 630.11(A)": "630.11",
    "NFPA 70, 430.22(E)": "430.22",
    "NFPA 70, Table 610.14(A)": "610.14",
    "IEC 60092-352": "60092-352",
    "PUE 1.3.3": "PUE",
    "first-order thermal model": "first-order",
}


def loaded(**changes):
    known = {"voltage": "12 V", "current": "100 A", "length": "2 m", "size": "4 AWG"}
    return judged("run-ampacity", run=[run(**known | changes)])


def by(found, name):
    return [step for step in found.working if METHODS[name] in step.source]


def amperes(found, name):
    (step,) = by(found, name)
    return step.result


def said(found):
    (note,) = [note for note in found.notes if "side by side" in note]
    return note


BRIEF = {"on_time": "2 min", "duty": "25 %"}


def test_without_a_duty_nothing_is_said_of_it():
    assert not any("side by side" in note for note in loaded().notes)


@pytest.mark.parametrize(("share", "multiplier"), [("50 %", 0.71), ("45 %", 0.71), ("20 %", 0.45)])
def test_welders(share, multiplier):
    # NFPA 70 (2008), 630.11(A): 0.71 at 50 %, 0.45 at 20 % or less; the next larger duty between
    assert amperes(loaded(duty=share), "NFPA 70, 630.11(A)") == pytest.approx(100 * multiplier)


@pytest.mark.parametrize(
    ("on", "percents"),
    [
        # NFPA 70 (2008), Table 430.22(E): short-time, intermittent, periodic, varying service
        ("5 min", [110, 85, 85, 110]),
        ("6 min", [120, 85, 90, 120]),
        ("15 min", [120, 85, 90, 120]),
        ("16 min", [150, 90, 95, 150]),
        ("60 min", [150, 90, 95, 150]),
        # continuous: none printed for short-time service
        ("61 min", [140, 140, 200]),
    ],
)
def test_motors(on, percents):
    steps = by(loaded(on_time=on), "NFPA 70, 430.22(E)")
    assert [step.result for step in steps] == pytest.approx(percents)


@pytest.mark.parametrize(
    ("changes", "short_A"),
    [
        # NFPA 70 (2008), Table 610.14(A): 4 AWG, 90 °C column (next below 105), 30 and 60 minutes;
        # 15 minutes 1.12 times the 30
        ({"on_time": "2 min"}, 1.12 * 130),
        ({"on_time": "15 min"}, 1.12 * 130),
        ({"on_time": "20 min"}, 130),
        ({"on_time": "30 min", "size": "2 AWG"}, 173),
        ({"on_time": "31 min", "size": "1/0 AWG"}, 211),
        ({"on_time": "60 min", "size": "2 AWG", "insulation": "125 °C"}, 178),
        # 2 AWG of 90 °C for 60 minutes was not read
        ({"on_time": "60 min", "size": "2 AWG"}, None),
        ({"on_time": "20 min", "size": "1/0 AWG", "insulation": "75 °C"}, 233),
        ({"on_time": "61 min"}, None),
        ({"on_time": "20 min", "size": "8 AWG"}, None),
        ({"on_time": "20 min", "size": "25 mm2"}, None),
        ({"on_time": "20 min", "insulation": "60 °C"}, None),
        ({"on_time": "20 min", "engine_space": "yes"}, None),
        ({"on_time": "20 min", "ambient": "45 °C"}, None),
    ],
)
def test_cranes(changes, short_A):
    steps = by(loaded(**changes), "NFPA 70, Table 610.14(A)")
    assert [step.result for step in steps] == ([] if short_A is None else [pytest.approx(short_A)])


def test_ships_with_the_cable_no_thicker_than_its_metal():
    # IEC 60092-352, from memory: tau = 0.245 d^1.35 min, factor sqrt(1.12 / (1 - exp(-t/tau)));
    # 4 AWG: 41,740 cmil (NFPA 70, chapter 9, table 8), 160 A in 33 CFR 183.425, Table 5
    diameter = math.sqrt(41740) * 0.0254
    tau = 0.245 * diameter**1.35
    factor = math.sqrt(1.12 / (1 - math.exp(-2 / tau)))
    assert amperes(loaded(on_time="2 min"), "IEC 60092-352") == pytest.approx(
        160 * factor, rel=1e-3
    )


def test_installation_rules_in_their_conditions_only():
    # PUE 1.3.3, coefficient from memory: 0.875 over the root of the duty, copper above 10 mm², up
    # to 4 min on in cycles to 10 min
    assert amperes(loaded(**BRIEF), "PUE 1.3.3") == pytest.approx(160 * 0.875 / 0.5)
    assert amperes(loaded(on_time="4 min", duty="90 %"), "PUE 1.3.3") == pytest.approx(160)
    for outside in (
        {"on_time": "5 min", "duty": "90 %"},
        {"on_time": "3 min", "duty": "25 %"},
        {"size": "8 AWG", **BRIEF},
        {"on_time": "2 min"},
    ):
        assert not by(loaded(**outside), "PUE 1.3.3")


def test_first_order_model():
    # physics: heat of copper 3.45 J/(K cm³) (IEC 60949) over the loss that 160 A at 105 °C in
    # 30 °C gives
    mm2 = 41740 * 5.067075e-4
    tau_s = 3.45e-3 * mm2**2 * 75 / (160**2 * 0.017241 * (1 + 0.00393 * 85) / 1000)
    factor = 1 / math.sqrt(1 - math.exp(-120 / tau_s))
    found = loaded(on_time="2 min")
    assert amperes(found, "first-order thermal model") == pytest.approx(160 * factor, rel=2e-3)


def test_each_method_says_whether_it_holds_and_none_is_a_marine_rule():
    # 165 A on 160 A: over by short-time service (110 %: 181 A) and cranes (146 A); within by the
    # welders' factor, intermittent and periodic service (85 %: 140 A)
    note = said(loaded(current="165 A", **BRIEF))
    assert "none is a marine rule" in note
    holds, fails = note.split("fails by")
    assert "Holds by NFPA 70, 630.11(A)" in holds
    assert "430.22(E), intermittent" in holds
    assert "430.22(E), short-time" in fails
    assert "610.14(A)" in fails
    assert "from memory" not in holds.split("Holds by")[1]


def test_what_cannot_be_evaluated_is_named():
    note = said(loaded(duty="25 %"))
    for name in ("430.22(E)", "610.14(A)", "IEC 60092-352", "PUE", "first-order"):
        assert name in note.split("not evaluated")[1]


def test_no_method_beside_turns_the_verdict():
    # by 610.14(A) and short-time service it fails, by the one it is judged by it holds
    found = loaded(current="200 A", on_time="2 min", duty="10 %")
    assert found.verdict in ("adequate", "marginal")
    assert "610.14(A)" in said(found).split("fails by")[1]
    assert not found.provisional


def test_a_share_not_noted_is_not_taken_as_a_rest_until_cold():
    # physics: on all the time it is a continuous load, 200 A on the 160 A of 33 CFR 183.425,
    # Table 5; on for 2 min and then cold it warms the cable less
    for unknown in ({}, {"duty": "?"}):
        found = loaded(current="200 A", on_time="2 min", **unknown)
        assert (found.verdict, found.priority) == ("undetermined", "A")
        (turns,) = [one for one in found.turns_on if one.input == "r: share of its time on"]
        assert "or less" in turns.adequate_if
    assert loaded(current="200 A", on_time="2 min", duty="100 %").verdict == "inadequate"


def test_the_hardest_end_of_what_was_noted_counts():
    found = loaded(current="80..100 A", on_time="2..20 min", duty="25..50 %")
    assert amperes(found, "NFPA 70, 630.11(A)") == pytest.approx(71)
    assert amperes(found, "NFPA 70, Table 610.14(A)") == pytest.approx(130)


def test_a_size_not_read_is_not_guessed_at():
    assert not any("side by side" in note for note in loaded(size="?", on_time="2 min").notes)
