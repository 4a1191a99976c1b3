"""The volts that a dock gives, between legs and to neutral, and what a load draws on them."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.ac_loads import AcDraw, Service
from elec.boat.possible import typical
from elec.calc import ac
from elec.noted import Noted
from elec.published import remembered, table

__all__ = [
    "SAME_V",
    "TWO_LEGS",
    "at_V",
    "band",
    "between_legs",
    "drawn_A",
    "supply_of",
    "systems",
    "to_neutral_V",
    "turns_V",
    "volts_of",
]

_WYE = "wye two legs"
#: What a dock may give on a service of two legs: the same receptacle serves both.
TWO_LEGS = ("split-phase", _WYE)
_ROOT3 = 3**0.5
#: Rows of the published limits of supply volts that are taken for services of their volts.
_OWN = ("comar_120", "comar_208", "comar_240", "iec_230")
_AMERICAN_V = 200.0
#: Volts that differ by less are the same: 120 V to neutral is 208 V, 230 V is 400 V, as named.
SAME_V = 0.005


def systems(service: Service, supply: Noted | None) -> tuple[str, ...]:
    """Return the systems that may feed a service: two legs may be of split phase or of a wye."""
    if supply is None or not supply.seen:
        return (service.system,)
    return supply_of(service, supply)


@remembered
def turns_V() -> tuple[float, float]:
    """Return the most between two legs of a wye, and the least of split phase."""
    limits = table("supply_voltage_limits")
    return (
        float(limits.exact("max_LL_V", rule_id="comar_208")),
        float(limits.exact("min_LL_V", rule_id="comar_240")),
    )


def to_neutral_V(service: Service, supply_V: Any, wye: Any) -> Any:
    """Return the volts to neutral at those by which a supply is named.

    ``wye`` says what two legs are of where their volts may be of either.
    """
    if len(service.legs) == 1:
        return supply_V
    if len(service.legs) == 3:
        return supply_V / _ROOT3
    wye_to, split_from = turns_V()
    of_wye = np.where(supply_V <= wye_to, True, np.where(supply_V >= split_from, False, wye > 0.5))
    return supply_V / np.where(of_wye, _ROOT3, 2.0)


def between_legs(one: AcDraw, service: Service) -> bool:
    """Whether a load is on the volts between legs, its legs known or not."""
    if len(service.legs) == 1 or one.between_legs:
        return len(service.legs) > 1
    return not one.legs and one.rated_V > 1.4 * service.to_neutral_V


def volts_of(one: AcDraw, service: Service, supply: Noted | None) -> tuple[Any, float]:
    """Return volts that a load may get, those of its least and greatest current among them.

    And the likeliest. Nominal where those of the supply were not noted.
    """
    across = between_legs(one, service)
    if supply is None or not supply.seen:
        volts = service.supply_V if across else service.to_neutral_V
        return np.array([volts]), volts
    low, best, high = supply.span
    ends = np.array([low, high])
    if across or len(service.legs) != 2:
        volts_of_ends = ends if across else to_neutral_V(service, ends, 0.0)
        return volts_of_ends, float(best if across else to_neutral_V(service, best, 0.0))
    wye_to, split_from = turns_V()
    found = []
    if low < split_from:
        found += [low / _ROOT3, min(high, split_from) / _ROOT3]
    if high > wye_to:
        found += [max(low, wye_to) / 2, high / 2]
    own = float(service.system == _WYE)
    return np.array(found), float(to_neutral_V(service, best, own))


def drawn_A(one: AcDraw, service: Service, supply: Noted | None) -> tuple[float, float, float]:
    """Return least, best and greatest current of a load, all pieces, at the volts of a supply."""
    volts, likeliest = volts_of(one, service, supply)
    if np.all(volts == one.rated_V):
        least, best, most = (amps * one.load.count for amps in one.current.span)
        return least, best, most
    span = np.array(one.current.span) * one.load.count
    ways = _ways(one, span[:, None], np.append(volts, likeliest))
    drawn = np.array(ways)
    return float(drawn[:, 0].min()), float(ways[0][1, -1]), float(drawn[:, 2].max())


def at_V(one: AcDraw, current_A: Any, volts: Any, share: Any) -> Any:
    """Return the current of a load off its rated volts.

    ``share`` runs from the least to the greatest that a load of unread behaviour may draw.
    """
    ways = _ways(one, current_A, volts)
    if len(ways) == 1:
        return ways[0]
    least, most = np.minimum(*ways), np.maximum(*ways)
    return least + share * (most - least)


def _ways(one: AcDraw, current_A: Any, volts: Any) -> list[Any]:
    """Return what a load draws by each behaviour that it may have, the likeliest first."""
    behaviours = [one.behaviour, "resistance"] if one.behaviour_open else [one.behaviour]
    ways = [
        ac.current_at_supply_A(current_A, rated_V=one.rated_V, supply_V=volts, behaviour=way)
        for way in behaviours
    ]
    same = abs(np.asarray(volts) / one.rated_V - 1) <= SAME_V
    return [ways[0], *(np.where(same, ways[0], way) for way in ways[1:])]


def band(service: Service) -> Noted:
    """Return the published limits of the supply of a service, between legs or on one leg."""
    limits = table("supply_voltage_limits")
    many = len(service.legs) > 1
    across = service.between_legs_V if service.to_neutral_V < _AMERICAN_V and many else None
    (row,) = [
        r
        for r in limits.rows()
        if r["rule_id"] in _OWN
        and float(r["nominal_LN_V"]) == service.to_neutral_V
        and (float(r["nominal_LL_V"]) if r["nominal_LL_V"] else None) == across
    ]
    ends = [float(row[f"{end}_{'LL' if across else 'LN'}_V"]) for end in ("min", "max")]
    low, high = (end * (_ROOT3 if many and not across else 1.0) for end in ends)
    best = min(max(service.supply_V, low), high)
    return typical(low, high, "voltage", f"table supply_voltage_limits, {row['instrument']}", best)


def supply_of(service: Service, supply: Noted) -> tuple[str, ...]:
    """Return the supplies that a dock may give on a service of two legs, by its voltage."""
    if service.system not in TWO_LEGS:
        return (service.system,)
    if not supply.seen:
        return TWO_LEGS
    low, _, high = supply.span
    wye_to, split_from = turns_V()
    wye, split = low <= wye_to, high >= split_from
    if wye == split:
        return TWO_LEGS
    return (TWO_LEGS[1],) if wye else (TWO_LEGS[0],)
