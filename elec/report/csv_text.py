"""A survey as CSV, one row a finding; cells that a spreadsheet would run are neutralised."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from elec.errors import printable
from elec.finding import Finding, NotChecked, TurnsOn
from elec.survey import GoBack, Survey

__all__ = ["neutral", "render"]

_HEADER = (
    "row",
    "boat",
    "basis",
    "check",
    "subject",
    "part",
    "where",
    "priority",
    "verdict",
    "statement",
    "value_low",
    "value_best",
    "value_high",
    "limit_low",
    "limit_best",
    "limit_high",
    "unit",
    "sense",
    "margin_low",
    "turns_on",
    "remedy",
    "caution",
    "notes",
    "sources",
)


def neutral(text: str) -> str:
    """Return text that a spreadsheet shows instead of running."""
    shown = printable(text)
    return f"'{shown}" if shown[:1] in ("=", "+", "-", "@") else shown


def render(surveys: Sequence[Survey]) -> str:
    """Return every finding of every survey, what to go back and read, what was not checked.

    The first column says which of the three a row is.
    """
    out = io.StringIO()
    writer = csv.DictWriter(out, _HEADER, restval="", lineterminator="\n")
    writer.writeheader()
    for survey in surveys:
        for kind, rows in (
            ("finding", map(_finding, survey.findings)),
            ("go back", map(_to_read, survey.go_back)),
            ("not checked", map(_left, survey.not_checked)),
        ):
            for row in rows:
                named = {"row": kind, "boat": survey.boat.boat.name, "basis": survey.basis} | row
                writer.writerow(
                    {
                        key: neutral(cell) if isinstance(cell, str) else f"{cell:.12g}"
                        for key, cell in named.items()
                    }
                )
    return out.getvalue()


Row = dict[str, str | float]


def _finding(f: Finding) -> Row:
    return {
        "check": f.check,
        "subject": f.subject,
        "part": f.part,
        "where": f.where or "",
        "priority": f.priority or "",
        "verdict": f.verdict,
        "statement": f.statement,
        **(_amounts(f) if f.counted else {}),
        "turns_on": "; ".join(map(_turns, f.turns_on)),
        "remedy": f.remedy or "",
        "caution": f.caution or "",
        "notes": " ".join(f.notes),
        "sources": "; ".join(s.cited for s in f.sources),
    }


def _amounts(f: Finding) -> Row:
    spans = (("value", f.value), ("limit", f.limit))
    ends: Row = {f"{n}_{end}": getattr(s, end) for n, s in spans for end in ("low", "best", "high")}
    return ends | {"unit": f.value.unit, "sense": f.sense, "margin_low": f.margin.low}


def _turns(item: TurnsOn) -> str:
    sides = (("adequate", item.adequate_if), ("inadequate", item.inadequate_if))
    known = ", ".join(f"{word} if {value}" for word, value in sides if value)
    return f"{item.input}: {known or 'not alone'}"


def _to_read(item: GoBack) -> Row:
    return {
        "where": item.where or "",
        "statement": item.read,
        "notes": f"for {'; '.join(item.checks)}",
    }


def _left(item: NotChecked) -> Row:
    return {
        "check": item.check,
        "subject": item.subject,
        "where": item.where or "",
        "verdict": "not checked",
        "statement": item.reason,
    }
