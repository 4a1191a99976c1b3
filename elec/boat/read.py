"""Reads a boat file; every fault of the file is reported in one go, with its place and remedy."""

from __future__ import annotations

import datetime
import difflib
import tomllib
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from elec.boat import cross
from elec.boat.lines import Places
from elec.boat.records import BoatFile
from elec.errors import BoatFileError, Fault, InputError

__all__ = ["LARGEST_FILE_BYTES", "from_data", "read"]

LARGEST_FILE_BYTES = 4_000_000

_EXAMPLES = {
    "boat": '[boat]  name = "..."',
    "count": "count = 2",
    "in_series": "in_series = 2",
    "in_parallel": "in_parallel = 2",
    "bundled": "bundled = 3",
    "conductors_in_parallel": "conductors_in_parallel = 2",
    "when": 'when = ["shore", "anchor"]',
    "serves": 'serves = ["windlass"]',
    "conditions": 'conditions = ["evening"]',
    "surveyed": "surveyed = 2026-05-20",
}
#: How pydantic calls what is no list of entries, or no entry.
_NOT_AN_ENTRY = {"tuple_type", "list_type", "model_type", "dict_type"}
_STANDS = {"on": "closed", "off": "open"}


def read(path: Path | str) -> BoatFile:
    """Read a boat file.

    Parameters
    ----------
    path : Path or str
        A TOML file. [text]

    Returns
    -------
    BoatFile
        The boat, its entries cross-checked.

    Raises
    ------
    BoatFileError
        With every fault found: place, what was found, what is accepted, the nearest known word.
    """
    name = str(path)
    text = _text(Path(path), name)
    try:
        data = tomllib.loads(text)
    except ValueError as error:  # a decoding error, or a number of thousands of digits
        line = getattr(error, "lineno", None) or _line_of(str(error), text)
        raise BoatFileError(
            [
                Fault(
                    name,
                    line,
                    "",
                    "",
                    f"not valid TOML: {error}",
                    "Values stand in quotes, lists of entries under [[name]].",
                    example='[[inlet]]  id = "house"  rating = "50 A"',
                )
            ]
        ) from None
    except RecursionError:
        raise BoatFileError(
            [Fault(name, None, "", "", "not usable: nested too deeply", "Give a plain boat file.")]
        ) from None
    return from_data(data, name, Places(text))


def from_data(data: dict[str, Any], name: str, places: Places | None = None) -> BoatFile:
    """Return the boat that plain data describe, as a file's or as put together from options.

    Raises
    ------
    BoatFileError
        With every fault, each with its place if ``places`` knows it.
    """
    places = Places("") if places is None else places
    try:
        boat = BoatFile.model_validate(data)
    except ValidationError as error:
        faults = _faults(error, data, name, places)
        faults += cross.duplicate_ids(data, name, places)
        raise BoatFileError(_in_order(faults)) from None
    faults = cross.faults(boat, data, name, places)
    if faults:
        raise BoatFileError(_in_order(faults))
    return boat


def _in_order(faults: list[Fault]) -> list[Fault]:
    return sorted(faults, key=lambda fault: (fault.line or 0, fault.entry, fault.field))


def _line_of(message: str, text: str) -> int | None:
    import re

    if found := re.search(r"at line (\d+)", message):
        return int(found[1])
    return len(text.splitlines()) or None if "end of document" in message else None


def _text(path: Path, name: str) -> str:
    def refuse(found: str, accepted: str) -> BoatFileError:
        return BoatFileError([Fault(name, None, "", "", found, accepted)])

    try:
        if path.is_dir():
            raise refuse("it is a directory", "Name a boat file, as in 'elec survey boat.toml'.")
        if not path.exists():
            raise refuse(
                "there is no such file",
                "Name a boat file; 'elec start boat.toml' writes a blank one.",
            )
        if not path.is_file():
            raise refuse("it is not a plain file", "Name a boat file.")
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise refuse(
                f"the file is {path.stat().st_size:,} bytes",
                f"A boat file has at most {LARGEST_FILE_BYTES:,} bytes.",
            )
        content = path.read_bytes()
    except OSError as error:
        raise refuse(
            f"cannot be read ({error.strerror or error})", "Check its name and permissions."
        ) from None
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise BoatFileError(
            [
                Fault(
                    name,
                    line,
                    "",
                    "",
                    f"not UTF-8 text (byte {content[error.start]:#04x})",
                    "Save the file as UTF-8.",
                )
            ]
        ) from None
    if not text.strip():
        raise refuse(
            "the file is empty", "A boat file begins with [boat]; 'elec start' writes a blank one."
        )
    return text


