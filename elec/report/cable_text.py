"""A sized run for the terminal, 80 columns."""

from __future__ import annotations

import math
from collections.abc import Iterator

from elec import units
from elec.checks.sizing.cable_device import Protected
from elec.checks.sizing.cable_metal import HOTTER, NO_WARMTH, Printed
from elec.checks.sizing.cable_size import Candidate, Sizing
from elec.finding import Finding, TurnsOn
from elec.judge import HOLDS_WITHIN
from elec.report.wrap import WIDTH, wrap

__all__ = ["as_text"]

_CAUTION = (
    "Arithmetic on what was given; it clears nothing that was not seen. Work on a boat's wiring "
    "belongs to a licensed marine electrician under the local code; see SAFETY.md."
)


def as_text(sizing: Sizing, *, brief: bool = False) -> str:
    """Return lines of at most 80 columns."""
    return "\n".join(_lines(sizing, brief)) + "\n"


def _kind(sizing: Sizing) -> str:
    cable = sizing.cable
    if not cable.direct:
        return " AC"
    return " DC" if cable.voltage_V >= 50 else ""


def _lines(sizing: Sizing, brief: bool) -> Iterator[str]:
    yield from _head(sizing)
    yield ""
    yield from _answer(sizing)
    yield ""
    yield from _table(sizing)
    for finding in sizing.findings:
        yield from _finding(finding, brief)
    for item in sizing.not_checked:
        yield ""
        yield wrap(f"NOT CHECKED  {item.reason}.", "", "  ")
    yield ""
    yield wrap(_CAUTION)


def _span(low: float, high: float, quantity: str) -> str:
    return units.show(low, quantity) if low == high else units.show_range(low, high, quantity)


def _head(sizing: Sizing) -> Iterator[str]:
    cable = sizing.cable
    low, _, high = cable.length.span
    lows, highs = zip(*((c.span[0] * n, c.span[2] * n) for _, _, c, n in cable.loads), strict=True)
    current = _span(sum(lows), sum(highs), "current")
    yield wrap(
        f"CABLE: {current} at {cable.volts()}{_kind(sizing)}, {_span(low, high, 'length')} one way "
        f"({_span(cable.ways * low, cable.ways * high, 'length')} of conductor), "
        f"basis {cable.basis.name} ({cable.basis.instrument})"
    )
    yield "=" * WIDTH


def _area(sizing: Sizing, candidate: Candidate) -> str:
    words, area = sizing.cable.size_words(candidate.size), units.show(candidate.area_mm2, "area")
    if sizing.cable.parallel > 1:
        return f"{words} ({area} in all)"
    if candidate.size.count(" ") > 1:
        return f"size not settled, {words} (from {area})"
    return words if "mm²" in words else f"{words} ({area})"


def _answer(sizing: Sizing) -> Iterator[str]:
    judged, chosen = sizing.judged, sizing.chosen
    failed = judged is None or judged.verdict in ("inadequate", "undetermined")
    if judged is not None:
        words = ", ".join(_failure(judged, name) for name in judged.fails_on)
        may = "it may fail on " if judged.verdict == "undetermined" else "on "
        yield wrap(
            f"{_area(sizing, judged)}: {judged.verdict.upper()}"
            + (f", {may}{words}" if words else "")
        )
        yield from _read_first(judged, sizing)
    if chosen is None:
        yield from _nothing(sizing)
    elif failed:
        head = "ELSE FIT" if judged is not None and judged.verdict == "undetermined" else "FIT"
        yield wrap(f"{head}: {_area(sizing, chosen)}, {chosen.verdict}; {sizing.governs} governs.")
        yield from _to_buy(sizing)
    else:
        yield wrap(
            f"Smallest size that holds: {_area(sizing, chosen)}, {chosen.verdict}; "
            f"{sizing.governs} governs."
        )
    subject = judged or chosen
    if subject is None or sizing.protection is None:
        return
    yield ""
    yield f"Of {sizing.cable.size_words(subject.size)}:"
    if judged is not None and not (failed and chosen):
        yield from _device(sizing.protection)
    yield from _drops(sizing, subject)
    yield from _reach(sizing)


