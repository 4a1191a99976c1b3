"""The survey command: reads boats, surveys, renders, and returns the exit code."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from elec.cli.options import Basis, Brief, Force, Json, Output, Tables, one_of, options
from elec.cli.writing import give, wants_colour
from elec.errors import BoatFileError, Fault

__all__ = ["Asked", "judge"]


@options
class Asked:
    """Survey boats: every check that the notes allow.

    Exit code: 0 all adequate or marginal, 1 something inadequate, 3 nothing inadequate but
    something still open, 2 bad input.
    """

    boats: Annotated[list[Path], typer.Argument(metavar="BOAT.toml...", help="Boat files.")]
    basis: Basis = None
    only: Annotated[
        list[str] | None, typer.Option("--only", metavar="CHECK", help="Ask this check alone.")
    ] = None
    json: Json = False
    markdown: Annotated[bool, typer.Option("--markdown", help="Print Markdown.")] = False
    csv: Annotated[bool, typer.Option("--csv", help="Print CSV.")] = False
    loads: Annotated[
        bool, typer.Option("--loads", help="Print the load analysis alone, as CSV.")
    ] = False
    brief: Brief = False
    output: Output = None
    force: Force = False
    tables: Tables = None


def judge(asked: Asked) -> int:
    """Survey the boats and write the report; return the worst exit code."""
    form = one_of(json=asked.json, markdown=asked.markdown, csv=asked.csv, loads=asked.loads)
    from elec.boat.read import read
    from elec.report import csv_text, json_text, markdown
    from elec.report import text as terminal
    from elec.report.loads import loads_csv
    from elec.survey import survey

    boats, faults = [], list[Fault]()
    for path in asked.boats:
        try:
            boats.append(read(path))
        except BoatFileError as error:
            faults.extend(error.faults)
    if faults:
        raise BoatFileError(faults)
    surveys = [survey(boat, basis=asked.basis, only=asked.only or ()) for boat in boats]
    if form == "text":
        text = terminal.render(surveys, colour=wants_colour(asked.output), working=not asked.brief)
    else:
        forms = {"json": json_text, "csv": csv_text, "markdown": markdown}
        text = loads_csv(surveys) if form == "loads" else forms[form].render(surveys)
    give(text, asked.output, asked.force)
    codes = {one.exit_code for one in surveys}
    return 1 if 1 in codes else 3 if 3 in codes else 0
