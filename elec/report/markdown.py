"""A report as Markdown, ready to paste into one."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Sequence

from elec.errors import printable
from elec.report.parts import Kind, Part, survey_parts
from elec.survey import Survey

__all__ = ["blocks_of", "escaped", "render"]

#: What a part begins with: a block of its own, or an item of a list.
_BLOCKS: dict[Kind, str] = {
    "survey": "# Electrical survey: ",
    "title": "# ",
    "facts": "",
    "heading": "## ",
    "findings": "## ",
    "legend": "",
    "plain": "",
    "finding": "### ",
    "statement": "",
    "end": "---\n\n",
}
_ITEMS: dict[Kind, str] = {
    "turn": "- Turns on ",
    "open": "- ",
    "advice": "- ",
    "step": "- ",
    "typical": "- ",
    "more": "- ",
    "source": "- Source: ",
    "item": "- ",
    "read": "- [ ] ",
    "sentence": "- ",
    "numbered": "",
    "working": "   - ",
    "likely": "   - ",
    "follow": "   - ",
    "point": "- ",
    "because": "  - ",
}


def escaped(text: str) -> str:
    """Return text that Markdown shows as it stands."""
    return re.sub(r"([\\`*_{}\[\]<>#|~!])", r"\\\1", printable(text))


def render(surveys: Sequence[Survey]) -> str:
    """Return the surveys as one Markdown text."""
    return "\n".join(blocks_of(survey_parts(one)) for one in surveys)


def blocks_of(parts: Iterable[Part]) -> str:
    """Return parts as Markdown, the items of a list close together."""
    blocks: list[str] = []
    for listed, some in itertools.groupby(parts, key=lambda part: part.kind in _ITEMS):
        shown = [_set(*part) for part in some]
        blocks += ["\n".join(shown)] if listed else shown
    return "\n\n".join(blocks) + "\n"


def _set(kind: Kind, text: str, rows: Sequence[tuple[str, ...]]) -> str:
    match kind:
        case "table" | "loads":
            return "\n".join(_table(rows))
        case "group":
            return f"**{escaped(text)}**"
        case "verdict":
            verdict, _, rest = text.partition(" ")
            return f"**{verdict}** {escaped(rest)}"
        case "advice":
            label, _, words = text.partition(": ")
            return f"- **{label}:** {escaped(words)}"
        case _:
            return (_BLOCKS | _ITEMS)[kind] + escaped(text)


def _table(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    for number, row in enumerate(rows):
        yield f"| {' | '.join(map(escaped, row))} |"
        if number == 0:
            yield "|---" * len(row) + "|"
