"""The cable command against printed answers, and what bad input gets."""

from functools import partial

import pytest

from commands import document, elec, refused
from elec.boat.read import read
from elec.json_form import as_json
from elec.survey import survey
from made import EXAMPLES

cable, sized = partial(elec, "cable"), partial(document, "cable")
refuses = partial(refused, "cable")


def candidate(document, size):
    return next(c for c in document["candidates"] if c["size"] == size)


RUN = ("--current", "80A", "--length", "12m", "--volts", "12V", "--insulation", "105C")


# -- printed answers ---------------------------------------------------------------------------


@pytest.mark.parametrize(("wire", "size"), [("awg", "12 AWG"), ("sae", "10 AWG")])
def test_drop_of_21_ft_out_and_back(wire, size):
    # marine trade reference page quoting the ABYC formula: 10 A, 21 ft of conductor, 12 V, 3 %:
    # 12 AWG is enough, SAE 12 is not
    document = sized(
        "--current", "10A", "--length", "21 ft", "--round-trip", "--volts", "12V",
        "--drop", "3%", "--insulation", "105C", "--wire", wire,
    )  # fmt: skip
    assert document["chosen"]["size"] == size
    assert document["chosen"]["governs"] == "drop"


def test_ten_percent_of_the_same_run():
    # sister page of the same trade reference: 16 AWG
    document = sized(
        "--current", "10A", "--length", "21 ft", "--round-trip", "--volts", "12V",
        "--drop", "10%", "--insulation", "105C",
    )  # fmt: skip
    assert document["chosen"]["size"] == "16 AWG"


@pytest.mark.parametrize(("sheath", "size"), [((), "16 AWG"), (("--sheathed",), "18 AWG")])
def test_the_least_size_overrides_the_formula(sheath, size):
    # standards body member quiz 2015: 0.8 A, 24 ft of conductor, 12 V, 3 %, navigation light:
    # 18 AWG in a sheath, 16 AWG alone
    document = sized(
        "--current", "0.8A", "--length", "12 ft", "--volts", "12V", "--critical",
        "--insulation", "105C", *sheath,
    )  # fmt: skip
    assert document["chosen"]["size"] == size


@pytest.mark.parametrize(
    ("size", "bundled", "engine", "printed"),
    [
        # a cable maker's table by ABYC E-11, 105 °C, 50 V and up; 0.05 A
        ("12 AWG", "3", True, 26.8),
        ("8 AWG", "4..6", False, 48.0),
        ("4/0 AWG", "7", True, 189.1),
    ],
)
def test_ampacity_bundled(size, bundled, engine, printed):
    document = sized(
        "--current", "10A", "--length", "1 m", "--volts", "120V", "--insulation", "105C",
        "--bundled", bundled, *(["--engine-space"] if engine else []),
    )  # fmt: skip
    assert candidate(document, size)["ampacity_A"] == pytest.approx(printed, abs=0.05)


def test_windlass_of_a_boat_worked_by_hand():
    # invented boat worked by hand: 85 A, 14 m, 24 V, 2 AWG: 1.26 V, 5.3 %, flips at 26.6 m, 315 A
    document = sized(
        "--current", "85A", "--length", "14m", "--volts", "24V", "--insulation", "105C",
        "--size", "2 AWG",
    )  # fmt: skip
    judged = document["judged"]
    assert judged["drop_V"] == pytest.approx(1.26, rel=0.01)
    assert judged["drop_fraction"] == pytest.approx(0.053, abs=5e-4)
    assert document["longest_m"] == pytest.approx(26.6, abs=0.05)
    assert document["protection"]["most_A"] == pytest.approx(315)


def test_just_over_the_limit_fails():
    # 10.75 x 10 x 2 L / 6530 = 3.003 % of 12 V at L = 10.945 ft: the formula itself
    feet = 0.03003 * 12 * 6530 / (10.75 * 10 * 2)
    over = sized(
        "--current", "10A", "--length", f"{feet:.6f} ft", "--volts", "12V", "--drop", "3%",
        "--insulation", "105C", "--size", "12 AWG", "--wire", "awg",
    )  # fmt: skip
    assert over["judged"]["verdict"] == "inadequate"
    assert over["judged"]["fails_on"] == ["drop"]


# -- what it says ------------------------------------------------------------------------------


def test_the_document_has_what_was_promised():
    document = sized(*RUN, "--drop", "3%")
    assert {
        "basis", "asked", "chosen", "candidates", "judged", "protection", "longest_m",
        "most_current_A", "findings",
    } <= set(document)  # fmt: skip
    assert {
        "size", "area_mm2", "ampacity_A", "drop_V", "drop_fraction", "drop_physical_V",
        "conductor_temp_C", "verdict", "fails_on",
    } <= set(document["candidates"][0])  # fmt: skip
    assert set(document["protection"]) >= {"least_A", "most_A", "rating_A", "rule"}
    assert document["judged"] is None
    assert document["chosen"] == {
        "size": "4/0 AWG",
        "area_mm2": pytest.approx(107.219, abs=5e-3),
        "governs": "drop",
    }
    assert document["basis"] == "us"


