"""elec inlet as a user runs it: findings, load card, JSON, and one clear message for bad input."""

import csv
import io
from functools import partial

import pytest

from commands import document, elec, elec_apart, flat, refused
from made import EXAMPLES

inlet, printed = partial(elec, "inlet"), partial(document, "inlet")
refuses = partial(refused, "inlet")
BOTH = ("--rating", "50A", "--service", "120/240 V")
ONE = ("--rating", "16A", "--service", "230 V")
HOUSE = (
    "--load", "water heater 3000W 240V",
    "--load", "battery charger 14A 240V always",
    "--load", "washer-dryer 12A 120V L1",
    "--load", "galley sockets 12.5A 120V L1",
    "--load", "microwave 12.9A 120V L2",
)  # fmt: skip


def test_the_report_holds_the_legs_the_remedy_and_the_card():
    result = inlet(*BOTH, *HOUSE)
    assert result.returncode == 1
    assert "L1 51.0 A, L2 39.4 A" in result.stdout
    assert "limit the input of" in result.stdout
    assert "LOAD CARDS" in result.stdout
    # 51.0 A if all are in phase; |37 + 14 (0.8 - 0.6j)| = 48.9 A with the charger at 0.8
    assert "Perhaps not together: water heater + washer-dryer + galley" in flat(result.stdout)
    assert "Not together" not in result.stdout
    assert "Always on: battery charger" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_json_holds_legs_neutral_limits_and_sets():
    # 12.5 + 14 + 12 + 12.5 and 12.5 + 14 + 12.9; neutral 24.5 - 12.9, and by the cosine rule
    document = printed(*BOTH, *HOUSE)
    leg = document["legs"]["L1"]
    assert (leg["best"], leg["high"]) == pytest.approx((51, 51))
    # heater, washer-dryer and sockets are resistances by their kinds; the charger may be at 0.8
    assert leg["low"] == pytest.approx(abs(12.5 + 12 + 12.5 + 14 * (0.8 - 0.6j)))
    assert document["legs"]["L2"]["best"] == pytest.approx(39.4)
    assert document["neutral"]["120/240 V"]["best"] == pytest.approx(11.6)
    wye = (24.5**2 + 12.9**2 - 24.5 * 12.9) ** 0.5
    assert document["neutral"]["120/208 V two legs"]["best"] == pytest.approx(wye)
    assert document["limits"]["rating"]["best"] == 50
    assert document["limits"]["hours_long"]["best"] == 40
    assert document["sets"]["possibly_overload"][0]["legs"] == ["L1"]
    read = [f"{load} pf1" for load in HOUSE[1::2]]
    loads = [word for load in read for word in ("--load", load)]
    document = printed(*BOTH, *loads)
    assert document["sets"]["surely_overload"][0]["legs"] == ["L1"]
    assert document["legs"]["L1"]["low"] == pytest.approx(51)
    assert document["sets"]["complete"] is True


def test_low_best_and_high_of_a_load_that_was_not_read_nor_its_leg():
    text = ("--load", "a 10..20A 120V")
    legs = printed(*BOTH, *text)["legs"]
    assert (legs["L1"]["low"], legs["L1"]["best"], legs["L1"]["high"]) == (0, 7.5, 20)


def test_a_leading_power_factor_counts_against_a_lagging_one():
    # circuit theory: 20 A at 0.6 leading and 20 A at 0.6 lagging are 24 A in phase
    loads = ("--load", "a 20A pf 0.6 leading", "--load", "b 20A pf0.6 lagging")
    leg = printed(*ONE, *loads)["legs"]["L1"]
    assert leg["best"] == pytest.approx(24)
    assert leg["low"] <= 24 <= leg["high"]
    refused(
        "inlet", *ONE, "--load", "a 20A pf1.2 leading", words=["power factor", "above 0, up to 1"]
    )


def test_the_neutral_over_power_factors_and_legs_not_read():
    # 10 A on L1 at 0.8 to 1 against 10 A of heater on L2: 0 to |10 - 10 (0.8 - 0.6j)| = 6.32 A
    loads = ("--load", "a 10A 120V L1", "--load", "h 10A 120V L2 resistance")
    found = printed(*BOTH, *loads)["neutral"]["120/240 V"]
    assert (found["low"], found["best"]) == pytest.approx((0, 0), abs=1e-9)
    assert found["high"] == pytest.approx(abs(10 - 10 * (0.8 - 0.6j)))
    loads = ("--load", "a 10A 120V pf1", "--load", "h 10A 120V L2 resistance")
    found = printed(*BOTH, *loads)["neutral"]["120/240 V"]
    assert (found["low"], found["high"]) == pytest.approx((0, 20), abs=1e-9)


