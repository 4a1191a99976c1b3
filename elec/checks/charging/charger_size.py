"""Mains chargers of a bank, together: no more current than it takes, and enough to charge it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from elec import units
from elec.boat.records import Bank, BoatFile, Charger
from elec.calc.batteries import charging, cranking
from elec.checks.banks.bank_autonomy import GAS, LITHIUM
from elec.checks.banks.bank_capacity import ask_capacity, cannot, return_span, usable_best
from elec.checks.banks.bank_loads import daily_Ah, main_condition
from elec.checks.basis import area_mm2
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.published import Source, table

__all__ = ["CHECKS", "ask_bands", "check", "standing"]

CHARGER = "charger-size"
CHECKS = (CHARGER,)
#: Bands that end below this share of capacity only maintain a bank.
_MAINTAINS = 0.1


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask the chargers of every bank."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for bank in boat.bank:
        chargers = [one for one in boat.charger if one.bank == bank.id]
        read = [one for one in chargers if one.current.seen]
        unread = [one.id for one in chargers if not one.current.seen]
        skipped += [
            NotChecked(
                CHARGER,
                one.id,
                "its DC output current was not noted",
                one.where,
                f"the output current on the plate of '{one.id}'",
            )
            for one in chargers
            if one.id in unread
        ]
        if read and (stop := cannot(bank, CHARGER, read[0].id, read[0].where)):
            skipped.append(stop)
        elif read:
            findings += [_most(read, bank, boat, unread), _least(read, bank, boat, unread)]
    return findings, skipped


def standing(boat: BoatFile, bank: Bank) -> tuple[float, float, float]:
    """Return the average standing current while charging: least, best, most [A]."""
    low, best, high = (day / 24 for day in daily_Ah(boat, bank, main_condition(bank)))
    return low, best, high


def _ask_currents(
    question: Question, chargers: Sequence[Charger], worse: Literal["higher", "lower"]
) -> Any:
    """Add the current of each charger; return the function of their sum [A]."""
    names = [f"charger_{number}_A" for number in range(len(chargers))]
    for name, one in zip(names, chargers, strict=True):
        question.noted(name, one.current, entry=one, field="current", worse=worse)
    return lambda given: sum(given[name] for name in names)


def _words(chargers: Sequence[Charger]) -> tuple[str, str, str]:
    """Return how chargers are called, and the verbs of it."""
    if len(chargers) == 1:
        return f"Charger '{chargers[0].id}'", "charges", "gives"
    named = " and ".join(f"'{one.id}'" for one in chargers)
    return f"Chargers {named} together", "charge", "give"


def _unread(names: Sequence[str]) -> list[str]:
    return [f"Without {', '.join(map(repr, names))}, not read."] if names else []


def _share(question: Question, capacity: Any, total: Any) -> Step:
    best = question.best_values()
    amps, held = float(total(best)), float(capacity(best))
    numbers = f"{amps:.4g} / {held:.4g}"
    return Step("f", "charger current / rated capacity", numbers, amps / held, "C")


def _most(
    chargers: Sequence[Charger], bank: Bank, boat: BoatFile, unread: Sequence[str]
) -> Finding:
    question = Question()
    total = _ask_currents(question, chargers, "higher")
    capacity = ask_capacity(question, bank, boat, aged=False)
    sources: list[Source] = []
    notes = _unread(unread)
    if bank.charge_limit.seen:
        question.noted(
            "limit_A", bank.charge_limit, entry=bank, field="charge limit", worse="lower"
        )
        allowed = "the limit noted for it is"
    else:
        sources.append(ask_bands(question, bank, notes))
        allowed = "the published limits for its chemistry are"

    def requirement(**given: Any) -> tuple[Any, Any]:
        held = capacity(given)
        share = charging.charger_fraction(total(given), capacity_Ah=held)
        limit = given["limit_A"] / held if "limit_A" in given else given["band"]
        return share, limit + 0.0 * share

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    held, amps = float(capacity(best)), float(total(best))
    load = standing(boat, bank)[1]
    back = return_span(bank).best or 1.0
    removed = held * usable_best(bank)
    hours = float(
        charging.recharge_bulk_h(removed, return_factor=back, charger_A=amps, standing_A=load)
    )
    notes += [drop for one in chargers if (drop := _cable_drop(one, bank, boat))]
    worst = question.worst_values()
    most = units.show_limit(
        float(requirement(**worst)[1]) * float(capacity(worst)), "current", sense="at most"
    )
    named, charge, _ = _words(chargers)
    single = len(chargers) == 1
    return question.finding(
        ruling,
        check=CHARGER,
        entry=chargers[0] if single else bank,
        sense="at most",
        quantity="ratio",
        worst="B",
        statement=lambda value, limit: (
            f"{named} {charge} bank '{bank.id}' at {value} C, amperes for each Ah of its rated "
            f"capacity; {allowed} {limit} C."
        ),
        working=(
            _share(question, capacity, total),
            Step(
                "t",
                "charge removed x return factor / (charger - standing load)",
                f"{removed:.4g} x {back:.3g} / ({amps:.4g} - {load:.3g})",
                hours,
                "h",
                "least time to the end of bulk; the absorption tail is not included",
            ),
        ),
        sources=sources,
        remedy=f"Limit {f'{chargers[0].id!r}' if single else 'them together'} to {most}, the least "
        "of the limits that may apply.",
        caution=LITHIUM if bank.chemistry.is_surely("lfp") else GAS,
        notes=notes,
        part="most",
    )


def _least(
    chargers: Sequence[Charger], bank: Bank, boat: BoatFile, unread: Sequence[str]
) -> Finding:
    """Judge, as advice, whether the chargers reach the low end of the published bands."""
    question = Question()
    total = _ask_currents(question, chargers, "lower")
    capacity = ask_capacity(question, bank, boat, aged=False, worse="higher")
    notes = _unread(unread)
    source = ask_bands(question, bank, notes, end="low")

    def requirement(**given: Any) -> tuple[Any, Any]:
        share = charging.charger_fraction(total(given), capacity_Ah=capacity(given))
        return share, given["band"] + 0.0 * share

    worst = question.worst_values()
    needed = units.show_limit(
        float(worst["band"]) * float(capacity(worst)), "current", sense="at least"
    )
    named, charge, _ = _words(chargers)
    return question.finding(
        question.rule(requirement, "at least"),
        check=CHARGER,
        entry=chargers[0] if len(chargers) == 1 else bank,
        sense="at least",
        quantity="ratio",
        worst="C",
        statement=lambda value, limit: (
            f"{named} {charge} bank '{bank.id}' at {value} C, amperes for each Ah of its rated "
            f"capacity; the published bands for its chemistry begin at {limit} C."
        ),
        working=(_share(question, capacity, total),),
        sources=(source,),
        remedy=f"{needed} of charging in all reach the start of every band, if the batteries may "
        "take it; a smaller charger fills the bank slowly, and seldom wholly.",
        notes=notes,
        part="least",
    )


def _cable_drop(charger: Charger, bank: Bank, boat: BoatFile) -> str:
    """Say what the cable between charger and bank takes from the charging voltage, if noted."""
    ends = {charger.id, bank.id}
    current_A = charger.current.span[1]
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
        more="or more",
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
