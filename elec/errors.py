"""One tree of errors.

::

    ElecError
    ├── InputError (ValueError)          a value given by the user or caller cannot be used
    │   └── BoatFileError                all faults of one file, found in one reading
    └── TableError                       a published table is missing, malformed or without papers
        └── TableRangeError (LookupError)  a look-up outside the rows of a table

Commands catch ``ElecError`` once, print it on stderr and exit with 2.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = [
    "BoatFileError",
    "ElecError",
    "Fault",
    "InputError",
    "TableError",
    "TableRangeError",
    "in_words",
    "printable",
]


def printable(text: str) -> str:
    """Return ``text`` with control and other invisible characters spelled out, safe to show."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


#: A name of an argument or column where a message names one, not in quotes.
_NAME = re.compile(
    r"(?<![\w'/.])(?<!Example: )(?P<name>[a-z][A-Za-z0-9]*(?:_[A-Za-z0-9]+)+)"
    r"(?=: (?:\S+ was given|declared |.* is not a number)| must lie in| = -?[\d.])"
)
_UNITS = {
    "A": "A",
    "Ah": "Ah",
    "C": "°C",
    "Hz": "Hz",
    "K": "K",
    "PSU": "PSU",
    "V": "V",
    "VA": "VA",
    "W": "W",
    "h": "h",
    "kg": "kg",
    "m": "m",
    "m2": "m²",
    "mA": "mA",
    "mm2": "mm²",
    "ohm": "ohm",
    "s": "s",
}


def in_words(message: str) -> str:
    """Return a message with the names of arguments and columns in words, for those who read none.

    Examples
    --------
    >>> in_words("added_current_A: 0 was given.")
    'added current (A): 0 was given.'
    """
    return _NAME.sub(lambda found: _words(found["name"]), message)


def _words(name: str) -> str:
    *words, last = name.split("_")
    unit = _UNITS.get(last)
    return f"{' '.join(words)} ({unit})" if unit else " ".join([*words, last])


class ElecError(Exception):
    """Base of every error raised on purpose by this package."""


class InputError(ElecError, ValueError):
    """A value cannot be used: says which, what was found, what is accepted.

    Parameters
    ----------
    message : str
        One line of cause, naming the input and quoting what was found. [text]
    remedy : str, default ""
        One line saying what to give instead, with an example. [text]
    """

    def __init__(self, message: str, *, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.message}\n  {self.remedy}" if self.remedy else self.message


@dataclass(frozen=True)
class Fault:
    """One fault of a file, with everything needed to mend it."""

    file: str
    line: int | None
    entry: str
    field: str
    found: str
    accepted: str
    example: str = ""
    suggestion: str = ""

    def __str__(self) -> str:
        """Return two lines, safe to show: the cause with its place, and the remedy."""
        return "\n".join(printable(line) for line in self._lines())

    def _lines(self) -> list[str]:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        subject = ", ".join(part for part in (self.entry, self.field) if part)
        text = f"{place}: {subject}: {self.found}" if subject else f"{place}: {self.found}"
        remedy = self.accepted
        if self.example:
            remedy += f" Example: {self.example}"
        if self.suggestion:
            remedy += f" Did you mean '{self.suggestion}'?"
        return [text, f"  {remedy}"] if remedy else [text]


class BoatFileError(InputError):
    """Every fault of one file, so that all can be mended in one go."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class TableError(ElecError):
    """A published table is missing, malformed, or has no papers."""


class TableRangeError(TableError, LookupError):
    """A look-up fell outside the rows of a table; tables are never extrapolated."""
