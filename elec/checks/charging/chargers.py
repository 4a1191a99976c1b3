"""Mains chargers: time to bring the bank back, and their profile against its chemistry."""

from __future__ import annotations

from typing import Any, cast

import numpy as np

from elec import noted, units
from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile, Charger
from elec.calc.batteries import charging
from elec.checks.banks.bank_autonomy import GAS, LITHIUM
from elec.checks.banks.bank_capacity import ask_capacity, ask_usable, cannot, return_span
from elec.checks.charging.charger_size import standing
from elec.checks.presence import THERE
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

RECHARGE, PROFILE = "charger-recharge", "charger-profile"
CHECKS = (RECHARGE, PROFILE)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask recharge time and profile of every charger."""
    results: list[Finding | NotChecked] = []
    for charger in boat.charger:
        bank = cast(Bank, boat.find(charger.bank))
        results += [_recharge(charger, bank, boat), _profile(charger, bank)]
    findings = [one for one in results if isinstance(one, Finding)]
    return findings, [one for one in results if isinstance(one, NotChecked)]


def _recharge(charger: Charger, bank: Bank, boat: BoatFile) -> Finding | NotChecked:
    """Judge the time to full against the time asked, absorption included as a range."""
    if not charger.recharge.seen:
        return NotChecked(
            RECHARGE,
            charger.id,
            "no recharge time was asked for; charger-size shows the least",
            charger.where,
        )
    if not charger.current.seen:
        return NotChecked(
            RECHARGE, charger.id, "its DC output current was not noted", charger.where
        )
    if stop := cannot(bank, RECHARGE, charger.id, charger.where):
        return stop
    question = Question()
    question.noted("charger_A", charger.current, entry=charger, field="current", worse="lower")
    question.noted(
        "wanted_h", charger.recharge, entry=charger, field="recharge time", worse="lower"
    )
    capacity = ask_capacity(question, bank, boat, aged=False, worse="higher")
    sources = ask_usable(question, bank, worse="higher")
    question.noted("back", return_span(bank), entry=bank, field="charge return", worse="higher")
    low, best, high = standing(boat, bank)
    question.noted(
        "standing_A",
        noted.between(low, high, "current", best=best, text="noted"),
        entry=bank,
        field="standing load",
        worse="higher",
    )
    kind = "lfp" if bank.chemistry.is_surely("lfp") else "lead-acid"
    low, high, source = possible(f"absorption time of {kind}")
    question.noted(
        "absorption_h",
        noted.between(low, high, "duration", origin="typical", source=source, text="not seen"),
        entry=charger,
        field="absorption time",
        worse="higher",
    )

    def taken_Ah(given: dict[str, Any]) -> Any:
        return capacity(given) * given["usable"]

    def requirement(**given: Any) -> tuple[Any, Any]:
        bulk = charging.recharge_bulk_h(
            taken_Ah(given),
            return_factor=given["back"],
            charger_A=given["charger_A"],
            standing_A=given["standing_A"],
        )
        return bulk + given["absorption_h"], given["wanted_h"] + np.zeros_like(bulk)

    ruling = question.rule(requirement, "at most")
    worst, given = question.worst_values(), question.best_values()
    removed = float(taken_Ah(given))
    needed = charging.charger_for_time_A(
        float(taken_Ah(worst)),
        return_factor=float(worst["back"]),
        time_h=max(float(worst["wanted_h"]) - float(worst["absorption_h"]), 1e-9),
        standing_A=float(worst["standing_A"]),
    )
    enough = float(worst["wanted_h"]) > float(worst["absorption_h"])
    bulk = float(requirement(**given)[0]) - float(given["absorption_h"])
    gains = np.isfinite(ruling.value.low), np.isfinite(ruling.value.high)

    def statement(value: str, limit: str) -> str:
        if not gains[0]:
            return (
                f"Charger '{charger.id}' never brings bank '{bank.id}' to full: the standing load "
                f"takes all that it gives; {limit} is asked."
            )
        if not gains[1]:
            least = units.show(ruling.value.low, "duration")
            value = f"{least} at best, or never, the standing load taking all that it gives"
        return (
            f"Charger '{charger.id}' brings bank '{bank.id}' from its usable limit to full in "
            f"{value}; {limit} is asked."
        )

    return question.finding(
        ruling,
        check=RECHARGE,
        entry=charger,
        sense="at most",
        quantity="duration",
        worst="B",
        statement=statement,
        working=()
        if not np.isfinite(bulk)
        else (
            Step(
                "tb",
                "charge removed x return factor / (charger - standing load)",
                f"{removed:.4g} x {given['back']:.3g} / ({given['charger_A']:.4g} - "
                f"{given['standing_A']:.3g})",
                bulk,
                "h",
                "to the end of bulk",
            ),
            Step(
                "t",
                "tb + absorption",
                f"+ {given['absorption_h']:.3g}",
                bulk + float(given["absorption_h"]),
                "h",
            ),
        ),
        remedy=(
            f"A charger of {units.show_limit(float(needed), 'current', sense='at least')}, if the "
            "batteries may take it; or less standing load, or more time."
            if enough
            else "No charger does it: absorption alone may take longer. Allow more time."
        ),
        caution=LITHIUM if bank.chemistry.is_surely("lfp") else GAS,
        notes=("The absorption time is the published spread; the tail is not a promise of full.",),
        sources=(*sources, table("possible_ranges").source()),
    )


_LEAD = ("flooded", "gel", "agm")


def _absorption(chemistry: str) -> tuple[float, float]:
    rows = table("charge_voltages_12V_block").rows()
    own = [r for r in rows if r["battery_type"] == chemistry and r["stage"] == "absorption"]
    return min(float(r["voltage_low_V"]) for r in own), max(float(r["voltage_high_V"]) for r in own)


def _suits(profile: str, chemistry: str) -> bool:
    """Whether a profile charges no higher than published for a chemistry, and high enough."""
    if profile == chemistry:
        return True
    if "lfp" in (profile, chemistry):
        return False
    (low, high), (least, most) = _absorption(profile), _absorption(chemistry)
    return least - 1e-9 <= low and high <= most + 1e-9


def _profile(charger: Charger, bank: Bank) -> Finding | NotChecked:
    if not charger.profile.seen and not bank.chemistry.seen:
        return NotChecked(
            PROFILE,
            charger.id,
            f"neither its setting nor the chemistry of '{bank.id}' was noted",
            charger.where,
            f"the battery type that '{charger.id}' is set to, and the label of '{bank.id}'",
        )
    kinds = (*_LEAD, "lfp")
    question = Question()
    for name, given, entry, field, read in (
        (
            "profile",
            charger.profile,
            charger,
            "profile",
            f"the battery type that '{charger.id}' is set to",
        ),
        ("chemistry", bank.chemistry, bank, "chemistry", f"the label of '{bank.id}'"),
    ):
        chosen = [kind for kind in kinds if given.may_be(kind)]
        question.among(
            name,
            [Option(float(kinds.index(kind)), kind) for kind in chosen],
            entry=entry,
            field=field,
            source="every chemistry considered",
            more="",
            read=read,
        )
    suits = np.asarray([[float(_suits(p, c)) for c in kinds] for p in kinds])

    def requirement(**given: Any) -> tuple[Any, Any]:
        rows = np.asarray(given["profile"]).round().astype(int)
        columns = np.asarray(given["chemistry"]).round().astype(int)
        return suits[rows, columns], np.full(np.broadcast(rows, columns).shape, THERE)

    ruling = question.rule(requirement, "at least")
    good = [p for p in kinds if bank.chemistry.seen and _suits(p, bank.chemistry.word)]
    working = tuple(
        Step(
            f"U({kind})",
            "published absorption voltage of a 12 V block, highest",
            f"{_absorption(kind)[0]:g} to {_absorption(kind)[1]:g}",
            _absorption(kind)[1],
            "V",
        )
        for kind in dict.fromkeys([charger.profile.text, bank.chemistry.text])
        if kind in _LEAD
    )
    setting = "whose setting was not read" if not charger.profile.seen else charger.profile.word
    label = "of unknown chemistry" if not bank.chemistry.seen else bank.chemistry.word
    return question.finding(
        ruling,
        check=PROFILE,
        entry=charger,
        sense="at least",
        quantity="presence",
        worst="A" if bank.chemistry.is_surely("lfp") else "B",
        statement=lambda _value, _limit: (
            f"Charger '{charger.id}', profile: {setting}; bank '{bank.id}': {label}."
        ),
        working=working,
        sources=(table("charge_voltages_12V_block").source(),),
        remedy=f"Set '{charger.id}' to {' or '.join(good)}, by the battery maker's voltages."
        if good
        else None,
        caution=LITHIUM if bank.chemistry.is_surely("lfp") else GAS,
        notes=("The maker's own charging voltages go before the published ones.",),
    )
