"""A whole boat file: the boat, and a list for each kind of thing aboard."""

from __future__ import annotations

from elec.boat.declared import Record
from elec.boat.records.banks import Alternator, Bank, Charger, DcLoad, Period, Solar
from elec.boat.records.cables import Bus, Protection, Run
from elec.boat.records.entry import Boat, Entry
from elec.boat.records.machines import AcLoad, Generator, Inverter
from elec.boat.records.metals import Anode, Couple, Metal, Reading, Terminal
from elec.boat.records.shore import Cord, Dock, Inlet, Transformer

__all__ = ["BoatFile"]


class BoatFile(Record):
    """A whole boat file."""

    boat: Boat
    inlet: tuple[Inlet, ...] = ()
    cord: tuple[Cord, ...] = ()
    dock: tuple[Dock, ...] = ()
    transformer: tuple[Transformer, ...] = ()
    generator: tuple[Generator, ...] = ()
    inverter: tuple[Inverter, ...] = ()
    ac_load: tuple[AcLoad, ...] = ()
    bank: tuple[Bank, ...] = ()
    charger: tuple[Charger, ...] = ()
    alternator: tuple[Alternator, ...] = ()
    solar: tuple[Solar, ...] = ()
    dc_load: tuple[DcLoad, ...] = ()
    bus: tuple[Bus, ...] = ()
    period: tuple[Period, ...] = ()
    run: tuple[Run, ...] = ()
    protection: tuple[Protection, ...] = ()
    metal: tuple[Metal, ...] = ()
    couple: tuple[Couple, ...] = ()
    anode: tuple[Anode, ...] = ()
    reading: tuple[Reading, ...] = ()
    terminal: tuple[Terminal, ...] = ()

    def entries(self) -> list[tuple[str, Entry]]:
        """Return every entry with the name of its list, in file order of the lists."""
        found: list[tuple[str, Entry]] = []
        for name in type(self).model_fields:
            if name != "boat":
                found.extend((name, entry) for entry in getattr(self, name))
        return found

    def find(self, entry_id: str) -> Entry | None:
        """Return the entry with this id, or None."""
        lists = (getattr(self, name) for name in type(self).model_fields if name != "boat")
        return next((entry for some in lists for entry in some if entry.id == entry_id), None)
