"""Values that no gear aboard can have: zero where it must be more, over a day, under one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["ABOVE_ZERO", "AIR", "AT_LEAST_ALL", "A_TEST", "IN_A_DAY", "Bound"]


@dataclass(frozen=True)
class Bound:
    """What a value must be: whether it is, what is said if not, and what to give instead."""

    holds: Callable[[float, float], bool]
    fault: str
    remedy: str


#: Air and water round working gear. Our own convention, wider than any boat meets.
_COLDEST_C, _HOTTEST_C = -40.0, 100.0

ABOVE_ZERO = Bound(
    lambda low, _: low > 0,
    "is or may be zero",
    'Give a value above zero, or "?" if it was not seen.',
)
#: What a capacity test found.
A_TEST = Bound(
    ABOVE_ZERO.holds,
    ABOVE_ZERO.fault,
    'Give what a test found, "1 %" for a dead battery, or "?" if it was not tested.',
)
IN_A_DAY = Bound(
    lambda _, high: high <= 24, "is more than a day has", "Give hours a day, 24 h at most."
)
AIR = Bound(
    lambda low, high: low >= _COLDEST_C and high <= _HOTTEST_C,
    "is met nowhere aboard",
    f"Give it from {_COLDEST_C:g} to {_HOTTEST_C:g} °C.",
)
AT_LEAST_ALL = Bound(
    lambda low, _: low >= 1,
    "is less than was taken out",
    "Give charge put back over charge taken: '115 %'.",
)
