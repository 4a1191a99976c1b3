"""Starting: cranking amperes against the engine's need, and the drop of the starter loop."""

from __future__ import annotations

import re
from typing import Any

from elec import noted, units
from elec.boat.possible import possible
from elec.boat.records import Bank, BoatFile, Run
from elec.boat.typical import remaining
from elec.calc.batteries import cranking
from elec.checks.banks.bank_autonomy import GAS
from elec.checks.banks.bank_capacity import ask_strings
from elec.checks.basis import area_mm2
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["CHECKS", "check", "starts_engine"]

CRANKING, LOOP = "cranking", "starter-loop"
CHECKS = (CRANKING, LOOP)
_STARTER = re.compile(r"\b(starter|starting|cranking)\b", re.I)
_CAUTION = "A starter cable without a fuse burns what it touches: no chafe, no loose terminal."


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask every bank that starts an engine, and every run that feeds a starter."""
    results = [_cranking(bank, boat) for bank in boat.bank if starts_engine(bank)]
    results += [_loop(run) for run in boat.run if _STARTER.search(f"{run.circuit or ''} {run.id}")]
    findings = [one for one in results if isinstance(one, Finding)]
    return findings, [one for one in results if isinstance(one, NotChecked)]


def starts_engine(bank: Bank) -> bool:
    """Whether a bank was noted as one that starts an engine, in a field or by its name."""
    named = re.search(r"\b(start\w*|crank\w*|engine|generator)\b", bank.id, re.I)
    noted_so = bank.starts or bank.cranking_needed.seen or bank.displacement.seen
    return bool(noted_so or named)


def _rated(bank: Bank) -> Noted | None:
    """Return the cold cranking amperes of one battery, noted or by its box size."""
    if bank.cranking.seen:
        return bank.cranking
    if not bank.group:
        return None
    groups = table("battery_groups")
    name = bank.group.upper().removeprefix("BCI").removeprefix("GROUP").strip().split(" ")[0]
    rows = [
        r
        for r in groups.rows()
        if r["group"].upper().split(" ")[0] == name and r["CCA_low_A"] and r["CCA_high_A"]
    ]
    if not rows:
        return None
    return noted.between(
        min(float(r["CCA_low_A"]) for r in rows),
        max(float(r["CCA_high_A"]) for r in rows),
        "cranking",
        origin="typical",
        source=f"table battery_groups, group {rows[0]['group']}",
        text="not seen",
    )


def _need(bank: Bank) -> tuple[Noted, str] | None:
    if bank.cranking_needed.seen:
        return bank.cranking_needed, ""
    if not bank.displacement.seen or not bank.voltage.seen or bank.voltage.best != 12.0:
        return None
    low, high, source = possible("cold cranking current per litre")
    least, _, most = bank.displacement.span
    few, many = (
        float(cranking.cranking_needed_A(litres, cold_cranking_A_per_L=rule))
        for litres, rule in ((least, low), (most, high))
    )
    span = noted.between(few, many, "cranking", origin="typical", source=source, text="not seen")
    return span, "The rule of thumb on displacement stands in for the engine maker's figure."


def _cranking(bank: Bank, boat: BoatFile) -> Finding | NotChecked:
    rated, need = _rated(bank), _need(bank)
    if rated is None:
        return NotChecked(
            CRANKING,
            bank.id,
            "its cold cranking current was not noted",
            bank.where,
            f"the CCA on the label of '{bank.id}', or its box size",
        )
    if need is None:
        return NotChecked(
            CRANKING,
            bank.id,
            "what the engine needs was not noted",
            bank.where,
            f"the cranking current in the manual of the engine that '{bank.id}' starts",
        )
    question = Question()
    question.noted(
        "rated_A",
        rated,
        entry=bank,
        field="cold cranking current",
        worse="lower",
        read=f"the CCA on the label of '{bank.id}'",
    )
    share, _ = remaining(bank, None, boat.boat)
    question.noted(
        "share",
        share,
        entry=bank,
        field="cranking current left by age",
        worse="lower",
        read=f"a load test of '{bank.id}'",
    )
    question.noted(
        "need_A",
        need[0],
        entry=bank,
        field="cranking current needed",
        worse="higher",
        read=f"the cranking current in the manual of the engine that '{bank.id}' starts",
    )
    ask_strings(question, bank)

    def requirement(**given: Any) -> tuple[Any, Any]:
        cranks = given["rated_A"] * given["strings"] * given["share"]
        return cranks, given["need_A"] + 0.0 * cranks

    best = question.best_values()
    strings = float(best["strings"])
    needed = question.ends("need_A")[1] / question.ends("strings")[0]
    sources: list[Source] = []
    notes = [
        "The share of rated capacity left with age stands for that of cranking current, which no "
        "table gives; a load test says more.",
        *([need[1]] if need[1] else []),
    ]
    if bank.temperature.seen:
        power = table("cranking_power_vs_temperature")
        shown = "; ".join(
            f"{r['temp_C']} °C: the battery gives {r['battery_power_available_pct']} %, the engine "
            f"asks {r['engine_cranking_power_required_pct']} %"
            for r in power.rows()
        )
        notes.append(f"In the cold, of the power at 27 °C: {shown}.")
        sources.append(power.source())
    return question.finding(
        question.rule(requirement, "at least"),
        check=CRANKING,
        entry=bank,
        sense="at least",
        quantity="cranking",
        worst="B",
        statement=lambda value, limit: (
            f"Bank '{bank.id}' cranks {bank.starts or 'its engine'} with {value}; {limit} is "
            "needed."
        ),
        working=(
            Step(
                "I",
                "cold cranking current x strings x share left",
                f"{float(best['rated_A']):.4g} x {strings:g} x {float(best['share']):.3g}",
                float(requirement(**best)[0]),
                "A",
            ),
        ),
        sources=sources,
        remedy="Batteries of "
        f"{units.show_limit(needed, 'cranking', sense='at least')} each when new, and a load test "
        "every year.",
        caution=GAS,
        notes=notes,
    )


def _loop(run: Run) -> Finding | NotChecked:
    size = run.size.size
    area = area_mm2(size) if size is not None else None
    if not (run.length.seen and run.voltage.seen and area and run.voltage.best):
        return NotChecked(
            LOOP,
            run.id,
            "its voltage, length or size was not noted",
            run.where,
            f"the size and the length of both cables of '{run.id}'",
        )
    rules = table("starter_circuit_sae_j541")
    rows = [
        r
        for r in rules.rows()
        if float(r["system_voltage_low_V"]) <= run.voltage.best <= float(r["system_voltage_high_V"])
    ]
    if not rows:
        return NotChecked(
            LOOP, run.id, f"no rule is held for a starter at {run.voltage.text}", run.where
        )
    question = Question()
    question.noted("length_m", run.length, entry=run, field="length", worse="higher")
    limits = {float(r["max_drop_V_per_100A_at_20C"]): r["duty"] for r in rows}
    question.among(
        "limit_V",
        [Option(v, f"{limits[v].replace('_', ' to ')} duty") for v in sorted(limits)],
        entry=run,
        field="duty of the starter",
        worse="lower",
        best=min(limits),
        more="",
        read=f"the power of the starter on '{run.id}'",
    )
    resistivity = table("resistivity_constants")
    copper = "IACS annealed copper 20 C"
    rho = resistivity.exact("equivalent_ohm_mm2_per_m", name=copper)

    def requirement(**given: Any) -> tuple[Any, Any]:
        drop = cranking.loop_drop_per_100A_V(
            2.0 * given["length_m"], area_mm2=area, resistivity_ohm_mm2_per_m=rho
        )
        return drop, given["limit_V"] + 0.0 * drop

    best = question.best_values()
    longest = cranking.loop_length_m(min(limits), area_mm2=area, resistivity_ohm_mm2_per_m=rho)
    return question.finding(
        question.rule(requirement, "at most"),
        check=LOOP,
        entry=run,
        sense="at most",
        quantity="voltage",
        worst="B",
        statement=lambda value, limit: (
            f"The cables of '{run.id}' drop {value} for each 100 A of the starter; {limit} is "
            "allowed."
        ),
        working=(
            Step(
                "V100",
                "100 A x resistivity x both cables / area",
                f"100 x {rho:.4g} x {2 * float(best['length_m']):.4g} / {area:.4g}",
                float(requirement(**best)[0]),
                "V",
                "20 °C, connections not included",
            ),
        ),
        sources=(rules.source(), resistivity.source(name=copper)),
        remedy="At this size at most "
        f"{units.show_limit(float(longest) / 2, 'length', sense='at most')} one way.",
        caution=_CAUTION,
        notes=("Connections come on top: measure the drop while it cranks.",),
    )
