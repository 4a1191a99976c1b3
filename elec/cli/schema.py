"""The schema command: what an editor needs to complete and check a file."""

from __future__ import annotations

from typing import Annotated

import typer

from elec.cli.options import Force, Output, options
from elec.cli.writing import give

__all__ = ["Asked", "judge"]


@options
class Asked:
    """Print the JSON Schema of the boat file, or of the quote file, for editors."""

    quote: Annotated[
        bool, typer.Option("--quote", help="The schema of the quote file instead.")
    ] = False
    output: Output = None
    force: Force = False


def judge(asked: Asked) -> int:
    """Write the schema."""
    if asked.quote:
        from elec.quote.schema import quote_schema as file_schema
    else:
        from elec.boat.schema import boat_schema as file_schema
    give(file_schema(), asked.output, asked.force)
    return 0
