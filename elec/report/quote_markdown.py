"""A judged quote as Markdown."""

from __future__ import annotations

from collections.abc import Iterator

from elec.quote.judging import Judged
from elec.quote.sums import RULES
from elec.report.markdown import escaped, finding_lines
from elec.report.quote_text import EFFECTS, shown_changes, summary
from elec.report.text import CAUTIONS

__all__ = ["render"]


def render(judged: Judged) -> str:
    """Return a judged quote as one Markdown text."""
    return "\n".join(_lines(judged)) + "\n"


def _lines(judged: Judged) -> Iterator[str]:
    quote = judged.given.file.quote
    yield f"# {escaped(quote.title)}\n"
    date = quote.date.isoformat() if quote.date else None
    facts = [quote.yard, quote.number, date, f"for {judged.boat.boat.name}"]
    yield escaped(", ".join(filter(None, facts))) + "\n"
    for sentence in summary(judged):
        yield f"- {escaped(sentence)}"
    yield "\n## Sums\n"
    for number, slip in enumerate(judged.sums.slips, start=1):
        yield f"{number}. {escaped(slip.statement)}"
        yield f"   - {escaped(slip.working)}"
        if slip.likely:
            yield f"   - Likely: {escaped(slip.likely)}"
        for follow in slip.follows:
            yield f"   - {escaped(follow)}"
    if not judged.sums.slips:
        yield "Every sum is right."
    yield f"\n{escaped(RULES)}\n"
    yield "## Before and after\n"
    rows, rest = shown_changes(judged)
    yield "| effect | check | subject | before | after |\n|---|---|---|---|---|"
    for change in rows:
        before = change.before.verdict if change.before else ""
        after = change.after.verdict if change.after else ""
        found = change.finding
        yield (
            f"| {EFFECTS[change.effect]} | {found.check} | {escaped(found.subject)} | {before} "
            f"| {after} |"
        )
    yield f"\nNot touched by the quote: {rest} findings.\n"
    yield "## What the quote makes, worsens or leaves open\n"
    for number, finding in enumerate(judged.made, start=1):
        yield from finding_lines(number, finding)
    yield "## Missing, short or miscounted\n"
    for number, finding in enumerate(judged.findings, start=1):
        yield from finding_lines(number, finding)
    yield "## Worth asking\n"
    for remark in judged.remarks:
        yield f"- {escaped(remark.statement)}"
        if remark.working:
            yield f"  - {escaped(remark.working)}"
    for placed in judged.fitted.left:
        yield f"- Not put into the boat: line {escaped(placed.line)}, {escaped(placed.words)}"
    yield "\n## Questions to the yard\n"
    for number, question in enumerate(judged.questions, start=1):
        yield f"{number}. {escaped(question)}"
    yield "\n## Not checked\n"
    for item in judged.after.not_checked:
        yield f"- {item.check} {escaped(item.subject)}: {escaped(item.reason)}"
    yield f"\n---\n\n{escaped(CAUTIONS)}"
