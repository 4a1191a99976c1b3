"""Anodes aboard: how much is gone, how long the rest lasts, whether their metal suits the water."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.metals import anode_sums
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check", "months_left"]

WASTED, MATERIAL = "anode", "anode-material"
CHECKS = (WASTED, MATERIAL)
_METALS = ("zinc", "aluminium", "magnesium")
_WATERS = ("sea", "brackish", "fresh")


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every anode noted."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for anode in boat.anode:
        for result in (
            _wasted(anode),
            _material(anode, boat),
        ):
            if isinstance(result, Finding):
                findings.append(result)
            elif result is not None:
                skipped.append(result)
    return findings, skipped


# -- how much is gone --------------------------------------------------------------------------


def months_left(gone: float, after_h: float, renew: float) -> float:
    """Return the months until so much is gone, at the rate shown; negative where overdue."""
    left = cathodic.wastage(gone, elapsed_h=after_h, renew_at=renew).left_h
    return units.from_base(float(left), "life", "months")


def _wasted(anode: Anode) -> Finding | NotChecked:
    if not anode.wasted.seen:
        read = f"how much of '{anode.id}' is gone, and since when"
        return NotChecked(WASTED, anode.id, "how much is gone was not noted", anode.where, read)
    renew, source = anode_sums.renew_at()
    question = Question()
    question.noted(
        "gone",
        anode.wasted,
        entry=anode,
        field="share gone",
        worse="higher",
        read=f"'{anode.id}' weighed, or measured against a new one",
    )
    question.exact("renew_at", renew)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["gone"]), given["renew_at"]

    notes, steps = _pace(anode, renew)
    many = f" ({anode.count} of them)" if anode.count > 1 else ""
    return question.finding(
        question.rule(requirement, "at most"),
        check=WASTED,
        entry=anode,
        sense="at most",
        quantity="percentage",
        worst="B",
        statement=lambda value, limit: (
            f"'{anode.id}'{many} has lost {value}; an anode is renewed when {limit} is gone."
        ),
        working=steps,
        sources=[source],
        remedy="Fit new ones, on bare metal with a sound bond, and leave them unpainted.",
        notes=notes,
    )


def _pace(anode: Anode, renew: float) -> tuple[list[str], list[Step]]:
    """Say how fast it goes, where the time since it was new was noted."""
    if anode.wasted.span[0] <= 0:
        return ["Nothing of it may be gone: an anode that does not waste may not be joined."], []
    if not anode.after.seen:
        return ["How long the rest lasts needs the time since it was new."], []
    (gone_low, gone, gone_high), (soon, after, late) = anode.wasted.span, anode.after.span
    soonest, best, latest = (
        months_left(gone_high, soon, renew),
        months_left(gone, after, renew),
        months_left(gone_low, late, renew),
    )
    a_year = units.to_base(1, "year", "life")
    rate = gone / after * a_year
    steps = [
        Step(
            "w",
            "gone / time",
            f"{units.show(gone, 'percentage')} / {units.show(after, 'life', unit='months')}",
            rate * 100,
            "%/year",
        ),
        Step("left", "(renew - gone) / w", "", best, "months"),
    ]
    whole = units.show(after / gone, "life", unit="months")
    if latest <= 0:
        past = f"{-best:.1f} months ago" if best < 0 else "now"
        return [f"At the rate shown it was due {past}; a new one is gone in {whole}."], steps
    low, high = sorted((soonest, latest))
    words = f"{best:.1f} months" if low == high else f"{low:.1f} to {high:.1f} months"
    return [f"At the rate shown it is due in {words}; a new one is gone in {whole}."], steps


# -- whether its metal suits the water ---------------------------------------------------------


def _material(anode: Anode, boat: BoatFile) -> Finding:
    choice = table("anode_choice_by_water")
    suits = {
        (m, w): float(choice.row(material=m, water=w)["suits"] == "yes")
        for m in _METALS
        for w in _WATERS
    }
    held = np.asarray([[suits[m, w] for w in _WATERS] for m in _METALS])
    question = Question()
    _pick(
        question,
        "metal",
        anode.material.text,
        _METALS,
        anode,
        "metal",
        f"the metal of '{anode.id}'",
    )
    _pick(
        question,
        "water",
        boat.boat.water.text,
        _WATERS,
        anode,
        "water",
        "the salinity of the water",
    )
    question.exact("needed", 0.5)  # suits is 1, does not suit 0

    def requirement(**given: Any) -> tuple[Any, Any]:
        metal, water = (np.asarray(np.rint(given[k]), dtype=int) for k in ("metal", "water"))
        return held[metal, water], given["needed"]

    why = ""
    if anode.material.seen and boat.boat.water.seen:
        why = choice.row(material=anode.material.word, water=boat.boat.water.word)["why"]
    right = [m for m in _METALS if not boat.boat.water.seen or suits[m, boat.boat.water.word]]
    what = "of a metal not noted" if not anode.material.seen else f"of {anode.material}"
    where = "water not noted" if not boat.boat.water.seen else f"{boat.boat.water} water"
    return question.finding(
        question.rule(requirement, "at least"),
        check=MATERIAL,
        entry=anode,
        sense="at least",
        quantity="presence",
        worst="B",
        statement=lambda _value, _limit: (
            f"'{anode.id}' is {what}, in {where}"
            + (f": there it {why}." if why else ".")
            + f" What suits: {_choice(suits, boat.boat.water.text)}."
        ),
        sources=[choice.source()],
        remedy=f"Fit anodes of {' or '.join(right)} for the water she lies in.",
    )


def _choice(suits: dict[tuple[str, str], float], water: str) -> str:
    waters = [water] if water != "?" else list(_WATERS)
    parts = [f"{' or '.join(m for m in _METALS if suits[m, w])} in {w} water" for w in waters]
    return ", ".join(parts)


def _pick(
    question: Question,
    name: str,
    noted: str,
    known: tuple[str, ...],
    anode: Anode,
    field: str,
    read: str,
) -> None:
    if noted in known:
        question.exact(name, float(known.index(noted)))
        return
    options = [Option(float(i), word) for i, word in enumerate(known)]
    question.among(name, options, entry=anode, field=field, best=0.0, more="", read=read)
