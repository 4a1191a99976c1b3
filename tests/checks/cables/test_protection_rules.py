"""Rating, place and breaking of devices against the rules worked out apart from their text."""

import itertools

import pytest

from made import PASSES, judged, run, surveyed

IN = 0.0254


def cable(**changes):
    known = {"voltage": "12 V", "current": "1 A", "length": "2 m", "size": "8 AWG"}
    return run(**known | {"protection": "f"} | changes)


def rated(rating, **changes):
    device = {"id": "f", "device": "fuse", "rating": rating}
    return judged("run-protection", run=[cable(**changes)], protection=[device])


# -- ratings -----------------------------------------------------------------------------------

#: NFPA 70, 240.6(A)
STANDARD = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225)
STANDARD += (250, 300, 350, 400, 450, 500, 600)
#: 33 CFR 183.425, Table 5, the column of 105 °C; its note 2 for three conductors at 50 V and up
TABLE_5 = {"16": 25, "14": 35, "12": 45, "10": 60, "8": 80, "6": 120, "4": 160, "1": 245}
THREE = 0.70


def most_A(size, volts, bundled):
    """33 CFR 183.455(c), told again: below 50 V, and from 50 V on."""
    if volts < 50:
        return 1.5 * TABLE_5[size]
    ampacity = TABLE_5[size] * (THREE if bundled == 3 else 1)
    following = next(s for s in STANDARD if s >= ampacity * (1 - 1e-9))
    return following if following <= 1.5 * ampacity * (1 + 1e-9) else ampacity


@pytest.mark.parametrize(
    ("size", "volts", "bundled"),
    [*itertools.product(TABLE_5, (12, 49.9, 50, 120), (2, 3))],
)
def test_the_largest_rating_by_the_coast_guard(size, volts, bundled):
    changes = {"size": f"{size} AWG", "voltage": f"{volts} V", "bundled": bundled}
    most = most_A(size, volts, bundled)
    assert rated("1 A", **changes).limit.high == pytest.approx(most)
    at, over = (rated(f"{most * by:.6f} A", **changes) for by in (1, 1.00001))
    assert at.verdict == "marginal"
    assert (over.verdict, over.priority) == ("inadequate", "A")


def test_of_the_coast_guard_and_the_voluntary_standard_the_stricter_is_said():
    # ABYC E-11 as republished: ampacity, or the next standard rating; 8 AWG of 80 A
    assert not any("ABYC" in note for note in rated("80 A").notes)
    found = rated("90 A")
    assert found.verdict in PASSES  # 120 A by 183.455(c)(1)
    assert any("ABYC E-11" in note and "inadequate" in note for note in found.notes)


@pytest.mark.parametrize(("load", "said"), [("20 A", False), ("20.1 A", True), ("15..25 A", False)])
def test_a_device_rated_less_than_its_load_is_said(load, said):
    # common sense: a rating is what a device carries without opening (UL 489, 100 %)
    notes = rated("20 A", current=load).notes
    assert any("may open in use" in note for note in notes) is said


@pytest.mark.parametrize("volts", [24, 230])
@pytest.mark.parametrize(("rating", "holds"), [("45 A", True), ("45.01 A", False), ("50 A", False)])
def test_the_european_rule_has_no_step_up(volts, rating, holds):
    # ISO 13297 Table A.1 as republished: 4 mm² at 105 °C, 45 A; 13.1.5: no 150 %
    device = {"id": "f", "device": "fuse", "rating": rating}
    line = cable(size="4 mm2", voltage=f"{volts} V")
    found = judged("run-protection", basis="iso", run=[line], protection=[device])
    assert found.limit.high == pytest.approx(45)
    assert (found.verdict in PASSES) is holds


# -- place -------------------------------------------------------------------------------------

BANK = {"id": "house", "voltage": "12 V", "chemistry": "agm", "capacity": "100 Ah"}


def placed(metres, *, basis="us", start=None, **device):
    fuse = {"id": "f", "device": "fuse", "rating": "20 A", "distance": f"{metres:.9f} m", **device}
    line = cable(**{"from": start} if start else {})
    charger = {"id": "charger", "bank": "house"}
    lists = {"bank": [BANK], "charger": [charger], "bus": [{"id": "panel"}]}
    return surveyed("protection-place", basis=basis, run=[line], protection=[fuse], **lists)


