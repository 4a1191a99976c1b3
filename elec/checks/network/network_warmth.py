"""How warm the metal of a run is, by the current in it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from elec.calc.cables import conductors
from elec.checks.cables.cable import Cable
from elec.checks.question import Question

__all__ = ["AS_HOT_AS_RATED", "WARMTH", "possible_mm2", "warmth_of"]

#: A current [A] that brings any cable to the rating of its insulation.
AS_HOT_AS_RATED = 1e9
WARMTH = "the copper of each run as warm as its current makes it, up to its insulation's rating"


def possible_mm2(cable: Cable) -> Any:
    """Return the metal area by row [mm²], the smaller where a size may be of two standards."""
    normal, small = cable.areas_mm2()
    two = cable.run.size.ambiguous or cable.run.size.size is None
    return np.where(np.isfinite(small), small, normal) if two else normal


def warmth_of(cable: Cable) -> Callable[[Any, Any], Any]:
    """Return the function from area [mm²] and current [A] to the temperature of the metal [°C].

    The steady one, at the hardest of what is not settled of insulation and route; at most the
    rating, for past it the law is not followed and the run fails by its ampacity.
    """
    question = Question()
    cable.ask_insulation(question)
    cable.ask_route(question)
    given = question.worst_values()
    first, last = question.ends("insulation")
    columns = np.arange(round(first), round(last) + 1)
    rated = np.asarray(cable.basis.insulation_C, dtype=float)[columns]
    factor = cable.derating({**given, "insulation": columns})
    ambient = float(np.asarray(cable.ambient_C(given)))
    areas = possible_mm2(cable)
    rows = np.flatnonzero(np.isfinite(areas))
    areas, listed = areas[rows], cable.parallel * cable.basis.ampacity_A[rows][:, columns]
    most = np.maximum(rated, ambient)

    def temperature_C(area_mm2: Any, current_A: Any) -> Any:
        # the row of the next smaller listed size
        place = np.searchsorted(areas, np.asarray(area_mm2) * (1 + 1e-9), side="right") - 1
        ampacity = listed[np.maximum(place, 0)] * factor
        holds = (ampacity > 0) & (ambient < rated)
        steady = conductors.conductor_temperature_C(
            np.abs(np.asarray(current_A))[..., None],
            ampacity_A=np.where(holds, ampacity, 1.0),
            ambient_C=np.minimum(ambient, rated - 1.0),
            rated_C=rated,
        )
        metal = np.where(holds, np.minimum(steady, most), most)
        return np.where(np.isnan(ampacity), ambient, metal).max(axis=-1)

    return temperature_C
