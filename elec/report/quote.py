"""A judged quote as text, Markdown, CSV or JSON."""

from __future__ import annotations

from collections.abc import Iterator

from elec.finding import Finding
from elec.quote.compare import Change
from elec.quote.judging import Judged
from elec.quote.money import show
from elec.quote.sums import RULES
from elec.report import csv_text, json_text
from elec.report.markdown import blocks_of
from elec.report.parts import CAUTIONS, Part, facts, findings
from elec.report.text import lines_of

__all__ = ["as_csv", "as_json", "as_markdown", "as_text"]

#: What a quote does to a question of the survey, in words.
_EFFECTS = {
    "makes": "made",
    "worsens": "worse",
    "opens": "newly open",
    "leaves": "left",
    "settles": "settled",
    "cures": "cured",
    "keeps": "good",
}
_COLUMNS = (
    "kind", "place", "check", "verdict", "priority", "printed", "computed", "statement",
    "working", "remedy",
)  # fmt: skip


def as_text(judged: Judged, *, colour: bool = False, working: bool = True) -> str:
    """Return lines of at most 80 columns; ``working`` is whether arithmetic is shown."""
    return "\n".join(lines_of(_parts(judged, working, short=True), colour)) + "\n"


def as_markdown(judged: Judged) -> str:
    """Return one Markdown text."""
    return blocks_of(_parts(judged, working=True, short=False))


def as_json(judged: Judged) -> str:
    """Return one document; the same quote gives the same bytes."""
    return json_text.written(json_text.document(judged))


def as_csv(judged: Judged) -> str:
    """Return sums, changes, findings, remarks and questions as rows, in this order."""
    return csv_text.written(_COLUMNS, _rows(judged))


def _parts(judged: Judged, working: bool, short: bool) -> Iterator[Part]:
    quote = judged.given.file.quote
    yield Part("title", quote.title)
    yield facts(
        quote.yard,
        f"quote {quote.number}" if quote.number else None,
        quote.date.isoformat() if quote.date else None,
        f"for {judged.boat.boat.name}",
        f"basis {judged.after.basis}",
    )
    yield from (Part("sentence", words) for words in _summary(judged))
    yield from _sums(judged)
    yield from _before_after(judged)
    if judged.made:
        yield Part("heading", "What the quote makes, worsens or leaves open")
        yield from findings(judged.made, working=working, short=short)
    yield Part("heading", "Missing, short or miscounted")
    own = sorted(judged.findings, key=lambda finding: finding.verdict == "adequate")
    if not own or own[0].verdict == "adequate":
        yield Part("plain", "Nothing was found missing.")
    yield from findings(own, working=working, short=short)
    yield from _asked(judged, working)
    yield Part("end", CAUTIONS)


def _summary(judged: Judged) -> Iterator[str]:
    """Yield what matters most, in plain sentences."""
    sums, currency = judged.sums, judged.given.currency
    wrong = sum(slip.certain for slip in sums.slips)
    count = {name: sum(c.effect == name for c in judged.changes) for name in _EFFECTS}
    right = show(sums.total_right, currency)
    if sums.total_printed is None:
        yield f"No total is printed; the lines come to {right}."
    elif sums.total_printed == sums.total_right and not wrong:
        yield f"The sums are right: {right} in all."
    else:
        printed = show(sums.total_printed, currency)
        figures = "1 figure is wrong" if wrong == 1 else f"{wrong} figures are wrong"
        yield f"{figures}: the total is printed as {printed}; put right it is {right}."
    missing = [f for f in judged.findings if f.verdict in ("inadequate", "undetermined")]
    yield (
        f"Aboard, the quote cures {count['cures']} and settles {count['settles']} findings; it "
        f"makes {count['makes']}, makes {count['worsens']} worse, leaves {count['opens']} newly "
        f"open and {count['leaves']} as they are."
    )
    yield f"Missing, short or unsaid in the quote itself: {len(missing)}."
    yield f"Questions to put to the yard: {len(judged.questions)}, at the end."
    if judged.given.unread:
        names = ", ".join(repr(name) for name in judged.given.unread)
        yield f"Columns whose heading is not known were left out: {names}."


