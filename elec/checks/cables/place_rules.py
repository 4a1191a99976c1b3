"""The distances of each family of placement rules, in metres."""

from __future__ import annotations

from elec import units
from elec.published import table

__all__ = ["FAMILIES", "LAW", "distances_m"]

FAMILIES = {"us": ("abyc_7", "abyc_40", "abyc_72"), "iso": ("iso_200", "iso_1800")}
LAW = ("cfr_0", "cfr_7", "cfr_40", "cfr_72")


def distances_m(rules: tuple[str, ...]) -> dict[str, float]:
    """Return the distance of each rule, inches where it is printed in inches [m]."""
    found = {}
    for rule in rules:
        row = table("ocpd_placement_rules").row(rule_id=rule)
        inches, millimetres = row["max_distance_in"], row["max_distance_mm"]
        number, unit = (inches, "in") if inches else (millimetres, "mm")
        found[rule] = units.to_base(float(number), unit, "length")
    return found
