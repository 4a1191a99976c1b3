"""A current that flows for short times: how it counts, and what other published methods say.

No marine rule gives short-time ampacities. One method sets the verdict and says so; the others
stand beside it, each under its own name, and set none.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from elec import units
from elec.calc.cables import duty
from elec.checks.cables.cable import Cable
from elec.checks.question import Option, Question
from elec.finding import Step
from elec.published import Source, table

__all__ = ["ask_duty", "ask_time", "heating_share", "side_by_side"]

COPPER_J_PER_K_MM3 = 3.45e-3  # volumetric heat of copper, IEC 60949


# -- what sets the verdict ---------------------------------------------------------------------


def ask_duty(cable: Cable, question: Question, notes: list[str]) -> Source:
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
        "It runs for short times: the regulation allows "
        "brief surges above the table without defining them. The duty cycle considered follows "
        "NFPA 70, 630.11(A), which is not a marine rule; read the motor's duty class."
    )
    return table(name).source()


def _listed_duty(rows: list[dict[str, str]], share: float) -> int:
    """Return the row of the next larger duty cycle that is listed."""
    listed = [float(row["duty_cycle_percent"]) / 100 for row in rows]
    return next(i for i, value in enumerate(listed) if share <= value * (1 + 1e-9))


def ask_time(cable: Cable, question: Question, notes: list[str]) -> None:
    """Add the time on at a stretch, and with it the share of its time that it draws."""
    run = cable.run
    question.ask("on_h", run, "on_time", worse="higher")
    if not cable.then_cold:
        question.ask("duty", run, "duty", worse="higher")
    after = ", and is cold again before the next time" if cable.then_cold else ""
    notes.append(
        "Judged as one that warms its cable only while it "
        f"runs{after}: a first-order thermal model fitted to the ampacity table, which is physics "
        "and not a marine rule. The regulation allows brief surges without defining them."
    )


def heating_share(cable: Cable, given: dict[str, Any]) -> Any:
    """Return the continuous current that heats the cable alike, as a share of the current."""
    usable, tau_s = _time_constant_s(cable, given)
    on_s = np.asarray(given["on_h"]) * 3600
    if "duty" in given:
        # a share next to nothing is a rest without end
        cycle_s = on_s / np.maximum(given["duty"], 1e-9)
        factor = duty.intermittent_factor(on_s, cycle_s=cycle_s, time_constant_s=tau_s)
    else:
        factor = duty.short_time_factor(on_s, time_constant_s=tau_s)
    return np.where(usable, 1.0 / factor, 1.0)


def _time_constant_s(cable: Cable, given: dict[str, Any]) -> tuple[Any, Any]:
    """Return where the model may be used, and the time constant there."""
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
    return usable, tau_s


# -- what stands beside it ---------------------------------------------------------------------


@dataclass(frozen=True)
class _Load:
    """A load at its hardest: the current, time on, share of its time, and the cable it lies in."""

    current_A: float
    on_h: float | None
    share: float | None
    ampacity_A: float
    rated_C: int
    area_mm2: float
    size_AWG: str | None
    at_table_ambient: bool


def side_by_side(cable: Cable) -> tuple[list[Step], list[str]]:
    """Return the working of every published method that what was noted lets be evaluated.

    Each at the hardest end of what is not settled; none sets the verdict.
    """
    run = cable.run
    if run.size.size is None or not (run.on_time.seen or run.duty.seen):
        return [], []
    question = Question()
    cable.ask_size(question, area=True)
    cable.ask_insulation(question)
    cable.ask_route(question)
    worst = question.worst_values()
    ampacity_A = float(cable.ampacity(worst)) / cable.parallel
    if ampacity_A <= 0:
        return [], []
    size = run.size.size
    gauge = size.kind == "AWG" and not run.size.ambiguous and cable.wire != "sae"
    load = _Load(
        cable.load_A()[2] / cable.parallel,
        run.on_time.span[2] if run.on_time.seen else None,
        run.duty.span[2] if run.duty.seen else None,
        ampacity_A,
        cable.basis.insulation_C[round(float(worst["insulation"]))],
        float(cable.metal_mm2(worst)) / cable.parallel,
        size.number if gauge else None,
        float(worst["engine"]) < 0.5 and not run.ambient.seen,
    )
    methods = {
        "NFPA 70, 630.11(A)": _welders(load),
        "NFPA 70, 430.22(E)": _motors(load),
        "NFPA 70, Table 610.14(A)": _cranes(load),
        "IEC 60092-352": _ships(load),
        "PUE 1.3.3": _installation_rules(load),
        "first-order thermal model": _first_order(load, *_time_constant_s(cable, worst)),
    }
    steps = [step for found in methods.values() for step in found]
    steps = [replace(one, symbol=f"{one.symbol}{n}") for n, one in enumerate(steps, start=1)]
    ways: dict[bool, list[str]] = {True: [], False: []}
    for step in steps:
        ways[_holds(step, load)].append(step.source.split(";")[0])
    shown = units.show(load.current_A, "current")
    if cable.parallel > 1:
        shown += f" of each of {cable.parallel} in parallel"
    parts = [
        f"Holds by {', '.join(ways[True])}" if ways[True] else "Holds by none of them",
        f"fails by {', '.join(ways[False])}" if ways[False] else "",
        f"not evaluated for want of what they need: {', '.join(without)}"
        if (without := [name for name, found in methods.items() if not found])
        else "",
    ]
    first = Step("Ic", "continuous ampacity, least that is possible", "", ampacity_A, "A")
    return [first, *steps], [
        "Published short-time methods side by side, at the hardest end of what was noted: none is "
        "a marine rule, and beside the one by which it is judged none sets the verdict. In is the "
        f"ampacity needed, against Ic; Is what Ic becomes, against {shown}. "
        f"{'; '.join(filter(None, parts))}."
    ]


def _holds(step: Step, load: _Load) -> bool:
    if step.symbol.startswith("In"):
        return step.result <= load.ampacity_A * (1 + 1e-9)
    return load.current_A <= step.result * (1 + 1e-9)


def _welders(load: _Load) -> list[Step]:
    if load.share is None:
        return []
    column = "multiplier_nonmotor_generator"
    rows = sorted(table("duty_nec_630_11_multiplier").rows(), key=lambda r: float(r[column]))
    row = rows[_listed_duty(rows, load.share)]
    needed = float(duty.nec_630_11_ampacity_A(load.current_A, multiplier=float(row[column])))
    return [
        Step(
            "In",
            f"m I, arc welders of {row['duty_cycle_percent']} % duty",
            f"{row[column]} x {load.current_A:.4g}",
            needed,
            "A",
            "NFPA 70, 630.11(A); 2008, as republished",
        )
    ]


def _motors(load: _Load) -> list[Step]:
    if load.on_h is None:
        return []
    minutes = load.on_h * 60 * (1 - 1e-9)
    rated = next(
        (name for most, name in ((5, "5min"), (15, "15min"), (60, "30_60min")) if minutes <= most),
        "continuous",
    )
    steps: list[Step] = []
    for row in table("duty_nec_430_22E_percent_of_nameplate").rows():
        percent = row[f"pct_of_nameplate_{rated}"]
        if not percent:
            continue
        needed = float(duty.nec_430_22E_ampacity_A(load.current_A, percent=float(percent)))
        words = rated.replace("_", " or ").replace("min", " min")
        about = f"{row['service']} service" + (f" ({row['examples']})" if row["examples"] else "")
        steps.append(
            Step(
                "In",
                f"p I, a motor rated {words} on {about}",
                f"{percent} % x {load.current_A:.4g}",
                needed,
                "A",
                f"NFPA 70, 430.22(E), {row['service']}; 2008, {row['status']}",
            )
        )
    return steps


def _cranes(load: _Load) -> list[Step]:
    """Read the table of crane conductors; 15-minute motors by its note."""
    listed = table("duty_nec_610_14A_short_time_ampacity")
    minutes = None if load.on_h is None else load.on_h * 60 * (1 - 1e-9)
    columns = [rating for rating in (75, 90, 125) if rating <= load.rated_C]
    known = load.size_AWG in listed.text("size_AWG")
    if minutes is None or minutes > 60 or not (columns and known and load.at_table_ambient):
        return []
    column = f"ampacity_A_{columns[-1]}C_{60 if minutes > 30 else 30}min"
    row = listed.row(size_AWG=load.size_AWG or "")
    if not row[column]:
        return []
    short_A, numbers, rated = float(row[column]), "", 60 if minutes > 30 else 30
    if minutes <= 15:
        multiple = table("short_time_constants").exact(
            "value", name="NEC 15 minutes over 30 minutes"
        )
        numbers, rated = f"{multiple:g} x {short_A:g}", 15
        short_A = float(duty.nec_610_14A_ampacity_15min_A(short_A, multiple=multiple))
    return [
        Step(
            "Is",
            f"crane and hoist motors rated {rated} min, {columns[-1]} °C, at 30 °C",
            numbers,
            short_A,
            "A",
            "NFPA 70, Table 610.14(A); 2008, as republished",
        )
    ]


def _ships(load: _Load) -> list[Step]:
    """Take the bare metal for the cable, whose diameter was not noted: a shorter time constant."""
    if load.on_h is None:
        return []
    constants = table("short_time_constants")
    diameter = float(np.sqrt(4 * load.area_mm2 / np.pi))
    tau_s = duty.iec60092_352_time_constant_s(
        diameter,
        coefficient_min=constants.exact("value", name="IEC time constant coefficient"),
        exponent=constants.exact("value", name="IEC time constant exponent"),
    )
    factor = float(
        duty.iec60092_352_short_time_factor(
            load.on_h * 3600,
            time_constant_s=tau_s,
            overheat=constants.exact("value", name="IEC temperature rise let through"),
        )
    )
    return [
        Step(
            "Is",
            f"f Ic, time constant {float(tau_s):.3g} s of a cable as thin as its metal, "
            f"{diameter:.3g} mm",
            f"{factor:.4g} x {load.ampacity_A:.4g}",
            factor * load.ampacity_A,
            "A",
            "IEC 60092-352, short-time duty; from memory, not confirmed",
        )
    ]


def _installation_rules(load: _Load) -> list[Step]:
    constants = table("short_time_constants")
    limit = {
        name: constants.exact("value", name=f"PUE {name}")
        for name in ("longest cycle", "longest time on", "least copper", "coefficient")
    }
    if load.on_h is None or load.share is None or load.area_mm2 <= limit["least copper"]:
        return []
    minutes = load.on_h * 60
    cycle = minutes / load.share
    if minutes > limit["longest time on"] * (1 + 1e-9) or cycle > limit["longest cycle"] * (
        1 + 1e-9
    ):
        return []
    factor = float(duty.pue_1_3_3_factor(load.share, coefficient=limit["coefficient"]))
    return [
        Step(
            "Is",
            "f Ic, f = a / root of the duty, never below 1",
            f"{factor:.4g} x {load.ampacity_A:.4g}",
            factor * load.ampacity_A,
            "A",
            "PUE (Russia), 1.3.3; its coefficient from memory, not confirmed",
        )
    ]


def _first_order(load: _Load, usable: Any, tau_s: Any) -> list[Step]:
    if load.on_h is None or not bool(usable):
        return []
    on_s = load.on_h * 3600
    if load.share is None:
        factor = duty.short_time_factor(on_s, time_constant_s=tau_s)
    else:
        factor = duty.intermittent_factor(on_s, cycle_s=on_s / load.share, time_constant_s=tau_s)
    return [
        Step(
            "Is",
            f"f Ic, {'from cold' if load.share is None else 'repeated for ever'}, time constant "
            f"{float(tau_s):.3g} s by the heat of the metal",
            f"{float(factor):.4g} x {load.ampacity_A:.4g}",
            float(factor) * load.ampacity_A,
            "A",
            "first-order thermal model; physics",
        ),
    ]
