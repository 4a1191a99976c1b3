"""Load cards and the load analysis, for the terminal, Markdown and CSV."""

from __future__ import annotations

import csv
import io
import itertools
import textwrap
from collections.abc import Iterator, Sequence

from elec.checks.aboard.load_analysis import Analysis, Row, Total
from elec.checks.aboard.load_card import LoadCard, heading, in_words
from elec.errors import printable
from elec.report.csv_text import neutral
from elec.survey import Survey

__all__ = ["analysis_rows", "cards_text", "loads_csv", "loads_text"]

_WIDTH = 80
#: Condition columns that fit beside the rest in 80 columns.
_COLUMNS = 4


def cards_text(cards: Sequence[LoadCard]) -> Iterator[str]:
    """Yield the load cards as lines of at most 80 columns."""
    if not cards:
        return
    yield "\nLOAD CARDS\n----------"
    for card in cards:
        yield textwrap.fill(f"{printable(heading(card))}:", _WIDTH, break_on_hyphens=False)
        for line in in_words(card):
            yield textwrap.fill(
                printable(line),
                _WIDTH,
                initial_indent="  - ",
                subsequent_indent="    ",
                break_on_hyphens=False,
            )


def _used(analysis: Analysis) -> list[str]:
    return [
        c
        for c in analysis.conditions
        if any((row.demand[c] or (0, 1, 0))[1] for row in analysis.rows)
    ]


def _watts(value: tuple[float, float, float] | None) -> str:
    if value is None:
        return "?"
    return f"{value[1]:,.0f}" if value[1] else "-"


def _factor(row: Row) -> str:
    low, best, high = row.factor
    if row.factor_from == "mean of the day":
        return "day"
    shown = f"{best:.2f}" if best >= 0.1 else f"{best:.1g}"
    return shown if low == high else f"~{shown}"


def analysis_rows(analysis: Analysis, conditions: Sequence[str]) -> list[tuple[str, ...]]:
    """Return the cells of the table, loads under their source, each source with its totals."""
    cells: list[tuple[str, ...]] = []
    for total in analysis.totals:
        for row in analysis.rows:
            if (row.side, row.source, row.unit) == (total.side, total.source, total.unit):
                name = row.load if row.count == 1 else f"{row.load} x{row.count}"
                demand = [_watts(row.demand[c]) for c in conditions]
                cells.append((name, _watts(row.connected), _factor(row), *demand))
        sums = [_known(total.demand[c], total.open_demand[c]) for c in conditions]
        connected = _known(total.connected, total.open_connected)
        cells.append((_total_name(total), connected, "", *sums))
    return cells


def _known(value: tuple[float, float, float], missing: int) -> str:
    """Return a sum, marked where some loads are not in it."""
    shown = _watts(value)
    if not missing:
        return shown
    return "?" if shown == "-" else f"{shown}+"


def _total_name(total: Total) -> str:
    return f"TOTAL {total.source or 'source not noted'}, {total.side} {total.unit}"


def loads_text(analysis: Analysis) -> Iterator[str]:
    """Yield the load analysis as tables of at most 80 columns."""
    conditions = _used(analysis)
    if not analysis.rows:
        return
    yield "\nLOAD ANALYSIS\n-------------"
    for start in range(0, max(len(conditions), 1), _COLUMNS):
        part = conditions[start : start + _COLUMNS]
        room = _WIDTH - 17 - 10 * len(part)
        for cells in (("load", "connected", "factor", *part), *analysis_rows(analysis, part)):
            yield from _lines(cells, room)
        yield ""
    yield textwrap.fill(
        "W on DC, VA on AC, best values; demand = connected x demand factor: on AC while they run, "
        "on DC the mean of the day of loads whose hours or day's use were noted. ~: from a range; "
        "day: noted by the day; -: does not run; ?: not known whether it runs, or its power; "
        "+: and what is not known.",
        _WIDTH,
    )


def _broken(text: str, width: int) -> list[str]:
    """Return words on lines of a width, those too long for it with a hyphen."""
    long = [w if len(w) <= width else f"{w[: width - 1]}- {w[width - 1 :]}" for w in text.split()]
    return textwrap.wrap(" ".join(long), width, break_on_hyphens=False)


def _lines(cells: Sequence[str], room: int) -> Iterator[str]:
    """Yield a row on as many lines as its longest cell asks for; nothing is cut."""
    first, connected, factor, *demand = (printable(cell) for cell in cells)
    columns = [textwrap.wrap(first, room, subsequent_indent="  "), [connected], [factor]]
    columns += [_broken(cell, 9) for cell in demand]
    for parts in itertools.zip_longest(*columns, fillvalue=""):
        name, at, share, *rest = parts
        yield f"{name:<{room}} {at:>9} {share:>6}{''.join(f' {cell:>9}' for cell in rest)}".rstrip()


def loads_csv(surveys: Sequence[Survey]) -> str:
    """Return the load analysis of every survey as CSV, a row a load and a row a total."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    conditions = list(dict.fromkeys(c for s in surveys for c in s.loads.conditions))
    ends = ("low", "best", "high")
    writer.writerow(
        [
            "boat",
            "row",
            "side",
            "source",
            "load",
            "where",
            "count",
            "unit",
            *(f"connected_{end}" for end in ends),
            *(f"demand_factor_{end}" for end in ends),
            "demand_factor_from",
            *(neutral(f"{c}, {end}") for c in conditions for end in ends),
            "loads_not_known",
        ]
    )
    for survey in surveys:
        name = neutral(survey.boat.boat.name)
        for row in survey.loads.rows:
            writer.writerow(
                [
                    name,
                    "load",
                    row.side,
                    neutral(row.source),
                    neutral(row.load),
                    neutral(row.where or ""),
                    row.count,
                    row.unit,
                    *_numbers(row.connected),
                    *_numbers(row.factor),
                    row.factor_from,
                    *(n for c in conditions for n in _numbers(row.demand.get(c))),
                    "",
                ]
            )
        for total in survey.loads.totals:
            writer.writerow(
                [
                    name,
                    "total",
                    total.side,
                    neutral(total.source),
                    "",
                    "",
                    "",
                    total.unit,
                    *_numbers(total.connected),
                    "",
                    "",
                    "",
                    "",
                    *(n for c in conditions for n in _numbers(total.demand.get(c))),
                    total.open,
                ]
            )
    return out.getvalue()


def _numbers(value: tuple[float, float, float] | None) -> list[str]:
    return ["", "", ""] if value is None else [f"{number:.12g}" for number in value]
