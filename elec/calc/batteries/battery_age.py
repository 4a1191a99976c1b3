"""Age of a battery: what its date code may mean.

No code is universal, and most have a single digit for the year. A code therefore gives a set of
possible dates, never one; only an invoice or a test can choose between them.
"""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date

from elec.errors import InputError

__all__ = [
    "DateReading",
    "date_code_readings",
]


_LETTERS = "ABCDEFGHIJKL"
_LETTERS_WITHOUT_I = "ABCDEFGHJKLM"  # some makers skip I, which looks like a one


@dataclass(frozen=True)
class DateReading:
    """One way to read a date code: the ``scheme`` [text] and the ``first`` and ``last`` day."""

    scheme: str
    first: date
    last: date


def date_code_readings(
    code: str, *, survey_date: date, earliest_date: date
) -> tuple[DateReading, ...]:
    r"""All dates a code stamped on a battery may stand for.

    Read as letter and digit or digit and letter (A to L the month, with or without I; the digit
    the last of the year), or as four digits: month and year, or week and year. Which of these a
    maker used, and whether it marks making or shipping, the code does not say.

    Parameters
    ----------
    code : str
        The code as stamped; spaces, dashes and slashes do not matter. [text]
    survey_date : date
        Day of the survey: later dates are impossible. [date]
    earliest_date : date
        Earlier dates are not considered, for example decades before the boat was built. [date]

    Returns
    -------
    tuple of DateReading
        Possible readings, oldest first. [date]

    Raises
    ------
    InputError
        If the code has another form, or no date it may stand for lies between the two days.

    Examples
    --------
    >>> found = date_code_readings("C5", survey_date=date(2025, 9, 10),
    ...                            earliest_date=date(2000, 1, 1))
    >>> [reading.first.isoformat() for reading in found]
    ['2005-03-01', '2015-03-01', '2025-03-01']
    """
    if earliest_date > survey_date:
        raise InputError(
            f"earliest_date: {earliest_date} is after the survey ({survey_date}).",
            remedy="Give an earlier day.",
        )
    plain = re.sub(r"[\s/.-]", "", code).upper()
    years = range(earliest_date.year, survey_date.year + 1)
    readings: dict[tuple[date, date], DateReading] = {}
    for scheme, first, last in _possible(plain, years):
        if first <= survey_date and last >= earliest_date:
            readings.setdefault((first, last), DateReading(scheme, first, last))
    if not readings:
        raise InputError(
            f"date code {code!r} stands for no date from {earliest_date} to {survey_date}.",
            remedy="Accepted: letter and digit ('C5'), digit and letter ('5C'), or four digits, "
            "month or week and year ('0618').",
        )
    return tuple(readings[days] for days in sorted(readings))


def _possible(code: str, years: range) -> list[tuple[str, date, date]]:
    found: list[tuple[str, date, date]] = []
    if match := re.fullmatch(r"([A-M])(\d)|(\d)([A-M])", code):
        letter, digit = match[1] or match[4], int(match[2] or match[3])
        order = "letter month, digit year" if match[1] else "digit year, letter month"
        for letters, remark in ((_LETTERS, ""), (_LETTERS_WITHOUT_I, ", I skipped")):
            if letter in letters:
                month = letters.index(letter) + 1
                found += [
                    (order + remark, *_month(year, month)) for year in years if year % 10 == digit
                ]
    elif re.fullmatch(r"\d{4}", code):
        number, ending = int(code[:2]), int(code[2:])
        for year in years:
            if year % 100 != ending:
                continue
            if 1 <= number <= 12:
                found.append(("month and year", *_month(year, number)))
            if 1 <= number <= date(year, 12, 28).isocalendar().week:
                first, last = (date.fromisocalendar(year, number, day) for day in (1, 7))
                found.append(("week and year", first, last))
    return found


def _month(year: int, month: int) -> tuple[date, date]:
    return date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1])
