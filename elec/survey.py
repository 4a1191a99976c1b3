"""The whole survey of a boat: every check that the notes allow, the go-back list, what was not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from elec import __version__
from elec.boat.records import BoatFile
from elec.checks.aboard.load_analysis import Analysis, load_analysis
from elec.checks.aboard.load_card import LoadCard
from elec.errors import in_words
from elec.finding import Finding, NotChecked
from elec.json_form import as_json, form

__all__ = ["ABOUT", "GoBack", "Survey", "survey"]

#: What a JSON document says of the boat itself.
ABOUT = form(
    "name place surveyed length hull water",
    length=lambda boat: boat.length.text if boat.length.seen else None,
    hull=lambda boat: boat.hull.text,
    water=lambda boat: boat.water.text,
)


@dataclass(frozen=True)
class GoBack:
    """One thing to go back and read, with the findings that wait for it."""

    where: str | None
    read: str
    settles: float
    checks: tuple[str, ...]
    weight: float

    JSON = form(
        "where read settles findings", settles=lambda one: round(one.settles, 4), findings="checks"
    )


@dataclass(frozen=True)
class Survey:
    """What a survey says."""

    boat: BoatFile
    basis: str
    findings: tuple[Finding, ...]
    go_back: tuple[GoBack, ...]
    not_checked: tuple[NotChecked, ...]
    cards: tuple[LoadCard, ...] = ()
    loads: Analysis = field(default_factory=lambda: Analysis((), (), ()))

    JSON = form(
        "elec boat basis findings go_back not_checked load_cards load_analysis",
        elec=lambda _: __version__,
        boat=lambda one: ABOUT(one.boat.boat),
        load_cards="cards",
        load_analysis="loads",
    )

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON document."""
        return as_json(self)  # type: ignore[no-any-return]

    @property
    def exit_code(self) -> int:
        """Return 1 if anything is inadequate, else 3 if anything is open, else 0.

        Open is what is undetermined, what could not be judged for want of a reading, and a survey
        in which nothing could be judged at all.
        """
        verdicts = {finding.verdict for finding in self.findings}
        if "inadequate" in verdicts:
            return 1
        wanting = any(item.read for item in self.not_checked)
        nothing = not verdicts and not self.cards
        return 3 if "undetermined" in verdicts or wanting or nothing else 0


def survey(boat: BoatFile, *, basis: str | None = None, only: Sequence[str] = ()) -> Survey:
    """Ask every question that the notes allow.

    Parameters
    ----------
    boat : BoatFile
        The boat as noted. [-]
    basis : str, optional
        "us" or "iso"; the boat's own if not given. [text]
    only : sequence of str, default ()
        Names of checks to ask, all if empty. [text]

    Returns
    -------
    Survey
        Findings worst first, the go-back list by place, what was not checked and why.

    Raises
    ------
    InputError
        If ``only`` names no check.
    """
    from elec.checks.registry import answers

    chosen = basis or boat.boat.basis
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    cards: list[LoadCard] = []
    for answer in answers(boat, chosen, only):
        if isinstance(answer, Finding):
            findings.append(answer)
        elif isinstance(answer, NotChecked):
            skipped.append(answer)
        else:
            cards.append(answer)
    skipped = [replace(n, reason=in_words(n.reason), read=in_words(n.read)) for n in skipped]
    return Survey(
        boat,
        chosen,
        tuple(_worst_first(findings)),
        tuple(_go_back(findings, skipped)),
        tuple(skipped),
        tuple(cards),
        Analysis((), (), ()) if only else load_analysis(boat, chosen),
    )


def _worst_first(findings: list[Finding]) -> list[Finding]:
    order = {"A": 0, "B": 1, "C": 2, None: 3}
    verdicts = {"inadequate": 0, "undetermined": 1, "marginal": 2, "adequate": 3}
    return sorted(findings, key=lambda f: (order[f.priority], verdicts[f.verdict]))


def _go_back(findings: list[Finding], skipped: list[NotChecked]) -> list[GoBack]:
    """Gather what to read, each thing once, by place; what settles most and weighs most first."""
    weight = {"A": 3.0, "B": 2.0, "C": 1.0, None: 0.0}
    gathered: dict[tuple[str | None, str], list[tuple[float, float, str]]] = {}
    for finding in findings:
        for place, item in enumerate(finding.turns_on):
            if item.settles <= 0 and place > 0:
                continue
            key = (item.where or finding.where, item.read)
            score = weight[finding.priority] * (item.settles + 0.01 / (1 + place))
            gathered.setdefault(key, []).append(
                (score, item.settles, f"{finding.check} {finding.subject}")
            )
    for missing in skipped:
        if missing.read:
            gathered.setdefault((missing.where, missing.read), []).append(
                (2.0, 1.0, f"{missing.check} {missing.subject}")
            )
    items = [
        (
            sum(score for score, _, _ in entries),
            GoBack(
                where,
                read,
                max(s for _, s, _ in entries),
                tuple(dict.fromkeys(name for _, _, name in entries)),
                sum(score for score, _, _ in entries),
            ),
        )
        for (where, read), entries in gathered.items()
    ]
    totals: dict[str | None, float] = {}
    for score, one in items:
        totals[one.where] = totals.get(one.where, 0.0) + score
    items.sort(
        key=lambda pair: (-totals[pair[1].where], pair[1].where or "", -pair[0], pair[1].read)
    )
    return [one for _, one in items]
