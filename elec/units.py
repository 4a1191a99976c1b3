"""The only place that parses or prints a unit.

A value from aboard is text with a unit: ``"50 A"``, ``"40 ft"``, ``"3 %"``. Each quantity has a
closed list of spellings, so that a charge is never taken for a current, VA never for W, and no
prefix is ever guessed. Inside the package values are plain floats in the working unit of their
quantity (``QUANTITIES[name].base``). Conversion factors are exact fractions, so a value is rounded
once only. Those met most are held, and tested against pint; pint is loaded for the others.
"""

from __future__ import annotations

import math
import os
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from elec._quantities import HELD, QUANTITIES, Quantity
from elec.errors import InputError

if TYPE_CHECKING:
    import pint

__all__ = [
    "QUANTITIES",
    "Quantity",
    "Size",
    "check",
    "clean",
    "find",
    "from_base",
    "number",
    "plain",
    "quoted",
    "read",
    "read_difference",
    "show",
    "show_against",
    "show_limit",
    "show_range",
    "size",
    "split_unit",
    "to_base",
]

Sense = Literal["at most", "at least"]

_LONGEST_TEXT = 100
_LONGEST_NUMBER = 25


#: Why a unit that looks near enough is refused: by (quantity asked, quantity given).
_NOT_THE_SAME = {
    ("power", "apparent_power"): "Volt-amperes are watts only when the power factor is known. ",
    ("apparent_power", "power"): "Watts are volt-amperes only when the power factor is known. ",
    ("temperature_difference", "temperature"): "A rise of 5 °C is written '5 K'. ",
    ("cranking", "current"): "Say that the figure is a cold cranking one, as the label does. ",
    ("current", "charge"): "Ampere-hours say how much, not how fast. ",
}
_CURRENT_KIND = dict.fromkeys(
    ("VDC", "V DC", "VAC", "V AC", "ADC", "A DC", "AAC", "A AC"),
    "Leave out AC or DC: the entry says which it is. ",
)
_OTHER_TEST = "It is another test than the SAE cold cranking one, and cannot be converted. "
_METRIC_HP = "The metric horsepower is smaller than 'hp': give the watts. "
#: Why a unit of no quantity is refused, by quantity asked and unit in capitals.
_REFUSED: dict[str, dict[str, str]] = {
    "voltage": _CURRENT_KIND,
    "current": _CURRENT_KIND,
    "cranking": dict.fromkeys(("MCA", "CA", "HCA", "EN", "A EN", "DIN", "A DIN"), _OTHER_TEST),
    "power": dict.fromkeys(("PS", "CV", "PK"), _METRIC_HP),
}


def quoted(text: object) -> str:
    """Return ``text`` in quotes, short, and safe to show on a terminal."""
    shown = "".join(
        c if c.isprintable() else c.encode("unicode_escape").decode() for c in str(text)
    )
    return f"'{shown[:40]}…'" if len(shown) > 40 else f"'{shown}'"


_SAME_CHARACTER = str.maketrans(
    {
        "\N{MINUS SIGN}": "-",
        "\N{GREEK SMALL LETTER MU}": "\N{MICRO SIGN}",
        "\N{OHM SIGN}": "\N{GREEK CAPITAL LETTER OMEGA}",
        "\N{INCREMENT}": "\N{GREEK CAPITAL LETTER DELTA}",
        "\N{MASCULINE ORDINAL INDICATOR}": "\N{DEGREE SIGN}",
        "\N{DOT OPERATOR}": "\N{MIDDLE DOT}",
        "\N{PRIME}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    }
)


def clean(text: str) -> str:
    """Return ``text`` with spaces and look-alike signs made plain; refuse what hides in it.

    Parameters
    ----------
    text : str
        As written. [text]

    Returns
    -------
    str
        The same in plain characters, single spaces, none at the ends. [text]

    Raises
    ------
    InputError
        If it is not text, is empty or very long, or holds control characters or digits other
        than 0 to 9.
    """
    if not isinstance(text, str):
        raise InputError(
            f"{quoted(text)} is not text with a unit.", remedy="Write the value as text: '50 A'."
        )
    if len(text) > _LONGEST_TEXT:
        raise InputError(
            f"{quoted(text)} is {len(text)} characters long.",
            remedy=f"Give one value with its unit, at most {_LONGEST_TEXT} characters.",
        )
    plain = text.strip(" \t\r\n").translate(_SAME_CHARACTER)
    for c in plain:
        kind = unicodedata.category(c)
        if kind[0] == "C" or kind in ("Zl", "Zp") or (kind == "Nd" and not c.isascii()):
            raise InputError(
                f"{quoted(text)} holds a hidden character, or a digit other than 0 to 9.",
                remedy="Type the value again with plain characters: '50 A'.",
            )
    plain = " ".join(plain.split())
    if not plain:
        raise InputError("An empty text was given.", remedy="Give a value with its unit: '50 A'.")
    return plain


def number(text: str) -> float:
    """Read a plain decimal number; a decimal comma is accepted where it can only be one.

    Parameters
    ----------
    text : str
        For example ``"12"``, ``"-0.41"``, ``"0,75"``, ``"1.2e3"``. [text]

    Returns
    -------
    float
        The number. [-]

    Raises
    ------
    InputError
        If it is not a number, is not finite, or can be read in two ways (``"1,500"``).
    """
    return float(_exact_number(text))


def _exact_number(text: str) -> Fraction:
    plain = clean(text)
    remedy = "Give a plain number with a decimal point: '1500' or '0.75'."
    if "," in plain:
        if re.fullmatch(r"[+-]?[1-9]\d{0,2}(,\d{3})+", plain) or not re.fullmatch(
            r"[+-]?\d*,\d+", plain
        ):
            raise InputError(
                f"{quoted(plain)} can be read in more than one way: the comma may part "
                "thousands or decimals.",
                remedy=remedy,
            )
        plain = plain.replace(",", ".")
    if len(plain) > _LONGEST_NUMBER or not re.fullmatch(
        r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,2})?", plain
    ):
        raise InputError(f"{quoted(plain)} is not a plain finite number.", remedy=remedy)
    return Fraction(plain)