def _sums(judged: Judged) -> Iterator[Part]:
    yield Part("heading", "Sums")
    for number, slip in enumerate(judged.sums.slips, start=1):
        place = f" (line {slip.file_line} of the file)" if slip.file_line else ""
        yield Part("numbered", f"{number}. {slip.statement}{place}")
        yield Part("working", slip.working)
        if slip.likely:
            yield Part("likely", f"Likely: {slip.likely}")
        yield from (Part("follow", words) for words in slip.follows)
    if not judged.sums.slips:
        yield Part("plain", "Every sum is right.")
    for name in judged.sums.unpriced:
        yield Part("plain", f"Line '{name}' has no price.")
    yield Part("plain", RULES)


def _before_after(judged: Judged) -> Iterator[Part]:
    """Show the changes worth a row, and count the findings that the quote does not touch."""
    yield Part("heading", "Before and after")
    touched = {placed.subject for placed in judged.fitted.placed}
    rows: list[Change] = []
    rest: list[Change] = []
    for one in judged.changes:
        shown = one.effect not in ("leaves", "keeps") or one.finding.subject in touched
        (rows if shown else rest).append(one)
    table = [
        (
            _EFFECTS[one.effect],
            one.finding.check,
            one.finding.subject,
            *(found.verdict if found else "-" for found in (one.before, one.after)),
        )
        for one in rows
    ]
    if table:
        yield Part("table", rows=[("effect", "check", "subject", "before", "after"), *table])
    left = sum(one.effect == "leaves" for one in rest)
    yield Part(
        "plain",
        f"Not touched by the quote: {len(rest)} findings, of which {left} are inadequate or open; "
        "'elec survey' shows them.",
    )


def _asked(judged: Judged, working: bool) -> Iterator[Part]:
    if judged.remarks:
        yield Part("heading", "Worth asking")
    for remark in judged.remarks:
        yield Part("point", remark.statement)
        if remark.working and working:
            yield Part("because", remark.working)
    if judged.fitted.left:
        yield Part("heading", "Not put into the boat")
    for placed in judged.fitted.left:
        yield Part("point", f"line '{placed.line}': {placed.words}")
    yield Part("heading", "Questions to the yard")
    for number, question in enumerate(judged.questions, start=1):
        yield Part("numbered", f"{number}. {question}")
    if not judged.questions:
        yield Part("plain", "None.")
    if judged.after.not_checked:
        yield Part("heading", "Not checked")
    for item in judged.after.not_checked:
        yield Part("point", f"{item.check} {item.subject}: {item.reason}.")


def _rows(judged: Judged) -> Iterator[csv_text.Row]:
    for slip in judged.sums.slips:
        yield {
            **_row("sum", slip.place, slip.kind, " ".join([slip.statement, *slip.follows])),
            "printed": slip.printed,
            "computed": slip.computed,
            "working": slip.working,
            "remedy": slip.likely,
        }
    yield from (_found(change.effect, change.finding) for change in judged.changes)
    yield from (_found("quote", finding) for finding in judged.findings)
    for one in judged.remarks:
        yield {**_row("remark", one.place, one.kind, one.statement), "working": one.working}
    for placed in judged.fitted.left:
        yield _row("not fitted", f"line '{placed.line}'", "", placed.words)
    for number, question in enumerate(judged.questions, start=1):
        yield _row("question", str(number), "", question)
    for item in judged.after.not_checked:
        yield _row("not checked", item.subject, item.check, item.reason)


def _found(kind: str, f: Finding) -> csv_text.Row:
    given = {"verdict": f.verdict, "priority": f.priority, "remedy": f.remedy}
    return {**_row(kind, f.subject, f.check, f.statement), **given}


def _row(kind: str, place: str, check: str, statement: str) -> csv_text.Row:
    return {"kind": kind, "place": place, "check": check, "statement": statement}
