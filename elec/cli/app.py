"""The commands. Each loads what it needs when it runs, so that help and usage stay quick."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

from elec.cli import anode, bank, cable, inlet, metals, quote, schema, start, survey, table
from elec.cli.options import command
from elec.errors import ElecError, in_words

__all__ = ["app", "run"]

app = typer.Typer(
    name="elec",
    help="Checks a boat's electrical systems, with the arithmetic, the table and the clause.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


def _version(value: bool) -> None:
    if value:
        from elec import __version__

        typer.echo(f"elec {__version__}")
        raise typer.Exit()


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Check a boat's electrical systems, with the arithmetic, the table and the clause."""


command(app, "survey", survey.Asked, survey.judge)
command(app, "inlet", inlet.Asked, inlet.judge)
command(app, "cable", cable.Asked, cable.judge, cls=cable.Parser)
command(app, "bank", bank.Asked, bank.judge)
command(app, "metals", metals.Asked, metals.judge)
command(app, "anode", anode.Asked, anode.judge)
command(app, "table", table.Asked, table.judge)
command(app, "quote", quote.Asked, quote.judge)
command(app, "schema", schema.Asked, schema.judge)
command(app, "start", start.Asked, start.judge)


def run() -> None:
    """Run the command line and exit."""
    try:
        app()
    except ElecError as error:
        _fail(in_words(str(error)))
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)


def _fail(message: str) -> None:
    print(f"error: {message}" if "\n" not in message else f"error:\n{message}", file=sys.stderr)
    sys.exit(2)
