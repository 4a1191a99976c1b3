"""The cable command: one run sized or judged, without a boat file or where it lies in one."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperCommand

from elec.cli.options import Brief, Family, Json, Tables, options
from elec.cli.writing import give
from elec.errors import InputError

if TYPE_CHECKING:
    from elec.boat.records import Protection, Run
    from elec.checks.basis import Basis
    from elec.checks.cables.cable import Cable
    from elec.finding import Finding
    from elec.noted import Noted

__all__ = ["Asked", "Parser", "Wire", "described", "judge"]

_DIRECT = "Taken as direct current; give --ac where it is alternating."
#: Options that may stand alone, which means yes.
_ALONE = ("--engine-space", "--sheathed", "--from-battery")
#: Options that say how it is told, not what is asked.
_TOLD = ("json", "brief", "tables")


class Wire(StrEnum):
    """Families of sizes."""

    awg = "awg"
    sae = "sae"
    metric = "metric"


class Parser(TyperCommand):
    """A command some of whose options may stand alone."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Parse, with a yes after each option that stands alone."""
        full = []
        for place, word in enumerate(args):
            full.append(word)
            if word in _ALONE and (place + 1 == len(args) or args[place + 1].startswith("--")):
                full.append("yes")
        return super().parse_args(ctx, full)


@options
class Asked:
    """Size one cable run, or judge a size, or a run of a boat where it lies.

    Every value may be exact ('80 A'), a range ('60..85A') or about ('~25 ft'); those that say so
    may be ?, not seen. Exit code: 0 it holds, 1 it fails, 3 it may fail, 2 bad input.
    """

    current: Annotated[str | None, typer.Option(help="Load current, as '80 A'.")] = None
    length: Annotated[str | None, typer.Option(help="One way, as '12 m' or '~40 ft'.")] = None
    round_trip: Annotated[
        bool, typer.Option("--round-trip", help="The length given is out and back.")
    ] = False
    volts: Annotated[
        str | None, typer.Option(help="Nominal voltage, as '12 V' or '11.5..12.6 V'.")
    ] = None
    ac: Annotated[bool, typer.Option("--ac", help="Alternating current; direct if not given.")] = (
        False
    )
    drop: Annotated[
        str | None, typer.Option(help="Drop allowed, as '3 %'; 10 % if not given; or ?.")
    ] = None
    critical: Annotated[bool, typer.Option("--critical", help="A circuit of the 3 % list.")] = False
    insulation: Annotated[
        str | None, typer.Option(help="Its rating, as '105 C'; any if not given.")
    ] = None
    engine_space: Annotated[
        str | None,
        typer.Option(metavar="[yes|no|?]", help="It passes an engine space; alone: yes."),
    ] = None
    ambient: Annotated[
        str | None, typer.Option(help="Air round it, where hotter than the table's; or ?.")
    ] = None
    bundled: Annotated[
        str | None, typer.Option(help="Loaded conductors together, its own two included; or ?.")
    ] = None
    parallel: Annotated[
        int | None, typer.Option(min=1, max=8, help="Like conductors in parallel, each way.")
    ] = None
    duty: Annotated[
        str | None,
        typer.Option(help="Short-time load: '2 min on', '2 min on 10 min off' or '35 %'."),
    ] = None
    size: Annotated[
        str | None, typer.Option(help="Size to judge, as '2 AWG', '6 AWG..2 AWG', '~4 AWG' or ?.")
    ] = None
    wire: Annotated[Wire | None, typer.Option(help="Sizes to choose from.")] = None
    fuse: Annotated[str | None, typer.Option(help="Rating of its fuse or breaker; or ?.")] = None
    sheathed: Annotated[
        str | None,
        typer.Option(metavar="[yes|no|?]", help="In a sheath or enclosure all along; alone: yes."),
    ] = None
    from_battery: Annotated[
        str | None,
        typer.Option(
            metavar="[1 m]",
            help="It starts at a battery; with a length: how far from it the fuse stands.",
        ),
    ] = None
    basis: Annotated[
        Family | None, typer.Option(help="Family of tables; us, or the boat's own.")
    ] = None
    boat: Annotated[
        Path | None, typer.Option(metavar="BOAT.toml", help="Boat file, with --run.")
    ] = None
    run: Annotated[str | None, typer.Option(metavar="ID", help="A run of the boat.")] = None
    json: Json = False
    brief: Brief = False
    tables: Tables = None


