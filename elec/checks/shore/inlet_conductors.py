"""Which conductors of a shore inlet are switched, told apart and earthed aboard."""

from __future__ import annotations

from collections.abc import Sequence

from elec.boat.ac_loads import OF_230_V
from elec.boat.records import BoatFile, Inlet, Transformer
from elec.checks.presence import presence_finding
from elec.checks.shore.inlet_heat import to_read
from elec.finding import Finding
from elec.noted import NO, YES, YES_OR_NO, Choice, Noted
from elec.published import Source, table

__all__ = ["bond", "caution", "double_pole", "in_words", "polarity", "rule", "transformers_behind"]

_CAUTION = (
    "Shore power can kill, on board and in the water round the boat; no swimming near a dock that "
    "has it. Pedestal breaker off, cord out at the dock first, before a panel is opened."
)


def caution(noted: Choice | Noted) -> str | None:
    """Return the words on danger, where something was seen."""
    return _CAUTION if noted.seen else None


def transformers_behind(boat: BoatFile, inlet: Inlet) -> list[Transformer]:
    """Return the transformers behind an inlet, also that of the only inlet aboard."""
    alone = len(boat.inlet) == 1
    return [t for t in boat.transformer if t.inlet == inlet.id or (t.inlet is None and alone)]


def rule(rule_id: str) -> Source:
    """Return a rule as a source."""
    return table("shore_protection_rules").source(rule_id=rule_id)


def in_words(transformers: Sequence[Transformer]) -> str:
    """Return transformers by their names."""
    return " or ".join(f"transformer '{one.id}'" for one in transformers)


def double_pole(inlet: Inlet, basis: str) -> Finding:
    """Ask whether breakers open every loaded conductor."""
    unpolarised = inlet.service.is_surely(*OF_230_V)
    what = "every loaded conductor (both poles)"
    return presence_finding(
        inlet.double_pole,
        entry=inlet,
        field="double_pole",
        part="poles",
        read=to_read(inlet),
        words={
            "yes": f"The breakers of inlet '{inlet.id}' open {what}.",
            "no": f"The breakers of inlet '{inlet.id}' do not open {what}: with line and neutral "
            "crossed at the dock, switched-off gear stays live.",
            "?": f"Whether the breakers of inlet '{inlet.id}' open {what} was not seen.",
        },
        worst="A" if inlet.double_pole.is_surely("no") and unpolarised else "B",
        sources=[rule(f"double_pole_{basis}")],
        remedy="Fit a main breaker that opens every loaded conductor together.",
        caution=caution(inlet.double_pole),
    )


def polarity(inlet: Inlet, behind: Sequence[Transformer], basis: str) -> Finding:
    """Ask for an indicator, unless breakers of all poles or an isolation transformer spare it."""
    spared = {
        "its breakers open every pole": inlet.double_pole,
        "an isolation transformer stands behind it": _isolates(behind),
    }
    because = next((words for words, noted in spared.items() if noted.is_surely("yes")), "")
    given = YES if because else inlet.polarity_indicator
    perhaps = [words for words, noted in spared.items() if not noted.seen]
    open_ = given.is_surely("no") and bool(perhaps)
    return presence_finding(
        YES_OR_NO if open_ else given,
        entry=inlet,
        field="what spares it a polarity indicator" if open_ else "polarity_indicator",
        part="polarity",
        read=to_read(inlet),
        words={
            "yes": f"Inlet '{inlet.id}' needs no polarity indicator: {because}."
            if because
            else f"Inlet '{inlet.id}' has a polarity indicator.",
            "no": f"Inlet '{inlet.id}' has no polarity indicator, and its branch breakers may open "
            "one conductor only.",
            "?": f"Inlet '{inlet.id}' has no polarity indicator, and needs none only if "
            f"{' or '.join(perhaps)}: not seen."
            if open_
            else f"Whether inlet '{inlet.id}' has a polarity indicator was not seen.",
        },
        worst="B",
        sources=[rule(f"polarity_{basis}")],
        remedy="Fit an indicator ahead of the main breaker, or breakers of all poles throughout, "
        "or an isolation transformer, behind which none is needed.",
        caution=caution(YES_OR_NO if open_ else given),
    )


def _isolates(behind: Sequence[Transformer]) -> Choice:
    """Return whether a transformer behind an inlet isolates."""
    if any(one.isolating.is_surely("yes") for one in behind):
        return YES
    return NO if all(one.isolating.is_surely("no") for one in behind) else YES_OR_NO


def bond(inlet: Inlet, behind: Sequence[Transformer], basis: str) -> Finding:
    """Ask whether the shore's neutral is earthed ashore only; a secondary's may be, aboard."""
    isolates = _isolates(behind)
    joined = inlet.neutral_earth_bond.is_surely("yes")
    given = inlet.neutral_earth_bond.turned(yes="no", no="yes")
    if isolates.is_surely("yes") or (joined and not isolates.seen):
        given = isolates
    named = in_words([one for one in behind if one.isolating.text == isolates.text])
    secondary = joined and not given.is_surely("no")
    notes = []
    if isolates.is_surely("yes") and not joined:
        notes.append(
            f"The secondary of {named} is a source of its own: its neutral is joined to earth at "
            "it, or floats with breakers that open every pole."
        )
    elif secondary:
        notes.append(
            f"The join belongs on the secondary side of {named}; the shore's own neutral is never "
            "joined to earth aboard."
        )
    return presence_finding(
        given,
        entry=inlet,
        field=f"the windings of {named}, with neutral and earth joined aboard"
        if secondary
        else "neutral_earth_bond",
        labels=("not isolating", "isolating")
        if secondary
        else ("joined aboard", "not joined aboard"),
        part="bond",
        read=f"whether {named} isolates: no path from its input to its output"
        if secondary
        else to_read(inlet),
        words={
            "yes": f"Neutral and earth are joined aboard behind {named} of inlet '{inlet.id}', "
            "which isolates: its secondary is a source of its own."
            if secondary
            else f"Neutral and earth may be joined aboard behind {named} of inlet '{inlet.id}', "
            "which isolates, or not: either is right, and which was not seen."
            if not inlet.neutral_earth_bond.seen
            else f"On shore power by inlet '{inlet.id}', neutral and earth are not joined aboard.",
            "no": f"Neutral and earth are joined aboard on shore power by inlet '{inlet.id}': load "
            "current returns by the earth wire and the water.",
            "?": f"Neutral and earth are joined aboard on shore power by inlet '{inlet.id}', which "
            f"is right only behind an isolation transformer; whether {named} isolates was not seen."
            if secondary
            else f"Whether neutral and earth are joined aboard on shore power by inlet "
            f"'{inlet.id}' was not seen.",
        },
        worst="A" if given.is_surely("no") else "B",
        sources=[rule("bond" if basis == "iso" else "bond_us")],
        remedy="Take the join out: the shore neutral is earthed ashore. Generator, inverter and "
        "isolation transformer carry their own, at that source, and it must switch with them.",
        caution=caution(given),
        notes=notes,
    )
