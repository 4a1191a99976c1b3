"""How long a bank stands with everything switched off."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from elec import units
from elec.boat.possible import possible
from elec.boat.records import Bank, Boat, BoatFile
from elec.boat.typical import spanned
from elec.calc.batteries import storage
from elec.checks.banks.bank_capacity import ask_capacity, ask_usable, why_not
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.banks.bank_effects import ask_temperature
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, NotChecked
from elec.published import Source, table

_HOURS_A_MONTH = 730.5


def _drains(_about: Boat, boat: BoatFile, _basis: str) -> Iterator[Answer]:
    """Ask each bank whose drain was measured; the others are named in one line."""
    measured = [bank for bank in boat.bank if bank.drain.seen]
    yield from each("parasitic-drain", measured, lambda bank: _drain(bank, boat))
    unread = [bank.id for bank in boat.bank if not bank.drain.seen]
    if unread:
        words = "no current with everything switched off was measured"
        read = f"the current out of {', '.join(map(repr, unread))} with everything switched off"
        yield NotChecked("parasitic-drain", ", ".join(unread), words, None, read)


def _drain(bank: Bank, boat: BoatFile) -> Finding:
    if stop := why_not(bank):
        raise stop
    question = Question()
    question.ask("drain_A", bank, "drain", worse="higher")
    capacity = ask_capacity(question, bank, boat, aged=True)
    sources = ask_usable(question, bank)
    cold, notes = ask_temperature(question, bank, sources)
    _ask_own(question, bank, sources, notes)
    _ask_time(question, bank, notes)

    def held_and_own(given: dict[str, Any]) -> tuple[Any, Any]:
        held = capacity(given) / cold(given)
        return held, held * given["own_per_month"] / _HOURS_A_MONTH

    def requirement(**given: Any) -> tuple[Any, Any]:
        held, own = held_and_own(given)
        hours = storage.autonomy_h(
            held, current_A=given["drain_A"] + own, usable_fraction=given["usable"]
        )
        return hours, given["wanted_h"]

    worst = question.worst_values()
    held, own = (float(one) for one in held_and_own(worst))
    most = held * float(worst["usable"]) / float(worst["wanted_h"]) - own
    remedy = (
        f"Bring the drain down to {units.show_limit(most, 'current', sense='at most')}, or switch "
        "the bank off."
        if most > 0
        else "Switch the bank off and charge it while nobody is aboard."
    )
    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity="duration",
        worst="C",
        statement=lambda value, limit: (
            f"Left with everything off, bank '{bank.id}' reaches its usable limit in {value}; "
            f"{limit} is asked."
        ),
        sources=sources,
        remedy=remedy,
        caution=caution_of(bank),
        notes=notes,
    )


def _ask_own(question: Question, bank: Bank, sources: list[Source], notes: list[str]) -> None:
    """Add what the bank loses by itself in a month."""
    if bank.chemistry.is_surely("lfp"):
        question.exact("own_per_month", 0.0)
        notes.append("No published self-discharge of lithium cells is held; none is counted.")
        return
    losses = table("self_discharge")
    column = "pct_per_month_20C"
    span = spanned(losses.rows(), column, column, "fraction", f"table {losses.name}", times=0.01)
    question.noted("own_per_month", span, entry=bank, field="self-discharge", worse="higher")
    sources.append(losses.source())


def _ask_time(question: Question, bank: Bank, notes: list[str]) -> None:
    """Add the time that it is left, noted or usual."""
    if bank.unattended.seen:
        question.ask("wanted_h", bank, "unattended", worse="higher")
        return
    low, _, source = possible("time left unattended")
    question.exact("wanted_h", low)
    notes.append(f"No time was noted: {low / 24:g} days are taken ({source}).")


CHECK = Check(
    name="parasitic-drain",
    judges="how long a bank stands with everything off",
    system="batteries and charging",
    place=392,
    of="boat",
    ask=_drains,
)
