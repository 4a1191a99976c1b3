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

_STARTER = re.compile(r"\b(starter|starting|cranking)\b", re.I)
_CAUTION = "A starter cable without a fuse burns what it touches: no chafe, no loose terminal."
_RULES = "starter_circuit_sae_j541"
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
    question = Question()
    question.ask("length_m", run, "length", worse="higher")
    least_V = _ask_limit(question, run, run.voltage.best)
    resistivity = table("resistivity_constants")
    rho = resistivity.exact("equivalent_ohm_mm2_per_m", name=_COPPER)

    def requirement(**given: Any) -> tuple[Any, Any]:
        drop = cranking.loop_drop_per_100A_V(
            2.0 * given["length_m"], area_mm2=area, resistivity_ohm_mm2_per_m=rho
        )
        return drop, given["limit_V"]

    both_m = 2.0 * question.best("length_m")
    drop = float(requirement(**question.best_values())[0])
    longest = cranking.loop_length_m(least_V, area_mm2=area, resistivity_ohm_mm2_per_m=rho)
    return question.finding(
        question.rule(requirement, "at most"),
        entry=run,
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
                f"100 x {rho:.4g} x {both_m:.4g} / {area:.4g}",
                drop,
                "V",
                "20 °C, connections not included",
            ),
        ),
        sources=(table(_RULES).source(), resistivity.source(name=_COPPER)),
        remedy="At this size at most "
        f"{units.show_limit(float(longest) / 2, 'length', sense='at most')} one way.",
        caution=_CAUTION,
        notes=("Connections come on top: measure the drop while it cranks.",),
    )


def _ask_limit(question: Question, run: Run, volts: float) -> float:
    """Add the limits of the duties that a starter of this voltage may have; return the least."""
    limits = {
        float(r["max_drop_V_per_100A_at_20C"]): f"{r['duty'].replace('_', ' to ')} duty"
        for r in table(_RULES).rows()
        if float(r["system_voltage_low_V"]) <= volts <= float(r["system_voltage_high_V"])
    }
    if not limits:
        raise CannotJudge(f"no rule is held for a starter at {run.voltage.text}")
    least = min(limits)
    question.among(
        "limit_V",
        [Option(limit, limits[limit]) for limit in sorted(limits)],
        entry=run,
        field="duty of the starter",
        worse="lower",
        best=least,
        more="",
        read=f"the power of the starter on '{run.id}'",
    )
    return least


CHECK = Check(
    name="starter-loop",
    judges="drop of the starter's cables for each 100 A",
    system="batteries and charging",
    place=382,
    of="run",
    ask=_loop,
)
