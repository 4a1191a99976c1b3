"""The resistance of each bond, from anode to fitting."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Metal
from elec.calc.metals import potentials
from elec.checks.metals.salt_water import IMMERSED
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["CHECKS", "check"]

BOND = "bonding"
CHECKS = (BOND,)


def check(boat: BoatFile, _basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge every bond."""
    results = _bonds(boat)
    return (
        [result for result in results if isinstance(result, Finding)],
        [result for result in results if isinstance(result, NotChecked)],
    )


def _bonds(boat: BoatFile) -> list[Finding | NotChecked]:
    wet = [m for m in boat.metal if m.exposure.is_surely(*IMMERSED) and m.bonded.is_surely("yes")]
    found: list[Finding | NotChecked] = []
    unread = [m for m in wet if not m.bond_resistance.seen]
    if unread:
        names = ", ".join(m.id for m in unread)
        read = f"the resistance from the anode to each of: {names}; meter leads taken off"
        reason = "the resistance of the bond was not noted"
        found.append(NotChecked(BOND, names, reason, unread[0].where, read))
    held = table("hull_potential_criteria")
    limit = held.exact("greatest_ohm", row_id="BOND")
    found += [_bond(metal, limit) for metal in boat.metal if metal.bond_resistance.seen]
    return found


def _bond(metal: Metal, limit: float) -> Finding:
    question = Question()
    question.noted(
        "ohm", metal.bond_resistance, entry=metal, field="bond resistance", worse="higher"
    )
    question.exact("limit", limit)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["ohm"]), given["limit"]

    return question.finding(
        question.rule(requirement, "at most"),
        check=BOND,
        entry=metal,
        sense="at most",
        quantity="resistance",
        worst="B",
        statement=lambda value, most: (
            f"The bond of '{metal.id}' has {value}; at most {most} from anode to fitting."
        ),
        working=[_drop(metal)],
        sources=[table("hull_potential_criteria").source(row_id="BOND")],
        remedy="Clean the ends of the bond to bright metal, renew the lug or the strap.",
        notes=["Many boats exceed it; the reading of the fitting itself decides."],
    )


def _drop(metal: Metal) -> Step:
    ohm = metal.bond_resistance.span[1]
    drop = float(potentials.bonding_drop_V(0.1, resistance_ohm=ohm))
    text = f"0.1 A x {units.show(ohm, 'resistance')}"
    return Step("drop", "protection lost at 0.1 A", text, drop, "V")
