"""How a bank is fitted: held fast, terminals covered, rings on a post; what lithium needs."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import Bank, BoatFile
from elec.boat.typical import possible, strings_counted, unit_capacity
from elec.calc.batteries import storage
from elec.checks.banks.bank_autonomy import GAS, LITHIUM
from elec.checks.presence import THERE, ask_presence, fitting_of, presence_finding
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import table

__all__ = ["CHECKS", "check"]

RESTRAINT, COVERS, RINGS, NEEDS = "bank-restraint", "bank-covers", "bank-rings", "lithium"
CHECKS = (RESTRAINT, COVERS, RINGS, NEEDS)
_SHORT = "A tool across two terminals melts and burns: insulate tools, take rings and watches off."
_DUTIES = "standards_duties"
# Newtons of a pound-force, by definition (NIST SP 811, appendix B.8).
_NEWTON_PER_LBF = 4.4482216152605


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask how every bank is fitted."""
    findings: list[Finding] = []
    for bank in boat.bank:
        findings += [_restraint(bank, boat, basis), _covers(bank), _rings(bank)]
        if bank.chemistry == "lfp":
            findings.append(_lithium(bank))
    return findings, []


def _restraint(bank: Bank, boat: BoatFile, basis: str) -> Finding:
    duties = table(_DUTIES)
    us = basis == "us"
    movement = "cfr183_420_movement" if us else "iso10133_movement"
    row = duties.row(duty_id=movement)
    sources = [duties.source(duty_id=movement)]
    working: list[Step] = []
    if us:
        pull = duties.row(duty_id="cfr183_420_pull")
        sources.append(duties.source(duty_id="cfr183_420_pull"))
        if bank.mass.seen and bank.mass.best:
            most = float(pull["value"]) * _NEWTON_PER_LBF
            force = storage.restraint_pull_N(bank.mass.best, weight_multiple=2.0, most_N=most)
            numbers = f"lesser of {most:.4g} N and 2 x {bank.mass.best:.4g} kg x 9.807 m/s²"
            working = [Step("F", "pull it is held against", numbers, float(force), "N")]
    limit = f"{row['value']} {row['unit']}"
    return presence_finding(
        bank.secured,
        check=RESTRAINT,
        entry=bank,
        field="fastening",
        read=fitting_of(bank),
        words={
            "yes": f"Bank '{bank.id}' is held fast.",
            "no": f"Bank '{bank.id}' is not held fast; {row['document']} lets it move {limit} "
            "at most.",
            "?": f"Whether bank '{bank.id}' is held fast was not seen.",
        },
        worst="A" if boat.boat.fuel == "petrol" else "B",
        sources=sources,
        remedy=f"Hold '{bank.id}' down so that it moves {limit} at most, whichever way the boat "
        "heels.",
        caution=GAS,
        working=working,
        notes=("33 CFR 183.420 binds boats with inboard petrol engines; elsewhere a yardstick.",)
        if us
        else (),
    )


def _covers(bank: Bank) -> Finding:
    return presence_finding(
        bank.covers,
        check=COVERS,
        entry=bank,
        field="terminal covers",
        read=fitting_of(bank),
        words={
            "yes": f"The terminals of bank '{bank.id}' are covered.",
            "no": f"The terminals of bank '{bank.id}' are bare.",
            "?": f"Whether the terminals of bank '{bank.id}' are covered was not seen.",
        },
        worst="B",
        sources=[table(_DUTIES).source(duty_id="abyc_e10")],
        remedy=f"Cover the positive terminals of '{bank.id}', or close the box.",
        caution=_SHORT,
    )


