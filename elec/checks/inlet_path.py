"""From pedestal to panel: the link that limits each leg of an inlet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from elec import units
from elec.boat.ac_loads import SERVICES, Service
from elec.boat.records import BoatFile, Inlet, Run
from elec.checks.cable import CannotJudge, cable_of
from elec.checks.cord_size import ask_cord, cords_of
from elec.checks.leg_load import ask_rating, draws_of, heaviest_within
from elec.checks.question import Option, Question
from elec.errors import TableRangeError
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["CHECKS", "check"]

CHECK = "inlet-path"
CHECKS = (CHECK,)
_ADAPTER_A = {
    "two 30 A into one 50 A": "US_30A_120V",
    "one 50 A into 30 A": "US_30A_120V",
}


@dataclass
class _Links:
    """The links that were seen: name and current each carries; what was not seen."""

    limits: list[tuple[str, Callable[[dict[str, Any]], Any]]] = field(default_factory=list)
    unseen: list[str] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def add(self, name: str, limit: Callable[[dict[str, Any]], Any]) -> None:
        self.limits.append((name, limit))


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every inlet of known service that has loads."""
    findings = [
        _judge(boat, inlet, basis)
        for inlet in boat.inlet
        if inlet.service != "?" and draws_of(boat, inlet, SERVICES[inlet.service])
    ]
    return findings, []


def _judge(boat: BoatFile, inlet: Inlet, basis: str) -> Finding:
    service = SERVICES[inlet.service]
    draws = draws_of(boat, inlet, service)
    question = Question()
    load, words = heaviest_within(question, boat, inlet, draws, service)
    links = _Links()
    if not any(name == "rating_A" for name in question.best_values()):
        links.sources += ask_rating(question, inlet)
    links.add(f"inlet '{inlet.id}'", lambda given: given["rating_A"])
    _noted(question, links, inlet, "breaker", inlet.breaker, "main breaker")
    _noted(question, links, inlet, "pedestal", inlet.pedestal, "breaker on the dock")
    _adapter(links, inlet)
    _cords(question, links, boat, inlet, service)
    _transformers(question, links, boat, inlet, service)
    _feeder(question, links, boat, inlet, basis)
    _unseen(question, links, inlet)

    def limit_A(given: dict[str, Any]) -> Any:
        return np.minimum.reduce(np.broadcast_arrays(*(one(given) for _, one in links.limits)))

    ruling = question.rule(
        lambda **given: (load.heaviest_A(given), limit_A(given) + 0.0 * given["uneven"]),
        "at most",
    )
    best = question.best_values()
    each = [(name, float(np.asarray(one(best)))) for name, one in links.limits]
    least = min(amps for _, amps in each)
    weakest = " and ".join(
        name for name, amps in each if amps <= least * (1 + 1e-9) and "not seen" not in name
    )
    if inlet.adapter == "?":
        links.notes.append(
            "No adapter was noted: its plug fits only a receptacle of its own rating, so the dock "
            "is taken to give that; two 30 A joined into one 50 A give 30 A a leg."
        )
    if not inlet.pedestal.seen:
        links.notes.append("The breaker on the dock was not seen, and is not counted.")
    return question.finding(
        ruling,
        check=CHECK,
        entry=inlet,
        sense="at most",
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"From dock to panel by inlet '{inlet.id}', {weakest} "
            f"{'limit' if ' and ' in weakest else 'limits'}: {limit} a leg, against {value} "
            f"{words}."
        ),
        working=[Step("limit", name, "", amps, "A") for name, amps in each],
        sources=links.sources,
        remedy=f"Keep to {units.show_limit(float(ruling.limit.low), 'current', sense='at most')} "
        "a leg until every link is read, or replaced where it is less than the inlet.",
        notes=links.notes,
    )


def _noted(
    question: Question, links: _Links, inlet: Inlet, name: str, value: Noted, words: str
) -> None:
    if value.seen:
        question.noted(f"{name}_A", value, entry=inlet, field=words, worse="lower")
        links.add(words, lambda given: given[f"{name}_A"])
    elif name != "pedestal":
        links.unseen.append(words)


