"""Values that no gear aboard can have: zero where it must be more, over a day, under one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from elec.noted import Noted

__all__ = ["senseless"]

_ABOVE_ZERO: dict[str, tuple[str, ...]] = {
    "bank": (
        "capacity",
        "rate",
        "remaining",
        "usable",
        "autonomy",
        "reserve",
        "displacement",
        "short_circuit",
        "resistance",
    ),
    "charger": ("current", "recharge"),
    "alternator": ("current", "converter", "efficiency"),
    "inverter": ("power", "efficiency", "surge", "transfer"),
    "inlet": ("rating", "breaker", "pedestal", "isolator_rating", "loaded_current"),
    "cord": ("rating",),
    "dock": ("rating", "feeder_rating"),
    "generator": ("power", "apparent_power"),
    "transformer": ("rating",),
    "dc_load": ("efficiency",),
    "protection": ("rating", "interrupting", "marked_voltage"),
    "run": ("on_time", "drop"),
    "anode": ("mass",),
}
_IN_A_DAY: dict[str, tuple[str, ...]] = {
    "dc_load": ("hours",),
    "ac_load": ("hours",),
    "generator": ("hours",),
    "solar": ("sun",),
}
#: Air and water round working gear. Our own convention, wider than any boat meets.
_COLDEST_C, _HOTTEST_C = -40.0, 100.0
_AIR: dict[str, tuple[str, ...]] = {
    "generator": ("intake",),
    "inlet": ("terminal_ambient",),
    "run": ("ambient",),
    "bank": ("temperature",),
}
_AT_LEAST_ALL: dict[str, tuple[str, ...]] = {"bank": ("charge_return",)}


def senseless(list_name: str, entry: Any) -> Iterator[tuple[str, str, str]]:
    """Yield field, what is wrong with it and what is accepted, for every such value of an entry."""
    for field in _ABOVE_ZERO.get(list_name, ()):
        value = getattr(entry, field)
        if _may_be_zero(value):
            yield field, f"{value.text} is or may be zero", _remedy(field)
    for number, string in enumerate(getattr(entry, "string", ()), start=1):
        if _may_be_zero(string.remaining):
            words = f"string {number}: {string.remaining.text} is or may be zero"
            yield "string", words, _remedy("remaining")
    for field in _IN_A_DAY.get(list_name, ()):
        value = getattr(entry, field)
        if value.seen and value.span[2] > 24:
            yield field, f"{value.text} is more than a day has", "Give hours a day, 24 h at most."
    for field in _AIR.get(list_name, ()):
        value = getattr(entry, field)
        if value.seen and not (value.span[0] >= _COLDEST_C and value.span[2] <= _HOTTEST_C):
            yield (
                field,
                f"{value.text} is met nowhere aboard",
                f"Give it from {_COLDEST_C:g} to {_HOTTEST_C:g} °C.",
            )
    if list_name == "protection" and _opens_below_its_rating(entry):
        least = f"{entry.opens.currents[0]:g} A"
        yield (
            "opens",
            f"its first current, {least}, is not above its rating of {entry.rating.text}",
            "Give the points of its own curve, smallest current first.",
        )
    for field in _AT_LEAST_ALL.get(list_name, ()):
        value = getattr(entry, field)
        if value.seen and value.span[0] < 1:
            yield (
                field,
                f"{value.text} is less than was taken out",
                "Give charge put back over charge taken: '115 %'.",
            )


def _opens_below_its_rating(device: Any) -> bool:
    curve, rating = device.opens, device.rating
    in_amperes = curve.seen and not curve.of_rating
    return bool(in_amperes and rating.seen and curve.currents[0] <= rating.span[0])


def _may_be_zero(value: Noted) -> bool:
    return value.seen and value.span[0] <= 0


def _remedy(field: str) -> str:
    if field == "remaining":
        return 'Give what a test found, "1 %" for a dead battery, or "?" if it was not tested.'
    return 'Give a value above zero, or "?" if it was not seen.'
