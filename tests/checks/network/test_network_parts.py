"""What is part of a network and what is said where it is not; remedies, by Ohm's law by hand."""

import math
import re
from collections import Counter
from pathlib import Path

import pytest

from elec.boat.read import read
from elec.survey import survey
from made import one
from wired import (
    AREAS,
    BANK,
    FEEDER,
    FULL_V,
    HALF_V,
    HEAD,
    LIGHTS,
    PLOTTER,
    PUMP,
    SECOND,
    WINDLASS,
    asked,
    ohms,
)


def surveyed(*parts, only="network-drop"):
    return asked(HEAD + "".join(parts), [only])


SIZES = list(AREAS)
#: AGM at rest, half full and full, as republished


#: Metal at 60 °C whatever it carries: the air at the rating of the insulation.


def reason(result, subject):
    return next(item for item in result.not_checked if item.subject == subject)


# -- inverters ---------------------------------------------------------------------------------

INVERTER = """
[[inverter]]
id = "inverter"
bank = "house"
power = "2 kW"
efficiency = "90 %"
idle = "1 A"
service = "120 V"
"""
KETTLE = """
[[ac_load]]
id = "kettle"
inlet = "inverter"
power = "900 W"
when = ["manoeuvring"]
"""


def volts_under(emf, steady_A, power_W, inside):
    """Return the higher root of v = e - r (i + p / v)."""
    b = emf - inside * steady_A
    return (b + math.sqrt(b * b - 4 * inside * power_W)) / 2


def test_an_inverter_on_no_run_draws_at_the_terminals_of_its_bank():
    # 900 W at 90 % and 1 A idle, at 12 V; a power that is held, by the quadratic
    result = surveyed(BANK, FEEDER, WINDLASS, PLOTTER, INVERTER, KETTLE, only="brown-out")
    inside, power = HALF_V / 2500, 900 / 0.9 + 12
    expected = volts_under(HALF_V, 102, power, inside)
    assert one(result, subject="plotter").value.low == pytest.approx(expected, rel=1e-4)
    drops = surveyed(BANK, FEEDER, LIGHTS, INVERTER, KETTLE)
    assert any("no run names 'inverter'" in item.reason for item in drops.not_checked)


def test_an_inverter_draws_nothing_in_conditions_in_which_nothing_on_it_runs():
    shore = KETTLE.replace("manoeuvring", "anchor")
    result = surveyed(BANK, FEEDER, WINDLASS, PLOTTER, INVERTER, shore, only="brown-out")
    # it is electronics, which stay on beside the windlass, with the most that it takes
    expected = volts_under(HALF_V, 102, 900 / 0.9 + 12, HALF_V / 2500)
    assert one(result, subject="plotter").value.low == pytest.approx(expected, rel=1e-4)
    assert "'inverter'" in reason(result, "house").reason


def test_an_inverter_of_which_no_load_was_noted_takes_anything_up_to_full_power():
    result = surveyed(BANK, FEEDER, WINDLASS, PLOTTER, INVERTER, only="brown-out")
    found = one(result, subject="plotter")
    expected = volts_under(HALF_V, 102, 2000 / 0.9 + 12, HALF_V / 2500)
    assert found.value.low == pytest.approx(expected, rel=1e-4)
    assert any("inverter" in one.input for one in found.typical)


def test_the_lowest_voltage_of_an_inverter_is_judged():
    known = INVERTER + 'lowest_voltage = "11.6 V"\n'
    result = surveyed(BANK, FEEDER, WINDLASS, known, KETTLE, only="brown-out")
    found = one(result, subject="inverter")
    assert found.limit.best == pytest.approx(11.6)
    expected = volts_under(HALF_V, 100, 900 / 0.9 + 12, HALF_V / 2500)
    assert found.value.low == pytest.approx(expected, rel=1e-4)


def test_a_dc_load_through_an_inverter_draws_by_its_efficiency():
    charger = '[[dc_load]]\nid = "tool"\ninverter = "inverter"\npower = "450 W"\n'
    charger += 'when = ["manoeuvring"]\n'
    result = surveyed(BANK, FEEDER, WINDLASS, PLOTTER, INVERTER, charger, only="brown-out")
    expected = volts_under(HALF_V, 102, 450 / 0.9 + 12, HALF_V / 2500)
    assert one(result, subject="plotter").value.low == pytest.approx(expected, rel=1e-4)