def reach(*, basis, battery, sheathed, charging=False):
    """ABYC E-11 (2015) as republished; ISO 10133:2000, 8.1 and ISO 13297:2020, 12.3."""
    if basis == "iso":
        return 1.8 if charging else 0.2
    if not sheathed:
        return 7 * IN
    return (72 if battery else 40) * IN


@pytest.mark.parametrize("battery", ["yes", "no"])
@pytest.mark.parametrize("sheathed", ["yes", "no"])
@pytest.mark.parametrize("basis", ["us", "iso"])
def test_how_far_a_device_may_stand(battery, sheathed, basis):
    start = "house" if battery == "yes" else "panel"
    most = reach(basis=basis, battery=battery == "yes", sheathed=sheathed == "yes")
    given = {"basis": basis, "start": start, "at_battery": battery, "sheathed": sheathed}
    (at,) = placed(most, **given).findings
    (over,) = placed(most * 1.0001, **given).findings
    assert at.limit.high == pytest.approx(most)
    assert at.verdict == "marginal"
    assert (over.verdict, over.priority) == ("inadequate", "A")


@pytest.mark.parametrize(("metres", "holds"), [(1.8, True), (1.801, False)])
def test_a_charging_source_has_its_own_distance_in_europe(metres, holds):
    # ISO 13297:2020, 12.3
    (found,) = placed(metres, basis="iso", start="charger").findings
    assert (found.verdict in PASSES) is holds


@pytest.mark.parametrize("inches", [7.1, 40, 40.1, 71, 72])
def test_what_was_not_noted_leaves_the_place_open(inches):
    (found,) = placed(inches * IN).findings
    assert found.verdict == "undetermined"
    assert found.turns_on


def test_beyond_every_distance_nothing_is_open():
    (found,) = placed(72.01 * IN).findings
    assert found.verdict == "inadequate"


@pytest.mark.parametrize(
    ("inches", "device", "words"),
    [
        # 33 CFR 183.455(b): at the source; 7 in if that is impractical; 40 in if 7 in is too and
        # the conductor is sheathed; 183.460, from memory: 72 in from a battery
        (6, {"not_at_source": "no", "at_battery": "no"}, "does not allow it"),
        (6, {"not_at_source": "yes", "at_battery": "no"}, "allows it"),
        (30, {"not_at_source": "yes", "not_near_source": "no"}, "does not allow it"),
        (30, {"not_at_source": "yes", "not_near_source": "yes", "sheathed": "yes"}, "allows it"),
        (30, {"not_at_source": "yes", "not_near_source": "yes", "sheathed": "no"}, "does not"),
        (71, {"at_battery": "yes", "sheathed": "no"}, "allows it"),
    ],
)
def test_what_the_law_says_stands_beside(inches, device, words):
    device = {"at_battery": "no"} | device
    start = "house" if device["at_battery"] == "yes" else "panel"
    (found,) = placed(inches * IN, start=start, **device).findings
    (law,) = [note for note in found.notes if "183.455" in note]
    assert f"binding on petrol boats, {words}" in law


def test_the_limit_is_one_figure_in_statement_and_remedy():
    # 7 in is 0.1778 m, 72 in 1.8288 m: what is allowed is rounded down
    (found,) = placed(7.1 * IN, start="house").findings
    assert "at most 0.177 m to 1.82 m is allowed" in found.statement
    assert "within 0.177 m" in found.remedy
    assert "1.82 m" in found.remedy


def test_what_the_law_hangs_on_is_a_sentence():
    # 33 CFR 183.455(b): 40 in where a device at the source, and one within 7 in, is impractical
    (found,) = placed(30 * IN, start="panel", at_battery="no", sheathed="yes").findings
    (law,) = [note for note in found.notes if "183.455" in note]
    assert "depending on whether 'f' could stand at the source itself and whether 'f'" in law


# -- the feed of a cranking motor ---------------------------------------------------------------

