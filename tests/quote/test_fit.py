"""Things put into a small boat: what each makes of it, through the survey."""

from __future__ import annotations

import pytest

from commands import elec
from elec import noted
from elec.quote.fit import fit
from elec.quote.judging import judge_quote
from elec.quote.place import item_of_line
from elec.quote.read import read
from elec.quote.words import item_of
from elec.survey import survey
from made import from_text

BOAT = """
[boat]
name = "Quellmere"
length = "10 m"
surveyed = 2026-03-01

[[inlet]]
id = "shore"
rating = "16 A"
service = "230 V"

[[ac_load]]
id = "heater"
inlet = "shore"
current = "8 A"
volts = "230 V"
when = ["shore"]

[[bank]]
id = "house"
voltage = "12 V"
chemistry = "agm"
capacity = "200 Ah"
rate = "20 h"

[[alternator]]
id = "alternator"
bank = "house"
current = "90 A"
voltage = "14.4 V"
regulator = "no"

[[charger]]
id = "charger"
bank = "house"
inlet = "shore"
current = "20 A"
voltage = "12 V"
input = "400 VA"
profile = "agm"

[[inverter]]
id = "inverter"
bank = "house"
power = "800 W"
efficiency = "90 %"

[[run]]
id = "inverter cable"
serves = ["inverter"]
voltage = "12 V"
length = "1.5 m"
size = "6 AWG"
insulation = "105 °C"
engine_space = "no"
bundled = 2
circuit = "other"
protection = "inverter fuse"

[[protection]]
id = "inverter fuse"
device = "fuse"
rating = "125 A"
"""

LINE = '[[line]]\nid = "{}"\ntext = "{}"\nquantity = 1\nrate = 10\namount = 10\n'


@pytest.fixture(scope="module")
def aboard():
    boat = from_text(BOAT)
    return boat, survey(boat)


def quoted(tmp_path, *lines):
    path = tmp_path / "q.toml"
    texts = [LINE.format(n, text) + keys for n, (text, keys) in enumerate(lines, start=1)]
    path.write_text("\n".join(texts), encoding="utf-8")
    return read(path)


def effects(given, aboard):
    boat, before = aboard
    changes = judge_quote(given, boat, before=before).changes
    return {(c.finding.check, c.finding.subject): c.effect for c in changes}


def test_inverter_outgrows_its_cable(aboard, tmp_path):
    # 2000 W / (12 V x 0.9) = 185 A on 6 AWG: 120 A at 105 °C, 33 CFR 183.425 Table 5
    line = ("Inverter 2000 W", 'replaces = "inverter"\npower = "2000 W"\nefficiency = "90 %"\n')
    assert effects(quoted(tmp_path, line), aboard)["run-ampacity", "inverter cable"] == "makes"


def test_charger_outgrows_the_inlet(aboard, tmp_path):
    # 8 A + 2300 VA / 230 V = 18 A on 16 A
    line = (
        "Charger 100 A",
        'replaces = "charger"\nrating = "100 A"\nprofile = "agm"\ninput = "2300 VA"\n',
    )
    assert effects(quoted(tmp_path, line), aboard)["inlet-load", "shore"] == "makes"


LITHIUM = (
    "Lithium battery 12 V 200 Ah",
    'replaces = "house"\nchemistry = "lfp"\ncapacity = "200 Ah"\nhour_rate = "20 h"\n'
    'management = "yes"\ncold_cutoff = "yes"\nalarm = "yes"\n',
)


def test_lithium_on_a_bare_alternator(aboard, tmp_path):
    given = quoted(tmp_path, LITHIUM)
    boat, before = aboard
    judged = judge_quote(given, boat, before=before)
    missing = {f.subject: f for f in judged.findings if f.check == "quote-omission"}
    wanted = missing["line 1: regulator or dc-dc charger"]
    assert (wanted.verdict, wanted.priority) == ("inadequate", "B")
    made = {(f.check, f.subject): f.priority for f in judged.made}
    assert made["alternator", "alternator"] == "A"
    assert ("charger-profile", "charger") in made


def test_lithium_with_a_regulator(aboard, tmp_path):
    regulator = ("Alternator regulator with temperature sensor", 'for = "alternator"\n')
    boat, before = aboard
    judged = judge_quote(quoted(tmp_path, LITHIUM, regulator), boat, before=before)
    missing = [f.subject for f in judged.findings if f.check == "quote-omission"]
    assert "line 1: regulator or dc-dc charger" not in missing
    assert "line 2: temperature sensor" not in missing
    assert ("alternator", "alternator") not in {(f.check, f.subject) for f in judged.made}


def test_fuse_of_a_run_takes_the_place_of_the_old(aboard, tmp_path):
    given = quoted(tmp_path, ("Fuse 80 A", 'for = "inverter cable"\nrating = "80 A"\n'))
    fitted = fit(given.file, aboard[0])
    assert fitted.boat.find("inverter fuse").rating.span == (80.0, 80.0, 80.0)


