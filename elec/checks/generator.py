"""Generators: load on each leg, kW, starting of the largest motor, light load, fuel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, practice
from elec.boat.records import STANDARD_CONDITIONS, BoatFile, Generator
from elec.calc import motors
from elec.checks.generator_start import judge_start
from elec.checks.leg_load import LegLoad
from elec.checks.question import Question, Worse
from elec.checks.running import conditions_of, draws_of, in_words, named
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "generator"
CHECKS = (CHECK,)


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
            if one.power.seen:
                findings += _watts(one, service, draws, chosen)
        findings += judge_start(one, draws, _apparent(one))
    return findings, skipped


def _service(boat: BoatFile, one: Generator) -> Service | None:
    if one.service != "?":
        return SERVICES[one.service]
    services = {inlet.service for inlet in boat.inlet if inlet.service != "?"}
    return SERVICES[services.pop()] if len(services) == 1 else None


def _draws(boat: BoatFile, one: Generator, service: Service) -> list[AcDraw]:
    sources = [inlet for inlet in boat.inlet if one.feeds is None or inlet.id in one.feeds]
    return [d for source in (one, *sources) for d in draws_of(boat, source, service)]


def _apparent(one: Generator) -> Noted:
    """Return its kVA, noted or from its kW at a power factor not read."""
    if one.apparent_power.seen:
        return one.apparent_power
    low, high, source = practice("power factor of a generator")
    least, _, most = one.power.span
    return noted.between(
        least / high,
        most / low,
        "apparent_power",
        origin="typical",
        source=f"{one.power.text} at a power factor from {source}",
        text="not seen",
        best=least / high,
    )


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


def _ask_rating(question: Question, one: Generator) -> None:
    question.noted(
        "rating_VA",
        _apparent(one),
        entry=one,
        field="kVA",
        worse="lower",
        read=f"kVA and power factor on the plate of '{one.id}'",
    )
    low, high, source = practice("air at a generator's intake")
    air = one.intake
    if not air.seen:
        air = noted.between(
            low,
            high,
            "temperature",
            origin="typical",
            source=source,
            text="not seen",
            best=min(40.0, high),
        )
    question.noted(
        "air_C",
        air,
        entry=one,
        field="air at its intake",
        worse="higher",
        read=f"the air at the intake of '{one.id}' after an hour at full load",
    )
    if one.altitude.seen:
        question.noted("altitude_m", one.altitude, entry=one, field="altitude", worse="higher")
    else:
        question.exact("altitude_m", 0.0)


def derated_VA(given: dict[str, Any]) -> Any:
    """Return what is left of the rating at the intake's air and altitude."""
    ambient, altitude = table("alternator_derate_ambient"), table("alternator_derate_altitude")
    coolest = float(ambient.numbers("ambient_C").min())
    lowest = float(altitude.numbers("altitude_m").min())
    return motors.derated_VA(
        given["rating_VA"],
        ambient_factor=ambient.linear("ambient_C", "factor", np.maximum(given["air_C"], coolest)),
        altitude_factor=altitude.linear(
            "altitude_m", "factor", np.maximum(given["altitude_m"], lowest)
        ),
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
    _ask_rating(question, one)
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
        * SERVICES[inlet.service].to_neutral_V
        * len(SERVICES[inlet.service].legs)
        for inlet in boat.inlet
        if inlet.rating.seen and inlet.service != "?"
    )
    notes = [
        "The alternator's derating; the engine loses power of its own in hot or thin air.",
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


def _watts(
    one: Generator, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> list[Finding]:
    """Judge the real load against the kW: not more, and not so little that a diesel suffers."""
    found = []
    least, _, _ = practice("least load of a diesel")
    kW = units.show(one.power.span[1], "power", unit="kW")
    for sense, share, worst in (("at most", 1.0, "B"), ("at least", least, "C")):
        question = Question()
        most = sense == "at most"
        load = _load(question, one, service, draws, conditions, light=not most)
        question.noted(
            "rating_W", one.power, entry=one, field="kW", worse="lower" if most else "higher"
        )
        question.exact("share", share)
        _ask_power_factor(question, one, load, worse="higher" if most else "lower")

        def requirement(load: LegLoad = load, **given: Any) -> tuple[Any, Any]:
            heat = [c for c in load.counted if c.one.behaviour == "resistance"]
            legs, adrift = load.by_leg(given, heat)
            plain = adrift + sum(legs.values())
            rest = load.total_A(given) - plain
            watts = service.to_neutral_V * (plain + rest * given["power_factor"])
            return watts / given["rating_W"], given["share"] + 0.0 * watts

        ruling = question.rule(requirement, sense)  # type: ignore[arg-type]
        words = (
            "it gives no more than {}" if most else "a diesel wants {} or more for steady running"
        )
        found.append(
            question.finding(
                ruling,
                check=CHECK,
                entry=one,
                sense=sense,  # type: ignore[arg-type]
                quantity="percentage",
                worst=worst,  # type: ignore[arg-type]
                statement=lambda value, limit, words=words: (  # type: ignore[misc]
                    f"Generator '{one.id}' {in_words(conditions)} is loaded to {value} of its "
                    f"{kW}; {words.format(limit)}."
                ),
                sources=[
                    table("ac_practice").source(
                        field="power factor not read" if most else "least load of a diesel"
                    )
                ],
                remedy="Leave loads off while it carries this."
                if most
                else "Run heating, charging or the water heater with it, or run it less.",
                part=f"{'most' if most else 'least'} kW {named(conditions)}",
            )
        )
    return found


def _ask_power_factor(question: Question, one: Generator, load: LegLoad, *, worse: Worse) -> None:
    if load.heaters_only:
        question.exact("power_factor", 1.0)
        return
    low, high, source = practice("power factor not read")
    question.noted(
        "power_factor",
        noted.between(
            low, high, "ratio", origin="typical", source=source, text="not seen", best=high
        ),
        entry=one,
        field="power factor of what runs, heaters apart",
        worse=worse,
    )
