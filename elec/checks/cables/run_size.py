"""A run's conductor against the least size allowed, alone or in a sheath."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import BoatFile
from elec.checks.basis import area_mm2
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_noted import as_noted, sure_of_size
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, Verdict
from elec.published import table

__all__ = ["CHECK", "judge_run"]

_LAID = {"yes": "in a sheath", "no": "alone"}
_PARALLEL = "in parallel"


def judge_run(cable: Cable, _boat: BoatFile | None = None) -> Finding:
    """Judge the size by its nominal area; gauge sizes count by number, whatever their standard."""
    run, basis = cable.run, cable.basis
    sizes = cable.sizes()
    if not sizes:
        raise CannotJudge("its size was not read", f"the size printed on the cable of '{run.id}'")
    laid = [how for word, how in _LAID.items() if run.sheathed.may_be(word)]
    if cable.parallel > 1:
        laid = [_PARALLEL]
    listed = table("minimum_conductor_size")
    least = {how: listed.row(basis=basis.name, where_used=how) for how in laid}
    question = Question()
    question.among(
        "area_mm2",
        [Option(area_mm2(size), size.label) for size in sizes],
        entry=run,
        field="size",
        worse="lower",
        noted="not seen" if run.size.text == "?" else run.size.text,
        more="or larger",
    )
    question.among(
        "least_mm2",
        [Option(float(least[how]["least_area_mm2"]), how) for how in laid],
        entry=run,
        field="sheathed",
        worse="higher",
        best=float(least[laid[-1]]["least_area_mm2"]),
        more="",
    )

    def requirement(**given: Any) -> tuple[Any, Any]:
        # half a thousandth: areas of gauge sizes are printed to that
        return np.round(given["area_mm2"], 3), given["least_mm2"]

    ruling = question.rule(requirement, "at least")
    words = " or ".join(f"{row['least_size']} {how}" for how, row in least.items())
    largest = max(least.values(), key=lambda row: float(row["least_area_mm2"]))
    return question.finding(
        ruling,
        check="run-size",
        entry=run,
        quantity="area",
        worst="B",
        statement=lambda value, limit: (
            f"Run '{run.id}' has a conductor of {value} ({cable.size_words()}); the least is "
            f"{limit} ({words}, {least[laid[0]]['instrument']})."
        ),
        sources=[listed.source(basis=basis.name, where_used=how) for how in laid],
        remedy=f"Fit {largest['least_size']} or larger.",
        notes=_notes(cable, least, ruling.verdict),
    )


def _notes(cable: Cable, least: dict[str, dict[str, str]], verdict: Verdict) -> list[str]:
    notes = []
    if cable.parallel > 1:
        notes.append(
            "Least size of conductors in parallel by a rule on land; no marine rule of it was "
            "read. They must be alike in length, size, metal, insulation and ends to share alike."
        )
    outside = {row["outside_sheath_most_mm"] for row in least.values()} - {""}
    if outside and verdict != "adequate":
        notes.append(f"In a sheath it may leave it by {outside.pop()} mm at most.")
    if cable.basis.name == "us" and verdict != "adequate":
        notes.append(
            "The regulation exempts communication and electronic navigation gear, circuits under "
            "1 A, wiring inside housings, pigtails under 7 in, and cranking motors."
        )
    return notes


CHECK = Check(
    name="run-size",
    judges="size of a conductor against the least allowed",
    system="cables and protection",
    place=244,
    of="run",
    prepare=as_noted,
    ask=sure_of_size(judge_run),
)