def _nothing(sizing: Sizing) -> Iterator[str]:
    last = sizing.candidates[-1]
    if last.verdict == "undetermined":
        yield wrap(
            f"NO LISTED SIZE IS SURE TO HOLD: up to {last.size} it hangs on what is not known of "
            f"{sizing.governs}."
        )
        if sizing.judged is None:
            yield from _read_first(last, sizing)
        return
    yield wrap(
        f"NO LISTED SIZE HOLDS: up to {sizing.cable.size_words(last.size)} it fails, by most on "
        f"{sizing.governs}. Divide the load, shorten the run or raise the "
        f"voltage{_doubled(sizing)}."
    )


def _doubled(sizing: Sizing) -> str:
    if sizing.two_of is None:
        return ""
    return f", or run 2 x {sizing.two_of} in parallel ('--parallel 2')"


def _read_first(candidate: Candidate, sizing: Sizing) -> Iterator[str]:
    """Say what would settle a size that may hold; of several sizes the largest."""
    if candidate.verdict != "undetermined":
        return
    listed = [one.size for one in sizing.candidates]
    sizes: dict[str, int] = {}
    for finding in candidate.findings:
        ways = [one for one in finding.turns_on if one.adequate_if]
        name = finding.check.removeprefix("run-").replace("size", "least size")
        if len(ways) == 1 and (place := _or_larger(ways[0], listed)) is not None:
            sizes[name] = place
        elif ways:
            words = [f"{one.input} is {one.adequate_if}" for one in ways[:3]]
            more = "; or more, below" if len(ways) > 3 else ""
            yield _item(f"{name} holds if {'; or if '.join(words)}{more}: read that first")
    if sizes:
        names = list(sizes)
        both = " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))
        hold = "hold" if len(names) > 1 else "holds"
        least = listed[max(sizes.values())]
        yield _item(f"{both} {hold} if the size is {least} or larger: read that first")


def _or_larger(way: TurnsOn, listed: list[str]) -> int | None:
    """Return the place of the least size with which it holds, if all larger ones do as well."""
    words = way.adequate_if
    if not way.input.endswith(": size") or words is None or " to " in words:
        return None
    return next((place for place, one in enumerate(listed) if words.startswith(one)), None)


def _item(text: str) -> str:
    return wrap(text, "  ", "    ")


def _to_buy(sizing: Sizing) -> Iterator[str]:
    """Say what to buy: cable, its length, its device, and where that goes."""
    cable, chosen = sizing.cable, sizing.chosen
    assert chosen is not None
    assert sizing.to_fit is not None
    low, _, high = cable.length.span
    rated = f"insulation rated {cable.least_rated_C():g} °C or more"
    if cable.wire == "sae":
        rated = f"marked SAE, {rated}"
    elif (sae := _as_sae(chosen)) is not None and sae > (chosen.allowed_fraction or 0) * (
        1 + HOLDS_WITHIN
    ):
        rated = f"not one marked SAE (too small), {rated}"
    both = cable.ways * cable.parallel
    measure = "" if cable.length.settled else "to be measured, "
    yield _item(
        f"cable: {cable.size_words(chosen.size)}, {rated}, {measure}"
        f"{_span(low, high, 'length')} lug to lug, {_span(both * low, both * high, 'length')} of "
        + ("conductor both ways" if cable.ways == 2 else "conductor, the one way it is")
    )
    yield from _device(sizing.to_fit)


