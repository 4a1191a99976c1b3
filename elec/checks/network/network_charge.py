"""What the cables of chargers and alternators lose on the way to the bank that they charge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from elec.boat.records import Alternator, BoatFile, Charger, Run
from elec.checks.cables import drop_limits
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_load import is_direct
from elec.checks.cables.run_noted import cable_of
from elec.checks.cannot import CannotJudge
from elec.checks.network.graph import Graph
from elec.checks.network.graph_runs import charger_of
from elec.checks.network.graph_solve import area_mm2, loop_ohm
from elec.checks.network.network_remedy import Change
from elec.checks.network.network_warmth import WARMTH, warmth_of
from elec.checks.question import Question
from elec.checks.registry import Answer, each
from elec.finding import Finding, Step
from elec.noted import Noted
from elec.published import table

__all__ = ["judge"]


@dataclass(frozen=True)
class _Way:
    """A charger or alternator, the cable of its run, and the runs on to its bank."""

    entry: Charger | Alternator
    cable: Cable
    onward: tuple[Cable, ...]
    current: Noted
    measured: bool  # noted of the run itself, which is then judged alone elsewhere


def judge(boat: BoatFile, basis: str, graphs: Sequence[Graph]) -> Iterator[Answer]:
    """Judge the drop from each charger and alternator to its bank, all of a kind charging."""
    ways: dict[str, _Way] = {}

    def find(run: Run) -> None:
        entry = charger_of(run, boat)
        if entry is not None and is_direct(run, boat):
            ways[run.id] = _way(run, entry, boat, basis, graphs)

    def lost(run: Run) -> Finding | None:
        way = ways.get(run.id)
        if way is None or (way.measured and not way.onward):
            return None
        return _judge(way, [one for one in ways.values() if type(one.entry) is type(way.entry)])

    yield from each("network-drop", boat.run, find)
    yield from each("network-drop", boat.run, lost)


def _way(
    run: Run, entry: Charger | Alternator, boat: BoatFile, basis: str, graphs: Sequence[Graph]
) -> _Way:
    """Return the way from a charger to its bank.

    Refused if its current or a size was not read, or more than one way leads to the bank.
    """
    current = run.current if run.current.seen else _output(entry)
    if not current.seen:
        text = f"what '{entry.id}' gives was not noted"
        raise CannotJudge(text, f"the output current on the plate of '{entry.id}'")
    far = run.end if run.start == entry.id else run.start
    far = far or entry.bank
    graph = next((one for one in graphs if {far, entry.bank} <= one.buses), None)
    if graph is None:
        text = f"no run leads on from '{far}' to '{entry.bank}', which it charges"
        raise CannotJudge(text, f"the run from '{far}' to '{entry.bank}'")
    if far != entry.bank and not graph.radial:
        text = f"'{entry.bank}' is reached from '{far}' in several ways, or with other banks"
        raise CannotJudge(f"{text}: what its cables lose is not worked out")
    cables = {cable.run.id: cable for cable in graph.cables}
    onward = tuple(cables[name] for name in graph.path(far))
    own = cable_of(run.model_copy(update={"current": current, "serves": ()}), boat, basis)
    for cable in (own, *onward):
        if cable.run.return_by:
            raise CannotJudge(f"'{cable.run.return_by}' is its return: what it loses is not added")
        if cable.run.size.size is None:
            read = f"the size of the cable of '{cable.run.id}'"
            raise CannotJudge(f"the size of '{cable.run.id}' was not read", read)
    return _Way(entry, own, onward, current, run.current.seen)


def _output(entry: Charger | Alternator) -> Noted:
    if isinstance(entry, Alternator) and entry.converter.seen:
        return entry.converter
    return entry.current


class _Charging:
    """The question of what the cables of a way lose, all of its kind charging."""

    def __init__(self, way: _Way, alike: Sequence[_Way]) -> None:
        self.way, self.cables = way, (way.cable, *way.onward)
        self.question = question = Question()
        for number, one in enumerate(alike):
            name, entry = f"charging_{number}_A", one.entry
            question.noted(name, one.current, entry=entry, field="current", worse="higher")
        for number, cable in enumerate(self.cables):
            name = f"length_{number}_m"
            question.noted(name, cable.length, entry=cable.run, field="length", worse="higher")
        self.limits = drop_limits.ask_limit(way.cable, question)
        self._through = [
            [n for n, one in enumerate(alike) if cable in (one.cable, *one.onward)]
            for cable in self.cables
        ]
        self._warmth = [warmth_of(cable) for cable in self.cables]

    def along_V(
        self, given: dict[str, Any], place: int, areas: Any = None, lengths: Any = None
    ) -> Any:
        """Return what one of the cables loses [V]."""
        name = self.cables[place].run.id
        amperes = sum(given[f"charging_{n}_A"] for n in self._through[place])
        mm2 = (areas or {}).get(name, area_mm2(self.cables[place]))
        return amperes * loop_ohm(
            (lengths or {}).get(name, given[f"length_{place}_m"]),
            area_mm2=mm2,
            conductor_temp_C=self._warmth[place](mm2, amperes),
        )

    def lost(self, given: dict[str, Any], areas: Any = None, lengths: Any = None) -> Any:
        """Return the share of the voltage that is lost, and what is allowed."""
        places = range(len(self.cables))
        volts = sum(self.along_V(given, place, areas, lengths) for place in places)
        return volts / self.way.cable.voltage_V, given["limit"]


def _judge(way: _Way, alike: Sequence[_Way]) -> Finding:
    run, asked = way.cable.run, _Charging(way, alike)
    ruling = asked.question.rule(lambda **given: asked.lost(given), "at most")
    best = asked.question.best_values()
    change = Change(asked.cables, asked.question, asked.lost, "at most")
    words = f"run '{run.id}' " + ("and those that lead on from it lose" if way.onward else "loses")
    kind = "alternators" if isinstance(way.entry, Alternator) else "chargers"
    return asked.question.finding(
        ruling,
        entry=run,
        quantity="percentage",
        worst="B",
        statement=lambda value, limit: (
            f"While '{way.entry.id}' charges, {words} {value} on the way to '{way.entry.bank}'; at "
            f"most {limit} is allowed."
        ),
        working=[
            Step(
                f"E{place + 1}",
                f"I R along '{cable.run.id}'",
                "",
                float(asked.along_V(best, place)),
                "V",
                "copper as warm as its current makes it",
            )
            for place, cable in enumerate(asked.cables)
        ],
        sources=[
            table("resistivity_constants").source(name="IACS annealed copper 20 C"),
            *drop_limits.limit_sources(way.cable, asked.limits),
        ],
        remedy=change.of_one_run() or change.of_all_runs() or change.of_all_lengths(),
        notes=[
            f"By physics, {WARMTH}.",
            f"All {kind} at full output together, nothing drawn on the way: the most that its "
            "cables carry. What is lost is missing at the bank, which charges the slower for it.",
        ],
        part="charging",
    )
