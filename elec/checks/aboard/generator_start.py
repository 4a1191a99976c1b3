"""The dip of a generator's voltage when its hardest motor starts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from elec import noted, units
from elec.boat.ac_loads import AcDraw
from elec.boat.possible import possible, typical
from elec.boat.records import AcLoad, Generator
from elec.calc.ac import motors
from elec.checks.aboard.generator_rating import apparent_of
from elec.checks.question import Question
from elec.finding import Finding, Step
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["ask_start", "hardest_start", "judge_start"]

_HP_W = 745.6998715822702  # mechanical horsepower, 550 ft lbf/s
#: Below it the letter of some plates is said to mean kVA itself, so that nothing is taken from it.
_LEAST_HP = 0.5
#: Stands for the open end of the last letter: with it any generator dips by nearly all.
_NO_TOP = 1000.0


def judge_start(one: Generator, draws: Sequence[AcDraw]) -> Finding | None:
    """Judge the start of the hardest motor, alone, on a generator whose rating was noted."""
    found = hardest_start(draws)
    if found is None:
        return None
    hardest, start, source, words = found
    question = Question()
    kVA = apparent_of(one)
    read = f"the kVA of '{one.id}'"
    question.noted("rating_VA", kVA, entry=one, field="apparent_power", worse="lower", read=read)
    ask_start(question, hardest.load, start)
    question.ask("reactance", one, "reactance", worse="higher")
    limit, _, _ = possible("dip at motor start")

    def requirement(**given: Any) -> tuple[Any, Any]:
        return _dip(given), limit

    best = question.best_values()
    lights, _, _ = possible("dip with lights or electronics")
    most_VA = motors.largest_start_VA(
        question.ends("rating_VA")[0],
        transient_reactance=question.ends("reactance")[1],
        dip=limit,
    )
    most = units.show_limit(float(most_VA), "apparent_power", sense="at most", unit="kVA")
    return question.finding(
        question.rule(requirement, "at most"),
        entry=one,
        quantity="percentage",
        worst="C",
        statement=lambda value, limit: (
            f"Starting '{hardest.load.id}' dips the voltage of generator '{one.id}' by about "
            f"{value}; motors and contactors stand {limit}."
        ),
        working=[
            Step("S start", words, "", float(best["start_VA"]), "VA"),
            Step(
                "dip",
                "S / (S + S rated / X'd)",
                f"{float(best['start_VA']):.4g}, {float(best['rating_VA']):.4g}, "
                f"{float(best['reactance']):.3g}",
                float(_dip(best)) * 100,
                "%",
                "two reactances in series",
            ),
        ],
        sources=[source, table("ac_practice").source(field="dip at motor start")],
        remedy=f"A soft start, or start it first with little else on: at most {most} of "
        "starting load.",
        notes=[
            "An estimate, within about 5 points: it leaves out power factor, the regulator and "
            f"what is on already. Lights and electronics show from {lights * 100:g} %.",
        ],
        part="motor start",
    )


def _dip(given: dict[str, Any]) -> Any:
    return motors.starting_dip(
        given["start_VA"],
        generator_VA=given["rating_VA"],
        transient_reactance=given["reactance"],
    )


def ask_start(question: Question, load: AcLoad, start: Noted) -> None:
    """Add what a motor takes at its start, as ``hardest_start`` found it."""
    question.noted(
        "start_VA",
        start,
        entry=load,
        field="starting load",
        worse="higher",
        read=_to_read(load),
    )


def _to_read(load: AcLoad) -> str:
    if load.code_letter and not load.shaft_power.seen:
        return f"locked-rotor amperes, or hp beside its letter, on the plate of '{load.id}'"
    return f"locked-rotor amperes or code letter on the plate of '{load.id}'"


def hardest_start(draws: Sequence[AcDraw]) -> tuple[AcDraw, Noted, Source, str] | None:
    """Return the motor that takes the most at its start, how much, by what source, in words."""
    started = [(d, *_starting_VA(d)) for d in draws if d.behaviour == "motor"]
    return max(started, key=lambda each: each[1].span[2]) if started else None


def _starting_VA(one: AcDraw) -> tuple[Noted, Source, str]:
    """Return what a motor takes at its start: its plate, its code letter, or a multiple."""
    load = one.load
    volts = one.rated_V * (3**0.5 if load.legs.is_surely("all") else 1.0)
    multiples = table("ac_practice").source(field="locked-rotor multiple")
    if load.locked_rotor.seen:
        low, _, high = load.locked_rotor.span
        amps, source, words = (low, high), multiples, "locked-rotor amperes x volts"
        return _soft(one, amps[0] * volts, amps[1] * volts, "noted"), source, words
    if load.code_letter and load.shaft_power.seen and load.shaft_power.span[0] >= _LEAST_HP * _HP_W:
        return _by_letter(one)
    low, high, where = possible("locked-rotor multiple")
    least, _, most = one.current.span
    low_VA, high_VA = low * least * volts, high * most * volts
    words = f"{low:g} to {high:g} x running current x volts"
    if load.code_letter and not load.shaft_power.seen:
        # the shaft power is not above what it takes running
        by_letter = _kVA_per_hp(load.code_letter)[1] * 1000 * most * volts / _HP_W
        high_VA = max(high_VA, by_letter)
        words += ", or its code letter with all that it takes running at its shaft"
    return _soft(one, low_VA, high_VA, where), multiples, words


def _kVA_per_hp(code_letter: str) -> tuple[float, float, bool]:
    """Return the band of a letter, and whether its top end is open, for which a far one stands."""
    row = table("motor_code_letters").row(code_letter=code_letter.strip().upper())
    low = max(float(row["lr_kVA_per_hp_from"]), 1e-9)
    open_ = not row["lr_kVA_per_hp_to"]
    return low, low * _NO_TOP if open_ else float(row["lr_kVA_per_hp_to"]), open_


def _by_letter(one: AcDraw) -> tuple[Noted, Source, str]:
    """Return the band of a code letter; the last letter has no top end, and a far one stands in."""
    letters = table("motor_code_letters")
    letter = str(one.load.code_letter).strip().upper()
    low, high, open_ = _kVA_per_hp(letter)
    least, _, most = one.load.shaft_power.span
    low_VA = float(motors.locked_rotor_VA(least / _HP_W, kVA_per_hp=low))
    high_VA = float(motors.locked_rotor_VA(most / _HP_W, kVA_per_hp=high))
    words = f"code letter {letter} x shaft power"
    source = f"table motor_code_letters, letter {letter}"
    if open_:
        words += ", its low end: it has no top end"
        source += f", which has no top end: {_NO_TOP:g} times its low end stands for it"
    if one.load.soft_start.is_surely("yes"):
        left_low, left_high, soft = possible("current left by a soft start")
        low_VA, high_VA = low_VA * left_low, high_VA * left_high
        source += f"; {soft}"
    best = low_VA if open_ else None
    start = typical(low_VA, high_VA, "apparent_power", source, best)
    return start, letters.source(), words


def _soft(one: AcDraw, low_VA: float, high_VA: float, where: str) -> Noted:
    least, most, source = possible("current left by a soft start")
    if one.load.soft_start.is_surely("yes"):
        low_VA, high_VA, where = low_VA * least, high_VA * most, source
    elif not one.load.soft_start.seen and where != "noted":
        low_VA *= least
    if where == "noted":
        return noted.between(low_VA, high_VA, "apparent_power")
    return typical(low_VA, high_VA, "apparent_power", where)
