"""Sizes a run: every listed size judged by the same questions as a survey, the smallest chosen.

Every figure of a size is the one at the hardest end of what is not settled: the largest current,
the longest run, the hottest place.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from elec import units
from elec.boat.fields import GaugeNoted
from elec.boat.records import BoatFile, Protection
from elec.calc.cables import sizing
from elec.checks.basis import Basis, basis_of
from elec.checks.cables import run_ampacity, run_drop, run_protection, run_size
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_noted import notes_of
from elec.checks.cannot import CannotJudge
from elec.checks.sizing.cable_device import Protected, any_device, protected
from elec.checks.sizing.cable_metal import Printed, metal_of, printed_of
from elec.errors import TableRangeError
from elec.finding import Finding, NotChecked, Verdict
from elec.json_form import form

__all__ = ["Candidate", "Sizing", "listed_sizes", "size_cable"]

_WORST: tuple[Verdict, ...] = ("inadequate", "undetermined", "marginal", "adequate")


def _finite(margin: float) -> float | None:
    return margin if np.isfinite(margin) else None


@dataclass(frozen=True)
class Candidate:
    """One size judged: ``fails_on`` names what it fails, with the margin by which it does."""

    size: str
    area_mm2: float
    area_sae_mm2: float | None
    ampacity_A: float
    drop_V: float | None
    drop_fraction: float | None
    drop_physical_V: float | None
    conductor_temp_C: float | None
    physical_note: str | None
    verdict: Verdict
    fails_on: dict[str, float]
    findings: tuple[Finding, ...]
    allowed_fraction: float | None

    JSON = form(
        "size area_mm2 area_sae_mm2 ampacity_A drop_V drop_fraction drop_physical_V "
        "conductor_temp_C physical_note verdict fails_on fails_by margin",
        fails_on=lambda one: list(one.fails_on),
        fails_by=lambda one: {name: _finite(margin) for name, margin in one.fails_on.items()},
        margin=lambda one: _finite(min(f.margin.low for f in one.findings)),
    )


@dataclass(frozen=True)
class Sizing:
    """What sizing says. ``judged`` is the size asked about, else none.

    ``two_of`` is the size of which two in parallel hold, where none by itself does.
    ``protection``, ``longest_m``, ``most_current_A`` and ``printed`` are of the size judged, or of
    the one chosen if none was asked about; ``to_fit`` is the protection of the one chosen.
    """

    cable: Cable
    candidates: tuple[Candidate, ...]
    chosen: Candidate | None
    governs: str | None
    judged: Candidate | None
    protection: Protected | None
    longest_m: float | None
    most_current_A: float | None
    not_checked: tuple[NotChecked, ...]
    to_fit: Protected | None = None
    printed: Printed | None = None
    placed: Finding | None = None
    two_of: str | None = None

    @property
    def subject(self) -> Candidate:
        """The size that the findings are about: asked about, chosen, or the largest there is."""
        return self.judged or self.chosen or self.candidates[-1]

    @property
    def exit_code(self) -> int:
        """Return 1 if what was asked fails, 3 if it is open, else 0."""
        verdicts = [self.subject.verdict, *([self.placed.verdict] if self.placed else [])]
        worst = min(verdicts, key=_WORST.index)
        return {"inadequate": 1, "undetermined": 3}.get(worst, 0)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings on the size, and on where its device stands if that was said."""
        return (*self.subject.findings, *([self.placed] if self.placed else []))


def size_cable(
    cable: Cable,
    *,
    wire: str,
    size: GaugeNoted | None = None,
    device: Protection | None = None,
    from_battery: bool = False,
    boat: BoatFile | None = None,
    placed: Finding | None = None,
) -> Sizing:
    """Judge every listed size, choose the smallest that holds, and judge ``size`` if given.

    Parameters
    ----------
    cable : Cable
        The run; its own size is not looked at. [-]
    wire : str
        "awg", "sae" or "metric": the sizes to choose from. [text]
    size : Gauge, optional
        A size to judge. [-]
    device : Protection, optional
        A fuse or breaker that is given; any listed one else. [-]
    from_battery : bool, default False
        Whether it starts at a battery terminal. [-]
    boat : BoatFile, optional
        The boat that the run is of. [-]
    placed : Finding, optional
        What was found of where its device stands. [-]
    """
    candidates, skipped = [], dict[str, NotChecked]()
    labels = listed_sizes(cable.basis, wire)
    for label in labels:
        tried = dataclasses.replace(cable, tried=label != labels[-1])
        one = _candidate(_with(tried, _noted(label)), device, skipped, boat)
        candidates.append(one)
    names = list(dict.fromkeys(name for c in candidates for name in _by_name(c)))
    margins = {
        # what could not be judged of a size does not hold
        name: [_by_name(c)[name].margin.low if name in _by_name(c) else -np.inf for c in candidates]
        for name in names
    }
    found = sizing.smallest_size(margins)
    place = int(found.index)
    chosen = candidates[place] if place >= 0 else None
    judged = None
    if size is not None:
        judged = _candidate(_with(cable, size), device, skipped, boat)
    subject = judged or chosen
    asked = size or (_noted(chosen.size) if chosen else None)
    return Sizing(
        cable,
        tuple(candidates),
        chosen,
        found.names[int(found.governs)],
        judged,
        protected(cable, subject.findings[0], from_battery, device) if subject else None,
        _longest_m(cable, subject) if subject else None,
        _most_current_A(cable, subject, device) if subject else None,
        tuple(skipped.values()),
        protected(cable, chosen.findings[0], from_battery, device) if chosen else None,
        printed_of(_with(cable, asked), subject.conductor_temp_C) if subject and asked else None,
        placed,
        None if chosen else _two_of(cable, wire, device, boat),
    )


