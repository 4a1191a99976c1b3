"""Metals as noted: pieces, couples, anodes, readings, terminals."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from elec.boat.bounds import ABOVE_ZERO
from elec.boat.declared import declared
from elec.boat.fields import OneOf, Presence, Words
from elec.boat.records.entry import Entry
from elec.boat.records.kinds import (
    Current,
    CurrentDensity,
    Environment,
    Fraction,
    Length,
    Life,
    Mass,
    Potential,
    Resistance,
    Salinity,
    Surface,
)
from elec.noted import Choice

__all__ = ["Anode", "Couple", "Metal", "Reading", "Terminal"]

#: A boat's paint; a durability of ABS; a category of DNV.
Coating = Annotated[
    Choice, OneOf("bare", "painted", "low", "medium", "high", "I", "II", "III", "IV")
]


class Metal(Entry):
    """A piece of metal, under water or not."""

    metal: Words = declared("look", default=..., example='"bronze"')
    exposure: Environment = declared("look")
    area: Surface = declared("look", "bare, in the water", words="bare surface")
    bonded: Presence = declared("look")
    bond_resistance: Resistance = declared("meter", "from the anode to it, meter leads taken off")
    stray: Current = declared(
        "specialist", "DC measured leaving it into the water", words="stray current"
    )


class Couple(Entry):
    """Two metals in electrical contact."""

    a: Words = declared(
        "look", "id of a metal entry, or a metal's name", default=..., example='"metal 1"'
    )
    b: Words = declared("look", default=..., example='"stainless steel"')
    exposure: Environment = declared("look", read="whether '{id}' is immersed, splashed or dry")


class Anode(Entry):
    """A sacrificial anode."""

    material: Annotated[Choice, OneOf("zinc", "aluminium", "magnesium")] = declared(
        "look", words="metal"
    )
    count: Annotated[int, Field(ge=1, le=200, strict=True)] = declared("look", default=1)
    mass: Mass = declared(
        "plate", "of one, new, without its core", words="mass of one", bound=ABOVE_ZERO
    )
    wasted: Fraction = declared(
        "look", words="share gone", read="'{id}' weighed, or measured against a new one"
    )
    after: Life = declared("papers", "time since it was new")
    life: Life = declared("look", "time that it should last", words="time it should last")
    protects: Words | None = declared("look")
    area: Surface = declared("look", "surface that they protect", words="surface protected")
    current_density: CurrentDensity = declared(
        "papers",
        "that the surface takes, paint counted in",
        read="how sound the paint around '{id}' is, and a reference-cell reading",
    )
    coating: Coating = declared("papers", "of that surface")
    current: Current = declared("meter", "that the surface takes", words="current that it takes")
    mount: Annotated[Choice, OneOf("flush", "stand-off")] = declared("look")
    length: Length = declared("look")
    width: Length = declared("look")
    thickness: Length = declared("look")
    standoff: Length = declared("look", "from the hull to the anode")
    core: Length = declared("papers", "radius of its steel core")


class Reading(Entry):
    """A reference-cell potential reading."""

    potential: Potential = declared("meter")
    cell: Annotated[Choice, OneOf("Ag/AgCl seawater", "SCE", "CSE", "zinc")] = declared(
        "look", read="which reference cell gave '{id}'"
    )
    shore: Annotated[Choice, OneOf("plugged in", "unplugged")] = declared("look")
    of: Words | None = declared("look", "id of a metal entry, or what was touched")
    salinity: Salinity = declared("meter", words="salinity of the water")


class Terminal(Entry):
    """A stack of lug, washers, stud and nut."""

    stack: tuple[Words, ...] = declared(
        "look",
        "metals or platings in the order they touch, two or more",
        default=...,
        example='["tin", "stainless 316", "brass"]',
    )
    exposure: Environment = declared(
        "look", words="where it is", read="whether '{id}' is dry, in a bilge or splashed"
    )
