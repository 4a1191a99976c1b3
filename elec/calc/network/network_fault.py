"""Prospective fault current at every place of a DC network."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc.network import _elimination
from elec.calc.network._cases import Case, cases, samples_of, together
from elec.calc.network._newton import Solver, across
from elec.calc.network.network_parts import Network

__all__ = ["Faults", "faults"]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Faults:
    """Current of a dead short, places along the last axis, samples before.

    ``bus_A`` [A] is that from each bus to the return, ``load_A`` [A] that across each load.
    """

    bus_A: Floats
    load_A: Floats


def faults(network: Network, *, charging: bool) -> Faults:
    r"""Steady current of a dead short at each place in turn, the loads left out.

    .. math:: I_f = \frac{V_{oc}}{Z}, \quad Z = (\mathbf{G}^{-1})_{ii}

    Banks give what their resistance lets through, strings in parallel each their part. Chargers
    and alternators give their limit, wherever the short is: at a distant one some would give
    less, so with them the result is an upper bound, exact as long as each is at its limit.

    The greatest current is that of full banks, cold cables and all sources charging; the least,
    at the far end, that of weak banks and hot cables alone. Solve for both, the second network
    being the first with other values: ``dataclasses.replace(network, bank_ohm=..., ...)``.

    Parameters
    ----------
    network : Network
        The network, from `prepare`. [-]
    charging : bool
        Whether chargers and alternators feed the fault too. [-]

    Returns
    -------
    Faults
        Fault currents. [A]

    References
    ----------
    Thévenin's theorem; IEEE 946, annex on battery short-circuit current; K. Takahashi and others,
    1973 (entries of the inverse of a sparse matrix).

    Examples
    --------
    >>> from elec.calc.network import Bank, Run, prepare
    >>> network = prepare(
    ...     [Run("feeder", "battery", "panel", 0.004)],
    ...     banks=[Bank("house", "battery", emf_V=12.0, resistance_ohm=0.006)],
    ... )
    >>> faults(network, charging=False).bus_A.round(6).tolist()
    [2000.0, 1200.0]
    """
    shape = samples_of(network)
    blocks = [_faults(network, case, charging) for case in cases(network, shape)]
    at_bus, at_load = zip(*blocks, strict=True)
    return Faults(bus_A=together(at_bus, shape), load_A=together(at_load, shape))


def _faults(network: Network, case: Case, charging: bool) -> tuple[Floats, Floats]:
    solver, pattern = Solver(network, case), network.pattern
    unlimited = np.isinf(case.limit_A)
    through_S = np.where(unlimited & charging, case.source_S, solver.leak_S)
    given_A = np.where(unlimited, case.source_V * case.source_S, case.limit_A) * charging
    nothing = np.zeros_like(case.load_S)
    slopes = [case.run_S, case.bank_S, through_S, nothing]
    currents = [np.zeros_like(case.run_S), -case.bank_V * case.bank_S, -given_A, nothing]
    work = pattern.assemble(np.concatenate([*slopes, *currents]))
    _elimination.factor(pattern, work)
    open_V = _elimination.solution(pattern, work)
    inverse = _elimination.inverse_entries(pattern, work)
    own = np.concatenate([inverse[: pattern.number], np.zeros_like(open_V[-1:])])
    joined = pattern.entry_of[len(pattern.entry_of) - len(network.loads) :]
    shared = np.where((joined >= 0).reshape(-1, *(1 for _ in solver.samples)), inverse[joined], 0.0)
    across_load = own[solver.load[0]] + own[solver.load[1]] - 2.0 * shared
    at_bus = (open_V[:-1] / own[:-1])[pattern.node_at]
    return at_bus, across(open_V, solver.load) / across_load
