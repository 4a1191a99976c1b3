"""Direct current that leaves a metal into the water, and what it takes off it."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import BoatFile, Metal
from elec.calc.metals import faraday
from elec.checks.cannot import CannotJudge
from elec.checks.metals import named_metals
from elec.checks.metals.couple_rates import ends_words, equivalent, rates_limit
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import table

__all__ = ["CHECK", "stray_loss"]


def stray_loss(current_A: float, name: str) -> tuple[float, float, str] | None:
    """Return what a direct current takes off a metal in a year, least and most [kg], and of what.

    Nothing where no equivalent weight is held.
    """
    held = [equivalent(metal_id) for metal_id in named_metals.metal_ids(name)]
    known = [one for one in held if one is not None]
    if not known or len(known) < len(held):
        return None
    lost = [
        float(faraday.mass_rate_kg_per_year(current_A, equivalent_weight_g=weight))
        for weight, _, _ in known
    ]
    return min(lost), max(lost), ", ".join(dict.fromkeys(words for _, _, words in known))


def _strayed(boat: BoatFile) -> list[Metal]:
    return [metal for metal in boat.metal if metal.stray.seen]


def _stray(metal: Metal, _boat: BoatFile, _basis: str) -> Finding:
    loss = stray_loss(metal.stray.span[1], metal.metal)
    takes = f" It takes {ends_words(loss[0], loss[1], 'kg')} a year." if loss else ""
    leaves = metal.stray.show()
    if not metal.area.seen:
        raise CannotJudge(
            f"{leaves} leaves it into the water, on a surface not noted.{takes}",
            f"the bare wetted surface of '{metal.id}', and which circuit feeds the current",
        )
    limit, source = rates_limit()
    question = Question()
    question.ask("current_A", metal, "stray", worse="higher")
    question.ask("area_m2", metal, "area", worse="lower")
    question.exact("limit_A_per_m2", limit)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["current_A"]) / given["area_m2"], given["limit_A_per_m2"]

    return question.finding(
        question.rule(requirement, "at most"),
        entry=metal,
        quantity="current_density",
        worst="A",
        statement=lambda value, most: (
            f"{leaves} of direct current leaves '{metal.id}' into the water, {value} of its "
            f"surface; metals in contact pass by measurement at {most}.{takes}"
        ),
        working=[_mass(*loss)] if loss else [],
        sources=[source, table("metal_equivalents").source()],
        remedy="Find the circuit whose switching moves it, and cure its leak to the water.",
        caution="A fitting can be eaten through in days: a through-hull lets the sea in.",
    )


def _mass(least: float, most: float, of: str) -> Step:
    numbers = ends_words(least, most, "kg/year")
    return Step("mass", "I EW t / F", numbers, most, "kg/year", f"Faraday, {of}")


CHECK = Check(
    name="stray-current",
    judges="direct current that leaves a metal into the water",
    system="metals",
    place=412,
    of=_strayed,
    ask=_stray,
)
