"""The network of a boat as a question: what is not settled of it, and its solution."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from elec.calc import network
from elec.calc.cables import conductors
from elec.checks.cables.cable import Cable
from elec.checks.cannot import CannotJudge
from elec.checks.network.bank_source import ask_fault, ask_open_circuit
from elec.checks.network.graph import Graph, Place
from elec.checks.network.network_warmth import AS_HOT_AS_RATED, possible_mm2, warmth_of
from elec.checks.question import Option, Question, Worse
from elec.published import Source, table

__all__ = [
    "Part",
    "Solver",
    "area_mm2",
    "ask_banks",
    "ask_network",
    "loop_ohm",
    "stacked",
]

Solver = Callable[..., network.Solution]
#: From the inputs to the open-circuit voltages [V] and fault currents [A] of the banks.
Banks = Callable[[dict[str, Any]], tuple[Any, Any]]
_ROUNDS = 2


class Part(Question):
    """A part of a question, whose inputs carry the name of the part."""

    def __init__(self, whole: Question, name: str) -> None:
        super().__init__()
        self._whole, self._name = whole, name

    def exact(self, name: str, value: float) -> None:
        """Add an input that is settled."""
        self._whole.exact(self._name + name, value)

    def noted(self, name: str, *args: Any, **kinds: Any) -> None:
        """Add a value as noted."""
        self._whole.noted(self._name + name, *args, **kinds)

    def among(self, name: str, *args: Any, **kinds: Any) -> None:
        """Add an input that is one of several."""
        self._whole.among(self._name + name, *args, **kinds)

    def own(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """Return the inputs of this part, by their names within it."""
        return {
            name.removeprefix(self._name): value
            for name, value in given.items()
            if name.startswith(self._name)
        }


def ask_banks(
    question: Question, graph: Graph, *, full: bool, emf: Worse, fault: Worse
) -> tuple[Banks, list[Source], list[str]]:
    """Add what is not settled of the banks; return the function giving their EMFs and currents."""
    sources: list[Source] = []
    notes: list[str] = []
    parts = []
    for number, bank in enumerate(graph.banks):
        part = Part(question, f"bank_{number}_")
        sources.append(ask_open_circuit(part, bank, full=full, worse=emf))
        full_A, said = ask_fault(part, bank, worse=fault)
        notes += said
        parts.append((part, full_A))

    def banks(given: dict[str, Any]) -> tuple[Any, Any]:
        own = [(part.own(given), full_A) for part, full_A in parts]
        return stacked([g["emf_V"] for g, _ in own]), stacked([f(g) for g, f in own])

    return banks, sources, list(dict.fromkeys(notes))


def ask_network(
    question: Question, graph: Graph, running: list[Place], *, drop: bool
) -> tuple[Solver, list[Source], list[str]]:
    """Add what is not settled; return the solver from inputs, sources, and notes.

    The solver takes the inputs, and optionally other areas [mm²] or lengths [m] of runs, a multiple
    of the fault current of the banks, and the place of a load that is off.
    """
    # which end is the hardest is only known where each place has one way from one bank, and for a
    # drop where no load draws less as its voltage falls
    rising = not (drop and any(p.behaviour == "resistance" for p in running))
    simple = graph.radial and rising
    by_load = simple or not drop
    question.dear = not simple
    banks, sources, notes = ask_banks(
        question,
        graph,
        full=False,
        emf="lower" if by_load else None,
        fault="lower" if simple else None,
    )
    for number, place in enumerate(running):
        question.noted(
            f"load_{number}_A",
            place.current,
            entry=place.entry,
            field="current",
            worse="higher" if by_load else None,
        )
    backs = [graph.back(graph.path(place.bus)) for place in running]
    cables = [*graph.needed(running), *{b.run.id: b for b in backs if b is not None}.values()]
    _ask_cables(question, graph, cables, simple=simple)
    sources.append(table("resistivity_constants").source(name="IACS annealed copper 20 C"))
    return _Solver(graph, running, cables, backs, banks), sources, notes


def _ask_cables(question: Question, graph: Graph, cables: Sequence[Cable], *, simple: bool) -> None:
    for number, cable in enumerate(cables):
        question.noted(
            f"length_{number}_m",
            cable.length,
            entry=cable.run,
            field="length",
            worse="higher" if simple else None,
        )
        if cable.run.size.size is not None:
            continue
        if not simple or cable.run.id in graph.returns:
            # every size with every other thing that is open would be tried
            read = f"the size of the cable of '{cable.run.id}'"
            raise CannotJudge(f"the size of '{cable.run.id}' was not read", read)
        _ask_size(question, f"size_{number}", cable)


class _Solver:
    """A network as a function of what is not settled of it."""

    def __init__(
        self,
        graph: Graph,
        running: Sequence[Place],
        cables: Sequence[Cable],
        backs: Sequence[Cable | None],
        banks: Banks,
    ) -> None:
        self._cables, self._banks, self._volts = cables, banks, graph.volts
        self._base = network.prepare(
            [
                network.Run(
                    c.run.id,
                    *graph.joined.get(c.run.id, (f"back by {c.run.id}", network.RETURN)),
                    1.0,
                )
                for c in cables
            ],
            banks=[network.Bank(bank.id, bank.id, 12.0, 1.0) for bank in graph.banks],
            loads=[
                network.Load(
                    str(i), p.bus, 1.0, back=f"back by {b.run.id}" if b else network.RETURN
                )
                for i, (p, b) in enumerate(zip(running, backs, strict=True))
            ],
        )
        self._noted_mm2 = {c.run.id: area_mm2(c) for c in cables if c.run.size.size is not None}
        self._conductors = [graph.conductors(cable) for cable in cables]
        self._warmth = [warmth_of(cable) for cable in cables]
        self._counts = [place.count for place in running]
        self._power, self._steady, self._heat = (
            np.array([place.behaviour == kind for place in running], dtype=bool)
            for kind in ("constant power", "constant current", "resistance")
        )
        # how warm the metal is changes currents that are not given, by one order less each round
        self._rounds = 1 if graph.radial and self._steady.all() else _ROUNDS

    def __call__(
        self,
        given: dict[str, Any],
        areas: Mapping[str, float] | None = None,
        lengths: Mapping[str, float] | None = None,
        stronger: float = 1.0,
        off: int | None = None,
    ) -> network.Solution:
        emf, full_A = self._banks(given)
        loads = stacked(
            [
                np.asarray(given[f"load_{i}_A"]) * (0 if i == off else count)
                for i, count in enumerate(self._counts)
            ]
        )
        draws = np.where(loads > 0, loads, 1.0)
        asked = dataclasses.replace(
            self._base,
            bank_V=emf,
            bank_ohm=emf / (full_A * stronger),
            load_A=np.where(self._steady, loads, 0.0),
            load_W=np.where(self._power, loads * self._volts, 0.0),
            load_ohm=np.where(self._heat & (loads > 0), self._volts / draws, np.inf),
        )
        mm2 = self._areas(given) | dict(areas or {})

        def at(amperes: Any) -> network.Solution:
            ohms = self._ohms(given, mm2, lengths or {}, amperes)
            return network.solve(dataclasses.replace(asked, run_ohm=ohms))

        # from the hottest down: what is carried with that is carried, and drops less, when cooler
        found = at(np.full(len(self._cables), AS_HOT_AS_RATED))
        for _ in range(self._rounds):
            found = at(np.where(found.supplied[..., None], found.run_A, AS_HOT_AS_RATED))
        return found

    def _areas(self, given: dict[str, Any]) -> dict[str, Any]:
        unread = {
            c.run.id: possible_mm2(c)[np.asarray(np.rint(given[f"size_{i}"]), dtype=int)]
            for i, c in enumerate(self._cables)
            if c.run.id not in self._noted_mm2
        }
        return self._noted_mm2 | unread

    def _ohms(
        self,
        given: dict[str, Any],
        mm2: Mapping[str, Any],
        metres: Mapping[str, float],
        amperes: Any,
    ) -> Any:
        return stacked(
            [
                0.5
                * self._conductors[i]
                * loop_ohm(
                    metres.get(c.run.id, given[f"length_{i}_m"]),
                    area_mm2=mm2[c.run.id],
                    conductor_temp_C=self._warmth[i](mm2[c.run.id], amperes[..., i]),
                )
                for i, c in enumerate(self._cables)
            ]
        )


def _ask_size(question: Question, name: str, cable: Cable) -> None:
    """Add the size of a cable that was not read: its row, of all that are listed."""
    rows = [
        Option(float(row), cable.basis.size_labels[row])
        for row in np.flatnonzero(np.isfinite(possible_mm2(cable)))
    ]
    question.among(
        name,
        rows,
        entry=cable.run,
        field="size",
        worse="lower",
        best=rows[len(rows) // 2].value,
        more="or larger",
        source=f"every size of table {cable.basis.ampacity_table}",
        read=f"the size of the cable of '{cable.run.id}'",
    )


def stacked(values: list[Any]) -> Any:
    """Return values of parts, samples before, the parts along the last axis."""
    if not values:
        return np.zeros((0,))
    return np.stack(np.broadcast_arrays(*(np.asarray(v, dtype=float) for v in values)), axis=-1)


def area_mm2(cable: Cable, *, least: bool = True) -> float:
    """Return the metal area of a run [mm²]; the smaller, or larger, where its size is two."""
    assert cable.run.size.size is not None
    row, _ = cable.basis.size_rows(cable.run.size.size)
    normal, small = cable.areas_mm2()
    ambiguous = cable.run.size.ambiguous and np.isfinite(small[row])
    return float(small[row] if ambiguous and least else normal[row])


def loop_ohm(length_m: Any, *, area_mm2: float, conductor_temp_C: float) -> Any:
    """Return the resistance of a run out and back [ohm]."""
    constants = table("resistivity_constants")
    return conductors.resistance_ohm(
        2 * np.asarray(length_m),
        area_mm2=area_mm2,
        resistivity_20C_ohm_mm2_per_m=constants.exact(
            "equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C"
        ),
        temperature_coefficient_per_K=constants.exact("value", name="copper alpha20"),
        conductor_temp_C=conductor_temp_C,
    )
