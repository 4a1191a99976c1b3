"""Stacks of lug, washer, stud and nut: their worst joint by anodic index, by where they are."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Terminal
from elec.calc.metals import galvanic
from elec.checks.metals import named_metals
from elec.checks.metals.named_metals import Named
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step

__all__ = ["CHECKS", "check"]

CHECK = "terminal-stack"
CHECKS = (CHECK,)
_AIR = ("splash", "bilge", "dry")


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every stack noted."""
    results = [_stack(terminal) for terminal in boat.terminal]
    return (
        [result for result in results if isinstance(result, Finding)],
        [result for result in results if isinstance(result, NotChecked)],
    )


def _stack(terminal: Terminal) -> Finding | NotChecked:
    if len(terminal.stack) < 2:
        reason = "a stack needs two parts or more"
        return NotChecked(CHECK, terminal.id, reason, terminal.where, "every part of the stack")
    if terminal.exposure.is_surely("sea", "brackish", "fresh"):
        return NotChecked(
            CHECK,
            terminal.id,
            "the anodic index is for parts in air; note immersed parts as a couple",
            terminal.where,
        )
    by = named_metals.yardstick(terminal.exposure.word if terminal.exposure.seen else "bilge")
    parts = [named_metals.named(name, by) for name in terminal.stack]
    if lacking := next((part for part in parts if part.missing or not part.found), None):
        read = f"the metal or plating of '{lacking.name}' in '{terminal.id}'"
        return NotChecked(
            CHECK, terminal.id, named_metals.not_held(lacking, by), terminal.where, read
        )
    return _judge(terminal, parts)


def _judge(terminal: Terminal, parts: list[Named]) -> Finding:
    question = Question()
    for i, part in enumerate(parts):
        question.among(
            f"part_{i}",
            [Option(float(k), c.label) for k, c in enumerate(part.found)],
            entry=terminal,
            field=f"what part {i + 1}, '{part.name}', is",
            noted=part.name,
            best=0.0,
            more="",
            read=part.ask or f"the metal or plating of '{part.name}'",
        )
    places = (terminal.exposure.word,) if terminal.exposure.seen else _AIR
    yards = [named_metals.yardstick(place) for place in places]
    limits = np.asarray([yard.limit_V for yard in yards])
    question.among(
        "place",
        [Option(float(i), place) for i, place in enumerate(places)],
        entry=terminal,
        field="where it is",
        best=0.0,
        more="",
        read=f"whether '{terminal.id}' is dry, in a bilge or splashed",
    )

    def joint(given: dict[str, Any]) -> galvanic.Joint:
        rows = np.broadcast_arrays(
            *(np.asarray(np.rint(given[f"part_{i}"]), dtype=int) for i in range(len(parts)))
        )
        low = [part.low_V[row] for part, row in zip(parts, rows, strict=True)]
        high = [part.high_V[row] for part, row in zip(parts, rows, strict=True)]
        return galvanic.worst_joint(np.stack(low, axis=-1), index_high_V=np.stack(high, axis=-1))

    def requirement(**given: Any) -> tuple[Any, Any]:
        place = np.asarray(np.rint(given["place"]), dtype=int)
        worst = np.asarray(joint(given).largest_V)
        limit = limits[place] + 0.0 * worst
        return named_metals.as_printed(worst, limit), limit

    best = joint(question.best_values())
    k = int(best.place)
    pair = f"'{parts[k].name}' on '{parts[k + 1].name}'"
    wastes = {-1: parts[k].name, 1: parts[k + 1].name}.get(int(best.direction))
    end = f"'{wastes}' is the one that wastes." if wastes else "Which of the two wastes is open."
    where = "where it is was not noted" if not terminal.exposure.seen else terminal.exposure
    return question.finding(
        question.rule(requirement, "at most"),
        check=CHECK,
        entry=terminal,
        sense="at most",
        quantity="voltage",
        worst="B",
        statement=lambda value, limit: (
            f"The worst joint of '{terminal.id}' ({where}) is {pair}, {value} apart in the anodic "
            f"index; up to {limit} passes there. {end}"
        ),
        working=[_index(part) for part in parts],
        sources=[*named_metals.sources_of(*parts), *dict.fromkeys(y.limit_source for y in yards)],
        remedy=_between(parts, k, float(limits.min())),
        notes=["A plated part counts as its plating, while that is whole."],
    )


def _index(part: Named) -> Step:
    low, high = float(part.low_V.min()), float(part.high_V.max())
    numbers = f"{low:g} to {high:g} V" if high > low else ""
    return Step(
        f"a({part.name})",
        "middle of the anodic index",
        numbers,
        (low + high) / 2,
        "V",
        "below gold",
    )


def _between(parts: list[Named], k: int, limit_V: float) -> str:
    """Return the remedy: which plating between the two parts would pass on both sides."""
    by = named_metals.yardstick("bilge")
    passes = []
    for name in ("tin", "nickel", "stainless 316", "silver"):
        plate = named_metals.named(name, by)
        if plate.found and all(
            galvanic.at_most_V(
                named_metals.compare(plate, part, by, limit_V=limit_V).largest_V, limit_V=limit_V
            )
            for part in (parts[k], parts[k + 1])
        ):
            passes.append(name)
    if passes:
        return (
            f"Part the two by {' or '.join(passes)}, as plating or washer, which passes on both "
            "sides; keep washers out of the current's way, and seal the joint."
        )
    return "Use lug, washer and stud of one metal or plating, and seal the joint."
