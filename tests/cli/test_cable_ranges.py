"""Ranges, about and not seen in every option of the cable command: judged, never taken as safe."""

import pytest

from commands import answered

RUN = {"--current": "80A", "--length": "6m", "--volts": "12V", "--insulation": "105C"}


def cable(changes, *alone):
    options = RUN | changes
    words = [part for pair in options.items() for part in pair]
    return answered("cable", *words, *alone)[::-1]


def turning(document):
    """Return what the verdict turns on, by check and input."""
    return {
        (finding["check"], item["input"]): item["adequate_if"]
        for finding in document["findings"]
        for item in finding["turns_on"]
    }


def drop_of(size_cmil, volts, *, current=80, metres=6):
    """ABYC E-11 circular-mil formula, K = 10.75, out and back in feet."""
    return 10.75 * current * (2 * metres / 0.3048) / size_cmil / volts


# Areas: NEC chapter 9, Table 8; ampacities: 33 CFR 183.425, Table 5
CMIL = {"8 AWG": 16510, "6 AWG": 26240, "4 AWG": 41740, "2 AWG": 66360, "1/0 AWG": 105600}


def test_the_drop_is_a_fraction_of_a_nominal_voltage_that_may_be_a_range():
    code, document = cable({"--volts": "11.5..12.6V", "--size": "4 AWG", "--drop": "6.5%"})
    value = document["findings"][1]["value"]
    assert value["low"] == pytest.approx(drop_of(41740, 12.6), rel=1e-9)
    assert value["high"] == pytest.approx(drop_of(41740, 11.5), rel=1e-9)
    assert document["judged"]["drop_V"] == pytest.approx(drop_of(41740, 1.0), rel=1e-9)
    # 6.44 % of 12.6 V, 7.05 % of 11.5 V: turns at 0.81117 V / 6.5 % = 12.4796 V
    assert (code, document["judged"]["verdict"]) == (3, "undetermined")
    assert turning(document) == {("run-drop", "cable: nominal voltage"): "12.5 V or more"}


@pytest.mark.parametrize("volts", ["11.5..12.6V", "12..24V", "~12V"])
def test_a_range_of_volts_is_chosen_for_at_its_lowest(volts):
    lowest = {"11.5..12.6V": "11.5V", "12..24V": "12V", "~12V": "9.6V"}[volts]
    _, ranged = cable({"--volts": volts, "--drop": "3%"})
    _, exact = cable({"--volts": lowest, "--drop": "3%"})
    assert ranged["chosen"] == exact["chosen"]
    for name in ("longest_m", "most_current_A"):
        assert ranged[name] == pytest.approx(exact[name])


@pytest.mark.parametrize("size", ["6 AWG..2 AWG", "2 AWG..6 AWG", "2..6 AWG"])
def test_a_range_of_sizes_turns_on_the_size(size):
    # of 12 V at 80 A, 6 m: 6 AWG 10.8 %, 4 AWG 6.8 %, 3 AWG 5.4 %, 2 AWG 4.25 % (E-11 formula)
    assert drop_of(CMIL["6 AWG"], 12) > 0.1 > drop_of(CMIL["4 AWG"], 12)
    code, document = cable({"--size": size})
    assert (code, document["judged"]["verdict"]) == (3, "undetermined")
    assert document["judged"]["fails_on"] == ["drop"]
    assert document["judged"]["size"] == "6 AWG to 2 AWG"
    assert document["judged"]["drop_fraction"] == pytest.approx(drop_of(26240, 12))
    assert document["judged"]["ampacity_A"] == 120  # of 6 AWG at 105 °C
    assert turning(document) == {("run-drop", "cable: size"): "4 AWG or 3 AWG or 2 AWG"}


@pytest.mark.parametrize(
    ("size", "verdict"),
    [("1/0..4/0", "adequate"), ("12..10 AWG", "inadequate"), ("~4 AWG", "undetermined")],
)
def test_a_range_of_sizes_is_adequate_only_if_all_are(size, verdict):
    code, document = cable({"--size": size})
    assert document["judged"]["verdict"] == verdict
    assert code == {"adequate": 0, "inadequate": 1, "undetermined": 3}[verdict]


