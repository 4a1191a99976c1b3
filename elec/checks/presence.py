"""Questions of yes or no: is the thing there, and which rule asks for it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from elec.boat.records import Entry
from elec.checks.question import Option, Question
from elec.finding import Finding, Priority, Step
from elec.noted import Choice
from elec.published import Source

__all__ = ["THERE", "ask_presence", "presence_finding"]

#: Limit between what is absent (0) and what is present (1), far from both.
THERE = 0.5
ABSENT_PRESENT = ("absent", "present")


def ask_presence(
    question: Question,
    name: str,
    given: Choice,
    *,
    entry: Entry,
    field: str,
    read: str = "",
    labels: tuple[str, str] = ABSENT_PRESENT,
) -> None:
    """Add a thing that is there (1), is not (0), or was not seen (either)."""
    both = [Option(float(value), label) for value, label in enumerate(labels)]
    question.among(
        name,
        both[1:] if given.is_surely("yes") else both[:1] if given.is_surely("no") else both,
        entry=entry,
        field=field,
        worse="lower",
        more="",
        read=read,
    )


def presence_finding(
    given: Choice,
    *,
    check: str = "",
    entry: Entry,
    field: str,
    read: str = "",
    words: dict[str, str],
    worst: Priority,
    sources: Sequence[Source],
    remedy: str,
    caution: str | None = None,
    notes: Sequence[str] = (),
    working: Sequence[Step] = (),
    part: str = "",
    labels: tuple[str, str] = ABSENT_PRESENT,
) -> Finding:
    """Return the finding of one thing; ``words`` holds the statement for yes, no and ?.

    ``labels`` say what it is to be without it and with it. Of what was not seen it is said what
    its absence would bring: what stands behind the colon of the statement for no.
    """
    question = Question()
    ask_presence(question, "present", given, entry=entry, field=field, read=read, labels=labels)
    brings = words["no"].partition(": ")[2]
    if not given.seen and brings:
        notes = [f"If {labels[0]}: {brings}", *notes]

    def requirement(**inputs: Any) -> tuple[Any, Any]:
        return inputs["present"], np.full_like(inputs["present"], THERE)

    return question.finding(
        question.rule(requirement, "at least"),
        check=check,
        entry=entry,
        quantity="presence",
        worst=worst,
        statement=lambda _value, _limit: words[given.text],
        working=working,
        sources=sources,
        remedy=remedy,
        caution=caution,
        notes=notes,
        part=part,
    )
