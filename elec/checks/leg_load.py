"""What a source of AC carries on each leg under a condition, brought into a question.

Legs are summed arithmetically: never less than the phasor sum, so never on the unsafe side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from elec import noted
from elec.boat.ac_loads import SERVICES, AcDraw, Service, draw, loads_of, passed_on, practice, runs
from elec.boat.records import STANDARD_CONDITIONS, BoatFile, Entry, Inlet
from elec.calc import ac
from elec.checks.question import Option, Question, Worse
from elec.finding import Step
from elec.noted import Noted, unseen
from elec.published import Source, table

__all__ = [
    "MIDDLE",
    "AtRating",
    "Counted",
    "LegLoad",
    "ask_passed",
    "ask_rating",
    "conditions_ashore",
    "conditions_of",
    "connected_A",
    "draws_of",
    "heaviest_within",
    "in_words",
    "named",
]

_AT_SHORE = "shore"

#: Said of figures that take one value of each range.
MIDDLE = ", taking the likeliest of each range"


def draws_of(boat: BoatFile, source: Entry, service: Service) -> list[AcDraw]:
    """Return what each load on a source draws, noted, typical, or anything it may.

    What an inverter passes on counts on the inlet: at the dock its loads run on shore power.
    """
    draws = [draw(load, service) for load in loads_of(boat, source.id)]
    if isinstance(source, Inlet):
        draws += [
            replace(draw(load, service), perhaps=not sure) for load, sure in passed_on(boat, source)
        ]
    return draws


def conditions_of(draws: Sequence[AcDraw], among: Sequence[str]) -> list[tuple[str, ...]]:
    """Return those of ``among`` that were noted, the same loads in one tuple; else an empty one."""
    named = {name for one in draws for name in one.load.when or ()}
    together: dict[tuple[bool | None, ...], list[str]] = {}
    for condition in among:
        if condition in named:
            state = tuple(runs(d.load, condition) for d in draws)
            together.setdefault(state, []).append(condition)
    return [tuple(names) for names in together.values()] or [()]


def conditions_ashore(boat: BoatFile, draws: Sequence[AcDraw]) -> list[tuple[str, ...]]:
    """Return the conditions at the dock: shore and the boat's own."""
    own = [name for name in boat.boat.conditions if name not in STANDARD_CONDITIONS]
    return conditions_of(draws, [_AT_SHORE, *own])


def named(conditions: Sequence[str]) -> str:
    """Return conditions by their names, nothing if none was noted."""
    return " and ".join(f"'{name}'" for name in conditions)


def in_words(conditions: Sequence[str]) -> str:
    """Return conditions as they stand in a sentence."""
    return f"in {named(conditions)}" if conditions else "whatever runs (no condition was noted)"


def connected_A(service: Service, draws: Sequence[AcDraw]) -> dict[str, float]:
    """Return the sum of everything connected, by leg, at best values and rated voltages.

    Loads on an unknown leg are counted on every leg that they may be on.
    """
    return {
        leg: sum(
            float(one.current.best or 0.0) * one.load.count
            for one in draws
            if not one.legs or leg in one.legs
        )
        for leg in service.legs
    }


