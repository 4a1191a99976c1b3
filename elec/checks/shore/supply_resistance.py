"""Resistance from the dock to where two voltages were read: its drop and heat at the rating."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Inlet
from elec.calc import ac
from elec.checks.cables.impedance import impedance_of
from elec.checks.question import Question
from elec.checks.shore.cord_size import cords_of
from elec.checks.shore.inlet_rating import ask_rating
from elec.errors import TableRangeError
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "supply-resistance"
CHECKS = (CHECK,)
_READINGS = {
    "no_load_V": ("no_load_voltage", "voltage without the load"),
    "loaded_V": ("loaded_voltage", "voltage with the load"),
    "added_A": ("loaded_current", "current of the load"),
}


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every inlet at which a voltage was read without and with a load."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for inlet in boat.inlet:
        given = [getattr(inlet, field) for field, _ in _READINGS.values()]
        if all(one.seen for one in given):
            findings.append(_judge(boat, inlet))
        elif any(one.seen for one in given):
            missing = [w for f, w in _READINGS.values() if not getattr(inlet, f).seen]
            reason = f"of the readings without and with load, not noted: {', '.join(missing)}"
            read = f"volts at '{inlet.id}' without and with a load, and its current"
            skipped.append(NotChecked(CHECK, inlet.id, reason, inlet.where, read))
    return findings, skipped


def _judge(boat: BoatFile, inlet: Inlet) -> Finding:
    question = Question()
    for name, (field, words) in _READINGS.items():
        question.noted(name, getattr(inlet, field), entry=inlet, field=words, worse=None)
    sources = ask_rating(question, inlet)
    advice = table("voltage_drop_limits")
    limit = advice.exact("max_drop_pct", instrument="NEC", circuit="feeder plus branch") / 100

    def ohms(given: dict[str, Any]) -> Any:
        # readings whose ranges overlap may be of no drop at all
        loaded = np.minimum(given["loaded_V"], given["no_load_V"])
        return ac.supply_resistance_ohm(
            given["no_load_V"], loaded_V=loaded, added_current_A=given["added_A"]
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        share = ohms(given) * given["rating_A"] / given["no_load_V"]
        return share, limit + 0.0 * share

    ruling = question.rule(requirement, "at most")
    best = {name: float(value) for name, value in question.best_values().items()}
    whole = float(ohms(best))
    rating = best["rating_A"]
    cords, said = _cords_ohm(boat, inlet)
    rest = max(whole - cords, 0.0)
    notes = ["A load between line and neutral reads leg and neutral, one between legs both legs."]
    if not said:
        notes.append("Size or length of its cord is not known: what is the cord's own is open.")
    return question.finding(
        ruling,
        check=CHECK,
        entry=inlet,
        sense="at most",
        quantity="percentage",
        worst="B",
        statement=lambda value, limit: (
            f"From dock to inlet '{inlet.id}', by volts read without and with load: at its rating "
            f"{value} of the voltage is lost; advice on land is {limit}."
        ),
        working=[
            Step(
                "R",
                "(V without - V with) / I added",
                f"({best['no_load_V']:g} - {best['loaded_V']:g}) / {best['added_A']:g}",
                whole,
                "ohm",
                "circuit theory",
            ),
            *([Step("R cord", said, "", cords, "ohm")] if said else []),
            Step(
                "P",
                "I² R at the rating, apart from the cord" if said else "I² R at the rating",
                f"{rating:g}² x {rest:.4g}",
                rating**2 * rest,
                "W",
                "circuit theory",
            ),
        ],
        sources=[*sources, advice.source(instrument="NEC", circuit="feeder plus branch")],
        remedy="Read the volts on both sides of pedestal, plug, inlet and breaker under load: the "
        f"part that loses most gives off most of {units.show(rating**2 * rest, 'power')} at the "
        "rating. Renew that contact; until then run less.",
        caution="Feel plug and inlet with the back of the hand under load: a hot contact is a "
        "fire, and no breaker acts on it.",
        notes=notes,
    )


def _cords_ohm(boat: BoatFile, inlet: Inlet) -> tuple[float, str]:
    """Return the resistance of an inlet's cords there and back, and of what it was summed."""
    total, names = 0.0, []
    for cord in cords_of(inlet, boat):
        if cord.size.size is None or not cord.length.seen:
            return 0.0, ""
        try:
            ohms = impedance_of(cord.size.size)
        except TableRangeError:
            return 0.0, ""
        total += 2 * cord.length.span[1] * ohms.R_ohm_per_m
        names.append(f"'{cord.id}'")
    return total, f"of {' and '.join(names)}, there and back" if names else ""
