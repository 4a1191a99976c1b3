"""A bank as a source: its open-circuit voltage and what it can push through a short circuit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from elec.boat.possible import possible, typical
from elec.boat.records import Bank, BoatFile, Run
from elec.boat.typical import strings_counted, unit_capacity
from elec.calc.cables import fault
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question, Worse
from elec.published import Source, table

__all__ = ["ask_fault", "ask_open_circuit", "bank_of"]

Given = dict[str, Any]
_LEAD_ACID = ("flooded", "gel", "agm")
_HALF_FULL = 50.0


def bank_of(runs: Sequence[Run], boat: BoatFile, fed: str = "it") -> Bank:
    """Return the bank behind runs: named, that of what they feed, or the only one that fits.

    Refused if none or several may be it.
    """
    named = [boat.find(run.start) for run in runs if run.start]
    served = [boat.find(name) for run in runs for name in run.serves]
    owners = [getattr(one, "bank", None) for one in served]
    named += [boat.find(owner) for owner in owners if owner]
    banks = {one.id: one for one in named if isinstance(one, Bank)}
    if not banks:
        volts = {run.voltage.span[1] for run in runs if run.voltage.seen}
        banks = {
            one.id: one
            for one in boat.bank
            if one.voltage.seen and (not volts or one.voltage.span[1] in volts)
        }
    if len(banks) != 1:
        words = "several banks may feed it" if banks else "no bank that may feed it was noted"
        raise CannotJudge(words, f"which bank feeds {fed}")
    return next(iter(banks.values()))


def _strings(question: Question, bank: Bank, worse: Worse) -> Callable[[Given], Any]:
    counted = strings_counted(bank)
    if counted is not None:
        return lambda _given: float(counted)
    low, high, source = possible("parallel strings")
    question.among(
        "strings",
        [Option(float(n), f"{n:g} in parallel") for n in np.arange(low, high + 1)],
        entry=bank,
        field="strings in parallel",
        worse=worse,
        best=low,
        source=source,
    )
    return lambda given: given["strings"]


def ask_open_circuit(question: Question, bank: Bank, *, full: bool, worse: Worse) -> Source:
    """Add the open-circuit voltage of a bank as ``emf_V``: full, or from half full to full."""
    lithium = bank.chemistry.is_surely("lfp")
    ocv = table("voltage_soc_lfp_computed" if lithium else "ocv_soc_published_comparison_12V")
    column = "four_series_V" if lithium else "ocv_12V_block_V"
    rows = [
        (float(row["soc_pct"]), float(row[column]))
        for row in ocv.rows()
        if row[column] and (lithium or bank.chemistry.may_be(row["battery_type"]))
    ]
    if not rows or not bank.voltage.seen:
        raise CannotJudge(
            f"no open-circuit voltage is held for '{bank.id}'",
            f"the voltage and chemistry on the label of '{bank.id}'",
        )
    least = 100.0 if full else _HALF_FULL
    volts = [volt for charge, volt in rows if charge >= least]
    nominal = bank.voltage.span[1]
    # lithium banks are marked by 12.8 V for four cells, or by 12 V like the others
    blocks = nominal / 12.8 if lithium and nominal % 12.8 < 0.01 else nominal / 12.0
    question.noted(
        "emf_V",
        typical(min(volts) * blocks, max(volts) * blocks, "voltage", f"table {ocv.name}"),
        entry=bank,
        field="open-circuit voltage",
        worse=worse,
    )
    return ocv.source()


def ask_fault(
    question: Question, bank: Bank, *, worse: Worse
) -> tuple[Callable[[Given], Any], list[str]]:
    """Add what the full bank can push through a short at its terminals; needs ``emf_V``.

    Refused if neither the maker's figures nor a published ratio say it.
    """
    if bank.short_circuit.seen:
        question.ask("unit_fault_A", bank, "short_circuit", worse=worse)
        strings = _strings(question, bank, worse)
        return lambda g: g["unit_fault_A"] * strings(g), []
    if bank.resistance.seen and isinstance(bank.in_series, int):
        series = bank.in_series
        opposite: Worse = "lower" if worse == "higher" else "higher"
        question.ask("unit_ohm", bank, "resistance", worse=opposite)
        strings = _strings(question, bank, worse)

        def by_resistance(given: Given) -> Any:
            inside = fault.bank_resistance_ohm(
                given["unit_ohm"], cells_in_series=series, strings_in_parallel=strings(given)
            )
            return fault.prospective_fault_A(given["emf_V"], bank_ohm=inside)

        return by_resistance, []
    capacity = unit_capacity(bank)
    if not bank.chemistry.is_surely(*_LEAD_ACID) or capacity is None:
        raise CannotJudge(
            f"the short-circuit current of '{bank.id}' was not noted, and no range is held for "
            + ("its kind" if bank.chemistry.seen else "a bank of unknown kind"),
            f"the short-circuit current in the papers of '{bank.id}'",
        )
    low, high, source = possible("fault current over capacity")
    question.noted("unit_Ah", capacity, entry=bank, field="capacity", worse=worse)
    question.noted(
        "per_h",
        typical(low, high, "ratio", source),
        entry=bank,
        field="short-circuit current in A for each Ah",
        worse=worse,
        read=f"the short-circuit current in the papers of '{bank.id}'",
    )
    strings = _strings(question, bank, worse)

    def by_capacity(given: Given) -> Any:
        return fault.fault_from_capacity_A(
            given["unit_Ah"] * strings(given), amperes_per_Ah=given["per_h"]
        )

    return by_capacity, [
        "Its fault current is a rough share of its capacity, no answer: ask its maker for the "
        "short-circuit current."
    ]
