"""The quote command: reads quote and boat, judges, renders, and returns the exit code."""

from __future__ import annotations

from pathlib import Path

from elec.cli.surveying import wants_colour
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
    from elec.report import quote as report

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
    if form == "text":
        text = report.as_text(judged, colour=wants_colour(output), working=not brief)
    else:
        forms = {"json": report.as_json, "csv": report.as_csv, "markdown": report.as_markdown}
        text = forms[form](judged)
    give(text, output, force)
    return judged.exit_code
