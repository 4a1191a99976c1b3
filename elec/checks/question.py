"""Builds one requirement from what was noted aboard and turns the judge's ruling into words.

A check names each input with what it is aboard (which entry, which field, in which quantity), then
asks; the question remembers which inputs were not seen, and says for each unsettled one on which
value the verdict turns.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from elec import units
from elec.boat.possible import value_of
from elec.checks.cannot import CannotJudge
from elec.finding import Finding, Priority, Shown, Step, TurnsOn, Typical, priority_of
from elec.judge import HOLDS_WITHIN, Input, Requirement, Ruling, TurningPoint, holds, judge
from elec.noted import Noted
from elec.published import Source, table

if TYPE_CHECKING:
    from elec.boat.records import Entry

__all__ = ["Option", "Question", "asked_for", "shown_span"]

#: How the source of a typical value names its table.
_TABLE = re.compile(r"\btable (\w+)")

Worse = Literal["higher", "lower"] | None

#: Shown for a value that nothing bounds, such as the hours for which a bank carries no load.
_UNBOUNDED = "any length"


@dataclass(frozen=True)
class Option:
    """One of the things that an input may be: the number given to the function, and its name."""

    value: float
    label: str


@dataclass(frozen=True)
class _About:
    """What an input is aboard."""

    words: str
    subject: str
    where: str | None
    quantity: str
    noted: str
    read: str
    labels: Mapping[float, str]
    more: str
    scale: float = 1.0


def asked_for(entry: Entry | None, field: str, read: str = "") -> tuple[str, str]:
    """Return the name of a field in a sentence, and the words that ask for it.

    Both are those of its declaration where ``field`` is a key of the entry; else ``field`` is the
    name already.
    """
    facts = getattr(entry, "declarations", {}).get(field)  # what is put together has none
    words = field if facts is None else facts.words or field.replace("_", " ")
    subject = entry.id if entry is not None else "boat"
    if not read and facts is not None and facts.read:
        read = facts.read.format(id=subject)
    return words, read or f"the {words} of '{subject}'"


class Question:
    """One requirement in the making."""

    def __init__(self) -> None:
        self.dear = False
        self._inputs: list[Input] = []
        self._about: dict[str, _About] = {}
        self._typical: list[Typical] = []

    # -- naming inputs -----------------------------------------------------------------------

    def exact(self, name: str, value: float) -> None:
        """Add an input that is settled."""
        self._inputs.append(Input.exact(name, float(value)))

    def ask(self, name: str, entry: Entry, field: str, *, worse: Worse, read: str = "") -> None:
        """Add a value of an entry: as noted, or all that it may be where it was not seen.

        Raises
        ------
        CannotJudge
            If it was not seen, and its declaration bounds it by nothing.
        """
        value = value_of(entry, field)
        if not value.seen:
            words, read = asked_for(entry, field, read)
            raise CannotJudge(f"its {words} was not noted", read)
        self.noted(name, value, entry=entry, field=field, worse=worse, read=read)

    def noted(
        self,
        name: str,
        value: Noted,
        *,
        entry: Entry | None,
        field: str,
        worse: Worse,
        read: str = "",
    ) -> None:
        """Add a value as noted aboard; it must have been seen, or have a typical range."""
        low, best, high = value.span
        subject = entry.id if entry else "boat"
        field, read = asked_for(entry, field, read)
        words = f"{subject}: {field}" if entry else field
        if low == high:
            self._inputs.append(Input.exact(name, low))
        else:
            self._inputs.append(Input.between(name, low, best, high, worse=worse))
        noted = value.text if value.seen and value.origin != "typical" else "not seen"
        self._about[name] = _About(
            words,
            subject,
            getattr(entry, "where", None),
            value.quantity,
            noted,
            read,
            {},
            "",
        )
        if value.origin == "typical":
            taken = units.show_range(low, high, value.quantity)
            self._typical.append(Typical(words, taken, value.source))

    def among(
        self,
        name: str,
        options: Sequence[Option],
        *,
        entry: Entry | None,
        field: str,
        worse: Worse = None,
        best: float | None = None,
        noted: str = "not seen",
        source: str = "every possibility considered",
        more: str = "or more",
        read: str = "",
    ) -> None:
        """Add an input that is one of ``options`` (ascending values)."""
        values = tuple(option.value for option in options)
        if len(values) == 1:
            self._inputs.append(Input.exact(name, values[0]))
            return
        self._inputs.append(Input.among(name, values, best, worse=worse))
        subject = entry.id if entry else "boat"
        field, read = asked_for(entry, field, read)
        words = f"{subject}: {field}"
        self._about[name] = _About(
            words,
            subject,
            getattr(entry, "where", None),
            "",
            noted,
            read,
            {o.value: o.label for o in options},
            more,
        )
        if noted == "not seen":
            first, last = options[0].label, options[-1].label
            taken = f"{first} or {last}" if len(options) == 2 else f"{first} to {last}"
            self._typical.append(Typical(words, taken, source))

    @property
    def typical(self) -> tuple[Typical, ...]:
        """Inputs not seen, with what was taken for them."""
        return tuple(self._typical)

    def best(self, name: str) -> float:
        """Return the best value of an input."""
        return next(i.best for i in self._inputs if i.name == name)

    def ends(self, name: str) -> tuple[float, float]:
        """Return the lowest and highest value of an input."""
        found = next(i for i in self._inputs if i.name == name)
        return found.low, found.high

    def settled(self, name: str) -> bool:
        """Whether an input is known exactly."""
        return bool(next(i for i in self._inputs if i.name == name).settled)

    def best_values(self) -> dict[str, Any]:
        """Return every input at its best value."""
        return {i.name: np.asarray(i.best) for i in self._inputs}

    def worst_values(self) -> dict[str, Any]:
        """Return every input at its hardest end (its best value where no end is hardest)."""
        ends = {"higher": "high", "lower": "low", None: "best"}
        return {i.name: np.asarray(getattr(i, ends[i.worse])) for i in self._inputs}

    def easiest_values(self) -> dict[str, Any]:
        """Return every input at its easiest end (its best value where no end is)."""
        ends = {"higher": "low", "lower": "high", None: "best"}
        return {i.name: np.asarray(getattr(i, ends[i.worse])) for i in self._inputs}

    # -- ruling ------------------------------------------------------------------------------

    def rule(
        self, function: Callable[..., tuple[Any, Any]], sense: Literal["at most", "at least"]
    ) -> Ruling:
        """Let the judge rule."""
        return judge(Requirement(function, tuple(self._inputs), sense, self.dear))

    def holds(
        self,
        function: Callable[..., tuple[Any, Any]],
        sense: Literal["at most", "at least"],
        *,
        searched: bool = True,
    ) -> bool:
        """Whether the judge would rule that it holds, whatever is not settled."""
        requirement = Requirement(function, tuple(self._inputs), sense, self.dear)
        return holds(requirement, searched=searched)

    def holds_at_worst(
        self,
        function: Callable[..., tuple[Any, Any]],
        sense: Literal["at most", "at least"],
        **replaced: float,
    ) -> bool:
        """Whether the requirement holds with every input at its hardest end, some replaced.

        Only for requirements all of whose unsettled inputs have a hardest end.
        """
        given = self.worst_values() | {k: np.asarray(v) for k, v in replaced.items()}
        value, limit = (float(np.asarray(v)) for v in function(**given))
        slack = HOLDS_WITHIN * abs(limit)
        return value <= limit + slack if sense == "at most" else value >= limit - slack

    def finding(
        self,
        ruling: Ruling,
        *,
        check: str = "",
        entry: Entry,
        quantity: str,
        statement: Callable[[str, str], str],
        worst: Priority,
        working: Sequence[Step] = (),
        sources: Sequence[Source] = (),
        remedy: str | None = None,
        caution: str | None = None,
        notes: Sequence[str] = (),
        subject: str | None = None,
        part: str = "",
    ) -> Finding:
        """Put a ruling into a finding; ``statement`` is given the shown value and limit.

        The runner names the check that it is of, unless ``check`` does.
        """
        value, limit = shown_span(ruling, quantity)
        unit = units.QUANTITIES[quantity].base if quantity else ""
        more = list(notes)
        if not ruling.rigorous:
            more.append(
                f"Ruled on {ruling.points:,} evaluations over the range of what is not settled, "
                "its corners among them; not a proof."
            )
        failed = ruling.verdict in ("inadequate", "undetermined")
        return Finding(
            check=check,
            subject=subject or entry.id,
            where=entry.where,
            verdict=ruling.verdict,
            priority=priority_of(ruling.verdict, worst),
            statement=statement(value, limit),
            value=Shown(*_three(ruling.value), unit, quantity),
            limit=Shown(*_three(ruling.limit), unit, quantity),
            sense=ruling.sense,
            margin=Shown(*_three(ruling.margin), ""),
            working=tuple(working),
            sources=tuple(dict.fromkeys([*sources, *self._typical_sources()])),
            typical=self.typical,
            turns_on=self._turns_on(ruling),
            remedy=remedy if failed else None,
            caution=caution if failed else None,
            notes=tuple(more),
            part=part,
        )

    def _typical_sources(self) -> list[Source]:
        names = [found for item in self._typical for found in _TABLE.findall(item.source)]
        return [table(name).source() for name in dict.fromkeys(names)]

    def _turns_on(self, ruling: Ruling) -> tuple[TurnsOn, ...]:
        found = []
        for point in ruling.turns_on:
            about = self._about.get(point.input)
            if about is None:
                continue
            found.append(
                TurnsOn(
                    input=about.words,
                    noted=about.noted,
                    adequate_if=_words(point.adequate_if, point, about, safe=True),
                    inadequate_if=_words(point.inadequate_if, point, about, safe=False),
                    settles=point.settles,
                    subject=about.subject,
                    where=about.where,
                    read=about.read,
                )
            )
        return tuple(found)


def _three(span: Any) -> tuple[float, float, float]:
    return float(span.low), float(span.best), float(span.high)


def shown_span(ruling: Ruling, quantity: str) -> tuple[str, str]:
    """Return value and limit in words, each a range where it is one, never rounded onto it."""
    value, limit, sense = ruling.value, ruling.limit, ruling.sense
    worst_value, worst_limit = (
        (value.high, limit.low) if sense == "at most" else (value.low, limit.high)
    )
    if math.isclose(worst_value, worst_limit, rel_tol=HOLDS_WITHIN):
        worst_value = worst_limit  # it holds; what a sum in floats leaves over is not shown
    if math.isfinite(worst_value):
        shown_value, shown_limit = units.show_against(
            worst_value, worst_limit, quantity, sense=sense
        )
    else:
        shown_value = _UNBOUNDED
        shown_limit = units.show_limit(worst_limit, quantity, sense=sense)
    if not math.isclose(value.low, value.high, rel_tol=1e-9):
        other = value.low if sense == "at most" else value.high
        text = units.show(other, quantity) if math.isfinite(other) else _UNBOUNDED
        pair = (text, shown_value) if sense == "at most" else (shown_value, text)
        if pair[0] != pair[1]:
            shown_value = f"{pair[0]} to {pair[1]}"
    if not math.isclose(limit.low, limit.high, rel_tol=1e-9):
        low, high = units.show(limit.low, quantity), units.show(limit.high, quantity)
        if low != high:
            shown_limit = f"{low} to {high}"
    return shown_value, shown_limit


def _words(
    intervals: Sequence[tuple[float, float]], point: TurningPoint, about: _About, *, safe: bool
) -> str | None:
    if not intervals:
        return None
    if about.labels:
        values = list(about.labels)
        inside = [v for v in values if any(low <= v <= high for low, high in intervals)]
        if not inside:
            return None
        labels = [about.labels[v] for v in inside]
        if not about.more:
            return " or ".join(labels)
        if len(inside) > 3 and inside == values[values.index(inside[0]) :]:
            return f"{labels[0]} {about.more}"
        if len(inside) > 3 and inside == values[: len(inside)]:
            return f"{labels[0]} to {labels[-1]}"
        return " or ".join(labels)
    parts = []
    for low, high in intervals:
        from_start, to_end = low <= point.low, high >= point.high
        if from_start and to_end:
            return "any value in the range"
        # an adequate range is shown narrower than it is, an inadequate one wider
        shown_low = units.show_limit(low, about.quantity, sense="at least" if safe else "at most")
        shown_high = units.show_limit(high, about.quantity, sense="at most" if safe else "at least")
        if from_start:
            parts.append(f"{shown_high} or less" if safe else f"under {shown_high}")
        elif to_end:
            parts.append(f"{shown_low} or more" if safe else f"over {shown_low}")
        else:
            parts.append(f"{shown_low} to {shown_high}")
    return ", or ".join(parts)
