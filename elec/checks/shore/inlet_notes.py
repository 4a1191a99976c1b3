"""What is said beside the load of an inlet: other docks, where volts were not read, and phasors."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from elec import noted, units
from elec.boat.ac_loads import SERVICES, Service
from elec.boat.records import Inlet
from elec.calc.ac import together
from elec.checks.cannot import CannotJudge
from elec.checks.legs.dock_volts import band
from elec.checks.legs.leg_draws import leg_draws
from elec.checks.legs.leg_load import LegLoad
from elec.checks.question import asked_for
from elec.finding import Finding
from elec.judge import HOLDS_WITHIN
from elec.noted import Noted

__all__ = ["by_phasors", "dock_unread", "docks", "elsewhere"]

_HOLDS = ("adequate", "marginal")
_WYE = SERVICES["120/208 V two legs"]


def elsewhere(
    found: Finding,
    judged: Callable[[Inlet], Finding],
    inlet: Inlet,
    service: Service,
    *,
    does: str = "carry",
) -> list[str]:
    """Say what the dock's volts would change that were not read, if they would turn a pass.

    The verdict is at the nominal volts, as loads are rated; a dock may give less or more within
    the published limits of its supply, and 208 V on an inlet for 120/240 V.
    """
    if inlet.supply.seen or found.verdict not in _HOLDS:
        return []

    def at(volts: Noted) -> Finding:
        return judged(inlet.model_copy(update={"supply": volts}))

    text, turns, sides = "", [], set()
    for volts, words in docks(service):
        below = volts < service.supply_V
        if below in sides:
            continue
        other = at(noted.exact(volts, "voltage"))
        if other.verdict in _HOLDS:
            continue
        sides.add(below)
        if not text:
            worst, limit = units.show_against(
                other.value.high, other.limit.low, found.value.quantity, sense="at most"
            )
            text = f"At {units.show(volts, 'voltage')}, {words}, it would {does} {worst}"
            text += f" against {limit}"
        low, high = sorted((volts, service.supply_V))
        span = at(noted.between(low, high, "voltage"))
        ends = [t.adequate_if for t in span.turns_on if t.input.endswith(": supply voltage")]
        turns += [end for end in ends[:1] if end]
    if turns and len(turns) == len(sides):
        text += f"; adequate at {' and '.join(turns)}"
    return [f"{text}."] if text else []


def dock_unread(inlet: Inlet, said: str) -> CannotJudge:
    """Return what could not be judged of what passes, for want of its dock's volts."""
    reason = f"the volts of its dock were not noted. {said}".rstrip(".")
    return CannotJudge(reason, asked_for(inlet, "supply")[1])


def docks(service: Service) -> Iterator[tuple[float, str]]:
    """Yield volts that a dock may give other than its nominal ones, and what dock that is."""
    if service.system == "split-phase":
        yield _WYE.supply_V, "two legs of a 120/208 V wye"
    limits = band(service)
    low, _, high = limits.span
    whose = limits.source.split(", ")[-1]
    yield low, f"the least of {whose}"
    yield high, f"the most of {whose}"


def by_phasors(load: LegLoad, verdict: str, rated_least_A: float, rated_most_A: float) -> list[str]:
    """Say what the heaviest leg carries by phasors, where that would turn a sum that is too much.

    Published methods add amperes; loads of unlike power factors draw less together.
    """
    if len(load.counted) < 2 or verdict in _HOLDS:
        return []
    draws = [c.one for c in load.counted]
    every = leg_draws(draws, load.service, load.supply)
    sure = every.only([row for row, c in enumerate(load.counted) if c.sure])
    none = every.only([])
    nothing: dict[str, Any] = {"always_low_A": none.low, "always_high_A": none.high}
    least = float(together.carried_A(sure.low, high_A=sure.high, **nothing)[0].max())
    most = float(together.carried_A(every.low, high_A=every.high, **nothing)[1].max())
    slack = 1 + HOLDS_WITHIN
    turns = (
        least <= rated_most_A * slack if verdict == "inadequate" else most <= rated_least_A * slack
    )
    if not turns:
        return []
    unread = [c.one.load.id for c in load.counted if c.one.power_factor.origin == "typical"]
    unlike = len({c.one.power_factor.span for c in load.counted}) > 1
    if not (unread or unlike):
        return []
    read = ", ".join(map(repr, unread[:4])) + (", ..." if len(unread) > 4 else "")
    whose = "the heaviest leg" if len(load.service.legs) > 1 else "it"
    return [
        f"Amperes are added, as published methods add them; by phasors {whose} carries "
        f"{units.show_range(least, most, 'current')}"
        + (f": read the power factor of {read}." if read else ", by the power factors noted.")
    ]