def test_an_inverter_of_which_nothing_was_noted_is_said():
    bare = '[[inverter]]\nid = "inverter"\nbank = "house"\n'
    result = surveyed(BANK, FEEDER, LIGHTS, bare)
    item = reason(result, "inverter")
    assert "neither its output nor what it carries" in item.reason
    assert "plate" in item.read
    several = bare.replace('bank = "house"\n', "")
    second = BANK.replace('"house"', '"start"')
    assert "its bank" in reason(surveyed(BANK, second, FEEDER, several), "inverter").reason


# -- chargers and alternators ------------------------------------------------------------------

CHARGER = """
[[charger]]
id = "charger"
bank = "house"
current = "60 A"

[[run]]
id = "charge cable"
from = "charger"
to = "panel"
length = "3 m"
size = "6 AWG"
circuit = "other"
"""


def test_the_drop_from_a_charger_to_its_bank():
    found = one(surveyed(BANK, FEEDER, CHARGER), subject="charge cable")
    expected = 60 * (ohms(3, 13.30) + ohms(5, 33.62)) / 12
    assert found.value.best == pytest.approx(expected, rel=1e-3)
    assert found.part == "charging"


def test_chargers_on_one_feeder_add_in_it():
    second = CHARGER.replace('"charger"', '"charger 2"').replace('"charge cable"', '"cable 2"')
    second = second.replace("60 A", "30 A")
    alternator = second.replace("[[charger]]", "[[alternator]]").replace(" 2", " 3")
    found = one(surveyed(BANK, FEEDER, CHARGER, second, alternator), subject="charge cable")
    # the alternator does not charge beside the dock
    expected = (60 * ohms(3, 13.30) + 90 * ohms(5, 33.62)) / 12
    assert found.value.best == pytest.approx(expected, rel=1e-3)


def test_a_charging_run_noted_from_the_bank_is_no_load():
    turned = CHARGER.replace('from = "charger"\nto = "panel"', 'from = "panel"\nto = "charger"')
    serving = CHARGER.replace(
        'from = "charger"\nto = "panel"', 'from = "panel"\nserves = ["charger"]'
    )
    for text in (turned, serving):
        result = surveyed(BANK, FEEDER, LIGHTS, PUMP, text)
        expected = 60 * (ohms(3, 13.30) + ohms(5, 33.62)) / 12
        assert one(result, subject="charge cable").value.best == pytest.approx(expected, rel=1e-3)
        expected = (50 * ohms(5, 33.62) + 10 * ohms(6, 3.31)) / 12
        assert one(result, subject="lights").value.best == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('current = "60 A"\n', "", "what 'charger' gives was not noted"),
        ('size = "6 AWG"\n', "", "the size of 'charge cable' was not read"),
        ('to = "panel"', 'to = "far"', "no run leads on from 'far'"),
    ],
)
def test_a_charging_run_that_cannot_be_worked_out_is_said(old, new, words):
    far = '[[bus]]\nid = "far"\n'
    result = surveyed(BANK, FEEDER, CHARGER.replace(old, new), far)
    item = reason(result, "charge cable")
    assert words in item.reason
    assert item.read


def test_a_run_that_starts_at_a_panel_of_the_sun_is_said():
    solar = '[[solar]]\nid = "panels"\nbank = "house"\n[[run]]\nid = "sun"\nfrom = "panels"\n'
    item = reason(surveyed(BANK, FEEDER, solar), "sun")
    assert "starts at 'panels', which is no bank" in item.reason


# -- sizes not read ----------------------------------------------------------------------------


def test_a_feeder_of_unread_size_feeds_its_bus_and_the_verdict_turns_on_its_size():
    unread = FEEDER.replace('size = "2 AWG"', 'size = "?"')
    result = surveyed(BANK, unread, LIGHTS, PUMP)
    assert not any("feeds" in item.reason for item in result.not_checked)
    found = one(result, subject="lights")
    assert found.verdict == "undetermined"
    turn = next(one for one in found.turns_on if "size" in one.input)
    assert turn.subject == "feeder"

    # Ohm's law; ABYC E-11 allows 10 % on other circuits; a size may be of SAE J1127, whose 4 gauge
    # is 37,360 circular mils as republished; SAE lists no 3 gauge
    def share(area_mm2):
        return (50 * ohms(5, area_mm2) + 10 * ohms(6, 3.31)) / 12

    assert share(37_360 * 5.067e-4) > 0.10 > share(26.67)
    assert turn.adequate_if == "3 AWG or larger"


