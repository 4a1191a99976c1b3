"""The devices that protect a size: how small, how large, which listed one, and where it goes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Protection
from elec.calc.cables import placement, sizing
from elec.checks.cables import run_protection
from elec.checks.cables.cable import Cable
from elec.checks.cables.place_rules import FAMILIES, distances_m
from elec.checks.question import Question
from elec.finding import Finding
from elec.published import Source, table

__all__ = ["Protected", "any_device", "protected"]


@dataclass(frozen=True)
class Protected:
    """Least and most rating of a device, a listed one between them, the rule and where it goes."""

    least_A: float
    most_A: float
    rating_A: float | None
    rule: str
    within_m: float
    within_sheathed_m: float
    place_rule: str
    note: str | None = None


def _listed_A(cable: Cable, ampacity_A: Any) -> tuple[Any, Any]:
    """Return the most that a device may be rated, and the largest listed one within, else zero."""
    most = np.asarray(run_protection.rule_of(cable).most_A(ampacity_A), dtype=float)
    listed = np.asarray([0.0, *run_protection.standard_ratings_A(*run_protection.SOLD)])
    place = np.searchsorted(listed, most * (1 + sizing.HOLDS_WITHIN), side="right") - 1
    return most, listed[place]


def any_device(cable: Cable, heat: Finding) -> Finding:
    """Judge whether any listed device both carries the load and protects the size."""
    rule = run_protection.rule_of(cable)
    question = Question()
    total = cable.ask_current(question)
    cable.ask_size(question, area=False)
    cable.ask_insulation(question)
    cable.ask_route(question)
    ruling = question.rule(
        lambda **given: (total(given), _listed_A(cable, cable.ampacity(given))[1]), "at most"
    )
    least, most = (float(_listed_A(cable, end)[0]) for end in (heat.limit.low, heat.limit.high))
    shown = units.show_limit(least, "current", sense="at most") if least > 0 else "nothing"
    if most > least:
        shown += f" to {units.show_limit(most, 'current', sense='at most')}"
    return question.finding(
        ruling,
        check="run-protection",
        entry=cable.run,
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"Run '{cable.run.id}' carries {value}; the largest listed device within the {shown} "
            f"that its cable allows ({rule.words}) is {limit}."
        ),
        sources=[rule.source, table("standard_device_ratings").source()],
        remedy="Fit a larger cable.",
    )


def protected(
    cable: Cable, heat: Finding, from_battery: bool, device: Protection | None = None
) -> Protected:
    """Return which devices protect the size, where they go, and if the one given carries less."""
    most = float(_listed_A(cable, heat.limit.low)[0])
    least = cable.load_A()[2]
    enough = least * (1 - sizing.HOLDS_WITHIN), most * (1 + sizing.HOLDS_WITHIN)
    listed = run_protection.standard_ratings_A(*run_protection.SOLD)
    rating = next((r for r in listed if enough[0] <= r <= enough[1]), None)
    rule = run_protection.rule_of(cable)
    family = FAMILIES[cable.basis.name]
    allowed = placement.allowances(distances_m(family))
    facts = {
        "from_battery": from_battery,
        "charging_source": False,
        "inside_source": False,
        "self_limiting": False,
    }
    bare, covered = (
        placement.place(0.0, allowed=allowed, facts={**facts, "sheathed": sheathed}).most_m
        for sheathed in (False, True)
    )
    return Protected(
        least,
        most,
        rating,
        f"at most {rule.words} ({_where(rule.source)})",
        covered if cable.run.sheathed.is_surely("yes") else bare,
        covered,
        table("ocpd_placement_rules").source(rule_id=family[0]).edition,
        _too_small(device, least),
    )


def _too_small(device: Protection | None, least_A: float) -> str | None:
    if device is None or not device.rating.seen:
        return None
    low, _, high = device.rating.span
    if low >= least_A * (1 - sizing.HOLDS_WITHIN):
        return None
    rated, load = units.show_range(low, high, "current"), units.show(least_A, "current")
    return f"the one given, {rated}, may open in use: the run carries up to {load}"


def _where(source: Source) -> str:
    return ", ".join(filter(None, (source.edition, source.clause)))
