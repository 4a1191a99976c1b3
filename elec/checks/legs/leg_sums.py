"""Everything on an inlet, by leg and in the neutral, as numbers for other programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from elec.boat.ac_loads import AcDraw, Service
from elec.boat.records import BoatFile, Inlet
from elec.calc import ac
from elec.calc.ac import neutral, together
from elec.checks.legs.dock_volts import drawn_A
from elec.checks.legs.leg_draws import leg_draws
from elec.checks.legs.running import draws_of
from elec.noted import Noted

__all__ = ["leg_sums", "neutral_of", "neutral_sums"]

_TWO_LEGS = {"split-phase": "120/240 V", "wye two legs": "120/208 V two legs"}
_ENDS = ("low", "best", "high")


def _span(low: float, best: float, high: float) -> dict[str, Any]:
    values = (low, min(max(best, low), high), high)
    return dict(zip(_ENDS, values, strict=True)) | {"unit": "A"}


def _best(
    draws: Sequence[AcDraw], service: Service, supply: Noted | None, system: str
) -> ac.LegCurrents:
    """Return the phasor sums at best values; a load of unknown leg is shared by all legs."""
    amps, factors, leads, ways = [], [], [], []
    for one in draws:
        best = drawn_A(one, service, supply)[1]
        if len(one.legs) == 3:
            between = ["three-phase"]
        elif len(one.legs) == 2:
            between = ["-".join(one.legs)]
        else:
            between = [f"{leg}-N" for leg in one.legs or service.legs]
        for way in between:
            ways.append(way)
            amps.append(best / len(between))
            factors.append(one.power_factor.span[1])
            leads.append(one.leads)
    return ac.leg_currents_A(
        amps or [0.0],
        connection=ways or ["L1-N"],
        system=system,
        power_factor=factors or [1.0],
        leading=leads or [False],
    )


def leg_sums(boat: BoatFile, inlet: Inlet, service: Service) -> dict[str, Any]:
    """Return low, best and high of each leg, everything on; a load of unknown leg may be on any.

    By phasors, over the power factors that each load may have.
    """
    draws = draws_of(boat, inlet, service)
    every = leg_draws(draws, service, inlet.supply)
    none = every.only([])
    low, high = together.carried_A(
        every.low, high_A=every.high, always_low_A=none.low, always_high_A=none.high
    )
    best = _best(draws, service, inlet.supply, service.system).phasor_A
    return {
        leg: _span(float(low[place]), float(best[place]), float(high[place]))
        for place, leg in enumerate(service.legs)
    }


def neutral_sums(boat: BoatFile, inlet: Inlet, service: Service) -> dict[str, Any] | None:
    """Return low, best and high of the neutral, everything on, by what the dock may give.

    None where there is one leg.
    """
    draws = draws_of(boat, inlet, service)
    systems = _TWO_LEGS if service.system in _TWO_LEGS else {service.system: inlet.service.text}
    if len(service.legs) < 2:
        return None
    return {
        name: _span(*neutral_of(draws, service, inlet.supply, system))
        for system, name in systems.items()
    }


def neutral_of(
    draws: Sequence[AcDraw], service: Service, supply: Noted | None, system: str
) -> tuple[float, float, float]:
    """Return low, best and high of the neutral of loads that run together.

    Over the power factors that each may have, the legs that it may be on, and third harmonics as
    noted.
    """
    loads = []
    for one in draws:
        if len(one.legs) > 1:
            continue
        least, _, most = drawn_A(one, service, supply)
        low, _, high = one.power_factor.span
        third = one.load.third_harmonic
        loads.append(
            neutral.NeutralLoad(
                low_A=0.0 if one.perhaps or not one.legs else least,
                high_A=most,
                legs=one.legs or service.legs,
                power_factor_low=low,
                power_factor_high=high,
                leading=one.leads,
                third_harmonic=third.span[2] if third.seen else 0.0,
            )
        )
    least, most = neutral.neutral_bounds_A(loads, system=system)
    return least, float(np.max(_best(draws, service, supply, system).neutral_A)), most
