"""How fast the wasting metal of a couple, or of the bond, goes; and what stray current takes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Entry, Metal
from elec.calc.metals import faraday, galvanic
from elec.checks.metals import named_metals
from elec.checks.metals.couple_rates import (
    Rates,
    Span,
    Water,
    equivalent,
    rates,
    rates_limit,
    water_of,
)
from elec.checks.metals.metal_couple import Sides, sides
from elec.checks.metals.named_metals import Named
from elec.checks.question import Question
from elec.errors import InputError
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted, between, exact
from elec.published import table

__all__ = ["CHECKS", "check", "loss_words", "stray_loss"]

CHECK = "corrosion-rate"
STRAY = "stray-current"
CHECKS = (CHECK, STRAY)
_NOTHING_MM = 0.001
_ONE_EACH = exact(1.0, "surface")


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every immersed couple, every bond of three metals or more, every stray current."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for result in (
        *(_couple(couple, boat) for couple in boat.couple),
        *_bond(boat),
        *(_stray(entry) for entry in boat.metal if entry.stray.seen),
    ):
        if isinstance(result, Finding):
            findings.append(result)
        elif result is not None:
            skipped.append(result)
    return findings, skipped


def _couple(couple: Any, boat: BoatFile) -> Finding | NotChecked | None:
    both = sides(couple, boat, CHECK)
    if isinstance(both, NotChecked):
        return both
    if both.by.air:
        return None
    try:
        water = water_of(both.where, boat.boat.salinity, boat.boat.water_temperature)
    except InputError as error:
        return NotChecked(CHECK, couple.id, error.message.rstrip("."), couple.where)
    pair = named_metals.compare(both.a, both.b, both.by)
    if pair.wastes is None:
        return NotChecked(
            CHECK,
            couple.id,
            f"no rate is carried: {pair.sure}",
            couple.where,
            f"a reference-cell reading of each part of '{couple.id}', apart",
        )
    areas = [entry.area if entry else None for entry in both.entries]
    if not all(area is not None and area.seen for area in areas):
        return _direction_only(couple, both, pair.wastes, water)
    entries = [entry for entry in both.entries if entry is not None]
    return _judge(couple, entries, [both.a, both.b], water, 0 if pair.direction < 0 else 1)


def _direction_only(couple: Any, both: Sides, wastes: Named, water: Water) -> NotChecked:
    at_one = rates([both.a, both.b], areas=[_ONE_EACH, _ONE_EACH], water=water)
    reason = f"direction only: '{wastes.name}' wastes"
    if at_one.open:
        return NotChecked(
            CHECK, couple.id, f"{reason}; {at_one.open}", couple.where, _which_alloy(both)
        )
    loss = at_one.mm_per_year[0 if wastes is both.a else 1]
    return NotChecked(
        CHECK,
        couple.id,
        f"{reason}; the bare surfaces were not noted. At equal surfaces it would lose "
        f"{loss_words(loss)}, and more in proportion as the other is larger",
        couple.where,
        f"the bare wetted surface of both parts of '{couple.id}'",
    )


def _which_alloy(both: Sides) -> str:
    asked = next((m for m in (both.a, both.b) if m.ask), None)
    return f"'{asked.name}': {asked.ask}" if asked else ""


def _bond(boat: BoatFile) -> list[Finding | NotChecked]:
    """Judge all bonded metals of one water together, where there are three or more."""
    bonded = [
        m
        for m in boat.metal
        if m.bonded.is_surely("yes") and m.exposure.is_surely("sea", "brackish")
    ]
    places = {m.exposure.word for m in bonded}
    if len(bonded) < 3 or len(places) != 1:
        return []
    by = named_metals.yardstick(places.pop(), boat.boat.series)
    found = [named_metals.named(m.metal, by) for m in bonded]
    subject = "bond of " + ", ".join(m.id for m in bonded)
    if missing := next((m for m in found if m.missing or not m.found), None):
        return [NotChecked(CHECK, subject, named_metals.not_held(missing, by))]
    if any(not m.area.seen for m in bonded):
        read = "the bare wetted surface of every bonded metal"
        where = bonded[0].where
        return [NotChecked(CHECK, subject, "bare surfaces were not noted", where, read)]
    try:
        water = water_of(bonded[0].exposure.word, boat.boat.salinity, boat.boat.water_temperature)
    except InputError as error:
        return [NotChecked(CHECK, subject, error.message.rstrip("."))]
    solved = rates(found, areas=[m.area for m in bonded], water=water, bond_ohm=_wires(bonded))
    if solved.open:
        return [NotChecked(CHECK, subject, f"direction only: {solved.open}", bonded[0].where)]
    wasting = [i for i, driven in enumerate(solved.driven_A) if driven[1] > 0]
    return [
        _judge(bonded[i], bonded, found, water, i, solved=solved, subject=f"{bonded[i].id} in bond")
        for i in wasting
    ]


def _wires(bonded: Sequence[Metal]) -> list[float]:
    return [m.bond_resistance.span[1] if m.bond_resistance.seen else 0.0 for m in bonded]


def _judge(
    entry: Entry,
    entries: Sequence[Metal],
    found: Sequence[Named],
    water: Water,
    wasting: int,
    *,
    solved: Rates | None = None,
    subject: str | None = None,
) -> Finding | NotChecked:
    areas = [one.area for one in entries]
    solved = solved or rates(found, areas=areas, water=water, bond_ohm=_wires(entries))
    name = entries[wasting].id
    if solved.open:
        return NotChecked(
            CHECK, entry.id, f"direction only: '{name}' wastes; {solved.open}", entry.where
        )
    limit, limit_source = rates_limit()
    driven = solved.driven_A[wasting]
    question = Question()
    question.noted(
        "current_A",
        between(
            max(driven[0], 0.0),
            driven[2],
            "current",
            best=max(driven[1], 0.0),
            text="computed over what is published",
        ),
        entry=entry,
        field="current between the metals",
        worse="higher",
        read=f"a reference-cell reading of each part of '{entry.id}', apart and joined",
    )
    question.noted(
        "area_m2", areas[wasting], entry=entries[wasting], field="bare surface", worse="lower"
    )
    question.exact("limit_A_per_m2", limit)

    def requirement(**given: Any) -> tuple[Any, Any]:
        density = galvanic.anode_current_density_A_per_m2(
            1.0, cathode_area_m2=1.0, anode_area_m2=given["area_m2"]
        )
        return density * np.asarray(given["current_A"]), given["limit_A_per_m2"]

    # zero current is possible and is no density of nothing
    ruling = question.rule(requirement, "at most")
    others = " and ".join(f"'{one.id}'" for i, one in enumerate(entries) if i != wasting)
    return question.finding(
        ruling,
        check=CHECK,
        entry=entry,
        subject=subject,
        sense="at most",
        quantity="current_density",
        worst="B",
        statement=lambda value, most: (
            f"'{name}' wastes for {others}: {_current(driven)} leaves it for the others, "
            f"{value} of its surface; a couple passes by measurement at {most}. With its own "
            f"corrosion it loses {loss_words(solved.mm_per_year[wasting])}, "
            f"{_three(solved.kg_per_year[wasting], 'kg')} a year, while no anode holds it."
        ),
        working=_working(solved, water, areas, wasting),
        sources=[*named_metals.sources_of(*found), *solved.sources, limit_source],
        remedy=_smaller(driven, areas, wasting, limit),
        caution="Even loss is counted: pits go several times deeper.",
        notes=_notes(water),
    )


def _current(driven: Span) -> str:
    return _three(driven, "A")


def _three(span: Span, unit: str) -> str:
    low, best, high = (units.plain(v, digits=2) for v in span)
    return f"{low} to {high} {unit} (best {best})" if low != high else f"{low} {unit}"


def loss_words(mm_per_year: Span) -> str:
    """Return a loss of thickness in words, with its bounds."""
    low, best, high = (
        units.plain(v, digits=2) if v >= _NOTHING_MM else f"under {_NOTHING_MM:g}"
        for v in mm_per_year
    )
    return f"{low} mm a year" if low == high else f"{low} to {high} mm (best {best}) a year"


def _smaller(driven: Span, areas: Sequence[Noted], wasting: int, limit: float) -> str:
    """Return the remedy: how much of the noble surface would have to be painted."""
    worst = driven[2] / areas[wasting].span[0]
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


def _working(solved: Rates, water: Water, areas: Sequence[Noted], wasting: int) -> list[Step]:
    limit = water.oxygen_limit
    steps = [
        Step(
            "iL",
            "4 F D c / layer",
            f"{units.plain(limit[0], digits=3)} to {units.plain(limit[2], digits=3)} A/m²",
            limit[1],
            "A/m²",
            "oxygen that can reach a cathode",
        )
    ]
    if solved.law_A is not None:
        cathode = 1 - wasting
        share, area = solved.efficiency[cathode][1], areas[cathode].span[1]
        steps.append(
            Step(
                "I by the cathode",
                "iL x efficiency x cathode surface",
                f"{units.plain(limit[1], digits=3)} x {units.plain(share, digits=3)} x "
                f"{units.plain(area)}",
                solved.law_A[1],
                "A",
                "the most that oxygen feeds",
            )
        )
    steps += [
        Step(
            "E",
            "potential at which all currents balance",
            _range(solved.bond_V, "V"),
            solved.bond_V[1],
            "V",
            "mixed potential",
        ),
        Step(
            "I",
            "current at that potential",
            _range(solved.driven_A[wasting], "A"),
            solved.driven_A[wasting][1],
            "A",
            "mixed potential, median",
        ),
        Step(
            "loss",
            "(I / A + own) EW t / (F density)",
            _range(solved.mm_per_year[wasting], "mm/year"),
            solved.mm_per_year[wasting][1],
            "mm/year",
            "Faraday",
        ),
        Step(
            "mass",
            "I EW t / F",
            _range(solved.kg_per_year[wasting], "kg/year"),
            solved.kg_per_year[wasting][1],
            "kg/year",
            "Faraday",
        ),
    ]
    return steps


def _range(span: Span, unit: str) -> str:
    return f"{units.plain(span[0], digits=3)} to {units.plain(span[2], digits=3)} {unit}"


# -- stray direct current ----------------------------------------------------------------------


def stray_loss(current_A: float, name: str) -> tuple[float, float, str] | None:
    """Return what a direct current takes off a metal in a year, least and most [kg], and of what.

    Nothing where no equivalent weight is held.
    """
    held = [equivalent(metal_id) for metal_id in named_metals.metal_ids(name)]
    known = [one for one in held if one is not None]
    if not known or len(known) < len(held):
        return None
    lost = [
        float(faraday.mass_rate_kg_per_year(current_A, equivalent_weight_g=weight))
        for weight, _, _ in known
    ]
    return min(lost), max(lost), ", ".join(dict.fromkeys(words for _, _, words in known))


def _stray(entry: Metal) -> Finding | NotChecked:
    best = entry.stray.span[1]
    loss = stray_loss(best, entry.metal)
    kilograms = (
        "" if loss is None else f" It takes {_range((loss[0], loss[0], loss[1]), 'kg')} a year."
    )
    if not entry.area.seen:
        return NotChecked(
            STRAY,
            entry.id,
            f"{entry.stray.show()} leaves it into the water, on a surface not noted.{kilograms}",
            entry.where,
            f"the bare wetted surface of '{entry.id}', and which circuit feeds the current",
        )
    limit, source = rates_limit()
    question = Question()
    question.noted("current_A", entry.stray, entry=entry, field="stray current", worse="higher")
    question.noted("area_m2", entry.area, entry=entry, field="bare surface", worse="lower")
    question.exact("limit_A_per_m2", limit)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["current_A"]) / given["area_m2"], given["limit_A_per_m2"]

    return question.finding(
        question.rule(requirement, "at most"),
        check=STRAY,
        entry=entry,
        sense="at most",
        quantity="current_density",
        worst="A",
        statement=lambda value, most: (
            f"{entry.stray.show()} of direct current leaves '{entry.id}' into the water, {value} "
            f"of its surface; metals in contact pass by measurement at {most}.{kilograms}"
        ),
        working=[]
        if loss is None
        else [
            Step(
                "mass",
                "I EW t / F",
                _range((loss[0], loss[0], loss[1]), "kg/year"),
                loss[1],
                "kg/year",
                f"Faraday, {loss[2]}",
            )
        ],
        sources=[source, table("metal_equivalents").source()],
        remedy="Find the circuit whose switching moves it, and cure its leak to the water.",
        caution="A fitting can be eaten through in days: a through-hull lets the sea in.",
    )
