"""The cable command: one run sized or judged, without a boat file or where it lies in one."""

from __future__ import annotations

import dataclasses
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from elec import noted, units
from elec.boat.records import Boat, BoatFile, Protection, Run
from elec.checks.basis import Basis, basis_of
from elec.checks.cables import protection_place
from elec.checks.cables.cable import Cable, Load
from elec.checks.cables.run_noted import cable_of
from elec.checks.cannot import CannotJudge
from elec.checks.sizing.cable_size import size_cable
from elec.cli import cable_options as options
from elec.errors import InputError
from elec.finding import Finding
from elec.noted import YES, Noted

__all__ = ["Asked", "described", "judge_cable"]


_DIRECT = "Taken as direct current; give --ac where it is alternating."


@dataclass(frozen=True)
class Asked:
    """The options as typed; None for what was not given."""

    current: str | None = None
    length: str | None = None
    round_trip: bool = False
    volts: str | None = None
    ac: bool = False
    drop: str | None = None
    critical: bool = False
    insulation: str | None = None
    engine_space: str | None = None
    ambient: str | None = None
    bundled: str | None = None
    parallel: int | None = None
    duty: str | None = None
    size: str | None = None
    wire: str | None = None
    fuse: str | None = None
    sheathed: str | None = None
    from_battery: str | None = None
    basis: str | None = None
    boat: Path | None = None
    run: str | None = None


def judge_cable(asked: Asked, *, json: bool, brief: bool) -> int:
    """Size or judge the run, print, and return the exit code."""
    if (asked.boat is None) != (asked.run is None):
        raise InputError(
            "--boat and --run go together.",
            remedy="Give both, as '--boat boat.toml --run windlass', or neither.",
        )
    cable, given = _aboard(asked) if asked.boat else described(asked)
    sizing = size_cable(cable, wire=_wire(asked, cable.basis.name), **given)
    if json:
        from elec.report.cable_json import as_json

        sys.stdout.write(as_json(sizing, _as_asked(asked)))
    else:
        from elec.report.cable_text import as_text

        sys.stdout.write(as_text(sizing, brief=brief))
    return sizing.exit_code


def _as_asked(asked: Asked) -> dict[str, Any]:
    """Return what was typed, without what was not."""
    given = {name: value for name, value in vars(asked).items() if value not in (None, False)}
    return {name: str(v) if isinstance(v, Path) else v for name, v in given.items()}


def _wire(asked: Asked, basis: str) -> str:
    return asked.wire or ("awg" if basis == "us" else "metric")


def _aboard(asked: Asked) -> tuple[Cable, dict[str, Any]]:
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
        basis = asked.basis or boat.boat.basis
        cable = cable_of(run, boat, basis, listed=asked.size is None)
    except CannotJudge as error:
        raise InputError(
            f"run '{run.id}' cannot be judged: {error.reason}.",
            remedy=f"Read {error.read}." if error.read else "",
        ) from None
    found = boat.find(run.protection) if run.protection else None
    device = found if isinstance(found, Protection) else None
    at_battery = (device is not None and device.at_battery.is_surely("yes")) or any(
        bank.id == run.start for bank in boat.bank
    )
    if device is not None and (device.device.is_surely("none") or not device.rating.seen):
        device = None
    if asked.fuse:
        device = _fuse(asked.fuse)
    size = run.size if run.size.seen else None
    if asked.size:
        size = options.size(asked.size, cable.basis, _wire(asked, cable.basis.name))
    cable = dataclasses.replace(cable, wire=asked.wire or "")
    return cable, {"size": size, "device": device, "from_battery": at_battery, "boat": boat}


def described(asked: Asked) -> tuple[Cable, dict[str, Any]]:
    """Return the run that the options describe, and what else they give to its sizing."""
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
    run = _run(asked, basis)
    volts, timed = run.voltage, run.on_time.seen or run.duty.seen
    cable = Cable(
        run,
        basis,
        volts.span[0],
        (Load("current", run, run.current, 1),),
        run.length,
        bool(asked.duty) and not timed,
        (),
        options.bundled(asked.bundled or str(2 * (asked.parallel or 1))),
        asked.wire or "",
        nominal=None if volts.settled else volts,
        direct=not asked.ac,
        said=() if asked.ac or volts.span[0] < 50 else (_DIRECT,),
        then_cold=timed and not run.duty.seen,
    )
    at_battery, distance = options.from_battery(asked.from_battery)
    given: dict[str, Any] = {"from_battery": at_battery.is_surely("yes")}
    if asked.fuse:
        given["device"] = _fuse(asked.fuse)
    if asked.size:
        given["size"] = options.size(asked.size, basis, _wire(asked, basis.name))
    if distance:
        given["placed"] = _placed(distance, cable)
    return cable, given


def _run(asked: Asked, basis: Basis) -> Run:
    length = options.value("length", asked.length, "length")
    if asked.round_trip:
        low, best, high = length.span
        length = noted.between(
            low / 2, high / 2, "length", best=best / 2, origin=length.origin, text=length.text
        )
    volts = options.volts(asked.volts)
    on_time, duty = options.duty(asked.duty)
    drop = options.value("drop", asked.drop, "fraction", may_be_unseen=True)
    circuit = "vital" if asked.critical else "other"
    return Run.model_construct(
        id="cable",
        length=length,
        current=options.value("current", asked.current, "current"),
        voltage=volts,
        drop=drop,
        circuit=None if asked.drop and not drop.seen else circuit,
        insulation=options.insulation(asked.insulation, basis),
        engine_space=options.presence("engine-space", asked.engine_space),
        ambient=options.ambient(asked.ambient, basis),
        conductors_in_parallel=asked.parallel or 1,
        on_time=on_time,
        duty=duty,
        sheathed=options.presence("sheathed", asked.sheathed),
    )


def _fuse(text: str) -> Protection:
    rating = options.value("fuse", text, "current", may_be_unseen=True)
    return Protection.model_construct(id="fuse", rating=rating)


def _placed(distance: Noted, cable: Cable) -> Finding:
    """Judge how far along the conductor its device stands from the battery."""
    if not cable.direct:
        raise InputError(
            "--from-battery: a circuit on alternating current starts at no battery.",
            remedy="Leave it out, or leave out --ac.",
        )
    device = Protection.model_construct(
        id="fuse", distance=distance, at_battery=YES, sheathed=cable.run.sheathed
    )
    boat = BoatFile.model_construct(boat=Boat.model_construct(name="cable"))
    return protection_place.judge(device, (), boat, cable.basis.name)