START = {"id": "start", "voltage": "12 V", "starts": "port engine", "chemistry": "flooded"}


def feed(far="3 m", **changes):
    fuse = {"id": "f", "device": "fuse", "rating": "300 A", "distance": far, "at_battery": "yes"}
    line = {name: v for name, v in cable(**changes).items() if name != "current"}
    return surveyed(
        "protection-place",
        odd=True,
        bank=[START],
        run=[line],
        protection=[fuse | {"sheathed": "no"}],
    )


def test_only_what_surely_feeds_a_cranking_motor_is_exempt():
    # ABYC E-11 as republished in the standards body's quiz of 2015
    sure = feed(**{"from": "start", "to": "port engine"})
    assert not sure.findings
    assert not sure.not_checked[0].read
    other = feed(**{"from": "start", "to": "panel"})
    assert other.findings[0].verdict == "inadequate"


def test_a_name_alone_exempts_nothing():
    may = feed(id="starter battery feeder", **{"from": "start"})
    (found,) = may.findings
    assert (found.verdict, found.priority) == ("undetermined", "A")
    assert found.turns_on[0].adequate_if == "a cranking motor and nothing else"
    assert "cranking motor" in may.go_back[0].read
    assert may.exit_code == 3
    near = feed(far="0.1 m", id="starter battery feeder", **{"from": "start"})
    assert near.findings[0].verdict in PASSES


# -- breaking ----------------------------------------------------------------------------------


def breaking(cca, *, basis="us", strings=1, series=1, main="yes", marked="5000 A", **device):
    bank = {
        "id": "house",
        "voltage": f"{12 * series} V",
        "chemistry": "flooded",
        "cranking": f"{cca} CCA",
        "short_circuit": "1000 A",
        "capacity": "100 Ah",
        "in_parallel": strings,
        "in_series": series,
    }
    breaker = {"id": "f", "device": "breaker", "rating": "100 A", "at_battery": main, **device}
    line = cable(**{"from": "house"})
    return judged(
        "interrupting",
        basis=basis,
        bank=[bank],
        run=[line],
        protection=[breaker | {"interrupting": marked}],
    )


@pytest.mark.parametrize(
    ("cca", "strings", "series", "main", "least"),
    [
        # ABYC E-11, Table V-A, as republished: whole connected CCA, first and later breakers
        (650, 1, 1, "yes", "1500 A"),
        (650, 1, 1, "no", "750 A"),
        (650.5, 1, 1, "yes", "3000 A"),
        (651, 1, 1, "yes", "3000 A"),
        (1100, 1, 1, "no", "1500 A"),
        (1100.5, 1, 1, "yes", "5000 A"),
        (1101, 1, 1, "yes", "5000 A"),
        # strings in parallel add, batteries in series do not
        (550, 2, 1, "yes", "3000 A"),
        (600, 1, 2, "yes", "1500 A"),
    ],
)
def test_the_table_by_cranking_current(cca, strings, series, main, least):
    found = breaking(cca, strings=strings, series=series, main=main)
    (said,) = [note for note in found.notes if "Table V-A" in note]
    assert f"asks {least} of a {'first' if main == 'yes' else 'later'} breaker" in said


def test_above_its_marked_voltage_it_does_not_meet_the_table_either():
    (said,) = [n for n in breaking(600, marked_voltage="6 V").notes if "Table V-A" in n]
    assert "fails" in said


def test_the_american_table_is_not_used_by_the_european_basis():
    assert not any("ABYC" in note for note in breaking(600, basis="iso").notes)


@pytest.mark.parametrize(("strings", "series"), [(1, 1), (3, 1), (1, 2), (2, 2)])
def test_strings_in_parallel_add_and_batteries_in_series_do_not(strings, series):
    # maker's 1,000 A for one battery
    value = breaking(600, strings=strings, series=series).value
    assert (value.low, value.high) == pytest.approx((1000 * strings, 1000 * strings))


def test_exactly_what_flows_it_can_break():
    assert breaking(600, marked="1000 A").verdict == "marginal"
    assert breaking(600, marked="999 A").verdict == "inadequate"
