"""Cable runs: each run's questions, or why one could not be asked."""

from __future__ import annotations

from collections.abc import Callable

from elec.boat.records import BoatFile
from elec.checks import run_ampacity, run_drop, run_drop_ac, run_protection, run_size
from elec.checks.cable import Cable, CannotJudge, cable_of, not_checked
from elec.finding import Finding, NotChecked

__all__ = ["CHECKS", "check"]

_QUESTIONS: dict[str, Callable[[Cable, BoatFile], Finding]] = {
    run_ampacity.CHECK: run_ampacity.judge_run,
    run_drop.CHECK: run_drop.judge_run,
    run_protection.CHECK: run_protection.judge_run,
    run_size.CHECK: run_size.judge_run,
}
CHECKS = tuple(_QUESTIONS)


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask the questions of every run."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for run in boat.run:
        try:
            cable = cable_of(run, boat, basis)
        except CannotJudge as error:
            skipped.extend(not_checked(name, run, error) for name in CHECKS)
            continue
        for name, ask in _QUESTIONS.items():
            if name == run_drop.CHECK and not cable.direct:
                ask = run_drop_ac.judge_run
            try:
                findings.append(ask(cable, boat))
            except CannotJudge as error:
                skipped.append(not_checked(name, run, error))
    return findings, skipped
