"""The survey command: reads boats, surveys, renders, and returns the exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from elec.cli.writing import give
from elec.errors import BoatFileError, Fault

__all__ = ["survey_boats", "wants_colour"]


def survey_boats(
    boats: Sequence[Path],
    *,
    basis: str | None,
    only: tuple[str, ...],
    form: str,
    brief: bool,
    output: Path | None,
    force: bool,
    tables: tuple[Path, ...],
) -> int:
    """Survey the boats and write the report; return the worst exit code."""
    from elec.boat.read import read
    from elec.published import use_tables_from
    from elec.report import csv_text, json_text, markdown
    from elec.report import text as terminal
    from elec.report.loads import loads_csv
    from elec.survey import survey

    use_tables_from(*tables)
    read_boats, faults = [], list[Fault]()
    for path in boats:
        try:
            read_boats.append(read(path))
        except BoatFileError as error:
            faults.extend(error.faults)
    if faults:
        raise BoatFileError(faults)
    surveys = [survey(boat, basis=basis, only=only) for boat in read_boats]
    if form == "text":
        text = terminal.render(surveys, colour=wants_colour(output), working=not brief)
    else:
        forms = {"json": json_text, "csv": csv_text, "markdown": markdown}
        text = loads_csv(surveys) if form == "loads" else forms[form].render(surveys)
    give(text, output, force)
    codes = {one.exit_code for one in surveys}
    return 1 if 1 in codes else 3 if 3 in codes else 0


def wants_colour(output: Path | None = None) -> bool:
    """Whether verdicts are coloured: on a terminal that was not told otherwise."""
    return output is None and sys.stdout.isatty() and not os.environ.get("NO_COLOR")
