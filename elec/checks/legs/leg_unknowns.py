"""What may not be known of the loads on a source of AC, each brought into a question once.

Their volts, how they draw off their rated volts, which run together, on which legs they are, and
their power factors. An input that is settled is added as well, so that the sums find them all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from elec.boat.ac_loads import AcDraw, Service
from elec.boat.possible import possible, typical
from elec.boat.records import Entry
from elec.checks.legs.dock_volts import SAME_V, between_legs, turns_V, volts_of
from elec.checks.question import Option, Question, Worse
from elec.noted import Noted

__all__ = [
    "Counted",
    "any_share",
    "ask_behaviour",
    "ask_factors",
    "ask_legs",
    "ask_passed",
    "ask_supply",
    "ask_together",
    "few",
]

#: Things named in a sentence; of more it is said how many.
_NAMED = 4


@dataclass(frozen=True)
class Counted:
    """A load that runs, or may run, with the name of its input."""

    one: AcDraw
    name: str
    sure: bool

    @property
    def heats(self) -> bool:
        """Whether it draws as a resistance: more on more volts, in phase with them."""
        return self.one.behaviour == "resistance"


def any_share(source: str) -> Noted:
    """Return a share of which nothing is known."""
    return typical(0.0, 1.0, "fraction", source)


def few(names: Sequence[str]) -> str:
    """Return the first few of some names, and how many more there are."""
    more = len(names) - _NAMED
    return ", ".join(names[:_NAMED]) + (f" and {more} more" if more > 0 else "")


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


def ask_together(
    question: Question, entry: Entry, counted: Sequence[Counted], *, worse: Worse
) -> None:
    """Add the share that runs together of loads whose conditions were not noted."""
    maybe = [f"'{c.one.load.id}'" for c in counted if not c.sure]
    if not maybe:
        question.exact("together", 1.0)
        return
    question.noted(
        "together",
        any_share(f"nothing to all of {few(maybe)}"),
        entry=entry,
        field="share of the loads of unknown condition running together",
        worse=worse,
        read=f"which loads on '{entry.id}' run at the same time",
    )


def ask_legs(question: Question, entry: Entry, *, floating: bool, worse: Worse) -> None:
    """Add how unevenly loads lie on the legs, where the leg of some is not known."""
    if not floating:
        question.exact("uneven", 0.0)
        return
    question.noted(
        "uneven",
        any_share("loads of unknown leg shared evenly (0 %) to all on one leg (100 %)"),
        entry=entry,
        field="unevenness of the legs",
        worse=worse,
        read=f"which leg each breaker of '{entry.id}' is on",
    )


def ask_supply(
    question: Question,
    entry: Entry,
    service: Service,
    supply: Noted,
    counted: Sequence[Counted],
    *,
    nominal: bool,
    opposed: bool,
) -> float:
    """Add the volts of the supply, those of its name where they were not read; return the likely.

    ``nominal`` says that they could have been read, and so are said to have been taken;
    ``opposed`` that more of one load may be less of what is asked.
    """
    if not supply.seen and not nominal:
        question.exact("wye", 0.0)
        question.exact("supply_V", service.supply_V)
        return service.supply_V
    if not supply.seen:
        supply = typical(service.supply_V, service.supply_V, "voltage", "nominal of its service")
        question.exact("wye", float(service.system == "wye two legs"))
    else:
        _ask_wye(question, entry, service, supply, counted)
    worse: Worse = None
    if not opposed and not _answers_two_ways(service, supply, counted):
        # on more volts a heater draws more, a motor or electronics less
        heaters = [c.heats for c in counted]
        worse = "higher" if all(heaters) else "lower" if not any(heaters) else None
    question.noted("supply_V", supply, entry=entry, field="supply", worse=worse)
    return supply.span[1]


def _of_either(service: Service, supply: Noted, counted: Sequence[Counted]) -> bool:
    """Whether volts to neutral depend on what two legs are of: split phase, or a wye.

    208 V between legs is 120 V to neutral in a wye, 240 V is in split phase; volts between the
    limits of the two may be of either.
    """
    low, _, high = supply.span
    wye_to, split_from = turns_V()
    either = len(service.legs) == 2 and low < split_from and high > wye_to
    return either and any(not between_legs(c.one, service) for c in counted)


def _ask_wye(
    question: Question, entry: Entry, service: Service, supply: Noted, counted: Sequence[Counted]
) -> None:
    own = float(service.system == "wye two legs")
    if not _of_either(service, supply, counted):
        question.exact("wye", own)
        return
    question.among(
        "wye",
        [Option(0.0, "two legs of split phase"), Option(1.0, "two legs of a wye")],
        entry=entry,
        field="what its legs are of",
        best=own,
        more="",
        source="both, for volts between the limits of the two",
        read=f"the volts from each leg to neutral at '{entry.id}'",
    )


def _answers_two_ways(service: Service, supply: Noted, counted: Sequence[Counted]) -> bool:
    """Whether a load may draw more, or less, on more volts between legs."""
    low, _, high = supply.span
    any_open = low < high and any(c.one.behaviour_open for c in counted)
    return any_open or _of_either(service, supply, counted)


def ask_behaviour(
    question: Question,
    entry: Entry,
    service: Service,
    supply: Noted,
    counted: Sequence[Counted],
    *,
    worse: Worse,
) -> None:
    """Add how loads of unread behaviour draw off their rated volts: least to greatest."""
    unread, below = [], set()
    for c in counted:
        volts, _ = volts_of(c.one, service, supply)
        if c.one.behaviour_open and np.any(abs(volts / c.one.rated_V - 1) > SAME_V):
            unread.append(repr(c.one.load.id))
            below |= {bool(v < c.one.rated_V) for v in volts}
    if not unread:
        question.exact("draws_most", 0.0)
        return
    labels = ["as whichever draws less", "as whichever draws more"]
    if below == {True}:
        labels = ["as a resistance", "as constant power"]
    elif below == {False}:
        labels = ["as constant power", "as a resistance"]
    names = few(unread)
    question.among(
        "draws_most",
        [Option(float(place), label) for place, label in enumerate(labels)],
        entry=entry,
        field=f"current of {names} off the rated volts",
        worse=worse,
        best=0.0 if below == {False} else 1.0,
        more="",
        source="a resistance or constant power, both considered",
        read=f"what {names} is: a heater, or a motor or electronics",
    )


def ask_factors(question: Question, entry: Entry, counted: Sequence[Counted]) -> None:
    """Add power factors of line-to-neutral loads: noted, or one a leg for those not read.

    Those are asked only where two legs carry some, whose currents may cancel in the neutral.
    """
    low, high, source = possible("power factor not read")
    single = [c for c in counted if len(c.one.legs) == 1]
    unread: dict[str, list[str]] = {}
    for c in single:
        load = c.one.load
        if load.power_factor.seen:
            question.ask(f"factor of {c.name}", load, "power_factor", worse=None)
        elif not c.heats:
            unread.setdefault(c.one.legs[0], []).append(load.id)
    if len({c.one.legs[0] for c in single}) < 2:
        return
    for leg, loads in unread.items():
        question.noted(
            f"factor on {leg}",
            typical(low, high, "ratio", source, best=1.0),
            entry=entry,
            field=f"power factor on {leg}",
            worse=None,
            read=f"power factor on the plates of {', '.join(map(repr, loads))}",
        )
