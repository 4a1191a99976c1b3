"""Time in which a charger brings its bank back to full, against the time asked."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.possible import possible, typical
from elec.boat.records import Bank, BoatFile, Charger
from elec.boat.typical import charge_return
from elec.calc.batteries import charging
from elec.checks.banks.bank_capacity import Capacity, ask_capacity, ask_usable, why_not
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.cannot import CannotJudge
from elec.checks.charging.charged_bank import bank_of, standing
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.published import Source, table


def _recharge(charger: Charger, boat: BoatFile, _basis: str) -> Finding:
    """Judge the time to full against the time asked, absorption included as a range."""
    if not charger.recharge.seen:
        raise CannotJudge("no recharge time was asked for; charger-size shows the least")
    if not charger.current.seen:
        raise CannotJudge("its DC output current was not noted")
    bank = bank_of(boat, charger)
    if stop := why_not(bank):
        raise stop
    question = Question()
    capacity, sources = _ask_all(question, charger, bank, boat)

    def requirement(**given: Any) -> tuple[Any, Any]:
        bulk = charging.recharge_bulk_h(
            capacity(given) * given["usable"],
            return_factor=given["back"],
            charger_A=given["charger_A"],
            standing_A=given["standing_A"],
        )
        return bulk + given["absorption_h"], given["wanted_h"]

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    return question.finding(
        ruling,
        entry=charger,
        quantity="duration",
        worst="B",
        statement=lambda value, limit: _statement(charger, bank, ruling, value, limit),
        working=_working(best, capacity, float(requirement(**best)[0])),
        remedy=_remedy(question.worst_values(), capacity),
        caution=caution_of(bank),
        notes=("The absorption time is the published spread; the tail is not a promise of full.",),
        sources=(*sources, table("possible_ranges").source()),
    )


def _ask_all(
    question: Question, charger: Charger, bank: Bank, boat: BoatFile
) -> tuple[Capacity, list[Source]]:
    """Add charger, bank, what has to be put back, standing load and absorption."""
    question.ask("charger_A", charger, "current", worse="lower")
    question.ask("wanted_h", charger, "recharge", worse="lower")
    capacity = ask_capacity(question, bank, boat, aged=False, worse="higher")
    sources = ask_usable(question, bank, worse="higher")
    question.noted("back", charge_return(bank), entry=bank, field="charge_return", worse="higher")
    low, best, high = standing(boat, bank)
    load = noted.between(low, high, "current", best=best, text="noted")
    question.noted("standing_A", load, entry=bank, field="standing load", worse="higher")
    kind = "lfp" if bank.chemistry.is_surely("lfp") else "lead-acid"
    low, high, source = possible(f"absorption time of {kind}")
    tail = typical(low, high, "duration", source)
    question.noted("absorption_h", tail, entry=charger, field="absorption time", worse="higher")
    return capacity, sources


def _statement(charger: Charger, bank: Bank, ruling: Ruling, value: str, limit: str) -> str:
    if not np.isfinite(ruling.value.low):
        return (
            f"Charger '{charger.id}' never brings bank '{bank.id}' to full: the standing load "
            f"takes all that it gives; {limit} is asked."
        )
    if not np.isfinite(ruling.value.high):
        least = units.show(ruling.value.low, "duration")
        value = f"{least} at best, or never, the standing load taking all that it gives"
    return (
        f"Charger '{charger.id}' brings bank '{bank.id}' from its usable limit to full in "
        f"{value}; {limit} is asked."
    )


def _working(best: dict[str, Any], capacity: Capacity, hours: float) -> tuple[Step, ...]:
    absorption = float(best["absorption_h"])
    bulk = hours - absorption
    if not np.isfinite(bulk):
        return ()
    removed = float(capacity(best) * best["usable"])
    return (
        Step(
            "tb",
            "charge removed x return factor / (charger - standing load)",
            f"{removed:.4g} x {best['back']:.3g} / ({best['charger_A']:.4g} - "
            f"{best['standing_A']:.3g})",
            bulk,
            "h",
            "to the end of bulk",
        ),
        Step("t", "tb + absorption", f"+ {absorption:.3g}", bulk + absorption, "h"),
    )


def _remedy(worst: dict[str, Any], capacity: Capacity) -> str:
    left_h = float(worst["wanted_h"]) - float(worst["absorption_h"])
    if left_h <= 0:
        return "No charger does it: absorption alone may take longer. Allow more time."
    needed = charging.charger_for_time_A(
        float(capacity(worst) * worst["usable"]),
        return_factor=float(worst["back"]),
        time_h=max(left_h, 1e-9),
        standing_A=float(worst["standing_A"]),
    )
    return (
        f"A charger of {units.show_limit(float(needed), 'current', sense='at least')}, if the "
        "batteries may take it; or less standing load, or more time."
    )


CHECK = Check(
    name="charger-recharge",
    judges="time to full against the time asked",
    system="batteries and charging",
    place=311,
    of="charger",
    ask=_recharge,
    commands=("bank",),
)