def test_one_line_for_each_conductor(aboard, tmp_path):
    # the run is 1.5 m one way: 3 m of conductor
    red, black = (
        f'item = "cable"\nreplaces = "inverter cable"\nsize = "4 AWG"\ninsulation = "105 °C"\n'
        f'unit = "m"\nquantity = {q}\n'
        for q in ("1.7", "1.8")
    )
    path = tmp_path / "q.toml"
    path.write_text(
        f'[[line]]\nid = "1"\ntext = "Red"\n{red}[[line]]\nid = "2"\ntext = "Black"\n{black}'
    )
    boat, before = aboard
    judged = judge_quote(read(path), boat, before=before)
    (finding,) = (f for f in judged.findings if f.check == "quote-length")
    assert finding.value.best == pytest.approx(3.5)
    assert finding.verdict == "adequate"
    assert judged.fitted.left == ()


def test_two_things_in_one_place_are_asked_about(aboard, tmp_path):
    one = 'item = "charger"\nreplaces = "charger"\nrating = "20 A"\n'
    given = quoted(tmp_path, ("Charger", one), ("Other charger", one))
    left = fit(given.file, aboard[0]).left
    assert [(p.line, p.words) for p in left] == [
        ("2", "line '1' takes the place of 'charger' already")
    ]


def test_fuse_that_cannot_interrupt_the_new_bank(aboard, tmp_path):
    fuse = ("Fuse 125 A", 'for = "inverter cable"\nrating = "125 A"\ninterrupting = "1 kA"\n')
    lithium = (LITHIUM[0], LITHIUM[1] + 'short_circuit = "4 kA"\n')
    judged = judge_quote(quoted(tmp_path, lithium, fuse), aboard[0], before=aboard[1])
    made = {(f.check, f.subject) for f in judged.made}
    assert ("interrupting", "inverter fuse") in made


def test_new_bank_is_new(aboard, tmp_path):
    given = quoted(
        tmp_path,
        ("AGM battery", 'replaces = "house"\nchemistry = "agm"\ncapacity = "100 Ah"\n'),
    )
    bank = fit(given.file, aboard[0]).boat.find("house")
    assert bank.year.years == (2026,)
    assert bank.capacity.span[1] == 100.0
    assert bank.in_parallel == 1
    assert bank.voltage.span[1] == 12.0


def test_what_was_read_off_the_old_bank_is_not_taken_for_the_new(aboard, tmp_path):
    old = aboard[0].bank[0].model_copy(
        update={"group": "8D", "autonomy": noted.read("12 h", "duration"),
                "short_circuit": noted.read("3 kA", "current"),
                "remaining": noted.read("60 %", "fraction")}
    )  # fmt: skip
    boat = aboard[0].model_copy(update={"bank": (old,)})
    given = quoted(tmp_path, ("AGM battery", 'replaces = "house"\nchemistry = "agm"\n'))
    new = fit(given.file, boat).boat.find("house")
    assert not new.short_circuit.seen
    assert not new.remaining.seen
    assert not new.capacity.seen
    assert new.group is None
    assert new.autonomy.span[1] == 12.0


def test_what_cannot_take_the_place_is_said_and_asked(aboard, tmp_path):
    given = quoted(tmp_path, ("Charger", 'item = "charger"\nreplaces = "house"\n'))
    boat, before = aboard
    judged = judge_quote(given, boat, before=before)
    assert judged.fitted.placed == ()
    assert "cannot take the place of 'house'" in judged.fitted.left[0].words
    assert any("cannot take the place" in q for q in judged.questions)


def test_unknown_size_is_asked_never_passed(aboard, tmp_path):
    line = ("Cable for the inverter", 'item = "cable"\nreplaces = "inverter cable"\n')
    boat, before = aboard
    judged = judge_quote(quoted(tmp_path, line), boat, before=before)
    change = next(
        c
        for c in judged.changes
        if (c.finding.check, c.finding.subject) == ("run-ampacity", "inverter cable")
    )
    assert change.after.verdict == "undetermined"
    assert any("size printed on the cable" in q for q in judged.questions)


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Battery cable 3/0 AWG", "cable"),
        ("Cable for the inverter", "cable"),
        ("Bow thruster cable", "cable"),
        ("Battery monitor and shunt", "monitor"),
        ("Battery switch 600 A", "switch"),
        ("Main fuse with holder, at the battery", "fuse"),
        ("Fit batteries", "labour"),
        ("Labour, batteries", "labour"),
        ("Galvanic isolator", "isolator"),
        ("Taking away: disposal of batteries", "disposal"),
        ("Wiring diagram as built", "drawings"),
        ("Ladegerät 24 V", "charger"),
        ("Champagne", "other"),
    ],
)
def test_what_a_line_is_by_its_words(text, item):
    assert item_of(text) == item


def test_hours_are_labour(tmp_path):
    given = quoted(tmp_path, ("Battery work", 'unit = "h"\n'))
    assert item_of_line(given.file.line[0]) == "labour"


def test_the_command(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "boat.toml").write_text(BOAT, encoding="utf-8")
    (tmp_path / "q.csv").write_text("description,amount\nFuse,12.50\n", encoding="utf-8")

    done = elec("quote", "q.csv", "--boat", "boat.toml", "--json")
    assert done.returncode in (1, 3)
    assert done.stderr == ""
    assert done.stdout == elec("quote", "q.csv", "--boat", "boat.toml", "--json").stdout
    bad = elec("quote", "none.csv", "--boat", "none.toml")
    assert bad.returncode == 2
    assert bad.stdout == ""
    assert "none.csv" in bad.stderr
    assert "none.toml" in bad.stderr
    assert '"elec quote file"' in elec("schema", "--quote").stdout
