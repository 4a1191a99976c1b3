"""The bank that something charges: what it takes at most, and what its loads take meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal, cast

from elec.boat.records import Alternator, Bank, BoatFile, Charger, Solar
from elec.calc.batteries import charging
from elec.checks.banks.bank_capacity import Capacity, ask_capacity
from elec.checks.banks.bank_loads import daily_Ah, main_condition
from elec.checks.question import Option, Question
from elec.published import Source, table

__all__ = ["ask_bands", "ask_most", "bank_of", "standing"]

#: Bands that end below this share of capacity only maintain a bank.
_MAINTAINS = 0.1


def bank_of(boat: BoatFile, entry: Charger | Alternator | Solar) -> Bank:
    """Return the bank that an entry charges."""
    return cast(Bank, boat.find(entry.bank))


def standing(boat: BoatFile, bank: Bank) -> tuple[float, float, float]:
    """Return the average standing current while charging: least, best, most [A]."""
    low, best, high = (day / 24 for day in daily_Ah(boat, bank, main_condition(bank)))
    return low, best, high


def ask_most(
    question: Question,
    bank: Bank,
    boat: BoatFile,
    current_A: Callable[[dict[str, Any]], Any],
    notes: list[str],
) -> tuple[Capacity, Callable[..., tuple[Any, Any]], list[Source]]:
    """Add what a bank holds and the most that it takes, by its papers or as published.

    Returns
    -------
    capacity : callable
        What it holds, from the inputs. [Ah]
    requirement : callable
        The current as a share of it, and the share that it takes. [1/h]
    sources : list of Source
        What the limit is from.
    """
    capacity = ask_capacity(question, bank, boat, aged=False)
    sources: list[Source] = []
    if bank.charge_limit.seen:
        question.ask("limit_A", bank, "charge_limit", worse="lower")
    else:
        sources.append(ask_bands(question, bank, notes))

    def requirement(**given: Any) -> tuple[Any, Any]:
        held = capacity(given)
        share = charging.charger_fraction(current_A(given), capacity_Ah=held)
        return share, given["limit_A"] / held if "limit_A" in given else given["band"]

    return capacity, requirement, sources


def ask_bands(
    question: Question, bank: Bank, notes: list[str], *, end: Literal["low", "high"] = "high"
) -> Source:
    """Add an end of the charging bands as a share of capacity: each published of its chemistry."""
    bands = table("charger_fraction_bands")
    rows = [
        r
        for r in bands.rows()
        if r["high_fraction"]
        and bank.chemistry.may_be(r["chemistry"])
        and float(r["high_fraction"]) >= _MAINTAINS
    ]
    word = "a limit of" if end == "high" else "a start at"
    options = {float(r[f"{end}_fraction"]): f"{word} {r[f'{end}_fraction']} C" for r in rows}
    ordered = [Option(v, options[v]) for v in sorted(options)]
    question.among(
        "band",
        ordered,
        entry=bank,
        field="charge limit of its maker" if end == "high" else "least charge current advised",
        worse="lower" if end == "high" else "higher",
        best=ordered[0].value,
        source="published bands, which disagree",
        read=f"the {'charge limit' if end == 'high' else 'least charge current'} in the papers of "
        f"the batteries of '{bank.id}'",
    )
    shown = "; ".join(
        f"{r['low_fraction']} to {r['high_fraction']} C ({r['context']})"
        if r["low_fraction"] != r["high_fraction"]
        else f"{r['high_fraction']} C ({r['context']})"
        for r in rows
    )
    notes.append(f"Published bands: {shown}.")
    return bands.source()
