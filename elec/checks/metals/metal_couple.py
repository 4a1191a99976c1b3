"""Dissimilar metals in contact: how far apart, which wastes, by the yardstick of where they are."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Couple, Entry, Metal
from elec.calc.metals import galvanic
from elec.checks.metals import named_metals
from elec.checks.metals.named_metals import Named, Pair, Yardstick
from elec.checks.question import Option, Question
from elec.errors import InputError
from elec.finding import Finding, NotChecked, Step

__all__ = ["CHECKS", "Sides", "check", "sides"]

CHECK = "metal-couple"
CHECKS = (CHECK,)


class Sides:
    """A couple ready to be judged: its two metals on one yardstick, and their entries."""

    def __init__(self, couple: Couple, boat: BoatFile) -> None:
        entries = [boat.find(side) for side in (couple.a, couple.b)]
        self.entries = [entry if isinstance(entry, Metal) else None for entry in entries]
        names = [
            entry.metal if entry else side
            for entry, side in zip(self.entries, (couple.a, couple.b), strict=True)
        ]
        self.where = _where(couple, self.entries)
        if self.where == "?":
            raise _Open(
                "it was not noted whether it is under water or in air",
                f"whether '{couple.id}' is immersed, splashed or dry",
            )
        try:
            self.by = named_metals.yardstick(self.where, boat.boat.series)
        except InputError as error:
            raise _Open(error.message.rstrip("."), error.remedy.rstrip(".")) from None
        self.a, self.b = (named_metals.named(name, self.by) for name in names)
        for metal in (self.a, self.b):
            if metal.missing or not metal.found:
                raise _Open(
                    named_metals.not_held(metal, self.by),
                    f"the alloy of '{metal.name}' by its mark or papers",
                )


class _Open(Exception):
    """Why a couple cannot be judged, and what to read."""

    def __init__(self, reason: str, read: str) -> None:
        super().__init__(reason)
        self.reason, self.read = reason, read


def sides(couple: Couple, boat: BoatFile, check: str) -> Sides | NotChecked:
    """Return a couple ready to be judged, or why it cannot be."""
    try:
        return Sides(couple, boat)
    except _Open as left:
        return NotChecked(check, couple.id, left.reason, couple.where, left.read)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every couple noted."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for couple in boat.couple:
        both = sides(couple, boat, CHECK)
        if isinstance(both, NotChecked):
            skipped.append(both)
        else:
            findings.append(_judge(couple, both))
    return findings, skipped


def _where(couple: Couple, entries: list[Metal | None]) -> str:
    if couple.exposure.seen:
        return couple.exposure.word
    noted = {entry.exposure.word for entry in entries if entry and entry.exposure.seen}
    return noted.pop() if len(noted) == 1 else "?"


def _judge(couple: Couple, both: Sides) -> Finding:
    by, pair = both.by, named_metals.compare(both.a, both.b, both.by)
    question = Question()
    for side, metal in (("a", both.a), ("b", both.b)):
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
        apart = _apart(both, a, b)
        value = np.where(np.asarray(given["closest"]) > 0.5, apart.largest_V, apart.smallest_V)
        limit = given["limit_V"] + 0.0 * value
        return named_metals.as_printed(value, limit), limit

    ruling = question.rule(requirement, "at most")
    names = f"'{both.a.name}' and '{both.b.name}'"
    return question.finding(
        ruling,
        check=CHECK,
        entry=couple,
        sense="at most",
        quantity="voltage",
        worst="B",
        statement=lambda value, limit: (
            f"{names[0].upper()}{names[1:]} ({both.where}) lie {value} apart in the {by.words}; "
            f"up to {limit} passes without protection. {which_wastes(pair)}"
        ),
        working=[_band(metal, by) for metal in (both.a, both.b)],
        sources=[*named_metals.sources_of(both.a, both.b), by.limit_source],
        remedy=_remedy(by),
        notes=_notes(both, pair),
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


def _apart(both: Sides, a: Any, b: Any) -> galvanic.Difference:
    difference = galvanic.index_difference_V if both.by.air else galvanic.potential_difference_V
    return difference(
        both.a.low_V[a],
        a_high_V=both.a.high_V[a],
        b_low_V=both.b.low_V[b],
        b_high_V=both.b.high_V[b],
    )


def which_wastes(pair: Pair) -> str:
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


def _notes(both: Sides, pair: Pair) -> list[str]:
    by = both.by
    notes = [
        "The difference tells the direction and the risk, not the rate; anodes and readings are "
        "judged apart."
    ]
    if by.air:
        if any(c.metal_id.startswith("ss_") for c in both.a.found + both.b.found):
            notes.append(
                "The index places stainless by its group alone; wet with salt, its film commonly "
                "makes it the nobler of the two, and then the other wastes (common practice, no "
                "source)."
            )
        return notes
    notes += [
        f"'{metal.name}' may be a brass that loses its zinc in seawater and turns brittle, "
        "whatever it touches, unless its mark says that it resists."
        for metal in (both.a, both.b)
        if any("dezincifies" in note for note in metal.notes)
    ]
    if both.where == "brackish":
        notes.append(
            "The series is for full seawater; in brackish, still or foul water stainless loses "
            "its film sooner."
        )
    notes += _other_series(both, pair)
    notes += _by_area(both, pair)
    return notes


def _other_series(both: Sides, pair: Pair) -> list[str]:
    """Say where another published list, by itself, would turn verdict or direction."""
    turned = []
    for series in named_metals.SERIES:
        if series == both.by.series:
            continue
        by = named_metals.yardstick(both.where, series)
        a, b = (named_metals.named(metal.name, by) for metal in (both.a, both.b))
        if not a.found or not b.found or a.missing or b.missing:
            continue
        other = named_metals.compare(a, b, by)
        if other.verdict != pair.verdict or other.direction != pair.direction:
            waster = f"'{other.wastes.name}' wastes" if other.wastes else "direction open"
            words = "undetermined" if other.verdict == "undetermined" else other.verdict
            turned.append(f"{series} {words}, {waster}")
    if not turned:
        return []
    return [f"By other published lists, each by itself: {'; '.join(turned)}."]


def _by_area(both: Sides, pair: Pair) -> list[str]:
    """Say how large the metal that does not waste is beside the one that does."""
    if pair.wastes is None:
        return []
    wasting, other = both.entries if pair.direction < 0 else reversed(both.entries)
    if wasting is None or other is None or not (wasting.area.seen and other.area.seen):
        return []
    least = galvanic.area_ratio(other.area.span[0], anode_area_m2=wasting.area.span[2])
    most = galvanic.area_ratio(other.area.span[2], anode_area_m2=wasting.area.span[0])
    ratio = f"{least:.2g}" if np.isclose(least, most) else f"{least:.2g} to {most:.2g}"
    return [
        f"'{other.id}' has {ratio} times the bare surface of '{wasting.id}': the rate goes with "
        "that ratio, so paint the noble metal first and never the wasting one alone."
    ]
