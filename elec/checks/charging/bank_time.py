"""A bank through its days: lowest charge, the balance of a day, and what starting needs."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from elec import units
from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.calc.batteries import charging, simulation
from elec.checks.banks.bank_autonomy import GAS, LITHIUM, ask_wanted
from elec.checks.banks.bank_capacity import (
    SHORTEST_H,
    ask_fast,
    ask_held,
    cannot,
    one_hour_Ah,
    return_span,
)
from elec.checks.banks.bank_loads import ask_daily, away_conditions, daily_Ah, main_condition, total
from elec.checks.banks.cranking import starts_engine
from elec.checks.charging.bank_course import Model, ask_model, ask_solar, course_of
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted

__all__ = ["CHECKS", "check"]

TIME, BALANCE, RESERVE = "bank-through-time", "bank-balance", "start-reserve"
CHECKS = (TIME, BALANCE, RESERVE)
_AVERAGE = "Loads are averages of each step; cycles shorter than it move the charge by under 1 %."


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask every bank that carries loads away from the dock."""
    results: list[Finding | NotChecked | None] = []
    for bank in boat.bank:
        if not away_conditions(boat, bank) or cannot(bank, TIME, bank.id, bank.where):
            continue
        results += [_time(bank, boat), _balance(bank, boat), _reserve(bank, boat)]
    findings = [one for one in results if isinstance(one, Finding)]
    return findings, [one for one in results if isinstance(one, NotChecked)]


def _caution(bank: Bank) -> str:
    return LITHIUM if bank.chemistry.is_surely("lfp") else GAS


def _generator_h(boat: BoatFile) -> Noted | None:
    return next((g.hours for g in boat.generator if g.hours.seen), None)


# -- through time ----------------------------------------------------------------------------