def split_unit(text: str) -> tuple[str, str]:
    """Split ``"50 A"`` into ``("50", "A")``; either part may come back empty.

    >>> split_unit("1,5 mm²")
    ('1,5', 'mm²')
    """
    plain = clean(text)
    found = re.match(r"[+-]?(?:\d[\d.,]*|[.,]\d+)(?:[eE][+-]?\d+)?", plain)
    end = found.end() if found else 0
    return plain[:end], plain[end:].strip()


def find(quantity: str) -> Quantity:
    """Return the quantity of that name, or say which names there are."""
    try:
        return QUANTITIES[quantity]
    except KeyError:
        known = ", ".join(QUANTITIES)
        raise InputError(
            f"{quoted(quantity)} is not a quantity.", remedy=f"Known: {known}."
        ) from None


def _remedy(asked: Quantity, hint: str = "") -> str:
    accepted = f" in {asked.accepted}" if asked.accepted else ""
    return f"{hint}Give {asked.words}{accepted}, for example '{asked.example}'."


def _expression(unit: str, quantity: str, given: str) -> str:
    """Return pint's expression of an accepted spelling, or say what the spelling is instead."""
    asked = find(quantity)
    if unit in asked.units:
        return asked.units[unit]
    if not unit:
        raise InputError(f"{quoted(given)} has no unit.", remedy=_remedy(asked))
    for other in QUANTITIES.values():
        if unit in other.units:
            hint = _NOT_THE_SAME.get((asked.name, other.name), "")
            raise InputError(
                f"{quoted(given)} is {other.words}, not {asked.words}.",
                remedy=_remedy(asked, hint),
            )
    if re.search(r"\d", unit) and not re.fullmatch(r"\D+[23]", unit):
        raise InputError(f"{quoted(given)} is more than one value.", remedy=_remedy(asked))
    hint = _REFUSED.get(asked.name, {}).get(unit.upper(), "")
    if not hint and unit.casefold() in {spelling.casefold() for spelling in asked.units}:
        hint = "Capital and small letters matter in units. "
    raise InputError(
        f"{quoted(given)}: unit {quoted(unit)} is not accepted for {asked.words}.",
        remedy=_remedy(asked, hint),
    )


def _cache_folder() -> str | None:
    """Return a folder where pint may keep its parsed definitions, or None: never a failure."""
    try:
        home = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
        folder = Path(home) / "elec" / "pint"
        if not folder.is_absolute():
            return None
        folder.mkdir(parents=True, exist_ok=True)
        return str(folder) if os.access(folder, os.W_OK | os.X_OK) else None
    except (OSError, RuntimeError, ValueError):
        return None


@cache
def _registry() -> pint.UnitRegistry[Any]:
    import pint

    try:
        return pint.UnitRegistry(non_int_type=Fraction, cache_folder=_cache_folder())
    except Exception:  # a damaged or vanished cache must not cost the user the answer
        return pint.UnitRegistry(non_int_type=Fraction)


