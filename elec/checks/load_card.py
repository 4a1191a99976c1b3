"""The load card: what may not run together on an inlet, generator or inverter, and what may."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, practice
from elec.boat.records import BoatFile, Entry, Generator, Inlet, Inverter
from elec.boat.typical import gear
from elec.calc import together
from elec.checks.leg_draws import leg_draws
from elec.checks.running import draws_of
from elec.finding import NotChecked
from elec.noted import Noted
from elec.published import table

__all__ = ["CHECK", "AnyOf", "LoadCard", "Together", "cards", "in_words"]

CHECK = "load-card"
#: Sets shown on a card; the rest is counted.
SHOWN = 8
#: Sets that fit, on a card.
FITS_SHOWN = 5
#: Partial sets held at once: enough for every set of 24 loads that are read, and quick.
MOST_HELD = 400_000


@dataclass(frozen=True)
class AnyOf:
    """So many of loads that draw the same, whichever they are."""

    number: int
    loads: tuple[str, ...]


@dataclass(frozen=True)
class Together:
    """Loads that run together: their names, and the heaviest leg [A] they give, low to high."""

    loads: tuple[str, ...]
    any_of: tuple[AnyOf, ...]
    legs: tuple[str, ...]
    low_A: float
    high_A: float

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "loads": list(self.loads),
            "any_of": [{"number": one.number, "loads": list(one.loads)} for one in self.any_of],
            "legs": list(self.legs),
            "heaviest_leg_A": {"low": self.low_A, "high": self.high_A},
        }

    @property
    def size(self) -> int:
        """Loads in all."""
        return len(self.loads) + sum(one.number for one in self.any_of)

    def in_words(self, nothing: str) -> str:
        """Return the loads as a sum in words."""
        parts = [*self.loads]
        parts += [f"any {one.number} of ({', '.join(one.loads)})" for one in self.any_of]
        return " + ".join(parts) or nothing


@dataclass(frozen=True)
class LoadCard:
    """What not to run together on one source, what fits, and what is on in any case."""

    source: str
    where: str | None
    legs: tuple[str, ...]
    limit_low_A: float
    limit_high_A: float
    always: tuple[str, ...]
    choices: tuple[str, ...]
    always_A: tuple[float, float]
    surely: tuple[Together, ...]
    possibly: tuple[Together, ...]
    fits: tuple[Together, ...]
    surely_count: int
    possibly_count: int
    surely_more: int
    possibly_more: int
    complete: bool
    complete_to: int

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "source": self.source,
            "where": self.where,
            "limit_A": {"low": self.limit_low_A, "high": self.limit_high_A},
            "always": list(self.always),
            "choices": list(self.choices),
            "always_A": {"low": self.always_A[0], "high": self.always_A[1]},
            "surely_overload": [one.as_dict() for one in self.surely],
            "surely_count": self.surely_count,
            "possibly_overload": [one.as_dict() for one in self.possibly],
            "possibly_count": self.possibly_count,
            "fit": [one.as_dict() for one in self.fits],
            "complete": self.complete,
            "complete_to": self.complete_to,
        }


def cards(boat: BoatFile, basis: str) -> tuple[list[LoadCard], list[NotChecked]]:
    """Return a card for every source whose limit and loads were noted."""
    made: list[LoadCard] = []
    left: list[NotChecked] = []
    sources: list[Inlet | Generator | Inverter] = [*boat.inlet, *boat.generator, *boat.inverter]
    for source in sources:
        answer = _card(boat, source, basis)
        if isinstance(answer, LoadCard):
            made.append(answer)
        elif answer is not None:
            left.append(answer)
    return made, left


def _service(boat: BoatFile, source: Inlet | Generator | Inverter, basis: str) -> Service | None:
    if source.service != "?":
        return SERVICES[source.service]
    if isinstance(source, Inverter):
        return SERVICES["120 V" if basis == "us" else "230 V"]
    services = {inlet.service for inlet in boat.inlet if inlet.service != "?"}
    return SERVICES[services.pop()] if len(services) == 1 else None


def _limit_A(source: Inlet | Generator | Inverter, service: Service) -> tuple[float, float] | None:
    """Return the least and greatest current a leg that a source gives, as its plate says."""
    volts = service.to_neutral_V * len(service.legs)
    plate: Noted
    if isinstance(source, Inlet):
        plate, per_A = source.rating, 1.0
    elif isinstance(source, Generator) and source.apparent_power.seen:
        plate, per_A = source.apparent_power, volts
    else:
        plate, per_A = source.power, volts
    if not plate.seen:
        return None
    low, _, high = plate.span
    if isinstance(source, Generator):
        low, high = (value * _derating(source)[end] for end, value in enumerate((low, high)))
    return low / per_A, high / per_A


def _derating(one: Generator) -> tuple[float, float]:
    """Return the share of its plate left in the hottest and the coolest air it may breathe."""
    coolest, hottest, _ = practice("air at a generator's intake")
    if one.intake.seen:
        coolest, _, hottest = one.intake.span
    factors = table("alternator_derate_ambient")
    from_C = float(factors.numbers("ambient_C").min())
    at = factors.linear("ambient_C", "factor", np.maximum([hottest, coolest], from_C))
    return float(at[0]), float(at[1])


def _card(
    boat: BoatFile, source: Inlet | Generator | Inverter, basis: str
) -> LoadCard | NotChecked | None:
    service = _service(boat, source, basis)
    fed: list[Entry] = [source]
    if isinstance(source, Generator):
        fed += [i for i in boat.inlet if source.feeds is None or i.id in source.feeds]
    draws = []
    for one in fed:
        if service is not None:
            draws += draws_of(boat, one, service)
    if not draws or service is None:
        return None  # said under inlet-load, generator, inverter
    limit = _limit_A(source, service)
    if limit is None or limit[0] <= 0:
        reason = "its rating was not noted"
        read = {
            "Generator": f"kW, kVA and voltages on the plate of '{source.id}'",
            "Inverter": f"W or VA on the plate of '{source.id}'",
        }.get(type(source).__name__, f"the rating moulded on inlet '{source.id}'")
        return NotChecked(CHECK, source.id, reason, source.where, read)
    choices = [d for d in draws if not _always(d)]
    if len(choices) > together.MOST_LOADS:
        reason = f"{len(choices)} loads are choices; at most {together.MOST_LOADS} are searched"
        return NotChecked(CHECK, source.id, reason, source.where)
    supply = source.supply if isinstance(source, Inlet) else None
    return _made(source, service, draws, limit, supply)


def _always(one: AcDraw) -> bool:
    if one.load.use != "?":
        return one.load.use == "always"
    known = gear(one.load.kind, "ac")
    return known is not None and known.row["use"] == "always"


def _made(
    source: Entry,
    service: Service,
    draws: Sequence[AcDraw],
    limit: tuple[float, float],
    supply: Noted | None,
) -> LoadCard:
    rows = [row for row, one in enumerate(draws) if not _always(one)]
    always = [row for row, one in enumerate(draws) if _always(one)]
    every = leg_draws(draws, service, supply)
    mine, on = every.only(rows), every.only(always)
    found = together.overloads_in_range(
        mine.low,
        high_A=mine.high,
        limit_low_A=limit[0],
        limit_high_A=limit[1],
        always_low_A=on.low,
        always_high_A=on.high,
        most=MOST_HELD,
    )
    fits = together.largest_fits(
        mine.high, limit_A=limit[0], always_A=on.high, enough=5, most=MOST_HELD
    )
    names = [_name(draws[row]) for row in rows]

    def carried(members: Sequence[int]) -> tuple[float, float]:
        part = mine.only(members)
        low, high = together.carried_A(
            part.low, high_A=part.high, always_low_A=on.low, always_high_A=on.high
        )
        return float(low.max()), float(high.max())

    def listed(sets: together.Sets, most: int) -> tuple[Together, ...]:
        made = []
        chosen = sets.chosen(most)
        for place, members in enumerate(sets.members(most)):
            alone = [group for number, group in chosen[place] if number == len(group)]
            some = [(n, group) for n, group in chosen[place] if n < len(group)]
            made.append(
                Together(
                    tuple(names[i] for i in sorted(i for group in alone for i in group)),
                    tuple(AnyOf(n, tuple(names[i] for i in group)) for n, group in some),
                    tuple(
                        leg
                        for leg, over in zip(service.legs, sets.legs[place], strict=True)
                        if over
                    ),
                    *carried(members),
                )
            )
        return tuple(made)

    return LoadCard(
        source.id,
        source.where,
        service.legs,
        *limit,
        tuple(_name(draws[row]) for row in always),
        tuple(names),
        carried([]),
        listed(found.surely, SHOWN),
        listed(found.possibly, SHOWN),
        listed(fits, FITS_SHOWN),
        found.surely.count,
        found.possibly.count,
        found.surely.count - found.surely.first(SHOWN),
        found.possibly.count - found.possibly.first(SHOWN),
        found.surely.complete and found.possibly.complete,
        min(found.surely.complete_to, found.possibly.complete_to),
    )


def _name(one: AcDraw) -> str:
    count = one.load.count
    return one.load.id if count == 1 else f"{one.load.id} x{count}"


def in_words(card: LoadCard) -> list[str]:
    """Return a card as sentences, the same for every report."""
    limit = units.show(card.limit_low_A, "current")
    lines = []
    if card.always:
        on = ", ".join(card.always)
        amps = units.show_range(*card.always_A, "current")
        lines.append(f"Always on: {on} ({_on_legs(amps, 'the heavier leg', card)}).")
    if card.surely and not (card.surely[0].loads or card.surely[0].any_of):
        return [*lines, f"What is always on is more than its {limit} already."]
    for words, joint, sets, more in (
        ("Not together", " and ", card.surely, card.surely_more),
        ("Perhaps not together", " or ", card.possibly, card.possibly_more),
    ):
        for one in sets:
            amps = units.show_range(one.low_A, one.high_A, "current")
            loads = one.in_words("what is always on")
            lines.append(f"{words}: {loads} ({_on_legs(amps, joint.join(one.legs), card)}).")
        if more:
            least = sets[-1].size
            lines.append(
                f"{words}: {more:,} more combinations, of {least} load{'s' * (least > 1)} or more "
                "each; go by what may run together."
            )
    if card.possibly:
        low, high, _ = practice("power factor not read")
        lines.append(
            f"'Perhaps' turns on what was not read; power factors not read are from {low:g} to "
            f"{high:g}."
        )
    if not card.surely_count and not card.possibly_count:
        lines.append("Everything may run together.")
    elif card.fits:
        lines += [
            f"Together at most: {s.in_words('nothing but what is always on')} "
            f"({units.show(s.high_A, 'current')})."
            for s in card.fits[:3]
        ]
    if not card.complete:
        lines.append(
            f"Combinations of up to {card.complete_to} loads are all considered; larger ones may "
            "be missing."
        )
    return lines


def _on_legs(amps: str, legs: str, card: LoadCard) -> str:
    """Return amps and where they are, if there is more than one leg."""
    return amps if len(card.legs) == 1 else f"{amps} on {legs}"
