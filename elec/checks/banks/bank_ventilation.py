"""Air for a bank on charge: flow and openings, and the classes of two rules side by side."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from elec.boat.records import Bank, BoatFile
from elec.calc.batteries import ventilation
from elec.checks.banks.bank_autonomy import GAS
from elec.checks.banks.bank_capacity import ask_capacity, cannot
from elec.checks.presence import THERE, ask_presence, fitting_of
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import NO
from elec.published import table

__all__ = ["CHECKS", "charger_classes", "check"]

VENTILATION = "bank-ventilation"
CHECKS = (VENTILATION,)
_VOLTS_PER_CELL = 2.0


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask the air of every bank that gives off gas."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for bank in boat.bank:
        if bank.chemistry.is_surely("lfp"):
            continue
        if stop := cannot(bank, VENTILATION, bank.id, bank.where):
            skipped.append(stop)
        else:
            findings.append(_ventilation(bank, boat))
    return findings, skipped


def charger_classes(power_W: float) -> list[tuple[str, str]]:
    """Return how each part of 46 CFR classes a battery by its charger power."""
    classes = table("battery_installation_classes")
    found = []
    for rule in dict.fromkeys(r["rule"] for r in classes.rows() if r["rule"].startswith("46 CFR")):
        rows = {r["class"]: r for r in classes.where(rule=rule).rows()}
        small = float(rows["small"]["charger_output_high_kW"]) * 1e3
        name = ventilation.charger_class(
            power_W,
            large_above_W=float(rows["large"]["charger_output_low_kW"]) * 1e3,
            small_below_W=small if "moderate" in rows else None,
        )
        found.append((rule, str(name)))
    return found


def _ventilation(bank: Bank, boat: BoatFile) -> Finding:
    assert bank.voltage.best is not None
    cells = bank.voltage.best / _VOLTS_PER_CELL
    question = Question()
    capacity = ask_capacity(question, bank, boat, aged=False, worse="higher")
    gas, constants = table("ventilation_igas"), table("ventilation_constants")
    kinds = {"flooded": "vented lead-acid", "gel": "valve-regulated lead-acid"}
    kinds["agm"] = kinds["gel"]
    known = [kinds[bank.chemistry.word]] if bank.chemistry.seen else sorted(set(kinds.values()))
    boost = {gas.exact("Igas_mA_per_Ah", battery_kind=kind, mode="boost"): kind for kind in known}
    question.among(
        "gas_mA_per_Ah",
        [Option(value, boost[value]) for value in sorted(boost)],
        entry=bank,
        field="chemistry",
        worse="higher",
        best=max(boost),
        more="",
        read=f"the chemistry on the label of '{bank.id}'",
    )
    air = constants.exact("value", constant_id="vqs")
    per_flow = constants.exact("value", constant_id="opening_cm2_per_m3_per_h") * 1e-4

    def flow(given: dict[str, Any]) -> Any:
        return ventilation.gassing_flow_m3_per_h(
            capacity(given),
            cells=cells,
            gassing_mA_per_Ah=given["gas_mA_per_Ah"],
            air_m3_per_Ah=air,
        )

    # air for the most that the bank may hold and give off
    most = question.worst_values()
    needed = float(flow(most))
    area = float(ventilation.opening_area_m2(needed, area_m2_per_m3_per_h=per_flow))
    across = float(ventilation.opening_diameter_m(area))
    held, gassing = float(capacity(most)), float(most["gas_mA_per_Ah"])
    openings = (
        f"two openings of {area * 1e4:.3g} cm² each, low and high ({across * 1e3:.0f} mm across)"
    )
    working = (
        Step(
            "Q",
            f"{air:g} x cells x gas current x capacity / 1000",
            f"{air:g} x {cells:g} x {gassing:g} x {held:.4g} / 1000",
            needed,
            "m³/h",
            "EN 50272-2, on boost",
        ),
        Step("A", f"{per_flow * 1e4:g} x Q", "", area * 1e4, "cm²"),
        Step("d", "root of 4 A / pi", "", across * 1e3, "mm"),
        *_ship_form(bank, boat, cells),
    )
    sources = [
        gas.source(battery_kind=boost[max(boost)], mode="boost"),
        constants.source(constant_id="vqs"),
        constants.source(constant_id="opening_cm2_per_m3_per_h"),
    ]
    notes = [
        "The capacity at the 20 h rate stands for that at 10 h, which is less: on the safe side.",
        *_class_notes(bank, boat),
    ]
    if boat.boat.basis == "us":
        sources.append(table("standards_duties").source(duty_id="cfr183_420_gas"))
    else:
        sources.append(table("standards_duties").source(duty_id="rcd_5_3"))
    remedy = f"Give the space {openings}, or a fan for {needed:.3g} m³/h."

    def finish(
        asked: Question,
        requirement: Callable[..., tuple[Any, Any]],
        quantity: str,
        words: Callable[[str, str], str],
    ) -> Finding:
        return asked.finding(
            asked.rule(requirement, "at least"),
            check=VENTILATION,
            entry=bank,
            sense="at least",
            quantity=quantity,
            worst="A" if bank.chemistry.is_surely("flooded") else "B",
            statement=words,
            working=working,
            sources=sources,
            remedy=remedy,
            caution=GAS,
            notes=notes,
        )

    if bank.opening.seen:
        question.noted("opening_m2", bank.opening, entry=bank, field="air opening", worse="lower")

        def enough(**given: Any) -> tuple[Any, Any]:
            area_m2 = ventilation.opening_area_m2(flow(given), area_m2_per_m3_per_h=per_flow)
            return given["opening_m2"] + 0.0 * area_m2, area_m2

        return finish(
            question,
            enough,
            "surface",
            lambda value, limit: (
                f"The space of bank '{bank.id}' has openings of {value} each; {limit} is needed."
            ),
        )
    seen = Question()
    read = fitting_of(bank)
    enough_words = f"openings of {area * 1e4:.3g} cm² each or more"
    if bank.vented.is_surely("no"):
        ask_presence(seen, "present", NO, entry=bank, field="ventilation", read=read)
    else:
        seen.among(
            "present",
            [Option(0.0, "smaller openings, or none"), Option(1.0, enough_words)],
            entry=bank,
            field="air openings",
            worse="lower",
            noted="not measured" if bank.vented.is_surely("yes") else "not seen",
            more="",
            read=read,
        )
    words = {
        "yes": f"The space of bank '{bank.id}' is aired; its openings were not measured",
        "no": f"The space of bank '{bank.id}' is not aired",
        "?": f"Whether the space of bank '{bank.id}' is aired was not seen",
    }

    def aired(**given: Any) -> tuple[Any, Any]:
        return given["present"], np.full_like(given["present"], THERE)

    return finish(
        seen,
        aired,
        "ratio",
        lambda _value, _limit: (
            f"{words[bank.vented.text]}; on charge it needs {needed:.3g} m³/h, {openings}."
        ),
    )


def _charger_A(bank: Bank, boat: BoatFile) -> float | None:
    """Return the greatest current of the mains chargers on a bank, or None if not known."""
    currents = [c.current.high for c in boat.charger if c.bank == bank.id]
    return sum(c for c in currents if c) if currents and all(currents) else None


def _ship_form(bank: Bank, boat: BoatFile, cells: float) -> tuple[Step, ...]:
    current = _charger_A(bank, boat)
    if current is None:
        return ()
    kind = (
        "ship_flow_valve_regulated"
        if bank.chemistry.is_surely("agm", "gel")
        else "ship_flow_vented"
    )
    litres = table("ventilation_constants").exact("value", constant_id=kind)
    flow = ventilation.ship_flow_m3_per_h(
        current, charging_A=current, cells=cells, flow_m3_per_Ah=litres / 1e3, least_share=1.0
    )
    return (
        Step(
            "Qs",
            f"{litres:g} L/h x charger current x cells",
            f"{litres:g} x {current:.4g} x {cells:g} / 1000",
            float(flow),
            "m³/h",
            "older form of ship rules, from memory: for comparison",
        ),
    )


def _class_notes(bank: Bank, boat: BoatFile) -> list[str]:
    current = _charger_A(bank, boat)
    if current is None or bank.voltage.best is None:
        return []
    power = float(ventilation.charger_power_W(current, battery_V=bank.voltage.best))
    shown = "; ".join(f"{name} by {rule}" for rule, name in charger_classes(power))
    return [
        f"By charger power, {power / 1e3:.3g} kW, the installation is {shown}. Both bind "
        "inspected vessels, not private boats."
    ]
