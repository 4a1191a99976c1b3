"""A value as noted aboard: exact, a range, about, or not seen.

===================  =========================================================
``50 A``             read off a plate: exact
``20..30 ft``        a range; the unit may be given once or at both ends
``~25 ft``           about: 20 % to either side
``~25 ft ± 10 %``    about, with its own spread, in percent or in a unit
``?``                not seen
===================  =========================================================

Every value is carried as low, best and high in the working unit of its quantity.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from elec import units
from elec.errors import InputError

__all__ = [
    "ABOUT_FRACTION",
    "NO",
    "YES",
    "YES_OR_NO",
    "Choice",
    "Noted",
    "Origin",
    "between",
    "exact",
    "hull",
    "read",
    "unseen",
]

Origin = Literal["noted", "range", "about", "typical", "not seen"]

#: Spread of "about" when none is given, to either side. Our own convention, no source.
ABOUT_FRACTION = 0.20

_REMEDY = "Give one value '25 ft', a range '20..30 ft', about '~25 ft', or '?' if not seen."

#: Quantities whose zero is a convention, so that a percentage of the value means nothing.
_NO_PERCENT_OF = {"temperature": "5 K", "potential": "20 mV"}


@dataclass(frozen=True)
class Noted:
    """A value carried as low, best and high in the working unit, with where it came from.

    ``text`` is as written; ``source`` says where a typical value is from.
    """

    quantity: str
    low: float | None
    best: float | None
    high: float | None
    origin: Origin
    text: str
    source: str = ""

    def __post_init__(self) -> None:
        values = (self.low, self.best, self.high)
        if self.origin == "not seen":
            if values != (None, None, None):
                raise InputError("A value not seen has no numbers.", remedy=_REMEDY)
            return
        if self.low is None or self.best is None or self.high is None:
            raise InputError("A value that was seen needs low, best and high.", remedy=_REMEDY)
        for value in (self.low, self.best, self.high):
            units.check(value, self.quantity, given=self.text)
        if not self.low <= self.best <= self.high:
            raise InputError(
                f"{self.low:g}, {self.best:g}, {self.high:g} do not run low, best, high.",
                remedy=_REMEDY,
            )

    @property
    def seen(self) -> bool:
        """Whether there is any number at all."""
        return self.low is not None

    @property
    def span(self) -> tuple[float, float, float]:
        """Low, best and high of a value that was seen or has a typical range."""
        if self.low is None or self.best is None or self.high is None:
            raise InputError(f"a {self.quantity} that was not seen has no range.")
        return self.low, self.best, self.high

    @property
    def settled(self) -> bool:
        """Whether there is one value only, so that nothing can turn on reading it again."""
        return self.low is not None and self.low == self.high

    def show(self) -> str:
        """Write the value for a screen, in the working unit, with what was written aboard."""
        if self.low is None or self.best is None or self.high is None:
            return "not seen"
        if self.settled:
            shown = units.show(self.best, self.quantity)
        else:
            shown = units.show_range(self.low, self.high, self.quantity)
        if self.origin == "typical":
            return f"{shown} (typical, not seen)"
        if self.origin == "about":
            shown = f"about {units.show(self.best, self.quantity)}, {shown}"
        plain = self.settled and units.split_unit(shown)[1] == units.split_unit(self.text or "?")[1]
        return shown if plain or not self.text else f"{shown} ({self.text} as noted)"


def exact(value: float, quantity: str, *, text: str = "", source: str = "") -> Noted:
    """Return one exact value, given in the working unit of ``quantity``."""
    return Noted(quantity, value, value, value, "noted", text, source)


def between(
    low: float,
    high: float,
    quantity: str,
    *,
    origin: Origin = "range",
    source: str = "",
    text: str = "",
    best: float | None = None,
) -> Noted:
    """Return a value known to lie in ``low..high``; best is the middle unless given.

    Parameters
    ----------
    low, high : float
        Ends of the range, both possible. [working unit]
    quantity : str
        Name in ``units.QUANTITIES``. [text]
    origin : {"range", "about", "typical", "noted"}, default "range"
        How the range came about. [text]
    source : str, default ""
        Where a typical range is from. [text]
    text : str, default ""
        As written aboard. [text]
    best : float, optional
        The likeliest value. [working unit]

    Returns
    -------
    Noted
        The range. [working unit]
    """
    middle = low + (high - low) / 2 if best is None else best
    return Noted(quantity, low, middle, high, origin, text, source)


def unseen(quantity: str) -> Noted:
    """Return a value that was not seen."""
    return Noted(units.find(quantity).name, None, None, None, "not seen", "?")


def read(text: str, quantity: str) -> Noted:
    """Read a value as noted aboard.

    Parameters
    ----------
    text : str
        As the module describes: ``"50 A"``, ``"20..30 ft"``, ``"~25 ft"``, ``"?"``. [text]
    quantity : str
        Name in ``units.QUANTITIES``. [text]

    Returns
    -------
    Noted
        The value with its range. [working unit]

    Raises
    ------
    InputError
        If it cannot be read, a range runs backwards, or an end leaves the domain of the quantity.

    Examples
    --------
    >>> read("20..30 ft", "length").show()
    '6.10 to 9.14 m (20..30 ft as noted)'
    """
    plain = units.clean(text)
    if plain.casefold() in ("?", "not seen"):
        return unseen(quantity)
    if plain.startswith("~") or re.search(r"±|\+/-|\+-", plain):
        return _about(plain, quantity)
    if ".." in plain or "…" in plain:
        return _range(plain, quantity)
    try:
        return exact(units.read(plain, quantity), quantity, text=plain)
    except InputError as error:
        if re.match(r"-?[\d.,]+[^\d.,]*?(?:-|–|—|\bto\b) ?-?[\d.]", plain):
            raise InputError(
                f"{units.quoted(plain)} looks like a range.",
                remedy="Write a range with two dots: '20..30 ft'.",
            ) from None
        raise error


def _range(plain: str, quantity: str) -> Noted:
    ends = [part.strip() for part in plain.split("..")]
    if len(ends) != 2 or "..." in plain or "…" in plain or not all(ends):
        raise InputError(
            f"{units.quoted(plain)} is not one range: two ends, two dots.",
            remedy="Write a range so: '20..30 ft', with '0.5' and not '.5' for a half.",
        )
    first, last = ends
    if not units.split_unit(first)[1]:
        first = f"{first} {units.split_unit(last)[1]}"
    low, high = units.read(first, quantity), units.read(last, quantity)
    if low > high:
        raise InputError(
            f"{units.quoted(plain)}: the range runs from high to low.",
            remedy="Give the lower value first: '20..30 ft'; below zero, '-0.45..-0.41 V'.",
        )
    return between(low, high, quantity, text=plain)


def _about(plain: str, quantity: str) -> Noted:
    centre_text, *spread_texts = re.split(r"±|\+/-|\+-", plain.removeprefix("~"))
    if len(spread_texts) > 1 or ".." in plain or not all([centre_text.strip(), *spread_texts]):
        raise InputError(
            f"{units.quoted(plain)} is not one value with one spread.",
            remedy="Give '~25 ft', '~25 ft ± 10 %', '~25 ft ± 2 ft' or '20..30 ft'.",
        )
    centre = units.read(centre_text, quantity)
    spread = _spread(spread_texts[0] if spread_texts else None, centre, quantity, plain)
    if not spread > 0:
        raise InputError(
            f"{units.quoted(plain)}: the spread must be above zero.",
            remedy="Give the spread in a unit: '~25 ft ± 2 ft'; an exact value has none.",
        )
    try:
        return between(
            centre - spread, centre + spread, quantity, origin="about", text=plain, best=centre
        )
    except InputError as error:
        raise InputError(
            f"{error.message} The spread reaches out of what is possible.",
            remedy="Give a range that stays inside: '20..30 ft'.",
        ) from None


def _spread(text: str | None, centre: float, quantity: str, plain: str) -> float:
    """Return half the width, in the working unit."""
    percent = text is None or units.split_unit(text)[1] in units.QUANTITIES["percentage"].units
    if percent and quantity in _NO_PERCENT_OF:
        words = units.QUANTITIES[quantity].words
        raise InputError(
            f"{units.quoted(plain)}: a percentage of {words} means nothing, its zero being a "
            "convention.",
            remedy=f"Give the spread in a unit, for example '± {_NO_PERCENT_OF[quantity]}'.",
        )
    if text is None:
        return abs(centre) * ABOUT_FRACTION
    if percent and quantity in ("fraction", "percentage"):
        raise InputError(
            f"{units.quoted(plain)} may mean percent of the value or percentage points.",
            remedy="Give a range: '40..60 %'.",
        )
    if percent:
        return abs(centre) * units.read(text, "percentage")
    return units.read_difference(text, quantity)


@dataclass(frozen=True, eq=False)
class Choice:
    """A word as noted aboard: the one it is, or all that it may be where it was not seen.

    It cannot be compared with a word, looked for among words, or taken for true or false: what
    asks must say whether it means "may be" or "is surely".
    """

    words: tuple[str, ...]
    seen: bool = True

    def may_be(self, *words: str) -> bool:
        """Whether it is one of these for all that was noted."""
        return any(word in words for word in self.words)

    def is_surely(self, *words: str) -> bool:
        """Whether it is one of these whatever it turns out to be."""
        return all(word in words for word in self.words)

    def turned(self, **into: str) -> Choice:
        """Return the same said in other words, each word turned into another."""
        return Choice(tuple(into[word] for word in self.words), self.seen)

    @property
    def word(self) -> str:
        """The one word that it is.

        Raises
        ------
        InputError
            If it may be several.
        """
        if len(self.words) != 1:
            raise InputError(f"it may be {' or '.join(self.words)}: it was not seen.")
        return self.words[0]

    @property
    def text(self) -> str:
        """As written in a boat file, "?" where it was not seen: to print, or to look words up."""
        return " or ".join(self.words) if self.seen else "?"

    def __str__(self) -> str:
        return " or ".join(self.words) if self.seen else "not seen"

    if not TYPE_CHECKING:  # so that mypy finds every such comparison before it is made

        def __eq__(self, other: object) -> bool:
            if isinstance(other, Choice):
                return (self.words, self.seen) == (other.words, other.seen)
            raise TypeError(f"a choice is compared with {other!r}: ask may_be or is_surely")

        def __hash__(self) -> int:
            raise TypeError("a choice is looked up: ask may_be or is_surely, or take its text")

        def __bool__(self) -> bool:
            raise TypeError("a choice is taken for true or false: ask may_be or is_surely")


YES = Choice(("yes",))


NO = Choice(("no",))


YES_OR_NO = Choice(("yes", "no"), seen=False)


def hull(values: Sequence[Noted]) -> Noted:
    """Return the value that takes in all of these, as noted as the first."""
    first = values[0]
    low = min(one.span[0] for one in values)
    high = max(one.span[2] for one in values)
    if low == first.span[0] and high == first.span[2]:
        return first
    origin: Origin = "typical" if first.origin == "typical" else "range"
    return Noted(first.quantity, low, first.span[1], high, origin, first.text, first.source)
