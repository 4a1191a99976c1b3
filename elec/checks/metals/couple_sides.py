"""The two sides of a couple on one yardstick, ready to be judged."""

from __future__ import annotations

from dataclasses import dataclass

from elec.boat.records import BoatFile, Couple, Metal
from elec.checks.cannot import CannotJudge
from elec.checks.metals import named_metals
from elec.checks.metals.named_metals import Named, Pair, Yardstick
from elec.checks.question import asked_for
from elec.errors import InputError

__all__ = ["Sides", "sides_of"]


@dataclass(frozen=True)
class Sides:
    """A couple where it lies: its metals compared, and the entries of those that have one."""

    where: str
    by: Yardstick
    pair: Pair
    entries: tuple[Metal | None, Metal | None]

    @property
    def both(self) -> tuple[Named, Named]:
        """The metals of side a and side b."""
        return self.pair.a, self.pair.b


def sides_of(couple: Couple, boat: BoatFile) -> Sides:
    """Return the sides of a couple.

    Raises
    ------
    CannotJudge
        If its place or one of its metals is not known, or no yardstick is published.
    """
    entries = _metal(couple.a, boat), _metal(couple.b, boat)
    where = _where(couple, entries)
    try:
        by = named_metals.yardstick(where, boat.boat.series)
    except InputError as error:
        raise CannotJudge(error.message.rstrip("."), error.remedy.rstrip(".")) from None
    a, b = (
        named_metals.named(entry.metal if entry else name, by)
        for entry, name in zip(entries, (couple.a, couple.b), strict=True)
    )
    for metal in (a, b):
        if metal.missing or not metal.found:
            read = f"the alloy of '{metal.name}' by its mark or papers"
            raise CannotJudge(named_metals.not_held(metal, by), read)
    return Sides(where, by, named_metals.compare(a, b, by), entries)


def _metal(side: str, boat: BoatFile) -> Metal | None:
    entry = boat.find(side)
    return entry if isinstance(entry, Metal) else None


def _where(couple: Couple, entries: tuple[Metal | None, Metal | None]) -> str:
    """Return where it lies: as noted of the couple, or alike of its metals."""
    if couple.exposure.seen:
        return couple.exposure.word
    noted = {entry.exposure.word for entry in entries if entry and entry.exposure.seen}
    if len(noted) != 1:
        _, read = asked_for(couple, "exposure")
        raise CannotJudge("it was not noted whether it is under water or in air", read)
    return noted.pop()
