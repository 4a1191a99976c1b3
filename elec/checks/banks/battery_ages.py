"""The ages that the batteries of a bank may have, by year or by date code."""

from __future__ import annotations

from datetime import date

from elec.boat.fields import YearNoted
from elec.boat.possible import typical
from elec.boat.records import Bank, BatteryString
from elec.calc.batteries.battery_age import date_code_readings
from elec.checks.question import Option, Question, Worse
from elec.errors import InputError

__all__ = ["ask_ages"]

#: Batteries older than this are not found aboard; how far back a single-digit year is read.
_OLDEST_YEARS = 30


def ask_ages(
    question: Question, bank: Bank, surveyed: date, worse: Worse
) -> tuple[list[str], list[str]]:
    """Add the age of every string; return the names of the inputs and the notes."""
    names: list[str] = []
    notes: list[str] = []
    for number, string in enumerate(bank.string or (None,)):
        years = _years(bank, string)
        code = string.date_code if string is not None else None
        options, more = _by_code(code, years, surveyed) if code else ([], [])
        notes += more
        options = options or _by_year(years, surveyed)
        names.append(f"age_{number}_years")
        which = f"string {number + 1} of '{bank.id}'" if bank.string else f"'{bank.id}'"
        read = f"the invoice of {which}, for its age"
        field = f"age of string {number + 1}" if bank.string else "age"
        if not options:
            span = typical(0.0, float(_OLDEST_YEARS), "age", "any age considered")
            question.noted(names[-1], span, entry=bank, field=field, worse=worse, read=read)
            continue
        question.among(
            names[-1],
            options,
            entry=bank,
            field=field,
            worse=worse,
            best=options[(len(options) - 1) // 2].value,
            noted=f"date code {code}" if code else years.text,
            more="",
            read=read,
        )
    return names, notes


def _years(bank: Bank, string: BatteryString | None) -> YearNoted:
    return string.year if string is not None and string.year.seen else bank.year


def _by_code(code: str, years: YearNoted, surveyed: date) -> tuple[list[Option], list[str]]:
    """Return the ages that a date code may stand for, ascending, and what is said of it."""
    notes: list[str] = []
    earliest = date(surveyed.year - _OLDEST_YEARS, 1, 1)
    try:
        readings = date_code_readings(code, survey_date=surveyed, earliest_date=earliest)
    except InputError:
        readings = ()
        notes.append(f"Date code '{code}' is of no form that can be read.")
    kept = [r for r in readings if not years.seen or r.first.year in years.years]
    if readings and not kept:
        notes.append(f"Date code '{code}' does not go with the year {years.text}.")
    ages: dict[float, str] = {}
    for reading in kept:
        middle = reading.first + (reading.last - reading.first) / 2
        ages.setdefault(_age(middle, surveyed), f"{reading.first:%B %Y}")
    if ages:
        shown = ", ".join(f"{ages[age]} ({age:.1f} years)" for age in sorted(ages))
        notes.append(f"Date code '{code}' may stand for {shown}.")
    return [Option(age, ages[age]) for age in sorted(ages)], notes


def _by_year(years: YearNoted, surveyed: date) -> list[Option]:
    """Return the ages at both ends of every year that it may be of, ascending."""
    ages: dict[float, str] = {}
    for year in years.years:
        for day in (date(year, 1, 1), min(date(year, 12, 31), surveyed)):
            ages[_age(day, surveyed)] = f"{day:%B %Y}"
    return [Option(age, ages[age]) for age in sorted(ages)]


def _age(made: date, surveyed: date) -> float:
    return max(0.0, (surveyed - made).days / 365.25)
