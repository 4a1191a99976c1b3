"""Shore cords: ampacity, its column by what the dock gives, and drop at the load it carries."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.ac_loads import SERVICES, Service
from elec.boat.records import BoatFile, Inlet
from elec.calc import ac
from elec.checks.cord_drop import Served, judge_drop
from elec.checks.cord_size import ask_cord, inlet_of, supply_of
from elec.checks.cord_table import cord_table
from elec.checks.inlet_adapter import dock_breaker
from elec.checks.inlet_rating import AtRating
from elec.checks.leg_load import LegLoad
from elec.checks.presence import THERE
from elec.checks.question import Question
from elec.checks.running import draws_of
from elec.errors import TableRangeError
from elec.finding import Finding, NotChecked, Step
from elec.judge import HOLDS_WITHIN
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "cord"
CHECKS = (CHECK,)
#: Between the legs where the neutral carries no load of its own.
_EVEN = noted.exact(240.0, "voltage")
_CAUTION = (
    "A cord that is too small heats over its whole length, coiled worst of all: lay it out, and "
    "feel it under load. Pedestal breaker off before plug or socket is touched."
)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every cord under the heaviest condition that its inlet carries."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for cord in boat.cord:
        inlet = inlet_of(cord, boat)
        if inlet is None or inlet.service == "?":
            reason = "which inlet it serves, and on which voltages, was not noted"
            read = f"which inlet '{cord.id}' is used on"
            skipped.append(NotChecked(CHECK, cord.id, reason, cord.where, read))
            continue
        service = SERVICES[inlet.service]
        draws = draws_of(boat, inlet, service)
        served = Served(cord, inlet, service, draws, boat)
        for answer in (_ampacity(served), _protection(served), judge_drop(served)):
            if isinstance(answer, Finding):
                findings.append(answer)
            elif answer is not None:
                skipped.append(answer)
    return findings, skipped


def _ampacity(served: Served) -> Finding | NotChecked:
    cord = served.cord
    question = Question()
    load, words = served.load(question, neutral=False)
    try:
        ampacity, sources, steps = ask_cord(question, cord, served.service, served.inlet.supply)
    except TableRangeError as error:
        read = f"the rating moulded on the ends of '{cord.id}'"
        return NotChecked(CHECK, cord.id, str(error), cord.where, read)
    ruling = question.rule(
        lambda **given: (load.heaviest_A(given), ampacity(given) + 0.0 * given["uneven"]),
        "at most",
    )
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
        check=CHECK,
        entry=cord,
        sense="at most",
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
        else _next_cord(need, served.service, served.inlet),
        caution=_CAUTION,
        notes=notes,
        part="ampacity",
    )


def _best_A(load: LegLoad | AtRating, question: Question) -> float:
    return float(load.heaviest_A(question.best_values()))


def _next_cord(need_A: float, service: Service, inlet: Inlet) -> str:
    """Return the smallest cord that carries it."""
    listed = cord_table(service)
    loaded = max(ac.loaded_conductors(system=s) for s in supply_of(service, inlet.supply))
    size = listed.smallest(need_A, loaded)
    if size is None:
        return "No listed cord carries it: run less at once, or use a second inlet."
    heavy = " of the heavy kind (H07RN-F)" if listed.unit == "mm²" else ""
    return f"A cord of {size} or larger{heavy} ({loaded} loaded conductors), or less load at once."


def _protection(served: Served) -> Finding | NotChecked | None:
    """Judge whether a breaker on the dock or at the inlet guards the cord against overload.

    What is not seen of the dock is taken to be what its receptacle is made for. Sets of cord and
    plugs are made for two loaded conductors; a loaded neutral comes in under its ampacity.
    """
    cord, inlet = served.cord, served.inlet
    question = Question()
    try:
        ampacity, sources, steps = ask_cord(question, cord, served.service, _EVEN)
    except TableRangeError:
        return None  # its ampacity says so
    guards = []
    dock, words = dock_breaker(inlet)
    if dock is not None:
        question.noted("dock_A", dock, entry=inlet, field=words, worse="higher")
        guards.append((words, "dock_A"))
    if inlet.breaker.seen:
        question.noted("main_A", inlet.breaker, entry=inlet, field="main breaker", worse="higher")
        guards.append(("main breaker", "main_A"))
    if not guards:
        read = f"the breaker on the dock, and the main breaker of inlet '{inlet.id}'"
        reason = "no breaker that guards it was read"
        return NotChecked(CHECK, cord.id, reason, cord.where, read)

    def least(given: dict[str, Any]) -> Any:
        return np.minimum.reduce(np.broadcast_arrays(*(given[name] for _, name in guards)))

    def guarded(**given: Any) -> tuple[Any, Any]:
        holds = least(given) <= ampacity(given) * (1 + HOLDS_WITHIN)
        return np.where(holds, 1.0, 0.0), np.full_like(holds, THERE, dtype=float)

    ruling = question.rule(guarded, "at least")
    best = question.best_values()
    at_best = units.show(float(least(best)), "current")
    listed = units.show(float(ampacity(best)), "current")
    most = units.show_limit(float(ampacity(best)), "current", sense="at most")
    guard = min(guards, key=lambda each: float(best[each[1]]))[0]
    notes = []
    if (
        guard == "main breaker"
        and dock is not None
        and float(best["dock_A"]) > float(best["main_A"])
    ):
        notes.append(
            f"A fault in the cord itself is cut off by the {words} alone "
            f"({units.show(float(best['dock_A']), 'current')})."
        )
    return question.finding(
        ruling,
        check=CHECK,
        entry=cord,
        sense="at least",
        quantity="presence",
        worst="B",
        statement=lambda _value, _limit: (
            f"Cord '{cord.id}' stands behind {at_best} ({guard}), the least breaker of its line; "
            f"such a cord is listed for {listed}"
            + (": overloaded, no breaker sees it." if ruling.verdict == "inadequate" else ".")
        ),
        working=steps,
        sources=[*sources, table("shore_services").source()],
        remedy=f"A breaker of {most} or less ahead of it, as in the adapter, or at the inlet; or a "
        "cord as large as the breaker.",
        caution=_CAUTION,
        notes=notes,
        part="protection",
    )
