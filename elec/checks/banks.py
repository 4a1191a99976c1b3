"""Battery banks: how long they carry a condition, and whether the charger fits them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, cast

import numpy as np

from elec import noted, units
from elec.boat.records import Bank, BatteryString, BoatFile, Charger, DcLoad, Inverter
from elec.boat.typical import (
    dc_current,
    dc_duty,
    dc_hours,
    possible,
    remaining,
    unit_capacity,
)
from elec.calc import charging, storage
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["CHECKS", "check", "daily_Ah"]

AUTONOMY, CHARGER, RECHARGE = "bank-autonomy", "charger-size", "charger-recharge"
CHECKS = (AUTONOMY, CHARGER, RECHARGE)
_GAS = (
    "A charging battery gives off hydrogen: ventilate, no sparks, and disconnect the negative "
    "before working on it. A short through a tool can melt it."
)
_LITHIUM = "Never charge lithium cells below freezing or with their management system bypassed."


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask autonomy of every bank that carries loads, and the size of every charger."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for bank in boat.bank:
        _collect(_autonomy(bank, boat), findings, skipped)
    for charger in boat.charger:
        bank = cast(Bank, boat.find(charger.bank))
        _collect(_charger_size(charger, bank, boat), findings, skipped)
        _collect(_recharge(charger, bank, boat), findings, skipped)
    return findings, skipped


def _collect(
    result: Finding | NotChecked | list[NotChecked] | None,
    findings: list[Finding],
    skipped: list[NotChecked],
) -> None:
    if isinstance(result, Finding):
        findings.append(result)
    elif isinstance(result, NotChecked):
        skipped.append(result)
    elif result:
        skipped.extend(result)


# -- what the loads take in a day ------------------------------------------------------------


@dataclass(frozen=True)
class _Daily:
    """The daily charge of one load: from its inputs, and in words."""

    load: DcLoad
    charge: Callable[[dict[str, Any]], Any]
    words: Callable[[dict[str, Any]], str]


def _runs(load: DcLoad, condition: str) -> bool | None:
    return None if load.when is None else condition in load.when


def _loads(boat: BoatFile, bank: Bank, condition: str) -> list[DcLoad]:
    """Return the loads of a bank that run, or may run, under a condition."""
    found = []
    for load in boat.dc_load:
        through = boat.find(load.inverter) if load.inverter else None
        owner = load.bank or (through.bank if isinstance(through, Inverter) else None)
        if owner is None and len(boat.bank) == 1:
            owner = bank.id
        if owner == bank.id and _runs(load, condition) is not False:
            found.append(load)
    return found


def _ask_daily(
    question: Question, boat: BoatFile, bank: Bank, condition: str
) -> tuple[list[_Daily], list[NotChecked]]:
    voltage = bank.voltage.best
    assert voltage is not None
    parts: list[_Daily] = []
    skipped: list[NotChecked] = []
    for number, load in enumerate(_loads(boat, bank, condition)):
        part = _ask_load(question, boat, load, voltage, number)
        if part is None:
            skipped.append(
                NotChecked(
                    AUTONOMY,
                    load.id,
                    f"neither its current nor its daily use was noted: not counted on '{bank.id}'",
                    load.where,
                    f"the current on the plate of '{load.id}', and its hours a day",
                )
            )
            continue
        if _runs(load, condition) is None:
            name = f"runs_{number}"
            question.among(
                name,
                [Option(0.0, "does not run"), Option(1.0, "runs")],
                entry=load,
                field=f"running in condition '{condition}'",
                worse="higher",
                best=1.0,
                read=f"whether '{load.id}' runs in condition '{condition}'",
            )
            part = _switched(part, name)
        parts.append(part)
    return parts, skipped


def _switched(part: _Daily, name: str) -> _Daily:
    return _Daily(part.load, lambda given: part.charge(given) * given[name], part.words)


def _ask_load(
    question: Question, boat: BoatFile, load: DcLoad, voltage: float, number: int
) -> _Daily | None:
    count = load.count
    if load.charge_per_day.seen:
        name = f"charge_{number}_Ah"
        question.noted(
            name, load.charge_per_day, entry=load, field="charge per day", worse="higher"
        )
        return _Daily(load, lambda g: g[name] * count, lambda g: _times(count, f"{g[name]:.4g} Ah"))
    if load.energy_per_day.seen:
        energy, efficiency = f"energy_{number}_Wh", f"efficiency_{number}"
        question.noted(
            energy, load.energy_per_day, entry=load, field="energy per day", worse="higher"
        )
        through = _efficiency(boat, load)
        question.noted(efficiency, through, entry=load, field="efficiency", worse="lower")
        return _Daily(
            load,
            lambda g: (
                count
                * storage.charge_from_energy_Ah(
                    g[energy], voltage_V=voltage, efficiency=g[efficiency]
                )
            ),
            lambda g: _times(count, f"{g[energy]:.4g} Wh / ({voltage:g} V x {g[efficiency]:.3g})"),
        )
    current = dc_current(load, voltage)
    if current is None:
        return None
    amps, duty, hours = f"current_{number}_A", f"duty_{number}", f"hours_{number}_h"
    question.noted(
        amps,
        current,
        entry=load,
        field="current",
        worse="higher",
        read=f"the current or power on the plate of '{load.id}'",
    )
    question.noted(
        duty,
        dc_duty(load),
        entry=load,
        field="duty",
        worse="higher",
        read=f"the share of time that '{load.id}' really runs",
    )
    question.noted(
        hours,
        dc_hours(load),
        entry=load,
        field="hours",
        worse="higher",
        read=f"the hours a day that '{load.id}' is on",
    )
    return _Daily(
        load,
        lambda g: count * storage.daily_charge_Ah(g[amps], duty=g[duty], hours_h=g[hours]),
        lambda g: _times(count, f"{g[amps]:.4g} A x {g[duty] * 100:.3g} % x {g[hours]:.3g} h"),
    )


def _times(count: int, words: str) -> str:
    return words if count == 1 else f"{count} x {words}"


def _efficiency(boat: BoatFile, load: DcLoad) -> Noted:
    if load.efficiency.seen:
        return load.efficiency
    if load.inverter is None:
        return noted.exact(1.0, "fraction")
    inverter = boat.find(load.inverter)
    if isinstance(inverter, Inverter) and inverter.efficiency.seen:
        return inverter.efficiency
    low, high, source = possible("inverter efficiency")
    return noted.between(low, high, "fraction", origin="typical", source=source, text="not seen")


def _sum(parts: list[_Daily]) -> Callable[[dict[str, Any]], Any]:
    return lambda given: sum((part.charge(given) for part in parts), start=np.asarray(0.0))


def daily_Ah(boat: BoatFile, bank: Bank, condition: str) -> float:
    """Return the charge a bank gives in a day under a condition, at best values."""
    question = Question()
    parts, _ = _ask_daily(question, boat, bank, condition)
    return float(_sum(parts)(question.best_values()))


# -- what the bank holds ---------------------------------------------------------------------


def _strings(bank: Bank) -> list[BatteryString | None]:
    if bank.string:
        return list(bank.string)
    number = bank.in_parallel if isinstance(bank.in_parallel, int) else 1
    return [None] * number


def _ask_capacity(
    question: Question, bank: Bank, boat: BoatFile, *, aged: bool
) -> Callable[[dict[str, Any]], Any] | None:
    """Add what the bank holds; return its capacity from the inputs, with ageing if asked."""
    one = unit_capacity(bank)
    if one is None:
        return None
    question.noted(
        "unit_Ah",
        one,
        entry=bank,
        field="capacity",
        worse="lower",
        read=f"the Ah and its hour rate on one battery of '{bank.id}'",
    )
    names = []
    strings = _strings(bank)
    same = not bank.string
    for number, string in enumerate(strings):
        if not aged:
            break
        name = "remaining_0" if same else f"remaining_{number}"
        names.append(name)
        if same and number:
            continue
        share, _ = remaining(bank, string, boat.boat)
        field = "remaining capacity" if same else f"remaining capacity of string {number + 1}"
        question.noted(
            name,
            share,
            entry=bank,
            field=field,
            worse="lower",
            read=f"a capacity test of '{bank.id}', or its invoice for the age",
        )
    if bank.in_parallel == "?" and not bank.string:
        low, high, source = possible("parallel strings")
        options = [Option(float(n), str(n)) for n in range(int(low), int(high) + 1)]
        question.among(
            "strings",
            options,
            entry=bank,
            field="strings in parallel",
            worse="lower",
            best=2.0,
            source=source,
        )
    else:
        question.exact("strings", float(len(strings)))

    def capacity(given: dict[str, Any]) -> Any:
        if not aged:
            return storage.bank_capacity_Ah(given["unit_Ah"], strings=given["strings"])
        if same:
            return storage.bank_capacity_Ah(
                given["unit_Ah"] * given["remaining_0"], strings=given["strings"]
            )
        return given["unit_Ah"] * sum(given[name] for name in names)

    return capacity


def _by_chemistry(
    question: Question, bank: Bank, name: str, table_name: str, column: str, **words: Any
) -> Source:
    rows = {r["chemistry"]: float(r[column]) for r in table(table_name).rows()}
    chosen = rows if bank.chemistry == "?" else {bank.chemistry: rows[bank.chemistry]}
    options: dict[float, str] = {}
    for chemistry, value in chosen.items():
        options[value] = f"{options[value]}, {chemistry}" if value in options else chemistry
    ordered = [Option(v, options[v]) for v in sorted(options)]
    question.among(name, ordered, entry=bank, field="chemistry", best=ordered[0].value, **words)
    return table(table_name).source()


def _ask_usable(question: Question, bank: Bank) -> list[Source]:
    if bank.usable.seen:
        question.noted("usable", bank.usable, entry=bank, field="usable share", worse="lower")
        return []
    read = f"the chemistry on the label of '{bank.id}'"
    return [
        _by_chemistry(
            question, bank, "usable", "usable_fraction", "usable_fraction", worse="lower", read=read
        )
    ]


def _ask_exponent(question: Question, bank: Bank) -> Source:
    rows = {r["chemistry"]: r for r in table("peukert_by_chemistry").rows()}
    chosen = rows.values() if bank.chemistry == "?" else [rows[bank.chemistry]]
    low = min(float(r["exponent_low"]) for r in chosen)
    high = max(float(r["exponent_high"]) for r in chosen)
    span = noted.between(
        low, high, "ratio", origin="typical", source="table peukert_by_chemistry", text="not seen"
    )
    question.noted(
        "exponent",
        span,
        entry=bank,
        field="rate exponent",
        worse="higher",
        read=f"a second hour rating or the reserve minutes of '{bank.id}'",
    )
    return table("peukert_by_chemistry").source()


def _cannot(bank: Bank, check: str, subject: str, where: str | None) -> NotChecked | None:
    if not bank.voltage.seen or bank.voltage.low != bank.voltage.high:
        return NotChecked(
            check,
            subject,
            f"the voltage of bank '{bank.id}' was not noted",
            where,
            f"the voltage of '{bank.id}'",
        )
    if unit_capacity(bank) is None:
        return NotChecked(
            check,
            subject,
            f"the capacity of bank '{bank.id}' was not noted",
            where,
            f"the Ah on the label of '{bank.id}'",
        )
    return None


# -- autonomy --------------------------------------------------------------------------------


def _autonomy(bank: Bank, boat: BoatFile) -> Finding | NotChecked | None:
    condition = bank.condition or "anchor"
    if not _loads(boat, bank, condition):
        return NotChecked(
            AUTONOMY, bank.id, f"no load was noted on it in condition '{condition}'", bank.where
        )
    if stop := _cannot(bank, AUTONOMY, bank.id, bank.where):
        return stop
    question = Question()
    parts, skipped = _ask_daily(question, boat, bank, condition)
    if not parts:
        return skipped[0]
    capacity = _ask_capacity(question, bank, boat, aged=True)
    assert capacity is not None
    sources = _ask_usable(question, bank)
    sources.append(_ask_exponent(question, bank))
    notes = _ask_temperature(question, bank, sources)
    _ask_wanted(question, bank, notes)
    rate_h = bank.rate.best if bank.rate.seen and bank.rate.best else 20.0
    if not bank.rate.seen:
        notes.append("No hour rate was noted: the capacity is taken as the 20-hour one.")
    total = _sum(parts)

    def usable(given: dict[str, Any]) -> tuple[Any, Any]:
        daily = total(given)
        held = storage.peukert_capacity_Ah(
            capacity(given),
            rate_h=rate_h,
            current_A=np.maximum(daily / 24, 1e-12),
            exponent=given["exponent"],
        )
        return held * given["usable"] / given["size_factor"], daily

    def requirement(**given: Any) -> tuple[Any, Any]:
        charge, daily = usable(given)
        with np.errstate(divide="ignore"):
            return charge / (daily / 24), given["wanted_h"] + 0.0 * daily

    ruling = question.rule(requirement, "at least")
    best = question.best_values()
    charge, daily = (float(v) for v in usable(best))
    worst = question.worst_values()
    need = storage.bank_needed_Ah(
        float(total(worst)),
        days=float(worst["wanted_h"]) / 24,
        usable_fraction=float(worst["usable"]),
        temperature_size_factor=float(worst["size_factor"]),
    )
    for missing in skipped:
        notes.append(f"Not counted, for want of any figure: '{missing.subject}'.")
    working = (
        *(
            Step(f"Q({p.load.id})", "daily charge", p.words(best), float(p.charge(best)), "Ah")
            for p in parts
        ),
        Step("Q", "sum, a day", "", daily, "Ah"),
        Step(
            "C",
            "rated capacity x share left, parallel strings added",
            _capacity_words(bank, best),
            float(capacity(best)),
            "Ah",
            f"{rate_h:g} h rate",
        ),
        Step(
            "Cu",
            "C at the rate of the load x usable share",
            f"x {best['usable']:.2g}",
            charge,
            "Ah",
        ),
        Step("t", "24 h x Cu / Q", f"24 x {charge:.4g} / {daily:.4g}", 24 * charge / daily, "h"),
    )
    return question.finding(
        ruling,
        check=AUTONOMY,
        entry=bank,
        sense="at least",
        quantity="duration",
        worst="B",
        statement=lambda value, limit: (
            f"Bank '{bank.id}' carries condition '{condition}' for {value}; {limit} is asked."
        ),
        working=working,
        sources=sources,
        remedy=(
            f"A bank of {_up(float(need))} Ah when new carries it at the most that the loads may "
            f"take; or cut the day's use to {_down(_affordable(usable, worst))} Ah."
        ),
        caution=_LITHIUM if bank.chemistry == "lfp" else _GAS,
        notes=notes,
    )


def _affordable(
    usable: Callable[[dict[str, Any]], tuple[Any, Any]], worst: dict[str, Any]
) -> float:
    charge, _ = usable(worst)
    return float(charge) / float(worst["wanted_h"]) * 24


def _up(value: float) -> str:
    return f"{int(np.ceil(value - 1e-9))}"


def _down(value: float) -> str:
    return f"{int(np.floor(value + 1e-9))}"


def _capacity_words(bank: Bank, best: dict[str, Any]) -> str:
    shares = [float(best[n]) for n in best if n.startswith("remaining_")]
    if bank.string:
        return f"{best['unit_Ah']:.4g} Ah x ({' + '.join(f'{s:.3g}' for s in shares)})"
    return f"{best['unit_Ah']:.4g} Ah x {best['strings']:g} x {shares[0]:.3g}"


def _ask_temperature(question: Question, bank: Bank, sources: list[Source]) -> list[str]:
    factors = table("temperature_size_factor_ieee485")
    if not bank.temperature.seen:
        question.exact("size_factor", 1.0)
        return ["Judged at 25 °C: the battery's temperature was not noted; cold takes from it."]
    coldest, _, warmest = bank.temperature.span
    cold, warm = (
        max(1.0, float(factors.linear("electrolyte_temp_C", "size_multiplier", t)))
        for t in (coldest, warmest)
    )
    sources.append(factors.source())
    span = noted.between(warm, cold, "ratio", text=bank.temperature.text)
    question.noted("size_factor", span, entry=bank, field="temperature", worse="higher")
    return ["No credit is taken for a battery warmer than 25 °C."]


def _ask_wanted(question: Question, bank: Bank, notes: list[str]) -> None:
    if bank.autonomy.seen:
        question.noted(
            "wanted_h", bank.autonomy, entry=bank, field="autonomy asked", worse="higher"
        )
        return
    low, _, source = possible("autonomy asked")
    question.exact("wanted_h", low)
    notes.append(f"No autonomy was asked for: {low:g} h is taken ({source}).")


# -- charger ---------------------------------------------------------------------------------


def _standing(boat: BoatFile, bank: Bank) -> tuple[float, float, float]:
    """Return the average standing current while charging: least, best, most."""
    condition = bank.condition or "anchor"
    if not _loads(boat, bank, condition) or not bank.voltage.seen:
        return 0.0, 0.0, 0.0
    question = Question()
    parts, _ = _ask_daily(question, boat, bank, condition)
    total = _sum(parts)
    values = [question.easiest_values(), question.best_values(), question.worst_values()]
    low, best, high = (float(total(v)) / 24 for v in values)
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
    if stop := _cannot(bank, CHARGER, charger.id, charger.where):
        return stop
    question = Question()
    question.noted("charger_A", charger.current, entry=charger, field="current", worse="higher")
    capacity = _ask_capacity(question, bank, boat, aged=False)
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
        sources.append(_ask_bands(question, bank, notes))

        def requirement(**given: Any) -> tuple[Any, Any]:
            return (
                charging.charger_fraction(given["charger_A"], capacity_Ah=capacity(given)),
                given["band"] + 0.0 * given["charger_A"],
            )

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    held, amps = float(capacity(best)), float(best["charger_A"])
    _, standing, _ = _standing(boat, bank)
    usable = _usable_best(bank)
    back = _return_span(bank)
    removed = held * usable
    hours = float(
        charging.recharge_bulk_h(
            removed, return_factor=back.best or 1.0, charger_A=amps, standing_A=standing
        )
    )
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
        caution=_LITHIUM if bank.chemistry == "lfp" else _GAS,
        notes=notes,
    )


def _ask_bands(question: Question, bank: Bank, notes: list[str]) -> Source:
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


def _usable_best(bank: Bank) -> float:
    if bank.usable.seen and bank.usable.best is not None:
        return bank.usable.best
    chemistry = "agm" if bank.chemistry == "?" else bank.chemistry
    return table("usable_fraction").exact("usable_fraction", chemistry=chemistry)


def _return_span(bank: Bank) -> Noted:
    if bank.charge_return.seen:
        return bank.charge_return
    rows = {r["chemistry"]: r for r in table("charge_return_by_chemistry").rows()}
    chosen = list(rows.values()) if bank.chemistry == "?" else [rows[bank.chemistry]]
    return noted.between(
        min(float(r["ah_in_over_out_low"]) for r in chosen),
        max(float(r["ah_in_over_out_high"]) for r in chosen),
        "percentage",
        origin="typical",
        source="table charge_return_by_chemistry",
        text="not seen",
    )


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
    if stop := _cannot(bank, RECHARGE, charger.id, charger.where):
        return stop
    question = Question()
    question.noted("charger_A", charger.current, entry=charger, field="current", worse="lower")
    question.noted(
        "wanted_h", charger.recharge, entry=charger, field="recharge time", worse="lower"
    )
    one = unit_capacity(bank)
    assert one is not None
    question.noted("unit_Ah", one, entry=bank, field="capacity", worse="higher")
    strings = float(len(_strings(bank)))
    question.noted("back", _return_span(bank), entry=bank, field="charge return", worse="higher")
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
    usable = _usable_best(bank)

    def requirement(**given: Any) -> tuple[Any, Any]:
        bulk = charging.recharge_bulk_h(
            given["unit_Ah"] * strings * usable,
            return_factor=given["back"],
            charger_A=given["charger_A"],
            standing_A=given["standing_A"],
        )
        return bulk + given["absorption_h"], given["wanted_h"] + 0.0 * bulk

    ruling = question.rule(requirement, "at most")
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
        remedy="A larger charger within the batteries' limit, less standing load, or more time.",
        caution=_GAS,
        notes=("The absorption time is the published spread; the tail is not a promise of full.",),
        sources=(table("possible_ranges").source(),),
    )
