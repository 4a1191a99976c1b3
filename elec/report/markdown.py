"""A survey as Markdown, ready to paste into a report."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from elec import units
from elec.checks.aboard.load_card import heading, in_words
from elec.errors import printable
from elec.finding import Finding
from elec.report.loads import analysis_rows
from elec.report.text import CAUTIONS
from elec.survey import Survey

__all__ = ["escaped", "finding_lines", "render"]


def escaped(text: str) -> str:
    """Return text that Markdown shows as it stands."""
    return re.sub(r"([\\`*_{}\[\]<>#|~!])", r"\\\1", printable(text))


def render(surveys: Sequence[Survey]) -> str:
    """Return the surveys as one Markdown text."""
    return "\n".join("\n".join(_one(survey)) for survey in surveys) + "\n"


def _one(survey: Survey) -> Iterator[str]:
    about = survey.boat.boat
    yield f"# Electrical survey: {escaped(about.name)}\n"
    facts = [
        about.place,
        about.length.show() if about.length.seen else None,
        f"surveyed {about.surveyed.isoformat()}" if about.surveyed else None,
        f"basis {survey.basis}",
    ]
    yield escaped(", ".join(filter(None, facts))) + "\n"
    yield "| no | priority | check | subject | verdict |\n|---|---|---|---|---|"
    for number, f in enumerate(survey.findings, start=1):
        yield (f"| {number} | {f.priority or ''} | {f.check} | {escaped(f.about)} | {f.verdict} |")
    yield "\n## Findings\n"
    for number, f in enumerate(survey.findings, start=1):
        yield from finding_lines(number, f)
    yield from _loads(survey)
    yield "## Go back and read\n"
    place: str | None = "\0"
    for item in survey.go_back:
        if item.where != place:
            place = item.where
            yield f"\n**{escaped(place or 'place not noted')}**\n"
        yield f"- [ ] {escaped(item.read)} ({escaped(', '.join(item.checks))})"
    yield "\n## Not checked\n"
    for left in survey.not_checked:
        yield f"- {left.check} {escaped(left.subject)}: {escaped(left.reason)}"
    yield f"\n---\n\n{escaped(CAUTIONS)}"


def _loads(survey: Survey) -> Iterator[str]:
    if survey.cards:
        yield "## Load cards\n"
    for card in survey.cards:
        yield f"**{escaped(heading(card))}**\n"
        for line in in_words(card):
            yield f"- {escaped(line)}"
        yield ""
    analysis = survey.loads
    if analysis.rows:
        yield "## Load analysis\n"
        yield "W on DC, VA on AC, best values; ? is not known, - does not run.\n"
        names = ("load", "connected", "factor", *map(escaped, analysis.conditions))
        yield f"| {' | '.join(names)} |"
        yield "|---" * len(names) + "|"
        for cells in analysis_rows(analysis, analysis.conditions):
            yield f"| {' | '.join(map(escaped, cells))} |"
        yield ""


def finding_lines(number: int, f: Finding) -> Iterator[str]:
    """Yield one finding as lines of Markdown."""
    place = f" ({escaped(f.where)})" if f.where else ""
    mark = f", priority {f.priority}" if f.priority else ""
    provisional = ", provisional" if f.provisional else ""
    yield f"### {number}. {f.check} {escaped(f.about)}{place}: {f.verdict}{mark}{provisional}\n"
    yield escaped(f.statement) + "\n"
    for item in f.turns_on:
        sides = [
            f"{word} if {escaped(value)}"
            for word, value in (("adequate", item.adequate_if), ("inadequate", item.inadequate_if))
            if value
        ]
        yield f"- Turns on {escaped(item.input)}: {'; '.join(sides) or 'not alone'}"
    for label, value in (("Remedy", f.remedy), ("Caution", f.caution)):
        if value:
            yield f"- **{label}:** {escaped(value)}"
    for note in f.notes:
        yield f"- Note: {escaped(note)}"
    for step in f.working:
        numbers = f" = {step.numbers}" if step.numbers else ""
        source = f" ({step.source})" if step.source else ""
        line = f"{step.symbol} = {step.formula}{numbers} = {units.plain(step.result)} {step.unit}"
        yield f"- {escaped(line.rstrip() + source)}"
    for typical in f.typical:
        line = f"{typical.input}, {typical.taken} taken ({typical.source})"
        yield f"- Not seen: {escaped(line)}"
    for s in f.sources:
        line = f"{s.cited} (table {s.table}, {s.read})"
        yield f"- Source: {escaped(line)}"
    yield ""
