"""The real load of a generator against its kW: not too much, nor too little for a diesel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from elec import units
from elec.boat.ac_loads import AcDraw, Service
from elec.boat.possible import possible
from elec.boat.records import Generator
from elec.checks.aboard.generator_rating import ask_air, engine_factor
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.real_power import ask_unread, in_phase, watts
from elec.checks.legs.running import in_words, named
from elec.checks.question import Question
from elec.errors import TableRangeError
from elec.finding import Finding, NotChecked, Step
from elec.published import Source, table

__all__ = ["judge_watts"]


def judge_watts(
    one: Generator, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> Iterator[Finding | NotChecked]:
    """Judge the real load against the kW."""
    try:
        yield _most(one, service, draws, conditions)
    except TableRangeError as error:
        read = f"what the papers of '{one.id}' say of its kW in hot air and at height"
        yield NotChecked("generator", one.id, f"its kW: {error}", one.where, read)
    yield _least(one, service, draws, conditions)


def _ask(
    question: Question,
    one: Generator,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: tuple[str, ...],
    *,
    light: bool,
) -> LegLoad:
    load = LegLoad(
        question,
        entry=one,
        service=service,
        draws=in_phase(draws),
        conditions=conditions,
        light=light,
    )
    question.ask("rating_W", one, "power", worse="higher" if light else "lower")
    ask_unread(question, one, load, worse="lower" if light else "higher")
    return load


def _most(
    one: Generator, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> Finding:
    question = Question()
    load = _ask(question, one, service, draws, conditions, light=False)
    ask_air(question, one)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return watts(load, given) / given["rating_W"], engine_factor(given)

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    factor = float(engine_factor(best))
    sources: list[Source] = [table("ac_practice").source(field="power factor not read")]
    notes = []
    if float(ruling.limit.low) < 1.0:
        sources += [
            table("engine_derate_ambient").source(),
            table("engine_derate_altitude").source(),
        ]
        notes.append(
            "What heat and height take is that of two other sets, one large and one portable: the "
            "papers of its own engine hold first."
        )
    return question.finding(
        ruling,
        entry=one,
        quantity="percentage",
        worst="B",
        statement=lambda value, limit: (
            f"Generator '{one.id}' {in_words(conditions)} is loaded to {value} of its {_kW(one)}; "
            f"it gives no more than {limit}."
        ),
        working=[
            Step("P", "sum of the real power", "", float(watts(load, best)), "W"),
            Step("k", "kW left in its air and at its height", "", factor * 100, "%"),
        ],
        sources=sources,
        remedy="Leave "
        + units.show_limit(
            max(float(ruling.value.high - ruling.limit.low), 0.0) * one.power.span[2],
            "power",
            sense="at least",
        )
        + " of loads off while it carries this.",
        notes=notes,
        part=f"most kW {named(conditions)}",
    )


def _least(
    one: Generator, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> Finding:
    question = Question()
    load = _ask(question, one, service, draws, conditions, light=True)
    least, _, _ = possible("least load of a diesel")

    def requirement(**given: Any) -> tuple[Any, Any]:
        return watts(load, given) / given["rating_W"], least

    ruling = question.rule(requirement, "at least")
    return question.finding(
        ruling,
        entry=one,
        quantity="percentage",
        worst="C",
        statement=lambda value, limit: (
            f"Generator '{one.id}' {in_words(conditions)} is loaded to {value} of its {_kW(one)}; "
            f"a diesel wants {limit} or more for steady running."
        ),
        sources=[table("ac_practice").source(field="least load of a diesel")],
        remedy="Run heating, charging or the water heater with it, or run it less.",
        part=f"least kW {named(conditions)}",
    )


def _kW(one: Generator) -> str:
    return units.show(one.power.span[1], "power", unit="kW")
