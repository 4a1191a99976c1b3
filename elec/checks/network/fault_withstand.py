"""Whether a device opens before the smallest fault harms its cable, and what would.

The cable is taken to lose no heat: a method printed for a few seconds. What it fails beyond those
it is not said to fail, for it does lose heat meanwhile; what it passes it passes all the more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.records import BoatFile, Protection
from elec.calc.cables import withstand
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_protection import standard_ratings_A
from elec.checks.cannot import CannotJudge
from elec.checks.network.alternating import listed
from elec.checks.network.opening import OpeningCurve
from elec.checks.network.run_fault import HOLDS, SmallestFault, guarded, smallest_faults
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, NotChecked, Step
from elec.judge import Ruling, Span
from elec.published import table


@dataclass(frozen=True)
class _Beyond:
    """A device that by a published curve opens later than the method can judge."""

    id: str
    curve: OpeningCurve
    words: str
    longest_s: float
    own: bool  # whether the curve is that noted of the device itself


def _ask_all(
    faults: Sequence[SmallestFault | NotChecked], _boat: BoatFile, _basis: str
) -> Iterator[Answer]:
    known: list[SmallestFault] = []
    unknown: list[str] = []
    for one in faults:
        if isinstance(one, NotChecked):
            unknown.append(one.subject)
        elif one.no_curve:
            unknown.append(one.id)
        else:
            known.append(one)
    beyond: list[_Beyond] = []
    yield from each("fault-withstand", known, partial(_in_time, beyond=beyond))
    # a walk yields no curves: one line for each kind of curve tells of what it cannot judge
    for words in dict.fromkeys(one.curve.words for one in beyond):
        alike = [one for one in beyond if one.curve.words == words]
        yield NotChecked("fault-withstand", listed(one.id for one in alike), _why(alike))
    if unknown:
        reason = "when the device opens is not known: see smallest-fault"
        yield NotChecked("fault-withstand", listed(unknown), reason)


def _in_time(fault: SmallestFault, beyond: list[_Beyond]) -> Finding | None:
    """Judge the longest opening time at the smallest fault against what the cable survives."""
    run, device, curve = fault.id, fault.device, fault.curve
    if not fault.holds:
        raise CannotJudge(f"'{device.id}' is not known to open at all on it: see smallest-fault")
    one = _Asked(fault.cable, device, curve)
    if any(np.isnan(one.k_of[round(end)]) for end in one.ends):
        reason = "no short-circuit constant is held for every insulation that it may have"
        raise CannotJudge(reason, f"the temperature printed on '{run}'")
    question, ruling = one.rule(fault.ruling.value)
    late = ruling.verdict == "inadequate" and ruling.limit.high * 3600 > one.longest_s
    if late or (ruling.verdict not in HOLDS and not curve.whole):
        beyond.append(_beyond(fault, ruling, one.longest_s))
        return None
    return question.finding(
        ruling,
        entry=fault.cable.run,
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


def _beyond(fault: SmallestFault, ruling: Ruling, longest_s: float) -> _Beyond:
    """Return what cannot be judged.

    Refused if the curve is the device's own, of which more points can be read.
    """
    device = fault.device
    opens = units.show(ruling.value.high, "duration")
    ends = (units.show(hours, "duration") for hours in (ruling.limit.low, ruling.limit.high))
    survives = " to ".join(dict.fromkeys(ends))
    words = f"'{device.id}' may take {opens} where the cable of '{fault.id}' bears {survives}"
    beyond = _Beyond(fault.id, fault.curve, words, longest_s, device.opens.seen)
    if beyond.own:
        read = f"points of the time-current curve of '{device.id}' nearer to that current"
        raise CannotJudge(_why([beyond]), read)
    return beyond


def _why(alike: Sequence[_Beyond]) -> str:
    first = alike[0]
    seconds = units.show(first.longest_s / 3600, "duration", digits=1)
    whose = "its own curve was" if len(alike) == 1 else "their own curves were"
    maker = "" if first.own else f", and {whose} not noted"
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
        return self.rule(fault, row=row, rating_A=rating_A)[1].verdict in HOLDS


def _remedy(one: _Asked, fault: SmallestFault, ruling: Ruling) -> str | None:
    """Return the largest rating, the smallest size and the longest time with which it holds."""
    if ruling.verdict in HOLDS:
        return None
    current, ways = fault.ruling.value, []
    rated, least_A = one.device.rating, one.cable.load_A()[2]
    if one.curve.of_rating and rated.seen:
        fits = [
            rating
            for rating in standard_ratings_A("common")
            if least_A <= rating < rated.span[2] and one.holds(current, rating_A=rating)
        ]
        if fits:
            ways.append(f"one of {max(fits):g} A of the same kind")
    if larger := fault.larger(lambda row: one.holds(fault.with_row(row).value, row=row)):
        ways.append(larger)
    within = units.show_limit(ruling.limit.low, "duration", sense="at most")
    at = units.show_limit(float(current.low), "current", sense="at most")
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


CHECK = Check(
    name="fault-withstand",
    judges="whether it opens before the cable is harmed",
    system="cables and protection",
    place=272,
    of=guarded,
    prepare=smallest_faults,
    ask=_ask_all,
)
