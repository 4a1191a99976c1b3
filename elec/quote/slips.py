"""What a wrong figure most likely is: digits swapped, a mark moved, feet for metres, pairs."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from elec import units
from elec.quote.money import EXACT, half_coin, to_coin

__all__ = ["likely_figure", "likely_product"]

#: A price by the foot against one by the metre may have been rounded on the way.
_ROUNDED = Decimal("0.01")


def likely_figure(printed: Decimal, computed: Decimal, decimals: int) -> str:
    """Say which slip of digits turns ``computed`` into ``printed``, or return nothing."""
    coin = to_coin(computed, decimals)
    if printed == coin or not printed or not coin:
        return ""
    if printed == -coin:
        return "the sign is turned round"
    for power in (1, 2, 3, -1, -2, -3):
        if abs(printed - computed.scaleb(power)) <= half_coin(decimals):
            return "the decimal mark is moved by " + (
                "one place" if abs(power) == 1 else f"{abs(power)} places"
            )
    shown, right = f"{printed:.{decimals}f}", f"{coin:.{decimals}f}"
    if len(shown) != len(right):
        return ""
    differ = [i for i, (a, b) in enumerate(zip(shown, right, strict=True)) if a != b]
    digits = [i for i in range(len(shown)) if shown[i].isdigit()]
    if (
        len(differ) == 2
        and digits.index(differ[1]) - digits.index(differ[0]) == 1
        and (shown[differ[0]], shown[differ[1]]) == (right[differ[1]], right[differ[0]])
    ):
        return f"two digits are swapped, {right[differ[0]]} and {right[differ[1]]}"
    if len(differ) == 1:
        return f"one digit differs, {shown[differ[0]]} for {right[differ[0]]}"
    return ""


def likely_product(
    quantity: Decimal, rate: Decimal, amount: Decimal, unit: str | None, decimals: int
) -> str:
    """Say what most likely went wrong between quantity, rate and amount of one line."""
    computed = EXACT.multiply(quantity, rate)
    half = half_coin(decimals)
    if amount and computed:
        foot = Decimal(repr(units.to_base(1.0, "ft", "length")))
        if unit in ("m", "ft", None):
            for factor, words in (
                (1 / foot, "counted in feet and priced by the metre"),
                (foot, "counted in metres and priced by the foot"),
            ):
                if abs(amount - computed * factor) <= abs(computed * factor) * _ROUNDED:
                    return f"the amount fits a length {words}"
        if unit != "h" and abs(amount - 2 * computed) <= half:
            return "the amount is twice the product: pairs charged where single ones are counted?"
        if unit != "h" and abs(2 * amount - computed) <= 2 * half:
            return "the amount is half the product: single ones charged where pairs are counted?"
    if said := likely_figure(amount, computed, decimals):
        return said
    for other in _swapped(quantity):
        if abs(EXACT.multiply(other, rate) - amount) <= half:
            return f"the amount fits a quantity of {other}, two digits swapped"
    for other in _swapped(rate):
        if abs(EXACT.multiply(quantity, other) - amount) <= half:
            return f"the amount fits a rate of {other}, two digits swapped"
    return ""


def _swapped(number: Decimal) -> Iterator[Decimal]:
    """Yield the number with each two neighbouring digits swapped."""
    sign, digits, exponent = number.as_tuple()
    for i in range(len(digits) - 1):
        if digits[i] != digits[i + 1]:
            turned = (*digits[:i], digits[i + 1], digits[i], *digits[i + 2 :])
            yield Decimal((sign, turned, int(exponent)))
