"""A sized run for the terminal, 80 columns, and as JSON."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator
from typing import Any

from elec import units
from elec.checks.cable_size import Candidate, Sizing
from elec.errors import printable
from elec.finding import Finding

__all__ = ["as_json", "as_text"]

WIDTH = 80
_WORDS = {
    "ampacity": "ampacity",
    "drop": "drop",
    "least size": "least size",
    "protection": "no device fits",
}
_CAUTION = (
    "Arithmetic on what was given; it clears nothing that was not seen. Work on a boat's wiring "
    "belongs to a licensed marine electrician under the local code; see SAFETY.md."
)


def as_json(sizing: Sizing, asked: dict[str, Any]) -> str:
    """Return the JSON document of the command."""
    chosen, judged = sizing.chosen, sizing.judged
    document = {
        "basis": sizing.cable.basis.name,
        "asked": asked,
        "chosen": None
        if chosen is None
        else {"size": chosen.size, "area_mm2": chosen.area_mm2, "governs": sizing.governs},
        "candidates": [candidate.as_dict() for candidate in sizing.candidates],
        "judged": None if judged is None else judged.as_dict(),
        "protection": None if sizing.protection is None else sizing.protection.as_dict(),
        "longest_m": sizing.longest_m,
        "most_current_A": sizing.most_current_A,
        "findings": [finding.as_dict() for finding in sizing.subject.findings],
        "not_checked": [item.as_dict() for item in sizing.not_checked],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def as_text(sizing: Sizing, *, brief: bool = False) -> str:
    """Return lines of at most 80 columns."""
    return "\n".join(_lines(sizing, brief)) + "\n"


def _wrap(text: str, indent: str = "", hanging: str | None = None) -> str:
    return textwrap.fill(
        printable(text),
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )


def _lines(sizing: Sizing, brief: bool) -> Iterator[str]:
    yield from _head(sizing)
    yield ""
    yield from _answer(sizing)
    yield ""
    yield from _table(sizing)
    if sizing.subject.findings:
        for finding in sizing.subject.findings:
            yield from _finding(finding, brief)
    for item in sizing.not_checked:
        yield ""
        yield _wrap(f"NOT CHECKED  {item.reason}.", "", "  ")
    yield ""
    yield _wrap(_CAUTION)


def _span(low: float, high: float, quantity: str) -> str:
    return units.show(low, quantity) if low == high else units.show_range(low, high, quantity)


def _head(sizing: Sizing) -> Iterator[str]:
    cable = sizing.cable
    low, _, high = cable.length.span
    lows, highs = zip(*((c.span[0] * n, c.span[2] * n) for _, _, c, n in cable.loads), strict=True)
    current = _span(sum(lows), sum(highs), "current")
    yield _wrap(
        f"CABLE: {current} at {cable.voltage_V:g} V, {_span(low, high, 'length')} one way "
        f"({_span(2 * low, 2 * high, 'length')} of conductor), basis {cable.basis.name} "
        f"({cable.basis.instrument})"
    )
    yield "=" * WIDTH


def _area(candidate: Candidate) -> str:
    return (
        f"{candidate.size} ({units.show(candidate.area_mm2, 'area')})"
        if ("mm²" not in candidate.size)
        else candidate.size
    )


def _answer(sizing: Sizing) -> Iterator[str]:
    judged, chosen = sizing.judged, sizing.chosen
    if judged is not None:
        words = ", ".join(_failure(judged, name) for name in judged.fails_on)
        yield _wrap(
            f"{_area(judged)}: {judged.verdict.upper()}" + (f", on {words}" if words else "")
        )
    if chosen is None:
        yield _wrap(
            f"NO LISTED SIZE HOLDS: up to {sizing.candidates[-1].size} it fails, by most on "
            f"{sizing.governs}. Divide the load, shorten the run, raise the voltage, or run "
            "conductors in parallel."
        )
    else:
        lead = "Smallest size that holds" if judged is not None else "FIT"
        yield _wrap(f"{lead}: {_area(chosen)}, {chosen.verdict}; {sizing.governs} governs.")
    subject = judged or chosen
    if subject is None or sizing.protection is None:
        return
    device = sizing.protection
    listed = f"a listed one is {device.rating_A:g} A" if device.rating_A else "no listed one fits"
    yield ""
    yield f"Of {subject.size}:"
    yield _wrap(
        f"fuse or breaker: {units.show(device.least_A, 'current')} at least, "
        f"{units.show_limit(device.most_A, 'current', sense='at most') if device.most_A else '0 A'}"
        f" at most; {listed}; {device.rule}",
        "  ",
        "    ",
    )
    near = units.show_limit(device.within_m, "length", sense="at most")
    if device.within_sheathed_m > device.within_m:
        covered = units.show_limit(device.within_sheathed_m, "length", sense="at most")
        near += f", {covered} if sheathed or enclosed all along"
    yield _wrap(f"it stands within {near} of the source ({device.place_rule})", "  ", "    ")
    if subject.drop_V is not None and subject.drop_fraction is not None:
        allowed = units.show(subject.allowed_fraction or 0.0, "percentage")
        formula = (
            f"drop at the load: {units.show(subject.drop_V, 'voltage')}, "
            f"{units.show(subject.drop_fraction, 'percentage', digits=4)}, of {allowed} allowed, "
            f"by the formula of the standard"
        )
        yield _wrap(formula, "  ", "    ")
    if subject.drop_physical_V is not None and subject.conductor_temp_C is not None:
        share = subject.drop_physical_V / sizing.cable.voltage_V
        yield _wrap(
            f"by physics: {units.show(subject.drop_physical_V, 'voltage')}, "
            f"{units.show(share, 'percentage', digits=4)}, its copper at "
            f"{subject.conductor_temp_C:.0f} °C"
            + (
                ": over what is allowed, though the formula passes"
                if share > (subject.allowed_fraction or 1.0) * (1 + 1e-9)
                and "drop" not in subject.fails_on
                else ""
            ),
            "  ",
            "    ",
        )
    if subject.area_sae_mm2 is not None and subject.drop_V is not None:
        sae_V = subject.drop_V * subject.area_mm2 / subject.area_sae_mm2
        share = sae_V / sizing.cable.voltage_V
        over = share > (subject.allowed_fraction or 0.0) * (1 + 1e-9)
        yield _wrap(
            f"marked SAE instead of AWG it has {units.show(subject.area_sae_mm2, 'area')} at least "
            f"and drops {units.show(share, 'percentage', digits=4)}"
            + (": too much; '--wire sae' sizes for it" if over else ""),
            "  ",
            "    ",
        )
    if sizing.longest_m:
        yield _wrap(
            f"holds for {units.show_limit(sizing.longest_m, 'length', sense='at most')} lug to "
            f"lug one way at this current, and for "
            f"{units.show_limit(sizing.most_current_A or 0.0, 'current', sense='at most')} at this "
            "length",
            "  ",
            "    ",
        )
    elif sizing.most_current_A:
        most = units.show_limit(sizing.most_current_A, "current", sense="at most")
        yield _wrap(f"serves {most} at this length", "  ", "    ")


def _failure(candidate: Candidate, name: str) -> str:
    margin = candidate.fails_on[name]
    if name == "drop" and candidate.drop_V is None:
        return "drop not known"
    if margin <= -10:
        return f"{_WORDS[name]} (far over)"
    over = -margin * 100
    return f"{_WORDS[name]} (over by {over:.3g} %)" if name != "least size" else _WORDS[name]


def _table(sizing: Sizing) -> Iterator[str]:
    shown = list(sizing.candidates)
    if sizing.chosen is not None:
        place = sizing.candidates.index(sizing.chosen)
        shown = list(sizing.candidates[: place + 2])
    yield "size      mm²     ampacity  drop            by physics   copper  verdict"
    yield "-" * WIDTH
    for c in shown:
        drop = "-"
        if c.drop_V is not None and c.drop_fraction is not None:
            share = f" {100 * c.drop_fraction:.3g} %" if c.drop_fraction < 9.995 else " far over"
            drop = f"{c.drop_V:.3g} V{share}"
        physics = "-" if c.drop_physical_V is None else f"{c.drop_physical_V:.3g} V"
        copper = "-" if c.conductor_temp_C is None else f"{c.conductor_temp_C:.0f} °C"
        yield (
            f"{c.size:<9} {c.area_mm2:<7.4g} {units.plain(c.ampacity_A, digits=4) + ' A':<9} "
            f"{drop:<15} {physics:<12} {copper:<7} {c.verdict}"
        ).rstrip()
        if c.fails_on:
            words = "; ".join(_failure(c, name) for name in c.fails_on)
            may = "" if c.verdict == "inadequate" else "may fail on "
            yield _wrap(f"{may}{words}", "          ")
    if any(not value.settled for _, _, value, _ in sizing.cable.loads) or not (
        sizing.cable.length.settled
    ):
        yield _wrap("Figures are those at the hardest end of the ranges given.")


def _finding(finding: Finding, brief: bool) -> Iterator[str]:
    yield ""
    provisional = ", PROVISIONAL" if finding.provisional else ""
    yield f"{finding.check}: {finding.verdict.upper()}{provisional}"
    yield _wrap(finding.statement, "  ")
    for item in finding.turns_on:
        if item.adequate_if:
            yield _wrap(f"adequate if {item.input} is {item.adequate_if}", "  - ", "    ")
    if not brief:
        for step in finding.working:
            numbers = f" = {step.numbers}" if step.numbers else ""
            source = f"  [{step.source}]" if step.source else ""
            result = units.plain(step.result)
            yield _wrap(
                f"{step.symbol} = {step.formula}{numbers} = {result} {step.unit}{source}",
                "    ",
                "      ",
            )
        for one in finding.sources:
            words = ", ".join(filter(None, (one.title, one.edition, one.clause)))
            yield _wrap(f"source: {words} ({one.read})", "    ", "      ")
    for note in finding.notes:
        yield _wrap(note, "  ")
