"""Cables: what feeds them, what they carry, whose limit counts, and what to do about it."""

import re

import pytest

from made import PASSES, judged, run, surveyed


def without(*fields, **changes):
    return run(**dict.fromkeys(fields), **changes)


HOUSE = {"id": "house", "voltage": "12 V", "chemistry": "agm"}
SHORE = {"id": "shore", "service": "230 V", "rating": "16 A"}


# -- whose limit of drop counts ----------------------------------------------------------------


def test_a_maker_who_allows_more_drop_than_the_standard_does_not_loosen_it():
    # ABYC E-11 as republished: 3 % on navigation lights
    lights = run(circuit="navigation lights", drop="10 %", length="12 m", size="8 AWG")
    found = judged("run-drop", run=[lights])
    assert found.limit.high == pytest.approx(0.03)
    assert found.verdict == "inadequate"
    assert any("maker allows 10" in note for note in found.notes)
    assert any("ABYC E-11" in source.edition + source.clause for source in found.sources)


def test_a_maker_who_allows_less_drop_counts_and_the_standard_is_named():
    found = judged("run-drop", run=[run(drop="2 %")])
    assert found.limit.high == pytest.approx(0.02)
    assert "by its maker; 10" in found.statement
    assert "ABYC E-11" in found.statement


def test_a_maker_and_a_circuit_not_known_take_both_limits_of_the_standard():
    found = judged("run-drop", run=[without("circuit", drop="5 %")])
    # ABYC E-11 as republished: 3 % or 10 %, and the maker's 5 % below the latter
    assert (found.limit.low, found.limit.high) == pytest.approx((0.03, 0.05))


FANS = [{"id": f"fan {n}", "bank": "house", "current": "6 A", "kind": "heater fan"} for n in (1, 2)]


def test_a_run_that_serves_several_loads_may_be_a_feeder():
    feeder = without("current", "circuit", "voltage", size="10 AWG", serves=["fan 1", "fan 2"])
    found = judged("run-drop", bank=[HOUSE], dc_load=FANS, run=[feeder])
    # ABYC E-11 as republished: 3 % for the feeder of a panel, 10 % for a branch
    assert (found.limit.low, found.limit.high) == pytest.approx((0.03, 0.10))
    assert found.verdict == "undetermined"
    assert "panel" in found.turns_on[0].read
    assert any("This run alone" in note for note in found.notes)


@pytest.mark.parametrize(("start", "alone"), [("house", False), ("panel", True)])
def test_a_run_that_starts_at_a_panel_says_that_it_covers_itself_alone(start, alone):
    branch = without("current", "voltage") | {"from": start, "serves": ["fan 1"]}
    bus = [{"id": "panel"}]
    found = judged("run-drop", bank=[HOUSE], bus=bus, dc_load=FANS, run=[branch])
    assert any("This run alone" in note for note in found.notes) == alone


def test_a_name_does_not_make_a_circuit_vital():
    long = {"length": "60 m"}
    named = judged("run-drop", run=[run(id="old bilge lamp", **long)])
    vital = judged("run-drop", run=[run(circuit="vital", **long)])
    assert (named.verdict, named.priority) == ("inadequate", "B")
    assert (vital.verdict, vital.priority) == ("inadequate", "A")


# -- voltage and current -----------------------------------------------------------------------

CHARGER = {"id": "charger", "bank": "house", "inlet": "shore", "current": "50 A"}


def test_a_cable_from_the_inlet_to_a_charger_is_not_at_the_voltage_of_the_bank():
    # a 230 V supply; the output of the charger is not what its supply cable carries: by energy it
    # draws at least its output at the lowest voltage of the bank
    supply = without("current", "voltage", "circuit") | {"from": "shore", "serves": ["charger"]}
    result = {"inlet": [SHORE], "bank": [HOUSE], "charger": [CHARGER], "run": [supply]}
    assert "230 V" in judged("run-drop", **result).statement
    found = judged("run-ampacity", **result)
    assert 50 * 12 / 230 < found.value.low < found.value.high < 50


def test_the_dc_cable_of_the_same_charger_is():
    output = without("current", "voltage") | {
        "from": "charger", "to": "house", "serves": ["charger"],
    }  # fmt: skip
    lists = {"inlet": [SHORE], "bank": [HOUSE], "charger": [CHARGER], "run": [output]}
    assert "of 12 V" in judged("run-drop", **lists).statement
    assert judged("run-ampacity", **lists).value.best == 50


def test_a_charger_alone_does_not_say_on_which_side_the_cable_lies():
    cable = without("current", "voltage", serves=["charger"])
    result = surveyed("run-drop", inlet=[SHORE], bank=[HOUSE], charger=[CHARGER], run=[cable])
    assert not result.findings
    assert "direct or alternating" in result.not_checked[0].read


