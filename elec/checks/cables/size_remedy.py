"""The smallest change that lets a run pass both on heat and on drop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from elec.checks.cables.cable import Cable
from elec.checks.cables.run_asked import Asked, drop_asked, heat_asked
from elec.published import table

__all__ = ["remedy"]

#: Insulation that any chandler sells; hotter columns are named only where this is not enough.
_USUAL_C = 105


def remedy(cable: Cable, heat: Asked, drop: Asked | None) -> str | None:
    """Return the smallest size, or the least insulation, that holds on all counts at once.

    None for a range of sizes, and for a size that is only tried.
    """
    size = cable.run.size.size
    if size is None or cable.tried:
        return None
    asked = [heat] if drop is None else [heat, drop]

    def hold(row: int, **replaced: float) -> bool:
        return all(one.holds(row=float(row), **replaced) for one in asked)

    own, rows = cable.own_row(), _rows(cable)
    if cable.outside:
        if own:
            return "No listed size is as large: shorten the run or divide the load."
        rows = rows[1:]  # the first stands for its own metal
    labels = [cable.size_words(label) for label in cable.basis.size_labels]
    fits = next((row for row in rows if hold(row)), None)
    if fits is not None and fits <= own:
        return None
    better = None
    if not cable.outside:
        better = _insulation(cable, heat, lambda column: hold(own, insulation=float(column)))
    larger = None if fits is None else f"it with {labels[fits]} or larger of the same insulation"
    if better is not None:
        words = f"rated {better} °C or more"
        if not heat.question.settled("insulation"):
            reading = f"Read the insulation: {words}, {cable.size_words()} is enough."
            return f"{reading} Else replace {larger or f'it with cable {words}'}."
        if larger is None:
            return f"Replace it with {cable.size_words()} cable whose insulation is {words}."
    if fits is not None:
        return f"Fit {labels[fits]} or larger, of the same insulation rating and route."
    usual = _usual_column(cable)
    hotter = next((row for row in rows if hold(row, insulation=float(usual))), None)
    if hotter is not None:
        rating = cable.basis.insulation_C[usual]
        return f"Fit {labels[hotter]} or larger, with insulation rated {rating} °C or more."
    return _beyond(cable, rows, heat, drop, usual)


def _rows(cable: Cable) -> list[int]:
    """Return the rows for which a metal area is known, smallest first.

    Of conductors in parallel, those of the least size that may be.
    """
    normal, small = cable.areas_mm2()
    areas = small if cable.run.size.ambiguous and not cable.wire else normal
    least = 0.0
    if cable.parallel > 1:
        laid = table("minimum_conductor_size")
        least = laid.exact("least_area_mm2", basis=cable.basis.name, where_used="in parallel")
    enough = np.round(cable.basis.area_mm2, 2) >= least
    return [int(row) for row in np.flatnonzero(np.isfinite(areas) & enough)]


def _usual_column(cable: Cable) -> int:
    usual, rating = cable.basis.insulation_C.index(_USUAL_C), cable.rating()
    if not rating.seen:
        return usual
    return max(usual, cable.basis.insulation_column(rating.span[0])[0])


def _insulation(cable: Cable, heat: Asked, hold: Callable[[int], bool]) -> int | None:
    """Return the least listed insulation rating at which the size it has holds."""
    low = round(heat.question.ends("insulation")[0])
    for column in range(low, len(cable.basis.insulation_C)):
        if hold(column):
            return cable.basis.insulation_C[column]
    return None


def _beyond(cable: Cable, rows: list[int], heat: Asked, drop: Asked | None, column: int) -> str:
    largest = cable.size_words(cable.basis.size_labels[rows[-1]])
    ways = ["divide the load"]
    hardest = {"row": float(rows[-1]), "insulation": float(column)}
    if drop is not None and not drop.holds(**hardest):
        ways += ["shorten the run", "raise the voltage"]
    more = _one_more(cable, drop is not None, column)
    ways += [more] if more else []
    words = " or ".join(filter(None, [", ".join(ways[:-1]), ways[-1]]))
    unseen = heat.question.typical or (drop is not None and drop.question.typical)
    enough = "sure to be enough" if unseen else "enough"
    return f"No listed size up to {largest} is {enough}: {words}."


def _one_more(cable: Cable, direct: bool, column: int) -> str:
    """Return the smallest size of which one conductor more in parallel is enough, in words."""
    more = {"conductors_in_parallel": cable.parallel + 1}
    wider = replace(cable, run=cable.run.model_copy(update=more))
    asks = [heat_asked(wider), *([drop_asked(wider)] if direct else [])]
    for row in _rows(wider):
        if all(one.holds(row=float(row), insulation=float(column)) for one in asks):
            label = wider.size_words(cable.basis.size_labels[row])
            rating = cable.basis.insulation_C[column]
            return f"run {label} or larger, of {rating} °C and alike in length and ends"
    return ""
