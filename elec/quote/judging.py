"""Judges a quote beside its boat: sums, fitness, omissions, questions."""

from __future__ import annotations

from dataclasses import dataclass

from elec import __version__
from elec.boat.records import BoatFile
from elec.finding import Finding, NotChecked
from elec.json_form import form
from elec.quote.companions import omissions
from elec.quote.compare import Change, changes
from elec.quote.fit import Fitted, fit
from elec.quote.labour import hours
from elec.quote.lengths import counts, lengths
from elec.quote.over import beyond_need
from elec.quote.questions import questions
from elec.quote.read import Given
from elec.quote.remark import Remark
from elec.quote.sums import Sums, add_up
from elec.survey import ABOUT, Survey, survey

__all__ = ["Judged", "judge_quote"]


@dataclass(frozen=True)
class Judged:
    """What is said of a quote."""

    given: Given
    boat: BoatFile
    sums: Sums
    fitted: Fitted
    before: Survey
    after: Survey
    changes: tuple[Change, ...]
    findings: tuple[Finding, ...]
    remarks: tuple[Remark, ...]
    questions: tuple[str, ...]

    JSON = form(
        "elec quote boat basis sums fitted not_fitted before_after findings made remarks questions "
        "not_checked",
        elec=lambda _: __version__,
        quote="given",
        boat=lambda judged: ABOUT(judged.after.boat.boat),
        basis="after.basis",
        fitted="fitted.placed",
        not_fitted="fitted.left",
        before_after="changes",
        not_checked="after.not_checked",
    )

    @property
    def made(self) -> tuple[Finding, ...]:
        """Findings of the survey that the quote itself makes or leaves unsettled."""
        return tuple(c.finding for c in self.changes if c.effect in ("makes", "worsens", "opens"))

    @property
    def exit_code(self) -> int:
        """Return 1 if a sum is wrong or anything is inadequate, else 3 if open, else 0."""
        verdicts = {f.verdict for f in (*self.findings, *self.after.findings)}
        if any(slip.certain for slip in self.sums.slips) or "inadequate" in verdicts:
            return 1
        asked = any(r.kind in ("length", "labour") for r in self.remarks)
        still = self.sums.slips or self.sums.unpriced or self.fitted.left or asked
        return 3 if "undetermined" in verdicts or still or self.after.exit_code == 3 else 0


def judge_quote(
    given: Given, boat: BoatFile, *, basis: str | None = None, before: Survey | None = None
) -> Judged:
    """Judge a quote beside the boat that it is for.

    Parameters
    ----------
    given : Given
        The quote, as :func:`elec.quote.read.read` returns it. [-]
    boat : BoatFile
        The boat as it is. [-]
    basis : str, optional
        "us" or "iso"; the boat's own if not given. [text]
    before : Survey, optional
        The survey of the boat as it is, where it was made already on the same basis. [-]

    Returns
    -------
    Judged
        Sums, findings before and after, omissions, remarks, questions.
    """
    file = given.file
    sums = add_up(given)
    fitted = fit(file, boat)
    if before is None:
        before = survey(boat, basis=basis)
    after = survey(fitted.boat, basis=basis) if fitted.placed else before
    compared = changes(before, after)
    long_enough, unsaid = lengths(file, boat, fitted.boat)
    findings = (*long_enough, *counts(file, boat), *omissions(file, fitted.boat))
    remarks = (
        *unsaid,
        *beyond_need(file, fitted, before, after),
        *hours(file, fitted.boat),
    )
    asked = questions(
        file, sums, findings, compared, fitted, remarks, _unread(fitted, before, after)
    )
    return Judged(given, boat, sums, fitted, before, after, compared, findings, remarks, asked)


def _unread(fitted: Fitted, before: Survey, after: Survey) -> list[NotChecked]:
    """Return what could not be checked of a thing that the quote fits, and could before."""
    touched = {placed.subject for placed in fitted.placed}
    known = {(item.check, item.subject) for item in before.not_checked}
    return [
        item
        for item in after.not_checked
        if item.read and item.subject in touched and (item.check, item.subject) not in known
    ]
