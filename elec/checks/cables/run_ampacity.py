"""A run's current against the ampacity of its cable where it lies."""

from __future__ import annotations

from elec import units
from elec.boat.records import BoatFile
from elec.checks.cables import short_time
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_asked import Asked, ask_heat, drop_asked
from elec.checks.cables.run_noted import as_noted, sure_of_size
from elec.checks.cables.size_remedy import remedy
from elec.checks.question import Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.judge.records import Span
from elec.published import Source

__all__ = ["CHECK", "HOT", "judge_run"]

HOT = (
    "A cable that carries more than its ampacity overheats and can start a fire. Disconnect and "
    "lock off every source before touching it."
)


def judge_run(cable: Cable, _boat: BoatFile | None = None) -> Finding:
    """Judge the current: by its duty where one was noted, else as continuous.

    A short-time load whose duty was not noted is judged by every duty where it fails as
    continuous, which is the hardest of them.
    """
    cable.need_load()
    cable.need_ampacity()
    if cable.timed:
        return _judge(cable, by_duty=True)
    found = _judge(cable, by_duty=False)
    if cable.short_time and found.verdict in ("inadequate", "undetermined"):
        return _judge(cable, by_duty=True)
    return found


def _judge(cable: Cable, *, by_duty: bool) -> Finding:
    notes, sources = [*cable.said, *cable.notes], list[Source]()
    if by_duty and not cable.tried:
        notes.append(_as_continuous(cable))
    heat = ask_heat(cable, by_duty, notes, sources)
    question = heat.question
    ruling = question.rule(heat.requirement, "at most")
    low_A, _, high_A = cable.load_A()
    if cable.voltage_V < 50 and cable.basis.name == "us" and cable.together != (1,):
        notes.append(
            "Below 50 V the regulation takes nothing off for bundling; recent voluntary standards "
            "do, by factors not held here."
        )
    beside, said = short_time.side_by_side(cable)
    return question.finding(
        ruling,
        check="run-ampacity",
        entry=cable.run,
        quantity="current",
        worst="A",
        statement=lambda value, limit: _statement(
            cable,
            units.show_range(low_A, high_A, "current") if by_duty else value,
            value if by_duty else "",
            limit,
            ruling.limit,
        ),
        working=[*_working(cable, question), *beside],
        sources=[
            *cable.ampacity_sources(question),
            *cable.legend_sources(),
            *sources,
        ],
        remedy=_remedy(cable, heat, ruling),
        caution=HOT,
        notes=[*notes, *said],
    )


def _working(cable: Cable, question: Question) -> list[Step]:
    best = question.best_values()
    listed, bundle, carries = (
        float(one) for one in (cable.listed_A(best), best["bundle"], cable.ampacity(best))
    )
    surroundings = carries / (listed * bundle * cable.parallel)
    rating = cable.basis.insulation_C[round(float(best["insulation"]))]
    place = "factor of the ambient" if cable.run.ambient.seen else "engine-space factor"
    side_by_side = f" x {cable.parallel} in parallel" if cable.parallel > 1 else ""
    return [
        Step(
            "Iz",
            f"table x {place} x bundling factor",
            f"{listed:g} A x {surroundings:.4g} x {bundle:g}{side_by_side}",
            carries,
            "A",
            f"{cable.basis.instrument}, {cable.row_label(question)} at {rating} °C",
        ),
        Step("I", "current of the run", "", cable.load_A()[1], "A"),
    ]


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


CHECK = Check(
    name="run-ampacity",
    judges="current of a run against the ampacity of its cable",
    system="cables and protection",
    place=241,
    of="run",
    prepare=as_noted,
    ask=sure_of_size(judge_run),
)
