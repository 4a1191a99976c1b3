"""Dock services and legs by the spellings of the trade, each brought to the one name used here."""

from __future__ import annotations

import re
from typing import Any

from elec import units
from elec.errors import InputError

__all__ = ["legs_named", "service_named"]

_NAMES = (
    "120 V",
    "120/240 V",
    "120/208 V two legs",
    "120/208 V three-phase",
    "230 V",
    "230/400 V three-phase",
)
_TWO_OR_THREE = _NAMES[2:4]
#: What plates and mouldings print for the same services; 125/250 V stands on split-phase inlets.
_SAME = {
    "125/250": "120/240 V",
    "110/220": "120/240 V",
    "115/230": "120/240 V",
    "125": "120 V",
    "110": "120 V",
    "115": "120 V",
    "220": "230 V",
    "230/400": "230/400 V three-phase",
    "400": "230/400 V three-phase",
}
#: Voltages that several services give: which one it is has to be said.
_OPEN = {
    "120/208": _TWO_OR_THREE,
    "208": _TWO_OR_THREE,
    "240": ("120/240 V", "230 V"),
    "250": ("120/240 V", "230 V"),
}
_LEGS = {frozenset(pair): "-".join(pair) for pair in (("L1", "L2"), ("L2", "L3"), ("L3", "L1"))}


def _plain(words: str) -> str:
    return re.sub(r"[\s_-]|v(olts?)?(ac)?(?![a-z])", "", words.casefold())


def service_named(given: Any) -> Any:
    """Return the name of a dock service that is given in another spelling.

    Raises
    ------
    InputError
        If no service is spelled so, with those that it may be.

    Examples
    --------
    >>> service_named("125/250V")
    '120/240 V'
    """
    if not isinstance(given, str) or given.strip() == "?":
        return given
    plain = _plain(given)
    for name in _NAMES:
        if plain == _plain(name):
            return name
    if plain in _SAME:
        return _SAME[plain]
    accepted = ", ".join(f"'{name}'" for name in _NAMES)
    near = " or ".join(f"'{name}'" for name in _OPEN.get(plain, ()))
    hint = f" Did you mean {near}?" if near else ""
    raise InputError(
        f"{units.quoted(given)} is not known here as a dock service.",
        remedy=f"Accepted: {accepted}.{hint}",
    )


def legs_named(given: Any) -> Any:
    """Return legs in the spelling used here; what cannot be brought to it, as it is.

    Examples
    --------
    >>> legs_named("L2-L1"), legs_named("l1/l2/l3"), legs_named("L4")
    ('L1-L2', 'all', 'L4')
    """
    if not isinstance(given, str):
        return given
    parts = [part.strip() for part in re.split(r"[-–/+,]", given.strip().upper())]
    if sorted(parts) == ["L1", "L2", "L3"] or parts == ["ALL"]:
        return "all"
    if len(parts) == 1:
        return parts[0]
    return _LEGS.get(frozenset(parts), given) if len(parts) == 2 else given
