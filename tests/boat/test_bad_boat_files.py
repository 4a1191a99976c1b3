"""Broken boat files: one clear message per fault, exit 2, never a traceback, nothing written."""

from pathlib import Path

import pytest

from commands import elec
from elec.boat.read import LARGEST_FILE_BYTES, read
from elec.errors import BoatFileError

BOAT = '[boat]\nname = "Test"\n'
INLET = '[[inlet]]\nid = "house"\nrating = "50 A"\nservice = "120/240 V"\n'
BANK = '[[bank]]\nid = "bank"\nvoltage = "24 V"\nchemistry = "agm"\ncapacity = "100 Ah"\n'
RUN = '[[run]]\nid = "r"\nvoltage = "24 V"\ncurrent = "10 A"\nlength = "5 m"\nsize = "10 AWG"\n'

#: name: (file, the line that each message names, words that each message holds)
TEXTS = {
    "wrong unit": (
        BOAT + INLET.replace("50 A", "50 Ah"),
        [(5, "inlet 'house', rating", "'50 Ah' is a charge")],
    ),
    "bare number": (
        BOAT + INLET.replace('"50 A"', "50"),
        [(5, "inlet 'house', rating", "50 has no unit")],
    ),
    "bare number in quotes": (
        BOAT + INLET.replace("50 A", "50"),
        [(5, "inlet 'house', rating", "'50'")],
    ),
    "unknown key": (
        BOAT + INLET + 'ratng = "50 A"\n',
        [(7, "inlet 'house', ratng", "unknown key 'ratng'", "Did you mean 'rating'?")],
    ),
    "unknown list": (
        BOAT + '[[inlett]]\nid = "x"\n',
        [(3, "unknown list 'inlett'", "Did you mean 'inlet'?")],
    ),
    "duplicate id": (
        BOAT + INLET + INLET,
        [(8, "inlet number 2, id", "taken by inlet number 1")],
    ),
    "duplicate id across lists": (
        BOAT + INLET + BANK.replace('"bank"', '"house"'),
        [(8, "bank number 1, id", "the id 'house' is taken by inlet number 1")],
    ),
    "dangling reference": (
        BOAT + BANK + '[[charger]]\nid = "c"\nbank = "bnak"\n',
        [(10, "charger 'c', bank", "'bnak' names no entry", "Did you mean 'bank'?")],
    ),
    "dangling reference in a list": (
        BOAT + RUN.replace('current = "10 A"\n', 'serves = ["x"]\n'),
        [(6, "run 'r', serves", "'x' names no entry", "none in this file")],
    ),
    **{
        f"curve: {name}": (
            BOAT + f'[[protection]]\nid = "f"\nrating = "100 A"\nopens = {points}\n',
            [(6, "protection 'f', opens", *words)],
        )
        for name, points, words in (
            ("currents falling", '["200 % in 5 s", "135 % in 1 s"]', ["'135 % in 1 s'", "above"]),
            ("current twice", '["2 x in 5 s", "200 % in 5 s"]', ["'200 % in 5 s'", "above"]),
            ("times rising", '["135 % in 5 s", "200 % in 60 s"]', ["'200 % in 60 s'", "later"]),
            ("no unit of time", '["135 % in 600"]', ["'600' has no unit"]),
            ("no unit of current", '["135 in 600 s"]', ["'135' has no unit"]),
            ("a charge", '["135 Ah in 600 s"]', ["'135 Ah' is a charge"]),
            ("no time", '["135 %"]', ["'135 %' is no current and time"]),
            ("time of nothing", '["135 % in 0 s"]', ["no time"]),
            ("both kinds", '["135 % in 600 s", "200 A in 5 s"]', ["in A", "relative"]),
            ("at its rating", '["100 % in 600 s"]', ["not above its rating"]),
            ("amperes below its rating", '["90 A in 600 s"]', ["90 A", "rating of 100 A"]),
            ("not seen among points", '["135 % in ?"]', ["says nothing"]),
            ("a number", "135", ["'135' is no list of points"]),
            ("no points", "[]", ["'[]' is no list of points"]),
            ("numbers", "[135, 600]", ["is no list of points"]),
        )
    },
    "not a number": (
        BOAT + INLET.replace("50 A", "nan A"),
        [(5, "inlet 'house', rating", "nan A")],
    ),
    "TOML's own nan": (
        BOAT + INLET.replace('"50 A"', "nan"),
        [(5, "inlet 'house', rating", "nan has no unit")],
    ),
    "infinite": (
        BOAT + INLET.replace("50 A", "1e999 A"),
        [(5, "inlet 'house', rating", "1e999")],
    ),
    "negative length": (
        BOAT + RUN.replace("5 m", "-5 m"),
        [(7, "run 'r', length", "-5 m")],
    ),
    "zero length": (BOAT + RUN.replace("5 m", "0 m"), [(7, "run 'r', length", "0 m")]),
    "range reversed": (
        BOAT + RUN.replace("5 m", "9..5 m"),
        [(7, "run 'r', length", "9..5 m")],
    ),
    "watts for volt-amperes": (
        BOAT + '[[transformer]]\nid = "t"\nrating = "12 kW"\n',
        [(5, "transformer 't', rating", "a power", "power factor")],
    ),
    "size without its system": (
        BOAT + RUN.replace("10 AWG", "2"),
        [(8, "run 'r', size", "'2'")],
    ),
    "size that does not exist": (
        BOAT + RUN.replace("10 AWG", "5/0 AWG"),
        [(8, "run 'r', size", "5/0")],
    ),
    "no such leg": (
        BOAT
        + INLET.replace("120/240 V", "230 V")
        + '[[ac_load]]\nid = "l"\ninlet = "house"\npower = "1 kW"\nlegs = "L2"\n',
        [(11, "ac_load 'l', legs", "'L2' is not a leg of 230 V")],
    ),
    "no such condition": (
        BOAT + INLET + '[[ac_load]]\nid = "l"\ninlet = "house"\npower = "1 kW"\nwhen = ["shor"]\n',
        [(11, "ac_load 'l', when", "'shor'", "Did you mean 'shore'?")],
    ),
    "no such kind": (
        BOAT + '[[dc_load]]\nid = "l"\nkind = "windlas"\n',
        [(5, "dc_load 'l', kind", "'windlas' is not in the catalogue", "Did you mean 'windlass'?")],
    ),
    "no such chemistry": (
        BOAT + BANK.replace('"agm"', '"amg"'),
        [(6, "bank 'bank', chemistry", "'amg'", "Did you mean 'agm'?")],
    ),
    "not a list of entries": (BOAT + '[inlet]\nid = "x"\n', [(3, "inlet", "[[inlet]]")]),
    "a list of words": (BOAT + 'inlet = ["x"]\n', [(3, "unknown key 'inlet'")]),
    "no boat": (INLET, [(None, "boat", "missing")]),
    "no name": ('[boat]\nlength = "9 m"\n', [(1, "boat, name", "missing")]),
    "no id": (BOAT + '[[inlet]]\nrating = "50 A"\n', [(3, "inlet number 1, id", "missing")]),
    "year in the future of the survey": (
        BOAT + "surveyed = 2020-01-01\n" + BANK + "year = 2024\n",
        [(9, "bank 'bank', year", "2024 is after the survey")],
    ),
    "half a string": (
        BOAT + BANK + "in_series = 1.5\n",
        [(8, "bank 'bank', in_series", "1.5")],
    ),
    "charger on another voltage": (
        BOAT + BANK + '[[charger]]\nid = "c"\nbank = "bank"\nvoltage = "12 V"\n',
        [(11, "charger 'c', voltage", "12 V on the 24 V bank")],
    ),
    "current and loads": (
        BOAT + RUN + 'serves = ["l"]\n[[dc_load]]\nid = "l"\ncurrent = "2 A"\n',
        [(9, "run 'r', serves", "given beside 'current'")],
    ),
    "device that is none, with a rating": (
        BOAT + '[[protection]]\nid = "f"\ndevice = "none"\nrating = "30 A"\nfamily = "ANL"\n',
        [
            (6, "protection 'f', rating", "a device that is not there"),
            (7, "protection 'f', family", "a device that is not there"),
        ],
    ),
    "run with a device that does not exist": (
        BOAT + RUN + 'protection = "fuse"\n[[protection]]\nid = "fuse 1"\n',
        [(9, "run 'r', protection", "'fuse' names no entry", "Did you mean 'fuse 1'?")],
    ),
    "every run traced, and things on none": (
        BOAT
        + 'runs_traced = "all"\n'
        + BANK
        + RUN.replace('"r"\n', '"r"\nfrom = "bank"\n')
        + '[[dc_load]]\nid = "pump"\ncurrent = "5 A"\n'
        + '[[inverter]]\nid = "inverter"\n'
        + '[[bus]]\nid = "nav panel"\n'
        + '[[protection]]\nid = "loose"\nrating = "10 A"\n'
        + '[[protection]]\nid = "main"\nrating = "300 A"\nat_battery = "yes"\n',
        [
            (17, "dc_load 'pump', id", "no run serves it", 'Example: serves = ["pump"]'),
            (20, "inverter 'inverter', id", "no run serves it"),
            (22, "bus 'nav panel', id", "feeds it by any run", 'to = "nav panel"'),
            (24, "protection 'loose', id", "between nothing", 'protection = "loose"'),
        ],
    ),
    "no word for whether runs were traced": (
        BOAT + 'runs_traced = "yes"\n',
        [(3, "boat, runs_traced", "'yes'", "all")],
    ),
    "not TOML": (BOAT + "inlet = = 3\n", [(3, "not valid TOML")]),
    "unclosed quotes": (BOAT + 'place = "nowhere\n', [(3, "not valid TOML")]),
    "decimal comma that may be thousands": (
        BOAT + BANK.replace("100 Ah", "1,500 Ah"),
        [(7, "bank 'bank', capacity", "1,500")],
    ),
    "attohours": (
        BOAT + BANK.replace("100 Ah", "100 aH"),
        [(7, "bank 'bank', capacity", "100 aH")],
    ),
    "unknown kind of circuit": (
        BOAT + RUN + 'circuit = "main panel feeder"\n',
        [(9, "run 'r', circuit", "no kind of circuit", "Did you mean 'panel feeder'?")],
    ),
    "load on one of several inlets": (
        BOAT
        + INLET
        + INLET.replace("house", "climate")
        + '[[ac_load]]\nid = "l"\npower = "7 kW"\n',
        [(11, "ac_load 'l', inlet", "several inlets", "house, climate")],
    ),
    "load on one of several banks": (
        BOAT
        + BANK
        + BANK.replace('"bank"', '"start"')
        + '[[dc_load]]\nid = "l"\ncurrent = "50 A"\n',
        [(13, "dc_load 'l', bank", "several banks", "bank, start")],
    ),
    "a piece of metal with itself": (
        BOAT + '[[metal]]\nid = "m"\nmetal = "bronze"\n[[couple]]\nid = "c"\na = "m"\nb = "m"\n',
        [(9, "couple 'c', b", "'m' is the same piece")],
    ),
    "a word for a list": (
        BOAT + INLET + '[[ac_load]]\nid = "l"\ninlet = "house"\nwhen = "shore"\n',
        [(10, "ac_load 'l', when", "'shore' is no list", 'when = ["shore", "anchor"]')],
    ),
    "date with a time": (
        BOAT + "surveyed = 2020-01-01T10:00:00\n",
        [(3, "boat, surveyed", "no plain date", "surveyed = 2026-05-20")],
    ),
    "number of thousands of digits": (BOAT + "length = " + "1" * 5000, [(None, "not valid TOML")]),
    "nested entry, after text over several lines": (
        '[boat]\nname = "x"\nnote = """a\n[[inlet]] """ # """\n'
        + BANK
        + "[[bank.string]]\nyear = 2016\n[[bank.string]]\nyaer = 2016\n",
        [(13, "bank 'bank', string 2, yaer", "unknown key 'yaer'")],
    ),
    "yes for a number": (
        BOAT + '[[ac_load]]\nid = "l"\ncount = true\n',
        [(5, "ac_load 'l', count", "True")],
    ),
    "id that ends in a space": (
        BOAT + '[[ac_load]]\nid = "l "\n',
        [(4, "id", "cannot be an id")],
    ),
    "several faults at once": (
        BOAT
        + INLET.replace("50 A", "50 V")
        + BANK.replace("100 Ah", "100 A")
        + RUN
        + "colour = 1\n",
        [
            (5, "inlet 'house', rating", "a voltage"),
            (11, "bank 'bank', capacity", "a current"),
            (18, "run 'r', colour", "unknown key"),
        ],
    ),
    "control characters in a value": (
        BOAT + INLET.replace("50 A", "50 \\u001b[31mA"),
        [(5, "inlet 'house', rating")],
    ),
}


