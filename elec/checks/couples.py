"""Dissimilar metals in contact: how far apart, which wastes, by the yardstick of where they are.

Immersed in salt water: the galvanic series of one source, ranges against ranges. In air (splash,
bilge, dry): the anodic index. Fresh water: neither is published for it, and it is said.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Couple, Metal
from elec.calc import galvanic
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.published import READ, Source, table

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
    source: Source


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


def candidates(name: str, *, air: bool) -> tuple[list[Candidate], list[str], str]:
    """Return what a metal may be with its range, what is not on the yardstick, what to look at."""
    ids, ask = metal_ids(name)
    find = _in_index if air else _in_series
    found: list[Candidate] = []
    missing: list[str] = []
    for metal_id in ids:
        one = find(metal_id)
        found += [candidate for candidate in one if candidate not in found]
        if not one:
            missing.append(metal_id.replace("_", " "))
    return found, missing, ask


def _in_index(metal_id: str) -> list[Candidate]:
    return [
        Candidate(
            metal_id.replace("_", " "),
            float(row["index_low_V"]),
            float(row["index_high_V"]),
            table("metal_anodic_index").source(metal_id=metal_id),
        )
        for row in table("metal_anodic_index").rows()
        if row["metal_id"] == metal_id
    ]


def _in_series(metal_id: str) -> list[Candidate]:
    series, standing = table("galvanic_series_seawater"), table("metal_row_in_series")
    stands = {r["row_metal_id"]: r for r in standing.rows() if r["metal_id"] == metal_id}
    found = []
    for row in series.rows():
        own = row["metal_id"] == metal_id
        if row["source_key"] != SERIES or not row["potential_low_V"]:
            continue
        if own or row["metal_id"] in stands:
            keys = {k: row[k] for k in ("source_key", "metal_id", "condition")}
            source = series.source(**keys)
            if not own:
                named = {"metal_id": metal_id, "row_metal_id": row["metal_id"]}
                read = standing.source(**named).read
                source = replace(source, read=max(source.read, read, key=READ.index))
            state = "" if row["condition"] in ("", "n/a") else f", {row['condition']}"
            words = row["metal"] if own else f"{metal_id.replace('_', ' ')} (as {row['metal']})"
            found.append(
                Candidate(
                    f"{words}{state}",
                    float(row["potential_low_V"]),
                    float(row["potential_high_V"]),
                    source,
                )
            )
    return found


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
        found, missing, ask = candidates(name, air=air)
        if missing or not found:
            return NotChecked(
                CHECK,
                couple.id,
                _not_held(name, missing, "anodic index" if air else "galvanic series"),
                couple.where,
                f"the alloy of '{name}' by its mark or papers",
            )
        options.append((name, found, ask))
    return _ask(couple, where, options, air)


def _not_held(name: str, missing: list[str], yardstick: str) -> str:
    if missing:
        return f"'{name}' may be {' or '.join(missing)}, not in the {yardstick} held"
    aliases = sorted(set(table("metal_names").text("alias")))
    near = difflib.get_close_matches(name.lower(), aliases, n=3, cutoff=0.6)
    hint = f"; the nearest names known are {', '.join(near)}" if near else ""
    return f"'{name}' is no metal known here{hint}"


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
            more="",
        )
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
            if air
            else f"a reference-cell reading of each part of '{couple.id}', apart"
        ),
        more="",
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
    used = [candidate.source for _, found, _ in options for candidate in found]
    weakest = max(used, key=lambda source: READ.index(source.read))
    read: list[Source] = [weakest, limits.source(rule_id=rule)]
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