def _device(device: Protected) -> Iterator[str]:
    most = units.show_limit(device.most_A, "current", sense="at most") if device.most_A else "0 A"
    if device.least_A > device.most_A * (1 + HOLDS_WITHIN):
        listed = "none both carries the load and protects the cable"
    else:
        listed = f"{device.rating_A:g} A" if device.rating_A else "no listed one lies between"
    rule, _, where = device.rule.removeprefix("at most ").partition(" (")
    yield _item(
        f"fuse or breaker: {listed} ({units.show(device.least_A, 'current')} at least, {most} at "
        f"most: {rule}, {where}"
    )
    if device.note:
        yield _item(device.note)
    near = units.show_limit(device.within_m, "length", sense="at most")
    if device.within_sheathed_m > device.within_m:
        covered = units.show_limit(device.within_sheathed_m, "length", sense="at most")
        near += f", or {covered} if sheathed or enclosed all along,"
    yield _item(f"it stands within {near} of the source ({device.place_rule})")


def _against(share: float, allowed: float) -> tuple[str, str]:
    """Return a drop and what is allowed, alike only if they are the same to the judge."""
    same = math.isclose(share, allowed, rel_tol=HOLDS_WITHIN)
    return units.show_against(allowed if same else share, allowed, "percentage", sense="at most")


def _drops(sizing: Sizing, subject: Candidate) -> Iterator[str]:
    allowed = subject.allowed_fraction or 0.0
    if subject.drop_V is not None and subject.drop_fraction is not None:
        shown, most = _against(subject.drop_fraction, allowed)
        yield _item(
            f"drop at the load: {units.show(subject.drop_V, 'voltage')}, {shown}, of {most} "
            "allowed, by the formula of the standard"
        )
    passes = "drop" not in subject.fails_on
    if subject.drop_physical_V is not None and subject.conductor_temp_C is not None:
        share = subject.drop_physical_V / sizing.cable.voltage_V
        hotter = f" ({subject.physical_note})" if subject.physical_note else ""
        yield _item(
            f"by physics: {units.show(subject.drop_physical_V, 'voltage')}, "
            f"{units.show(share, 'percentage')}, annealed copper at "
            f"{subject.conductor_temp_C:.0f} °C{hotter}{_over(share, allowed, passes)}"
        )
    elif subject.physical_note:
        yield _item(f"by physics: {subject.physical_note}")
    yield from _printed(sizing.printed, allowed, passes)
    share_sae = _as_sae(subject)
    if subject.area_sae_mm2 is not None and share_sae is not None:
        over = share_sae > allowed * (1 + HOLDS_WITHIN)
        shown = _against(share_sae, allowed)[0]
        yield _item(
            f"marked SAE instead of AWG it has {units.show(subject.area_sae_mm2, 'area')} at least "
            f"and drops {shown}" + (": too much; '--wire sae' sizes for it" if over else "")
        )


def _as_sae(candidate: Candidate) -> float | None:
    """Return the drop of the same number marked SAE, where it may be that."""
    if candidate.area_sae_mm2 is None or candidate.drop_fraction is None:
        return None
    return candidate.drop_fraction * candidate.area_mm2 / candidate.area_sae_mm2


def _over(share: float, allowed: float, passes: bool) -> str:
    over = passes and share > allowed * (1 + HOLDS_WITHIN)
    return ": over what is allowed, though the formula passes" if over else ""


def _printed(printed: Printed | None, allowed: float, passes: bool) -> Iterator[str]:
    """Show the drop by the resistances of a table, or why there is none."""
    if printed is None:
        return
    if not printed.drops:
        yield _item(f"by printed resistances: none; {printed.note}")
        return
    each = "; ".join(
        f"{one.conductor} {units.show(one.drop_V, 'voltage')}, "
        f"{units.show(one.drop_fraction, 'percentage')}"
        for one in printed.drops
    )
    worst = max(one.drop_fraction for one in printed.drops)
    yield _item(
        f"by {printed.edition}, at the same temperature: {each} ({printed.note})"
        f"{_over(worst, allowed, passes)}"
    )


