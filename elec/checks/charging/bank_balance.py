"""The charge put into a bank on a day, against what holds it where it is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Bank, BoatFile, Charger, Solar
from elec.boat.typical import charge_return
from elec.calc.batteries import charging
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.banks.bank_loads import ask_daily, daily_Ah, main_condition, total
from elec.checks.cannot import CannotJudge
from elec.checks.charging.bank_course import ask_solar, follows, generator_h
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step

#: What is put in on a day, what has to be for it to stay where it is, and what is used [Ah].
_Flows = Callable[[dict[str, Any]], tuple[Any, Any, Any]]


def _balance(bank: Bank, boat: BoatFile, _basis: str) -> Finding | None:
    condition = main_condition(bank)
    if not follows(boat, bank) or not daily_Ah(boat, bank, condition)[2]:
        return None
    chargers = [c for c in boat.charger if c.bank == bank.id and c.current.seen]
    if generator_h(boat) is None and not _panels(bank, boat):
        read = f"hours a day that a generator runs in condition '{condition}'"
        raise CannotJudge(
            "nothing that charges it away from the dock was noted" + _hint(bank, boat, chargers),
            read if boat.generator else "",
        )
    question = Question()
    flows = _ask_flows(question, bank, boat, chargers)

    def requirement(**given: Any) -> tuple[Any, Any]:
        put_in, needed, _ = flows(given)
        return put_in, needed

    put_in, needed, used = (float(v) for v in flows(question.best_values()))
    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity="charge",
        worst="C",
        statement=lambda value, limit: (
            f"In condition '{condition}' {value} a day are put into bank '{bank.id}'; {limit} a "
            "day hold it where it is."
        ),
        working=(
            Step("Q", "used in a day", "", used, "Ah"),
            Step("B", "to be put back, with losses", "", needed, "Ah"),
            Step("S", "put in by sun and generator", "", put_in, "Ah"),
        ),
        remedy=_remedy(question.worst_values(), flows, chargers),
        caution=caution_of(bank),
        notes=("All sun is taken to pass through the bank, with its losses.",),
    )


def _panels(bank: Bank, boat: BoatFile) -> list[Solar]:
    return [panels for panels in boat.solar if panels.bank == bank.id and panels.power.seen]


def _ask_flows(
    question: Question, bank: Bank, boat: BoatFile, chargers: Sequence[Charger]
) -> _Flows:
    """Add the loads of a day, the sun, and the first charger while a generator runs."""
    condition, running = main_condition(bank), generator_h(boat)
    parts = ask_daily(question, boat, bank, [condition])
    back = charge_return(bank)
    question.noted("back", back, entry=bank, field="charge_return", worse="higher")
    volts = bank.voltage.span[1]
    suns = [ask_solar(question, one, n, volts) for n, one in enumerate(_panels(bank, boat))]
    by_generator = running is not None and bool(chargers)
    if running is not None and chargers:
        question.noted(
            "run_h", running, entry=boat.generator[0], field="hours a day", worse="lower"
        )
        question.ask("charger_A", chargers[0], "current", worse="lower")

    def flows(given: dict[str, Any]) -> tuple[Any, Any, Any]:
        used = total(parts, condition, given)
        sun: Any = sum((one(given) for one in suns), start=np.asarray(0.0))
        if not by_generator:
            return sun, given["back"] * used, used
        load = used / 24.0
        made = np.maximum(given["charger_A"] - load, 0.0) * given["run_h"]
        return sun + made, given["back"] * (used - load * given["run_h"]), used

    return flows


def _hold_h(used_Ah: float, back: float, charger_A: float) -> float:
    """Return the hours a day for which a charger has to run to hold a bank, infinite if never."""
    return float(charging.hold_hours_per_day_h(used_Ah, return_factor=back, charger_A=charger_A))


def _hint(bank: Bank, boat: BoatFile, chargers: Sequence[Charger]) -> str:
    """Say how long a charger would have to run, if that held the bank."""
    if not chargers:
        return ""
    used = daily_Ah(boat, bank, main_condition(bank))[1]
    hours = _hold_h(used, charge_return(bank).span[1], chargers[0].current.span[1])
    if not np.isfinite(hours):
        return ""
    return (
        f"; '{chargers[0].id}' on a generator would hold it in no less than {hours:.3g} h a day at "
        "best values"
    )


def _remedy(worst: dict[str, Any], flows: _Flows, chargers: Sequence[Charger]) -> str | None:
    put_in, needed, used = (float(v) for v in flows(worst))
    if needed <= put_in:
        return None
    hold = ""
    if chargers:
        hours = _hold_h(max(used, 0.0), float(worst["back"]), chargers[0].current.span[0])
        if np.isfinite(hours):
            shown = units.show_limit(hours, "duration", sense="at least")
            hold = f"; without sun '{chargers[0].id}' has to run {shown} a day to hold it"
    short = units.show_limit(needed - put_in, "charge", sense="at least")
    return f"{short} a day are lacking at the worst{hold}."


CHECK = Check(
    name="bank-balance",
    judges="charge put in on a day against the charge used",
    system="batteries and charging",
    place=332,
    of="bank",
    ask=_balance,
)
