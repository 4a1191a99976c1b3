"""What an anode has to carry, and what it has to carry it with: as noted, or as published."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any, Literal

import numpy as np

from elec import units
from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.metals import anode_sums
from elec.checks.metals.anode_sums import Demand, Dimensions, Shape
from elec.checks.metals.corrosion_constants import Span, constant
from elec.checks.metals.salt_water import water_of
from elec.checks.question import Question
from elec.errors import InputError
from elec.noted import Noted, between
from elec.published import Source, table

__all__ = [
    "Capacity",
    "Span",
    "When",
    "ask_current",
    "asked_life",
    "capacity_of",
    "demand_of",
    "outputs",
    "resistances",
    "resistivity_of",
    "shape_of",
    "use_of",
    "worn_resistances",
]

When = Literal["initial", "mean", "final"]
_WARMTH = "temperature from which aluminium loses capacity"
_LOSS = "capacity of aluminium lost per kelvin"


# -- what it has to carry ----------------------------------------------------------------------


def asked_life(anode: Anode) -> Noted:
    """Return the time it is to last, noted or as the trade has it."""
    if anode.life.seen:
        return anode.life
    name = "time that an anode is to last"
    hours = units.to_base(constant(name)[0], "year", "life")
    return between(
        hours, hours, "life", origin="typical", source=f"table corrosion_constants, {name}"
    )


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
        return anode_sums.density_of_hull(boat.boat.hull.text)
    warmth = boat.boat.water_temperature
    return anode_sums.demand_between(
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
        question.noted(
            "current_A", anode.current, entry=anode, field="current that it takes", worse="higher"
        )
        return lambda given: np.asarray(given["current_A"])
    density = anode.current_density
    if not density.seen:
        low, best, high = getattr(demand, f"{when}_A_per_m2")
        source = f"table {demand.sources[0].table}, {demand.words}"
        density = between(low, high, "current_density", origin="typical", source=source, best=best)
    question.noted("area_m2", anode.area, entry=anode, field="surface protected", worse="higher")
    question.noted(
        "density",
        density,
        entry=anode,
        field="current density",
        worse="higher",
        read=f"how sound the paint around '{anode.id}' is, and a reference-cell reading",
    )
    return lambda given: cathodic.current_demand_A(
        given["area_m2"], current_density_A_per_m2=given["density"]
    )


# -- what it has to carry it with --------------------------------------------------------------


@dataclass(frozen=True)
class Capacity:
    """The charge that a kilogram gives [Ah/kg], by which source what, and what warm water takes."""

    span: Span
    by_source: tuple[str, ...]
    warm: str
    sources: tuple[Source, ...]


def capacity_of(anode: Anode, boat: BoatFile) -> Capacity:
    """Return what a kilogram of its metal gives over all published values: none is averaged."""
    span, sources = anode_sums.capacity(anode.material.word)
    listed = [
        f"{ah:g} Ah/kg, {edition}" for ah, edition in anode_sums.capacities(anode.material.word)
    ]
    warmth, start = boat.boat.water_temperature, constant(_WARMTH)[0]
    if not anode.material.is_surely("aluminium") or not warmth.seen or warmth.span[2] <= start:
        return Capacity(span, tuple(listed), "", sources)
    least = float(
        cathodic.capacity_at_temperature_Ah_per_kg(
            warmth.span[2],
            capacity_Ah_per_kg=constant("capacity of aluminium that the loss starts from")[0],
            warm_from_C=start,
            loss_Ah_per_kg_K=constant(_LOSS)[0],
        )
    )
    words = f"{least:.0f} Ah/kg by the ABS loss in water of {warmth.show()}"
    return Capacity(
        (min(least, span[0]), min(least, span[1]), span[2]),
        (*listed, words),
        f"Aluminium gives {words}.",
        (*sources, table("corrosion_constants").source(name=_LOSS)),
    )


def use_of(shape: Shape | None) -> tuple[Span, Source]:
    """Return the share of it that can be used: of its shape, or of any."""
    if shape:
        return (shape.utilization,) * 3, shape.source
    return anode_sums.utilizations(), table("anode_utilization").source()


def shape_of(anode: Anode) -> Shape | None:
    """Return the published shape that it goes by, if it was measured."""
    sizes = (anode.length, anode.width, anode.thickness)
    if not anode.mount.seen or not all(size.seen for size in sizes):
        return None
    length, width, thickness = (size.span[1] for size in sizes)
    standoff = anode.standoff.span[0] if anode.standoff.seen else None
    return anode_sums.shape_of(Dimensions(anode.mount.word, length, width, thickness, standoff))


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
            anode_sums.worn_resistance_ohm(
                shape,
                material=anode.material.word,
                net_mass_kg=anode.mass.span[end],
                core_radius_m=anode.core.span[end],
                resistivity_ohm_m=rho,
            )
        )

    low, best, high = resistivity_of(boat)
    return worn(2, low), worn(1, best), worn(0, high)


def outputs(anode: Anode, resistance: Span) -> Span:
    """Return the current of one onto steel that is protected, by every published potential [A]."""
    found = sorted(
        float(cathodic.anode_output_A(anode_sums.driving_V(volts), resistance_ohm=ohm))
        for ohm, (volts, _) in product(resistance, anode_sums.closed_circuit(anode.material.word))
    )
    return found[0], found[len(found) // 2], found[-1]
