"""Sums of sacrificial anodes from the published tables: demand, capacity, shape, output."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec.calc.metals import cathodic
from elec.checks.metals.corrosion_constants import Span, constant
from elec.errors import InputError, TableRangeError
from elec.noted import Noted, between
from elec.published import READ, Source, table

__all__ = [
    "COATINGS",
    "Demand",
    "Dimensions",
    "Shape",
    "capacities",
    "capacity",
    "closed_circuit",
    "demand",
    "demand_between",
    "density_of_hull",
    "driving_V",
    "hull_surface",
    "renew_at",
    "shape_of",
    "utilizations",
    "worn_resistance_ohm",
]

#: How a surface may be coated: a category of DNV, a durability of ABS, a boat's paint, or none.
COATINGS = ("bare", "painted", "low", "medium", "high", "I", "II", "III", "IV")
_HULLS = {"steel": "painted steel boat hull", "aluminium": "painted aluminium boat hull"}


def renew_at() -> tuple[float, Source]:
    """Return the share gone at which an anode is renewed."""
    name = "share gone at which an anode is renewed"
    return constant(name)[0], table("corrosion_constants").source(name=name)


# -- the alloy --------------------------------------------------------------------------------


def _alloys(material: str) -> list[dict[str, str]]:
    """Return the rows of a material in cool seawater; low-voltage alloys are another thing."""
    rows = [
        row
        for row in table("anode_materials").rows()
        if row["material"] == material
        and row["environment"].startswith("sea")
        and "60" not in row["environment"]
        and "80" not in row["environment"]
        and "low voltage" not in row["alloy"]
    ]
    if not rows:
        known = ", ".join(dict.fromkeys(table("anode_materials").text("material")))
        raise InputError(f"'{material}' is no anode metal known.", remedy=f"Accepted: {known}.")
    return rows


def _row_source(row: dict[str, str]) -> Source:
    keys = {name: row[name] for name in ("alloy", "source", "environment")}
    return table("anode_materials").source(**keys)


def _sources(rows: Sequence[dict[str, str]]) -> tuple[Source, ...]:
    sources = [_row_source(row) for row in rows]
    return tuple(sorted(dict.fromkeys(sources), key=lambda s: -READ.index(s.read)))


def capacity(material: str) -> tuple[Span, tuple[Source, ...]]:
    """Return the charge a kilogram gives over all published design values [Ah/kg].

    Best is that of the newest DNV edition where it prints one, else the least.
    """
    rows = [row for row in _alloys(material) if row["capacity_Ah_per_kg"]]
    values = [float(row["capacity_Ah_per_kg"]) for row in rows]
    newest = [v for v, row in zip(values, rows, strict=True) if "2021" in row["source"]]
    return (min(values), newest[0] if newest else min(values), max(values)), _sources(rows)


def capacities(material: str) -> list[tuple[float, str]]:
    """Return what each source prints [Ah/kg], with its edition."""
    rows = [row for row in _alloys(material) if row["capacity_Ah_per_kg"]]
    found = [(float(row["capacity_Ah_per_kg"]), row["source"]) for row in rows]
    return list(dict.fromkeys(found))


def closed_circuit(material: str) -> list[tuple[float, Source]]:
    """Return the working potentials printed, each with its edition [V, Ag/AgCl seawater]."""
    found: dict[float, Source] = {}
    for row in _alloys(material):
        for end in ("least", "most"):
            cell = row[f"closed_circuit_{end}_negative_V_AgAgCl"]
            if cell:
                found.setdefault(float(cell), _row_source(row))
    return sorted(found.items())


# -- what the surface takes --------------------------------------------------------------------


@dataclass(frozen=True)
class Demand:
    """Current density that a surface takes, paint counted in: new, on the mean, at the end."""

    initial_A_per_m2: Span
    mean_A_per_m2: Span
    final_A_per_m2: Span
    words: str
    sources: tuple[Source, ...]


def density_of_hull(hull: str) -> Demand | None:
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
        One of ``COATINGS``. [text]
    life_h : float
        Time over which the coating breaks down. [h]
    temperature_C : float
        Water, for the climate of the offshore tables. [°C]

    Returns
    -------
    Demand
        Current densities and their source. [A/m²]
    """
    if coating not in COATINGS:
        raise InputError(f"'{coating}' is no coating known.", remedy=f"Accepted: {_listed()}.")
    if coating == "painted":
        found = density_of_hull(hull)
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


