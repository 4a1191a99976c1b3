"""Electrical gear in spaces with petrol: protected against ignition, or not."""

from __future__ import annotations

from elec.boat.records import BoatFile, Entry
from elec.checks.presence import presence_finding
from elec.finding import Finding, NotChecked
from elec.noted import Choice
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "ignition-protection"
CHECKS = (CHECK,)
_LISTS = ("charger", "inverter", "transformer", "generator", "protection")
_SPACES = ("engine", "fuel", "tank", "bilge", "lazarette")


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask for it where the boat has petrol aboard, of gear that may lie in its spaces."""
    gear = [entry for name in _LISTS for entry in getattr(boat, name) if _may_lie_there(entry)]
    if boat.boat.fuel.is_surely("diesel", "none"):
        return [], []
    if not gear:
        return [], _others(boat) if boat.boat.fuel.is_surely("petrol") else []
    if not boat.boat.fuel.seen:
        ids = ", ".join(entry.id for entry in gear)
        reason = "whether petrol is aboard was not noted"
        return [], [NotChecked(CHECK, ids, reason, None, "the fuel of her engines and tenders")]
    return [_judge(entry) for entry in gear], _others(boat)


def _others(boat: BoatFile) -> list[NotChecked]:
    """Say which other gear lies in such spaces: its mark has no place in the notes."""
    found = [
        entry.id
        for name in ("ac_load", "dc_load", "alternator", "bus")
        for entry in getattr(boat, name)
        if entry.where is not None and _may_lie_there(entry)
    ]
    if not found:
        return []
    reason = "whether it is marked as protected against ignition was not asked"
    read = "the mark for ignition protection on each, with petrol aboard"
    return [NotChecked(CHECK, ", ".join(found), reason, None, read)]


def _may_lie_there(entry: Entry) -> bool:
    return entry.where is None or any(word in entry.where.lower() for word in _SPACES)


def _judge(entry: Entry) -> Finding:
    given: Choice = entry.ignition_protected  # type: ignore[attr-defined]
    place = f"in '{entry.where}'" if entry.where else "in a place not noted"
    return presence_finding(
        given,
        check=CHECK,
        entry=entry,
        field="ignition protection",
        read=f"the mark for ignition protection on '{entry.id}', and whether petrol is near it",
        words={
            "yes": f"'{entry.id}' {place} is marked as protected against ignition.",
            "no": f"'{entry.id}' {place} is not protected against ignition, with petrol aboard: "
            "its spark can set off vapour.",
            "?": f"Whether '{entry.id}' {place} is protected against ignition was not seen, with "
            "petrol aboard.",
        },
        worst="A" if given.is_surely("no") else "B",
        sources=[table("shore_protection_rules").source(rule_id="ignition")],
        remedy=f"Move '{entry.id}' out of every space that petrol vapour can reach, or fit gear "
        "that is marked for it.",
        caution="Petrol vapour is heavier than air and explodes: air the space and sniff before "
        "anything is switched."
        if given.is_surely("no")
        else None,
        notes=["A space open to the one with the engine or tank counts with it."],
    )
