"""Checks that are not in the registry yet: goes when the last has moved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib import import_module
from typing import Any

from elec.boat.records import BoatFile
from elec.checks import registry
from elec.errors import ElecError
from elec.finding import NotChecked

JUDGES = {
    "inlet-load": "each leg of an inlet against its rating, by condition",
    "inlet-demand": "demand by the method for boats; hours-long load; the largest motor",
    "load-card": "which loads may not run together, and which may",
    "leg-balance": "whether moving loads from leg to leg would ease the heavier leg",
    "inlet-path": "the link from dock to panel that limits",
    "inlet-protection": "leakage protection, main breaker, poles, polarity, bond, heat",
    "source-bond": "neutral and earth joined at a generator or inverter",
    "cord": "ampacity, protection and drop of a shore cord",
    "transformer": "rating of a shore transformer, and whether it isolates",
    "generator": "load by leg, kW, starting of the largest motor, light load",
    "inverter": "output and surge of an inverter against what it carries",
    "ignition-protection": "gear that may spark in spaces with petrol",
    "run-ampacity": "current of a run against the ampacity of its cable",
    "run-drop": "voltage drop of a DC run against what its circuit allows",
    "run-protection": "rating of a fuse or breaker against the cable it protects",
    "run-size": "size of a conductor against the least allowed",
    "protection-place": "distance of a fuse or breaker from its source",
    "interrupting": "what a fuse or breaker can break against what its bank can push",
    "smallest-fault": "whether a fuse or breaker opens on the smallest fault",
    "fault-withstand": "whether it opens before the cable is harmed",
    "network-drop": "drop of a DC load with everything else running",
    "brown-out": "what electronics see while windlass and thrusters run",
    "bank-share": "how banks in parallel share what their loads draw",
    "bank-autonomy": "how long a bank carries a condition",
    "charger-size": "charging current against the bank",
    "charger-recharge": "time to full against the time asked",
    "charger-profile": "what a charger is set to against the chemistry of its bank",
    "bank-through-time": "lowest charge of a bank through its timetable or days",
    "bank-balance": "charge put in on a day against the charge used",
    "solar": "how long a bank lasts with its panels",
    "start-reserve": "what is left for starting in a bank that carries loads as well",
    "bank-restraint": "whether a bank is held fast",
    "bank-covers": "whether its terminals are covered",
    "bank-rings": "rings on one post",
    "lithium": "what has to be aboard with a lithium bank",
    "bank-mix": "strings of different age or type in one bank",
    "bank-age": "age or tested capacity against the life of its kind",
    "bank-ventilation": "air for the gas of charging",
    "alternator": "what an alternator feeds against what it can give",
    "cranking": "cranking current against what the engine needs",
    "starter-loop": "drop of the starter's cables for each 100 A",
    "inverter-draw": "what an inverter takes from its bank at full power",
    "parasitic-drain": "how long a bank stands with everything off",
    "metal-couple": "two metals in contact, by where they are",
    "corrosion-rate": "how fast the wasting metal of a couple or bond goes",
    "stray-current": "direct current that leaves a metal into the water",
    "anode": "share of an anode gone, and how long the rest lasts",
    "anode-material": "whether an anode's metal suits the water",
    "anode-life": "how long anodes carry the surface that they protect",
    "anode-output": "current that anodes give by their shape",
    "reading": "a reference-cell reading against every published range",
    "shore-shift": "what a reading does on plugging in",
    "bonding": "resistance of a bond",
    "frequency": "a motor of 50 or 60 Hz on the other",
    "supply-resistance": "resistance from the dock, from volts read without and with a load",
    "dock-feeder": "a dock's feeder by its receptacles, where a dock was noted",
    "shore-path": "what stands in the earth of an inlet",
    "isolator-rating": "rating of an isolator against its inlet",
    "isolator-test": "whether an isolator is sound",
    "isolator-block": "what an isolator blocks against the metals it parts",
    "ac-leakage": "alternating current that leaves by another way than the cord",
    "terminal-stack": "lug, washer and stud by anodic index",
}

PLACES = {
    "inlet-load": 101,
    "inlet-demand": 111,
    "leg-balance": 121,
    "inlet-path": 131,
    "inlet-protection": 141,
    "source-bond": 151,
    "cord": 161,
    "transformer": 171,
    "generator": 181,
    "inverter": 191,
    "ignition-protection": 201,
    "frequency": 211,
    "supply-resistance": 221,
    "dock-feeder": 231,
    "run-ampacity": 241,
    "run-drop": 242,
    "run-protection": 243,
    "run-size": 244,
    "protection-place": 251,
    "interrupting": 261,
    "smallest-fault": 271,
    "fault-withstand": 272,
    "network-drop": 281,
    "brown-out": 282,
    "bank-share": 283,
    "bank-autonomy": 291,
    "charger-size": 301,
    "charger-recharge": 311,
    "charger-profile": 312,
    "alternator": 321,
    "bank-through-time": 331,
    "bank-balance": 332,
    "start-reserve": 333,
    "solar": 341,
    "bank-restraint": 351,
    "bank-covers": 352,
    "bank-rings": 353,
    "lithium": 354,
    "bank-mix": 361,
    "bank-age": 362,
    "bank-ventilation": 371,
    "cranking": 381,
    "starter-loop": 382,
    "inverter-draw": 391,
    "parasitic-drain": 392,
    "metal-couple": 401,
    "corrosion-rate": 411,
    "stray-current": 412,
    "anode": 421,
    "anode-material": 422,
    "anode-life": 431,
    "anode-output": 432,
    "reading": 441,
    "shore-shift": 451,
    "bonding": 461,
    "ac-leakage": 471,
    "shore-path": 472,
    "isolator-rating": 473,
    "isolator-test": 474,
    "isolator-block": 481,
    "terminal-stack": 491,
    "load-card": 501,
}


def answers(boat: BoatFile, basis: str, only: Sequence[str]) -> Iterator[Any]:
    """Ask all checks, those of the registry and those that are not in it yet, in their order."""
    modules = (import_module(name) for name in registry._files().values())
    old = [m for m in modules if hasattr(m, "check") and hasattr(m, "CHECKS")]
    parts: list[tuple[int, Any]] = [(PLACES[m.CHECKS[0]] // 10, m) for m in old]
    parts += [(tens, None) for tens in {c.place // 10 for c in registry.checks().values()}]
    for tens, module in sorted(parts, key=lambda part: part[0]):
        if module is None:
            here = [c.name for c in registry.checks().values() if c.place // 10 == tens]
            here = [name for name in here if not only or name in only]
            if here:
                yield from registry.answers(boat, basis, here)
        elif not only or set(only) & set(module.CHECKS):
            try:
                found, left = module.check(boat, basis)
            except ElecError as error:
                cause = " ".join(str(error).split())
                why = f"it could not be worked out: {cause}"
                found, left = [], [NotChecked(n, "all", why, None, cause) for n in module.CHECKS]
            yield from found
            yield from left
