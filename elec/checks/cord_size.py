"""A shore cord as noted: the inlet it serves, its ampacity, its impedance."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from elec.boat.ac_loads import Service
from elec.boat.records import BoatFile, Cord, Inlet
from elec.calc import ac
from elec.checks.question import Option, Question
from elec.errors import TableRangeError
from elec.finding import Step
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["ask_cord", "cords_of", "inlet_of", "supply_of"]

_TWO_LEGS = ("split-phase", "wye two legs")


def inlet_of(cord: Cord, boat: BoatFile) -> Inlet | None:
    """Return the inlet that a cord serves; the only one aboard if none was named."""
    if cord.inlet is None:
        return boat.inlet[0] if len(boat.inlet) == 1 else None
    found = boat.find(cord.inlet)
    return found if isinstance(found, Inlet) else None


def cords_of(inlet: Inlet, boat: BoatFile) -> list[Cord]:
    """Return the cords of an inlet, one after another."""
    return [cord for cord in boat.cord if inlet_of(cord, boat) is inlet]


def supply_of(service: Service, supply: Noted) -> tuple[str, ...]:
    """Return the supplies that a dock may give on a service of two legs, by its voltage."""
    if service.system not in _TWO_LEGS:
        return (service.system,)
    if not supply.seen:
        return _TWO_LEGS
    low, _, high = supply.span
    limits = table("supply_voltage_limits")
    wye_to = limits.exact("max_LL_V", rule_id="comar_208")
    split_from = limits.exact("min_LL_V", rule_id="comar_240")
    wye, split = low <= wye_to, high >= split_from
    if wye == split:
        return _TWO_LEGS
    return (_TWO_LEGS[1],) if wye else (_TWO_LEGS[0],)


def ask_cord(
    question: Question, cord: Cord, service: Service, supply: Noted, *, name: str = ""
) -> tuple[Callable[[dict[str, Any]], Any], list[Source], list[Step]]:
    """Add a cord's size and loaded conductors; return its ampacity, sources and working.

    Raises
    ------
    TableRangeError
        If neither a rating was noted nor a size that the cord table holds.
    """
    cords = table("flexible_cord_ampacity")
    listed = cords.text("size_AWG")
    two, three = (
        cords.numbers("column_B_two_current_carrying_A"),
        cords.numbers("column_A_three_current_carrying_A"),
    )
    size = cord.size.size
    if size is not None and (size.kind != "AWG" or size.label.split()[0] not in listed):
        if not cord.rating.seen:
            raise TableRangeError(
                f"cord '{cord.id}': no ampacity of a {size.label} flexible cord is held (the table "
                f"holds {listed[0]} to {listed[-1]} AWG; tables are not extrapolated): note the "
                "rating moulded on its ends"
            )
        return _rated(question, cord, name)
    counts = sorted({ac.loaded_conductors(system=s) for s in supply_of(service, supply)})
    question.among(
        f"{name}loaded",
        [Option(float(n), f"{n} loaded conductors") for n in counts],
        entry=cord,
        field="loaded conductors",
        worse="higher",
        best=float(counts[0]),
        more="",
        source="120/240 V or two legs of 120/208 V at the dock",
        read="the voltage between the legs at the dock: near 240 V or near 208 V",
    )
    order = list(range(len(listed)))
    if size is None:
        question.among(
            f"{name}row",
            [Option(float(i), f"{listed[i]} AWG") for i in order],
            entry=cord,
            field="size",
            worse="lower",
            best=float(len(order) // 2),
            more="or larger",
            source="every size of table flexible_cord_ampacity",
            read=f"the size printed on '{cord.id}'",
        )
    else:
        question.exact(f"{name}row", float(listed.index(size.label.split()[0])))
    rated, sources, _ = _rated(question, cord, name) if cord.rating.seen else (None, [], [])

    def ampacity(given: dict[str, Any]) -> Any:
        row = np.asarray(np.rint(given[f"{name}row"]), dtype=int)
        more = np.asarray(given[f"{name}loaded"]) > 2.5
        value = np.where(
            more,
            ac.cord_ampacity_A(two[row], three_loaded_A=three[row], loaded=3),
            ac.cord_ampacity_A(two[row], three_loaded_A=three[row], loaded=2),
        )
        return value if rated is None else np.minimum(value, rated(given))

    best = question.best_values()
    column = "B, two" if float(best[f"{name}loaded"]) < 2.5 else "A, three"
    label = listed[int(best[f"{name}row"])]
    steps = [
        Step(
            "Iz",
            f"flexible cord, column {column} loaded conductors"
            + (", no more than its rating" if rated else ""),
            f"{label} AWG",
            float(ampacity(best)),
            "A",
            "NFPA 70-2017, Table 400.5(A)(1)",
        )
    ]
    return ampacity, [*sources, cords.source()], steps


def _rated(
    question: Question, cord: Cord, name: str
) -> tuple[Callable[[dict[str, Any]], Any], list[Source], list[Step]]:
    question.noted(f"{name}rated_A", cord.rating, entry=cord, field="rating", worse="lower")
    best = question.best(f"{name}rated_A")
    step = Step("Iz", "rating marked on the cord", "", best, "A")
    return lambda given: given[f"{name}rated_A"], [], [step]