@cache
def _line(expression: str, base: str) -> tuple[Fraction, Fraction]:
    """Return factor and offset, exact: value in the working unit = number * factor + offset."""
    if expression == base:
        return Fraction(1), Fraction(0)
    if held := HELD.get(base, {}).get(expression):
        factor, _, offset = held.partition(" ")
        return Fraction(factor), Fraction(offset or 0)
    return _line_by_pint(expression, base)


def _line_by_pint(expression: str, base: str) -> tuple[Fraction, Fraction]:
    quantity = _registry().Quantity
    at_0, at_1 = (Fraction(quantity(Fraction(i), expression).to(base).magnitude) for i in (0, 1))
    return at_1 - at_0, at_0


def _line_of(unit: str, quantity: str, given: str) -> tuple[Fraction, Fraction]:
    expression = _expression(unit, quantity, given)
    asked = QUANTITIES[quantity]
    return _line(expression, asked.units.get(asked.base, "dimensionless"))


def _fraction(value: float) -> Fraction:
    if not math.isfinite(value):
        raise InputError(f"'{value}' is not a finite number.", remedy="Give a plain number.")
    return Fraction(float(value))


def to_base(number: float, unit: str, quantity: str) -> float:
    """Convert ``number`` in an accepted ``unit`` to the working unit of ``quantity``."""
    factor, offset = _line_of(unit, quantity, f"{number} {unit}")
    return float(_fraction(number) * factor + offset)


def from_base(value: float, quantity: str, unit: str) -> float:
    """Convert ``value`` in the working unit of ``quantity`` to an accepted ``unit``."""
    return float(_in_unit(value, quantity, unit))


def _in_unit(value: float, quantity: str, unit: str) -> Fraction:
    if unit == find(quantity).base:
        return _fraction(value)
    factor, offset = _line_of(unit, quantity, f"{value} {unit}")
    return (_fraction(value) - offset) / factor


def check(value: float, quantity: str, *, given: str = "") -> float:
    """Return ``value`` if it lies in the domain of ``quantity``, else say what the domain is.

    Parameters
    ----------
    value : float
        In the working unit of the quantity. [working unit]
    quantity : str
        Name in ``QUANTITIES``. [text]
    given : str, default ""
        What was written, to be quoted in the message. [text]

    Returns
    -------
    float
        The same value. [working unit]

    Raises
    ------
    InputError
        If it is not finite or outside the domain.
    """
    asked = find(quantity)

    def what() -> str:
        return quoted(given or f"{value:g} {asked.base}")

    if not math.isfinite(value):
        raise InputError(f"{what()} is not finite.", remedy=_remedy(asked))
    if asked.lowest is not None:
        low_enough = value >= asked.lowest if asked.lowest_included else value > asked.lowest
        if not low_enough:
            bound = show(asked.lowest, quantity, digits=5) if asked.lowest else "zero"
            rule = f"{bound} or more" if asked.lowest_included else f"above {bound}"
            raise InputError(f"{what()}: {asked.words} must be {rule}.", remedy=_remedy(asked))
    if asked.highest is not None and value > asked.highest:
        bound = show(asked.highest, quantity)
        raise InputError(f"{what()}: {asked.words} here is at most {bound}.", remedy=_remedy(asked))
    return value


def read(text: str, quantity: str) -> float:
    """Read one value with its unit, in the working unit of ``quantity``.

    Parameters
    ----------
    text : str
        For example ``"50 A"`` or ``"40 ft"``. [text]
    quantity : str
        Name in ``QUANTITIES``. [text]

    Returns
    -------
    float
        The value, rounded once. [working unit]

    Raises
    ------
    InputError
        If there is no number or no unit, the unit is not accepted for the quantity, or the value
        lies outside its domain.

    Examples
    --------
    >>> read("7 %", "percentage")
    0.07
    """
    exact, factor, offset, plain = _parts(text, quantity)
    return check(float(exact * factor + offset), quantity, given=plain)


def read_difference(text: str, quantity: str) -> float:
    """Read an amount by which a value may differ: ``"5 °C"`` is 5 K of temperature, not 278 K.

    Parameters
    ----------
    text : str
        A number with a unit accepted for ``quantity``. [text]
    quantity : str
        Name in ``QUANTITIES``. [text]

    Returns
    -------
    float
        The amount, of any sign. [working unit]
    """
    exact, factor, _, _ = _parts(text, quantity)
    return float(exact * factor)


