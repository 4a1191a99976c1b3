"""The start command: a blank to fill in, as a file or on paper."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from elec.cli.options import Force, options
from elec.cli.writing import give

__all__ = ["Asked", "judge"]


@options
class Asked:
    """Write a commented blank boat file, ready to fill in."""

    boat: Annotated[Path, typer.Argument(metavar="BOAT.toml", help="The file to write.")]
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Write a walk sheet to print, by place aboard, instead.")
    ] = False
    force: Force = False


def judge(asked: Asked) -> int:
    """Write the file, and say so."""
    from elec.boat.blank import blank_boat, walk_sheet

    give(walk_sheet() if asked.sheet else blank_boat(), asked.boat, asked.force)
    print(f"wrote {asked.boat}", file=sys.stderr)
    return 0