def test_a_low_dock_raises_a_motor_and_lowers_a_heater():
    # constant power and constant resistance at 208 V: 20 x 240/208, 20 x 208/240
    def amps(words):
        text = ("--load", f"a 20A 240V {words}", "--supply", "208V", "--json")
        return printed(*BOTH, *text)["legs"]["L1"]["best"]

    assert amps("motor") == pytest.approx(20 * 240 / 208)
    assert amps("resistance") == pytest.approx(20 * 208 / 240)


@pytest.mark.parametrize(("legs", "volts"), [("L1", 120.0), ("L2", 120.0), ("L1-L2", 240.0)])
def test_the_legs_of_a_load_read_in_amperes_give_its_volts(legs, volts):
    # NEC (NFPA 70) 551.46(C): 120 V to neutral, 240 V between the legs of a 50 A inlet
    typed = printed(*BOTH, "--load", f"dryer 24A {legs}")
    given = ("--load", f"dryer 24A {volts:g}V {legs}", "--json")
    assert typed["legs"] == printed(*BOTH, *given)["legs"]
    refuses(*BOTH, "--load", "dryer 24A", words=["'dryer'", "volts"])


def test_a_load_list_gives_the_same_as_options(tmp_path):
    path = tmp_path / "loads.csv"
    path.write_text(
        "load,power,current,volts,legs,use\n"
        "water heater,3000 W,,240 V,,\n"
        "battery charger,,14 A,240 V,,always\n"
        "washer-dryer,,12 A,120 V,L1,\n"
        "galley sockets,,12.5 A,120 V,L1,\n"
        "microwave,,12.9 A,120 V,L2,\n"
    )
    listed = inlet(*BOTH, "--loads", path, "--json")
    assert listed.stdout == inlet(*BOTH, *HOUSE, "--json").stdout


def test_same_input_same_bytes():
    first, second = (elec_apart("inlet", *BOTH, *HOUSE) for _ in range(2))
    assert first.stdout == second.stdout


@pytest.mark.parametrize(
    ("load", "words"),
    [
        ("stove 3000W 240V L1-L2", ["legs", "one leg", "Accepted there: L1"]),
        ("stove 100W L2", ["'L2' is not a leg of 230 V"]),
        ("stove 3000W 480V", ["480V on 230 V", "230 V to neutral"]),
        ("pump 500W pf0", ["power factor", "above 0"]),
        ("pump 500W pf1.2", ["power factor", "above 0, up to 1"]),
        ("pump 500W pf-0.8", ["-0.8", "zero or more"]),
        ("pump 500W L3", ["'L3' is not a leg of 230 V"]),
        ("pump 500W all", ["there is one leg"]),
        ("pump 500W 400VA", ["400VA is below the real power of 500W"]),
        ("pump 500W 600W", ["gives power twice"]),
        ("pump 5Ah", ["'5Ah'", "no value of a load"]),
        ("2 pumps 500W", ["'2' in '2 pumps 500W' has no unit", "How many stands as x2"]),
        ("pump 500W x0", ["count '0'", "a whole number from 1 to 1000"]),
        ("pump 500W x1001", ["count '1001'", "a whole number from 1 to 1000"]),
        ("mystery ?", ["'mystery'", "no current or power"]),
        ("pump -5A", ["-5A", "zero or more"]),
        ("pump nanA", ["no current or power"]),
        ("100W", ["has no name"]),
        ("mystery", ["'mystery'", "no current or power"]),
    ],
)
def test_bad_loads_are_refused_with_one_clear_message(load, words):
    refuses(*ONE, "--load", load, words=words)


def test_bad_options_are_refused():
    refused(
        "inlet",
        "--rating",
        "50A",
        "--service",
        "277 V",
        "--load",
        "kettle",
        words=["277 V", "'230 V'"],
    )
    refuses(*ONE, words=["no load was given"])
    refused(
        "inlet",
        *ONE,
        "--load",
        "kettle",
        "--supply",
        "400V",
        words=["no voltage of a 230 V service"],
    )
    refused(
        "inlet", *ONE, "--load", "kettle", "--cord", "thick", words=["'thick'", "conductor size"]
    )
    refuses(*ONE, "--load", "kettle", "--cord", "10", words=["'10'", "square millimetres"])
    refused(
        "inlet", "--rating", "0A", "--service", "230 V", "--load", "kettle", words=["0A", "zero"]
    )
    refused(
        "inlet", "--rating", "50", "--service", "230 V", "--load", "kettle", words=["50", "unit"]
    )


