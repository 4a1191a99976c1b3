"""A commented blank boat file, and a walk sheet to print; both made from the records."""

from __future__ import annotations

from typing import Any, get_args, get_origin

from pydantic.fields import FieldInfo

from elec import units
from elec.boat.declared import Declaration, Record
from elec.boat.fields import Amount, GaugeNoted, OneOf, YearNoted
from elec.boat.records import STANDARD_CONDITIONS, BoatFile

__all__ = ["blank_boat", "walk_sheet"]

_HEAD = """\
# Boat file. Fill in what was seen; delete the rest, or leave it commented out.
#
# Every physical value stands in quotes with its unit:
#   "50 A"            read off a plate or measured
#   "20..30 ft"       somewhere in a range
#   "~25 ft"          about: 20 % either way; "~25 ft ± 10 %" says how much
#   "?"               not seen (leaving the line out says the same)
# Each entry has an id of its own, and may have
#   where = "..."     place aboard, by which the go-back list is grouped
#   kind  = "..."     entry of the catalogue of typical gear ('elec table typical_gear')
#   year, note
# A list may have as many entries as there are things aboard: repeat its [[heading]].
"""

_SHEET_HEAD = """\
WALK SHEET

Boat: ______________________  Place: ____________________  Date: ______________

Turn nothing on or off without the owner's word. Open no panel that is live: isolate
it, lock it off and prove it dead first, or leave it to a licensed marine electrician.
Write what is read; write "?" for what is not seen.
"""

#: Places aboard, in the order of a walk, and the lists looked at in each.
_PLACES = (
    ("Deck and cockpit", ("inlet", "cord", "solar")),
    ("Main panel", ("bus", "protection", "transformer", "inverter", "terminal")),
    ("Galley, saloon, cabins", ("ac_load", "dc_load")),
    ("Engine space", ("generator", "alternator", "charger")),
    ("Battery spaces", ("bank", "run")),
    ("Bow and stern lockers", ("dc_load", "run")),
    ("Bilge and hull, inside", ("couple",)),
    ("Hull, outside (hauled)", ("metal", "anode", "reading")),
)


def _lists() -> dict[str, type[Record]]:
    found = {}
    for name, info in BoatFile.model_fields.items():
        annotation = info.annotation
        model = get_args(annotation)[0] if get_origin(annotation) is tuple else annotation
        found[name] = model
    return found  # type: ignore[return-value]


def _amount_of(info: FieldInfo) -> Amount | None:
    return next((m for m in info.metadata if isinstance(m, Amount)), None)


def _example(key: str, info: FieldInfo, facts: Declaration | None) -> str:
    if facts is not None and facts.example:
        return facts.example
    if facts is not None and facts.names:
        one = f'"{facts.names[0]} 1"'
        return f"[{one}]" if "tuple" in str(info.annotation) else one
    if amount := _amount_of(info):
        return f'"{units.QUANTITIES[amount.quantity].example}"'
    if info.annotation is GaugeNoted:
        return '"2 AWG"'
    if info.annotation is YearNoted:
        return "2016"
    if key == "surveyed":
        return "2026-05-20"
    if key == "when":
        return '["shore", "anchor"]'
    if key == "conditions":
        return '["evening"]'
    accepted = _accepted(info)
    if "yes" in accepted:
        return '"?"'
    if accepted and "int" not in accepted:
        return f'"{accepted[0]}"'
    if "int" in accepted:
        return "2"
    return '"..."'


def _accepted(info: FieldInfo) -> list[str]:
    """Return the words that a field takes, and "int" where it takes a whole number."""
    choice = next((kind for kind in info.metadata if isinstance(kind, OneOf)), None)
    return [*choice.words, "?"] if choice else _literals(info.annotation)


def _literals(annotation: Any) -> list[str]:
    found: list[str] = []
    for arg in get_args(annotation) or (annotation,):
        if arg is int:
            found.append("int")
        elif isinstance(arg, str):
            found.append(arg)
        elif get_args(arg):
            found.extend(_literals(arg))
    return found


def _comment(info: FieldInfo) -> str:
    words = [info.description] if info.description else []
    accepted = [word for word in _accepted(info) if word != "int"]
    if accepted == ["?"]:
        accepted = []
    if accepted and not _amount_of(info):
        words.append(" | ".join(accepted))
    return f"  # {'; '.join(words)}" if words else ""


def blank_boat() -> str:
    """Return a commented blank boat file; with the comment marks off it is a valid one."""
    lines = [_HEAD]
    for name, model in _lists().items():
        single = name == "boat"
        lines.append(f"# {(model.__doc__ or '').strip()}")
        lines.append("[boat]" if single else f"# [[{name}]]")
        for field, info in model.model_fields.items():
            key, facts = info.alias or field, model.declarations.get(field)
            if field == "string" or (field == "kind" and not (facts and facts.example)):
                continue
            mark = "" if single and info.is_required() else "# "
            value = '"Name of the boat"' if key == "name" else _example(key, info, facts)
            if key == "id":
                value = f'"{name} 1"'
            if facts is not None and facts.instead:
                mark = "# or "
            lines.append(f"{mark}{key} = {value}{_comment(info)}")
        if name == "bank":
            lines.append("# Each of its parallel strings, where they differ:")
            lines += ["# [[bank.string]]", "# year = 2016", '# date_code = "C5"']
            lines += ["# [[bank.string]]", "# year = 2022", '# remaining = "80 %"']
        lines.append("")
    lines.append(f"# Conditions every boat has: {', '.join(STANDARD_CONDITIONS)}.")
    return "\n".join(lines) + "\n"


def walk_sheet() -> str:
    """Return a sheet to print, by place aboard, with what to read at each thing there."""
    lists = _lists()
    lines = [_SHEET_HEAD]
    for place, names in _PLACES:
        lines.append(f"{place.upper()}\n{'-' * len(place)}")
        for name in names:
            model = lists[name]
            keys = [
                (info.alias or field).replace("_", " ")
                for field, info in model.model_fields.items()
                if field in model.declarations and model.declarations[field].on_sheet
            ]
            lines.append(f"{(model.__doc__ or name).strip().rstrip('.')}:")
            line = "   "
            for key in keys:
                item = f"{key} ________  "
                if len(line) + len(item) > 84:
                    lines.append(line.rstrip())
                    line = "   "
                line += item
            lines.append(line.rstrip())
        lines.append("")
    return "\n".join(lines) + "\n"
