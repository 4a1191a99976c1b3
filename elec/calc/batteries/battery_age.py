"""Age of a battery: what its date code may mean, and how temperature shortens its life.

No code is universal, and most have a single digit for the year. A code therefore gives a set of
possible dates, never one; only an invoice or a test can choose between them.
"""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, finite, positive
from elec.errors import InputError

__all__ = ["DateReading", "age_range_years", "date_code_readings", "life_years", "worn_age_years"]

Floats = npt.NDArray[np.float64]

DAYS_PER_YEAR = 365.2425  # mean Gregorian year
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


def age_range_years(readings: tuple[DateReading, ...], *, survey_date: date) -> tuple[float, float]:
    r"""Least and greatest age that the readings of a date code leave possible.

    Parameters
    ----------
    readings : tuple of DateReading
        Possible readings. [date]
    survey_date : date
        Day of the survey. [date]

    Returns
    -------
    tuple of two floats
        Least age, zero at least, and greatest age. [years]

    Raises
    ------
    InputError
        If there is no reading, or all begin after the survey.
    """
    if not readings or min(reading.first for reading in readings) > survey_date:
        raise InputError(
            f"readings: none lies before the survey ({survey_date}).",
            remedy="Give the readings of a date code, and the day they were looked at.",
        )
    days = [
        max((survey_date - day).days, 0)
        for reading in readings
        for day in (reading.first, reading.last)
    ]
    return min(days) / DAYS_PER_YEAR, max(days) / DAYS_PER_YEAR


def life_years(
    reference_life_years: npt.ArrayLike,
    *,
    temperature_C: npt.ArrayLike,
    reference_temperature_C: npt.ArrayLike,
    halving_K: npt.ArrayLike,
) -> Floats:
    r"""Life of a battery at a temperature, halved for each stated step of warmth.

    .. math:: L = L_0 \, 2^{-(T - T_0)/h}

    Published steps differ by type and author (8.3 K sealed stationary, 10 K flooded): say which.

    Parameters
    ----------
    reference_life_years : float or array
        Life :math:`L_0` at the reference temperature. [years]
    temperature_C : float or array
        Average temperature of the battery :math:`T`. [°C]
    reference_temperature_C : float or array
        Reference temperature :math:`T_0`. [°C]
    halving_K : float or array
        Rise in temperature that halves life, :math:`h`. [K]

    Returns
    -------
    float or array
        Life. [years]

    Raises
    ------
    InputError
        If life or halving step is not above zero, or a temperature not finite.

    Examples
    --------
    >>> float(life_years(10.0, temperature_C=33.0, reference_temperature_C=25.0, halving_K=8.0))
    5.0
    """
    warmer = finite("temperature_C", temperature_C) - finite(
        "reference_temperature_C", reference_temperature_C
    )
    halved = np.exp2(-warmer / positive("halving_K", halving_K))
    return positive("reference_life_years", reference_life_years) * halved


def worn_age_years(
    age_years: npt.ArrayLike,
    *,
    temperature_C: npt.ArrayLike,
    reference_temperature_C: npt.ArrayLike,
    halving_K: npt.ArrayLike,
) -> Floats:
    r"""Age at the reference temperature that wears a battery as much as its own age in warmth.

    .. math:: a_0 = a \, 2^{(T - T_0)/h}

    Parameters
    ----------
    age_years : float or array
        Age :math:`a`. [years]
    temperature_C : float or array
        Average temperature of the battery :math:`T`. [°C]
    reference_temperature_C : float or array
        Reference temperature :math:`T_0`. [°C]
    halving_K : float or array
        Rise in temperature that halves life, :math:`h`. [K]

    Returns
    -------
    float or array
        Age at the reference temperature. [years]

    Raises
    ------
    InputError
        If the age is negative, the halving step not above zero, or a temperature not finite.
    """
    return at_least_zero("age_years", age_years) / life_years(
        1.0,
        temperature_C=temperature_C,
        reference_temperature_C=reference_temperature_C,
        halving_K=halving_K,
    )
