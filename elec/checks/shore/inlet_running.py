"""What runs on an inlet for hours, and with its largest motor starting: verdicts of good practice.

Apart from the rating itself, which ``inlet-load`` judges.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from elec import units
from elec.boat.ac_loads import SERVICES, AcDraw, Service
from elec.boat.possible import possible
from elec.boat.records import BoatFile, Inlet
from elec.calc.ac import demand
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.leg_sums import neutral_of
from elec.checks.legs.running import conditions_ashore, draws_of, in_words, named
from elec.checks.question import Question
from elec.checks.shore.inlet_rating import ask_rating, load_on
from elec.finding import Finding, Step
from elec.published import table

__all__ = ["judge_running"]

#: Services of 120 V to neutral are American, those of 230 V are not.
_AMERICAN_V = 200.0


def judge_running(inlet: Inlet, boat: BoatFile, basis: str) -> Iterator[Finding]:
    """Judge an inlet of known service under each condition at the dock.

    The share of the largest motor is a rule of American conductors: elsewhere a note, no verdict.
    """
    service = SERVICES[inlet.service.word]
    draws = draws_of(boat, inlet, service)
    for conditions in conditions_ashore(boat, draws) if draws else ():
        if not conditions:
            words = "which of its loads run together, and for how long, was not noted"
            raise CannotJudge(words, f"which loads on '{inlet.id}' run at the same time")
        motor = _largest_motor(inlet, service, draws, conditions)
        ours = basis == "us" and service.to_neutral_V < _AMERICAN_V
        turned = [] if ours or motor is None else _elsewhere(motor)
        yield _hours_long(inlet, service, draws, conditions, turned)
        if ours and motor is not None:
            yield motor


def _elsewhere(motor: Finding) -> list[str]:
    """Say what the American rule makes of the largest motor, where it would turn the verdict."""
    if motor.verdict in ("adequate", "marginal"):
        return []
    share, _, _ = possible("largest motor")
    return [
        f"An American rule for conductors on land (NEC 430.24) adds {share * 100:g} % of the "
        f"largest motor: up to {units.show(motor.value.high, 'current')}, above its rating. Advice."
    ]


def _hours_long(
    inlet: Inlet,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: Sequence[str],
    notes: Sequence[str],
) -> Finding:
    question = Question()
    load = load_on(question, inlet, service, draws, conditions, phasors=True)
    sources = ask_rating(question, inlet)
    share, _, _ = possible("hours-long load")
    ruling = question.rule(
        lambda **given: (load.heaviest_A(given), share * given["rating_A"]), "at most"
    )
    over = float(ruling.value.high) / share
    rating = question.best("rating_A")
    heaviest = float(load.heaviest_A(question.best_values()))
    remedy = (
        f"Keep the hours-long part of it to {_amps(share * question.ends('rating_A')[0])} a leg; "
        f"carrying all of it for hours asks for {_amps(over, up=True)} a leg. Shorter peaks up to "
        "the rating are another matter."
    )
    legs = " on its heavier leg" if len(service.legs) > 1 else ""
    return question.finding(
        ruling,
        entry=inlet,
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"Inlet '{inlet.id}' {in_words(conditions)}, if it goes on for hours: {value}{legs}; "
            f"good practice is {limit}, {share * 100:g} % of its rating. "
            "The rating itself is judged apart."
        ),
        working=[
            Step("I", "heavier leg, as under inlet-load", "", heaviest, "A"),
            Step("limit", "share x rating", f"{share:g} x {rating:g}", share * rating, "A"),
            *_neutral(load),
        ],
        sources=[*sources, table("ac_practice").source(field="hours-long load")],
        remedy=remedy,
        notes=[
            "The 80 % binds circuits on land; no clause imposing it on a boat's inlet was found.",
            *notes,
            *_neutral_notes(load),
        ],
        part=f"hours {named(conditions)}",
    )


def _amps(value: float, *, up: bool = False) -> str:
    return units.show_limit(value, "current", sense="at least" if up else "at most")


def _neutral(load: LegLoad) -> list[Step]:
    if len(load.service.legs) < 2 or load.floating:
        return []
    to_neutral = load.to_neutral_A()
    if not any(to_neutral.values()):
        return []
    numbers = " and ".join(f"{leg} {amps:.4g}" for leg, amps in to_neutral.items())
    steps = []
    for system in _systems(load.service):
        current = load.phasor_neutral_A(load.best_values(), system)
        steps.append(
            Step(
                "I(N)",
                f"phasor sum of the line-to-neutral currents, {_SUPPLIES[system]}, "
                "power factors as noted, 1 where not",
                numbers,
                float(current),
                "A",
                "circuit theory",
            )
        )
    return steps


_SUPPLIES = {
    "split-phase": "120/240 V",
    "wye two legs": "two legs of 120/208 V",
    "three-phase wye": "three-phase",
}


def _systems(service: Service) -> tuple[str, ...]:
    # a dock may give either under the same 50 A receptacle
    two = ("split-phase", "wye two legs")
    return two if service.system in two else (service.system,)


def _neutral_notes(load: LegLoad) -> list[str]:
    draws = [c.one for c in load.counted]
    single = [one for one in draws if len(one.legs) < 2]
    if len(load.service.legs) < 2 or not single:
        return []
    notes, most = [], []
    for system in _systems(load.service):
        amps = units.show(neutral_of(draws, load.service, None, system)[2], "current")
        most.append(f"{amps} on {_SUPPLIES[system]}")
    notes.append(
        f"Its neutral may carry up to {', '.join(most)}, whatever the power factors and legs that "
        "were not read."
    )
    if any(o.behaviour == "constant power" and not o.load.third_harmonic.seen for o in single):
        notes.append(
            "Third harmonics of electronic loads add up in the neutral of a 120/208 V or "
            "three-phase dock; those not noted are not in its current."
        )
    if load.service.system in ("split-phase", "wye two legs"):
        notes.append(
            "On two legs of a 120/208 V dock the neutral carries nearly as much as a leg and "
            "counts as loaded: cord and feeder carry less there."
        )
    return notes


def _largest_motor(
    inlet: Inlet, service: Service, draws: Sequence[AcDraw], conditions: Sequence[str]
) -> Finding | None:
    question = Question()
    load = load_on(question, inlet, service, draws, conditions, phasors=True)
    motors = [c for c in load.counted if c.one.behaviour == "motor"]
    if not motors:
        return None
    sources = ask_rating(question, inlet)
    share, _, _ = possible("largest motor")

    def extra_A(given: dict[str, Any]) -> Any:
        each = [load.one_A(c, given) / c.one.load.count for c in motors]
        return demand.largest_motor_extra_A(
            np.stack(np.broadcast_arrays(*each), axis=-1), fraction=share
        )

    ruling = question.rule(
        lambda **given: (load.heaviest_A(given) + extra_A(given), given["rating_A"]), "at most"
    )
    best = question.best_values()
    heaviest = load.heaviest_A(best)
    if heaviest > best["rating_A"]:
        return None  # inlet-load has said so
    largest = max(motors, key=lambda c: float(load.one_A(c, best)) / c.one.load.count)
    amps = float(load.one_A(largest, best)) / largest.one.load.count
    legs = " on its heavier leg" if len(service.legs) > 1 else ""
    over = _amps(max(float(ruling.value.high - ruling.limit.low), 0.0), up=True)
    return question.finding(
        ruling,
        entry=inlet,
        quantity="current",
        worst="B",
        statement=lambda value, limit: (
            f"Inlet '{inlet.id}' {in_words(conditions)}, with {share * 100:g} % of its largest "
            f"motor ('{largest.one.load.id}') added: {value}{legs}; it is rated {limit}."
        ),
        working=[
            Step("I0", "heavier leg, as under inlet-load", "", float(heaviest), "A"),
            Step("I(motor)", "share x largest motor", f"{share:g} x {amps:.4g}", share * amps, "A"),
            Step(
                "I",
                "I0 + I(motor)",
                "",
                float(heaviest + extra_A(best)),
                "A",
            ),
        ],
        sources=[*sources, table("ac_practice").source(field="largest motor")],
        remedy=f"Leave {over} a leg off while '{largest.one.load.id}' is on.",
        notes=[
            "The allowance for the largest motor is that of conductors on land and of the demand "
            "methods; no clause imposing it on a boat's inlet was found."
        ],
        part=f"motor {named(conditions)}",
    )
