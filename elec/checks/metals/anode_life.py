"""How long the mass of anodes carries the surface that they protect."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.cannot import CannotJudge
from elec.checks.metals.anode_alloys import Capacity, capacity_of
from elec.checks.metals.anode_demand import Demand, ask_current, asked_life, demand_of
from elec.checks.metals.anode_shapes import shape_as_measured, use_of
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.noted import between
from elec.published import Source, table


def _life(anode: Anode, boat: BoatFile, _basis: str) -> Finding:
    demand = demand_of(anode, boat)
    _refuse(anode, demand)
    capacity = capacity_of(anode, boat)
    question = Question()
    question.ask("mass_kg", anode, "mass", worse="lower")
    current_A = ask_current(question, anode, demand, "mean")
    _ask_charge(question, anode, capacity)
    question.noted("asked_h", asked_life(anode), entry=anode, field="life", worse="higher")

    def life_h(given: Mapping[str, Any]) -> Any:
        return cathodic.anode_life_h(
            np.asarray(given["mass_kg"]) * anode.count,
            current_A=current_A(given),
            capacity_Ah_per_kg=given["capacity"],
            utilization=given["use"],
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        return life_h(given), given["asked_h"]

    best, worst = question.best_values(), question.worst_values()
    ruling = question.rule(requirement, "at least")
    return question.finding(
        ruling,
        entry=anode,
        quantity="life",
        worst="C",
        statement=lambda _value, _limit: _statement(anode, demand, best, ruling),
        working=_working(anode, demand, best, float(current_A(best)), float(life_h(best))),
        sources=_sources(anode, demand, capacity),
        remedy=_remedy(anode, float(worst["asked_h"]), float(life_h(worst))),
        notes=[capacity.warm] if capacity.warm else [],
    )


def _refuse(anode: Anode, demand: Demand | None) -> None:
    """Raise where its life cannot be told."""
    carries = anode.area.seen or anode.current.seen
    wanting = [
        words
        for words, seen in (
            (f"the mass cast on '{anode.id}', or its weight when new", anode.mass.seen),
            (f"the surface that '{anode.id}' protects", carries),
            (f"the metal of '{anode.id}'", anode.material.seen),
        )
        if not seen
    ]
    if wanting or (demand is None and not anode.current.seen):
        reason = "its life needs mass, metal, the surface it protects and the current that takes"
        raise CannotJudge(reason, " and ".join(wanting))


def _ask_charge(question: Question, anode: Anode, capacity: Capacity) -> None:
    """Add the charge that its metal gives, and the share of it that can be used."""
    low, best, high = capacity.span
    question.noted(
        "capacity",
        between(low, high, "charge", best=best, text="published values"),
        entry=anode,
        field="charge that a kilogram of its alloy gives",
        worse="lower",
        read=f"the alloy of '{anode.id}' in its papers",
    )
    (low, best, high), _ = use_of(shape_as_measured(anode))
    question.noted(
        "use",
        between(low, high, "fraction", best=best, text="published values"),
        entry=anode,
        field="share of it that can be used",
        worse="lower",
        read=f"how '{anode.id}' is mounted, and its length, width and thickness",
    )


def _statement(anode: Anode, demand: Demand | None, best: Mapping[str, Any], ruling: Ruling) -> str:
    low, high, asked = (
        units.show(float(hours), "life", unit="months")
        for hours in (ruling.value.low, ruling.value.high, best["asked_h"])
    )
    span = low if low == high else f"{low} to {high}"
    duty = anode.area if demand else anode.current
    return (
        f"'{anode.id}' ({anode.count} of {units.show(float(best['mass_kg']), 'mass')} of "
        f"{anode.material}) carries {units.show(duty.span[1], duty.quantity)} for {span}; "
        f"{asked} is asked."
    )


def _working(
    anode: Anode, demand: Demand | None, best: Mapping[str, Any], current_A: float, life_h: float
) -> list[Step]:
    mass, use, charge = (
        units.plain(float(value))
        for value in (best["mass_kg"] * anode.count, best["use"], best["capacity"])
    )
    numbers = f"{mass} kg x {use} x {charge} Ah/kg"
    years = life_h / units.to_base(1, "year", "life")
    return [
        Step("I", "surface x current density" if demand else "as noted", "", current_A, "A"),
        Step("t", "m u capacity / I", numbers, years, "years"),
    ]


def _sources(anode: Anode, demand: Demand | None, capacity: Capacity) -> list[Source]:
    return [
        *(demand.sources if demand else ()),
        capacity.sources[0],
        *(capacity.sources[-1:] if capacity.warm else ()),
        table("anode_utilization").source(),
        *([] if anode.life.seen else [table("corrosion_constants").source()]),
    ]


def _remedy(anode: Anode, asked_h: float, least_h: float) -> str:
    number = int(np.ceil(anode.count * asked_h / least_h * (1 - 1e-9)))
    lasting = units.show(asked_h, "life", unit="months")
    return f"Fit {number} of that mass, which last {lasting} at the worst of the range."


CHECK = Check(
    name="anode-life",
    judges="how long anodes carry the surface that they protect",
    system="metals",
    place=431,
    of="anode",
    ask=_life,
)
