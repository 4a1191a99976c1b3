"""What is worked out of metals in contact beside the findings: how sure, how fast, on one bond."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from elec.boat.records import BoatFile, Couple
from elec.checks.metals import named_metals
from elec.checks.metals.corrosion_constants import Span
from elec.checks.metals.couple_rates import Rates, rates
from elec.checks.metals.couple_sides import sides_of
from elec.checks.metals.named_metals import Named, Pair, Yardstick
from elec.checks.metals.salt_water import Water, water_of
from elec.checks.metals.stray_current import stray_loss
from elec.noted import Noted, exact
from elec.published import Source

__all__ = ["pair_value", "values"]

_ONE = exact(1.0, "surface")


def values(
    boat: BoatFile, metals: Sequence[Named], by: Yardstick | None, *, rated: bool
) -> tuple[dict[str, Any], list[Source]]:
    """Return what is worked out of all metals and couples, and the tables behind it.

    Parameters
    ----------
    boat : BoatFile
        The metals and their couples. [-]
    metals : sequence of Named
        The same metals on their yardstick. [-]
    by : Yardstick, optional
        The yardstick; fresh water has none. [-]
    rated : bool
        Whether rates are carried, of a square metre of each where no surfaces were noted. [-]

    Returns
    -------
    dict and list of Source
        In the JSON form. [-]

    Raises
    ------
    InputError
        If the water lies outside what the formulas hold for.
    """
    water = None
    if by and not by.air:
        water = water_of(boat.boat.water.word, boat.boat.salinity, boat.boat.water_temperature)
    pairs, sources = [], [*named_metals.sources_of(*metals), *([by.limit_source] if by else [])]
    for couple in boat.couple if by else ():
        pair, behind = _couple_value(couple, boat, water if rated else None)
        pairs.append(pair)
        sources += behind
    found = {
        "yardstick": by
        and {"words": by.words, "series": by.series or None, "cell": by.cell or None},
        "salinity": _noted(water.salinity, "g/kg") if water else None,
        "temperature": _noted(water.temperature, "°C") if water else None,
        "pairs": pairs,
        "bond": _bond_value(boat, metals, water) if water and rated else None,
        "stray": _stray_values(boat),
    }
    return found, sources


def pair_value(pair: Pair) -> dict[str, Any]:
    """Return the JSON form of a pair, without a rate."""
    return {
        "a": pair.a.name,
        "b": pair.b.name,
        "smallest_V": pair.smallest_V,
        "largest_V": pair.largest_V,
        "limit_V": pair.limit_V,
        "verdict": pair.verdict,
        "wastes": pair.wastes.name if pair.wastes else None,
        "sure": pair.sure,
    }


def _couple_value(
    couple: Couple, boat: BoatFile, water: Water | None
) -> tuple[dict[str, Any], tuple[Source, ...]]:
    sides = sides_of(couple, boat)
    pair = sides.pair
    areas = [entry.area for entry in sides.entries if entry and entry.area.seen]
    equal = len(areas) < 2
    rate = None
    if water and pair.wastes:
        rate = rates(sides.both, areas=[_ONE, _ONE] if equal else areas, water=water)
    found = pair_value(pair) | {
        "rate": _rate(rate, 0 if pair.direction < 0 else 1),
        "direction_only": rate.open or None if rate else None,
        "equal_surfaces": equal,
    }
    return found, rate.sources if rate else ()


def _bond_value(boat: BoatFile, metals: Sequence[Named], water: Water) -> dict[str, Any] | None:
    """Return all the metals on one bond, if they are more than two of noted surfaces."""
    areas = [metal.area for metal in boat.metal if metal.area.seen]
    if not 2 < len(areas) == len(metals):
        return None
    solved = rates(metals, areas=areas, water=water)
    if solved.open:
        return {"direction_only": solved.open}
    each = [{"name": metal.name, **(_rate(solved, i) or {})} for i, metal in enumerate(metals)]
    return {"potential": _three(solved.bond_V, "V"), "metals": each}


def _stray_values(boat: BoatFile) -> list[dict[str, Any]]:
    """Return what a stray direct current takes off each metal that it leaves."""
    found = []
    for metal in boat.metal:
        if metal.stray.seen:
            loss = stray_loss(metal.stray.span[1], metal.metal)
            found.append(
                {
                    "metal": metal.metal,
                    "current_A": metal.stray.span[1],
                    "kg_per_year": {"low": loss[0], "high": loss[1]} if loss else None,
                    "as": loss[2] if loss else None,
                }
            )
    return found


def _rate(rate: Rates | None, wasting: int) -> dict[str, Any] | None:
    if rate is None or rate.open:
        return None
    return {
        "current": _three(rate.driven_A[wasting], "A"),
        "cathode_limited": _three(rate.law_A, "A") if rate.law_A else None,
        "loss": _three(rate.mm_per_year[wasting], "mm/year"),
        "mass": _three(rate.kg_per_year[wasting], "kg/year"),
    }


def _three(span: Span, unit: str) -> dict[str, Any]:
    return {"low": span[0], "best": span[1], "high": span[2], "unit": unit}


def _noted(value: Noted, unit: str) -> dict[str, Any]:
    return _three(value.span, unit) | {"noted": value.origin not in ("typical", "not seen")}
