"""The cable command: one run sized or judged, without a boat file or where it lies in one."""

from __future__ import annotations

import dataclasses
import re
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from elec import noted, units
from elec.checks.basis import Basis, basis_of
from elec.checks.cable import Cable, CannotJudge, cable_of
from elec.checks.cable_size import Gauge, size_cable
from elec.errors import InputError
from elec.noted import Noted

__all__ = ["Asked", "judge_cable"]


@dataclass(frozen=True)
class Asked:
    """The options as typed; None for what was not given."""

    current: str | None = None
    length: str | None = None
    round_trip: bool = False
    volts: str | None = None
    drop: str | None = None
    critical: bool = False
    insulation: str | None = None
    engine_space: bool = False
    ambient: str | None = None
    bundled: str | None = None
    duty: str | None = None
    size: str | None = None
    wire: str | None = None
    fuse: str | None = None
    sheathed: bool = False
    from_battery: bool = False
    basis: str | None = None
    boat: Path | None = None
    run: str | None = None


@dataclass(frozen=True)
class _Piece:
    """A run as the questions want it, made from options."""

    length: Noted
    current: Noted
    voltage: Noted
    drop: Noted
    circuit: str
    insulation: Noted
    engine_space: str
    ambient: Noted
    bundled: Any
    on_time: Noted
    duty: Noted
    sheathed: str
    size: Gauge = dataclasses.field(default_factory=lambda: Gauge(None))
    id: str = "cable"
    where: None = None
    start: None = None
    kind: None = None
    legend: None = None
    protection: None = None
    when: None = None


@dataclass(frozen=True)
class _Device:
    """A fuse as the questions want it."""

    rating: Noted
    id: str = "fuse"
    where: None = None


def judge_cable(asked: Asked, *, json: bool, brief: bool) -> int:
    """Size or judge the run, print, and return the exit code."""
    if (asked.boat is None) != (asked.run is None):
        raise InputError(
            "--boat and --run go together.",
            remedy="Give both, as '--boat boat.toml --run windlass', or neither.",
        )
    cable, size, device, from_battery, boat = _aboard(asked) if asked.boat else _alone(asked)
    wire = asked.wire or ("awg" if cable.basis.name == "us" else "metric")
    sizing = size_cable(
        cable, wire=wire, size=size, device=device, from_battery=from_battery, boat=boat
    )
    if json:
        from elec.report.cable_text import as_json

        sys.stdout.write(as_json(sizing, _as_asked(asked)))
    else:
        from elec.report.cable_text import as_text

        sys.stdout.write(as_text(sizing, brief=brief))
    return sizing.exit_code


def _as_asked(asked: Asked) -> dict[str, Any]:
    """Return what was typed, without what was not."""
    given = {name: value for name, value in vars(asked).items() if value not in (None, False)}
    return {name: str(v) if isinstance(v, Path) else v for name, v in given.items()}


def _aboard(asked: Asked) -> tuple[Cable, Gauge | None, Any, bool, Any]:
    """Return a run of a boat file, with its size and its device."""
    import difflib

    from elec.boat.read import read

    assert asked.boat is not None
    own = ("boat", "run", "basis", "size", "wire", "fuse")
    more = [name for name in _as_asked(asked) if name not in own]
    if more:
        raise InputError(
            f"--{more[0].replace('_', '-')}: not beside --boat; the boat file says where it lies.",
            remedy="With --boat only --size, --wire, --fuse and --basis may be given.",
        )
    boat = read(asked.boat)
    run = next((one for one in boat.run if one.id == asked.run), None)
    if run is None:
        ids = [one.id for one in boat.run]
        near = difflib.get_close_matches(asked.run or "", ids, n=1, cutoff=0.4)
        hint = f" Did you mean '{near[0]}'?" if near else ""
        raise InputError(
            f"--run: {units.quoted(asked.run)} is no run of this boat.",
            remedy=f"Its runs: {', '.join(ids) or 'none'}.{hint}",
        )
    try:
        cable = cable_of(run, boat, asked.basis or boat.boat.basis)
    except CannotJudge as error:
        raise InputError(
            f"run '{run.id}' cannot be judged: {error.reason}.",
            remedy=f"Read {error.read}." if error.read else "",
        ) from None
    device: Any = boat.find(run.protection) if run.protection else None
    at_battery = getattr(device, "at_battery", "?") == "yes"
    at_battery = at_battery or any(bank.id == run.start for bank in boat.bank)
    if device is not None and (device.device == "none" or not device.rating.seen):
        device = None
    if asked.fuse:
        device = _Device(_read("fuse", asked.fuse, "current"))
    size = _size(asked.size) or (run.size if run.size.seen else None)
    return _wired(cable, asked), size, device, at_battery, boat  # type: ignore[return-value]


def _wired(cable: Cable, asked: Asked) -> Cable:
    return dataclasses.replace(cable, wire=asked.wire or "")