def _unseen(question: Question, links: _Links, inlet: Inlet) -> None:
    """Add the least of the links that were not seen: any listed rating up to the inlet's own."""
    if not links.unseen:
        return
    services = table("shore_services")
    region = "IEC" if inlet.service.startswith("230") else "US"
    most = question.ends("rating_A")[1]
    listed = {float(r["rating_A"]) for r in services.rows() if r["region"] == region}
    ratings = sorted({amps for amps in listed if amps < most} | {most})
    words = ", ".join(links.unseen)
    question.among(
        "unseen_A",
        [Option(amps, f"{amps:g} A") for amps in ratings],
        entry=inlet,
        field=f"least of {words}",
        worse="lower",
        best=ratings[-1],
        source="every rating of table shore_services up to the inlet's own",
        read=f"ratings on {words}",
    )
    if len(ratings) > 1:
        links.add(f"the least of {words}, not seen,", lambda given: given["unseen_A"])


def _adapter(links: _Links, inlet: Inlet) -> None:
    service_id = _ADAPTER_A.get(inlet.adapter)
    if service_id is None:
        return
    amps = table("shore_services").exact("rating_A", service_id=service_id)
    links.add(f"adapter, {inlet.adapter},", lambda given: amps + 0.0 * given["rating_A"])
    links.sources.append(table("shore_services").source(service_id=service_id))
    if inlet.adapter.startswith("two"):
        links.notes.append(
            {
                "opposite": "Its two receptacles are on opposite legs, as they must be.",
                "same": "Its two receptacles are on one leg: nothing between the legs, so "
                "line-to-line gear is dead, and the neutral carries the sum of both. Do not use "
                "it so.",
                "?": "Its two receptacles must be on opposite legs: read the volts between them "
                "(near 240 V or 208 V; 0 V means one leg, and the neutral carries the sum).",
            }[inlet.adapter_legs]
            + " A dock with ground-fault protection often refuses it: the neutral is shared."
        )


def _cords(
    question: Question, links: _Links, boat: BoatFile, inlet: Inlet, service: Service
) -> None:
    cords = cords_of(inlet, boat)
    if not cords:
        links.unseen.append("cord")
    for number, cord in enumerate(cords):
        try:
            ampacity, sources, _ = ask_cord(
                question, cord, service, inlet.supply, name=f"cord{number}_"
            )
        except TableRangeError:
            links.unseen.append(f"ampacity of '{cord.id}'")
            continue
        links.add(f"cord '{cord.id}'", ampacity)
        links.sources += sources


def _transformers(
    question: Question, links: _Links, boat: BoatFile, inlet: Inlet, service: Service
) -> None:
    for number, one in enumerate(boat.transformer):
        if one.inlet not in (None, inlet.id) or (one.inlet is None and len(boat.inlet) > 1):
            continue
        if not one.rating.seen:
            links.unseen.append(f"rating of '{one.id}'")
            continue
        name = f"transformer{number}_VA"
        question.noted(name, one.rating, entry=one, field="rating", worse="lower")
        volts = service.to_neutral_V * len(service.legs)

        def amps(given: dict[str, Any], name: str = name, volts: float = volts) -> Any:
            return given[name] / volts

        links.add(f"transformer '{one.id}'", amps)


def _feeder(question: Question, links: _Links, boat: BoatFile, inlet: Inlet, basis: str) -> None:
    runs: list[Run] = [run for run in boat.run if run.start == inlet.id or inlet.id in run.serves]
    if not runs:
        links.unseen.append("cable from inlet to panel")
        return
    try:
        cable = cable_of(runs[0], boat, basis)
    except CannotJudge:
        links.unseen.append(f"cable '{runs[0].id}'")
        return
    cable.ask_size(question, area=False)
    cable.ask_insulation(question)
    cable.ask_route(question)
    links.add(f"cable '{runs[0].id}'", cable.ampacity)
    links.sources.append(table(cable.basis.ampacity_table).source())
