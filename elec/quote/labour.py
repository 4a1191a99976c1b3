"""Hours of labour against bands of common practice: a question, never a verdict on price."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from elec.boat.records import BoatFile
from elec.published import table
from elec.quote.brings import pieces
from elec.quote.place import item_of_line, targets
from elec.quote.records import Line, QuoteFile
from elec.quote.remark import Remark
from elec.quote.words import meaning

__all__ = ["hours"]

#: Hours of a working day, where a quote counts days. Common practice, no source.
_DAY_H = Decimal(8)
_LITHIUM = "lithium bank set"


def hours(file: QuoteFile, boat: BoatFile) -> list[Remark]:
    """Compare the hours charged with the bands of the things they are charged for."""
    things = [line for line in file.line if _band(line) is not None]
    labour = [line for line in file.line if item_of_line(line) == "labour"]
    if things and not labour and not any(_hours(line) for line in file.line):
        low, high = _total(things)
        return [
            Remark(
                "the quote",
                "labour",
                "No labour is charged.",
                _working(things, low, high),
                "Is the work of fitting included, and at how many hours?",
            )
        ]
    found: list[Remark] = []
    covered: set[str] = set()
    loose: list[Line] = []
    for line in labour:
        if not line.belongs:
            loose.append(line)
            continue
        mine = [thing for thing in things if _concerns(line, thing, file, boat)]
        covered |= {thing.id for thing in mine}
        found += _compare([line], mine)
    if loose:
        found += _compare(loose, [thing for thing in things if thing.id not in covered])
    return found


def _concerns(line: Line, thing: Line, file: QuoteFile, boat: BoatFile) -> bool:
    lines = {name for name in line.belongs if file.find(name)}
    if lines:
        return thing.id in lines
    return bool(set(line.belongs) & set(targets(thing, file, boat)))


def _hours(line: Line) -> Decimal | None:
    unit = meaning("unit", line.unit) if line.unit else None
    if line.quantity is None or unit not in ("h", "day"):
        return None
    return line.quantity * (_DAY_H if unit == "day" else 1)


def _band(line: Line) -> tuple[Decimal, Decimal] | None:
    """Return the hours that practice gives the thing on a line, low and high."""
    rows = {row["item"]: row for row in table("quote_labour").rows()}
    item = item_of_line(line)
    if item not in rows:
        return None
    name = _LITHIUM if item == "battery" and line.chemistry.is_surely("lfp") else rows[item]["row"]
    row = table("refit_quote_items").row(item=name)
    count = (pieces(line) or 1) if rows[item]["counts"] == "pieces" else 1
    return Decimal(row["labour_low_h"]) * count, Decimal(row["labour_high_h"]) * count


def _total(things: list[Line]) -> tuple[Decimal, Decimal]:
    bands = [band for thing in things if (band := _band(thing)) is not None]
    return sum((low for low, _ in bands), Decimal(0)), sum((high for _, high in bands), Decimal(0))


def _working(things: list[Line], low: Decimal, high: Decimal) -> str:
    parts = []
    for thing in things:
        band = _band(thing)
        if band is not None:
            parts.append(f"line {thing.id} {band[0]:f} to {band[1]:f} h")
    shown = " + ".join(parts)
    return f"{shown} = {low:f} to {high:f} h (table refit_quote_items, common practice, no source)"


def _compare(lines: list[Line], things: list[Line]) -> Iterator[Remark]:
    counted = [h for line in lines if (h := _hours(line)) is not None]
    names = ", ".join(line.id for line in lines)
    if not counted:
        yield Remark(
            f"line '{names}'",
            "labour",
            f"Labour (line {names}) is charged without hours.",
            "",
            f"Line {names}: how many hours, at what rate, and for which work?",
        )
        return
    if not things:
        return
    charged = sum(counted, Decimal(0))
    low, high = _total(things)
    if low <= charged <= high:
        return
    side = "fewer" if charged < low else "more"
    yield Remark(
        f"line '{names}'",
        "labour",
        f"{charged:f} h of labour (line {names}) are {side} than is common for this work, "
        f"{low:f} to {high:f} h. That is a question, no verdict: no public norm exists, and access "
        "aboard decides.",
        _working(things, low, high),
        f"Line {names}: what do the {charged:f} h cover, and is the figure fixed or an estimate?",
    )
