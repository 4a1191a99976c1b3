"""Findings as CSV, one row a finding; cells that a spreadsheet would run are neutralised."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from elec.errors import printable
from elec.survey import Survey

__all__ = ["neutral", "render"]

_HEADER = (
    "boat",
    "basis",
    "check",
    "subject",
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
    "sources",
)


def neutral(text: str) -> str:
    """Return text that a spreadsheet shows instead of running."""
    shown = printable(text)
    return f"'{shown}" if shown[:1] in ("=", "+", "-", "@") else shown


def _number(value: float) -> str:
    return f"{value:.12g}"


def render(surveys: Sequence[Survey]) -> str:
    """Return every finding of every survey, then what was not checked, as rows."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_HEADER)
    for survey in surveys:
        name = neutral(survey.boat.boat.name)
        for f in survey.findings:
            numbers = [
                _number(v)
                for v in (
                    f.value.low,
                    f.value.best,
                    f.value.high,
                    f.limit.low,
                    f.limit.best,
                    f.limit.high,
                )
            ]
            turns = "; ".join(
                f"{t.input}: adequate if {t.adequate_if or '-'}, "
                f"inadequate if {t.inadequate_if or '-'}"
                for t in f.turns_on
            )
            sources = "; ".join(s.cited for s in f.sources)
            words = (f.check, f.subject, f.where or "", f.priority or "", f.verdict, f.statement)
            writer.writerow(
                [
                    name,
                    survey.basis,
                    *map(neutral, words),
                    *numbers,
                    f.value.unit,
                    f.sense,
                    _number(f.margin.low),
                    neutral(turns),
                    neutral(f.remedy or ""),
                    neutral(sources),
                ]
            )
        for n in survey.not_checked:
            left = (n.check, n.subject, n.where or "", "", "not checked", n.reason)
            writer.writerow([name, survey.basis, *map(neutral, left), *[""] * 12])
    return out.getvalue()
