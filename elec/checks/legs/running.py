"""What runs on a source of AC: its loads, the conditions noted of them, and what is connected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from elec.boat.ac_loads import AcDraw, Service, draw, loads_of, passed_on, runs
from elec.boat.records import STANDARD_CONDITIONS, BoatFile, Entry, Inlet
from elec.checks.legs.dock_volts import drawn_A
from elec.noted import Noted

__all__ = [
    "MIDDLE",
    "conditions_ashore",
    "conditions_of",
    "connected_A",
    "draws_of",
    "in_words",
    "named",
]

_AT_SHORE = "shore"

#: Said of figures that take one value of each range.
MIDDLE = ", taking the likeliest of each range"


def draws_of(boat: BoatFile, source: Entry, service: Service) -> list[AcDraw]:
    """Return what each load on a source draws, noted, typical, or anything it may.

    What an inverter passes on counts on the inlet: at the dock its loads run on shore power.
    """
    draws = [draw(load, service) for load in loads_of(boat, source.id)]
    if isinstance(source, Inlet):
        draws += [
            replace(draw(load, service), perhaps=not sure) for load, sure in passed_on(boat, source)
        ]
    return draws


def conditions_of(draws: Sequence[AcDraw], among: Sequence[str]) -> list[tuple[str, ...]]:
    """Return those of ``among`` that were noted, the same loads in one tuple; else an empty one."""
    named = {name for one in draws for name in one.load.when or ()}
    together: dict[tuple[bool | None, ...], list[str]] = {}
    for condition in among:
        if condition in named:
            state = tuple(runs(d.load, condition) for d in draws)
            together.setdefault(state, []).append(condition)
    return [tuple(names) for names in together.values()] or [()]


def conditions_ashore(boat: BoatFile, draws: Sequence[AcDraw]) -> list[tuple[str, ...]]:
    """Return the conditions at the dock: shore and the boat's own."""
    own = [name for name in boat.boat.conditions if name not in STANDARD_CONDITIONS]
    return conditions_of(draws, [_AT_SHORE, *own])


def named(conditions: Sequence[str]) -> str:
    """Return conditions by their names, nothing if none was noted."""
    return " and ".join(f"'{name}'" for name in conditions)


def in_words(conditions: Sequence[str]) -> str:
    """Return conditions as they stand in a sentence."""
    return f"in {named(conditions)}" if conditions else "whatever runs (no condition was noted)"


def connected_A(
    service: Service, draws: Sequence[AcDraw], supply: Noted | None = None
) -> dict[str, float]:
    """Return the sum of everything connected, by leg, at best values and the supply's volts.

    Loads on an unknown leg are counted on every leg that they may be on.
    """
    return {
        leg: sum(
            drawn_A(one, service, supply)[1] for one in draws if not one.legs or leg in one.legs
        )
        for leg in service.legs
    }
