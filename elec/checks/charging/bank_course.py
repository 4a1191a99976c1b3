"""A bank carried through a timetable on the kinetic model: what is asked, and the run of it.

Without a timetable in the boat file the course is the condition for which autonomy is asked, from
a full bank at six in the evening, for the days that it is to last; a generator charges in the last
hours of each day, where it helps least.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec.boat.records import Bank, BoatFile, Solar
from elec.boat.typical import charge_return, sun_hours
from elec.calc.batteries import charging, kinetic, simulation, timetable
from elec.checks.banks.bank_capacity import SHORTEST_H, Held, ask_held, why_not
from elec.checks.banks.bank_loads import (
    DOCK,
    Daily,
    ask_daily,
    away_conditions,
    main_condition,
    total,
)
from elec.checks.charging.alternator import hot_share
from elec.checks.question import Question
from elec.noted import Noted
from elec.published import Source, table

__all__ = [
    "Course",
    "Model",
    "Stretch",
    "ask_model",
    "ask_solar",
    "course_of",
    "follows",
    "generator_h",
]

#: Hours after the beginning, six in the evening, at which the sun rises and sets.
_RISE_H, _SET_H = 12.0, 24.0
_ENGINE_RUNS = ("under way", "manoeuvring")


@dataclass(frozen=True)
class Stretch:
    """Part of a course in one condition; the generator charges in its last hours."""

    condition: str
    start_h: float
    end_h: float
    generator_h: float = 0.0


@dataclass(frozen=True)
class Course:
    """Stretches one after the other, in steps."""

    stretches: tuple[Stretch, ...]
    step_h: float
    of_timetable: bool

    @property
    def total_h(self) -> float:
        """Length [h]."""
        return self.stretches[-1].end_h

    @property
    def conditions(self) -> list[str]:
        """Every condition of it, once."""
        return list(dict.fromkeys(one.condition for one in self.stretches))

    def share(self, spans: Sequence[tuple[float, float]]) -> Any:
        """Return the part of each step that lies in the spans [-]."""
        if not spans:
            return np.zeros(round(self.total_h / self.step_h))
        starts, ends = zip(*spans, strict=True)
        return timetable.windows_A(
            starts,
            end_h=ends,
            current_A=[1.0] * len(spans),
            total_h=self.total_h,
            step_h=self.step_h,
        )

    def under(self, *conditions: str) -> list[tuple[float, float]]:
        """Return the spans in these conditions."""
        return [(one.start_h, one.end_h) for one in self.stretches if one.condition in conditions]


def follows(boat: BoatFile, bank: Bank) -> bool:
    """Whether a bank can be followed through its days: it carries loads away, and is known."""
    return bool(away_conditions(boat, bank)) and not why_not(bank)


def generator_h(boat: BoatFile) -> Noted | None:
    """Return the hours a day of the first generator of which they were noted."""
    return next((g.hours for g in boat.generator if g.hours.seen), None)


def course_of(boat: BoatFile, bank: Bank, *, days: int | None = None) -> Course:
    """Return the timetable of the boat, or days of the condition in which autonomy is asked."""
    if boat.period and days is None:
        stretches = tuple(
            Stretch(
                period.condition,
                period.start.span[0],
                period.end.span[0],
                period.generator.span[0] if period.generator.seen else 0.0,
            )
            for period in boat.period
        )
        end = stretches[-1].end_h
        step = 0.5 if end <= 72 else 1.0
        if not math.isclose(end / step, round(end / step)):
            last = stretches[-1]
            whole = math.ceil(end / step) * step
            stretches = (
                *stretches[:-1],
                Stretch(last.condition, last.start_h, whole, last.generator_h),
            )
        return Course(stretches, step, True)
    if days is None:
        wanted = bank.autonomy.span[2] if bank.autonomy.seen else 24.0
        days = min(31, max(1, math.ceil(wanted / 24)))
    hours = min([g.hours.span[0] for g in boat.generator if g.hours.seen], default=0.0)
    condition = main_condition(bank)
    return Course(
        tuple(Stretch(condition, 24.0 * d, 24.0 * (d + 1), hours) for d in range(days)),
        0.5 if days <= 3 else 1.0,
        False,
    )


def ask_solar(question: Question, panels: Solar, number: int, voltage_V: float) -> Any:
    """Add what panels give in a day; return the function of it [Ah]."""
    names = (f"panels_{number}_W", f"sun_{number}_h", f"factor_{number}")
    question.ask(names[0], panels, "power", worse="lower")
    question.noted(names[1], sun_hours(panels), entry=panels, field="sun", worse="lower")
    question.ask(names[2], panels, "factor", worse="lower")
    return lambda given: charging.solar_charge_Ah(
        given[names[0]],
        peak_sun_h=given[names[1]],
        system_fraction=given[names[2]],
        voltage_V=voltage_V,
    )


@dataclass(frozen=True)
class Model:
    """A bank with its loads and sources, ready to run through its course."""

    course: Course
    parts: tuple[Daily, ...]
    held: Held
    sources: tuple[tuple[Any, Any], ...]
    lithium: bool
    cited: tuple[Source, ...]

    def run(self, given: dict[str, Any], *, step_h: float | None = None) -> simulation.Trace:
        """Run it for inputs of any one shape."""
        course = self.course
        if step_h is not None:
            course = Course(course.stretches, step_h, course.of_timetable)
        rated = self.held.capacity(given) / self.held.size_factor(given)
        rate = np.asarray(given["rate_h"])
        # Three times over the range in which the rate effect is published: C1 to the rating.
        times = np.stack([np.minimum(SHORTEST_H, rate / 4), np.minimum(5.0, rate / 2), rate], -1)
        unit = kinetic.identify_from_peukert(
            1.0, rate_h=rate, exponent=np.maximum(given["exponent"], 1.0 + 1e-6), time_h=times
        )
        bank = kinetic.scaled(unit, factor=rated)
        load: Any = np.asarray(0.0)
        for condition in course.conditions:
            average = np.asarray(total(self.parts, condition, given) / 24.0)
            load = load + average[..., None] * course.share(course.under(condition))
        source: Any = np.zeros(round(course.total_h / course.step_h))
        for amount, shape in self.sources:
            source = source + np.asarray(amount(given))[..., None] * shape(course)
        peak = np.max(source, axis=-1)
        efficiency, knee = _efficiency(given, self.lithium)
        return simulation.simulate(
            bank,
            rated_Ah=np.minimum(rated, bank.total_Ah),
            load_A=load,
            source_A=source,
            step_h=course.step_h,
            efficiency=efficiency,
            acceptance=simulation.Acceptance(np.maximum(peak, 1e-9) / (1.0 - knee), 0.0),
        )


def _efficiency(given: dict[str, Any], lithium: bool) -> tuple[simulation.ChargeEfficiency, float]:
    """Return charge efficiency, and the state of charge at which the current begins to fall."""
    rows = table("charge_return_and_efficiency").rows()

    def low(start: str, condition: str) -> float:
        return next(
            float(r["low"])
            for r in rows
            if r["quantity"].startswith(start) and r["condition"].startswith(condition)
        )

    if lithium:
        knee = low("state of charge at the end of bulk", "lithium")
        flat = 1.0 / given["charge_return"]
        return simulation.ChargeEfficiency(flat, knee, flat), knee
    knee = low("state of charge at the end of bulk", "lead-acid")
    well_below = low("efficiency by charge, 0 to 84", "lead-acid")
    near_full = low("efficiency of the next ampere-hour", "lead-acid")
    return simulation.ChargeEfficiency(well_below, knee, near_full), knee


def ask_model(question: Question, boat: BoatFile, bank: Bank, course: Course) -> Model | None:
    """Add every load, the bank and every source of a course; None if it carries no load."""
    parts = ask_daily(question, boat, bank, course.conditions)
    if not parts:
        return None
    held = ask_held(question, bank, boat)
    cited = [*held.sources]
    sources: list[tuple[Any, Any]] = []
    generating = [
        (one.end_h - one.generator_h, one.end_h) for one in course.stretches if one.generator_h
    ]
    mains = [*course.under(DOCK), *generating]
    for number, charger in enumerate(boat.charger):
        if charger.bank == bank.id and charger.current.seen and mains:
            name = f"charger_{number}_A"
            question.ask(name, charger, "current", worse="lower")
            sources.append((_named(name), _windows(sorted(mains))))
    engine = course.under(*_ENGINE_RUNS)
    for number, alternator in enumerate(boat.alternator):
        if alternator.bank != bank.id or not engine:
            continue
        through = alternator.converter if alternator.converter.seen else alternator.current
        if through.seen:
            name = f"alternator_{number}_A"
            question.noted(name, through, entry=alternator, field="current", worse="lower")
            hot = 1.0 if alternator.converter.seen else hot_share()[0]
            sources.append((_named(name, hot), _windows(engine)))
            cited.append(table("alternator_hot_cold_example").source())
    for number, panels in enumerate(boat.solar):
        if panels.bank == bank.id and panels.power.seen:
            daily = ask_solar(question, panels, number, bank.voltage.span[1])
            sources.append((daily, _arch))
            cited.append(table("solar_clear_sky_horizontal_pvlib").source())
    if bank.chemistry.is_surely("lfp"):
        back = charge_return(bank)
        question.noted("charge_return", back, entry=bank, field="charge_return", worse="higher")
    cited.append(table("charge_return_and_efficiency").source())
    return Model(
        course,
        tuple(parts),
        held,
        tuple(sources),
        bank.chemistry.is_surely("lfp"),
        tuple(cited),
    )


def _named(name: str, share: float = 1.0) -> Any:
    return lambda given: given[name] * share


def _windows(spans: list[tuple[float, float]]) -> Any:
    return lambda course: course.share(spans)


def _arch(course: Course) -> Any:
    return timetable.arch_A(
        1.0,
        rise_h=_RISE_H,
        set_h=_SET_H,
        total_h=course.total_h,
        step_h=course.step_h,
    )