def test_a_feeder_of_unread_size_is_not_passed_on_the_listed_sizes_alone():
    unread = FEEDER.replace('size = "2 AWG"', 'size = "?"')
    little = [run.replace('0 A"', '0 mA"') for run in (LIGHTS, PUMP)]
    result = surveyed(BANK, unread, *little)
    assert not result.findings  # 18 AWG, the smallest listed, would do; 24 AWG may lie there
    assert "a smaller one may lie there" in reason(result, "lights").reason
    assert "'feeder'" in reason(result, "lights").read
    assert one(surveyed(BANK, FEEDER, *little), subject="lights").verdict == "adequate"


def test_a_feeder_of_unread_size_in_a_mesh_is_asked_for():
    unread = FEEDER.replace('size = "2 AWG"', 'size = "?"')
    beside = FEEDER.split("[[run]]")[1].replace('"feeder"', '"second feeder"')
    result = surveyed(BANK, unread, "[[run]]", beside, LIGHTS, PUMP)
    assert not result.findings
    item = reason(result, "house")
    assert "the size of 'feeder' was not read" in item.reason
    assert "'feeder'" in item.read


def test_what_hangs_on_a_cable_of_unread_size_still_counts_for_the_others():
    unread = PUMP.replace('size = "8 AWG"\n', "")
    result = surveyed(BANK, FEEDER, LIGHTS, unread)
    expected = (50 * ohms(5, 33.62) + 10 * ohms(6, 3.31)) / 12
    assert one(result, subject="lights").value.best == pytest.approx(expected, rel=1e-3)
    assert "size was not read: what it feeds is counted" in reason(result, "pump").reason


def test_what_a_load_on_a_cable_of_unread_size_sees_is_not_said():
    own = PLOTTER.replace('bank = "house"\n', "")
    run = '[[run]]\nid = "plotter cable"\nfrom = "house"\nserves = ["plotter"]\nlength = "5 m"\n'
    result = surveyed(BANK, WINDLASS, own, run, only="brown-out")
    assert not result.findings
    assert "the size of 'plotter cable'" in reason(result, "plotter").reason


# -- loads on several runs ---------------------------------------------------------------------

WINCH = '[[dc_load]]\nid = "winch"\ncurrent = "50 A"\nwhen = ["anchor"]\n'


def to_winch(name):
    return (
        f'[[run]]\nid = "{name}"\nfrom = "panel"\nserves = ["winch"]\nlength = "4 m"\n'
        'size = "8 AWG"\ncircuit = "other"\n'
    )


def test_two_cables_side_by_side_to_one_load_share_its_current():
    result = surveyed(BANK, FEEDER, WINCH, to_winch("port"), to_winch("starboard"))
    assert [one.subject for one in result.findings] == ["port"]
    expected = (50 * ohms(5, 33.62) + 25 * ohms(4, 8.367)) / 12
    assert result.findings[0].value.best == pytest.approx(expected, rel=1e-3)


def test_a_load_named_at_its_feeder_and_at_its_own_run_counts_once():
    feeder = FEEDER.replace('to = "panel"', 'to = "panel"\nserves = ["winch"]')
    result = surveyed(BANK, feeder, WINCH, to_winch("own"))
    expected = 50 * (ohms(5, 33.62) + ohms(4, 8.367)) / 12
    assert one(result, subject="own").value.best == pytest.approx(expected, rel=1e-3)


def test_a_load_on_runs_from_two_places_counts_at_one_and_is_said():
    other = to_winch("other way").replace('"panel"', '"house"')
    result = surveyed(BANK, FEEDER, WINCH, to_winch("own"), other)
    assert one(result, subject="own")
    assert "counted at the end of 'own'" in reason(result, "other way").reason


def test_a_run_that_ends_at_a_load_serves_it():
    run = to_winch("own").replace('serves = ["winch"]', 'to = "winch"')
    result = surveyed(BANK, FEEDER, WINCH, run)
    expected = 50 * (ohms(5, 33.62) + ohms(4, 8.367)) / 12
    assert one(result, subject="own").value.best == pytest.approx(expected, rel=1e-3)
    assert not any("no run names" in item.reason for item in result.not_checked)


