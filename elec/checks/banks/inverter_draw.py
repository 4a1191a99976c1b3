"""What an inverter takes from its bank at full power, against what the bank can give."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from elec import units
from elec.boat.records import Bank, BoatFile, Inverter
from elec.calc.batteries import charging
from elec.checks.banks.bank_capacity import SHORTEST_H, ask_capacity, one_hour_Ah, why_not
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.banks.bank_effects import ask_exponent, ask_rate, ask_temperature
from elec.checks.banks.bank_loads import owner_of
from elec.checks.cannot import CannotJudge
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import Source

_Limit = Callable[[dict[str, Any]], Any]


def _draw(inverter: Inverter, boat: BoatFile, _basis: str) -> Finding:
    bank = boat.find(owner_of(boat, inverter) or "")
    read = f"the plate of '{inverter.id}', and which bank feeds it"
    if not isinstance(bank, Bank):
        raise CannotJudge("the bank that feeds it was not noted", read)
    if not inverter.power.seen:
        raise CannotJudge("its rated power was not noted", read)
    if stop := why_not(bank):
        raise stop
    volts = bank.voltage.span[1]
    question = Question()
    question.ask("power_W", inverter, "power", worse="higher")
    question.ask("efficiency", inverter, "efficiency", worse="lower")
    limit, words, sources, notes = _ask_limit(question, bank, boat)

    def requirement(**given: Any) -> tuple[Any, Any]:
        # One volt out turns the current of a converter into its power.
        current = charging.converter_input_A(
            given["power_W"], output_V=1.0, input_V=volts, efficiency=given["efficiency"]
        )
        return current, limit(given)

    best = question.best_values()
    least = float(limit(question.worst_values())) * volts * question.ends("efficiency")[0]
    return question.finding(
        question.rule(requirement, "at most"),
        entry=inverter,
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"Inverter '{inverter.id}' at full power takes {value} from bank '{bank.id}'; "
            f"{words.format(limit=limit)}."
        ),
        working=(
            Step(
                "I",
                "power / (voltage x efficiency)",
                f"{float(best['power_W']):.4g} / ({volts:g} x {float(best['efficiency']):.3g})",
                float(requirement(**best)[0]),
                "A",
                "at the nominal voltage; a low bank gives more amperes",
            ),
        ),
        sources=sources,
        remedy=f"Load it to {units.show_limit(least, 'power', sense='at most')} at most, or feed "
        "it from a larger bank.",
        caution=caution_of(bank),
        notes=notes,
    )


def _ask_limit(
    question: Question, bank: Bank, boat: BoatFile
) -> tuple[_Limit, str, list[Source], list[str]]:
    """Add what a bank can give, by its maker or in an hour; how it is said, sources and notes."""
    if bank.discharge_limit.seen:
        question.ask("limit_A", bank, "discharge_limit", worse="lower")
        return lambda given: given["limit_A"], "its maker lets it give {limit}", [], []
    capacity = ask_capacity(question, bank, boat, aged=True)
    sources = [ask_exponent(question, bank)]
    notes = ask_rate(question, bank)
    cold, said = ask_temperature(question, bank, sources)
    return (
        lambda given: one_hour_Ah(capacity(given), given) / cold(given) / SHORTEST_H,
        "it is empty in an hour at {limit}, beyond which no published capacity holds",
        sources,
        [*notes, *said, "The battery maker's own discharge limit goes before this."],
    )


CHECK = Check(
    name="inverter-draw",
    judges="what an inverter takes from its bank at full power",
    system="batteries and charging",
    place=391,
    of="inverter",
    ask=_draw,
)
