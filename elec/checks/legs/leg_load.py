"""What a source of AC carries on each leg under a condition, brought into a question.

Legs are summed arithmetically: never less than the phasor sum, so never on the unsafe side. By
phasors where asked, and where the power factor and leg of everything that runs was noted.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from elec.boat.ac_loads import AcDraw, Service, runs
from elec.boat.records import Entry
from elec.calc import ac
from elec.checks.legs.dock_volts import at_V, between_legs, to_neutral_V
from elec.checks.legs.leg_draws import known_angles, within_right_angle
from elec.checks.legs.leg_unknowns import (
    Counted,
    ask_behaviour,
    ask_factors,
    ask_legs,
    ask_passed,
    ask_supply,
    ask_together,
)
from elec.checks.question import Question, Worse
from elec.finding import Step
from elec.noted import Noted, unseen

__all__ = ["LegLoad"]


class LegLoad:
    """The loads of a source that run under a condition, as inputs of a question."""

    def __init__(
        self,
        question: Question,
        *,
        entry: Entry,
        service: Service,
        draws: Sequence[AcDraw],
        conditions: Sequence[str],
        supply: Noted | None = None,
        light: bool = False,
        neutral: bool = False,
        phasors: bool = False,
    ) -> None:
        """Add what runs to ``question``.

        ``phasors`` asks for the phasor sum where every power factor was noted; ``light`` says that
        too little load is what it asks; ``neutral`` that it asks for the current in the neutral,
        which more load on the lighter leg makes less.
        """
        self._question, self.service = question, service
        self.supply = supply or unseen("voltage")
        running = [(one, runs(one.load, conditions[0]) if conditions else None) for one in draws]
        running = [(one, state) for one, state in running if state is not False]
        self._angles = None
        if phasors:
            self._angles = known_angles([one for one, _ in running], service, self.supply)
        more: Worse = "lower" if light else None if neutral else "higher"
        if self._angles and not within_right_angle(self._angles):
            more = None  # a load more may lower the sum
        self.counted = [
            Counted(one, f"current_{number}_A", bool(state))
            for number, (one, state) in enumerate(running)
        ]
        for c in self.counted:
            load = c.one.load
            read = f"the current or power on the plate of '{load.id}'"
            question.noted(
                c.name, c.one.current, entry=load, field="current", worse=more, read=read
            )
        self.supply_V = ask_supply(
            question,
            entry,
            service,
            self.supply,
            self.counted,
            nominal=supply is not None,
            opposed=more is None and bool(self._angles),
        )
        ask_behaviour(question, entry, service, self.supply, self.counted, worse=more)
        ask_together(question, entry, self.counted, worse=more)
        ask_passed(question, entry, [c.one for c in self.counted], worse=more)
        ask_legs(question, entry, floating=bool(self.floating), worse=more)
        if neutral and len(service.legs) > 1:
            ask_factors(question, entry, self.counted)

    @property
    def by_phasors(self) -> bool:
        """Whether legs are summed by phasors, and not the same as amperes."""
        return self._angles is not None

    @property
    def settled(self) -> bool:
        """Whether what runs and what it draws is known exactly."""
        names = [c.name for c in self.counted]
        return all(
            self._question.settled(n)
            for n in (*names, "together", "passed", "supply_V", "wye", "draws_most")
        )

    @property
    def floating(self) -> list[Counted]:
        """Loads whose leg is not known."""
        return [c for c in self.counted if not c.one.legs]

    def _factor(self, counted: Counted, given: dict[str, Any]) -> Any:
        """Return the power factor of a line-to-neutral load; 1 where it was not read or asked."""
        own = counted.one.load.power_factor
        if own.seen:
            return given.get(f"factor of {counted.name}", own.span[1])
        if counted.heats:
            return 1.0
        return given.get(f"factor on {counted.one.legs[0]}", 1.0)

    def phasor_neutral_A(self, given: dict[str, Any], system: str) -> Any:
        """Return the phasor sum of the line-to-neutral loads of known leg, on a supply system."""
        single = [c for c in self.counted if len(c.one.legs) == 1]
        if not single:
            return np.asarray(0.0)
        amps = [self.one_A(c, given) for c in single]
        factors = [self._factor(c, given) for c in single]
        every = np.broadcast_arrays(*amps, *factors)
        neutral = ac.leg_currents_A(
            np.stack(every[: len(single)], axis=-1),
            connection=[f"{c.one.legs[0]}-N" for c in single],
            system=system,
            power_factor=np.stack(every[len(single) :], axis=-1),
            leading=[c.one.leads for c in single],
        ).neutral_A
        # sums that cancel leave what binary fractions of decimals leave
        return np.where(neutral > 1e-9 * sum(every[: len(single)]), neutral, 0.0)

    def one_A(self, counted: Counted, given: dict[str, Any]) -> Any:
        """Return the current of one load at the supply's voltage."""
        one = counted.one
        volts = given["supply_V"]
        if not between_legs(one, self.service):
            # nominal volts are as the trade names them: 120 of 208 V in a wye, not 120.09
            volts = (
                to_neutral_V(self.service, volts, given["wye"])
                if self.supply.seen
                else self.service.to_neutral_V
            )
        current = at_V(one, given[counted.name] * one.load.count, volts, given["draws_most"])
        if one.perhaps:
            current = current * given["passed"]
        return current if counted.sure else current * given["together"]

    def by_leg(
        self, given: dict[str, Any], which: Sequence[Counted] | None = None
    ) -> tuple[dict[str, Any], Any]:
        """Return the sum on each leg, and that of loads of unknown leg."""
        legs: dict[str, Any] = {leg: np.asarray(0.0) for leg in self.service.legs}
        adrift: Any = np.asarray(0.0)
        for counted in self.counted if which is None else which:
            current = self.one_A(counted, given)
            if not counted.one.legs:
                adrift = adrift + current
            for leg in counted.one.legs:  # what is between two legs draws its current on both
                legs[leg] = legs[leg] + current
        return legs, adrift

    def carried(self, given: dict[str, Any]) -> tuple[dict[str, Any], Any]:
        """Return what each leg carries, by phasors where they are known, and what is adrift."""
        if self._angles is None:
            return self.by_leg(given)
        legs: dict[str, Any] = {leg: np.asarray(0j) for leg in self.service.legs}
        for counted in self.counted:
            current = self.one_A(counted, given)
            for leg in counted.one.legs:  # by its power factor, and between which legs it is
                legs[leg] = legs[leg] + current * np.exp(
                    1j * self._angles[counted.one.load.id, leg]
                )
        return {leg: abs(current) for leg, current in legs.items()}, np.asarray(0.0)

    def heaviest_A(self, given: dict[str, Any]) -> Any:
        """Return the current on the heaviest leg."""
        return self.heaviest_of(given, *self.carried(given))

    @staticmethod
    def heaviest_of(given: dict[str, Any], legs: dict[str, Any], adrift: Any) -> Any:
        """Return the heaviest leg, loads of unknown leg shared as the input says."""
        heaviest: Any = np.asarray(0.0)
        total: Any = adrift
        for current in legs.values():
            heaviest = np.maximum(heaviest, current)
            total = total + current
        # shared evenly they fill the lighter legs first, and add to the heaviest what is left then
        even = np.maximum(heaviest, total / len(legs))
        return even + given["uneven"] * (heaviest + adrift - even)

    def total_A(self, given: dict[str, Any]) -> Any:
        """Return the sum over all legs; a load of unknown leg counts once."""
        legs, adrift = self.by_leg(given)
        return adrift + sum(legs.values())

    def best_values(self) -> dict[str, Any]:
        """Return every input at its best value."""
        return self._question.best_values()

    def best(self) -> tuple[dict[str, float], float]:
        """Return the sums at best values."""
        legs, adrift = self.carried(self._question.best_values())
        return {leg: float(value) for leg, value in legs.items()}, float(adrift)

    @property
    def heaters_only(self) -> bool:
        """Whether all that runs is plain resistance."""
        return all(c.heats for c in self.counted)

    def neutral_A(self, given: dict[str, Any]) -> Any:
        """Return the current in the return of the heavier leg, by what the service is."""
        if len(self.service.legs) == 1:
            return self.heaviest_A(given)
        # what is between legs comes back by a leg; of unknown legs all may come back together
        _, adrift = self.by_leg(given, self.floating)
        neutral = self.phasor_neutral_A(given, self.service.system)
        return neutral + np.asarray(given["uneven"]) * adrift

    def to_neutral_A(self) -> dict[str, float]:
        """Return the line-to-neutral sums of each leg at best values."""
        given = self._question.best_values()
        single = [c for c in self.counted if len(c.one.legs) == 1]
        legs, _ = self.by_leg(given, single)
        return {leg: float(value) for leg, value in legs.items()}

    def steps(self) -> list[Step]:
        """Return the sums as arithmetic, at best values."""
        given = self._question.best_values()
        legs, adrift = self.best()
        formula = "sum of what runs"
        if self.by_phasors:
            formula = "phasor sum of what runs, by the power factors noted"
        if abs(self.supply_V - self.service.supply_V) > 1e-9:
            formula += f", at {self.supply_V:g} V"

        def at(c: Counted, leg: str | None) -> str:
            if self._angles is None or leg is None:
                return ""
            return f" at {math.degrees(self._angles[c.one.load.id, leg]):+.1f}°"

        def terms(leg: str | None) -> str:
            found = [
                f"{float(self.one_A(c, given)):.4g} {c.one.load.id}{at(c, leg)}"
                for c in self.counted
                if (leg in c.one.legs if leg else not c.one.legs)
            ]
            return " + ".join(found) or "0"

        steps = [Step(f"I({leg})", formula, terms(leg), total, "A") for leg, total in legs.items()]
        if adrift:
            steps.append(Step("I(?)", "loads of unknown leg", terms(None), adrift, "A"))
        return steps
