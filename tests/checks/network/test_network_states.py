"""Networks at the temperature of their metal, with switches open or closed, with shared returns."""

import re

import pytest

from elec.errors import BoatFileError
from wired import AREAS, FULL_V, HALF_V, asked, ohms


def surveyed(*parts, only=("network-drop",)):
    return asked('[boat]\nname = "Test"\n' + "".join(parts), only, at_60_C=False)


BANK = '[[bank]]\nid = "{0}"\nvoltage = "{1} V"\nchemistry = "agm"\nshort_circuit = "{2} A"\n'
LOAD = '[[dc_load]]\nid = "{0}"\n{1} = "{2}"\nwhen = ["manoeuvring"]\n'
#: AGM at rest, half full and full, as republished


def run(name, start, end, size, length_m, *more):
    lines = (f'id = "{name}"', f'from = "{start}"', f'to = "{end}"', f'size = "{size}"')
    rest = (f'length = "{length_m} m"', 'insulation = "105 °C"', 'engine_space = "no"', *more)
    return "[[run]]\n" + "\n".join((*lines, *rest)) + "\n"


def bus(*names):
    return "".join(f'[[bus]]\nid = "{name}"\n' for name in names)


def warm(current_A, ampacity_A):
    """Metal at 105 °C at its ampacity in 30 °C, heat growing with the square of the current."""
    return 30 + 75 * (current_A / ampacity_A) ** 2


# 33 CFR 183.425, table 5, 105 °C: 2/0 AWG 330 A, 2 AWG 210 A, 10 AWG 60 A


@pytest.mark.parametrize(("current_A", "temp_C"), [(330, 105), (165, 48.75), (600, 105)])
def test_copper_is_as_warm_as_its_current_makes_it(current_A, temp_C):
    found = surveyed(
        BANK.format("house", 24, 90000),
        bus("box"),
        run("feed", "house", "box", "2/0 AWG", 1),
        run("th", "box", "thruster", "2/0 AWG", 10.5, 'circuit = "other"'),
        LOAD.format("thruster", "current", f"{current_A} A"),
    ).findings
    assert [one.subject for one in found] == ["th"]
    expected = current_A * ohms(11.5, AREAS["2/0 AWG"], temp_C) / 24
    assert found[0].value.high == pytest.approx(expected, rel=1e-3)
    assert f"copper at {temp_C:.0f} °C" in found[0].working[1].numbers


def test_the_standards_formula_stands_beside_the_metal():
    found = surveyed(
        BANK.format("house", 24, 90000),
        bus("box"),
        run("feed", "house", "box", "2/0 AWG", 1),
        run("th", "box", "thruster", "2/0 AWG", 10.5, 'circuit = "other"'),
        LOAD.format("thruster", "current", "330 A"),
    ).findings[0]
    # ABYC E-11: 10.75 x 330 A x 2 x 11.5 m in feet / 133,100 CM = 2.011 V
    assert found.verdict == "inadequate"
    assert any("lose 8.38 % on the way: by it alone the way would pass" in n for n in found.notes)


def test_a_constant_power_meets_the_warmth_of_its_own_current():
    found = surveyed(
        BANK.format("house", 12, 90000),
        bus("box"),
        run("feed", "house", "box", "2 AWG", 2),
        run("radio run", "box", "radio", "10 AWG", 4, 'serves = ["radio"]'),
        LOAD.format("radio", "power", "480 W"),
    ).findings[0]

    def lost(emf):
        volts, inside = emf, emf / 90000
        for _ in range(60):  # Ohm's law and the warmth, until they agree
            amps = 480 / volts
            cables = ohms(2, AREAS["2 AWG"], warm(amps, 210)) + ohms(
                4, AREAS["10 AWG"], warm(amps, 60)
            )
            volts = emf - amps * (inside + cables)
        return amps * cables / 12

    assert found.value.high == pytest.approx(lost(HALF_V), rel=2e-3)
    assert found.value.high >= lost(HALF_V)  # what is not followed to the end is on the safe side
    assert found.value.low == pytest.approx(lost(FULL_V), rel=2e-3)


