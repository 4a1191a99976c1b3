"""The words of yards: headings of columns, units, rows below the lines, items."""

from __future__ import annotations

import re

from elec.published import remembered, table

__all__ = ["item_of", "listed", "meaning", "plain"]

#: What stands behind these is what a thing is for, or comes with.
_FOR = re.compile(r"[,;(]| (?:for|of|to|with|at|from|per|für|mit|pour|avec|voor|met) ")


def plain(text: str) -> str:
    """Return text in small letters, with single spaces and no marks at its ends."""
    return re.sub(r"\s+", " ", text.replace("\u00a0", " ")).strip(" \t:*.").casefold()


@remembered
def listed(what: str) -> dict[str, str]:
    """Return every listed word of one kind, with what it means."""
    rows = table("quote_words").rows()
    found = {plain(row["word"]): row["means"] for row in rows if row["what"] == what}
    return found | {name: name for name in found.values()}


def meaning(what: str, text: str) -> str | None:
    """Return what a whole cell means, or None if it is not listed."""
    return listed(what).get(plain(text))


def item_of(text: str) -> str:
    """Return the item that the words of a line name.

    The thing stands last in its phrase ("bow thruster cable"), before what it is for or comes with
    ("cable for the bow thruster"); work stands first ("fit battery").
    """
    head, *_ = _FOR.split(plain(text), maxsplit=1)
    for part in (head, text):
        words = _spaced(part)
        found = [
            (place, place + len(_spaced(word)), means)
            for word, means in listed("item").items()
            if (place := words.rfind(_spaced(word))) >= 0
        ]
        if " spare " in words:
            return "other"
        if found:
            first = min(found, key=lambda one: (one[0], -one[1]))
            last = max(found, key=lambda one: (one[1], -one[0]))
            return "labour" if first[2] == "labour" else last[2]
    return "other"


def _spaced(text: str) -> str:
    return " " + re.sub(r"[^\w/#-]+", " ", plain(text)).strip() + " "
