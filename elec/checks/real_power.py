"""The real power of loads on a source: watts, not volt-amperes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from elec import noted
from elec.boat.ac_loads import AcDraw, Service
from elec.boat.typical import power, scaled
from elec.checks.leg_load import Counted, LegLoad
from elec.noted import Noted

__all__ = ["in_phase", "watts", "watts_of"]

_PHASES = 3**0.5


def in_phase(draws: Sequence[AcDraw]) -> list[AcDraw]:
    """Return loads with the part of their current that is in phase: watts over volts."""
    return [replace(one, current=_in_phase(one)) for one in draws]


def _in_phase(one: AcDraw) -> Noted:
    load = one.load
    known = load.power if load.power.seen else power(load) if one.in_watts else None
    if known is not None:
        per_volt = 1 / one.rated_V / (_PHASES if load.legs == "all" else 1.0)
        return scaled(known, per_volt, per_volt, "current")
    factor = one.power_factor
    if one.current.origin != "typical" and factor.origin != "typical":
        low, best, high = factor.span
        if low == high:
            return scaled(one.current, low, high, "current")
    (low, best, high), (least, likely, most) = one.current.span, factor.span
    sources = [v.source for v in (one.current, factor) if v.origin == "typical"]
    return noted.between(
        low * least,
        high * most,
        "current",
        origin="typical" if sources else "range",
        source=f"{one.current.text} at its power factor, {', '.join(sources)}",
        text=one.current.text,
        best=best * likely,
    )


def watts(load: LegLoad, given: dict[str, Any]) -> Any:
    """Return the real power of what runs, of loads brought in by `in_phase`."""
    return sum((watts_of(load, c, given) for c in load.counted), np.asarray(0.0))


def watts_of(load: LegLoad, counted: Counted, given: dict[str, Any]) -> Any:
    """Return the real power of one of them."""
    return load.one_A(counted, given) * _across_V(counted.one, load.service)


def _across_V(one: AcDraw, service: Service) -> float:
    """Return the volts that a load sits on, times the root of three where it is three-phase."""
    if len(one.legs) < 2 or service.between_legs_V is None:
        return service.to_neutral_V if one.legs else one.rated_V
    return service.between_legs_V * (_PHASES if len(one.legs) == 3 else 1.0)
