"""How the switches in the runs of a network may stand, and what is then joined."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from elec.boat.records import BoatFile, Run
from elec.checks.cannot import CannotJudge
from elec.checks.network.graph import Graph, graphs_of
from elec.finding import NotChecked

__all__ = ["states"]

#: How many switches of which it was not seen how they stand are tried both ways.
_MOST = 3


def states(
    graph: Graph, boat: BoatFile, basis: str, check: str
) -> Iterator[tuple[Graph, list[str], list[NotChecked]]]:
    """Yield what a network is by how its switches stand, the conditions, and what gets nothing.

    Raises
    ------
    CannotJudge
        If it was not seen of too many how they stand.
    """
    conditions = list(dict.fromkeys(when for place in graph.places for when in place.when))
    switched = [
        c.run for c in graph.cables if not c.run.switch.is_surely("closed") or c.run.closed_when
    ]
    if not switched:
        yield graph, conditions, []
        return
    unseen = [run.id for run in switched if not run.switch.seen]
    if len(unseen) > _MOST:
        names = ", ".join(f"'{one}'" for one in unseen)
        raise CannotJudge(f"how the switches of {names} stand was not seen", "how they stand")
    mine = {bank.id for bank in graph.banks}
    for condition in conditions:
        for stands in product(*(_ways(run, condition) for run in switched)):
            closed = dict(zip((run.id for run in switched), stands, strict=True))
            said = "".join(
                f", '{run}' {'closed' if shut else 'open'}" for run, shut in closed.items()
            )
            apart = frozenset(run for run, shut in closed.items() if not shut)
            graphs, _ = graphs_of(boat, basis, check=check, unread=True, apart=apart)
            fed: set[str] = set()
            for one in graphs:
                if {bank.id for bank in one.banks} <= mine:
                    one.said = said
                    fed |= {place.id for place in one.places}
                    yield one, [condition], []
            off = [place.id for place in graph.running(condition) if place.id not in fed]
            if off:
                names = " and ".join(f"'{one}'" for one in off)
                reason = f"'{condition}'{said}, no bank feeds {names}"
                read = f"how the switches stand '{condition}'"
                yield graph, [], [NotChecked(check, graph.id, reason, graph.banks[0].where, read)]


def _ways(run: Run, condition: str) -> tuple[bool, ...]:
    """Return whether the switch of a run is closed, both ways where that was not seen."""
    if run.closed_when is not None:
        return (condition in run.closed_when,)
    return {"closed": (True,), "open": (False,), "?": (True, False)}[run.switch.text]
