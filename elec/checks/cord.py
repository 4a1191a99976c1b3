"""Shore cords: ampacity, its column by what the dock gives, and drop at the load it carries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from elec import noted, units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, practice
from elec.boat.records import BoatFile, Cord, Inlet
from elec.calc import ac
from elec.checks.cord_size import ask_cord, cords_of, inlet_of, supply_of
from elec.checks.cord_table import cord_table
from elec.checks.impedance import Impedance, impedance_of
from elec.checks.inlet_rating import AtRating, heaviest_within
from elec.checks.leg_load import LegLoad
from elec.checks.question import Question
from elec.checks.running import draws_of
from elec.errors import TableRangeError
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "cord"
CHECKS = (CHECK,)
_CAUTION = (
    "A cord that is too small heats over its whole length, coiled worst of all: lay it out, and "
    "feel it under load. Pedestal breaker off before plug or socket is touched."
)


@dataclass(frozen=True)
class _Served:
    """A cord with the inlet it serves and what may run on it."""

    cord: Cord
    inlet: Inlet
    service: Service
    draws: Sequence[AcDraw]
    boat: BoatFile

    def load(self, question: Question, *, neutral: bool) -> tuple[LegLoad | AtRating, str]:
        return heaviest_within(
            question, self.boat, self.inlet, self.draws, self.service, neutral=neutral
        )


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every cord under the heaviest condition that its inlet carries."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for cord in boat.cord:
        inlet = inlet_of(cord, boat)
        if inlet is None or inlet.service == "?":
            reason = "which inlet it serves, and on which voltages, was not noted"
            read = f"which inlet '{cord.id}' is used on"
            skipped.append(NotChecked(CHECK, cord.id, reason, cord.where, read))
            continue
        service = SERVICES[inlet.service]
        draws = draws_of(boat, inlet, service)
        served = _Served(cord, inlet, service, draws, boat)
        for ask in (_ampacity, _drop):
            answer = ask(served)
            (findings if isinstance(answer, Finding) else skipped).append(answer)  # type: ignore[arg-type]
    return findings, skipped


def _ampacity(served: _Served) -> Finding | NotChecked:
    cord = served.cord
    question = Question()
    load, words = served.load(question, neutral=False)
    try:
        ampacity, sources, steps = ask_cord(question, cord, served.service, served.inlet.supply)
    except TableRangeError as error:
        read = f"the rating moulded on the ends of '{cord.id}'"
        return NotChecked(CHECK, cord.id, str(error), cord.where, read)
    ruling = question.rule(
        lambda **given: (load.heaviest_A(given), ampacity(given) + 0.0 * given["uneven"]),
        "at most",
    )
    need = float(ruling.value.high)
    notes = ["In free air at 30 °C, laid out; the table takes nothing off for a coil."]
    if served.service.system == "split-phase":
        notes.append(
            "On two legs of a 120/208 V dock its neutral counts as loaded and the lower column "
            "holds."
        )
    return question.finding(
        ruling,
        check=CHECK,
        entry=cord,
        sense="at most",
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"Cord '{cord.id}' carries {value} {words}; its ampacity is {limit}."
        ),
        working=[
            Step("I", "heavier leg, as under inlet-load", "", _best_A(load, question), "A"),
            *steps,
        ],
        sources=sources,
        remedy=_next_cord(need, served.service, served.inlet),
        caution=_CAUTION,
        notes=notes,
        part="ampacity",
    )


def _best_A(load: LegLoad | AtRating, question: Question) -> float:
    return float(load.heaviest_A(question.best_values()))


def _next_cord(need_A: float, service: Service, inlet: Inlet) -> str:
    loaded = max(ac.loaded_conductors(system=s) for s in supply_of(service, inlet.supply))
    size = cord_table(service).smallest(need_A, loaded)
    if size is None:
        return "No listed cord carries it: run less at once, or use a second inlet."
    heavy = " of the heavy kind (H07RN-F)" if size.endswith("mm²") else ""
    return f"A cord of {size} or larger{heavy} ({loaded} loaded conductors), or less load at once."


def _drop(served: _Served) -> Finding | NotChecked:
    cord, service = served.cord, served.service
    if not cord.length.seen:
        return NotChecked(
            CHECK,
            cord.id,
            "its length was not noted: no drop",
            cord.where,
            f"the length of '{cord.id}'",
        )
    if cord.size.size is None:
        return NotChecked(
            CHECK,
            cord.id,
            "its size was not noted: no drop",
            cord.where,
            f"the size printed on '{cord.id}'",
        )
    try:
        ohms = impedance_of(cord.size.size)
    except TableRangeError as error:
        return NotChecked(CHECK, cord.id, str(error), cord.where)
    question = Question()
    load, words = served.load(question, neutral=True)
    question.noted("length_m", cord.length, entry=cord, field="length", worse="higher")
    _ask_power_factor(question, load, served.inlet, ohms)
    limit = table("voltage_drop_limits").exact("max_drop_pct", instrument="NEC", circuit="branch")
    question.exact("limit", limit / 100)

    def drop_V(given: dict[str, Any], through: Any) -> Any:
        return ac.voltage_drop_V(
            through,
            length_one_way_m=given["length_m"],
            resistance_ohm_per_m=ohms.R_ohm_per_m,
            reactance_ohm_per_m=ohms.X_ohm_per_m,
            power_factor=given["power_factor"],
            circuit="balanced split-phase leg",  # one conductor; leg and neutral are added here
        )

    def both_A(given: dict[str, Any]) -> Any:
        return load.heaviest_A(given) + load.neutral_A(given)

    ruling = question.rule(
        lambda **given: (
            drop_V(given, both_A(given)) / service.to_neutral_V,
            given["limit"] + 0.0 * given["uneven"],
        ),
        "at most",
    )
    best = question.best_values()
    amps = _best_A(load, question)
    whole_V = float(2 * drop_V(best, amps))
    notes = list(ohms.notes())
    others = [c for c in cords_of(served.inlet, served.boat) if c is not cord]
    if others:
        notes.append(
            "In line with " + ", ".join(f"'{c.id}'" for c in others) + ": their drops add."
        )
    feet = cord.length.span[1]
    between = "between the legs" if len(service.legs) > 1 else "there and back"
    return question.finding(
        ruling,
        check=CHECK,
        entry=cord,
        sense="at most",
        quantity="percentage",
        worst="C",
        statement=lambda value, limit: (
            f"Cord '{cord.id}' ({units.show(feet, 'length')} one way, "
            f"{units.show(2 * feet, 'length')} of conductor) drops {value} of "
            f"{service.to_neutral_V:g} V {words}; advice on land is {limit}."
        ),
        working=[
            Step(
                "E",
                f"2 I L R, {between}",
                f"2 x {amps:.4g} A x {feet:.4g} m x {ohms.R_ohm_per_m * 1000:.4g} ohm/km",
                whole_V,
                "V",
                ohms.words,
            ),
            *ohms.steps(amps, feet),
            Step(
                "I + I(N)",
                "heavier leg and neutral",
                f"{amps:.4g} + {float(load.neutral_A(best)):.4g}",
                float(both_A(best)),
                "A",
            ),
            Step(
                "e",
                "(I + I(N)) L (R cos + X sin) / volts to neutral",
                "",
                float(drop_V(best, both_A(best))) / service.to_neutral_V * 100,
                "%",
            ),
        ],
        sources=[
            ohms.source,
            table("voltage_drop_limits").source(instrument="NEC", circuit="branch"),
        ],
        remedy="A shorter or thicker cord, or less load at once.",
        notes=notes,
        part="drop",
    )


def _ask_power_factor(
    question: Question, load: LegLoad | AtRating, inlet: Inlet, ohms: Impedance
) -> None:
    if not ohms.X_ohm_per_m or load.heaters_only:
        question.exact("power_factor", 1.0)
        return
    low, high, source = practice("power factor not read")
    question.noted(
        "power_factor",
        noted.between(
            low, high, "ratio", origin="typical", source=source, text="not seen", best=1.0
        ),
        entry=inlet,
        field="power factor of what runs",
        worse=None,
    )
