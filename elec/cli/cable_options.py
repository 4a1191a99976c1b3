"""The options of the cable command, each read into a value or refused in one message."""

from __future__ import annotations

import math
import re

from elec import noted, units
from elec.boat.fields import GaugeNoted
from elec.checks.basis import Basis
from elec.checks.sizing.cable_size import listed_sizes
from elec.cli.options import read
from elec.errors import InputError, TableRangeError
from elec.noted import NO, YES, YES_OR_NO, Choice, Noted
from elec.published import table

__all__ = [
    "ambient",
    "bundled",
    "duty",
    "from_battery",
    "insulation",
    "length",
    "presence",
    "size",
    "value",
    "volts",
]


def value(option: str, text: str | None, quantity: str, *, may_be_unseen: bool = False) -> Noted:
    """Read a value above zero; not seen if it was not given, or is '?' where that may be."""
    found = read(option, text, quantity)
    if text is not None and not found.seen and not may_be_unseen:
        raise InputError(
            f"--{option}: {units.quoted(text)} says nothing, and nothing can be taken for it.",
            remedy=f"Give a value or a range, as '{units.find(quantity).example}'.",
        )
    if found.seen and quantity != "temperature" and found.span[0] <= 0:
        raise InputError(
            f"--{option}: {units.quoted(text)} is not above zero.",
            remedy=f"Give a value above zero, as '{units.find(quantity).example}'.",
        )
    return found


def length(text: str | None, round_trip: bool) -> Noted:
    """Read the length, one way; that of the way out and back is twice it."""
    found = value("length", text, "length")
    if not round_trip:
        return found
    low, best, high = found.span
    return noted.between(
        low / 2, high / 2, "length", best=best / 2, origin=found.origin, text=found.text
    )


def volts(text: str | None) -> Noted:
    """Read the nominal voltage; a range keeps to one side of 50 V, where the rules change."""
    found = value("volts", text, "voltage")
    low, _, high = found.span
    if low < 50 <= high:
        raise InputError(
            f"--volts: {units.quoted(text)} reaches across 50 V, where other rules begin.",
            remedy="Give a range below 50 V or one from 50 V on, as '11.5..12.6 V'.",
        )
    return found


def ambient(text: str | None, basis: Basis) -> Noted:
    """Read the air round the cable; '?' may be anything up to that of an engine space."""
    found = value("ambient", text, "temperature", may_be_unseen=True)
    if text is None or found.seen:
        return found
    row = table("ampacity_surroundings").row(basis=basis.name)
    return noted.between(
        float(row["table_ambient_C"]),
        float(row["engine_space_ambient_C"]),
        "temperature",
        origin="typical",
        source="table ampacity_surroundings",
        text="?",
    )


def presence(option: str, text: str | None) -> Choice:
    """Read yes, no or ?; no if it was not given."""
    words = "no" if text is None else text.strip().lower()
    if words not in ("yes", "no", "?"):
        raise InputError(
            f"--{option}: {units.quoted(text)} is not yes, no or ?.",
            remedy=f"Give --{option} by itself for yes, or '--{option} ?' if it is not known.",
        )
    return YES_OR_NO if words == "?" else YES if words == "yes" else NO


def from_battery(text: str | None) -> tuple[Choice, Noted | None]:
    """Read whether it starts at a battery, and how far along it its device stands, if said."""
    if text is None or text.strip().lower() in ("yes", "no", "?"):
        return presence("from-battery", text), None
    return YES, value("from-battery", text, "length")


def size(text: str, basis: Basis, wire: str) -> GaugeNoted:
    """Read a size, a range of listed ones, about ('~': a listed one to either side), or '?'."""
    plain = units.clean(text)
    if plain.casefold() in ("?", "not seen"):
        return GaugeNoted(None, False, "?", _sizes(listed_sizes(basis, wire)))
    ends = [end.strip() for end in plain.removeprefix("~").split("..")]
    if len(ends) > 2 or not all(ends) or (plain.startswith("~") and len(ends) == 2):
        raise InputError(
            f"--size: {units.quoted(plain)} is not one range: two ends, two dots.",
            remedy="Give one size '4 AWG', a range '6 AWG..2 AWG', about '~4 AWG', or '?'.",
        )
    if re.fullmatch(r"[\d.,]+", ends[0]) and len(ends) == 2:
        ends[0] = f"{ends[0]} {re.sub(r'^[0-9./, ]+', '', ends[1]) or 'AWG'}"
    try:
        read = [units.size(end) for end in ends]
    except InputError as error:
        raise InputError(f"--size: {error.message}", remedy=error.remedy) from None
    ambiguous = read[0].kind == "AWG" and "awg" not in text.casefold()
    if len(read) == 1 and not plain.startswith("~"):
        _held(read[0], basis)
        return GaugeNoted(read[0], ambiguous, plain)
    if len({one.kind for one in read}) > 1:
        raise InputError(
            f"--size: {units.quoted(plain)} has ends of two systems.",
            remedy="Give both ends in AWG or both in mm², as '6 AWG..2 AWG'.",
        )
    labels = listed_sizes(basis, "metric" if read[0].kind == "mm2" else "awg")
    places = sorted(_place(one, labels) for one in read)
    first, last = places[0], places[-1]
    if plain.startswith("~"):
        first, last = max(first - 1, 0), min(last + 1, len(labels) - 1)
    among = _sizes(labels[first : last + 1])
    return GaugeNoted(among[0] if len(among) == 1 else None, ambiguous, plain, among)


