"""What a metal as named may be, on the yardstick of where it lies; and two of them compared.

In salt water the yardstick is the galvanic series of one source, ranges against ranges. In air
(splash, bilge, dry) it is the anodic index. Fresh water has none, and it is said.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt

from elec.calc.metals import galvanic
from elec.errors import InputError
from elec.published import READ, Source, table

__all__ = [
    "SERIES",
    "Candidate",
    "Named",
    "Pair",
    "Yardstick",
    "as_printed",
    "compare",
    "every_row",
    "metal_ids",
    "named",
    "not_held",
    "sources_of",
    "yardstick",
]

Floats = npt.NDArray[np.float64]
SERIES = ("LAQUE_ACA", "E2_RANGES", "BOAT_CHART", "NRL", "STEADY_SCE")
_WATERS = ("sea", "brackish", "fresh", "splash", "bilge", "dry")
#: The list that the stand-in rows were chosen for.
_STAND_INS = "LAQUE_ACA"
_IN_AIR = {"splash": "AI_HARSH", "bilge": "AI_HARSH", "dry": "AI_NORMAL"}
_CELLS = {"SCE": "SCE", "AgAgCl_seawater": "Ag/AgCl"}


@dataclass(frozen=True)
class Yardstick:
    """By what metals are compared where they lie: ``series`` is empty in air."""

    series: str
    rule_id: str
    words: str
    cell: str

    @property
    def air(self) -> bool:
        """Whether the anodic index is the yardstick."""
        return not self.series

    @property
    def limit_V(self) -> float:
        """The difference that passes."""
        return table("compatibility_thresholds").exact("limit", rule_id=self.rule_id)

    @property
    def limit_source(self) -> Source:
        """Where that limit stands."""
        return table("compatibility_thresholds").source(rule_id=self.rule_id)


@dataclass(frozen=True)
class Candidate:
    """What a metal as named may be, with its range on the yardstick."""

    metal_id: str
    label: str
    family: str
    state: str
    low_V: float
    high_V: float
    source: Source


@dataclass(frozen=True)
class Named:
    """A metal as named: what it may be, what of that the yardstick lacks, what settles it."""

    name: str
    found: tuple[Candidate, ...]
    missing: tuple[str, ...]
    ask: str
    notes: tuple[str, ...] = ()

    @property
    def low_V(self) -> Floats:
        """Lower ends of the candidates' ranges."""
        return np.asarray([c.low_V for c in self.found])

    @property
    def high_V(self) -> Floats:
        """Upper ends of the candidates' ranges."""
        return np.asarray([c.high_V for c in self.found])

    @property
    def states(self) -> tuple[str, ...]:
        """The films it may have: passive and active for stainless, none for others."""
        return tuple(dict.fromkeys(c.state for c in self.found if c.state))


@dataclass(frozen=True)
class Pair:
    """Two metals compared over everything that they may be.

    ``direction`` is -1 where ``a`` wastes whatever they are, +1 where ``b`` does, 0 where it
    depends; ``sure`` says so in words.
    """

    a: Named
    b: Named
    smallest_V: float
    largest_V: float
    limit_V: float
    direction: int
    sure: str

    @property
    def wastes(self) -> Named | None:
        """The metal that wastes, where that can be said."""
        return {-1: self.a, 1: self.b}.get(self.direction)

    @property
    def verdict(self) -> str:
        """Whether the difference passes without protection."""
        if galvanic.at_most_V(self.largest_V, limit_V=self.limit_V):
            return "adequate"
        passes = galvanic.at_most_V(self.smallest_V, limit_V=self.limit_V)
        return "undetermined" if passes else "inadequate"


def yardstick(where: str, series: str = _STAND_INS) -> Yardstick:
    """Return the yardstick for a place, one of ``_WATERS``; none is published for fresh water."""
    if where in _IN_AIR:
        return Yardstick("", _IN_AIR[where], "anodic index", "")
    if where == "fresh":
        raise InputError(
            "fresh water: no published series is held for it, and that of seawater is not "
            "stretched to it.",
            remedy="Read each metal with a reference cell in that water.",
        )
    if where not in _WATERS:
        raise InputError(f"'{where}' is no place known.", remedy=f"Accepted: {', '.join(_WATERS)}.")
    if series not in SERIES:
        near = difflib.get_close_matches(series.upper(), SERIES, n=1, cutoff=0.4)
        hint = f" Did you mean '{near[0]}'?" if near else ""
        remedy = f"Accepted: {', '.join(SERIES)}; one for the whole comparison.{hint}"
        raise InputError(f"'{series}' is no galvanic series held.", remedy=remedy)
    first = next(r for r in table("galvanic_series_seawater").rows() if r["source_key"] == series)
    cell = _CELLS.get(first["reference_electrode"], first["reference_electrode"])
    return Yardstick(series, "BOAT_200", "galvanic series in seawater", cell)