def _alone(asked: Asked) -> tuple[Cable, Gauge | None, Any, bool, Any]:
    """Return the run that the options describe."""
    missing = [name for name in ("current", "length", "volts") if getattr(asked, name) is None]
    if missing:
        raise InputError(
            f"--{missing[0]} is missing.",
            remedy="Give --current, --length and --volts, as '--current 80A --length 12m "
            "--volts 12V', or --boat with --run.",
        )
    if asked.drop and asked.critical:
        raise InputError("--drop and --critical were both given.", remedy="Give one of them.")
    basis = basis_of(asked.basis or "us")
    length = _read("length", asked.length, "length")
    if asked.round_trip:
        low, best, high = length.span
        length = noted.between(
            low / 2, high / 2, "length", best=best / 2, origin=length.origin, text=length.text
        )
    volts = _read("volts", asked.volts, "voltage")
    if not volts.settled:
        raise InputError(
            f"--volts: {units.quoted(asked.volts)} is a range.",
            remedy="Give the nominal voltage of the system, as '12 V'.",
        )
    on_time, duty = _duty(asked.duty)
    piece = _Piece(
        length=length,
        current=_read("current", asked.current, "current"),
        voltage=volts,
        drop=_read("drop", asked.drop, "fraction", or_unseen=True),
        circuit="vital" if asked.critical else "other",
        insulation=_insulation(asked.insulation, basis),
        engine_space="yes" if asked.engine_space else "no",
        ambient=_read("ambient", asked.ambient, "temperature", or_unseen=True),
        bundled=_bundled(asked.bundled),
        on_time=on_time,
        duty=duty,
        sheathed="yes" if asked.sheathed else "no",
    )
    device = _Device(_read("fuse", asked.fuse, "current")) if asked.fuse else None
    cable = Cable(
        piece,  # type: ignore[arg-type]
        basis,
        volts.span[1],
        (("current", piece, piece.current, 1),),
        length,
        False,
        (),
        asked.wire or "",
    )
    return cable, _size(asked.size), device, asked.from_battery, None


def _read(option: str, text: str | None, quantity: str, *, or_unseen: bool = False) -> Noted:
    if text is None:
        return noted.unseen(quantity)
    try:
        value = noted.read(text, quantity)
    except InputError as error:
        raise InputError(f"--{option}: {error.message}", remedy=error.remedy) from None
    if not value.seen and not or_unseen:
        raise InputError(
            f"--{option}: {units.quoted(text)} says nothing.",
            remedy=f"Give a value or a range, as '{units.find(quantity).example}'.",
        )
    if value.seen and quantity in ("current", "length", "voltage", "fraction"):
        low = value.span[0]
        if low <= 0:
            raise InputError(
                f"--{option}: {units.quoted(text)} is not above zero.",
                remedy=f"Give a value above zero, as '{units.find(quantity).example}'.",
            )
    return value


def _size(text: str | None) -> Gauge | None:
    if text is None:
        return None
    try:
        size = units.size(text)
    except InputError as error:
        raise InputError(f"--size: {error.message}", remedy=error.remedy) from None
    ambiguous = size.kind == "AWG" and "awg" not in text.casefold()
    return Gauge(size, ambiguous, text)


def _insulation(text: str | None, basis: Basis) -> Noted:
    value = _read("insulation", text, "temperature", or_unseen=True)
    if value.seen:
        # one printed column of ISO stands for 85 to 90 °C
        also = {90.0} if basis.name == "iso" else set()
        if value.settled and value.span[0] not in {*map(float, basis.insulation_C), *also}:
            raise InputError(
                f"--insulation: {units.quoted(text)} is not in the table of {basis.instrument}.",
                remedy="Listed: "
                + ", ".join(f"{c} °C" for c in basis.insulation_C)
                + ". Give the next lower one, the safe side.",
            )
        if value.span[0] < basis.insulation_C[0]:
            raise InputError(
                f"--insulation: {units.quoted(text)} is below the table of {basis.instrument}.",
                remedy=f"It starts at {basis.insulation_C[0]} °C.",
            )
    return value


def _bundled(text: str | None) -> Any:
    """Return the number of loaded conductors together; the run's own two if not given."""
    if text is None:
        return 2
    if text.strip() == "?":
        return "?"
    found = re.fullmatch(r"\s*(\d{1,3})\s*(?:\.\.\s*(\d{1,3}))?\s*", text)
    low, high = (int(found[1]), int(found[2] or found[1])) if found else (0, 0)
    if not 1 <= low <= high <= 200:
        raise InputError(
            f"--bundled: {units.quoted(text)} is no number of conductors.",
            remedy="Give a whole number from 1 to 200, as '3', a range, as '3..6', or '?'.",
        )
    return low if low == high else tuple(range(low, high + 1))


_TIMES = re.compile(
    r"(?:S2\s+(?P<rated>.+)|(?P<on>.+?)\s*\bon\b(?:[,;]?\s+(?P<other>.+?)\s*\b(?P<what>off|cycle))?)"
)


def _duty(text: str | None) -> tuple[Noted, Noted]:
    """Return time on at a stretch and share of time: '2 min on', '2 min on 10 min off', '35 %'."""
    unseen = noted.unseen("duration"), noted.unseen("fraction")
    if text is None:
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
