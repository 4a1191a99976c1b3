"""Inverters: output against what they carry, and starting against their surge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from elec import units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, charger_noted, practice
from elec.boat.possible import possible
from elec.boat.records import STANDARD_CONDITIONS, Bank, BoatFile, Inverter
from elec.calc import ac
from elec.checks.aboard.generator_start import hardest_start, to_read
from elec.checks.banks.bank_loads import DOCK
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.real_power import ask_unread, in_phase, watts, watts_of
from elec.checks.legs.running import conditions_ashore, conditions_of, draws_of, in_words, named
from elec.checks.question import Option, Question
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
        name = one.service.word if one.service.seen else ("120 V" if basis == "us" else "230 V")
        service = SERVICES[name]
        draws = draws_of(boat, one, service)
        for answer in _from_shore(boat, one, service, draws):
            (findings if isinstance(answer, Finding) else skipped).append(answer)  # type: ignore[arg-type]
        read = f"W or VA on the plate of '{one.id}'"
        if not one.power.seen:
            skipped.append(NotChecked(CHECK, one.id, "its output was not noted", one.where, read))
            continue
        if not draws:
            reason = "no load was noted on it"
            skipped.append(NotChecked(CHECK, one.id, reason, one.where, f"what '{one.id}' carries"))
            continue
        for conditions in _off_shore(boat, one, draws):
            findings.append(_output(boat, one, service, draws, conditions))
        findings += _surge(one, draws)
    return findings, skipped


def _off_shore(boat: BoatFile, one: Inverter, draws: Sequence[AcDraw]) -> list[tuple[str, ...]]:
    """Return the conditions in which its loads run on it: not at the dock where it passes on."""
    every = conditions_of(draws, [*STANDARD_CONDITIONS, *boat.boat.conditions])
    if not one.passes_through.is_surely("yes"):
        return every
    without = [tuple(name for name in names if name != DOCK) for names in every]
    return [
        names for names, all_names in zip(without, every, strict=True) if names or not all_names
    ]


def _from_shore(
    boat: BoatFile, one: Inverter, service: Service, draws: Sequence[AcDraw]
) -> list[Finding | NotChecked]:
    """Judge what it passes on against its transfer rating; say what is not counted on its inlet."""
    if one.passes_through.is_surely("no"):
        return []
    found: list[Finding | NotChecked] = []
    if one.passes_through.is_surely("yes") and not one.input.seen and not charger_noted(boat, one):
        taken = "what chargers take is counted on the inlet"
        if one.inlet is None and len(boat.inlet) != 1:
            taken = "it is not counted on any inlet, for its own was not named"
        found.append(
            NotChecked(
                CHECK,
                one.id,
                f"the AC input of its own charger was not noted: {taken}",
                one.where,
                f"AC input of the charger in '{one.id}', in VA or amperes",
            )
        )
    if not draws:
        return found
    conditions = conditions_ashore(boat, draws)
    if not one.transfer.seen:
        if one.passes_through.is_surely("yes"):
            amps = max(_passed_A(one, service, draws, c) for c in conditions)
            most = units.show_limit(amps, "current", sense="at least")
            found.append(
                NotChecked(
                    CHECK,
                    one.id,
                    f"how much it passes on was not noted: its loads ask for up to {most} a leg",
                    one.where,
                    f"the transfer (pass-through) rating on the plate of '{one.id}'",
                )
            )
        return found
    return [*found, *(_transfer(one, service, draws, c) for c in conditions)]


def _passed_A(
    one: Inverter, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> float:
    question = Question()
    load = LegLoad(question, entry=one, service=service, draws=draws, conditions=conditions)
    return float(load.heaviest_A(question.worst_values()))


def _transfer(
    one: Inverter, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> Finding:
    question = Question()
    perhaps = [replace(d, perhaps=not one.passes_through.seen) for d in draws]
    load = LegLoad(question, entry=one, service=service, draws=perhaps, conditions=conditions)
    question.noted("transfer_A", one.transfer, entry=one, field="transfer rating", worse="lower")
    ruling = question.rule(
        lambda **given: (load.heaviest_A(given), given["transfer_A"] + 0.0 * given["uneven"]),
        "at most",
    )
    most = units.show_limit(one.transfer.span[0], "current", sense="at most")
    return question.finding(
        ruling,
        check=CHECK,
        entry=one,
        sense="at most",
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"Inverter '{one.id}' {in_words(conditions)} passes on {value}"
            f"{' on its heavier leg' if len(service.legs) > 1 else ''} from the shore; its "
            f"transfer rating is {limit}."
        ),
        working=load.steps(),
        remedy=f"Keep its loads to {most} at once, or feed the largest past it.",
        notes=[]
        if one.input.seen and one.input.span[2] == 0
        else ["Its own charger draws on the inlet besides."],
        part=f"transfer {named(conditions)}".strip(),
    )


def _output(
    boat: BoatFile,
    one: Inverter,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: tuple[str, ...],
) -> Finding:
    question = Question()
    real = in_phase(draws)
    load = LegLoad(question, entry=one, service=service, draws=real, conditions=conditions)
    question.noted("rating_W", one.power, entry=one, field="output", worse="lower")
    ask_unread(question, one, load, worse="higher")
    _ask_on_it(question, one, conditions)

    def requirement(**given: Any) -> tuple[Any, Any]:
        carried = watts(load, given) * given["on_it"]
        return carried, given["rating_W"] + 0.0 * carried

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    carried_W = float(watts(load, best))
    apparent = LegLoad(Question(), entry=one, service=service, draws=draws, conditions=conditions)
    apparent_VA = float(apparent.total_A(apparent.best_values())) * service.to_neutral_V
    notes = []
    if apparent_VA > float(one.power.span[0]) * (1 + 1e-9) and ruling.verdict != "inadequate":
        notes.append(
            f"It carries {units.show(apparent_VA, 'apparent_power', unit='kVA')} apparent: if the "
            "output on its plate is a limit in volt-amperes too, that is too much. Read its VA."
        )
    most = units.show_limit(
        max(float(ruling.value.high - ruling.limit.low), 0.0), "power", sense="at least"
    )
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
            *apparent.steps(),
            Step("S", "current x volts", "", apparent_VA, "VA"),
            Step(
                "P",
                "sum of the real power",
                " + ".join(
                    f"{float(watts_of(load, c, best)):.4g} {c.one.load.id}" for c in load.counted
                ),
                carried_W,
                "W",
            ),
            *_direct_current(boat, one, carried_W),
        ],
        sources=[table("ac_practice").source(field="lowest bank voltage over nominal")],
        remedy=f"Leave {most} of loads off it, or feed the largest from shore or generator only.",
        notes=notes,
        part=named(conditions),
    )


def _ask_on_it(question: Question, one: Inverter, conditions: tuple[str, ...]) -> None:
    """Add whether its loads run on it (1) at the dock, or on the power it passes on (0)."""
    if conditions != (DOCK,) or one.passes_through.seen:
        question.exact("on_it", 1.0)
        return
    question.among(
        "on_it",
        [Option(0.0, "yes"), Option(1.0, "no")],
        entry=one,
        field="power passed on from the shore",
        worse="higher",
        best=1.0,
        more="",
        source="passed on at the dock, or not",
        read=f"whether '{one.id}' passes shore power on",
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
        read=to_read(hardest),
    )
    question.noted("surge_W", one.surge, entry=one, field="surge", worse="lower")
    ruling = question.rule(lambda **given: (given["start_VA"], given["surge_W"]), "at most")
    return [
        question.finding(
            ruling,
            check=CHECK,
            entry=one,
            sense="at most",
            quantity="apparent_power",
            worst="C",
            statement=lambda value, limit: (
                f"Starting '{hardest.load.id}' asks inverter '{one.id}' for {value} for a moment; "
                f"its surge is {limit}."
            ),
            working=[Step("S start", words, "", float(question.best("start_VA")), "VA")],
            sources=[source, table("ac_practice").source(field="locked-rotor multiple")],
            remedy="A soft start, or feed it from shore or generator: it takes at least "
            f"{units.show(start.span[0], 'apparent_power')} for a moment.",
            notes=["Its surge in watts is taken as volt-amperes: what limits it is current."],
            part="motor start",
        )
    ]
