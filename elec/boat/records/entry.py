"""What every entry has, and the boat as a whole."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from elec.boat.declared import Record, declared
from elec.boat.fields import Id, OneOf, Words, Year
from elec.boat.records.kinds import Length, Resistivity, Salinity, Series, Temperature
from elec.noted import Choice

__all__ = ["STANDARD_CONDITIONS", "Boat", "Entry", "ignition_protection"]

#: Operating conditions every boat has; a boat may add its own.
STANDARD_CONDITIONS = ("shore", "anchor", "under way", "manoeuvring")


class Entry(Record):
    """What every entry of the file may have."""

    id: Id
    where: Words | None = declared("look", "place aboard", sheet=False)
    kind: Words | None = declared("look", "entry of the catalogue of typical gear", sheet=False)
    year: Year = declared("plate")
    note: Words | None = declared("look", sheet=False)


def ignition_protection() -> Any:
    """Return the field of gear whose plate may say that it is protected against ignition."""
    return declared(
        "plate",
        words="ignition protection",
        read="the mark for ignition protection on '{id}', and whether petrol is near it",
    )


class Boat(Record):
    """The boat as a whole."""

    name: Words
    length: Length = declared("papers")
    built: Year = declared("papers")
    surveyed: datetime.date | None = declared("look", "date of the walk, YYYY-MM-DD")
    hull: Annotated[Choice, OneOf("grp", "wood", "steel", "aluminium")] = declared("look")
    water: Annotated[Choice, OneOf("sea", "brackish", "fresh")] = declared("look")
    fuel: Annotated[Choice, OneOf("diesel", "petrol", "none")] = declared("look")
    salinity: Salinity = declared("meter")
    water_temperature: Temperature = declared("meter")
    water_resistivity: Resistivity = declared("meter")
    basis: Literal["us", "iso"] = declared("look", "the family of tables to judge by", default="us")
    series: Series = declared(
        "look", "galvanic series to judge immersed metals by", default="LAQUE_ACA"
    )
    place: Words | None = declared("look")
    runs_traced: Annotated[Choice, OneOf("some", "all")] = declared(
        "look",
        "all: every DC cable run aboard is in this file; a load, busbar or fuse that no run joins "
        "is then refused as a mistake of the file",
        example='"some"',
    )
    conditions: tuple[Words, ...] = declared("look", "conditions besides the standard four")
    note: Words | None = declared("look", sheet=False)
