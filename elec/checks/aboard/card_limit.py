"""What a source of AC gives on a leg, for its load card, and what sets that."""

from __future__ import annotations

from dataclasses import dataclass

from elec import units
from elec.boat.ac_loads import Service
from elec.boat.records import BoatFile, Generator, Inlet, Inverter
from elec.checks.aboard.generator_rating import ask_rating, derated_VA
from elec.checks.aboard.sources import plate_of
from elec.checks.cannot import CannotJudge
from elec.checks.question import Question
from elec.checks.shore.cord_size import ask_cord, cords_of
from elec.checks.shore.inlet_path import links_read
from elec.errors import TableRangeError
from elec.judge import HOLDS_WITHIN

__all__ = ["Limit", "limit_of"]


@dataclass(frozen=True)
class Limit:
    """What a source gives on a leg, least and most, and what sets it."""

    low_A: float
    high_A: float
    by: str
    #: Links that may carry less, for all that was read of them.
    unknown: tuple[str, ...] = ()


def limit_of(
    boat: BoatFile, source: Inlet | Generator | Inverter, service: Service, basis: str
) -> Limit | None:
    """Return what a source gives on a leg: the weakest link read, or what its plate says."""
    if isinstance(source, Inlet):
        return _weakest(boat, source, service, basis) if source.rating.seen else None
    volts = service.to_neutral_V * len(service.legs)
    if isinstance(source, Generator):
        if not (source.apparent_power.seen or source.power.seen):
            return None
        question = Question()
        ask_rating(question, source)
        left = question.rule(lambda **given: (0.0, derated_VA(given)), "at most").limit
        plate = question.ends("rating_VA")
        less = left.low < plate[0] * (1 - HOLDS_WITHIN)
        by = "its plate, less what heat and height take" if less else "its plate"
        return Limit(float(left.low) / volts, float(left.high) / volts, by)
    if not source.power.seen:
        return None
    low, _, high = source.power.span
    return Limit(low / volts, high / volts, "its plate")


def _weakest(boat: BoatFile, inlet: Inlet, service: Service, basis: str) -> Limit:
    if not inlet.service.seen:
        raise CannotJudge("its service (voltages and legs) was not noted", plate_of(inlet))
    links = links_read(boat, inlet, basis)
    unknown = []
    for cord in cords_of(inlet, boat):
        question = Question()
        try:
            ampacity, _, _ = ask_cord(question, cord, service, inlet.supply)
        except TableRangeError:
            unknown.append(f"What cord '{cord.id}' carries is not known")
            continue
        carries = question.rule(
            lambda ampacity=ampacity, **given: (0.0, ampacity(given)), "at most"
        ).limit
        low, high = float(carries.low), float(carries.high)
        if cord.size.size is not None or cord.rating.seen:
            links.append((f"cord '{cord.id}'", low, high))
        elif low < min(least for _, least, _ in links):
            amps = units.show_range(low, high, "current")
            unknown.append(f"Cord '{cord.id}', whose size was not read, may carry {amps}")
    least = min(low for _, low, _ in links)
    name = next(name for name, low, _ in links if low <= least * (1 + HOLDS_WITHIN))
    return Limit(least, min(high for _, _, high in links), name.rstrip(","), tuple(unknown))