def test_a_size_not_seen_is_any_of_the_table_and_never_adequate():
    code, document = cable({"--size": "?"})
    assert (code, document["judged"]["verdict"]) == (3, "undetermined")
    assert turning(document)[("run-drop", "cable: size")] == "4 AWG or larger"
    assert turning(document)[("run-ampacity", "cable: size")] == "8 AWG or larger"
    # the largest device within 150 % must carry 80 A: 33 CFR 183.455(c)(1), 10 AWG of 60 A
    assert turning(document)[("run-protection", "cable: size")] == "10 AWG or larger"


def test_metric_sizes_in_a_range_on_both_bases():
    for basis in ("us", "iso"):
        _, document = cable({"--size": "10..25 mm2", "--basis": basis})
        assert document["judged"]["area_mm2"] == 10
        assert document["judged"]["verdict"] == "undetermined"


def test_gauge_sizes_on_the_other_basis_keep_their_own_metal():
    # SAE J1127/J1128 least areas, as republished: 10 AWG 9343 cmil; the metric annex formula
    _, document = cable({"--basis": "iso"}, "--wire", "sae")
    ten = next(c for c in document["candidates"] if c["size"] == "10 AWG")
    mm2 = 9343 * 5.067075e-4
    assert ten["area_mm2"] == pytest.approx(mm2, rel=1e-6)
    assert ten["drop_V"] == pytest.approx(0.0164 * 80 * 12 / mm2, rel=1e-6)


@pytest.mark.parametrize(
    ("changes", "alone", "size", "turns"),
    [
        # 33 CFR 183.425, Table 5: 80 A is 8 AWG at 105 °C, 65 A at 75 °C
        ({"--insulation": "75..105C"}, (), "8 AWG", ("run-ampacity", "cable: insulation rating")),
        ({"--insulation": "?"}, (), "8 AWG", ("run-ampacity", "cable: insulation rating")),
        (
            {"--insulation": "~100C ± 10K"},
            (),
            "8 AWG",
            ("run-ampacity", "cable: insulation rating"),
        ),
        # note 1: 0.85 in an engine space
        ({"--engine-space": "?"}, (), "8 AWG", ("run-ampacity", "cable: engine space")),
        # NFPA 70, 310.15(B): 80 A x sqrt((105 - 50)/75) at 50 °C
        ({"--ambient": "30..50C"}, (), "8 AWG", ("run-ampacity", "cable: ambient")),
        ({"--ambient": "?"}, (), "8 AWG", ("run-ampacity", "cable: ambient")),
        ({"--ambient": "~40C ± 10K"}, (), "8 AWG", ("run-ampacity", "cable: ambient")),
        # ABYC E-11, 3 % or 10 % by what it feeds
        ({"--length": "2m", "--drop": "?"}, (), "6 AWG", ("run-drop", "cable: kind of circuit")),
        ({"--length": "2m", "--drop": "3..5%"}, (), "6 AWG", ("run-drop", "cable: drop allowed")),
        ({"--length": "~2m", "--drop": "3.5%"}, (), "6 AWG", ("run-drop", "cable: length")),
        ({"--current": "~80A"}, (), "8 AWG", ("run-ampacity", "cable: current")),
        # 183.455(c)(1): 150 % of 120 A
        (
            {"--length": "2m", "--fuse": "150..200A"},
            (),
            "6 AWG",
            ("run-protection", "fuse: rating"),
        ),
        ({"--length": "2m", "--fuse": "~160A"}, (), "6 AWG", ("run-protection", "fuse: rating")),
        ({"--length": "2m", "--fuse": "?"}, (), "6 AWG", ("run-protection", "fuse: rating")),
        # 183.425(d) to (g): 16 AWG, 18 AWG in a sheath
        ({"--current": "5A", "--sheathed": "?"}, (), "18 AWG", ("run-size", "cable: sheath")),
    ],
)
def test_whatever_is_not_settled_is_named_and_not_adequate(changes, alone, size, turns):
    code, document = cable({"--length": "1m"} | changes | {"--size": size}, *alone)
    assert (code, document["judged"]["verdict"]) == (3, "undetermined")
    assert turns in turning(document)


