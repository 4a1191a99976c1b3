"""Motors made for one frequency and fed another: 50 and 60 Hz, at the volts they get."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import takewhile
from typing import Any

import numpy as np

from elec.boat.ac_loads import AcDraw, Service, service_of
from elec.boat.possible import possible
from elec.boat.records import BoatFile, Generator, Inlet
from elec.calc import ac
from elec.checks.aboard.sources import fed_by
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, NotChecked, Step
from elec.published import table

_OFF_HZ = "frequency of a motor off its plate"
_OFF_BOTH = "volts and frequency of a motor off its plate together"
_SUPPLIES_HZ = (50.0, 60.0)

_Source = Inlet | Generator


def _sources(boat: BoatFile) -> list[_Source]:
    return [*boat.inlet, *boat.generator]


def _motors(boat: BoatFile, source: _Source) -> list[AcDraw]:
    service = service_of(source)
    fed = fed_by(boat, source, service) if service is not None else []
    return [draw for draw in fed if draw.behaviour == "motor"]


def _frequency(source: _Source, boat: BoatFile, _basis: str) -> Iterator[Finding | NotChecked]:
    """Judge every motor on a source by the frequency on its plate; the unread are one line."""
    service = service_of(source)
    if service is None:
        return  # inlet-load and generator say so
    motors = _motors(boat, source)
    yield from (_judge(source, service, d) for d in motors if d.load.rated_frequency.seen)
    before = takewhile(lambda other: other is not source, _sources(boat))
    said = {d.load.id for other in before for d in _motors(boat, other)}
    unread = [d.load.id for d in motors if not d.load.rated_frequency.seen]
    asked = [f"'{name}'" for name in unread if name not in said]
    if asked:
        reason = f"the frequency on the plate was not noted of {', '.join(asked)}"
        # where no frequency was noted at all, nothing says that the boat meets another
        asks = source.frequency.seen or len(asked) < len(motors)
        read = f"Hz on the plates of the motors on '{source.id}'" if asks else ""
        yield NotChecked("frequency", source.id, reason, source.where, read)


def _ask_supply_Hz(question: Question, source: _Source, likeliest: float) -> None:
    if source.frequency.seen:
        read = f"the frequency of '{source.id}'"
        question.ask("supply_Hz", source, "frequency", worse=None, read=read)
        return
    question.among(
        "supply_Hz",
        [Option(hertz, f"{hertz:g} Hz") for hertz in _SUPPLIES_HZ],
        entry=source,
        field="frequency",
        best=likeliest,
        more="",
        source="the two frequencies of mains",
    )


def _ask_supply_V(question: Question, source: _Source, service: Service, one: AcDraw) -> None:
    whole = one.between_legs or len(service.legs) == 1
    if whole and isinstance(source, Inlet) and source.supply.seen:
        question.noted("supply_V", source.supply, entry=source, field="supply voltage", worse=None)
    elif one.legs:
        question.exact("supply_V", service.supply_V if whole else service.to_neutral_V)
    else:
        low, high = service.to_neutral_V, service.supply_V
        nearer = low if abs(one.rated_V - low) < abs(one.rated_V - high) else high
        question.exact("supply_V", nearer)


def _judge(source: _Source, service: Service, one: AcDraw) -> Finding:
    load = one.load
    rated = [float(text) for text in load.rated_frequency.word.removesuffix(" Hz").split("/")]
    question = Question()
    _ask_supply_Hz(question, source, rated[-1])
    frequency, _, _ = possible(_OFF_HZ)
    both, _, _ = possible(_OFF_BOTH)

    def off_Hz(given: dict[str, Any]) -> Any:
        each = [np.abs(ac.motor_speed_ratio(given["supply_Hz"], rated_Hz=r) - 1) for r in rated]
        return np.minimum.reduce(each)

    def alone(**given: Any) -> tuple[Any, Any]:
        return off_Hz(given), frequency

    def together(**given: Any) -> tuple[Any, Any]:
        return np.abs(given["supply_V"] / given["rated_V"] - 1) + off_Hz(given), both

    ruling, limited = question.rule(alone, "at most"), _OFF_HZ
    if ruling.verdict in ("adequate", "marginal") and load.volts.seen:
        _ask_supply_V(question, source, service, one)
        question.ask("rated_V", load, "volts", worse=None)
        ruling, limited = question.rule(together, "at most"), _OFF_BOTH
    best = question.best("supply_Hz")
    nearest = min(rated, key=lambda hertz: abs(hertz - best))
    what = "frequency" if limited == _OFF_HZ else "volts and frequency together"
    hertz = source.frequency.show() if source.frequency.seen else "a frequency not noted"
    return question.finding(
        ruling,
        entry=load,
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


CHECK = Check(
    name="frequency",
    judges="a motor of 50 or 60 Hz on the other",
    system="AC and generator",
    place=211,
    of=_sources,
    ask=_frequency,
)