@pytest.mark.parametrize("basis", ["us", "iso"])
@pytest.mark.parametrize(
    "path",
    sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.toml")),
    ids=lambda path: path.stem,
)
def test_no_two_findings_of_a_boat_are_of_one_check_one_thing_and_one_part(path, basis):
    result = survey(read(path), basis=basis)
    counted = Counter((one.check, one.subject, one.part) for one in result.findings)
    assert counted
    assert max(counted.values()) == 1, counted.most_common(3)


# -- remedies ----------------------------------------------------------------------------------


def drop(feeder, branch, pump_A=40.0, share=1.0, lights_A=10.0, metres=(5.0, 6.0)):
    fed = (pump_A + lights_A) * ohms(metres[0] * share, AREAS[feeder])
    return (fed + lights_A * ohms(metres[1] * share, AREAS[branch])) / 12


def test_the_shorter_length_of_a_remedy():
    # 10 A over 6 m of 12 AWG behind 190 A over the feeder; the feeder as short as 10 % asks
    pump = PUMP.replace("40 A", "180 A")
    branch = LIGHTS.replace("12 AWG", "8 AWG")
    found = one(surveyed(BANK, FEEDER, branch, pump), subject="lights")
    shown = float(re.search(r"shorten it to ([0-9.]+) m one way", found.remedy)[1])
    exact = (0.10 * 12 - 10 * ohms(6, 8.367)) / (190 * ohms(1, 33.62))
    assert exact * 0.99 <= shown <= exact  # shown to three digits


def test_all_runs_of_a_way_go_up_where_no_one_is_enough():
    # the drop of each alone is above the 10 % of ABYC E-11
    lights = LIGHTS.replace('"10 A"', '"60 A"').replace('"6 m"', '"10 m"')
    feeder = FEEDER.replace('"5 m"', '"25 m"').replace("2 AWG", "1/0 AWG")
    bank = BANK.replace("2500", "9000")
    found = one(surveyed(bank, feeder, lights), subject="lights")

    i, j, top = SIZES.index("1/0 AWG"), SIZES.index("12 AWG"), len(SIZES) - 1

    def share(one, other):
        return drop(one, other, 0.0, 1.0, 60.0, (25.0, 10.0))

    assert share("4/0 AWG", "12 AWG") > 0.10 < share("1/0 AWG", "4/0 AWG")
    up = [(SIZES[min(i + n, top)], SIZES[min(j + n, top)]) for n in range(1, top + 1)]
    first, other = next(pair for pair in up if share(*pair) <= 0.10)
    assert f"fit {first} on 'feeder' and {other} on 'lights'" in found.remedy or (
        f"fit {other} on 'lights' and {first} on 'feeder'" in found.remedy
    )


def test_a_load_to_be_left_off_where_no_size_is_enough():
    # 200 A over 20 m of 4/0 AWG still drop more than 10 %; with the pump off hardly anything
    feeder = FEEDER.replace('"5 m"', '"20 m"')
    pump = PUMP.replace("40 A", "200 A")
    found = one(surveyed(BANK.replace("2500", "9000"), feeder, LIGHTS, pump), subject="lights")
    assert 210 * ohms(20, 107.2) / 12 > 0.10
    assert (10 * ohms(20, 33.62) + 10 * ohms(6, 3.31)) / 12 < 0.10
    assert "'pump' off" in found.remedy


def test_lengths_at_which_it_holds_where_nothing_else_does():
    # alone on its way, so that no other load can be left off
    feeder = FEEDER.replace('"5 m"', '"50 m"')
    lights = LIGHTS.replace('"10 A"', '"100 A"').replace('"6 m"', '"30 m"')
    found = one(surveyed(BANK.replace("2500", "30000"), feeder, lights), subject="lights")
    shown = dict(re.findall(r"'(\w+)' of ([0-9.]+) m one way at most", found.remedy))
    assert drop("4/0 AWG", "4/0 AWG", 0.0, 1.0, 100.0, (50.0, 30.0)) > 0.10
    share = 0.10 / drop("2 AWG", "12 AWG", 0.0, 1.0, 100.0, (50.0, 30.0))
    assert float(shown["feeder"]) == pytest.approx(50 * share, rel=1e-2)
    assert float(shown["lights"]) == pytest.approx(30 * share, rel=1e-2)
    assert float(shown["lights"]) <= 30 * share


