"""Adapters between the dock's receptacle and the cord: what each gives, and on which legs."""

from __future__ import annotations

from collections.abc import Sequence

from elec import noted
from elec.boat.ac_loads import OF_230_V, SERVICES
from elec.boat.possible import typical
from elec.boat.records import Inlet
from elec.checks.presence import presence_finding
from elec.finding import Finding
from elec.noted import Noted
from elec.published import Source, table

__all__ = [
    "ONE_FEED",
    "TWO_FEEDS",
    "adapter_A",
    "adapter_notes",
    "adapter_source",
    "dock_breaker",
    "judge_legs",
]

#: Gives one line conductor, whatever the inlet has.
ONE_FEED = "one 50 A into 30 A"
#: Two receptacles, each with a cord of its own, side by side.
TWO_FEEDS = "two 30 A into one 50 A"
_GIVES = {TWO_FEEDS: "US_30A_120V", ONE_FEED: "US_30A_120V"}


def adapter_A(inlet: Inlet) -> float | None:
    """Return what a leg behind an inlet's adapter carries, None if none was noted."""
    service_id = _GIVES.get(inlet.adapter.text)
    if service_id is None:
        return None
    return table("shore_services").exact("rating_A", service_id=service_id)


def adapter_source(inlet: Inlet) -> Source:
    """Return where that figure is from."""
    return table("shore_services").source(service_id=_GIVES[inlet.adapter.word])


def dock_breaker(inlet: Inlet) -> tuple[Noted | None, str]:
    """Return the breaker on the dock, read or as its receptacle has it, and what it is."""
    if inlet.pedestal.seen:
        return inlet.pedestal, "breaker on the dock"
    if inlet.adapter.is_surely(ONE_FEED):
        rated_A = table("shore_services").exact("rating_A", service_id="US_50A_120_240V")
        return noted.exact(rated_A, "current"), "breaker of a 50 A receptacle on the dock"
    joined_A = adapter_A(inlet)
    if joined_A is not None:
        return noted.exact(joined_A, "current"), "breakers of the two receptacles on the dock"
    if inlet.rating.seen and _may_step_down(inlet):
        low, best, _ = inlet.rating.span
        most = table("shore_services").exact("rating_A", service_id="US_50A_120_240V")
        source = f"its own receptacle, or by an adapter '{ONE_FEED}', table shore_services"
        dock = typical(low, most, "current", source, best)
        return dock, "breaker on the dock, with an adapter or without"
    if inlet.rating.seen:
        return inlet.rating, "breaker of a receptacle on the dock of the inlet's own rating"
    return None, ""


def _may_step_down(inlet: Inlet) -> bool:
    """Whether an adapter that was not read may put an inlet behind a larger receptacle."""
    given = table("shore_services").exact("rating_A", service_id=_GIVES[ONE_FEED])
    return (
        not inlet.adapter.seen
        and not inlet.service.is_surely(*OF_230_V)
        and inlet.rating.span[0] <= given * (1 + 1e-9)
    )


def adapter_notes(inlet: Inlet) -> Sequence[str]:
    """Say what its adapter brings with it."""
    legs = SERVICES[inlet.service.word].legs
    if inlet.adapter.is_surely(ONE_FEED):
        dock = inlet.pedestal.text if inlet.pedestal.seen else "50 A"
        notes = [
            f"The dock's breaker ({dock}) stands ahead of a 30 A cord and does not protect it, "
            "unless the adapter has a 30 A breaker of its own."
        ]
        if len(legs) > 1:
            notes.append(
                "It gives one leg of 120 V: gear between the legs is dead, and both legs draw on "
                "the one 30 A, so their sum counts."
            )
        return notes
    if inlet.adapter.is_surely(TWO_FEEDS):
        return ["A dock with ground-fault protection often refuses it: the neutral is shared."]
    if not inlet.adapter.seen and len(legs) == 2:
        return [
            "No adapter was noted: its plug fits only a receptacle of its own rating, so the dock "
            "is taken to give that; two 30 A joined into one 50 A give 30 A a leg."
        ]
    return []


def judge_legs(inlet: Inlet) -> Finding | None:
    """Judge whether the two receptacles of an adapter are on opposite legs."""
    if not inlet.adapter.is_surely(TWO_FEEDS):
        return None
    given = inlet.adapter_legs.turned(opposite="yes", same="no")
    return presence_finding(
        given,
        entry=inlet,
        field="adapter_legs",
        labels=("on one leg", "on opposite legs"),
        part="adapter legs",
        words={
            "yes": f"The two 30 A receptacles that feed inlet '{inlet.id}' are on opposite "
            "legs, as they must be.",
            "no": f"The two 30 A receptacles that feed inlet '{inlet.id}' are on one leg: the "
            "neutral carries the sum of both, and gear between the legs is dead.",
            "?": f"Whether the two 30 A receptacles that feed inlet '{inlet.id}' are on "
            "opposite legs was not read: near 240 V or 208 V between them is right, 0 V is "
            "one leg, with the sum of both in the neutral.",
        },
        worst="A" if given.is_surely("no") else "B",
        sources=[table("shore_protection_rules").source(rule_id="adapter_legs")],
        remedy="Use two receptacles with near 240 V or 208 V between them, or one 50 A receptacle.",
        caution="No breaker watches the neutral: it can burn at a current that trips nothing. "
        "Do not use the adapter so."
        if given.is_surely("no")
        else None,
    )
