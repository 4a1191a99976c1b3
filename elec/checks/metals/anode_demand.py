"""What an anode has to carry: the current that its surface takes, and for how long."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from elec import units
from elec.boat.possible import typical
from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.metals.corrosion_constants import Span, constant
from elec.checks.question import Question
from elec.errors import InputError, TableRangeError
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["Demand", "When", "ask_current", "asked_life", "demand", "demand_of", "hull_surface"]

When = Literal["initial", "mean", "final"]
_HULLS = {"steel": "painted steel boat hull", "aluminium": "painted aluminium boat hull"}


@dataclass(frozen=True)
class Demand:
    """Current density that a surface takes, paint counted in: new, on the mean, at the end."""

    initial_A_per_m2: Span
    mean_A_per_m2: Span
    final_A_per_m2: Span
    words: str
    sources: tuple[Source, ...]


def asked_life(anode: Anode) -> Noted:
    """Return the time it is to last, noted or as the trade has it."""
    if anode.life.seen:
        return anode.life
    name = "time that an anode is to last"
    hours = units.to_base(constant(name)[0], "year", "life")
    return typical(hours, hours, "life", f"table corrosion_constants, {name}")


def demand_of(anode: Anode, boat: BoatFile) -> Demand | None:
    """Return what a square metre takes: noted, by its coating, or as a painted hull does.

    None where the current itself was noted, or nothing is published.
    """
    if anode.current.seen:
        return None
    if anode.current_density.seen:
        span = anode.current_density.span
        return Demand(span, span, span, "as noted", ())
    if not anode.coating.seen:
        return _of_hull(boat.boat.hull.text)
    warmth = boat.boat.water_temperature
    return _between(
        boat.boat.hull.text,
        anode.coating.word,
        life_h=asked_life(anode).span[1],
        temperatures_C=(warmth.span[0], warmth.span[2])
        if warmth.seen
        else constant("temperature of the water"),
    )


def ask_current(
    question: Question, anode: Anode, demand: Demand | None, when: When
) -> Callable[[Mapping[str, Any]], Any]:
    """Add what the surface takes when new, on the mean or at the end; return its current [A]."""
    if demand is None:
        question.ask("current_A", anode, "current", worse="higher")
        return lambda given: np.asarray(given["current_A"])
    density = anode.current_density
    if not density.seen:
        low, best, high = getattr(demand, f"{when}_A_per_m2")
        source = f"table {demand.sources[0].table}, {demand.words}"
        density = typical(low, high, "current_density", source, best)
    question.ask("area_m2", anode, "area", worse="higher")
    question.noted("density", density, entry=anode, field="current_density", worse="higher")
    return lambda given: cathodic.current_demand_A(
        given["area_m2"], current_density_A_per_m2=given["density"]
    )


def _of_hull(hull: str) -> Demand | None:
    """Return what a painted boat hull of a metal takes, where it is published."""
    surface = _HULLS.get(hull)
    if surface is None:
        return None
    held = table("current_density_ships_boats")
    rows = [row for row in held.rows() if row["surface"] == surface]
    low = min(float(row["low_mA_per_m2"]) for row in rows) / 1000
    high = max(float(row["high_mA_per_m2"]) for row in rows) / 1000
    span = (low, (low + high) / 2, high)
    keys = {name: rows[0][name] for name in ("surface", "condition", "source")}
    return Demand(span, span, span, surface, (held.source(**keys),))


def demand(hull: str, coating: str, *, life_h: float, temperature_C: float) -> Demand:
    """Return what a surface takes, by the table that its coating belongs to.

    Parameters
    ----------
    hull : str
        "steel" or "aluminium". [text]
    coating : str
        A boat's paint, a durability of ABS, a category of DNV, or "bare". [text]
    life_h : float
        Time over which the coating breaks down. [h]
    temperature_C : float
        Water, for the climate of the offshore tables. [°C]

    Returns
    -------
    Demand
        Current densities and their source. [A/m²]
    """
    if coating == "painted":
        found = _of_hull(hull)
        if found is None:
            raise InputError(
                f"no current density is published for a painted hull of {hull}.",
                remedy="Give --current-density, or --hull steel or aluminium.",
            )
        return found
    if hull != "steel":
        raise InputError(
            f"coating '{coating}' is printed for steel only.",
            remedy="For aluminium give '--coating painted' or --current-density.",
        )
    if coating in ("I", "II", "III", "IV"):
        return _offshore(coating, life_h, temperature_C)
    return _ship(coating, life_h)


def _between(
    hull: str, coating: str, *, life_h: float, temperatures_C: tuple[float, float]
) -> Demand:
    """Return what a surface takes in any water from the coldest to the warmest."""
    cold, warm = (demand(hull, coating, life_h=life_h, temperature_C=one) for one in temperatures_C)
    if cold.mean_A_per_m2 == warm.mean_A_per_m2:
        return cold

    def over(when: str) -> Span:
        spans: list[Span] = [getattr(one, f"{when}_A_per_m2") for one in (cold, warm)]
        low, high = min(span[0] for span in spans), max(span[2] for span in spans)
        return low, (low + high) / 2, high

    words = f"{cold.words} to {warm.words.rpartition(', ')[2]}"
    return Demand(over("initial"), over("mean"), over("final"), words, cold.sources)


def _offshore(category: str, life_h: float, temperature_C: float) -> Demand:
    climate = _climate(temperature_C)
    held = table("dnv_b401_current_density")
    zone = {"zone": "0 to 30 m", "climate": climate}
    coat = table("coating_breakdown").row(category=category, zone="0 to 30 m")
    share = cathodic.coating_breakdown(
        float(coat["a_low"]), rate_per_year=float(coat["b_low_per_year"]), time_h=life_h
    )
    spans = []
    for when in ("initial", "mean", "final"):
        density = held.exact(f"{when}_A_per_m2", **zone)
        one = float(
            cathodic.current_demand_A(
                1.0, current_density_A_per_m2=density, breakdown=getattr(share, when)
            )
        )
        spans.append((one, one, one))
    return Demand(
        spans[0],
        spans[1],
        spans[2],
        f"steel coated to category {category}, {climate}",
        (held.source(), table("coating_breakdown").source(category=category, zone="0 to 30 m")),
    )


def _climate(temperature_C: float) -> str:
    """Return the climate of a surface water; between two printed bands, the harder of the two."""
    held = table("dnv_b401_current_density").where(zone="0 to 30 m").rows()
    warmest_first = sorted(held, key=lambda row: -float(row["surface_temp_low_C"] or -9e9))
    for row in warmest_first:
        if temperature_C >= float(row["surface_temp_low_C"] or -9e9):
            return row["climate"]
    raise TableRangeError(f"no climate is printed for {temperature_C:g} °C")


def _ship(coating: str, life_h: float) -> Demand:
    held = table("current_density_ships_boats")
    rows = [
        row
        for row in held.rows()
        if row["surface"] == "bare steel" and row["condition"].startswith("up to 1 m/s")
    ]
    bare = (
        min(float(row["low_mA_per_m2"]) for row in rows) / 1000,
        max(float(row["high_mA_per_m2"]) for row in rows) / 1000,
    )
    sources = [
        held.source(**{name: row[name] for name in ("surface", "condition", "source")})
        for row in rows[:1]
    ]
    shares = [(1.0, 1.0, 1.0)] * 2
    words = "bare steel at rest"
    if coating != "bare":
        name = {"category": f"{coating} durability", "zone": "hull"}
        coat = table("coating_breakdown").row(**name)
        both = [
            cathodic.coating_breakdown(
                float(coat[f"a_{end}"]),
                rate_per_year=float(coat[f"b_{end}_per_year"]),
                time_h=life_h,
            )
            for end in ("low", "high")
        ]
        shares = [(float(b.initial), float(b.mean), float(b.final)) for b in both]
        sources.append(table("coating_breakdown").source(**name))
        words = f"steel hull with paint of {coating} durability, at rest"
    spans = []
    for i in range(3):
        low, high = bare[0] * shares[0][i], bare[1] * shares[1][i]
        spans.append((low, (low + high) / 2, high))
    return Demand(spans[0], spans[1], spans[2], words, tuple(sources))


def hull_surface(form: str, *, waterline: Noted, beam: Noted, draught: Noted) -> Noted:
    """Return the wetted surface of a hull by the printed rule for its form."""
    held = table("hull_wetted_area")
    if form not in held.text("hull_form"):
        raise InputError(
            f"'{form}' is no form of hull known.",
            remedy=f"Accepted: {', '.join(held.text('hull_form'))}.",
        )
    row = held.row(hull_form=form)
    low, high = (
        float(
            cathodic.wetted_area_m2(
                waterline.span[place],
                beam_m=beam.span[place],
                draught_m=draught.span[place],
                bottom_factor=float(row[f"bottom_factor_{end}"]),
                side_factor=float(row[f"side_factor_{end}"]),
            )
        )
        for place, end in ((0, "low"), (2, "high"))
    )
    source = f"table hull_wetted_area, {form}"
    return typical(low, high, "surface", source)