@pytest.mark.parametrize(("fault", "lowest"), [(1000, 11.3), (800, 11.45), (600, 11.5)])
def test_how_often_the_batteries_are_to_be_multiplied(fault, lowest):
    # E - I E / (n Isc), on the half-full bank: the windlass and the plotter draw 102 A; no cable
    bank = BANK.replace("2500", str(fault))
    plotter = PLOTTER.replace("11 V", f"{lowest} V")
    found = one(surveyed(bank, WINDLASS, plotter, only="brown-out"), subject="plotter")
    sees = {n: HALF_V * (1 - 102 / (n * fault)) for n in (1, 2, 3, 4)}
    assert sees[1] < lowest
    least = next(n for n in (2, 3, 4) if sees[n] >= lowest)
    assert f"{least} times the batteries in parallel" in found.remedy


# -- faults fed by what charges, and strings -----------------------------------------------------

BREAKER = """
[[protection]]
id = "breaker"
device = "breaker"
rating = "100 A"
at_battery = "yes"
interrupting = "5000 A"
"""


def test_the_sun_adds_to_the_fault():
    # 300 W over 12 V
    solar = '[[solar]]\nid = "panels"\nbank = "house"\npower = "300 W"\n'
    alone = one(surveyed(BANK, BREAKER, only="interrupting"), subject="breaker")
    assert alone.value.high == pytest.approx(2500)
    found = one(surveyed(BANK, BREAKER, solar, only="interrupting"), subject="breaker")
    assert found.value.high == pytest.approx(2500 + 300 / 12)


def test_a_charger_at_a_bus_adds_behind_nothing_but_its_limit():
    found = one(surveyed(BANK, BREAKER, FEEDER, CHARGER, only="interrupting"), subject="breaker")
    assert found.value.high == pytest.approx(2500 + 60)


def test_strings_that_are_described_count_in_the_fault():
    # strings in parallel add
    strings = "[[bank.string]]\nyear = 2016\n" * 3
    found = one(surveyed(BANK, strings, BREAKER, only="interrupting"), subject="breaker")
    assert found.value.high == pytest.approx(3 * 2500)


# -- banks joined ------------------------------------------------------------------------------


def test_a_limit_counts_for_each_of_the_strings_that_there_may_be():
    limit = SECOND.replace("capacity", 'discharge_limit = "5 A"\ncapacity')
    single = one(surveyed(BANK, FEEDER, LIGHTS, limit, only="bank-share"), subject="second")
    assert (single.limit.low, single.limit.high) == pytest.approx((5, 5))
    unknown = limit.replace("capacity", 'in_parallel = "?"\ncapacity')
    found = one(surveyed(BANK, FEEDER, LIGHTS, unknown, only="bank-share"), subject="second")
    assert found.limit.low == pytest.approx(5)
    assert found.limit.high > 5
    assert any("strings" in one.input for one in found.typical)


def test_without_a_limit_what_it_gives_is_said_and_what_limit_is_enough():
    result = surveyed(BANK, FEEDER, LIGHTS, SECOND, only="bank-share")
    item = reason(result, "second")
    # Kirchhoff: two banks over equal feeders, the one full and the other half full; inside each its
    # EMF over its short circuit
    way = ohms(5, 33.62)
    high = (FULL_V - HALF_V) / (2 * way + (FULL_V + HALF_V) / 2500) + 10 * (way + HALF_V / 2500) / (
        2 * way + (FULL_V + HALF_V) / 2500
    )
    shown = float(re.search(r"([0-9.]+) A or more is enough", item.reason)[1])
    assert shown == pytest.approx(high, rel=5e-3)
    assert "lets one of its batteries give" in item.read


@pytest.mark.parametrize(
    ("strings", "words"),
    [("1", ["It reaches the threshold of"]), ('"?"', ["not settled", "may reach"])],
)
def test_lithium_whose_strings_were_not_counted_may_reach_a_threshold(strings, words):
    # 12 V x 40 Ah is 480 Wh: below 600 Wh with one string, above with two
    bank = BANK.replace("agm", "lfp").replace("200 Ah", "40 Ah")
    bank += f"in_parallel = {strings}\n"
    notes = " ".join(one(surveyed(bank, only="lithium"), subject="house").notes)
    assert all(word in notes for word in words), notes