def test_a_load_that_cannot_be_supplied():
    result = surveyed(
        BANK.format("house", 12, 1000),
        bus("bow box"),
        run("feed", "house", "bow box", "6 AWG", 15),
        run("th", "bow box", "thruster", "6 AWG", 1),
        run("pump run", "bow box", "pump", "6 AWG", 1),
        LOAD.format("thruster", "power", "6 kW"),
        LOAD.format("pump", "current", "0.001 A"),
        '[[dc_load]]\nid = "plotter"\ncurrent = "0.001 A"\nlowest_voltage = "10.5 V"\n'
        '[[dc_load]]\nid = "windlass"\nbank = "house"\ncurrent = "0.001 A"\n',
        only=("network-drop", "brown-out"),
    )
    found = next(one for one in result.findings if one.part == "manoeuvring")
    assert (found.check, found.subject, found.verdict) == (
        "network-drop", "thruster", "inadequate",
    )  # fmt: skip
    # the nose of the curve, E² / 4 R, all of R but the load's own at its hottest
    for emf, watts in ((HALF_V, found.value.low), (FULL_V, found.value.high)):
        most = emf**2 / (4 * (emf / 1000 + ohms(16, AREAS["6 AWG"], 105)))
        assert watts == pytest.approx(most, rel=2e-3)
    assert "'thruster' at the end of run 'th' cannot be supplied" in found.statement
    assert "6000 W" in found.statement
    shown = " ".join(one.statement for one in result.findings)
    assert "any length" not in shown
    assert "sees 0 V" not in shown
    left = {(item.check, item.subject) for item in result.not_checked}
    assert {("network-drop", "pump run"), ("brown-out", "plotter")} <= left


def test_a_load_that_may_not_be_supplied():
    result = surveyed(
        BANK.format("house", 12, 1000),
        bus("bow box"),
        run("feed", "house", "bow box", "6 AWG", 15),
        run("th", "bow box", "thruster", "6 AWG", 1),
        LOAD.format("thruster", "power", "0.1..6 kW"),
    )
    (found,) = (one for one in result.findings if one.part == "manoeuvring")
    assert found.verdict in ("undetermined", "inadequate")
    assert "at the least, or cannot be supplied at all" in found.statement


# -- switches ----------------------------------------------------------------------------------


def two_banks(link=""):
    return (
        BANK.format("A", 12, 2000),
        BANK.format("B", 12, 4000),
        bus("bus A", "bus B"),
        run("lead A", "A", "bus A", "2 AWG", 2),
        run("lead B", "B", "bus B", "2 AWG", 2),
        run("link", "bus A", "bus B", "2/0 AWG", 1, *link.splitlines()),
        run("pump run", "bus A", "pump", "10 AWG", 3, 'circuit = "other"'),
        '[[dc_load]]\nid = "pump"\nbank = "A"\ncurrent = "10 A"\nwhen = ["shore", "anchor"]\n',
    )


def alone():
    """Ohm's law, 10 A from bank A alone: 2 m of 2 AWG and 3 m of 10 AWG."""
    ohm = ohms(2, AREAS["2 AWG"], warm(10, 210)) + ohms(3, AREAS["10 AWG"], warm(10, 60))
    return 10 * ohm / 12


@pytest.mark.parametrize(
    ("link", "joined", "apart"),
    [
        ("", ["shore", "anchor"], []),
        ('switch = "closed"', ["shore", "anchor"], []),
        ('switch = "open"', [], ["shore, 'link' open", "anchor, 'link' open"]),
        ('closed_when = ["shore"]', ["shore, 'link' closed"], ["anchor, 'link' open"]),
        (
            'switch = "?"',
            ["shore, 'link' closed", "anchor, 'link' closed"],
            ["shore, 'link' open", "anchor, 'link' open"],
        ),
    ],
)
def test_an_open_switch_joins_nothing(link, joined, apart):
    only = ("network-drop", "bank-share")
    found = surveyed(*two_banks(link), only=only).findings
    shared = {one.part for one in found if one.check == "bank-share"}
    assert bool(shared) == bool(joined)
    assert shared <= set(joined)
    drops = {one.part: one.value.best for one in found if one.check == "network-drop"}
    assert sorted(drops) == sorted([*joined, *apart])
    for part in apart:
        assert drops[part] == pytest.approx(alone(), rel=1e-3)


def test_what_gets_nothing_behind_an_open_switch_is_said():
    result = surveyed(
        BANK.format("house", 12, 9000),
        bus("panel"),
        run("feed", "house", "panel", "2 AWG", 2, 'closed_when = ["anchor"]'),
        run("th", "panel", "thruster", "2 AWG", 2),
        LOAD.format("thruster", "current", "50 A"),
    )
    assert not result.findings
    assert any("no bank feeds 'thruster'" in item.reason for item in result.not_checked)


