"""The commands. Each loads what it needs when it runs, so that help and usage stay quick."""

from __future__ import annotations

import os
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from elec.errors import ElecError

__all__ = ["app", "run"]

app = typer.Typer(
    name="elec",
    help="Checks a boat's electrical systems, with the arithmetic, the table and the clause.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


class Basis(StrEnum):
    """The families of tables."""

    us = "us"
    iso = "iso"


Tables = Annotated[
    list[Path] | None,
    typer.Option("--tables", help="Folder of your own tables that replace those of the same name."),
]
Force = Annotated[bool, typer.Option("--force", help="Replace the file if it exists.")]


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


@app.command()
def survey(
    boats: Annotated[list[Path], typer.Argument(metavar="BOAT.toml...", help="Boat files.")],
    basis: Annotated[
        Basis | None, typer.Option(help="Family of tables; the boat's own if not given.")
    ] = None,
    only: Annotated[
        list[str] | None, typer.Option("--only", metavar="CHECK", help="Ask this check alone.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    markdown: Annotated[bool, typer.Option("--markdown", help="Print Markdown.")] = False,
    csv: Annotated[bool, typer.Option("--csv", help="Print CSV.")] = False,
    brief: Annotated[
        bool, typer.Option("--brief", help="Leave out arithmetic and sources.")
    ] = False,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file.")
    ] = None,
    force: Force = False,
    tables: Tables = None,
) -> None:
    """Survey boats: every check that the notes allow.

    Exit code: 0 all adequate or marginal, 1 something inadequate, 3 nothing inadequate but
    something still open, 2 bad input.
    """
    from elec.cli.surveying import survey_boats

    form = _one_of(json=json, markdown=markdown, csv=csv)
    raise typer.Exit(
        survey_boats(
            boats,
            basis=basis.value if basis else None,
            only=tuple(only or ()),
            form=form,
            brief=brief,
            output=output,
            force=force,
            tables=tuple(tables or ()),
        )
    )


def _one_of(**forms: bool) -> str:
    chosen = [name for name, given in forms.items() if given]
    if len(chosen) > 1:
        raise typer.BadParameter(f"give one of {', '.join('--' + name for name in chosen)}")
    return chosen[0] if chosen else "text"


@app.command()
def table(
    name: Annotated[str | None, typer.Argument(metavar="[NAME]", help="A table's name.")] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    tables: Tables = None,
) -> None:
    """List the published tables with their papers, or print one."""
    from elec.cli.tabling import list_tables, print_table
    from elec.published import use_tables_from

    use_tables_from(*(tables or ()))
    typer.echo(print_table(name, json) if name else list_tables(json), nl=False)


@app.command()
def schema(
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file.")
    ] = None,
    force: Force = False,
) -> None:
    """Print the JSON Schema of the boat file, for editors."""
    from elec.boat.schema import boat_schema
    from elec.cli.writing import give

    give(boat_schema(), output, force)


@app.command()
def start(
    boat: Annotated[Path, typer.Argument(metavar="BOAT.toml", help="The file to write.")],
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Write a walk sheet to print, by place aboard, instead.")
    ] = False,
    force: Force = False,
) -> None:
    """Write a commented blank boat file, ready to fill in."""
    from elec.boat.blank import blank_boat, walk_sheet
    from elec.cli.writing import give

    give(walk_sheet() if sheet else blank_boat(), boat, force)
    typer.echo(f"wrote {boat}", err=True)


def run() -> None:
    """Run the command line and exit."""
    try:
        app()
    except ElecError as error:
        _fail(str(error))
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)


def _fail(message: str) -> None:
    print(f"error: {message}" if "\n" not in message else f"error:\n{message}", file=sys.stderr)
    sys.exit(2)