def test_every_smaller_size_says_what_it_fails():
    document = sized(*RUN, "--drop", "3%")
    place = [c["size"] for c in document["candidates"]].index(document["chosen"]["size"])
    assert place > 0
    for smaller in document["candidates"][:place]:
        assert smaller["verdict"] == "inadequate"
        assert smaller["fails_on"]


def test_reach_is_where_the_size_stops_holding():
    document = sized(*RUN, "--drop", "3%")
    size = document["chosen"]["size"]
    for name, value in (("--length", f"{document['longest_m']:.6f} m"),):
        for factor, expected in ((0.9999, 0), (1.0001, 1)):
            longer = [f"{float(value.split()[0]) * factor:.6f} m" if a == "12m" else a for a in RUN]
            assert cable(*longer, "--drop", "3%", "--size", size).returncode == expected, name


def test_a_range_is_judged_at_its_hardest_end_and_turns_somewhere():
    exact = sized(*("85A" if a == "80A" else a for a in RUN), "--drop", "5%")
    ranged = sized(*("60..85A" if a == "80A" else a for a in RUN), "--drop", "5%")
    assert ranged["chosen"] == exact["chosen"]
    place = [c["verdict"] for c in ranged["candidates"]]
    assert "undetermined" in place
    result = cable(
        *("60..85A" if a == "80A" else a for a in RUN), "--drop", "5%", "--size", "1 AWG"
    )
    assert result.returncode in (1, 3)


def test_insulation_not_seen_takes_the_coolest_column():
    document = sized("--current", "80A", "--length", "2m", "--volts", "12V", "--size", "6 AWG")
    # 33 CFR 183.425 Table 5: 80 A at 60 °C, 120 A at 105 °C
    assert document["judged"]["ampacity_A"] == 80
    assert document["judged"]["verdict"] == "marginal"


def test_engine_space_and_ambient():
    hot = sized(*RUN, "--ambient", "60C", "--size", "4 AWG")
    # NFPA 70, 310.15(B): sqrt((105 - 60)/(105 - 30))
    assert hot["judged"]["ampacity_A"] == pytest.approx(160 * (45 / 75) ** 0.5)
    engine = sized(*RUN, "--engine-space", "--size", "4 AWG")
    assert engine["judged"]["ampacity_A"] == pytest.approx(160 * 0.85)  # note 1 of Table 5


@pytest.mark.parametrize(("volts", "said"), [("48V", 0), ("60V", 1), ("144V", 1)])
def test_direct_current_unless_said(volts, said):
    # circular-mil formula of ABYC E-11, K = 10.75: 80 A, 12 m one way, 4 AWG of 41,740 cmil
    document = sized(*RUN[:4], *RUN[6:], "--volts", volts, "--size", "4 AWG")
    (found,) = [one for one in document["findings"] if one["check"] == "run-drop"]
    assert found["limit"]["high"] == pytest.approx(0.10)  # ABYC E-11, other than the 3 % list
    assert document["judged"]["drop_V"] == pytest.approx(10.75 * 80 * 24 / 0.3048 / 41740)
    assert sum("--ac" in note for note in found["notes"]) == said
    text = cable(*RUN[:4], *RUN[6:], "--volts", volts).stdout
    assert (" V DC," in text.split("=")[0]) is bool(said)


def test_alternating_current_where_said():
    document = sized(*RUN[:4], *RUN[6:], "--volts", "60V", "--ac", "--size", "4 AWG")
    (found,) = [one for one in document["findings"] if one["check"] == "run-drop"]
    assert "advice on land" in found["statement"]  # NFPA 70, 210.19(A), informational note
    assert found["limit"]["high"] == pytest.approx(0.03)


@pytest.mark.parametrize("supply", [("12V",), ("230V", "--ac")])
def test_a_drop_asked_for_is_not_called_its_makers(supply):
    arguments = ("--current", "20A", "--length", "10m", "--insulation", "105C", "--size", "8 AWG")
    for drop in ("2%", "12%"):
        document = sized(*arguments, "--volts", *supply, "--drop", drop)
        (found,) = [one for one in document["findings"] if one["check"] == "run-drop"]
        assert "as asked" in found["statement"] or any("was asked" in n for n in found["notes"])
        assert "maker" not in found["statement"] + " ".join(found["notes"])


