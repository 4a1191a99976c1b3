"""Shore inlets: what each leg carries, under each condition, against the inlet's rating.

Legs are summed arithmetically: never less than the phasor sum, so never on the unsafe side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, draw, loads_of, runs
from elec.boat.records import BoatFile, Inlet
from elec.calc import ac
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.judge import HOLDS_WITHIN
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["CHECKS", "check", "connected_A"]

CHECK = "inlet-load"
CHECKS = (CHECK,)
_AT_SHORE = "shore"
_AWAY = {"anchor", "under way", "manoeuvring"}
_CAUTION = (
    "An overloaded inlet overheats at its contacts, where no breaker sees it. Turn the pedestal "
    "breaker off before touching cord or inlet."
)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every inlet under every condition in which it is used."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for inlet in boat.inlet:
        if inlet.service == "?":
            skipped.append(
                NotChecked(
                    CHECK,
                    inlet.id,
                    "its service (voltages and legs) was not noted",
                    inlet.where,
                    f"the voltages moulded on inlet '{inlet.id}'",
                )
            )
            continue
        service = SERVICES[inlet.service]
        draws, unknown = _draws(boat, inlet, service)
        skipped.extend(unknown)
        if not draws:
            skipped.append(
                NotChecked(
                    CHECK,
                    inlet.id,
                    "no load was noted on it",
                    inlet.where,
                    f"which loads inlet '{inlet.id}' feeds",
                )
            )
            continue
        for conditions in _conditions(boat, draws):
            findings.append(_judge(inlet, service, draws, conditions))
    return findings, skipped


def _draws(boat: BoatFile, inlet: Inlet, service: Service) -> tuple[list[AcDraw], list[NotChecked]]:
    draws, skipped = [], []
    for load in loads_of(boat, inlet.id):
        one = draw(load, service)
        if one is None:
            skipped.append(
                NotChecked(
                    CHECK,
                    load.id,
                    f"its current was not noted and no typical range is held: not counted on "
                    f"inlet '{inlet.id}'",
                    load.where,
                    f"the current or power on the plate of '{load.id}'",
                )
            )
        else:
            draws.append(one)
    return draws, skipped


def _conditions(boat: BoatFile, draws: Sequence[AcDraw]) -> list[tuple[str, ...]]:
    """Return the conditions at the dock, those in which the same loads run taken together."""
    named: dict[str, None] = {}
    for one in draws:
        named.update(dict.fromkeys(one.load.when or ()))
    order = [_AT_SHORE, *boat.boat.conditions]
    used = [c for c in order if c in named and c not in _AWAY]
    together: dict[tuple[bool | None, ...], list[str]] = {}
    for condition in used:
        together.setdefault(tuple(runs(d.load, condition) for d in draws), []).append(condition)
    return [tuple(names) for names in together.values()] or [()]


@dataclass(frozen=True)
class _Counted:
    """A load that runs, or may run, with the names of its inputs."""

    one: AcDraw
    current: str
    sure: bool


def connected_A(inlet: Inlet, draws: Sequence[AcDraw]) -> dict[str, float]:
    """Return the sum of everything connected, by leg, at best values and rated voltages.

    Loads on an unknown leg are counted on every leg that they may be on.
    """
    legs = SERVICES[inlet.service].legs
    return {
        leg: sum(
            float(one.current.best or 0.0) * one.load.count
            for one in draws
            if not one.legs or leg in one.legs
        )
        for leg in legs
    }


def _judge(
    inlet: Inlet, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> Finding:
    question = Question()
    counted: list[_Counted] = []
    for number, one in enumerate(draws):
        state = runs(one.load, conditions[0]) if conditions else runs(one.load, "")
        if state is False:
            continue
        name = f"current_{number}_A"
        question.noted(
            name,
            one.current,
            entry=one.load,
            field="current",
            worse="higher",
            read=f"the current or power on the plate of '{one.load.id}'",
        )
        counted.append(_Counted(one, name, bool(state)))
    supply = _ask_supply(question, inlet, service, counted)
    maybe = [c for c in counted if not c.sure]
    if maybe:
        names = ", ".join(f"'{c.one.load.id}'" for c in maybe[:4])
        names += f" and {len(maybe) - 4} more" if len(maybe) > 4 else ""
        question.noted(
            "together",
            _any_share(f"nothing to all of {names}"),
            entry=inlet,
            field="share of the loads of unknown condition running together",
            worse="higher",
            read=f"which loads on '{inlet.id}' run at the same time",
        )
    else:
        question.exact("together", 1.0)
    floating = [c for c in counted if not c.one.legs]
    if floating:
        question.noted(
            "uneven",
            _any_share("loads of unknown leg shared evenly (0 %) to all on one leg (100 %)"),
            entry=inlet,
            field="unevenness of the legs",
            worse="higher",
            read=f"which leg each breaker of '{inlet.id}' is on",
        )
    else:
        question.exact("uneven", 0.0)
    sources = _ask_rating(question, inlet)

    def by_leg(given: dict[str, Any]) -> tuple[dict[str, Any], Any]:
        legs: dict[str, Any] = {leg: np.asarray(0.0) for leg in service.legs}
        adrift: Any = np.asarray(0.0)
        for c in counted:
            one = c.one
            current = given[c.current] * one.load.count
            if one.between_legs or len(service.legs) == 1:
                current = ac.current_at_supply_A(
                    current,
                    rated_V=one.rated_V,
                    supply_V=given["supply_V"],
                    behaviour=one.behaviour,
                )
            if not c.sure:
                current = current * given["together"]
            if not one.legs:
                adrift = adrift + current
            for leg in one.legs:
                legs[leg] = legs[leg] + current
        return legs, adrift

    def requirement(**given: Any) -> tuple[Any, Any]:
        legs, adrift = by_leg(given)
        heaviest: Any = np.asarray(0.0)
        total: Any = adrift
        for current in legs.values():
            heaviest = np.maximum(heaviest, current)
            total = total + current
        even = np.maximum(heaviest, total / len(legs))
        worst = even + given["uneven"] * (heaviest + adrift - even)
        return worst, given["rating_A"] + 0.0 * worst

    ruling = question.rule(requirement, "at most")
    best = {c.current: np.asarray(c.one.current.best) for c in counted}
    best |= {n: np.asarray(question.best(n)) for n in ("supply_V", "together", "uneven")}
    legs, adrift = by_leg(best)
    working = _working(service, counted, legs, float(adrift), connected_A(inlet, draws), supply)
    words = " and ".join(f"'{name}'" for name in conditions)
    words = f"in {words}" if conditions else "whatever runs (no condition was noted)"
    notes = []
    connected = max(connected_A(inlet, draws).values())
    if conditions and connected > float(ruling.value.high) * (1 + 1e-9):
        notes.append(
            f"Everything connected at once would be {units.show(connected, 'current')} on the "
            "heavier leg; no rule asks an inlet to carry that."
        )
    if inlet.supply.seen and len(service.legs) > 1:
        notes.append("Line-to-neutral loads are taken at their nominal voltage.")
    return question.finding(
        ruling,
        check=CHECK,
        entry=inlet,
        sense="at most",
        quantity="current",
        worst="B",
        statement=lambda value, limit: _statement(
            inlet, service, legs, floating, words, value, limit
        ),
        working=working,
        sources=sources,
        remedy=_remedy(counted, _most_A(counted, service, supply), question.ends("rating_A")[0]),
        caution=_CAUTION,
        notes=notes,
    )


def _any_share(source: str) -> Noted:
    return noted.between(0.0, 1.0, "fraction", origin="typical", source=source, text="not seen")


def _statement(
    inlet: Inlet,
    service: Service,
    legs: dict[str, Any],
    floating: Sequence[_Counted],
    words: str,
    value: str,
    limit: str,
) -> str:
    text = f"Inlet '{inlet.id}' {words}: {value}"
    if len(service.legs) > 1:
        text += " on its heavier leg"
        if not floating:
            shown = ", ".join(f"{leg} {units.show(float(i), 'current')}" for leg, i in legs.items())
            text += f" ({shown} at best values)"
    return (
        f"{text}; it is rated {limit} a leg."
        if len(service.legs) > 1
        else (f"{text}; it is rated {limit}.")
    )


def _ask_supply(
    question: Question, inlet: Inlet, service: Service, counted: Sequence[_Counted]
) -> float:
    nominal = service.between_legs_V or service.to_neutral_V
    if not inlet.supply.seen:
        question.exact("supply_V", nominal)
        return nominal
    affected = [c.one.behaviour for c in counted if c.one.between_legs or len(service.legs) == 1]
    heaters = [b == "resistance" for b in affected]
    worse: Any = "higher" if all(heaters) else "lower" if not any(heaters) else None
    question.noted(
        "supply_V",
        inlet.supply,
        entry=inlet,
        field="supply voltage",
        worse=worse,
        read=f"the voltage at inlet '{inlet.id}' under load",
    )
    assert inlet.supply.best is not None
    return inlet.supply.best


def _ask_rating(question: Question, inlet: Inlet) -> list[Source]:
    services = table("shore_services")
    if inlet.rating.seen:
        question.noted("rating_A", inlet.rating, entry=inlet, field="rating", worse="lower")
        return [services.source()]
    region = "IEC" if inlet.service.startswith("230") else "US"
    listed = sorted({float(r["rating_A"]) for r in services.rows() if r["region"] == region})
    question.among(
        "rating_A",
        [Option(v, f"{v:g} A") for v in listed],
        entry=inlet,
        field="rating",
        worse="lower",
        best=listed[len(listed) // 2],
        source="every service of table shore_services",
        read=f"the rating moulded on inlet '{inlet.id}'",
    )
    return [services.source()]


def _working(
    service: Service,
    counted: Sequence[_Counted],
    legs: dict[str, Any],
    adrift: float,
    connected: dict[str, float],
    supply_V: float,
) -> tuple[Step, ...]:
    steps = []
    for leg, total in legs.items():
        terms = [
            f"{(c.one.current.best or 0) * c.one.load.count:.4g} {c.one.load.id}"
            for c in counted
            if leg in c.one.legs
        ]
        formula = "sum of what runs"
        nominal = service.between_legs_V or service.to_neutral_V
        if abs(supply_V - nominal) > 1e-9:
            formula += f", at {supply_V:g} V"
        steps.append(Step(f"I({leg})", formula, " + ".join(terms) or "0", float(total), "A"))
    if adrift:
        terms = [
            f"{(c.one.current.best or 0) * c.one.load.count:.4g} {c.one.load.id}"
            for c in counted
            if not c.one.legs
        ]
        steps.append(Step("I(?)", "loads of unknown leg", " + ".join(terms), adrift, "A"))
    for leg, total in connected.items():
        steps.append(Step(f"connected({leg})", "sum of everything connected", "", total, "A"))
    return tuple(steps)


def _most_A(counted: Sequence[_Counted], service: Service, supply_V: float) -> np.ndarray[Any, Any]:
    """Return the most that each load may add to each leg, all of it running."""
    table_A = np.zeros((len(counted), len(service.legs)))
    for row, c in zip(table_A, counted, strict=True):
        current = c.one.current.span[2] * c.one.load.count
        if c.one.between_legs or len(service.legs) == 1:
            current = float(
                ac.current_at_supply_A(
                    current, rated_V=c.one.rated_V, supply_V=supply_V, behaviour=c.one.behaviour
                )
            )
        for column, leg in enumerate(service.legs):
            if not c.one.legs or leg in c.one.legs:
                row[column] = current
    return table_A


def _remedy(
    counted: Sequence[_Counted], contribution_A: np.ndarray[Any, Any], rating_A: float
) -> str | None:
    """Return the fewest, then smallest, loads to leave off so that every leg holds.

    ``contribution_A`` is what each load adds to each leg at the most that is possible.
    """
    total = contribution_A.sum(axis=0)
    excess = float(np.max(total - rating_A))
    if excess <= HOLDS_WITHIN * rating_A:
        return None
    parts = [
        _leave_off(counted, contribution_A, rating_A),
        _limit_charger(counted, contribution_A, rating_A),
    ]
    text = ", or ".join(part for part in parts if part)
    if not text:
        text = "no three loads left off are enough: divide the loads over another inlet"
    return f"{text[0].upper()}{text[1:]}. Manage the loads; a larger inlet is not the least change."


def _leave_off(
    counted: Sequence[_Counted], contribution_A: np.ndarray[Any, Any], rating_A: float
) -> str:
    total, most = contribution_A.sum(axis=0), rating_A * (1 + HOLDS_WITHIN)
    for number in (1, 2, 3):
        sets = np.asarray(list(combinations(range(len(counted)), number)))
        if not len(sets):
            break
        taken = contribution_A[sets].sum(axis=1)
        holds = np.all(total - taken <= most, axis=1)
        if holds.any():
            size = np.where(holds, taken.max(axis=1), np.inf)
            names = [counted[i].one.load.id for i in sets[int(size.argmin())]]
            return f"leave {' and '.join(repr(name) for name in names)} off while the rest runs"
    return ""


def _limit_charger(
    counted: Sequence[_Counted], contribution_A: np.ndarray[Any, Any], rating_A: float
) -> str:
    over = np.max(contribution_A.sum(axis=0) - rating_A)
    for c, own in zip(counted, contribution_A, strict=True):
        is_charger = "charger" in f"{c.one.load.kind} {c.one.load.id}".lower()
        left = float(own.max() - over)
        if is_charger and c.one.load.count == 1 and left > 0 and np.all(own > 0):
            amount = units.show_limit(left, "current", sense="at most")
            return f"limit the input of '{c.one.load.id}' to {amount}"
    return ""
