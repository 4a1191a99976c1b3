"""Electrical gear in spaces with petrol: protected against ignition, or not."""

from __future__ import annotations

from collections.abc import Iterator

from elec.boat.records import (
    Boat,
    BoatFile,
    Charger,
    Entry,
    Generator,
    Inverter,
    Protection,
    Transformer,
)
from elec.checks.presence import presence_finding
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, NotChecked
from elec.published import table

_NAME = "ignition-protection"
_SPACES = ("engine", "fuel", "tank", "bilge", "lazarette")

_Gear = Charger | Inverter | Transformer | Generator | Protection


def _ignition(about: Boat, boat: BoatFile, _basis: str) -> Iterator[Answer]:
    """Ask for it where the boat has petrol aboard, of gear that may lie in its spaces."""
    if not about.fuel.may_be("petrol"):
        return
    marked = (*boat.charger, *boat.inverter, *boat.transformer, *boat.generator, *boat.protection)
    gear = [one for one in marked if _may_lie_there(one)]
    if about.fuel.is_surely("petrol"):
        yield from each(_NAME, gear, _judge)
        yield from _others(boat)
    elif gear:
        ids = ", ".join(entry.id for entry in gear)
        reason = "whether petrol is aboard was not noted"
        yield NotChecked(_NAME, ids, reason, None, "the fuel of her engines and tenders")


def _others(boat: BoatFile) -> Iterator[NotChecked]:
    """Say which other gear lies in such spaces: its mark has no place in the notes."""
    unmarked = (*boat.ac_load, *boat.dc_load, *boat.alternator, *boat.bus)
    found = [one.id for one in unmarked if one.where is not None and _may_lie_there(one)]
    if found:
        reason = "whether it is marked as protected against ignition was not asked"
        read = "the mark for ignition protection on each, with petrol aboard"
        yield NotChecked(_NAME, ", ".join(found), reason, None, read)


def _may_lie_there(entry: Entry) -> bool:
    return entry.where is None or any(word in entry.where.lower() for word in _SPACES)


def _judge(entry: _Gear) -> Finding:
    given = entry.ignition_protected
    place = f"in '{entry.where}'" if entry.where else "in a place not noted"
    return presence_finding(
        given,
        entry=entry,
        field="ignition_protected",
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


CHECK = Check(
    name=_NAME,
    judges="gear that may spark in spaces with petrol",
    system="AC and generator",
    place=201,
    of="boat",
    ask=_ignition,
)
