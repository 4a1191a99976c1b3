"""A run's voltage drop, on direct current by its basis's own formula, against what is allowed.

The other basis's formula and the metal itself at 60 °C stand beside it; where they would turn the
verdict, the finding says so.
"""

from __future__ import annotations

from typing import Any

from elec import units
from elec.boat.records import Bank, BoatFile, Bus
from elec.calc.cables import conductors
from elec.checks.cables import run_drop_ac
from elec.checks.cables.cable import Cable
from elec.checks.cables.drop_limits import (
    FORMULAS,
    circuits_of,
    instrument_of,
    is_feeder,
    limit_sources,
)
from elec.checks.cables.run_asked import ask_drop, heat_asked
from elec.checks.cables.run_noted import as_noted, sure_of_size
from elec.checks.cables.size_remedy import remedy
from elec.checks.question import Option
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.published import Source, table

__all__ = ["CHECK", "judge_run"]

_VITAL = {"bilge pump", "bilge blower", "navigation lights", "vital"}
_WARM_C = 60.0


def judge_run(cable: Cable, boat: BoatFile | None = None) -> Finding:
    """Judge the drop of one run."""
    cable.need_load()
    return _judge(cable, boat) if cable.direct else run_drop_ac.judge(cable, boat)


def _judge(cable: Cable, boat: BoatFile | None) -> Finding:
    run, basis, volts = cable.run, cable.basis, cable.voltage_V
    drop, drop_V, limits = ask_drop(cable)
    question = drop.question
    other = "iso" if basis.name == "us" else "us"

    def other_requirement(**given: Any) -> tuple[Any, Any]:
        return drop_V(given, other) / given["nominal_V"], given["limit"]

    ruling = question.rule(drop.requirement, "at most")
    against = question.rule(other_requirement, "at most")
    best = question.best_values()
    current, length = cable.load_A()[1], float(best["length_m"])
    nominal = float(best["nominal_V"])
    mm2 = float(cable.metal_mm2(best))
    dropped, limit = float(drop_V(best, basis.name)), float(best["limit"])
    warm_V = _warm_V(current, length * cable.ways, mm2)
    notes = list(cable.said)
    share = units.show(float(drop_V(best, other)) / nominal, "percentage", digits=4)
    turned = (against.verdict == "inadequate") != (ruling.verdict == "inadequate")
    notes.append(
        f"By the {FORMULAS[other][1]} it is {share}"
        + (f", and the verdict would be {against.verdict}." if turned else ".")
    )
    if warm_V / volts > limit * (1 + 1e-9) and ruling.verdict in ("adequate", "marginal"):
        notes.append(
            f"Warning: with its copper at {_WARM_C:g} °C it drops "
            f"{units.show(warm_V / volts, 'percentage')}, over the limit; the formula passes "
            "because it assumes cooler metal."
        )
    failed = ruling.verdict in ("inadequate", "undetermined")
    change = remedy(cable, heat_asked(cable), drop) if failed else None
    if change and ruling.verdict == "inadequate" and cable.run.size.size is not None:
        change += f" {_reach(cable, ruling)}"
    notes += _looser(cable, limits, boat) + _alone(cable, boat)
    vital = bool(_VITAL & circuits_of(cable))
    return question.finding(
        ruling,
        check="run-drop",
        entry=run,
        quantity="percentage",
        worst="A" if vital else "B",
        statement=lambda value, limit: (
            f"Run '{run.id}' ({_both_ways(cable)}) drops {value} of {cable.volts()}; "
            f"at most {limit} is allowed{_by_whom(cable, limits, boat)}."
        ),
        working=_working(cable, current, length, mm2, dropped, warm_V, nominal),
        sources=_sources(cable, limits),
        remedy=change,
        notes=notes,
    )


def _reach(cable: Cable, ruling: Ruling) -> str:
    """Say what length the size serves at the hardest end of all that is not settled."""
    longest = cable.length.span[2] / (1.0 - ruling.margin.low)
    reach = units.show_limit(longest, "length", sense="at most")
    known = cable.length.settled and ruling.value.low == ruling.value.high
    end = (
        "this current"
        if known and ruling.limit.low == ruling.limit.high
        else ("the hardest end of what is not settled")
    )
    return f"The size it has would serve {reach} one way at {end}."


