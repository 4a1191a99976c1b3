"""The two requirements of a run, heat and drop, asked with no words to them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from elec.checks.cables import short_time
from elec.checks.cables.cable import Cable
from elec.checks.cables.drop_limits import ask_limit, formula_V
from elec.checks.question import Option, Question
from elec.published import Source, table

__all__ = ["Asked", "ask_drop", "ask_heat", "drop_asked", "heat_asked"]


@dataclass(frozen=True)
class Asked:
    """A requirement of the form "at most", with the inputs it was asked for."""

    question: Question
    requirement: Callable[..., tuple[Any, Any]]

    def holds(self, **replaced: float) -> bool:
        """Whether it holds at the hardest end of everything but what is replaced."""
        known = {
            name: value for name, value in replaced.items() if name in self.question.best_values()
        }
        return self.question.holds_at_worst(self.requirement, "at most", **known)


def drop_asked(cable: Cable) -> Asked:
    """Return the question of drop, with no words to it."""
    return ask_drop(cable)[0]


def ask_drop(cable: Cable) -> tuple[Asked, Callable[[dict[str, Any], str], Any], list[Option]]:
    """Return the question, the drop in volts by a formula, and the standard's limits."""
    question = Question()
    total = cable.ask_current(question)
    cable.ask_size(question, area=True)
    cable.ask_length(question)
    cable.ask_voltage(question)
    limits = ask_limit(cable, question)

    def drop_V(given: dict[str, Any], formula: str) -> Any:
        half_m = given["length_m"] * cable.ways / 2
        return formula_V(total(given), half_m, cable.metal_mm2(given), formula)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return drop_V(given, cable.basis.name) / given["nominal_V"], given["limit"]

    return Asked(question, requirement), drop_V, limits


def heat_asked(cable: Cable) -> Asked:
    """Return the question of heat at its easiest: by duty cycle where the run has one."""
    return ask_heat(cable, cable.short_time or cable.timed, [], [])


def ask_heat(cable: Cable, by_duty: bool, notes: list[str], sources: list[Source]) -> Asked:
    """Return the question of heat: by its duty, or as a continuous load; adds notes and sources."""
    question = Question()
    total = cable.ask_current(question)
    timed = by_duty and cable.run.on_time.seen
    cable.ask_size(question, area=timed)
    cable.ask_insulation(question)
    cable.ask_route(question)
    if timed:
        short_time.ask_time(cable, question, notes)
        sources.append(table("ampacity_surroundings").source(basis=cable.basis.name))
    elif by_duty:
        sources.append(short_time.ask_duty(cable, question, notes))
    else:
        question.exact("duty_multiplier", 1.0)

    def requirement(**given: Any) -> tuple[Any, Any]:
        share = short_time.heating_share(cable, given) if timed else given["duty_multiplier"]
        return total(given) * share, cable.ampacity(given)

    return Asked(question, requirement)
