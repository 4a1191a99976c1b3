"""What each load draws on each leg, least and greatest, as phasors where its power factor is known.

A load of unknown leg may give all of its current to any leg, or nothing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.boat.ac_loads import AcDraw, Service
from elec.calc.ac.together import Draws
from elec.checks.legs.dock_volts import drawn_A, systems
from elec.noted import Noted

__all__ = ["LegDraws", "known_angles", "leg_draws", "within_right_angle"]

_SHIFT = math.pi / 6


@dataclass(frozen=True)
class LegDraws:
    """The least and the greatest that loads draw on each leg."""

    low: Draws
    high: Draws

    def only(self, rows: Sequence[int]) -> LegDraws:
        """Return those of some of the loads."""
        return LegDraws(self.low.only(rows), self.high.only(rows))

    @property
    def settled(self) -> bool:
        """Whether every current is known, and its power factor."""
        known = np.array_equal(self.low.phasor_A, self.high.phasor_A)
        return known and not self.low.any_A.any() and not self.high.any_A.any()


def _turn_rad(one: AcDraw, leg: str) -> float:
    """Return how far the voltage of a load is ahead of that of its leg in a wye.

    The volts between two legs of a wye are 30° ahead of the one leg and 30° behind the other.
    """
    if len(one.legs) != 2:
        return 0.0
    return _SHIFT if leg == one.legs[0] else -_SHIFT


def known_angles(
    draws: Sequence[AcDraw], service: Service, supply: Noted | None
) -> dict[tuple[str, str], float] | None:
    """Return how far each current is ahead of its leg, by load and leg.

    None where one of them is not known, or where all are alike, so that amperes add.
    """
    wye = {"wye" in name for name in systems(service, supply)}
    # a service of split phase on two legs of a wye, or perhaps so: amperes are added
    unlike = len(wye) > 1 or wye != {"wye" in service.system}
    found = {}
    for one in draws:
        factor = one.load.power_factor
        low, _, high = factor.span if factor.seen else (0.0, 0.0, 1.0)
        if low != high or not one.legs or (unlike and len(one.legs) == 2):
            return None
        lag = math.acos(min(low, 1.0))
        for leg in one.legs:
            turn = _turn_rad(one, leg) if True in wye else 0.0
            found[one.load.id, leg] = turn + (lag if one.leads else -lag)
    return found if len({round(angle, 9) for angle in found.values()}) > 1 else None


def within_right_angle(angles: Mapping[tuple[str, str], float]) -> bool:
    """Whether on no leg one load can take anything away from another."""
    by_leg: dict[str, list[float]] = {}
    for (_, leg), angle in angles.items():
        by_leg.setdefault(leg, []).append(angle)
    return all(max(some) - min(some) <= math.pi / 2 for some in by_leg.values())


def leg_draws(draws: Sequence[AcDraw], service: Service, supply: Noted | None) -> LegDraws:
    """Return the least and the greatest that each load gives each leg."""
    shape = (len(draws), len(service.legs))
    low, high = (np.zeros(shape, dtype=np.complex128) for _ in range(2))
    low_any, high_any = (np.zeros(shape) for _ in range(2))
    wye = ["wye" in name for name in systems(service, supply)]
    vars_add = not any(wye) and not any(one.leads for one in draws)
    arcs: list[list[tuple[float, float]]] = [[] for _ in service.legs]
    for row, one in enumerate(draws):
        least, _, most = drawn_A(one, service, supply)
        worst, _, best = one.power_factor.span
        far, near = math.acos(min(worst, 1.0)), math.acos(min(best, 1.0))
        lag = (near, far) if one.leads else (-far, -near)
        for column, leg in enumerate(service.legs):
            if one.legs and leg not in one.legs:
                continue
            turns = [_turn_rad(one, leg) if is_wye else 0.0 for is_wye in wye]
            arc = (lag[0] + min(turns), lag[1] + max(turns))
            on = bool(one.legs) and not one.perhaps
            if arc[1] - arc[0] < 1e-9:
                high[row, column] = most * np.exp(1j * arc[0])
                low[row, column] = least * np.exp(1j * arc[0]) * on
                continue
            high_any[row, column] = most
            if vars_add and one.in_watts:
                # Watts are given, and vars only lag: least with the fewest vars.
                low[row, column] = least * np.exp(-1j * near) * on
                continue
            arcs[column].append(arc)
            low_any[row, column] = least * on
    return LegDraws(
        Draws(low, low_any, _widest(arcs)), Draws(high, high_any, np.zeros((shape[1], 2)))
    )


def _widest(arcs: Sequence[Sequence[tuple[float, float]]]) -> npt.NDArray[np.float64]:
    """Return for each leg the arc that holds all of its own."""
    return np.array(
        [
            [min(a for a, _ in some), max(b for _, b in some)] if some else [0.0, 0.0]
            for some in arcs
        ]
    )