@lru_cache(maxsize=2048)
def _tidy(name: str) -> str:
    """Return a name as the list of names writes it."""
    return " ".join(name.lower().replace("-", " ").replace("_", " ").split())


def metal_ids(name: str) -> list[str]:
    """Return the metals that a name may stand for."""
    return list(dict.fromkeys(row["metal_id"] for row in _rows_of(name)))


def _rows_of(name: str) -> list[dict[str, str]]:
    wanted = _tidy(name)
    rows = table("metal_names").rows()
    mine = [row for row in rows if _tidy(row["alias"]) == wanted]
    return mine or [row for row in rows if _tidy(row["metal_id"]) == wanted][:1]


def named(name: str, by: Yardstick) -> Named:
    """Return what a metal may be on a yardstick; nothing found if the name is not known."""
    rows = _rows_of(name)
    ids = list(dict.fromkeys(row["metal_id"] for row in rows))
    ask = next((row["ask"] for row in rows if row["ask"]), "")
    notes = tuple(dict.fromkeys(row["note"] for row in rows if row["note"]))
    found: dict[Candidate, None] = {}
    missing = []
    for metal_id in ids:
        one = _in_index(metal_id) if by.air else _in_series(metal_id, by.series)
        found |= dict.fromkeys(one)
        if not one:
            missing.append(metal_id.replace("_", " "))
    ordered = sorted(found, key=lambda c: (c.low_V, c.label))
    return Named(name, tuple(ordered), tuple(missing), ask, notes)


def every_row(by: Yardstick) -> list[Named]:
    """Return every metal of the yardstick by itself, for the list of all pairs."""
    if by.air:
        ids = table("metal_anodic_index").text("metal_id")
        return [Named(_plain(i), tuple(_in_index(i)), (), "") for i in ids]
    listed = table("galvanic_series_seawater").where(source_key=by.series).rows()
    ones = [_row(row) for row in listed if row["potential_low_V"]]
    return [Named(one.label, (one,), (), "") for one in ones]


def not_held(metal: Named, by: Yardstick) -> str:
    """Say why a metal cannot be judged, with the nearest names known."""
    kind = f"{by.words} {by.series}".rstrip()
    if metal.missing:
        return f"'{metal.name}' may be {' or '.join(metal.missing)}, not in the {kind}"
    aliases = sorted(set(table("metal_names").text("alias")))
    wanted = _tidy(metal.name)
    near = difflib.get_close_matches(wanted, aliases, n=3, cutoff=0.6)
    near += [a for a in aliases if wanted and wanted in a and a not in near][: 3 - len(near)]
    hint = f"; the nearest names known are {', '.join(near)}" if near else ""
    return f"'{metal.name}' is no metal known here{hint}"


def sources_of(*metals: Named) -> list[Source]:
    """Return the weakest source of each table behind the metals, once."""
    weakest: dict[str, Source] = {}
    for one in (candidate.source for metal in metals for candidate in metal.found):
        held = weakest.get(one.table)
        if held is None or READ.index(one.read) > READ.index(held.read):
            weakest[one.table] = one
    return list(weakest.values())


def compare(a: Named, b: Named, by: Yardstick, *, limit_V: float | None = None) -> Pair:
    """Compare two metals over everything that each may be.

    Parameters
    ----------
    a, b : Named
        Both on the same yardstick, each with at least one candidate. [-]
    by : Yardstick
        The yardstick. [-]
    limit_V : float, optional
        The difference that passes, if it was looked up already. [V]

    Returns
    -------
    Pair
        Smallest and largest difference, and which wastes. [V]
    """
    difference = galvanic.index_difference_V if by.air else galvanic.potential_difference_V
    all_cases = difference(
        a.low_V[:, None], a_high_V=a.high_V[:, None], b_low_V=b.low_V, b_high_V=b.high_V
    )
    way = np.asarray(all_cases.direction)
    one_way = int(way.flat[0]) if np.all(way == way.flat[0]) else 0
    return Pair(
        a,
        b,
        float(np.min(all_cases.smallest_V)),
        float(np.max(all_cases.largest_V)),
        by.limit_V if limit_V is None else limit_V,
        one_way,
        _sureness(a, b, way, one_way),
    )


