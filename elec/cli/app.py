"""The commands. Each loads what it needs when it runs, so that help and usage stay quick."""

from __future__ import annotations

import os
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperCommand

from elec.errors import ElecError, in_words

__all__ = ["app", "run"]

app = typer.Typer(
    name="elec",
    help="Checks a boat's electrical systems, with the arithmetic, the table and the clause.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


class Basis(StrEnum):
    """The families of tables."""

    us = "us"
    iso = "iso"


Tables = Annotated[
    list[Path] | None,
    typer.Option("--tables", help="Folder of your own tables that replace those of the same name."),
]
Force = Annotated[bool, typer.Option("--force", help="Replace the file if it exists.")]


def _version(value: bool) -> None:
    if value:
        from elec import __version__

        typer.echo(f"elec {__version__}")
        raise typer.Exit()


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Check a boat's electrical systems, with the arithmetic, the table and the clause."""


@app.command()
def survey(
    boats: Annotated[list[Path], typer.Argument(metavar="BOAT.toml...", help="Boat files.")],
    basis: Annotated[
        Basis | None, typer.Option(help="Family of tables; the boat's own if not given.")
    ] = None,
    only: Annotated[
        list[str] | None, typer.Option("--only", metavar="CHECK", help="Ask this check alone.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    markdown: Annotated[bool, typer.Option("--markdown", help="Print Markdown.")] = False,
    csv: Annotated[bool, typer.Option("--csv", help="Print CSV.")] = False,
    loads: Annotated[
        bool, typer.Option("--loads", help="Print the load analysis alone, as CSV.")
    ] = False,
    brief: Annotated[
        bool, typer.Option("--brief", help="Leave out arithmetic and sources.")
    ] = False,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file.")
    ] = None,
    force: Force = False,
    tables: Tables = None,
) -> None:
    """Survey boats: every check that the notes allow.

    Exit code: 0 all adequate or marginal, 1 something inadequate, 3 nothing inadequate but
    something still open, 2 bad input.
    """
    from elec.cli.surveying import survey_boats

    form = _one_of(json=json, markdown=markdown, csv=csv, loads=loads)
    raise typer.Exit(
        survey_boats(
            boats,
            basis=basis.value if basis else None,
            only=tuple(only or ()),
            form=form,
            brief=brief,
            output=output,
            force=force,
            tables=tuple(tables or ()),
        )
    )


def _one_of(**forms: bool) -> str:
    chosen = [name for name, given in forms.items() if given]
    if len(chosen) > 1:
        raise typer.BadParameter(f"give one of {', '.join('--' + name for name in chosen)}")
    return chosen[0] if chosen else "text"


@app.command()
def inlet(
    rating: Annotated[str, typer.Option(metavar="50A", help="Rating moulded on the inlet.")],
    service: Annotated[
        str, typer.Option(metavar="'120/240 V'", help="Service: its voltages and legs.")
    ],
    load: Annotated[
        list[str] | None,
        typer.Option(
            metavar="'NAME 3000W 240V'",
            help="A load: name, then W, A, VA or BTU/h, V, L1/L2/L1-L2, pf0.8, x2, always.",
        ),
    ] = None,
    loads: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="A load list, one row a load.")
    ] = None,
    supply: Annotated[
        str | None, typer.Option(metavar="208V", help="Voltage that the dock really gives.")
    ] = None,
    area: Annotated[
        str | None, typer.Option(metavar="58m2", help="Living space it serves, for the demand.")
    ] = None,
    length: Annotated[
        str | None,
        typer.Option(metavar="19.2m", help="Length of the boat, if the area is not known."),
    ] = None,
    cord: Annotated[
        str | None, typer.Option(metavar="'6 AWG'", help="Size of the shore cord.")
    ] = None,
    cord_length: Annotated[
        str | None, typer.Option(metavar="50ft", help="Length of the shore cord.")
    ] = None,
    basis: Annotated[Basis | None, typer.Option(help="Family of tables.")] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    brief: Annotated[
        bool, typer.Option("--brief", help="Leave out arithmetic and sources.")
    ] = False,
    tables: Tables = None,
) -> None:
    """Judge a load list against a shore inlet, without a boat file.

    All loads are taken to run together; the load card says which may not.
    """
    from elec.cli.inlet import Asked, judge_inlet
    from elec.published import use_tables_from

    use_tables_from(*(tables or ()))
    asked = Asked(
        rating=rating,
        service=service,
        load=tuple(load or ()),
        loads=loads,
        supply=supply,
        area=area,
        length=length,
        cord=cord,
        cord_length=cord_length,
        basis=basis.value if basis else None,
    )
    raise typer.Exit(judge_inlet(asked, json=json, brief=brief))