def _parts(text: str, quantity: str) -> tuple[Fraction, Fraction, Fraction, str]:
    """Return number, factor and offset of what is written, and the text as cleaned."""
    asked = find(quantity)
    plain = clean(text)
    digits, unit = split_unit(plain)
    if not digits:
        raise InputError(f"{quoted(plain)} does not begin with a number.", remedy=_remedy(asked))
    factor, offset = _line_of(unit, quantity, plain)
    try:
        return _exact_number(digits), factor, offset, plain
    except InputError as error:
        raise InputError(f"{quoted(plain)}: {error.message}", remedy=error.remedy) from None


def _shown_unit(value: float, quantity: str, unit: str | None) -> tuple[str, str]:
    """Return the unit to convert to and the label to print."""
    base = find(quantity).base
    if unit is not None:
        return unit, unit
    if quantity in ("fraction", "percentage"):
        return "%", "%"
    if quantity == "resistance" and 0 < abs(value) < 1:
        return "mohm", "mohm"
    if quantity == "duration" and 0 < abs(value) < 1:
        return ("s", "s") if abs(value) * 60 < 1 else ("min", "min")
    if quantity == "power" and abs(value) >= 10_000:
        return "kW", "kW"
    return base, base


def _digits(value: Fraction, digits: int, nudge: int = 0) -> str:
    """Write ``value`` to ``digits`` significant digits, whole numbers in full.

    ``nudge`` -1 or +1 rounds down or up instead of to nearest, unless nearest is the value but
    for the noise of floating point.
    """
    if value == 0:
        return "0"
    exponent = int(f"{float(value):.{digits - 1}e}".partition("e")[2])
    decimals = max(0, digits - 1 - exponent)
    if exponent < -6 or exponent > 15:
        return f"{_digits(value / Fraction(10) ** exponent, digits, nudge)}e{exponent}"
    scaled = value * 10**decimals
    whole = round(scaled)
    if nudge and abs(whole - scaled) > abs(scaled) * Fraction(1, 10**9):
        whole = math.floor(scaled) if nudge < 0 else math.ceil(scaled)
    sign, figures = "-" if whole < 0 else "", str(abs(whole)).rjust(decimals + 1, "0")
    return sign + (f"{figures[:-decimals]}.{figures[-decimals:]}" if decimals else figures)


def show(value: float, quantity: str, *, unit: str | None = None, digits: int = 3) -> str:
    """Write a value with its unit, for a screen.

    Parameters
    ----------
    value : float
        In the working unit of the quantity, finite. [working unit]
    quantity : str
        Name in ``QUANTITIES``. [text]
    unit : str, optional
        An accepted spelling to print in. Without it the working unit, but percent for fractions,
        milliohms below one ohm, minutes below one hour, seconds below one minute and kilowatts
        from 10 kW. [text]
    digits : int, default 3
        Significant digits; whole numbers are always printed in full. [-]

    Returns
    -------
    str
        Such as ``"45.2 A"``. [text]

    Examples
    --------
    >>> show(12.0, "length"), show(0.03, "percentage"), show(1253.4, "power")
    ('12.0 m', '3.00 %', '1253 W')
    """
    to, label = _shown_unit(value, quantity, unit)
    return f"{_digits(_in_unit(value, quantity, to), digits)} {label}".rstrip()


def show_range(
    low: float, high: float, quantity: str, *, unit: str | None = None, digits: int = 3
) -> str:
    """Write ``"6.10 to 9.14 m"``; ends that differ are given enough digits to differ."""
    to, label = _shown_unit(high, quantity, unit)
    ends = _in_unit(low, quantity, to), _in_unit(high, quantity, to)
    first, last = _apart(*ends, digits)
    return (f"{first} {label}" if low == high else f"{first} to {last} {label}").rstrip()


def show_limit(
    limit: float, quantity: str, *, sense: Sense, unit: str | None = None, digits: int = 3
) -> str:
    """Write a limit so that whoever keeps to the printed figure keeps to the limit.

    An "at most" limit is rounded down, an "at least" limit up.

    >>> show_limit(7.4286, "length", sense="at most"), show_limit(1.6416, "area", sense="at least")
    ('7.42 m', '1.65 mm²')
    """
    to, label = _shown_unit(limit, quantity, unit)
    return f"{_digits(_in_unit(limit, quantity, to), digits, _strict_side(sense))} {label}".rstrip()


