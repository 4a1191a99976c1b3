"""The quote command: reads quote and boat, judges, renders, and returns the exit code."""

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
    """Judge a refit quote beside its boat: sums, fitness, what is missing, what to ask.

    Exit code: 0 all adequate or marginal, 1 a wrong sum or something inadequate, 3 nothing
    inadequate but something still open, 2 bad input.
    """

    quote: Annotated[Path, typer.Argument(metavar="QUOTE", help="The quote, TOML or CSV.")]
    boat: Annotated[
        Path, typer.Option("--boat", "-b", metavar="BOAT.toml", help="The boat it is for.")
    ]
    basis: Basis = None
    json: Json = False
    markdown: Annotated[bool, typer.Option("--markdown", help="Print Markdown.")] = False
    csv: Annotated[bool, typer.Option("--csv", help="Print CSV.")] = False
    brief: Brief = False
    output: Output = None
    force: Force = False
    tables: Tables = None


def judge(asked: Asked) -> int:
    """Judge a quote beside its boat and write the report; return the exit code."""
    form = one_of(json=asked.json, markdown=asked.markdown, csv=asked.csv)
    from elec.boat.read import read as read_boat
    from elec.quote.judging import judge_quote
    from elec.quote.place import check_names
    from elec.quote.read import read
    from elec.report import quote as report

    faults: list[Fault] = []
    try:
        aboard = read_boat(asked.boat)
    except BoatFileError as error:
        faults.extend(error.faults)
    try:
        given = read(asked.quote)
    except BoatFileError as error:
        faults.extend(error.faults)
    if faults:
        raise BoatFileError(faults)
    check_names(given, aboard, str(asked.quote))
    judged = judge_quote(given, aboard, basis=asked.basis)
    if form == "text":
        text = report.as_text(judged, colour=wants_colour(asked.output), working=not asked.brief)
    else:
        forms = {"json": report.as_json, "csv": report.as_csv, "markdown": report.as_markdown}
        text = forms[form](judged)
    give(text, asked.output, asked.force)
    return judged.exit_code