def messages(path):
    with pytest.raises(BoatFileError) as caught:
        read(path)
    return caught.value.faults


@pytest.mark.parametrize("name", TEXTS)
def test_each_fault_is_named_once_with_line_entry_and_remedy(name, tmp_path):
    text, expected = TEXTS[name]
    path = tmp_path / "boat.toml"
    path.write_text(text, encoding="utf-8")
    faults = messages(path)
    assert len(faults) == len(expected), [str(f) for f in faults]
    for fault, (line, *words) in zip(faults, expected, strict=True):
        shown = str(fault)
        place = f"{path}:{line}:" if line else f"{path}:"
        assert shown.startswith(place), shown
        for word in words:
            assert word in shown, shown
        assert "\n  " in shown, f"no remedy: {shown}"
        assert "\x1b" not in shown


def clean_refusal(result):
    assert result.returncode == 2, result.stderr
    assert result.stdout == ""
    assert result.stderr.startswith("error")
    assert "Traceback" not in result.stderr


def other_files(tmp_path: Path):
    yield "missing", tmp_path / "none.toml", "no such file"
    yield "directory", tmp_path, "is a directory"
    empty = tmp_path / "empty.toml"
    empty.write_text(" \n")
    yield "empty", empty, "the file is empty"
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b'[boat]\nname = "Caf\xe9"\n')
    yield "not UTF-8", latin, "latin.toml:2: not UTF-8"
    huge = tmp_path / "huge.toml"
    huge.write_text(BOAT + "#" * LARGEST_FILE_BYTES)
    yield "huge", huge, "bytes"
    deep = tmp_path / "deep.toml"
    deep.write_text(BOAT + "x = " + "[" * 50_000 + "]" * 50_000)
    yield "nested deeply", deep, "nested too deeply"
    yield "device", Path("/dev/null"), "not a plain file"


