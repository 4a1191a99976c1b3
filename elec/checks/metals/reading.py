"""Reference-cell readings against every published range, both ends."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from elec.boat.records import BoatFile, Metal, Reading
from elec.calc.metals import potentials
from elec.checks.cannot import CannotJudge
from elec.checks.metals.corrosion_constants import constant
from elec.checks.metals.protective_ranges import Range, least_of, over_words, ranges_for
from elec.checks.metals.salt_water import typical_salinity
from elec.checks.question import Option, Question, asked_for
from elec.checks.registry import Check
from elec.errors import TableRangeError
from elec.finding import Finding, Step
from elec.noted import Noted, between, exact
from elec.published import Source, table

__all__ = ["CHECK", "error_of"]

_CELLS = {
    "Ag/AgCl seawater": "AgAgCl_seawater",
    "SCE": "SCE",
    "CSE": "CSE",
    "zinc": "ZN_SW",
}
_OPEN_CELL = "Ag/AgCl seawater"
_SEA_SALINITY = 35.0
_Way = Literal["higher", "lower"] | None


@dataclass(frozen=True)
class _Cell:
    """The cell of a reading: its potential and that of Ag/AgCl in seawater, and its error [V]."""

    used_V: float
    wanted_V: float
    low_V: float
    high_V: float
    source: Source

    def seawater_V(self, given: Mapping[str, Any]) -> Any:
        """Return what it reads, against Ag/AgCl in full seawater."""
        moved = potentials.convert_V(
            np.asarray(given["potential_V"]) + given["error_V"],
            from_reference_V=self.used_V,
            to_reference_V=self.wanted_V,
        )
        return potentials.corrected_for_salinity_V(moved, shift_V=_shift_V(given["salinity"]))


def error_of(cell: str) -> tuple[float, float]:
    """Return the error, either way, of a reading with a cell [V]."""
    return constant(f"error of a reading with a {'zinc' if cell == 'zinc' else 'boat'} cell")


def _cell(name: str) -> _Cell:
    held = table("reference_electrodes")
    used, wanted = (
        held.exact("potential_V_vs_SHE_25C", electrode_id=one)
        for one in (_CELLS[name], _CELLS[_OPEN_CELL])
    )
    return _Cell(used, wanted, *error_of(name), held.source(electrode_id=_CELLS[name]))


def _salinity(reading: Reading, boat: BoatFile) -> Noted:
    """Return the salinity that counts: any cell but an open one carries its own."""
    if not reading.cell.is_surely(_OPEN_CELL):
        return exact(_SEA_SALINITY, "salinity")
    noted = reading.salinity if reading.salinity.seen else boat.boat.salinity
    return noted if noted.seen else typical_salinity(brackish=boat.boat.water.may_be("brackish"))


def _shift_V(salinity: Any) -> Any:
    """Return how far an open silver chloride cell stands above its value in full seawater."""
    held = np.minimum(np.asarray(salinity, dtype=float), _SEA_SALINITY)
    return table("agcl_salinity_shift").linear("salinity_PSU", "shift_vs_S35_mV", held) / 1000.0


def _refuse(reading: Reading, boat: BoatFile, salinity: Noted) -> None:
    """Raise where a reading cannot be judged."""
    if not reading.potential.seen:
        read = f"the potential at '{reading.id}', with its cell"
        raise CannotJudge("no potential was noted", read)
    if not reading.cell.seen:
        raise CannotJudge(
            f"{reading.potential.text} without its reference cell means nothing: the same metal "
            "reads from -0.9 V to +0.2 V by the cell",
            asked_for(reading, "cell")[1],
        )
    if boat.boat.water.is_surely("fresh"):
        raise CannotJudge("the published ranges are for seawater, and she lies in fresh water")
    try:
        _shift_V(salinity.span[0]), _shift_V(salinity.span[2])
    except TableRangeError as error:
        raise CannotJudge(str(error).rstrip(".")) from None


def _reading(reading: Reading, boat: BoatFile, _basis: str) -> Finding:
    salinity, held = _salinity(reading, boat), ranges_for(boat)
    _refuse(reading, boat, salinity)
    cell = _cell(reading.cell.word)
    question = _asked(reading, boat, salinity, held, cell)
    least = np.asarray([r.least_V for r in held])
    most = np.asarray([r.most_V for r in held])

    def requirement(**given: Any) -> tuple[Any, Any]:
        row = np.asarray(np.rint(given["range"]), dtype=int)
        middle, half = (least[row] + most[row]) / 2, (least[row] - most[row]) / 2
        return np.abs(cell.seawater_V(given) - middle), half

    best_V = float(cell.seawater_V(question.best_values()))
    return question.finding(
        question.rule(requirement, "at most"),
        entry=reading,
        quantity="voltage",
        worst="B",
        statement=lambda _value, _limit: _statement(reading, best_V, held, cell),
        working=_working(reading, best_V, held, cell, float(_shift_V(salinity.span[1]))),
        sources=[*(r.source for r in held), cell.source],
        remedy=_remedy(best_V, held),
        caution=over_words(boat) if any(best_V < r.most_V for r in held) else None,
        notes=_notes(reading, boat, best_V, salinity),
    )


def _asked(
    reading: Reading, boat: BoatFile, salinity: Noted, held: Sequence[Range], cell: _Cell
) -> Question:
    """Return the question of what was read, by how much it errs, and what range is followed."""
    away = _away(reading.potential, held, cell)
    question = Question()
    question.ask("potential_V", reading, "potential", worse=away)
    error = f"{1000 * cell.high_V:.0f} mV either way"
    question.noted(
        "error_V",
        between(cell.low_V, cell.high_V, "potential", best=0.0, text=error),
        entry=reading,
        field="error of the cell",
        worse=away,
        read=f"'{reading.id}' again, with a cell checked against a second one",
    )
    question.noted(
        "salinity",
        salinity,
        entry=reading,
        field="salinity",
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
        read="the range that the builder or the standard in force asks for"
        if boat.boat.hull.seen
        else "the hull's material",
    )
    return question


def _away(noted: Noted, held: Sequence[Range], cell: _Cell) -> _Way:
    """Return the direction away from the middle of every range, where there is only one."""
    middles = [(one.least_V + one.most_V) / 2 for one in held]
    largest_shift = float(np.max(table("agcl_salinity_shift").numbers("shift_vs_S35_mV"))) / 1000
    moved = cell.used_V - cell.wanted_V
    if noted.span[0] + moved + cell.low_V > max(middles):
        return "higher"
    if noted.span[2] + moved + cell.high_V + largest_shift < min(middles):
        return "lower"
    return None


def _other_way(way: _Way) -> _Way:
    """Return the opposite: the shift of an open cell falls as the salinity rises."""
    return None if way is None else "lower" if way == "higher" else "higher"


def _state(best_V: float, one: Range, cell: _Cell) -> str:
    """Say how a reading stands to one range."""
    error = max(-cell.low_V, cell.high_V)
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


def _statement(reading: Reading, best_V: float, held: Sequence[Range], cell: _Cell) -> str:
    where = "" if not reading.shore.seen else f", {reading.shore}"
    read = f"'{reading.id}' reads {reading.potential.text} against {reading.cell}{where}"
    if abs(best_V - reading.potential.span[1]) > 5e-4:
        read += f", {best_V:.3f} V against Ag/AgCl in full seawater"
    parts = [f"{one.words}: {_state(best_V, one, cell)}" for one in held]
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
    reading: Reading, best_V: float, held: Sequence[Range], cell: _Cell, shift_V: float
) -> list[Step]:
    steps = [
        Step(
            "E",
            "reading + cell - Ag/AgCl + salinity",
            f"{reading.potential.span[1]:g} + {cell.used_V:g} - {cell.wanted_V:g} + {shift_V:.3f}",
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


def _called(one: Range, held: Sequence[Range]) -> str:
    """Return who printed a range, and for which hull where that does not tell it."""
    alone = sum(other.by == one.by for other in held) == 1
    return one.by if alone else f"{one.by}, {one.hull}"


def _remedy(best_V: float, held: Sequence[Range]) -> str:
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


def _protected(touched: Metal, best_V: float) -> list[str]:
    """Say whether a fitting has been pulled far enough below its own free potential."""
    if (asked := least_of(touched)) is None:
        return []
    least, by = asked
    keeps = "keeps" if best_V <= least else "misses"
    return [f"'{touched.id}': {keeps} the {least:.2f} V of {by}."]


CHECK = Check(
    name="reading",
    judges="a reference-cell reading against every published range",
    system="metals",
    place=441,
    of="reading",
    ask=_reading,
)
