"""Whether the device of a run opens on the smallest fault, and before its cable is harmed.

The smallest fault: at the far end, the cable hot, the bank weak. A device is only taken to open
where its curve, noted or published, says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np

from elec import units
from elec.boat.possible import possible
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
from elec.calc.cables import conductors
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_load import is_direct
from elec.checks.cables.run_noted import cable_of
from elec.checks.cannot import CannotJudge, cannot
from elec.checks.network.bank_fault import ask_least, graph_at
from elec.checks.network.bank_source import bank_of
from elec.checks.network.fault_withstand import CHECK as IN_TIME
from elec.checks.network.fault_withstand import Beyond, Fault, judge_in_time, left_open
from elec.checks.network.graph import Graph
from elec.checks.network.opening import CARRIES, OpeningCurve, curve_of, to_read
from elec.checks.question import Question
from elec.errors import ElecError
from elec.finding import Finding, NotChecked, Step
from elec.judge import Ruling
from elec.published import table

__all__ = ["CHECKS", "check"]

OPENS = "smallest-fault"
CHECKS = (OPENS, IN_TIME)
_HOLDS = ("adequate", "marginal")


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge the device of every DC run."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    no_curve: list[_NoCurve] = []
    beyond: list[Beyond] = []
    unknown: list[Run] = []
    alternating: list[str] = []
    for run in boat.run:
        device = boat.find(run.protection) if run.protection else None
        if not isinstance(device, Protection) or device.device.is_surely("none"):
            continue
        if not is_direct(run, boat):
            alternating.append(run.id)
            continue
        try:
            if not device.rating.seen and not (device.opens.seen and not device.opens.of_rating):
                words = f"the rating on '{device.id}'"
                raise CannotJudge(f"the rating of '{device.id}' was not noted", words)
            if run.size.size is None:
                raise CannotJudge("its size was not read", f"the size of the cable of '{run.id}'")
            cable = cable_of(run, boat, basis)
            opens, in_time = _judge(cable, device, boat)
            findings.append(opens)
            if isinstance(in_time, Finding):
                findings.append(in_time)
            elif isinstance(in_time, Beyond):
                beyond.append(in_time)
            else:
                skipped.append(in_time)
        except ElecError as caught:
            unknown.append(run)
            if isinstance(caught, _NoCurve) and not caught.read:
                no_curve.append(caught)
                continue
            error = cannot(caught)
            skipped.append(NotChecked(OPENS, run.id, error.reason, run.where, error.read))
    skipped += [*_without_curve(no_curve), *left_open(beyond)]
    if unknown:
        reason = "when the device opens is not known: see smallest-fault"
        skipped.append(NotChecked(IN_TIME, _listed(run.id for run in unknown), reason))
    if alternating:
        reason = "on alternating current: what a dock or generator gives a fault is not judged"
        skipped += [NotChecked(check, _listed(alternating), reason) for check in CHECKS]
    return findings, skipped


class _NoCurve(CannotJudge):
    """No curve was noted or is held for a device."""

    def __init__(self, run: Run, device: Protection, fault_A: float) -> None:
        self.run, self.device = run, device
        share = (
            f", {fault_A / device.rating.span[2]:.1f} times the rating of '{device.id}'"
            if device.rating.seen
            else ""
        )
        self.draws = f"{units.show(fault_A, 'current')} on '{run.id}'{share}"
        super().__init__(_no_curve([self]), to_read(device))


def _no_curve(alike: Sequence[_NoCurve]) -> str:
    names = " and ".join(f"'{name}'" for name in dict.fromkeys(one.device.id for one in alike))
    return (
        f"no time-current curve was noted for {names}, nor is one held for that kind; the smallest "
        f"fault draws about {'; '.join(one.draws for one in alike)}"
    )


def _without_curve(left: Sequence[_NoCurve]) -> list[NotChecked]:
    """Say in one line which devices of known kind have no curve: a walk does not yield it."""
    if not left:
        return []
    return [NotChecked(OPENS, _listed(one.run.id for one in left), _no_curve(left))]


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))


def _judge(
    cable: Cable, device: Protection, boat: BoatFile
) -> tuple[Finding, Finding | NotChecked | Beyond]:
    question = Question()
    feeds = boat.find(cable.run.start or "")
    if isinstance(feeds, (Alternator, Charger, Solar)):  # a fault there is fed from the bank's end
        feeds = boat.find(cable.run.end or "")
    at_bus = isinstance(feeds, Bus)
    at = feeds.id if isinstance(feeds, (Bank, Bus)) else bank_of([cable.run], boat).id
    graph = graph_at(at, boat, cable.basis.name, unread=False)
    if graph is None:
        reason = f"no bank feeds '{at}', where it starts, by any run noted whose size was read"
        raise CannotJudge(reason, f"the run that feeds '{at}', its size, and from which bank")
    thevenin, sources, notes = ask_least(question, graph, at, max(cable.basis.insulation_C))
    cable.ask_size(question, area=True)
    cable.ask_insulation(question)
    question.noted("length_m", cable.length, entry=cable.run, field="length", worse="higher")
    weak, _, _ = possible("resistance of a weak bank over a full one")
    constants = table("resistivity_constants")

    def fault_A(given: dict[str, Any]) -> Any:
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
        emf_V, behind_ohm = thevenin(given)
        return emf_V / (behind_ohm + loop)

    best = float(np.asarray(fault_A(question.best_values())))
    known = curve_of(device)
    curve = known or CARRIES
    curve.ask_rating(question, device)
    sources.append(table("possible_ranges").source())
    steps = [
        Step(
            "Imin",
            f"E / ({weak:g} x E / Isc + R), R out and back, its own at the rating of the insulation"
            f"{', that up to the bus at the highest rating listed' if at_bus else ''}",
            "",
            best,
            "A",
            "Ohm's law; weak bank as republished",
        )
    ]

    def opens(**given: Any) -> tuple[Any, Any]:
        return fault_A(given), curve.from_A(np.asarray(given["rating_A"]), given.get("first"))

    def with_row(row: int) -> Ruling:
        def larger(**given: Any) -> tuple[Any, Any]:
            other = {"row": np.full(np.shape(given["row"]), float(row)), "small": 0.0}
            return opens(**{**given, **other})

        return question.rule(larger, "at least")

    ruling = question.rule(opens, "at least")
    if known is not None and ruling.verdict not in _HOLDS:
        curve.ask_first(question, device)  # below its first point it may open, or not
        ruling = question.rule(opens, "at least")
    if known is None and ruling.verdict in _HOLDS:
        raise _NoCurve(cable.run, device, best)
    if ruling.verdict in _HOLDS:
        _all_banks_known(graph, at, boat, cable.basis.name)
    from_A = units.show_limit(float(ruling.limit.high), "current", sense="at least")
    times = f", {curve.currents[0]:g} times its rating" if curve.of_rating else ""
    does = "is known to open from {0} on" + times if known else "carries {0}, its rating, for ever"
    found = question.finding(
        ruling,
        check=OPENS,
        entry=cable.run,
        sense="at least",
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"The smallest fault on run '{cable.run.id}' draws {value}; '{device.id}' "
            f"{does.format(from_A if known else limit)}."
        ),
        working=steps,
        sources=[*sources, *([curve.source] if curve.source else [])],
        remedy=_remedy(cable, curve, with_row, ruling),
        caution="A fault that no device clears heats its cable until something burns.",
        notes=[*notes, f"By {curve.words}; below its first point nothing says that it opens."],
    )
    if ruling.verdict not in _HOLDS:
        reason = f"'{device.id}' is not known to open at all on it: see smallest-fault"
        return found, NotChecked(IN_TIME, cable.run.id, reason, cable.run.where)
    smallest = Fault(ruling.value, lambda row: with_row(row).value, steps, sources)
    return found, judge_in_time(cable, device, curve, smallest)


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


def _remedy(
    cable: Cable, curve: OpeningCurve, with_row: Callable[[int], Ruling], ruling: Ruling
) -> str | None:
    """Return the largest standard rating that opens, and the smallest size with which it does."""
    if ruling.verdict in _HOLDS:
        return None
    ways = []
    if curve.of_rating and curve is not CARRIES:
        most_A = float(ruling.value.low) / curve.currents[0]
        listed = table("standard_device_ratings").numbers("rating_A")
        fits = [rating for rating in listed if cable.load_A()[2] <= rating <= most_A]
        if fits:
            ways.append(f"a device of {max(fits):g} A or less of the same kind")
    size = cable.run.size.size
    first = cable.basis.size_rows(size)[0] + 1 if size is not None else 0
    for row in range(first, len(cable.basis.size_labels)):
        if with_row(row).verdict in _HOLDS:
            ways.append(f"{cable.basis.size_labels[row]} cable or larger")
            break
    from_A = units.show_limit(float(ruling.value.low), "current", sense="at most")
    ways.append(f"a device that opens from {from_A} on")
    return f"Fit {', or '.join(ways)}."
