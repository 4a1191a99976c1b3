"""The metals command: metals in contact without a boat file, by the same records and checks."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING, Annotated, Any

import typer

from elec.cli.options import Json, options, read
from elec.cli.writing import cited, give, tell
from elec.errors import InputError, printable

if TYPE_CHECKING:
    from elec.boat.records import BoatFile
    from elec.checks.metals.named_metals import Named, Yardstick
    from elec.noted import Noted

__all__ = ["Asked", "judge"]

#: More pairs than these are listed as a table, without rates.
_MANY = 36
#: Two names and a word between them fit an id.
_LONGEST = 24
_CHECK = "metal-couple"
#: What a rate holds, in words.
_RATE = {
    "current": "current to the other metals",
    "cathode_limited": "the most that oxygen at the cathode feeds",
    "loss": "loss, its own corrosion counted; pits go deeper",
    "mass": "loss in mass",
}


@options
class Asked:
    """Compare metals in contact: which wastes, how sure, how fast, what to read.

    Exit code: 0 every pair passes, 1 a pair is too far apart, 3 a pair is open, 2 bad input.
    """

    names: Annotated[
        list[str] | None, typer.Argument(metavar="A B ...", help="Metals as noted: bronze 316.")
    ] = None
    areas: Annotated[
        str | None, typer.Option(help="Bare wetted surface of each, in order: 2m2,0.1m2")
    ] = None
    water: Annotated[str, typer.Option(help="sea, brackish, fresh; in air splash, bilge, dry.")] = (
        "sea"
    )
    salinity: Annotated[str | None, typer.Option(help="For example 35PSU.")] = None
    temperature: Annotated[str | None, typer.Option(help="Of the water, for example 15C.")] = None
    basis_series: Annotated[
        list[str] | None,
        typer.Option(
            help="Galvanic series, one: LAQUE_ACA, E2_RANGES, BOAT_CHART, NRL, STEADY_SCE."
        ),
    ] = None
    stray: Annotated[
        str | None, typer.Option(help="Direct current leaving each for the water, 100mA.")
    ] = None
    every: Annotated[bool, typer.Option("--all", help="Every pair of the series.")] = False
    json: Json = False


def judge(asked: Asked) -> int:
    """Judge every pair, print findings, how sure and how fast; return the exit code."""
    from elec.checks.metals.couple_values import values
    from elec.survey import survey

    by = _yardstick(asked)
    if asked.every:
        return _every_pair(asked, by)
    metals = _named(asked.names or (), by)
    boat = _boat(asked, by)
    many = len(boat.couple) > _MANY
    worked, behind = values(boat, metals, by, rated=not many)
    found = survey(boat, only=_checks(asked))
    verdicts = {one.subject: one.verdict for one in found.findings if one.check == _CHECK}
    for couple, pair in zip(boat.couple, worked["pairs"], strict=False):
        pair["verdict"] = verdicts[couple.id]
    sources = list(dict.fromkeys(behind))
    more = {"water": asked.water, **worked, "sources": [vars(source) for source in sources]}
    if many and not asked.json:
        give("\n".join([*_table(worked["pairs"]), "", *cited(sources), ""]), None, False)
        rest = tuple(one for one in found.findings if one.check != _CHECK)
        if rest or found.not_checked:
            tell(replace(found, findings=rest), json=False, more={})
        return found.exit_code
    named = {source for finding in found.findings for source in finding.sources}
    lines = [*_lines(more), "", *cited(one for one in sources if one not in named)]
    after = "\n".join(lines).rstrip() if by else ""
    return tell(found, json=asked.json, more=more, after=after)


def _every_pair(asked: Asked, by: Yardstick | None) -> int:
    """List every pair of the rows of a yardstick: what it prints, not what is aboard."""
    import json

    from elec import __version__
    from elec.checks.metals import named_metals
    from elec.checks.metals.couple_values import pair_value

    if asked.names:
        raise InputError("--all was given beside names.", remedy="Give one or the other.")
    by = by or named_metals.yardstick(asked.water)
    rows = named_metals.every_row(by)
    limit = by.limit_V
    pairs = [
        pair_value(named_metals.compare(a, b, by, limit_V=limit)) for a, b in combinations(rows, 2)
    ]
    sources = [*named_metals.sources_of(*rows), by.limit_source]
    if asked.json:
        document = {"elec": __version__, "water": asked.water, "pairs": pairs}
        document["sources"] = [vars(source) for source in sources]
        give(json.dumps(document, indent=2, ensure_ascii=False) + "\n", None, False)
    else:
        give("\n".join([*_table(pairs), "", *cited(sources), ""]), None, False)
    verdicts = {pair["verdict"] for pair in pairs}
    return 1 if "inadequate" in verdicts else 3 if "undetermined" in verdicts else 0


def _checks(asked: Asked) -> list[str]:
    """Return what is asked: rates only of surfaces, stray current only where it was measured."""
    rates = ["corrosion-rate"] if asked.areas else []
    return ["metal-couple", *rates, *(["stray-current"] if asked.stray else [])]


# -- what was given ----------------------------------------------------------------------------


def _yardstick(asked: Asked) -> Yardstick | None:
    """Return the yardstick of the place, in the one series asked for; fresh water has none."""
    from elec.checks.metals import named_metals

    words = ",".join(asked.basis_series or ()).split(",")
    given = list(dict.fromkeys(word.strip() for word in words if word.strip()))
    if len(given) > 1:
        raise InputError(
            f"two galvanic series were given ({', '.join(given)}): potentials of different "
            "sources are never mixed in one comparison.",
            remedy=f"Give one of {', '.join(named_metals.SERIES)}; ask again for another.",
        )
    if asked.water == "fresh":
        return None
    by = named_metals.yardstick(asked.water, *given)
    if by.air and (asked.salinity or asked.temperature):
        raise InputError(
            f"--salinity and --temperature are for water, not for {asked.water}.",
            remedy="Leave them out, or give --water sea or brackish.",
        )
    return by


def _named(names: Sequence[str], by: Yardstick | None) -> list[Named]:
    from elec.checks.metals import named_metals

    if len(names) < 2:
        raise InputError(
            "fewer than two metals were given.", remedy="Give two or more: elec metals bronze 316"
        )
    if by is None:
        return []
    found = [named_metals.named(name, by) for name in names]
    lacking = [named_metals.not_held(one, by) for one in found if one.missing or not one.found]
    if lacking:
        raise InputError(
            f"{'; '.join(printable(words) for words in lacking)}.",
            remedy="'elec table metal_names' lists every name known.",
        )
    return found


def _boat(asked: Asked, by: Yardstick | None) -> BoatFile:
    from elec.boat.read import from_data

    names = asked.names or []
    areas = _areas(asked.areas, len(names))
    ids = _ids(names)
    bonded = "yes" if areas and len(names) > 2 else "?"
    metals = [
        {
            "id": one,
            "metal": name,
            "exposure": asked.water,
            "bonded": bonded,
            "stray": read("stray", asked.stray, "current"),
        }
        | ({"area": areas[place]} if areas else {})
        for place, (one, name) in enumerate(zip(ids, names, strict=True))
    ]
    couples = [{"id": f"{a} and {b}", "a": a, "b": b} for a, b in combinations(ids, 2)]
    about = {
        "name": "Metals in contact",
        "water": asked.water if asked.water in ("sea", "brackish", "fresh") else "?",
        "salinity": read("salinity", asked.salinity, "salinity"),
        "water_temperature": read("temperature", asked.temperature, "temperature"),
    }
    if by and by.series:
        about["series"] = by.series
    return from_data({"boat": about, "metal": metals, "couple": couples}, "the options")


def _ids(names: Sequence[str]) -> list[str]:
    """Return an id for each metal as typed: short, in plain letters, none twice."""
    ids: list[str] = []
    for place, name in enumerate(names, start=1):
        plain = re.sub(r"[^A-Za-z0-9.+/-]+", " ", name).strip(" .+/-")[:_LONGEST].strip() or "metal"
        ids.append(plain if plain not in ids else f"{plain} {place}")
    return ids


def _areas(text: str | None, count: int) -> list[Noted]:
    if text is None:
        return []
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != count:
        raise InputError(
            f"--areas: {len(parts)} for {count} metals.",
            remedy="Give one bare wetted surface each, in their order: --areas 2m2,0.1m2",
        )
    found = [read("areas", part, "surface") for part in parts]
    if not all(area.seen for area in found):
        raise InputError("--areas: '?' was given.", remedy="Leave --areas out instead.")
    return found


# -- what is worked out ------------------------------------------------------------------------


def _lines(more: dict[str, Any]) -> Iterator[str]:
    """Give how sure it is of each pair, how fast at equal surfaces, the bond, and what to read."""
    from elec.report.wrap import wrap

    yield "WORKED OUT"
    yield "----------"
    for pair in more["pairs"]:
        yield wrap(f"{pair['a']} and {pair['b']}: {pair['sure']}.", "", "  ")
        if pair["equal_surfaces"] and pair["direction_only"]:
            yield wrap(f"direction only: {pair['direction_only']}", "= ", "    ")
        if pair["equal_surfaces"] and pair["rate"]:
            yield from _rate(f"'{pair['wastes']}', at 1 m² bare of each", pair["rate"])
    bond = more["bond"] or {}
    if "direction_only" in bond:
        yield wrap(f"All on one bond: direction only: {bond['direction_only']}.", "", "  ")
    if "potential" in bond:
        yield f"All on one bond: potential {_span(bond['potential'])}; fed is negative"
        for metal in bond["metals"]:
            yield from _rate(f"'{metal['name']}'", metal)


def _rate(of: str, rate: dict[str, Any]) -> Iterator[str]:
    from elec.report.wrap import wrap

    for name, words in _RATE.items():
        if rate.get(name):
            yield wrap(f"{of}: {words} = {_span(rate[name])}", "= ", "    ")


def _span(span: dict[str, Any]) -> str:
    low, best, high = (f"{span[end]:.2g}" for end in ("low", "best", "high"))
    return f"{low} to {high} {span['unit']} (best {best})"


def _table(pairs: Sequence[dict[str, Any]]) -> Iterator[str]:
    from tabulate import tabulate

    def cut(text: str) -> str:
        shown = printable(text)
        return shown if len(shown) <= 22 else shown[:21] + "…"

    words = {"inadequate": "too far", "undetermined": "open"}
    cells = [
        (
            cut(pair["a"]),
            cut(pair["b"]),
            f"{pair['smallest_V']:.2f}..{pair['largest_V']:.2f}",
            words.get(pair["verdict"], "passes"),
            {pair["b"]: "second", pair["a"]: "first"}.get(pair["wastes"], "open"),
        )
        for pair in pairs
    ]
    headers = ("first", "second", "volts apart", "verdict", "wastes")
    yield tabulate(cells, headers=headers, tablefmt="simple", disable_numparse=True)
