"""Motors made for one frequency and fed another: 50 and 60 Hz, at the volts they get."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from elec.boat.ac_loads import SERVICES, AcDraw, Service, practice
from elec.boat.records import BoatFile, Generator, Inlet
from elec.calc import ac
from elec.checks.legs.running import draws_of
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import table

__all__ = ["CHECKS", "check"]

CHECK = "frequency"
CHECKS = (CHECK,)
_OFF_HZ = "frequency of a motor off its plate"
_OFF_BOTH = "volts and frequency of a motor off its plate together"
_SUPPLIES_HZ = (50.0, 60.0)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every motor on an inlet or generator by the frequency on its plate."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    asked: set[str] = set()
    sources: list[Inlet | Generator] = [*boat.inlet, *boat.generator]
    for source in sources:
        if not source.service.seen:
            continue  # inlet-load and generator say so
        service = SERVICES[source.service.word]
        motors = [d for d in _fed(boat, source, service) if d.behaviour == "motor"]
        findings += [_judge(source, service, d) for d in motors if d.load.rated_frequency.seen]
        unread = [d for d in motors if not d.load.rated_frequency.seen and d.load.id not in asked]
        asked.update(d.load.id for d in unread)
        if unread:
            names = ", ".join(f"'{d.load.id}'" for d in unread)
            reason = f"the frequency on the plate was not noted of {names}"
            # where no frequency was noted at all, nothing says that the boat meets another
            asks = source.frequency.seen or any(d not in unread for d in motors)
            read = f"Hz on the plates of the motors on '{source.id}'" if asks else ""
            skipped.append(NotChecked(CHECK, source.id, reason, source.where, read))
    return findings, skipped


def _fed(boat: BoatFile, source: Inlet | Generator, service: Service) -> list[AcDraw]:
    fed = draws_of(boat, source, service)
    if isinstance(source, Generator):
        for inlet in boat.inlet:
            if source.feeds is None or inlet.id in source.feeds:
                fed += draws_of(boat, inlet, service)
    return fed


def _ask_supply_V(
    question: Question, source: Inlet | Generator, service: Service, one: AcDraw
) -> None:
    whole = one.between_legs or len(service.legs) == 1
    supply: Noted | None = source.supply if isinstance(source, Inlet) else None
    if whole and supply is not None and supply.seen:
        question.noted("supply_V", supply, entry=source, field="supply voltage", worse=None)
    elif one.legs:
        question.exact("supply_V", service.supply_V if whole else service.to_neutral_V)
    else:
        low, high = service.to_neutral_V, service.supply_V
        nearer = low if abs(one.rated_V - low) < abs(one.rated_V - high) else high
        question.exact("supply_V", nearer)


def _judge(source: Inlet | Generator, service: Service, one: AcDraw) -> Finding:
    load = one.load
    rated = [float(text) for text in load.rated_frequency.word.removesuffix(" Hz").split("/")]
    question = Question()
    if source.frequency.seen:
        question.noted("supply_Hz", source.frequency, entry=source, field="frequency", worse=None)
    else:
        question.among(
            "supply_Hz",
            [Option(hertz, f"{hertz:g} Hz") for hertz in _SUPPLIES_HZ],
            entry=source,
            field="frequency",
            best=rated[-1],
            more="",
            source="the two frequencies of mains",
            read=f"Hz of '{source.id}'",
        )
    frequency, _, _ = practice(_OFF_HZ)
    both, _, _ = practice(_OFF_BOTH)

    def off_Hz(given: dict[str, Any]) -> Any:
        each = [np.abs(ac.motor_speed_ratio(given["supply_Hz"], rated_Hz=r) - 1) for r in rated]
        return np.minimum.reduce(each)

    def alone(**given: Any) -> tuple[Any, Any]:
        return off_Hz(given), np.full_like(given["supply_Hz"], frequency)

    def together(**given: Any) -> tuple[Any, Any]:
        volts = np.abs(given["supply_V"] / given["rated_V"] - 1)
        return volts + off_Hz(given), both + 0.0 * volts

    ruling, limited = question.rule(alone, "at most"), _OFF_HZ
    if ruling.verdict in ("adequate", "marginal") and load.volts.seen:
        _ask_supply_V(question, source, service, one)
        question.noted("rated_V", load.volts, entry=load, field="volts", worse=None)
        ruling, limited = question.rule(together, "at most"), _OFF_BOTH
    best = question.best("supply_Hz")
    nearest = min(rated, key=lambda hertz: abs(hertz - best))
    what = "frequency" if limited == _OFF_HZ else "volts and frequency together"
    hertz = source.frequency.show() if source.frequency.seen else "a frequency not noted"
    return question.finding(
        ruling,
        check=CHECK,
        entry=load,
        sense="at most",
        quantity="percentage",
        worst="B",
        statement=lambda value, limit: (
            f"'{load.id}' is made for {load.rated_frequency} and gets {hertz} from '{source.id}': "
            f"{what} {value} off its plate; a motor runs at full load within {limit}."
        ),
        working=_working(question, service, best, nearest),
        sources=[table("ac_practice").source(field=limited)],
        remedy="Do not run it on this supply: feed it from one of its own frequency, or replace it "
        "by one made for both."
        if limited == _OFF_HZ
        else "Bring the volts at it nearer to its plate, by tap or transformer, or fit a motor of "
        "this voltage.",
        notes=[] if load.volts.seen else ["Volts of its plate not noted: frequency alone judged."],
        part=f"on '{source.id}'",
    )


def _working(
    question: Question, service: Service, best_Hz: float, rated_Hz: float
) -> Sequence[Step]:
    known = "supply_V" in question.best_values()
    volts = question.best("supply_V") if known else service.supply_V
    rated_V = question.best("rated_V") if known else volts
    ratio = ac.volts_per_hertz_ratio(volts, supply_Hz=best_Hz, rated_V=rated_V, rated_Hz=rated_Hz)
    return [
        Step(
            "n/n rated",
            "speed, by frequency",
            f"{best_Hz:g} / {rated_Hz:g}",
            float(ac.motor_speed_ratio(best_Hz, rated_Hz=rated_Hz)),
            "",
        ),
        Step(
            "V/Hz",
            "flux against that of its plate; above 1 its iron runs hot",
            f"({volts:g} / {best_Hz:g}) / ({rated_V:g} / {rated_Hz:g})",
            float(ratio),
            "",
            "circuit theory",
        ),
    ]
