"""The anode command: one anode without a boat file, by the same records and the same checks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from elec.cli.options import Json, among, options, read
from elec.cli.writing import cited, tell
from elec.errors import InputError

if TYPE_CHECKING:
    from elec.boat.records import Anode, BoatFile
    from elec.checks.metals.anode_values import Value
    from elec.noted import Noted

__all__ = ["Asked", "judge"]

#: Options that are fields of the anode, and of the boat, by what they are.
_OF_ANODE = {
    "current_density": "current_density",
    "current": "current",
    "life": "life",
    "mass": "mass",
    "wasted": "fraction",
    "after": "life",
    "length": "length",
    "width": "length",
    "thickness": "length",
    "standoff": "length",
    "core": "length",
}
_OF_BOAT = {
    "salinity": ("salinity", "salinity"),
    "water_temperature": ("temperature", "temperature"),
    "water_resistivity": ("resistivity", "resistivity"),
}
_COATINGS = ("bare", "painted", "low", "medium", "high", "I", "II", "III", "IV")
_MOST = 200


@options
class Asked:
    """Work out sacrificial anodes: mass, number, life, months left, output by shape.

    Exit code: 0 adequate, 1 something inadequate, 3 something open, 2 bad input.
    """

    material: Annotated[str, typer.Option(help="zinc, aluminium or magnesium.")]
    area: Annotated[
        str | None, typer.Option("--area", "--surface", help="Surface protected, 12m2.")
    ] = None
    form: Annotated[
        str | None, typer.Option(help="Of the hull, for its surface: full displacement, ...")
    ] = None
    waterline: Annotated[str | None, typer.Option(help="Waterline length, 12m.")] = None
    beam: Annotated[str | None, typer.Option(help="At the waterline, 3.5m.")] = None
    draught: Annotated[str | None, typer.Option(help="Without a fin keel, 0.8m.")] = None
    coating: Annotated[
        str | None,
        typer.Option(help="painted (boats); bare, low, medium, high (ABS); I, II, III, IV (DNV)."),
    ] = None
    hull: Annotated[str, typer.Option(help="steel or aluminium.")] = "steel"
    current_density: Annotated[str | None, typer.Option(help="20mA/m2, paint counted in.")] = None
    current: Annotated[str | None, typer.Option(help="Current asked for, 0.3A.")] = None
    life: Annotated[str | None, typer.Option(help="Time it should last, 1year.")] = None
    mass: Annotated[str | None, typer.Option(help="Of one, without its core, 5kg.")] = None
    count: Annotated[int, typer.Option(help="How many.")] = 1
    wasted: Annotated[str | None, typer.Option(help="Share gone, 60%.")] = None
    after: Annotated[str | None, typer.Option(help="Time since it was new, 8months.")] = None
    mount: Annotated[str | None, typer.Option(help="flush or stand-off.")] = None
    length: Annotated[str | None, typer.Option(help="Of one, 36cm.")] = None
    width: Annotated[str | None, typer.Option(help="Of one, 15cm.")] = None
    thickness: Annotated[str | None, typer.Option(help="Of one, 3cm.")] = None
    standoff: Annotated[str | None, typer.Option(help="From hull to anode, 20cm.")] = None
    core: Annotated[str | None, typer.Option(help="Radius of the steel core, 10mm.")] = None
    water: Annotated[str, typer.Option(help="sea, brackish or fresh.")] = "sea"
    salinity: Annotated[str | None, typer.Option(help="For example 35PSU.")] = None
    temperature: Annotated[str | None, typer.Option(help="Of the water, 15C.")] = None
    resistivity: Annotated[str | None, typer.Option(help="Of the water, measured, 0.25 ohm·m.")] = (
        None
    )
    json: Json = False


def judge(asked: Asked) -> int:
    """Judge the anode, print findings and what is worked out; return the exit code."""
    from elec.checks.metals.anode_values import values
    from elec.survey import survey

    boat = _boat(asked)
    (anode,) = boat.anode
    worked = list(values(anode, boat))
    sources = list(dict.fromkeys(source for one in worked for source in one.sources))
    more = {
        "material": anode.material.text,
        "water": boat.boat.water.text,
        "count": anode.count,
        "values": [one.as_dict() for one in worked],
        "sources": [vars(source) for source in sources],
    }
    found = survey(boat, only=_checks(anode))
    named = {source for finding in found.findings for source in finding.sources}
    lines = [*_lines(worked), "", *cited(one for one in sources if one not in named)]
    return tell(found, json=asked.json, more=more, after="\n".join(lines).rstrip())


def _checks(anode: Anode) -> Sequence[str]:
    """Return what is asked of it: only what was given something to judge."""
    carries = anode.area.seen or anode.current.seen
    asked = {
        "anode-material": True,
        "anode": anode.wasted.seen,
        "anode-life": anode.mass.seen and carries,
        "anode-output": anode.length.seen and carries,
    }
    return [name for name, given in asked.items() if given]


# -- what was given ----------------------------------------------------------------------------


def _boat(asked: Asked) -> BoatFile:
    from elec.boat.read import from_data

    if not 1 <= asked.count <= _MOST:
        raise InputError(
            f"--count: {asked.count} anodes.", remedy=f"Accepted: 1 or more, up to {_MOST}."
        )
    anode: dict[str, Any] = {
        "id": "anode",
        "material": among("material", asked.material, ("zinc", "aluminium", "magnesium")),
        "count": asked.count,
        "coating": among("coating", asked.coating, _COATINGS) if asked.coating else "?",
        "mount": among("mount", asked.mount, ("flush", "stand-off")) if asked.mount else "?",
        "area": _surface(asked),
        **{name: _given(asked, name, quantity) for name, quantity in _OF_ANODE.items()},
    }
    about = {
        "name": "One anode",
        "water": among("water", asked.water, ("sea", "brackish", "fresh")),
        "hull": among("hull", asked.hull, ("steel", "aluminium")),
        **{field: _given(asked, *option) for field, option in _OF_BOAT.items()},
    }
    _enough(asked, anode)
    return from_data({"boat": about, "anode": [anode]}, "the options")


def _given(asked: Asked, name: str, quantity: str) -> Noted:
    """Return a value given, or one not seen."""
    option, text = name.replace("_", "-"), getattr(asked, name)
    value = read(option, text, quantity)
    if text is None:
        return value
    if not value.seen:
        raise InputError(f"--{option}: '?' was given.", remedy="Leave it out instead.")
    if name in ("mass", "wasted") and value.span[0] <= 0:
        raise InputError(
            f"--{option}: {value.text} is or may be zero.",
            remedy="Give a value above zero, or leave it out.",
        )
    return value


def _surface(asked: Asked) -> Noted:
    """Return the surface as given, or from the form of the hull."""
    from elec.checks.metals.anode_demand import hull_surface
    from elec.published import table

    area = _given(asked, "area", "surface")
    sizes = {name: _given(asked, name, "length") for name in ("waterline", "beam", "draught")}
    if area.seen or not any(size.seen for size in sizes.values()):
        return area
    forms = table("hull_wetted_area").text("hull_form")
    if asked.form not in forms or not all(size.seen for size in sizes.values()):
        raise InputError(
            "the surface of a hull needs --form, --waterline, --beam and --draught.",
            remedy=f"Forms: {', '.join(forms)}.",
        )
    return hull_surface(asked.form, **sizes)


def _enough(asked: Asked, anode: dict[str, Any]) -> None:
    """Refuse options that lack one another, or leave nothing to work out."""
    sizes = [anode[name].seen for name in ("length", "width", "thickness")]
    carries = anode["area"].seen or anode["current"].seen
    if any(sizes) and not (all(sizes) and asked.mount):
        raise InputError(
            "the shape needs --mount, --length, --width and --thickness.",
            remedy="For example --mount flush --length 36cm --width 15cm --thickness 3cm",
        )
    if not carries and (asked.coating or asked.current_density):
        raise InputError("no surface was given.", remedy="Give --area, for example 12m2.")
    if anode["after"].seen and not anode["wasted"].seen:
        raise InputError("--after was given without --wasted.", remedy="Give both.")
    if not (carries or anode["wasted"].seen or any(sizes)):
        raise InputError(
            "nothing to work out was given.",
            remedy="Give --area with --coating or --current-density, or --wasted with --after, or "
            "the dimensions.",
        )


# -- what is worked out ------------------------------------------------------------------------


def _lines(worked: Sequence[Value]) -> list[str]:
    from elec import units
    from elec.report.wrap import wrap

    def number(value: float, unit: str) -> str:
        return f"{value:.0f}" if unit == "-" and value == int(value) else units.plain(value)

    lines = ["WORKED OUT", "----------"]
    for one in worked:
        low, best, high = (number(end, one.unit) for end in (one.low, one.best, one.high))
        span = best if low == high else f"{low} to {high} (best {best})"
        unit = "" if one.unit == "-" else f" {one.unit}"
        end = f" [{one.formula}]" if one.formula else ""
        lines.append(wrap(f"{one.name} = {span}{unit}{end}", "= ", "    "))
    return lines
