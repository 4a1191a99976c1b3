"""Reads a quote, TOML or a yard's CSV; every fault of the file in one go, with place and remedy."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from elec.boat.lines import Places
from elec.errors import BoatFileError, Fault, InputError
from elec.json_form import form
from elec.quote import money
from elec.quote.records import Line, Quote, QuoteFile, Subtotal
from elec.quote.sheet import rows_of, text_of
from elec.quote.words import meaning

__all__ = ["LARGEST_FILE_BYTES", "Given", "read"]

LARGEST_FILE_BYTES = 4_000_000
_MODELS: dict[str, type[BaseModel]] = {"quote": Quote, "line": Line, "subtotal": Subtotal}
_MONEY = {
    "quote": ("subtotal", "contingency_amount", "discount_amount", "tax_amount", "total"),
    "line": ("quantity", "rate", "amount"),
    "subtotal": ("amount",),
}
_NOT_STATED = ("not stated", "not seen", "n/a", "unknown", "-", "tba", "tbd")
Lines = dict[tuple[str, int | str], int]


@dataclass(frozen=True)
class Given:
    """A quote as read, with what reading it settled."""

    file: QuoteFile
    currency: str
    decimals: int
    unread: tuple[str, ...]
    lines: Lines

    JSON = form(
        "title yard number date currency lines headings_not_read",
        title="file.quote.title",
        yard="file.quote.yard",
        number="file.quote.number",
        date="file.quote.date",
        currency=lambda given: given.currency or None,
        lines=lambda given: len(given.file.line),
        headings_not_read="unread",
    )

    def line_number(self, index: int) -> int | None:
        """Return the line of the file on which a line of the quote stands."""
        return self.lines.get(("line", index))


def read(path: Path | str) -> Given:
    """Read a quote.

    Parameters
    ----------
    path : Path or str
        A TOML file, or CSV as yards export it. [text]

    Returns
    -------
    Given
        The quote, its currency and coin, and headings that were not understood.

    Raises
    ------
    BoatFileError
        With every fault found: place, what was found, what is accepted.
    """
    name = str(path)
    text = text_of(_content(Path(path), name), name)
    if not text.strip():
        raise _refusal(name, "the file is empty", "A quote has one row or [[line]] for each item.")
    if Path(path).suffix.lower() == ".toml":
        data, lines = _toml(text, name)
    else:
        data, lines = rows_of(text, name)
    quote = data.get("quote")
    unread = tuple(quote.pop("_unread", ())) if isinstance(quote, dict) else ()
    faults: list[Fault] = []
    currency, decimals = _money(data, name, lines, faults)
    _tidy(data)
    file = None
    try:
        file = QuoteFile.model_validate(data)
    except ValidationError as error:
        faults += list(_faults(error, data, name, lines))
    if file is not None:
        faults += list(_twice(file, name, lines))
    if faults or file is None:
        raise BoatFileError(sorted(faults, key=lambda f: (f.line or 0, f.entry, f.field)))
    return Given(file, file.quote.currency or currency, decimals, unread, lines)


def _refusal(name: str, found: str, remedy: str, line: int | None = None) -> BoatFileError:
    return BoatFileError([Fault(name, line, "", "", found, remedy)])


def _content(path: Path, name: str) -> bytes:
    try:
        if not path.is_file():
            what = "it is a directory" if path.is_dir() else "there is no such file"
            raise _refusal(name, what, "Name a quote, as in 'elec quote quote.csv --boat b.toml'.")
        if path.stat().st_size > LARGEST_FILE_BYTES:
            found = f"the file is {path.stat().st_size:,} bytes"
            raise _refusal(name, found, f"A quote has at most {LARGEST_FILE_BYTES:,} bytes.")
        return path.read_bytes()
    except OSError as error:
        found = f"cannot be read ({error.strerror or error})"
        raise _refusal(name, found, "Check its name and permissions.") from None


def _toml(text: str, name: str) -> tuple[dict[str, Any], Lines]:
    try:
        data = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError, ArithmeticError) as error:
        raise _refusal(
            name, f"not valid TOML: {error}", "Lines of the quote stand under [[line]]."
        ) from None
    places = Places(text)
    lines: Lines = {}
    for list_name in ("line", "subtotal"):
        entries = data.get(list_name)
        for index in range(len(entries) if isinstance(entries, list) else 0):
            if (number := places.of(list_name, index)) is not None:
                lines[list_name, index] = number
    for key in _MONEY["quote"]:
        if (number := places.of("quote", 0, key)) is not None:
            lines["quote", key] = number
    return data, lines


def _entries(data: dict[str, Any]) -> Iterator[tuple[str, int, dict[str, Any]]]:
    if isinstance(quote := data.get("quote"), dict):
        yield "quote", 0, quote
    for list_name in ("line", "subtotal"):
        entries = data.get(list_name)
        for index, entry in enumerate(entries if isinstance(entries, list) else ()):
            if isinstance(entry, dict):
                yield list_name, index, entry


def _words(list_name: str, index: int, data: dict[str, Any]) -> str:
    if list_name == "quote":
        return "quote"
    try:
        entry_id = data[list_name][index].get("id")
    except (KeyError, IndexError, TypeError, AttributeError):
        return list_name
    return f"{list_name} '{entry_id}'" if isinstance(entry_id, str) else f"{list_name} {index + 1}"


def _money(data: dict[str, Any], name: str, lines: Lines, faults: list[Fault]) -> tuple[str, int]:
    """Turn printed numbers into decimal ones, in place; return the currency and the coin."""
    cells: list[tuple[dict[str, Any], str, money.Printed, tuple[str, int]]] = []
    amounts: list[Decimal] = []

    def fault(at: tuple[str, int], key: str, found: str, remedy: str) -> None:
        line = lines.get(at) if at[0] != "quote" else lines.get(("quote", key))
        faults.append(Fault(name, line, _words(*at, data), key, found, remedy))

    for list_name, index, entry in _entries(data):
        at = (list_name, index)
        for key in _MONEY[list_name]:
            given = entry.get(key)
            if given is None:
                continue
            try:
                if isinstance(given, str):
                    if given.strip().casefold() in ("", *_NOT_STATED, "?"):
                        del entry[key]
                    elif (cell := _cell(given, key, entry)) is not None:
                        cells.append((entry, key, cell, at))
                    continue
                entry[key] = _bare(given)
                if key not in ("quantity", "rate"):
                    amounts.append(entry[key])
            except InputError as error:
                fault(at, key, error.message, error.remedy)
                del entry[key]
    quote = data.get("quote")
    asked = quote.get("decimal") if isinstance(quote, dict) else None
    try:
        mark = money.the_mark([c for _, _, c, _ in cells], asked if asked in _MARKS else None)
    except InputError as error:
        faults.append(Fault(name, None, "", "", error.message, error.remedy))
        mark = "point"
    for entry, key, cell, at in cells:
        try:
            entry[key] = cell.value(mark)
            if key not in ("quantity", "rate"):
                amounts.append(entry[key])
        except InputError as error:
            fault(at, key, error.message, error.remedy)
            del entry[key]
    currencies = list(dict.fromkeys(c.currency for _, _, c, _ in cells if c.currency))
    if len(currencies) > 1:
        found = f"more than one currency: {', '.join(map(repr, currencies))}"
        faults.append(Fault(name, None, "", "", found, "Give a quote in one currency."))
    asked = quote.get("decimals") if isinstance(quote, dict) else None
    if isinstance(asked, str) and asked.isdigit():
        quote["decimals"] = asked = int(asked)  # type: ignore[index]
    if isinstance(asked, int) and 0 <= asked <= 4:
        return (currencies[0] if currencies else ""), asked
    digits = [-int(amount.as_tuple().exponent) for amount in amounts]
    return (currencies[0] if currencies else ""), min(4, max([0, *digits]))


_MARKS = ("point", "comma")


def _cell(given: str, key: str, entry: dict[str, Any]) -> money.Printed | None:
    """Read a printed number; a quantity may have its unit behind it."""
    try:
        return money.printed(given)
    except InputError:
        number = given.rstrip().rstrip(
            "²³.abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZäöüéè"
        )
        unit = given[len(number) :].strip()
        if key != "quantity" or "unit" in entry or not unit or meaning("unit", unit) is None:
            raise
        cell = money.printed(number)
        entry["unit"] = unit
        return cell


def _bare(given: Any) -> Decimal:
    if isinstance(given, bool) or not isinstance(given, (int, Decimal)):
        raise InputError(f"{str(given)[:40]!r} is not a number.", remedy="Give a plain number.")
    number = Decimal(given)
    if not number.is_finite() or number.adjusted() >= 15 or int(number.as_tuple().exponent) < -6:
        raise InputError(
            f"{str(given)[:40]} is no number for a quote.",
            remedy="At most 15 digits before the mark and 6 behind it.",
        )
    return number if int(number.as_tuple().exponent) <= 0 else Decimal(int(number))


def _tidy(data: dict[str, Any]) -> None:
    """Take 'not stated' for not seen, and whole numbers in text for numbers."""
    for list_name, _, entry in _entries(data):
        known = _MODELS[list_name].model_fields
        for key, given in list(entry.items()):
            if not isinstance(given, str):
                continue
            if given.strip().casefold() in _NOT_STATED and key in known and key != "text":
                entry[key] = "?"
            if (
                key in ("conductors", "in_series", "in_parallel", "rings")
                and given.strip().isdigit()
            ):
                entry[key] = int(given) if len(given) < 5 else given
            if key == "id":
                entry[key] = given.strip()
        if isinstance(entry.get("id"), int):
            entry["id"] = str(entry["id"])


def _faults(error: ValidationError, data: Any, name: str, lines: Lines) -> Iterator[Fault]:
    seen = set()
    for item in error.errors(include_url=False):
        loc = item["loc"]
        list_name = str(loc[0]) if loc else ""
        index = loc[1] if len(loc) > 1 and isinstance(loc[1], int) else 0
        key = (
            str(loc[2 if list_name != "quote" else 1])
            if len(loc) > (list_name != "quote") + 1
            else ""
        )
        if (list_name, index, key) in seen:
            continue
        seen.add((list_name, index, key))
        line = lines.get((list_name, index))
        words = _words(list_name, index, data) if list_name in _MODELS and key else ""
        cause = item.get("ctx", {}).get("error")
        model = _MODELS.get(list_name) if key else QuoteFile
        known = [i.alias or f for f, i in model.model_fields.items()] if model else []
        field = key or list_name
        if isinstance(cause, InputError):
            yield Fault(name, line, words, key, cause.message, cause.remedy)
        elif item["type"] == "extra_forbidden":
            near = difflib.get_close_matches(field, known, n=1, cutoff=0.5)
            yield Fault(
                name,
                line,
                words,
                field,
                f"unknown {'key' if key else 'list'} '{field}'",
                f"Known here: {', '.join(known)}.",
                suggestion=near[0] if near else "",
            )
        elif item["type"] == "missing":
            yield Fault(name, line, words, field, "missing", "It is needed.")
        elif list_name == "line" and not key:
            yield Fault(
                name, None, "", "line", "no line was found", "A quote has one or more lines."
            )
        elif expected := item.get("ctx", {}).get("expected"):
            listed = [word.strip("' ") for word in str(expected).replace(" or ", ", ").split(", ")]
            near = difflib.get_close_matches(str(item.get("input")), listed, n=1, cutoff=0.5)
            yield Fault(
                name,
                line,
                words,
                field,
                f"{str(item.get('input'))[:40]!r} is not known here",
                f"Accepted: {expected}.",
                suggestion=near[0] if near else "",
            )
        else:
            found = f"{str(item.get('input'))[:40]!r} cannot be used: {item['msg']}"
            yield Fault(name, line, words, field, found, "")


def _twice(file: QuoteFile, name: str, lines: Lines) -> Iterator[Fault]:
    first: dict[str, int] = {}
    for index, line in enumerate(file.line):
        if line.id in first:
            yield Fault(
                name,
                lines.get(("line", index)),
                f"line '{line.id}'",
                "id",
                f"line {first[line.id] + 1} has the same number",
                "Give every line a number of its own.",
            )
        first.setdefault(line.id, index)
