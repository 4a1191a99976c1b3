"""Text in lines of 80 columns."""

import textwrap

from elec.errors import printable

__all__ = ["WIDTH", "wrap"]

WIDTH = 80


def wrap(text: str, indent: str = "", hanging: str | None = None) -> str:
    """Return text in lines of at most 80 columns, safe to show."""
    shown = printable(text)
    if shown and len(indent) + len(shown) <= WIDTH and shown == shown.strip():
        return indent + shown
    return textwrap.fill(
        shown,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )
