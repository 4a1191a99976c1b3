"""Autonomy: how long a bank carries each condition away from the dock, nothing charging it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Bank, BoatFile
from elec.calc.batteries import duty_cycle, storage
from elec.checks.banks.bank_capacity import FAST, SHORTEST_H, one_hour_Ah, why_not
from elec.checks.banks.bank_carries import Carried, ask_carried
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.banks.bank_loads import away_conditions, main_condition
from elec.checks.cannot import CannotJudge
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import table


def _autonomy(bank: Bank, boat: BoatFile, _basis: str) -> Iterator[Finding]:
    conditions = away_conditions(boat, bank)
    if not conditions:
        raise CannotJudge(f"no load was noted on it in condition '{main_condition(bank)}'")
    if stop := why_not(bank):
        raise stop
    for condition in conditions:
        yield _under(condition, bank, boat)


def _under(condition: str, bank: Bank, boat: BoatFile) -> Finding:
    question = Question()
    carried = ask_carried(question, bank, boat, condition)
    # A span shorter than a day may hold all the hours of the day; the shortest asked is hardest.
    span = carried.span_h = min(24.0, question.ends("wanted_h")[0])
    shown = "24 h" if span == 24 else units.show(span, "duration")
    if span < 24:
        carried.notes.append(
            f"Hours a day are taken to fall within the {shown}, as far as they fit."
        )
    most_A = carried.ask_fast(question)

    def requirement(**given: Any) -> tuple[Any, Any]:
        drawn = carried.drawn_Ah(given)
        with np.errstate(divide="ignore"):
            return carried.usable_Ah(given, drawn) / (drawn / span), given["wanted_h"]

    worst = question.worst_values()
    cold = float(carried.held.size_factor(worst))
    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity="duration",
        worst="B",
        statement=lambda value, limit: (
            f"Bank '{bank.id}' carries condition '{condition}' for {value}; {limit} is asked."
        ),
        working=_working(carried, question.best_values(), shown),
        sources=carried.held.sources,
        remedy=f"A bank of {_needed(most_A, worst, cold)} Ah when new carries it at the most that "
        f"the loads may take; or {_less_use(carried, worst, shown)}.",
        caution=caution_of(bank),
        notes=[*carried.notes, _stationary(most_A, worst, cold)],
        part=f"'{condition}'",
    )


def _working(carried: Carried, best: dict[str, Any], shown: str) -> list[Step]:
    span, condition = carried.span_h, carried.condition
    drawn = float(carried.drawn_Ah(best))
    charge = float(carried.usable_Ah(best, drawn))
    steps = [
        Step(
            f"Q({part.load.id})",
            f"charge in {shown}",
            part.words(best, span),
            float(part.under(condition, best, span)),
            "Ah",
        )
        for part in carried.parts
        if part.runs[condition] is not False
    ]
    steps += [
        Step("Q", f"sum, {shown}", "", drawn, "Ah"),
        Step(
            "C",
            "rated capacity x share left, parallel strings added",
            _capacity_words(carried.bank, best),
            float(carried.held.capacity(best)),
            "Ah",
            f"{float(best['rate_h']):g} h rate",
        ),
        Step(
            "Cu",
            "C at the rate of the load x usable share",
            f"x {best['usable']:.2g}",
            charge,
            "Ah",
        ),
    ]
    if drawn:
        numbers = f"{span:g} x {charge:.4g} / {drawn:.4g}"
        steps.append(Step("t", f"{span:g} h x Cu / Q", numbers, span * charge / drawn, "h"))
    return steps


def _capacity_words(bank: Bank, best: dict[str, Any]) -> str:
    shares = [float(best[n]) for n in best if n.startswith("remaining_")]
    if bank.string:
        return f"{best['unit_Ah']:.4g} Ah x ({' + '.join(f'{s:.3g}' for s in shares)})"
    return f"{best['unit_Ah']:.4g} Ah x {best['strings']:g} x {shares[0]:.3g}"


def _needed(most_A: float, worst: dict[str, Any], cold: float) -> str:
    """Return the Ah of a new bank that carries the most that the loads may take."""
    # No smaller than one that the loads empty in an hour: beyond that no capacity is published.
    asked_h = max(float(worst["wanted_h"]) * cold / float(worst["usable"]), SHORTEST_H)
    need = storage.peukert_capacity_needed_Ah(
        most_A * asked_h,
        current_A=max(most_A, 1e-12),
        rate_h=worst["rate_h"],
        exponent=worst["exponent"],
    )
    return _up(float(need))


def _less_use(carried: Carried, worst: dict[str, Any], shown: str) -> str:
    """Return what may be used instead, at a current at which it is not empty in under an hour."""
    lighter = worst | {FAST: 1.0} if FAST in worst else worst
    most_A = min(
        float(carried.usable_Ah(lighter, carried.drawn_Ah(lighter))) / float(worst["wanted_h"]),
        float(one_hour_Ah(carried.held.capacity(worst), worst)) / SHORTEST_H,
    )
    most = f"{int(np.floor(most_A * carried.span_h + 1e-9))} Ah"
    if carried.span_h == 24:
        return f"cut the day's use to {most}"
    return f"use {most} at most in {shown}"


def _stationary(current_A: float, worst: dict[str, Any], cold: float) -> str:
    """Say what the stationary form of sizing asks, whose factors stand for the usable share."""
    duties = table("standards_duties")
    margin, ageing = (
        duties.exact("value", duty_id=name) for name in ("ieee485_margin", "ieee485_ageing")
    )
    exponent = float(worst["exponent"])
    size = duty_cycle.duty_cycle_size(
        [current_A],
        duration_h=[float(worst["wanted_h"])],
        hours_factor_h=lambda time_h: duty_cycle.peukert_hours_h(
            time_h, rate_h=float(worst["rate_h"]), exponent=exponent
        ),
        temperature_size_factor=cold,
        design_margin=margin,
        ageing_factor=ageing,
    )
    return (
        f"Sized as a stationary battery on float instead, emptied whole, with margin {margin:g} "
        f"and ageing {ageing:g} (IEEE 485, from memory): {_up(size.needed_Ah)} Ah. The usable "
        "share is not put on top of these factors, nor they on it."
    )


def _up(value: float) -> str:
    return f"{int(np.ceil(value - 1e-9))}"


CHECK = Check(
    name="bank-autonomy",
    judges="how long a bank carries a condition",
    system="batteries and charging",
    place=291,
    of="bank",
    ask=_autonomy,
    commands=("bank",),
)
