"""Sun: how long a bank lasts with its panels, in average weather."""

from __future__ import annotations

from typing import Any, cast

import numpy as np

from elec import units
from elec.boat.records import Bank, BoatFile, Solar
from elec.calc.batteries import storage
from elec.checks.banks.bank_autonomy import GAS, LITHIUM, ask_wanted
from elec.checks.banks.bank_capacity import ask_fast, ask_held, cannot
from elec.checks.banks.bank_loads import ask_daily, daily_Ah, main_condition, total
from elec.checks.charging.bank_course import ask_solar
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

SOLAR = "solar"
CHECKS = (SOLAR,)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask all panels."""
    results = [_solar(one, cast(Bank, boat.find(one.bank)), boat) for one in boat.solar]
    findings = [one for one in results if isinstance(one, Finding)]
    return findings, [one for one in results if isinstance(one, NotChecked)]


def _solar(panels: Solar, bank: Bank, boat: BoatFile) -> Finding | NotChecked:
    if not panels.power.seen:
        return NotChecked(
            SOLAR,
            panels.id,
            "its rated power was not noted",
            panels.where,
            f"the watts on the back of '{panels.id}'",
        )
    condition = main_condition(bank)
    stop = cannot(bank, SOLAR, panels.id, panels.where)
    if stop or not daily_Ah(boat, bank, condition)[2]:
        words = f"no load of '{bank.id}' was noted in condition '{condition}'"
        return stop or NotChecked(SOLAR, panels.id, words, panels.where)
    question = Question()
    parts = ask_daily(question, boat, bank, [condition])
    held = ask_held(question, bank, boat)
    notes = list(held.notes)
    ask_wanted(question, bank, condition, notes)
    most_A = float(total(parts, condition, question.worst_values())) / 24.0
    notes += ask_fast(question, bank, held, most_A)
    sun = ask_solar(question, panels, 0, float(bank.voltage.best or 0.0))

    def flows(given: dict[str, Any]) -> tuple[Any, Any, Any]:
        used = total(parts, condition, given)
        return held.usable(given, used / 24.0), used, sun(given)

    def requirement(**given: Any) -> tuple[Any, Any]:
        charge, used, gained = flows(given)
        hours = storage.autonomy_h(
            charge, current_A=np.maximum(used - gained, 0.0) / 24.0, usable_fraction=1.0
        )
        return hours, given["wanted_h"] + 0.0 * used

    ruling = question.rule(requirement, "at least")
    best = question.best_values()
    charge, used, gained = (float(v) for v in flows(best))
    working = [
        Step("S", "power x sun hours x factor / voltage, a day", "", gained, "Ah"),
        Step("Q", "used in a day", "", used, "Ah"),
        Step("Qn", "Q - S", f"{used:.4g} - {gained:.4g}", used - gained, "Ah"),
    ]
    if used > gained:
        numbers = f"{charge:.4g} / {used - gained:.4g}"
        working.append(Step("d", "usable charge / Qn", numbers, charge / (used - gained), "days"))
    worst = question.worst_values()
    lacking = float(flows(worst)[1]) - float(flows(worst)[0]) * 24.0 / float(worst["wanted_h"])
    return question.finding(
        ruling,
        check=SOLAR,
        entry=panels,
        sense="at least",
        quantity="duration",
        worst="C",
        statement=lambda value, limit: (
            f"Panels '{panels.id}' give {gained:.3g} Ah a day at best values, of {used:.3g} Ah "
            f"used: with them bank '{bank.id}' carries condition '{condition}' for {value}; "
            f"{limit} is asked."
        ),
        working=working,
        sources=(*held.sources, table("solar_clear_sky_horizontal_pvlib").source()),
        remedy=f"Panels that give {units.show_limit(max(lacking, 0.0), 'charge', sense='at least')}"
        " a day at the worst, or less use.",
        caution=LITHIUM if bank.chemistry.is_surely("lfp") else GAS,
        notes=(
            *notes,
            "Average weather, no design case: dark days give next to nothing, and bank-autonomy "
            "says what then holds.",
        ),
    )