def ask_rating(question: Question, inlet: Inlet) -> list[Source]:
    """Add the rating of an inlet, every listed one if it was not read; return its source."""
    services = table("shore_services")
    if inlet.rating.seen:
        question.noted("rating_A", inlet.rating, entry=inlet, field="rating", worse="lower")
        return [services.source()]
    service = SERVICES[inlet.service]
    listed = sorted(
        {
            float(r["rating_A"])
            for r in services.rows()
            if float(r["nominal_V_LN"]) == service.to_neutral_V
            and int(r["hot_legs"]) == len(service.legs)
        }
    )
    question.among(
        "rating_A",
        [Option(v, f"{v:g} A") for v in listed],
        entry=inlet,
        field="rating",
        worse="lower",
        best=listed[len(listed) // 2],
        source="every rating of its service in table shore_services",
        read=f"the rating moulded on inlet '{inlet.id}'",
    )
    return [services.source()]


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
    ) -> None:
        """Add what runs to ``question``.

        ``light`` says that too little load is what it asks; ``neutral`` that it asks for the
        current in the neutral, which more load on the lighter leg makes less.
        """
        self._more: Worse = "lower" if light else None if neutral else "higher"
        self._question, self._entry, self.service = question, entry, service
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
        self.supply_V = self._ask_supply(supply or unseen("voltage"))
        self._ask_together()
        ask_passed(question, entry, [c.one for c in self.counted], worse=self._more)
        self._ask_legs()
        if neutral and len(service.legs) > 1:
            self._ask_factors()

    @property
    def settled(self) -> bool:
        """Whether what runs and what it draws is known exactly."""
        names = [c.name for c in self.counted]
        return all(self._question.settled(n) for n in (*names, "together", "passed", "supply_V"))

    @property
    def floating(self) -> list[Counted]:
        """Loads whose leg is not known."""
        return [c for c in self.counted if not c.one.legs]

    def _ask_supply(self, supply: Noted) -> float:
        question, service = self._question, self.service
        if not supply.seen:
            question.exact("supply_V", service.supply_V)
            return service.supply_V
        affected = [
            c.one.behaviour for c in self.counted if c.one.between_legs or len(service.legs) == 1
        ]
        heaters = [b == "resistance" for b in affected]
        worse: Worse = "higher" if all(heaters) else "lower" if not any(heaters) else None
        question.noted(
            "supply_V",
            supply,
            entry=self._entry,
            field="supply voltage",
            worse=worse,
            read=f"the voltage at '{self._entry.id}' under load",
        )
        return supply.span[1]

    def _ask_together(self) -> None:
        maybe = [c for c in self.counted if not c.sure]
        if not maybe:
            self._question.exact("together", 1.0)
            return
        names = ", ".join(f"'{c.one.load.id}'" for c in maybe[:4])
        names += f" and {len(maybe) - 4} more" if len(maybe) > 4 else ""
        self._question.noted(
            "together",
            _any_share(f"nothing to all of {names}"),
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
            _any_share("loads of unknown leg shared evenly (0 %) to all on one leg (100 %)"),
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
        return ac.leg_currents_A(
            np.stack(every[: len(single)], axis=-1),
            connection=[f"{c.one.legs[0]}-N" for c in single],
            system=system,
            power_factor=np.stack(every[len(single) :], axis=-1),
        ).neutral_A

    def one_A(self, counted: Counted, given: dict[str, Any]) -> Any:
        """Return the current of one load at the supply's voltage."""
        one = counted.one
        current = given[counted.name] * one.load.count
        if one.between_legs or len(self.service.legs) == 1:
            current = ac.current_at_supply_A(
                current,
                rated_V=one.rated_V,
                supply_V=given["supply_V"],
                behaviour=one.behaviour,
            )
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

    def heaviest_A(self, given: dict[str, Any]) -> Any:
        """Return the current on the heaviest leg."""
        return self.heaviest_of(given, *self.by_leg(given))

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
        legs, adrift = self.by_leg(self._question.best_values())
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
        if abs(self.supply_V - self.service.supply_V) > 1e-9:
            formula += f", at {self.supply_V:g} V"

        def terms(leg: str | None) -> str:
            found = [
                f"{float(self.one_A(c, given)):.4g} {c.one.load.id}"
                for c in self.counted
                if (leg in c.one.legs if leg else not c.one.legs)
            ]
            return " + ".join(found) or "0"

        steps = [Step(f"I({leg})", formula, terms(leg), total, "A") for leg, total in legs.items()]
        if adrift:
            steps.append(Step("I(?)", "loads of unknown leg", terms(None), adrift, "A"))
        return steps


class AtRating:
    """What an inlet may carry at most, where it was not noted what runs together."""

    heaters_only = False

    def __init__(
        self, question: Question, *, inlet: Inlet, service: Service, neutral: bool
    ) -> None:
        self.service = service
        ask_rating(question, inlet)
        if len(service.legs) == 1 or not neutral:
            question.exact("uneven", 1.0)
        else:
            question.noted(
                "uneven",
                _any_share("legs even (0 %) to one leg alone (100 %)"),
                entry=inlet,
                field="unevenness of the legs",
                worse="higher",
                read=f"which leg each breaker of '{inlet.id}' is on",
            )

    def heaviest_A(self, given: dict[str, Any]) -> Any:
        """Return the rating."""
        return given["rating_A"] + 0.0 * np.asarray(given["uneven"])

    def neutral_A(self, given: dict[str, Any]) -> Any:
        """Return what comes back in the neutral."""
        return given["rating_A"] * given["uneven"]


def heaviest_within(
    question: Question,
    boat: BoatFile,
    inlet: Inlet,
    draws: Sequence[AcDraw],
    service: Service,
    *,
    neutral: bool = False,
) -> tuple[LegLoad | AtRating, str]:
    """Return the heaviest condition that an inlet carries within its rating, and its words.

    The lightest if none is; the rating itself if no condition was noted. ``neutral`` says that
    what comes back in the neutral matters.
    """

    def load(asked: Question, conditions: tuple[str, ...]) -> LegLoad:
        return LegLoad(
            asked,
            entry=inlet,
            service=service,
            draws=draws,
            conditions=conditions,
            supply=inlet.supply,
            neutral=neutral,
        )

    def amps(conditions: tuple[str, ...]) -> float:
        trial = Question()
        return float(load(trial, conditions).heaviest_A(trial.best_values()))

    by_load = sorted((c for c in conditions_ashore(boat, draws) if c), key=amps)
    if not by_load:
        return AtRating(
            question, inlet=inlet, service=service, neutral=neutral
        ), "at the rating of its inlet"
    fits = by_load
    if inlet.rating.seen:
        most = inlet.rating.span[2] * (1 + 1e-9)
        fits = [c for c in by_load if amps(c) <= most] or by_load[:1]
    return load(question, fits[-1]), f"{in_words(fits[-1])}, the heaviest that its inlet carries"


def _any_share(source: str) -> Noted:
    return noted.between(0.0, 1.0, "fraction", origin="typical", source=source, text="not seen")
