"""Age: date codes as sets of dates."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.batteries import battery_age
from elec.errors import InputError

SURVEY = date(2025, 9, 10)
OLDEST = date(2000, 1, 1)


def months(code, survey=SURVEY, oldest=OLDEST):
    readings = battery_age.date_code_readings(code, survey_date=survey, earliest_date=oldest)
    return [(reading.first.year, reading.first.month) for reading in readings]


# Letter and digit, digit and letter, four digits as month or week and year: the ways seen aboard,
# from several guides to date codes (common practice; no standard).
@pytest.mark.parametrize(
    ("code", "expected"),
    [
        # Two codes of an invented boat, by hand: March of 2005, 2015 or 2025; June of 2002 ...
        ("C5", [(2005, 3), (2015, 3), (2025, 3)]),
        ("F2", [(2002, 6), (2012, 6), (2022, 6)]),
        ("5C", [(2005, 3), (2015, 3), (2025, 3)]),
        ("c 5", [(2005, 3), (2015, 3), (2025, 3)]),
        # After I a letter is a month earlier for makers that skip it.
        ("J4", [(2004, 9), (2004, 10), (2014, 9), (2014, 10), (2024, 9), (2024, 10)]),
        ("I4", [(2004, 9), (2014, 9), (2024, 9)]),
        ("M4", [(2004, 12), (2014, 12), (2024, 12)]),
        # December 2025 is after the survey.
        ("M5", [(2005, 12), (2015, 12)]),
        # Week 6 begins on 5 February 2018.
        ("0618", [(2018, 2), (2018, 6)]),
        ("06/18", [(2018, 2), (2018, 6)]),
        ("2718", [(2018, 7)]),
        # 2020 had 53 weeks, 2019 only 52.
        ("5320", [(2020, 12)]),
    ],
)
def test_code_is_a_set_of_dates(code, expected):
    assert months(code) == expected


@pytest.mark.parametrize(
    "code", ["", "C", "N5", "CC5", "5319", "0026", "9918", "1327", "2018-06-01"]
)
def test_code_that_stands_for_no_date_is_refused(code):
    with pytest.raises(InputError, match="date code"):
        months(code)


def test_only_dates_between_the_two_days():
    assert months("C5", oldest=date(2006, 1, 1)) == [(2015, 3), (2025, 3)]
    assert months("C5", survey=date(2025, 2, 28)) == [(2005, 3), (2015, 3)]
    # The month of the survey itself is possible.
    assert months("C5", survey=date(2025, 3, 1))[-1] == (2025, 3)
    with pytest.raises(InputError, match="earliest_date"):
        months("C5", oldest=date(2026, 1, 1))


@given(st.integers(1, 12), st.dates(date(2000, 2, 1), date(2040, 12, 31)))
def test_the_true_month_is_always_among_them(month, survey):
    made = date(survey.year - 1, month, 1)
    code = f"{'ABCDEFGHIJKL'[month - 1]}{made.year % 10}"
    assert (made.year, month) in months(code, survey=survey, oldest=date(1990, 1, 1))


def test_spread_between_two_pairs_of_an_invented_boat():
    # By hand: F2 is June 2022 by its invoice; C5 in 2025 or 2015 is 2.7 or 7.2 years from it.
    june = date(2022, 6, 15)
    spreads = [
        abs((reading.first.replace(day=15) - june).days) / 365.25
        for reading in battery_age.date_code_readings(
            "C5", survey_date=SURVEY, earliest_date=date(2010, 1, 1)
        )
    ]
    assert spreads == pytest.approx([7.25, 2.75], abs=0.02)
