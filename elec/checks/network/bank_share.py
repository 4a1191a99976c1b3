"""How banks that lie in parallel share what their loads draw."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any, Literal

import numpy as np

from elec import units
from elec.boat.records import BoatFile
from elec.boat.typical import strings_counted
from elec.calc.network import Solution, bank_shares
from elec.checks.network import network_supply
from elec.checks.network.graph import Graph, counted
from elec.checks.network.graph_solve import ask_network
from elec.checks.network.networks import Networks, each_once, networks
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, NotChecked, Step
from elec.judge import Ruling


def _ask_all(drawn: Networks, _boat: BoatFile, _basis: str) -> Iterator[Answer]:
    return each_once(
        answer
        for state in drawn.states()
        if state.conditions and len(state.graph.banks) > 1
        for answer in each(
            "bank-share", [state.graph], partial(_shares, conditions=state.conditions)
        )
    )


def _shares(graph: Graph, conditions: tuple[str, ...]) -> Iterator[Finding | NotChecked]:
    """Judge what each bank gives where most is drawn."""
    condition = max(conditions, key=partial(_drawn_A, graph))
    running = graph.running(condition)
    if not running:
        return
    weakest = network_supply.gives_way(graph, running)
    if weakest is not None and weakest[1]:
        reason = f"'{weakest[0].id}' cannot be supplied '{condition}': no share can be told"
        read = f"what keeps '{weakest[0].id}' from being supplied"
        yield NotChecked("bank-share", graph.id, reason, graph.where, read)
        return
    for number in range(len(graph.banks)):
        share = _Share(graph, condition, number)
        yield share.finding()
        if not share.limited:
            yield share.unlimited()


def _drawn_A(graph: Graph, condition: str) -> float:
    return sum(place.current.span[1] * place.count for place in graph.running(condition))


class _Share:
    """What one of several banks gives, against its maker's limit, or that it takes nothing."""

    def __init__(self, graph: Graph, condition: str, number: int) -> None:
        self.graph, self.condition, self.number = graph, condition, number
        self.bank = graph.banks[number]
        self.limited = self.bank.discharge_limit.seen
        self.question = Question()
        running = graph.running(condition)
        self.solved, self.sources, self.notes = ask_network(
            self.question, graph, running, drop=True
        )
        if self.limited:
            self.question.ask("limit_A", self.bank, "discharge_limit", worse="lower")
        self.first = (
            f"With everything on that runs '{condition}' ({counted(running)}){graph.said}, "
            f"'{self.bank.id}'"
        )

    def _most(self, **given: Any) -> tuple[Any, Any]:
        solution = self.solved(given)
        gives = np.where(solution.supplied, solution.bank_A[..., self.number], np.inf)
        # of strings that were not counted with its fault current, as many as there may be
        strings = strings_counted(self.bank) or given[f"bank_{self.number}_strings"]
        return gives, given.get("limit_A", 0.0) * strings

    def _least(self, **given: Any) -> tuple[Any, Any]:
        return self.solved(given).bank_A[..., self.number], 0.0

    def finding(self) -> Finding:
        bank, graph = self.bank, self.graph
        sense: Literal["at most", "at least"] = "at most" if self.limited else "at least"
        ruling = self.question.rule(self._most if self.limited else self._least, sense)
        best = self.solved(self.question.best_values())
        others = " and ".join(f"'{one.id}'" for one in graph.banks if one is not bank)
        return self.question.finding(
            ruling,
            entry=bank,
            quantity="current",
            worst="B",
            statement=partial(self._statement, ruling, best, others),
            working=self._working(best),
            sources=self.sources,
            remedy=(
                f"Charge them alike before they are joined, or keep '{bank.id}' apart from "
                f"{others} by a switch or a diode."
            ),
            caution="Banks joined at unlike charge drive a current limited by their cables alone.",
            notes=[
                *self.notes,
                "Each bank anywhere from half full to full, apart from the others; no charger or "
                "alternator helping.",
            ],
            part=f"{self.condition}{graph.said}",
        )

    def _statement(
        self, ruling: Ruling, best: Solution, others: str, value: str, limit: str
    ) -> str:
        if self.limited:
            if not np.isfinite(ruling.value.high):
                least_A = units.show(float(ruling.value.low), "current")
                value = f"{least_A} at the least, or cannot give what is asked at all"
            return (
                f"{self.first} in parallel with {others} gives {value}; its maker allows {limit}."
            )
        share = 100 * np.asarray(bank_shares(best))[self.number]
        return (
            f"{self.first} gives {value}, about {share:.0f} % of what it and {others} "
            f"give together; below {limit} the others charge it."
        )

    def _working(self, best: Solution) -> list[Step]:
        shares = 100 * np.asarray(bank_shares(best))
        return [
            Step(
                f"I{number + 1}",
                f"current of '{one.id}', {shares[number]:.1f} % of what the banks give",
                "",
                float(best.bank_A[number]),
                "A",
                "nodal analysis",
            )
            for number, one in enumerate(self.graph.banks)
        ]

    def unlimited(self) -> NotChecked:
        """Say what a bank gives whose discharge limit was not noted, and what would be enough."""
        bank, gives = self.bank, self.question.rule(self._most, "at most").value
        read = f"the most that the maker of '{bank.id}' lets one of its batteries give for long"
        reason = "its discharge limit was not noted"
        if not np.isfinite(gives.high):
            reason += "; the banks may not carry these loads"
        else:
            shown = units.show_range(float(gives.low), float(gives.high), "current")
            enough = units.show_limit(float(gives.high), "current", sense="at least")
            reason += f". {self.first} gives {shown}: {enough} or more is enough"
            if strings_counted(bank) != 1:
                reason += ", its strings together"
        return NotChecked("bank-share", bank.id, reason, bank.where, read)


CHECK = Check(
    name="bank-share",
    judges="how banks in parallel share what their loads draw",
    system="cables and protection",
    place=283,
    of="boat",
    prepare=networks,
    ask=_ask_all,
)
