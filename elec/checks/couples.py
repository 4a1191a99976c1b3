"""Dissimilar metals in contact: how far apart, which wastes, by the yardstick of where they are.

Immersed in salt water: the galvanic series of one source, ranges against ranges. In air (splash,
bilge, dry): the anodic index. Fresh water: neither is published for it, and it is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Couple, Metal
from elec.calc import galvanic
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.published import Source, table

__all__ = ["CHECKS", "Candidate", "candidates", "check"]

CHECK = "metal-couple"
CHECKS = (CHECK,)
SERIES = "LAQUE_ACA"
_IMMERSED = {"sea", "brackish"}
_IN_AIR = {"splash": "AI_HARSH", "bilge": "AI_HARSH", "dry": "AI_NORMAL"}


@dataclass(frozen=True)
class Candidate:
    """What a metal as named may be, with its potential or index range."""

    label: str
    low_V: float
    high_V: float


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every couple noted."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for couple in boat.couple:
        result = _judge(couple, boat)
        if isinstance(result, Finding):
            findings.append(result)
        else:
            skipped.append(result)
    return findings, skipped


def metal_ids(name: str) -> tuple[list[str], str]:
    """Return the metal ids a name may stand for, and what to look at to settle it."""
    wanted = " ".join(name.lower().replace("-", " ").split())
    ids: dict[str, None] = {}
    ask = ""
    for row in table("metal_names").rows():
        if " ".join(row["alias"].replace("-", " ").split()) == wanted:
            ids[row["metal_id"]] = None
            ask = ask or row["ask"]
    return list(ids), ask


def candidates(name: str, *, air: bool) -> tuple[list[Candidate], str]:
    """Return what a metal may be with its range on the yardstick, and what to look at."""
    ids, ask = metal_ids(name)
    found: list[Candidate] = []
    if air:
        for row in table("metal_anodic_index").rows():
            if row["metal_id"] in ids:
                found.append(
                    Candidate(
                        row["metal_id"].replace("_", " "),
                        float(row["index_low_V"]),
                        float(row["index_high_V"]),
                    )
                )
        return found, ask
    for row in table("galvanic_series_seawater").rows():
        if row["metal_id"] in ids and row["source_key"] == SERIES and row["potential_low_V"]:
            state = "" if row["condition"] in ("", "n/a") else f", {row['condition']}"
            found.append(
                Candidate(
                    f"{row['metal']}{state}",
                    float(row["potential_low_V"]),
                    float(row["potential_high_V"]),
                )
            )
    return found, ask


def _named(couple_side: str, boat: BoatFile) -> tuple[str, str, Metal | None]:
    entry = boat.find(couple_side)
    if isinstance(entry, Metal):
        return entry.metal, entry.exposure, entry
    return couple_side, "?", None


def _exposure(couple: Couple, sides: list[tuple[str, str, Metal | None]]) -> str:
    if couple.exposure != "?":
        return couple.exposure
    noted = {exposure for _, exposure, _ in sides if exposure != "?"}
    return noted.pop() if len(noted) == 1 else "?"


def _judge(couple: Couple, boat: BoatFile) -> Finding | NotChecked:
    sides = [_named(couple.a, boat), _named(couple.b, boat)]
    where = _exposure(couple, sides)
    if where == "?":
        return NotChecked(
            CHECK,
            couple.id,
            "it was not noted whether it is under water or in air",
            couple.where,
            f"whether '{couple.id}' is immersed, splashed or dry",
        )
    if where == "fresh":
        return NotChecked(
            CHECK,
            couple.id,
            "no published series for fresh water is held; the seawater series is not stretched",
            couple.where,
        )
    air = where in _IN_AIR
    options = []
    for name, _, _ in sides:
        found, ask = candidates(name, air=air)
        if not found:
            yardstick = "anodic index" if air else "galvanic series"
            return NotChecked(
                CHECK,
                couple.id,
                f"'{name}' is not in the {yardstick} held",
                couple.where,
                f"the alloy of '{name}' by its mark or papers",
            )
        options.append((name, found, ask))
    return _ask(couple, where, options, air)


def _ask(
    couple: Couple, where: str, options: list[tuple[str, list[Candidate], str]], air: bool
) -> Finding:
    question = Question()
    low: list[np.ndarray[Any, Any]] = []
    high: list[np.ndarray[Any, Any]] = []
    for side, (name, found, ask) in zip("ab", options, strict=True):
        found = sorted(found, key=lambda c: c.low_V)
        low.append(np.asarray([c.low_V for c in found]))
        high.append(np.asarray([c.high_V for c in found]))
        question.among(
            f"{side}_is",
            [Option(float(i), c.label) for i, c in enumerate(found)],
            entry=couple,
            field=f"what '{name}' is",
            noted=name,
            read=ask or f"the alloy mark of '{name}'",
            best=0.0,
        )
    question.among(
        "closest",
        [Option(0.0, "closest together"), Option(1.0, "furthest apart")],
        entry=couple,
        field="where in their bands the two metals lie",
        worse="higher",
        best=0.0,
        noted="the published bands",
        read="a reference-cell reading of each, apart",
    )
    limits = table("compatibility_thresholds")
    rule = _IN_AIR[where] if air else "BOAT_200"
    question.exact("limit_V", limits.exact("limit", rule_id=rule))

    def requirement(**given: Any) -> tuple[Any, Any]:
        a, b = (np.asarray(np.rint(given[f"{s}_is"]), dtype=int) for s in "ab")
        nearest, furthest = _gap(low[0][a], high[0][a], low[1][b], high[1][b])
        # an index difference that equals its limit but for floating point is equal to it
        apart = np.where(np.asarray(given["closest"]) > 0.5, furthest, nearest)
        return apart, given["limit_V"] + 0.0 * apart

    ruling = question.rule(requirement, "at most")
    anode = _anode([o[0] for o in options], low, high, air)
    yardstick = "anodic index" if air else "galvanic series in seawater"
    series = table("metal_anodic_index" if air else "galvanic_series_seawater")
    working = tuple(
        Step(
            f"E({o[0]})",
            "published range",
            f"{float(lo.min()):g} to {float(hi.max()):g} V",
            float((lo.min() + hi.max()) / 2),
            "V",
            "" if air else "vs SCE, flowing seawater",
        )
        for o, lo, hi in zip(options, low, high, strict=True)
    )
    names = " and ".join(f"'{o[0]}'" for o in options)
    read: list[Source] = [series.source(), limits.source()]
    return question.finding(
        ruling,
        check=CHECK,
        entry=couple,
        sense="at most",
        quantity="voltage",
        worst="B",
        statement=lambda value, limit: (
            f"{names[0].upper()}{names[1:]} ({where}) lie {value} apart in the {yardstick}; up to "
            f"{limit} passes without protection. {anode}"
        ),
        working=working,
        sources=read,
        remedy=(
            "Insulate one from the other, keep water from the joint, or bond both to an anode "
            "that the readings show to work."
            if not air
            else "Use a plating or washer between, or metals closer together, and seal the joint."
        ),
        notes=(
            "The difference tells the direction and the risk, not the rate; anodes and readings "
            "are judged apart.",
        ),
    )


def _gap(a_low: Any, a_high: Any, b_low: Any, b_high: Any) -> tuple[Any, Any]:
    apart = galvanic.potential_difference_V(a_low, a_high_V=a_high, b_low_V=b_low, b_high_V=b_high)
    return apart.smallest_V, apart.largest_V


def _anode(names: list[str], low: list[Any], high: list[Any], air: bool) -> str:
    """Say which of the two wastes, or that the ranges do not tell."""
    below = [float(high[0].max()) < float(low[1].min()), float(high[1].max()) < float(low[0].min())]
    if air:
        below = [
            float(low[0].min()) > float(high[1].max()),
            float(low[1].min()) > float(high[0].max()),
        ]
    for name, is_anode in zip(names, below, strict=True):
        if is_anode:
            return f"'{name}' is the one that wastes."
    return "Which of the two wastes cannot be said: their ranges overlap."
