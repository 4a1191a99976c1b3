"""Anodes against what they protect: how long their mass lasts, what current their shape gives."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.metals import anode_sums
from elec.checks.metals.anode_sums import Dimensions
from elec.checks.metals.corrosion_constants import constant
from elec.checks.metals.salt_water import water_of
from elec.checks.question import Question
from elec.errors import InputError
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted, between
from elec.published import Source, table

__all__ = ["CHECKS", "check"]

LIFE, OUTPUT = "anode-life", "anode-output"
CHECKS = (LIFE, OUTPUT)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge mass and shape of every anode noted."""
    results = [ask(anode, boat) for anode in boat.anode for ask in (_life, _output)]
    return (
        [result for result in results if isinstance(result, Finding)],
        [result for result in results if isinstance(result, NotChecked)],
    )


# -- how long the mass lasts -------------------------------------------------------------------


def _density(anode: Anode, boat: BoatFile) -> tuple[Noted, list[Source]] | None:
    if anode.current_density.seen:
        return anode.current_density, []
    found = anode_sums.density_of_hull(boat.boat.hull.text)
    if found is None:
        return None
    low, best, high = found.mean_A_per_m2
    source = f"table current_density_ships_boats, {found.words}"
    return (
        between(low, high, "current_density", origin="typical", source=source, best=best),
        list(found.sources),
    )


def _asked(anode: Anode) -> Noted:
    if anode.life.seen:
        return anode.life
    name = "time that an anode is to last"
    hours = units.to_base(constant(name)[0], "year", "life")
    source = f"table corrosion_constants, {name}"
    return between(hours, hours, "life", origin="typical", source=source)


def _life(anode: Anode, boat: BoatFile) -> Finding | NotChecked:
    density = _density(anode, boat)
    wanting = [
        words
        for words, seen in (
            (f"the mass cast on '{anode.id}', or its weight when new", anode.mass.seen),
            (f"the surface that '{anode.id}' protects", anode.area.seen),
            (f"the metal of '{anode.id}'", anode.material.seen),
        )
        if not seen
    ]
    if wanting or density is None:
        reason = "its life needs mass, metal, the surface it protects and the current that takes"
        return NotChecked(LIFE, anode.id, reason, anode.where, " and ".join(wanting))
    taken, sources = density
    capacity, capacity_sources = anode_sums.capacity(anode.material.text)
    shape = _shape(anode)
    use = (shape.utilization,) * 3 if shape else anode_sums.utilizations()
    question = Question()
    question.noted("mass_kg", anode.mass, entry=anode, field="mass of one", worse="lower")
    question.noted("area_m2", anode.area, entry=anode, field="surface protected", worse="higher")
    question.noted(
        "density",
        taken,
        entry=anode,
        field="current density",
        worse="higher",
        read=f"how sound the paint around '{anode.id}' is, and a reference-cell reading",
    )
    question.noted(
        "capacity",
        between(capacity[0], capacity[2], "charge", best=capacity[1], text="published values"),
        entry=anode,
        field="charge that a kilogram of its alloy gives",
        worse="lower",
        read=f"the alloy of '{anode.id}' in its papers",
    )
    question.noted(
        "use",
        between(use[0], use[2], "fraction", best=use[1], text="published values"),
        entry=anode,
        field="share of it that can be used",
        worse="lower",
        read=f"how '{anode.id}' is mounted, and its length, width and thickness",
    )
    asked = _asked(anode)
    question.noted("asked_h", asked, entry=anode, field="time it should last", worse="higher")

    def requirement(**given: Any) -> tuple[Any, Any]:
        current = cathodic.current_demand_A(
            given["area_m2"], current_density_A_per_m2=given["density"]
        )
        life = cathodic.anode_life_h(
            np.asarray(given["mass_kg"]) * anode.count,
            current_A=current,
            capacity_Ah_per_kg=given["capacity"],
            utilization=given["use"],
        )
        return life, given["asked_h"]

    best = question.best_values()
    current = float(best["area_m2"] * best["density"])
    life, limit = (float(np.asarray(v)) for v in requirement(**best))
    worst = float(np.asarray(requirement(**question.worst_values())[0]))
    most = float(np.asarray(question.worst_values()["asked_h"]))
    number = int(np.ceil(anode.count * most / worst * (1 - 1e-9)))
    year = units.to_base(1, "year", "life")
    finding = question.finding(
        question.rule(requirement, "at least"),
        check=LIFE,
        entry=anode,
        sense="at least",
        quantity="life",
        worst="C",
        statement=lambda _value, _limit: "",
        working=[
            Step("I", "surface x current density", "", current, "A"),
            Step(
                "t",
                "m u capacity / I",
                f"{units.plain(float(best['mass_kg']) * anode.count)} kg x "
                f"{units.plain(float(best['use']))} x {units.plain(float(best['capacity']))} Ah/kg",
                life / year,
                "years",
            ),
        ],
        sources=[
            *sources,
            capacity_sources[0],
            table("anode_utilization").source(),
            *([] if anode.life.seen else [table("corrosion_constants").source()]),
        ],
        remedy=f"Fit {number} of that mass, which last {units.show(most, 'life', unit='months')} "
        "at the worst of the range.",
    )
    low, high = (
        units.show(v, "life", unit="months") for v in (finding.value.low, finding.value.high)
    )
    span = low if low == high else f"{low} to {high}"
    return finding.with_changes(
        statement=(
            f"'{anode.id}' ({anode.count} of {units.show(float(best['mass_kg']), 'mass')} of "
            f"{anode.material}) carries {units.show(anode.area.span[1], 'surface')} for {span}; "
            f"{units.show(limit, 'life', unit='months')} is asked."
        )
    )


