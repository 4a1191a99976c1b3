"""Prospective fault current at a place of a DC network: the most, and the least.

The most is that of all banks joined, full, their cables cold, with chargers, alternators, panels
and running motors; the least that of any one bank, weak, the cables on the way hot.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from elec import units
from elec.boat.possible import possible, typical
from elec.boat.records import Alternator, BoatFile, Charger, Solar
from elec.boat.typical import gear, scaled
from elec.calc import network
from elec.calc.cables import fault
from elec.calc.network import network_fault
from elec.checks.basis import area_mm2 as nominal_mm2
from elec.checks.cables.cable import Cable
from elec.checks.cannot import CannotJudge
from elec.checks.network.graph import Graph, Place
from elec.checks.network.graph_solve import area_mm2, ask_banks, loop_ohm, stacked
from elec.checks.question import Option, Question, Worse
from elec.errors import ElecError
from elec.noted import Noted
from elec.published import Source

__all__ = ["Most", "ask_least", "ask_most"]

#: Cold cable: water freezes; common practice, no source.
_COLD_C = 0.0
_NO_RESISTANCE_OHM = 1e-6
Given = dict[str, Any]
#: What charges, the bank that it does, and its current.
_Charging = tuple[Charger | Alternator | Solar, str, Noted]


@dataclasses.dataclass(frozen=True)
class Most:
    """The largest fault current: with everything, the banks alone, and what was not counted."""

    all_A: Callable[[Given], Any]
    banks_A: Callable[[Given], Any]
    sources: list[Source]
    notes: list[str]
    uncounted: list[str]


def ask_most(question: Question, graph: Graph, at: Sequence[str], boat: BoatFile) -> Most:
    """Add what is not settled of the largest fault current at any of some banks and buses."""
    for bank in graph.banks:
        if not bank.voltage.seen:
            reason = f"the voltage of '{bank.id}', which feeds it too, was not noted"
            raise CannotJudge(reason, f"the voltage on the label of '{bank.id}'")
    if len({bank.voltage.span for bank in graph.banks}) > 1:
        raise CannotJudge("runs join banks of different voltages", f"what joins '{graph.id}'")
    banks, sources, notes = ask_banks(question, graph, full=True, emf="higher", fault="higher")
    nodes = {one.id for one in (*boat.bank, *boat.bus)}
    inner = [c for c in graph.cables if graph.joined[c.run.id][1] in nodes]
    notes += _ask_cables(question, inner, alone=len(graph.banks) == 1)
    chargers, uncounted = _chargers(graph, boat)
    for number, (entry, _, current) in enumerate(chargers):
        name = f"charging_{number}_A"
        question.noted(name, current, entry=entry, field="current", worse="higher")
    motors = _motors(graph)
    _ask_motors(question, motors)
    feeds = [(f"c{number}", bus) for number, (_, bus, _) in enumerate(chargers)]
    feeds += [(f"m{n}", _node(graph, place, nodes)) for n, place in enumerate(motors)]
    base = network.prepare(
        [network.Run(c.run.id, *graph.joined[c.run.id], 1.0) for c in inner],
        banks=[network.Bank(one.id, one.id, 12.0, 1.0) for one in graph.banks],
        sources=[network.ChargeSource(name, bus, graph.volts, 1.0, 1.0) for name, bus in feeds],
    )
    numbers = [base.buses.index(place) for place in at]

    def at_place(given: Given, *, charging: bool) -> Any:
        emf, full_A = banks(given)
        ohms = [
            _cold_ohm(c, given[f"length_{i}_m"], given.get(f"thick_{i}"))
            for i, c in enumerate(inner)
        ]
        limits = [given[f"charging_{i}_A"] for i in range(len(chargers))]
        limits += [
            fault.motor_contribution_A(
                np.asarray(given[f"motor_{i}_A"]) * place.count, multiple=given["multiple"]
            )
            for i, place in enumerate(motors)
        ]
        changed = dataclasses.replace(
            base,
            run_ohm=stacked(ohms),
            bank_V=emf,
            bank_ohm=emf / full_A,
            source_limit_A=stacked(limits),
        )
        found = network_fault.faults(changed, charging=charging and bool(limits))
        return found.bus_A[..., numbers].max(axis=-1)

    return Most(
        lambda given: at_place(given, charging=True),
        lambda given: at_place(given, charging=False),
        sources,
        notes,
        uncounted,
    )


def _ask_cables(question: Question, cables: Sequence[Cable], *, alone: bool) -> list[str]:
    """Add the cables between banks and buses; which end is the worse is known of one bank."""
    notes = []
    for number, cable in enumerate(cables):
        size = cable.run.size.text
        if _known_mm2(cable) is None:
            why = "whose size was not read" if size == "?" else "whose size no table holds"
            notes.append(f"The cable of '{cable.run.id}', {why}, may resist nothing.")
            thinnest = cable.basis.size_labels[0]
            question.among(
                f"thick_{number}",
                [Option(0.0, f"{thinnest} cable"), Option(1.0, "a cable that resists nothing")],
                entry=cable.run,
                field="size",
                worse="higher" if alone else None,
                best=1.0,
                noted="not seen" if size == "?" else size,
                more="",
                source=f"from the smallest size of table {cable.basis.ampacity_table} up",
                read=f"the size of the cable of '{cable.run.id}'",
            )
        question.noted(
            f"length_{number}_m",
            cable.length,
            entry=cable.run,
            field="length",
            worse="lower" if alone else None,
        )
    return notes


def _ask_motors(question: Question, motors: Sequence[Place]) -> None:
    for number, place in enumerate(motors):
        name = f"motor_{number}_A"
        question.noted(name, place.current, entry=place.entry, field="current", worse="higher")
    if motors:
        low, high, source = possible("fault current of a running motor over its current")
        question.noted(
            "multiple",
            typical(low, high, "ratio", source),
            entry=motors[0].entry,
            field="fault current of a motor over its current",
            worse="higher",
            read=f"the short-circuit current of '{motors[0].id}' in its maker's papers",
        )


def ask_least(
    question: Question, graph: Graph, at: str, hot_C: float
) -> tuple[Callable[[Given], tuple[Any, Any]], list[Source], list[str]]:
    """Add what is not settled of the least fault current at a bank or bus.

    The function returns the EMF [V] and resistance [ohm] up to the place, of the one bank that
    alone gives the least current there.
    """
    if graph.returns:
        shared = " and ".join(f"'{one}'" for one in graph.returns)
        text = f"{shared} is the return of other runs: the smallest fault with it is not worked out"
        raise CannotJudge(text, "the loop resistance, measured")
    weak, _, _ = possible("resistance of a weak bank over a full one")
    banks, sources, notes = ask_banks(question, graph, full=False, emf="lower", fault="lower")
    inner = [c for c in graph.cables if not graph.joined[c.run.id][1].startswith("end of ")]
    end: Worse = "higher"
    for number, cable in enumerate(inner):
        name = f"way_{number}_m"
        question.noted(name, cable.length, entry=cable.run, field="length", worse=end)
    alone = [
        network.prepare(
            [network.Run(c.run.id, *graph.joined[c.run.id], 1.0) for c in inner],
            banks=[network.Bank(bank.id, bank.id, 12.0, 1.0)],
        )
        for bank in graph.banks
    ]

    def thevenin(given: Given) -> tuple[Any, Any]:
        emf, full_A = banks(given)
        ohms = stacked(
            [
                loop_ohm(given[f"way_{i}_m"], area_mm2=area_mm2(c), conductor_temp_C=hot_C)
                for i, c in enumerate(inner)
            ]
        )
        found = []
        for number, base in enumerate(alone):
            volts = emf[..., number : number + 1]
            inside = weak * volts / full_A[..., number : number + 1]
            one = dataclasses.replace(base, run_ohm=ohms, bank_V=volts, bank_ohm=inside)
            found.append(network_fault.faults(one, charging=False).bus_A[..., base.buses.index(at)])
        least = np.argmin(stacked(found), axis=-1)[..., None]
        current = np.take_along_axis(stacked(found), least, axis=-1)[..., 0]
        volts = np.take_along_axis(np.broadcast_to(emf, stacked(found).shape), least, axis=-1)
        return volts[..., 0], volts[..., 0] / current

    return thevenin, sources, notes


def _cold_ohm(cable: Cable, length_m: Any, thick: Any = None) -> Any:
    metal_mm2 = _known_mm2(cable)
    if metal_mm2 is None:
        least = float(np.nanmin(cable.basis.area_mm2))
        thin = loop_ohm(length_m, area_mm2=least, conductor_temp_C=_COLD_C)
        return np.where(np.asarray(thick) > 0.5, _NO_RESISTANCE_OHM, thin)
    ohm = loop_ohm(length_m, area_mm2=metal_mm2, conductor_temp_C=_COLD_C)
    # a return by another run may be of any size: taken as resisting nothing
    return 0.5 * ohm if cable.run.return_by else ohm


def _known_mm2(cable: Cable) -> float | None:
    """Return the most metal that the size noted has, in the table of ampacities or not."""
    if cable.run.size.size is not None:
        return area_mm2(cable, least=False)
    try:
        return cable.parallel * nominal_mm2(units.size(cable.run.size.text))
    except ElecError:
        return None  # not read, or its area is in no table


def _node(graph: Graph, place: Place, nodes: set[str]) -> str:
    """Return the bank or bus to which a load comes nearest, its own run left out."""
    if place.bus in nodes or place.cable is None:
        return place.bus
    return graph.joined[place.cable.run.id][0]


def _motors(graph: Graph) -> list[Place]:
    """Return the motors that run together in the condition in which they draw the most."""
    motors = [place for place in graph.places if place.motor]
    conditions = dict.fromkeys(when for place in motors for when in place.when)
    if not conditions:
        return []

    def drawn(condition: str) -> float:
        return sum(p.current.span[2] * p.count for p in motors if condition in p.when)

    most = max(conditions, key=drawn)
    return [place for place in motors if most in place.when]


def _chargers(graph: Graph, boat: BoatFile) -> tuple[list[_Charging], list[str]]:
    """Return what charges the banks, with its current, and what has none noted or typical."""
    found: list[_Charging] = []
    uncounted = []
    for bank in graph.banks:
        volts = bank.voltage.span[1]
        every: tuple[Charger | Alternator | Solar, ...] = (
            *boat.charger,
            *boat.alternator,
            *boat.solar,
        )
        for entry in (one for one in every if one.bank == bank.id):
            current = _charging(entry, volts)
            if current is None:
                uncounted.append(entry.id)
            else:
                found.append((entry, bank.id, current))
    return found, uncounted


def _charging(entry: Charger | Alternator | Solar, volts: float) -> Noted | None:
    if isinstance(entry, Solar):
        return scaled(entry.power, 1 / volts, 1 / volts, "current") if entry.power.seen else None
    if isinstance(entry, Alternator) and entry.converter.seen:
        return entry.converter
    if entry.current.seen:
        return entry.current
    known = gear("battery charger", "ac") if isinstance(entry, Charger) else None
    if known is None:
        return None
    low, high = known.number("power_low_W"), known.number("power_high_W")
    if low is None or high is None:
        return None
    watts = typical(low, high, "power", known.source)
    return scaled(watts, 1 / volts, 1 / volts, "current")
