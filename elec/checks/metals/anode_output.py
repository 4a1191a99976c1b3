"""The current that anodes give by their shape, against what the surface takes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from elec.boat.records import Anode, BoatFile
from elec.checks.cannot import CannotJudge
from elec.checks.metals.anode_alloys import closed_circuit
from elec.checks.metals.anode_demand import Demand, When, ask_current, demand_of
from elec.checks.metals.anode_shapes import (
    Shape,
    outputs,
    resistances,
    shape_as_measured,
    worn_resistances,
)
from elec.checks.metals.corrosion_constants import Span
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.errors import InputError
from elec.finding import Finding, Step
from elec.noted import between
from elec.published import table


def _outputs(anode: Anode, boat: BoatFile, _basis: str) -> Iterator[Finding]:
    """Judge what it gives when new, and at its end where its core was measured."""
    shape, demand = shape_as_measured(anode), demand_of(anode, boat)
    carries = anode.current.seen or (demand is not None and anode.area.seen)
    if shape is None or not carries or not anode.material.seen:
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
        return np.asarray(given["output_A"]), current_A(given)

    return question.finding(
        question.rule(requirement, "at least"),
        entry=anode,
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
            closed_circuit(anode.material.word)[0][1],
            table("corrosion_constants").source(
                name="potential at which steel is protected by design"
            ),
        ],
        remedy="Fit more of them, spread over the surface, or longer ones.",
        notes=["The driving voltage differs by edition; every published one is counted."],
        part="" if when == "initial" else "worn",
    )


CHECK = Check(
    name="anode-output",
    judges="current that anodes give by their shape",
    system="metals",
    place=432,
    of="anode",
    ask=_outputs,
)