# -- what it gives -----------------------------------------------------------------------------


def _shape(anode: Anode) -> anode_sums.Shape | None:
    sizes = (anode.length, anode.width, anode.thickness)
    if not anode.mount.seen or not all(size.seen for size in sizes):
        return None
    length, width, thickness = (size.span[1] for size in sizes)
    standoff = anode.standoff.span[0] if anode.standoff.seen else None
    return anode_sums.shape_of(Dimensions(anode.mount.text, length, width, thickness, standoff))


def _output(anode: Anode, boat: BoatFile) -> Finding | NotChecked | None:
    shape, density = _shape(anode), _density(anode, boat)
    if shape is None or density is None or not anode.area.seen or not anode.material.seen:
        return None
    try:
        water = water_of(boat.boat.water.text, boat.boat.salinity, boat.boat.water_temperature)
        potentials = anode_sums.closed_circuit(anode.material.text)
        outputs = sorted(
            float(shape.output_A(rho, volts)) * anode.count
            for rho in (water.resistivity[0], water.resistivity[2])
            for volts, _ in potentials
        )
    except InputError as error:
        return NotChecked(OUTPUT, anode.id, error.message.rstrip("."), anode.where)
    taken, sources = density
    question = Question()
    question.noted(
        "output_A",
        between(outputs[0], outputs[-1], "current", text="computed"),
        entry=anode,
        field="current it gives",
        worse="lower",
        read="the salinity and temperature of the water, and the alloy of the anode",
    )
    question.noted("area_m2", anode.area, entry=anode, field="surface protected", worse="higher")
    question.noted("density", taken, entry=anode, field="current density", worse="higher")

    def requirement(**given: Any) -> tuple[Any, Any]:
        asked = cathodic.current_demand_A(
            given["area_m2"], current_density_A_per_m2=given["density"]
        )
        return np.asarray(given["output_A"]) + 0.0 * asked, asked

    resistance = shape.resistance_ohm(water.resistivity[1])
    return question.finding(
        question.rule(requirement, "at least"),
        check=OUTPUT,
        entry=anode,
        sense="at least",
        quantity="current",
        worst="C",
        statement=lambda value, limit: (
            f"'{anode.id}', {shape.words}, gives {value} when new onto protected steel; the "
            f"surface takes {limit}."
        ),
        working=[
            Step("R", shape.words, "", float(resistance), "ohm", "one, when new"),
        ],
        sources=[
            *sources,
            shape.source,
            potentials[0][1],
            table("corrosion_constants").source(
                name="potential at which steel is protected by design"
            ),
        ],
        remedy="Fit more of them, spread over the surface, or longer ones.",
        notes=["The driving voltage differs by edition; every published one is counted."],
    )
