"""Leg balance: whether moving breakers from leg to leg would ease the heavier leg."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from elec import units
from elec.boat.ac_loads import AcDraw, Service, service_of
from elec.boat.records import BoatFile, Inlet
from elec.calc.ac import balance
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.running import conditions_ashore, draws_of, in_words
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.judge import MARGIN
from elec.published import table

#: How near the best balance a plan has to come. Our own convention, as the design has it.
_SLACK = 0.02


def _balance(inlet: Inlet, boat: BoatFile, _basis: str) -> Finding | None:
    """Judge an inlet of several legs in the condition that loads it most."""
    service = service_of(inlet)
    if service is None or not inlet.rating.seen or len(service.legs) < 2:
        return None
    draws = [one for one in draws_of(boat, inlet, service) if not one.perhaps]
    if any(not one.legs for one in draws):
        raise CannotJudge(
            "which leg each breaker is on was not noted",
            f"which leg each breaker of '{inlet.id}' is on",
        )
    noted = [conditions for conditions in conditions_ashore(boat, draws) if conditions]
    found = [_judge(inlet, service, draws, conditions) for conditions in noted]
    return max((one for one in found if one), key=lambda one: one.value.best, default=None)


def _judge(
    inlet: Inlet, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> Finding | None:
    load = LegLoad(
        Question(),
        entry=inlet,
        service=service,
        draws=draws,
        conditions=conditions,
        supply=inlet.supply,
    )
    legs, _ = load.best()
    single = [c for c in load.counted if len(c.one.legs) == 1]
    to_neutral = load.to_neutral_A()
    fixed = np.asarray([legs[leg] - to_neutral[leg] for leg in service.legs])
    at_best = load.best_values()
    amps = np.asarray([float(load.one_A(c, at_best)) for c in single])
    now = [service.legs.index(c.one.legs[0]) for c in single]
    plan = balance.fewest_moves(amps, leg_now=now, fixed_A=fixed, slack=_SLACK)
    if not plan.moved:
        return None  # nothing to gain
    best = balance.balanced_legs(amps, fixed_A=fixed)
    question = Question()
    question.exact("worst_A", max(legs.values()))
    # An uneven inlet with plenty in hand needs nothing: what counts is a leg near its rating.
    enough = (1 - MARGIN) * inlet.rating.span[0]
    question.exact("limit_A", max(enough, best.worst_A * (1 + _SLACK)))
    ruling = question.rule(lambda **given: (given["worst_A"], given["limit_A"]), "at most")
    moves = ", ".join(
        f"'{single[i].one.load.id}' to {service.legs[plan.leg[i]]}" for i in plan.moved
    )
    after = units.show(plan.worst_A, "current")
    still = plan.worst_A > inlet.rating.span[0]
    proven = best.bound_A >= best.worst_A * (1 - 1e-9)
    return question.finding(
        ruling,
        entry=inlet,
        quantity="current",
        worst="C",
        statement=lambda value, _limit: (
            f"Legs of inlet '{inlet.id}' {in_words(conditions)}: "
            + ", ".join(f"{leg} {units.show(i, 'current')}" for leg, i in legs.items())
            + f"; the heavier, {value}, could be {units.show(best.worst_A, 'current')} with its "
            "line-to-neutral loads shared out best."
        ),
        working=[
            Step("I best", "least possible heavier leg", "", best.worst_A, "A"),
            Step("I after", f"after moving {moves or 'nothing'}", "", plan.worst_A, "A"),
        ],
        sources=[table("shore_services").source()],
        remedy=f"Move {moves}: the heavier leg comes to {after}"
        + (", still above the rating: manage the loads as well." if still else "."),
        notes=[
            "At best values of the currents."
            + ("" if proven and plan.fewest else " Not proven to be the fewest moves.")
        ],
    )


CHECK = Check(
    name="leg-balance",
    judges="whether moving loads from leg to leg would ease the heavier leg",
    system="shore power",
    place=121,
    of="inlet",
    ask=_balance,
    commands=("inlet",),
)
