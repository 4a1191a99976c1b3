"""A report for the terminal, 80 columns; verdicts in words, colour only as a help."""

from __future__ import annotations

import itertools
import textwrap
from collections.abc import Iterable, Iterator, Sequence

from elec.errors import printable
from elec.report.parts import Kind, Part, survey_parts
from elec.report.wrap import WIDTH, wrap
from elec.survey import Survey

__all__ = ["lines_of", "render"]

_COLOURS = {"INADEQUATE": "31", "UNDETERMINED": "33", "MARGINAL": "36", "ADEQUATE": "32"}
#: Condition columns of the load analysis that fit beside the rest.
_CONDITIONS = 4
#: How the lines of a part begin: the first, and those that follow.
_INDENTS: dict[Kind, tuple[str, str]] = {
    "plain": ("", ""),
    "sentence": ("", ""),
    "statement": ("   ", "   "),
    "turn": ("   ? ", "     "),
    "open": ("   ? ", "     "),
    "advice": ("   ", "     "),
    "step": ("   = ", "       "),
    "typical": ("   ~ ", "     "),
    "more": ("     ", "     "),
    "source": ("   # ", "     "),
    "item": ("  - ", "    "),
    "read": ("  [ ] ", "      "),
    "numbered": ("", "   "),
    "working": ("   = ", "     "),
    "likely": ("   ? ", "     "),
    "follow": ("   > ", "     "),
    "point": ("- ", "  "),
    "because": ("  = ", "    "),
}


def render(surveys: Sequence[Survey], *, colour: bool = False, working: bool = True) -> str:
    """Return the surveys as text; ``working`` is whether arithmetic and sources are shown."""
    parts = (part for one in surveys for part in survey_parts(one, working=working, height=_height))
    return "\n".join(lines_of(parts, colour)) + "\n"


def _height(parts: Iterable[Part]) -> int:
    return sum(line.count("\n") + 1 for line in lines_of(parts))


def lines_of(parts: Iterable[Part], colour: bool = False) -> Iterator[str]:
    """Yield parts as lines of at most 80 columns."""
    for kind, text, rows in parts:
        match kind:
            case "survey" | "title":
                yield wrap(text.upper() if text.isascii() else text)
            case "facts":
                yield f"{wrap(text)}\n{'=' * WIDTH}\n"
            case "heading":
                yield f"\n{text.upper()}\n{'-' * len(text)}"
            case "findings":
                pass  # the table over them says what they are
            case "table":
                yield _table(rows, colour)
            case "loads":
                yield _loads(rows)
            case "group":
                yield wrap(f"{text}:")
            case "finding" | "legend":
                yield f"\n{wrap(text, '', '   ' if kind == 'finding' else '')}"
            case "verdict":
                verdict, _, rest = text.partition(" ")
                yield f"   {_painted(verdict, colour)} {rest}"
            case "end":
                yield f"\n{'-' * WIDTH}\n{wrap(text)}"
            case _:
                yield wrap(text, *_INDENTS[kind])


def _painted(text: str, colour: bool) -> str:
    """Return text, in colour if it is a verdict."""
    return f"\x1b[{_COLOURS[text]}m{text}\x1b[0m" if colour and text in _COLOURS else text


def _table(rows: Sequence[tuple[str, ...]], colour: bool) -> str:
    """Return a table with its subjects cut to the room that the other columns leave."""
    from tabulate import tabulate

    heads, *body = rows
    place = heads.index("subject")
    # tabulate makes a column two wider than its heading at least
    widths = [max(len(head) + 2, *map(len, c)) for head, *c in zip(*rows, strict=True)]
    room = max(WIDTH - sum(widths) + widths[place] - 2 * (len(widths) - 1), 10)
    cells = [
        [_painted(cell, colour) if i != place else _cut(cell, room) for i, cell in enumerate(row)]
        for row in body
    ]
    return tabulate(cells, headers=heads, tablefmt="simple", disable_numparse=True)


def _cut(text: str, width: int) -> str:
    shown = printable(text)
    return shown if len(shown) <= width else shown[: width - 1] + "…"


def _loads(rows: Sequence[tuple[str, ...]]) -> str:
    """Return the load analysis as tables of so many conditions each."""
    tables = []
    for start in range(3, max(len(rows[0]), 4), _CONDITIONS):
        shown = [(*cells[:3], *cells[start : start + _CONDITIONS]) for cells in rows]
        room = WIDTH - 17 - 10 * (len(shown[0]) - 3)
        tables.append("\n".join(line for cells in shown for line in _lines(cells, room)))
    return "\n\n".join(tables)


def _lines(cells: Sequence[str], room: int) -> Iterator[str]:
    """Yield a row on as many lines as its longest cell asks for; nothing is cut."""
    first, connected, factor, *demand = (printable(cell) for cell in cells)
    columns = [textwrap.wrap(first, room, subsequent_indent="  "), [connected], [factor]]
    columns += [_broken(cell, 9) for cell in demand]
    for parts in itertools.zip_longest(*columns, fillvalue=""):
        name, at, share, *rest = parts
        yield f"{name:<{room}} {at:>9} {share:>6}{''.join(f' {cell:>9}' for cell in rest)}".rstrip()


def _broken(text: str, width: int) -> list[str]:
    """Return words on lines of a width, those too long for it with a hyphen."""
    long = [w if len(w) <= width else f"{w[: width - 1]}- {w[width - 1 :]}" for w in text.split()]
    return textwrap.wrap(" ".join(long), width, break_on_hyphens=False)
