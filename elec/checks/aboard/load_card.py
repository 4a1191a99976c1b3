"""The load card: what may not run together on an inlet, generator or inverter, and what may."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, is_always, practice, service_of
from elec.boat.records import BoatFile, Entry, Generator, Inlet, Inverter
from elec.calc.ac import together
from elec.checks.aboard.card_also import Also, alsos_of, beside
from elec.checks.aboard.card_limit import Limit, limit_of
from elec.checks.aboard.card_sets import LISTED, Listed, Together, named_set
from elec.checks.aboard.generator import misfits_of
from elec.checks.legs.leg_draws import leg_draws
from elec.checks.legs.running import draws_of
from elec.checks.shore.inlet_adapter import ONE_FEED
from elec.checks.shore.inlet_notes import docks
from elec.finding import NotChecked
from elec.json_form import form, span
from elec.judge import HOLDS_WITHIN
from elec.noted import Noted

__all__ = ["CHECK", "LoadCard", "cards", "heading", "in_words"]

CHECK = "load-card"
#: Above any current: a leg that limits nothing.
_NO_LIMIT = 1e9
#: Sets shown on a card; the rest is counted.
SHOWN = 8
#: Largest sets that fit, shown before those that hold a load that is in none of them.
FITS_SHOWN = 3
#: Partial sets held at once: enough for every set of 24 loads that are read, and quick.
MOST_HELD = 400_000
#: Loads of which every set that fits is found at once, and how many of those are wanted.
TABLE_LOADS, ALL_OF_FITS = 24, 10_000


@dataclass(frozen=True)
class LoadCard:
    """What not to run together on one source, what fits, and what is on in any case."""

    source: str
    where: str | None
    legs: tuple[str, ...]
    limit_low_A: float
    limit_high_A: float
    limit_by: str
    power_W: tuple[float, float] | None
    also: tuple[str, ...]
    unknown: tuple[str, ...]
    dead: tuple[str, ...]
    unfit: tuple[str, ...]
    supply_V: float | None
    unread_factors: bool
    settled: bool
    always: tuple[str, ...]
    choices: tuple[str, ...]
    always_A: tuple[float, float]
    surely: Listed
    possibly: Listed
    fits: Listed
    fits_shown: tuple[Together, ...]
    fits_count: int | None
    fits_more: int
    surely_count: int
    possibly_count: int
    surely_more: int
    possibly_more: int
    complete: bool
    complete_to: int

    JSON = form(
        "source where limit_A limit_by also_limited not_known dead cannot_feed always choices "
        "always_A surely_overload surely_count possibly_overload possibly_count listed_at_most "
        "fit fit_count fit_shown complete complete_to",
        limit_A=lambda card: span((card.limit_low_A, card.limit_high_A)),
        also_limited="also",
        not_known="unknown",
        cannot_feed="unfit",
        always_A=lambda card: span(card.always_A),
        surely_overload="surely",
        possibly_overload="possibly",
        listed_at_most=lambda _: LISTED,
        fit="fits",
        fit_count="fits_count",
        fit_shown="fits_shown",
    )


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
    if source.service.seen:
        return service_of(source)
    if isinstance(source, Inverter):
        return SERVICES["120 V" if basis == "us" else "230 V"]
    services = {inlet.service.word for inlet in boat.inlet if inlet.service.seen}
    return SERVICES[services.pop()] if len(services) == 1 else None


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
    if service is not None and len(service.legs) == 1:  # one leg feeds loads of every leg
        draws = [replace(d, legs=service.legs) if len(d.legs) == 1 else d for d in draws]
    if not draws or service is None:
        return None  # said under inlet-load, generator, inverter
    limit = limit_of(boat, source, service, basis)
    if limit is None or limit.low_A <= 0:
        reason = "its rating was not noted"
        read = {
            "Generator": f"kW, kVA and voltages on the plate of '{source.id}'",
            "Inverter": f"W or VA on the plate of '{source.id}'",
        }.get(type(source).__name__, f"the rating moulded on inlet '{source.id}'")
        return NotChecked(CHECK, source.id, reason, source.where, read)
    supply = source.supply if isinstance(source, Inlet) else None
    unfit = misfits_of(service, draws) if not isinstance(source, Inlet) else []
    draws = [d for d in draws if not any(d is other for other in unfit)]
    dead: list[AcDraw] = []
    if isinstance(source, Inlet) and source.adapter.is_surely(ONE_FEED) and len(service.legs) > 1:
        # one line conductor feeds both legs, and nothing lies between them
        service, supply = SERVICES["120 V"], None
        dead = [d for d in draws if d.between_legs]
        draws = [replace(d, legs=service.legs) for d in draws if not d.between_legs]
    choices = [d for d in draws if not is_always(d.load)]
    if len(choices) > together.MOST_LOADS:
        reason = f"{len(choices)} loads are choices; at most {together.MOST_LOADS} are searched"
        return NotChecked(CHECK, source.id, reason, source.where)
    also, unknown = alsos_of(boat, source, service, draws)
    if isinstance(source, Inlet) and supply is not None and not supply.seen:
        unknown += _at_other_docks(draws, service, limit)
    limit = replace(limit, unknown=(*limit.unknown, *unknown))
    return _made(source, service, draws, limit, also, supply, dead, unfit)


def _at_other_docks(draws: Sequence[AcDraw], service: Service, limit: Limit) -> list[str]:
    """Say at what volts a dock would overload what fits all at once at its nominal ones."""
    none = leg_draws([], service, None)

    def most_A(supply: Noted | None) -> float:
        every = leg_draws(draws, service, supply)
        always: dict[str, Any] = {"always_low_A": none.low, "always_high_A": none.high}
        return float(together.carried_A(every.low, high_A=every.high, **always)[1].max())

    most = limit.low_A * (1 + HOLDS_WITHIN)
    if most_A(None) > most:
        return []
    for volts, words in docks(service):
        amps = most_A(noted.exact(volts, "voltage"))
        if amps > most:
            at = f"At {units.show(volts, 'voltage')}, {words}, all together may"
            return [f"{at} draw {units.show(amps, 'current')}"]
    return []


def _made(
    source: Entry,
    service: Service,
    draws: Sequence[AcDraw],
    limit: Limit,
    alsos: Sequence[Also],
    supply: Noted | None,
    dead: Sequence[AcDraw],
    unfit: Sequence[AcDraw],
) -> LoadCard:
    rows = [row for row, one in enumerate(draws) if not is_always(one.load)]
    always = [row for row, one in enumerate(draws) if is_always(one.load)]
    every = beside(leg_draws(draws, service, supply), alsos)
    mine, on = every.only(rows), every.only(always)
    legs = len(service.legs)
    in_power = isinstance(source, Inverter)
    # an inverter is rated in watts: its legs are shown, and limit nothing
    limit_low, limit_high = (
        np.array([_NO_LIMIT if in_power else amps] * legs + further)
        for amps, further in (
            (limit.low_A, [one.limit_low for one in alsos]),
            (limit.high_A, [one.limit_high for one in alsos]),
        )
    )
    found = together.overloads_in_range(
        mine.low,
        high_A=mine.high,
        limit_low_A=limit_low,
        limit_high_A=limit_high,
        always_low_A=on.low,
        always_high_A=on.high,
        most=MOST_HELD,
        exact=every.settled,
    )
    most: dict[str, Any] = {"limit_A": limit_low, "always_A": on.high, "exact": every.settled}
    enough = ALL_OF_FITS if len(rows) <= TABLE_LOADS else 2 * FITS_SHOWN
    fits = together.largest_fits(mine.high, enough=enough, most=MOST_HELD, **most)
    rest = together.fits_with(mine.high, without=fits.masks[:FITS_SHOWN], **most)
    names = [_name(draws[row]) for row in rows]

    def listed(sets: together.Sets) -> Listed:
        def made(part: slice) -> list[Together]:
            some = replace(sets, masks=sets.masks[part], legs=sets.legs[part])
            lows, highs = together.carried_A(
                mine.low,
                high_A=mine.high,
                always_low_A=on.low,
                always_high_A=on.high,
                masks=some.masks,
            )
            return [
                named_set(
                    chosen,
                    names,
                    service.legs,
                    over,
                    float(low[:legs].max()),
                    float(high[:legs].max()),
                    _beyond(alsos, over[legs:], low[legs:], high[legs:]),
                )
                for chosen, over, low, high in zip(
                    some.chosen(), some.legs, lows, highs, strict=True
                )
            ]

        return Listed(sets, made)

    nothing = together.carried_A(
        mine.only([]).low, high_A=mine.only([]).high, always_low_A=on.low, always_high_A=on.high
    )
    read = supply is not None and supply.seen
    return LoadCard(
        source=source.id,
        where=source.where,
        legs=service.legs,
        limit_low_A=limit.low_A,
        limit_high_A=limit.high_A,
        limit_by=limit.by,
        power_W=(source.power.span[0], source.power.span[2])
        if isinstance(source, Inverter)
        else None,
        also=tuple(dict.fromkeys(one.words for one in alsos)),
        unknown=limit.unknown,
        dead=tuple(_name(one) for one in dead),
        unfit=tuple(_name(one) for one in unfit),
        supply_V=service.supply_V if isinstance(source, Inlet) and not read else None,
        unread_factors=any(one.power_factor.origin == "typical" for one in draws),
        settled=every.settled and bool(np.all(limit_low == limit_high)),
        always=tuple(_name(draws[row]) for row in always),
        choices=tuple(names),
        always_A=(float(nothing[0][:legs].max()), float(nothing[1][:legs].max())),
        surely=listed(found.surely),
        possibly=listed(found.possibly),
        fits=listed(fits),
        fits_shown=(*listed(fits)[:FITS_SHOWN], *listed(rest)[:]),
        fits_count=fits.count if fits.complete else None,
        fits_more=fits.count - fits.first(FITS_SHOWN) - rest.count,
        surely_count=found.surely.count,
        possibly_count=found.possibly.count,
        surely_more=found.surely.count - found.surely.first(SHOWN),
        possibly_more=found.possibly.count - found.possibly.first(SHOWN),
        complete=found.surely.complete and found.possibly.complete,
        complete_to=min(found.surely.complete_to, found.possibly.complete_to),
    )


def _beyond(
    alsos: Sequence[Also], over: Sequence[bool], low: Sequence[float], high: Sequence[float]
) -> list[str]:
    """Return the further limits that a set is above, in words, each once."""
    return list(
        dict.fromkeys(
            f"{units.show_range(float(least), float(most), one.quantity)} {one.words}"
            for one, is_over, least, most in zip(alsos, over, low, high, strict=True)
            if is_over
        )
    )


def _name(one: AcDraw) -> str:
    count = one.load.count
    return one.load.id if count == 1 else f"{one.load.id} x{count}"


def heading(card: LoadCard) -> str:
    """Return the source of a card, its limit, what sets that, and how currents are added."""
    leg = " a leg" if len(card.legs) > 1 else ""
    if card.power_W:
        return f"{card.source} ({_limit(card)})"
    by = card.limit_by
    by = by if by.startswith("its ") or by.endswith("'") else f"the {by}"
    by = "" if card.limit_by == f"inlet '{card.source}'" else f", limited by {by}"
    return f"{card.source} ({_limit(card)}{leg}{by}; currents summed as phasors)"


def _limit(card: LoadCard) -> str:
    """Return what a source gives, on a leg or in watts, in words."""
    low, high = card.limit_low_A, card.limit_high_A
    if card.power_W:
        return units.show_range(*card.power_W, "power")
    return f"{low:.3g} A" if low == high else units.show_range(low, high, "current")


def in_words(card: LoadCard) -> list[str]:
    """Return a card as sentences, the same for every report."""
    lines = []
    if card.always:
        on = ", ".join(card.always)
        amps = units.show_range(*card.always_A, "current")
        lines.append(f"Always on: {on} ({_on_legs(amps, 'the heavier leg', card)}).")
    if card.dead:
        lines.append(f"Dead on its adapter, which gives one leg: {', '.join(card.dead)}.")
    if card.unfit:
        lines.append(f"It cannot feed, by its volts or legs: {', '.join(card.unfit)}.")
    if card.supply_V is not None:
        lines.append(f"Taken at {card.supply_V:g} V: the volts of the dock were not noted.")
    if card.surely and not (card.surely[0].loads or card.surely[0].any_of):
        first = card.surely[0]
        above = f"more than its {_limit(card)}" if first.legs else "too much"
        by = f" ({', '.join(first.beyond)})" if first.beyond else ""
        return [*lines, f"What is always on is {above} already{by}."]
    for words, joint, sets, more in (
        ("Not together", " and ", card.surely, card.surely_more),
        ("Perhaps not together", " or ", card.possibly, card.possibly_more),
    ):
        for one in sets[:SHOWN]:
            loads = one.in_words("what is always on")
            lines.append(f"{words}: {loads} ({_amounts(one, joint, card)}).")
        if more:
            least = sets[min(len(sets), SHOWN) - 1].size
            lines.append(
                f"{words}: {more:,} more combination{'s' * (more > 1)}, of {least} "
                f"load{'s' * (least > 1)} or more each: "
                f"{'all' if sets.whole else f'the first {LISTED:,}'} in --json, or go by "
                "what may run together."
            )
    if card.possibly and not card.settled:
        low, high, _ = practice("power factor not read")
        factors = f"; power factors not read are from {low:g} to {high:g}"
        lines.append(f"'Perhaps' turns on what was not read{factors * card.unread_factors}.")
    elif card.possibly:
        lines.append("'Perhaps': leading and lagging loads undo one another; amperes are added.")
    lines += [f"{one}." for one in card.unknown]
    if card.surely_count or card.possibly_count:
        lines += _fits_in_words(card)
    elif card.unknown:
        lines.append("Nothing else that was read keeps its loads from running together.")
    elif card.unfit:
        if card.choices:
            lines.append("Everything else may run together.")
    else:
        lines.append("Everything may run together.")
    if not card.complete:
        lines.append(
            f"Combinations of up to {card.complete_to} loads are all considered; larger ones may "
            "be missing."
        )
    return lines


def _fits_in_words(card: LoadCard) -> list[str]:
    """Say what may run together: the largest sets, and one with each load that fits at all."""
    shown = card.fits_shown
    lines = [
        f"Together at most: {s.in_words('nothing but what is always on')} "
        f"({units.show(s.high_A, 'current')})."
        for s in shown
    ]
    more = len(card.fits) > FITS_SHOWN
    if card.fits_count is not None and card.fits_more > 0:
        plural = "s" * (card.fits_more > 1)
        lines.append(f"Together at most: {card.fits_more:,} more combination{plural}.")
    elif more and card.fits_count is None:
        lines.append("Together at most: more combinations, which leave more out.")
    return lines


def _amounts(one: Together, joint: str, card: LoadCard) -> str:
    """Return the amps of a set where it is too much, and the further limits that it is above."""
    amps = units.show_range(one.low_A, one.high_A, "current")
    on_legs = [_on_legs(amps, joint.join(one.legs), card)] if one.legs else []
    return ", ".join([*on_legs, *one.beyond])


def _on_legs(amps: str, legs: str, card: LoadCard) -> str:
    """Return amps and where they are, if there is more than one leg."""
    return amps if len(card.legs) == 1 else f"{amps} on {legs}"
