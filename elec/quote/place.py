"""Where the lines of a quote belong aboard: what each replaces, and what it belongs to."""

from __future__ import annotations

import difflib

from elec.boat.records import BoatFile, Entry
from elec.errors import BoatFileError, Fault
from elec.quote.read import Given
from elec.quote.records import Line, QuoteFile
from elec.quote.words import item_of, meaning

__all__ = ["LISTS", "check_names", "item_of_line", "line_entry", "list_of", "new_id", "targets"]

#: The list of the boat file in which a quoted thing stands.
LISTS = {
    "cable": ("run",),
    "fuse": ("protection",),
    "battery": ("bank",),
    "charger": ("charger",),
    "inverter": ("inverter",),
    "alternator": ("alternator",),
    "solar": ("solar",),
    "inlet": ("inlet",),
    "cord": ("cord",),
    "transformer": ("transformer",),
    "generator": ("generator",),
    "windlass": ("dc_load", "run"),
    "thruster": ("dc_load", "run"),
}


def item_of_line(line: Line) -> str:
    """Return what a line is for: as stated, or by its unit and its words."""
    if line.item is not None:
        return line.item
    if line.unit is not None and meaning("unit", line.unit) == "h":
        return "labour"
    return item_of(line.text)


def line_entry(words: str) -> Entry:
    """Return what stands for a line where a finding asks for an entry."""
    return Entry.model_validate({"id": words[:60]})


def new_id(line: Line) -> str:
    """Return the id aboard of a thing that a line adds without replacing another."""
    return f"quote line {line.id}"[:60]


def list_of(boat: BoatFile, entry_id: str) -> str:
    """Return the name of the list in which an entry stands, or nothing."""
    return next((name for name, entry in boat.entries() if entry.id == entry_id), "")


def targets(line: Line, file: QuoteFile, boat: BoatFile) -> tuple[str, ...]:
    """Return the ids aboard that a line concerns, those of the lines that it names included."""
    found: list[str] = []
    for name in (*line.replaces, *line.belongs):
        if list_of(boat, name):
            found.append(name)
        elif (other := file.find(name)) is not None and other is not line:
            near = (new_id(other), *other.replaces, *other.belongs)
            found += [i for i in near if list_of(boat, i)]
    return tuple(dict.fromkeys(found))


def check_names(given: Given, boat: BoatFile, name: str) -> None:
    """Refuse lines that name what is neither aboard nor in the quote.

    Raises
    ------
    BoatFileError
        With every such name and the nearest known one.
    """
    aboard = [entry.id for _, entry in boat.entries()]
    lines = [line.id for line in given.file.line]
    faults = []
    for index, line in enumerate(given.file.line):
        for field, names, known in (
            ("replaces", line.replaces, aboard),
            ("for", line.belongs, [*aboard, *lines]),
        ):
            for wanted in names:
                if wanted in known:
                    continue
                near = difflib.get_close_matches(wanted, known, n=1, cutoff=0.4)
                where = "an entry of the boat file"
                faults.append(
                    Fault(
                        name,
                        given.line_number(index),
                        f"line '{line.id}'",
                        field,
                        f"'{wanted}' is not aboard '{boat.boat.name}'",
                        f"It must be the id of {where}"
                        + (" or of a line of the quote." if field == "for" else "."),
                        suggestion=near[0] if near else "",
                    )
                )
    if faults:
        raise BoatFileError(faults)
