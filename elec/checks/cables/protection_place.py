"""How far a fuse or breaker stands from its source, along the conductor.

The rules of one family give the verdict; where the law for petrol boats says otherwise it is told.
What was not noted about the conductor leaves the answer open and is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Alternator, Bank, BoatFile, Bus, Charger, Protection, Run
from elec.calc.cables import placement
from elec.checks.cables.place_rules import FAMILIES, LAW, distances_m
from elec.checks.cables.run_ampacity import HOT
from elec.checks.cables.run_load import carries
from elec.checks.cables.run_protection import feeds_cranking
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question, asked_for
from elec.checks.registry import Check
from elec.finding import Finding, Step, TurnsOn, Verdict
from elec.noted import Choice
from elec.published import Source, table

__all__ = ["CHECK", "judge"]

#: What is asked aboard about the facts of the rules that are no fields of a device.
_ASK = {
    "charging_source": "whether a charger or alternator feeds '{0}'",
    "cranking": "whether '{0}' is in the feed of a cranking motor",
}
_HOLDS = ("adequate", "marginal")


def _place(device: Protection, boat: BoatFile, basis: str) -> Finding | None:
    if device.device.is_surely("none"):
        return None
    runs = [run for run in boat.run if run.protection == device.id]
    if any(carries(run, boat) == "alternating" for run in runs):
        raise CannotJudge("a device on alternating current is judged with its inlet")
    if not device.distance.seen:
        raise CannotJudge(
            "its distance from the source was not noted",
            f"how far '{device.id}' stands from its source, along the conductor",
        )
    exempt = _cranking(runs, boat) if basis == "us" else False
    if exempt:
        raise CannotJudge("conductors of a cranking motor need no device by ABYC E-11")
    found = judge(device, runs, boat, basis)
    if exempt is None and found.verdict not in _HOLDS:
        return _unless_cranking(found, device)
    return found


def _asks(device: Protection, fact: str) -> str:
    """Return what to look at for a fact of the rules."""
    if fact in _ASK:
        return _ASK[fact].format(device.id)
    return asked_for(device, "at_battery" if fact == "from_battery" else fact)[1]


def _known(noted: Choice) -> bool | None:
    """Return yes or no, None where it was not seen."""
    return noted.is_surely("yes") if noted.seen else None


def _cranking(runs: Sequence[Run], boat: BoatFile) -> bool | None:
    """Whether all that a device protects is the feed of cranking motors; None if it may be."""
    feeds = {feeds_cranking(run, boat) for run in runs} or {False}
    return False if False in feeds else (None if None in feeds else True)


def _unless_cranking(found: Finding, device: Protection) -> Finding:
    """Leave open what fails unless the device is in the feed of a cranking motor alone."""
    turns = TurnsOn(
        input=f"{device.id}: what it feeds",
        noted="not seen",
        adequate_if="a cranking motor and nothing else",
        inadequate_if="anything else" if found.verdict == "inadequate" else None,
        settles=1.0 if found.verdict == "inadequate" else 0.5,
        subject=device.id,
        where=device.where,
        read=_asks(device, "cranking"),
    )
    return found.with_changes(
        verdict="undetermined",
        turns_on=(turns, *found.turns_on),
        sources=(*found.sources, table("ocpd_placement_rules").source(rule_id="abyc_crank")),
        notes=(*found.notes, "The feed of a cranking motor and of nothing else is exempt."),
    )


def _facts(device: Protection, runs: Sequence[Run], boat: BoatFile) -> dict[str, bool | None]:
    """Return the facts of the rules as noted, None where they were not."""
    starts = [boat.find(run.start) for run in runs if run.start]
    battery = _known(device.at_battery)
    if battery is None and starts and len(starts) == len(runs):
        battery = any(isinstance(start, Bank) for start in starts)
    sheathed = _known(device.sheathed)
    if sheathed is None and runs and all(run.sheathed.is_surely("yes") for run in runs):
        sheathed = True
    charging = any(isinstance(start, (Charger, Alternator)) for start in starts)
    known = bool(charging or battery or any(isinstance(start, (Bank, Bus)) for start in starts))
    return {
        "from_battery": battery,
        "cranking": _cranking(runs, boat),
        "charging_source": charging if known else None,
        "sheathed": sheathed,
        "not_at_source": _known(device.not_at_source),
        "not_near_source": _known(device.not_near_source),
        # taken as against the device, and said
        "inside_source": False,
        "self_limiting": False,
    }


def judge(device: Protection, runs: Sequence[Run], boat: BoatFile, basis: str) -> Finding:
    """Judge where a device of these runs stands."""
    allowed = placement.allowances(distances_m(FAMILIES[basis]))
    facts = _facts(device, runs, boat)
    question = Question()
    question.ask("distance_m", device, "distance", worse="higher")
    asked = sorted({fact for way in allowed for fact in way.when})
    unsettled = [fact for fact in asked if facts[fact] is None]
    for fact in unsettled:
        question.among(
            fact,
            [Option(0.0, "no"), Option(1.0, "yes")],
            entry=device,
            field=placement.FACTS[fact],
            worse="lower",
            best=0.0,
            more="",
            read=_asks(device, fact),
        )
    reach = np.array(
        [
            placement.place(
                0.0, allowed=allowed, facts=facts | dict(zip(unsettled, values, strict=True))
            ).most_m
            for values in product((False, True), repeat=len(unsettled))
        ]
    )

    def requirement(**given: Any) -> tuple[Any, Any]:
        index: Any = 0
        for fact in unsettled:
            index = 2 * index + (np.asarray(given[fact]) > 0.5)
        return given["distance_m"], reach[index]

    ruling = question.rule(requirement, "at most")
    low, _, high = device.distance.span
    found = placement.place(high, allowed=allowed, facts=facts)
    rules = FAMILIES[basis]
    named = [found.rule_id] if found.rule_id else [_bare(rules, found.sure_m)]
    row = table("ocpd_placement_rules").row(rule_id=named[0])
    condition = f", {row['condition']}" if row["condition"] else ""
    return question.finding(
        ruling,
        check="protection-place",
        entry=device,
        quantity="length",
        worst="A",
        statement=lambda value, limit: (
            f"'{device.id}' stands {value} from its source along the conductor; at most "
            f"{limit if ruling.verdict in _HOLDS else _between(reach) or limit} is allowed "
            f"({row['instrument']}{condition})."
        ),
        working=_working(rules, facts),
        sources=_sources(rules),
        remedy=_remedy(allowed, facts, low),
        caution=HOT,
        notes=_notes(device, basis, high, facts, ruling.verdict),
    )


def _between(reach: Any) -> str:
    """Return what is allowed where it is one of several, rounded as in the remedy."""
    low, high = _show(float(reach.min())), _show(float(reach.max()))
    return "" if low == high else f"{low} to {high}"


def _bare(rules: tuple[str, ...], sure_m: float) -> str:
    distances = distances_m(rules)
    return min(rules, key=lambda rule: abs(distances[rule] - sure_m))


def _working(rules: tuple[str, ...], facts: Mapping[str, bool | None]) -> list[Step]:
    """Show each distance of the family and what it asks of the conductor."""
    steps = []
    words = {True: "yes", False: "no", None: "not noted"}
    for number, (rule, distance) in enumerate(distances_m(rules).items(), start=1):
        when = {fact: want for _, ways in placement.ALLOWS[rule] for fact, want in ways.items()}
        asks = "; ".join(
            f"{'' if want else 'not '}{placement.FACTS[fact]}: {words[_answer(facts[fact], want)]}"
            for fact, want in when.items()
        )
        row = table("ocpd_placement_rules").row(rule_id=rule)
        steps.append(Step(f"d{number}", asks or "always", "", distance, "m", row["instrument"]))
    return steps


def _answer(noted: bool | None, wanted: bool) -> bool | None:
    return None if noted is None else noted == wanted


def _sources(rules: tuple[str, ...]) -> list[Source]:
    return [table("ocpd_placement_rules").source(rule_id=rule) for rule in rules]


def _remedy(
    allowed: tuple[placement.Allowance, ...], facts: Mapping[str, bool | None], distance_m: float
) -> str:
    sure = placement.place(distance_m, allowed=allowed, facts=facts).sure_m
    text = f"Move it to within {_show(sure)} of the source, along the conductor"
    if facts["sheathed"] is not True and any("sheathed" in way.when for way in allowed):
        covered = placement.place(distance_m, allowed=allowed, facts={**facts, "sheathed": True})
        if covered.verdict == "meets":
            text += (
                "; or sheathe or enclose the conductor over its whole length from the source to "
                f"the device, which allows {_show(covered.sure_m)}"
            )
    return text + "."


def _show(length_m: float) -> str:
    return units.show_limit(length_m, "length", sense="at most")


def _notes(
    device: Protection,
    basis: str,
    distance_m: float,
    facts: Mapping[str, bool | None],
    verdict: Verdict,
) -> list[str]:
    notes = []
    if basis == "us":
        law = placement.place(
            distance_m, allowed=placement.allowances(distances_m(LAW)), facts=facts
        )
        words = {
            "meets": "allows it",
            "fails": "does not allow it",
            "conditional": "allows it or not, depending on "
            + " and ".join(_asks(device, fact) for fact in law.hangs_on),
        }[law.verdict]
        rules = table("ocpd_placement_rules")
        by = f" ({rules.row(rule_id=law.rule_id)['instrument']})" if law.rule_id else ""
        memory = "; the 72 in of 183.460 is from memory" if law.rule_id == "cfr_72" else ""
        notes.append(f"33 CFR 183.455 and 183.460{by}, binding on petrol boats, {words}{memory}.")
    if facts["cranking"] is False and basis == "us" and verdict == "inadequate":
        notes.append("Judged as no cranking feed, which would be exempt.")
    if facts["charging_source"] is not False and basis == "iso":
        notes.append("A device inside the source, or a self-limiting source, would be exempt.")
    return notes


CHECK = Check(
    name="protection-place",
    judges="distance of a fuse or breaker from its source",
    system="cables and protection",
    place=251,
    of="protection",
    ask=_place,
)
