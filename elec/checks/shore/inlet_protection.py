"""What protects people and boat at a shore inlet: is it there, and what each absence means."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Inlet, Transformer
from elec.boat.typical import length_within
from elec.checks.presence import THERE, presence_finding
from elec.checks.question import Option, Question
from elec.checks.registry import Answer, Check
from elec.checks.shore.inlet_conductors import (
    bond,
    caution,
    double_pole,
    in_words,
    polarity,
    rule,
    transformers_behind,
)
from elec.checks.shore.inlet_heat import judge_heat, to_read
from elec.finding import Finding
from elec.noted import NO, YES, YES_OR_NO, Noted
from elec.published import table

_NAME = "inlet-protection"


def _protection(inlet: Inlet, boat: BoatFile, basis: str) -> Iterator[Answer]:
    """Ask an inlet for each of its protections."""
    behind = transformers_behind(boat, inlet)
    yield _leakage(inlet, boat, basis)
    yield _breaker_distance(inlet, boat, basis)
    if inlet.breaker.seen and inlet.rating.seen:
        yield _breaker_rating(inlet)
    yield double_pole(inlet, basis)
    yield polarity(inlet, behind, basis)
    yield bond(inlet, behind, basis)
    yield from judge_heat(inlet)


def _figure(rule_id: str) -> float:
    row = table("shore_protection_rules").row(rule_id=rule_id)
    return float(units.to_base(float(row["value"]), row["unit"], "length"))


def _leakage(inlet: Inlet, boat: BoatFile, basis: str) -> Finding:
    """Ask for protection that trips on leakage, or an isolation transformer near the inlet."""
    limits = table("leakage_and_trip_limits")
    trip = limits.exact("limit_mA", rule_id="abyc_elci")
    time = limits.exact("trip_time_ms", rule_id="abyc_elci")
    asked = f"at most {trip:g} mA in {time:g} ms"
    near, perhaps = _stands_in(boat, inlet)
    given = inlet.ground_fault_protection
    present = YES if near else YES_OR_NO if given.is_surely("no") and perhaps else given
    notes = []
    for one in perhaps:
        reach = units.show(_figure("leakage_exception"), "length", unit="m")
        notes.append(
            f"Transformer '{one.id}' stands in for it only if it isolates and is within {reach} "
            "(10 ft) of the inlet."
        )
    if given.is_surely("yes") and not near:
        notes.append("That it is there does not say that it trips: press its test button.")
    if basis == "iso":
        notes.append("The clause of ISO 13297 on it was not seen: the figures are those of ABYC.")
    read = to_read(inlet)
    if not present.seen and given.is_surely("no"):
        read = f"whether {in_words(perhaps)} isolates, and its distance from inlet '{inlet.id}'"
    return presence_finding(
        present,
        entry=inlet,
        field="ground_fault_protection"
        if not given.is_surely("no")
        else "isolation transformer in its place",
        part="leakage",
        read=read,
        words={
            "yes": (
                f"Inlet '{inlet.id}' has an isolation transformer near it, which stands in for "
                "leakage protection."
                if near
                else f"Inlet '{inlet.id}' has protection that trips on leakage."
            ),
            "no": f"Inlet '{inlet.id}' has no protection that trips on leakage ({asked}): a fault "
            "into the water or a hand is not cut off.",
            "?": f"Whether inlet '{inlet.id}' has protection that trips on leakage ({asked}) was "
            "not seen."
            if not given.seen
            else f"Inlet '{inlet.id}' has no protection that trips on leakage ({asked}); whether "
            f"{in_words(perhaps)} stands in for it is open.",
        },
        worst="A" if present.is_surely("no") else "B",
        sources=[limits.source(rule_id="abyc_elci"), rule("leakage_exception")],
        remedy=f"Fit a main breaker that trips on leakage, {asked}, near the inlet; whether law or "
        "dock demands it differs by place and by the boat's age.",
        caution=caution(present),
        notes=notes,
    )


def _stands_in(boat: BoatFile, inlet: Inlet) -> tuple[bool, list[Transformer]]:
    """Return whether an isolation transformer surely stands in, and those that may."""
    most = _figure("leakage_exception") * (1 + 1e-9)
    perhaps = []
    for one in transformers_behind(boat, inlet):
        if one.isolating.is_surely("no") or (one.distance.seen and one.distance.span[0] > most):
            continue
        if one.isolating.is_surely("yes") and one.distance.seen and one.distance.span[2] <= most:
            return True, []
        perhaps.append(one)
    return False, perhaps


def _breaker_distance(inlet: Inlet, boat: BoatFile, basis: str) -> Finding:
    rule_id = f"main_breaker_{basis}"
    question = Question()
    noted, read = inlet.breaker_distance, to_read(inlet)
    distance = noted if noted.seen else length_within(boat.boat)
    question.noted(
        "distance_m", distance, entry=inlet, field="breaker_distance", worse="higher", read=read
    )
    most = _figure(rule_id)
    row = table("shore_protection_rules").row(rule_id=rule_id)
    other_way = "the clause's other way, where its distance is impractical"
    if basis == "iso" and distance.span[2] > most:
        question.among(
            "other_way",
            [Option(0.0, "not met"), Option(1.0, "met")],
            entry=inlet,
            field=other_way,
            worse="lower",
            best=0.0,
            more="",
            source="allowed by ISO 13297 in words that were not read",
            read=f"ISO 13297, 13.2: what stands in for a breaker that near inlet '{inlet.id}'",
        )
    else:
        question.exact("other_way", 0.0)

    def requirement(**given: Any) -> tuple[Any, Any]:
        far = given["distance_m"]
        return far, np.where(given["other_way"] > THERE, np.maximum(far, most), most)

    ruling = question.rule(requirement, "at most")
    notes = [f"Status of the rule: {row['status']}.", *_other_rule(distance, basis)]
    feet = row["unit"] != "m"
    return question.finding(
        ruling,
        entry=inlet,
        quantity="length",
        worst="B",
        statement=lambda value, limit: (
            f"The main breaker of inlet '{inlet.id}' is {value} of cable from it; the most is "
            f"{row['value']} {row['unit']}{f', {limit}' if feet else ''} ({row['instrument']})"
            + ("." if feet else ", with another way where that is impractical, which was not read.")
        ),
        sources=[rule(rule_id)],
        remedy="Fit a breaker of the inlet's rating, opening every loaded conductor, within "
        f"{units.show_limit(most, 'length', sense='at most')} of the inlet"
        + (", or as the clause's other way has it." if basis == "iso" else "."),
        caution=caution(inlet.breaker_distance),
        notes=notes,
        part="distance",
    )


def _other_rule(distance: Noted, basis: str) -> list[str]:
    """Say what the rule of the other basis makes of the distance, where it differs."""
    near, far = _figure("main_breaker_iso"), _figure("main_breaker_us")
    least, _, most = distance.span
    if basis == "iso" and most > near and least <= far:
        would = "would do" if most <= far else "may do"
        return [f"By ABYC E-11 it {would}: {units.show(far, 'length', unit='m')} (10 ft)."]
    if basis == "us" and near < most and least <= far:
        return [
            f"By ISO 13297 it {'is' if least > near else 'may be'} too far: {near:g} m, with "
            "another way where that is impractical."
        ]
    return []


def _breaker_rating(inlet: Inlet) -> Finding:
    most, least = inlet.breaker.span, inlet.rating.span
    state = YES if most[2] <= least[0] else NO if most[0] > least[2] else YES_OR_NO
    breaker, rating = inlet.breaker.show(), inlet.rating.show()
    return presence_finding(
        state,
        entry=inlet,
        field="main breaker against its rating",
        labels=("above it", "not above it"),
        part="breaker",
        read=f"the ratings of inlet '{inlet.id}' and of its main breaker",
        words={
            "yes": f"The main breaker of inlet '{inlet.id}' ({breaker}) is not above its rating "
            f"({rating}).",
            "no": f"The main breaker of inlet '{inlet.id}' is {breaker}, above its rating of "
            f"{rating}: it lets the inlet be overloaded.",
            "?": f"Whether the main breaker ({breaker}) of inlet '{inlet.id}' is within its "
            f"rating ({rating}) is open.",
        },
        worst="A",
        sources=[table("shore_services").source()],
        remedy=f"Fit a main breaker of {rating} or less.",
        caution=caution(state),
    )


CHECK = Check(
    name=_NAME,
    judges="leakage protection, main breaker, poles, polarity, bond, heat",
    system="shore power",
    place=141,
    of="inlet",
    ask=_protection,
)