def test_files_that_cannot_be_read_at_all(tmp_path):
    for name, path, words in other_files(tmp_path):
        result = elec("survey", path)
        clean_refusal(result)
        assert words in result.stderr, (name, result.stderr)


def test_unreadable_file(tmp_path, monkeypatch):
    path = tmp_path / "boat.toml"
    path.write_text(BOAT)

    def denied(_self):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", denied)
    (fault,) = messages(path)
    assert "Permission denied" in str(fault)


def test_the_command_prints_every_fault_and_exits_2(tmp_path):
    path = tmp_path / "boat.toml"
    path.write_text(TEXTS["several faults at once"][0])
    result = elec("survey", path, "--json")
    clean_refusal(result)
    assert result.stderr.count(f"{path}:") == 3


TRACED = (
    BOAT
    + 'runs_traced = "all"\n'
    + BANK
    + '[[bus]]\nid = "panel"\n'
    + RUN.replace('"r"\n', '"r"\nfrom = "bank"\nto = "panel"\n').replace('"10 A"', '"0 A"')
    + '[[dc_load]]\nid = "pump"\ncurrent = "5 A"\n'
    + RUN.replace('"r"\n', '"s"\nfrom = "panel"\n').replace(
        'current = "10 A"\n', 'serves = ["pump"]\nprotection = "fuse"\n'
    )
    + '[[protection]]\nid = "fuse"\nrating = "10 A"\n'
)


