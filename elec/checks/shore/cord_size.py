"""A shore cord as noted: the inlet it serves, its ampacity, its impedance."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from elec.boat.ac_loads import Service
from elec.boat.records import BoatFile, Cord, Inlet, Transformer
from elec.calc import ac
from elec.checks.legs.dock_volts import TWO_LEGS, supply_of
from elec.checks.question import Option, Question
from elec.checks.shore.cord_table import HAND_HELD, HEAVY, CordTable, cord_table, kinds_of
from elec.errors import TableRangeError
from elec.finding import Step
from elec.noted import Noted
from elec.published import Source

__all__ = ["ask_cord", "cords_of", "inlet_of"]


def inlet_of(one: Cord | Transformer, boat: BoatFile) -> Inlet | None:
    """Return the inlet of a cord or transformer; the only one aboard if none was named."""
    if one.inlet is None:
        return boat.inlet[0] if len(boat.inlet) == 1 else None
    found = boat.find(one.inlet)
    return found if isinstance(found, Inlet) else None


def cords_of(inlet: Inlet, boat: BoatFile) -> list[Cord]:
    """Return the cords of an inlet, one after another."""
    served = ((cord, inlet_of(cord, boat)) for cord in boat.cord)
    return [cord for cord, its in served if its is not None and its.id == inlet.id]


def ask_cord(
    question: Question, cord: Cord, service: Service, supply: Noted, *, name: str = ""
) -> tuple[Callable[[dict[str, Any]], Any], list[Source], list[Step]]:
    """Add a cord's size and loaded conductors; return its ampacity, sources and working.

    Raises
    ------
    TableRangeError
        If neither a rating was noted nor a size that the cord table holds.
    """
    size = cord.size.size
    listed = cord_table(service, size)
    row = listed.row_of(size) if size is not None else None
    if size is not None and row is None:
        if not cord.rating.seen:
            raise TableRangeError(
                f"cord '{cord.id}': no ampacity of a {size.label} flexible cord is held (the table "
                f"holds {listed.labels[0]} to {listed.labels[-1]} {listed.unit}; tables are not "
                "extrapolated): note the rating moulded on its ends"
            )
        return _rated(question, cord, name)
    counts = sorted({ac.loaded_conductors(system=s) for s in supply_of(service, supply)})
    if row is None and cord.rating.seen:
        if service.system not in TWO_LEGS:
            return _rated(question, cord, name)
        # as made for its rating: the smallest size that carries it with two loaded
        row = listed.row_of_rating(cord.rating.span[0])
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
    _ask_row(question, cord, listed, row, name)
    kinds = _ask_kind(question, cord, listed, counts, name)
    rated, sources, _ = _rated(question, cord, name) if cord.rating.seen else (None, [], [])

    def ampacity(given: dict[str, Any]) -> Any:
        value = listed.ampacity_A(given[f"{name}row"], given[f"{name}loaded"], given[f"{name}kind"])
        return value if rated is None else np.minimum(value, rated(given))

    best = question.best_values()
    words = _words(listed, round(float(best[f"{name}loaded"])), kinds, rated=rated is not None)
    size_of = f"{listed.labels[int(best[f'{name}row'])]} {listed.unit}"
    source = listed.source
    clause = f"{source.edition}, {source.clause}"
    return (
        ampacity,
        [*sources, source],
        [Step("Iz", words, size_of, float(ampacity(best)), "A", clause)],
    )


def _words(listed: CordTable, loaded: int, kinds: Sequence[float], *, rated: bool) -> str:
    """Return which column of the table was taken, and what else limits."""
    # NEC 400.5: column B for two conductors that carry current, column A for three
    column = "" if listed.unit == "mm²" else f"column {'B' if loaded == 2 else 'A'}, "
    words = [f"flexible cord, {column}{loaded} loaded conductors"]
    if len(kinds) == 1 and listed.unit == "mm²":
        words.append("hand-held kind" if kinds[0] == HAND_HELD else "heavy kind, by its legend")
    if rated:
        words.append("no more than its rating")
    return ", ".join(words)


def _ask_row(question: Question, cord: Cord, listed: CordTable, row: int | None, name: str) -> None:
    """Add the row of its size, any size made where that was not read."""
    if row is not None:
        question.exact(f"{name}row", float(row))
        return
    made = listed.made()
    question.among(
        f"{name}row",
        [Option(float(i), f"{listed.labels[i]} {listed.unit}") for i in made],
        entry=cord,
        field="size",
        worse="lower",
        best=float(made[len(made) // 2]),
        more="or larger",
        source=f"every size made of table {listed.of.name}",
    )


def _ask_kind(
    question: Question, cord: Cord, listed: CordTable, counts: Sequence[int], name: str
) -> tuple[float, ...]:
    """Add the kind of cord, where the table tells two apart; return those it may be."""
    kinds = kinds_of(cord.legend)
    row = int(question.best(f"{name}row"))
    rows = range(len(listed.labels)) if not question.settled(f"{name}row") else [row]
    differ = any(
        len({float(listed.ampacity_A(r, n, kind)) for kind in kinds}) > 1
        for r in rows
        for n in counts
    )
    if not differ:
        question.exact(f"{name}kind", kinds[0])
        return kinds
    question.among(
        f"{name}kind",
        [Option(HAND_HELD, "hand-held kind (H05)"), Option(HEAVY, "heavy kind (H07RN-F)")],
        entry=cord,
        field="legend",
        best=HAND_HELD,
        more="",
        source=f"both kinds of table {listed.of.name}",
    )
    return kinds


def _rated(
    question: Question, cord: Cord, name: str
) -> tuple[Callable[[dict[str, Any]], Any], list[Source], list[Step]]:
    question.ask(f"{name}rated_A", cord, "rating", worse="lower")
    best = question.best(f"{name}rated_A")
    step = Step("Iz", "rating marked on the cord", "", best, "A")
    return lambda given: given[f"{name}rated_A"], [], [step]
