"""Puts each thing of a quote into the boat, in place of what it replaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from elec.boat.records import (
    AcLoad,
    Alternator,
    BoatFile,
    Charger,
    Entry,
    Inverter,
    Protection,
    Run,
    Solar,
)
from elec.json_form import form
from elec.noted import YES, YES_OR_NO
from elec.quote.brings import CHANGES, EFFECTS
from elec.quote.place import LISTS, item_of_line, list_of, new_id, targets
from elec.quote.records import Line, QuoteFile

__all__ = ["Fitted", "Placed", "fit"]

#: These come last: they may belong to things that the quote adds.
_LAST = ("cable", "fuse")
_MODELS: dict[str, type[Entry]] = {
    "charger": Charger,
    "inverter": Inverter,
    "solar": Solar,
    "alternator": Alternator,
}


@dataclass(frozen=True)
class Placed:
    """One line that was put into the boat: what it became there, or why it was not put in."""

    line: str
    subject: str
    words: str

    JSON = form("line subject as", **{"as": "words"})


@dataclass(frozen=True)
class Fitted:
    """The boat with the quote carried out."""

    boat: BoatFile
    placed: tuple[Placed, ...]
    left: tuple[Placed, ...]


def fit(file: QuoteFile, boat: BoatFile) -> Fitted:
    """Return the boat as it would be with every line of the quote carried out."""
    placed: list[Placed] = []
    left: list[Placed] = []
    for line in file.line:
        item = item_of_line(line)
        for name in line.replaces:
            found = list_of(boat, name)
            if found not in LISTS.get(item, ()):
                words = f"a line for '{item}' cannot take the place of '{name}', listed as {found}"
                left.append(Placed(line.id, name, words))
                continue
            first = next((p.line for p in placed if p.subject == name), None)
            if first is not None:
                if not _again(line, file.find(first)):
                    words = f"line '{first}' takes the place of '{name}' already"
                    left.append(Placed(line.id, name, words))
                continue
            if found == "run" and item != "cable":
                boat = _put(boat, found, name, CHANGES[item](line, boat.find(name), boat))
            else:
                boat = _renewed(line, item, boat, found, name)
            placed.append(Placed(line.id, name, f"in place of '{name}'"))
            if item == "charger":
                boat = _without_stand_in(boat, name)
    for line in sorted(file.line, key=lambda ln: item_of_line(ln) in _LAST):
        if not line.replaces:
            boat = _added(line, item_of_line(line), file, boat, placed, left)
    return Fitted(boat, tuple(placed), tuple(left))


def _again(line: Line, first: Line | None) -> bool:
    """Whether a line is the same thing once more, as one line for each conductor of a cable."""
    return (
        first is not None
        and (line.size.show(), line.insulation, line.legend)
        == (
            first.size.show(),
            first.insulation,
            first.legend,
        )
        and item_of_line(line) == "cable"
    )


def _put(boat: BoatFile, list_name: str, name: str, changes: dict[str, Any]) -> BoatFile:
    entries = tuple(
        entry.model_copy(update=changes) if entry.id == name else entry
        for entry in getattr(boat, list_name)
    )
    return boat.model_copy(update={list_name: entries})


def _renewed(line: Line, item: str, boat: BoatFile, list_name: str, name: str) -> BoatFile:
    """Return the boat with a new thing in an old one's place; what was read off the old is gone."""
    old = boat.find(name)
    assert old is not None
    stays = [field for field, facts in old.declarations.items() if facts.stays]
    kept = {
        field: getattr(old, field)
        for field in ("id", "where", "kind", *stays)
        if getattr(old, field) is not None
    }
    fresh = type(old).model_construct(**kept)
    fresh = fresh.model_copy(update=CHANGES[item](line, old, boat))
    entries = tuple(fresh if e.id == name else e for e in getattr(boat, list_name))
    return boat.model_copy(update={list_name: entries})


