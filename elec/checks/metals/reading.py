"""Reference-cell readings against every published range, both ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from elec.boat.records import BoatFile, Metal, Reading
from elec.calc.metals import potentials
from elec.checks.metals import named_metals
from elec.checks.metals.corrosion_constants import constant, typical
from elec.checks.metals.salt_water import IMMERSED
from elec.checks.question import Option, Question
from elec.errors import InputError, TableRangeError
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted, between, exact
from elec.published import Source, table

__all__ = ["CHECKS", "Range", "check", "error_of", "ranges_for"]

READING = "reading"
CHECKS = (READING,)
_CELLS = {
    "Ag/AgCl seawater": "AgAgCl_seawater",
    "SCE": "SCE",
    "CSE": "CSE",
    "zinc": "ZN_SW",
}
_OPEN_CELL = "Ag/AgCl seawater"
_SEA_SALINITY = 35.0
_HULL_ROWS = {
    "grp": ("BOAT_GRP", "BOAT_GRP_E2"),
    "grp with aluminium drive": ("BOAT_GRP_DRV", "BOAT_DRV_E2"),
    "wood": ("BOAT_WOOD", "BOAT_WOOD_E2"),
    "steel": ("BOAT_FE", "BOAT_FE_E2", "ABS_FE_AER"),
    "aluminium": ("BOAT_AL", "BOAT_AL_E2", "AL_SHIP", "ISO_AL"),
}
_OVER = {
    "aluminium": "Too negative attacks aluminium by the alkali that forms on it.",
    "wood": "Too negative eats the wood round the fittings: it softens and goes white.",
}


@dataclass(frozen=True)
class Range:
    """A published range of protective potential, both ends [V, Ag/AgCl seawater]."""

    row_id: str
    hull: str
    by: str
    least_V: float
    most_V: float
    source: Source

    @property
    def words(self) -> str:
        """The range in words."""
        return f"{self.by} {self.least_V:.2f} to {self.most_V:.2f} V ({self.hull})"


def ranges_for(boat: BoatFile) -> list[Range]:
    """Return every published range with both ends that may hold for a boat."""
    held = table("hull_potential_criteria")
    ids: list[str] = []
    for kind in _kinds(boat):
        ids += _HULL_ROWS[kind]
    found = []
    for row_id in ids:
        row = held.row(row_id=row_id)
        found.append(
            Range(
                row_id,
                row["hull_or_metal"],
                row["source"],
                float(row["least_negative_V"]),
                float(row["most_negative_V"]),
                held.source(row_id=row_id),
            )
        )
    return found


def _kinds(boat: BoatFile) -> list[str]:
    hull = boat.boat.hull
    if not hull.seen:
        return list(_HULL_ROWS)
    drive = any(
        metal.exposure.is_surely(*IMMERSED)
        and any(
            "aluminium" in i and "bronze" not in i for i in named_metals.metal_ids(metal.metal)[:1]
        )
        for metal in boat.metal
    )
    return ["grp with aluminium drive"] if hull.is_surely("grp") and drive else [hull.text]


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every reading."""
    results = [_reading(reading, boat) for reading in boat.reading]
    return (
        [result for result in results if isinstance(result, Finding)],
        [result for result in results if isinstance(result, NotChecked)],
    )


# -- one reading -------------------------------------------------------------------------------


def error_of(cell: str) -> tuple[float, float]:
    """Return the error, either way, of a reading with a cell [V]."""
    return constant(f"error of a reading with a {'zinc' if cell == 'zinc' else 'boat'} cell")


def _salinity(reading: Reading, boat: BoatFile) -> Noted:
    if not reading.cell.is_surely(_OPEN_CELL):
        return exact(_SEA_SALINITY, "salinity")
    noted = reading.salinity if reading.salinity.seen else boat.boat.salinity
    if noted.seen:
        return noted
    name = (
        "salinity of brackish water"
        if boat.boat.water.may_be("brackish")
        else "salinity of the open sea"
    )
    return typical(name, "salinity")


def _shift_V(salinity: Any) -> Any:
    """Return how far an open silver chloride cell stands above its value in full seawater."""
    held = np.minimum(np.asarray(salinity, dtype=float), _SEA_SALINITY)
    return table("agcl_salinity_shift").linear("salinity_PSU", "shift_vs_S35_mV", held) / 1000.0


def _refused(reading: Reading, boat: BoatFile) -> tuple[str, str] | None:
    """Return why a reading cannot be judged, and what to read."""
    if not reading.potential.seen:
        return "no potential was noted", f"the potential at '{reading.id}', with its cell"
    if not reading.cell.seen:
        return (
            f"{reading.potential.text} without its reference cell means nothing: the same metal "
            "reads from -0.9 V to +0.2 V by the cell",
            f"which reference cell gave '{reading.id}'",
        )
    if boat.boat.water.is_surely("fresh"):
        return "the published ranges are for seawater, and she lies in fresh water", ""
    return None