def _rings(bank: Bank) -> Finding:
    _, most, source = possible("rings on one battery post")
    question = Question()
    if isinstance(bank.rings_on_post, int):
        question.exact("rings", bank.rings_on_post)
    else:
        question.among(
            "rings",
            [Option(float(n), str(n)) for n in range(1, 9)],
            entry=bank,
            field="rings on a post",
            worse="higher",
            best=2.0,
            source="1 to 8 considered",
            more="or more",
            read=fitting_of(bank),
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["rings"], most + 0.0 * given["rings"]

    return question.finding(
        question.rule(requirement, "at most"),
        check=RINGS,
        entry=bank,
        sense="at most",
        quantity="ratio",
        worst="B",
        statement=lambda _value, _limit: (
            f"A post of bank '{bank.id}' carries {bank.rings_on_post} rings; {most:g} is the most."
            if isinstance(bank.rings_on_post, int)
            else f"Rings on the posts of bank '{bank.id}' were not counted; {most:g} is the most."
        ),
        sources=(table("possible_ranges").source(field="rings on one battery post"),),
        remedy="Bring the rest to a bus bar, one fused cable from the post.",
        caution=_SHORT,
        notes=(f"Limit: {source}.", "The largest ring lies next to the post."),
    )


def _lithium(bank: Bank) -> Finding:
    """Judge what has to be aboard with a lithium bank, and say which standards bind it."""
    duties = table(_DUTIES)
    question = Question()
    wanted = (
        ("management", bank.management, "battery management system", "the management system"),
        ("cold_cutoff", bank.cold_cutoff, "cut-off below freezing", "what stops charging in cold"),
        ("alarm", bank.alarm, "alarm before shut-down", "the alarm before it shuts down"),
    )
    for name, given, field, words in wanted:
        ask_presence(question, name, given, entry=bank, field=field, read=f"{words} of '{bank.id}'")

    def requirement(**given: Any) -> tuple[Any, Any]:
        present = sum(given[name] for name, *_ in wanted)
        return present, len(wanted) - 1 + THERE + 0.0 * np.asarray(present)

    ids = ("abyc_e13_scope", "iso23625_2021_scope", "iso23625_2025_scope")
    working, notes = [], []
    one = unit_capacity(bank)
    if one is not None and bank.voltage.seen:
        energy, words = _energy_Wh(bank, one)
        if energy[0] == energy[1]:
            working.append(Step("E", "capacity x strings x voltage", words, energy[0], "Wh"))
        rows = [duties.row(duty_id=name) for name in ids]
        named = {row["duty_id"]: f"{row['document']} ({row['value']} Wh)" for row in rows}
        reached = [row["duty_id"] for row in rows if energy[0] >= float(row["value"])]
        perhaps = [r["duty_id"] for r in rows if energy[0] < float(r["value"]) <= energy[1]]
        if reached or not perhaps:
            bound = "; ".join(named[name] for name in reached)
            notes.append(f"It reaches the threshold of: {bound or 'none of the standards held'}.")
        if perhaps:
            bound = "; ".join(named[name] for name in perhaps)
            notes.append(f"By what was not settled ({words}) it may reach that of: {bound}.")
    notes.append(
        "See also: over-current device at the bank that can break its fault current; what happens "
        "to the alternator when the bank disconnects itself."
    )
    unseen = [field for _, given, field, _ in wanted if given != "yes"]
    return question.finding(
        question.rule(requirement, "at least"),
        check=NEEDS,
        entry=bank,
        sense="at least",
        quantity="presence",
        worst="A",
        statement=lambda _value, _limit: (
            f"Lithium bank '{bank.id}': {', '.join(unseen)} not seen."
            if unseen
            else f"Lithium bank '{bank.id}': {', '.join(field for _, _, field, _ in wanted)} seen."
        ),
        working=working,
        sources=[duties.source(duty_id=name) for name in (*ids, "abyc_e13_alarm")],
        remedy=f"Fit, or find: {', '.join(unseen)}.",
        caution=LITHIUM,
        notes=notes,
    )


def _energy_Wh(bank: Bank, one: Noted) -> tuple[tuple[float, float], str]:
    """Return the least and most that a bank stores, and how it comes about."""
    low, high, _ = possible("parallel strings")
    counted = strings_counted(bank)
    few, many = (counted, counted) if counted is not None else (int(low), int(high))
    least, most = (
        one.span[end] * number * bank.voltage.span[end] for end, number in ((0, few), (2, many))
    )
    shown = f"{few}" if few == many else f"{few} to {many}"
    return (least, most), f"{one.text} x {shown} strings x {bank.voltage.text}"