def _by_whom(cable: Cable, limits: list[Option], boat: BoatFile | None) -> str:
    """Say whose limit it is, where it is one only."""
    if len(limits) != 1:
        return ""
    words = f"{limits[0].label}, {instrument_of(limits[0].label, cable.basis.name)}"
    if cable.run.drop.seen and cable.run.drop.span[0] < limits[0].value:
        whose = "as asked" if boat is None else "by its maker"
        return f" ({whose}; {units.show(limits[0].value, 'percentage')} for {words})"
    return f" ({words})"


def _looser(cable: Cable, limits: list[Option], boat: BoatFile | None) -> list[str]:
    """Say so where more is allowed by a maker, or asked, than by the standard that is followed."""
    noted = cable.run.drop
    if not noted.seen or noted.span[2] <= limits[0].value * (1 + 1e-9):
        return []
    most = units.show(noted.span[2], "percentage")
    whose = f"{most} was asked" if boat is None else f"Its maker allows {most}"
    return [f"{whose}; the standard allows less where it applies, and counts."]


def _alone(cable: Cable, boat: BoatFile | None) -> list[str]:
    """Say that drops add up, unless the run goes all the way from a battery to one load."""
    if boat is None:
        return []
    run = cable.run
    if run.return_by:
        words = f"Out and back at its own size; '{run.return_by}', its return, is in network-drop."
        return [words]
    if cable.ways == 1:
        return ["This return alone: the whole way, out and back by it, is in network-drop."]
    whole = isinstance(boat.find(run.start or ""), Bank) and not is_feeder(cable)
    if whole and not isinstance(boat.find(run.end or ""), Bus):
        return []
    return ["This run alone: the drop of what feeds it, and of what it feeds, comes on top."]


def _warm_V(current_A: float, conductor_m: float, area_mm2: float) -> float:
    constants = table("resistivity_constants")
    resistance = conductors.resistance_ohm(
        conductor_m,
        area_mm2=area_mm2,
        resistivity_20C_ohm_mm2_per_m=constants.exact(
            "equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C"
        ),
        temperature_coefficient_per_K=constants.exact("value", name="copper alpha20"),
        conductor_temp_C=_WARM_C,
    )
    return float(current_A * resistance)


def _both_ways(cable: Cable) -> str:
    length = cable.length
    low, _, high = length.span
    if low == high:
        one, both = units.show(low, "length"), units.show(cable.ways * low, "length")
        return f"{one} one way, {both} of conductor"
    how = "not measured" if length.origin == "typical" else "as noted"
    return f"{units.show_range(low, high, 'length')} one way, {how}"


def _working(
    cable: Cable,
    current: float,
    length: float,
    mm2: float,
    dropped: float,
    warm_V: float,
    volts: float,
) -> list[Step]:
    basis = cable.basis.name
    name, words = FORMULAS[basis]
    constant = table("resistivity_constants").exact("value", name=name)
    path = "L out and back" if cable.ways == 2 else "L its one conductor"
    length *= cable.ways
    if basis == "us":
        feet = units.from_base(length, "length", "ft")
        cmil = units.from_base(mm2, "area", "cmil")
        formula = f"K I L / CM, {path} in feet"
        numbers = f"{constant:g} x {current:.4g} x {feet:.4g} / {cmil:,.0f}"
    else:
        formula = f"k I L / S, {path} in metres"
        numbers = f"{constant:g} x {current:.4g} x {length:.4g} / {mm2:.4g}"
    return [
        Step("E", formula, numbers, dropped, "V", words),
        Step("e", "E / nominal voltage", f"{dropped:.4g} / {volts:g}", dropped / volts * 100, "%"),
        Step(
            "E60",
            f"I L rho({_WARM_C:g} °C) / S, the metal itself",
            "",
            warm_V,
            "V",
            "annealed copper, IEC 60028",
        ),
    ]


def _sources(cable: Cable, limits: list[Option]) -> list[Source]:
    found = [table("resistivity_constants").source(name=FORMULAS[cable.basis.name][0])]
    found += limit_sources(cable, limits)
    if cable.basis.name == "us":
        found.append(table("conductor_area_awg_sae").source())
    return found


CHECK = Check(
    name="run-drop",
    judges="voltage drop of a DC run against what its circuit allows",
    system="cables and protection",
    place=242,
    of="run",
    prepare=as_noted,
    ask=sure_of_size(judge_run),
)
