"""What the anode command works out, gathered line by line, and how it is shown."""

from __future__ import annotations

import json
import textwrap
from dataclasses import dataclass, field
from typing import Any

from elec import __version__, units
from elec.checks.metals.corrosion_constants import Span
from elec.errors import printable
from elec.published import Source

__all__ = ["Sheet", "as_text", "json_text"]

WIDTH = 80


@dataclass
class Sheet:
    """What is worked out, line by line; ``verdicts`` decide the exit code."""

    lines: list[dict[str, Any]] = field(default_factory=list)
    verdicts: list[dict[str, str]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)

    def add(self, name: str, span: Span, unit: str, formula: str = "") -> None:
        """Add a value, low, best and high."""
        low, best, high = sorted(span)
        line = {"name": name, "low": low, "best": best, "high": high, "unit": unit}
        self.lines.append(line | {"formula": formula})

    def judge(self, question: str, verdict: str, words: str) -> None:
        """Add a verdict."""
        self.verdicts.append({"question": question, "verdict": verdict, "statement": words})


def _wrap(text: str, indent: str = "", hanging: str | None = None) -> str:
    return textwrap.fill(
        printable(text),
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )


def _number(value: float, unit: str) -> str:
    whole = unit == "-" and value == int(value)
    return f"{int(value)}" if whole else units.plain(value)


def as_text(material: str, water: str, sheet: Sheet) -> str:
    """Return the sheet as text of 80 columns."""
    lines = [f"ANODE, {material.upper()}, {water.upper()} WATER", "=" * WIDTH]
    for one in sheet.verdicts:
        lines.append(_wrap(f"{one['verdict'].upper()} - {one['question']}: {one['statement']}."))
    lines.append("")
    for line in sheet.lines:
        low, best, high = (_number(line[k], line["unit"]) for k in ("low", "best", "high"))
        span = best if low == high else f"{low} to {high} (best {best})"
        unit = "" if line["unit"] == "-" else f" {line['unit']}"
        end = f" [{line['formula']}]" if line["formula"] else ""
        lines.append(_wrap(f"{line['name']} = {span}{unit}{end}", "= ", "    "))
    lines += [_wrap(f"Note: {note}", "", "  ") for note in sheet.notes]
    lines.append("")
    lines += [
        _wrap(f"{source.cited} [table {source.table}, {_how(source.read)}]", "# ", "  ")
        for source in dict.fromkeys(sheet.sources)
    ]
    return "\n".join(lines) + "\n"


def _how(read: str) -> str:
    return "from memory, provisional" if read == "memory" else f"read: {read}"


def json_text(material: str, water: str, count: int, sheet: Sheet) -> str:
    """Return the sheet as a JSON document."""
    document = {
        "elec": __version__,
        "material": material,
        "water": water,
        "count": count,
        "verdicts": sheet.verdicts,
        "values": sheet.lines,
        "notes": sheet.notes,
        "sources": [
            {
                "table": s.table,
                "title": s.title,
                "edition": s.edition,
                "clause": s.clause,
                "read": s.read,
            }
            for s in dict.fromkeys(sheet.sources)
        ],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"