def ac_cable(**load):
    cable = without("current", "voltage", "circuit") | {"from": "shore", "serves": ["load"]}
    lists = {"inlet": [SHORE], "ac_load": [{"id": "load", "inlet": "shore"} | load]}
    return judged("run-ampacity", run=[cable], **lists)


def test_apparent_power_gives_the_current_of_an_ac_cable():
    assert ac_cable(apparent_power="2300 VA").value.best == pytest.approx(10)  # S / V


def test_watts_at_an_unknown_power_factor_carry_more_than_watts_over_volts():
    found = ac_cable(power="1840 W", behaviour="motor")
    # UFC 3-520-01 (2002), B-2.1: 0.8 where it is unknown
    assert (found.value.low, found.value.high) == pytest.approx((8.0, 10.0))
    assert ac_cable(power="1840 W", power_factor="0.8").value.best == pytest.approx(10.0)
    heater = ac_cable(power="1840 W", behaviour="resistance")
    assert (heater.value.low, heater.value.high) == pytest.approx((8.0, 8.0))


def test_an_ac_load_with_no_figure_may_draw_what_an_ordinary_circuit_does():
    # common practice, no source: an ordinary largest branch circuit
    found = ac_cable()
    assert (found.value.low, found.value.high) == (0, 50)


def test_a_three_phase_load_divides_by_the_root_of_three():
    # P = sqrt(3) U I: 12 kW at 400 V
    supply = {"id": "shore", "service": "230/400 V three-phase", "rating": "32 A"}
    cable = without("current", "voltage", "circuit") | {"from": "shore", "serves": ["load"]}
    heater = {"id": "load", "inlet": "shore", "power": "12 kW", "legs": "all"}
    found = judged(
        "run-ampacity", run=[cable], inlet=[supply], ac_load=[heater | {"behaviour": "resistance"}]
    )
    assert found.value.best == pytest.approx(12000 / (3**0.5 * 400))


def inverter_cable(**changes):
    inverter = {"id": "inverter", "bank": "house", "power": "1000 W", "idle": "1 A"} | changes
    cable = without("current", "voltage") | {"from": "house", "serves": ["inverter"]}
    return judged("run-ampacity", bank=[HOUSE], inverter=[inverter], run=[cable])


def test_an_inverter_takes_most_at_its_worst_efficiency_and_lowest_voltage():
    # energy: P / (V x efficiency) + idle
    found = inverter_cable(efficiency="80..90 %", lowest_voltage="10 V")
    assert found.value.low == pytest.approx(1000 / 10 / 0.9 + 1)
    assert found.value.high == pytest.approx(1000 / 10 / 0.8 + 1)


def test_an_inverter_of_unread_efficiency_takes_a_range_that_holds_the_read_one():
    read = inverter_cable(efficiency="90 %", lowest_voltage="10.2 V").value
    unread = inverter_cable().value
    assert unread.low < read.low <= read.high < unread.high


def test_a_range_of_voltage_is_judged_as_one():
    found = judged("run-drop", run=[run(voltage="12..14 V")])
    low, high = (judged("run-drop", run=[run(voltage=f"{volts} V")]) for volts in (12, 14))
    assert (found.value.high, found.value.low) == pytest.approx((low.value.best, high.value.best))
    # 40 A over 8 m of 6 AWG drops 0.859 V (10.75 x 40 x 52.49 / 26,240): 10 % at 8.6 V
    turning = judged("run-drop", run=[run(voltage="8..9 V")])
    assert turning.verdict == "undetermined"
    assert [item.input for item in turning.turns_on] == ["r: nominal voltage"]


def test_a_load_known_by_its_power_draws_over_the_range_of_voltage():
    lamp = {"id": "lamp", "bank": "house", "power": "240 W"}
    found = judged(
        "run-ampacity",
        bank=[HOUSE],
        dc_load=[lamp],
        run=[without("current", voltage="20..24 V", serves=["lamp"])],
    )
    # P / V, catalogue left aside
    assert (found.value.low, found.value.high) == pytest.approx((10, 12))


def test_a_range_of_voltage_across_50_V_is_not_judged_at_one_side():
    (skipped, *_) = surveyed("run-ampacity", run=[run(voltage="40..60 V")]).not_checked
    assert "across 50 V" in skipped.reason


# -- insulation by legend ----------------------------------------------------------------------


def legend(text, **changes):
    return judged("run-ampacity", run=[without("insulation", legend=text, **changes)])


def test_house_cable_counts_at_60_and_is_said_to_be_none_for_boats():
    found = legend("NM-B 600V", size="6 AWG")
    # 33 CFR 183.425 Table 5, 6 AWG: 80 A at 60 °C
    assert found.limit.high == pytest.approx(80)
    assert any("not for boats" in note for note in found.notes)
    assert any("legend" in source.title.lower() for source in found.sources)


