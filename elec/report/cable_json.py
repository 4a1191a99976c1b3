"""A sized run as JSON."""

from __future__ import annotations

from typing import Any

from elec.checks.sizing.cable_size import Sizing
from elec.json_form import as_json as plain
from elec.report.json_text import written

__all__ = ["as_json"]


def as_json(sizing: Sizing, asked: dict[str, Any]) -> str:
    """Return the JSON document of the command."""
    chosen = sizing.chosen
    document = {
        "basis": sizing.cable.basis.name,
        "asked": asked,
        "conductors_in_parallel": sizing.cable.parallel,
        "chosen": chosen
        and {"size": chosen.size, "area_mm2": chosen.area_mm2, "governs": sizing.governs},
        "candidates": sizing.candidates,
        "judged": sizing.judged,
        "protection": sizing.protection,
        "longest_m": sizing.longest_m,
        "most_current_A": sizing.most_current_A,
        "to_fit": sizing.to_fit and _to_fit(sizing),
        "printed_resistance": sizing.printed,
        "findings": sizing.findings,
        "not_checked": sizing.not_checked,
    }
    return written(plain(document))


def _to_fit(sizing: Sizing) -> dict[str, Any]:
    """Return what to buy: size, insulation, conductor of both ways, and its protection."""
    assert sizing.chosen is not None
    length = sizing.cable.length.span[2]
    return {
        "size": sizing.chosen.size,
        "insulation_least_C": sizing.cable.least_rated_C(),
        "length_one_way_m": length,
        "conductor_m": 2 * sizing.cable.parallel * length,
        "protection": sizing.to_fit,
    }
