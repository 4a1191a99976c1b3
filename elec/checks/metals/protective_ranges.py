"""Published ranges of protective potential, both ends, for the hull that a boat has or may have."""

from __future__ import annotations

from dataclasses import dataclass

from elec.boat.records import BoatFile, Metal
from elec.checks.metals import named_metals
from elec.checks.metals.salt_water import IMMERSED
from elec.published import Source, table

__all__ = ["Range", "least_of", "over_words", "ranges_for"]

_HULL_ROWS = {
    "grp": ("BOAT_GRP", "BOAT_GRP_E2"),
    "grp with aluminium drive": ("BOAT_GRP_DRV", "BOAT_DRV_E2"),
    "wood": ("BOAT_WOOD", "BOAT_WOOD_E2"),
    "steel": ("BOAT_FE", "BOAT_FE_E2", "ABS_FE_AER"),
    "aluminium": ("BOAT_AL", "BOAT_AL_E2", "AL_SHIP", "ISO_AL"),
}
_LEAST_ROWS = {
    "aluminium": "BOAT_MIN_AL",
    "iron_steel": "BOAT_MIN_FE",
    "stainless": "BOAT_MIN_SS",
    "copper": "BOAT_MIN_BR",
}


@dataclass(frozen=True)
class Range:
    """A published range of protective potential, both ends [V, Ag/AgCl seawater]."""

    hull: str
    by: str
    least_V: float
    most_V: float
    source: Source

    @property
    def words(self) -> str:
        """The range in words."""
        return f"{self.by} {self.least_V:.2f} to {self.most_V:.2f} V ({self.hull})"


def ranges_for(boat: BoatFile) -> list[Range]:
    """Return every published range with both ends that may hold for a boat."""
    return [_range(row_id) for kind in _kinds(boat) for row_id in _HULL_ROWS[kind]]


def _range(row_id: str) -> Range:
    held = table("hull_potential_criteria")
    row = held.row(row_id=row_id)
    return Range(
        row["hull_or_metal"],
        row["source"],
        float(row["least_negative_V"]),
        float(row["most_negative_V"]),
        held.source(row_id=row_id),
    )


def _kinds(boat: BoatFile) -> list[str]:
    hull = boat.boat.hull
    if not hull.seen:
        return list(_HULL_ROWS)
    if hull.is_surely("grp") and any(map(_aluminium_drive, boat.metal)):
        return ["grp with aluminium drive"]
    return [hull.word]


def _aluminium_drive(metal: Metal) -> bool:
    ids = named_metals.metal_ids(metal.metal)[:1]
    aluminium = any("aluminium" in i and "bronze" not in i for i in ids)
    return aluminium and metal.exposure.is_surely(*IMMERSED)


def over_words(boat: BoatFile) -> str:
    """Say what too negative a potential does to a boat."""
    if boat.boat.hull.is_surely("wood"):
        return "Too negative eats the wood round the fittings: it softens and goes white."
    if any("aluminium" in kind for kind in _kinds(boat)):
        return "Too negative attacks aluminium by the alkali that forms on it."
    return "Too negative lifts paint and makes hard steel brittle."


def least_of(metal: Metal) -> tuple[float, str] | None:
    """Return the least negative potential that protects a fitting [V], and who asks it of what."""
    found = named_metals.named(metal.metal, named_metals.yardstick("sea")).found
    families = {one.family for one in found}
    row_id = _LEAST_ROWS.get(families.pop()) if len(families) == 1 else None
    if row_id is None:
        return None
    held = table("hull_potential_criteria")
    row = held.row(row_id=row_id)
    least = held.exact("least_negative_V", row_id=row_id)
    return least, f"{row['source']} for a {row['hull_or_metal']}"