def demand_between(
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


def _listed() -> str:
    return ", ".join(COATINGS)


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
    return between(low, high, "surface", origin="typical", source=source)


# -- the shape ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Dimensions:
    """An anode as measured [m]; ``mount`` is flush or stand-off."""

    mount: str
    length_m: float
    width_m: float
    thickness_m: float
    standoff_m: float | None = None


@dataclass(frozen=True)
class Shape:
    """The published shape an anode goes by, and what it gives."""

    formula_id: str
    words: str
    utilization: float
    dimensions: Dimensions
    source: Source

    def resistance_ohm(self, resistivity_ohm_m: Any) -> Any:
        """Return the resistance to water of one anode when new."""
        d = self.dimensions
        if self.formula_id == "R_FLUSH":
            return cathodic.long_flush_resistance_ohm(
                resistivity_ohm_m,
                length_m=d.length_m,
                width_m=d.width_m,
                thickness_m=d.thickness_m,
            )
        if self.formula_id == "R_AREA":
            seen = d.length_m * d.width_m + 2 * d.thickness_m * (d.length_m + d.width_m)
            return cathodic.other_shape_resistance_ohm(resistivity_ohm_m, exposed_area_m2=seen)
        radius = cathodic.equivalent_radius_m(2 * (d.width_m + d.thickness_m))
        slender = (
            cathodic.long_slender_resistance_ohm
            if self.formula_id == "R_LONG"
            else cathodic.short_slender_resistance_ohm
        )
        return (
            slender(resistivity_ohm_m, length_m=d.length_m, radius_m=radius) * self.close_factor()
        )

    def close_factor(self) -> Any:
        """Return the factor of an anode that stands close to the hull."""
        standoff = self.dimensions.standoff_m
        if standoff is None:
            raise InputError(
                "the distance of a stand-off anode from the hull was not given.",
                remedy="Give it, for example 'standoff = \"0.20 m\"'.",
            )
        return cathodic.standoff_factor(
            standoff,
            full_m=constant("stand-off that needs no factor")[0],
            closest_m=constant("least stand-off of the slender formulas")[0],
            close_factor=constant("factor on resistance at a close stand-off")[0],
        )


def driving_V(closed_circuit_V: Any) -> Any:
    """Return the voltage that drives current onto steel that is protected."""
    protected = constant("potential at which steel is protected by design")[0]
    return cathodic.driving_voltage_V(closed_circuit_V, protected_V=protected)


def shape_of(dimensions: Dimensions) -> Shape:
    """Return the published shape that an anode goes by."""
    d = dimensions
    if d.mount == "flush":
        long = d.length_m * (1 + 1e-9) >= 4 * max(d.width_m, d.thickness_m)
        formula = "R_FLUSH" if long else "R_AREA"
    else:
        radius = float(cathodic.equivalent_radius_m(2 * (d.width_m + d.thickness_m)))
        formula = "R_LONG" if d.length_m >= 4 * radius else "R_SHORT"
    held = table("anode_utilization")
    row = next(r for r in held.rows() if r["resistance_formula_id"] == formula)
    return Shape(
        formula,
        row["anode_type"],
        float(row["utilization_factor"]),
        dimensions,
        held.source(anode_type=row["anode_type"]),
    )


def utilizations() -> Span:
    """Return the least, middle and greatest share of an anode that a design may use."""
    values = table("anode_utilization").numbers("utilization_factor")
    return float(values.min()), float(np.median(values)), float(values.max())


def worn_resistance_ohm(
    shape: Shape, *, material: str, net_mass_kg: float, core_radius_m: float, resistivity_ohm_m: Any
) -> Any:
    """Return the resistance of a slender anode at the end of its life, its share used up."""
    if shape.formula_id not in ("R_LONG", "R_SHORT"):
        raise InputError(
            f"the end of life of a {shape.words} anode is not printed as a formula here.",
            remedy="Leave the core out, or give a stand-off anode.",
        )
    metals = {row["metal"]: row["density_g_per_cm3"] for row in table("faraday_rates").rows()}
    length = shape.dimensions.length_m * constant("length left of a slender anode at its end")[0]
    radius = cathodic.final_radius_m(
        net_mass_kg,
        length_m=length,
        utilization=shape.utilization,
        density_g_per_cm3=float(metals[material]),
        core_radius_m=core_radius_m,
    )
    slender = (
        cathodic.long_slender_resistance_ohm
        if length >= 4 * float(radius)
        else cathodic.short_slender_resistance_ohm
    )
    return slender(resistivity_ohm_m, length_m=length, radius_m=radius) * shape.close_factor()