def _two_of(
    cable: Cable, wire: str, device: Protection | None, boat: BoatFile | None
) -> str | None:
    """Return the smallest size of which two in parallel hold."""
    if cable.parallel > 1:
        return None
    two = dataclasses.replace(cable, run=cable.run.model_copy(update={"conductors_in_parallel": 2}))
    chosen = size_cable(two, wire=wire, device=device, boat=boat).chosen
    return chosen.size if chosen else None


def listed_sizes(basis: Basis, wire: str) -> list[str]:
    """Return the sizes of a kind of wire for which the basis has an ampacity, smallest first."""
    own = basis_of("iso" if wire == "metric" else "us")
    areas = own.small_area_mm2 if wire == "sae" else own.area_mm2
    labels = []
    for label, area in zip(own.size_labels, areas, strict=True):
        try:
            basis.size_rows(units.size(label))
        except TableRangeError:
            continue
        if np.isfinite(area):
            labels.append(label)
    return labels


def _noted(label: str) -> GaugeNoted:
    return GaugeNoted(units.size(label), False, label)


def _with(cable: Cable, size: GaugeNoted) -> Cable:
    run = cable.run.model_copy(update={"size": size})
    try:
        notes = notes_of(run, cable.basis)
    except (CannotJudge, TableRangeError) as error:
        raise TableRangeError(f"size {size.show()}: {error}") from None
    return dataclasses.replace(cable, run=run, notes=tuple(notes))


def _candidate(
    cable: Cable, device: Protection | None, skipped: dict[str, NotChecked], boat: BoatFile | None
) -> Candidate:
    asks: list[Callable[[], Finding]] = [
        lambda: run_ampacity.judge_run(cable),
        lambda: run_drop.judge_run(cable, boat),
        lambda: run_size.judge_run(cable),
    ]
    if device is not None:
        asks.append(lambda: run_protection.judge_device(cable, device))
    findings = []
    for ask in asks:
        try:
            findings.append(ask())
        except CannotJudge as error:
            skipped[error.reason] = NotChecked("run-drop", cable.run.id, error.reason)
    heat = findings[0]
    if device is None:
        findings.append(any_device(cable, heat))
    drop = next((f for f in findings if f.check == "run-drop"), None)
    metal = metal_of(cable, heat)
    fails = {
        _NAMES[f.check]: f.margin.low
        for f in findings
        if f.verdict in ("inadequate", "undetermined")
    }
    verdicts: list[Verdict] = [f.verdict for f in findings]
    if drop is None:
        fails["drop"] = -np.inf
        verdicts.append("undetermined")
    return Candidate(
        cable.run.size.show(),
        cable.least_mm2(),
        _sae_mm2(cable),
        heat.limit.low,
        None if drop is None else drop.value.high * cable.voltage_V,
        None if drop is None else drop.value.high,
        metal.drop_V,
        metal.temperature_C,
        metal.note,
        min(verdicts, key=_WORST.index),
        fails,
        tuple(findings),
        None if drop is None else drop.limit.low,
    )


_NAMES = {
    "run-ampacity": "ampacity",
    "run-drop": "drop",
    "run-size": "least size",
    "run-protection": "protection",
}


def _by_name(candidate: Candidate) -> dict[str, Finding]:
    return {_NAMES[f.check]: f for f in candidate.findings}


def _sae_mm2(cable: Cable) -> float | None:
    """Return the least area of the same number marked SAE, where a gauge size may be that."""
    size, (_, small) = cable.run.size.size, cable.areas_mm2()
    if (
        cable.basis.name != "us"
        or size is None
        or size.kind != "AWG"
        or cable.wire
        or (cable.run.size.ambiguous)
    ):
        return None
    area = float(small[cable.basis.size_rows(size)[0]])
    return area if np.isfinite(area) else None


def _longest_m(cable: Cable, subject: Candidate) -> float | None:
    """Return the longest run at the largest current; zero where another requirement fails."""
    if subject.drop_fraction is None or subject.allowed_fraction is None:
        return None
    if set(subject.fails_on) - {"drop"}:
        return 0.0
    return cable.length.span[2] * subject.allowed_fraction / subject.drop_fraction


def _most_current_A(cable: Cable, subject: Candidate, device: Protection | None) -> float:
    """Return the largest current at the longest length, by ampacity, drop and any listed device.

    Zero where what fails is nothing that less current mends.
    """
    given = {"protection"} if device is not None else set()
    if set(subject.fails_on) & ({"least size"} | given):
        return 0.0
    heat = subject.findings[0]
    load = cable.load_A()[2]
    limits = [load * _part(heat)]
    if device is None:
        limits.append(subject.findings[-1].limit.low)
    if subject.drop_fraction and subject.allowed_fraction:
        limits.append(load * subject.allowed_fraction / subject.drop_fraction)
    return min(limits)


def _part(heat: Finding) -> float:
    """Return how many times its current a size carries, at the hardest end of what is not settled.

    What is carried and what heats grow alike, by any duty.
    """
    share = 1.0 - heat.margin.low
    return 1.0 / share if np.isfinite(share) else 0.0
