"""A judged quote as CSV, one row a point; cells that a spreadsheet would run are neutralised."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from elec.quote.judging import Judged
from elec.report.csv_text import neutral

__all__ = ["render"]

_HEADER = ("kind", "place", "check", "verdict", "priority", "printed", "computed", "statement",
           "working", "remedy")  # fmt: skip


def render(judged: Judged) -> str:
    """Return sums, changes, findings, remarks and questions as rows, in this order."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_HEADER)
    for row in _rows(judged):
        writer.writerow([neutral(cell) for cell in row])
    return out.getvalue()


def _rows(judged: Judged) -> Iterator[tuple[str, ...]]:
    for slip in judged.sums.slips:
        printed = "" if slip.printed is None else f"{slip.printed:f}"
        computed = "" if slip.computed is None else f"{slip.computed:f}"
        said = " ".join([slip.statement, *slip.follows])
        yield (
            "sum", slip.place, slip.kind, "", "", printed, computed, said, slip.working, slip.likely
        )  # fmt: skip
    for change in judged.changes:
        found = change.finding
        yield (
            change.effect, found.subject, found.check, found.verdict, found.priority or "", "", "",
            found.statement, "", found.remedy or "",
        )  # fmt: skip
    for found in judged.findings:
        yield (
            "quote", found.subject, found.check, found.verdict, found.priority or "", "", "",
            found.statement, "", found.remedy or "",
        )  # fmt: skip
    for remark in judged.remarks:
        yield (
            "remark", remark.place, remark.kind, "", "", "", "", remark.statement, remark.working,
            "",
        )  # fmt: skip
    for placed in judged.fitted.left:
        yield ("not fitted", f"line '{placed.line}'", "", "", "", "", "", placed.words, "", "")
    for number, question in enumerate(judged.questions, start=1):
        yield ("question", str(number), "", "", "", "", "", question, "", "")
    for item in judged.after.not_checked:
        yield ("not checked", item.subject, item.check, "", "", "", "", item.reason, "", "")