def test_a_switch_may_be_closed_when_a_fault_occurs():
    device = '[[protection]]\nid = "fuse"\nrating = "20 A"\ninterrupting = "3000 A"\n'
    for link in ('switch = "open"', 'switch = "closed"'):
        parts = [
            part.replace('id = "pump run"', 'id = "pump run"\nprotection = "fuse"')
            for part in two_banks(link)
        ]
        (found,) = surveyed(*parts, device, only=("interrupting",)).findings
        assert "'A and B'" in found.statement
        said = [note for note in found.notes if "'link' (noted open)" in note]
        assert len(said) == ("open" in link)


# -- a return shared by several ----------------------------------------------------------------


def test_a_return_shared_by_two_runs():
    parts = (
        BANK.format("house", 12, 90000),
        bus("negative busbar"),
        run("negative", "house", "negative busbar", "6 AWG", 4),
        run("one run", "house", "one", "10 AWG", 3, 'return_by = "negative"'),
        run("two run", "house", "two", "10 AWG", 5, 'return_by = "negative"'),
        LOAD.format("one", "current", "20 A"),
        LOAD.format("two", "current", "30 A"),
    )
    result = surveyed(*parts)
    found = {one.subject: one for one in result.findings}
    # Ohm's law: both currents in the one conductor of the return; 6 AWG carries 120 A at 105 °C
    back = 50 * ohms(4, AREAS["6 AWG"], warm(50, 120), conductors=1)
    for name, amps, length_m in (("one run", 20, 3), ("two run", 30, 5)):
        out = amps * ohms(length_m, AREAS["10 AWG"], warm(amps, 60), conductors=1)
        assert found[name].value.best == pytest.approx((out + back) / 12, rel=1e-3)
        assert [step.formula for step in found[name].working] == [
            f"I R along '{name}'",
            "I R along 'negative'",
        ]
    assert "negative busbar" not in {item.subject for item in result.not_checked}


def test_a_return_of_a_feeder_is_that_of_all_it_feeds():
    (found,) = surveyed(
        BANK.format("house", 12, 90000),
        bus("panel"),
        run("negative", "house", "panel", "6 AWG", 4),
        run("feed", "house", "panel", "2 AWG", 2, 'return_by = "negative"'),
        run("th", "panel", "thruster", "10 AWG", 2),
        LOAD.format("thruster", "current", "40 A"),
    ).findings
    there = ohms(2, AREAS["2 AWG"], warm(40, 210), conductors=1)
    back = ohms(4, AREAS["6 AWG"], warm(40, 120), conductors=1)
    expected = 40 * (there + back + ohms(2, AREAS["10 AWG"], warm(40, 60))) / 12
    assert found.value.best == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(
    ("more", "field", "words"),
    [
        ('return_by = "th"', "return_by", "names no other run"),
        ('return_by = "house"', "return_by", "names no other run"),
        ('return_by = "loose"', "return_by", "does not go back to a bank"),
        ('closed_when = ["at dusk"]', "closed_when", "no condition|not a condition"),
        ('switch = "?"\nclosed_when = ["shore"]', "closed_when", "given beside switch"),
        ('switch = "ajar"', "switch", "ajar"),
        ('switch = "on"', "switch", "mean 'closed'"),
        ('switch = "Off"', "switch", "mean 'open'"),
        ("closed_when = []", "closed_when", "never closed"),
    ],
)
def test_switches_and_returns_that_cannot_be(more, field, words):
    with pytest.raises(BoatFileError, match=words) as raised:
        surveyed(
            BANK.format("house", 12, 9000),
            bus("panel", "other"),
            run("loose", "panel", "other", "2 AWG", 1),
            run("th", "house", "thruster", "10 AWG", 2, more),
            LOAD.format("thruster", "current", "40 A"),
        )
    assert field in str(raised.value)


def test_a_return_is_judged_with_the_currents_of_those_that_it_is_the_return_of():
    result = surveyed(
        BANK.format("house", 12, 90000),
        bus("negative busbar"),
        run("negative", "house", "negative busbar", "10 AWG", 4),
        run("one run", "house", "one", "2 AWG", 3, 'return_by = "negative"', 'serves = ["one"]'),
        run("two run", "house", "two", "2 AWG", 5, 'return_by = "negative"', 'serves = ["two"]'),
        LOAD.format("one", "current", "30 A"),
        LOAD.format("two", "current", "40 A"),
        only=("run-ampacity",),
    )
    found = next(one for one in result.findings if one.verdict == "inadequate")
    # 33 CFR 183.425, table 5: 60 A at 105 °C
    assert (found.subject, found.value.high, found.limit.low) == ("negative", 70, 60)


