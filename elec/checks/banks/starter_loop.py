"""What the cables of a starter drop, for each 100 A of it."""

from __future__ import annotations

import re
from typing import Any

from elec import units
from elec.boat.records import BoatFile, Run
from elec.calc.batteries import cranking
from elec.checks.basis import area_mm2
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import table

__all__ = ["CHECK"]

_STARTER = re.compile(r"\b(starter|starting|cranking)\b", re.I)
_CAUTION = "A starter cable without a fuse burns what it touches: no chafe, no loose terminal."
_COPPER = "IACS annealed copper 20 C"


def _loop(run: Run, _boat: BoatFile, _basis: str) -> Finding | None:
    if not _STARTER.search(f"{run.circuit or ''} {run.id}"):
        return None
    area = area_mm2(run.size.size) if run.size.size is not None else None
    if not (run.length.seen and run.voltage.best and area):
        raise CannotJudge(
            "its voltage, length or size was not noted",
            f"the size and the length of both cables of '{run.id}'",
        )
    rules = table("starter_circuit_sae_j541")
    limits = {
        float(r["max_drop_V_per_100A_at_20C"]): f"{r['duty'].replace('_', ' to ')} duty"
        for r in rules.rows()
        if float(r["system_voltage_low_V"]) <= run.voltage.best <= float(r["system_voltage_high_V"])
    }
    if not limits:
        raise CannotJudge(f"no rule is held for a starter at {run.voltage.text}")
    question = Question()
    question.ask("length_m", run, "length", worse="higher")
    question.among(
        "limit_V",
        [Option(volts, limits[volts]) for volts in sorted(limits)],
        entry=run,
        field="duty of the starter",
        worse="lower",
        best=min(limits),
        more="",
        read=f"the power of the starter on '{run.id}'",
    )
    resistivity = table("resistivity_constants")
    rho = resistivity.exact("equivalent_ohm_mm2_per_m", name=_COPPER)

    def requirement(**given: Any) -> tuple[Any, Any]:
        drop = cranking.loop_drop_per_100A_V(
            2.0 * given["length_m"], area_mm2=area, resistivity_ohm_mm2_per_m=rho
        )
        return drop, given["limit_V"]

    best = question.best_values()
    longest = cranking.loop_length_m(min(limits), area_mm2=area, resistivity_ohm_mm2_per_m=rho)
    return question.finding(
        question.rule(requirement, "at most"),
        check="starter-loop",
        entry=run,
        sense="at most",
        quantity="voltage",
        worst="B",
        statement=lambda value, limit: (
            f"The cables of '{run.id}' drop {value} for each 100 A of the starter; {limit} is "
            "allowed."
        ),
        working=(
            Step(
                "V100",
                "100 A x resistivity x both cables / area",
                f"100 x {rho:.4g} x {2 * float(best['length_m']):.4g} / {area:.4g}",
                float(requirement(**best)[0]),
                "V",
                "20 °C, connections not included",
            ),
        ),
        sources=(rules.source(), resistivity.source(name=_COPPER)),
        remedy="At this size at most "
        f"{units.show_limit(float(longest) / 2, 'length', sense='at most')} one way.",
        caution=_CAUTION,
        notes=("Connections come on top: measure the drop while it cranks.",),
    )


CHECK = Check(
    name="starter-loop",
    judges="drop of the starter's cables for each 100 A",
    system="batteries and charging",
    place=382,
    of="run",
    ask=_loop,
)
