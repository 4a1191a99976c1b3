"""Writes output whole or not at all; an existing file is replaced only when asked."""

from __future__ import annotations

import contextlib
import os
import sys
import textwrap
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from elec.errors import InputError

if TYPE_CHECKING:
    from elec.published import Source
    from elec.survey import Survey

__all__ = ["cited", "give", "tell", "wants_colour"]

_WIDTH = 80
#: What stands in where a terminal knows only some characters.
_IN_PLAIN = str.maketrans(
    {"°": "deg ", "²": "2", "³": "3", "…": "...", "µ": "u", "Ω": "ohm", "±": "+/-", "–": "-"}
)


def wants_colour(output: Path | None = None) -> bool:
    """Whether verdicts are coloured: on a terminal that was not told otherwise."""
    return output is None and sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def tell(
    found: Survey, *, json: bool, brief: bool = False, more: dict[str, Any], after: str = ""
) -> int:
    """Print what a survey says of one thing put together from options; return its exit code.

    Parameters
    ----------
    found : Survey
        What its checks say. [-]
    json, brief : bool
        Whether to print JSON, or to leave out arithmetic and sources. [-]
    more : dict
        The command's own keys of the JSON document. [-]
    after : str, default ""
        What the text ends with. [text]

    Returns
    -------
    int
        The exit code. [-]
    """
    if json:
        from elec.report.json_text import document, written

        give(written(document(found) | document(more)), None, False)
    else:
        from elec.report.text import render as render_text

        text = render_text([found], colour=wants_colour(), working=not brief)
        give(f"{text}\n{after}\n" if after else text, None, False)
    return found.exit_code


def cited(sources: Iterable[Source]) -> list[str]:
    """Return a line for each source that no finding names."""
    from elec.report.wrap import wrap

    how = {"memory": "from memory, provisional"}
    return [
        wrap(f"{s.cited} [table {s.table}, {how.get(s.read, f'read: {s.read}')}]", "# ", "  ")
        for s in sources
    ]


def give(text: str, output: Path | None, force: bool) -> None:
    """Print ``text``, or write it to ``output`` through a temporary file beside it."""
    if output is None:
        sys.stdout.write(text if _takes(text) else _plain(text))
        return
    if output.exists() and not force:
        raise InputError(
            f"'{output}' exists.", remedy="Give another name, or --force to replace it."
        )
    import tempfile

    try:
        handle, name = tempfile.mkstemp(dir=output.parent or ".", prefix=f".{output.name}.")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
            os.chmod(name, 0o666 & ~_umask())
            os.replace(name, output)
        except BaseException:
            with contextlib.suppress(FileNotFoundError):
                os.unlink(name)
            raise
    except OSError as error:
        raise InputError(
            f"'{output}' cannot be written ({error.strerror}).",
            remedy="Name a file in a folder that exists.",
        ) from None


def _takes(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "utf-8")  # one in memory has none, and takes any
    except UnicodeEncodeError:
        return False
    return True


def _plain(text: str) -> str:
    """Spell out what the terminal does not know, and fold lines that grow too long by it."""
    encoding = sys.stdout.encoding
    lines = []
    for line in text.split("\n"):
        plain = line.translate(_IN_PLAIN).encode(encoding, errors="replace").decode(encoding)
        if len(line) <= _WIDTH < len(plain):
            indent = " " * (len(plain) - len(plain.lstrip()))
            plain = textwrap.fill(plain, _WIDTH, subsequent_indent=indent, break_long_words=False)
        lines.append(plain)
    return "\n".join(lines)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