class Wire(StrEnum):
    """Families of sizes."""

    awg = "awg"
    sae = "sae"
    metric = "metric"


class _Cable(TyperCommand):
    """A command some of whose options may stand alone, which means yes."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        full = []
        for word, after in zip(args, [*args[1:], "--"], strict=True):
            full.append(word)
            if word in ("--engine-space", "--sheathed", "--from-battery") and after[:2] == "--":
                full.append("yes")
        return super().parse_args(ctx, full)


@app.command(cls=_Cable)
def cable(
    current: Annotated[str | None, typer.Option(help="Load current, as '80 A'.")] = None,
    length: Annotated[str | None, typer.Option(help="One way, as '12 m' or '~40 ft'.")] = None,
    round_trip: Annotated[
        bool, typer.Option("--round-trip", help="The length given is out and back.")
    ] = False,
    volts: Annotated[
        str | None, typer.Option(help="Nominal voltage, as '12 V' or '11.5..12.6 V'.")
    ] = None,
    ac: Annotated[
        bool, typer.Option("--ac", help="Alternating current; direct if not given.")
    ] = False,
    drop: Annotated[
        str | None, typer.Option(help="Drop allowed, as '3 %'; 10 % if not given; or ?.")
    ] = None,
    critical: Annotated[
        bool, typer.Option("--critical", help="A circuit of the 3 % list.")
    ] = False,
    insulation: Annotated[
        str | None, typer.Option(help="Its rating, as '105 C'; any if not given.")
    ] = None,
    engine_space: Annotated[
        str | None,
        typer.Option(metavar="[yes|no|?]", help="It passes an engine space; alone: yes."),
    ] = None,
    ambient: Annotated[
        str | None, typer.Option(help="Air round it, where hotter than the table's; or ?.")
    ] = None,
    bundled: Annotated[
        str | None, typer.Option(help="Loaded conductors together, its own two included; or ?.")
    ] = None,
    parallel: Annotated[
        int | None, typer.Option(min=1, max=8, help="Like conductors in parallel, each way.")
    ] = None,
    duty: Annotated[
        str | None,
        typer.Option(help="Short-time load: '2 min on', '2 min on 10 min off' or '35 %'."),
    ] = None,
    size: Annotated[
        str | None, typer.Option(help="Size to judge, as '2 AWG', '6 AWG..2 AWG', '~4 AWG' or ?.")
    ] = None,
    wire: Annotated[Wire | None, typer.Option(help="Sizes to choose from.")] = None,
    fuse: Annotated[str | None, typer.Option(help="Rating of its fuse or breaker; or ?.")] = None,
    sheathed: Annotated[
        str | None,
        typer.Option(metavar="[yes|no|?]", help="In a sheath or enclosure all along; alone: yes."),
    ] = None,
    from_battery: Annotated[
        str | None,
        typer.Option(
            metavar="[1 m]",
            help="It starts at a battery; with a length: how far from it the fuse stands.",
        ),
    ] = None,
    basis: Annotated[
        Basis | None, typer.Option(help="Family of tables; us, or the boat's own.")
    ] = None,
    boat: Annotated[
        Path | None, typer.Option(metavar="BOAT.toml", help="Boat file, with --run.")
    ] = None,
    run: Annotated[str | None, typer.Option(metavar="ID", help="A run of the boat.")] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    brief: Annotated[
        bool, typer.Option("--brief", help="Leave out arithmetic and sources.")
    ] = False,
    tables: Tables = None,
) -> None:
    """Size one cable run, or judge a size, or a run of a boat where it lies.

    Every value may be exact ('80 A'), a range ('60..85A') or about ('~25 ft'); those that say so
    may be ?, not seen. Exit code: 0 it holds, 1 it fails, 3 it may fail, 2 bad input.
    """
    from elec.cli.cable import Asked, judge_cable
    from elec.published import use_tables_from

    use_tables_from(*(tables or ()))
    asked = Asked(
        current=current,
        length=length,
        round_trip=round_trip,
        volts=volts,
        ac=ac,
        drop=drop,
        critical=critical,
        insulation=insulation,
        engine_space=engine_space,
        ambient=ambient,
        bundled=bundled,
        parallel=parallel,
        duty=duty,
        size=size,
        wire=wire.value if wire else None,
        fuse=fuse,
        sheathed=sheathed,
        from_battery=from_battery,
        basis=basis.value if basis else None,
        boat=boat,
        run=run,
    )
    raise typer.Exit(judge_cable(asked, json=json, brief=brief))


@app.command()
def bank(
    capacity: Annotated[
        str, typer.Option(help="Rated capacity of one string, as '490 Ah'; ? if not seen.")
    ],
    volts: Annotated[str, typer.Option(help="Nominal voltage, as '24 V'.")],
    chemistry: Annotated[str, typer.Option(help="flooded, gel, agm or lfp; ? if not seen.")] = "?",
    rate: Annotated[str | None, typer.Option(help="Hour rate of the capacity, as '20 h'.")] = None,
    strings: Annotated[int, typer.Option(min=1, max=100, help="Strings in parallel.")] = 1,
    year: Annotated[
        str | None, typer.Option(help="Year made, as '2019', '2014..2016' or '2005 or 2015'.")
    ] = None,
    remaining: Annotated[
        str | None, typer.Option(help="Capacity left if it was tested, as '80 %'.")
    ] = None,
    usable: Annotated[
        str | None, typer.Option(help="Share to be used, as '50 %'; by chemistry if not given.")
    ] = None,
    temperature: Annotated[str | None, typer.Option(help="Coldest battery, as '10 C'.")] = None,
    load: Annotated[
        list[str] | None, typer.Option(help="Average current day and night, as '11.3 A'.")
    ] = None,
    daily: Annotated[
        list[str] | None, typer.Option(help="A use of the day, as 'lights 160 Wh'; repeatable.")
    ] = None,
    autonomy: Annotated[
        str | None, typer.Option(help="Time it is to carry the loads; 24 h if not given.")
    ] = None,
    charger: Annotated[str | None, typer.Option(help="Current of its charger, as '100 A'.")] = None,
    profile: Annotated[
        str | None, typer.Option(help="Battery type that the charger is set to.")
    ] = None,
    recharge: Annotated[str | None, typer.Option(help="Recharge time wanted, as '10 h'.")] = None,
    charge_return: Annotated[
        str | None, typer.Option(help="Charge put back over charge taken, as '115 %'.")
    ] = None,
    charge_limit: Annotated[
        str | None, typer.Option(help="Most that the battery's maker lets in, as '60 A'.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    brief: Annotated[
        bool, typer.Option("--brief", help="Leave out arithmetic and sources.")
    ] = False,
    tables: Tables = None,
) -> None:
    """Judge one bank: how long it carries its loads, and whether its charger brings it back.

    Every value may be exact ('490 Ah'), a range ('10..12 A'), about ('~11 A'), or ?.
    """
    from elec.cli.bank import Asked, judge_bank
    from elec.published import use_tables_from

    use_tables_from(*(tables or ()))
    asked = Asked(
        capacity=capacity,
        volts=volts,
        chemistry=chemistry,
        rate=rate,
        strings=strings,
        year=year,
        remaining=remaining,
        usable=usable,
        temperature=temperature,
        load=load or (),
        daily=daily or (),
        autonomy=autonomy,
        charger=charger,
        profile=profile,
        recharge=recharge,
        charge_return=charge_return,
        charge_limit=charge_limit,
    )
    raise typer.Exit(judge_bank(asked, json=json, brief=brief))


@app.command()
def metals(
    names: Annotated[
        list[str] | None, typer.Argument(metavar="A B ...", help="Metals as noted: bronze 316.")
    ] = None,
    areas: Annotated[
        str | None, typer.Option(help="Bare wetted surface of each, in order: 2m2,0.1m2")
    ] = None,
    water: Annotated[
        str, typer.Option(help="sea, brackish, fresh; in air splash, bilge, dry.")
    ] = "sea",
    salinity: Annotated[str | None, typer.Option(help="For example 35PSU.")] = None,
    temperature: Annotated[str | None, typer.Option(help="Of the water, for example 15C.")] = None,
    basis_series: Annotated[
        list[str] | None,
        typer.Option(
            help="Galvanic series, one: LAQUE_ACA, E2_RANGES, BOAT_CHART, NRL, STEADY_SCE."
        ),
    ] = None,
    stray: Annotated[
        str | None, typer.Option(help="Direct current leaving each for the water, 100mA.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Every pair of the series.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Compare metals in contact: which wastes, how sure, how fast, what to read.

    Exit code: 0 every pair passes, 1 a pair is too far apart, 3 a pair is open, 2 bad input.
    """
    from elec.cli.metals import compare_metals

    text, code = compare_metals(
        names or [],
        areas=areas,
        water=water,
        salinity=salinity,
        temperature=temperature,
        series=basis_series or [],
        stray=stray,
        every=every,
        as_json=json,
    )
    typer.echo(text, nl=False)
    raise typer.Exit(code)


