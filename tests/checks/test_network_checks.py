"""The network of a boat against Ohm's law worked by hand, and what is said where it cannot be."""

import pytest

from elec.boat.read import read
from elec.errors import BoatFileError
from elec.survey import survey

BOAT = """
[boat]
name = "Test"
surveyed = 2026-01-01

[[bank]]
id = "house"
voltage = "12 V"
chemistry = "agm"
capacity = "200 Ah"
short_circuit = "2500 A"

[[bus]]
id = "panel"

[[run]]
id = "feeder"
from = "house"
to = "panel"
voltage = "12 V"
length = "5 m"
size = "2 AWG"
circuit = "panel feeder"

[[run]]
id = "lights"
from = "panel"
voltage = "12 V"
current = "10 A"
when = ["anchor"]
length = "6 m"
size = "12 AWG"
circuit = "other"

[[run]]
id = "heater"
from = "panel"
voltage = "12 V"
current = "40 A"
when = ["anchor"]
length = "2 m"
size = "8 AWG"
circuit = "other"

[[run]]
id = "windlass"
kind = "windlass"
from = "house"
voltage = "12 V"
current = "100 A"
length = "10 m"
size = "1/0 AWG"
circuit = "other"

[[dc_load]]
id = "plotter"
bank = "house"
current = "2 A"
lowest_voltage = "11 V"
when = ["under way"]
"""


def surveyed(tmp_path, *changes, only=("network-drop",)):
    text = BOAT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "boat.toml"
    path.write_text(text)
    return survey(read(path), only=only)


def ohms(length_m, area_mm2):
    """Out and back, annealed copper of IEC 60028 at 60 °C."""
    return 2 * length_m * 0.017241 * (1 + 0.00393 * 40) / area_mm2


def test_the_drops_on_the_way_add(tmp_path):
    # Ohm's law: 50 A in the feeder, 10 A in the branch; areas of NEC chapter 9, table 8
    found = [f for f in surveyed(tmp_path).findings if f.subject == "lights"]
    assert len(found) == 1
    expected = (50 * ohms(5, 33.625) + 10 * ohms(6, 3.309)) / 12
    assert found[0].value.best == pytest.approx(expected, rel=1e-3)
    assert [step.symbol for step in found[0].working] == ["E1", "E2"]


def test_more_beside_it_lowers_what_a_load_gets(tmp_path):
    alone = surveyed(tmp_path, ('current = "40 A"', 'current = "1 A"'))
    both = surveyed(tmp_path)
    drop = [next(f for f in r.findings if f.subject == "lights").value.best for r in (alone, both)]
    assert drop[0] < drop[1]


def test_a_load_alone_on_its_run_is_left_to_the_run(tmp_path):
    assert "windlass" not in {f.subject for f in surveyed(tmp_path).findings}


def brown_out(tmp_path, *changes):
    return surveyed(tmp_path, *changes, only=("brown-out",))


def test_what_electronics_see_while_the_windlass_runs(tmp_path):
    # Ohm's law: E - (100 + 2) E / Isc, E of AGM from 12.1 V half full to 12.9 V full as republished
    found = brown_out(tmp_path).findings
    assert [f.subject for f in found] == ["plotter"]
    low = 12.1 * (1 - 102 / 2500)
    assert found[0].value.low == pytest.approx(low, rel=5e-3)
    assert found[0].verdict in ("adequate", "marginal")


def test_a_weak_bank_starves_it(tmp_path):
    found = brown_out(tmp_path, ('"2500 A"', '"900 A"')).findings
    assert found[0].verdict == "inadequate" or found[0].value.low < 11


def test_a_load_beyond_what_the_bank_can_give_is_no_volts(tmp_path):
    found = brown_out(tmp_path, ('current = "100 A"', 'current = "9000 A"')).findings
    assert found[0].verdict == "inadequate"


def test_the_lowest_voltage_not_noted_is_asked_for(tmp_path):
    result = brown_out(
        tmp_path,
        ('id = "plotter"', 'id = "navigation electronics"'),
        ('lowest_voltage = "11 V"\n', ""),
    )
    assert not result.findings
    assert "lowest supply voltage" in result.not_checked[0].read
    assert result.exit_code == 3


def test_where_it_starts_not_noted_is_said(tmp_path):
    result = surveyed(
        tmp_path, ('id = "windlass"\nkind = "windlass"\nfrom = "house"', 'id = "windlass"')
    )
    assert any("where it starts" in item.reason for item in result.not_checked)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (('to = "panel"', 'to = "pannel"'), "panel"),
        (('from = "house"\nto', 'from = "panel"\nto'), "where the run starts"),
        (('length = "5 m"', 'length = "0 m"'), "length"),
        (('length = "5 m"', 'length = "-5 m"'), "length"),
        (('size = "2 AWG"', 'size = "2 mm"'), "size"),
        (('voltage = "12 V"\nchemistry', 'voltage = "0 V"\nchemistry'), "voltage"),
        (('id = "lights"', 'id = "heater"'), "heater"),
    ],
)
def test_bad_ends_and_values(tmp_path, change, words):
    with pytest.raises(BoatFileError, match=words):
        surveyed(tmp_path, change)


