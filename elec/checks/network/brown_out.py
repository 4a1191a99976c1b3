"""What electronics see while windlass and thrusters run together."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.records import BoatFile, DcLoad, Inverter
from elec.checks.network import network_supply
from elec.checks.network.graph import Graph, Place
from elec.checks.network.graph_solve import Solver, ask_network
from elec.checks.network.network_remedy import MULTIPLES, Change, cables_by_drop, more_batteries
from elec.checks.network.networks import Networks, each_once, listed, networks
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, NotChecked
from elec.noted import Noted

#: Loads whose running together may starve the rest.
_HEAVY = ("windlass", "thruster", "capstan", "crane")


def _ask_all(drawn: Networks, _boat: BoatFile, _basis: str) -> Iterator[Answer]:
    return each_once(
        answer
        for state in drawn.states()
        for condition in state.conditions
        for answer in each("brown-out", [state.graph], partial(_brown_outs, condition=condition))
    )


def _brown_outs(graph: Graph, condition: str) -> Iterator[Finding | NotChecked]:
    """Judge the voltage of each load that needs one, the heavy loads of a condition running."""
    running = graph.running(condition)
    heavy = [place for place in running if any(word in place.words for word in _HEAVY)]
    # what is on the bank at all stays on while the heavy loads run
    seen = [
        place
        for place in graph.places
        if not place.short_time and (_lowest(place).seen or place.electronic)
    ]
    if not heavy or not seen:
        return
    drawing = {place.id for place in running}
    for place in sorted(seen, key=lambda one: -one.current.span[2]):
        if place.id not in drawing:  # an inverter has a place for each condition
            drawing.add(place.id)
            running.append(place)
    seen = [place for place in running if place in seen]
    words = listed([one.id for one in heavy]) + (" run together" if len(heavy) > 1 else " runs")
    weakest = network_supply.gives_way(graph, running)
    if weakest is not None and weakest[1]:
        without = network_supply.gives_way(graph, graph.running(condition))
        if without is None or not without[1]:  # else network-drop tells it
            yield network_supply.judge(graph, condition, running, "brown-out")
        reason = f"'{weakest[0].id}' cannot be supplied while {words}: no voltage can be told"
        read = f"what keeps '{weakest[0].id}' from being supplied"
        for place in seen:
            yield NotChecked("brown-out", place.id, reason, place.entry.where, read)
        return
    wanting = []
    for place in seen:
        if place.beyond:
            reason = f"the size of '{place.beyond}', which feeds it, was not read"
            read = f"the size of the cable of '{place.beyond}'"
            yield NotChecked("brown-out", place.id, reason, place.entry.where, read)
        elif _lowest(place).seen:
            yield _judge(graph, running, place, words, condition)
        else:
            wanting.append(place)
    if wanting:
        yield _wanting(graph, running, wanting, words)


def _judge(
    graph: Graph, together: list[Place], place: Place, words: str, condition: str
) -> Finding:
    question = Question()
    solved, sources, notes = ask_network(question, graph, together, drop=False)
    lowest = _lowest(place)
    question.noted("lowest_V", lowest, entry=place.entry, field="lowest_voltage", worse="higher")
    number = together.index(place)

    def sees(given: dict[str, Any], **changes: Any) -> tuple[Any, Any]:
        solution = solved(given, **changes)
        # where the loads cannot be supplied there is no voltage to be told
        volts = np.where(solution.supplied, solution.load_V[..., number], -np.inf)
        return volts, given["lowest_V"]

    ruling = question.rule(lambda **given: sees(given), "at least")
    remedy = None
    if ruling.verdict in ("inadequate", "undetermined"):
        remedy = _remedy(graph, together, place, question, solved, sees)

    def statement(value: str, limit: str) -> str:
        if np.isinf(ruling.value.low):
            most = units.show(float(ruling.value.high), "voltage")
            value = f"{most} at most, or the loads cannot be supplied at all"
        return f"While {words}{graph.said}, '{place.id}' sees {value}; it needs {limit}."

    return question.finding(
        ruling,
        entry=place.entry,
        quantity="voltage",
        worst="B",
        statement=statement,
        sources=sources,
        remedy=remedy,
        notes=[*notes, "The bank from half full to full, no charger or alternator helping."],
        part=f"{condition}{graph.said}",
    )


def _remedy(
    graph: Graph,
    together: list[Place],
    place: Place,
    question: Question,
    solved: Solver,
    sees: Any,
) -> str:
    path = graph.path(place.bus)
    cables = cables_by_drop(graph, path, solved(question.worst_values()))
    change = Change(cables, question, sees, "at least")
    if larger := change.of_one_run() or change.of_all_runs():
        return larger
    other = f"feed '{place.id}' from another bank, or through a converter that holds its voltage"
    if more := more_batteries(question, sees, "hold the voltage up"):
        return f"{more.removesuffix('.')}; or {other}."
    others = [(n, one) for n, one in enumerate(together) if one is not place]
    if off := change.of_a_load(others):
        return off
    return (
        f"Neither larger cables on its way, nor a load left off, nor {MULTIPLES[-1]} times the "
        f"batteries is enough: {other}."
    )


def _wanting(graph: Graph, together: list[Place], wanting: list[Place], words: str) -> NotChecked:
    """Say what the loads see whose lowest voltage was not noted."""
    question = Question()
    solved, _, _ = ask_network(question, graph, together, drop=False)
    best = solved(question.best_values())
    volts = [float(np.asarray(best.load_V[..., together.index(place)])) for place in wanting]
    names = listed([place.id for place in wanting])
    if not bool(np.asarray(best.supplied)):
        seen = f"the bank cannot carry them while {words}"
    elif len(set(volts)) > 1:
        shown = units.show_range(min(volts), max(volts), "voltage")
        seen = f"they see about {shown} while {words}"
    else:
        seen = f"about {units.show(volts[0], 'voltage')} is there while {words}"
    verb = "work" if len(wanting) > 1 else "works"
    reason = f"the lowest voltage that {names} {verb} at was not noted; {seen}"
    read = f"the lowest supply voltage of {names}, on the plate or in the papers"
    return NotChecked("brown-out", graph.id, reason, None, read)


def _lowest(place: Place) -> Noted:
    if isinstance(place.entry, (DcLoad, Inverter)):
        return place.entry.lowest_voltage
    return noted.unseen("voltage")


CHECK = Check(
    name="brown-out",
    judges="what electronics see while windlass and thrusters run",
    system="cables and protection",
    place=282,
    of="boat",
    prepare=networks,
    ask=_ask_all,
)
