"""Stacks of lug, washer, stud and nut: their worst joint by anodic index, by where they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Terminal
from elec.calc.metals import galvanic
from elec.checks.cannot import CannotJudge
from elec.checks.metals import named_metals
from elec.checks.metals.named_metals import Named
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, Step

_AIR = ("splash", "bilge", "dry")


def _stack(terminal: Terminal, _boat: BoatFile, _basis: str) -> Finding:
    if len(terminal.stack) < 2:
        raise CannotJudge("a stack needs two parts or more", "every part of the stack")
    if terminal.exposure.is_surely("sea", "brackish", "fresh"):
        reason = "the anodic index is for parts in air; note immersed parts as a couple"
        raise CannotJudge(reason)
    places = (terminal.exposure.word,) if terminal.exposure.seen else _AIR
    yards = [named_metals.yardstick(place) for place in places]
    parts = [named_metals.named(name, yards[0]) for name in terminal.stack]
    if lacking := next((part for part in parts if part.missing or not part.found), None):
        read = f"the metal or plating of '{lacking.name}' in '{terminal.id}'"
        raise CannotJudge(named_metals.not_held(lacking, yards[0]), read)
    limits = np.asarray([yard.limit_V for yard in yards])
    question = Question()
    for i, part in enumerate(parts):
        _ask_part(question, i, part, terminal)
    question.among(
        "place",
        [Option(float(i), place) for i, place in enumerate(places)],
        entry=terminal,
        field="exposure",
        best=0.0,
        more="",
    )

    def requirement(**given: Any) -> tuple[Any, Any]:
        limit = limits[np.asarray(np.rint(given["place"]), dtype=int)]
        return named_metals.as_printed(_joint(parts, given).largest_V, limit), limit

    best = _joint(parts, question.best_values())
    k = int(best.place)
    return question.finding(
        question.rule(requirement, "at most"),
        entry=terminal,
        quantity="voltage",
        worst="B",
        statement=lambda value, limit: _statement(terminal, parts, best, value, limit),
        working=[_index(part) for part in parts],
        sources=[*named_metals.sources_of(*parts), *dict.fromkeys(y.limit_source for y in yards)],
        remedy=_between(parts[k : k + 2], float(limits.min())),
        notes=["A plated part counts as its plating, while that is whole."],
    )


def _ask_part(question: Question, i: int, part: Named, terminal: Terminal) -> None:
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


def _joint(parts: Sequence[Named], given: Mapping[str, Any]) -> galvanic.Joint:
    """Return the worst joint of a stack, its parts being what ``given`` says of each."""
    rows = np.broadcast_arrays(
        *(np.asarray(np.rint(given[f"part_{i}"]), dtype=int) for i in range(len(parts)))
    )
    low = [part.low_V[row] for part, row in zip(parts, rows, strict=True)]
    high = [part.high_V[row] for part, row in zip(parts, rows, strict=True)]
    return galvanic.worst_joint(np.stack(low, axis=-1), index_high_V=np.stack(high, axis=-1))


def _statement(
    terminal: Terminal, parts: Sequence[Named], worst: galvanic.Joint, value: str, limit: str
) -> str:
    a, b = (part.name for part in parts[int(worst.place) :][:2])
    wastes = {-1: a, 1: b}.get(int(worst.direction))
    end = f"'{wastes}' is the one that wastes." if wastes else "Which of the two wastes is open."
    where = terminal.exposure.word if terminal.exposure.seen else "where it is was not noted"
    return (
        f"The worst joint of '{terminal.id}' ({where}) is '{a}' on '{b}', {value} apart in the "
        f"anodic index; up to {limit} passes there. {end}"
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


def _between(pair: Sequence[Named], limit_V: float) -> str:
    """Return the remedy: which plating between two parts would pass on both sides."""
    by = named_metals.yardstick("bilge")
    passes = []
    for name in ("tin", "nickel", "stainless 316", "silver"):
        plate = named_metals.named(name, by)
        if plate.found and all(
            galvanic.at_most_V(
                named_metals.compare(plate, part, by, limit_V=limit_V).largest_V, limit_V=limit_V
            )
            for part in pair
        ):
            passes.append(name)
    if passes:
        return (
            f"Part the two by {' or '.join(passes)}, as plating or washer, which passes on both "
            "sides; keep washers out of the current's way, and seal the joint."
        )
    return "Use lug, washer and stud of one metal or plating, and seal the joint."


CHECK = Check(
    name="terminal-stack",
    judges="lug, washer and stud by anodic index",
    system="metals",
    place=491,
    of="terminal",
    ask=_stack,
)
