"""What a report says, part by part in its order; the terminal and Markdown only set the parts."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from elec import units
from elec.checks.aboard.load_card import heading, in_words
from elec.finding import Finding, Step, TurnsOn
from elec.report.loads import analysis_rows, used
from elec.survey import GoBack, Survey

__all__ = ["CAUTIONS", "Kind", "Part", "facts", "finding_parts", "findings", "survey_parts"]

Kind = Literal[
    "survey", "title", "facts", "heading", "findings", "table", "loads", "legend", "plain",
    "group", "item", "read", "end",
    "finding", "verdict", "statement", "turn", "open", "advice", "step", "typical", "more",
    "source", "sentence", "numbered", "working", "likely", "follow", "point", "because",
]  # fmt: skip


class Part(NamedTuple):
    """One part: what it is, its words, or its rows with their heads first."""

    kind: Kind
    text: str = ""
    rows: Sequence[tuple[str, ...]] = ()


CAUTIONS = (
    "This is arithmetic on what was noted. It is no inspection and clears nothing that was not "
    "seen. Shore power and batteries can kill, burn and set fires; never swim near docks that "
    "have power. Work on them belongs to a licensed marine electrician under the local code; "
    "see SAFETY.md."
)
_PRIORITY = {"A": "attend before use", "B": "attend soon", "C": "advice"}
_READ = {
    "memory": "from memory",
    "republished": "read as republished",
    "text": "read in the text",
    "computed": "computed",
    "practice": "common practice, no source",
}
#: Where room is short: things listed of a finding, findings named for a reading, and the lines of
#: two pages, of 58 each, less heading and last line.
_LISTED, _NAMED, _TWO_PAGES = 8, 4, 112


def facts(*known: str | None) -> Part:
    """Return what is known of the whole, in one line."""
    return Part("facts", ", ".join(filter(None, known)))


def survey_parts(
    survey: Survey, *, working: bool = True, height: Callable[[Iterable[Part]], int] | None = None
) -> Iterator[Part]:
    """Yield a survey.

    ``working`` is whether arithmetic and sources are shown. ``height`` gives the lines that parts
    take where room is short: there lists are cut, and what is left out is counted.
    """
    about, short = survey.boat.boat, height is not None
    yield Part("survey", about.name)
    yield facts(
        about.place,
        f"{about.length.show()} long" if about.length.seen else None,
        f"surveyed {about.surveyed.isoformat()}" if about.surveyed else None,
        f"basis {survey.basis}",
    )
    yield from _summary(survey)
    if any(finding.verdict != "adequate" for finding in survey.findings):
        yield Part("findings", "Findings")
    yield from findings(survey.findings, working=working, short=short)
    if survey.cards:
        yield Part("heading", "Load cards")
    for card in survey.cards:
        yield Part("group", heading(card))
        yield from (Part("item", line) for line in in_words(card))
    yield from _loads(survey)
    yield from _go_back(survey, height)
    yield from _not_checked(survey)
    yield Part("end", CAUTIONS)


def _summary(survey: Survey) -> Iterator[Part]:
    rows = [
        (str(number), f.priority or "", f.check, f.about, f.verdict.upper(), _least(f))
        for number, f in enumerate(survey.findings, start=1)
    ]
    if rows:
        heads = ("no", "pri", "check", "subject", "verdict", "least")
        yield Part("table", rows=[heads, *rows])
    else:
        yield Part("plain", "Nothing could be judged.")
    yield Part(
        "legend",
        "Priority A: attend before use. B: attend soon. C: advice. Least: what is in hand at "
        "worst, as a share of the limit; negative is over; - where it is a yes or no.",
    )


def _least(finding: Finding) -> str:
    """Return the least that may be in hand, rounded down so that none looks larger than it is."""
    if not finding.counted:
        return "not seen" if finding.verdict == "undetermined" else "-"
    value = finding.margin.low
    if not math.isfinite(value) or abs(value) >= 10:
        return "far over" if value < 0 else "ample"
    if abs(value) < 1e-9:
        return "0 %"
    places = 0 if abs(value) >= 0.2 else 1 if abs(value) >= 0.001 else 3
    return f"{math.floor(value * 100 * 10**places + 1e-6) / 10**places:+.{places}f} %"


def findings(found: Sequence[Finding], *, working: bool, short: bool) -> Iterator[Part]:
    """Yield findings by their numbers, the adequate ones last under a heading of their own."""
    bad = sum(finding.verdict != "adequate" for finding in found)
    numbered = sorted(enumerate(found, start=1), key=lambda pair: pair[1].verdict == "adequate")
    for place, (number, finding) in enumerate(numbered):
        if place == bad:
            yield Part("heading", "Adequate")
        yield from finding_parts(number, finding, working=working, short=short)


def finding_parts(
    number: int, f: Finding, *, working: bool = True, short: bool = False
) -> Iterator[Part]:
    """Yield one finding."""
    yield Part("finding", f"{number}. {f.check} {f.about}{f', {f.where}' if f.where else ''}")
    words = f"{f.priority} ({_PRIORITY[f.priority]})" if f.priority else "no action"
    yield Part("verdict", f"{f.verdict.upper()} - {words}{', PROVISIONAL' * f.provisional}")
    yield Part("statement", f.statement)
    alone = [item for item in f.turns_on if item.adequate_if or item.inadequate_if]
    others = [item.input for item in f.turns_on if item not in alone]
    yield from (Part("turn", _turns(item)) for item in alone)
    if others:
        shown = others[:_LISTED] if short else others
        more = f" and {len(others) - len(shown)} more" if len(others) > len(shown) else ""
        lead = "also open" if alone else "no single reading settles it; open are"
        yield Part("open", f"{lead}: {'; '.join(shown)}{more}")
    if f.remedy:
        lead = "Remedy" if f.verdict == "inadequate" else "If it cannot be settled"
        yield Part("advice", f"{lead}: {f.remedy}")
    if f.caution:
        yield Part("advice", f"Caution: {f.caution}")
    yield from (Part("advice", f"Note: {note}") for note in f.notes)
    if working:
        yield from _working(f, short)


def _turns(item: TurnsOn) -> str:
    sides = (("adequate", item.adequate_if), ("inadequate", item.inadequate_if))
    given = f" (noted {item.noted})" if item.noted else ""  # some are worked out, not noted
    return f"{item.input}{given}: {'; '.join(f'{w} if {value}' for w, value in sides if value)}"


def _working(f: Finding, short: bool) -> Iterator[Part]:
    yield from (Part("step", _step(step)) for step in f.working)
    shown = f.typical[:_LISTED] if short else f.typical
    for typical in shown:
        yield Part(
            "typical", f"{typical.input}: not seen, {typical.taken} taken ({typical.source})"
        )
    if len(f.typical) > len(shown):
        yield Part("more", f"and {len(f.typical) - len(shown)} more not seen (all in --json)")
    for s in f.sources:
        yield Part("source", f"{s.cited} [table {s.table}, {_READ[s.read]}]")


def _step(step: Step) -> str:
    text = f"{step.symbol} = {step.formula}"
    if step.numbers:
        text += f" = {step.numbers}"
    text += f" = {units.plain(step.result)} {step.unit}".rstrip()
    return f"{text} [{step.source}]" if step.source else text


def _loads(survey: Survey) -> Iterator[Part]:
    analysis, conditions = survey.loads, used(survey.loads)
    if not analysis.rows:
        return
    heads = ("load", "connected", "factor", *conditions)
    yield Part("heading", "Load analysis")
    yield Part("loads", rows=[heads, *analysis_rows(analysis, conditions)])
    yield Part(
        "legend",
        "W on DC, VA on AC, best values; demand = connected x demand factor: on AC while they run, "
        "on DC the mean of the day of loads whose hours or day's use were noted. ~: from a range; "
        "day: noted by the day; -: does not run; ?: not known whether it runs, or its power; "
        "+: and what is not known.",
    )


def _go_back(survey: Survey, height: Callable[[Iterable[Part]], int] | None) -> Iterator[Part]:
    """Give the list, on two pages at most where room is short; what weighs least is left out."""
    listed = survey.go_back
    if not listed:
        return
    yield Part("heading", "Go back and read")
    light = sorted(listed, key=lambda item: item.weight)
    for left in range(len(listed)):
        kept = [item for item in listed if item not in light[:left]]
        parts = list(_to_read(survey, kept, height is not None))
        if height is None or height(parts) <= _TWO_PAGES:
            break
    yield from parts
    if left:
        yield Part("plain", f"And {left} of less weight, all in --json.")


def _to_read(survey: Survey, items: Sequence[GoBack], short: bool) -> Iterator[Part]:
    place: str | None = "\0"
    for item in items:
        if item.where != place:
            place = item.where
            yield Part("group", place or "place not noted")
        waiting = [
            str(number)
            for number, f in enumerate(survey.findings, start=1)
            if f"{f.check} {f.subject}" in item.checks
        ]
        if short:
            names = ", ".join(waiting[:_NAMED]) + " ..." * (len(waiting) > _NAMED)
            known = f"for {names}" if waiting else "not checked"
        else:
            known = f"{'for' if waiting else 'not checked:'} {', '.join(item.checks)}"
        if waiting and 0 < item.settles < 1:
            known = f"settles {item.settles * 100:.0f} %, {known}"
        yield Part("read", f"{item.read} ({known})")


def _not_checked(survey: Survey) -> Iterator[Part]:
    yield Part("heading", "Not checked")
    if not survey.not_checked:
        yield Part(
            "plain",
            "Nothing that was asked was left out."
            if survey.findings
            else "Nothing was noted that could be checked.",
        )
    alike: dict[tuple[str, str], list[str]] = {}
    for item in survey.not_checked:
        alike.setdefault((item.subject, item.reason), []).append(item.check)
    for (subject, reason), checks in alike.items():
        yield Part("item", f"{', '.join(dict.fromkeys(checks))} {subject}: {reason}.")
