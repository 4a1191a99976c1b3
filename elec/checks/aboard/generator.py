"""Generators: load on each leg, kW, starting of the largest motor, light load, fuel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from elec import units
from elec.boat.ac_loads import PAIRS, AcDraw, Service, service_of
from elec.boat.records import STANDARD_CONDITIONS, AcLoad, BoatFile, Generator
from elec.calc.ac import motors
from elec.checks.aboard.generator_rating import ask_rating, derated_VA
from elec.checks.aboard.generator_start import judge_start
from elec.checks.aboard.generator_watts import judge_watts
from elec.checks.aboard.sources import fed_by, misfits_of, plate_of, service_given
from elec.checks.banks.bank_loads import DOCK
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.running import conditions_of, in_words, named
from elec.checks.presence import presence_finding
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, NotChecked, Step
from elec.noted import NO
from elec.published import table


def _generator(one: Generator, boat: BoatFile, basis: str) -> Iterator[Finding | NotChecked]:
    """Judge it under each condition away from the dock, and the boat's own."""
    service = service_given(boat, one, basis)
    if service is None:
        raise CannotJudge("its service (voltages and legs) was not noted", plate_of(one))
    draws = fed_by(boat, one, service)
    if not draws:
        raise CannotJudge("no load was noted on it")
    misfits = [d for d in misfits_of(service, draws) if _off_dock(d.load)]
    if misfits:
        yield _service_finding(one, service, misfits)
        draws = [d for d in draws if not any(d is other for other in misfits)]
        if not draws:
            return
    own = [name for name in boat.boat.conditions if name not in STANDARD_CONDITIONS]
    away = [name for name in STANDARD_CONDITIONS if name != "shore"]
    conditions = [c for c in conditions_of(draws, [*away, *own]) if c]
    if not (one.power.seen or one.apparent_power.seen):
        raise CannotJudge(_unrated(one, service, draws, conditions), plate_of(one))
    if not conditions:
        reason = "which loads it carries together was not noted"
        read = f"what runs on '{one.id}' at anchor and under way"
        yield NotChecked("generator", one.id, reason, one.where, read)
    for chosen in conditions:
        yield _legs(boat, one, service, draws, chosen)
        if one.power.seen:
            yield from judge_watts(one, service, draws, chosen)
    if (start := judge_start(one, draws)) is not None:
        yield start


def _off_dock(load: AcLoad) -> bool:
    """Whether a load is noted to run anywhere but at the dock, or not noted when it runs."""
    return load.when is None or load.use.is_surely("always") or bool(set(load.when) - {DOCK})


def _service_finding(one: Generator, service: Service, misfits: Sequence[AcDraw]) -> Finding:
    """Say what a generator cannot feed."""
    names = ", ".join(f"'{d.load.id}' ({_needed(d)})" for d in misfits)
    gives = one.service.word if one.service.seen else f"{service.supply_V:g} V"
    return presence_finding(
        NO,
        entry=one,
        field="its service",
        labels=("does not fit its loads", "fits its loads"),
        read=f"the voltages on the plate of '{one.id}', and what it feeds",
        words={
            "no": f"Generator '{one.id}' gives {gives}; it cannot feed {names}, which "
            f"{'are' if len(misfits) > 1 else 'is'} left out of what it carries."
        },
        worst="B",
        sources=[table("shore_services").source()],
        remedy="Feed them from shore only, behind a switch that keeps them off the generator, or "
        "fit a generator of their voltage and legs.",
        part="service",
    )


def _needed(one: AcDraw) -> str:
    between = one.load.legs.is_surely(*PAIRS) or one.load.legs.is_surely("all")
    return f"{one.rated_V:g} V" + (f", {one.load.legs}" if between else "")


def _unrated(
    one: Generator,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: Sequence[tuple[str, ...]],
) -> str:
    """Return why a generator of no noted rating is not judged, with the rating it is asked for."""
    amps = []
    for chosen in conditions:
        question = Question()
        load = LegLoad(question, entry=one, service=service, draws=draws, conditions=chosen)
        amps.append(float(load.heaviest_A(question.best_values())))
    if not amps:
        return "its rating was not noted"
    VA = max(amps) * service.to_neutral_V * len(service.legs)
    needed = units.show_limit(VA, "apparent_power", sense="at least", unit="kVA")
    return (
        f"its rating was not noted; the heaviest condition noted asks for {needed}, its legs even"
    )