def _faults(error: ValidationError, data: Any, name: str, places: Places) -> list[Fault]:
    found: list[Fault] = []
    seen: set[tuple[Any, ...]] = set()
    for item in error.errors(include_url=False):
        where = _place(item["loc"])
        if where in seen:
            continue
        seen.add(where)
        found.append(_fault(item, where, data, name, places))
    return found


def _place(loc: tuple[int | str, ...]) -> tuple[int | str, ...]:
    """Cut the location down to entry, field and, for nested entries, their index and field."""
    model: Any = BoatFile
    kept: list[int | str] = []
    for part in loc:
        if isinstance(part, int):
            kept.append(part)
            continue
        if model is None:
            break
        kept.append(part)
        model = _model_of(model, part)
    return tuple(kept)


def _keys(model: type[BaseModel]) -> dict[str, Any]:
    return {info.alias or field: info for field, info in model.model_fields.items()}


def _model_of(model: type[BaseModel], key: str) -> type[BaseModel] | None:
    info = _keys(model).get(key)
    return None if info is None else _first_model(info.annotation)


def _first_model(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in (tuple, list, Union, UnionType):
        return next((m for m in map(_first_model, get_args(annotation)) if m), None)
    return None


@dataclass(frozen=True)
class _Item:
    """What pydantic refused, and where in the file it stands."""

    kind: str
    given: Any
    context: dict[str, Any]
    list_name: str
    key: str  # of the entry's field, blank for the entry or its list
    model: type[BaseModel] | None
    file: str
    line: int | None
    entry: str

    @property
    def head(self) -> str:
        """How an entry of its list begins."""
        return "[boat]" if self.list_name == "boat" else f"[[{self.list_name}]]"

    def fault(self, found: str, accepted: str, example: str = "", suggestion: str = "") -> Fault:
        """Return the fault of this field."""
        return Fault(
            self.file, self.line, self.entry, self.key, found, accepted, example, suggestion
        )

    def list_fault(self, line: int | None, found: str, accepted: str, **more: str) -> Fault:
        """Return the fault of its list."""
        return Fault(self.file, line, "", self.list_name, found, accepted, **more)


def _item(item: Any, where: tuple[int | str, ...], data: Any, name: str, places: Places) -> _Item:
    list_name = str(where[0]) if where else ""
    index = where[1] if len(where) > 1 and isinstance(where[1], int) else 0
    fields = [str(part) for part in where[1:] if isinstance(part, str)]
    key = fields[-1] if fields else ""
    entry = _entry_words(list_name, index, data)
    line = places.of(list_name, index, fields[0]) if fields else places.of(list_name, index)
    if len(fields) > 1:
        deeper = [part for part in where[2:] if isinstance(part, int)]
        nested = deeper[0] if deeper else 0
        line = places.of(f"{list_name}.{fields[0]}", index, key, nested=nested) or line
        entry = f"{entry}, {fields[0]} {nested + 1}"
    model: Any = BoatFile
    for part in where[:-1]:
        if isinstance(part, str) and model is not None:
            model = _model_of(model, part)
    context = item.get("ctx", {})
    return _Item(item["type"], item.get("input"), context, list_name, key, model, name, line, entry)


def _fault(item: Any, where: tuple[int | str, ...], data: Any, name: str, places: Places) -> Fault:
    one = _item(item, where, data, name, places)
    shown, example = _short(one.given), _EXAMPLES.get(one.key or one.list_name, "")
    cause = one.context.get("error")
    if one.kind == "extra_forbidden":
        return _unknown(one, places)
    if one.kind == "missing" and one.key:
        return one.fault("missing", "It is needed.", example or f'{one.key} = "..."')
    if one.kind == "missing":
        example = example or f'{one.list_name} = "..."'
        return one.list_fault(one.line, "missing", "It is needed.", example=example)
    if isinstance(cause, InputError):
        return one.fault(cause.message, cause.remedy)
    if one.kind in _NOT_AN_ENTRY and not one.key:
        first = "name" if one.list_name == "boat" else "id"
        return one.list_fault(
            one.line or places.of(one.list_name),
            f"{shown} is no entry",
            f"Write each entry under its own {one.head}.",
            example=f'{one.head}  {first} = "..."',
        )
    if one.kind in {"tuple_type", "list_type"}:
        example = example or f'{one.key} = ["..."]'
        return one.fault(f"{shown} is no list", "Give a list, in brackets.", example)
    if one.kind.startswith("date"):
        remedy = "Give the date alone, without quotes or time."
        return one.fault(f"{shown} is no plain date", remedy, "surveyed = 2026-05-20")
    if one.kind == "literal_error" and "in_" not in one.key and one.key != "bundled":
        return _no_such_word(one)
    accepted = _accepted_number(_keys(one.model).get(one.key) if one.model else None)
    return one.fault(f"{shown} cannot be used here", accepted, example)


def _unknown(one: _Item, places: Places) -> Fault:
    known = list(_keys(one.model)) if one.model is not None else []
    unknown = one.key or one.list_name
    near = difflib.get_close_matches(unknown, known, n=1, cutoff=0.5)
    accepted, suggestion = f"Known here: {', '.join(known)}.", near[0] if near else ""
    if one.key:
        return one.fault(f"unknown key '{unknown}'", accepted, suggestion=suggestion)
    line = places.of(one.list_name)
    return one.list_fault(line, f"unknown list '{unknown}'", accepted, suggestion=suggestion)


def _no_such_word(one: _Item) -> Fault:
    expected = str(one.context["expected"])
    words = [word.strip("' ") for word in expected.replace(" or ", ", ").split(", ")]
    word = str(one.given).strip().lower()
    near = difflib.get_close_matches(word, words, n=1, cutoff=0.5)
    if one.key == "switch":  # "on" is spelled more like "open" than like "closed"
        near = [_STANDS[word]] if word in _STANDS else near
    return one.fault(
        f"{_short(one.given)} is not known here",
        f"Accepted: {expected}.",
        suggestion=near[0] if near else "",
    )


def _accepted_number(info: Any) -> str:
    """Return which whole numbers a field takes; those of words take words."""
    if info is None or "int" not in str(info.annotation):
        return "Give words in quotes."
    nested = (getattr(arg, "__metadata__", ()) for arg in get_args(info.annotation))
    bounds = [*info.metadata, *(m for held in nested for one in held for m in one.metadata)]
    low = next(b.ge for b in bounds if hasattr(b, "ge"))
    high = next(b.le for b in bounds if hasattr(b, "le"))
    unseen = ', or "?" if not seen' if "'?'" in str(info.annotation) else ""
    return f"Give a whole number from {low} to {high}{unseen}."


def _short(given: Any) -> str:
    text = given.isoformat() if isinstance(given, datetime.date) else repr(given)
    return text if len(text) <= 60 else text[:57] + "..."


def _entry_words(list_name: str, index: int, data: Any) -> str:
    if list_name == "boat":
        return "boat"
    try:
        entry = data[list_name][index]
        entry_id = entry.get("id")
    except (KeyError, IndexError, TypeError, AttributeError):
        return list_name
    same = Counter(
        e.get("id") for e in data[list_name] if isinstance(e, dict) and isinstance(e.get("id"), str)
    )
    if isinstance(entry_id, str) and same[entry_id] == 1:
        return f"{list_name} '{entry_id}'"
    return f"{list_name} number {index + 1}"
