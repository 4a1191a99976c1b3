"""A judged quote for the terminal, 80 columns."""

from __future__ import annotations

from collections.abc import Iterator

from elec.errors import printable
from elec.finding import Finding
from elec.quote.compare import Change
from elec.quote.judging import Judged
from elec.quote.money import show
from elec.quote.sums import RULES
from elec.report.text import CAUTIONS, WIDTH, finding_lines, wrap

__all__ = ["EFFECTS", "render", "shown_changes", "summary"]

#: What a quote does to a question of the survey, in words.
EFFECTS = {
    "makes": "made",
    "worsens": "worse",
    "opens": "newly open",
    "leaves": "left",
    "settles": "settled",
    "cures": "cured",
    "keeps": "good",
}


def render(judged: Judged, *, colour: bool = False, working: bool = True) -> str:
    """Return a judged quote as text.

    Parameters
    ----------
    judged : Judged
        The quote beside its boat. [-]
    colour : bool, default False
        Whether to colour the verdicts. [-]
    working : bool, default True
        Whether to show the arithmetic and the sources. [-]

    Returns
    -------
    str
        Lines of at most 80 columns. [text]
    """
    return "\n".join(_lines(judged, colour, working)) + "\n"


def summary(judged: Judged) -> list[str]:
    """Return what matters most, in plain sentences."""
    sums, currency = judged.sums, judged.given.currency
    wrong = sum(slip.certain for slip in sums.slips)
    count = {name: sum(c.effect == name for c in judged.changes) for name in EFFECTS}
    right = show(sums.total_right, currency)
    if sums.total_printed is None:
        said = f"No total is printed; the lines come to {right}."
    elif sums.total_printed == sums.total_right and not wrong:
        said = f"The sums are right: {right} in all."
    else:
        printed = show(sums.total_printed, currency)
        figures = "1 figure is wrong" if wrong == 1 else f"{wrong} figures are wrong"
        said = f"{figures}: the total is printed as {printed}; put right it is {right}."
    missing = [f for f in judged.findings if f.verdict in ("inadequate", "undetermined")]
    lines = [
        said,
        f"Aboard, the quote cures {count['cures']} and settles {count['settles']} findings; it "
        f"makes {count['makes']}, makes {count['worsens']} worse, leaves {count['opens']} newly "
        f"open and {count['leaves']} as they are.",
        f"Missing, short or unsaid in the quote itself: {len(missing)}.",
        f"Questions to put to the yard: {len(judged.questions)}, at the end.",
    ]
    if judged.given.unread:
        names = ", ".join(repr(name) for name in judged.given.unread)
        lines.append(f"Columns whose heading is not known were left out: {names}.")
    return lines


def _heading(words: str) -> str:
    return f"\n{words}\n{'-' * len(words)}"


def _lines(judged: Judged, colour: bool, working: bool) -> Iterator[str]:
    quote = judged.given.file.quote
    yield wrap(quote.title.upper() if quote.title.isascii() else quote.title)
    facts = [
        quote.yard,
        f"quote {quote.number}" if quote.number else None,
        quote.date.isoformat() if quote.date else None,
        f"for {judged.boat.boat.name}",
        f"basis {judged.after.basis}",
    ]
    yield wrap(", ".join(filter(None, facts)))
    yield "=" * WIDTH
    yield ""
    for sentence in summary(judged):
        yield wrap(sentence)
    yield from _sums(judged)
    yield from _before_after(judged)
    made = list(judged.made)
    if made:
        yield _heading("WHAT THE QUOTE MAKES, WORSENS OR LEAVES OPEN")
        for number, finding in enumerate(made, start=1):
            yield from finding_lines(number, finding, colour, working)
    yield from _own(judged, colour, working)
    if judged.remarks:
        yield _heading("WORTH ASKING")
        for remark in judged.remarks:
            yield wrap(remark.statement, "- ", "  ")
            if remark.working and working:
                yield wrap(remark.working, "  = ", "    ")
    if judged.fitted.left:
        yield _heading("NOT PUT INTO THE BOAT")
        for placed in judged.fitted.left:
            yield wrap(f"line '{placed.line}': {placed.words}", "- ", "  ")
    yield _heading("QUESTIONS TO THE YARD")
    for number, question in enumerate(judged.questions, start=1):
        yield wrap(f"{number}. {question}", "", "   ")
    if not judged.questions:
        yield "None."
    if judged.after.not_checked:
        yield _heading("NOT CHECKED")
        for item in judged.after.not_checked:
            yield wrap(f"{item.check} {item.subject}: {item.reason}.", "- ", "  ")
    yield ""
    yield "-" * WIDTH
    yield wrap(CAUTIONS)


def _sums(judged: Judged) -> Iterator[str]:
    yield _heading("SUMS")
    for number, slip in enumerate(judged.sums.slips, start=1):
        place = f" (line {slip.file_line} of the file)" if slip.file_line else ""
        yield wrap(f"{number}. {slip.statement}{place}", "", "   ")
        yield wrap(slip.working, "   = ", "     ")
        if slip.likely:
            yield wrap(f"Likely: {slip.likely}", "   ? ", "     ")
        for follow in slip.follows:
            yield wrap(follow, "   > ", "     ")
    if not judged.sums.slips:
        yield "Every sum is right."
    for name in judged.sums.unpriced:
        yield f"Line '{printable(name)}' has no price."
    yield wrap(RULES)


def shown_changes(judged: Judged) -> tuple[list[Change], int]:
    """Return the changes worth a row, and how many findings the quote does not touch."""
    touched = {placed.subject for placed in judged.fitted.placed}
    rows = [
        change
        for change in judged.changes
        if change.effect not in ("leaves", "keeps") or change.finding.subject in touched
    ]
    return rows, len(judged.changes) - len(rows)


def _before_after(judged: Judged) -> Iterator[str]:
    from tabulate import tabulate

    yield _heading("BEFORE AND AFTER")
    rows, rest = shown_changes(judged)

    def side(finding: Finding | None) -> str:
        return finding.verdict if finding else "-"

    table = [
        (
            EFFECTS[c.effect],
            c.finding.check,
            printable(c.finding.subject)[:18],
            side(c.before),
            side(c.after),
        )
        for c in rows
    ]
    if table:
        headers = ("effect", "check", "subject", "before", "after")
        yield tabulate(table, headers=headers, tablefmt="simple", disable_numparse=True)
    left = [c for c in judged.changes if c not in rows and c.effect == "leaves"]
    yield wrap(
        f"Not touched by the quote: {rest} findings, of which {len(left)} are inadequate or open; "
        "'elec survey' shows them."
    )


def _own(judged: Judged, colour: bool, working: bool) -> Iterator[str]:
    bad = [f for f in judged.findings if f.verdict != "adequate"]
    good = [f for f in judged.findings if f.verdict == "adequate"]
    yield _heading("MISSING, SHORT OR MISCOUNTED")
    if not bad:
        yield "Nothing was found missing."
    for number, finding in enumerate(bad, start=1):
        yield from finding_lines(number, finding, colour, working)
    for finding in good:
        yield wrap(f"Adequate: {finding.statement}")
