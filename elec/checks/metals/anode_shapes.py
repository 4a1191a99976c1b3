"""The published shapes of anodes, their resistance to water, and the current that they give."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np

from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.metals.anode_alloys import closed_circuit, driving_V
from elec.checks.metals.corrosion_constants import Span, constant
from elec.checks.metals.salt_water import water_of
from elec.errors import InputError
from elec.published import Source, table

__all__ = [
    "Dimensions",
    "Shape",
    "outputs",
    "resistances",
    "resistivity_of",
    "shape_as_measured",
    "shape_of",
    "use_of",
    "worn_resistances",
]


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


def shape_as_measured(anode: Anode) -> Shape | None:
    """Return the published shape that it goes by, if it was measured."""
    sizes = (anode.length, anode.width, anode.thickness)
    if not anode.mount.seen or not all(size.seen for size in sizes):
        return None
    length, width, thickness = (size.span[1] for size in sizes)
    standoff = anode.standoff.span[0] if anode.standoff.seen else None
    return shape_of(Dimensions(anode.mount.word, length, width, thickness, standoff))


def use_of(shape: Shape | None) -> tuple[Span, Source]:
    """Return the share of it that can be used: of its shape, or of any."""
    if shape:
        return (shape.utilization,) * 3, shape.source
    return _utilizations(), table("anode_utilization").source()


def _utilizations() -> Span:
    """Return the least, middle and greatest share of an anode that a design may use."""
    values = table("anode_utilization").numbers("utilization_factor")
    return float(values.min()), float(np.median(values)), float(values.max())


def resistivity_of(boat: BoatFile) -> Span:
    """Return the resistivity of the water, measured or by its salt and warmth [ohm·m]."""
    about = boat.boat
    if about.water_resistivity.seen:
        return about.water_resistivity.span
    if about.water.is_surely("fresh"):
        raise InputError(
            "the resistivity of fresh water is not known.",
            remedy="Give its resistivity as measured, for example 20 ohm·m.",
        )
    return water_of(about.water.text, about.salinity, about.water_temperature).resistivity


def resistances(shape: Shape, boat: BoatFile) -> Span:
    """Return the resistance to water of one when new [ohm]."""
    low, best, high = (float(shape.resistance_ohm(rho)) for rho in resistivity_of(boat))
    return low, best, high


def worn_resistances(anode: Anode, shape: Shape, boat: BoatFile) -> Span | None:
    """Return the resistance of one at the end of its life, if its core was measured [ohm]."""
    if not (anode.core.seen and anode.mass.seen):
        return None

    def worn(end: int, rho: float) -> float:
        return float(
            _worn_resistance_ohm(
                shape,
                material=anode.material.word,
                net_mass_kg=anode.mass.span[end],
                core_radius_m=anode.core.span[end],
                resistivity_ohm_m=rho,
            )
        )

    low, best, high = resistivity_of(boat)
    return worn(2, low), worn(1, best), worn(0, high)


def _worn_resistance_ohm(
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


def outputs(anode: Anode, resistance: Span) -> Span:
    """Return the current of one onto steel that is protected, by every published potential [A]."""
    found = sorted(
        float(cathodic.anode_output_A(driving_V(volts), resistance_ohm=ohm))
        for ohm, (volts, _) in product(resistance, closed_circuit(anode.material.word))
    )
    return found[0], found[len(found) // 2], found[-1]
