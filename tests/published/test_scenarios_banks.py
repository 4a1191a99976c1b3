"""Banks of the two invented boats: age, fitting, sun, alternator; every number as worked by hand.

The boats are invented (examples/*.toml). The arithmetic was done apart from this package: volts,
amperes and ampere-hours within 1 %, verdicts exact.
"""

from pathlib import Path

import pytest

from elec.boat.read import read
from elec.survey import survey

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def surveyed(tmp_path, name, *changes):
    text = (EXAMPLES / f"{name}.toml").read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / f"{name}.toml"
    path.write_text(text)
    return survey(read(path))


def finding(result, check, subject):
    found = [f for f in result.findings if f.check == check and f.subject == subject]
    assert len(found) == 1, [f.statement for f in found]
    return found[0]


def step(found, symbol):
    return next(s.result for s in found.working if s.symbol == symbol)


def near(value):
    return pytest.approx(value, rel=0.01)


@pytest.fixture(scope="module")
def a(tmp_path_factory):
    return surveyed(tmp_path_factory.mktemp("a"), "ostrelline")


@pytest.fixture(scope="module")
def b(tmp_path_factory):
    return surveyed(tmp_path_factory.mktemp("b"), "vindle_sorrel")


NEW = 'year = 2018\nautonomy = "2 days"', 'year = 2018\nremaining = "100 %"\nautonomy = "2 days"'
DUTY = 'duty = "35..60 %"', 'duty = "45 %"'


def test_a10_date_code_has_three_readings(a):
    found = finding(a, "bank-age", "house bank")
    assert any(
        all(month in note for month in ("March 2005", "March 2015", "March 2025"))
        for note in found.notes
    )
    assert found.verdict == "undetermined"  # "aged" does not stand under every reading
    turn = next(t for t in found.turns_on if "string 1" in t.input)
    assert turn.adequate_if == "March 2025"
    assert "invoice" in turn.read


def test_a10_mixed_ages_stand_under_every_reading(a):
    found = finding(a, "bank-mix", "house bank")
    assert found.verdict == "inadequate"
    assert found.priority == "B"
    # March 2025 beside June 2022: 2 years and 9 months, printed as "at least 2.7"; to a month.
    assert found.value.low == pytest.approx(2.7, abs=1 / 12)


def test_a10_spread_if_of_2015(tmp_path):
    result = surveyed(tmp_path, "ostrelline", ('year = "2005 or 2015 or 2025"', "year = 2015"))
    assert finding(result, "bank-mix", "house bank").value.best == pytest.approx(7.2, abs=0.05)


def test_a14_five_rings_on_a_post(a):
    found = finding(a, "bank-rings", "house bank")
    assert (found.value.best, found.limit.best) == (5, 4)
    assert found.verdict == "inadequate"
    assert found.priority == "B"


def test_a14_four_rings_are_not_too_many(tmp_path):
    result = surveyed(tmp_path, "ostrelline", ("rings_on_post = 5", "rings_on_post = 4"))
    assert finding(result, "bank-rings", "house bank").verdict in ("adequate", "marginal")


def test_b4_sun(tmp_path):
    result = surveyed(tmp_path, "vindle_sorrel", NEW, DUTY)
    found = finding(result, "solar", "solar")
    assert step(found, "S") == near(45.9)
    assert step(found, "Qn") == near(40.4)
    assert step(found, "d") == pytest.approx(4.5, abs=0.05)
    assert any("no design case" in note for note in found.notes)


def test_b4_a_day_lacks_what_the_sun_does_not_give(tmp_path):
    result = surveyed(tmp_path, "vindle_sorrel", NEW, DUTY)
    found = finding(result, "bank-balance", "house bank")
    assert step(found, "Q") == near(86.4)
    assert step(found, "S") == near(45.9)
    assert step(found, "B") == near(86.4 * 1.15)
    assert found.verdict == "inadequate"


def test_b6_converter(b):
    found = finding(b, "alternator", "alternator")
    assert found.value.best == near(46.1)
    assert found.limit.best == 115
    assert found.verdict == "adequate"
