"""A command's options, declared once: they are the fields of a dataclass, and its help their words.

Commands are loaded to print help, so modules of commands import what takes long where it is used.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import MISSING, dataclass, fields
from enum import StrEnum
from inspect import Parameter, Signature
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TypeVar, dataclass_transform, get_type_hints

import typer
from typer.core import TyperCommand

from elec.errors import InputError

if TYPE_CHECKING:
    from elec.noted import Noted

__all__ = [
    "Basis",
    "Brief",
    "Family",
    "Force",
    "Json",
    "Output",
    "Tables",
    "among",
    "command",
    "one_of",
    "options",
    "read",
]

A = TypeVar("A")


class Family(StrEnum):
    """The families of tables."""

    us = "us"
    iso = "iso"


Basis = Annotated[
    Family | None, typer.Option(help="Family of tables; the boat's own if not given.")
]
Brief = Annotated[bool, typer.Option("--brief", help="Leave out arithmetic and sources.")]
Force = Annotated[bool, typer.Option("--force", help="Replace the file if it exists.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON.")]
Output = Annotated[Path | None, typer.Option("--output", "-o", help="Write to this file.")]
Tables = Annotated[
    list[Path] | None,
    typer.Option("--tables", help="Folder of your own tables that replace those of the same name."),
]


@dataclass_transform(kw_only_default=True)
def options(cls: type[A]) -> type[A]:
    """Make a class a record of options, without what it has no need of: help waits for it."""
    return dataclass(kw_only=True, eq=False, repr=False)(cls)


def command(
    app: typer.Typer,
    name: str,
    asked: type[A],
    judge: Callable[[A], int],
    *,
    cls: type[TyperCommand] | None = None,
) -> None:
    """Add a command whose options are the fields of ``asked``, and whose exit code ``judge`` gives.

    Parameters
    ----------
    app : typer.Typer
        The command line. [-]
    name : str
        Of the command. [text]
    asked : type
        A dataclass whose fields say how they are typed; its docstring is the command's help. [-]
    judge : callable
        Given what was typed, prints and returns the exit code. [-]
    cls : type, optional
        The command's own way of parsing. [-]
    """
    hints = get_type_hints(asked, include_extras=True)

    def run(**given: Any) -> None:
        if "tables" in given:
            from elec.published import use_tables_from

            use_tables_from(*(given["tables"] or ()))
        raise typer.Exit(judge(asked(**given)))

    run.__signature__ = Signature(  # type: ignore[attr-defined]
        [
            Parameter(
                one.name,
                Parameter.KEYWORD_ONLY,
                annotation=hints[one.name],
                default=Parameter.empty if one.default is MISSING else one.default,
            )
            for one in fields(asked)  # type: ignore[arg-type]
        ]
    )
    run.__annotations__, run.__doc__ = hints, asked.__doc__
    app.command(name, cls=cls)(run)


def one_of(**forms: bool) -> str:
    """Return the one form that was asked for, else text."""
    chosen = [name for name, given in forms.items() if given]
    if len(chosen) > 1:
        raise typer.BadParameter(f"give one of {', '.join('--' + name for name in chosen)}")
    return chosen[0] if chosen else "text"


def read(option: str, text: str | None, quantity: str) -> Noted:
    """Read a value as typed; not seen if it was not given."""
    from elec import noted

    if text is None:
        return noted.unseen(quantity)
    try:
        return noted.read(text, quantity)
    except InputError as error:
        raise InputError(f"--{option}: {error.message}", remedy=error.remedy) from None


def among(option: str, given: str, accepted: Sequence[str]) -> str:
    """Return the accepted word that was typed, or refuse with the nearest."""
    import difflib

    for word in accepted:
        if word.lower() == given.strip().lower():
            return word
    near = difflib.get_close_matches(given.strip().lower(), accepted, n=1, cutoff=0.4)
    hint = f" Did you mean '{near[0]}'?" if near else ""
    known = ", ".join(word for word in accepted if word != "?")
    unseen = ", or ? if not seen" if "?" in accepted else ""
    raise InputError(
        f"--{option}: '{given}' is not known.", remedy=f"Accepted: {known}{unseen}.{hint}"
    )