def _reach(sizing: Sizing) -> Iterator[str]:
    current = units.show_limit(sizing.most_current_A or 0.0, "current", sense="at most")
    if sizing.longest_m:
        longest = units.show_limit(sizing.longest_m, "length", sense="at most")
        yield _item(
            f"holds for {longest} lug to lug one way at this current, and for {current} at this "
            "length"
        )
    elif sizing.most_current_A:
        yield _item(f"serves {current} at this length")


def _failure(candidate: Candidate, name: str) -> str:
    margin = candidate.fails_on[name]
    if name == "drop" and candidate.drop_V is None:
        return "drop not known"
    if margin <= -10:
        return f"{name} (far over)"
    over = -margin * 100
    return name if name == "least size" else f"{name} (over by {over:.3g} %)"


def _table(sizing: Sizing) -> Iterator[str]:
    shown = list(sizing.candidates)
    if sizing.chosen is not None:
        place = sizing.candidates.index(sizing.chosen)
        shown = list(sizing.candidates[: place + 2])
    yield "size      mm²     ampacity  drop            physics    copper     verdict"
    yield "-" * WIDTH
    for c in shown:
        drop = "-"
        if c.drop_V is not None and c.drop_fraction is not None:
            share = (
                f" {_against(c.drop_fraction, c.allowed_fraction or 1.0)[0]}"
                if c.drop_fraction < 9.995
                else " far over"
            )
            drop = f"{c.drop_V:.3g} V{share}"
        physics = "none (1)" if c.drop_physical_V is None else f"{c.drop_physical_V:.3g} V"
        copper = "(1)" if c.conductor_temp_C is None else f"{c.conductor_temp_C:.0f} °C"
        if c.conductor_temp_C is not None and c.physical_note:
            copper += " (2)"
        yield (
            f"{c.size:<9} {c.area_mm2:<7.4g} {units.plain(c.ampacity_A, digits=4) + ' A':<9} "
            f"{drop:<15} {physics:<10} {copper:<10} {c.verdict}"
        ).rstrip()
        if c.fails_on:
            words = "; ".join(_failure(c, name) for name in c.fails_on)
            may = "" if c.verdict == "inadequate" else "may fail on "
            yield wrap(f"{may}{words}", "          ")
    if any(not value.settled for _, _, value, _ in sizing.cable.loads) or not (
        sizing.cable.length.settled
    ):
        yield wrap("Figures are those at the hardest end of the ranges given.")
    yield from _footnotes(shown)


def _footnotes(shown: list[Candidate]) -> Iterator[str]:
    """Say why a size has no drop by physics, or how unsure its warmth is."""
    cold = {c.physical_note for c in shown if c.conductor_temp_C is None and c.physical_note}
    if len(cold) > 1:
        cold = {NO_WARMTH}
    for note in cold:
        yield wrap(f"(1) {note}", "", "    ")
    if any(c.conductor_temp_C is not None and c.physical_note for c in shown):
        yield wrap(f"(2) {HOTTER}", "", "    ")


def _finding(finding: Finding, brief: bool) -> Iterator[str]:
    yield ""
    provisional = ", PROVISIONAL" if finding.provisional else ""
    yield f"{finding.check}: {finding.verdict.upper()}{provisional}"
    yield wrap(finding.statement, "  ")
    for item in finding.turns_on:
        if item.adequate_if:
            yield wrap(f"adequate if {item.input} is {item.adequate_if}", "  - ", "    ")
    if not brief:
        for step in finding.working:
            numbers = f" = {step.numbers}" if step.numbers else ""
            source = f"  [{step.source}]" if step.source else ""
            result = units.plain(step.result)
            yield wrap(
                f"{step.symbol} = {step.formula}{numbers} = {result} {step.unit}{source}",
                "    ",
                "      ",
            )
        for one in finding.sources:
            words = ", ".join(filter(None, (one.title, one.edition, one.clause)))
            yield wrap(f"source: {words} ({one.read})", "    ", "      ")
    for note in finding.notes:
        yield wrap(note, "  ")