def judge(asked: Asked) -> int:
    """Size or judge the run, print, and return the exit code."""
    if (asked.boat is None) != (asked.run is None):
        raise InputError(
            "--boat and --run go together.",
            remedy="Give both, as '--boat boat.toml --run windlass', or neither.",
        )
    from elec.checks.sizing.cable_size import size_cable

    cable, given = _aboard(asked) if asked.boat else described(asked)
    sizing = size_cable(cable, wire=_wire(asked, cable.basis.name), **given)
    if asked.json:
        from elec.report.cable_json import as_json

        give(as_json(sizing, _typed(asked)), None, False)
    else:
        from elec.report.cable_text import as_text

        give(as_text(sizing, brief=asked.brief), None, False)
    return sizing.exit_code


def _typed(asked: Asked) -> dict[str, Any]:
    """Return what was typed of the run, without what was not."""
    given = {
        name: value
        for name, value in vars(asked).items()
        if value not in (None, False) and name not in _TOLD
    }
    return {name: str(v) if isinstance(v, Path) else v for name, v in given.items()}


def _wire(asked: Asked, basis: str) -> str:
    return asked.wire or ("awg" if basis == "us" else "metric")


def _aboard(asked: Asked) -> tuple[Cable, dict[str, Any]]:
    """Return a run of a boat file, with its size and its device."""
    import difflib

    from elec import units
    from elec.boat.read import read
    from elec.boat.records import Protection
    from elec.checks.cables.run_noted import cable_of
    from elec.checks.cannot import CannotJudge
    from elec.cli import cable_options

    assert asked.boat is not None
    own = ("boat", "run", "basis", "size", "wire", "fuse")
    more = [name for name in _typed(asked) if name not in own]
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
        size = cable_options.size(asked.size, cable.basis, _wire(asked, cable.basis.name))
    cable = replace(cable, wire=asked.wire or "")
    return cable, {"size": size, "device": device, "from_battery": at_battery, "boat": boat}


def described(asked: Asked) -> tuple[Cable, dict[str, Any]]:
    """Return the run that the options describe, and what else they give to its sizing."""
    from elec.checks.basis import basis_of
    from elec.checks.cables.cable import Cable, Load
    from elec.cli import cable_options

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
    timed = cable_options.duty(asked.duty)
    piece = _piece(asked, basis, *timed)
    cable = Cable(
        piece,
        basis,
        piece.voltage.span[0],
        (Load("current", piece, piece.current, 1),),
        piece.length,
        bool(asked.duty) and not any(one.seen for one in timed),
        (),
        cable_options.bundled(asked.bundled or str(2 * (asked.parallel or 1))),
        asked.wire or "",
        nominal=None if piece.voltage.settled else piece.voltage,
        direct=not asked.ac,
        said=() if asked.ac or piece.voltage.span[0] < 50 else (_DIRECT,),
        then_cold=piece.on_time.seen and not piece.duty.seen,
    )
    at_battery, distance = cable_options.from_battery(asked.from_battery)
    given: dict[str, Any] = {"from_battery": at_battery.is_surely("yes")}
    if asked.fuse:
        given["device"] = _fuse(asked.fuse)
    if asked.size:
        given["size"] = cable_options.size(asked.size, basis, _wire(asked, basis.name))
    if distance:
        given["placed"] = _placed(distance, cable)
    return cable, given


def _piece(asked: Asked, basis: Basis, on_time: Noted, duty: Noted) -> Run:
    from elec.boat.records import Run
    from elec.cli import cable_options

    drop = cable_options.value("drop", asked.drop, "fraction", may_be_unseen=True)
    circuit = "vital" if asked.critical else "other"
    return Run.model_construct(
        id="cable",
        length=cable_options.length(asked.length, asked.round_trip),
        current=cable_options.value("current", asked.current, "current"),
        voltage=cable_options.volts(asked.volts),
        drop=drop,
        circuit=None if asked.drop and not drop.seen else circuit,
        insulation=cable_options.insulation(asked.insulation, basis),
        engine_space=cable_options.presence("engine-space", asked.engine_space),
        ambient=cable_options.ambient(asked.ambient, basis),
        conductors_in_parallel=asked.parallel or 1,
        on_time=on_time,
        duty=duty,
        sheathed=cable_options.presence("sheathed", asked.sheathed),
    )


def _fuse(text: str) -> Protection:
    from elec.boat.records import Protection
    from elec.cli import cable_options

    rating = cable_options.value("fuse", text, "current", may_be_unseen=True)
    return Protection.model_construct(id="fuse", rating=rating)


def _placed(distance: Noted, cable: Cable) -> Finding:
    """Judge how far along the conductor its device stands from the battery."""
    from elec.boat.records import Boat, BoatFile, Protection
    from elec.checks.cables import protection_place
    from elec.noted import YES

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
