"""Demand of an inlet by the published method for boats, its own answer beside two others.

The connected sum, the demand by the method, and what really runs together are three answers; the
method's numbers are tables, provisional where they are from memory, and the user's own replace
them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import units
from elec.boat.ac_loads import SERVICES, AcDraw, Service
from elec.boat.possible import possible, typical
from elec.boat.records import BoatFile, Inlet
from elec.checks.legs.demand_method import Method, Parts, Roles, boat_method, sorted_by_role
from elec.checks.legs.leg_unknowns import ask_legs, ask_passed
from elec.checks.legs.running import MIDDLE, connected_A, draws_of
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.checks.shore.inlet_rating import ask_rating
from elec.checks.shore.inlet_running import judge_running
from elec.errors import InputError
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import Source, table

_NAME = "inlet-demand"
#: What may be left for one inlet of several, of an area that was not measured.
_LEAST_AREA_M2 = 0.1


def _demand(inlet: Inlet, boat: BoatFile, basis: str) -> Iterator[Answer]:
    """Judge an inlet of known service that has loads, by what runs together and by the method."""
    if inlet.service.seen:  # inlet-load says so where it was not
        yield from each(_NAME, [inlet], lambda one: judge_running(one, boat, basis))
        yield from each(_NAME, [inlet], lambda one: _by_method(one, boat, basis))


def _by_method(inlet: Inlet, boat: BoatFile, basis: str) -> Finding | NotChecked | None:
    service = SERVICES[inlet.service.word]
    draws = draws_of(boat, inlet, service)
    if not draws:
        return None
    if basis == "iso" or len(service.legs) > 2 or service.to_neutral_V > 200:
        return NotChecked(
            _NAME,
            inlet.id,
            "no published demand method for this supply is held (the one for boats is of "
            "ABYC E-11 and NFPA 302, for 120 V and 120/240 V): go by what runs together",
        )
    by_method = _ByMethod(inlet, service, draws, sorted_by_role(draws), boat_method())
    try:
        return by_method.judge(boat)
    except InputError as error:
        return NotChecked(_NAME, inlet.id, f"the method does not reach: {error.message}")


def _area(boat: BoatFile, inlet: Inlet, roles: Roles) -> tuple[Noted | None, str]:
    """Return the living space that an inlet's lights and sockets serve, and what to say of it."""
    if inlet.area.seen:
        return inlet.area, ""
    if not roles.general and not roles.circuits and not roles.portable:
        return None, "No lights or sockets were noted on it: no area taken."
    low, high, source = possible("living area over boat length squared")
    length = boat.boat.length
    least, _, most = length.span if length.seen else (6.0, 0.0, 24.0)
    least_m2 = low * least**2 if len(boat.inlet) == 1 else _LEAST_AREA_M2
    area = typical(least_m2, high * most**2, "surface", source)
    return area, "Its living space was not measured."


