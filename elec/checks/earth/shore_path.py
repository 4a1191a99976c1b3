"""What stands in the earth of an inlet: an isolator, an isolating transformer, or nothing."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Inlet
from elec.checks.earth.shore_earth import has_wet_metal
from elec.checks.presence import THERE, ask_presence
from elec.checks.question import Option, Question, asked_for
from elec.checks.registry import Check
from elec.finding import Finding
from elec.noted import NO, YES, YES_OR_NO, Choice
from elec.published import table


def _transformer(inlet: Inlet, boat: BoatFile) -> Choice:
    """Return whether an isolating transformer stands behind an inlet."""
    said = [t.isolating for t in boat.transformer if t.inlet == inlet.id]
    loose = [t.isolating for t in boat.transformer if t.inlet is None]
    if any(one.is_surely("yes") for one in said):
        return YES
    return NO if all(one.is_surely("no") for one in (*said, *loose)) else YES_OR_NO


def _parted(inlet: Inlet, boat: BoatFile) -> bool:
    return inlet.isolator.is_surely("yes") or _transformer(inlet, boat).is_surely("yes")


def _path(inlet: Inlet, boat: BoatFile, _basis: str) -> Finding:
    question = Question()
    wet, transformer, parted = has_wet_metal(boat), _transformer(inlet, boat), _parted(inlet, boat)
    _, read = asked_for(inlet, "isolator")
    ask_presence(question, "isolator", inlet.isolator, entry=inlet, field="isolator")
    ask_presence(
        question, "transformer", transformer, entry=inlet, field="isolating transformer", read=read
    )
    in_water = [Option(0.0, "metal is in the water"), Option(1.0, "none is")]
    question.among(
        "dry",
        in_water[:1] if wet or parted else in_water,
        entry=None,
        field="metal in the water that an earth aboard reaches",
        worse="lower",
        more="",
        read="what metal of hers is in the water: shaft, propeller, sea-cocks, keel, anodes",
    )

    def requirement(**given: Any) -> tuple[Any, Any]:
        held = np.maximum(given["isolator"], given["transformer"])
        return np.maximum(held, given["dry"]), THERE

    words = {
        "yes": "an isolator stands in its earth",
        "no": "no isolator stands in its earth",
        "?": "whether an isolator stands in its earth was not seen",
    }[inlet.isolator.text]
    if transformer.is_surely("yes"):
        words = "an isolating transformer parts it from the shore earth"
    return question.finding(
        question.rule(requirement, "at least"),
        entry=inlet,
        quantity="presence",
        worst="B",
        statement=lambda _value, _limit: (
            f"Inlet '{inlet.id}': {words}. Without one the shore earth joins her metals to those "
            "of the dock and of her neighbours."
        ),
        sources=[table("corrosion_constants").source(name="block of a galvanic isolator")],
        remedy=f"Fit an isolator or an isolating transformer of its rating at '{inlet.id}'.",
        caution="Never cut or leave off the earth conductor itself: it is what trips the breaker.",
        notes=_notes(inlet, boat, wet=wet, parted=parted),
    )


def _notes(inlet: Inlet, boat: BoatFile, *, wet: bool, parted: bool) -> list[str]:
    notes = []
    if not (wet or parted):
        notes.append("No metal was noted in the water. Not noted is not absent.")
    others = [one.id for one in boat.inlet if one.id != inlet.id and not _parted(one, boat)]
    if others and parted:
        names = " and ".join(f"'{name}'" for name in others)
        notes.append(
            f"It parts nothing while {names} is plugged in without one: aboard, all earths join."
        )
    return notes


CHECK = Check(
    name="shore-path",
    judges="what stands in the earth of an inlet",
    system="shore power",
    place=472,
    of="inlet",
    ask=_path,
)
