"""A sized run as JSON."""

from __future__ import annotations

import json
from typing import Any

from elec.checks.sizing.cable_size import Sizing

__all__ = ["as_json"]


def as_json(sizing: Sizing, asked: dict[str, Any]) -> str:
    """Return the JSON document of the command."""
    chosen, judged = sizing.chosen, sizing.judged
    document = {
        "basis": sizing.cable.basis.name,
        "asked": asked,
        "conductors_in_parallel": sizing.cable.parallel,
        "chosen": None
        if chosen is None
        else {"size": chosen.size, "area_mm2": chosen.area_mm2, "governs": sizing.governs},
        "candidates": [candidate.as_dict() for candidate in sizing.candidates],
        "judged": None if judged is None else judged.as_dict(),
        "protection": None if sizing.protection is None else sizing.protection.as_dict(),
        "longest_m": sizing.longest_m,
        "most_current_A": sizing.most_current_A,
        "to_fit": None if sizing.to_fit is None else _to_fit(sizing),
        "printed_resistance": None if sizing.printed is None else sizing.printed.as_dict(),
        "findings": [finding.as_dict() for finding in sizing.findings],
        "not_checked": [item.as_dict() for item in sizing.not_checked],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _to_fit(sizing: Sizing) -> dict[str, Any]:
    """Return what to buy: size, insulation, conductor of both ways, and its protection."""
    assert sizing.chosen is not None
    assert sizing.to_fit is not None
    return {
        "size": sizing.chosen.size,
        "insulation_least_C": sizing.cable.least_rated_C(),
        "length_one_way_m": sizing.cable.length.span[2],
        "conductor_m": 2 * sizing.cable.parallel * sizing.cable.length.span[2],
        "protection": sizing.to_fit.as_dict(),
    }
