"""Air for a bank on charge: flow and openings, and the classes of two rules side by side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from elec.boat.records import Bank, BoatFile
from elec.calc.batteries import ventilation
from elec.checks.banks.bank_capacity import ask_capacity, why_not
from elec.checks.banks.bank_cautions import GAS
from elec.checks.presence import THERE, ask_presence
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.noted import NO
from elec.published import Source, table

__all__ = ["CHECK", "charger_classes"]

_VOLTS_PER_CELL = 2.0
#: How the table of gas currents names what gives them off.
_KINDS = {
    "flooded": "vented lead-acid",
    "gel": "valve-regulated lead-acid",
    "agm": "valve-regulated lead-acid",
}


def _ventilation(bank: Bank, boat: BoatFile, _basis: str) -> Finding | None:
    if bank.chemistry.is_surely("lfp"):
        return None
    if stop := why_not(bank):
        raise stop
    question = Question()
    air = _ask_air(question, bank, boat)
    if not bank.opening.seen:
        return _unmeasured(bank, boat, air)
    question.ask("opening_m2", bank, "opening", worse="lower")

    def enough(**given: Any) -> tuple[Any, Any]:
        return given["opening_m2"], ventilation.opening_area_m2(
            air.flow(given), area_m2_per_m3_per_h=air.per_flow
        )

    return _finding(
        bank,
        boat,
        air,
        question,
        enough,
        quantity="surface",
        statement=lambda value, limit: (
            f"The space of bank '{bank.id}' has openings of {value} each; {limit} is needed."
        ),
    )


@dataclass(frozen=True)
class _Air:
    """The air for the gas of a bank, and what comes of it for the most that it may give off."""

    flow: Callable[[dict[str, Any]], Any]
    per_flow: float
    needed_m3_per_h: float
    area_m2: float
    openings: str
    working: tuple[Step, ...]
    sources: tuple[Source, ...]


def _ask_air(question: Question, bank: Bank, boat: BoatFile) -> _Air:
    """Add what a bank holds and gives off on boost; return the air for it."""
    cells = bank.voltage.span[1] / _VOLTS_PER_CELL
    capacity = ask_capacity(question, bank, boat, aged=False, worse="higher")
    gas, constants = table("ventilation_igas"), table("ventilation_constants")
    known = sorted({kind for chemistry, kind in _KINDS.items() if bank.chemistry.may_be(chemistry)})
    boost = {gas.exact("Igas_mA_per_Ah", battery_kind=kind, mode="boost"): kind for kind in known}
    question.among(
        "gas_mA_per_Ah",
        [Option(value, boost[value]) for value in sorted(boost)],
        entry=bank,
        field="chemistry",
        worse="higher",
        best=max(boost),
        more="",
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

    most = question.worst_values()
    needed = float(flow(most))
    area = float(ventilation.opening_area_m2(needed, area_m2_per_m3_per_h=per_flow))
    across = float(ventilation.opening_diameter_m(area))
    held, gassing = float(capacity(most)), float(most["gas_mA_per_Ah"])
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
    sources = (
        gas.source(battery_kind=boost[max(boost)], mode="boost"),
        constants.source(constant_id="vqs"),
        constants.source(constant_id="opening_cm2_per_m3_per_h"),
    )
    openings = (
        f"two openings of {area * 1e4:.3g} cm² each, low and high ({across * 1e3:.0f} mm across)"
    )
    return _Air(flow, per_flow, needed, area, openings, working, sources)


def _unmeasured(bank: Bank, boat: BoatFile, air: _Air) -> Finding:
    """Judge, where no opening was measured, whether the space is aired at all."""
    question = Question()
    if bank.vented.is_surely("no"):
        ask_presence(question, "present", NO, entry=bank, field="vented")
    else:
        enough = f"openings of {air.area_m2 * 1e4:.3g} cm² each or more"
        question.among(
            "present",
            [Option(0.0, "smaller openings, or none"), Option(1.0, enough)],
            entry=bank,
            field="vented",
            worse="lower",
            noted="not measured" if bank.vented.is_surely("yes") else "not seen",
            more="",
        )
    words = {
        "yes": f"The space of bank '{bank.id}' is aired; its openings were not measured",
        "no": f"The space of bank '{bank.id}' is not aired",
        "?": f"Whether the space of bank '{bank.id}' is aired was not seen",
    }[bank.vented.text]

    def aired(**given: Any) -> tuple[Any, Any]:
        return given["present"], THERE

    return _finding(
        bank,
        boat,
        air,
        question,
        aired,
        quantity="ratio",
        statement=lambda _value, _limit: (
            f"{words}; on charge it needs {air.needed_m3_per_h:.3g} m³/h, {air.openings}."
        ),
    )


def _finding(
    bank: Bank,
    boat: BoatFile,
    air: _Air,
    question: Question,
    requirement: Callable[..., tuple[Any, Any]],
    *,
    quantity: str,
    statement: Callable[[str, str], str],
) -> Finding:
    duty = "cfr183_420_gas" if boat.boat.basis == "us" else "rcd_5_3"
    return question.finding(
        question.rule(requirement, "at least"),
        entry=bank,
        quantity=quantity,
        worst="A" if bank.chemistry.is_surely("flooded") else "B",
        statement=statement,
        working=air.working,
        sources=(*air.sources, table("standards_duties").source(duty_id=duty)),
        remedy=f"Give the space {air.openings}, or a fan for {air.needed_m3_per_h:.3g} m³/h.",
        caution=GAS,
        notes=(
            "The capacity at the 20 h rate stands for that at 10 h, which is less: on the safe "
            "side.",
            *_class_notes(bank, boat),
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
    sealed = bank.chemistry.is_surely("agm", "gel")
    kind = "ship_flow_valve_regulated" if sealed else "ship_flow_vented"
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


CHECK = Check(
    name="bank-ventilation",
    judges="air for the gas of charging",
    system="batteries and charging",
    place=371,
    of="bank",
    ask=_ventilation,
)
