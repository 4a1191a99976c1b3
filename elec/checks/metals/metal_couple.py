"""Dissimilar metals in contact: how far apart, which wastes, by the yardstick of where they are."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Couple, Entry
from elec.calc.metals import galvanic
from elec.checks.metals import named_metals
from elec.checks.metals.couple_sides import Sides, sides_of
from elec.checks.metals.named_metals import Named, Pair, Yardstick
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, Step


def _couple(couple: Couple, boat: BoatFile, _basis: str) -> Finding:
    sides = sides_of(couple, boat)
    by, pair = sides.by, sides.pair
    question = Question()
    for side, metal in zip("ab", sides.both, strict=True):
        _ask_metal(question, side, metal, couple)
    question.among(
        "closest",
        [Option(0.0, "closest together"), Option(1.0, "furthest apart")],
        entry=couple,
        field="where in their bands the two metals lie",
        worse="higher",
        best=0.0,
        noted="the published bands",
        read=(
            f"the alloy or plating of both parts of '{couple.id}'"
            if by.air
            else f"a reference-cell reading of each part of '{couple.id}', apart"
        ),
        more="",
    )
    question.exact("limit_V", by.limit_V)

    def requirement(**given: Any) -> tuple[Any, Any]:
        a, b = (np.asarray(np.rint(given[f"{side}_is"]), dtype=int) for side in "ab")
        apart = _apart(sides, a, b)
        value = np.where(np.asarray(given["closest"]) > 0.5, apart.largest_V, apart.smallest_V)
        return named_metals.as_printed(value, given["limit_V"]), given["limit_V"]

    names = f"'{pair.a.name}' and '{pair.b.name}'"
    return question.finding(
        question.rule(requirement, "at most"),
        entry=couple,
        quantity="voltage",
        worst="B",
        statement=lambda value, limit: (
            f"{names[0].upper()}{names[1:]} ({sides.where}) lie {value} apart in the {by.words}; "
            f"up to {limit} passes without protection. {_which_wastes(pair)}"
        ),
        working=[_band(metal, by) for metal in sides.both],
        sources=[*named_metals.sources_of(*sides.both), by.limit_source],
        remedy=_remedy(by),
        notes=_notes(sides),
    )


def _ask_metal(question: Question, side: str, metal: Named, entry: Entry) -> None:
    question.among(
        f"{side}_is",
        [Option(float(i), c.label) for i, c in enumerate(metal.found)],
        entry=entry,
        field=f"what '{metal.name}' is",
        noted=metal.name,
        read=metal.ask or f"the alloy mark of '{metal.name}'",
        best=0.0,
        more="",
    )


def _apart(sides: Sides, a: Any, b: Any) -> galvanic.Difference:
    difference = galvanic.index_difference_V if sides.by.air else galvanic.potential_difference_V
    one, other = sides.both
    return difference(
        one.low_V[a],
        a_high_V=one.high_V[a],
        b_low_V=other.low_V[b],
        b_high_V=other.high_V[b],
    )


def _which_wastes(pair: Pair) -> str:
    """Return a sentence: which of the two wastes, or on what it depends."""
    if pair.wastes:
        return f"'{pair.wastes.name}' is the one that wastes."
    if pair.sure.startswith("depends on the film: "):
        return f"Which of the two wastes turns on the film: {pair.sure.partition(': ')[2]}."
    if pair.sure.startswith("depends"):
        return f"Which of the two wastes is not settled: {pair.sure.partition(': ')[2]}."
    return "Which of the two wastes cannot be said: their ranges overlap."


def _band(metal: Named, by: Yardstick) -> Step:
    low, high = float(metal.low_V.min()), float(metal.high_V.max())
    numbers = f"{low:g} to {high:g} V" if high > low else f"{low:g} V"
    return Step(
        f"E({metal.name})",
        "middle of the published range",
        numbers,
        (low + high) / 2,
        "V",
        f"vs {by.cell}" if by.cell else "below gold",
    )


def _remedy(by: Yardstick) -> str:
    if by.air:
        return "Use a plating or washer between, or metals closer together, and seal the joint."
    return (
        "Insulate one from the other, keep water from the joint, or bond both to an anode that "
        "the readings show to work."
    )


def _notes(sides: Sides) -> list[str]:
    notes = [
        "The difference tells the direction and the risk, not the rate; anodes and readings are "
        "judged apart."
    ]
    if sides.by.air:
        if any(c.metal_id.startswith("ss_") for metal in sides.both for c in metal.found):
            notes.append(
                "The index places stainless by its group alone; wet with salt, its film commonly "
                "makes it the nobler of the two, and then the other wastes (common practice, no "
                "source)."
            )
        return notes
    notes += [
        f"'{metal.name}' may be a brass that loses its zinc in seawater and turns brittle, "
        "whatever it touches, unless its mark says that it resists."
        for metal in sides.both
        if any("dezincifies" in note for note in metal.notes)
    ]
    if sides.where == "brackish":
        notes.append(
            "The series is for full seawater; in brackish, still or foul water stainless loses "
            "its film sooner."
        )
    return [*notes, *_other_series(sides), *_by_area(sides)]


def _other_series(sides: Sides) -> list[str]:
    """Say where another published list, by itself, would turn verdict or direction."""
    pair, turned = sides.pair, []
    for series in named_metals.SERIES:
        if series == sides.by.series:
            continue
        by = named_metals.yardstick(sides.where, series)
        a, b = (named_metals.named(metal.name, by) for metal in sides.both)
        if not a.found or not b.found or a.missing or b.missing:
            continue
        other = named_metals.compare(a, b, by)
        if other.verdict != pair.verdict or other.direction != pair.direction:
            waster = f"'{other.wastes.name}' wastes" if other.wastes else "direction open"
            turned.append(f"{series} {other.verdict}, {waster}")
    if not turned:
        return []
    return [f"By other published lists, each by itself: {'; '.join(turned)}."]


def _by_area(sides: Sides) -> list[str]:
    """Say how large the metal that does not waste is beside the one that does."""
    if sides.pair.wastes is None:
        return []
    wasting, other = sides.entries if sides.pair.direction < 0 else reversed(sides.entries)
    if wasting is None or other is None or not (wasting.area.seen and other.area.seen):
        return []
    least = galvanic.area_ratio(other.area.span[0], anode_area_m2=wasting.area.span[2])
    most = galvanic.area_ratio(other.area.span[2], anode_area_m2=wasting.area.span[0])
    ratio = f"{least:.2g}" if np.isclose(least, most) else f"{least:.2g} to {most:.2g}"
    return [
        f"'{other.id}' has {ratio} times the bare surface of '{wasting.id}': the rate goes with "
        "that ratio, so paint the noble metal first and never the wasting one alone."
    ]


CHECK = Check(
    name="metal-couple",
    judges="two metals in contact, by where they are",
    system="metals",
    place=401,
    of="couple",
    ask=_couple,
)
