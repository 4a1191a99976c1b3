"""What a charger is set to, against the chemistry of its bank."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import Bank, BoatFile, Charger
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.cannot import CannotJudge
from elec.checks.charging.charged_bank import bank_of
from elec.checks.presence import THERE
from elec.checks.question import Option, Question, asked_for
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.noted import Choice
from elec.published import table

_LEAD = ("flooded", "gel", "agm")
_KINDS = (*_LEAD, "lfp")


def _profile(charger: Charger, boat: BoatFile, _basis: str) -> Finding:
    bank = bank_of(boat, charger)
    setting, label = asked_for(charger, "profile")[1], f"the label of '{bank.id}'"
    if not charger.profile.seen and not bank.chemistry.seen:
        raise CannotJudge(
            f"neither its setting nor the chemistry of '{bank.id}' was noted",
            f"{setting}, and {label}",
        )
    question = Question()
    _ask_kind(question, charger, "profile", charger.profile, setting)
    _ask_kind(question, bank, "chemistry", bank.chemistry, label)
    suits = np.asarray([[float(_suits(p, c)) for c in _KINDS] for p in _KINDS])

    def requirement(**given: Any) -> tuple[Any, Any]:
        rows = np.asarray(given["profile"]).round().astype(int)
        columns = np.asarray(given["chemistry"]).round().astype(int)
        return suits[rows, columns], THERE

    good = [p for p in _KINDS if bank.chemistry.seen and _suits(p, bank.chemistry.word)]
    set_to = charger.profile.word if charger.profile.seen else "whose setting was not read"
    kind = bank.chemistry.word if bank.chemistry.seen else "of unknown chemistry"
    return question.finding(
        question.rule(requirement, "at least"),
        entry=charger,
        quantity="presence",
        worst="A" if bank.chemistry.is_surely("lfp") else "B",
        statement=lambda _value, _limit: (
            f"Charger '{charger.id}', profile: {set_to}; bank '{bank.id}': {kind}."
        ),
        working=_working(charger.profile, bank.chemistry),
        sources=(table("charge_voltages_12V_block").source(),),
        remedy=f"Set '{charger.id}' to {' or '.join(good)}, by the battery maker's voltages."
        if good
        else None,
        caution=caution_of(bank),
        notes=("The maker's own charging voltages go before the published ones.",),
    )


def _ask_kind(
    question: Question, entry: Charger | Bank, field: str, given: Choice, read: str
) -> None:
    question.among(
        field,
        [Option(float(n), kind) for n, kind in enumerate(_KINDS) if given.may_be(kind)],
        entry=entry,
        field=field,
        source="every chemistry considered",
        more="",
        read=read,
    )


def _suits(profile: str, chemistry: str) -> bool:
    """Whether a profile charges no higher than published for a chemistry, and high enough."""
    if profile == chemistry:
        return True
    if "lfp" in (profile, chemistry):
        return False
    (low, high), (least, most) = _absorption(profile), _absorption(chemistry)
    return least - 1e-9 <= low and high <= most + 1e-9


def _absorption(chemistry: str) -> tuple[float, float]:
    rows = table("charge_voltages_12V_block").rows()
    own = [r for r in rows if r["battery_type"] == chemistry and r["stage"] == "absorption"]
    return min(float(r["voltage_low_V"]) for r in own), max(float(r["voltage_high_V"]) for r in own)


def _working(profile: Choice, chemistry: Choice) -> list[Step]:
    steps = []
    for kind in dict.fromkeys(one.word for one in (profile, chemistry) if one.seen):
        if kind in _LEAD:
            low, high = _absorption(kind)
            words = "published absorption voltage of a 12 V block, highest"
            steps.append(Step(f"U({kind})", words, f"{low:g} to {high:g}", high, "V"))
    return steps


CHECK = Check(
    name="charger-profile",
    judges="what a charger is set to against the chemistry of its bank",
    system="batteries and charging",
    place=312,
    of="charger",
    ask=_profile,
    commands=("bank",),
)