def _legs(
    boat: BoatFile,
    one: Generator,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: tuple[str, ...],
) -> Finding:
    question = Question()
    load = LegLoad(question, entry=one, service=service, draws=draws, conditions=conditions)
    ask_rating(question, one)
    volts = service.to_neutral_V * len(service.legs)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return load.heaviest_A(given), derated_VA(given) / volts

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    carried_VA = float(load.total_A(best)) * service.to_neutral_V
    rated_VA = float(best["rating_VA"])
    full = units.show(rated_VA, "apparent_power", unit="kVA")
    if not one.apparent_power.seen:
        full = f"its {one.power.text}, of a power factor that was not read,"
    fuel = _fuel(one, carried_VA)
    more_A = max(float(ruling.value.high - ruling.limit.low), 0.0)
    leave = units.show_limit(more_A, "current", sense="at least")
    return question.finding(
        ruling,
        entry=one,
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"Generator '{one.id}' {in_words(conditions)}: {value}"
            f"{' on its heavier leg' if len(service.legs) > 1 else ''}; {full} gives {limit}"
            f"{' a leg' if len(service.legs) > 1 else ''}."
        ),
        working=[
            *load.steps(),
            Step(
                "I rated",
                "kVA / volts, by leg",
                f"{rated_VA:g} / {volts:g}",
                rated_VA / volts,
                "A",
            ),
            Step("S", "sum of the legs x volts to neutral", "", carried_VA, "VA"),
            *fuel,
        ],
        sources=[
            table("alternator_derate_ambient").source(),
            *([table("diesel_generator_fuel").source()] if fuel else []),
        ],
        remedy=f"Manage the loads: leave {leave} a leg off while the generator carries this.",
        notes=[
            "The alternator's derating; what its engine loses besides is judged against its kW.",
            *_beside_inlets(boat, rated_VA),
        ],
        part=named(conditions),
    )


def _beside_inlets(boat: BoatFile, rated_VA: float) -> list[str]:
    """Say so where several inlets bring aboard more than a generator gives."""
    services = [(inlet, service_of(inlet)) for inlet in boat.inlet if inlet.rating.seen]
    inlets_VA = sum(
        inlet.rating.span[1] * service.to_neutral_V * len(service.legs)
        for inlet, service in services
        if service is not None
    )
    if len(boat.inlet) < 2 or inlets_VA <= rated_VA:
        return []
    ashore, plate = (units.show(VA, "apparent_power", unit="kVA") for VA in (inlets_VA, rated_VA))
    return [
        f"{len(boat.inlet)} full inlets are {ashore}, more than its {plate}: it cannot carry all "
        "that the dock can."
    ]


def _fuel(one: Generator, carried_VA: float) -> list[Step]:
    """Return the fuel at this load by the two listed sets that lie round it, if they do."""
    if not one.power.seen:
        return []
    chart = table("diesel_generator_fuel")
    rated = one.power.span[1]
    share = carried_VA / rated
    listed = sorted({float(r) for r in chart.text("rating_kW")})
    near = {max((k for k in listed if k * 1000 <= rated * (1 + 1e-9)), default=None)}
    near.add(min((k for k in listed if k * 1000 >= rated * (1 - 1e-9)), default=None))
    steps = []
    for kW in sorted(k for k in near if k is not None):
        rows = chart.where(rating_kW=f"{kW:g}")
        shares = rows.numbers("load_fraction")
        if shares[0] <= share <= shares[-1]:
            liters = motors.fuel_L_per_h(
                share, listed_fraction=shares, listed_L_per_h=rows.numbers("fuel_L_per_h")
            )
            steps.append(
                Step(
                    "fuel",
                    f"a set of {kW:g} kW at {share * 100:.0f} %",
                    "",
                    float(liters),
                    "L/h",
                    "generic chart, 20 % at best",
                )
            )
    return steps


CHECK = Check(
    name="generator",
    judges="load by leg, kW, starting of the largest motor, light load",
    system="AC and generator",
    place=181,
    of="generator",
    ask=_generator,
)
