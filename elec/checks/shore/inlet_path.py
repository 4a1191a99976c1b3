"""From pedestal to panel: the link that limits each leg of an inlet."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from elec import units
from elec.boat.ac_loads import OF_230_V, SERVICES, Service
from elec.boat.possible import possible
from elec.boat.records import BoatFile, Inlet, Run
from elec.checks.cables.run_noted import cable_of
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.running import draws_of
from elec.checks.question import Option, Question, asked_for
from elec.checks.registry import Answer, Check, each
from elec.checks.shore.cord_size import ask_cord, cords_of
from elec.checks.shore.inlet_adapter import (
    ONE_FEED,
    adapter_A,
    adapter_notes,
    adapter_source,
    judge_legs,
)
from elec.checks.shore.inlet_conductors import transformers_behind
from elec.checks.shore.inlet_neutral import judge_neutral
from elec.checks.shore.inlet_rating import AtRating, ask_rating, heaviest_within
from elec.errors import TableRangeError
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.published import Source, table

__all__ = ["CHECK", "links_read"]

_NAME = "inlet-path"
_UNSEEN = "the least of those not seen"


@dataclass(frozen=True)
class _Link:
    """One link: its name, the current it carries, and whether that is known for certain."""

    name: str
    limit_A: Callable[[dict[str, Any]], Any]
    settled: bool
    read: bool  # nothing that it rests on was left to a typical range
    connects: bool = False  # a plug, receptacle or breaker, which hours-long load asks more of


@dataclass
class _Links:
    """The links that were seen; what was not seen."""

    question: Question
    seen: list[_Link] = field(default_factory=list)
    unseen: list[str] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    asked: set[str] = field(default_factory=set)
    taken: int = 0

    def start(self) -> None:
        """Remember what was asked before the next link."""
        self.asked = set(self.question.best_values())
        self.taken = len(self.question.typical)

    def add(
        self, name: str, limit_A: Callable[[dict[str, Any]], Any], *, connects: bool = False
    ) -> None:
        """Add a link, settled if all that was asked since the last `start` is."""
        new = set(self.question.best_values()) - self.asked
        settled = all(self.question.settled(one) for one in new)
        read = len(self.question.typical) == self.taken
        self.seen.append(_Link(name, limit_A, settled, read, connects))
        self.start()


def _path(inlet: Inlet, boat: BoatFile, basis: str) -> Iterator[Answer]:
    """Judge an inlet of known service that has loads: its legs, its neutral, its adapter."""
    if not inlet.service.seen or not draws_of(boat, inlet, SERVICES[inlet.service.word]):
        return  # inlet-load says so
    yield from each(_NAME, [inlet], lambda one: _links(one, boat, basis))
    yield from judge_neutral(boat, inlet, links_read(boat, inlet, basis))
    if (legs := judge_legs(inlet)) is not None:
        yield legs


def _links(inlet: Inlet, boat: BoatFile, basis: str) -> Iterator[Finding]:
    """Judge the least link, and where it is a plug or breaker what goes on for hours."""
    service = SERVICES[inlet.service.word]
    draws = draws_of(boat, inlet, service)
    question = Question()
    links = _Links(question)
    load, words = heaviest_within(question, boat, inlet, draws, service, phasors=True)
    links.asked = set(question.best_values()) - {"rating_A"}
    _gather(links, boat, inlet, service, basis)
    read = list(links.seen)
    _unseen(links, inlet)

    def requirement(given: dict[str, Any], limits: Sequence[Any]) -> tuple[Any, Any]:
        least = np.minimum.reduce(np.broadcast_arrays(*limits))
        return _carried_A(load, inlet, given), least

    ruling = question.rule(
        lambda **given: requirement(given, [link.limit_A(given) for link in links.seen]), "at most"
    )
    best = question.best_values()
    steps = [
        Step("limit", link.name, "", float(np.asarray(link.limit_A(best))), "A")
        for link in links.seen
    ]
    notes = [*adapter_notes(inlet)]
    if not inlet.pedestal.seen:
        notes.append("The breaker on the dock was not seen, and is not counted.")
    least = units.show_limit(float(ruling.limit.low), "current", sense="at most")
    yield question.finding(
        ruling,
        entry=inlet,
        quantity="current",
        worst="B",
        statement=lambda value, limit: _statement(inlet, links, ruling, best, value, limit, words),
        working=steps,
        sources=links.sources,
        remedy=f"Keep to {least} a leg"
        + (" until every link is read, or" if links.unseen else ", or have every link")
        + " replaced where it is less than the inlet.",
        notes=notes,
    )
    hours = _hours(inlet, question, load, read, words, links.sources)
    if hours is not None:
        yield hours


def _gather(links: _Links, boat: BoatFile, inlet: Inlet, service: Service, basis: str) -> None:
    """Add every link that was seen, and the names of the rest."""
    if "rating_A" not in links.question.best_values():
        links.sources += ask_rating(links.question, inlet)
    links.add(f"inlet '{inlet.id}'", lambda given: given["rating_A"], connects=True)
    _breaker(links, inlet, "breaker")
    _breaker(links, inlet, "pedestal")
    joined_A = adapter_A(inlet)
    if joined_A is not None:
        links.add(f"adapter, {inlet.adapter},", lambda _given: joined_A, connects=True)
        links.sources.append(adapter_source(inlet))
    _cords(links, boat, inlet, service)
    _transformers(links, boat, inlet, service)
    _feeder(links, boat, inlet, basis)


def links_read(boat: BoatFile, inlet: Inlet, basis: str) -> list[tuple[str, float, float]]:
    """Return an inlet of known service and the links that were read: name, least, most amps."""
    question = Question()
    links = _Links(question)
    _gather(links, boat, inlet, SERVICES[inlet.service.word], basis)
    found = []
    for link in links.seen:
        if link.read or link is links.seen[0]:
            limit = question.rule(
                lambda limit_A=link.limit_A, **given: (0.0, limit_A(given)), "at most"
            ).limit
            found.append((link.name, float(limit.low), float(limit.high)))
    return found


def _carried_A(load: LegLoad | AtRating, inlet: Inlet, given: dict[str, Any]) -> Any:
    """Return what a leg carries; the sum of both behind an adapter that gives one leg only."""
    if (
        not inlet.adapter.is_surely(ONE_FEED)
        or isinstance(load, AtRating)
        or len(load.service.legs) == 1
    ):
        return load.heaviest_A(given)
    single = [c for c in load.counted if not c.one.between_legs]
    legs, adrift = load.by_leg(given, single)
    return adrift + sum(legs.values())


def _statement(
    inlet: Inlet,
    links: _Links,
    ruling: Ruling,
    best: dict[str, Any],
    value: str,
    limit: str,
    words: str,
) -> str:
    """Name the weakest link that is known, and what those that are not must carry."""
    known = [(link.name, _at(link, best)) for link in links.seen if link.settled]
    open_ = [*links.unseen, *(k.name for k in links.seen if not k.settled and k.name != _UNSEEN)]
    least_A = min((amps for _, amps in known), default=None)
    weakest = _and([name for name, amps in known if amps <= (least_A or 0) * (1 + 1e-9)])
    plural = "limit" if " and " in weakest else "limits"
    if not open_:
        return (
            f"From dock to panel by inlet '{inlet.id}', {weakest} {plural}: {limit} a leg, against "
            f"{value} {words}."
        )
    start = f"From dock to panel by inlet '{inlet.id}' a leg carries {value} {words}. "
    if least_A is None:
        start += "No link is known for certain; "
    else:
        at = units.show_limit(least_A, "current", sense="at most")
        start += f"Of the links read, {weakest} {plural}, at {at} a leg; "
        if least_A < float(ruling.value.low) * (1 - 1e-9):
            return f"{start}that is too little, whatever {_and(open_)} may carry."
    one = len(open_) == 1
    need = units.show_limit(float(ruling.value.high), "current", sense="at least")
    return (
        f"{start}{_and(open_)} {'is' if one else 'are'} open: adequate if "
        f"{'it carries' if one else 'each carries'} {need} or more."
    )


def _at(link: _Link, given: dict[str, Any]) -> float:
    return float(np.asarray(link.limit_A(given)))


def _and(names: Sequence[str]) -> str:
    *first, last = [name.rstrip(",") for name in names] or [""]
    return f"{', '.join(first)} and {last}" if first else last


def _hours(
    inlet: Inlet,
    question: Question,
    load: LegLoad | AtRating,
    read: Sequence[_Link],
    words: str,
    sources: Sequence[Source],
) -> Finding | None:
    """Judge hours-long load where a plug or breaker other than the inlet's own is the less.

    That of the inlet itself is judged under ``inlet-demand``.
    """
    best = question.best_values()
    rating = float(best["rating_A"])
    less = [k for k in read if k.connects and k.settled and _at(k, best) < rating * (1 - 1e-9)]
    if not less or isinstance(load, AtRating):
        return None
    weakest = min(less, key=lambda link: _at(link, best))
    share, _, _ = possible("hours-long load")
    ruling = question.rule(
        lambda **given: (
            _carried_A(load, inlet, given),
            share * weakest.limit_A(given),
        ),
        "at most",
    )
    limit_A = share * _at(weakest, best)
    most = units.show_limit(limit_A, "current", sense="at most")
    numbers = f"{share:g} x {_at(weakest, best):g}"
    return question.finding(
        ruling,
        entry=inlet,
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"From dock to panel by inlet '{inlet.id}', if it goes on for hours: {value} "
            f"{words}; good practice is {limit}, {share * 100:g} % of {weakest.name} "
            f"({units.show(_at(weakest, best), 'current')}). The rating itself is judged apart."
        ),
        working=[Step("limit", "share x rating", numbers, limit_A, "A")],
        sources=[*sources, table("ac_practice").source(field="hours-long load")],
        remedy=f"Keep the hours-long part of it to {most} a leg.",
        notes=["The 80 % binds circuits on land; no clause imposing it on boats was found."],
        part="hours",
    )


def _breaker(links: _Links, inlet: Inlet, field: str) -> None:
    words, _ = asked_for(inlet, field)
    if getattr(inlet, field).seen:
        links.question.ask(f"{field}_A", inlet, field, worse="lower")
        links.add(words, lambda given: given[f"{field}_A"], connects=True)
    elif field != "pedestal":  # the dock's is another at every dock: a note says it is not counted
        links.unseen.append(words)


def _unseen(links: _Links, inlet: Inlet) -> None:
    """Add the least of the links that were not seen: any listed rating up to the inlet's own."""
    if not links.unseen:
        return
    most = links.question.ends("rating_A")[1]
    least, _, _ = possible("least link of an inlet")
    series = "IEC 60059" if inlet.service.is_surely(*OF_230_V) else "NFPA 70 240.6(A)"
    listed = table("standard_device_ratings").where(instrument=series).numbers("rating_A")
    ratings = [float(amps) for amps in sorted(listed) if least <= amps < most] + [most]
    words = ", ".join(links.unseen)
    links.question.among(
        "unseen_A",
        [Option(amps, f"{amps:g} A") for amps in ratings],
        entry=inlet,
        field=f"least of {words}" if len(links.unseen) > 1 else words,
        worse="lower",
        best=ratings[-1],
        source=f"every rating of {series} up to the inlet's own, table standard_device_ratings",
        read=f"ratings on {words}",
    )
    links.add(_UNSEEN, lambda given: given["unseen_A"])


