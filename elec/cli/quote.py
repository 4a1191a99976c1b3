"""The quote command: reads quote and boat, judges, renders, and returns the exit code."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from elec.cli.writing import give
from elec.errors import BoatFileError, Fault

__all__ = ["judge"]


def judge(
    quote: Path,
    boat: Path,
    *,
    basis: str | None,
    form: str,
    brief: bool,
    output: Path | None,
    force: bool,
    tables: tuple[Path, ...],
) -> int:
    """Judge a quote beside its boat and write the report; return the exit code."""
    from elec.boat.read import read as read_boat
    from elec.published import use_tables_from
    from elec.quote.judging import judge_quote
    from elec.quote.place import check_names
    from elec.quote.read import read

    use_tables_from(*tables)
    faults: list[Fault] = []
    try:
        aboard = read_boat(boat)
    except BoatFileError as error:
        faults.extend(error.faults)
    try:
        given = read(quote)
    except BoatFileError as error:
        faults.extend(error.faults)
    if faults:
        raise BoatFileError(faults)
    check_names(given, aboard, str(quote))
    judged = judge_quote(given, aboard, basis=basis)
    if form == "json":
        from elec.report.quote_json import render

        text = render(judged)
    elif form == "csv":
        from elec.report.quote_csv import render

        text = render(judged)
    elif form == "markdown":
        from elec.report.quote_markdown import render

        text = render(judged)
    else:
        from elec.report.quote_text import render as render_text

        colour = output is None and sys.stdout.isatty() and not os.environ.get("NO_COLOR")
        text = render_text(judged, colour=colour, working=not brief)
    give(text, output, force)
    return judged.exit_code
