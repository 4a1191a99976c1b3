"""The alloy of an anode: the charge that a kilogram gives, and the voltage that it works at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.metals.corrosion_constants import Span, constant
from elec.errors import InputError
from elec.published import READ, Source, table

__all__ = ["Capacity", "capacity_of", "closed_circuit", "driving_V"]

_WARMTH = "temperature from which aluminium loses capacity"
_LOSS = "capacity of aluminium lost per kelvin"


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


@dataclass(frozen=True)
class Capacity:
    """The charge that a kilogram gives [Ah/kg], by which source what, and what warm water takes."""

    span: Span
    by_source: tuple[str, ...]
    warm: str
    sources: tuple[Source, ...]


def capacity_of(anode: Anode, boat: BoatFile) -> Capacity:
    """Return what a kilogram of its metal gives over all published values: none is averaged."""
    span, sources = _capacity(anode.material.word)
    listed = _by_source(anode.material.word)
    warmth, start = boat.boat.water_temperature, constant(_WARMTH)[0]
    if not anode.material.is_surely("aluminium") or not warmth.seen or warmth.span[2] <= start:
        return Capacity(span, listed, "", sources)
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


def _capacity(material: str) -> tuple[Span, tuple[Source, ...]]:
    """Return the charge a kilogram gives over all published design values [Ah/kg].

    Best is that of the newest DNV edition where it prints one, else the least.
    """
    rows = [row for row in _alloys(material) if row["capacity_Ah_per_kg"]]
    values = [float(row["capacity_Ah_per_kg"]) for row in rows]
    newest = [v for v, row in zip(values, rows, strict=True) if "2021" in row["source"]]
    return (min(values), newest[0] if newest else min(values), max(values)), _sources(rows)


def _by_source(material: str) -> tuple[str, ...]:
    """Return what each source prints, with its edition."""
    rows = [row for row in _alloys(material) if row["capacity_Ah_per_kg"]]
    found = [f"{float(row['capacity_Ah_per_kg']):g} Ah/kg, {row['source']}" for row in rows]
    return tuple(dict.fromkeys(found))


def closed_circuit(material: str) -> list[tuple[float, Source]]:
    """Return the working potentials printed, each with its edition [V, Ag/AgCl seawater]."""
    found: dict[float, Source] = {}
    for row in _alloys(material):
        for end in ("least", "most"):
            cell = row[f"closed_circuit_{end}_negative_V_AgAgCl"]
            if cell:
                found.setdefault(float(cell), _row_source(row))
    return sorted(found.items())


def driving_V(closed_circuit_V: Any) -> Any:
    """Return the voltage that drives current onto steel that is protected."""
    protected = constant("potential at which steel is protected by design")[0]
    return cathodic.driving_voltage_V(closed_circuit_V, protected_V=protected)
