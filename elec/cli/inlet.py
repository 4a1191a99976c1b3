"""The inlet command: a load list against an inlet without a boat file, by the same checks."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from elec.errors import InputError

if TYPE_CHECKING:
    from elec.boat.records import BoatFile
    from elec.survey import Survey

__all__ = ["Asked", "judge_inlet"]

_CHECKS = ("inlet-load", "inlet-demand", "leg-balance", "load-card")
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
_EXAMPLE = "--load 'water heater 3000W 240V' --load 'microwave 12.9A 120V L2'"
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
_PLACE = "the options"
#: The options that fields of the one inlet and its cord come from.
_OPTIONS = {
    "inlet 'inlet', ": "--",
    "cord 'cord', size": "--cord",
    "cord 'cord', length": "--cord-length",
    "boat, ": "--",
}
_MOST_ALIKE = 1000


@dataclass(frozen=True)
class Asked:
    """The options as typed; None for what was not given."""

    rating: str
    service: str
    load: Sequence[str]
    loads: Path | None
    supply: str | None
    area: str | None
    length: str | None
    cord: str | None
    cord_length: str | None
    basis: str | None


def judge_inlet(asked: Asked, *, json: bool, brief: bool) -> int:
    """Judge the inlet, print findings and the load card; return the exit code."""
    from elec.cli.writing import give
    from elec.survey import survey

    boat = _boat(asked)
    found = survey(boat, only=(*_CHECKS, "cord") if boat.cord else _CHECKS)
    if not boat.inlet[0].rating.seen:
        boat = _rated(boat)
        card = survey(boat, basis=found.basis, only=["load-card"])
        others = [item for item in found.not_checked if item.check != "load-card"]
        found = replace(found, cards=card.cards, not_checked=(*others, *card.not_checked))
    if json:
        from elec.report.json_text import document, written

        give(written(document(found) | document(_sums(boat, found))), None, False)
        return found.exit_code
    from elec.cli.surveying import wants_colour
    from elec.report.text import render as render_text

    give(render_text([found], colour=wants_colour(), working=not brief), None, False)
    return found.exit_code


# -- reading what was typed ----------------------------------------------------------------------


def _boat(asked: Asked) -> BoatFile:
    from elec.boat.read import from_data

    service = _service(asked.service)
    entries = [_typed(text) for text in asked.load] + _listed(asked.loads)
    if not entries:
        raise InputError(
            "no load was given.", remedy=f"Give each as {_EXAMPLE}, or a list as --loads FILE.csv."
        )
    taken: dict[str, int] = {}
    for entry in entries:
        name = entry["id"]
        taken[name] = taken.get(name, 0) + 1
        if taken[name] > 1:
            entry["id"] = f"{name} {taken[name]}"
        if "current" in entry and "volts" not in entry and (volts := _volts(service, entry)):
            entry["volts"] = volts
    inlet = {"id": "inlet", "rating": asked.rating, "service": service}
    if asked.supply is not None:
        inlet["supply"] = asked.supply
    if asked.area is not None:
        inlet["area"] = asked.area
    basis = asked.basis or ("iso" if service.startswith("230") else "us")
    about: dict[str, Any] = {"name": "One inlet", "basis": basis}
    if asked.length is not None:
        about["length"] = asked.length
    data: dict[str, Any] = {"boat": about, "inlet": [inlet], "ac_load": entries}
    if asked.cord is not None or asked.cord_length is not None:
        cord = {"id": "cord", "inlet": "inlet", "size": asked.cord or "?"}
        data["cord"] = [cord | ({"length": asked.cord_length} if asked.cord_length else {})]
    try:
        boat = from_data(data, _PLACE)
    except InputError as error:
        raise _as_typed(error) from None
    _power_known(boat)
    return boat


def _as_typed(error: InputError) -> InputError:
    """Return an error of what the options were put into, in the words of the options."""
    text = error.message.replace(f"{_PLACE}: ", "")
    text = re.sub(r"\bac_load ('[^']*'), (\w+)", lambda m: f"--load {m[1]}, {_said(m[2])}", text)
    for field, option in _OPTIONS.items():
        text = re.sub(rf"(?m)^{re.escape(field)}", option, text)
    text = text.replace(" at 'inlet'", " at the inlet")
    return InputError(text, remedy=error.remedy)


def _said(field: str) -> str:
    return field.replace("_", " ")


def _volts(service: str, entry: dict[str, Any]) -> str | None:
    """Return the volts that the legs typed with a load leave it; none if they leave two."""
    from elec.boat.ac_loads import SERVICES

    supply = SERVICES[service]
    legs = entry.get("legs")
    if len(supply.legs) == 1 or legs in supply.legs:
        return f"{supply.to_neutral_V:g} V"
    return f"{supply.between_legs_V:g} V" if legs and supply.between_legs_V else None


def _service(text: str) -> str:
    from elec.boat.spellings import service_named

    if text.strip() == "?":
        raise InputError(
            "--service: nothing can be judged without it.",
            remedy="Give the voltages moulded on the inlet, as '120/240 V' or '230 V'.",
        )
    try:
        return str(service_named(text))
    except InputError as error:
        raise InputError(f"--service: {error.message}", remedy=error.remedy) from None


def _typed(text: str) -> dict[str, Any]:
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
        raise InputError(f"--load: '{text}' has no name.", remedy=f"Give it as {_EXAMPLE}.")
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


def _listed(path: Path | None) -> list[dict[str, Any]]:
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


def _power_known(boat: BoatFile) -> None:
    """Refuse a load of which nothing is known: here it could only be left out."""
    from elec.boat.typical import power

    for load in boat.ac_load:
        if not (load.current.seen or load.apparent_power.seen) and power(load) is None:
            raise InputError(
                f"load '{load.id}': no current or power, and no typical range is held for it.",
                remedy=f"Give it as {_EXAMPLE}, or name it as 'elec table typical_gear' does.",
            )


def _rated(boat: BoatFile) -> BoatFile:
    """Return the boat with the range of ratings that the findings take for one not read."""
    from elec import noted
    from elec.checks.question import Question
    from elec.checks.shore.inlet_rating import ask_rating

    (inlet,) = boat.inlet
    question = Question()
    ask_rating(question, inlet)
    (listed,) = question.typical
    rating = noted.between(
        *question.ends("rating_A"),
        "current",
        best=question.best("rating_A"),
        origin="typical",
        source=listed.source,
        text="not seen",
    )
    return boat.model_copy(update={"inlet": (inlet.model_copy(update={"rating": rating}),)})


# -- the sums beside the findings ----------------------------------------------------------------


def _sums(boat: BoatFile, found: Survey) -> dict[str, Any]:
    """Return legs, neutral, limits and sets, as the JSON document has them."""
    from elec.boat.ac_loads import SERVICES, practice
    from elec.checks.legs.leg_sums import leg_sums, neutral_sums

    (inlet,) = boat.inlet
    service = SERVICES[inlet.service.word]
    low, best, high = inlet.rating.span
    share, _, _ = practice("hours-long load")
    return {
        "legs": leg_sums(boat, inlet, service),
        "neutral": neutral_sums(boat, inlet, service),
        "limits": {
            "rating": {"low": low, "best": best, "high": high, "unit": "A"},
            "hours_long": {
                "low": share * low,
                "best": share * best,
                "high": share * high,
                "unit": "A",
            },
        },
        "sets": found.cards[0] if found.cards else None,
    }
