"""What no cable or DC load aboard can have: sizes, insulation, and values that clash."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from elec import units
from elec.boat.records import Bank, BoatFile, DcLoad, Run
from elec.published import table

__all__ = ["cable_faults", "dc_load_faults"]

Found = Iterator[tuple[str, ...]]
#: The least and most metal of one conductor met aboard. Our own convention.
_LEAST_MM2, _MOST_MM2 = 0.2, 400.0
_AMPACITY = ("cfr183_table5_ampacity", "iso13297_tableA1_ampacity")
#: How far the voltage at a load goes from its nominal; as for chargers, our own convention.
_LOWEST, _HIGHEST = 0.8, 1.3


def cable_faults(run: Run) -> Found:
    """Yield field, fault and remedy for what no cable has, and for loads served twice."""
    if run.size.size is not None and (words := _no_size(run.size.size)):
        yield "size", f"{run.size.text} {words[0]}", words[1]
    insulation = run.insulation
    if insulation.seen:
        low, high = _insulation_C()
        if insulation.span[0] < low or insulation.span[2] > high:
            text = f"no cable's insulation is listed at {insulation.text}"
            yield "insulation", text, f'Give {low:g} to {high:g} °C, or "?" if not seen.'
    twice = [name for place, name in enumerate(run.serves) if name in run.serves[:place]]
    if twice:
        remedy = "Name each load once; 'count' under it says how many there are."
        yield "serves", f"'{twice[0]}' is named twice", remedy


def _no_size(size: Any) -> tuple[str, str] | None:
    if size.kind == "AWG":
        known = table("awg_geometry_computed").text("size_AWG")
        if size.number in known:
            return None
        return "is no gauge of cable known here", f"Known, AWG: {', '.join(known)}."
    mm2 = float(size.number)
    if size.kind == "kcmil":
        mm2 = units.to_base(1000 * mm2, "cmil", "area")
    if _LEAST_MM2 <= mm2 <= _MOST_MM2:
        return None
    return (
        "is met nowhere aboard",
        f"Give one of {_LEAST_MM2:g} to {_MOST_MM2:g} mm²; several in parallel: the size of one, "
        "and 'conductors_in_parallel'.",
    )


def _insulation_C() -> tuple[float, float]:
    columns = [name for each in _AMPACITY for name in table(each).columns]
    listed = [float(found[1]) for name in columns if (found := re.search(r"_(\d+)C$", name))]
    return min(listed), max(listed)


def dc_load_faults(boat: BoatFile, load: DcLoad) -> Found:
    """Yield a fault where current and power of a load cannot both be its own."""
    if not (load.current.seen and load.power.seen) or load.inverter is not None:
        return
    bank = boat.find(load.bank) if load.bank else boat.bank[0] if len(boat.bank) == 1 else None
    if not isinstance(bank, Bank) or not bank.voltage.seen:
        return
    least = load.power.span[0] / (_HIGHEST * bank.voltage.span[2])
    most = load.power.span[2] / (_LOWEST * bank.voltage.span[0])
    if load.current.span[2] < least * (1 - 1e-9) or load.current.span[0] > most * (1 + 1e-9):
        yield (
            "power",
            f"{load.power.text} does not go with {load.current.text} at {bank.voltage.text}",
            "Give the one that its plate has for what it takes in.",
        )