def test_a_legend_of_two_ratings_is_a_range():
    found = legend("H07RN-F", current="90 A", size="6 AWG")
    # 33 CFR 183.425 Table 5, 6 AWG: 80 A at 60 °C, 100 A at 80 °C; fixed, some makers give 85 °C
    assert (found.limit.low, found.limit.high) == pytest.approx((80, 100))
    assert found.verdict == "undetermined"


# -- words and remedies ------------------------------------------------------------------------


def test_insulation_never_read_is_to_be_read_and_not_answered_by_a_shorter_run():
    found = judged("run-ampacity", run=[without("insulation", current="85 A", length="1 m")])
    # 33 CFR 183.425 Table 5, 6 AWG: 80 A at 60 °C, 95 A at 75 °C
    assert found.verdict == "undetermined"
    assert "75 °C or more" in found.remedy
    assert "shorten" not in found.remedy


def test_more_than_any_cable_carries_is_not_answered_by_a_shorter_run():
    found = judged("run-ampacity", run=[run(current="900 A", length="0.2 m")])
    assert "divide the load" in found.remedy
    assert "shorten" not in found.remedy


def test_insulation_barred_from_engine_spaces_is_said_so_with_the_least_that_is_not():
    # ISO 13297:2020 Table A.1 as republished: none of 60 °C in engine spaces
    found = judged(
        "run-ampacity",
        basis="iso",
        run=[run(size="35 mm²", insulation="60 °C", engine_space="yes", current="1 A")],
    )
    assert found.verdict == "inadequate"
    assert "ampacity" not in found.statement
    assert "allows none of its insulation" in found.statement
    assert "70 °C or more" in found.remedy


@pytest.mark.parametrize("basis", ["us", "iso"])
@pytest.mark.parametrize("current", ["60 A", "150 A", "250 A"])
@pytest.mark.parametrize("length", ["2 m", "10 m", "20 m"])
def test_heat_and_drop_name_one_size_and_it_passes_both(basis, current, length):
    small = {"us": "12 AWG", "iso": "4 mm²"}[basis]
    noted = run(current=current, length=length, size=small)
    checks = ("run-ampacity", "run-drop")
    findings = [judged(check, basis=basis, run=[noted]) for check in checks]
    named = {
        found[1]
        for f in findings
        if f.remedy and (found := re.match(r"Fit (.+?) or larger", f.remedy))
    }
    assert len(named) <= 1
    for size in named:
        for check in checks:
            assert judged(check, basis=basis, run=[noted | {"size": size}]).verdict != "inadequate"
    assert named or any("No listed size" in f.remedy for f in findings)


def test_a_range_of_current_is_not_said_as_its_middle():
    thruster = {"id": "thruster", "bank": "house", "kind": "bow thruster"}
    cable = without("current", "voltage", serves=["thruster"], size="1/0 AWG")
    found = judged("run-ampacity", bank=[HOUSE], dc_load=[thruster], run=[cable])
    assert re.search(r"carries [\d.]+ A? ?to [\d.,]+ k?A, which counts as", found.statement)


@pytest.mark.parametrize(("duty", "share"), [("20 %", 0.45), ("30 %", 0.55), ("70 %", 0.84)])
def test_a_duty_cycle_counts_by_the_printed_multiplier(duty, share):
    # NFPA 70, 630.11(A), as republished: arc welders other than motor-generators
    found = judged("run-ampacity", run=[run(current="200 A", duty=duty)])
    assert found.value.best == pytest.approx(200 * share)


# -- cranking conductors -----------------------------------------------------------------------

NONE = {"protection": [{"id": "f", "device": "none"}]}
START = {"id": "start", "voltage": "12 V", "starts": "port engine"}


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({"from": "start", "to": "port engine"}, "adequate"),
        ({"from": "start", "to": "starboard engine"}, "inadequate"),
        ({"from": "start", "id": "starter cable"}, "undetermined"),
        ({"from": "start"}, "inadequate"),
    ],
)
def test_the_conductors_of_a_cranking_motor_need_no_device(changes, verdict):
    # ABYC E-11 as republished in the standards body's quiz of 2015: exempt
    cable = run(protection="f", **changes)
    found = judged("run-protection", odd=True, bank=[START], run=[cable], **NONE)
    assert (found.verdict in PASSES) == (verdict == "adequate")
    assert verdict == "adequate" or found.verdict == verdict
    assert ("cranking motor need none" in found.statement) == (verdict == "adequate")


