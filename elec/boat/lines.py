"""Where in a TOML file an entry and its keys stand, so that messages can name the line."""

from __future__ import annotations

import re

__all__ = ["Places"]

_HEADER = re.compile(r"^\s*(\[\[?)\s*([A-Za-z0-9_.\"' -]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*(?:"([^"]+)"|'([^']+)'|([A-Za-z0-9_-]+))\s*[.=]""")
_MULTILINE = re.compile(r'"""|\'\'\'')


class Places:
    """Line numbers of headers and keys, by list name, position in the list, and key.

    Parameters
    ----------
    text : str
        The file's text; assumed to be valid TOML. [text]
    """

    def __init__(self, text: str) -> None:
        self._lines: dict[tuple[str, int, str], int] = {}
        counts: dict[str, int] = {}
        name, index, inside = "", 0, ""
        for number, line in enumerate(text.splitlines(), start=1):
            if inside:
                if inside in line:
                    inside = ""
                continue
            if header := _HEADER.match(line):
                name = re.sub(r"[\"'\s]", "", header[2])
                if header[1] == "[[":
                    counts[name] = counts.get(name, -1) + 1
                    for nested in [key for key in counts if key.startswith(name + ".")]:
                        counts[nested] = -1
                index = counts.get(name.split(".")[0], 0) if "." in name else counts.get(name, 0)
                self._lines.setdefault((name, index, ""), number)
                continue
            if key := _KEY.match(line):
                self._lines.setdefault((name, index, key[1] or key[2] or key[3]), number)
            marks = _MULTILINE.findall(line)
            if len(marks) % 2:
                inside = marks[-1]

    def of(self, name: str, index: int = 0, key: str = "") -> int | None:
        """Return the line of a key of an entry, else of the entry's header, else None."""
        return self._lines.get((name, index, key)) or self._lines.get((name, index, ""))
