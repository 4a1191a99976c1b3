"""Sun: how long a bank lasts with its panels, in average weather."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Solar
from elec.calc.batteries import storage
from elec.checks.banks.bank_capacity import why_not
from elec.checks.banks.bank_carries import ask_carried
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.banks.bank_loads import daily_Ah, main_condition
from elec.checks.cannot import CannotJudge
from elec.checks.charging.bank_course import ask_solar
from elec.checks.charging.charged_bank import bank_of
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import table


def _solar(panels: Solar, boat: BoatFile, _basis: str) -> Finding:
    bank = bank_of(boat, panels)
    if not panels.power.seen:
        raise CannotJudge(
            "its rated power was not noted", f"the watts on the back of '{panels.id}'"
        )
    condition = main_condition(bank)
    if stop := why_not(bank):
        raise stop
    if not daily_Ah(boat, bank, condition)[2]:
        raise CannotJudge(f"no load of '{bank.id}' was noted in condition '{condition}'")
    question = Question()
    carried = ask_carried(question, bank, boat, condition)
    carried.ask_fast(question)
    sun = ask_solar(question, panels, 0, bank.voltage.span[1])

    def flows(given: dict[str, Any]) -> tuple[Any, Any, Any]:
        used = carried.drawn_Ah(given)
        return carried.usable_Ah(given, used), used, sun(given)

    def requirement(**given: Any) -> tuple[Any, Any]:
        charge, used, gained = flows(given)
        hours = storage.autonomy_h(
            charge, current_A=np.maximum(used - gained, 0.0) / 24.0, usable_fraction=1.0
        )
        return hours, given["wanted_h"]

    charge, used, gained = (float(v) for v in flows(question.best_values()))
    worst = question.worst_values()
    least, most, _ = (float(v) for v in flows(worst))
    lacking = units.show_limit(
        max(most - least * 24.0 / float(worst["wanted_h"]), 0.0), "charge", sense="at least"
    )
    return question.finding(
        question.rule(requirement, "at least"),
        entry=panels,
        quantity="duration",
        worst="C",
        statement=lambda value, limit: (
            f"Panels '{panels.id}' give {gained:.3g} Ah a day at best values, of {used:.3g} Ah "
            f"used: with them bank '{bank.id}' carries condition '{condition}' for {value}; "
            f"{limit} is asked."
        ),
        working=_working(charge, used, gained),
        sources=(*carried.held.sources, table("solar_clear_sky_horizontal_pvlib").source()),
        remedy=f"Panels that give {lacking} a day at the worst, or less use.",
        caution=caution_of(bank),
        notes=(
            *carried.notes,
            "Average weather, no design case: dark days give next to nothing, and bank-autonomy "
            "says what then holds.",
        ),
    )


def _working(charge: float, used: float, gained: float) -> list[Step]:
    steps = [
        Step("S", "power x sun hours x factor / voltage, a day", "", gained, "Ah"),
        Step("Q", "used in a day", "", used, "Ah"),
        Step("Qn", "Q - S", f"{used:.4g} - {gained:.4g}", used - gained, "Ah"),
    ]
    if used > gained:
        numbers = f"{charge:.4g} / {used - gained:.4g}"
        steps.append(Step("d", "usable charge / Qn", numbers, charge / (used - gained), "days"))
    return steps


CHECK = Check(
    name="solar",
    judges="how long a bank lasts with its panels",
    system="batteries and charging",
    place=341,
    of="solar",
    ask=_solar,
)
