"""Readings unplugged and plugged in: whether the shore earth carries current, and which way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Reading
from elec.calc.metals import potentials
from elec.checks.cannot import CannotJudge
from elec.checks.earth.shore_earth import SALT
from elec.checks.metals.reading import error_of
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import table


@dataclass(frozen=True)
class _Place:
    """One place touched with one cell: its readings by how the shore was, the first of each."""

    id: str
    where: str | None
    readings: dict[str, Reading]


def _places(boat: BoatFile) -> list[_Place]:
    """Return where readings were taken; the hull, without any, where some should have been."""
    places: dict[str, _Place] = {}
    for reading in boat.reading:
        if reading.potential.seen and reading.cell.seen:
            key = f"{reading.of or ''} {reading.cell}"
            place = places.setdefault(key, _Place(reading.id, reading.where, {}))
            place.readings.setdefault(reading.shore.text, reading)
    wet = boat.boat.hull.is_surely("steel", "aluminium") or any(
        metal.exposure.is_surely(*SALT, "fresh") for metal in boat.metal
    )
    if places or not (boat.reading or (boat.inlet and wet)):
        return list(places.values())
    return [_Place("hull", None, {})]


def _shift(place: _Place, boat: BoatFile, _basis: str) -> Finding:
    if not place.readings:
        read = "a reference-cell reading of the bonded metal, unplugged and then plugged in"
        raise CannotJudge("no reading with its reference cell was noted", read)
    unplugged, plugged = (place.readings.get(shore) for shore in ("unplugged", "plugged in"))
    if unplugged is None or plugged is None:
        lacking = "plugged in" if unplugged is not None else "unplugged"
        reason = f"only one of two readings was noted, none {lacking}"
        read = f"'{place.id}' again, {lacking}, with the same cell at the same place"
        raise CannotJudge(reason, read)
    return _judge(unplugged, plugged, boat)


def _judge(unplugged: Reading, plugged: Reading, boat: BoatFile) -> Finding:
    question = Question()
    question.ask("unplugged_V", unplugged, "potential", worse=None)
    question.ask("plugged_V", plugged, "potential", worse=None)
    _, error = error_of(unplugged.cell.word)
    question.exact("error_V", error)

    def moved(given: dict[str, Any]) -> potentials.Shift:
        return potentials.shore_shift(
            given["unplugged_V"], plugged_V=given["plugged_V"], uncertainty_V=error
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.abs(moved(given).shift_V), given["error_V"]

    best = moved(question.best_values())
    shift_mV = float(best.shift_V) * 1000
    shown = {
        1: f"moves {abs(shift_mV):.0f} mV toward noble: the shore earth conducts, and her anodes "
        "work for metal ashore or next door",
        -1: f"moves {abs(shift_mV):.0f} mV toward active: the shore earth conducts, and something "
        "beyond the plug protects this boat, or over-protects it",
        0: f"moves {abs(shift_mV):.0f} mV, within the error of two readings: no shore path is "
        "shown, nor is one ruled out",
    }[int(best.direction)]
    bare = [inlet.id for inlet in boat.inlet if not inlet.isolator.is_surely("yes")]
    where = f" on {' and '.join(repr(i) for i in bare)}" if bare else ""
    return question.finding(
        question.rule(requirement, "at most"),
        entry=plugged,
        quantity="voltage",
        worst="B",
        statement=lambda _value, limit: (
            f"On plugging in, from '{unplugged.id}' to '{plugged.id}', the reading {shown}. "
            f"Readings of one thing agree within {limit}."
        ),
        working=[
            Step(
                "shift",
                "plugged in - unplugged",
                f"{plugged.potential.span[1]:g} - ({unplugged.potential.span[1]:g})",
                shift_mV,
                "mV",
            )
        ],
        sources=[table("corrosion_constants").source(name="error of a reading with a boat cell")],
        remedy=f"Part the shore path: a tested isolator, or an isolating transformer{where}; then "
        "read both again.",
        caution="The safety earth is never cut to stop it.",
    )


CHECK = Check(
    name="shore-shift",
    judges="what a reading does on plugging in",
    system="metals",
    place=451,
    of=_places,
    ask=_shift,
)
