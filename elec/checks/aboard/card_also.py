"""What a load card weighs beside the legs: real power, and what an inverter passes on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from elec import units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, service_of
from elec.boat.possible import possible
from elec.boat.records import BoatFile, Entry, Generator, Inlet, Inverter
from elec.calc.ac.together import Draws
from elec.checks.aboard.generator_rating import ask_air, engine_factor
from elec.checks.legs.dock_volts import drawn_A
from elec.checks.legs.leg_draws import LegDraws, leg_draws
from elec.checks.legs.real_power import across_V, in_phase, is_unread
from elec.checks.question import Question
from elec.errors import TableRangeError

__all__ = ["Also", "alsos_of", "beside"]

#: Legs and further limits that a search may weigh at once.
_MOST = 8


@dataclass(frozen=True)
class Also:
    """A further limit of a source: what each load adds to it, least and most, and what it is."""

    words: str
    quantity: str
    low: Draws
    high: Draws
    limit_low: float
    limit_high: float

    def may_bind(self) -> bool:
        """Whether everything at once would be more."""
        sizes = abs(self.high.phasor_A) + self.high.any_A
        return float(sizes.sum(axis=0).max(initial=0.0)) > self.limit_low * (1 + 1e-9)


def alsos_of(
    boat: BoatFile, source: Entry, service: Service, draws: Sequence[AcDraw]
) -> tuple[list[Also], list[str]]:
    """Return the limits of a source beside its legs, and what could not be weighed."""
    found: list[Also] = []
    unknown: list[str] = []
    if isinstance(source, Generator) and source.power.seen:
        try:
            question = Question()
            ask_air(question, source)
            left = question.rule(lambda **given: (0.0, engine_factor(given)), "at most").limit
        except TableRangeError:
            unknown.append("Its kW in its air and at its height is not known")
        else:
            low, _, high = source.power.span
            found.append(_watts(draws, service, low * float(left.low), high * float(left.high)))
    if isinstance(source, Inverter) and source.power.seen:
        found.append(_watts(draws, service, source.power.span[0], source.power.span[2]))
    for one in boat.inverter if isinstance(source, Inlet | Generator) else ():
        found += _passed(one, service, draws)
    found = [one for one in found if one.may_bind()]
    return found[: _MOST - len(service.legs)], unknown


def _watts(draws: Sequence[AcDraw], service: Service, low_W: float, high_W: float) -> Also:
    ends = np.zeros((2, len(draws), 1))
    factors = possible("power factor not read")
    for row, (one, real) in enumerate(zip(draws, in_phase(draws), strict=True)):
        least, _, most = drawn_A(real, service, None)
        share = (factors[0], factors[1]) if is_unread(one) else (1.0, 1.0)
        volts = across_V(one, service)
        ends[:, row, 0] = least * volts * share[0] * (not one.perhaps), most * volts * share[1]
    words = f"of its {units.show_range(low_W, high_W, 'power')}"
    return Also(words, "power", _real(ends[0]), _real(ends[1]), low_W, high_W)


def _real(amounts: np.ndarray) -> Draws:
    columns = amounts.shape[1]
    return Draws(amounts.astype(np.complex128), np.zeros(amounts.shape), np.zeros((columns, 2)))


def _passed(one: Inverter, service: Service, draws: Sequence[AcDraw]) -> list[Also]:
    """Return what an inverter passes on, by leg, against its transfer rating."""
    rows = [row for row, draw in enumerate(draws) if draw.load.inlet == one.id]
    if not (one.transfer.seen and rows):
        return []
    own = service_of(one)
    single = own is None or len(own.legs) == 1
    carried = service
    through = [draws[row] for row in rows]
    if single:
        carried = SERVICES["120 V"] if service.to_neutral_V < 200 else SERVICES["230 V"]
        through = [replace(d, legs=carried.legs) for d in through]
    some = leg_draws(through, carried, None)
    low, _, high = one.transfer.span
    words = f"through inverter '{one.id}', which passes on {units.show(low, 'current')}"

    def column(of: Draws, leg: int) -> Draws:
        shape = (len(draws), 1)
        phasors, anywhere = np.zeros(shape, dtype=np.complex128), np.zeros(shape)
        phasors[rows, 0], anywhere[rows, 0] = of.phasor_A[:, leg], of.any_A[:, leg]
        return Draws(phasors, anywhere, of.arc_rad[[leg]])

    return [
        Also(words, "current", column(some.low, leg), column(some.high, leg), low, high)
        for leg in range(len(carried.legs))
    ]


def beside(legs: LegDraws, alsos: Sequence[Also]) -> LegDraws:
    """Return what loads draw on each leg, with the further limits as columns after the legs."""

    def joined(first: Draws, rest: Sequence[Draws]) -> Draws:
        every = [first, *rest]
        return Draws(
            np.hstack([one.phasor_A for one in every]),
            np.hstack([one.any_A for one in every]),
            np.vstack([one.arc_rad for one in every]),
        )

    return LegDraws(
        joined(legs.low, [one.low for one in alsos]), joined(legs.high, [one.high for one in alsos])
    )
