"""Alternators: what a converter asks of one, and how one suits the bank that it charges."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Alternator, Bank, BoatFile
from elec.boat.typical import charging_voltage
from elec.calc.batteries import charging
from elec.checks.banks.bank_capacity import why_not
from elec.checks.banks.bank_cautions import GAS, LITHIUM
from elec.checks.cannot import CannotJudge
from elec.checks.charging.charged_bank import ask_most, bank_of
from elec.checks.presence import presence_finding
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import table

__all__ = ["CHECK", "hot_share"]


def hot_share() -> tuple[float, float]:
    """Return the share of its rating that one published alternator gave hot: least, most."""
    shares = table("alternator_hot_cold_example").numbers("hot_over_cold")
    known = shares[np.isfinite(shares)]
    return float(known.min()), float(known.max())


def _alternator(alternator: Alternator, boat: BoatFile, _basis: str) -> Finding:
    bank = bank_of(boat, alternator)
    if not alternator.converter.seen and bank.chemistry.is_surely("lfp"):
        return _lithium(alternator, bank)
    if not alternator.current.seen:
        raise CannotJudge(
            "its rated current was not noted", f"the current on the plate of '{alternator.id}'"
        )
    if alternator.converter.seen:
        return _converter(alternator, bank)
    return _direct(alternator, bank, boat)


def _converter(alternator: Alternator, bank: Bank) -> Finding:
    side = charging_voltage(alternator, bank)
    if side is None or not alternator.voltage.seen:
        raise CannotJudge(
            "the voltages on the two sides of its converter were not noted",
            f"the voltages at the converter of '{alternator.id}' while it charges",
        )
    question = Question()
    question.ask("output_A", alternator, "converter", worse="higher")
    question.noted("output_V", side, entry=alternator, field="charging_voltage", worse="higher")
    for name, field in (
        ("input_V", "voltage"),
        ("efficiency", "efficiency"),
        ("rating_A", "current"),
    ):
        question.ask(name, alternator, field, worse="lower")

    def requirement(**given: Any) -> tuple[Any, Any]:
        rating = given.pop("rating_A")
        return charging.converter_input_A(given.pop("output_A"), **given), rating

    best = {name: float(value) for name, value in question.best_values().items()}
    hot = best["rating_A"] * hot_share()[0]
    numbers = (
        f"{best['output_A']:.4g} x {best['output_V']:.4g} / "
        f"({best['input_V']:.4g} x {best['efficiency']:.3g})"
    )
    drawn = float(requirement(**best)[0])
    most = charging.converter_input_A(
        1.0,
        output_V=question.ends("output_V")[1],
        input_V=question.ends("input_V")[0],
        efficiency=question.ends("efficiency")[0],
    )
    output = units.show_limit(
        question.ends("rating_A")[0] / float(most), "current", sense="at most"
    )
    return question.finding(
        question.rule(requirement, "at most"),
        entry=alternator,
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"The converter draws {value} of alternator '{alternator.id}', rated {limit}."
        ),
        working=(
            Step("I", "output x its voltage / (input voltage x efficiency)", numbers, drawn, "A"),
        ),
        sources=(table("alternator_hot_cold_example").source(),),
        remedy=f"A converter of at most {output} output.",
        caution=GAS,
        notes=(
            f"Hot and at low speed one published machine gave {hot_share()[0] * 100:.0f} % of its "
            f"rating: {hot:.3g} A of {best['rating_A']:.4g} A here. What the engine itself uses "
            "comes on top.",
        ),
    )


def _lithium(alternator: Alternator, bank: Bank) -> Finding:
    shares = hot_share()
    return presence_finding(
        alternator.regulator,
        entry=alternator,
        field="regulator",
        words={
            "yes": f"Alternator '{alternator.id}' charges lithium bank '{bank.id}' through a "
            "regulator that limits it.",
            "no": f"Nothing limits alternator '{alternator.id}', which charges lithium bank "
            f"'{bank.id}': the bank takes all that it gives, until it burns.",
            "?": f"Alternator '{alternator.id}' charges lithium bank '{bank.id}'; what limits it "
            "was not seen.",
        },
        worst="A",
        sources=(table("alternator_hot_cold_example").source(),),
        remedy=f"Fit a regulator that senses the temperature of '{alternator.id}', or a converter "
        "of a fixed current between.",
        caution=LITHIUM,
        notes=(
            f"One published machine held {shares[0] * 100:.0f} to {shares[1] * 100:.0f} % of its "
            "rating when hot.",
            "If the bank disconnects itself while charging, the alternator's voltage jumps: ask "
            "what takes it up.",
        ),
    )


def _direct(alternator: Alternator, bank: Bank, boat: BoatFile) -> Finding:
    """Judge the current of an alternator on a lead-acid bank as that of any charger."""
    if stop := why_not(bank):
        raise stop
    question = Question()
    question.ask("current_A", alternator, "current", worse="higher")
    notes: list[str] = []
    capacity, requirement, sources = ask_most(
        question, bank, boat, lambda given: given["current_A"], notes
    )
    ruling = question.rule(requirement, "at most")
    least = ruling.limit.low * float(capacity(question.worst_values()))
    return question.finding(
        ruling,
        entry=alternator,
        quantity="ratio",
        worst="C",
        statement=lambda value, limit: (
            f"Alternator '{alternator.id}' may charge bank '{bank.id}' at {value} C, amperes for "
            f"each Ah of its rated capacity; the limits published or noted for it are {limit} C."
        ),
        sources=sources,
        remedy="A regulator that limits it to "
        f"{units.show_limit(least, 'current', sense='at most')}, or the battery maker's word.",
        caution=GAS,
        notes=notes,
    )


CHECK = Check(
    name="alternator",
    judges="what an alternator feeds against what it can give",
    system="batteries and charging",
    place=321,
    of="alternator",
    ask=_alternator,
)
