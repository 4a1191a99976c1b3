"""Demand of an inlet by the published method for boats, its own answer beside two others.

The connected sum, the demand by the method, and what really runs together are three answers; the
method's numbers are tables, provisional where they are from memory, and the user's own replace
them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, practice
from elec.boat.records import BoatFile, Inlet
from elec.checks.legs.demand_method import Method, Roles, boat_method, sorted_by_role
from elec.checks.legs.leg_unknowns import ask_passed
from elec.checks.legs.running import MIDDLE, connected_A, draws_of
from elec.checks.question import Question
from elec.checks.shore.inlet_rating import ask_rating
from elec.checks.shore.inlet_running import judge_running
from elec.errors import InputError
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "inlet-demand"
CHECKS = (CHECK,)
#: What may be left for one inlet of several, of an area that was not measured.
_LEAST_AREA_M2 = 0.1


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every inlet of known service that has loads."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for inlet in boat.inlet:
        if not inlet.service.seen:
            continue  # inlet-load says so
        for answer in (*judge_running(boat, inlet, basis), _by_method(boat, inlet, basis)):
            if isinstance(answer, Finding):
                findings.append(answer)
            elif answer is not None:
                skipped.append(answer)
    return findings, skipped


def _by_method(boat: BoatFile, inlet: Inlet, basis: str) -> Finding | NotChecked | None:
    service = SERVICES[inlet.service.word]
    draws = draws_of(boat, inlet, service)
    if not draws:
        return None
    if basis == "iso" or len(service.legs) > 2 or service.to_neutral_V > 200:
        return NotChecked(
            CHECK,
            inlet.id,
            "no published demand method for this supply is held (the one for boats is of "
            "ABYC E-11 and NFPA 302, for 120 V and 120/240 V): go by what runs together",
        )
    roles = sorted_by_role(draws)
    try:
        return _judge(boat, inlet, service, draws, roles, boat_method())
    except InputError as error:
        return NotChecked(CHECK, inlet.id, f"the method does not reach: {error.message}")


def _area(boat: BoatFile, inlet: Inlet, roles: Roles) -> tuple[Noted | None, str]:
    """Return the living space that an inlet's lights and sockets serve, and what to say of it."""
    if inlet.area.seen:
        return inlet.area, ""
    if not roles.general and not roles.circuits and not roles.portable:
        return None, "No lights or sockets were noted on it: no area taken."
    low, high, source = practice("living area over boat length squared")
    length = boat.boat.length
    least, _, most = length.span if length.seen else (6.0, 0.0, 24.0)
    return noted.between(
        low * least**2 if len(boat.inlet) == 1 else _LEAST_AREA_M2,
        high * most**2,
        "surface",
        origin="typical",
        source=source,
        text="not seen",
    ), "Its living space was not measured."


