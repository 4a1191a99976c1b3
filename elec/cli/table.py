"""The table command: lists the published tables with their papers, or prints one."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Annotated

import typer

from elec.cli.options import Json, Tables, options
from elec.cli.writing import give

if TYPE_CHECKING:
    from elec.published import Table

__all__ = ["Asked", "judge"]

_READ = {
    "text": "read in the text",
    "republished": "read as republished",
    "computed": "computed",
    "practice": "common practice, no source",
    "memory": "FROM MEMORY, provisional",
}


@options
class Asked:
    """List the published tables with their papers, or print one."""

    name: Annotated[str | None, typer.Argument(metavar="[NAME]", help="A table's name.")] = None
    json: Json = False
    tables: Tables = None


def judge(asked: Asked) -> int:
    """Print the list, or the table."""
    text = _printed(asked.name, asked.json) if asked.name else _listed(asked.json)
    give(text, None, False)
    return 0


def _listed(as_json: bool) -> str:
    """Return every table with what it is, where from, and how it was read."""
    import json

    from elec.published import names, table

    tables = [table(name) for name in names()]
    if as_json:
        papers = [_papers(one) for one in tables]
        return json.dumps(papers, indent=2, ensure_ascii=False) + "\n"
    lines = []
    for one in tables:
        about = one.papers
        lines.append(f"{one.name} ({len(one)} rows)")
        origin = f"{about.publisher}, {about.edition}, {about.clause}"
        text = f"{about.title}. {origin}; {_READ[about.read]}."
        lines.append(textwrap.fill(text, 80, initial_indent="    ", subsequent_indent="    "))
    lines.append(f"\n{len(tables)} tables; 'elec table NAME' prints one.")
    return "\n".join(lines) + "\n"


def _papers(one: Table) -> dict[str, object]:
    about = one.papers
    return {
        "table": one.name,
        "rows": len(one),
        "title": about.title,
        "publisher": about.publisher,
        "edition": about.edition,
        "clause": about.clause,
        "read": about.read,
        "read_how": about.read_how,
        "conditions": about.conditions,
        "lookup": about.lookup,
        "cautions": list(about.cautions),
        "cross_check": about.cross_check,
        "columns": {n: {"unit": c.unit, "meaning": c.meaning} for n, c in about.columns.items()},
    }


def _printed(name: str, as_json: bool) -> str:
    """Return one table with its papers."""
    import json

    from elec.published import table

    one = table(name)
    if as_json:
        whole = _papers(one) | {"cells": one.rows()}
        return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
    from tabulate import tabulate

    about = one.papers
    facts = [
        ("title", about.title),
        ("publisher", about.publisher),
        ("edition", about.edition),
        ("clause", about.clause),
        ("read", f"{_READ[about.read]}. {about.read_how}"),
        ("conditions", about.conditions),
        ("lookup", f"{about.lookup}; never extrapolated"),
        *(("caution", text) for text in about.cautions),
        *((("checked", about.cross_check),) if about.cross_check else ()),
    ]
    lines = [one.name, "=" * len(one.name)]
    for label, text in facts:
        lines.append(textwrap.fill(f"{label + ':':<12}{text}", 80, subsequent_indent=" " * 12))
    lines.append("columns:")
    for column, meaning in about.columns.items():
        text = f"{column} [{meaning.unit}] {meaning.meaning}"
        lines.append(textwrap.fill(text, 80, initial_indent="  ", subsequent_indent="      "))
    lines.append("")
    rows = list(zip(*one.columns.values(), strict=True))
    lines.append(
        tabulate(rows, headers=list(one.columns), tablefmt="simple", disable_numparse=True)
    )
    return "\n".join(lines) + "\n"