def _cords(links: _Links, boat: BoatFile, inlet: Inlet, service: Service) -> None:
    cords = cords_of(inlet, boat)
    if not cords:
        links.unseen.append("cord")
    for number, cord in enumerate(cords):
        try:
            ampacity, sources, _ = ask_cord(
                links.question, cord, service, inlet.supply, name=f"cord{number}_"
            )
        except TableRangeError:
            links.unseen.append(f"ampacity of '{cord.id}'")
            continue
        links.add(f"cord '{cord.id}'", ampacity)
        links.sources += sources


def _transformers(links: _Links, boat: BoatFile, inlet: Inlet, service: Service) -> None:
    for number, one in enumerate(transformers_behind(boat, inlet)):
        if not one.rating.seen:
            links.unseen.append(f"rating of '{one.id}'")
            continue
        name = f"transformer{number}_VA"
        links.question.ask(name, one, "rating", worse="lower")
        volts = service.to_neutral_V * len(service.legs)

        def amps(given: dict[str, Any], name: str = name, volts: float = volts) -> Any:
            return given[name] / volts

        links.add(f"transformer '{one.id}'", amps)


def _feeder(links: _Links, boat: BoatFile, inlet: Inlet, basis: str) -> None:
    runs: list[Run] = [run for run in boat.run if run.start == inlet.id or inlet.id in run.serves]
    if not runs:
        links.unseen.append("cable from inlet to panel")
        return
    try:
        cable = cable_of(runs[0], boat, basis)
    except CannotJudge:
        links.unseen.append(f"cable '{runs[0].id}'")
        return
    cable.ask_size(links.question, area=False)
    cable.ask_insulation(links.question)
    cable.ask_route(links.question)
    links.add(f"cable '{runs[0].id}'", cable.ampacity)
    links.sources.append(table(cable.basis.ampacity_table).source())


CHECK = Check(
    name=_NAME,
    judges="the link from dock to panel that limits",
    system="shore power",
    place=131,
    of="inlet",
    ask=_path,
)
