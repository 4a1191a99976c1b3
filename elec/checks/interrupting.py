"""Whether a device can break what its bank can push through a short circuit."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Bank, BoatFile, Protection
from elec.calc import fault
from elec.checks.bank_source import ask_fault, ask_open_circuit, bank_of, device_runs, is_direct
from elec.checks.cable import CannotJudge
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.published import Source, table

__all__ = ["CHECKS", "check"]

CHECK = "interrupting"
CHECKS = (CHECK,)
_CAUTION = (
    "A device that cannot break the fault may burst and burn. Never short a bank to find out what "
    "it can give."
)
_EDITION = (
    "Editions of ABYC E-11 differ: that of July 2025 keeps its cranking table for flooded "
    "lead-acid only; other chemistries, and banks above 2,200 CCA or 500 Ah, go by the maker's "
    "short-circuit current, or 20 kA at 125 V DC where that exceeds 10 kA."
)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every device of a DC circuit."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for device in boat.protection:
        runs = device_runs(device, boat)
        if device.device == "none" or not all(is_direct(run, boat) for run in runs):
            continue
        if not runs and device.at_battery != "yes":
            reason = "no run names it as its protection, and it was not noted at a battery"
            read = f"what '{device.id}' protects"
            skipped.append(NotChecked(CHECK, device.id, reason, device.where, read))
            continue
        try:
            findings.append(_judge(device, bank_of(runs, boat)))
        except CannotJudge as error:
            read = error.read.replace("feeds it", f"feeds '{device.id}'")
            skipped.append(NotChecked(CHECK, device.id, error.reason, device.where, read))
    return findings, skipped


def _judge(device: Protection, bank: Bank) -> Finding:
    question = Question()
    sources = [ask_open_circuit(question, bank, full=True, worse="higher")]
    current, notes = ask_fault(question, bank, worse="higher")
    notes.append(
        "At the bank's terminals, its cable left out: what reaches the device is less, by the "
        "resistance on the way. Chargers, alternators and running motors add to it."
    )
    volts = bank.voltage.span[1]
    _ask_marking(device, question, volts, sources, lambda: current(question.best_values()))

    def requirement(**given: Any) -> tuple[Any, Any]:
        return current(given), given["interrupting_A"]

    ruling = question.rule(requirement, "at most")
    least_A, words = _by_cranking_table(device, bank)
    if words:
        notes.append(words)
        marked = device.interrupting.span[0] if device.interrupting.seen else 0.0
        if least_A and device.interrupting.seen:
            notes.append(f"By it this device {'meets' if marked >= least_A else 'fails'}.")
    notes.append(_EDITION)
    most = float(ruling.value.high)
    return question.finding(
        ruling,
        check=CHECK,
        entry=device,
        sense="at most",
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"'{bank.id}' can push {value} through a short circuit at '{device.id}', which can "
            f"break {limit}."
        ),
        working=[
            Step(
                "Ip",
                "fault current of the bank, strings in parallel added, series not",
                "",
                float(np.asarray(current(question.best_values()))),
                "A",
                "as noted or typical",
            ),
        ],
        sources=sources,
        remedy=(
            f"Fit a device, or a fuse ahead of it at the battery, that breaks "
            f"{units.show_limit(most, 'current', sense='at least')} at {volts:g} V DC."
        ),
        caution=_CAUTION,
        notes=notes,
    )


def _ask_marking(
    device: Protection, question: Question, volts: float, sources: list[Source], best: Any
) -> None:
    """Add the interrupting capacity: as marked, else what is published for its family."""
    void = device.marked_voltage.seen and device.marked_voltage.span[0] < volts * (1 - 1e-9)
    if device.interrupting.seen:
        if void:
            question.exact("interrupting_A", 0.0)  # above its marked voltage a rating is void
            return
        question.noted(
            "interrupting_A",
            device.interrupting,
            entry=device,
            field="interrupting capacity",
            worse="lower",
        )
        return
    family = table("fuse_interrupting_generic")
    rows = [
        row
        for row in family.rows()
        if row["family"] == device.family
        and row["ac_or_dc"] == "DC"
        and max(float(row["at_voltage_V"]), float(row["at_other_voltage_V"] or 0)) >= volts
    ]
    if not rows:
        raise CannotJudge(
            "its interrupting capacity was not noted; its bank could push about "
            f"{units.show(float(np.asarray(best())), 'current')} through it",
            f"the interrupting capacity marked on '{device.id}', for direct current",
        )
    values = {float(row[f"interrupting_{end}_A"]) for row in rows for end in ("low", "high")}
    question.among(
        "interrupting_A",
        [Option(v, units.show(v, "current")) for v in sorted(values)],
        entry=device,
        field="interrupting capacity",
        worse="lower",
        best=min(values),
        source=f"table {family.name}, {device.family}",
        read=f"the interrupting capacity marked on '{device.id}', for direct current",
    )
    sources.append(family.source())


def _by_cranking_table(device: Protection, bank: Bank) -> tuple[float, str]:
    """Return what the published table by cranking current asks of a breaker, where it may be used.

    It holds for flooded banks of up to 2,200 CCA or 500 Ah.
    """
    if device.device != "breaker":
        return 0.0, ""
    strings = bank.in_parallel
    if bank.chemistry != "flooded":
        return 0.0, "The table of ABYC E-11 by cranking current is for flooded lead-acid only."
    if not bank.cranking.seen or not isinstance(strings, int):
        return 0.0, "Its cranking current was not noted: the table of ABYC E-11 cannot be used."
    cranking = float(fault.parallel_cranking_A(bank.cranking.span[2], strings_in_parallel=strings))
    volts = bank.voltage.span[1]
    rows = [
        row
        for row in table("abyc_dc_interrupting_capacity").rows()
        if float(row["system_low_V"]) <= volts <= float(row["system_high_V"])
        and cranking >= float(row["bank_CCA_min_A"])
    ]
    scope = table("abyc_interrupting_scope")
    most_A = scope.exact("value", name="most cranking current")
    most_Ah = scope.exact("value", name="most capacity")
    total = bank.capacity.span[2] * strings if bank.capacity.seen else 0.0
    if not rows or (cranking > most_A and not (0 < total <= most_Ah)):
        return 0.0, "Its bank is outside the table of ABYC E-11 by cranking current."
    row = max(rows, key=lambda r: float(r["bank_CCA_min_A"]))
    main = device.at_battery == "yes"
    least = float(row["main_breaker_AIC_A" if main else "branch_breaker_AIC_A"])
    place = "first" if main else "later"
    return least, (
        f"ABYC E-11, Table V-A (as republished), asks {units.show(least, 'current')} of a {place} "
        f"breaker on a flooded bank of {cranking:,.0f} CCA."
    )
