"""The load card: what may not run together on an inlet, generator or inverter, and what may."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from elec import noted, units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, is_always
from elec.boat.possible import possible
from elec.boat.records import BoatFile, Inlet, Inverter
from elec.calc.ac import together
from elec.checks.aboard.card_also import Also, alsos_of
from elec.checks.aboard.card_limit import Limit, limit_of
from elec.checks.aboard.card_search import FITS_SHOWN, name_of, search_of
from elec.checks.aboard.card_sets import LISTED, Listed, Together
from elec.checks.aboard.sources import (
    AcSource,
    ac_sources,
    fed_by,
    misfits_of,
    plate_of,
    service_given,
)
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_draws import leg_draws
from elec.checks.registry import Check
from elec.checks.shore.inlet_adapter import ONE_FEED
from elec.checks.shore.inlet_notes import docks
from elec.json_form import form, span
from elec.judge import HOLDS_WITHIN
from elec.noted import Noted

__all__ = ["CHECK", "LoadCard", "heading", "in_words"]

#: Sets shown on a card; the rest is counted.
SHOWN = 8


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


def _card(source: AcSource, boat: BoatFile, basis: str) -> Iterator[LoadCard]:
    service = service_given(boat, source, basis)
    draws = fed_by(boat, source, service) if service is not None else []
    if service is None or not draws:
        return  # said under inlet-load, generator, inverter
    limit = limit_of(boat, source, service, basis)
    if limit is None or limit.low_A <= 0:
        raise CannotJudge("its rating was not noted", plate_of(source))
    feed = _feed_of(source, service, draws)
    choices = [one for one in feed.draws if not is_always(one.load)]
    if len(choices) > together.MOST_LOADS:
        raise CannotJudge(
            f"{len(choices)} loads are choices; at most {together.MOST_LOADS} are searched"
        )
    alsos, unknown = alsos_of(boat, source, feed.service, feed.draws)
    if feed.supply is not None and not feed.supply.seen:
        unknown += _at_other_docks(feed.draws, feed.service, limit)
    yield _made(source, feed, replace(limit, unknown=(*limit.unknown, *unknown)), alsos)


@dataclass(frozen=True)
class _Feed:
    """What a source can feed, and what it cannot by its volts or legs, or its adapter."""

    service: Service
    supply: Noted | None
    draws: Sequence[AcDraw]
    unfit: Sequence[AcDraw] = ()
    dead: Sequence[AcDraw] = ()


def _feed_of(source: AcSource, service: Service, draws: Sequence[AcDraw]) -> _Feed:
    if not isinstance(source, Inlet):
        unfit = misfits_of(service, draws)
        fit = [d for d in draws if not any(d is other for other in unfit)]
        return _Feed(service, None, fit, unfit=unfit)
    if not source.adapter.is_surely(ONE_FEED) or len(service.legs) == 1:
        return _Feed(service, source.supply, draws)
    # one line conductor feeds both legs, and nothing lies between them
    service = SERVICES["120 V"]
    live = [replace(d, legs=service.legs) for d in draws if not d.between_legs]
    return _Feed(service, None, live, dead=[d for d in draws if d.between_legs])


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


def _made(source: AcSource, feed: _Feed, limit: Limit, alsos: Sequence[Also]) -> LoadCard:
    # an inverter is rated in watts: its legs are shown, and limit nothing
    watts = source.power.span if isinstance(source, Inverter) else None
    search = search_of(feed.draws, feed.service, feed.supply, limit, alsos, by_leg=watts is None)
    found = search.overloads()
    fits, rest = search.fits()
    read = feed.supply is not None and feed.supply.seen
    return LoadCard(
        source=source.id,
        where=source.where,
        legs=search.legs,
        limit_low_A=limit.low_A,
        limit_high_A=limit.high_A,
        limit_by=limit.by,
        power_W=None if watts is None else (watts[0], watts[2]),
        also=tuple(dict.fromkeys(one.words for one in alsos)),
        unknown=limit.unknown,
        dead=tuple(map(name_of, feed.dead)),
        unfit=tuple(map(name_of, feed.unfit)),
        supply_V=feed.service.supply_V if isinstance(source, Inlet) and not read else None,
        unread_factors=any(one.power_factor.origin == "typical" for one in feed.draws),
        settled=search.settled,
        always=search.always_on,
        choices=search.names,
        always_A=search.always_A,
        surely=search.listed(found.surely),
        possibly=search.listed(found.possibly),
        fits=search.listed(fits),
        fits_shown=(*search.listed(fits)[:FITS_SHOWN], *search.listed(rest)[:]),
        fits_count=fits.count if fits.complete else None,
        fits_more=fits.count - fits.first(FITS_SHOWN) - rest.count,
        surely_count=found.surely.count,
        possibly_count=found.possibly.count,
        surely_more=found.surely.count - found.surely.first(SHOWN),
        possibly_more=found.possibly.count - found.possibly.first(SHOWN),
        complete=found.surely.complete and found.possibly.complete,
        complete_to=min(found.surely.complete_to, found.possibly.complete_to),
    )


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
        low, high, _ = possible("power factor not read")
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


CHECK = Check(
    name="load-card",
    judges="which loads may not run together, and which may",
    system="AC and generator",
    place=501,
    of=ac_sources,
    ask=_card,
    commands=("inlet",),
)
