"""Reads the table that a yard exports: rows of cells, matched by their headings."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator
from typing import Any

from elec.errors import BoatFileError, Fault
from elec.quote.words import listed, meaning, plain

__all__ = ["rows_of", "text_of"]

_DELIMITERS = (",", ";", "\t", "|")
_MOST_ROWS = 5000
_PREAMBLE = ("title", "yard", "number", "date", "currency", "decimal", "decimals", "note")
#: A row of words alone heads the rows below it, unless it says that something costs nothing.
_INCLUDED = re.compile(r"\b(incl|inkl|compris|free|no charge|gratis|inbegrepen)", re.I)
_FIGURES = {"contingency": "lines", "discount": "lines", "tax": "lines"}


def text_of(content: bytes, name: str) -> str:
    """Return a file's bytes as text, by its byte-order mark, as UTF-8, or as Windows-1252.

    Raises
    ------
    BoatFileError
        If it is none of them, or more than one of them at once.
    """

    def refuse(line: int | None, found: str, remedy: str) -> BoatFileError:
        return BoatFileError([Fault(name, line, "", "", found, remedy)])

    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if content.startswith(mark):
            try:
                return content.decode(encoding)
            except UnicodeDecodeError:
                raise refuse(None, "damaged text", "Save the file as UTF-8.") from None
    if b"\x00" in content:
        line = content[: content.index(b"\x00")].count(b"\n") + 1
        raise refuse(line, "it holds a zero byte: no text", "Export the quote as CSV in UTF-8.")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        if re.search(rb"[\xc3-\xf4][\x80-\xbf]", content):
            raise refuse(
                line,
                f"mixed encodings: some lines are UTF-8, this one is not "
                f"(byte {content[error.start]:#04x})",
                "Export the whole file once, as UTF-8.",
            ) from None
        try:
            return content.decode("cp1252")
        except UnicodeDecodeError:
            raise refuse(
                line, f"unknown text (byte {content[error.start]:#04x})", "Save the file as UTF-8."
            ) from None


#: A row of a sheet: its line, and its cells.
_Row = tuple[int, list[str]]


def _under_headings(text: str, name: str) -> tuple[list[_Row], int, list[str | None]]:
    """Return the rows, the number of the one that holds the headings, and what each of them means.

    Raises
    ------
    BoatFileError
        If no row does, too many follow, or two headings say the same.
    """
    faults: list[Fault] = []
    best: tuple[int, int, str] | None = None
    parsed: dict[str, list[_Row]] = {}
    for delimiter in _DELIMITERS:
        try:
            parsed[delimiter] = list(_cells(text, delimiter))
        except csv.Error as error:
            faults = [Fault(name, None, "", "", f"not usable as CSV: {error}", "Export it again.")]
            continue
        for index, (_, cells) in enumerate(parsed[delimiter][:25]):
            hits = len({meaning("heading", cell) for cell in cells} - {None})
            if best is None or hits > best[0]:
                best = (hits, index, delimiter)
    if best is None:
        raise BoatFileError(faults or [_no_headings(name, [])])
    hits, at, delimiter = best
    rows = parsed[delimiter]
    head = [meaning("heading", cell) for cell in rows[at][1]] if rows else []
    if hits < 2 or "text" not in head or "amount" not in head:
        raise BoatFileError([_no_headings(name, rows[at][1] if rows and hits else [])])
    if len(rows) - at > _MOST_ROWS:
        raise BoatFileError(
            [Fault(name, None, "", "", f"{len(rows):,} rows", f"At most {_MOST_ROWS:,}.")]
        )
    twice = {key for key in head if key is not None and head.count(key) > 1}
    if twice:
        cells = [c for c, key in zip(rows[at][1], head, strict=True) if key in twice]
        raise BoatFileError(
            [
                Fault(
                    name,
                    rows[at][0],
                    "",
                    "heading",
                    f"{' and '.join(map(repr, cells))} say the same",
                    "Give each column a heading of its own.",
                )
            ]
        )
    return rows, at, head


def rows_of(text: str, name: str) -> tuple[dict[str, Any], dict[tuple[str, int | str], int]]:
    """Return the quote in a table's cells, in the shape of the TOML file, and its line numbers."""
    faults: list[Fault] = []
    rows, at, head = _under_headings(text, name)
    data: dict[str, Any] = {"quote": _preamble(rows[:at])}
    lines: dict[tuple[str, int | str], int] = {}
    unknown = [c for c, key in zip(rows[at][1], head, strict=True) if key is None and c.strip()]
    for number, cells in rows[at + 1 :]:
        if len([c for c in cells if c.strip()]) and any(c.strip() for c in cells[len(head) :]):
            faults.append(
                Fault(
                    name,
                    number,
                    "",
                    "",
                    f"{len(cells)} cells under {len(head)} headings",
                    "Put cells that hold the delimiter in quotes.",
                )
            )
            continue
        row = {
            key: cell.strip()
            for key, cell in zip(head, cells, strict=False)
            if key and cell.strip()
        }
        if row:
            if "id" in head:
                row.setdefault("id", f"row {number}")
            _place(row, data, lines, number)
    if faults:
        raise BoatFileError(faults)
    data["quote"].pop("_section", None)
    data["quote"]["_unread"] = unknown
    return data, lines