def test_a_bus_that_nothing_feeds_is_said(tmp_path):
    result = surveyed(tmp_path, ('from = "house"\nto = "panel"', 'from = "house"'))
    reasons = {item.subject: item.reason for item in result.not_checked}
    assert "no bank feeds 'panel'" in reasons["lights"]


def test_runs_in_a_ring_are_said_and_not_solved(tmp_path):
    ring = '[[run]]\nid = "second"\nfrom = "house"\nto = "panel"\nlength = "5 m"\nsize = "2 AWG"\n'
    result = surveyed(tmp_path, ("[[dc_load]]", ring + "\n[[dc_load]]"))
    assert any("ring" in item.reason for item in result.not_checked)


# -- devices -----------------------------------------------------------------------------------

DEVICE = """
[[protection]]
id = "windlass breaker"
device = "breaker"
rating = "100 A"
at_battery = "yes"
interrupting = "5000 A"
"""


def device(tmp_path, only, *changes):
    guarded = (
        'size = "1/0 AWG"',
        'size = "1/0 AWG"\ninsulation = "105 °C"\nprotection = "windlass breaker"',
    )
    text = ("[[dc_load]]", DEVICE + "\n[[dc_load]]")
    return surveyed(tmp_path, guarded, text, *changes, only=(only,))


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        (("5000 A", "5000 A"), "adequate"),
        (("5000 A", "2500 A"), "marginal"),
        (("5000 A", "2400 A"), "inadequate"),
        # strings in parallel add, cells in series do not
        (('capacity = "200 Ah"', 'capacity = "200 Ah"\nin_parallel = 3'), "inadequate"),
        (('capacity = "200 Ah"', 'capacity = "200 Ah"\nin_series = 2'), "adequate"),
        # above its marked voltage a rating is void, 33 CFR 183.455(d)
        (
            ('interrupting = "5000 A"', 'interrupting = "5000 A"\nmarked_voltage = "6 V"'),
            "inadequate",
        ),
    ],
)
def test_what_the_device_can_break(tmp_path, change, verdict):
    assert device(tmp_path, "interrupting", change).findings[0].verdict == verdict


def test_a_device_that_guards_nothing_is_said(tmp_path):
    loose = '[[protection]]\nid = "loose"\ndevice = "fuse"\nrating = "30 A"\n'
    result = surveyed(tmp_path, ("[[dc_load]]", loose + "\n[[dc_load]]"), only=("interrupting",))
    assert "no run names it" in result.not_checked[0].reason


def test_interrupting_capacity_by_cranking_current(tmp_path):
    # trade page republishing ABYC E-11, Table V-A: two 500 CCA batteries on 12 V, main 3,000 A
    changes = (
        ('chemistry = "agm"', 'chemistry = "flooded"\ncranking = "500 CCA"\nin_parallel = 2'),
        ('short_circuit = "2500 A"', 'short_circuit = "1000 A"'),
    )
    notes = device(tmp_path, "interrupting", *changes).findings[0].notes
    assert any("3,000 A" in note or "3000 A" in note for note in notes), notes
    notes = device(tmp_path, "interrupting").findings[0].notes
    assert any("flooded lead-acid only" in note for note in notes)


def test_a_lithium_bank_without_its_makers_figure_is_not_guessed(tmp_path):
    changes = (('chemistry = "agm"', 'chemistry = "lfp"'), ('short_circuit = "2500 A"\n', ""))
    result = device(tmp_path, "interrupting", *changes)
    assert not result.findings
    assert "short-circuit current" in result.not_checked[0].read


def test_the_smallest_fault(tmp_path):
    # E / (3 E / Isc + R): the weak bank as republished, copper at the 105 °C of its insulation
    found = device(tmp_path, "smallest-fault").findings[0]
    loop = 2 * 10 * 0.017241 * (1 + 0.00393 * 85) / 53.51
    low = 12.1 / (3 * 12.1 / 2500 + loop)
    assert found.value.low == pytest.approx(low, rel=5e-3)
    assert found.limit.best == pytest.approx(135)  # UL 489: opens at 135 %
    assert found.verdict == "adequate"


def test_a_device_too_large_for_the_smallest_fault(tmp_path):
    found = device(tmp_path, "smallest-fault", ('rating = "100 A"', 'rating = "600 A"')).findings[0]
    assert (found.verdict, found.priority) == ("inadequate", "A")


def test_a_fuse_without_a_curve_is_said(tmp_path):
    result = device(tmp_path, "smallest-fault", ('device = "breaker"', 'device = "fuse"'))
    assert not result.findings
    assert "time-current curve" in result.not_checked[0].reason


def test_a_blade_fuse_opens_before_its_cable_is_harmed(tmp_path):
    changes = (('device = "breaker"', 'device = "fuse"\nfamily = "blade"'),)
    found = device(tmp_path, "fault-withstand", *changes).findings[0]
    assert found.provisional  # its points are from memory
    # about 540 A is 5.4 times 100 A: 0.5 s at 350 %; k = 79.7, 53.51 mm²: (k S / I)²
    assert found.value.high * 3600 == pytest.approx(0.5)
    assert found.verdict == "adequate"