def test_a_file_with_every_run_traced_is_read(tmp_path):
    path = tmp_path / "boat.toml"
    path.write_text(TRACED)
    assert read(path).boat.runs_traced.is_surely("all")
    # a start that was not noted is a reading that is missing, no fault of the file
    path.write_text(TRACED.replace('from = "bank"\n', ""))
    read(path)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('serves = ["pump"]', 'current = "5 A"', ["dc_load 'pump'"]),
        ('to = "panel"\n', "", ["bus 'panel'"]),
        ('protection = "fuse"\n', "", ["protection 'fuse'"]),
        # what hangs on a load does not feed it
        ('from = "bank"\nto = "panel"', 'from = "panel"\nto = "pump"', ["bus 'panel'"]),
        ('id = "s"', 'id = "r"', ["the id 'r' is taken by run number 1"]),
        ('protection = "fuse"', 'protection = "fuze"', ["'fuze' names no entry"]),
    ],
)
def test_each_thing_on_no_run_is_a_fault_only_where_all_runs_are_traced(old, new, words, tmp_path):
    path = tmp_path / "boat.toml"
    assert old in TRACED
    path.write_text(TRACED.replace(old, new))
    result = elec("survey", path)
    clean_refusal(result)
    assert all(word in result.stderr for word in words)
    if "'r'" in words[0] or "fuze" in words[0]:
        return
    for statement in ('runs_traced = "some"\n', 'runs_traced = "?"\n', ""):
        path.write_text(TRACED.replace(old, new).replace('runs_traced = "all"\n', statement))
        read(path)