def _cells(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=False)
    start = 1
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield start, cells
        start = reader.line_num + 1


def _no_headings(name: str, seen: list[str]) -> Fault:
    lists: dict[str, list[str]] = {}
    for word, key in listed("heading").items():
        lists.setdefault(key, []).append(word)
    needed = "; ".join(f"{key}: {', '.join(lists[key][:4])} ..." for key in ("text", "amount"))
    found = [meaning("heading", cell) for cell in seen]
    lacking = [key for key in ("text", "amount") if key not in found]
    shown = ", ".join(repr(cell) for cell in seen[:12] if cell.strip())
    return Fault(
        name,
        None,
        "",
        "heading",
        f"no column for {' and '.join(lacking)}" + (f" among {shown}" if shown else ""),
        f"One row must head the columns. Accepted for {needed}",
        example="line,description,quantity,unit,rate,amount",
    )


def _preamble(rows: list[tuple[int, list[str]]]) -> dict[str, Any]:
    """Return what stands above the headings as 'key, value'."""
    found: dict[str, Any] = {}
    for _, cells in rows:
        filled = [cell.strip() for cell in cells if cell.strip()]
        if len(filled) == 2 and plain(filled[0]) in _PREAMBLE:
            found[plain(filled[0])] = filled[1]
    return found


def _place(
    row: dict[str, str], data: dict[str, Any], lines: dict[tuple[str, int | str], int], number: int
) -> None:
    """Put one row where it belongs: a line, a subtotal, or a figure below the lines."""
    quote = data["quote"]
    if currency := row.pop("currency", ""):
        quote.setdefault("currency", currency)
    kind, rest = _row_kind(row.get("text", "") or row.get("id", ""))
    if set(row) <= {"text", "id"} and kind is None and not _INCLUDED.search(row.get("text", "")):
        quote["_section"] = row.get("text") or row["id"]
        return
    priced = "quantity" in row and "rate" in row and "%" not in row["quantity"] + row["rate"]
    if kind is None or priced or row.get("item"):
        entries = data.setdefault("line", [])
        lines["line", len(entries)] = number
        row.setdefault("id", str(len(entries) + 1))
        if "_section" in quote:
            row.setdefault("section", quote["_section"])
        entries.append(row)
        return
    section = row.get("section") or rest
    amount = row.get("amount")
    if kind == "subtotal" and section:
        entries = data.setdefault("subtotal", [])
        lines["subtotal", len(entries)] = number
        entries.append({"section": section} | ({"amount": amount} if amount else {}))
        return
    key = kind if kind in ("subtotal", "total") else f"{kind}_amount"
    if amount:
        quote[key] = amount
    lines["quote", key] = number
    if kind in _FIGURES:
        words = " ".join(row.get(k, "") for k in ("text", "quantity", "rate", "unit"))
        if share := re.search(r"(\d+(?:[.,]\d+)?)\s*%", words):
            quote[kind] = f"{share[1].replace(',', '.')} %"
        if kind == "contingency" and re.search(r"\blabou?r\b", words, re.I):
            quote["contingency_on"] = "labour"


def _row_kind(text: str) -> tuple[str | None, str]:
    """Return what a row below the lines is, and the words behind its name."""
    words = plain(re.sub(r"\(?\d+(?:[.,]\d+)?\s*%\)?", "", text))
    for word, kind in sorted(listed("row").items(), key=lambda pair: -len(pair[0])):
        if words == word or words.startswith((f"{word} ", f"{word}:")):
            rest = re.sub(r"\s+", " ", text).strip()[len(word) :].strip(" :-")
            if kind == "subtotal":
                return kind, rest
            if words == word or re.fullmatch(r"(on|of|auf|sur|op) [\w ]{1,20}", rest.casefold()):
                return kind, ""
    return None, ""
