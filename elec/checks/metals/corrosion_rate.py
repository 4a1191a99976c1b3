"""How fast the wasting metal of a couple, or of all that is bonded, goes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Couple, Metal
from elec.calc.metals import galvanic
from elec.checks.cannot import CannotJudge
from elec.checks.metals import named_metals
from elec.checks.metals.corrosion_constants import Span
from elec.checks.metals.couple_rates import Rates, ends_words, rates, rates_limit
from elec.checks.metals.couple_sides import Sides, sides_of
from elec.checks.metals.named_metals import Named
from elec.checks.metals.salt_water import IMMERSED, Water, water_at
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.noted import between, exact

_ONE_EACH = exact(1.0, "surface")
_NOTHING_MM = 0.001


@dataclass(frozen=True)
class _Bond:
    """Three metals or more that are bonded in one water."""

    metals: list[Metal]

    @property
    def id(self) -> str:
        """The names of all."""
        return "bond of " + ", ".join(metal.id for metal in self.metals)

    @property
    def where(self) -> str | None:
        """The place of the first."""
        return self.metals[0].where


@dataclass(frozen=True)
class _Joined:
    """Metals of which the bare surface is known, and what leaves each."""

    metals: Sequence[Metal]
    found: Sequence[Named]
    water: Water
    rates: Rates


def _things(boat: BoatFile) -> list[Couple | _Bond]:
    bonded = [
        metal
        for metal in boat.metal
        if metal.bonded.is_surely("yes") and metal.exposure.is_surely(*IMMERSED)
    ]
    together = len(bonded) > 2 and len({metal.exposure.text for metal in bonded}) == 1
    return [*boat.couple, *([_Bond(bonded)] if together else [])]


def _rate(thing: Couple | _Bond, boat: BoatFile, _basis: str) -> Iterator[Finding]:
    return _bond(thing, boat) if isinstance(thing, _Bond) else _couple(thing, boat)


def _couple(couple: Couple, boat: BoatFile) -> Iterator[Finding]:
    sides = sides_of(couple, boat)
    if sides.by.air:
        return
    water = water_at(sides.where, boat)
    if sides.pair.wastes is None:
        read = f"a reference-cell reading of each part of '{couple.id}', apart"
        raise CannotJudge(f"no rate is carried: {sides.pair.sure}", read)
    metals = [entry for entry in sides.entries if entry and entry.area.seen]
    if len(metals) < 2:
        raise _direction_only(couple, sides, sides.pair.wastes, water)
    joined = _joined(metals, sides.both, water)
    wasting = 0 if sides.pair.direction < 0 else 1
    if joined.rates.open:
        name = metals[wasting].id
        raise CannotJudge(f"direction only: '{name}' wastes; {joined.rates.open}")
    yield _judge(couple, joined, wasting)


def _joined(metals: Sequence[Metal], found: Sequence[Named], water: Water) -> _Joined:
    wires = [m.bond_resistance.span[1] if m.bond_resistance.seen else 0.0 for m in metals]
    areas = [metal.area for metal in metals]
    return _Joined(metals, found, water, rates(found, areas=areas, water=water, bond_ohm=wires))


def _direction_only(couple: Couple, sides: Sides, wastes: Named, water: Water) -> CannotJudge:
    at_one = rates(sides.both, areas=[_ONE_EACH, _ONE_EACH], water=water)
    reason = f"direction only: '{wastes.name}' wastes"
    if at_one.open:
        return CannotJudge(f"{reason}; {at_one.open}", _which_alloy(sides))
    loss = at_one.mm_per_year[0 if sides.pair.direction < 0 else 1]
    return CannotJudge(
        f"{reason}; the bare surfaces were not noted. At equal surfaces it would lose "
        f"{_loss_words(loss)}, and more in proportion as the other is larger",
        f"the bare wetted surface of both parts of '{couple.id}'",
    )


def _which_alloy(sides: Sides) -> str:
    asked = next((metal for metal in sides.both if metal.ask), None)
    return f"'{asked.name}': {asked.ask}" if asked else ""


def _bond(bond: _Bond, boat: BoatFile) -> Iterator[Finding]:
    """Judge all bonded metals of one water together: each that feeds the others."""
    where = bond.metals[0].exposure.word
    by = named_metals.yardstick(where, boat.boat.series)
    found = [named_metals.named(metal.metal, by) for metal in bond.metals]
    if missing := next((m for m in found if m.missing or not m.found), None):
        raise CannotJudge(named_metals.not_held(missing, by))
    if any(not metal.area.seen for metal in bond.metals):
        read = "the bare wetted surface of every bonded metal"
        raise CannotJudge("bare surfaces were not noted", read)
    joined = _joined(bond.metals, found, water_at(where, boat))
    if joined.rates.open:
        raise CannotJudge(f"direction only: {joined.rates.open}")
    for i, metal in enumerate(bond.metals):
        if joined.rates.driven_A[i][1] > 0:
            yield _judge(metal, joined, i, subject=f"{metal.id} in bond")


def _judge(
    entry: Couple | Metal, joined: _Joined, wasting: int, *, subject: str | None = None
) -> Finding:
    """Judge the current that leaves one of the metals; ``entry`` is the couple, or the metal."""
    solved, metal = joined.rates, joined.metals[wasting]
    limit, limit_source = rates_limit()
    driven = solved.driven_A[wasting]
    least, best = (max(ampere, 0.0) for ampere in driven[:2])
    question = Question()
    question.noted(
        "current_A",
        between(least, driven[2], "current", best=best, text="computed over what is published"),
        entry=entry,
        field="current between the metals",
        worse="higher",
        read=f"a reference-cell reading of each part of '{entry.id}', apart and joined",
    )
    question.ask("area_m2", metal, "area", worse="lower")
    question.exact("limit_A_per_m2", limit)

    def requirement(**given: Any) -> tuple[Any, Any]:
        # zero current is possible and is no density of nothing
        density = galvanic.anode_current_density_A_per_m2(
            1.0, cathode_area_m2=1.0, anode_area_m2=given["area_m2"]
        )
        return density * np.asarray(given["current_A"]), given["limit_A_per_m2"]

    others = " and ".join(f"'{m.id}'" for i, m in enumerate(joined.metals) if i != wasting)
    return question.finding(
        question.rule(requirement, "at most"),
        entry=entry,
        subject=subject,
        quantity="current_density",
        worst="B",
        statement=lambda value, most: (
            f"'{metal.id}' wastes for {others}: {_best_words(driven, 'A')} leaves it for the "
            f"others, {value} of its surface; a couple passes by measurement at {most}. With its "
            f"own corrosion it loses {_loss_words(solved.mm_per_year[wasting])}, "
            f"{_best_words(solved.kg_per_year[wasting], 'kg')} a year, while no anode holds it."
        ),
        working=[*_by_the_cathode(joined, wasting), *_settled(solved, wasting)],
        sources=[*named_metals.sources_of(*joined.found), *solved.sources, limit_source],
        remedy=_smaller(driven, metal, limit),
        caution="Even loss is counted: pits go several times deeper.",
        notes=_notes(joined.water),
    )


def _smaller(driven: Span, metal: Metal, limit: float) -> str:
    """Return the remedy: how much of the noble surface would have to be painted."""
    worst = driven[2] / metal.area.span[0]
    part = max(0.0, 1.0 - limit / worst)
    return (
        f"Paint {units.show(part, 'percentage')} of the bare surface of the nobler metals, or part "
        "them from it, or hold it with an anode that the readings show to work. Never paint the "
        "wasting metal alone."
    )


def _notes(water: Water) -> list[str]:
    return [
        f"Low, best and high over what is published: salinity {water.salinity.show()}, water "
        f"{water.temperature.show()}, potentials, slopes, own rates and resistance in their ranges."
    ]


def _by_the_cathode(joined: _Joined, wasting: int) -> Iterator[Step]:
    limit, solved = joined.water.oxygen_limit, joined.rates
    numbers = ends_words(limit[0], limit[2], "A/m²")
    reaches = "oxygen that can reach a cathode"
    yield Step("iL", "4 F D c / layer", numbers, limit[1], "A/m²", reaches)
    if solved.law_A is not None:
        cathode = 1 - wasting
        share, area = solved.efficiency[cathode][1], joined.metals[cathode].area.span[1]
        yield Step(
            "I by the cathode",
            "iL x efficiency x cathode surface",
            f"{units.plain(limit[1], digits=3)} x {units.plain(share, digits=3)} x "
            f"{units.plain(area)}",
            solved.law_A[1],
            "A",
            "the most that oxygen feeds",
        )


def _settled(solved: Rates, wasting: int) -> Iterator[Step]:
    loss, mass = solved.mm_per_year[wasting], solved.kg_per_year[wasting]
    for symbol, formula, span, unit, source in (
        ("E", "potential at which all currents balance", solved.bond_V, "V", "mixed potential"),
        (
            "I",
            "current at that potential",
            solved.driven_A[wasting],
            "A",
            "mixed potential, median",
        ),
        ("loss", "(I / A + own) EW t / (F density)", loss, "mm/year", "Faraday"),
        ("mass", "I EW t / F", mass, "kg/year", "Faraday"),
    ):
        yield Step(symbol, formula, ends_words(span[0], span[2], unit), span[1], unit, source)


def _best_words(span: Span, unit: str) -> str:
    """Return a value with its bounds and the best."""
    low, best, high = (units.plain(v, digits=2) for v in span)
    return f"{low} to {high} {unit} (best {best})" if low != high else f"{low} {unit}"


def _loss_words(mm_per_year: Span) -> str:
    """Return a loss of thickness in words, with its bounds."""
    low, best, high = (
        units.plain(v, digits=2) if v >= _NOTHING_MM else f"under {_NOTHING_MM:g}"
        for v in mm_per_year
    )
    return f"{low} mm a year" if low == high else f"{low} to {high} mm (best {best}) a year"


CHECK = Check(
    name="corrosion-rate",
    judges="how fast the wasting metal of a couple or bond goes",
    system="metals",
    place=411,
    of=_things,
    ask=_rate,
)