def test_a_ring_without_a_source_is_refused_traced_or_not(tmp_path):
    ring = '[[bus]]\nid = "a"\n[[bus]]\nid = "b"\n' + "".join(
        f'[[run]]\nid = "{one}"\nfrom = "{start}"\nto = "{end}"\n'
        for one, start, end in (("port", "a", "b"), ("starboard", "b", "a"))
    )
    path = tmp_path / "boat.toml"
    for statement in ('runs_traced = "all"\n', ""):
        path.write_text(TRACED.replace('runs_traced = "all"\n', statement) + ring)
        result = elec("survey", path)
        clean_refusal(result)
        assert "closes a ring of 'a', 'b'" in result.stderr
        assert result.stderr.count(f"{path}:") == 1


def test_whether_runs_were_traced_is_asked_in_a_blank_file_and_in_the_schema(tmp_path):
    assert "runs_traced" in elec("schema").stdout
    blank = tmp_path / "blank.toml"
    assert elec("start", blank).returncode == 0
    line = next(line for line in blank.read_text().splitlines() if "runs_traced" in line)
    assert "every DC cable run" in line
    assert "some | all | ?" in line


def test_faults_of_several_boats_are_all_told(tmp_path):
    for name in ("a", "b"):
        (tmp_path / f"{name}.toml").write_text(INLET)
    result = elec("survey", tmp_path / "a.toml", tmp_path / "b.toml")
    clean_refusal(result)
    assert "a.toml" in result.stderr
    assert "b.toml" in result.stderr


def test_an_existing_report_is_not_replaced_unless_asked(tmp_path):
    boat, report = tmp_path / "boat.toml", tmp_path / "report.txt"
    boat.write_text(BOAT)
    report.write_text("precious")
    result = elec("survey", boat, "-o", report)
    clean_refusal(result)
    assert report.read_text() == "precious"
    assert elec("survey", boat, "-o", report, "--force").returncode == 3  # nothing to judge
    assert "TEST" in report.read_text()


def test_a_bad_file_leaves_no_report_behind(tmp_path):
    boat = tmp_path / "boat.toml"
    boat.write_text(INLET)
    clean_refusal(elec("survey", boat, "-o", tmp_path / "report.txt"))
    assert sorted(p.name for p in tmp_path.iterdir()) == ["boat.toml"]
