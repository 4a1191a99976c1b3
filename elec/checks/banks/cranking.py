"""Whether a bank gives the cranking amperes that its engine needs."""

from __future__ import annotations

import re
from typing import Any

from elec import units
from elec.boat.possible import possible, typical
from elec.boat.records import Bank, BoatFile
from elec.boat.typical import cold_cranking, remaining
from elec.calc.batteries import cranking
from elec.checks.banks.bank_capacity import ask_strings
from elec.checks.banks.bank_cautions import GAS
from elec.checks.cannot import CannotJudge
from elec.checks.question import Question, asked_for
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["CHECK", "starts_engine"]


def starts_engine(bank: Bank) -> bool:
    """Whether a bank was noted as one that starts an engine, in a field or by its name."""
    named = re.search(r"\b(start\w*|crank\w*|engine|generator)\b", bank.id, re.I)
    noted_so = bank.starts or bank.cranking_needed.seen or bank.displacement.seen
    return bool(noted_so or named)


def _need(bank: Bank) -> tuple[Noted, list[str]]:
    """Return what its engine needs, by its maker or else by displacement, and what to say of it."""
    if bank.cranking_needed.seen:
        return bank.cranking_needed, []
    if not bank.displacement.seen or bank.voltage.best != 12.0:
        raise CannotJudge(
            "what the engine needs was not noted", asked_for(bank, "cranking_needed")[1]
        )
    low, high, source = possible("cold cranking current per litre")
    least, _, most = bank.displacement.span
    few, many = (
        float(cranking.cranking_needed_A(litres, cold_cranking_A_per_L=rule))
        for litres, rule in ((least, low), (most, high))
    )
    return typical(few, many, "cranking", source), [
        "The rule of thumb on displacement stands in for the engine maker's figure."
    ]


def _cranking(bank: Bank, boat: BoatFile, _basis: str) -> Finding | None:
    if not starts_engine(bank):
        return None
    rated = cold_cranking(bank)
    if rated is None:
        raise CannotJudge(
            "its cold cranking current was not noted",
            f"the CCA on the label of '{bank.id}', or its box size",
        )
    need, said = _need(bank)
    question = Question()
    question.noted("rated_A", rated, entry=bank, field="cranking", worse="lower")
    question.noted(
        "share",
        remaining(bank, None, boat.boat)[0],
        entry=bank,
        field="cranking current left by age",
        worse="lower",
        read=f"a load test of '{bank.id}'",
    )
    question.noted("need_A", need, entry=bank, field="cranking_needed", worse="higher")
    ask_strings(question, bank)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["rated_A"] * given["strings"] * given["share"], given["need_A"]

    best = {name: float(value) for name, value in question.best_values().items()}
    numbers = f"{best['rated_A']:.4g} x {best['strings']:g} x {best['share']:.3g}"
    given = float(requirement(**best)[0])
    each = question.ends("need_A")[1] / question.ends("strings")[0]
    cold, sources = _in_the_cold(bank)
    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity="cranking",
        worst="B",
        statement=lambda value, limit: (
            f"Bank '{bank.id}' cranks {bank.starts or 'its engine'} with {value}; {limit} is "
            "needed."
        ),
        working=(Step("I", "cold cranking current x strings x share left", numbers, given, "A"),),
        sources=sources,
        remedy="Batteries of "
        f"{units.show_limit(each, 'cranking', sense='at least')} each when new, and a load test "
        "every year.",
        caution=GAS,
        notes=(
            "The share of rated capacity left with age stands for that of cranking current, which "
            "no table gives; a load test says more.",
            *said,
            *cold,
        ),
    )


def _in_the_cold(bank: Bank) -> tuple[list[str], list[Source]]:
    """Say what cold takes from the battery and asks of the engine, where it was noted."""
    if not bank.temperature.seen:
        return [], []
    power = table("cranking_power_vs_temperature")
    shown = "; ".join(
        f"{r['temp_C']} °C: the battery gives {r['battery_power_available_pct']} %, the engine "
        f"asks {r['engine_cranking_power_required_pct']} %"
        for r in power.rows()
    )
    return [f"In the cold, of the power at 27 °C: {shown}."], [power.source()]


CHECK = Check(
    name="cranking",
    judges="cranking current against what the engine needs",
    system="batteries and charging",
    place=381,
    of="bank",
    ask=_cranking,
)
