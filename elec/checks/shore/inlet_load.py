"""Shore inlets: what each leg carries, under each condition, against the inlet's rating."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from elec import units
from elec.boat.ac_loads import SERVICES, AcDraw, Service
from elec.boat.records import BoatFile, Inlet
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.running import (
    MIDDLE,
    conditions_ashore,
    connected_A,
    draws_of,
    in_words,
    named,
)
from elec.checks.question import Question, asked_for
from elec.checks.registry import Check
from elec.checks.shore.inlet_notes import by_phasors, dock_unread, elsewhere
from elec.checks.shore.inlet_rating import ask_rating, load_on
from elec.checks.shore.inlet_remedy import remedy
from elec.finding import Finding, Step

_CAUTION = (
    "An overloaded inlet overheats at its contacts, where no breaker sees it. Turn the pedestal "
    "breaker off before touching cord or inlet."
)


def _load(inlet: Inlet, boat: BoatFile, _basis: str) -> Iterator[Finding]:
    """Judge an inlet under every condition in which it is used."""
    if not inlet.service.seen:
        reason = "its service (voltages and legs) was not noted"
        raise CannotJudge(reason, asked_for(inlet, "service")[1])
    service = SERVICES[inlet.service.word]
    draws = draws_of(boat, inlet, service)
    if not draws:
        raise CannotJudge("no load was noted on it", f"which loads inlet '{inlet.id}' feeds")
    at_other_docks: list[str] = []
    for conditions in conditions_ashore(boat, draws):
        judged = partial(_judge, service=service, draws=draws, conditions=conditions)
        found = judged(inlet)
        other = elsewhere(found, judged, inlet, service)
        yield found.with_changes(notes=(*found.notes, *other))
        at_other_docks += other
    if at_other_docks:
        raise dock_unread(inlet, at_other_docks[0])


def _judge(
    inlet: Inlet, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> Finding:
    question = Question()
    load = load_on(question, inlet, service, draws, conditions, phasors=True)
    sources = ask_rating(question, inlet)
    ruling = question.rule(lambda **given: (load.heaviest_A(given), given["rating_A"]), "at most")
    connected = connected_A(service, draws, inlet.supply)
    notes = []
    most = max(connected.values())
    if conditions and most > float(ruling.value.high) * (1 + 1e-9):
        notes.append(
            f"Everything connected at once would be {units.show(most, 'current')}"
            " on the heavier leg; no rule asks an inlet to carry that."
        )
    least_A, most_A = question.ends("rating_A")
    notes += by_phasors(load, ruling.verdict, least_A, most_A)
    working = load.steps()
    formula = f"sum of everything connected, at {load.supply_V:g} V"
    for leg, total in connected.items():
        working.append(Step(f"connected({leg})", formula, "", total, "A"))
    return question.finding(
        ruling,
        entry=inlet,
        quantity="current",
        worst="B",
        statement=lambda value, limit: _statement(inlet, load, in_words(conditions), value, limit),
        working=working,
        sources=sources,
        remedy=remedy(load.counted, service, inlet.supply, least_A),
        caution=_CAUTION,
        notes=notes,
        part=named(conditions),
    )


def _statement(inlet: Inlet, load: LegLoad, words: str, value: str, limit: str) -> str:
    text = f"Inlet '{inlet.id}' {words}: {value}"
    legs, _ = load.best()
    if len(legs) == 1:
        return f"{text}; it is rated {limit}."
    text += " on its heavier leg"
    if not load.floating:
        shown = ", ".join(f"{leg} {units.show(i, 'current')}" for leg, i in legs.items())
        text += f" ({shown}{'' if load.settled else MIDDLE})"
    return f"{text}; it is rated {limit} a leg."


CHECK = Check(
    name="inlet-load",
    judges="each leg of an inlet against its rating, by condition",
    system="shore power",
    place=101,
    of="inlet",
    ask=_load,
    commands=("inlet",),
)