def test_short_time_duty_by_the_published_table():
    # NFPA 70, 630.11(A): 50 % duty counts as 0.71; 100 A on 8 AWG of 80 A
    arguments = ("--current", "100A", "--length", "1m", "--volts", "12V", "--insulation", "105C")
    assert cable(*arguments, "--size", "8 AWG").returncode == 1
    found = sized(*arguments, "--size", "8 AWG", "--duty", "50 %")["findings"][0]
    assert found["value"]["best"] == pytest.approx(71)
    assert found["verdict"] == "adequate"
    assert any("not a marine rule" in note for note in found["notes"])


@pytest.mark.parametrize(("duty", "verdict"), [("1 min on", "adequate"), ("10 h on", "inadequate")])
def test_short_time_duty_by_the_thermal_model(duty, verdict):
    # physics: a short spell warms little, a long one is continuous
    arguments = ("--current", "100A", "--length", "1m", "--volts", "12V", "--insulation", "105C")
    document = sized(*arguments, "--size", "8 AWG", "--duty", duty)
    assert document["findings"][0]["verdict"] == verdict


def test_a_cycle_lies_between_its_duty_and_its_peak():
    # physics: sqrt(duty) for cycles short beside the time constant, never below it
    arguments = ("--current", "100A", "--length", "1m", "--volts", "12V", "--insulation", "105C")
    found = sized(*arguments, "--size", "8 AWG", "--duty", "1 min on 1 min off")["findings"][0]
    assert 100 * 0.5**0.5 <= found["value"]["best"] <= 80


def test_fuse():
    found = sized(*RUN, "--size", "4 AWG", "--fuse", "250A")
    assert "protection" in found["judged"]["fails_on"]  # 150 % of 160 A is 240 A, 183.455(c)(1)
    found = sized(*RUN, "--size", "4 AWG", "--fuse", "240A")
    assert "protection" not in found["judged"]["fails_on"]


def test_iso_takes_no_more_than_the_ampacity_and_its_own_formula():
    document = sized(
        "--current", "40A", "--length", "5m", "--volts", "24V", "--insulation", "105C",
        "--basis", "iso", "--size", "4 mm2",
    )  # fmt: skip
    # ISO 13297 Table A.1 as republished: 4 mm² at 105 °C, 45 A; annex formula 0.0164 I L / S
    assert document["judged"]["ampacity_A"] == 45
    assert document["judged"]["drop_V"] == pytest.approx(0.0164 * 40 * 10 / 4)
    assert document["protection"]["most_A"] == 45


def test_where_the_device_goes():
    document = sized(*RUN, "--from-battery", "--sheathed")
    assert document["protection"]["within_m"] == pytest.approx(72 * 0.0254)  # ABYC E-11
    assert sized(*RUN)["protection"]["within_m"] == pytest.approx(7 * 0.0254)


def test_metric_sizes_on_the_us_basis_take_the_next_smaller_gauge():
    document = sized(*RUN, "--wire", "metric", "--size", "35 mm2")
    assert document["judged"]["ampacity_A"] == 210  # 2 AWG, 33.6 mm²
    assert all("mm²" in c["size"] for c in document["candidates"])


def test_a_run_where_it_lies_is_judged_as_in_the_survey():
    boat = read(EXAMPLES / "ostrelline.toml")
    document = sized("--boat", str(EXAMPLES / "ostrelline.toml"), "--run", "bow thruster")
    whole = survey(boat, only=["run-drop"])
    expected = as_json(next(f for f in whole.findings if f.subject == "bow thruster"))
    found = next(f for f in document["findings"] if f["check"] == "run-drop")
    assert found == expected
    assert document["chosen"]["size"] == "3/0 AWG"
    assert document["longest_m"] == pytest.approx(13.7, abs=0.05)


@pytest.mark.parametrize(
    "arguments",
    [
        (*RUN, "--drop", "3%"),
        ("--boat", str(EXAMPLES / "caldra_wren.toml"), "--run", "windlass cable"),
        (*RUN, "--size", "12 gauge"),
        ("--current", "500A", "--length", "90m", "--volts", "12V"),
    ],
)
def test_text_fits_80_columns(arguments):
    lines = cable(*arguments).stdout.splitlines()
    assert lines
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize("boat", ["ostrelline", "caldra_wren"])
def test_alternating_current_is_judged_with_its_reactance_as_in_the_survey(boat):
    path = EXAMPLES / f"{boat}.toml"
    whole = survey(read(path), only=["run-drop"])
    expected = as_json(next(f for f in whole.findings if f.subject == "climate feeder"))
    document = sized("--boat", str(path), "--run", "climate feeder")
    assert next(f for f in document["findings"] if f["check"] == "run-drop") == expected
    alone = sized(
        "--current", "50A", "--length", "18 ft", "--volts", "240V", "--insulation", "105C"
    )
    assert all(c["drop_V"] > 0 for c in alone["candidates"] if c["size"] == "6 AWG")


