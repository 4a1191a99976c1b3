"""Age of a bank: strings of different age or make, and whether it has had its life."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.possible import possible
from elec.boat.records import Bank, BatteryString, BoatFile
from elec.calc.batteries.battery_age import date_code_readings
from elec.checks.banks.bank_autonomy import GAS
from elec.checks.banks.bank_capacity import strings_of
from elec.checks.presence import THERE
from elec.checks.question import Option, Question
from elec.errors import InputError
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

MIX, AGE = "bank-mix", "bank-age"
CHECKS = (MIX, AGE)
#: Batteries older than this are not found aboard; how far back a single-digit year is read.
_OLDEST_YEARS = 30
_SERIES = (
    "In series the weakest battery stops its string and is charged wrongly by the others; in "
    "parallel the better strings carry the worse."
)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask the ages of every bank."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for bank in boat.bank:
        results = [_mix(bank, boat), _labels(bank), _age(bank, boat)]
        findings += [one for one in results if isinstance(one, Finding)]
        skipped += [one for one in results if isinstance(one, NotChecked)]
    return findings, skipped


def _possible_ages(
    bank: Bank, string: BatteryString | None, surveyed: date
) -> tuple[list[Option], list[str]]:
    """Return the ages a string may have, ascending, and what each reading of its code says."""
    years = string.year if string is not None and string.year.seen else bank.year
    code = string.date_code if string is not None else None
    notes: list[str] = []
    if code:
        try:
            readings = date_code_readings(
                code,
                survey_date=surveyed,
                earliest_date=date(surveyed.year - _OLDEST_YEARS, 1, 1),
            )
        except InputError:
            readings = ()
            notes.append(f"Date code '{code}' is of no form that can be read.")
        kept = [r for r in readings if not years.seen or r.first.year in years.years]
        if readings and not kept:
            notes.append(f"Date code '{code}' does not go with the year {years.text}.")
        ages: dict[float, str] = {}
        for reading in kept:
            middle = reading.first + (reading.last - reading.first) / 2
            age = max(0.0, (surveyed - middle).days / 365.25)
            ages.setdefault(age, f"{reading.first:%B %Y}")
        if ages:
            shown = ", ".join(f"{ages[age]} ({age:.1f} years)" for age in sorted(ages))
            notes.append(f"Date code '{code}' may stand for {shown}.")
            return [Option(age, ages[age]) for age in sorted(ages)], notes
    found: dict[float, str] = {}
    for year in years.years:
        for day in (date(year, 1, 1), min(date(year, 12, 31), surveyed)):
            found[max(0.0, (surveyed - day).days / 365.25)] = f"{day:%B %Y}"
    return [Option(age, found[age]) for age in sorted(found)], notes


def _ask_ages(
    question: Question, bank: Bank, surveyed: date, worse: Any
) -> tuple[list[str], list[str]]:
    """Add the age of every string; return their names and the notes."""
    names: list[str] = []
    notes: list[str] = []
    strings = strings_of(bank) if bank.string else [None]
    for number, string in enumerate(strings):
        options, more = _possible_ages(bank, string, surveyed)
        notes += more
        name = f"age_{number}_years"
        names.append(name)
        which = f"string {number + 1} of '{bank.id}'" if bank.string else f"'{bank.id}'"
        read = f"the invoice of {which}, for its age"
        field = f"age of string {number + 1}" if bank.string else "age"
        if not options:
            span = noted.between(
                0.0,
                float(_OLDEST_YEARS),
                "age",
                origin="typical",
                source="any age considered",
                text="not seen",
            )
            question.noted(name, span, entry=bank, field=field, worse=worse, read=read)
            continue
        codes = string is not None and string.date_code
        years = string.year if string is not None and string.year.seen else bank.year
        question.among(
            name,
            options,
            entry=bank,
            field=field,
            worse=worse,
            best=options[(len(options) - 1) // 2].value,
            noted=f"date code {string.date_code}" if string is not None and codes else years.text,
            more="",
            read=read,
        )
    return names, notes


def _mix(bank: Bank, boat: BoatFile) -> Finding | NotChecked | None:
    if len(bank.string) < 2:
        return None
    surveyed = boat.boat.surveyed
    if surveyed is None:
        return NotChecked(MIX, bank.id, "the date of the survey was not noted", bank.where)
    question = Question()
    names, notes = _ask_ages(question, bank, surveyed, None)
    limit, _, source = possible("age difference within a bank")

    def requirement(**given: Any) -> tuple[Any, Any]:
        ages = np.stack(np.broadcast_arrays(*(given[name] for name in names)))
        spread = ages.max(axis=0) - ages.min(axis=0)
        return spread, limit + 0.0 * spread

    ruling = question.rule(requirement, "at most")
    return question.finding(
        ruling,
        check=MIX,
        part="age",
        entry=bank,
        sense="at most",
        quantity="age",
        worst="B",
        statement=lambda value, limit: (
            f"Strings of bank '{bank.id}' differ in age by {value}; {limit} is taken as the most."
        ),
        working=tuple(
            Step(f"age {n + 1}", "survey less making, years", "", question.best(name), "years")
            for n, name in enumerate(names)
        ),
        sources=(table("possible_ranges").source(field="age difference within a bank"),),
        remedy="Replace the older strings, so that all batteries of the bank are of one age and "
        "type; until then test each string by itself.",
        caution=GAS,
        notes=(
            *notes,
            _SERIES,
            "Most guidance forbids old beside new in series and advises against it in parallel; "
            f"one maker permits a new parallel string of like type. Limit: {source}.",
        ),
    )


def _labels(bank: Bank) -> Finding | None:
    labels = [string.label for string in bank.string if string.label]
    if len(labels) < 2:
        return None
    kinds = sorted({" ".join(label.lower().split()) for label in labels})
    question = Question()
    question.exact("kinds", len(kinds))

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["kinds"], 1.0 + THERE + 0.0 * given["kinds"]

    return question.finding(
        question.rule(requirement, "at most"),
        check=MIX,
        part="types",
        entry=bank,
        sense="at most",
        quantity="presence",
        worst="B",
        statement=lambda _value, _limit: (
            f"Bank '{bank.id}' holds batteries of {len(kinds)} type{'s' * (len(kinds) > 1)}; one "
            "bank takes one."
        ),
        sources=(table("possible_ranges").source(field="age difference within a bank"),),
        remedy="Make the bank up of one make, type and size.",
        caution=GAS,
        notes=(_SERIES, f"Labels: {'; '.join(labels)}."),
    )


def _age(bank: Bank, boat: BoatFile) -> Finding | NotChecked:
    tested = [s.remaining for s in bank.string if s.remaining.seen] or (
        [bank.remaining] if bank.remaining.seen else []
    )
    if tested and len(tested) == max(1, len(bank.string)):
        return _tested(bank)
    surveyed = boat.boat.surveyed
    dated = bank.year.seen or any(s.year.seen or s.date_code for s in bank.string)
    if surveyed is None or not dated:
        missing = "date of the survey" if dated else "age of the batteries"
        read = "" if dated else f"the date code or invoice of '{bank.id}'"
        return NotChecked(AGE, bank.id, f"the {missing} was not noted", bank.where, read)
    lives = [
        r
        for r in table("cycle_count_trade_ranges_marine").rows()
        if r["life_years_high"] and bank.chemistry.may_be(r["battery_type"])
    ]
    question = Question()
    names, notes = _ask_ages(question, bank, surveyed, "higher")
    ends = sorted({float(r["life_years_high"]) for r in lives})
    question.among(
        "life_years",
        [Option(years, f"a life of {years:g} years") for years in ends],
        entry=bank,
        field="life of its kind",
        worse="lower",
        best=ends[0],
        source="table cycle_count_trade_ranges_marine, every upper end for its chemistry",
        read=f"a capacity test of '{bank.id}'",
    )

    def requirement(**given: Any) -> tuple[Any, Any]:
        ages = np.stack(np.broadcast_arrays(*(given[name] for name in names)))
        return ages.max(axis=0), given["life_years"] + 0.0 * ages.max(axis=0)

    end = table("standards_duties")
    return question.finding(
        question.rule(requirement, "at most"),
        check=AGE,
        entry=bank,
        sense="at most",
        quantity="age",
        worst="C",
        statement=lambda value, limit: (
            f"The oldest battery of bank '{bank.id}' is {value} old; the trade gives its kind "
            f"{limit} at most."
        ),
        sources=(
            table("cycle_count_trade_ranges_marine").source(),
            end.source(duty_id="end_of_life"),
        ),
        remedy="Test its capacity: below "
        f"{end.row(duty_id='end_of_life')['value']} % of rated it is at its end.",
        caution=GAS,
        notes=notes,
    )


def _tested(bank: Bank) -> Finding:
    question = Question()
    shares = [s.remaining for s in bank.string] or [bank.remaining]
    for number, share in enumerate(shares):
        question.noted(
            f"share_{number}", share, entry=bank, field="remaining capacity", worse="lower"
        )
    limit = table("standards_duties").exact("value", duty_id="end_of_life") / 100

    def requirement(**given: Any) -> tuple[Any, Any]:
        found = np.stack(np.broadcast_arrays(*given.values())).min(axis=0)
        return found, limit + 0.0 * found

    return question.finding(
        question.rule(requirement, "at least"),
        check=AGE,
        entry=bank,
        sense="at least",
        quantity="fraction",
        worst="C",
        statement=lambda value, limit: (
            f"The weakest string of bank '{bank.id}' still holds {value} of its rated capacity; "
            f"at {limit} it is at its end."
        ),
        sources=(table("standards_duties").source(duty_id="end_of_life"),),
        remedy=f"Plan to replace it: under {units.show(limit, 'fraction')} it fails soon.",
        caution=GAS,
    )