def _held(one: units.Size, basis: Basis) -> None:
    """Refuse a size for which the tables of a basis hold nothing."""
    try:
        basis.size_rows(one)
    except TableRangeError:
        unit = basis.size_labels[0].split()[1]
        listed = ", ".join(label.split()[0] for label in basis.size_labels)
        raise InputError(
            f"--size: {one.label} is not in the tables of {basis.instrument}.",
            remedy=f"Listed: {listed} {unit}.\n  Several in parallel by --parallel.",
        ) from None


def _sizes(labels: list[str]) -> tuple[units.Size, ...]:
    return tuple(units.size(label) for label in labels)


def _place(one: units.Size, labels: list[str]) -> int:
    if one.label not in labels:
        raise InputError(
            f"--size: {one.label} is not a listed size; a range has listed ones at its ends.",
            remedy=f"Listed: {', '.join(labels)}.",
        )
    return labels.index(one.label)


def insulation(text: str | None, basis: Basis) -> Noted:
    """Read a rating of insulation that the table lists, or a range of them."""
    found = value("insulation", text, "temperature", may_be_unseen=True)
    if found.seen:
        # one printed column of ISO stands for 85 to 90 °C
        also = {90.0} if basis.name == "iso" else set()
        if found.span[0] < basis.insulation_C[0]:
            raise InputError(
                f"--insulation: {units.quoted(text)} is below the table of {basis.instrument}.",
                remedy=f"It starts at {basis.insulation_C[0]} °C.",
            )
        if not found.settled and found.span[2] > max(*basis.insulation_C, *also):
            raise InputError(
                f"--insulation: {units.quoted(text)} is above the table of {basis.instrument}.",
                remedy=f"It ends at {basis.insulation_C[-1]} °C.",
            )
        if found.settled and found.span[0] not in {*map(float, basis.insulation_C), *also}:
            raise InputError(
                f"--insulation: {units.quoted(text)} is not in the table of {basis.instrument}.",
                remedy="Listed: "
                + ", ".join(f"{c} °C" for c in basis.insulation_C)
                + ". Give the next lower one, the safe side.",
            )
    return found


def bundled(text: str) -> tuple[int, ...]:
    """Read how many loaded conductors lie together, or all that they may be; none for '?'."""
    plain = units.clean(text)
    if plain.casefold() in ("?", "not seen"):
        return ()
    found = re.fullmatch(r"(~)?(\d{1,3})(?: ?\.\. ?(\d{1,3}))?", plain)
    low, high = (int(found[2]), int(found[3] or found[2])) if found else (0, 0)
    if found and found[1]:
        spread = noted.ABOUT_FRACTION
        low, high = max(1, math.floor(low * (1 - spread))), math.ceil(high * (1 + spread))
    if not 1 <= low <= high <= 200 or (found and found[1] and found[3]):
        raise InputError(
            f"--bundled: {units.quoted(text)} is no number of conductors.",
            remedy="Give a whole number from 1 to 200, as '3', a range, as '3..6', '~4', or '?'.",
        )
    return tuple(range(low, high + 1))


_TIMES = re.compile(
    r"(?:S2\s+(?P<rated>.+)|(?P<on>.+?)\s*\bon\b(?:[,;]?\s+(?P<other>.+?)\s*\b(?P<what>off|cycle))?)"
)


def duty(text: str | None) -> tuple[Noted, Noted]:
    """Return time on at a stretch and share of time; neither if it is not known."""
    unseen = noted.unseen("duration"), noted.unseen("fraction")
    if text is None or text.strip().casefold() in ("?", "not seen"):
        return unseen
    remedy = (
        "Give '2 min on' (then cold), '2 min on 10 min off', '2 min on 10 min cycle' or '35 %'."
    )
    try:
        if "%" in text:
            share = noted.read(re.sub(r"^\s*S3\s+", "", text), "fraction")
            if share.seen and share.span[0] > 0:
                return unseen[0], share
            raise InputError(f"{units.quoted(text)} is no duty.")
        found = _TIMES.fullmatch(text.strip())
        if found is None:
            raise InputError(f"{units.quoted(text)} is no duty.")
        on = noted.read(found["rated"] or found["on"], "duration")
        if on.span[0] <= 0:
            raise InputError(f"{units.quoted(text)}: no time on.")
        if not found["other"]:
            return on, unseen[1]
        other = noted.read(found["other"], "duration")
        shares = [
            first / (second + first if found["what"] == "off" else second)
            for first, second in zip(on.span, reversed(other.span), strict=True)
        ]
        if not max(shares) <= 1:
            raise InputError(f"{units.quoted(text)}: on for longer than the cycle.")
        share = noted.between(shares[0], shares[2], "fraction", best=shares[1], text=text)
        return on, share
    except (InputError, ZeroDivisionError) as error:
        words = error.message if isinstance(error, InputError) else f"{units.quoted(text)}: no time"
        raise InputError(f"--duty: {words}", remedy=remedy) from None
