"""What the checks of a shore earth share: metal that it may reach, and what a cut one means."""

from __future__ import annotations

from elec.boat.records import BoatFile

__all__ = ["CUTS_EARTH", "SALT", "has_wet_metal"]

SALT = ("sea", "brackish")
CUTS_EARTH = (
    "An isolator that has failed open has cut the safety earth: a fault aboard then makes metal "
    "and water live."
)


def has_wet_metal(boat: BoatFile) -> bool:
    """Return whether metal was noted in the water, which a shore earth could join to others."""
    immersed = any(metal.exposure.is_surely(*SALT, "fresh") for metal in boat.metal)
    return immersed or boat.boat.hull.is_surely("steel", "aluminium") or bool(boat.anode)
