"""A survey for the terminal, 80 columns; verdicts in words, colour only as a help."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence

from elec import units
from elec.errors import printable
from elec.finding import Finding, Step, TurnsOn
from elec.report.loads import cards_text, loads_text
from elec.survey import GoBack, Survey

__all__ = ["CAUTIONS", "finding_lines", "render", "wrap"]

WIDTH = 80
_TWO_PAGES = 112  # lines, of 58 a page, less heading and last line
_COLOURS = {"inadequate": "31", "undetermined": "33", "marginal": "36", "adequate": "32"}
_PRIORITY = {"A": "attend before use", "B": "attend soon", "C": "advice"}
CAUTIONS = (
    "This is arithmetic on what was noted. It is no inspection and clears nothing that was not "
    "seen. Shore power and batteries can kill, burn and set fires; never swim near docks that "
    "have power. Work on them belongs to a licensed marine electrician under the local code; "
    "see SAFETY.md."
)


def wrap(text: str, indent: str = "", hanging: str | None = None) -> str:
    """Return text in lines of at most 80 columns, safe to show."""
    shown = printable(text)
    if shown and len(indent) + len(shown) <= WIDTH and shown == shown.strip():
        return indent + shown
    return textwrap.fill(
        shown,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )


def render(surveys: Sequence[Survey], *, colour: bool = False, working: bool = True) -> str:
    """Return the surveys as text.

    Parameters
    ----------
    surveys : sequence of Survey
        One a boat. [-]
    colour : bool, default False
        Whether to colour the verdicts. [-]
    working : bool, default True
        Whether to show the arithmetic and the sources. [-]

    Returns
    -------
    str
        Lines of at most 80 columns. [text]
    """
    return "\n".join("\n".join(_one(s, colour=colour, working=working)) for s in surveys) + "\n"


def _one(survey: Survey, *, colour: bool, working: bool) -> Iterator[str]:
    about = survey.boat.boat
    yield wrap(about.name.upper() if about.name.isascii() else about.name)
    facts = [
        about.place,
        f"{about.length.show()} long" if about.length.seen else None,
        f"surveyed {about.surveyed.isoformat()}" if about.surveyed else None,
        f"basis {survey.basis}",
    ]
    yield wrap(", ".join(filter(None, facts)))
    yield "=" * WIDTH
    yield ""
    yield from _summary(survey, colour)
    for number, finding in enumerate(survey.findings, start=1):
        if finding.verdict != "adequate":
            yield from finding_lines(number, finding, colour, working)
    good = [(n, f) for n, f in enumerate(survey.findings, start=1) if f.verdict == "adequate"]
    if good:
        yield _heading("ADEQUATE")
        for number, finding in good:
            yield from finding_lines(number, finding, colour, working)
    yield from cards_text(survey.cards)
    yield from loads_text(survey.loads)
    yield from _go_back(survey)
    yield from _not_checked(survey)
    yield ""
    yield "-" * WIDTH
    yield wrap(CAUTIONS)


def _heading(words: str) -> str:
    return f"\n{words}\n{'-' * len(words)}"


def _paint(verdict: str, colour: bool) -> str:
    words = verdict.upper()
    return f"\x1b[{_COLOURS[verdict]}m{words}\x1b[0m" if colour else words


def _summary(survey: Survey, colour: bool) -> Iterator[str]:
    from tabulate import tabulate

    margins = [_least(f) for f in survey.findings]
    taken = max((len(f.check) for f in survey.findings), default=0) + max(
        map(len, margins), default=0
    )
    # tabulate makes a column two wider than its heading
    room = WIDTH - taken - len("no  pri  ") - len("UNDETERMINED") - 5 * 2
    rows = [
        (
            number,
            f.priority or "",
            f.check,
            _cut(f.about, max(room, 10)),
            _paint(f.verdict, colour),
            margin,
        )
        for number, (f, margin) in enumerate(zip(survey.findings, margins, strict=True), start=1)
    ]
    if rows:
        headers = ("no", "pri", "check", "subject", "verdict", "least")
        yield tabulate(rows, headers=headers, tablefmt="simple", disable_numparse=True)
    else:
        yield "Nothing could be judged."
    yield ""
    yield wrap(
        "Priority A: attend before use. B: attend soon. C: advice. Least: what is in hand at "
        "worst, as a share of the limit; negative is over; - where it is a yes or no."
    )


def _cut(text: str, width: int) -> str:
    shown = printable(text)
    return shown if len(shown) <= width else shown[: width - 1] + "…"


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


def finding_lines(number: int, f: Finding, colour: bool, working: bool) -> Iterator[str]:
    """Yield one finding as lines."""
    yield ""
    words = f"{f.priority} ({_PRIORITY[f.priority]})" if f.priority else "no action"
    place = f", {printable(f.where)}" if f.where else ""
    provisional = ", PROVISIONAL" if f.provisional else ""
    title = f"{number}. {f.check} {printable(f.about)}{place}"
    yield wrap(title, "", "   ")
    yield f"   {_paint(f.verdict, colour)} - {words}{provisional}"
    yield wrap(f.statement, "   ")
    alone = [item for item in f.turns_on if item.adequate_if or item.inadequate_if]
    others = [item.input for item in f.turns_on if item not in alone]
    for item in alone:
        yield wrap(_turns(item), "   ? ", "     ")
    if others:
        more = f" and {len(others) - 8} more" if len(others) > 8 else ""
        lead = "also open" if alone else "no single reading settles it; open are"
        yield wrap(f"{lead}: {'; '.join(others[:8])}{more}", "   ? ", "     ")
    if f.remedy:
        lead = "Remedy" if f.verdict == "inadequate" else "If it cannot be settled"
        yield wrap(f"{lead}: {f.remedy}", "   ", "     ")
    if f.caution:
        yield wrap(f"Caution: {f.caution}", "   ", "     ")
    for note in f.notes:
        yield wrap(f"Note: {note}", "   ", "     ")
    if working:
        for step in f.working:
            yield wrap(_step(step), "   = ", "       ")
        for typical in f.typical[:8]:
            yield wrap(
                f"{typical.input}: not seen, {typical.taken} taken ({typical.source})",
                "   ~ ",
                "     ",
            )
        if len(f.typical) > 8:
            yield f"     and {len(f.typical) - 8} more not seen (all in --json)"
        for s in f.sources:
            marked = {
                "memory": "from memory",
                "republished": "read as republished",
                "text": "read in the text",
                "computed": "computed",
                "practice": "common practice, no source",
            }[s.read]
            yield wrap(f"{s.cited} [table {s.table}, {marked}]", "   # ", "     ")


def _turns(item: TurnsOn) -> str:
    parts = []
    if item.adequate_if:
        parts.append(f"adequate if {item.adequate_if}")
    if item.inadequate_if:
        parts.append(f"inadequate if {item.inadequate_if}")
    given = f" (noted {item.noted})" if item.noted else ""  # some are worked out, not noted
    return f"{item.input}{given}: {'; '.join(parts)}"


def _step(step: Step) -> str:
    number = units.plain(step.result)
    text = f"{step.symbol} = {step.formula}"
    if step.numbers:
        text += f" = {step.numbers}"
    text += f" = {number} {step.unit}".rstrip()
    return f"{text} [{step.source}]" if step.source else text


def _go_back(survey: Survey) -> Iterator[str]:
    """Give the list, on two pages at most: what weighs least is left to --json, and it is said."""
    if not survey.go_back:
        return
    yield _heading("GO BACK AND READ")
    for left in range(len(survey.go_back)):
        lightest = sorted(survey.go_back, key=lambda item: item.weight)[:left]
        kept = [item for item in survey.go_back if item not in lightest]
        lines = list(_to_read(survey, kept))
        if sum(line.count("\n") + 1 for line in lines) <= _TWO_PAGES or not kept:
            break
    yield from lines
    if left:
        yield f"And {left} of less weight, all in --json."


def _to_read(survey: Survey, items: Sequence[GoBack]) -> Iterator[str]:
    place: str | None = "\0"
    for item in items:
        if item.where != place:
            place = item.where
            yield f"{printable(place or 'place not noted')}:"
        waiting = [
            str(number)
            for number, f in enumerate(survey.findings, start=1)
            if f"{f.check} {f.subject}" in item.checks
        ]
        more = " ..." if len(waiting) > 4 else ""
        known = f"for {', '.join(waiting[:4])}{more}" if waiting else "not checked"
        if waiting and 0 < item.settles < 1:
            known = f"settles {item.settles * 100:.0f} %, {known}"
        yield wrap(f"{item.read} ({known})", "  [ ] ", "      ")


def _not_checked(survey: Survey) -> Iterator[str]:
    yield _heading("NOT CHECKED")
    if not survey.not_checked:
        nothing = not survey.findings
        yield (
            "Nothing was noted that could be checked."
            if nothing
            else "Nothing that was asked was left out."
        )
    alike: dict[tuple[str, str], list[str]] = {}
    for item in survey.not_checked:
        alike.setdefault((item.subject, item.reason), []).append(item.check)
    for (subject, reason), checks in alike.items():
        names = ", ".join(dict.fromkeys(checks))
        yield wrap(f"{names} {subject}: {reason}.", "  - ", "    ")
