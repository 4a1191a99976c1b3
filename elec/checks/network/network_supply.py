"""Whether a network can carry its loads at all: past the most it transfers, a voltage collapses."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from elec.checks.network.graph import Graph, Place, counted
from elec.checks.network.graph_solve import Solver, ask_network
from elec.checks.network.network_remedy import Change, cables_by_drop, more_batteries
from elec.checks.network.network_warmth import WARMTH
from elec.checks.question import Question
from elec.finding import Finding

__all__ = ["gives_way", "judge"]


def gives_way(graph: Graph, running: list[Place]) -> tuple[Place, bool] | None:
    """Return the load that gives way where it is hardest, and whether it does all over.

    None where all are carried.
    """
    question = Question()
    solved, _, _ = ask_network(question, graph, running, drop=False)
    hardest = _hardest(question, solved)
    if hardest is None:
        return None
    always = not bool(np.asarray(solved(question.easiest_values()).supplied))
    return running[int(np.asarray(hardest.gives_way))], always


def judge(
    graph: Graph,
    condition: str,
    running: list[Place],
    check: str,
    remedy: Callable[[int], str | None] = lambda _: None,
) -> Finding:
    """Judge the load that gives way first, in a network that cannot, or may not, carry its loads.

    The value is the most that it can be given with all loads raised alike. ``remedy`` is tried
    before what only just carries it.
    """
    question = Question()
    solved, sources, notes = ask_network(question, graph, running, drop=False)
    hardest = _hardest(question, solved)
    number = int(np.asarray(hardest.gives_way))
    place = running[number]
    by_power = place.behaviour == "constant power"
    scale = place.count * (graph.volts if by_power else 1.0)

    def gets(given: dict[str, Any], **changes: Any) -> tuple[Any, Any]:
        asked = given[f"load_{number}_A"] * scale
        return solved(given, **changes).supplied_fraction * asked, asked

    ruling = question.rule(lambda **given: gets(given), "at least")
    quantity = "power" if by_power else "current"
    change = Change(
        cables_by_drop(graph, graph.path(place.bus), hardest), question, gets, "at least"
    )
    others = [(n, one) for n, one in enumerate(running) if one is not place]
    return question.finding(
        ruling,
        check=check,
        entry=place.entry,
        quantity=quantity,
        worst="B",
        statement=lambda value, limit: (
            f"With everything on that runs '{condition}' ({counted(running)}){graph.said}, "
            f"'{place.id}' {_where(graph, place)} "
            + ("cannot be supplied" if ruling.verdict == "inadequate" else "may not be supplied")
            + f": it asks {limit}, and the most that can be transferred to it is {value}, all "
            "loads raised alike. Past that its voltage collapses."
        ),
        sources=sources,
        remedy=remedy(number)
        or change.of_one_run()
        or change.of_all_runs()
        or change.of_a_load(others)
        or more_batteries(question, gets, "carry it")
        or change.of_all_lengths()
        or f"Feed '{place.id}' from a bank near it, or at a higher voltage.",
        notes=[
            *notes,
            f"By physics, {WARMTH}; no charger or alternator helping. That all is carried is the "
            "least: what is lost on the way has a limit of its own.",
        ],
        part=f"{condition}{graph.said}",
    )


def _hardest(question: Question, solved: Solver) -> Any:
    """Return the solution where it is hardest, if not all is carried there."""
    worst = question.worst_values()
    # in a ring no end of a length is the hardest by itself
    longest = {n: np.asarray(question.ends(n)[1]) for n in worst if n.startswith("length_")}
    for given in (worst, worst | longest):
        found = solved(given)
        if not bool(np.asarray(found.supplied)):
            return found
    return None


def _where(graph: Graph, place: Place) -> str:
    """Return where a load lies, in words."""
    if any(bank.id == place.bus for bank in graph.banks):
        return f"at the terminals of '{place.bus}'"
    if place.bus.startswith("end of "):
        return f"at the end of run '{place.bus.removeprefix('end of ')}'"
    return f"at bus '{place.bus}'"
