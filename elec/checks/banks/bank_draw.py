"""Draws that a bank has to stand: an inverter at full power, and what flows with all off."""

from __future__ import annotations

from typing import Any, cast

import numpy as np

from elec import noted, units
from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile, Inverter
from elec.calc.batteries import charging, storage
from elec.checks.banks.bank_autonomy import GAS, LITHIUM
from elec.checks.banks.bank_capacity import (
    SHORTEST_H,
    ask_capacity,
    ask_usable,
    cannot,
    one_hour_Ah,
)
from elec.checks.banks.bank_effects import ask_exponent, ask_rate, ask_temperature
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.published import Source, table

__all__ = ["CHECKS", "check"]

INVERTER, DRAIN = "inverter-draw", "parasitic-drain"
CHECKS = (INVERTER, DRAIN)
_HOURS_A_MONTH = 730.5


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask every inverter and every bank."""
    results: list[Finding | NotChecked] = []
    for inverter in boat.inverter:
        bank = boat.find(inverter.bank) if inverter.bank else None
        if bank is None and len(boat.bank) == 1:
            bank = boat.bank[0]
        results.append(_inverter(inverter, cast("Bank | None", bank), boat))
    unread = [bank.id for bank in boat.bank if not bank.drain.seen]
    results += [_drain(bank, boat) for bank in boat.bank if bank.drain.seen]
    if unread:
        words = "no current with everything switched off was measured"
        read = f"the current out of {', '.join(map(repr, unread))} with everything switched off"
        results.append(NotChecked(DRAIN, ", ".join(unread), words, None, read))
    findings = [one for one in results if isinstance(one, Finding)]
    return findings, [one for one in results if isinstance(one, NotChecked)]


def _inverter(inverter: Inverter, bank: Bank | None, boat: BoatFile) -> Finding | NotChecked:
    if bank is None or not inverter.power.seen:
        missing = "its rated power" if bank is not None else "the bank that feeds it"
        return NotChecked(
            INVERTER,
            inverter.id,
            f"{missing} was not noted",
            inverter.where,
            f"the plate of '{inverter.id}', and which bank feeds it",
        )
    if stop := cannot(bank, INVERTER, inverter.id, inverter.where):
        return stop
    volts = float(bank.voltage.best or 0.0)
    question = Question()
    question.noted("power_W", inverter.power, entry=inverter, field="power", worse="higher")
    low, high, source = possible("inverter efficiency")
    typical = noted.between(low, high, "fraction", origin="typical", source=source, text="not seen")
    through = inverter.efficiency if inverter.efficiency.seen else typical
    question.noted("efficiency", through, entry=inverter, field="efficiency", worse="lower")
    sources: list[Source] = []
    notes: list[str] = []
    if bank.discharge_limit.seen:
        question.noted(
            "limit_A", bank.discharge_limit, entry=bank, field="discharge limit", worse="lower"
        )

        def limit(given: dict[str, Any]) -> Any:
            return given["limit_A"]

        words = "its maker lets it give {limit}"
    else:
        capacity = ask_capacity(question, bank, boat, aged=True)
        sources.append(ask_exponent(question, bank))
        notes += ask_rate(question, bank)
        cold, said = ask_temperature(question, bank, sources)
        notes += said

        def limit(given: dict[str, Any]) -> Any:
            return one_hour_Ah(capacity(given), given) / cold(given) / SHORTEST_H

        words = "it is empty in an hour at {limit}, beyond which no published capacity holds"
        notes.append("The battery maker's own discharge limit goes before this.")

    def requirement(**given: Any) -> tuple[Any, Any]:
        # One volt out turns the current of a converter into its power.
        current = charging.converter_input_A(
            given["power_W"], output_V=1.0, input_V=volts, efficiency=given["efficiency"]
        )
        return current, limit(given) + 0.0 * current

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    least = float(limit(question.worst_values())) * volts * question.ends("efficiency")[0]
    return question.finding(
        ruling,
        check=INVERTER,
        entry=inverter,
        sense="at most",
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
        caution=LITHIUM if bank.chemistry.is_surely("lfp") else GAS,
        notes=notes,
    )


def _drain(bank: Bank, boat: BoatFile) -> Finding | NotChecked:
    if stop := cannot(bank, DRAIN, bank.id, bank.where):
        return stop
    question = Question()
    question.noted("drain_A", bank.drain, entry=bank, field="drain", worse="higher")
    capacity = ask_capacity(question, bank, boat, aged=True)
    sources = ask_usable(question, bank)
    cold, notes = ask_temperature(question, bank, sources)
    losses = table("self_discharge")
    rates = losses.numbers("pct_per_month_20C") / 100
    if bank.chemistry.is_surely("lfp"):
        question.exact("own_per_month", 0.0)
        notes.append("No published self-discharge of lithium cells is held; none is counted.")
    else:
        sources.append(losses.source())
        span = noted.between(
            float(np.min(rates)),
            float(np.max(rates)),
            "fraction",
            origin="typical",
            source="table self_discharge",
            text="not seen",
        )
        question.noted("own_per_month", span, entry=bank, field="self-discharge", worse="higher")
    if bank.unattended.seen:
        question.noted(
            "wanted_h", bank.unattended, entry=bank, field="time unattended", worse="higher"
        )
    else:
        low, _, source = possible("time left unattended")
        question.exact("wanted_h", low)
        notes.append(f"No time was noted: {low / 24:g} days are taken ({source}).")

    def requirement(**given: Any) -> tuple[Any, Any]:
        held = capacity(given) / cold(given)
        own = held * given["own_per_month"] / _HOURS_A_MONTH
        hours = storage.autonomy_h(
            held, current_A=given["drain_A"] + own, usable_fraction=given["usable"]
        )
        return hours, given["wanted_h"] + 0.0 * hours

    ruling = question.rule(requirement, "at least")
    worst = question.worst_values()
    held = float(capacity(worst) / cold(worst))
    own = held * float(worst["own_per_month"]) / _HOURS_A_MONTH
    most = held * float(worst["usable"]) / float(worst["wanted_h"]) - own
    remedy = (
        f"Bring the drain down to {units.show_limit(most, 'current', sense='at most')}, or switch "
        "the bank off."
        if most > 0
        else "Switch the bank off and charge it while nobody is aboard."
    )
    return question.finding(
        ruling,
        check=DRAIN,
        entry=bank,
        sense="at least",
        quantity="duration",
        worst="C",
        statement=lambda value, limit: (
            f"Left with everything off, bank '{bank.id}' reaches its usable limit in {value}; "
            f"{limit} is asked."
        ),
        sources=sources,
        remedy=remedy,
        caution=LITHIUM if bank.chemistry.is_surely("lfp") else GAS,
        notes=notes,
    )
