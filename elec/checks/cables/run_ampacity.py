"""A run's current against the ampacity of its cable where it lies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from elec import units
from elec.checks.cables import short_time
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_asked import Asked, ask_heat, drop_asked
from elec.checks.cables.size_remedy import remedy
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.judge.records import Span
from elec.published import Source

if TYPE_CHECKING:
    from elec.boat.records import BoatFile

__all__ = ["CHECK", "HOT", "judge_run"]

CHECK = "run-ampacity"
HOT = (
    "A cable that carries more than its ampacity overheats and can start a fire. Disconnect and "
    "lock off every source before touching it."
)


def judge_run(cable: Cable, _boat: BoatFile | None = None) -> Finding:
    """Judge the current: by its duty where one was noted, else as continuous.

    A short-time load whose duty was not noted is judged by every duty where it fails as
    continuous, which is the hardest of them.
    """
    cable.need_ampacity()
    if cable.timed:
        return _judge(cable, by_duty=True)
    found = _judge(cable, by_duty=False)
    if cable.short_time and found.verdict in ("inadequate", "undetermined"):
        return _judge(cable, by_duty=True)
    return found


def _judge(cable: Cable, *, by_duty: bool) -> Finding:
    run, basis = cable.run, cable.basis
    notes, sources = [*cable.said, *cable.notes], list[Source]()
    if by_duty and not cable.tried:
        notes.append(_as_continuous(cable))
    heat = ask_heat(cable, by_duty, notes, sources)
    question = heat.question
    ruling = question.rule(heat.requirement, "at most")
    best = question.best_values()
    column = round(float(best["insulation"]))
    base = float(cable.listed_A(best))
    bundle = float(best["bundle"])
    carries = float(cable.ampacity(best))
    surroundings = carries / (base * bundle * cable.parallel)
    size, rating = cable.row_label(question), basis.insulation_C[column]
    low_A, current, high_A = cable.load_A()
    working = [
        Step(
            "Iz",
            (
                "table x factor of the ambient x bundling factor"
                if run.ambient.seen
                else "table x engine-space factor x bundling factor"
            ),
            f"{base:g} A x {surroundings:.4g} x {bundle:g}"
            + (f" x {cable.parallel} in parallel" if cable.parallel > 1 else ""),
            carries,
            "A",
            f"{basis.instrument}, {size} at {rating} °C",
        ),
        Step("I", "current of the run", "", current, "A"),
    ]
    if cable.voltage_V < 50 and basis.name == "us" and run.bundled != 1:
        notes.append(
            "Below 50 V the regulation takes nothing off for bundling; recent voluntary standards "
            "do, by factors not held here."
        )
    beside, said = short_time.side_by_side(cable)
    working += beside
    notes += said
    return question.finding(
        ruling,
        check=CHECK,
        entry=run,
        sense="at most",
        quantity="current",
        worst="A",
        statement=lambda value, limit: _statement(
            cable,
            units.show_range(low_A, high_A, "current") if by_duty else value,
            value if by_duty else "",
            limit,
            ruling.limit,
        ),
        working=working,
        sources=[
            *basis.sources(
                column=column if question.settled("insulation") else None,
                engine=question.ends("engine")[1] > 0.5,
                bundle=question.ends("bundle")[0] < 1.0,
            ),
            *cable.legend_sources(),
            *sources,
        ],
        remedy=_remedy(cable, heat, ruling),
        caution=HOT,
        notes=notes,
    )


def _as_continuous(cable: Cable) -> str:
    """Say what the verdict on a timed load would be if it ran for ever."""
    heat = ask_heat(cable, False, [], [])
    verdict = heat.question.rule(heat.requirement, "at most").verdict
    if verdict in ("adequate", "marginal"):
        return f"As a continuous load it would be {verdict}."
    return "Not shown adequate as a continuous load."


def _statement(cable: Cable, carried: str, counts: str, limit: str, limits: Span) -> str:
    shown = cable.size_words()
    size = "unread" if shown == "not seen" else shown
    duty = f", which counts as {counts} by its duty cycle," if counts else ""
    head = f"Run '{cable.run.id}' carries {carried}{duty} on {size} cable"
    barred = f"{cable.basis.instrument} allows none of its insulation there"
    if limits.high <= 0:
        return f"{head}; {barred}."
    if limits.low <= 0:
        most = units.show(limits.high, "current")
        return f"{head} of ampacity up to {most}; of its lowest rating, {barred}."
    return f"{head} of ampacity {limit}."


def _remedy(cable: Cable, heat: Asked, ruling: Ruling) -> str | None:
    if ruling.verdict not in ("inadequate", "undetermined"):
        return None
    return remedy(cable, heat, drop_asked(cable) if cable.direct else None)
