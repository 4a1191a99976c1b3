"""Readings unplugged and plugged in: whether the shore earth carries current, and which way."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Reading
from elec.calc.metals import potentials
from elec.checks.metals.reading import error_of
from elec.checks.metals.salt_water import IMMERSED
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

SHIFT = "shore-shift"
CHECKS = (SHIFT,)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every pair of readings."""
    results = _shifts(boat)
    return (
        [result for result in results if isinstance(result, Finding)],
        [result for result in results if isinstance(result, NotChecked)],
    )


def _shifts(boat: BoatFile) -> list[Finding | NotChecked]:
    if not boat.inlet and not boat.reading:
        return []
    wet = boat.boat.hull.is_surely("steel", "aluminium") or any(
        metal.exposure.is_surely(*IMMERSED, "fresh") for metal in boat.metal
    )
    if not wet and not boat.reading:
        return []
    found: list[Finding | NotChecked] = []
    groups: dict[str, dict[str, Reading]] = {}
    for reading in boat.reading:
        if reading.potential.seen and reading.cell.seen:
            key = f"{reading.of or ''} {reading.cell}"
            groups.setdefault(key, {}).setdefault(reading.shore.text, reading)
    for group in groups.values():
        if "plugged in" in group and "unplugged" in group:
            found.append(_shift(group["unplugged"], group["plugged in"], boat))
        else:
            one = next(iter(group.values()))
            lacking = "plugged in" if "unplugged" in group else "unplugged"
            reason = f"only one of two readings was noted, none {lacking}"
            read = f"'{one.id}' again, {lacking}, with the same cell at the same place"
            found.append(NotChecked(SHIFT, one.id, reason, one.where, read))
    if not groups:
        read = "a reference-cell reading of the bonded metal, unplugged and then plugged in"
        reason = "no reading with its reference cell was noted"
        found.append(NotChecked(SHIFT, "hull", reason, None, read))
    return found


def _shift(unplugged: Reading, plugged: Reading, boat: BoatFile) -> Finding:
    question = Question()
    question.noted(
        "unplugged_V", unplugged.potential, entry=unplugged, field="potential", worse=None
    )
    question.noted("plugged_V", plugged.potential, entry=plugged, field="potential", worse=None)
    _, error = error_of(unplugged.cell.word)
    question.exact("error_V", error)

    def requirement(**given: Any) -> tuple[Any, Any]:
        moved = potentials.shore_shift(
            given["unplugged_V"], plugged_V=given["plugged_V"], uncertainty_V=error
        )
        return np.abs(moved.shift_V), given["error_V"] + 0.0 * moved.shift_V

    best = question.best_values()
    moved = potentials.shore_shift(
        best["unplugged_V"], plugged_V=best["plugged_V"], uncertainty_V=error
    )
    shift_mV, direction = float(moved.shift_V) * 1000, int(moved.direction)
    shown = {
        1: f"moves {abs(shift_mV):.0f} mV toward noble: the shore earth conducts, and her anodes "
        "work for metal ashore or next door",
        -1: f"moves {abs(shift_mV):.0f} mV toward active: the shore earth conducts, and something "
        "beyond the plug protects this boat, or over-protects it",
        0: f"moves {abs(shift_mV):.0f} mV, within the error of two readings: no shore path is "
        "shown, nor is one ruled out",
    }[direction]
    bare = [inlet.id for inlet in boat.inlet if not inlet.isolator.is_surely("yes")]
    where = f" on {' and '.join(repr(i) for i in bare)}" if bare else ""
    return question.finding(
        question.rule(requirement, "at most"),
        check=SHIFT,
        entry=plugged,
        sense="at most",
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
