"""What an inlet is rated for, and the heaviest that it carries within its rating."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from elec.boat.ac_loads import SERVICES, AcDraw, Service
from elec.boat.records import BoatFile, Inlet
from elec.checks.legs.leg_load import LegLoad
from elec.checks.legs.leg_unknowns import any_share
from elec.checks.legs.running import conditions_ashore, in_words
from elec.checks.question import Option, Question
from elec.published import Source, table

__all__ = ["AtRating", "ask_rating", "heaviest_within", "load_on"]


def ask_rating(question: Question, inlet: Inlet) -> list[Source]:
    """Add the rating of an inlet, every listed one if it was not read; return its source."""
    services = table("shore_services")
    if inlet.rating.seen:
        question.ask("rating_A", inlet, "rating", worse="lower")
        return [services.source()]
    service = SERVICES[inlet.service.word]
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


def load_on(
    question: Question,
    inlet: Inlet,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: Sequence[str],
    *,
    neutral: bool = False,
    phasors: bool = False,
) -> LegLoad:
    """Add what runs on an inlet under a condition, at the volts of its dock."""
    return LegLoad(
        question,
        entry=inlet,
        service=service,
        draws=draws,
        conditions=conditions,
        supply=inlet.supply,
        neutral=neutral,
        phasors=phasors,
    )


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
                any_share("legs even (0 %) to one leg alone (100 %)"),
                entry=inlet,
                field="unevenness of the legs",
                worse="higher",
                read=f"which leg each breaker of '{inlet.id}' is on",
            )

    def heaviest_A(self, given: dict[str, Any]) -> Any:
        """Return the rating."""
        return given["rating_A"]

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
    phasors: bool = False,
) -> tuple[LegLoad | AtRating, str]:
    """Return the heaviest condition that an inlet carries within its rating, and its words.

    The lightest if none is; the rating itself if no condition was noted. ``neutral`` says that
    what comes back in the neutral matters; ``phasors`` asks for the phasor sum where every power
    factor was noted.
    """

    def load(asked: Question, conditions: Sequence[str]) -> LegLoad:
        return load_on(asked, inlet, service, draws, conditions, neutral=neutral, phasors=phasors)

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
