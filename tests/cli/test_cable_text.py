"""The cable command's text: the answer first, what to buy, and no figure rounded onto its limit."""

import re

import pytest

from commands import document, elec, flat, refused
from elec.boat.read import read
from made import EXAMPLES

RUNS = [
    (name, run.id, basis)
    for name in ("ostrelline", "caldra_wren", "vindle_sorrel")
    for run in read(EXAMPLES / f"{name}.toml").run
    for basis in ("us", "iso")
    if run.id != "inverter cable"  # its load was not noted
]


def lines(*arguments):
    return elec("cable", *arguments).stdout.splitlines()


def answer(*arguments):
    """Return what stands between the heading and the table of sizes, as one line."""
    text = lines(*arguments, "--brief")
    rule = text.index("=" * 80)
    table = next(n for n, line in enumerate(text) if line.startswith("size "))
    return " ".join(" ".join(text[rule + 1 : table]).split())


@pytest.mark.parametrize(("name", "run", "basis"), RUNS)
def test_every_run_of_the_examples_has_its_answer_first(name, run, basis):
    where = ("--boat", str(EXAMPLES / f"{name}.toml"), "--run", run, "--basis", basis)
    text = lines(*where)
    assert max(map(len, text)) <= 80
    said = answer(*where)
    assert "FIT:" in said or "Smallest size that holds" in said or "NO LISTED SIZE" in said
    if "FIT:" in said:
        assert "cable:" in said
        assert "lug to lug" in said
        assert "fuse or breaker:" in said
    if "UNDETERMINED" in said:
        assert "read that first" in said


def test_a_run_whose_load_was_not_noted_says_what_to_read():
    where = ("--boat", str(EXAMPLES / "caldra_wren.toml"), "--run", "inverter cable")
    refused("cable", *where, words=["the current on its plate"])


def test_what_to_buy():
    # E-11 formula and 33 CFR 183.425, Table 5, 183.455(c)(1): 80 A, 12 m, 3 % of 12 V: 4/0 AWG,
    # 445 A, 667 A; common fuse ratings, no source; ABYC E-11: 7 in bare, 72 in from a battery
    said = answer(
        "--current", "80A", "--length", "12m", "--volts", "12V", "--drop", "3%",
        "--insulation", "105C", "--from-battery",
    )  # fmt: skip
    assert said.startswith("FIT: 4/0 AWG (107 mm²), adequate; drop governs.")
    assert "cable: 4/0 AWG, insulation rated 105 °C or more, 12.0 m lug to lug, 24.0 m of" in said
    assert "fuse or breaker: 80 A (80.0 A at least, 667 A at most: 1.50 x the ampacity" in said
    assert "within 0.177 m, or 1.82 m if sheathed" in said


def test_a_size_that_fails_is_followed_by_what_replaces_it():
    said = answer(
        "--current", "330A", "--length", "15m", "--volts", "24V", "--insulation", "105C",
        "--size", "2/0 AWG",
    )  # fmt: skip
    assert said.startswith("2/0 AWG (67.4 mm²): INADEQUATE, on drop (over by 9.3 %) FIT: 3/0 AWG")
    assert "fuse or breaker: 350 A" in said


def test_a_gauge_that_as_sae_is_too_small_is_said_where_it_is_bought():
    # marine trade reference: 10 A, 21 ft of conductor, 12 V, 3 %: AWG 12 is enough, SAE 12 is not
    said = answer(
        "--current", "10A", "--length", "21 ft", "--round-trip", "--volts", "12V", "--drop", "3%",
        "--insulation", "105C",
    )  # fmt: skip
    assert "cable: 12 AWG, not one marked SAE (too small)" in said
    marked = answer(
        "--current", "10A", "--length", "21 ft", "--round-trip", "--volts", "12V", "--drop", "3%",
        "--insulation", "105C", "--wire", "sae",
    )  # fmt: skip
    assert "cable: 10 AWG, marked SAE" in marked


@pytest.mark.parametrize(
    ("metres", "shown", "over"),
    # 0.0164 x 15 x 2 L / 10 over 24.6 V is 3 % at L = 15 m: 3.003 % fails, and is shown as that
    [("15", "3.00 %, of 3.00 % allowed", False), ("15.015", "3.003 %, of 3.000 % allowed", True)],
)
def test_no_figure_is_rounded_onto_its_limit(metres, shown, over):
    arguments = (
        "--current", "15A", "--length", f"{metres} m", "--volts", "24.6V", "--drop", "3%",
        "--insulation", "105C", "--basis", "iso", "--size", "10 mm2",
    )  # fmt: skip
    assert shown in answer(*arguments)
    assert ("INADEQUATE" in answer(*arguments)) == over
    row = next(line for line in lines(*arguments) if line.startswith("10 mm²  "))
    assert ("3.003 %" in row) == over


