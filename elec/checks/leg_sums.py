"""Everything on an inlet, by leg and in the neutral, as numbers for other programs."""

from __future__ import annotations

from typing import Any

from elec.boat.ac_loads import Service
from elec.boat.records import BoatFile, Inlet
from elec.checks.leg_load import LegLoad, draws_of
from elec.checks.load_card import by_leg
from elec.checks.question import Question

__all__ = ["leg_sums", "neutral_sums"]

_TWO_LEGS = {"split-phase": "120/240 V", "wye two legs": "120/208 V two legs"}


def _load(boat: BoatFile, inlet: Inlet, service: Service) -> LegLoad:
    draws = draws_of(boat, inlet, service)
    return LegLoad(
        Question(),
        entry=inlet,
        service=service,
        draws=draws,
        conditions=(),
        supply=inlet.supply,
    )


def leg_sums(boat: BoatFile, inlet: Inlet, service: Service) -> dict[str, Any]:
    """Return low, best and high of each leg, everything on; a load of unknown leg may be on any.

    At best such a load is shared by all legs.
    """
    load = _load(boat, inlet, service)
    draws = [c.one for c in load.counted]
    low, high = (part.sum(axis=0) for part in by_leg(draws, service, inlet.supply))
    best, adrift = _everything(load)
    return {
        leg: {
            "low": float(low[place]),
            "best": best[leg] + adrift / len(service.legs),
            "high": float(high[place]),
            "unit": "A",
        }
        for place, leg in enumerate(service.legs)
    }


def _everything(load: LegLoad) -> tuple[dict[str, float], float]:
    given = load.best_values() | {"together": 1.0}
    legs, adrift = load.by_leg(given)
    return {leg: float(value) for leg, value in legs.items()}, float(adrift)


def neutral_sums(boat: BoatFile, inlet: Inlet, service: Service) -> dict[str, Any] | None:
    """Return the neutral at best values, power factors as noted, by what the dock may give.

    None where a load's leg is not known, or there is one leg.
    """
    load = _load(boat, inlet, service)
    if load.floating or len(service.legs) < 2:
        return None
    given = load.best_values() | {"together": 1.0}
    systems = _TWO_LEGS if service.system in _TWO_LEGS else {service.system: inlet.service}
    return {
        name: {"best": float(load.phasor_neutral_A(given, system)), "unit": "A"}
        for system, name in systems.items()
    }
