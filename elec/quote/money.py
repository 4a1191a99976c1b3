"""Money and quantities as a yard prints them: decimal numbers, never binary ones.

The decimal mark is read from the file as a whole: a cell such as ``1.234`` says nothing by itself,
while ``1.234,50`` or ``12.5`` does.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal
from typing import Literal

from elec import units
from elec.errors import InputError

__all__ = ["EXACT", "Mark", "Printed", "half_coin", "printed", "show", "the_mark", "to_coin"]

Mark = Literal["point", "comma"]

#: Wide enough for the product of any two numbers accepted here: sums and products are exact.
EXACT = Context(prec=60)
_LONGEST_WHOLE, _LONGEST_PARTS = 15, 6
_SPACES = " \u00a0\u2007\u2009\u202f"
_GAP = rf"['’{_SPACES}]"
_CODE = r"[A-Z]{3}|[A-Za-z]{0,3}[$€£¥₤₺₽₹₩₪฿]|kr\.?|zł|Kč|Ft|лв|R|Fr\.?|lei"
_NUMBER = re.compile(
    rf"(?P<open>\()?\s*(?P<sign>[-+−])?\s*(?P<before>{_CODE})?\s*(?P<sign2>[-+−])?\s*"
    rf"(?P<core>[0-9][0-9.,'’{_SPACES}]*|[.,][0-9]+)(?:[.,][-–])?\s*(?P<after>{_CODE})?\s*(?P<sign3>[-−])?\s*(?P<close>\))?"
)
_REMEDY = "Give a plain number such as '1234.50' or '1.234,50'; no formula, no words."


@dataclass(frozen=True)
class Printed:
    """A number as it stands in a cell: digits and marks, its currency if one stands beside it."""

    text: str
    negative: bool
    core: str
    currency: str

    @property
    def mark(self) -> Mark | None:
        """The decimal mark that this cell by itself shows, or None if it shows none."""
        core = self.core
        names: dict[str, Mark] = {".": "point", ",": "comma"}
        used = [sign for sign in names if sign in core]
        if len(used) == 2:
            return names[max(used, key=core.rindex)]
        if not used:
            return None
        sign = used[0]
        if core.count(sign) > 1:
            return "comma" if sign == "." else "point"
        whole, _, parts = core.partition(sign)
        lone = len(parts) != 3 or len(whole) > 3 or whole in ("", "0") or whole.startswith("0")
        return names[sign] if lone else None

    @property
    def unclear(self) -> bool:
        """Whether the one mark in it may be decimal or group thousands."""
        return self.mark is None and ("." in self.core or "," in self.core)

    def value(self, mark: Mark) -> Decimal:
        """Return the number, with ``mark`` as the decimal mark."""
        decimal, group = (".", ",") if mark == "point" else (",", ".")
        whole, _, parts = self.core.partition(decimal)
        groups = whole.split(group)
        grouped = len(groups) > 1
        sizes_fit = all(len(g) in (2, 3) for g in groups[1:-1]) and len(groups[-1]) == 3
        if group in parts or decimal in parts or (grouped and not (groups[0] and sizes_fit)):
            raise InputError(f"{units.quoted(self.text)} is not one number.", remedy=_REMEDY)
        digits = "".join(groups)
        if len(digits.lstrip("0")) > _LONGEST_WHOLE or len(parts) > _LONGEST_PARTS:
            raise InputError(
                f"{units.quoted(self.text)} has too many digits for a quote.",
                remedy=f"At most {_LONGEST_WHOLE} digits before the mark and {_LONGEST_PARTS} "
                "behind it.",
            )
        number = Decimal(f"{digits or '0'}.{parts or '0'}" if parts else digits or "0")
        return -number if self.negative else number


def printed(text: str) -> Printed:
    """Read a cell as a number with or without a currency.

    Parameters
    ----------
    text : str
        As printed: ``1 234.50``, ``€ 1.234,50``, ``(120.00)``, ``120,-``. [text]

    Returns
    -------
    Printed
        Its digits and marks, not yet a value: that turns on the decimal mark of the file.

    Raises
    ------
    InputError
        If it is a formula, words, or anything but one number.

    Examples
    --------
    >>> printed("€ 1.234,50").value("comma")
    Decimal('1234.50')
    """
    plain = text.strip(_SPACES + "\t")
    if plain[:1] in ("=", "@") or (plain[:1] in "+-" and re.search(r"[A-Za-z]+\d*\(", plain)):
        raise InputError(
            f"{units.quoted(text)} is a formula, not a number.",
            remedy="Export the values, not the formulas.",
        )
    found = _NUMBER.fullmatch(plain)
    if found is None or bool(found["open"]) != bool(found["close"]):
        raise InputError(f"{units.quoted(text)} is not a number.", remedy=_REMEDY)
    signs = [found[name] for name in ("sign", "sign2", "sign3") if found[name]]
    if len(signs) + bool(found["open"]) > 1:
        raise InputError(f"{units.quoted(text)} has more than one sign.", remedy=_REMEDY)
    core = found["core"].strip(_SPACES).rstrip(".,")
    if re.search(_GAP, core):
        if not re.fullmatch(rf"[0-9]{{1,3}}({_GAP}[0-9]{{3}})+([.,][0-9]+)?", core):
            raise InputError(f"{units.quoted(text)} is not one number.", remedy=_REMEDY)
        core = re.sub(_GAP, "", core)
    negative = bool(found["open"]) or any(sign in "-−" for sign in signs)
    return Printed(text, negative, core, found["before"] or found["after"] or "")


def the_mark(cells: Iterable[Printed], given: Mark | None = None) -> Mark:
    """Return the decimal mark of a file from all its numbers.

    Raises
    ------
    InputError
        If cells contradict one another, or none of them says what ``1.234`` means.
    """
    if given is not None:
        return given
    shown: dict[Mark, Printed] = {}
    unclear: Printed | None = None
    for cell in cells:
        if (mark := cell.mark) is not None:
            shown.setdefault(mark, cell)
        elif cell.unclear and unclear is None:
            unclear = cell
    remedy = 'Say which is meant: decimal = "comma" or decimal = "point".'
    if len(shown) == 2:
        raise InputError(
            f"{units.quoted(shown['point'].text)} has a decimal point and "
            f"{units.quoted(shown['comma'].text)} a decimal comma.",
            remedy=remedy,
        )
    if not shown and unclear is not None:
        raise InputError(
            f"{units.quoted(unclear.text)} may be a decimal or thousands: no other number of the "
            "file shows which.",
            remedy=remedy,
        )
    return next(iter(shown), "point")


def half_coin(decimals: int) -> Decimal:
    """Return half of the smallest coin when amounts carry so many decimals."""
    return Decimal(5).scaleb(-decimals - 1)


def to_coin(amount: Decimal, decimals: int, *, even: bool = False) -> Decimal:
    """Round an exact amount to the smallest coin, halves up (away from zero) unless ``even``."""
    rounding = ROUND_HALF_EVEN if even else ROUND_HALF_UP
    return amount.quantize(Decimal(1).scaleb(-decimals), rounding=rounding, context=EXACT)


def show(amount: Decimal, currency: str = "") -> str:
    """Write an amount for a screen: thousands apart, a decimal point, the currency behind it."""
    text = f"{amount:,f}"
    return f"{text} {currency}" if currency else text
