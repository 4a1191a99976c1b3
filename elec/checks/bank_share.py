"""How banks that lie in parallel share what their loads draw."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Bank
from elec.calc.network import bank_shares
from elec.checks.graph import Graph, counted
from elec.checks.graph_solve import ask_network
from elec.checks.question import Question
from elec.finding import Finding, Step

__all__ = ["CHECK", "judge"]

CHECK = "bank-share"


def judge(graph: Graph, condition: str) -> list[Finding]:
    """Judge what each bank gives: its maker's limit where noted, else that it does not take."""
    running = graph.running(condition)
    if not running:
        return []
    return [_judge(graph, condition, number, bank) for number, bank in enumerate(graph.banks)]


def _judge(graph: Graph, condition: str, number: int, bank: Bank) -> Finding:
    question = Question()
    running = graph.running(condition)
    solved, sources, notes = ask_network(question, graph, running, drop=True)
    limited = bank.discharge_limit.seen
    if limited:
        question.noted(
            "limit_A", bank.discharge_limit, entry=bank, field="discharge limit", worse="lower"
        )
    strings = float(bank.in_parallel) if isinstance(bank.in_parallel, int) else 1.0

    def gives(**given: Any) -> tuple[Any, Any]:
        solution = solved(given)
        if limited:
            most = np.where(solution.supplied, solution.bank_A[..., number], np.inf)
            return most, given["limit_A"] * strings
        return bank_shares(solution)[..., number], 0.0

    sense: Any = "at most" if limited else "at least"
    ruling = question.rule(gives, sense)
    best = solved(question.best_values())
    shares = np.asarray(bank_shares(best))
    others = " and ".join(f"'{one.id}'" for one in graph.banks if one is not bank)
    steps = [
        Step(
            f"I{place}",
            f"current of '{one.id}', {shares[place - 1]:.1%} of what the banks give",
            "",
            float(best.bank_A[place - 1]),
            "A",
            "nodal analysis",
        )
        for place, one in enumerate(graph.banks, start=1)
    ]
    first = f"With everything on that runs '{condition}' ({counted(running)}), '{bank.id}'"
    amperes = units.show(float(best.bank_A[number]), "current")

    def words(value: str, limit: str) -> str:
        if limited:
            return f"{first} in parallel with {others} gives {value}; its maker allows {limit}."
        return (
            f"{first} carries {value} of what it and {others} give together, about {amperes}; "
            f"below {limit} the others charge it."
        )

    return question.finding(
        ruling,
        check=CHECK,
        entry=bank,
        sense=sense,
        quantity="current" if limited else "percentage",
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
        part=condition,
    )
