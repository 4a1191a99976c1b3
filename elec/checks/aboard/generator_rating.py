"""What a generator gives: its kVA and kW, less what heat and height take."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.possible import possible, typical
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
    low, high, source = possible("power factor of a generator")
    least, _, most = one.power.span
    source = f"{one.power.text} at a power factor from {source}"
    return typical(least / high, most / low, "apparent_power", source, best=least / high)


def ask_rating(question: Question, one: Generator) -> None:
    """Add its kVA, and the air and height that it works in."""
    kVA = apparent_of(one)
    question.noted("rating_VA", kVA, entry=one, field="apparent_power", worse="lower")
    ask_air(question, one)


def ask_air(question: Question, one: Generator) -> None:
    """Add the air at its intake and the height above the sea."""
    question.ask("air_C", one, "intake", worse="higher")
    if one.altitude.seen:
        question.ask("altitude_m", one, "altitude", worse="higher")
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
