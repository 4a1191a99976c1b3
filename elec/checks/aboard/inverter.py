"""Inverters: output against what they carry, and starting against their surge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from elec import units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, charger_noted, service_of
from elec.boat.possible import possible, value_of
from elec.boat.records import STANDARD_CONDITIONS, Bank, BoatFile, Inverter
from elec.calc import ac
from elec.checks.aboard.generator_start import ask_start, hardest_start
from elec.checks.aboard.sources import plate_of
from elec.checks.banks.bank_loads import DOCK
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.real_power import ask_unread, in_phase, watts, watts_of
from elec.checks.legs.running import conditions_ashore, conditions_of, draws_of, in_words, named
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, NotChecked, Step
from elec.published import table


def _inverter(one: Inverter, boat: BoatFile, basis: str) -> Iterator[Finding | NotChecked]:
    """Judge it under each condition in which its loads were noted."""
    service = service_of(one) or SERVICES["120 V" if basis == "us" else "230 V"]
    draws = draws_of(boat, one, service)
    yield from _from_shore(boat, one, service, draws)
    if not one.power.seen:
        raise CannotJudge("its output was not noted", plate_of(one))
    if not draws:
        raise CannotJudge("no load was noted on it", f"what '{one.id}' carries")
    for conditions in _off_shore(boat, one, draws):
        yield _output(boat, one, service, draws, conditions)
    if (surge := _surge(one, draws)) is not None:
        yield surge


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
) -> Iterator[Finding | NotChecked]:
    """Judge what it passes on against its transfer rating; say what is not counted on its inlet."""
    sure = one.passes_through.is_surely("yes")
    if sure and not one.input.seen and not charger_noted(boat, one):
        taken = "what chargers take is counted on the inlet"
        if one.inlet is None and len(boat.inlet) != 1:
            taken = "it is not counted on any inlet, for its own was not named"
        reason = f"the AC input of its own charger was not noted: {taken}"
        read = f"AC input of the charger in '{one.id}', in VA or amperes"
        yield NotChecked("inverter", one.id, reason, one.where, read)
    if not draws or one.passes_through.is_surely("no"):
        return
    conditions = conditions_ashore(boat, draws)
    if one.transfer.seen:
        for chosen in conditions:
            yield _transfer(one, service, draws, chosen)
    elif sure:
        amps = max(_passed_A(one, service, draws, c) for c in conditions)
        most = units.show_limit(amps, "current", sense="at least")
        reason = f"how much it passes on was not noted: its loads ask for up to {most} a leg"
        read = f"the transfer (pass-through) rating on the plate of '{one.id}'"
        yield NotChecked("inverter", one.id, reason, one.where, read)


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
    question.ask("transfer_A", one, "transfer", worse="lower")
    ruling = question.rule(lambda **given: (load.heaviest_A(given), given["transfer_A"]), "at most")
    most = units.show_limit(one.transfer.span[0], "current", sense="at most")
    return question.finding(
        ruling,
        entry=one,
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
    question.ask("rating_W", one, "power", worse="lower")
    ask_unread(question, one, load, worse="higher")
    _ask_on_it(question, one, conditions)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return watts(load, given) * given["on_it"], given["rating_W"]

    ruling = question.rule(requirement, "at most")
    apparent = LegLoad(Question(), entry=one, service=service, draws=draws, conditions=conditions)
    apparent_VA = float(apparent.total_A(apparent.best_values())) * service.to_neutral_V
    notes = []
    if apparent_VA > float(one.power.span[0]) * (1 + 1e-9) and ruling.verdict != "inadequate":
        notes.append(
            f"It carries {units.show(apparent_VA, 'apparent_power', unit='kVA')} apparent: if the "
            "output on its plate is a limit in volt-amperes too, that is too much. Read its VA."
        )
    more_W = max(float(ruling.value.high - ruling.limit.low), 0.0)
    most = units.show_limit(more_W, "power", sense="at least")
    best = question.best_values()
    terms = [f"{float(watts_of(load, c, best)):.4g} {c.one.load.id}" for c in load.counted]
    carried_W = float(watts(load, best))
    return question.finding(
        ruling,
        entry=one,
        quantity="power",
        worst="B",
        statement=lambda value, limit: (
            f"Inverter '{one.id}' {in_words(conditions)} carries {value}; it gives {limit}."
        ),
        working=[
            *apparent.steps(),
            Step("S", "current x volts", "", apparent_VA, "VA"),
            Step("P", "sum of the real power", " + ".join(terms), carried_W, "W"),
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
        field="passes_through",
        worse="higher",
        best=1.0,
        more="",
        source="passed on at the dock, or not",
    )


def _direct_current(boat: BoatFile, one: Inverter, watts: float) -> list[Step]:
    """Return what it takes from its bank at this load, at the lowest voltage it works at."""
    bank = boat.find(one.bank) if one.bank else None
    if not (isinstance(bank, Bank) and bank.voltage.seen):
        return []
    low, _, _ = possible("lowest bank voltage over nominal")
    volts = one.lowest_voltage.span[0] if one.lowest_voltage.seen else low * bank.voltage.span[0]
    worst = value_of(one, "efficiency").span[0]
    _, idle_high, _ = possible("idle draw of an inverter at 12 V")
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


def _surge(one: Inverter, draws: Sequence[AcDraw]) -> Finding | None:
    found = hardest_start(draws)
    if found is None or not one.surge.seen:
        return None
    hardest, start, source, words = found
    question = Question()
    ask_start(question, hardest.load, start)
    question.ask("surge_W", one, "surge", worse="lower")
    ruling = question.rule(lambda **given: (given["start_VA"], given["surge_W"]), "at most")
    return question.finding(
        ruling,
        entry=one,
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


CHECK = Check(
    name="inverter",
    judges="output and surge of an inverter against what it carries",
    system="AC and generator",
    place=191,
    of="inverter",
    ask=_inverter,
)