def _judge(
    boat: BoatFile,
    inlet: Inlet,
    service: Service,
    draws: Sequence[AcDraw],
    roles: Roles,
    method: Method,
) -> Finding:
    question = Question()
    climate = (*roles.cooling, *roles.heating)
    motors = any(draws[i].behaviour == "motor" for i in climate)
    for number, one in enumerate(draws):
        question.noted(
            f"current_{number}_A",
            one.current,
            entry=one.load,
            field="current",
            # more of the one may leave out the other, and with it the largest motor
            worse=None if motors and number in climate else "higher",
        )
    ask_passed(question, inlet, draws, worse="higher")
    area, words = _area(boat, inlet, roles)
    if area is None:
        question.exact("area_m2", 0.0)
    else:
        question.noted("area_m2", area, entry=inlet, field="living space served", worse="higher")
    if any(not one.legs for one in draws):
        share = noted.between(
            0.0,
            1.0,
            "fraction",
            origin="typical",
            text="not seen",
            source="loads of unknown leg shared evenly (0 %) to all on one leg (100 %)",
        )
        question.noted(
            "uneven",
            share,
            entry=inlet,
            field="unevenness of the legs",
            worse="higher",
            read=f"which leg each breaker of '{inlet.id}' is on",
        )
    else:
        question.exact("uneven", 0.0)
    sources = ask_rating(question, inlet)
    names = [f"current_{number}_A" for number in range(len(draws))]

    def parts(given: dict[str, Any], *, metric: bool = False) -> Any:
        amps = [
            given[n] * d.load.count * (given["passed"] if d.perhaps else 1.0)
            for n, d in zip(names, draws, strict=True)
        ]
        return method.demand(
            amps, draws, roles, service, given["area_m2"], given["uneven"], metric=metric
        )

    ruling = question.rule(
        lambda **given: (parts(given).heaviest_A, given["rating_A"] + 0.0 * given["uneven"]),
        "at most",
    )
    best = question.best_values()
    at_best = parts(best)
    by_leg = ", ".join(
        f"{leg} {units.show(float(i), 'current')}"
        for leg, i in zip(service.legs, np.atleast_1d(at_best.total_A), strict=True)
    )
    said = "" if all(question.settled(n) for n in (*names, "area_m2", "passed")) else MIDDLE
    connected = max(connected_A(service, draws, inlet.supply).values())
    notes = [
        f"Three answers: connected {units.show(connected, 'current')} on the heavier leg, which no "
        "rule asks an inlet to carry; demand by the method, here; what really runs together, "
        "under inlet-load.",
        f"By the metric figure ({method.VA_per_m2:g} VA/m²) it is "
        f"{units.show(float(parts(best, metric=True).heaviest_A), 'current')}; the two printed "
        "figures are not conversions of each other.",
    ]
    if words:
        notes.append(words)
    if roles.portable:
        notes.append(
            "Left to the allowance for sockets: "
            + ", ".join(f"'{draws[i].load.id}'" for i in roles.portable)
            + "."
        )
    counted_A = float(np.max(at_best.motor_extra_A)) / method.motor_share
    by_factor = [
        draws[i].load.id
        for i in roles.fixed
        if draws[i].behaviour == "motor" and draws[i].current.span[1] > counted_A
    ]
    if by_factor:
        notes.append(
            f"{', '.join(map(repr, by_factor))}: by a use factor, and so not the largest motor of "
            "the method; that of what runs together may be another."
        )
    return question.finding(
        ruling,
        check=CHECK,
        entry=inlet,
        sense="at most",
        quantity="current",
        worst="C",
        statement=lambda value, limit: (
            f"Demand on inlet '{inlet.id}' by the method for boats ({method.instrument}): {value}"
            + (f" on its heavier leg ({by_leg}{said})" if len(service.legs) > 1 else "")
            + f"; it is rated {limit}."
        ),
        working=_working(method, at_best, best, roles, draws, service),
        sources=[
            *sources,
            *method.sources,
            table("ac_demand_roles").source(),
        ],
        remedy="Divide the loads over another inlet, or fit gear of less demand. Go by what runs "
        "together first: the method's figures are not confirmed.",
        notes=notes,
        part="method",
    )


def _working(
    method: Method,
    at_best: Any,
    best: dict[str, Any],
    roles: Roles,
    draws: Sequence[AcDraw],
    service: Service,
) -> list[Step]:
    feet2 = float(best["area_m2"]) / units.to_base(1.0, "ft²", "surface")
    steps = [
        Step(
            "T",
            "area x density + circuits x allowance",
            f"{feet2:.4g} ft² x {method.VA_per_ft2:g} + {roles.circuit_count(draws)} x "
            f"{method.circuit_VA:g}",
            float(at_best.general_VA),
            "VA",
            method.instrument,
        ),
        Step(
            "I(general)",
            f"(first {method.full_to_VA:g} VA + {method.remainder:.0%} of the rest) / "
            f"{method.volts(service):g} V",
            "",
            float(np.ravel(at_best.general_A)[0]),
            "A",
        ),
    ]
    if roles.range:
        steps.append(
            Step("I(range)", "range table / volts", "", float(np.ravel(at_best.range_A)[0]), "A")
        )
    for place, leg in enumerate(service.legs):
        for symbol, formula, part in (
            ("I(fixed)", "use factors x group factor", at_best.fixed_A),
            ("I(whole)", "counted in full", at_best.nameplate_A),
            ("I(motor)", "share of the largest motor", at_best.motor_extra_A),
            ("I", "sum", at_best.total_A),
        ):
            amps = float(np.atleast_1d(part)[place])
            if amps or symbol == "I":
                steps.append(Step(f"{symbol} {leg}", formula, "", amps, "A"))
    if float(at_best.adrift_A):
        steps.append(Step("I(?)", "loads of unknown leg", "", float(at_best.adrift_A), "A"))
    return steps
