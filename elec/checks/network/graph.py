"""A DC network as its runs join it: banks, buses and load ends, the cables between, the loads."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from elec.boat.records import AcLoad, Bank, Charger, DcLoad, Entry, Inverter, Run
from elec.boat.typical import gear
from elec.checks.cables.cable import Cable
from elec.noted import Noted

__all__ = ["Graph", "Place", "counted"]

_ELECTRONIC = ("electronic", "radar", "autopilot", "vhf", "ais", "network", "instrument", "alarm")
Behaviour = Literal["constant power", "constant current", "resistance"]


@dataclass(frozen=True)
class Place:
    """A load in the network: its entry, current of one piece, bus, last run, conditions.

    ``beyond`` is the run between its bus and itself whose size was not read.
    """

    id: str
    entry: Entry
    current: Noted
    count: int
    bus: str
    cable: Cable | None
    when: tuple[str, ...]
    short_time: bool
    beyond: str = ""

    @property
    def electronic(self) -> bool:
        """Whether it is electronics or an inverter, which a low voltage switches off."""
        return isinstance(self.entry, Inverter) or any(word in self.words for word in _ELECTRONIC)

    @property
    def motor(self) -> bool:
        """Whether the catalogue has it as a motor."""
        known = gear(self.entry.kind)
        return known is not None and known.row["behaviour"] == "motor"

    @property
    def behaviour(self) -> Behaviour:
        """What it draws as its voltage falls.

        A current that was read is held; a load known by its power alone draws more.
        """
        if self.electronic:
            return "constant power"
        known = gear(self.entry.kind)
        kind = known.row["behaviour"] if known else ""
        heats = "heater" in self.words and "fan" not in self.words and "pump" not in self.words
        if kind == "resistance" or (not kind and heats):
            return "resistance"
        if kind == "motor" or (not kind and self._current_read):
            return "constant current"
        return "constant power"

    @property
    def _current_read(self) -> bool:
        one = self.entry
        return isinstance(one, (AcLoad, Charger, DcLoad, Run)) and one.current.seen

    @property
    def words(self) -> str:
        """What it is called, and its kind."""
        return f"{self.id} {self.entry.kind or ''}".lower()


@dataclass
class Graph:
    """What runs join: banks, the cables between them and buses and load ends, and the loads.

    ``joined`` are the two ends of each run; ``loose`` the loads that no run names; ``said`` how
    its switches stand, in words; ``returns`` the runs that are the return of others, by id.
    """

    banks: list[Bank]
    cables: list[Cable] = field(default_factory=list)
    joined: dict[str, tuple[str, str]] = field(default_factory=dict)
    places: list[Place] = field(default_factory=list)
    loose: list[str] = field(default_factory=list)
    said: str = ""
    returns: dict[str, Cable] = field(default_factory=dict)

    @property
    def id(self) -> str:
        """The banks by name."""
        return " and ".join(bank.id for bank in self.banks)

    @property
    def where(self) -> str | None:
        """Where its first bank is."""
        return self.banks[0].where

    @property
    def volts(self) -> float:
        """Nominal voltage."""
        return max(bank.voltage.span[1] for bank in self.banks)

    @property
    def buses(self) -> set[str]:
        """Everything that the runs join, and the banks."""
        return {name for ends in self.joined.values() for name in ends} | {b.id for b in self.banks}

    @property
    def radial(self) -> bool:
        """Whether one bank feeds each place by one way."""
        return len(self.banks) == 1 and len(self.joined) == len(self.buses) - 1

    def running(self, condition: str) -> list[Place]:
        """Return the loads that run in a condition."""
        return [place for place in self.places if condition in place.when]

    def path(self, bus: str, root: str | None = None) -> tuple[str, ...]:
        """Return the runs of the shortest way to a bus, from a bank or the nearest one."""
        reached: dict[str, tuple[str, ...]] = {
            bank.id: () for bank in self.banks if root in (None, bank.id)
        }
        waiting = deque(reached)
        while waiting and bus not in reached:
            here = waiting.popleft()
            for run, ends in self.joined.items():
                if here in ends:
                    other = ends[1] if ends[0] == here else ends[0]
                    if other not in reached:
                        reached[other] = (*reached[here], run)
                        waiting.append(other)
        return reached[bus]

    def back(self, path: Sequence[str]) -> Cable | None:
        """Return the run by which the current of a way comes back, where not by the way it came."""
        cables = {cable.run.id: cable for cable in self.cables}
        names = (cables[run].run.return_by for run in reversed(path))
        return next((self.returns[name] for name in names if name), None)

    def way(self, path: Sequence[str]) -> list[Cable]:
        """Return the cables of a way, and last the one by which its current comes back."""
        cables = {cable.run.id: cable for cable in self.cables}
        back = self.back(path)
        return [*(cables[run] for run in path), *([] if back is None else [back])]

    def conductors(self, cable: Cable) -> int:
        """Return how many conductors of a run lie in the way of its current, out and back."""
        return 1 if cable.run.return_by or cable.run.id in self.returns else 2

    def needed(self, places: list[Place]) -> list[Cable]:
        """Return the cables that bear on what the loads get."""
        used = {run for place in places for run in self.path(place.bus)}
        if not self.radial:
            ends = {place.bus for place in places}
            used |= {r for r, (_, end) in self.joined.items() if not end.startswith("end of ")}
            used |= {r for r, (_, end) in self.joined.items() if end in ends}
        return [cable for cable in self.cables if cable.run.id in used]

    def shares_path(self, place: Place, condition: str) -> bool:
        """Whether a load has other loads, or more than one run, on its way."""
        path = self.path(place.bus)
        others = [one for one in self.running(condition) if one is not place]
        return (
            len(path) > 1
            or self.back(path) is not None
            or any(set(self.path(o.bus)) & set(path) for o in others)
        )


def counted(places: list[Place]) -> str:
    """Return how many loads these are, in words."""
    return "1 load" if len(places) == 1 else f"{len(places)} loads"