def _reading(reading: Reading, boat: BoatFile) -> Finding | NotChecked:
    if refused := _refused(reading, boat):
        return NotChecked(READING, reading.id, refused[0], reading.where, refused[1])
    salinity = _salinity(reading, boat)
    try:
        _shift_V(salinity.span[0]), _shift_V(salinity.span[2])
    except TableRangeError as error:
        return NotChecked(READING, reading.id, str(error).rstrip("."), reading.where)
    held = ranges_for(boat)
    cells = table("reference_electrodes")
    used, wanted = (
        cells.exact("potential_V_vs_SHE_25C", electrode_id=name)
        for name in (_CELLS[reading.cell.word], "AgAgCl_seawater")
    )
    low, high = error_of(reading.cell.word)
    away = _away(reading.potential, held, used - wanted, low, high)
    question = Question()
    question.noted("potential_V", reading.potential, entry=reading, field="potential", worse=away)
    question.noted(
        "error_V",
        between(low, high, "potential", best=0.0, text=f"{1000 * high:.0f} mV either way"),
        entry=reading,
        field="error of the cell",
        worse=away,
        read=f"'{reading.id}' again, with a cell checked against a second one",
    )
    question.noted(
        "salinity",
        salinity,
        entry=reading,
        field="salinity of the water",
        worse=_other_way(away),
        read="the salinity of the water at the berth",
    )
    question.among(
        "range",
        [Option(float(i), r.words) for i, r in enumerate(held)],
        entry=reading,
        field="which published range is followed",
        noted="the ranges printed",
        best=0.0,
        more="",
        read="the hull's material"
        if not boat.boat.hull.seen
        else "the range that the builder or the standard in force asks for",
    )
    least = np.asarray([r.least_V for r in held])
    most = np.asarray([r.most_V for r in held])

    def seawater_V(given: dict[str, Any]) -> Any:
        moved = potentials.convert_V(
            np.asarray(given["potential_V"]) + given["error_V"],
            from_reference_V=used,
            to_reference_V=wanted,
        )
        return potentials.corrected_for_salinity_V(moved, shift_V=_shift_V(given["salinity"]))

    def requirement(**given: Any) -> tuple[Any, Any]:
        row = np.asarray(np.rint(given["range"]), dtype=int)
        middle, half = (least[row] + most[row]) / 2, (least[row] - most[row]) / 2
        return np.abs(seawater_V(given) - middle), half + 0.0 * middle

    best_V = float(seawater_V(question.best_values()))
    ruling = question.rule(requirement, "at most")
    caution = _over_caution(boat) if any(best_V < r.most_V for r in held) else None
    return question.finding(
        ruling,
        check=READING,
        entry=reading,
        sense="at most",
        quantity="voltage",
        worst="B",
        statement=lambda _value, _limit: _statement(reading, best_V, held, low, high),
        working=_working(reading, best_V, held, used, wanted, float(_shift_V(salinity.span[1]))),
        sources=[*(r.source for r in held), cells.source(electrode_id=_CELLS[reading.cell.word])],
        remedy=_remedy(best_V, held),
        caution=caution,
        notes=_notes(reading, boat, best_V, salinity),
    )


def _away(
    noted: Noted, held: list[Range], moved: float, low: float, high: float
) -> Literal["higher", "lower"] | None:
    """Return the direction away from the middle of every range, where there is only one."""
    middles = [(one.least_V + one.most_V) / 2 for one in held]
    largest_shift = float(np.max(table("agcl_salinity_shift").numbers("shift_vs_S35_mV"))) / 1000
    if noted.span[0] + moved + low > max(middles):
        return "higher"
    if noted.span[2] + moved + high + largest_shift < min(middles):
        return "lower"
    return None


def _other_way(way: Literal["higher", "lower"] | None) -> Literal["higher", "lower"] | None:
    """Return the opposite: the shift of an open cell falls as the salinity rises."""
    return None if way is None else "lower" if way == "higher" else "higher"


def _state(best_V: float, one: Range, low: float, high: float) -> str:
    """Say how a reading stands to one range."""
    error = max(-low, high)
    found = potentials.hull_state(
        best_V, least_negative_V=one.least_V, most_negative_V=one.most_V, uncertainty_V=error
    )
    under, over = float(found.under_margin_V), float(found.over_margin_V)
    state = int(found.state)
    if state > 0:
        words = f"{-under * 1000:.0f} mV short of it"
    elif state < 0:
        words = f"{-over * 1000:.0f} mV beyond it"
    else:
        words = "within it"
    near = min(abs(under), abs(over))
    return words if near > error else f"{words}, which is inside the error of the cell"


