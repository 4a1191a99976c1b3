"""What a galvanic isolator blocks, against the couples that the shore earth may close."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Inlet
from elec.calc.metals import galvanic
from elec.checks.earth.shore_path import has_wet_metal
from elec.checks.metals import named_metals
from elec.checks.metals.corrosion_constants import constant
from elec.checks.metals.named_metals import Named
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted, between
from elec.published import Source, table

__all__ = ["CHECKS", "check"]

BLOCK = "isolator-block"
CHECKS = (BLOCK,)
_SALT = ("sea", "brackish")


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every isolator against her metals and those ashore."""
    results = [
        _block(inlet, boat)
        for inlet in boat.inlet
        if inlet.isolator.is_surely("yes") and has_wet_metal(boat)
    ]
    return (
        [result for result in results if isinstance(result, Finding)],
        [result for result in results if isinstance(result, NotChecked)],
    )


def _aboard(boat: BoatFile) -> list[Named]:
    """Return the metals that set her potential: anodes first, else what lies in the water."""
    by = named_metals.yardstick("sea", boat.boat.series)
    names: dict[str, None] = {}
    for anode in boat.anode:
        kinds = anode.material.words
        names |= dict.fromkeys("aluminium alloy" if k == "aluminium" else k for k in kinds)
    if not names:
        names = {m.metal: None for m in boat.metal if m.exposure.is_surely(*_SALT)}
        if boat.boat.hull.is_surely("steel", "aluminium"):
            hull = "mild steel" if boat.boat.hull.is_surely("steel") else "aluminium alloy"
            names |= {hull: None}
    found = [named_metals.named(name, by) for name in names]
    return [metal for metal in found if metal.found]


def _ashore(boat: BoatFile) -> list[Named]:
    by = named_metals.yardstick("sea", boat.boat.series)
    found = []
    for row in table("shore_metals").rows():
        state = "" if row["condition"] == "n/a" else row["condition"]
        metal = named_metals.named(row["metal_id"], by)
        kept = tuple(one for one in metal.found if one.state == state)
        if kept:
            found.append(Named(row["why"], kept, (), ""))
    return found


def _block_of(inlet: Inlet) -> Noted:
    if inlet.isolator_block.seen:
        return inlet.isolator_block
    name = "block of a galvanic isolator"
    low, high = constant(name)
    source = f"table corrosion_constants, {name}"
    return between(low, high, "voltage", origin="typical", source=source)


def _block(inlet: Inlet, boat: BoatFile) -> Finding | NotChecked:
    if boat.boat.water.is_surely("fresh"):
        return NotChecked(BLOCK, inlet.id, "no published series holds for fresh water", inlet.where)
    aboard, ashore = _aboard(boat), _ashore(boat)
    if not aboard or not ashore:
        reason = "no metal aboard in the water is on the galvanic series"
        return NotChecked(BLOCK, inlet.id, reason, inlet.where, "the metal of the anodes")
    by = named_metals.yardstick("sea", boat.boat.series)
    pairs = [[named_metals.compare(a, b, by) for b in ashore] for a in aboard]
    smallest = np.asarray([[pair.smallest_V for pair in row] for row in pairs])
    largest = np.asarray([[pair.largest_V for pair in row] for row in pairs])
    question = Question()
    _which(question, "aboard", aboard, inlet, "metal of her anodes", "the metal of the anodes")
    _which(
        question,
        "ashore",
        ashore,
        inlet,
        "what the shore earth joins her to",
        f"the direct voltage across the isolator of '{inlet.id}', plugged in",
    )
    question.among(
        "apart",
        [Option(0.0, "closest together"), Option(1.0, "furthest apart")],
        entry=inlet,
        field="where in their bands the metals lie",
        worse="higher",
        noted="the published bands",
        best=1.0,
        more="",
        read=f"the direct voltage across the isolator of '{inlet.id}', plugged in",
    )
    question.noted(
        "block_V",
        _block_of(inlet),
        entry=inlet,
        field="isolator block",
        worse="lower",
        read=f"the voltage that the isolator of '{inlet.id}' blocks, in its papers",
    )

    def requirement(**given: Any) -> tuple[Any, Any]:
        a, b = (np.asarray(np.rint(given[k]), dtype=int) for k in ("aboard", "ashore"))
        apart = np.where(np.asarray(given["apart"]) > 0.5, largest[a, b], smallest[a, b])
        return apart, given["block_V"] + 0.0 * apart

    carbon = named_metals.compare(aboard[0], named_metals.named("graphite", by), by)
    return question.finding(
        question.rule(requirement, "at most"),
        check=BLOCK,
        entry=inlet,
        sense="at most",
        quantity="voltage",
        worst="C",
        statement=lambda value, limit: (
            f"Between her {_listed(aboard)} and what the shore earth may join them to there stand "
            f"{value}; the isolator of '{inlet.id}' blocks {limit}."
        ),
        working=_couples(aboard, ashore, smallest, largest, _block_of(inlet)),
        sources=[
            *named_metals.sources_of(*aboard, *ashore),
            table("shore_metals").source(),
            *_block_sources(inlet),
        ],
        remedy="An isolating transformer parts her whatever lies beyond; or an isolator of more "
        "diodes in series.",
        notes=[
            f"Carbon or graphite beyond would stand {carbon.largest_V:.2f} V away. AC leakage or "
            "direct voltage already on the earth conductor uses up what it blocks."
        ],
    )


def _block_sources(inlet: Inlet) -> list[Source]:
    if inlet.isolator_block.seen:
        return []
    return [table("corrosion_constants").source(name="block of a galvanic isolator")]


def _listed(found: Sequence[Named]) -> str:
    return " or ".join(metal.name for metal in found)


def _which(
    question: Question, name: str, found: Sequence[Named], inlet: Inlet, field: str, read: str
) -> None:
    question.among(
        name,
        [Option(float(i), metal.name) for i, metal in enumerate(found)],
        entry=inlet,
        field=field,
        best=0.0,
        noted="not known",
        more="",
        read=read,
    )


def _couples(
    aboard: Sequence[Named],
    ashore: Sequence[Named],
    smallest: Any,
    largest: Any,
    block: Noted,
) -> list[Step]:
    """Return each couple with what is left to drive a current beyond the least block."""
    least = block.span[0]
    steps = []
    for i, a in enumerate(aboard):
        for j, b in enumerate(ashore):
            left = galvanic.earth_path_current_A(
                float(largest[i, j]), resistance_ohm=1.0, block_V=least
            )
            steps.append(
                Step(
                    f"{a.name} to {b.name}",
                    "drive left beyond the least block",
                    f"{smallest[i, j]:.2f} to {largest[i, j]:.2f} V less {least:g} V",
                    float(left),
                    "V",
                )
            )
    return steps
