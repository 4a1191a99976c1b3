"""The words of yards: headings of columns, units, rows below the lines, items."""

from __future__ import annotations

import re
from functools import cache

from elec.published import table

__all__ = ["item_of", "listed", "meaning", "plain"]


def plain(text: str) -> str:
    """Return text in small letters, with single spaces and no marks at its ends."""
    return re.sub(r"\s+", " ", text.replace("\u00a0", " ")).strip(" \t:*.").casefold()


@cache
def listed(what: str) -> dict[str, str]:
    """Return every listed word of one kind, with what it means."""
    rows = table("quote_words").rows()
    found = {plain(row["word"]): row["means"] for row in rows if row["what"] == what}
    return found | {name: name for name in found.values()}


def meaning(what: str, text: str) -> str | None:
    """Return what a whole cell means, or None if it is not listed."""
    return listed(what).get(plain(text))


def item_of(text: str) -> str:
    """Return the item that the words of a line name: the longest listed words, then the first."""
    words = _spaced(text)
    found = [
        (-len(word), words.index(_spaced(word)), means)
        for word, means in listed("item").items()
        if _spaced(word) in words
    ]
    if re.search(r"\bspare\b", words):
        return "other"
    labour = [one for one in found if one[2] == "labour"]
    if labour and min(one[1] for one in labour) == min(one[1] for one in found):
        return "labour"
    return min(found)[2] if found else "other"


def _spaced(text: str) -> str:
    return " " + re.sub(r"[^\w/#-]+", " ", plain(text)).strip() + " "
