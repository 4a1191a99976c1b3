"""Alternators: what a converter asks of one, and how one suits the bank that it charges."""

from __future__ import annotations

from typing import Any, cast

import numpy as np

from elec import noted, units
from elec.boat.possible import possible
from elec.boat.records import Alternator, Bank, BoatFile
from elec.calc.batteries import charging
from elec.checks.banks.bank_autonomy import GAS, LITHIUM
from elec.checks.banks.bank_capacity import ask_capacity, cannot
from elec.checks.charging.charger_size import ask_bands
from elec.checks.presence import presence_finding
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["CHECKS", "check", "hot_share"]

ALTERNATOR = "alternator"
CHECKS = (ALTERNATOR,)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask every alternator what it feeds."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for alternator in boat.alternator:
        bank = cast(Bank, boat.find(alternator.bank))
        if alternator.converter.seen:
            results = [_converter(alternator, bank)]
        elif bank.chemistry.is_surely("lfp"):
            results = [_lithium(alternator, bank)]
        else:
            results = [_direct(alternator, bank, boat)]
        findings += [one for one in results if isinstance(one, Finding)]
        skipped += [one for one in results if isinstance(one, NotChecked)]
    return findings, skipped


def hot_share() -> tuple[float, float]:
    """Return the share of its rating that one published alternator gave hot: least, most."""
    shares = table("alternator_hot_cold_example").numbers("hot_over_cold")
    known = shares[np.isfinite(shares)]
    return float(known.min()), float(known.max())


def _unread(alternator: Alternator) -> NotChecked:
    return NotChecked(
        ALTERNATOR,
        alternator.id,
        "its rated current was not noted",
        alternator.where,
        f"the current on the plate of '{alternator.id}'",
    )


def _side_V(alternator: Alternator, bank: Bank) -> Noted | None:
    """Return the voltage on the bank's side of the converter, noted or as published."""
    if alternator.charging_voltage.seen:
        return alternator.charging_voltage
    if bank.voltage.best is None:
        return None
    rows = [
        r
        for r in table("charge_voltages_12V_block").rows()
        if r["stage"] == "absorption" and bank.chemistry.may_be(r["battery_type"])
    ]
    if not rows:
        return None
    blocks = bank.voltage.best / 12.0
    return noted.between(
        min(float(r["voltage_low_V"]) for r in rows) * blocks,
        max(float(r["voltage_high_V"]) for r in rows) * blocks,
        "voltage",
        origin="typical",
        source="table charge_voltages_12V_block",
        text="not seen",
    )


def _converter(alternator: Alternator, bank: Bank) -> Finding | NotChecked:
    if not alternator.current.seen:
        return _unread(alternator)
    side = _side_V(alternator, bank)
    if side is None or not alternator.voltage.seen:
        return NotChecked(
            ALTERNATOR,
            alternator.id,
            "the voltages on the two sides of its converter were not noted",
            alternator.where,
            f"the voltages at the converter of '{alternator.id}' while it charges",
        )
    question = Question()
    low, high, source = possible("efficiency of a converter")
    typical = noted.between(low, high, "fraction", origin="typical", source=source, text="not seen")
    through = alternator.efficiency if alternator.efficiency.seen else typical
    for name, value, field, worse in (
        ("output_A", alternator.converter, "converter", "higher"),
        ("output_V", side, "charging voltage", "higher"),
        ("input_V", alternator.voltage, "voltage", "lower"),
        ("efficiency", through, "efficiency", "lower"),
        ("rating_A", alternator.current, "current", "lower"),
    ):
        question.noted(name, value, entry=alternator, field=field, worse=cast(Any, worse))

    def requirement(**given: Any) -> tuple[Any, Any]:
        rating = given.pop("rating_A")
        current = charging.converter_input_A(given.pop("output_A"), **given)
        return current, rating + 0.0 * current

    ruling = question.rule(requirement, "at most")
    best = {name: float(value) for name, value in question.best_values().items()}
    drawn = float(requirement(**dict(best))[0])
    cold, hot = best["rating_A"], best["rating_A"] * hot_share()[0]
    numbers = (
        f"{best['output_A']:.4g} x {best['output_V']:.4g} / "
        f"({best['input_V']:.4g} x {best['efficiency']:.3g})"
    )
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
        ruling,
        check=ALTERNATOR,
        entry=alternator,
        sense="at most",
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
            f"rating: {hot:.3g} A of {cold:.4g} A here. What the engine itself uses comes on top.",
        ),
    )


def _lithium(alternator: Alternator, bank: Bank) -> Finding:
    shares = hot_share()
    return presence_finding(
        alternator.regulator,
        check=ALTERNATOR,
        entry=alternator,
        field="regulator",
        read=f"what limits '{alternator.id}': a regulator with a temperature sensor, or a "
        "converter to the bank",
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


def _direct(alternator: Alternator, bank: Bank, boat: BoatFile) -> Finding | NotChecked:
    """Judge the current of an alternator on a lead-acid bank as that of any charger."""
    if not alternator.current.seen:
        return _unread(alternator)
    if stop := cannot(bank, ALTERNATOR, alternator.id, alternator.where):
        return stop
    question = Question()
    question.noted(
        "current_A", alternator.current, entry=alternator, field="current", worse="higher"
    )
    capacity = ask_capacity(question, bank, boat, aged=False)
    notes: list[str] = []
    sources: list[Source] = []
    if bank.charge_limit.seen:
        question.noted(
            "limit_A", bank.charge_limit, entry=bank, field="charge limit", worse="lower"
        )
    else:
        sources.append(ask_bands(question, bank, notes))

    def requirement(**given: Any) -> tuple[Any, Any]:
        held = capacity(given)
        share = charging.charger_fraction(given["current_A"], capacity_Ah=held)
        limit = given["limit_A"] / held if "limit_A" in given else given["band"]
        return share, limit + 0.0 * share

    ruling = question.rule(requirement, "at most")
    least = ruling.limit.low * float(capacity(question.worst_values()))
    return question.finding(
        ruling,
        check=ALTERNATOR,
        entry=alternator,
        sense="at most",
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
