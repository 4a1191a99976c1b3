"""How the switches in the runs of a network may stand, and what is then joined."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from elec.boat.records import BoatFile, Run
from elec.checks.cannot import CannotJudge
from elec.checks.network.graph import Graph
from elec.checks.network.graph_runs import graphs_of
from elec.finding import NotChecked

__all__ = ["State", "states"]

#: How many switches of which it was not seen how they stand are tried both ways.
_MOST = 3


@dataclass(frozen=True)
class State:
    """What a network is by how its switches stand, in which conditions, and what gets nothing."""

    graph: Graph
    conditions: tuple[str, ...]
    off: tuple[NotChecked, ...] = ()


def states(graph: Graph, boat: BoatFile, basis: str) -> list[State]:
    """Return a network in every way in which its switches may stand.

    Refused if it was not seen of too many how they stand.
    """
    conditions = tuple(dict.fromkeys(when for place in graph.places for when in place.when))
    switched = [
        c.run for c in graph.cables if not c.run.switch.is_surely("closed") or c.run.closed_when
    ]
    if not switched:
        return [State(graph, conditions)]
    unseen = [run.id for run in switched if not run.switch.seen]
    if len(unseen) > _MOST:
        names = ", ".join(f"'{one}'" for one in unseen)
        raise CannotJudge(f"how the switches of {names} stand was not seen", "how they stand")
    return [
        state
        for condition in conditions
        for stands in product(*(_ways(run, condition) for run in switched))
        for state in _apart(
            graph, boat, basis, condition, dict(zip((r.id for r in switched), stands, strict=True))
        )
    ]


def _apart(
    graph: Graph, boat: BoatFile, basis: str, condition: str, closed: dict[str, bool]
) -> list[State]:
    """Return the networks into which open switches part one, in one condition."""
    said = "".join(f", '{run}' {'closed' if shut else 'open'}" for run, shut in closed.items())
    apart = frozenset(run for run, shut in closed.items() if not shut)
    mine = {bank.id for bank in graph.banks}
    graphs, _ = graphs_of(boat, basis, unread=True, apart=apart)
    parts = [one for one in graphs if {bank.id for bank in one.banks} <= mine]
    for one in parts:
        one.said = said
    fed = {place.id for one in parts for place in one.places}
    off = [place.id for place in graph.running(condition) if place.id not in fed]
    found = [State(one, (condition,)) for one in parts if one.cables]
    if off:
        names = " and ".join(f"'{one}'" for one in off)
        reason = f"'{condition}'{said}, no bank feeds {names}"
        read = f"how the switches stand '{condition}'"
        left = NotChecked("network-drop", graph.id, reason, graph.where, read)
        found.append(State(graph, (), (left,)))
    return found


def _ways(run: Run, condition: str) -> tuple[bool, ...]:
    """Return whether the switch of a run is closed, both ways where that was not seen."""
    if run.closed_when is not None:
        return (condition in run.closed_when,)
    return tuple(word == "closed" for word in run.switch.words)