@pytest.mark.parametrize("bundled", ["2..4", "~3", "?"])
def test_conductors_together_at_50_V_and_up(bundled):
    # 33 CFR 183.425, note 2: 80 A x 0.70 with three, x 0.60 with four
    changes = {"--current": "70A", "--volts": "120V", "--length": "1m", "--bundled": bundled}
    code, document = cable(changes | {"--size": "8 AWG"})
    assert (code, document["judged"]["verdict"]) == (3, "undetermined")
    assert ("run-ampacity", "cable: conductors bundled") in turning(document)


def test_duty_not_seen_leaves_a_short_load_open():
    # NFPA 70, 630.11(A): between 0.45 and 1 times 100 A against 80 A
    changes = {"--current": "100A", "--length": "1m", "--size": "8 AWG", "--duty": "?"}
    code, document = cable(changes)
    assert (code, document["judged"]["verdict"]) == (3, "undetermined")
    assert ("run-ampacity", "cable: duty cycle") in turning(document)


def test_a_range_of_sizes_and_volts_on_alternating_current():
    # NFPA 70, chapter 9, Table 9, PVC conduit: 10 AWG 1.2 ohm/kft, 6 AWG 0.49 ohm/kft; unit power
    # factor at 40 A over 20 m: 10 AWG 6.3 V, 6 AWG 2.6 V; 3 % of 110..120 V is 3.3..3.6 V
    changes = {"--current": "40A", "--length": "20m", "--volts": "110..120V"}
    code, document = cable(changes | {"--size": "10..6 AWG"}, "--ac")
    assert (code, document["judged"]["verdict"]) == (3, "undetermined")
    found = document["findings"][1]
    assert found["value"]["high"] == pytest.approx(2 * 40 * 20 * 1.2 / 304.8 / 110, rel=1e-3)
    assert turning(document)[("run-drop", "cable: size")] == "6 AWG"


# -- where the device stands -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("distance", "sheathed", "verdict"),
    [
        # ABYC E-11 (2015) as republished: 7 in bare, 72 in sheathed, from a battery terminal
        ("7 in", "no", "marginal"),
        ("7.1 in", "no", "inadequate"),
        ("72 in", "yes", "marginal"),
        ("1..2 m", "yes", "undetermined"),
        ("1..1.5 m", "yes", "adequate"),
        ("1 m", "?", "undetermined"),
    ],
)
def test_how_far_from_the_battery_the_fuse_stands(distance, sheathed, verdict):
    changes = {"--from-battery": distance, "--sheathed": sheathed, "--size": "1/0 AWG"}
    code, document = cable(changes)
    found = document["findings"][-1]
    assert (found["check"], found["verdict"]) == ("protection-place", verdict)
    assert code == {"inadequate": 1, "undetermined": 3}.get(verdict, 0)


def test_from_battery_stands_alone_too():
    _, document = cable({}, "--from-battery", "--sheathed")
    assert document["protection"]["within_m"] == pytest.approx(72 * 0.0254)
    assert all(f["check"] != "protection-place" for f in document["findings"])
    _, other = cable({"--from-battery": "?"}, "--sheathed")  # not known: the shorter, 40 in
    assert other["protection"]["within_m"] == pytest.approx(40 * 0.0254)


def test_a_fuse_below_the_load_is_said():
    _, document = cable({"--fuse": "60..100A", "--size": "1/0 AWG"})
    assert "may open in use" in document["protection"]["note"]
    _, document = cable({"--fuse": "80A", "--size": "1/0 AWG"})
    assert document["protection"]["note"] is None