def as_printed(apart_V: npt.ArrayLike, limit_V: npt.ArrayLike) -> Floats:
    """Return a difference, or its limit where the two are the same printed number."""
    apart, limit = np.broadcast_arrays(np.asarray(apart_V, dtype=float), limit_V)
    return np.where(np.abs(apart - limit) <= galvanic.SAME_V, limit, apart)


def _sureness(a: Named, b: Named, way: npt.NDArray[np.int_], one_way: int) -> str:
    """Say how sure the direction is, and on what it depends."""
    if one_way:
        cases = ", whichever of its kind each is" if way.size > 1 else ""
        return f"sure: the ranges lie apart{cases}"
    if not way.any():
        return "not known: the ranges overlap"
    for side, other, turned in ((b, a, way.T), (a, b, -way)):
        told = _by_film(side, other, turned)
        if told:
            return f"depends on the film: {told}"
    able = [metal.name for metal, sign in ((a, -1), (b, 1)) if (way == sign).any()]
    if len(able) == 2:
        return "depends on the alloys: either may waste, by what the two are"
    return f"depends on the alloys: '{able[0]}' wastes or, for some alloys, the ranges overlap"


def _by_film(side: Named, other: Named, way: npt.NDArray[np.int_]) -> str:
    """Say which wastes for each film of ``side``; rows of ``way``: -1 where ``other`` wastes."""
    if len(side.states) < 2 or any(not c.state for c in side.found):
        return ""
    parts = []
    for state in reversed(side.states):
        rows = way[[c.state == state for c in side.found]]
        if rows.min() != rows.max():
            return ""
        words = {
            -1: f"'{other.name}' wastes while '{side.name}' is {state}",
            1: f"'{side.name}' itself wastes while {state}",
            0: f"the ranges overlap while '{side.name}' is {state}",
        }
        parts.append(words[int(rows.flat[0])])
    return ", ".join(parts)


def _plain(metal_id: str) -> str:
    """Return the first name that stands for this metal alone."""
    rows = (row for row in table("metal_names").rows() if row["metal_id"] == metal_id)
    return next((r["alias"] for r in rows if r["ambiguous"] == "no"), metal_id.replace("_", " "))


def _in_index(metal_id: str) -> list[Candidate]:
    index = table("metal_anodic_index")
    return [
        Candidate(
            metal_id,
            _plain(metal_id),
            "",
            "",
            float(row["index_low_V"]),
            float(row["index_high_V"]),
            index.source(metal_id=metal_id),
        )
        for row in index.rows()
        if row["metal_id"] == metal_id
    ]


#: The list that prints single values with a spread, and the families that it states one for.
_SPREAD_LIST = "BOAT_CHART"
_SPREADS = {
    "iron_steel": "iron and nickel alloys",
    "stainless": "iron and nickel alloys",
    "nickel": "iron and nickel alloys",
    "copper": "copper alloys",
}


def _spread_V(row: dict[str, Any]) -> float:
    if row["source_key"] != _SPREAD_LIST or row["family"] not in _SPREADS:
        return 0.0
    name = f"spread of the boat chart on {_SPREADS[row['family']]}"
    return table("corrosion_constants").exact("high", name=name)


def _row(row: dict[str, Any]) -> Candidate:
    spread = _spread_V(row)
    keys = {k: row[k] for k in ("source_key", "metal_id", "condition")}
    state = "" if row["condition"] in ("", "n/a") else row["condition"]
    return Candidate(
        row["metal_id"],
        f"{row['metal']}, {state}" if state else row["metal"],
        row["family"],
        state,
        float(row["potential_low_V"]) - spread,
        float(row["potential_high_V"]) + spread,
        table("galvanic_series_seawater").source(**keys),
    )


def _in_series(metal_id: str, series: str) -> list[Candidate]:
    listed = table("galvanic_series_seawater").where(source_key=series).rows()
    rows = [row for row in listed if row["potential_low_V"]]
    own = [_row(row) for row in rows if row["metal_id"] == metal_id]
    if own or series != _STAND_INS:
        return own
    return _standing_in(metal_id, rows)


def _standing_in(metal_id: str, rows: Sequence[dict[str, Any]]) -> list[Candidate]:
    standing = table("metal_row_in_series")
    stands = {r["row_metal_id"] for r in standing.rows() if r["metal_id"] == metal_id}
    found = []
    for row in (row for row in rows if row["metal_id"] in stands):
        one = _row(row)
        chosen = standing.source(metal_id=metal_id, row_metal_id=row["metal_id"])
        read = max(one.source.read, chosen.read, key=READ.index)
        found.append(
            replace(
                one,
                metal_id=metal_id,
                label=f"{_plain(metal_id)} (as {one.label})",
                source=replace(one.source, read=read),
            )
        )
    return found
