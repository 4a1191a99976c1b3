"""The real power of loads on a source: watts, not volt-amperes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from elec.boat.ac_loads import AcDraw, Service
from elec.boat.possible import possible, typical
from elec.boat.records import Entry
from elec.boat.typical import power, scaled
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.leg_unknowns import Counted, few
from elec.checks.question import Question, Worse
from elec.noted import Noted

__all__ = ["across_V", "ask_unread", "in_phase", "is_unread", "watts", "watts_of"]

_PHASES = 3**0.5


def in_phase(draws: Sequence[AcDraw]) -> list[AcDraw]:
    """Return loads with the part of their current that is in phase: watts over volts.

    Those whose power factor was not read keep all of it: `ask_unread` brings that in.
    """
    return [replace(one, current=_in_phase(one)) for one in draws]


def _watts_of_plate(one: AcDraw) -> Noted | None:
    load = one.load
    return load.power if load.power.seen else power(load) if one.in_watts else None


def _in_phase(one: AcDraw) -> Noted:
    known = _watts_of_plate(one)
    if known is not None:
        per_volt = 1 / one.rated_V / (_PHASES if one.load.legs.is_surely("all") else 1.0)
        return scaled(known, per_volt, per_volt, "current")
    factor = one.power_factor
    if factor.origin == "typical":
        return one.current
    low, best, high = factor.span
    found = scaled(one.current, low, high, "current")
    return replace(found, best=one.current.span[1] * best)


def is_unread(one: AcDraw) -> bool:
    """Whether the power factor of a load is wanted for its watts, and was not read."""
    return _watts_of_plate(one) is None and one.power_factor.origin == "typical"


def ask_unread(question: Question, entry: Entry, load: LegLoad, *, worse: Worse) -> None:
    """Add one power factor for all loads whose own was not read."""
    unread = [repr(c.one.load.id) for c in load.counted if is_unread(c.one)]
    if not unread:
        question.exact("unread_factor", 1.0)
        return
    low, high, source = possible("power factor not read")
    question.noted(
        "unread_factor",
        typical(low, high, "ratio", source, best=high),
        entry=entry,
        field="power factor of what runs, where it was not read",
        worse=worse,
        read=f"power factor on the plates of {few(unread)}",
    )


def watts(load: LegLoad, given: dict[str, Any]) -> Any:
    """Return the real power of what runs, of loads brought in by `in_phase`."""
    return sum((watts_of(load, c, given) for c in load.counted), np.asarray(0.0))


def watts_of(load: LegLoad, counted: Counted, given: dict[str, Any]) -> Any:
    """Return the real power of one of them."""
    factor = given["unread_factor"] if is_unread(counted.one) else 1.0
    return load.one_A(counted, given) * across_V(counted.one, load.service) * factor


def across_V(one: AcDraw, service: Service) -> float:
    """Return the volts that a load sits on, times the root of three where it is three-phase."""
    if len(one.legs) < 2 or service.between_legs_V is None:
        return service.to_neutral_V if one.legs else one.rated_V
    return service.between_legs_V * (_PHASES if len(one.legs) == 3 else 1.0)