@dataclass(frozen=True)
class _ByMethod:
    """The loads of an inlet, the part that each plays, and the numbers of the method."""

    inlet: Inlet
    service: Service
    draws: Sequence[AcDraw]
    roles: Roles
    method: Method

    def judge(self, boat: BoatFile) -> Finding:
        inlet = self.inlet
        question = Question()
        sources, said_of_area = self._ask(question, boat)
        ruling = question.rule(
            lambda **given: (self._parts(given).heaviest_A, given["rating_A"]), "at most"
        )
        best = question.best_values()
        parts = self._parts(best)
        by_leg = ", ".join(
            f"{leg} {units.show(float(i), 'current')}"
            for leg, i in zip(self.service.legs, np.atleast_1d(parts.total_A), strict=True)
        )
        loads = map(self._name, range(len(self.draws)))
        settled = all(question.settled(name) for name in (*loads, "area_m2", "passed"))
        on_legs = f" on its heavier leg ({by_leg}{'' if settled else MIDDLE})"
        return question.finding(
            ruling,
            entry=inlet,
            quantity="current",
            worst="C",
            statement=lambda value, limit: (
                f"Demand on inlet '{inlet.id}' by the method for boats "
                f"({self.method.instrument}): {value}"
                f"{on_legs if len(self.service.legs) > 1 else ''}; it is rated {limit}."
            ),
            working=self._working(parts, float(best["area_m2"])),
            sources=[*sources, *self.method.sources, table("ac_demand_roles").source()],
            remedy="Divide the loads over another inlet, or fit gear of less demand. Go by what "
            "runs together first: the method's figures are not confirmed.",
            notes=self._notes(parts, self._parts(best, metric=True), said_of_area),
            part="method",
        )

    @staticmethod
    def _name(number: int) -> str:
        return f"current_{number}_A"

    def _ask(self, question: Question, boat: BoatFile) -> tuple[list[Source], str]:
        """Add what the method counts; return the source of the rating, and what of the area."""
        inlet = self.inlet
        climate = (*self.roles.cooling, *self.roles.heating)
        motors = any(self.draws[i].behaviour == "motor" for i in climate)
        for number, one in enumerate(self.draws):
            question.noted(
                self._name(number),
                one.current,
                entry=one.load,
                field="current",
                # more of the one may leave out the other, and with it the largest motor
                worse=None if motors and number in climate else "higher",
            )
        ask_passed(question, inlet, self.draws, worse="higher")
        area, said = _area(boat, inlet, self.roles)
        if area is None:
            question.exact("area_m2", 0.0)
        else:
            question.noted("area_m2", area, entry=inlet, field="area", worse="higher")
        floating = any(not one.legs for one in self.draws)
        ask_legs(question, inlet, floating=floating, worse="higher")
        return ask_rating(question, inlet), said

    def _parts(self, given: dict[str, Any], *, metric: bool = False) -> Parts:
        amps = [
            given[self._name(number)] * one.load.count * (given["passed"] if one.perhaps else 1.0)
            for number, one in enumerate(self.draws)
        ]
        return self.method.demand(
            amps,
            self.draws,
            self.roles,
            self.service,
            given["area_m2"],
            given["uneven"],
            metric=metric,
        )

    def _notes(self, parts: Parts, metric: Parts, said_of_area: str) -> list[str]:
        draws, roles, method = self.draws, self.roles, self.method
        connected = max(connected_A(self.service, draws, self.inlet.supply).values())
        notes = [
            f"Three answers: connected {units.show(connected, 'current')} on the heavier leg, "
            "which no rule asks an inlet to carry; demand by the method, here; what really runs "
            "together, under inlet-load.",
            f"By the metric figure ({method.VA_per_m2:g} VA/m²) it is "
            f"{units.show(float(metric.heaviest_A), 'current')}; the two printed figures are not "
            "conversions of each other.",
        ]
        if said_of_area:
            notes.append(said_of_area)
        if roles.portable:
            names = ", ".join(f"'{draws[i].load.id}'" for i in roles.portable)
            notes.append(f"Left to the allowance for sockets: {names}.")
        # a motor counted by its use factor is not among those of which the largest adds a share
        counted_A = float(np.max(parts.motor_extra_A)) / method.motor_share
        by_factor = [
            draws[i].load.id
            for i in roles.fixed
            if draws[i].behaviour == "motor" and draws[i].current.span[1] > counted_A
        ]
        if by_factor:
            notes.append(
                f"{', '.join(map(repr, by_factor))}: by a use factor, and so not the largest "
                "motor of the method; that of what runs together may be another."
            )
        return notes

    def _working(self, parts: Parts, area_m2: float) -> list[Step]:
        method = self.method
        feet2 = area_m2 / units.to_base(1.0, "ft²", "surface")
        circuits = self.roles.circuit_count(self.draws)
        steps = [
            Step(
                "T",
                "area x density + circuits x allowance",
                f"{feet2:.4g} ft² x {method.VA_per_ft2:g} + {circuits} x {method.circuit_VA:g}",
                float(parts.general_VA),
                "VA",
                method.instrument,
            ),
            Step(
                "I(general)",
                f"(first {method.full_to_VA:g} VA + {method.remainder:.0%} of the rest) / "
                f"{method.volts(self.service):g} V",
                "",
                float(np.ravel(parts.general_A)[0]),
                "A",
            ),
        ]
        if self.roles.range:
            amps = float(np.ravel(parts.range_A)[0])
            steps.append(Step("I(range)", "range table / volts", "", amps, "A"))
        for place, leg in enumerate(self.service.legs):
            for symbol, formula, part in (
                ("I(fixed)", "use factors x group factor", parts.fixed_A),
                ("I(whole)", "counted in full", parts.nameplate_A),
                ("I(motor)", "share of the largest motor", parts.motor_extra_A),
                ("I", "sum", parts.total_A),
            ):
                amps = float(np.atleast_1d(part)[place])
                if amps or symbol == "I":
                    steps.append(Step(f"{symbol} {leg}", formula, "", amps, "A"))
        if float(parts.adrift_A):
            steps.append(Step("I(?)", "loads of unknown leg", "", float(parts.adrift_A), "A"))
        return steps


CHECK = Check(
    name=_NAME,
    judges="demand by the method for boats; hours-long load; the largest motor",
    system="shore power",
    place=111,
    of="inlet",
    ask=_demand,
    commands=("inlet",),
)