def test_nothing_listed_is_said():
    result = cable("--current", "500A", "--length", "90m", "--volts", "12V")
    assert result.returncode == 1
    assert "NO LISTED SIZE HOLDS" in result.stdout


# -- bad input ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"--length": "0 m"}, "--length"),
        ({"--length": "-3 m"}, "--length"),
        ({"--length": "12"}, "--length"),
        ({"--current": "80 Ah"}, "--current"),
        ({"--current": "0 A"}, "--current"),
        ({"--current": "?"}, "--current"),
        ({"--volts": "0 V"}, "--volts"),
        ({"--volts": "48..56 V"}, "across 50 V"),
        ({"--volts": "?"}, "--volts"),
        ({"--volts": "~12 V ± 40 V"}, "--volts"),
        ({"--volts": "12"}, "no unit"),
        ({"--volts": "12 A"}, "not a voltage"),
        ({"--volts": "-12 V"}, "--volts"),
        ({"--length": "?"}, "--length"),
        ({"--length": "12 A"}, "not a length"),
        ({"--insulation": "-5 C"}, "below the table"),
        ({"--insulation": "~105 C"}, "--insulation"),
        ({"--ambient": "35"}, "no unit"),
        ({"--ambient": "hot"}, "--ambient"),
        ({"--insulation": "100 C"}, "--insulation"),
        ({"--insulation": "40 C"}, "--insulation"),
        ({"--size": "13 mm"}, "--size"),
        ({"--size": "7 AWG"}, "7 AWG"),
        ({"--size": "24 AWG"}, "24 AWG"),
        ({"--size": "400 mm2"}, "400 mm²"),
        ({"--size": "6..2"}, "--size"),
        ({"--size": "-4 AWG"}, "--size"),
        ({"--size": "6 AWG.."}, "--size"),
        ({"--size": "6 AWG..4 AWG..2 AWG"}, "two ends"),
        ({"--size": "6 AWG..16 mm2"}, "two systems"),
        ({"--size": "7 AWG..2 AWG"}, "7 AWG is not a listed size"),
        ({"--size": "6 AWG..250 kcmil"}, "--size"),
        ({"--size": "~5 AWG"}, "5 AWG is not a listed size"),
        ({"--bundled": "0"}, "--bundled"),
        ({"--bundled": "-3"}, "--bundled"),
        ({"--bundled": "3 A"}, "--bundled"),
        ({"--bundled": "4..2"}, "--bundled"),
        ({"--bundled": "~3..4"}, "--bundled"),
        ({"--bundled": "several"}, "--bundled"),
        ({"--duty": "sometimes"}, "--duty"),
        ({"--duty": "5 min on 2 min cycle"}, "--duty"),
        ({"--drop": "0 %"}, "--drop"),
        ({"--drop": "130 %"}, "--drop"),
        ({"--drop": "3 V"}, "--drop"),
        ({"--duty": "0 min on"}, "--duty"),
        ({"--fuse": "80 V"}, "--fuse"),
        ({"--from-battery": "near"}, "--from-battery"),
        ({"--from-battery": "-1 m"}, "--from-battery"),
        ({"--from-battery": "1 A"}, "--from-battery"),
        ({"--sheathed": "partly"}, "--sheathed"),
        ({"--engine-space": "maybe"}, "--engine-space"),
        ({"--fuse": "0 A"}, "--fuse"),
        ({"--run": "windlass"}, "--boat"),
    ],
)
def test_bad_input_is_one_clear_message(changes, words):
    options = dict(zip(RUN[::2], RUN[1::2], strict=True)) | changes
    refuses(*(part for pair in options.items() for part in pair), words=[words])


def test_missing_and_contradicting_options():
    refuses(*RUN, "--ac", "--from-battery", "1 m", words=["starts at no battery"])
    refuses(words=["--current is missing", "--boat with --run"])
    refuses("--current", "80A", "--length", "12m", words=["--volts is missing"])
    refuses(*RUN, "--drop", "3%", "--critical", words=["both given"])
    refused(
        "cable", "--boat", str(EXAMPLES / "ostrelline.toml"), "--run", "windlas", words=["windlass"]
    )


def test_a_device_of_any_held_series_fits():
    # ISO 13297 Table A.1 as excerpted: 25 mm² at 85 °C 140 A, x 0.7 for four together: 98 A;
    # NFPA 70, 240.6(A) lists 90 A, between that and the 85 A
    found = sized(
        "--current", "85A", "--length", "3m", "--volts", "12V", "--basis", "iso",
        "--insulation", "85C", "--bundled", "4",
    )  # fmt: skip
    assert found["chosen"]["size"] == "25 mm²"
    assert found["protection"]["rating_A"] == 90
