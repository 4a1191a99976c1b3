"""The smallest fault on each run with a device: at the far end, the cable hot, the bank weak.

Two checks ask of it: whether the device opens on it, and whether before the cable is harmed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from elec.boat.possible import possible
from elec.boat.records import Alternator, Bank, BoatFile, Bus, Charger, Protection, Run, Solar
from elec.calc.cables import conductors
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_load import is_direct
from elec.checks.cables.run_noted import cable_of
from elec.checks.cannot import CannotJudge, cannot
from elec.checks.network.alternating import ON_ALTERNATING, Alternating, together
from elec.checks.network.bank_fault import ask_least
from elec.checks.network.bank_source import bank_of
from elec.checks.network.graph import Graph
from elec.checks.network.graph_runs import graph_at
from elec.checks.network.opening import CARRIES, curve_of
from elec.checks.question import Question
from elec.errors import ElecError
from elec.finding import NotChecked, Step
from elec.judge import Ruling
from elec.published import table

__all__ = ["HOLDS", "SmallestFault", "guarded", "smallest_faults"]

HOLDS = ("adequate", "marginal")
Given = dict[str, Any]
#: Runs, each with its fuse or breaker.
Guarded = tuple[tuple[Run, Protection], ...]


def guarded(boat: BoatFile) -> list[Guarded | Alternating]:
    """Return the runs on direct current that have a device, and those on alternating current."""
    direct, alternating = list[tuple[Run, Protection]](), list[Run]()
    for run in boat.run:
        device = boat.find(run.protection or "")
        if not isinstance(device, Protection) or device.device.is_surely("none"):
            continue
        if is_direct(run, boat):
            direct.append((run, device))
        else:
            alternating.append(run)
    return [tuple(direct), *together(alternating)]


class SmallestFault:
    """The smallest fault of a run, and whether its device surely opens on it.

    ``known`` is the curve that was noted or is published for the device.
    """

    def __init__(self, cable: Cable, device: Protection, boat: BoatFile) -> None:
        self.cable, self.device = cable, device
        self.id, self.where = cable.run.id, cable.run.where
        self.question = question = Question()
        graph, at = _fed_from(cable, boat)
        self._thevenin, self.sources, self.notes = ask_least(
            question, graph, at, max(cable.basis.insulation_C)
        )
        cable.ask_size(question, area=True)
        cable.ask_insulation(question)
        question.noted("length_m", cable.length, entry=cable.run, field="length", worse="higher")
        self.best_A = float(np.asarray(self._fault_A(question.best_values())))
        self.known = curve_of(device)
        self.curve = self.known or CARRIES
        self.curve.ask_rating(question, device)
        self.sources.append(table("possible_ranges").source())
        self.steps = [_step(self.best_A, at_bus=isinstance(boat.find(at), Bus))]
        self.ruling = question.rule(self._opens, "at least")
        if self.known is not None and not self.holds:
            self.curve.ask_first(question, device)  # below its first point it may open, or not
            self.ruling = question.rule(self._opens, "at least")
        if self.holds and self.known is not None:
            _all_banks_known(graph, at, boat, cable.basis.name)

    @property
    def holds(self) -> bool:
        """Whether the device surely opens, or without a curve the fault is over its rating."""
        return self.ruling.verdict in HOLDS

    @property
    def no_curve(self) -> bool:
        """Whether nothing says that it opens: the fault is over its rating, no curve is known."""
        return self.holds and self.known is None

    def with_row(self, row: int) -> Ruling:
        """Return the ruling with cable of another listed size."""

        def larger(**given: Any) -> tuple[Any, Any]:
            return self._opens(**{**given, "row": float(row), "small": 0.0})

        return self.question.rule(larger, "at least")

    def larger(self, enough: Callable[[int], bool]) -> str:
        """Return in words the least listed size above the one it has that is enough, if any."""
        basis = self.cable.basis
        for row in range(self.cable.own_row() + 1, len(basis.size_labels)):
            if enough(row):
                return f"{basis.size_labels[row]} cable or larger"
        return ""

    def _opens(self, **given: Any) -> tuple[Any, Any]:
        from_A = self.curve.from_A(np.asarray(given["rating_A"]), given.get("first"))
        return self._fault_A(given), from_A

    def _fault_A(self, given: Given) -> Any:
        cable, constants = self.cable, table("resistivity_constants")
        column = np.asarray(np.rint(given["insulation"]), dtype=int)
        loop = conductors.resistance_ohm(
            2 * np.asarray(given["length_m"]),
            area_mm2=cable.metal_mm2(given),
            resistivity_20C_ohm_mm2_per_m=constants.exact(
                "equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C"
            ),
            temperature_coefficient_per_K=constants.exact("value", name="copper alpha20"),
            conductor_temp_C=np.asarray(cable.basis.insulation_C)[column],
        )
        emf_V, behind_ohm = self._thevenin(given)
        return emf_V / (behind_ohm + loop)


def smallest_faults(
    runs: Guarded | Alternating, boat: BoatFile, basis: str
) -> list[SmallestFault | NotChecked]:
    """Return the smallest fault of each run, or why it cannot be told when its device opens."""
    if isinstance(runs, Alternating):
        raise CannotJudge(ON_ALTERNATING)
    found: list[SmallestFault | NotChecked] = []
    for run, device in runs:
        try:
            found.append(_smallest_fault(run, device, boat, basis))
        except ElecError as error:
            why = cannot(error)
            left = NotChecked("smallest-fault", run.id, why.reason, run.where, why.read)
            found.append(left)
    return found


def _smallest_fault(run: Run, device: Protection, boat: BoatFile, basis: str) -> SmallestFault:
    if not device.rating.seen and not (device.opens.seen and not device.opens.of_rating):
        words = f"the rating on '{device.id}'"
        raise CannotJudge(f"the rating of '{device.id}' was not noted", words)
    if run.size.size is None:
        raise CannotJudge("its size was not read", f"the size of the cable of '{run.id}'")
    return SmallestFault(cable_of(run, boat, basis), device, boat)


def _fed_from(cable: Cable, boat: BoatFile) -> tuple[Graph, str]:
    """Return the bank or bus that feeds a fault in a run, and the network in which it lies."""
    feeds = boat.find(cable.run.start or "")
    if isinstance(feeds, (Alternator, Charger, Solar)):  # a fault there is fed from the bank's end
        feeds = boat.find(cable.run.end or "")
    at = feeds.id if isinstance(feeds, (Bank, Bus)) else bank_of([cable.run], boat).id
    graph = graph_at(at, boat, cable.basis.name, unread=False)
    if graph is None:
        reason = f"no bank feeds '{at}', where it starts, by any run noted whose size was read"
        raise CannotJudge(reason, f"the run that feeds '{at}', its size, and from which bank")
    return graph, at


def _step(best_A: float, *, at_bus: bool) -> Step:
    weak, _, _ = possible("resistance of a weak bank over a full one")
    up_to = ", that up to the bus at the highest rating listed" if at_bus else ""
    return Step(
        "Imin",
        f"E / ({weak:g} x E / Isc + R), R out and back, its own at the rating of the insulation"
        f"{up_to}",
        "",
        best_A,
        "A",
        "Ohm's law; weak bank as republished",
    )


def _all_banks_known(graph: Graph, at: str, boat: BoatFile, basis: str) -> None:
    """Refuse where a bank is joined by a cable that cannot be judged: alone it may give less."""
    joined = graph_at(at, boat, basis, unread=True)
    counted = {bank.id for bank in graph.banks}
    left = [bank.id for bank in joined.banks if bank.id not in counted] if joined else []
    if joined is not None and left:
        known = {cable.run.id for cable in graph.cables}
        cables = [c.run.id for c in joined.cables if c.run.id not in known]
        names, ways = (" and ".join(map(repr, many)) for many in (left, cables))
        raise CannotJudge(
            f"what {names} alone gives is not known: {ways} could not be judged",
            f"the size and the insulation rating of {ways}",
        )
