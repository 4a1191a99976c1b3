"""Every field of every record, found from the records, with values that it may have."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, get_args

from elec import units
from elec.boat.declared import Record
from elec.boat.fields import Amount, GaugeNoted, OneOf, YearNoted
from elec.boat.records import Boat, BoatFile

__all__ = ["Place", "left_out", "places", "values", "written"]

#: Keys that name or describe an entry and say nothing of what it is.
NAMES = {"id", "name", "note", "where", "place", "label", "photo"}
#: Shares of a value noted, and of the example of its quantity, tried in its place.
SHARES = (0.1, 0.5, 1.0, 2.0, 10.0)
#: Convention zeros, which are moved and not multiplied.
STEPS = {"temperature": (-20.0, -5.0, 0.0, 25.0, 40.0, 60.0), "potential": (-1.1, -0.6, -0.2)}
SIZES = ("18 AWG", "10 AWG", "2 AWG", "4/0 AWG", "1.5 mm²", "35 mm²", "95 mm²")


@dataclass(frozen=True)
class Place:
    """One key of one entry of a boat file."""

    list_name: str
    index: int
    key: str
    record: type[Record]
    field: str

    @property
    def words(self) -> str:
        """The key as the records name it: ``bank.chemistry``."""
        return f"{self.list_name}.{self.key}"


def records() -> dict[str, type[Record]]:
    """Return every record that has a list of its own, and the boat."""
    lists = {name: info.annotation for name, info in BoatFile.model_fields.items()}
    return {"boat": Boat} | {n: get_args(a)[0] for n, a in lists.items() if n != "boat"}


def places(data: dict[str, Any]) -> Iterator[Place]:
    """Return every key of every entry of a boat file, those that are left out too."""
    for name, record in records().items():
        entries = [data[name]] if name == "boat" else data.get(name, [])
        for index in range(len(entries)):
            for field, info in record.model_fields.items():
                if field not in NAMES and not info.is_required():
                    yield Place(name, index, info.alias or field, record, field)


def entry_of(data: dict[str, Any], place: Place) -> dict[str, Any]:
    """Return the entry of a place."""
    found: dict[str, Any] = (
        data["boat"] if place.list_name == "boat" else data[place.list_name][place.index]
    )
    return found


def written(data: dict[str, Any], place: Place, value: Any) -> dict[str, Any]:
    """Return the boat file with a key written so."""
    other = copy.deepcopy(data)
    entry_of(other, place)[place.key] = value
    return other


def left_out(data: dict[str, Any], place: Place) -> dict[str, Any]:
    """Return the boat file with a key left out."""
    other = copy.deepcopy(data)
    entry_of(other, place).pop(place.key, None)
    return other


def values(data: dict[str, Any], place: Place) -> list[Any]:
    """Return values that a key may have, as they are written, the one noted first."""
    info = place.record.model_fields[place.field]
    noted = entry_of(data, place).get(place.key)
    found: list[Any] = [] if noted is None or noted == "?" else [noted]
    for kind in info.metadata:
        if isinstance(kind, OneOf):
            found += kind.words
        if isinstance(kind, Amount):
            found += _amounts(kind.quantity, found)
    if info.annotation is GaugeNoted:
        found += SIZES
    elif info.annotation is YearNoted:
        found += [1995, 2012, 2019, 2025]
    elif "int" in str(info.annotation):
        found += [1, 2, 3, 6]
    names = place.record.declarations[place.field].names
    known = [entry["id"] for name in names for entry in data.get(name, [])]
    found += [[one] for one in known] if "tuple" in str(info.annotation) else known
    return list({repr(value): value for value in found}.values())


def _amounts(quantity: str, noted: list[Any]) -> list[str]:
    known = units.QUANTITIES[quantity]
    if quantity in STEPS:
        return [f"{value:g} {known.base}" for value in STEPS[quantity]]
    if quantity in ("fraction", "percentage"):
        return ["2 %", "10 %", "50 %", "80 %", "100 %", "115 %"]
    if quantity == "ratio":
        return ["0.1", "0.6", "0.8", "1"]
    base = units.read(known.example, quantity)
    plain = [units.read(text, quantity) for text in noted if _exact(text, quantity)]
    taken = sorted({share * value for value in (base, *plain) for share in SHARES})
    return [f"{value:.6g} {known.base}" for value in taken]


def _exact(text: Any, quantity: str) -> bool:
    try:
        units.read(text, quantity)
    except (ValueError, TypeError, AttributeError):
        return False
    return True
