"""How much of an anode is gone, and how long the rest lasts."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Anode, BoatFile
from elec.calc.metals import cathodic
from elec.checks.cannot import CannotJudge
from elec.checks.metals.corrosion_constants import constant
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import Source, table

__all__ = ["CHECK", "renew_at"]


def _months_left(gone: float, after_h: float, renew: float) -> float:
    """Return the months until so much is gone, at the rate shown; negative where overdue."""
    left = cathodic.wastage(gone, elapsed_h=after_h, renew_at=renew).left_h
    return units.from_base(float(left), "life", "months")


def _wasted(anode: Anode, _boat: BoatFile, _basis: str) -> Finding:
    if not anode.wasted.seen:
        read = f"how much of '{anode.id}' is gone, and since when"
        raise CannotJudge("how much is gone was not noted", read)
    renew, source = renew_at()
    question = Question()
    question.ask("gone", anode, "wasted", worse="higher")
    question.exact("renew_at", renew)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["gone"]), given["renew_at"]

    notes, steps = _pace(anode, renew)
    many = f" ({anode.count} of them)" if anode.count > 1 else ""
    return question.finding(
        question.rule(requirement, "at most"),
        entry=anode,
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
        _months_left(gone_high, soon, renew),
        _months_left(gone, after, renew),
        _months_left(gone_low, late, renew),
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


CHECK = Check(
    name="anode",
    judges="share of an anode gone, and how long the rest lasts",
    system="metals",
    place=421,
    of="anode",
    ask=_wasted,
)


def renew_at() -> tuple[float, Source]:
    """Return the share gone at which an anode is renewed."""
    name = "share gone at which an anode is renewed"
    return constant(name)[0], table("corrosion_constants").source(name=name)
