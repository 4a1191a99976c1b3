"""Banks of the two invented boats: age, fitting, sun, alternator; every number as worked by hand.

The boats are invented (examples/*.toml). The arithmetic was done apart from this package: volts,
amperes and ampere-hours within 1 %, verdicts exact.
"""

import pytest

from elec.survey import survey
from made import example, near, one, step

NEW = 'year = 2018\nautonomy = "2 days"', 'year = 2018\nremaining = "100 %"\nautonomy = "2 days"'
DUTY = 'duty = "35..60 %"', 'duty = "45 %"'


def test_a10_date_code_has_three_readings(a):
    found = one(a, "bank-age", "house bank")
    assert any(
        all(month in note for month in ("March 2005", "March 2015", "March 2025"))
        for note in found.notes
    )
    assert found.verdict == "undetermined"  # "aged" does not stand under every reading
    turn = next(t for t in found.turns_on if "string 1" in t.input)
    assert turn.adequate_if == "March 2025"
    assert "invoice" in turn.read


def test_a10_mixed_ages_stand_under_every_reading(a):
    found = one(a, "bank-mix", "house bank")
    assert found.verdict == "inadequate"
    assert found.priority == "B"
    # March 2025 beside June 2022: 2 years and 9 months, printed as "at least 2.7"; to a month.
    assert found.value.low == pytest.approx(2.7, abs=1 / 12)


def test_a10_spread_if_of_2015():
    result = survey(example("ostrelline", ('year = "2005 or 2015 or 2025"', "year = 2015")))
    assert one(result, "bank-mix", "house bank").value.best == pytest.approx(7.2, abs=0.05)


def test_a14_five_rings_on_a_post(a):
    found = one(a, "bank-rings", "house bank")
    assert (found.value.best, found.limit.best) == (5, 4)
    assert found.verdict == "inadequate"
    assert found.priority == "B"


def test_a14_four_rings_are_not_too_many():
    result = survey(example("ostrelline", ("rings_on_post = 5", "rings_on_post = 4")))
    assert one(result, "bank-rings", "house bank").verdict in ("adequate", "marginal")


def test_b4_sun():
    result = survey(example("vindle_sorrel", NEW, DUTY))
    found = one(result, "solar", "solar")
    assert step(found, "S") == near(45.9)
    assert step(found, "Qn") == near(40.4)
    assert step(found, "d") == pytest.approx(4.5, abs=0.05)
    assert any("no design case" in note for note in found.notes)


def test_b4_a_day_lacks_what_the_sun_does_not_give():
    result = survey(example("vindle_sorrel", NEW, DUTY))
    found = one(result, "bank-balance", "house bank")
    assert step(found, "Q") == near(86.4)
    assert step(found, "S") == near(45.9)
    assert step(found, "B") == near(86.4 * 1.15)
    assert found.verdict == "inadequate"


def test_b6_converter(b):
    found = one(b, "alternator", "alternator")
    assert found.value.best == near(46.1)
    assert found.limit.best == 115
    assert found.verdict == "adequate"
