"""A run's conductor against the least size allowed, alone or in a sheath."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from elec.checks.basis import area_mm2
from elec.checks.cables.cable import Cable
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question
from elec.finding import Finding
from elec.published import table

if TYPE_CHECKING:
    from elec.boat.records import BoatFile

__all__ = ["CHECK", "PARALLEL", "judge_run"]

CHECK = "run-size"
_LAID = ("in a sheath", "alone")
PARALLEL = "in parallel"


def judge_run(cable: Cable, _boat: BoatFile | None = None) -> Finding:
    """Judge the size by its nominal area; gauge sizes count by number, whatever their standard."""
    run, basis = cable.run, cable.basis
    sizes = cable.sizes()
    if not sizes:
        raise CannotJudge("its size was not read", f"the size printed on the cable of '{run.id}'")
    least = {
        laid: table("minimum_conductor_size").row(basis=basis.name, where_used=laid)
        for laid in (*_LAID, PARALLEL)
    }
    laid = {"yes": _LAID[:1], "no": _LAID[1:], "?": _LAID}[run.sheathed.text]
    if cable.parallel > 1:
        laid = (PARALLEL,)
    question = Question()
    question.among(
        "area_mm2",
        [Option(area_mm2(size), size.label) for size in sizes],
        entry=run,
        field="size",
        worse="lower",
        noted="not seen" if run.size.text == "?" else run.size.text,
        more="or larger",
        read=f"the size printed on the cable of '{run.id}'",
    )
    question.among(
        "least_mm2",
        [Option(float(least[how]["least_area_mm2"]), how) for how in laid],
        entry=run,
        field="sheath",
        worse="higher",
        best=float(least[laid[-1]]["least_area_mm2"]),
        more="",
        read=f"whether the conductors of '{run.id}' lie in a sheath",
    )

    def requirement(**given: Any) -> tuple[Any, Any]:
        # half a thousandth: areas of gauge sizes are printed to that
        return np.round(given["area_mm2"], 3), given["least_mm2"]

    ruling = question.rule(requirement, "at least")
    named = {least[how]["least_size"] for how in laid}
    words = " or ".join(f"{least[how]['least_size']} {how}" for how in laid)
    outside = {least[how]["outside_sheath_most_mm"] for how in laid} - {""}
    notes = []
    if cable.parallel > 1:
        notes.append(
            "Least size of conductors in parallel by a rule on land; no marine rule of it was "
            "read. They must be alike in length, size, metal, insulation and ends to share alike."
        )
    if outside and ruling.verdict != "adequate":
        notes.append(f"In a sheath it may leave it by {outside.pop()} mm at most.")
    if basis.name == "us" and ruling.verdict != "adequate":
        notes.append(
            "The regulation exempts communication and electronic navigation gear, circuits under "
            "1 A, wiring inside housings, pigtails under 7 in, and cranking motors."
        )
    return question.finding(
        ruling,
        check=CHECK,
        entry=run,
        sense="at least",
        quantity="area",
        worst="B",
        statement=lambda value, limit: (
            f"Run '{run.id}' has a conductor of {value} ({cable.size_words()}); the least is "
            f"{limit} ({words}, {least[laid[0]]['instrument']})."
        ),
        sources=[
            table("minimum_conductor_size").source(basis=basis.name, where_used=how) for how in laid
        ],
        remedy=f"Fit {max(named, key=_area_of(least))} or larger.",
        notes=notes,
    )


def _area_of(least: dict[str, dict[str, str]]) -> Any:
    return {row["least_size"]: float(row["least_area_mm2"]) for row in least.values()}.get
