"""How banks that lie in parallel share what their loads draw."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Bank
from elec.boat.typical import strings_counted
from elec.calc.network import bank_shares
from elec.checks.network import network_supply
from elec.checks.network.graph import Graph, counted
from elec.checks.network.graph_solve import ask_network
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step

__all__ = ["CHECK", "judge"]

CHECK = "bank-share"


def judge(graph: Graph, condition: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge what each bank gives: its maker's limit where noted, else that it does not take."""
    running = graph.running(condition)
    if not running:
        return [], []
    weakest = network_supply.gives_way(graph, running)
    if weakest is not None and weakest[1]:
        reason = f"'{weakest[0].id}' cannot be supplied '{condition}': no share can be told"
        read = f"what keeps '{weakest[0].id}' from being supplied"
        return [], [NotChecked(CHECK, graph.id, reason, graph.banks[0].where, read)]
    judged = [_judge(graph, condition, number, bank) for number, bank in enumerate(graph.banks)]
    return [found for found, _ in judged], [left for _, left in judged if left is not None]


def _judge(
    graph: Graph, condition: str, number: int, bank: Bank
) -> tuple[Finding, NotChecked | None]:
    question = Question()
    running = graph.running(condition)
    solved, sources, notes = ask_network(question, graph, running, drop=True)
    limited = bank.discharge_limit.seen
    if limited:
        question.noted(
            "limit_A", bank.discharge_limit, entry=bank, field="discharge limit", worse="lower"
        )
    strings = strings_counted(bank)
    asked = f"bank_{number}_strings"  # with its fault current, where they were not counted

    def most(**given: Any) -> tuple[Any, Any]:
        solution = solved(given)
        gives = np.where(solution.supplied, solution.bank_A[..., number], np.inf)
        return gives, given.get("limit_A", 0.0) * (strings or given[asked])

    def least(**given: Any) -> tuple[Any, Any]:
        return solved(given).bank_A[..., number], 0.0

    gives = most if limited else least
    sense: Any = "at most" if limited else "at least"
    ruling = question.rule(gives, sense)
    best = solved(question.best_values())
    shares = 100 * np.asarray(bank_shares(best))
    others = " and ".join(f"'{one.id}'" for one in graph.banks if one is not bank)
    steps = [
        Step(
            f"I{place}",
            f"current of '{one.id}', {shares[place - 1]:.1f} % of what the banks give",
            "",
            float(best.bank_A[place - 1]),
            "A",
            "nodal analysis",
        )
        for place, one in enumerate(graph.banks, start=1)
    ]
    first = (
        f"With everything on that runs '{condition}' ({counted(running)}){graph.said}, '{bank.id}'"
    )
    span = None if limited else question.rule(most, "at most").value

    def words(value: str, limit: str) -> str:
        if limited:
            if not np.isfinite(ruling.value.high):
                least_A = units.show(float(ruling.value.low), "current")
                value = f"{least_A} at the least, or cannot give what is asked at all"
            return f"{first} in parallel with {others} gives {value}; its maker allows {limit}."
        return (
            f"{first} gives {value}, about {shares[number]:.0f} % of what it and {others} "
            f"give together; below {limit} the others charge it."
        )

    found = question.finding(
        ruling,
        check=CHECK,
        entry=bank,
        sense=sense,
        quantity="current",
        worst="B",
        statement=words,
        working=steps,
        sources=sources,
        remedy=(
            f"Charge them alike before they are joined, or keep '{bank.id}' apart from {others} "
            "by a switch or a diode."
        ),
        caution="Banks joined at unlike charge drive a current limited by their cables alone.",
        notes=[
            *notes,
            "Each bank anywhere from half full to full, apart from the others; no charger or "
            "alternator helping.",
        ],
        part=f"{condition}{graph.said}",
    )
    if span is None:
        return found, None
    return found, _unlimited(bank, f"{first} gives", float(span.low), float(span.high))


def _unlimited(bank: Bank, words: str, low_A: float, high_A: float) -> NotChecked:
    """Say what a bank gives whose discharge limit was not noted, and what limit would be enough."""
    read = f"the most that the maker of '{bank.id}' lets one of its batteries give for long"
    if not np.isfinite(high_A):
        reason = "its discharge limit was not noted; the banks may not carry these loads"
    else:
        shown = units.show_range(low_A, high_A, "current")
        enough = units.show_limit(high_A, "current", sense="at least")
        reason = f"its discharge limit was not noted. {words} {shown}: {enough} or more is enough"
        if strings_counted(bank) != 1:
            reason += ", its strings together"
    return NotChecked(CHECK, bank.id, reason, bank.where, read)
