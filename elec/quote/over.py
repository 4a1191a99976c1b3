"""What a quote gives beyond need, said as a question: more may be meant."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from elec import units
from elec.boat.fields import GaugeNoted
from elec.boat.records import BoatFile, Run
from elec.checks import registry
from elec.checks.basis import area_mm2, basis_of
from elec.errors import TableRangeError
from elec.finding import Finding
from elec.quote.fit import Fitted
from elec.quote.records import QuoteFile
from elec.quote.remark import Remark
from elec.survey import Survey

__all__ = ["beyond_need"]

#: Metal over the smallest size that passes, and margin of an autonomy or a load, from which it is
#: said. Our own, no source.
_METAL, _TWICE, _HALF = 2.0, 1.0, 0.5
_OF_A_RUN = ("run-ampacity", "run-drop", "run-protection", "run-size")


def beyond_need(file: QuoteFile, fitted: Fitted, before: Survey, after: Survey) -> list[Remark]:
    """Return what is larger than the checks ask, and what replaces a thing that passes."""
    found: list[Remark] = []
    for placed in fitted.placed:
        line = file.find(placed.line)
        words = f"Line '{placed.line}' ({line.text if line else ''})"
        entry = fitted.boat.find(placed.subject)
        if isinstance(entry, Run) and (smaller := _smaller(entry, fitted.boat, after.basis)):
            found.append(_cable(words, placed.line, entry, smaller, line.text if line else ""))
        if line is not None and placed.subject in line.replaces:
            found += _margins(words, placed.line, placed.subject, after)
            found += _sound(words, placed.line, placed.subject, before)
    return found


def _smaller(run: Run, boat: BoatFile, basis_name: str) -> units.Size | None:
    """Return the smallest size that passes, if the run has twice its metal or more."""
    fitted = run.size.size
    if fitted is None:
        return None
    basis = basis_of(basis_name)
    try:
        last, _ = basis.size_rows(fitted)
    except TableRangeError:
        return None
    for label in basis.size_labels[:last]:
        size = units.size(label if "mm" in label or "AWG" in label else f"{label} mm²")
        if area_mm2(fitted) < _METAL * area_mm2(size):
            return None
        other = run.model_copy(update={"size": GaugeNoted(size, False, label)})
        alone = boat.model_copy(update={"run": (other,)})
        answers = list(registry.answers(alone, basis_name, _OF_A_RUN))
        found = [one for one in answers if isinstance(one, Finding)]
        passes = all(one.verdict in ("adequate", "marginal") for one in found)
        left = (one for one in answers if not isinstance(one, Finding))
        if found and passes and not any(n.read for n in left if n.check != "run-protection"):
            return size
    return None


def _cable(words: str, line_id: str, run: Run, smaller: units.Size, text: str) -> Remark:
    assert run.size.size is not None
    have, least = area_mm2(run.size.size), area_mm2(smaller)
    return Remark(
        f"line '{line_id}'",
        "more than needed",
        f"{words}: {run.size.size.label} is more than the checks ask of run '{run.id}': "
        f"{smaller.label} passes. More metal does no harm; it costs, and needs larger lugs.",
        f"{have:.4g} mm² / {least:.4g} mm² = {have / least:.2g}",
        f"Line {line_id} ({text}): why {run.size.size.label} rather than {smaller.label} for "
        f"'{run.id}'?",
    )


def _margins(words: str, line_id: str, subject: str, after: Survey) -> Iterator[Remark]:
    asked: dict[str, tuple[float, str]] = {
        "bank-autonomy": (_TWICE, "it carries at least twice the time asked"),
        "inlet-load": (_HALF, "half of its rating or less is ever used"),
    }
    for check, (least, said) in asked.items():
        mine = [f for f in after.findings if f.check == check and f.subject == subject]
        if mine and all(f.margin.low >= least for f in mine):
            worst: Any = min(mine, key=lambda f: f.margin.low)
            yield Remark(
                f"line '{line_id}'",
                "more than needed",
                f"{words}: '{subject}' becomes larger than the checks ask: {said}. "
                f"{worst.statement}",
                f"margin {worst.margin.low * 100:.0f} % at the least",
                f"Line {line_id}: is a smaller one for '{subject}' enough, or what is the reserve "
                "for?",
            )


def _sound(words: str, line_id: str, subject: str, before: Survey) -> Iterator[Remark]:
    mine = [f for f in before.findings if f.subject == subject]
    if mine and all(f.verdict == "adequate" for f in mine):
        checks = ", ".join(dict.fromkeys(f.check for f in mine))
        yield Remark(
            f"line '{line_id}'",
            "already adequate",
            f"{words} replaces '{subject}', which passes every question asked of it as it is "
            f"({checks}).",
            "",
            f"Line {line_id}: what is wrong with '{subject}' as it is?",
        )
