"""A run's current against the ampacity of its cable where it lies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from elec import units
from elec.calc import duty
from elec.checks.cable import Cable
from elec.checks.question import Option, Question
from elec.checks.size_remedy import Asked, remedy
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.judge.records import Span
from elec.published import Source, table

if TYPE_CHECKING:
    from elec.boat.records import BoatFile

__all__ = ["CHECK", "HOT", "asked", "judge_run"]

CHECK = "run-ampacity"
COPPER_J_PER_K_MM3 = 3.45e-3  # volumetric heat of copper, IEC 60949
HOT = (
    "A cable that carries more than its ampacity overheats and can start a fire. Disconnect and "
    "lock off every source before touching it."
)


def judge_run(cable: Cable, _boat: BoatFile | None = None) -> Finding:
    """Judge the current as continuous; by duty cycle too where a short-time load fails that."""
    found = _judge(cable, by_duty=False)
    if _brief(cable) and found.verdict in ("inadequate", "undetermined"):
        return _judge(cable, by_duty=True)
    return found


def asked(cable: Cable) -> Asked:
    """Return the question of heat at its easiest: by duty cycle where the run has one."""
    return _asked(cable, _brief(cable), [], [])


def _brief(cable: Cable) -> bool:
    return cable.short_time or cable.run.on_time.seen or cable.run.duty.seen


def _asked(cable: Cable, by_duty: bool, notes: list[str], sources: list[Source]) -> Asked:
    question = Question()
    total = cable.ask_current(question)
    timed = by_duty and cable.run.on_time.seen
    cable.ask_size(question, area=timed)
    cable.ask_insulation(question)
    cable.ask_route(question)
    if timed:
        _ask_time(cable, question, notes)
        sources.append(table("ampacity_surroundings").source(basis=cable.basis.name))
    elif by_duty:
        sources.append(_ask_duty(cable, question, notes))
    else:
        question.exact("duty_multiplier", 1.0)

    def requirement(**given: Any) -> tuple[Any, Any]:
        share = _heating_share(cable, given) if timed else given["duty_multiplier"]
        return total(given) * share, cable.ampacity(given)

    return Asked(question, requirement)


def _judge(cable: Cable, *, by_duty: bool) -> Finding:
    run, basis = cable.run, cable.basis
    notes, sources = [*cable.said, *cable.notes], list[Source]()
    heat = _asked(cable, by_duty, notes, sources)
    question = heat.question
    ruling = question.rule(heat.requirement, "at most")
    best = question.best_values()
    column = round(float(best["insulation"]))
    base = float(cable.listed_A(best))
    bundle = float(best["bundle"])
    carries = float(cable.ampacity(best))
    surroundings = carries / (base * bundle)
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
            f"{base:g} A x {surroundings:.4g} x {bundle:g}",
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


def _statement(cable: Cable, carried: str, counts: str, limit: str, limits: Span) -> str:
    size = cable.run.size.show() if cable.run.size.seen else "unread"
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
    from elec.checks import run_drop

    direct = cable.voltage_V < run_drop.AC_FROM_V
    return remedy(cable, heat, run_drop.asked(cable) if direct else None)


def _ask_duty(cable: Cable, question: Question, notes: list[str]) -> Source:
    """Add the share at which a short-time current counts, from a published table."""
    run = cable.run
    name = "duty_nec_630_11_multiplier"
    column = "multiplier_nonmotor_generator"
    rows = sorted(table(name).rows(), key=lambda r: float(r[column]))
    if run.duty.seen:
        low, _, high = run.duty.span
        first = _listed_duty(rows, low)
        rows = rows[first : _listed_duty(rows, high) + 1]
    options = [Option(float(r[column]), f"{r['duty_cycle_percent']} % duty cycle") for r in rows]
    question.among(
        "duty_multiplier",
        options,
        entry=run,
        field="duty cycle",
        worse="higher",
        best=options[-1].value,
        noted=run.duty.text if run.duty.seen else "not seen",
        source="NFPA 70, 630.11(A), a published short-time method; not a marine rule",
        read=f"the duty class on the motor plate of '{run.id}'",
    )
    notes.append(
        "Not shown adequate as a continuous load. It runs for short times: the regulation allows "
        "brief surges above the table without defining them. The duty cycle considered follows "
        "NFPA 70, 630.11(A), which is not a marine rule; read the motor's duty class."
    )
    return table(name).source()


def _listed_duty(rows: list[dict[str, str]], share: float) -> int:
    """Return the row of the next larger duty cycle that is listed."""
    listed = [float(row["duty_cycle_percent"]) / 100 for row in rows]
    return next(i for i, value in enumerate(listed) if share <= value * (1 + 1e-9))


def _ask_time(cable: Cable, question: Question, notes: list[str]) -> None:
    """Add the time on at a stretch, and with it the share of its time that it draws."""
    run = cable.run
    question.noted("on_h", run.on_time, entry=run, field="time on at a stretch", worse="higher")
    if run.duty.seen:
        question.noted("duty", run.duty, entry=run, field="share of its time", worse="higher")
    after = "" if run.duty.seen else ", and is cold again before the next time"
    notes.append(
        "Not shown adequate as a continuous load. Judged as one that warms its cable only while it "
        f"runs{after}: a first-order thermal model fitted to the ampacity table, which is physics "
        "and not a marine rule. The regulation allows brief surges without defining them."
    )


def _heating_share(cable: Cable, given: dict[str, Any]) -> Any:
    """Return the continuous current that heats the cable alike, as a share of the current."""
    basis = cable.basis
    column = np.asarray(np.rint(given["insulation"]), dtype=int)
    rated = np.asarray(basis.insulation_C)[column]
    ambient = np.asarray(cable.ambient_C(given), dtype=float)
    carries = np.asarray(cable.ampacity(given), dtype=float)
    usable = (carries > 0) & (ambient < rated)
    constants = table("resistivity_constants")
    alpha = constants.exact("value", name="copper alpha20")
    cold = constants.exact("equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C")
    tau_s = duty.time_constant_from_rating_s(
        np.where(usable, carries, 1.0),
        area_mm2=cable.metal_mm2(given),
        ambient_C=np.where(usable, ambient, 0.0),
        rated_C=rated,
        resistivity_hot_ohm_mm2_per_m=cold * (1 + alpha * (rated - 20)),
        heat_capacity_J_per_K_mm3=COPPER_J_PER_K_MM3,
    )
    on_s = np.asarray(given["on_h"]) * 3600
    if "duty" in given:
        factor = duty.intermittent_factor(on_s, cycle_s=on_s / given["duty"], time_constant_s=tau_s)
    else:
        factor = duty.short_time_factor(on_s, time_constant_s=tau_s)
    return np.where(usable, 1.0 / factor, 1.0)
