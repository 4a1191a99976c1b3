"""A run's current against the ampacity of its cable where it lies."""

from __future__ import annotations

from typing import Any

from elec import units
from elec.boat.records import BoatFile
from elec.checks.cable import Cable, smallest_size
from elec.checks.question import Option, Question
from elec.finding import Finding, Step
from elec.published import table

__all__ = ["CHECK", "HOT", "judge_run"]

CHECK = "run-ampacity"
HOT = (
    "A cable that carries more than its ampacity overheats and can start a fire. Disconnect and "
    "lock off every source before touching it."
)


def judge_run(cable: Cable, _boat: BoatFile) -> Finding:
    """Judge the current as continuous; by duty cycle too where a short-time load fails that."""
    found = _judge(cable, by_duty=False)
    if cable.short_time and found.verdict in ("inadequate", "undetermined"):
        return _judge(cable, by_duty=True)
    return found


def _judge(cable: Cable, *, by_duty: bool) -> Finding:
    run, basis = cable.run, cable.basis
    question = Question()
    total = cable.ask_current(question)
    cable.ask_size(question, area=False)
    cable.ask_insulation(question)
    cable.ask_route(question)
    notes = list(cable.notes)
    if by_duty:
        _ask_duty(cable, question, notes)
    else:
        question.exact("duty_multiplier", 1.0)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return total(given) * given["duty_multiplier"], cable.ampacity(given)

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    row, column = round(float(best["row"])), round(float(best["insulation"]))
    base = float(basis.ampacity_A[row, column])
    engine = float(basis.engine_factor[column]) if best["engine"] > 0.5 else 1.0
    bundle = float(best["bundle"])
    size, rating = cable.row_label(question), basis.insulation_C[column]
    current = float(total(best))
    working = [
        Step(
            "Iz",
            "table x engine-space factor x bundling factor",
            f"{base:g} A x {engine:g} x {bundle:g}",
            base * engine * bundle,
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
    counts = ", which counts as {value} by its duty cycle," if by_duty else ""
    carried = units.show(current, "current") if by_duty else "{value}"
    words = f"Run '{run.id}' carries {carried}{counts} on {{size}} cable of ampacity {{limit}}."
    return question.finding(
        ruling,
        check=CHECK,
        entry=run,
        sense="at most",
        quantity="current",
        worst="A",
        statement=lambda value, limit: words.format(
            value=value, limit=limit, size=run.size.show() if run.size.seen else "unread"
        ),
        working=working,
        sources=basis.sources(
            column=column if question.settled("insulation") else None,
            engine=question.ends("engine")[1] > 0.5,
            bundle=question.ends("bundle")[0] < 1.0,
        ),
        remedy=smallest_size(cable, question, requirement),
        caution=HOT,
        notes=notes,
    )


def _ask_duty(cable: Cable, question: Question, notes: list[str]) -> None:
    """Add the share at which a short-time current counts, from a published table."""
    rows = table("duty_nec_630_11_multiplier").rows()
    column = "multiplier_nonmotor_generator"
    options = [
        Option(float(r[column]), f"{r['duty_cycle_percent']} % duty cycle")
        for r in sorted(rows, key=lambda r: float(r[column]))
    ]
    question.among(
        "duty_multiplier",
        options,
        entry=cable.run,
        field="duty cycle",
        worse="higher",
        best=1.0,
        source="NFPA 70, 630.11(A), a published short-time method; not a marine rule",
        read=f"the duty class on the motor plate of '{cable.run.id}'",
    )
    notes.append(
        "Not shown adequate as a continuous load. It runs for short times: the regulation allows "
        "brief surges above the table without defining them. The duty cycle considered follows "
        "NFPA 70, 630.11(A), which is not a marine rule; read the motor's duty class."
    )
