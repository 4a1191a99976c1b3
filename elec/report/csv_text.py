"""A survey as CSV, one row a finding; cells that a spreadsheet would run are neutralised."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from elec.errors import printable
from elec.finding import Finding, NotChecked, TurnsOn
from elec.survey import GoBack, Survey

__all__ = ["Row", "render", "written"]

Cell = str | float | Decimal | None
Row = Mapping[str, Cell]
_COLUMNS = (
    "row", "boat", "basis", "check", "subject", "part", "where", "priority", "verdict",
    "statement", "value_low", "value_best", "value_high", "limit_low", "limit_best", "limit_high",
    "unit", "sense", "margin_low", "turns_on", "remedy", "caution", "notes", "sources",
)  # fmt: skip


def neutral(text: str) -> str:
    """Return text that a spreadsheet shows instead of running."""
    shown = printable(text)
    return f"'{shown}" if shown[:1] in ("=", "+", "-", "@") else shown


def written(columns: Sequence[str], rows: Iterable[Row]) -> str:
    """Return rows under their columns; a column that a row has nothing for is blank."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(map(neutral, columns))
    writer.writerows([_cell(row.get(name)) for name in columns] for row in rows)
    return out.getvalue()


def _cell(value: Cell) -> str:
    if isinstance(value, (int, float)):
        return f"{value:.12g}"
    return neutral(f"{value:f}" if isinstance(value, Decimal) else value or "")


def render(surveys: Sequence[Survey]) -> str:
    """Return every finding of every survey, what to go back and read, what was not checked.

    The first column says which of the three a row is.
    """
    return written(
        _COLUMNS,
        (
            {"row": kind, "boat": survey.boat.boat.name, "basis": survey.basis, **row}
            for survey in surveys
            for kind, rows in (
                ("finding", map(_finding, survey.findings)),
                ("go back", map(_to_read, survey.go_back)),
                ("not checked", map(_left, survey.not_checked)),
            )
            for row in rows
        ),
    )


def _finding(f: Finding) -> Row:
    return {
        "check": f.check,
        "subject": f.subject,
        "part": f.part,
        "where": f.where,
        "priority": f.priority,
        "verdict": f.verdict,
        "statement": f.statement,
        **(_amounts(f) if f.counted else {}),
        "turns_on": "; ".join(map(_turns, f.turns_on)),
        "remedy": f.remedy,
        "caution": f.caution,
        "notes": " ".join(f.notes),
        "sources": "; ".join(s.cited for s in f.sources),
    }


def _amounts(f: Finding) -> Row:
    spans = (("value", f.value), ("limit", f.limit))
    ends = {f"{n}_{end}": getattr(s, end) for n, s in spans for end in ("low", "best", "high")}
    return ends | {"unit": f.value.unit, "sense": f.sense, "margin_low": f.margin.low}


def _turns(item: TurnsOn) -> str:
    sides = (("adequate", item.adequate_if), ("inadequate", item.inadequate_if))
    known = ", ".join(f"{word} if {value}" for word, value in sides if value)
    return f"{item.input}: {known or 'not alone'}"


def _to_read(item: GoBack) -> Row:
    return {
        "where": item.where,
        "statement": item.read,
        "notes": f"for {'; '.join(item.checks)}",
    }


def _left(item: NotChecked) -> Row:
    return {
        "check": item.check,
        "subject": item.subject,
        "where": item.where,
        "verdict": "not checked",
        "statement": item.reason,
    }