def _statement(reading: Reading, best_V: float, held: list[Range], low: float, high: float) -> str:
    where = "" if not reading.shore.seen else f", {reading.shore}"
    read = f"'{reading.id}' reads {reading.potential.text} against {reading.cell}{where}"
    if abs(best_V - reading.potential.span[1]) > 5e-4:
        read += f", {best_V:.3f} V against Ag/AgCl in full seawater"
    parts = [f"{one.words}: {_state(best_V, one, low, high)}" for one in held]
    under = [one for one in held if best_V > one.least_V]
    over = [one for one in held if best_V < one.most_V]
    end = ""
    if len(under) == len(held):
        end = " It is under-protected by every one of them."
    elif len(over) == len(held):
        end = " It is over-protected by every one of them."
    elif under or over:
        end = " They disagree."
    return f"{read}. Published ranges: {'; '.join(parts)}.{end}"


def _working(
    reading: Reading, best_V: float, held: list[Range], used: float, wanted: float, shift: float
) -> list[Step]:
    steps = [
        Step(
            "E",
            "reading + cell - Ag/AgCl + salinity",
            f"{reading.potential.span[1]:g} + {used:g} - {wanted:g} + {shift:.3f}",
            best_V,
            "V",
            "against Ag/AgCl in seawater of salinity 35",
        )
    ]
    for one in held:
        steps.append(
            Step(
                f"short({_called(one, held)})",
                "E - least negative end",
                f"{best_V:.3f} - ({one.least_V:g})",
                (best_V - one.least_V) * 1000,
                "mV",
                "negative keeps it",
            )
        )
        steps.append(
            Step(
                f"beyond({_called(one, held)})",
                "most negative end - E",
                f"{one.most_V:g} - ({best_V:.3f})",
                (one.most_V - best_V) * 1000,
                "mV",
                "negative keeps it",
            )
        )
    return steps


def _called(one: Range, held: list[Range]) -> str:
    """Return who printed a range, and for which hull where that does not tell it."""
    alone = sum(other.by == one.by for other in held) == 1
    return one.by if alone else f"{one.by}, {one.hull}"


def _remedy(best_V: float, held: list[Range]) -> str:
    short = max(best_V - r.least_V for r in held)
    beyond = max(r.most_V - best_V for r in held)
    if beyond > 0 and beyond >= short:
        return (
            f"Bring it {beyond * 1000:.0f} mV less negative: fewer anodes, none of magnesium in "
            "salt water, the setting of an impressed-current set; find what drives it from ashore."
        )
    return (
        f"Bring it {short * 1000:.0f} mV more negative, to keep every range printed: renew the "
        "anodes, clean and measure their bonds, part the shore path; then read again, unplugged "
        "and plugged in."
    )


def _over_caution(boat: BoatFile) -> str:
    aluminium = any("aluminium" in kind for kind in _kinds(boat))
    key = "wood" if boat.boat.hull.is_surely("wood") else "aluminium" if aluminium else ""
    return _OVER.get(key, "Too negative lifts paint and makes hard steel brittle.")


def _notes(reading: Reading, boat: BoatFile, best_V: float, salinity: Noted) -> list[str]:
    notes = []
    if reading.cell.is_surely(_OPEN_CELL) and salinity.span[0] < _SEA_SALINITY - 1e-9:
        notes.append(
            "In water fresher than the sea an open silver chloride cell reads better protected "
            "than the metal is; that is taken off here. A sealed cell needs none of it."
        )
    if salinity.span[2] > _SEA_SALINITY + 1e-9:
        notes.append("Above salinity 35 no shift is printed; it stays within the error of a cell.")
    touched = boat.find(reading.of) if reading.of else None
    if isinstance(touched, Metal):
        notes += _protected(touched, best_V)
    return notes


_LEAST_ROWS = {
    "aluminium": "BOAT_MIN_AL",
    "iron_steel": "BOAT_MIN_FE",
    "stainless": "BOAT_MIN_SS",
    "copper": "BOAT_MIN_BR",
}


def _protected(touched: Metal, best_V: float) -> list[str]:
    """Say whether a fitting has been pulled far enough below its own free potential."""
    try:
        found = named_metals.named(touched.metal, named_metals.yardstick("sea")).found
    except InputError:
        return []
    families = {one.family for one in found}
    if len(families) != 1 or (row_id := _LEAST_ROWS.get(families.pop())) is None:
        return []
    held = table("hull_potential_criteria")
    least = held.exact("least_negative_V", row_id=row_id)
    keeps = "keeps" if best_V <= least else "misses"
    row = held.row(row_id=row_id)
    asked = f"{row['source']} for a {row['hull_or_metal']}"
    return [f"'{touched.id}': {keeps} the {least:.2f} V of {asked}."]