@pytest.mark.parametrize(
    ("service", "words"),
    [
        ("120/208", ["Did you mean '120/208 V two legs' or '120/208 V three-phase'?"]),
        ("240V", ["Did you mean '120/240 V' or '230 V'?"]),
        ("277 V", ["--service: '277 V' is not known"]),
        ("?", ["--service: nothing can be judged without it"]),
    ],
)
def test_a_service_that_is_not_clear_gets_the_right_hint(service, words):
    refuses("--rating", "50A", "--service", service, "--load", "kettle 1kW", words=words)


@pytest.mark.parametrize(
    ("load", "low", "high"),
    [
        # by hand: 1500 W less and more 20 %, over 240 V at power factor 1
        ("~1500W 240V", 5.0, 7.5),
        ("~ 12 A ± 10 % 240V", 10.8, 13.2),
        ("1.5 kw 240 v", 6.25, 6.25),
        ("1200..1500 W 240V", 5.0, 6.25),
        ("1500 watts L2-L1", 6.25, 6.25),
    ],
)
def test_values_are_typed_as_in_a_boat_file(load, low, high):
    words = ("--service", "125/250 V", "--rating", "50A", "--load", f"heater {load} pf1 resistance")
    legs = printed(*words)["legs"]
    assert (legs["L1"]["low"], legs["L1"]["high"]) == (pytest.approx(low), pytest.approx(high))


def test_a_load_not_read_is_taken_as_its_kind():
    with_mark, without = (
        inlet(*BOTH, "--load", text).stdout for text in ("microwave ?", "microwave")
    )
    assert with_mark == without


def test_a_rating_not_read_is_every_listed_one_in_json_too():
    # 50 A and 100 A are the ratings of 120/240 V receptacles: NEC 2017, 551.46(C) and 555.19
    rating = ("--rating", "?", "--service", "120/240 V", "--load", "a 40A 240V", "--load")
    document = printed(*rating, "b 30A 240V")
    held = document["limits"]["rating"]
    assert (held["low"], held["high"]) == (50, 100)
    assert document["limits"]["hours_long"]["low"] == 40
    assert document["sets"]["possibly_overload"][0]["loads"] == ["a", "b"]
    assert document["sets"]["surely_overload"] == []
    assert "Perhaps not together: a + b" in inlet(*rating, "b 30A 240V").stdout


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ["no column 'load'"]),
        ("name,power\na,100 W\n", ["no column 'load'"]),
        ("load,watt\na,100\n", ["unknown column 'watt'", "power"]),
        ("load,power\na\n", ["line 2", "1 cells, not 2"]),
        ("load,power\n,100 W\n", ["line 2", "no name"]),
        ("load,power,count\na,100 W,0\n", ["line 2", "count '0'"]),
        ("load,power\na,100\n", ["100", "unit"]),
    ],
)
def test_bad_load_lists_are_refused(tmp_path, text, words):
    path = tmp_path / "loads.csv"
    path.write_text(text)
    refuses(*ONE, "--loads", path, words=words)


def test_a_missing_load_list_is_refused(tmp_path):
    refuses(*ONE, "--loads", tmp_path / "none.csv", words=["cannot be read"])


def test_survey_prints_the_load_analysis_as_csv():
    result = elec("survey", EXAMPLES / "ostrelline.toml", "--loads")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    house = next(r for r in rows if r["row"] == "total" and r["source"] == "house")
    loads = [r for r in rows if r["row"] == "load" and r["source"] == "house"]
    for column in ("connected_best", "evening, best"):
        assert float(house[column]) == pytest.approx(sum(float(r[column] or 0) for r in loads))
    assert {r["side"] for r in rows} == {"AC", "DC"}
    heater = next(r for r in loads if r["load"] == "water heater")
    assert float(heater["connected_best"]) == 3000
    factor = float(heater["demand_factor_best"])
    assert float(heater["evening, best"]) == pytest.approx(3000 * factor)


def test_what_clashes_is_said_in_the_words_of_the_command():
    said = refused(
        "inlet", *ONE, "--load", "a 12A 230V L2", words=["--load 'a', legs", "at the inlet"]
    )
    for ours in ("ac_load", "the options", "'inlet'"):
        assert ours not in said
    refuses(*ONE, "--load", "a 12A", "--supply", "400V", words=["--supply: 400V"])
