"""What flexible cords are listed to carry, by size, kind and loaded conductors."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import units
from elec.boat.ac_loads import Service
from elec.published import Source, Table, table

__all__ = ["HAND_HELD", "HEAVY", "CordTable", "cord_table", "kinds_of"]

#: The two kinds that the metric table tells apart.
HAND_HELD, HEAVY = 0.0, 1.0
_LEGENDS = {("H03", "H05"): (HAND_HELD,), ("H07", "A07"): (HEAVY,)}


@dataclass(frozen=True)
class CordTable:
    """One table of cords: its size labels and the columns by kind and loaded conductors."""

    of: Table
    labels: tuple[str, ...]
    unit: str
    columns: dict[tuple[float, int], str]

    @property
    def source(self) -> Source:
        """Where its figures are from."""
        return self.of.source()

    def row_of(self, size: units.Size) -> int | None:
        """Return the row of a size, None if it is not listed."""
        label = size.label.split()[0]
        if size.kind != ("mm2" if self.unit == "mm²" else "AWG"):
            return None
        if self.unit == "mm²":
            areas = self.of.numbers("area_mm2")
            same = np.flatnonzero(np.isclose(areas, float(label), rtol=1e-9))
            return int(same[0]) if same.size else None
        return self.labels.index(label) if label in self.labels else None

    def ampacity_A(self, row: Any, loaded: Any, kind: Any) -> Any:
        """Return what a cord carries; where its kind has no figure printed, that of the other."""
        row = np.asarray(np.rint(row), dtype=int)
        by = {key: self.of.numbers(name)[row] for key, name in self.columns.items()}
        three = np.asarray(loaded) > 2.5
        hand, heavy = (np.where(three, by[one, 3], by[one, 2]) for one in (HAND_HELD, HEAVY))
        chosen = np.where(np.asarray(kind) < 0.5, hand, heavy)
        return np.where(np.isnan(chosen), np.where(np.isnan(hand), heavy, hand), chosen)

    def made(self) -> list[int]:
        """Return the rows of sizes that wire is made in: odd gauges are listed, but not sold."""
        if self.unit == "mm²":
            return list(range(len(self.labels)))
        sold = table("nec_ch9_table8_copper_75C").text("size_AWG")
        return [row for row, label in enumerate(self.labels) if label in sold]

    def row_of_rating(self, rated_A: float) -> int | None:
        """Return the smallest size made that carries a rating with two loaded, None if none."""
        label = self.smallest(rated_A, 2)
        return self.labels.index(label.split()[0]) if label else None

    def smallest(self, need_A: float, loaded: int) -> str | None:
        """Return the smallest size made that carries a current (heavier kind), None if none."""
        rows = np.array(self.made())
        enough = rows[self.ampacity_A(rows, loaded, HEAVY) >= need_A * (1 - 1e-9)]
        # sizes run from small to large in one table and from large gauge number in the other
        return f"{self.labels[enough[0]]} {self.unit}" if enough.size else None


def cord_table(service: Service, size: units.Size | None = None) -> CordTable:
    """Return the table of a cord's own size, or of the service where the size was not noted."""
    metric = size.kind == "mm2" if size is not None else service.to_neutral_V > 200
    if metric:
        of = table("flexible_cord_ampacity_mm2")
        columns = {
            (HAND_HELD, 2): "hand_held_two_loaded_A",
            (HAND_HELD, 3): "hand_held_three_loaded_A",
            (HEAVY, 2): "heavy_A",
            (HEAVY, 3): "heavy_A",
        }
        return CordTable(of, of.text("area_mm2"), "mm²", columns)
    of = table("flexible_cord_ampacity")
    two, three = "column_B_two_current_carrying_A", "column_A_three_current_carrying_A"
    columns = {(kind, n): name for kind in (HAND_HELD, HEAVY) for n, name in ((2, two), (3, three))}
    return CordTable(of, of.text("size_AWG"), "AWG", columns)


def kinds_of(legend: str | None) -> tuple[float, ...]:
    """Return the kinds that a cord may be by the legend printed on it."""
    text = (legend or "").upper().replace(" ", "")
    for marks, kinds in _LEGENDS.items():
        if any(mark in text for mark in marks):
            return kinds
    return (HAND_HELD, HEAVY)
