"""The lowest charge of a bank through its timetable, or its days, with what charges it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from elec.boat.records import Bank, BoatFile
from elec.calc.batteries import simulation
from elec.checks.banks.bank_capacity import empties_fast
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.banks.bank_loads import main_condition, total
from elec.checks.cannot import CannotJudge
from elec.checks.charging.bank_course import Model, ask_model, course_of, follows, generator_h
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step

_AVERAGE = "Loads are averages of each step; cycles shorter than it move the charge by under 1 %."


def _through(bank: Bank, boat: BoatFile, _basis: str) -> Finding | None:
    if not follows(boat, bank):
        return None
    fed = any(p.bank == bank.id and p.power.seen for p in boat.solar) or generator_h(boat)
    if not (boat.period or fed):
        return None  # nothing charges it: the autonomy says it all
    course = course_of(boat, bank)
    question = Question()
    model = ask_model(question, boat, bank, course)
    if model is None:
        return None
    worst = question.worst_values()
    most_A = max(float(total(model.parts, word, worst)) / 24.0 for word in course.conditions)
    if empties_fast(question, model.held, most_A):
        raise CannotJudge(
            "its loads may empty it in under an hour, for which no effect of the rate is published",
            f"the hours and currents of the largest loads of '{bank.id}'",
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        level = np.maximum(simulation.lowest(model.run(given))[0], 0.0)
        return level, 1.0 - given["usable"]

    days = f"{course.total_h / 24:g} day{'s' * (course.total_h > 24)}"
    words = (
        "the timetable" if course.of_timetable else f"{days} of condition '{main_condition(bank)}'"
    )
    notes = [
        *model.held.notes,
        _AVERAGE,
        "Charging slows down near full as published; nothing here says that a bank is full.",
    ]
    if not course.of_timetable:
        notes.append("It begins full at six in the evening; a generator charges last in each day.")
    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity="fraction",
        worst="B",
        statement=lambda value, limit: (
            f"Through {words}, with what charges it, bank '{bank.id}' goes down to {value} of its "
            f"charge; its limit is {limit}."
        ),
        working=_working(model.run(question.best_values())),
        sources=model.cited,
        remedy=_larger(model, worst),
        caution=caution_of(bank),
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


def _working(trace: simulation.Trace) -> list[Step]:
    day = simulation.per_day(trace)
    steps = []
    for number in range(min(3, np.size(day.change_Ah))):
        out, stored, lost, change = (
            float(np.atleast_1d(values)[number])
            for values in (day.discharged_Ah, day.stored_Ah, day.lost_Ah, day.change_Ah)
        )
        numbers = f"{stored:.4g} stored - {out:.4g} given; {lost:.3g} Ah lost as gas"
        steps.append(Step(f"day {number + 1}", "change of charge", numbers, change, "Ah"))
    level, when = (float(v) for v in simulation.lowest(trace))
    return [*steps, Step("s", "lowest charge", f"after {when:.3g} h", level * 100, "%")]


CHECK = Check(
    name="bank-through-time",
    judges="lowest charge of a bank through its timetable or days",
    system="batteries and charging",
    place=331,
    of="bank",
    ask=_through,
)
