"""Whether a device opens before the smallest fault harms its cable, and what would.

The cable is taken to lose no heat: a method printed for a few seconds. What it fails beyond those
it is not said to fail, for it does lose heat meanwhile; what it passes it passes all the more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.records import Protection, Run
from elec.calc.cables import withstand
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_protection import standard_ratings_A
from elec.checks.network.opening import OpeningCurve
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.judge import Ruling, Span
from elec.published import Source, table

__all__ = ["CHECK", "Beyond", "Fault", "judge_in_time", "left_open"]

CHECK = "fault-withstand"
_HOLDS = ("adequate", "marginal")


@dataclass(frozen=True)
class Fault:
    """The smallest fault of a run; ``with_row`` says it for another listed size."""

    current: Span
    with_row: Callable[[int], Span]
    steps: list[Step]
    sources: list[Source]


@dataclass(frozen=True)
class Beyond:
    """A device that by a published curve opens later than the method can judge."""

    run: Run
    device: Protection
    curve: OpeningCurve
    words: str
    longest_s: float


def judge_in_time(
    cable: Cable, device: Protection, curve: OpeningCurve, fault: Fault
) -> Finding | NotChecked | Beyond:
    """Judge the longest opening time at the smallest fault against what the cable survives."""
    where, run = cable.run.where, cable.run.id
    one = _Asked(cable, device, curve)
    if any(np.isnan(one.k_of[round(end)]) for end in one.ends):
        reason = "no short-circuit constant is held for every insulation that it may have"
        return NotChecked(CHECK, run, reason, where, f"the temperature printed on '{run}'")
    question, ruling = one.rule(fault.current)
    beyond = ruling.verdict == "inadequate" and ruling.limit.high * 3600 > one.longest_s
    if beyond or (ruling.verdict not in _HOLDS and not curve.whole):
        return _beyond(cable, device, curve, ruling, one.longest_s)
    return question.finding(
        ruling,
        check=CHECK,
        entry=cable.run,
        sense="at most",
        quantity="duration",
        worst="A",
        statement=lambda value, limit: (
            f"On the smallest fault '{device.id}' opens within {value}; the cable of '{run}' "
            f"survives it for {limit}."
        ),
        working=[*fault.steps, *one.steps(question)],
        sources=[
            *fault.sources,
            *([curve.source] if curve.source else []),
            table("adiabatic_k_copper").source(),
        ],
        remedy=_remedy(one, fault, ruling),
        notes=[
            f"By {curve.words}: the time of its next lower point, nothing between points and "
            "nothing beyond the last. Faults nearer the bank are larger; they are not judged here. "
            "The cable is taken to lose no heat, which is short of the truth beyond "
            f"{one.longest_s:g} s; for insulation without a published constant the "
            "lowest computed one is taken."
        ],
    )


def _beyond(
    cable: Cable, device: Protection, curve: OpeningCurve, ruling: Ruling, longest_s: float
) -> NotChecked | Beyond:
    opens = units.show(ruling.value.high, "duration")
    ends = (units.show(hours, "duration") for hours in (ruling.limit.low, ruling.limit.high))
    survives = " to ".join(dict.fromkeys(ends))
    words = f"'{device.id}' may take {opens} where the cable of '{cable.run.id}' bears {survives}"
    beyond = Beyond(cable.run, device, curve, words, longest_s)
    if not device.opens.seen:
        return beyond
    read = f"points of the time-current curve of '{device.id}' nearer to that current"
    return NotChecked(CHECK, cable.run.id, _why([beyond]), cable.run.where, read)


def left_open(beyond: Sequence[Beyond]) -> list[NotChecked]:
    """Say in one line for each kind of curve what it cannot judge; a walk yields no curves."""
    kinds = dict.fromkeys(one.curve.words for one in beyond)
    return [
        NotChecked(CHECK, ", ".join(dict.fromkeys(one.run.id for one in alike)), _why(alike))
        for words in kinds
        if (alike := [one for one in beyond if one.curve.words == words])
    ]


def _why(alike: Sequence[Beyond]) -> str:
    first = alike[0]
    seconds = units.show(first.longest_s / 3600, "duration", digits=1)
    whose = "its own curve was" if len(alike) == 1 else "their own curves were"
    maker = f", and {whose} not noted" if not first.device.opens.seen else ""
    return (
        f"by {first.curve.words}, on the smallest fault, {'; '.join(one.words for one in alike)} "
        f"if it loses no heat, a method printed for up to {seconds}{maker}"
    )


class _Asked:
    """The question, which can be asked again with another fault, size or rating."""

    def __init__(self, cable: Cable, device: Protection, curve: OpeningCurve) -> None:
        self.cable, self.device, self.curve = cable, device, curve
        self.k_of = _k_by_rating(cable)
        constants = table("adiabatic_k_copper")
        self.longest_s = float(min(constants.numbers("valid_to_s")))
        question = Question()
        cable.ask_insulation(question)
        self.ends = question.ends("insulation")

    def rule(
        self, fault: Span, *, row: int | None = None, rating_A: float | None = None
    ) -> tuple[Question, Ruling]:
        cable, device, question = self.cable, self.device, Question()
        low, best, high = (float(one) for one in (fault.low, fault.best, fault.high))
        current = noted.between(low, high, "current", best=best)
        # a larger fault opens it sooner and harms the cable sooner: neither end is the worst
        question.noted(
            "fault_A", current, entry=cable.run, field="smallest fault current", worse=None
        )
        if row is None:
            cable.ask_size(question, area=True)
        else:
            question.exact("row", row)
            question.exact("small", 0.0)
        cable.ask_insulation(question)
        self.curve.ask_points(question, device)
        if rating_A is None:
            self.curve.ask_rating(question, device)
        else:
            question.exact("rating_A", rating_A)
        return question, question.rule(self._requirement, "at most")

    def _requirement(self, **given: Any) -> tuple[Any, Any]:
        opens_s = self.curve.within_s(given["fault_A"], given["rating_A"], given["upper"])
        return opens_s / 3600, self._survives_s(given) / 3600

    def _survives_s(self, given: dict[str, Any]) -> Any:
        return withstand.withstand_time_s(
            given["fault_A"],
            area_mm2=self.cable.metal_mm2(given),
            k_A_sqrt_s_per_mm2=self._k(given),
        )

    def _k(self, given: dict[str, Any]) -> Any:
        return self.k_of[np.asarray(np.rint(given["insulation"]), dtype=int)]

    def steps(self, question: Question) -> list[Step]:
        best = question.best_values()
        fault_A, rating_A = float(best["fault_A"]), float(best["rating_A"])
        k, area = float(self._k(best)), float(self.cable.metal_mm2(best))
        return [
            Step(
                "t",
                self.curve.place(fault_A, rating_A),
                "",
                float(self.curve.within_s(fault_A, rating_A)),
                "s",
                self.curve.words,
            ),
            Step(
                "ts",
                "(k S / Imin)², no heat lost",
                f"({k:g} x {area:.4g} / {fault_A:.4g})²",
                float(self._survives_s(best)),
                "s",
                "IEC 60364-4-43, 434.5.2",
            ),
        ]

    def holds(self, fault: Span, *, row: int | None = None, rating_A: float | None = None) -> bool:
        return self.rule(fault, row=row, rating_A=rating_A)[1].verdict in _HOLDS


def _remedy(one: _Asked, fault: Fault, ruling: Ruling) -> str | None:
    """Return the largest rating, the smallest size and the longest time with which it holds."""
    if ruling.verdict in _HOLDS:
        return None
    cable, curve, ways = one.cable, one.curve, []
    rated = one.device.rating
    least_A = cable.load_A()[2]
    if curve.of_rating and rated.seen:
        fits = [
            rating
            for rating in standard_ratings_A("common")
            if least_A <= rating < rated.span[2] and one.holds(fault.current, rating_A=rating)
        ]
        if fits:
            ways.append(f"one of {max(fits):g} A of the same kind")
    size = cable.run.size.size
    first = cable.basis.size_rows(size)[0] + 1 if size is not None else 0
    for row in range(first, len(cable.basis.size_labels)):
        if one.holds(fault.with_row(row), row=row):
            ways.append(f"{cable.basis.size_labels[row]} cable or larger")
            break
    within = units.show_limit(ruling.limit.low, "duration", sense="at most")
    at = units.show_limit(float(fault.current.low), "current", sense="at most")
    ways.append(f"a device that opens within {within} at {at}")
    return f"Fit {', or '.join(ways)}."


def _k_by_rating(cable: Cable) -> Any:
    """Return the lowest constant for each insulation rating, of the next higher start listed.

    Thermoplastic softens first, so its start counts wherever one is listed.
    """
    rows = table("adiabatic_k_copper").rows()
    constants = []
    for rated in cable.basis.insulation_C:
        hotter = [row for row in rows if float(row["initial_C"]) >= rated]
        soft = [row for row in hotter if row["kind"] == "thermoplastic"] or hotter
        start = min((float(row["initial_C"]) for row in soft), default=np.nan)
        constants.append(
            min(
                (
                    float(row["k_published_A_sqrt_s_per_mm2"] or row["k_formula_A_sqrt_s_per_mm2"])
                    for row in soft
                    if float(row["initial_C"]) == start
                ),
                default=np.nan,
            )
        )
    return np.array(constants)