def _without_stand_in(boat: BoatFile, name: str) -> BoatFile:
    """Take out the AC load that stood for a charger's input, so that the new one's counts."""
    charger = boat.find(name)
    inlet = charger.inlet if isinstance(charger, Charger) else None
    if inlet is None or sum(c.inlet == inlet for c in boat.charger) != 1:
        return boat

    def stands(load: AcLoad) -> bool:
        return load.inlet == inlet and "charger" in f"{load.kind} {load.id}".lower()

    kept = tuple(load for load in boat.ac_load if not stands(load))
    return boat.model_copy(update={"ac_load": kept})


def _added(
    line: Line,
    item: str,
    file: QuoteFile,
    boat: BoatFile,
    placed: list[Placed],
    left: list[Placed],
) -> BoatFile:
    """Return the boat with a line that takes no other thing's place."""
    near = targets(line, file, boat)
    if item in EFFECTS:
        list_name, changes = EFFECTS[item]
        hit = [name for name in near if list_of(boat, name) == list_name]
        for name in hit:
            boat = _put(boat, list_name, name, changes(line))
            placed.append(Placed(line.id, name, f"with '{name}'"))
        if not hit:
            left.append(Placed(line.id, "", f"the quote does not say for which {list_name} it is"))
        return boat
    if item not in LISTS:
        return boat
    if item == "fuse":
        run_ids = [r.id for r in boat.run if r.id in near or set(near) & {*r.serves, r.end}]
        held = [r.protection for r in boat.run if r.id in run_ids]
        for name in dict.fromkeys(name for name in held if name):
            boat = _renewed(line, item, boat, "protection", name)
            placed.append(Placed(line.id, name, f"in place of '{name}'"))
        on_bank = any(list_of(boat, name) == "bank" for name in near)
        if (held and all(held)) or (near and not run_ids and not on_bank):
            return boat  # where it sits is not noted aboard: it counts as there
        near = (*run_ids, *near)
    added_id = new_id(line)
    made = _new(line, item, added_id, near, boat)
    if made is None:
        left.append(Placed(line.id, "", f"the quote does not say what this {item} belongs to"))
        return boat
    list_name, entry = made
    placed.append(Placed(line.id, added_id, f"added as '{added_id}'"))
    boat = boat.model_copy(update={list_name: (*getattr(boat, list_name), entry)})
    if item == "fuse":
        for run in (r for r in boat.run if r.id in near and r.protection is None):
            boat = _put(boat, "run", run.id, {"protection": added_id})
    return boat


def _new(
    line: Line, item: str, added_id: str, near: tuple[str, ...], boat: BoatFile
) -> tuple[str, Entry] | None:
    """Return a new entry for a thing that replaces nothing, if what it belongs to is named."""

    def of(list_name: str) -> str | None:
        return next((name for name in near if list_of(boat, name) == list_name), None)

    first = boat.find(near[0]) if near else None
    where = first.where if first is not None else None
    entry: Entry
    if item == "cable":
        served = tuple(
            n for n in near if list_of(boat, n) in ("dc_load", "ac_load", "inverter", "charger")
        )
        if not served:
            return None
        entry = Run(id=added_id, where=where, serves=served)
    elif item == "fuse":
        if not any(r.id in near for r in boat.run) and of("bank") is None:
            return None
        at_battery = YES if of("bank") else YES_OR_NO
        entry = Protection.model_validate(
            {"id": added_id, "where": where, "at_battery": at_battery}
        )
    elif item in ("charger", "inverter", "solar", "alternator") and (bank := of("bank")):
        data = {"id": added_id, "where": where, "bank": bank}
        if item == "charger":
            data["inlet"] = of("inlet")
        entry = _MODELS[item].model_validate(data)
    else:
        return None
    changes = CHANGES[item](line, entry, boat)
    return LISTS[item][0], entry.model_copy(update=changes)
