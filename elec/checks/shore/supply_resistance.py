"""Resistance from the dock to where two voltages were read: its drop and heat at the rating."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Inlet
from elec.calc import ac
from elec.checks.cables.impedance import impedance_of
from elec.checks.cannot import CannotJudge
from elec.checks.question import Question, asked_for
from elec.checks.registry import Check
from elec.checks.shore.cord_size import cords_of
from elec.checks.shore.inlet_rating import ask_rating
from elec.errors import TableRangeError
from elec.finding import Finding, Step
from elec.published import table

_READINGS = {
    "no_load_V": "no_load_voltage",
    "loaded_V": "loaded_voltage",
    "added_A": "loaded_current",
}
_ADVICE = {"instrument": "NEC", "circuit": "feeder plus branch"}


def _resistance(inlet: Inlet, boat: BoatFile, _basis: str) -> Finding | None:
    """Judge an inlet at which a voltage was read without and with a load."""
    missing = [f for f in _READINGS.values() if not getattr(inlet, f).seen]
    if len(missing) == len(_READINGS):
        return None
    if missing:
        words = ", ".join(asked_for(inlet, field)[0] for field in missing)
        read = f"volts at '{inlet.id}' without and with a load, and its current"
        raise CannotJudge(f"of the readings without and with load, not noted: {words}", read)
    return _judge(boat, inlet)


def _judge(boat: BoatFile, inlet: Inlet) -> Finding:
    question = Question()
    for name, field in _READINGS.items():
        question.ask(name, inlet, field, worse=None)
    sources = ask_rating(question, inlet)
    advice = table("voltage_drop_limits")
    limit = advice.exact("max_drop_pct", **_ADVICE) / 100

    def ohms(given: dict[str, Any]) -> Any:
        # readings whose ranges overlap may be of no drop at all
        loaded = np.minimum(given["loaded_V"], given["no_load_V"])
        return ac.supply_resistance_ohm(
            given["no_load_V"], loaded_V=loaded, added_current_A=given["added_A"]
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        return ohms(given) * given["rating_A"] / given["no_load_V"], limit

    ruling = question.rule(requirement, "at most")
    best = {name: float(value) for name, value in question.best_values().items()}
    whole = float(ohms(best))
    cords, said = _cords_ohm(boat, inlet)
    rest_W = best["rating_A"] ** 2 * max(whole - cords, 0.0)
    notes = ["A load between line and neutral reads leg and neutral, one between legs both legs."]
    if not said:
        notes.append("Size or length of its cord is not known: what is the cord's own is open.")
    return question.finding(
        ruling,
        entry=inlet,
        quantity="percentage",
        worst="B",
        statement=lambda value, limit: (
            f"From dock to inlet '{inlet.id}', by volts read without and with load: at its rating "
            f"{value} of the voltage is lost; advice on land is {limit}."
        ),
        working=_working(best, whole, cords, said),
        sources=[*sources, advice.source(**_ADVICE)],
        remedy="Read the volts on both sides of pedestal, plug, inlet and breaker under load: the "
        f"part that loses most gives off most of {units.show(rest_W, 'power')} at the "
        "rating. Renew that contact; until then run less.",
        caution="Feel plug and inlet with the back of the hand under load: a hot contact is a "
        "fire, and no breaker acts on it.",
        notes=notes,
    )


def _working(best: dict[str, float], whole: float, cords: float, said: str) -> list[Step]:
    rating, rest = best["rating_A"], max(whole - cords, 0.0)
    return [
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
    ]


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


CHECK = Check(
    name="supply-resistance",
    judges="resistance from the dock, from volts read without and with a load",
    system="shore power",
    place=221,
    of="inlet",
    ask=_resistance,
)
