"""The resistance of each bond, from anode to fitting."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Boat, BoatFile, Metal
from elec.calc.metals import potentials
from elec.checks.metals.salt_water import IMMERSED
from elec.checks.question import Question
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, NotChecked, Step
from elec.published import table


def _bonds(_about: Boat, boat: BoatFile, _basis: str) -> Iterator[Answer]:
    """Judge each bond that was measured; one line for all that were not."""
    unread = [
        metal
        for metal in boat.metal
        if metal.exposure.is_surely(*IMMERSED)
        and metal.bonded.is_surely("yes")
        and not metal.bond_resistance.seen
    ]
    if unread:
        names = ", ".join(metal.id for metal in unread)
        read = f"the resistance from the anode to each of: {names}; meter leads taken off"
        reason = "the resistance of the bond was not noted"
        yield NotChecked("bonding", names, reason, unread[0].where, read)
    measured = [metal for metal in boat.metal if metal.bond_resistance.seen]
    yield from each("bonding", measured, _bond)


def _bond(metal: Metal) -> Finding:
    criteria = table("hull_potential_criteria")
    question = Question()
    question.ask("ohm", metal, "bond_resistance", worse="higher")
    question.exact("limit", criteria.exact("greatest_ohm", row_id="BOND"))

    def requirement(**given: Any) -> tuple[Any, Any]:
        return np.asarray(given["ohm"]), given["limit"]

    return question.finding(
        question.rule(requirement, "at most"),
        entry=metal,
        quantity="resistance",
        worst="B",
        statement=lambda value, most: (
            f"The bond of '{metal.id}' has {value}; at most {most} from anode to fitting."
        ),
        working=[_drop(metal)],
        sources=[criteria.source(row_id="BOND")],
        remedy="Clean the ends of the bond to bright metal, renew the lug or the strap.",
        notes=["Many boats exceed it; the reading of the fitting itself decides."],
    )


def _drop(metal: Metal) -> Step:
    ohm = metal.bond_resistance.span[1]
    drop = float(potentials.bonding_drop_V(0.1, resistance_ohm=ohm))
    text = f"0.1 A x {units.show(ohm, 'resistance')}"
    return Step("drop", "protection lost at 0.1 A", text, drop, "V")


CHECK = Check(
    name="bonding",
    judges="resistance of a bond",
    system="metals",
    place=461,
    of="boat",
    ask=_bonds,
)