def _time(bank: Bank, boat: BoatFile) -> Finding | NotChecked | None:
    fed = any(p.bank == bank.id and p.power.seen for p in boat.solar) or _generator_h(boat)
    if not (boat.period or fed):
        return None  # nothing charges it: the autonomy says it all
    course = course_of(boat, bank)
    question = Question()
    model = ask_model(question, boat, bank, course)
    if model is None:
        return None
    worst = question.worst_values()
    most_A = max(float(total(model.parts, word, worst)) / 24.0 for word in course.conditions)
    if most_A * SHORTEST_H > float(one_hour_Ah(model.held.capacity(worst), worst)):
        return NotChecked(
            TIME,
            bank.id,
            "its loads may empty it in under an hour, for which no effect of the rate is published",
            bank.where,
            f"the hours and currents of the largest loads of '{bank.id}'",
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        level = np.maximum(simulation.lowest(model.run(given))[0], 0.0)
        return level, 1.0 - given["usable"] + 0.0 * level

    ruling = question.rule(requirement, "at least")
    best = question.best_values()
    trace = model.run(best)
    level, when = (float(v) for v in simulation.lowest(trace))
    words = (
        "the timetable"
        if course.of_timetable
        else f"{course.total_h / 24:g} day{'s' * (course.total_h > 24)} of condition "
        f"'{main_condition(bank)}'"
    )
    notes = [
        *model.held.notes,
        _AVERAGE,
        "Charging slows down near full as published; nothing here says that a bank is full.",
    ]
    if not course.of_timetable:
        notes.append("It begins full at six in the evening; a generator charges last in each day.")
    return question.finding(
        ruling,
        check=TIME,
        entry=bank,
        sense="at least",
        quantity="fraction",
        worst="B",
        statement=lambda value, limit: (
            f"Through {words}, with what charges it, bank '{bank.id}' goes down to {value} of its "
            f"charge; its limit is {limit}."
        ),
        working=(
            *_days(trace),
            Step("s", "lowest charge", f"after {when:.3g} h", level * 100, "%"),
        ),
        sources=model.cited,
        remedy=_larger(model, worst),
        caution=_caution(bank),
        notes=notes,
    )


def _larger(model: Model, worst: dict[str, Any]) -> str:
    """Return the smallest new bank that goes through the course at the worst."""
    new = {k: np.asarray(1.0) if k.startswith("remaining_") else v for k, v in worst.items()}

    def level(scale: float) -> float:
        given = new | {"unit_Ah": new["unit_Ah"] * scale}
        return float(simulation.lowest(model.run(given))[0]) - (1.0 - float(new["usable"]))

    less = "or charge sooner or for longer: bank-balance shows what a day lacks"
    low, high = 0.02, 50.0
    if level(high) < 0:
        return f"No larger bank does it: use less, {less}."
    for _ in range(30):
        middle = (low * high) ** 0.5
        low, high = (low, middle) if level(middle) >= 0 else (middle, high)
    needed = math.ceil(float(model.held.capacity(new)) * high - 1e-6)
    return f"A bank of {needed} Ah when new goes through it at the worst; use less, {less}."


def _days(trace: simulation.Trace) -> list[Step]:
    day = simulation.per_day(trace)
    steps = []
    for number in range(min(3, np.size(day.change_Ah))):
        out, stored, lost, change = (
            float(np.atleast_1d(values)[number])
            for values in (day.discharged_Ah, day.stored_Ah, day.lost_Ah, day.change_Ah)
        )
        numbers = f"{stored:.4g} stored - {out:.4g} given; {lost:.3g} Ah lost as gas"
        steps.append(Step(f"day {number + 1}", "change of charge", numbers, change, "Ah"))
    return steps


# -- balance of a day ------------------------------------------------------------------------


def _balance(bank: Bank, boat: BoatFile) -> Finding | NotChecked | None:
    condition = main_condition(bank)
    _, daily, most = daily_Ah(boat, bank, condition)
    if not most:
        return None
    volts = float(bank.voltage.best or 0.0)
    chargers = [c for c in boat.charger if c.bank == bank.id and c.current.seen]
    panels = [p for p in boat.solar if p.bank == bank.id and p.power.seen]
    running = _generator_h(boat)
    if not panels and running is None:
        words = "nothing that charges it away from the dock was noted"
        back = float(return_span(bank).best or 1.0)
        if chargers:
            hours = charging.hold_hours_per_day_h(
                daily, return_factor=back, charger_A=chargers[0].current.best or 0.0
            )
            if np.isfinite(hours):
                words += (
                    f"; '{chargers[0].id}' on a generator would hold it in no less than "
                    f"{float(hours):.3g} h a day at best values"
                )
        read = f"hours a day that a generator runs in condition '{condition}'"
        return NotChecked(BALANCE, bank.id, words, bank.where, read if boat.generator else "")
    question = Question()
    parts = ask_daily(question, boat, bank, [condition])
    question.noted("back", return_span(bank), entry=bank, field="charge return", worse="higher")
    suns = [ask_solar(question, one, n, volts) for n, one in enumerate(panels)]
    amps = None
    if running is not None and chargers:
        question.noted(
            "run_h", running, entry=boat.generator[0], field="hours a day", worse="lower"
        )
        question.noted(
            "charger_A", chargers[0].current, entry=chargers[0], field="current", worse="lower"
        )
        amps = "charger_A"

    def flows(given: dict[str, Any]) -> tuple[Any, Any, Any]:
        used = total(parts, condition, given)
        sun: Any = sum((one(given) for one in suns), start=np.asarray(0.0))
        made = np.asarray(0.0)
        covered = np.asarray(0.0)
        if amps:
            load = used / 24.0
            made = np.maximum(given[amps] - load, 0.0) * given["run_h"]
            covered = load * given["run_h"]
        return sun + made, given["back"] * (used - covered), used

    def requirement(**given: Any) -> tuple[Any, Any]:
        put_in, needed, _ = flows(given)
        return put_in + 0.0 * needed, needed

    ruling = question.rule(requirement, "at least")
    best = question.best_values()
    put_in, needed, used = (float(v) for v in flows(best))
    worst = question.worst_values()
    short = float(flows(worst)[1]) - float(flows(worst)[0])
    hold = ""
    if chargers:
        hours = charging.hold_hours_per_day_h(
            max(float(total(parts, condition, worst)), 0.0),
            return_factor=float(worst["back"]),
            charger_A=chargers[0].current.span[0],
        )
        if np.isfinite(hours):
            shown = units.show_limit(float(hours), "duration", sense="at least")
            hold = f"; without sun '{chargers[0].id}' has to run {shown} a day to hold it"
    return question.finding(
        ruling,
        check=BALANCE,
        entry=bank,
        sense="at least",
        quantity="charge",
        worst="C",
        statement=lambda value, limit: (
            f"In condition '{condition}' {value} a day are put into bank '{bank.id}'; {limit} a "
            "day hold it where it is."
        ),
        working=(
            Step("Q", "used in a day", "", used, "Ah"),
            Step("B", "to be put back, with losses", "", needed, "Ah"),
            Step("S", "put in by sun and generator", "", put_in, "Ah"),
        ),
        remedy=f"{units.show_limit(short, 'charge', sense='at least')} a day are lacking at the "
        f"worst{hold}."
        if short > 0
        else None,
        caution=_caution(bank),
        notes=("All sun is taken to pass through the bank, with its losses.",),
    )


# -- starting --------------------------------------------------------------------------------


def _reserve(bank: Bank, boat: BoatFile) -> Finding | None:
    """Judge what is left for starting in a bank that also carries loads."""
    condition = main_condition(bank)
    if not starts_engine(bank) or not daily_Ah(boat, bank, condition)[2]:
        return None
    question = Question()
    parts = ask_daily(question, boat, bank, [condition])
    held = ask_held(question, bank, boat)
    notes = list(held.notes)
    ask_wanted(question, bank, condition, notes)
    kept = bank.start_reserve
    if kept.seen:
        question.noted("kept", kept, entry=bank, field="charge kept for starting", worse="higher")
    else:
        _, high, source = possible("charge kept for starting")
        question.exact("kept", high)
        notes.append(f"No charge to be kept was noted: {high:.0%} is taken ({source}).")
    most_A = float(total(parts, condition, question.worst_values())) / 24.0
    notes += ask_fast(question, bank, held, most_A)

    def requirement(**given: Any) -> tuple[Any, Any]:
        current = total(parts, condition, given) / 24.0
        whole = held.usable(given, current) / given["usable"]
        left = np.maximum(1.0 - current * given["wanted_h"] / whole, 0.0)
        return left, given["kept"] + 0.0 * left

    return question.finding(
        question.rule(requirement, "at least"),
        check=RESERVE,
        entry=bank,
        sense="at least",
        quantity="fraction",
        worst="B",
        statement=lambda value, limit: (
            f"After the time asked in condition '{condition}', {value} of the charge is left in "
            f"bank '{bank.id}' to start {bank.starts or 'its engine'}; {limit} is to be kept."
        ),
        sources=held.sources,
        remedy="Give starting a bank of its own, with a relay or isolator between.",
        caution=_caution(bank),
        notes=notes,
    )