def test_why_there_is_no_drop_by_physics():
    text = lines(
        "--current", "80A", "--length", "12m", "--volts", "12V", "--drop", "3%",
        "--insulation", "105C",
    )  # fmt: skip
    row = next(line for line in text if line.startswith("12 AWG"))
    assert "none (1)" in row
    assert any(line.startswith("(1) ") and "ampacity" in line for line in text)
    row = next(line for line in text if line.startswith("10 AWG"))
    assert "163 °C (2)" in row  # 30 + 75 (80 / 60)^2
    assert any(line.startswith("(2) hotter") for line in text)


def test_a_fuse_not_known_leaves_every_size_open_and_says_so():
    said = answer(
        "--current", "80A", "--length", "2m", "--volts", "12V", "--insulation", "105C",
        "--fuse", "?",
    )  # fmt: skip
    assert said.startswith("NO LISTED SIZE IS SURE TO HOLD")
    assert "protection" in said


def said_of(*options):
    given = ("--current", "10A", "--length", "3m", "--volts", "12V", *options)
    return flat(elec("cable", *given).stdout)


def test_of_a_size_not_known_one_answer_is_asked_for_not_one_for_each_question():
    said = said_of("--size", "?")
    assert not re.search(r"not seen \(|Of not seen", said)
    assert "18 AWG to 4/0 AWG (from 0.821 mm²): UNDETERMINED" in said
    # 33 CFR 183.425(d): 16 AWG at least; by E = K I L / CM its drop is under 10 %
    assert said.count("read that first") == 1
    assert "if the size is 16 AWG or larger: read that first" in said


def test_of_several_answers_the_largest_is_given():
    # by E = K I L / CM at 40 A over 3 m and 3 %: 23,510 cmil, 6 AWG; by the rest less
    said = said_of("--current", "40A", "--size", "?", "--drop", "3 %")
    found = re.search(r"if the size is (\S+ AWG) or larger: read that first", said)
    assert found[1] == "6 AWG"


def test_a_device_between_ends_that_cross_is_not_offered():
    said = said_of("--size", "18 AWG", "--current", "2000A")
    assert "none both carries the load and protects the cable" in said
    assert "no listed one" not in said


def test_the_most_for_a_cable_is_a_range_where_its_device_is():
    # 33 CFR 183.425 Table 5, 16 AWG: 15 A of 60 °C insulation up to 35 A of 200 °C
    said = said_of("--ac", "--volts", "120V", "--size", "16 AWG", "--insulation", "?")
    assert re.search(r"within the 15\.0 A to \S+ A that its cable allows", said)


def test_no_current_is_served_by_a_size_whose_fuse_may_be_anything():
    assert "serves" not in said_of("--size", "12 AWG", "--fuse", "?")
    given = ("--current", "10A", "--length", "3m", "--volts", "12V", "--size", "12 AWG")
    found = document("cable", *given, "--fuse", "?")
    assert (found["longest_m"], found["most_current_A"]) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--insulation", "60..300C"), "--insulation: '60..300C' is above the table"),
        (
            ("--size", "7 AWG"),
            "Listed: 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 1/0, 2/0, 3/0, 4/0 AWG",
        ),
        (("--duty", ""), "--duty: "),
    ],
)
def test_what_is_refused_names_its_option_and_what_is_listed(options, words):
    refused(
        "cable", "--current", "10A", "--length", "3m", "--volts", "12V", *options, words=[words]
    )


def test_a_small_size_on_alternating_current_is_judged_by_its_resistance():
    # NFPA 70, chapter 9, table 8: 16 AWG stranded, 4.99 ohm per 1000 ft at 75 °C
    said = said_of("--ac", "--volts", "120V", "--size", "16 AWG")
    assert "nec_ch9" not in said
    drop = 2 * 10 * 3 * 4.99 / 304.8 / 120 * 100
    assert f"{drop:.3g} %" in said


def test_a_run_of_a_size_in_no_table_can_be_judged_with_another(tmp_path):
    boat = tmp_path / "boat.toml"
    boat.write_text(
        '[boat]\nname = "B"\n[[run]]\nid = "r"\nsize = "24 AWG"\nlength = "3 m"\n'
        'current = "5 A"\nvoltage = "12 V"\ninsulation = "105 °C"\nengine_space = "no"\n'
        'bundled = 2\nsheathed = "no"\ncircuit = "other"\n',
        encoding="utf-8",
    )
    asked = ("--boat", str(boat), "--run", "r")
    refused("cable", *asked, words=["maker's ampacity"])
    assert any("14 AWG (2.08 mm²): ADEQUATE" in line for line in lines(*asked, "--size", "14 AWG"))
