"""The arithmetic of the drop along a way, as it is shown."""

from __future__ import annotations

import numpy as np

from elec import units
from elec.calc.network import Solution
from elec.checks.cables import drop_limits
from elec.checks.network.graph import Graph
from elec.checks.network.graph_solve import area_mm2
from elec.checks.network.network_warmth import warmth_of
from elec.finding import Step
from elec.judge import HOLDS_WITHIN, Ruling

__all__ = ["by_formula", "path_steps"]


def path_steps(graph: Graph, path: tuple[str, ...], root: str, solution: Solution) -> list[Step]:
    """Return the drop along each run of the way, counted away from the bank."""
    steps, here = [], root
    for number, cable in enumerate(graph.way(path), start=1):
        run = cable.run.id
        start, end = graph.joined.get(run, (here, here))
        sign = 1.0 if start == here else -1.0
        here = end if start == here else start
        amperes = sign * float(np.asarray(solution.in_run_A(run)))
        volts = sign * float(np.asarray(solution.along_run_V(run)))
        formula, numbers = f"I R along '{run}'", f"{amperes:.4g} A"
        if cable.run.size.size is not None:
            warm = float(warmth_of(cable)(area_mm2(cable), amperes))
            numbers += f", copper at {warm:.0f} °C"
        steps.append(Step(f"E{number}", formula, numbers, volts, "V", "nodal analysis"))
    return steps


def by_formula(
    graph: Graph, path: tuple[str, ...], solution: Solution, ruling: Ruling
) -> list[str]:
    """Say what the standard's own formula makes of the same currents on the way."""
    way = graph.way(path)
    if any(one.run.size.size is None for one in way) or not bool(np.asarray(solution.supplied)):
        return []
    basis, nominal_V = way[-1].basis.name, graph.volts
    volts = sum(
        float(
            0.5
            * graph.conductors(one)
            * drop_limits.formula_V(
                abs(float(np.asarray(solution.in_run_A(one.run.id)))),
                one.length.span[1],
                area_mm2(one),
                basis,
            )
        )
        for one in way
    )
    shown = units.show(volts / nominal_V, "percentage")
    passes = volts / nominal_V <= ruling.limit.low * (1 + HOLDS_WITHIN)
    turned = passes and ruling.verdict not in ("adequate", "marginal")
    return [
        f"By the {drop_limits.FORMULAS[basis][1]}, of cooler metal, the same currents lose {shown} "
        "on the way" + (": by it alone the way would pass." if turned else ".")
    ]
