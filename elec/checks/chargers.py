"""Mains chargers: size, time to bring the bank back, and their profile against its chemistry."""

from __future__ import annotations

from typing import Any, cast

import numpy as np

from elec import noted, units
from elec.boat.records import Bank, BoatFile, Charger
from elec.boat.typical import possible, unit_capacity
from elec.calc import charging, cranking
from elec.checks.bank_capacity import (
    ask_capacity,
    cannot,
    return_span,
    strings_of,
    usable_best,
)
from elec.checks.bank_loads import daily_Ah, main_condition
from elec.checks.banks import GAS, LITHIUM
from elec.checks.basis import area_mm2
from elec.checks.presence import THERE
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.published import Source, table

__all__ = ["CHECKS", "ask_bands", "check"]

CHARGER, RECHARGE, PROFILE = "charger-size", "charger-recharge", "charger-profile"
CHECKS = (CHARGER, RECHARGE, PROFILE)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask size, recharge time and profile of every charger."""
    results: list[Finding | NotChecked] = []
    for charger in boat.charger:
        bank = cast(Bank, boat.find(charger.bank))
        results += [
            _charger_size(charger, bank, boat),
            _recharge(charger, bank, boat),
            _profile(charger, bank),
        ]
    findings = [one for one in results if isinstance(one, Finding)]
    return findings, [one for one in results if isinstance(one, NotChecked)]


def _standing(boat: BoatFile, bank: Bank) -> tuple[float, float, float]:
    """Return the average standing current while charging: least, best, most."""
    low, best, high = (day / 24 for day in daily_Ah(boat, bank, main_condition(bank)))
    return low, best, high


def _charger_size(charger: Charger, bank: Bank, boat: BoatFile) -> Finding | NotChecked:
    if not charger.current.seen:
        return NotChecked(
            CHARGER,
            charger.id,
            "its DC output current was not noted",
            charger.where,
            f"the output current on the plate of '{charger.id}'",
        )
    if stop := cannot(bank, CHARGER, charger.id, charger.where):
        return stop
    question = Question()
    question.noted("charger_A", charger.current, entry=charger, field="current", worse="higher")
    capacity = ask_capacity(question, bank, boat, aged=False)
    assert capacity is not None
    sources: list[Source] = []
    notes: list[str] = []
    if bank.charge_limit.seen:
        question.noted(
            "limit_A", bank.charge_limit, entry=bank, field="charge limit", worse="lower"
        )

        def requirement(**given: Any) -> tuple[Any, Any]:
            held = capacity(given)
            return given["charger_A"] / held, given["limit_A"] / held
    else:
        sources.append(ask_bands(question, bank, notes))

        def requirement(**given: Any) -> tuple[Any, Any]:
            return (
                charging.charger_fraction(given["charger_A"], capacity_Ah=capacity(given)),
                given["band"] + 0.0 * given["charger_A"],
            )

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    held, amps = float(capacity(best)), float(best["charger_A"])
    _, standing, _ = _standing(boat, bank)
    usable = usable_best(bank)
    back = return_span(bank)
    removed = held * usable
    hours = float(
        charging.recharge_bulk_h(
            removed, return_factor=back.best or 1.0, charger_A=amps, standing_A=standing
        )
    )
    drop = _cable_drop(charger, bank, boat, amps)
    if drop:
        notes.append(drop)
    most = units.show_limit(
        ruling.limit.low * float(capacity(question.worst_values())), "current", sense="at most"
    )
    working = (
        Step("f", "charger current / rated capacity", f"{amps:.4g} / {held:.4g}", amps / held, "C"),
        Step(
            "t",
            "charge removed x return factor / (charger - standing load)",
            f"{removed:.4g} x {back.best:.3g} / ({amps:.4g} - {standing:.3g})",
            hours,
            "h",
            "least time to the end of bulk; the absorption tail is not included",
        ),
    )
    return question.finding(
        ruling,
        check=CHARGER,
        entry=charger,
        sense="at most",
        quantity="ratio",
        worst="B",
        statement=lambda value, limit: (
            f"Charger '{charger.id}' gives {value} of the capacity of bank '{bank.id}'; "
            f"{'published bands for its chemistry end at' if not bank.charge_limit.seen else ''} "
            f"{limit}{'' if not bank.charge_limit.seen else ' is its limit'}."
        ).replace("  ", " "),
        working=working,
        sources=sources,
        remedy=f"Limit '{charger.id}' to {most}, the least of the limits that may apply.",
        caution=LITHIUM if bank.chemistry == "lfp" else GAS,
        notes=notes,
    )


def _cable_drop(charger: Charger, bank: Bank, boat: BoatFile, current_A: float) -> str:
    """Say what the cable between charger and bank takes from the charging voltage, if noted."""
    ends = {charger.id, bank.id}
    for run in boat.run:
        if {run.start, run.end} != ends or not run.length.seen or run.size.size is None:
            continue
        resistivity = table("resistivity_constants")
        rho = resistivity.exact("equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C")
        per_100_A = cranking.loop_drop_per_100A_V(
            2.0 * run.length.span[2],
            area_mm2=area_mm2(run.size.size),
            resistivity_ohm_mm2_per_m=rho,
        )
        volts = float(cranking.loop_drop_V(per_100_A, current_A=current_A))
        return (
            f"Cable '{run.id}' takes {units.show(volts, 'voltage')} at {current_A:.4g} A (20 °C, "
            "longest noted length): a charger that senses at its own terminals holds so much less "
            "at the bank, and absorption comes sooner and lasts longer."
        )
    return ""


def ask_bands(question: Question, bank: Bank, notes: list[str]) -> Source:
    """Add the charging limit as a share of capacity: every published one of the chemistry."""
    bands = table("charger_fraction_bands")
    rows = [
        r
        for r in bands.rows()
        if r["high_fraction"]
        and (r["chemistry"] == bank.chemistry or bank.chemistry == "?")
        and float(r["high_fraction"]) >= 0.1
    ]
    options: dict[float, str] = {}
    for row in rows:
        options.setdefault(float(row["high_fraction"]), f"a limit of {row['high_fraction']} C")
    ordered = [Option(v, options[v]) for v in sorted(options)]
    question.among(
        "band",
        ordered,
        entry=bank,
        field="charge limit of its maker",
        worse="lower",
        best=ordered[0].value,
        source="published bands, which disagree",
        more="or more",
        read=f"the charge limit in the papers of the batteries of '{bank.id}'",
    )
    shown = "; ".join(f"{r['low_fraction']} to {r['high_fraction']} ({r['context']})" for r in rows)
    notes.append(f"Published bands: {shown}.")
    return bands.source()


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
    one = unit_capacity(bank)
    assert one is not None
    question.noted("unit_Ah", one, entry=bank, field="capacity", worse="higher")
    strings = float(len(strings_of(bank)))
    question.noted("back", return_span(bank), entry=bank, field="charge return", worse="higher")
    low, best, high = _standing(boat, bank)
    question.noted(
        "standing_A",
        noted.between(low, high, "current", best=best, text="noted"),
        entry=bank,
        field="standing load",
        worse="higher",
    )
    kind = "lfp" if bank.chemistry == "lfp" else "lead-acid"
    low, high, source = possible(f"absorption time of {kind}")
    question.noted(
        "absorption_h",
        noted.between(low, high, "duration", origin="typical", source=source, text="not seen"),
        entry=charger,
        field="absorption time",
        worse="higher",
    )
    usable = usable_best(bank)

    def requirement(**given: Any) -> tuple[Any, Any]:
        bulk = charging.recharge_bulk_h(
            given["unit_Ah"] * strings * usable,
            return_factor=given["back"],
            charger_A=given["charger_A"],
            standing_A=given["standing_A"],
        )
        return bulk + given["absorption_h"], given["wanted_h"] + 0.0 * bulk

    ruling = question.rule(requirement, "at most")
    worst, given = question.worst_values(), question.best_values()
    removed = float(given["unit_Ah"]) * strings * usable
    needed = charging.charger_for_time_A(
        float(worst["unit_Ah"]) * strings * usable,
        return_factor=float(worst["back"]),
        time_h=max(float(worst["wanted_h"]) - float(worst["absorption_h"]), 1e-9),
        standing_A=float(worst["standing_A"]),
    )
    enough = float(worst["wanted_h"]) > float(worst["absorption_h"])
    bulk = float(requirement(**given)[0]) - float(given["absorption_h"])
    return question.finding(
        ruling,
        check=RECHARGE,
        entry=charger,
        sense="at most",
        quantity="duration",
        worst="B",
        statement=lambda value, limit: (
            f"Charger '{charger.id}' brings bank '{bank.id}' from its usable limit to full in "
            f"{value}; {limit} is asked."
        ),
        working=(
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
        caution=LITHIUM if bank.chemistry == "lfp" else GAS,
        notes=("The absorption time is the published spread; the tail is not a promise of full.",),
        sources=(table("possible_ranges").source(),),
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
    if charger.profile == "?" and bank.chemistry == "?":
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
        chosen = kinds if given == "?" else (given,)
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
    good = [p for p in kinds if bank.chemistry != "?" and _suits(p, bank.chemistry)]
    working = tuple(
        Step(
            f"U({kind})",
            "published absorption voltage of a 12 V block, highest",
            f"{_absorption(kind)[0]:g} to {_absorption(kind)[1]:g}",
            _absorption(kind)[1],
            "V",
        )
        for kind in dict.fromkeys([charger.profile, bank.chemistry])
        if kind in _LEAD
    )
    setting = "whose setting was not read" if charger.profile == "?" else charger.profile
    label = "of unknown chemistry" if bank.chemistry == "?" else bank.chemistry
    return question.finding(
        ruling,
        check=PROFILE,
        entry=charger,
        sense="at least",
        quantity="ratio",
        worst="A" if bank.chemistry == "lfp" else "B",
        statement=lambda _value, _limit: (
            f"Charger '{charger.id}', profile: {setting}; bank '{bank.id}': {label}."
        ),
        working=working,
        sources=(table("charge_voltages_12V_block").source(),),
        remedy=f"Set '{charger.id}' to {' or '.join(good)}, by the battery maker's voltages."
        if good
        else None,
        caution=LITHIUM if bank.chemistry == "lfp" else GAS,
        notes=("The maker's own charging voltages go before the published ones.",),
    )
