"""Where in a TOML file an entry and its keys stand, so that messages can name the line."""

from __future__ import annotations

import re

__all__ = ["Places"]

_HEADER = re.compile(r"^\s*(\[\[?)\s*([A-Za-z0-9_.\"' -]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*(?:"([^"]+)"|'([^']+)'|([A-Za-z0-9_-]+))\s*[.=]""")
_TOKEN = re.compile(r"\"\"\"|'''|\"(?:[^\"\\]|\\.)*\"|'[^']*'|#.*")


def _left_open(line: str, inside: str) -> str:
    """Return the quotes that a line leaves open, given those that the line before left open."""
    while True:
        if inside:
            at = line.find(inside)
            if at < 0:
                return inside
            line, inside = line[at + 3 :], ""
        token = next((t for t in _TOKEN.finditer(line) if t[0] in ('"""', "'''")), None)
        if token is None:
            return ""
        line, inside = line[token.end() :], token[0]


class Places:
    """Line numbers of headers and keys, by list name, position in the list, and key.

    Parameters
    ----------
    text : str
        The file's text; assumed to be valid TOML. [text]
    """

    def __init__(self, text: str) -> None:
        self._lines: dict[tuple[str, int, int, str], int] = {}
        counts: dict[str, int] = {}
        name, index, nested, inside = "", 0, 0, ""
        for number, line in enumerate(text.split("\n"), start=1):
            was_inside = bool(inside)
            inside = _left_open(line, inside)
            if was_inside:
                continue
            if header := _HEADER.match(line):
                name = re.sub(r"[\"'\s]", "", header[2])
                if header[1] == "[[":
                    counts[name] = counts.get(name, -1) + 1
                    for below in [key for key in counts if key.startswith(name + ".")]:
                        counts[below] = -1
                owner = name.split(".")[0]
                index = counts.get(owner, 0)
                nested = counts.get(name, 0) if owner != name else 0
                self._lines.setdefault((name, index, nested, ""), number)
            elif key := _KEY.match(line):
                self._lines.setdefault((name, index, nested, key[1] or key[2] or key[3]), number)

    def of(self, name: str, index: int = 0, key: str = "", *, nested: int = 0) -> int | None:
        """Return the line of a key of an entry, else of the entry's header, else None."""
        lines = self._lines
        return lines.get((name, index, nested, key)) or lines.get((name, index, nested, ""))
