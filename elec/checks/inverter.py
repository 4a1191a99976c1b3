"""Inverters: output against what they carry, and starting against their surge."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from elec import units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, practice
from elec.boat.records import STANDARD_CONDITIONS, Bank, BoatFile, Inverter
from elec.boat.typical import possible
from elec.calc import ac
from elec.checks.generator_start import hardest_start
from elec.checks.leg_load import LegLoad, conditions_of, draws_of, in_words, named
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "inverter"
CHECKS = (CHECK,)


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every inverter under each condition in which its loads were noted."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for one in boat.inverter:
        read = f"W or VA on the plate of '{one.id}'"
        if not one.power.seen:
            skipped.append(NotChecked(CHECK, one.id, "its output was not noted", one.where, read))
            continue
        name = one.service if one.service != "?" else ("120 V" if basis == "us" else "230 V")
        service = SERVICES[name]
        draws = draws_of(boat, one, service)
        if not draws:
            reason = "no load was noted on it"
            skipped.append(NotChecked(CHECK, one.id, reason, one.where, f"what '{one.id}' carries"))
            continue
        known = [*STANDARD_CONDITIONS, *boat.boat.conditions]
        for conditions in conditions_of(draws, known):
            findings.append(_output(boat, one, service, draws, conditions))
        findings += _surge(one, draws)
    return findings, skipped


def _output(
    boat: BoatFile,
    one: Inverter,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: tuple[str, ...],
) -> Finding:
    question = Question()
    load = LegLoad(question, entry=one, service=service, draws=draws, conditions=conditions)
    question.noted("rating_W", one.power, entry=one, field="output", worse="lower")

    def requirement(**given: Any) -> tuple[Any, Any]:
        return load.total_A(given) * service.to_neutral_V, given["rating_W"] + 0.0 * given["uneven"]

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    watts = float(load.total_A(best)) * service.to_neutral_V
    return question.finding(
        ruling,
        check=CHECK,
        entry=one,
        sense="at most",
        quantity="power",
        worst="B",
        statement=lambda value, limit: (
            f"Inverter '{one.id}' {in_words(conditions)} carries {value}; it gives {limit}."
        ),
        working=[
            *load.steps(),
            Step("S", "current x volts", "", watts, "VA"),
            *_direct_current(boat, one, watts),
        ],
        sources=[table("ac_practice").source(field="lowest bank voltage over nominal")],
        remedy="Leave a load off it, or feed the largest from shore or generator only.",
        notes=["Volt-amperes against its watts: its real load is no more than this."],
        part=named(conditions),
    )


def _direct_current(boat: BoatFile, one: Inverter, watts: float) -> list[Step]:
    """Return what it takes from its bank at this load, at the lowest voltage it works at."""
    bank = boat.find(one.bank) if one.bank else None
    if not (isinstance(bank, Bank) and bank.voltage.seen):
        return []
    low, _, _ = practice("lowest bank voltage over nominal")
    volts = one.lowest_voltage.span[0] if one.lowest_voltage.seen else low * bank.voltage.span[0]
    worst = one.efficiency.span[0] if one.efficiency.seen else possible("inverter efficiency")[0]
    _, idle_high, _ = practice("idle draw of an inverter at 12 V")
    idle = (
        one.idle.span[2]
        if one.idle.seen
        else idle_high * one.power.span[2] / 1000 * 12 / bank.voltage.span[0]
    )
    amps = ac.inverter_dc_current_A(watts, bank_V=volts, efficiency=worst, idle_A=idle)
    return [
        Step("I idle", "with nothing on", "", idle, "A"),
        Step(
            "I bank",
            "P / (V eta) + idle, for cable and fuse",
            f"{watts:.4g} / ({volts:.4g} x {worst:.3g}) + {idle:.3g}",
            float(amps),
            "A",
            "lowest voltage of the bank",
        ),
    ]


def _surge(one: Inverter, draws: Sequence[AcDraw]) -> list[Finding]:
    found = hardest_start(draws)
    if found is None or not one.surge.seen:
        return []
    hardest, start, source, words = found
    question = Question()
    question.noted(
        "start_VA",
        start,
        entry=hardest.load,
        field="starting load",
        worse="higher",
        read=f"locked-rotor amperes or code letter on the plate of '{hardest.load.id}'",
    )
    question.noted("surge_W", one.surge, entry=one, field="surge", worse="lower")
    ruling = question.rule(lambda **given: (given["start_VA"], given["surge_W"]), "at most")
    return [
        question.finding(
            ruling,
            check=CHECK,
            entry=one,
            sense="at most",
            quantity="power",
            worst="C",
            statement=lambda value, limit: (
                f"Starting '{hardest.load.id}' asks inverter '{one.id}' for {value} for a moment; "
                f"its surge is {limit}."
            ),
            working=[Step("S start", words, "", float(question.best("start_VA")), "VA")],
            sources=[source, table("ac_practice").source(field="locked-rotor multiple")],
            remedy="A soft start, or feed it from shore or generator: it takes at least "
            f"{units.show(start.span[0], 'apparent_power')} for a moment.",
            part="motor start",
        )
    ]
