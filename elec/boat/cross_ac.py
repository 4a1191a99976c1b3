"""What clashes between AC loads, inlets and their services."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from elec.boat.ac_loads import SERVICES
from elec.boat.records import BoatFile

__all__ = ["ac_load_faults", "below_real_power", "supply_faults"]

Found = Iterator[tuple[str, str, str, str]]

_LEGS_OF_SERVICE = {
    "120 V": {"L1"},
    "230 V": {"L1"},
    "120/240 V": {"L1", "L2", "L1-L2"},
    "120/208 V two legs": {"L1", "L2", "L1-L2"},
    "120/208 V three-phase": {"L1", "L2", "L3", "L1-L2", "L2-L3", "L3-L1", "all"},
    "230/400 V three-phase": {"L1", "L2", "L3", "L1-L2", "L2-L3", "L3-L1", "all"},
}
#: How far a plate or a dock may lie from a nominal voltage: gear of 100 V on 120 V, of 240 V on
#: 208 V, of 220 V on 240 V. Our own convention, wider than any published limit.
_LOWEST, _HIGHEST = 0.8, 1.25


def _near(volts: tuple[float, float, float], nominal: float) -> bool:
    return volts[2] >= _LOWEST * nominal and volts[0] <= _HIGHEST * nominal


def ac_load_faults(boat: BoatFile, entry: Any) -> Found:
    """Say what clashes in an AC load, and between it and the service that feeds it."""
    alone = boat.inlet[0].id if len(boat.inlet) == 1 else None
    fed_by = entry.inlet or alone
    service = getattr(boat.find(fed_by) if fed_by else None, "service", "?")
    allowed = _LEGS_OF_SERVICE.get(service)
    if entry.legs != "?" and allowed and entry.legs not in allowed:
        between = "-" in entry.legs or entry.legs == "all"
        words = "connects between legs, and there is one leg" if between else "is not a leg"
        if len(allowed) > 1:
            words = "is not a leg"
        yield (
            "legs",
            f"'{entry.legs}' {words} of {service} at '{fed_by}'"
            if words == "is not a leg"
            else f"'{entry.legs}' {words} on {service} at '{fed_by}'",
            f"Accepted there: {', '.join(sorted(allowed))}.",
            "",
        )
    elif allowed and entry.volts.seen:
        yield from _volts(entry, service, fed_by)
    yield from _plate(entry)
    if entry.current.seen and not entry.volts.seen and service in {"120/240 V", "?"}:
        yield (
            "volts",
            "missing beside 'current'",
            'Give the voltage that the current was read at, as in volts = "240 V".',
            "",
        )


def _volts(entry: Any, service: str, fed_by: str | None) -> Found:
    known = SERVICES[service]
    ways = {known.to_neutral_V: "to neutral"}
    if known.between_legs_V:
        ways[known.between_legs_V] = "between legs"
    if entry.legs in ("L1", "L2", "L3"):
        ways = {known.to_neutral_V: "to neutral"}
    elif entry.legs != "?" and known.between_legs_V:
        ways = {known.between_legs_V: "between legs"}
    if any(_near(entry.volts.span, nominal) for nominal in ways):
        return
    accepted = " or ".join(f"{volts:g} V {words}" for volts, words in ways.items())
    more = ""
    if known.between_legs_V is None and entry.volts.span[0] > _HIGHEST * known.to_neutral_V:
        more = ": a load between legs cannot run on one leg"
    yield (
        "volts",
        f"{entry.volts.text} on {service} at '{fed_by}'{more}",
        f"That service gives {accepted}. Read the plate again, or name the inlet that feeds it.",
        "",
    )


def _plate(entry: Any) -> Found:
    given = [name for name in ("current", "power", "apparent_power") if getattr(entry, name).seen]
    if "current" in given and len(given) > 1:
        yield (given[1], f"{' and '.join(given[:2])} are both given", "Give one of them.", "")
    yield from below_real_power(entry)
    factor = entry.power_factor
    if factor.seen and not (factor.span[0] > 0 and factor.span[2] <= 1):
        yield (
            "power_factor",
            f"{factor.text} is no power factor",
            "Give one above 0, up to 1, as 0.8; leave it out if it is not on the plate.",
            "",
        )


def below_real_power(entry: Any) -> Found:
    """Say if volt-amperes are less than watts, of a load or of a generator."""
    watts, volt_amperes = entry.power, entry.apparent_power
    if watts.seen and volt_amperes.seen and volt_amperes.span[2] < watts.span[0] * (1 - 1e-9):
        yield (
            "apparent_power",
            f"{volt_amperes.text} is below the real power of {watts.text}",
            "Apparent power is never below real power: read both again.",
            "",
        )


def _adapter(entry: Any) -> Found:
    joins = entry.adapter.startswith("two")
    if entry.adapter in ("none", "?") or entry.service == "?":
        return
    if entry.service.startswith("230") or (joins and len(SERVICES[entry.service].legs) != 2):
        yield (
            "adapter",
            f"'{entry.adapter}' does not give {entry.service}",
            "It joins 120 V receptacles: read the service of the inlet and the adapter again.",
            "",
        )


def supply_faults(entry: Any) -> Found:
    """Say if a voltage or an adapter at an inlet is one that it cannot have."""
    yield from _adapter(entry)
    before, after = entry.no_load_voltage, entry.loaded_voltage
    if before.seen and after.seen and after.span[0] > before.span[2]:
        yield (
            "loaded_voltage",
            f"{after.text} is above the {before.text} read without the load",
            "The dock moved between the readings: take both again, close together.",
            "",
        )
    if not entry.supply.seen or entry.service == "?":
        return
    nominal = SERVICES[entry.service].supply_V
    low, _, high = entry.supply.span
    if low < _LOWEST * nominal or high > _HIGHEST * nominal:
        which = "between legs" if SERVICES[entry.service].between_legs_V else "to neutral"
        yield (
            "supply",
            f"{entry.supply.text} is no voltage of a {entry.service} service",
            f"It gives about {nominal:g} V {which}; read it again, {which}.",
            "",
        )
