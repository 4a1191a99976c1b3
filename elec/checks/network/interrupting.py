"""Whether a device can break what its bank can push through a short circuit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import (
    Alternator,
    Bank,
    BoatFile,
    Bus,
    Charger,
    Protection,
    Run,
    Solar,
)
from elec.boat.typical import strings_counted
from elec.calc.cables import fault
from elec.checks.cables.run_load import is_direct
from elec.checks.cannot import CannotJudge
from elec.checks.network.alternating import ON_ALTERNATING, Alternating, together
from elec.checks.network.bank_fault import Most, ask_most
from elec.checks.network.bank_source import bank_of
from elec.checks.network.graph import Graph
from elec.checks.network.graph_runs import graph_at
from elec.checks.question import Option, Question, asked_for
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import Source, table

_CAUTION = (
    "A device that cannot break the fault may burst and burn. Never short a bank to find out what "
    "it can give."
)
_EDITION = (
    "Editions of ABYC E-11 differ: that of July 2025 keeps its cranking table for flooded "
    "lead-acid only; other chemistries, and banks above 2,200 CCA or 500 Ah, go by the maker's "
    "short-circuit current, or 20 kA at 125 V DC where that exceeds 10 kA."
)


def _devices(boat: BoatFile) -> list[Protection | Alternating]:
    """Return every device on direct current, and those on alternating current as one."""
    fitted = [one for one in boat.protection if not one.device.is_surely("none")]
    direct, alternating = list[Protection](), list[Protection]()
    for one in fitted:
        on_dc = all(is_direct(run, boat) for run in _runs(one, boat))
        (direct if on_dc else alternating).append(one)
    return [*direct, *together(alternating)]


def _runs(device: Protection, boat: BoatFile) -> list[Run]:
    return [run for run in boat.run if run.protection == device.id]


def _breaks(device: Protection | Alternating, boat: BoatFile, basis: str) -> Finding:
    if isinstance(device, Alternating):
        raise CannotJudge(ON_ALTERNATING)
    if not _runs(device, boat) and not device.at_battery.is_surely("yes"):
        reason = "no run names it as its protection, and it was not noted at a battery"
        raise CannotJudge(reason, f"what '{device.id}' protects")
    graph, places = _places(device, boat, basis)
    question = Question()
    most = ask_most(question, graph, places, boat)
    current, sources = most.all_A, most.sources
    _ask_marking(device, question, graph.volts, sources, current)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return current(given), given["interrupting_A"]

    ruling = question.rule(requirement, "at most")
    if ruling.verdict in ("adequate", "marginal"):
        _all_counted(graph, boat, most)
    return question.finding(
        ruling,
        entry=device,
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"A short circuit at '{device.id}' can draw {value} from '{graph.id}' and all that "
            f"feeds it; it can break {limit}."
        ),
        working=_working(question, most, _named(places)),
        sources=sources,
        remedy=_remedy(float(ruling.value.high), graph.volts),
        caution=_CAUTION,
        notes=[
            *most.notes,
            f"At {_named(places)}{', whichever gives more' if len(places) > 1 else ''}, the cable "
            "from there to the device left out, which lessens it; the banks full, cables cold, "
            "with chargers, alternators, panels and the motors that run together.",
            *_counted_closed(graph),
            *(_by_cranking_table(device, graph.banks) if basis == "us" else []),
        ],
    )


def _named(places: Sequence[str]) -> str:
    return " or ".join(f"'{place}'" for place in places)


def _all_counted(graph: Graph, boat: BoatFile, most: Most) -> None:
    """Refuse to pass a device while something may add to the fault that is not counted."""
    if open_ := _may_join(graph, boat):
        others = " and ".join(f"'{one.id}'" for one in boat.bank if one not in graph.banks)
        reason = f"what '{open_}' joins was not noted: {others} may add to the fault by it"
        raise CannotJudge(reason, f"where '{open_}' starts and where it ends")
    if most.uncounted:
        names = " and ".join(f"'{name}'" for name in most.uncounted)
        reason = f"the banks alone it can break; what {names} adds to the fault was not noted"
        raise CannotJudge(reason, f"the rated current of {names}")


def _working(question: Question, most: Most, at: str) -> list[Step]:
    best = question.best_values()
    alone, added = (float(np.asarray(one(best))) for one in (most.banks_A, most.all_A))
    return [
        Step(
            "Ib",
            f"fault current of the banks at {at}: open-circuit voltage over resistance",
            "",
            alone,
            "A",
            "nodal analysis",
        ),
        Step(
            "Ip",
            "with chargers, alternators, panels and motors",
            f"{alone:.4g} + {added - alone:.4g}",
            added,
            "A",
            "IEEE 946, annex on short-circuit current",
        ),
    ]


def _places(device: Protection, boat: BoatFile, basis: str) -> tuple[Graph, list[str]]:
    """Return the network of a device and where it may stand: where its runs start, or the bank.

    What feeds a fault in the run of a charger is the bank or bus that it leads to.
    """
    runs = _runs(device, boat)
    nodes = [boat.find((run.end if _charges(run, boat) else run.start) or "") for run in runs]
    starts = [one.id for one in nodes if isinstance(one, (Bank, Bus))]
    places = list(dict.fromkeys(starts))
    graph = graph_at(places[0], boat, basis, unread=True) if places else None
    if graph is None:
        places = [bank_of(runs, boat, f"'{device.id}'").id]
        graph = graph_at(places[0], boat, basis, unread=True)
    assert graph is not None
    if apart := [place for place in places if place not in graph.buses]:
        named = " and ".join(f"'{place}'" for place in (places[0], *apart))
        reason = f"runs from {named}, which nothing noted joins, name it as their protection"
        raise CannotJudge(reason, f"which run '{device.id}' protects")
    if device.at_battery.is_surely("yes"):
        places = list(dict.fromkeys([bank.id for bank in graph.banks] + places))
    return graph, places


def _charges(run: Run, boat: BoatFile) -> bool:
    """Whether a run starts at what charges a bank."""
    return isinstance(boat.find(run.start or ""), (Alternator, Charger, Solar))


def _counted_closed(graph: Graph) -> list[str]:
    """Say which switches between joined banks are counted as closed, however they stand."""
    if len(graph.banks) == 1:
        return []
    runs = [
        one.run
        for one in graph.cables
        if not one.run.switch.is_surely("closed") or one.run.closed_when
    ]
    stands = {"open": "noted open", "?": "not seen how it stands", "closed": "closed at times"}
    named = ", ".join(f"'{run.id}' ({stands[run.switch.text]})" for run in runs)
    words = "Counted as closed, as it may be when a fault occurs, and its bank with it"
    return [f"{words}: the switch in {named}."] if runs else []


def _may_join(graph: Graph, boat: BoatFile) -> str | None:
    """Return a run of which an end was not noted, by which another bank may be joined."""
    if len(graph.banks) == len(boat.bank):
        return None
    nodes = {one.id for one in (*boat.bank, *boat.bus)}
    for run in boat.run:
        unfed = not run.start and run.end in nodes
        blank = not (run.end or run.serves or run.current.seen or run.kind)
        if is_direct(run, boat) and (unfed or (blank and run.start in nodes)):
            return run.id
    return None


def _remedy(most_A: float, volts: float) -> str:
    """Name the least capacity, and the kinds of fuse published to have it."""
    rows = [
        row
        for row in table("fuse_interrupting_generic").rows()
        if row["ac_or_dc"] == "DC"
        and float(row["interrupting_low_A"]) >= most_A
        and max(float(row["at_voltage_V"]), float(row["at_other_voltage_V"] or 0)) >= volts
    ]
    kinds = " or ".join(dict.fromkeys(row["family"] for row in rows))
    least = units.show_limit(most_A, "current", sense="at least")
    return (
        f"Fit a device, or a fuse ahead of it at the battery, that breaks {least} at {volts:g} V "
        f"DC: {f'{kinds} by its kind, marked so' if kinds else 'no kind of fuse held here does'}."
    )


def _ask_marking(
    device: Protection,
    question: Question,
    volts: float,
    sources: list[Source],
    current_A: Callable[[dict[str, Any]], Any],
) -> None:
    """Add the interrupting capacity: as marked, else what is published for its family."""
    if device.interrupting.seen:
        if _void(device, volts):
            question.exact("interrupting_A", 0.0)  # above its marked voltage a rating is void
            return
        question.ask(
            "interrupting_A",
            device,
            "interrupting",
            worse="lower",
            read=f"the interrupting capacity of '{device.id}'",
        )
        return
    family = table("fuse_interrupting_generic")
    rows = [
        row
        for row in family.rows()
        if device.family.is_surely(row["family"])
        and row["ac_or_dc"] == "DC"
        and max(float(row["at_voltage_V"]), float(row["at_other_voltage_V"] or 0)) >= volts
    ]
    if not rows:
        draws = float(np.asarray(current_A(question.best_values())))
        words, read = asked_for(device, "interrupting")
        raise CannotJudge(
            f"its {words} was not noted; a short circuit there draws about "
            f"{units.show(draws, 'current')}",
            read,
        )
    values = {float(row[f"interrupting_{end}_A"]) for row in rows for end in ("low", "high")}
    question.among(
        "interrupting_A",
        [Option(v, units.show(v, "current")) for v in sorted(values)],
        entry=device,
        field="interrupting",
        worse="lower",
        best=min(values),
        source=f"table {family.name}, {device.family}",
    )
    sources.append(family.source())


def _by_cranking_table(device: Protection, banks: Sequence[Bank]) -> list[str]:
    """Say what the published table by cranking current asks of a breaker, where it may be used.

    It holds for one flooded bank of up to 2,200 CCA or 500 Ah.
    """
    if not device.device.is_surely("breaker"):
        return [_EDITION]
    if len(banks) > 1:
        return ["Several banks are joined: the table of ABYC E-11 is for one.", _EDITION]
    (bank,) = banks
    strings = strings_counted(bank)
    if not bank.chemistry.is_surely("flooded"):
        return [
            "The table of ABYC E-11 by cranking current is for flooded lead-acid only.",
            _EDITION,
        ]
    if not bank.cranking.seen or strings is None:
        words = "Its cranking current was not noted: the table of ABYC E-11 cannot be used."
        return [words, _EDITION]
    cranking = float(fault.parallel_cranking_A(bank.cranking.span[2], strings_in_parallel=strings))
    rows = [
        row
        for row in table("abyc_dc_interrupting_capacity").rows()
        if float(row["system_low_V"]) <= bank.voltage.span[1] <= float(row["system_high_V"])
        and cranking <= float(row["bank_CCA_max_A"] or np.inf)
    ]
    scope = table("abyc_interrupting_scope")
    most_A = scope.exact("value", name="most cranking current")
    most_Ah = scope.exact("value", name="most capacity")
    total = bank.capacity.span[2] * strings if bank.capacity.seen else 0.0
    if not rows or (cranking > most_A and not (0 < total <= most_Ah)):
        return ["Its bank is outside the table of ABYC E-11 by cranking current.", _EDITION]
    main = device.at_battery.is_surely("yes")
    row = min(rows, key=lambda r: float(r["bank_CCA_max_A"] or np.inf))
    least = float(row["main_breaker_AIC_A" if main else "branch_breaker_AIC_A"])
    said = (
        f"ABYC E-11, Table V-A ({row['status']}), asks {units.show(least, 'current')} of a "
        f"{'first' if main else 'later'} breaker on a flooded bank of {cranking:,.0f} CCA."
    )
    if device.interrupting.seen:
        void = _void(device, bank.voltage.span[1])
        meets = not void and device.interrupting.span[0] >= least * (1 - 1e-9)
        said += f" By it this device {'meets' if meets else 'fails'}."
    return [said, _EDITION]


def _void(device: Protection, volts: float) -> bool:
    """Whether it is used above its marked voltage, where its rating says nothing."""
    return device.marked_voltage.seen and device.marked_voltage.span[0] < volts * (1 - 1e-9)


CHECK = Check(
    name="interrupting",
    judges="what a fuse or breaker can break against what its bank can push",
    system="cables and protection",
    place=261,
    of=_devices,
    ask=_breaks,
)
