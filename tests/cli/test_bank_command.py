"""The bank command, run as a user runs it: its numbers, its figure, and bad input."""

import pytest

from commands import document, elec, elec_apart, finding, refused

BANK = ("bank", "--capacity", "490Ah", "--volts", "24V", "--chemistry", "agm")
LOAD = ("--load", "11.3A")


def test_bank_of_an_invented_boat():
    # worked by hand: 245 Ah usable at 11.3 A carry 21.7 h; 24 h need 543 Ah; 3.3 h with 1.2 back
    given = document(
        *BANK,
        *LOAD,
        *("--remaining", "100%", "--rate", "20 h", "--charger", "100A"),
        *("--temperature", "25 °C", "--charge-return", "120%", "--autonomy", "24h"),
    )
    autonomy = finding(given, "bank-autonomy")
    assert autonomy["value"]["best"] == pytest.approx(21.7, abs=0.05)
    assert autonomy["verdict"] == "inadequate"
    assert "543 Ah" in autonomy["remedy"]
    size = finding(given, "charger-size")
    assert next(s["result"] for s in size["working"] if s["symbol"] == "f") == pytest.approx(
        0.204, abs=0.0005
    )
    assert next(s["result"] for s in size["working"] if s["symbol"] == "t") == pytest.approx(
        3.3, abs=0.05
    )


def test_two_strings_are_one_bank_of_twice_the_capacity():
    whole = document(*BANK, *LOAD)
    strings = document(
        *("bank", "--capacity", "245 Ah", "--strings", "2", "--volts", "24 V"),
        *("--chemistry", "agm", *LOAD),
    )
    assert finding(whole, "bank-autonomy")["value"] == finding(strings, "bank-autonomy")["value"]


def test_daily_uses_in_either_unit():
    # 6 W for 10 h at 12 V is 5 Ah (navigation light, cruising page); 76.8 Ah as given
    given = document(
        *("bank", "--capacity", "400Ah", "--volts", "12V"),
        *("--daily", "anchor light 60 Wh", "--daily", "refrigerators: 76.8 Ah"),
    )
    steps = {s["symbol"]: s["result"] for s in finding(given, "bank-autonomy")["working"]}
    assert steps["Q(anchor light)"] == pytest.approx(5.0)
    assert steps["Q(refrigerators)"] == pytest.approx(76.8)
    assert steps["Q"] == pytest.approx(81.8)


def test_curve_falls_to_the_limit_and_comes_back_on_the_charger():
    given = document(*BANK, *LOAD, "--remaining", "100%", "--charger", "100A")
    curve = given["state_of_charge"]
    best = dict(zip(curve["hours"], curve["best"], strict=True))
    assert best[24.0] == pytest.approx(1 - 11.3 * 24 / 490, abs=0.001)
    assert curve["limit_reached_h"] == pytest.approx(21.7, abs=0.05)
    assert best[36.0] > best[24.0]
    assert all(
        low <= middle + 1e-9 <= high + 2e-9
        for low, middle, high in zip(curve["low"], curve["best"], curve["high"], strict=True)
    )


@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_text_fits_80_columns_in_any_terminal(encoding):
    asked = (*BANK, *LOAD, "--year", "2019", "--charger", "100A")
    done = elec_apart(*asked, PYTHONIOENCODING=encoding)
    assert done.returncode == 1, done.stderr
    assert "Traceback" not in done.stderr
    assert "State of charge" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert encoding == "utf-8" or done.stdout.isascii()


def test_what_is_taken_for_no_rate_and_no_temperature_is_said():
    said = elec(*BANK, *LOAD).stdout
    assert "No hour rate was noted" in said
    assert "temperature was not noted" in said


def test_same_input_same_output():
    first, second = (elec_apart(*BANK, *LOAD, "--json") for _ in range(2))
    assert first.stdout == second.stdout


def test_nothing_known_of_the_bank_is_no_pass():
    done = elec("bank", "--capacity", "?", "--volts", "12 V", "--load", "~2 A", "--brief")
    assert done.returncode in (1, 3)
    assert "ADEQUATE - no action" not in done.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((*BANK[:2], "490", *BANK[3:], *LOAD), ("--capacity", "'490' has no unit")),
        ((*BANK[:2], "490 A", *BANK[3:], *LOAD), ("--capacity", "current")),
        ((*BANK[:-1], "amg", *LOAD), ("--chemistry", "Did you mean 'agm'?")),
        ((*BANK, *LOAD, "--year", "2131"), ("--year", "2131")),
        ((*BANK, *LOAD, "--year", "2099"), ("--year", "after today")),
        ((*BANK, *LOAD, "--year", "old"), ("--year", "'old' is not a year")),
        ((*BANK, *LOAD, "--remaining", "120 %"), ("--remaining", "120 %")),
        ((*BANK, *LOAD, "--usable", "-10 %"), ("--usable", "-10 %")),
        ((*BANK, *LOAD, "--autonomy", "0 h"), ("--autonomy", "zero")),
        ((*BANK, *LOAD, "--charge-return", "90 %"), ("--charge-return", "less than")),
        ((*BANK, *LOAD, "--charger", "0..50 A"), ("--charger", "zero")),
        ((*BANK, *LOAD, "--temperature", "10"), ("--temperature", "no unit")),
        ((*BANK, *LOAD, "--autonomy", "nan h"), ("--autonomy", "nan h")),
        ((*BANK, "--load", "-3 A"), ("--load", "-3 A")),
        ((*BANK, "--daily", "lights"), ("--daily", "no amount")),
        ((*BANK, "--daily", "lights -160 Wh"), ("--daily", "-160 Wh")),
        ((*BANK, "--daily", "lights 160 W"), ("--daily", "160 W")),
        ((*BANK,), ("no load was given", "--load 11.3A")),
        ((*BANK, *LOAD, "--recharge", "8 h"), ("without a charger", "--charger")),
        ((*BANK, *LOAD, "--charger", "100 Ah"), ("--charger", "charge")),
    ],
    ids=lambda value: " ".join(value[-2:]) if isinstance(value, tuple) else None,
)
def test_bad_input_is_one_clear_message(arguments, words):
    refused(*arguments, words=words)


def test_missing_option_is_a_usage_error():
    done = elec("bank", "--load", "3 A")
    assert done.returncode == 2
    assert "--capacity" in done.stderr
