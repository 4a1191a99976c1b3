"""Cable runs: each run's questions, or why one could not be asked."""

from __future__ import annotations

from collections.abc import Callable

from elec.boat.records import BoatFile
from elec.checks.cables import run_ampacity, run_drop, run_drop_ac, run_protection, run_size
from elec.checks.cables.cable import Cable, cable_of, not_checked, unloaded
from elec.checks.cannot import CannotJudge, cannot
from elec.errors import ElecError
from elec.finding import Finding, NotChecked

__all__ = ["CHECKS", "check"]

_QUESTIONS: dict[str, Callable[[Cable, BoatFile], Finding]] = {
    run_ampacity.CHECK: run_ampacity.judge_run,
    run_drop.CHECK: run_drop.judge_run,
    run_protection.CHECK: run_protection.judge_run,
    run_size.CHECK: run_size.judge_run,
}
CHECKS = tuple(_QUESTIONS)


#: What can be judged of a cable whose load is not known.
_WITHOUT_LOAD = (run_protection.CHECK, run_size.CHECK)


def _any_size(cable: Cable, found: Finding) -> None:
    """Refuse what holds for every listed size of a run whose size was not read: it may be less.

    Raises
    ------
    CannotJudge
        If the finding holds over the sizes of the table, taken for one that was not read.
    """
    run = cable.run
    taken = any(item.input == f"{run.id}: size" for item in found.typical)
    if taken and found.verdict in ("adequate", "marginal"):
        raise CannotJudge(
            f"its size was not read: every size from {cable.basis.size_labels[0]} up would be "
            f"{found.verdict}, but a smaller one may lie there",
            f"the size printed on the cable of '{run.id}'",
        )


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask the questions of every run."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for run in boat.run:
        asks, cable = dict(_QUESTIONS), None
        try:
            cable = cable_of(run, boat, basis, listed=False)
        except ElecError as error:
            try:
                cable = unloaded(run, boat, basis, listed=False)
            except ElecError:
                asks = {}
            else:
                asks = {name: asks[name] for name in _WITHOUT_LOAD}
            left = [name for name in CHECKS if name not in asks]
            skipped.extend(not_checked(name, run, cannot(error)) for name in left)
        for name, ask in asks.items():
            assert cable is not None
            if name == run_drop.CHECK and not cable.direct:
                ask = run_drop_ac.judge_run
            try:
                found = ask(cable, boat)
                _any_size(cable, found)
                findings.append(found)
            except ElecError as error:
                skipped.append(not_checked(name, run, cannot(error)))
    return findings, skipped
