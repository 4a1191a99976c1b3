"""What a generator gives: its kVA and kW, less what heat and height take."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import noted
from elec.boat.ac_loads import practice
from elec.boat.records import Generator
from elec.calc.ac import motors
from elec.checks.question import Question
from elec.noted import Noted
from elec.published import Table, table

__all__ = ["apparent_of", "ask_air", "ask_rating", "derated_VA", "engine_factor"]


def apparent_of(one: Generator) -> Noted:
    """Return its kVA, noted or from its kW at a power factor not read."""
    if one.apparent_power.seen:
        return one.apparent_power
    low, high, source = practice("power factor of a generator")
    least, _, most = one.power.span
    return noted.between(
        least / high,
        most / low,
        "apparent_power",
        origin="typical",
        source=f"{one.power.text} at a power factor from {source}",
        text="not seen",
        best=least / high,
    )


def ask_rating(question: Question, one: Generator) -> None:
    """Add its kVA, and the air and height that it works in."""
    question.noted(
        "rating_VA",
        apparent_of(one),
        entry=one,
        field="kVA",
        worse="lower",
        read=f"kVA and power factor on the plate of '{one.id}'",
    )
    ask_air(question, one)


def ask_air(question: Question, one: Generator) -> None:
    """Add the air at its intake and the height above the sea."""
    low, high, source = practice("air at a generator's intake")
    air = one.intake
    if not air.seen:
        air = noted.between(
            low,
            high,
            "temperature",
            origin="typical",
            source=source,
            text="not seen",
            best=min(40.0, high),
        )
    question.noted(
        "air_C",
        air,
        entry=one,
        field="air at its intake",
        worse="higher",
        read=f"the air at the intake of '{one.id}' after an hour at full load",
    )
    if one.altitude.seen:
        question.noted("altitude_m", one.altitude, entry=one, field="altitude", worse="higher")
    else:
        question.exact("altitude_m", 0.0)


def derated_VA(given: dict[str, Any]) -> Any:
    """Return what is left of the rating at the intake's air and altitude."""
    return motors.derated_VA(
        given["rating_VA"],
        ambient_factor=_left(table("alternator_derate_ambient"), "ambient_C", given["air_C"]),
        altitude_factor=_left(
            table("alternator_derate_altitude"), "altitude_m", given["altitude_m"]
        ),
    )


def engine_factor(given: dict[str, Any]) -> Any:
    """Return the share of its kW that the engine still gives, by two published sets."""
    return _left(table("engine_derate_ambient"), "ambient_C", given["air_C"]) * _left(
        table("engine_derate_altitude"), "altitude_m", given["altitude_m"]
    )


def _left(factors: Table, key: str, value: Any) -> Any:
    """Return the factor at a value; below the first row the rating stands."""
    return factors.linear(key, "factor", np.maximum(value, float(factors.numbers(key).min())))