# -- what length a size serves -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "serves"),
    [
        # ABYC E-11 as republished: L = E CM / (2 K I) in feet, 10 AWG 10,380 cmil, 10 % of 12 V
        ({"current": "20..60 A"}, 1.2 * 10380 / (2 * 10.75 * 60) * 0.3048),
        ({"current": "60 A"}, 1.2 * 10380 / (2 * 10.75 * 60) * 0.3048),
        # the circuit not known: 3 %
        ({"current": "60 A", "circuit": None}, 0.36 * 10380 / (2 * 10.75 * 60) * 0.3048),
    ],
)
def test_the_length_said_to_be_served_is_served_at_the_hardest_end(changes, serves):
    given = run(voltage="12 V", length="12 m", size="10 AWG", **changes)
    given = {name: value for name, value in given.items() if value is not None}
    found = judged("run-drop", run=[given])
    (said,) = re.findall(r"would serve ([\d.]+) m", found.remedy)
    assert float(said) == pytest.approx(serves, rel=5e-3)
    for factor, verdicts in (
        (1.0, {"adequate", "marginal"}),
        (1.02, {"undetermined", "inadequate"}),
    ):
        again = judged("run-drop", run=[given | {"length": f"{float(said) * factor} m"}])
        assert again.verdict in verdicts


# -- sizes outside the table of ampacities -----------------------------------------------------


@pytest.mark.parametrize(
    ("basis", "size", "least_mm2"),
    [
        # 33 CFR 183.425(b) and (d): 16 AWG alone; ISO 13297:2020: 1 mm² alone
        ("us", "24 AWG", 1.307),
        ("us", "20 AWG", 1.307),
        ("us", "0.5 mm²", 1.307),
        ("iso", "0.5 mm²", 1.0),
    ],
)
def test_a_size_below_the_table_is_still_held_against_the_least_size(basis, size, least_mm2):
    thin = run(size=size, current="1 A", sheathed="no")
    found = judged("run-size", basis=basis, run=[thin])
    assert (found.verdict, found.limit.high) == ("inadequate", pytest.approx(least_mm2))
    result = surveyed("run-ampacity", basis=basis, run=[thin])
    assert not result.findings
    assert "maker's ampacity" in result.not_checked[0].reason
    device = {"id": "f", "device": "fuse", "rating": "5 A"}
    result = surveyed(
        "run-protection", basis=basis, run=[thin | {"protection": "f"}], protection=[device]
    )
    assert not result.findings
    assert "maker's ampacity" in result.not_checked[0].reason


@pytest.mark.parametrize(
    ("size", "cmil", "verdict"),
    [
        # 24 AWG by its geometry, ASTM B258; 300 mm² by definition of the cmil
        ("24 AWG", 404, "inadequate"),
        ("350 kcmil", 350_000, "adequate"),
        ("300 mm²", 300 / 5.067075e-4, "adequate"),
    ],
)
def test_its_drop_needs_no_more_than_its_metal(size, cmil, verdict):
    found = judged("run-drop", run=[run(size=size, current="5 A", length="6 m")])
    # ABYC E-11: E = K I L / CM
    drop = 10.75 * 5 * (12 / 0.3048) / cmil / 24
    assert found.value.high == pytest.approx(drop, rel=1e-3)
    assert found.verdict == verdict
    if verdict == "inadequate":
        named = re.search(r"Fit (\S+ AWG)", found.remedy)[1]
        fitted = run(size=named, current="5 A", length="6 m")
        assert judged("run-drop", run=[fitted]).verdict in ("adequate", "marginal")


def test_the_remedy_of_one_above_the_table_names_no_listed_size():
    found = judged("run-drop", run=[run(size="300 mm²", current="300 A", length="200 m")])
    assert found.verdict == "inadequate"
    assert "AWG" not in found.remedy
    assert "shorten the run" in found.remedy


@pytest.mark.parametrize("only", ["run-ampacity", "run-drop", "run-protection"])
def test_what_every_listed_size_would_pass_is_not_passed_where_the_size_was_not_read(only):
    # 24 AWG may be noted as well, and is sold
    given = {
        "run": [run(size="?", current="2 A", length="1 m", protection="f")],
        "protection": [{"id": "f", "device": "fuse", "rating": "3 A"}],
    }
    result = surveyed(only, **given)
    assert not result.findings
    (said,) = result.not_checked
    assert "a smaller one may lie there" in said.reason
    assert "size" in said.read
    assert result.exit_code == 3


def test_no_size_is_said_to_be_too_small_where_it_hangs_on_what_was_not_seen():
    # 4/0 AWG does at 10 %, not at 3 % (ABYC E-11), and which it is was not noted
    far = without("circuit", current="100 A", length="30 m")
    assert "sure to be enough" in judged("run-drop", run=[far]).remedy
    known = run(current="100 A", length="30 m", circuit="vital")
    assert "is enough" in judged("run-drop", run=[known]).remedy
