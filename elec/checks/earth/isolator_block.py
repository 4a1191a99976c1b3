"""What a galvanic isolator blocks, against the couples that the shore earth may close."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from elec.boat.possible import typical
from elec.boat.records import BoatFile, Inlet
from elec.calc.metals import galvanic
from elec.checks.cannot import CannotJudge
from elec.checks.earth.shore_earth import SALT, has_wet_metal
from elec.checks.metals import named_metals
from elec.checks.metals.corrosion_constants import constant
from elec.checks.metals.named_metals import Named
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.noted import Noted
from elec.published import Source, table

_BLOCK = "block of a galvanic isolator"


def _aboard(boat: BoatFile) -> list[Named]:
    """Return the metals that set her potential: anodes first, else what lies in the water."""
    by = named_metals.yardstick("sea", boat.boat.series)
    names: dict[str, None] = {}
    for anode in boat.anode:
        kinds = anode.material.words
        names |= dict.fromkeys("aluminium alloy" if k == "aluminium" else k for k in kinds)
    if not names:
        names = {m.metal: None for m in boat.metal if m.exposure.is_surely(*SALT)}
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
    return typical(*constant(_BLOCK), "voltage", f"table corrosion_constants, {_BLOCK}")


def _block(inlet: Inlet, boat: BoatFile, _basis: str) -> Finding | None:
    if not inlet.isolator.is_surely("yes") or not has_wet_metal(boat):
        return None
    if boat.boat.water.is_surely("fresh"):
        raise CannotJudge("no published series holds for fresh water")
    aboard, ashore = _aboard(boat), _ashore(boat)
    if not aboard or not ashore:
        reason = "no metal aboard in the water is on the galvanic series"
        raise CannotJudge(reason, "the metal of the anodes")
    by = named_metals.yardstick("sea", boat.boat.series)
    pairs = [[named_metals.compare(a, b, by) for b in ashore] for a in aboard]
    smallest = np.asarray([[pair.smallest_V for pair in row] for row in pairs])
    largest = np.asarray([[pair.largest_V for pair in row] for row in pairs])
    question = _asked(inlet, aboard, ashore)

    def requirement(**given: Any) -> tuple[Any, Any]:
        a, b = (np.asarray(np.rint(given[k]), dtype=int) for k in ("aboard", "ashore"))
        apart = np.where(np.asarray(given["apart"]) > 0.5, largest[a, b], smallest[a, b])
        return apart, given["block_V"]

    carbon = named_metals.compare(aboard[0], named_metals.named("graphite", by), by)
    return question.finding(
        question.rule(requirement, "at most"),
        entry=inlet,
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


def _asked(inlet: Inlet, aboard: Sequence[Named], ashore: Sequence[Named]) -> Question:
    """Return the question of which metal is joined to which, how far apart, and what is blocked."""
    question = Question()
    across = f"the direct voltage across the isolator of '{inlet.id}', plugged in"
    _which(question, "aboard", aboard, inlet, "metal of her anodes", "the metal of the anodes")
    _which(question, "ashore", ashore, inlet, "what the shore earth joins her to", across)
    question.among(
        "apart",
        [Option(0.0, "closest together"), Option(1.0, "furthest apart")],
        entry=inlet,
        field="where in their bands the metals lie",
        worse="higher",
        noted="the published bands",
        best=1.0,
        more="",
        read=across,
    )
    question.noted("block_V", _block_of(inlet), entry=inlet, field="isolator_block", worse="lower")
    return question


def _block_sources(inlet: Inlet) -> list[Source]:
    if inlet.isolator_block.seen:
        return []
    return [table("corrosion_constants").source(name=_BLOCK)]


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


CHECK = Check(
    name="isolator-block",
    judges="what an isolator blocks against the metals it parts",
    system="metals",
    place=481,
    of="inlet",
    ask=_block,
)
