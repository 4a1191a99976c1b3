"""What a source of AC carries on each leg under a condition, brought into a question.

Legs are summed arithmetically: never less than the phasor sum, so never on the unsafe side. By
phasors where asked, and where the power factor and leg of everything that runs was noted.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import noted
from elec.boat.ac_loads import AcDraw, Service, practice, runs
from elec.boat.records import Entry
from elec.calc import ac
from elec.checks.legs.dock_volts import (
    SAME_V,
    at_V,
    between_legs,
    systems,
    to_neutral_V,
    turns_V,
    volts_of,
)
from elec.checks.legs.leg_draws import turn_rad
from elec.checks.question import Option, Question, Worse
from elec.finding import Step
from elec.noted import Noted, unseen

__all__ = ["Counted", "LegLoad", "any_share", "ask_passed"]


def ask_passed(question: Question, entry: Entry, draws: Sequence[AcDraw], *, worse: Worse) -> None:
    """Add whether the inverters of which it was not noted pass shore power on (1) or not (0)."""
    inverters = dict.fromkeys(f"'{one.load.inlet}'" for one in draws if one.perhaps)
    if not inverters:
        question.exact("passed", 1.0)
        return
    names = ", ".join(inverters)
    question.among(
        "passed",
        [Option(0.0, "no"), Option(1.0, "yes")],
        entry=entry,
        field=f"power passed on by inverter {names}",
        worse=worse,
        best=1.0,
        more="",
        source="passed on at the dock, or not",
        read=f"whether inverter {names} passes shore power on, and from which inlet",
    )


@dataclass(frozen=True)
class Counted:
    """A load that runs, or may run, with the name of its input."""

    one: AcDraw
    name: str
    sure: bool


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
        self._more: Worse = "lower" if light else None if neutral else "higher"
        self._question, self._entry, self.service = question, entry, service
        self.supply = supply or unseen("voltage")
        self._angles = self._known_angles(draws, conditions) if phasors else None
        if self._angles and not _within_right_angle(self._angles):
            self._more = None  # a load more may lower the sum
        self.counted: list[Counted] = []
        for number, one in enumerate(draws):
            state = runs(one.load, conditions[0]) if conditions else None
            if state is False:
                continue
            name = f"current_{number}_A"
            question.noted(
                name,
                one.current,
                entry=one.load,
                field="current",
                worse=self._more,
                read=f"the current or power on the plate of '{one.load.id}'",
            )
            self.counted.append(Counted(one, name, bool(state)))
        self.supply_V = self._ask_supply(nominal=supply is not None)
        self._ask_behaviour()
        self._ask_together()
        ask_passed(question, entry, [c.one for c in self.counted], worse=self._more)
        self._ask_legs()
        if neutral and len(service.legs) > 1:
            self._ask_factors()

    def _known_angles(
        self, draws: Sequence[AcDraw], conditions: Sequence[str]
    ) -> dict[tuple[str, str], float] | None:
        """Return how far each current is ahead of its leg, by load and leg; None if not all are."""
        wye = {"wye" in name for name in systems(self.service, self.supply)}
        # a service of split phase on two legs of a wye, or perhaps so: amperes are added
        unlike = len(wye) > 1 or wye != {"wye" in self.service.system}
        found = {}
        for one in draws:
            if conditions and runs(one.load, conditions[0]) is False:
                continue
            factor = one.load.power_factor
            low, _, high = factor.span if factor.seen else (0.0, 0.0, 1.0)
            if low != high or not one.legs or (unlike and len(one.legs) == 2):
                return None
            lag = math.acos(min(low, 1.0))
            for leg in one.legs:
                turn = turn_rad(one, leg) if True in wye else 0.0
                found[one.load.id, leg] = turn + (lag if one.leads else -lag)
        return found if len({round(angle, 9) for angle in found.values()}) > 1 else None

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

    def _ask_supply(self, *, nominal: bool) -> float:
        """Add the volts of the supply, those of its name where they were not read."""
        question, service, supply = self._question, self.service, self.supply
        if not supply.seen and not nominal:
            question.exact("wye", 0.0)
            question.exact("supply_V", service.supply_V)
            return service.supply_V
        if not supply.seen:
            supply = noted.between(
                service.supply_V,
                service.supply_V,
                "voltage",
                origin="typical",
                source="nominal of its service",
                text="not seen",
            )
        low, best, high = supply.span
        self._ask_wye(low, high)
        worse: Worse = None
        if not self._answers_two_ways(low, high):
            heaters = [c.one.behaviour == "resistance" for c in self.counted]
            if self._more is not None or not self._angles:
                worse = "higher" if all(heaters) else "lower" if not any(heaters) else None
        question.noted(
            "supply_V",
            supply,
            entry=self._entry,
            field="supply voltage",
            worse=worse,
            read=f"the voltage at '{self._entry.id}' under load",
        )
        return best

    def _ask_wye(self, low: float, high: float) -> None:
        """Add what two legs are of, where their volts may be of a wye or of split phase."""
        service, (wye_to, split_from) = self.service, turns_V()
        own = float(service.system == "wye two legs")
        either = len(service.legs) == 2 and low < split_from and high > wye_to
        single = any(not between_legs(c.one, service) for c in self.counted)
        if not (either and single and self.supply.seen):
            self._question.exact("wye", own)
            return
        self._question.among(
            "wye",
            [Option(0.0, "two legs of split phase"), Option(1.0, "two legs of a wye")],
            entry=self._entry,
            field="what its legs are of",
            best=own,
            more="",
            source="both, for volts between the limits of the two",
            read=f"the volts from each leg to neutral at '{self._entry.id}'",
        )

    def _answers_two_ways(self, low: float, high: float) -> bool:
        """Whether a load may draw more, or less, on more volts between legs."""
        wye_to, split_from = turns_V()
        crosses = len(self.service.legs) == 2 and low < split_from and high > wye_to
        any_open = low < high and any(c.one.behaviour_open for c in self.counted)
        single = any(not between_legs(c.one, self.service) for c in self.counted)
        return any_open or (crosses and single)

    def _ask_behaviour(self) -> None:
        """Add how loads of unread behaviour draw off their rated volts: least to greatest."""
        unread, ways = [], set()
        for c in self.counted:
            volts, _ = volts_of(c.one, self.service, self.supply)
            if c.one.behaviour_open and np.any(abs(volts / c.one.rated_V - 1) > SAME_V):
                unread.append(c.one.load.id)
                ways |= {bool(v < c.one.rated_V) for v in volts}
        if not unread:
            self._question.exact("draws_most", 0.0)
            return
        labels = ["as a resistance", "as constant power"] if ways == {True} else []
        labels = ["as constant power", "as a resistance"] if ways == {False} else labels
        names = ", ".join(map(repr, unread[:4]))
        names += f" and {len(unread) - 4} more" if len(unread) > 4 else ""
        self._question.among(
            "draws_most",
            [
                Option(float(place), label)
                for place, label in enumerate(
                    labels or ["as whichever draws less", "as whichever draws more"]
                )
            ],
            entry=self._entry,
            field=f"current of {names} off the rated volts",
            worse=self._more,
            best=0.0 if ways == {False} else 1.0,
            more="",
            source="a resistance or constant power, both considered",
            read=f"what {names} is: a heater, or a motor or electronics",
        )

    def _ask_together(self) -> None:
        maybe = [c for c in self.counted if not c.sure]
        if not maybe:
            self._question.exact("together", 1.0)
            return
        names = ", ".join(f"'{c.one.load.id}'" for c in maybe[:4])
        names += f" and {len(maybe) - 4} more" if len(maybe) > 4 else ""
        self._question.noted(
            "together",
            any_share(f"nothing to all of {names}"),
            entry=self._entry,
            field="share of the loads of unknown condition running together",
            worse=self._more,
            read=f"which loads on '{self._entry.id}' run at the same time",
        )

    def _ask_legs(self) -> None:
        if not self.floating:
            self._question.exact("uneven", 0.0)
            return
        self._question.noted(
            "uneven",
            any_share("loads of unknown leg shared evenly (0 %) to all on one leg (100 %)"),
            entry=self._entry,
            field="unevenness of the legs",
            worse=self._more,
            read=f"which leg each breaker of '{self._entry.id}' is on",
        )

    def _ask_factors(self) -> None:
        """Add power factors of line-to-neutral loads: noted, or one a leg for those not read."""
        low, high, source = practice("power factor not read")
        unread: dict[str, list[str]] = {}
        for c in self.counted:
            load, legs = c.one.load, c.one.legs
            if len(legs) != 1:
                continue
            if load.power_factor.seen:
                self._question.noted(
                    f"factor of {c.name}",
                    load.power_factor,
                    entry=load,
                    field="power factor",
                    worse=None,
                )
            elif c.one.behaviour != "resistance":
                unread.setdefault(legs[0], []).append(load.id)
        for leg in unread if len(unread) > 1 or len(self._to_neutral()) > 1 else ():
            self._question.noted(
                f"factor on {leg}",
                noted.between(
                    low, high, "ratio", origin="typical", source=source, text="not seen", best=1.0
                ),
                entry=self._entry,
                field=f"power factor on {leg}",
                worse=None,
                read=f"power factor on the plates of {', '.join(map(repr, unread[leg]))}",
            )

    def _to_neutral(self) -> set[str]:
        """Return the legs that carry loads to neutral."""
        return {c.one.legs[0] for c in self.counted if len(c.one.legs) == 1}

    def _factor(self, counted: Counted, given: dict[str, Any]) -> Any:
        """Return the power factor of a line-to-neutral load; 1 where it was not read or asked."""
        own = counted.one.load.power_factor
        if own.seen:
            return given.get(f"factor of {counted.name}", own.span[1])
        if counted.one.behaviour == "resistance":
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
            nominal = not self.supply.seen
            volts = (
                self.service.to_neutral_V + 0.0 * np.asarray(volts)
                if nominal
                else to_neutral_V(self.service, volts, given["wye"])
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
            for leg in counted.one.legs:
                legs[leg] = legs[leg] + current
        return legs, adrift

    def carried(self, given: dict[str, Any]) -> tuple[dict[str, Any], Any]:
        """Return what each leg carries, by phasors where they are known, and what is adrift."""
        if self._angles is None:
            return self.by_leg(given)
        legs: dict[str, Any] = {leg: np.asarray(0j) for leg in self.service.legs}
        for counted in self.counted:
            current = self.one_A(counted, given)
            for leg in counted.one.legs:
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
        return all(c.one.behaviour == "resistance" for c in self.counted)

    def neutral_A(self, given: dict[str, Any]) -> Any:
        """Return the current in the return of the heavier leg, by what the service is."""
        if len(self.service.legs) == 1:
            return self.heaviest_A(given)
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


def _within_right_angle(angles: dict[tuple[str, str], float]) -> bool:
    """Whether on no leg one load can take anything away from another."""
    by_leg: dict[str, list[float]] = {}
    for (_, leg), angle in angles.items():
        by_leg.setdefault(leg, []).append(angle)
    return all(max(some) - min(some) <= math.pi / 2 for some in by_leg.values())


def any_share(source: str) -> Noted:
    """Return a share of which nothing is known."""
    return noted.between(0.0, 1.0, "fraction", origin="typical", source=source, text="not seen")
