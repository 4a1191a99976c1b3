"""Sizes one above the other, with their metal as AWG or metric and as SAE."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec.checks.basis import Basis, area_mm2
from elec.published import table
from elec.units import Size, to_base

__all__ = ["Ladder", "ladder_of", "sae_mm2"]


@dataclass(frozen=True)
class Ladder:
    """Sizes, smallest first: names, rows in the ampacity table, metal in both standards."""

    labels: tuple[str, ...]
    rows: Any
    normal_mm2: Any
    small_mm2: Any


def ladder_of(sizes: Sequence[Size], basis: Basis, *, sae: bool, parallel: int = 1) -> Ladder:
    """Return sizes with the rows by which a basis judges them; ``sae`` if all are marked so.

    Metal is that of all conductors in ``parallel``.
    """
    own = parallel * np.asarray([area_mm2(size) for size in sizes])
    small = parallel * np.asarray([sae_mm2(size) for size in sizes])
    small = np.where(np.isfinite(small), small, own)
    rows = np.asarray([basis.size_rows(size)[0] for size in sizes])
    return Ladder(tuple(size.label for size in sizes), rows, small if sae else own, small)


def sae_mm2(size: Size) -> float:
    """Return the least area of a gauge number marked SAE, NaN if none is listed; else its own."""
    if size.kind != "AWG":
        return area_mm2(size)
    listed = table("conductor_area_awg_sae")
    if size.number not in listed.text("size"):
        return float("nan")
    return to_base(listed.exact("SAE_min_area_cmil", size=size.number), "cmil", "area")