@pytest.mark.parametrize(
    ("start", "end", "amps"),
    [("house", "pump", 8), ("charger", "house", 40), ("alternator", "house", 90)],
)
def test_a_run_from_a_charger_or_to_a_load_carries_its_current(start, end, amps):
    (found,) = surveyed(
        BANK.format("house", 12, 9000),
        run("r", start, end, "2 AWG", 3),
        LOAD.format("pump", "current", "8 A"),
        '[[charger]]\nid = "charger"\nbank = "house"\ncurrent = "40 A"\n',
        '[[alternator]]\nid = "alternator"\nbank = "house"\ncurrent = "90 A"\n',
        only=("run-ampacity",),
    ).findings
    assert (found.subject, found.value.high) == ("r", amps)


def test_banks_that_cannot_carry_their_loads_share_nothing():
    parts = [part.replace('current = "10 A"', 'current = "9000 A"') for part in two_banks()]
    result = surveyed(*parts, only=("bank-share",))
    assert not result.findings
    assert any("'pump' cannot be supplied" in item.reason for item in result.not_checked)


def test_a_share_is_told_in_percent_with_a_blank():
    found = surveyed(*two_banks(), only=("bank-share",)).findings[0]
    assert re.search(r"about \d\d % of what it and 'B' give", found.statement)
    assert " % of what the banks give" in found.working[0].formula


@pytest.mark.parametrize("start", ["two", "negative busbar", "?"])
def test_a_return_drawn_towards_the_bank_loses_the_same(start):
    def found(back):
        result = surveyed(
            BANK.format("house", 12, 90000),
            bus("negative busbar"),
            back,
            run("one run", "house", "one", "10 AWG", 3, 'return_by = "negative"'),
            run("two run", "house", "two", "10 AWG", 5, 'return_by = "negative"'),
            LOAD.format("one", "current", "20 A"),
            LOAD.format("two", "current", "30 A"),
        )
        assert "negative" not in {item.subject for item in result.not_checked}
        return [(one.subject, one.value.high) for one in result.findings]

    drawn = run("negative", start, "house", "6 AWG", 4).replace('from = "?"\n', "")
    other = run("negative", "house", "negative busbar", "6 AWG", 4)
    assert found(drawn) == found(other) != []


def test_a_charger_at_its_bank_is_judged_beside_a_second_bank():
    charger = '[[charger]]\nid = "charger"\nbank = "A"\ncurrent = "40 A"\n'
    cable = run("charge run", "charger", "A", "2 AWG", 3)
    found = surveyed(*two_banks(), charger, cable).findings
    (lost,) = [one for one in found if one.subject == "charge run"]
    assert lost.value.high == pytest.approx(
        40 * ohms(3, AREAS["2 AWG"], warm(40, 210)) / 12, rel=1e-3
    )
    assert any("may not be equally full" in note for note in found[0].notes)
    device = '[[protection]]\nid = "fuse"\nrating = "60 A"\ninterrupting = "3000 A"\n'
    guarded = cable + 'protection = "fuse"\n'
    (fault,) = surveyed(*two_banks(), charger, device, guarded, only=("interrupting",)).findings
    assert "'A and B'" in fault.statement
    assert any(note.startswith("At 'A'") for note in fault.notes)
    least = surveyed(*two_banks(), charger, device, guarded, only=("smallest-fault",)).not_checked
    assert not any("several banks" in item.reason for item in least)


def test_a_part_behind_an_open_switch_in_which_nothing_runs():
    result = surveyed(
        BANK.format("house", 12, 90000),
        bus("box", "far"),
        run("feed", "house", "box", "2 AWG", 2),
        run("link", "box", "far", "2 AWG", 2, 'closed_when = ["shore"]'),
        run("pump run", "far", "pump", "10 AWG", 3, 'circuit = "other"'),
        '[[dc_load]]\nid = "pump"\ncurrent = "10 A"\nwhen = ["shore", "anchor"]\n',
        only=("network-drop", "brown-out", "bank-share"),
    )
    assert [(one.subject, one.part) for one in result.findings] == [
        ("pump run", "shore, 'link' closed")
    ]
    (left,) = result.not_checked
    assert left.reason == "'anchor', 'link' open, no bank feeds 'pump'"
