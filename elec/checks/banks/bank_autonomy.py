"""Autonomy: how long a bank carries each condition away from the dock, nothing charging it."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile
from elec.calc.batteries import duty_cycle, storage
from elec.checks.banks.bank_capacity import (
    FAST,
    SHORTEST_H,
    ask_fast,
    ask_held,
    cannot,
    one_hour_Ah,
)
from elec.checks.banks.bank_loads import ask_daily, away_conditions, main_condition, total
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "GAS", "LITHIUM", "ask_wanted", "check"]

AUTONOMY = "bank-autonomy"
CHECKS = (AUTONOMY,)
GAS = (
    "A charging battery gives off hydrogen: ventilate, no sparks, and disconnect the negative "
    "before working on it. A short through a tool can melt it."
)
LITHIUM = "Never charge lithium cells below freezing or with their management system bypassed."


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask autonomy of every bank, in every condition in which it carries loads."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for bank in boat.bank:
        conditions = away_conditions(boat, bank)
        if not conditions:
            words = f"no load was noted on it in condition '{main_condition(bank)}'"
            skipped.append(NotChecked(AUTONOMY, bank.id, words, bank.where))
        elif stop := cannot(bank, AUTONOMY, bank.id, bank.where):
            skipped.append(stop)
        else:
            for condition in conditions:
                findings.append(_autonomy(bank, boat, condition))
    return findings, skipped


def _autonomy(bank: Bank, boat: BoatFile, condition: str) -> Finding:
    question = Question()
    parts = ask_daily(question, boat, bank, [condition])
    held = ask_held(question, bank, boat)
    notes = list(held.notes)
    ask_wanted(question, bank, condition, notes)
    # A span shorter than a day may hold all the hours of the day; the shortest asked is hardest.
    span = min(24.0, question.ends("wanted_h")[0])
    shown = "24 h" if span == 24 else units.show(span, "duration")
    if span < 24:
        notes.append(f"Hours a day are taken to fall within the {shown}, as far as they fit.")
    worst = question.worst_values()
    most_A = float(total(parts, condition, worst, span)) / span
    notes += ask_fast(question, bank, held, most_A)

    def usable(given: dict[str, Any]) -> tuple[Any, Any]:
        drawn = total(parts, condition, given, span)
        return held.usable(given, drawn / span), drawn

    def requirement(**given: Any) -> tuple[Any, Any]:
        charge, drawn = usable(given)
        with np.errstate(divide="ignore"):
            return charge / (drawn / span), given["wanted_h"] + 0.0 * drawn

    ruling = question.rule(requirement, "at least")
    best = question.best_values()
    charge, drawn = (float(v) for v in usable(best))
    worst = question.worst_values()
    cold = float(held.size_factor(worst))
    # No smaller than one that the loads empty in an hour: beyond that no capacity is published.
    asked_h = max(float(worst["wanted_h"]) * cold / float(worst["usable"]), SHORTEST_H)
    need = storage.peukert_capacity_needed_Ah(
        most_A * asked_h,
        current_A=max(most_A, 1e-12),
        rate_h=worst["rate_h"],
        exponent=worst["exponent"],
    )
    notes.append(_stationary(most_A, worst, cold))
    working = (
        *(
            Step(
                f"Q({p.load.id})",
                f"charge in {shown}",
                p.words(best, span),
                float(p.under(condition, best, span)),
                "Ah",
            )
            for p in parts
            if p.runs[condition] is not False
        ),
        Step("Q", f"sum, {shown}", "", drawn, "Ah"),
        Step(
            "C",
            "rated capacity x share left, parallel strings added",
            _capacity_words(bank, best),
            float(held.capacity(best)),
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
    )
    if drawn:
        numbers = f"{span:g} x {charge:.4g} / {drawn:.4g}"
        working += (Step("t", f"{span:g} h x Cu / Q", numbers, span * charge / drawn, "h"),)
    lighter = worst | {FAST: 1.0} if FAST in worst else worst
    afford_A = min(
        float(usable(lighter)[0]) / float(worst["wanted_h"]),
        float(one_hour_Ah(held.capacity(worst), worst)) / SHORTEST_H,
    )
    afford = f"{_down(afford_A * span)} Ah"
    drop = f"cut the day's use to {afford}" if span == 24 else f"use {afford} at most in {shown}"
    return question.finding(
        ruling,
        check=AUTONOMY,
        entry=bank,
        sense="at least",
        quantity="duration",
        worst="B",
        statement=lambda value, limit: (
            f"Bank '{bank.id}' carries condition '{condition}' for {value}; {limit} is asked."
        ),
        working=working,
        sources=held.sources,
        remedy=(
            f"A bank of {_up(float(need))} Ah when new carries it at the most that the loads may "
            f"take; or {drop}."
        ),
        caution=LITHIUM if bank.chemistry.is_surely("lfp") else GAS,
        notes=notes,
        part=f"'{condition}'",
    )


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


def _down(value: float) -> str:
    return f"{int(np.floor(value + 1e-9))}"


def _capacity_words(bank: Bank, best: dict[str, Any]) -> str:
    shares = [float(best[n]) for n in best if n.startswith("remaining_")]
    if bank.string:
        return f"{best['unit_Ah']:.4g} Ah x ({' + '.join(f'{s:.3g}' for s in shares)})"
    return f"{best['unit_Ah']:.4g} Ah x {best['strings']:g} x {shares[0]:.3g}"


def ask_wanted(question: Question, bank: Bank, condition: str, notes: list[str]) -> None:
    """Add the autonomy asked for under a condition, noted or the usual one."""
    main = condition == main_condition(bank)
    if main and bank.autonomy.seen:
        question.noted(
            "wanted_h", bank.autonomy, entry=bank, field="autonomy asked", worse="higher"
        )
        return
    own = f"autonomy asked {condition}"
    known = not main and condition in ("under way", "manoeuvring")
    low, _, source = possible(own if known else "autonomy asked")
    question.exact("wanted_h", low)
    taken = units.show(low, "duration")
    notes.append(f"No autonomy was asked for: {taken} is taken ({source}).")
