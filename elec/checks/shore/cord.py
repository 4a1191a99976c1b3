"""Shore cords: ampacity, its column by what the dock gives, and drop at the load it carries."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.ac_loads import SERVICES
from elec.boat.fields import GaugeNoted
from elec.boat.records import BoatFile, Cord, Inlet
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.running import draws_of
from elec.checks.presence import THERE
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.checks.shore.cord_drop import Served, judge_drop
from elec.checks.shore.cord_size import ask_cord, inlet_of
from elec.checks.shore.cord_table import cord_table
from elec.checks.shore.inlet_adapter import dock_breaker
from elec.checks.shore.inlet_notes import dock_unread, elsewhere
from elec.checks.shore.inlet_rating import AtRating
from elec.errors import TableRangeError
from elec.finding import Finding, Step
from elec.judge import HOLDS_WITHIN
from elec.noted import unseen
from elec.published import table

_NAME = "cord"
#: Between the legs where the neutral carries no load of its own.
_EVEN = noted.exact(240.0, "voltage")
_HOLDS = ("adequate", "marginal")
#: Stands in a remedy for the cord that answers all that is asked of it at once.
_CORD = "{cord}"
_CAUTION = (
    "A cord that is too small heats over its whole length, coiled worst of all: lay it out, and "
    "feel it under load. Pedestal breaker off before plug or socket is touched."
)


def _cord(cord: Cord, boat: BoatFile, _basis: str) -> Iterator[Answer]:
    """Judge a cord under the heaviest condition that its inlet carries."""
    inlet = inlet_of(cord, boat)
    if inlet is None or not inlet.service.seen:
        reason = "which inlet it serves, and on which voltages, was not noted"
        raise CannotJudge(reason, f"which inlet '{cord.id}' is used on")
    service = SERVICES[inlet.service.word]
    served = Served(cord, inlet, service, draws_of(boat, inlet, service), boat)
    answers = list(_answers(served))
    yield from (one for one in answers if not isinstance(one, Finding))
    told, at_other_docks = [], ""
    for one in answers:
        if isinstance(one, Finding):
            notes = _at_other_docks(served, one)
            at_other_docks = at_other_docks or " ".join(notes)
            told.append(one.with_changes(notes=(*one.notes, *notes)))
    yield from _with_cord(served, told)
    if at_other_docks:
        raise dock_unread(inlet, at_other_docks)


def _answers(served: Served) -> Iterator[Answer]:
    """Return what is said of one cord, and what could not be."""
    for ask in (_ampacity, _protection, judge_drop):
        yield from each(_NAME, [served.cord], partial(_of, served, ask))


def _of(served: Served, ask: Callable[[Served], Finding | None], _cord: Cord) -> Finding | None:
    return ask(served)


def _at_other_docks(served: Served, found: Finding) -> list[str]:
    """Say what volts of the dock that were not read would turn, of what it carries and drops."""
    asked: dict[str, tuple[Callable[[Served], Finding | None], str]] = {
        "ampacity": (_ampacity, "carry"),
        "drop": (judge_drop, "drop"),
    }
    if found.part not in asked:
        return []
    again, does = asked[found.part]

    def judged(other: Inlet) -> Finding:
        return again(replace(served, inlet=other)) or found

    return elsewhere(found, judged, served.inlet, served.service, does=does)


def _with_cord(served: Served, found: Sequence[Finding]) -> list[Finding]:
    """Put into the remedies the smallest cord that answers all that is asked of it at once."""
    if not any(_CORD in (one.remedy or "") for one in found):
        return list(found)
    words = _cord_that_serves(served)

    def told(remedy: str) -> str:
        text = remedy.replace(_CORD, words)
        return text[0].upper() + text[1:]

    return [one.with_changes(remedy=told(one.remedy)) if one.remedy else one for one in found]


def _cord_that_serves(served: Served) -> str:
    """Return the smallest cord, no smaller than the one aboard, that the same checks pass."""
    listed = cord_table(served.service, served.cord.size.size)
    own = listed.row_of(served.cord.size.size) if served.cord.size.size is not None else None
    carries = shorter = ""
    for row in listed.made():
        if own is not None and row < own:
            continue
        size = f"{listed.labels[row]} {listed.unit}"
        fitted = _answers(_fitted(served, size))
        verdicts = {f.part: f.verdict in _HOLDS for f in fitted if isinstance(f, Finding)}
        heavy = " of the heavy kind (H07RN-F)" if listed.unit == "mm²" else ""
        if all(verdicts.values()):
            return f"a cord of {size} or larger{heavy}"
        if verdicts.get("ampacity", True):
            carries = carries or (
                f"a cord of {size} or larger{heavy}, behind a breaker of no more than it is listed "
                "for"
            )
            if verdicts.get("protection", True):
                shorter = shorter or f"a cord of {size} or larger{heavy}, and shorter"
    return shorter or carries or "no listed cord answers: a second inlet"


def _fitted(served: Served, size: str) -> Served:
    """Return the same line with another cord in it, of the heavy kind."""
    gauge = GaugeNoted(units.size(size), False, size)
    changes = {"size": gauge, "rating": unseen("current"), "legend": "H07RN-F"}
    cord = served.cord.model_copy(update=changes)
    cords = tuple(cord if one is served.cord else one for one in served.boat.cord)
    return replace(served, cord=cord, boat=served.boat.model_copy(update={"cord": cords}))


def _ampacity(served: Served) -> Finding:
    cord = served.cord
    question = Question()
    load, words = served.load(question, neutral=False)
    try:
        ampacity, sources, steps = ask_cord(question, cord, served.service, served.inlet.supply)
    except TableRangeError as error:
        raise CannotJudge(str(error), f"the rating moulded on the ends of '{cord.id}'") from None
    ruling = question.rule(lambda **given: (load.heaviest_A(given), ampacity(given)), "at most")
    need = float(ruling.value.high)
    rated = served.inlet.rating
    overloaded = rated.seen and need > rated.span[2] * (1 + 1e-9)
    made_for_it = overloaded and float(ruling.limit.low) >= rated.span[2] * (1 - 1e-9)
    notes = ["In free air at 30 °C, laid out; the table takes nothing off for a coil."]
    if served.service.system == "split-phase":
        notes.append(
            "On two legs of a 120/208 V dock its neutral counts as loaded and the lower column "
            "holds."
        )
    return question.finding(
        ruling,
        entry=cord,
        quantity="current",
        worst="B" if made_for_it else "A",
        statement=lambda value, limit: (
            f"Cord '{cord.id}' carries {value} {words}; its ampacity is {limit}."
        ),
        working=[
            Step("I", "heavier leg, as under inlet-load", "", _best_A(load, question), "A"),
            *steps,
        ],
        sources=sources,
        remedy=f"Less load at once: it carries all that inlet '{served.inlet.id}' is rated for, "
        f"{rated.show()}, and the inlet is overloaded too."
        if made_for_it
        else f"{_CORD}, or less load at once.",
        caution=_CAUTION,
        notes=notes,
        part="ampacity",
    )


def _best_A(load: LegLoad | AtRating, question: Question) -> float:
    return float(load.heaviest_A(question.best_values()))


def _guards(question: Question, served: Served) -> list[tuple[str, str]]:
    """Add the breakers that a cord stands behind; return their words and the names of inputs."""
    inlet = served.inlet
    guards = []
    dock, words = dock_breaker(inlet)
    if dock is not None:
        read = f"the breaker on the dock for '{inlet.id}', and any adapter"
        question.noted("dock_A", dock, entry=inlet, field=words, worse="higher", read=read)
        guards.append((words, "dock_A"))
    if inlet.breaker.seen:
        question.ask("main_A", inlet, "breaker", worse="higher")
        guards.append(("main breaker", "main_A"))
    if not guards:
        read = f"the breaker on the dock, and the main breaker of inlet '{inlet.id}'"
        raise CannotJudge("no breaker that guards it was read", read)
    return guards


def _protection(served: Served) -> Finding | None:
    """Judge whether a breaker on the dock or at the inlet guards the cord against overload.

    What is not seen of the dock is taken to be what its receptacle is made for. Sets of cord and
    plugs are made for two loaded conductors; a loaded neutral comes in under its ampacity.
    """
    cord = served.cord
    question = Question()
    try:
        ampacity, sources, steps = ask_cord(question, cord, served.service, _EVEN)
    except TableRangeError:
        return None  # its ampacity says so
    guards = _guards(question, served)

    def least(given: dict[str, Any]) -> Any:
        # overload runs through all breakers in the line, and the least of them opens
        return np.minimum.reduce(np.broadcast_arrays(*(given[name] for _, name in guards)))

    def guarded(**given: Any) -> tuple[Any, Any]:
        holds = least(given) <= ampacity(given) * (1 + HOLDS_WITHIN)
        return np.where(holds, 1.0, 0.0), THERE

    ruling = question.rule(guarded, "at least")
    ends = question.rule(lambda **given: (least(given), ampacity(given)), "at most")
    behind = units.show_range(ends.value.low, ends.value.high, "current")
    listed = units.show_range(ends.limit.low, ends.limit.high, "current")
    most = units.show_limit(float(ends.limit.low), "current", sense="at most")
    guard = min(guards, key=lambda each: question.ends(each[1])[::-1])[0]
    notes = []
    words = guards[0][0]
    if guard == "main breaker" and len(guards) > 1:
        least_A, most_A = question.ends("dock_A")
        if most_A > question.ends("main_A")[1]:
            at_dock = units.show_range(least_A, most_A, "current")
            notes.append(f"A fault in the cord itself is cut off by the {words} alone ({at_dock}).")
    return question.finding(
        ruling,
        entry=cord,
        quantity="presence",
        worst="B",
        statement=lambda _value, _limit: (
            f"Cord '{cord.id}' stands behind {behind} ({guard}), the least breaker of its line; "
            f"such a cord is listed for {listed}"
            + (": overloaded, no breaker sees it." if ruling.verdict == "inadequate" else ".")
        ),
        working=steps,
        sources=[*sources, table("shore_services").source()],
        remedy=f"A breaker of {most} or less ahead of it, as in the adapter, or at the inlet; or "
        f"{_CORD}.",
        caution=_CAUTION,
        notes=notes,
        part="protection",
    )


CHECK = Check(
    name=_NAME,
    judges="ampacity, protection and drop of a shore cord",
    system="shore power",
    place=161,
    of="cord",
    ask=_cord,
    commands=("inlet",),
)
