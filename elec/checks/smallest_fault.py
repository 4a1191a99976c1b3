"""Whether the device of a run opens on the smallest fault, and before its cable is harmed.

The smallest fault: at the far end, the cable hot, the bank weak. A device is only taken to open
where a published curve or calibration point says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.records import BoatFile, Bus, Protection
from elec.boat.typical import possible
from elec.calc import conductors, withstand
from elec.checks.bank_fault import ask_least, graph_at
from elec.checks.bank_source import bank_of, is_direct
from elec.checks.cable import Cable, CannotJudge, cable_of
from elec.checks.question import Question
from elec.finding import Finding, NotChecked, Step
from elec.judge import Ruling, Span
from elec.published import Source, Table, table

__all__ = ["CHECKS", "check"]

OPENS, IN_TIME = "smallest-fault", "fault-withstand"
CHECKS = (OPENS, IN_TIME)


@dataclass(frozen=True)
class _Curve:
    """From ``multiple`` times its rating on a device opens; ``points`` by multiple, longest s."""

    multiple: float
    points: tuple[tuple[float, float], ...]
    source: Source


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Judge the device of every DC run."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for run in boat.run:
        device = boat.find(run.protection) if run.protection else None
        if not isinstance(device, Protection) or device.device == "none":
            continue
        if not is_direct(run, boat) or not device.rating.seen:
            continue
        try:
            if run.size.size is None:
                raise CannotJudge("its size was not read", f"the size of the cable of '{run.id}'")
            cable = cable_of(run, boat, basis)
            found, left = _judge(cable, device, boat)
            findings += found
            skipped += left
        except CannotJudge as error:
            skipped.append(NotChecked(OPENS, run.id, error.reason, run.where, error.read))
    return findings, skipped


def _judge(
    cable: Cable, device: Protection, boat: BoatFile
) -> tuple[list[Finding], list[NotChecked]]:
    question = Question()
    start = cable.run.start or ""
    at_bus = isinstance(boat.find(start), Bus)
    at = start if at_bus else bank_of([cable.run], boat).id
    graph = graph_at(at, boat, cable.basis.name, unread=False)
    if graph is None:
        reason = f"no bank feeds '{at}', where it starts, by any run noted whose size was read"
        raise CannotJudge(reason, f"the run that feeds '{at}', its size, and from which bank")
    thevenin, sources, notes = ask_least(question, graph, at, max(cable.basis.insulation_C))
    cable.ask_size(question, area=True)
    cable.ask_insulation(question)
    question.noted("length_m", cable.length, entry=cable.run, field="length", worse="higher")
    question.noted("rating_A", device.rating, entry=device, field="rating", worse="higher")
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
    curve = _curve(device, best)
    sources += [curve.source, table("possible_ranges").source()]
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
        return fault_A(given), curve.multiple * np.asarray(given["rating_A"])

    ruling = question.rule(opens, "at least")
    found = [
        question.finding(
            ruling,
            check=OPENS,
            entry=cable.run,
            sense="at least",
            quantity="current",
            worst="A",
            statement=lambda value, limit: (
                f"The smallest fault on run '{cable.run.id}' draws {value}; '{device.id}' is known "
                f"to open from {limit} on, {curve.multiple:g} times its rating."
            ),
            working=steps,
            sources=sources,
            remedy=_remedy(cable, question, opens, ruling, curve.multiple),
            caution="A fault that no device clears heats its cable until something burns.",
            notes=notes,
        )
    ]
    if not curve.points:
        return found, []
    constants_of = _k_by_rating(cable)
    if any(np.isnan(constants_of[round(end)]) for end in question.ends("insulation")):
        reason = "no short-circuit constant is held for every insulation that it may have"
        read = f"the temperature printed on the cable of '{cable.run.id}'"
        return found, [NotChecked(IN_TIME, cable.run.id, reason, cable.run.where, read)]
    found.append(_in_time(cable, device, ruling.value, curve, steps, sources))
    return found, []


def _remedy(
    cable: Cable, question: Question, opens: Any, ruling: Ruling, multiple: float
) -> str | None:
    """Return the largest standard rating that opens, and the smallest size with which it does."""
    if ruling.verdict in ("adequate", "marginal"):
        return None
    most_A = float(ruling.value.low) / multiple
    ratings = [
        rating
        for row in table("standard_device_ratings").rows()
        if (rating := float(row["rating_A"])) <= most_A
    ]
    ways = []
    if ratings:
        ways.append(f"a device of {max(ratings):g} A or less of the same kind, if its load lets it")
    noted_size = cable.run.size.size
    first = cable.basis.size_rows(noted_size)[0] + 1 if noted_size is not None else 0
    for row in range(first, len(cable.basis.size_labels)):

        def larger(*, _row: int = row, **given: Any) -> Any:
            return opens(**{**given, "row": np.full(np.shape(given["row"]), float(_row))})

        if question.rule(larger, "at least").verdict in ("adequate", "marginal"):
            ways.append(f"{cable.basis.size_labels[row]} cable or larger")
            break
    if not ways:
        return "No standard rating and no listed size is enough: shorten the run, or divide it."
    return f"Fit {', or '.join(ways)}."


def _in_time(
    cable: Cable,
    device: Protection,
    smallest: Span,
    curve: _Curve,
    steps: list[Step],
    sources: list[Source],
) -> Finding:
    """Judge the longest opening time at the smallest fault against what the cable survives."""
    multiples, times = (np.array(part) for part in zip(*curve.points, strict=True))
    k_of = _k_by_rating(cable)
    question = Question()
    low, best, high = float(smallest.low), float(smallest.best), float(smallest.high)
    current = noted.between(low, high, "current", best=best)
    # a larger fault opens the device sooner and harms the cable sooner: neither end is the worst
    question.noted("fault_A", current, entry=cable.run, field="smallest fault current", worse=None)
    cable.ask_size(question, area=True)
    cable.ask_insulation(question)
    question.noted("rating_A", device.rating, entry=device, field="rating", worse="higher")

    def in_time(**given: Any) -> tuple[Any, Any]:
        current = given["fault_A"]
        place = np.searchsorted(multiples, current / given["rating_A"] * (1 + 1e-9), "right") - 1
        opening = np.where(place < 0, np.inf, times[np.maximum(place, 0)]) / 3600
        column = np.asarray(np.rint(given["insulation"]), dtype=int)
        survives = withstand.withstand_time_s(
            current, area_mm2=cable.metal_mm2(given), k_A_sqrt_s_per_mm2=k_of[column]
        )
        return opening, survives / 3600

    ruling = question.rule(in_time, "at most")
    return question.finding(
        ruling,
        check=IN_TIME,
        entry=cable.run,
        sense="at most",
        quantity="duration",
        worst="A",
        statement=lambda value, limit: (
            f"On the smallest fault '{device.id}' opens within {value}; the cable of "
            f"'{cable.run.id}' survives it for {limit}."
        ),
        working=steps,
        sources=[*sources, table("adiabatic_k_copper").source()],
        remedy="Fit a device that opens sooner, or a larger cable.",
        notes=[
            "The opening time is that of the next lower point of the curve, nothing between "
            "points; the cable's is adiabatic, which counts no heat lost and is short of the truth "
            "beyond 5 s. Boat cable of 105 °C has no published constant: the lowest computed one "
            "is taken."
        ],
    )


def _k_by_rating(cable: Cable) -> Any:
    """Return the lowest constant for each insulation rating, of the next higher start listed."""
    rows = table("adiabatic_k_copper").rows()
    column = ("k_published_A_sqrt_s_per_mm2", "k_formula_A_sqrt_s_per_mm2")
    constants = []
    for rated in cable.basis.insulation_C:
        starts = sorted(
            {float(row["initial_C"]) for row in rows if float(row["initial_C"]) >= rated}
        )
        constants.append(
            np.nan
            if not starts
            else min(
                float(row[column[0]] or row[column[1]])
                for row in rows
                if float(row["initial_C"]) == starts[0]
            )
        )
    return np.array(constants)


def _curve(device: Protection, fault_A: float) -> _Curve:
    """Return what is published on when a device opens."""
    if device.device == "breaker":
        points: Table = table("breaker_trip_ul489")
        rating = device.rating.span[2]
        name = next(
            row["point"]
            for row in points.rows()
            if row["point"].startswith("trip 135")
            and (float(row["rating_over_A"] or 0) < rating)
            and (not row["rating_to_A"] or rating <= float(row["rating_to_A"]))
        )
        multiple = points.exact("percent_of_rating", point=name) / 100
        return _Curve(multiple, (), points.source(point=name))
    if device.device == "fuse" and device.family == "blade":
        curve = table("fuse_blade_time_current")
        listed = tuple(
            (float(row["percent_of_rating"]) / 100, float(row["opening_time_max_s"]))
            for row in curve.rows()
            if row["opening_time_max_s"]
        )
        return _Curve(listed[0][0], listed, curve.source())
    share = fault_A / device.rating.span[2]
    raise CannotJudge(
        f"no time-current curve is held for '{device.id}'; the smallest fault at its far end draws "
        f"about {units.show(fault_A, 'current')}, {share:.1f} times its rating",
        f"the kind of '{device.id}', and its maker's time-current curve",
    )