@app.command()
def anode(
    material: Annotated[str, typer.Option(help="zinc, aluminium or magnesium.")],
    area: Annotated[
        str | None, typer.Option("--area", "--surface", help="Surface protected, 12m2.")
    ] = None,
    form: Annotated[
        str | None, typer.Option(help="Of the hull, for its surface: full displacement, ...")
    ] = None,
    waterline: Annotated[str | None, typer.Option(help="Waterline length, 12m.")] = None,
    beam: Annotated[str | None, typer.Option(help="At the waterline, 3.5m.")] = None,
    draught: Annotated[str | None, typer.Option(help="Without a fin keel, 0.8m.")] = None,
    coating: Annotated[
        str | None,
        typer.Option(help="painted (boats); bare, low, medium, high (ABS); I, II, III, IV (DNV)."),
    ] = None,
    hull: Annotated[str, typer.Option(help="steel or aluminium.")] = "steel",
    current_density: Annotated[str | None, typer.Option(help="20mA/m2, paint counted in.")] = None,
    current: Annotated[str | None, typer.Option(help="Current asked for, 0.3A.")] = None,
    life: Annotated[str | None, typer.Option(help="Time it should last, 1year.")] = None,
    mass: Annotated[str | None, typer.Option(help="Of one, without its core, 5kg.")] = None,
    count: Annotated[int, typer.Option(help="How many.")] = 1,
    wasted: Annotated[str | None, typer.Option(help="Share gone, 60%.")] = None,
    after: Annotated[str | None, typer.Option(help="Time since it was new, 8months.")] = None,
    mount: Annotated[str | None, typer.Option(help="flush or stand-off.")] = None,
    length: Annotated[str | None, typer.Option(help="Of one, 36cm.")] = None,
    width: Annotated[str | None, typer.Option(help="Of one, 15cm.")] = None,
    thickness: Annotated[str | None, typer.Option(help="Of one, 3cm.")] = None,
    standoff: Annotated[str | None, typer.Option(help="From hull to anode, 20cm.")] = None,
    core: Annotated[str | None, typer.Option(help="Radius of the steel core, 10mm.")] = None,
    water: Annotated[str, typer.Option(help="sea, brackish or fresh.")] = "sea",
    salinity: Annotated[str | None, typer.Option(help="For example 35PSU.")] = None,
    temperature: Annotated[str | None, typer.Option(help="Of the water, 15C.")] = None,
    resistivity: Annotated[
        str | None, typer.Option(help="Of the water, measured, 0.25 ohm·m.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Work out sacrificial anodes: mass, number, life, months left, output by shape.

    Exit code: 0 adequate, 1 something inadequate, 3 something open, 2 bad input.
    """
    from elec.cli.anode import Asked, size_anode

    values = {
        "area": area,
        "current_density": current_density,
        "current": current,
        "life": life,
        "mass": mass,
        "wasted": wasted,
        "after": after,
        "length": length,
        "width": width,
        "thickness": thickness,
        "standoff": standoff,
        "core": core,
        "salinity": salinity,
        "temperature": temperature,
        "resistivity": resistivity,
        "waterline": waterline,
        "beam": beam,
        "draught": draught,
    }
    asked = Asked(material, water, hull, coating, count, mount, form, values)
    text, code = size_anode(asked, as_json=json)
    typer.echo(text, nl=False)
    raise typer.Exit(code)


@app.command()
def table(
    name: Annotated[str | None, typer.Argument(metavar="[NAME]", help="A table's name.")] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    tables: Tables = None,
) -> None:
    """List the published tables with their papers, or print one."""
    from elec.cli.tabling import list_tables, print_table
    from elec.published import use_tables_from

    use_tables_from(*(tables or ()))
    typer.echo(print_table(name, json) if name else list_tables(json), nl=False)


@app.command()
def quote(
    quote: Annotated[Path, typer.Argument(metavar="QUOTE", help="The quote, TOML or CSV.")],
    boat: Annotated[
        Path, typer.Option("--boat", "-b", metavar="BOAT.toml", help="The boat it is for.")
    ],
    basis: Annotated[
        Basis | None, typer.Option(help="Family of tables; the boat's own if not given.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    markdown: Annotated[bool, typer.Option("--markdown", help="Print Markdown.")] = False,
    csv: Annotated[bool, typer.Option("--csv", help="Print CSV.")] = False,
    brief: Annotated[
        bool, typer.Option("--brief", help="Leave out arithmetic and sources.")
    ] = False,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file.")
    ] = None,
    force: Force = False,
    tables: Tables = None,
) -> None:
    """Judge a refit quote beside its boat: sums, fitness, what is missing, what to ask.

    Exit code: 0 all adequate or marginal, 1 a wrong sum or something inadequate, 3 nothing
    inadequate but something still open, 2 bad input.
    """
    from elec.cli.quote import judge

    raise typer.Exit(
        judge(
            quote,
            boat,
            basis=basis.value if basis else None,
            form=_one_of(json=json, markdown=markdown, csv=csv),
            brief=brief,
            output=output,
            force=force,
            tables=tuple(tables or ()),
        )
    )


@app.command()
def schema(
    quote: Annotated[
        bool, typer.Option("--quote", help="The schema of the quote file instead.")
    ] = False,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file.")
    ] = None,
    force: Force = False,
) -> None:
    """Print the JSON Schema of the boat file, or of the quote file, for editors."""
    from elec.cli.writing import give

    if quote:
        from elec.quote.schema import quote_schema as file_schema
    else:
        from elec.boat.schema import boat_schema as file_schema
    give(file_schema(), output, force)


@app.command()
def start(
    boat: Annotated[Path, typer.Argument(metavar="BOAT.toml", help="The file to write.")],
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Write a walk sheet to print, by place aboard, instead.")
    ] = False,
    force: Force = False,
) -> None:
    """Write a commented blank boat file, ready to fill in."""
    from elec.boat.blank import blank_boat, walk_sheet
    from elec.cli.writing import give

    give(walk_sheet() if sheet else blank_boat(), boat, force)
    typer.echo(f"wrote {boat}", err=True)


def run() -> None:
    """Run the command line and exit."""
    try:
        app()
    except ElecError as error:
        _fail(in_words(str(error)))
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)


def _fail(message: str) -> None:
    print(f"error: {message}" if "\n" not in message else f"error:\n{message}", file=sys.stderr)
    sys.exit(2)
