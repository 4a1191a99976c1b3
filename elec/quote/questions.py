"""The questions to put to the yard, in order, ready to send."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from elec.finding import Finding, NotChecked
from elec.quote.compare import Change
from elec.quote.fit import Fitted, Placed
from elec.quote.money import show
from elec.quote.records import QuoteFile
from elec.quote.remark import Remark
from elec.quote.sums import Sums

__all__ = ["questions"]

_SAID = re.compile(r"^Ask for ")


def questions(
    file: QuoteFile,
    sums: Sums,
    findings: Iterable[Finding],
    changes: Iterable[Change],
    fitted: Fitted,
    remarks: Iterable[Remark],
    unread: Iterable[NotChecked],
) -> tuple[str, ...]:
    """Return every question, sums first, then what is unsafe, missing, unsaid, unusual."""
    found = [
        *_of_sums(file, sums),
        *_of_changes(changes, fitted),
        *_of_findings(findings),
        *_of_left(file, fitted.left),
        *(f"For {item.check} of '{item.subject}', please state: {item.read}." for item in unread),
        *(remark.question for remark in remarks),
    ]
    return tuple(dict.fromkeys(found))


def _of_sums(file: QuoteFile, sums: Sums) -> Iterator[str]:
    for slip in sums.slips:
        if slip.kind == "twice":
            yield f"{slip.statement} Or are there two?"
            continue
        likely = f" Likely: {slip.likely.rstrip('?')}." if slip.likely else ""
        yield f"{slip.statement}{likely} Please confirm or correct it."
    wrong = [slip for slip in sums.slips if slip.certain]
    if sums.total_printed is None:
        yield (
            "No total is printed; we make it "
            f"{show(sums.total_right, sums.currency)}. Do you agree?"
        )
    elif wrong and sums.total_printed != sums.total_right:
        yield (
            f"With every sum put right the total is {show(sums.total_right, sums.currency)}, not "
            f"{show(sums.total_printed, sums.currency)}. Do you agree?"
        )
    for name in sums.unpriced:
        line = file.find(name)
        yield f"Line {name} ({line.text if line else ''}) has no price: is it included?"


def _of_changes(changes: Iterable[Change], fitted: Fitted) -> Iterator[str]:
    touched: dict[str, list[str]] = {}
    for placed in fitted.placed:
        touched.setdefault(placed.subject, []).append(placed.line)
    for change in changes:
        finding = change.finding
        lines = touched.get(finding.subject, [])
        if change.effect in ("makes", "worsens"):
            remedy = f" (One way: {finding.remedy})" if finding.remedy else ""
            yield f"With your work done: {finding.statement} What do you propose?{remedy}"
        elif change.effect == "opens" or (change.effect == "leaves" and lines):
            lead = f"Line {', '.join(lines)}: " if lines else ""
            if finding.verdict == "inadequate":
                remedy = f" (One way: {finding.remedy})" if finding.remedy else ""
                yield f"{lead}after your work this remains: {finding.statement} Is it meant to?" + (
                    remedy
                )
            else:
                reads = [item.read for item in finding.turns_on if item.read]
                yield (
                    f"{lead}{finding.statement} Please state: "
                    f"{'; '.join(dict.fromkeys(reads[:4])) or 'what this turns on'}."
                )


def _of_findings(findings: Iterable[Finding]) -> Iterator[str]:
    for finding in findings:
        if finding.verdict in ("inadequate", "undetermined"):
            remedy = (finding.remedy or "").removeprefix("Ask: ")
            yield f"{finding.statement} {_SAID.sub('We would expect ', remedy)}".strip()


def _of_left(file: QuoteFile, left: Iterable[Placed]) -> Iterator[str]:
    for placed in left:
        line = file.find(placed.line)
        yield f"Line {placed.line} ({line.text if line else ''}): {placed.words}; which is it?"
