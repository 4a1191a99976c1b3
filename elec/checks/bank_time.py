"""A bank through its days: lowest charge, the balance of a day, sun, and what starting needs."""

from __future__ import annotations

from typing import Any, cast

import numpy as np

from elec import units
from elec.boat.records import Bank, BoatFile, Solar
from elec.boat.typical import possible
from elec.calc import charging, simulation, storage
from elec.checks.bank_capacity import ask_held, cannot, return_span
from elec.checks.bank_course import ask_model, ask_solar, course_of
from elec.checks.bank_loads import (
    ask_daily,
    away_conditions,
    daily_Ah,
    main_condition,
    total,
)
from elec.checks.banks import GAS, LITHIUM, ask_wanted
from elec.checks.cranking import starts_engine
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import table

__all__ = ["CHECKS", "check"]

TIME, BALANCE, SOLAR, RESERVE = "bank-through-time", "bank-balance", "solar", "start-reserve"
CHECKS = (TIME, BALANCE, SOLAR, RESERVE)
_AVERAGE = "Loads are averages of each step; cycles shorter than it move the charge by under 1 %."


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask every bank that carries loads away from the dock, and all panels."""
    results: list[Finding | NotChecked | None] = []
    for bank in boat.bank:
        if not away_conditions(boat, bank) or cannot(bank, TIME, bank.id, bank.where):
            continue
        results += [_time(bank, boat), _balance(bank, boat), _reserve(bank, boat)]
    for panels in boat.solar:
        results.append(_solar(panels, cast(Bank, boat.find(panels.bank)), boat))
    findings = [one for one in results if isinstance(one, Finding)]
    return findings, [one for one in results if isinstance(one, NotChecked)]


def _caution(bank: Bank) -> str:
    return LITHIUM if bank.chemistry == "lfp" else GAS


def _generator_h(boat: BoatFile) -> Noted | None:
    return next((g.hours for g in boat.generator if g.hours.seen), None)


# -- through time ----------------------------------------------------------------------------


def _time(bank: Bank, boat: BoatFile) -> Finding | None:
    fed = any(p.bank == bank.id and p.power.seen for p in boat.solar) or _generator_h(boat)
    if not (boat.period or fed):
        return None  # nothing charges it: the autonomy says it all
    course = course_of(boat, bank)
    question = Question()
    model = ask_model(question, boat, bank, course, TIME)
    if model is None:
        return None

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
    notes += [f"Not counted, for want of any figure: '{m.subject}'." for m in model.skipped]
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
        remedy="Charge sooner or for longer, or use less: bank-balance shows what a day lacks.",
        caution=_caution(bank),
        notes=notes,
    )


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
    parts, _ = ask_daily(question, boat, bank, [condition], BALANCE)
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


# -- sun -------------------------------------------------------------------------------------


def _solar(panels: Solar, bank: Bank, boat: BoatFile) -> Finding | NotChecked:
    if not panels.power.seen:
        return NotChecked(
            SOLAR,
            panels.id,
            "its rated power was not noted",
            panels.where,
            f"the watts on the back of '{panels.id}'",
        )
    condition = main_condition(bank)
    stop = cannot(bank, SOLAR, panels.id, panels.where)
    if stop or not daily_Ah(boat, bank, condition)[2]:
        words = f"no load of '{bank.id}' was noted in condition '{condition}'"
        return stop or NotChecked(SOLAR, panels.id, words, panels.where)
    question = Question()
    parts, _ = ask_daily(question, boat, bank, [condition], SOLAR)
    held = ask_held(question, bank, boat)
    notes = list(held.notes)
    ask_wanted(question, bank, condition, notes)
    sun = ask_solar(question, panels, 0, float(bank.voltage.best or 0.0))

    def flows(given: dict[str, Any]) -> tuple[Any, Any, Any]:
        used = total(parts, condition, given)
        return held.usable(given, used / 24.0), used, sun(given)

    def requirement(**given: Any) -> tuple[Any, Any]:
        charge, used, gained = flows(given)
        hours = storage.autonomy_h(
            charge, current_A=np.maximum(used - gained, 0.0) / 24.0, usable_fraction=1.0
        )
        return hours, given["wanted_h"] + 0.0 * used

    ruling = question.rule(requirement, "at least")
    best = question.best_values()
    charge, used, gained = (float(v) for v in flows(best))
    working = [
        Step("S", "power x sun hours x factor / voltage, a day", "", gained, "Ah"),
        Step("Q", "used in a day", "", used, "Ah"),
        Step("Qn", "Q - S", f"{used:.4g} - {gained:.4g}", used - gained, "Ah"),
    ]
    if used > gained:
        numbers = f"{charge:.4g} / {used - gained:.4g}"
        working.append(Step("d", "usable charge / Qn", numbers, charge / (used - gained), "days"))
    worst = question.worst_values()
    lacking = float(flows(worst)[1]) - float(flows(worst)[0]) * 24.0 / float(worst["wanted_h"])
    return question.finding(
        ruling,
        check=SOLAR,
        entry=panels,
        sense="at least",
        quantity="duration",
        worst="C",
        statement=lambda value, limit: (
            f"Panels '{panels.id}' give {gained:.3g} Ah a day at best values, of {used:.3g} Ah "
            f"used: with them bank '{bank.id}' carries condition '{condition}' for {value}; "
            f"{limit} is asked."
        ),
        working=working,
        sources=(*held.sources, table("solar_clear_sky_horizontal_pvlib").source()),
        remedy=f"Panels that give {units.show_limit(max(lacking, 0.0), 'charge', sense='at least')}"
        " a day at the worst, or less use.",
        caution=_caution(bank),
        notes=(
            *notes,
            "Average weather, no design case: dark days give next to nothing, and bank-autonomy "
            "says what then holds.",
        ),
    )


# -- starting --------------------------------------------------------------------------------


def _reserve(bank: Bank, boat: BoatFile) -> Finding | None:
    """Judge what is left for starting in a bank that also carries loads."""
    condition = main_condition(bank)
    if not starts_engine(bank) or not daily_Ah(boat, bank, condition)[2]:
        return None
    question = Question()
    parts, _ = ask_daily(question, boat, bank, [condition], RESERVE)
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