def show_against(
    value: float, limit: float, quantity: str, *, sense: Sense, unit: str | None = None
) -> tuple[str, str]:
    """Write a value and its limit so that rounding neither crosses nor touches the limit.

    Digits are added until the printed figures stand as the true ones do; only equal values print
    alike. The limit is rounded to its strict side, as by :func:`show_limit`.

    Parameters
    ----------
    value, limit : float
        Both in the working unit of the quantity. [working unit]
    quantity : str
        Name in ``QUANTITIES``. [text]
    sense : {"at most", "at least"}
        How the value must stand to the limit. [text]
    unit : str, optional
        An accepted spelling to print both in. [text]

    Returns
    -------
    tuple of str
        The value and the limit, in the same unit. [text]

    Examples
    --------
    >>> show_against(0.03003, 0.03, "percentage", sense="at most")
    ('3.003 %', '3.000 %')
    """
    to, label = _shown_unit(limit, quantity, unit)
    pair = _in_unit(value, quantity, to), _in_unit(limit, quantity, to)
    first, last = _apart(*pair, 3, _strict_side(sense))
    return f"{first} {label}".rstrip(), f"{last} {label}".rstrip()


def _strict_side(sense: str) -> int:
    if sense not in ("at most", "at least"):
        raise InputError(f"{quoted(sense)} is not a sense.", remedy="Give 'at most' or 'at least'.")
    return -1 if sense == "at most" else 1


def _apart(first: Fraction, last: Fraction, digits: int, nudge: int = 0) -> tuple[str, str]:
    """Write both with as many digits as keep their order; ``nudge`` is for the last."""
    if first == last:
        return (_digits(last, digits, nudge),) * 2
    while True:
        texts = _digits(first, digits), _digits(last, digits, nudge)
        shown_first, shown_last = map(Fraction, texts)
        if shown_first != shown_last and (shown_first < shown_last) == (first < last):
            return texts
        digits += 1


@dataclass(frozen=True)
class Size:
    """A conductor size by name; whether it exists is for the tables to say."""

    kind: Literal["AWG", "kcmil", "mm2"]
    number: str

    @property
    def label(self) -> str:
        """The size as printed: ``"4/0 AWG"``, ``"250 kcmil"``, ``"35 mm²"``."""
        return f"{self.number} {'mm²' if self.kind == 'mm2' else self.kind}"


_AUGHTS = {"0": "1/0", "00": "2/0", "000": "3/0", "0000": "4/0"}
_SIZE_REMEDY = "Give a size with its system: '2 AWG', '4/0 AWG', '250 kcmil' or '35 mm²'."


def size(text: str) -> Size:
    """Read the name of a conductor size.

    Parameters
    ----------
    text : str
        Such as ``"4/0 AWG"``, ``"#2"``, ``"250 MCM"`` or ``"1,5 mm2"``. [text]

    Returns
    -------
    Size
        The system and the number, in one spelling per size. [text]

    Raises
    ------
    InputError
        If it is no size, or a bare number that may be a gauge or square millimetres.

    Examples
    --------
    >>> size("0000 awg").label, size("35 sq mm").label
    ('4/0 AWG', '35 mm²')
    """
    plain = clean(text)
    small = plain.casefold()
    gauge = r"(0{1,4}|[1-4]/0|[1-9]\d?)"
    for pattern in (
        rf"{gauge} ?(?:awg|gauge|ga\.?)",
        rf"awg ?{gauge}",
        rf"(?:#|no\.?) ?{gauge}(?: ?awg)?",
        r"([1-4]/0)",
    ):
        if found := re.fullmatch(pattern, small):
            return Size("AWG", _AUGHTS.get(found[1], found[1]))
    if found := re.fullmatch(r"([\d.,]+) ?(?:kcmil|mcm)", small):
        return Size("kcmil", _size_number(found[1], plain))
    if found := re.fullmatch(r"([\d.,]+) ?(?:mm²|mm2|mm\^2|sq\.? ?mm)", small):
        return Size("mm2", _size_number(found[1], plain))
    if re.fullmatch(r"[\d.,]+", small):
        raise InputError(
            f"{quoted(plain)} may be a gauge number or square millimetres.", remedy=_SIZE_REMEDY
        )
    raise InputError(f"{quoted(plain)} is not a conductor size.", remedy=_SIZE_REMEDY)


def _size_number(digits: str, given: str) -> str:
    try:
        exact = _exact_number(digits)
    except InputError as error:
        raise InputError(f"{quoted(given)}: {error.message}", remedy=_SIZE_REMEDY) from None
    if exact <= 0:
        raise InputError(f"{quoted(given)}: a size is above zero.", remedy=_SIZE_REMEDY)
    whole, _, part = digits.replace(",", ".").partition(".")
    part = part.rstrip("0")
    return f"{whole.lstrip('0') or '0'}{'.' + part if part else ''}"


def plain(value: float, *, digits: int = 4) -> str:
    """Write a bare number for a line of arithmetic, whole numbers in full."""
    return f"{value:g}" if not math.isfinite(value) else _digits(_fraction(value), digits)
