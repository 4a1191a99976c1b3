"""Generators: load on each leg, kW, starting of the largest motor, light load, fuel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from elec import units
from elec.boat.ac_loads import PAIRS, SERVICES, AcDraw, Service, service_of
from elec.boat.records import STANDARD_CONDITIONS, BoatFile, Generator
from elec.calc.ac import motors
from elec.checks.aboard.generator_rating import apparent_of, ask_rating, derated_VA
from elec.checks.aboard.generator_start import judge_start
from elec.checks.aboard.generator_watts import judge_watts
from elec.checks.banks.bank_loads import DOCK
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.running import conditions_of, draws_of, in_words, named
from elec.checks.presence import presence_finding
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import NO
from elec.published import table

__all__ = ["CHECKS", "check", "misfits_of"]

CHECK = "generator"
CHECKS = (CHECK,)
#: How far the voltage on a load may lie from that of its source. Our own convention, wider than
#: any published limit.
_LEAST_V, _MOST_V = 0.8, 1.25


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every generator under each condition away from the dock, and the boat's own."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for one in boat.generator:
        service = _service(boat, one)
        read = f"kW, kVA and voltages on the plate of '{one.id}'"
        if service is None:
            reason = "its service (voltages and legs) was not noted"
            skipped.append(NotChecked(CHECK, one.id, reason, one.where, read))
            continue
        draws = _draws(boat, one, service)
        if not draws:
            skipped.append(NotChecked(CHECK, one.id, "no load was noted on it"))
            continue
        misfits = [
            d
            for d in misfits_of(service, draws)
            if d.load.when is None or d.load.use.is_surely("always") or set(d.load.when) - {DOCK}
        ]
        if misfits:
            findings.append(_service_finding(one, service, misfits))
            draws = [d for d in draws if not any(d is other for other in misfits)]
            if not draws:
                continue
        own = [name for name in boat.boat.conditions if name not in STANDARD_CONDITIONS]
        away = [name for name in STANDARD_CONDITIONS if name != "shore"]
        conditions = [c for c in conditions_of(draws, [*away, *own]) if c]
        if not (one.power.seen or one.apparent_power.seen):
            skipped.append(_needs(one, service, draws, conditions, read))
            continue
        if not conditions:
            reason = "which loads it carries together was not noted"
            read = f"what runs on '{one.id}' at anchor and under way"
            skipped.append(NotChecked(CHECK, one.id, reason, one.where, read))
        for chosen in conditions:
            findings.append(_legs(boat, one, service, draws, chosen))
            for answer in judge_watts(one, service, draws, chosen) if one.power.seen else ():
                (findings if isinstance(answer, Finding) else skipped).append(answer)  # type: ignore[arg-type]
        findings += judge_start(one, draws, apparent_of(one))
    return findings, skipped


def _service(boat: BoatFile, one: Generator) -> Service | None:
    if one.service.seen:
        return service_of(one)
    services = {inlet.service.word for inlet in boat.inlet if inlet.service.seen}
    return SERVICES[services.pop()] if len(services) == 1 else None


def _draws(boat: BoatFile, one: Generator, service: Service) -> list[AcDraw]:
    sources = [inlet for inlet in boat.inlet if one.feeds is None or inlet.id in one.feeds]
    draws = [d for source in (one, *sources) for d in draws_of(boat, source, service)]
    if len(service.legs) == 1:  # one leg feeds loads of every leg
        draws = [replace(d, legs=service.legs) if len(d.legs) == 1 else d for d in draws]
    return draws


def misfits_of(service: Service, draws: Sequence[AcDraw]) -> list[AcDraw]:
    """Return the loads that a service cannot feed: of another voltage, or between its one leg."""
    volts = (service.to_neutral_V, service.between_legs_V or service.to_neutral_V)
    return [
        d
        for d in draws
        if not set(d.legs) <= set(service.legs)
        or (d.load.legs.is_surely("all") and len(service.legs) < 3)
        or not any(_LEAST_V <= d.rated_V / one <= _MOST_V for one in volts)
    ]


def _service_finding(one: Generator, service: Service, misfits: Sequence[AcDraw]) -> Finding:
    """Say what a generator cannot feed."""
    names = ", ".join(f"'{d.load.id}' ({_needed(d)})" for d in misfits)
    gives = one.service.word if one.service.seen else f"{service.supply_V:g} V"
    return presence_finding(
        NO,
        check=CHECK,
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


def _needs(
    one: Generator,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: Sequence[tuple[str, ...]],
    read: str,
) -> NotChecked:
    reason = "its rating was not noted"
    if conditions:
        amps = []
        for chosen in conditions:
            question = Question()
            load = _load(question, one, service, draws, chosen)
            amps.append(float(load.heaviest_A(question.best_values())))
        VA = max(amps) * service.to_neutral_V * len(service.legs)
        needed = units.show_limit(VA, "apparent_power", sense="at least", unit="kVA")
        reason += f"; the heaviest condition noted asks for {needed}, its legs even"
    return NotChecked(CHECK, one.id, reason, one.where, read)


def _load(
    question: Question,
    one: Generator,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: Sequence[str],
    *,
    light: bool = False,
) -> LegLoad:
    return LegLoad(
        question, entry=one, service=service, draws=draws, conditions=conditions, light=light
    )


def _legs(
    boat: BoatFile,
    one: Generator,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: tuple[str, ...],
) -> Finding:
    question = Question()
    load = _load(question, one, service, draws, conditions)
    ask_rating(question, one)
    volts = service.to_neutral_V * len(service.legs)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return load.heaviest_A(given), derated_VA(given) / volts + 0.0 * given["uneven"]

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    carried_VA = float(load.total_A(best)) * service.to_neutral_V
    rated_VA = float(best["rating_VA"])
    full = plate = units.show(rated_VA, "apparent_power", unit="kVA")
    if not one.apparent_power.seen:
        full = f"its {one.power.text}, of a power factor that was not read,"
    inlets_VA = sum(
        inlet.rating.span[1]
        * SERVICES[inlet.service.word].to_neutral_V
        * len(SERVICES[inlet.service.word].legs)
        for inlet in boat.inlet
        if inlet.rating.seen and inlet.service.seen
    )
    notes = [
        "The alternator's derating; what its engine loses besides is judged against its kW.",
    ]
    if len(boat.inlet) > 1 and inlets_VA > rated_VA:
        notes.append(
            f"{len(boat.inlet)} full inlets are "
            f"{units.show(inlets_VA, 'apparent_power', unit='kVA')}, more than its {plate}: it "
            "cannot carry all that the dock can."
        )
    return question.finding(
        ruling,
        check=CHECK,
        entry=one,
        sense="at most",
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
            *_fuel(one, carried_VA),
        ],
        sources=[
            table("alternator_derate_ambient").source(),
            *([table("diesel_generator_fuel").source()] if _fuel(one, carried_VA) else []),
        ],
        remedy=f"Manage the loads: leave {_excess(ruling.value.high, ruling.limit.low)} a leg off "
        "while the generator carries this.",
        notes=notes,
        part=named(conditions),
    )


def _excess(value_A: float, limit_A: float) -> str:
    return units.show_limit(max(value_A - limit_A, 0.0), "current", sense="at least")


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
