"""The loads of the inlet command: each as typed, or a row of a load list."""

from __future__ import annotations

import csv
import difflib
import re
from pathlib import Path
from typing import Any

from elec.errors import InputError

__all__ = ["EXAMPLE", "listed", "typed"]

_COLUMNS = (
    "load",
    "power",
    "current",
    "apparent_power",
    "cooling",
    "power_factor",
    "third_harmonic",
    "volts",
    "legs",
    "count",
    "use",
    "behaviour",
    "kind",
    "where",
)
EXAMPLE = "--load 'water heater 3000W 240V' --load 'microwave 12.9A 120V L2'"
#: What a value with a unit is, by field.
_QUANTITIES = {
    "power": "power",
    "current": "current",
    "apparent_power": "apparent_power",
    "cooling": "cooling",
    "volts": "voltage",
}
_LEGS = ("L1", "L2", "L3", "L1-L2", "L2-L3", "L3-L1")
_BEHAVIOURS = {"motor": "motor", "resistance": "resistance", "constant": "constant power"}
_LONGEST = 1_000_000
_MOST_ALIKE = 1000


def typed(text: str) -> dict[str, Any]:
    """Read one load as typed: its name, then values and words in any order."""
    joined = _units_joined(text)
    joined = re.sub(r"\bpf\s*=?\s*", "pf", joined, flags=re.I)
    joined = re.sub(r"\b(pf\S+)\s+(?=(leading|lagging)\b)", r"\1", joined, flags=re.I)
    entry: dict[str, Any] = {}
    name: list[str] = []
    for word in joined.split():
        if not _value(word, entry, text):
            name.append(word)
    if not name:
        raise InputError(f"--load: '{text}' has no name.", remedy=f"Give it as {EXAMPLE}.")
    return _named(" ".join(name), entry)


def _units_joined(text: str) -> str:
    """Return a load as typed with every value written as one word."""
    from elec import units

    spellings = {unit for name in _QUANTITIES.values() for unit in units.QUANTITIES[name].units}
    known = "|".join(re.escape(unit) for unit in sorted([*spellings, "%"], key=len, reverse=True))
    joined = re.sub(r"\s*(±|\+/-|\+-)\s*", "±", text.strip())
    joined = re.sub(r"(?<=~)\s+(?=[\d.])", "", joined)
    return re.sub(rf"(?<=\d)\s+(?=(?:{known})(?![\w/]))", "", joined, flags=re.I)


def _named(name: str, entry: dict[str, Any]) -> dict[str, Any]:
    from elec.boat.typical import gear

    entry.setdefault("id", name)
    entry["inlet"] = "inlet"
    entry.setdefault("when", ["shore"])
    if "kind" not in entry and gear(name, "ac") is not None:
        entry["kind"] = name
    return entry


def _value(word: str, entry: dict[str, Any], text: str) -> bool:
    """Put a word into the entry if it is a value or a word of ours; say whether it was."""
    from elec.boat.spellings import legs_named

    if (legs := legs_named(word)) in _LEGS or word == "all":
        _put(entry, "legs", legs, text)
    elif word.lower() in ("always", "choice"):
        _put(entry, "use", word.lower(), text)
    elif word.lower() in _BEHAVIOURS:
        _put(entry, "behaviour", _BEHAVIOURS[word.lower()], text)
    elif found := re.fullmatch(r"[x×](\d+)", word.lower()):
        _put(entry, "count", _whole(found[1], f"--load '{text}'"), text)
    elif found := re.fullmatch(r"pf(-?[\d.]+)(leading|lagging)?", word.lower()):
        _put(entry, "power_factor", f"{found[1]} {found[2] or ''}".strip(), text)
    elif re.match(r"[~-]?\.?\d", word):
        _put(entry, _quantity_of(word, text), word, text)
    else:
        return word == "?"  # nothing was read, which leaving it out says too
    return True


def _quantity_of(word: str, text: str) -> str:
    """Return the field that a value is of, by its unit."""
    from elec import noted, units

    last = re.split("±", word.removeprefix("~"))[0].split("..")[-1]
    unit = units.split_unit(last)[1]
    for field, quantity in _QUANTITIES.items():
        if unit in units.QUANTITIES[quantity].units:
            noted.read(word, quantity)
            return field
    more = "" if unit else " How many stands as x2; a number in a name is tied to it: 'pump-2'."
    raise InputError(
        f"--load: '{word}' in '{text}' " + ("is no value of a load." if unit else "has no unit."),
        remedy=f"Give W, kW, A, VA, kVA, BTU/h or V, as in 'water heater 3000W 240V'.{more}",
    )


def _put(entry: dict[str, Any], field: str, value: Any, text: str) -> None:
    if field in entry:
        raise InputError(
            f"--load: '{text}' gives {field.replace('_', ' ')} twice.", remedy="Give it once."
        )
    entry[field] = value


def listed(path: Path | None) -> list[dict[str, Any]]:
    """Read a load list: CSV with a header, one row a load."""
    if path is None:
        return []
    try:
        if path.stat().st_size > _LONGEST:
            raise InputError(f"'{path}' is too long for a load list.", remedy="At most 1 MB.")
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise InputError(
            f"'{path}' cannot be read ({error.strerror}).", remedy="Name a CSV file."
        ) from None
    except UnicodeDecodeError:
        raise InputError(f"'{path}' is not UTF-8 text.", remedy="Save it as UTF-8.") from None
    rows = list(csv.reader(text.splitlines()))
    header = [cell.strip().lower().replace(" ", "_") for cell in rows[0]] if rows else []
    if "load" not in header:
        raise InputError(
            f"'{path}' has no column 'load'.", remedy=f"Columns: {', '.join(_COLUMNS)}."
        )
    for name in header:
        if name not in _COLUMNS:
            near = difflib.get_close_matches(name, _COLUMNS, n=1, cutoff=0.5)
            hint = f" Did you mean '{near[0]}'?" if near else ""
            raise InputError(
                f"'{path}': unknown column '{name}'.",
                remedy=f"Columns: {', '.join(_COLUMNS)}.{hint}",
            )
    entries = []
    for number, cells in enumerate(rows[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(header):
            raise InputError(
                f"'{path}', line {number}: {len(cells)} cells, not {len(header)}.",
                remedy="Put a value that holds a comma in quotes.",
            )
        entry: dict[str, Any] = {
            key: cell.strip() for key, cell in zip(header, cells, strict=True) if cell.strip()
        }
        name = entry.pop("load", "")
        if not name:
            raise InputError(f"'{path}', line {number}: no name.", remedy="Name every load.")
        if "count" in entry:
            entry["count"] = _whole(entry["count"], f"'{path}', line {number}")
        entries.append(_named(name, entry))
    return entries


def _whole(text: str, place: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= _MOST_ALIKE):
        raise InputError(
            f"{place}: count '{text}'.", remedy=f"Give a whole number from 1 to {_MOST_ALIKE}."
        )
    return int(text)
