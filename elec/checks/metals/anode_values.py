"""What is worked out of an anode beside the findings: mass, number, resistance and output."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from elec import units
from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.metals import anode_shapes
from elec.checks.metals.anode import renew_at
from elec.checks.metals.anode_alloys import capacity_of, closed_circuit
from elec.checks.metals.anode_demand import When, asked_life, demand_of
from elec.checks.metals.anode_shapes import Shape
from elec.checks.metals.corrosion_constants import Span
from elec.published import Source, table

__all__ = ["Value", "values"]

#: Lowest, best and highest.
Ends = npt.NDArray[np.float64]
Currents = dict[When, Ends]
_WHOLE = 1e-9


@dataclass(frozen=True)
class Value:
    """A value over what is possible, how it comes about, and the tables behind it."""

    name: str
    low: float
    best: float
    high: float
    unit: str
    formula: str
    sources: tuple[Source, ...]

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form; the sources of all are listed once."""
        return {name: value for name, value in vars(self).items() if name != "sources"}


def _value(name: str, ends: Any, unit: str, formula: str = "", *sources: Source) -> Value:
    low, best, high = sorted(np.asarray(ends).tolist())
    return Value(name, low, best, high, unit, formula, sources)


def values(anode: Anode, boat: BoatFile) -> Iterator[Value]:
    """Work out all that the notes of an anode allow.

    Raises
    ------
    InputError
        If a formula or a table does not hold for what was noted.
    """
    shape = anode_shapes.shape_as_measured(anode)
    current = _currents(anode, boat)
    capacity = capacity_of(anode, boat)
    charge = np.asarray(capacity.span)
    use, use_source = anode_shapes.use_of(shape)
    yield from _carried(anode, boat, current)
    by_source = f"by source: {'; '.join(capacity.by_source)}"
    yield _value("capacity", capacity.span, "Ah/kg", by_source, *capacity.sources)
    words = shape.words if shape else "shape not given"
    yield _value("share that can be used", use, "-", words, use_source)
    if current:
        yield from _mass(anode, current["mean"], charge, np.asarray(use))
    if anode.wasted.seen and anode.after.seen:
        yield from _pace(anode, charge)
    if shape:
        yield from _gives(anode, boat, shape, current)


def _currents(anode: Anode, boat: BoatFile) -> Currents:
    """Return the current asked for when new, on the mean and at the end [A], if it can be said."""
    demand = demand_of(anode, boat)
    if anode.current.seen:
        return dict.fromkeys(("initial", "mean", "final"), np.asarray(anode.current.span))
    if demand is None or not anode.area.seen:
        return {}
    area = np.asarray(anode.area.span)
    return {
        "initial": area * demand.initial_A_per_m2,
        "mean": area * demand.mean_A_per_m2,
        "final": area * demand.final_A_per_m2,
    }


def _carried(anode: Anode, boat: BoatFile, current: Currents) -> Iterator[Value]:
    """Give the surface, and what it takes."""
    demand = demand_of(anode, boat)
    if anode.area.origin == "typical":
        rule = _row("hull_form", anode.area.source)
        yield _value("wetted surface", anode.area.span, "m²", anode.area.source, rule)
    if current and demand is None:
        yield _value("current", current["mean"], "A", "as given")
    elif current and demand is not None:
        density, made = demand.mean_A_per_m2, "surface x density"
        yield _value("current density on the mean", density, "A/m²", demand.words, *demand.sources)
        if demand.initial_A_per_m2 != density:
            yield _value("current when new", current["initial"], "A", f"{made} x share bare")
            yield _value("current at the end", current["final"], "A", f"{made} x share bare")
        yield _value("current on the mean", current["mean"], "A", made)


def _mass(anode: Anode, current: Ends, capacity: Ends, use: Ends) -> Iterator[Value]:
    asked = asked_life(anode)
    mass = cathodic.anode_mass_kg(
        current, life_h=asked.span, capacity_Ah_per_kg=capacity[::-1], utilization=use[::-1]
    )
    lasting = units.show(asked.span[1], "life", unit="months")
    words = f"I t / (u capacity), t = {lasting}"
    if asked.origin == "typical":
        words += ": no life was asked, a year taken"
        yield _value("net mass for the life", mass, "kg", words, _row("name", asked.source))
    else:
        yield _value("net mass for the life", mass, "kg", words)
    if not anode.mass.seen:
        return
    one = np.asarray(anode.mass.span)
    yield _value("number for the mass", _number(mass, one), "-", f"of {anode.mass.show()} each")


def _pace(anode: Anode, capacity: Ends) -> Iterator[Value]:
    renew, source = renew_at()
    gone, late_first = anode.wasted.span, anode.after.span[::-1]
    shown = cathodic.wastage(gone, elapsed_h=late_first, renew_at=renew)
    months, a_year = units.from_base(1.0, "life", "months"), units.to_base(1, "year", "life")
    yield _value("pace", shown.rate_per_h * a_year * 100, "%/year", "gone / time")
    left = "left until it is to be renewed"
    yield _value(left, shown.left_h * months, "months", "(renew - gone) / pace", source)
    if anode.mass.seen:
        current = cathodic.current_from_wastage_A(
            np.asarray(anode.mass.span) * anode.count,
            gone=gone,
            elapsed_h=late_first,
            capacity_Ah_per_kg=capacity,
        )
        yield _value("current that the loss shows", current, "A", "m gone capacity / t")


def _row(key: str, source: str) -> Source:
    """Return the papers of a row that a typical value names: "table NAME, ROW"."""
    name, _, row = source.removeprefix("table ").partition(", ")
    return table(name).source(**{key: row})


def _number(asked: Ends, one_gives: Ends) -> Ends:
    """Return how many give what is asked, whole ones."""
    return np.ceil(asked / one_gives[::-1] * (1 - _WHOLE)).astype(int)


def _gives(anode: Anode, boat: BoatFile, shape: Shape, current: Currents) -> Iterator[Value]:
    """Give resistance and output of one, new and worn, and how many give what is asked."""
    potentials = closed_circuit(anode.material.word)
    by_edition = "; ".join(f"{volts:g} V, {source.edition}" for volts, source in potentials)
    yield _value("resistivity of the water", anode_shapes.resistivity_of(boat), "ohm·m")
    yield _value(
        "potential at work",
        [potentials[0][0], potentials[len(potentials) // 2][0], potentials[-1][0]],
        "V",
        by_edition,
        *(source for _, source in potentials),
    )
    ages: list[tuple[str, str, When, Span | None]] = [
        ("new", "when new", "initial", anode_shapes.resistances(shape, boat)),
        ("worn", "at the end", "final", anode_shapes.worn_resistances(anode, shape, boat)),
    ]
    for age, words, when, resistance in ages:
        if resistance is None:
            continue
        output = anode_shapes.outputs(anode, resistance)
        yield _value(f"resistance of one, {age}", resistance, "ohm", shape.words)
        yield _value(f"output of one, {age}", output, "A", "(protected - anode) / R")
        if current and output[0] > 0:
            number = _number(current[when], np.asarray(output))
            yield _value(f"number for the current {words}", number, "-")
