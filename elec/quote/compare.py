"""The survey before and after: what a quote cures, what it leaves, what it makes.

Findings are matched by check and subject alone, so that any check of the survey takes part; where a
check asks one thing several times (by condition), its worst finding speaks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from elec.finding import Finding
from elec.json_form import form
from elec.survey import Survey

__all__ = ["Change", "changes"]

Effect = Literal["makes", "worsens", "opens", "leaves", "settles", "cures", "keeps"]
_WORSE = {"adequate": 0, "marginal": 1, "undetermined": 2, "inadequate": 3}
#: A margin has to fall by this share of the limit to be called worse.
_FALLS = 0.01
_PRIORITY = {"A": 0, "B": 1, "C": 2, None: 3}
_SIDE = form("verdict priority statement")


@dataclass(frozen=True)
class Change:
    """One question of the survey, before and after the quote is carried out."""

    effect: Effect
    before: Finding | None
    after: Finding | None

    JSON = form(
        "check subject effect before after",
        check="finding.check",
        subject="finding.subject",
        before=lambda change: change.before and _SIDE(change.before),
        after=lambda change: change.after and _SIDE(change.after),
    )

    @property
    def finding(self) -> Finding:
        """The finding after, or before where the thing is gone."""
        found = self.after or self.before
        assert found is not None
        return found


def changes(before: Survey, after: Survey) -> tuple[Change, ...]:
    """Return every question asked before or after, those that the quote makes worse first."""
    old, new = _worst(before), _worst(after)
    found = [
        Change(_effect(old.get(key), new.get(key)), old.get(key), new.get(key))
        for key in dict.fromkeys([*new, *old])
    ]
    order = get_args(Effect)
    return tuple(
        sorted(
            found,
            key=lambda c: (
                order.index(c.effect),
                _PRIORITY[c.finding.priority],
                c.finding.check,
                c.finding.subject,
            ),
        )
    )


def _worst(survey: Survey) -> dict[tuple[str, str], Finding]:
    found: dict[tuple[str, str], Finding] = {}
    for finding in survey.findings:
        key = (finding.check, finding.subject)
        if key not in found or _WORSE[finding.verdict] > _WORSE[found[key].verdict]:
            found[key] = finding
    return found


def _effect(before: Finding | None, after: Finding | None) -> Effect:
    was = None if before is None else before.verdict
    now = None if after is None else after.verdict
    if before is not None and after is not None and was == now and _worse(before, after):
        return "worsens" if now == "inadequate" else "opens"
    if now == "inadequate":
        return "leaves" if was == "inadequate" else "makes"
    if now == "undetermined":
        return "leaves" if was == "undetermined" else "opens"
    if was == "inadequate":
        return "cures"
    if was == "undetermined":
        return "settles" if now is not None else "cures"
    return "keeps"


def _worse(before: Finding, after: Finding) -> bool:
    """Whether what was bad before became more pressing, or missed its limit by more."""
    if after.verdict not in ("inadequate", "undetermined"):
        return False
    if _PRIORITY[after.priority] != _PRIORITY[before.priority]:
        return _PRIORITY[after.priority] < _PRIORITY[before.priority]
    comparable = (before.sense, before.limit.unit) == (after.sense, after.limit.unit)
    return (
        after.verdict == "inadequate"
        and comparable
        and after.margin.best < before.margin.best - _FALLS
    )
