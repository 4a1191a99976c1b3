"""Anodes against what they protect: how long their mass lasts, what current their shape gives."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.cannot import CannotJudge
from elec.checks.metals import anode_sums
from elec.checks.metals.anode_duty import (
    Span,
    When,
    ask_current,
    asked_life,
    capacity_of,
    demand_of,
    outputs,
    resistances,
    shape_of,
    use_of,
    worn_resistances,
)
from elec.checks.metals.anode_sums import Demand, Shape
from elec.checks.question import Question
from elec.checks.registry import each
from elec.errors import InputError
from elec.finding import Finding, NotChecked, Step
from elec.noted import between
from elec.published import table

__all__ = ["CHECKS", "check"]

LIFE, OUTPUT = "anode-life", "anode-output"
CHECKS = (LIFE, OUTPUT)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge mass and shape of every anode noted."""
    results = [
        answer
        for anode in boat.anode
        for name, ask in ((LIFE, _life), (OUTPUT, _outputs))
        for answer in each(name, (anode,), partial(ask, boat=boat))
    ]
    return (
        [result for result in results if isinstance(result, Finding)],
        [result for result in results if isinstance(result, NotChecked)],
    )


# -- how long the mass lasts -------------------------------------------------------------------


def _life(anode: Anode, boat: BoatFile) -> Finding | NotChecked:
    demand = demand_of(anode, boat)
    wanting = [
        words
        for words, seen in (
            (f"the mass cast on '{anode.id}', or its weight when new", anode.mass.seen),
            (f"the surface that '{anode.id}' protects", anode.area.seen or anode.current.seen),
            (f"the metal of '{anode.id}'", anode.material != "?"),
        )
        if not seen
    ]
    if wanting or (demand is None and not anode.current.seen):
        reason = "its life needs mass, metal, the surface it protects and the current that takes"
        return NotChecked(LIFE, anode.id, reason, anode.where, " and ".join(wanting))
    capacity = capacity_of(anode, boat)
    low_Ah, best_Ah, high_Ah = capacity.span
    use, _ = use_of(shape_of(anode))
    question = Question()
    question.noted("mass_kg", anode.mass, entry=anode, field="mass of one", worse="lower")
    current_A = ask_current(question, anode, demand, "mean")
    question.noted(
        "capacity",
        between(low_Ah, high_Ah, "charge", best=best_Ah, text="published values"),
        entry=anode,
        field="charge that a kilogram of its alloy gives",
        worse="lower",
        read=f"the alloy of '{anode.id}' in its papers",
    )
    question.noted(
        "use",
        between(use[0], use[2], "fraction", best=use[1], text="published values"),
        entry=anode,
        field="share of it that can be used",
        worse="lower",
        read=f"how '{anode.id}' is mounted, and its length, width and thickness",
    )
    asked = asked_life(anode)
    question.noted("asked_h", asked, entry=anode, field="time it should last", worse="higher")

    def requirement(**given: Any) -> tuple[Any, Any]:
        life = cathodic.anode_life_h(
            np.asarray(given["mass_kg"]) * anode.count,
            current_A=current_A(given),
            capacity_Ah_per_kg=given["capacity"],
            utilization=given["use"],
        )
        return life, given["asked_h"]

    best = question.best_values()
    current = float(np.asarray(current_A(best)))
    life, limit = (float(np.asarray(v)) for v in requirement(**best))
    worst = float(np.asarray(requirement(**question.worst_values())[0]))
    most = float(np.asarray(question.worst_values()["asked_h"]))
    number = int(np.ceil(anode.count * most / worst * (1 - 1e-9)))
    year = units.to_base(1, "year", "life")
    finding = question.finding(
        question.rule(requirement, "at least"),
        check=LIFE,
        entry=anode,
        sense="at least",
        quantity="life",
        worst="C",
        statement=lambda _value, _limit: "",
        working=[
            Step("I", "surface x current density" if demand else "as noted", "", current, "A"),
            Step(
                "t",
                "m u capacity / I",
                f"{units.plain(float(best['mass_kg']) * anode.count)} kg x "
                f"{units.plain(float(best['use']))} x {units.plain(float(best['capacity']))} Ah/kg",
                life / year,
                "years",
            ),
        ],
        sources=[
            *(demand.sources if demand else ()),
            capacity.sources[0],
            *(capacity.sources[-1:] if capacity.warm else ()),
            table("anode_utilization").source(),
            *([] if anode.life.seen else [table("corrosion_constants").source()]),
        ],
        remedy=f"Fit {number} of that mass, which last {units.show(most, 'life', unit='months')} "
        "at the worst of the range.",
        notes=[capacity.warm] if capacity.warm else [],
    )
    low, high = (
        units.show(v, "life", unit="months") for v in (finding.value.low, finding.value.high)
    )
    span = low if low == high else f"{low} to {high}"
    duty = anode.area if demand else anode.current
    return finding.with_changes(
        statement=(
            f"'{anode.id}' ({anode.count} of {units.show(float(best['mass_kg']), 'mass')} of "
            f"{anode.material}) carries {units.show(duty.span[1], duty.quantity)} for {span}; "
            f"{units.show(limit, 'life', unit='months')} is asked."
        )
    )


# -- what it gives -----------------------------------------------------------------------------


def _outputs(anode: Anode, boat: BoatFile) -> Iterator[Finding]:
    """Judge what it gives when new, and at its end where its core was measured."""
    shape, demand = shape_of(anode), demand_of(anode, boat)
    carries = anode.current.seen or (demand is not None and anode.area.seen)
    if shape is None or not carries or anode.material == "?":
        return
    try:
        yield _output(anode, shape, demand, "initial", resistances(shape, boat))
        if worn := worn_resistances(anode, shape, boat):
            yield _output(anode, shape, demand, "final", worn)
    except InputError as error:
        raise CannotJudge(error.message.rstrip(".")) from None


def _output(
    anode: Anode, shape: Shape, demand: Demand | None, when: When, resistance: Span
) -> Finding:
    age = "new" if when == "initial" else "worn"
    low, _, high = outputs(anode, resistance)
    question = Question()
    question.noted(
        "output_A",
        between(low * anode.count, high * anode.count, "current", text="computed"),
        entry=anode,
        field="current it gives",
        worse="lower",
        read="the salinity and temperature of the water, and the alloy of the anode",
    )
    current_A = ask_current(question, anode, demand, when)

    def requirement(**given: Any) -> tuple[Any, Any]:
        asked = current_A(given)
        return np.asarray(given["output_A"]) + 0.0 * asked, asked

    return question.finding(
        question.rule(requirement, "at least"),
        check=OUTPUT,
        entry=anode,
        sense="at least",
        quantity="current",
        worst="C",
        statement=lambda value, limit: (
            f"'{anode.id}', {shape.words}, gives {value} when {age} onto protected steel; the "
            f"surface takes {limit}."
        ),
        working=[Step("R", shape.words, "", resistance[1], "ohm", f"one, when {age}")],
        sources=[
            *(demand.sources if demand else ()),
            shape.source,
            anode_sums.closed_circuit(anode.material)[0][1],
            table("corrosion_constants").source(
                name="potential at which steel is protected by design"
            ),
        ],
        remedy="Fit more of them, spread over the surface, or longer ones.",
        notes=["The driving voltage differs by edition; every published one is counted."],
        part="" if when == "initial" else "worn",
    )
