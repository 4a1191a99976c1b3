"""The metals command: reads what was given and compares every pair of the metals named."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Annotated, Any

import typer

from elec import noted
from elec.checks.metals import named_metals
from elec.checks.metals.corrosion_rate import stray_loss
from elec.checks.metals.couple_rates import Water, rates, water_of
from elec.checks.metals.named_metals import Named, Pair, Yardstick
from elec.cli.metals_shown import MANY, Row, document_of, lines_of, no_series
from elec.cli.options import Json
from elec.cli.writing import give
from elec.errors import InputError, printable
from elec.noted import Noted, exact, unseen

__all__ = ["Asked", "compare_metals", "judge"]

_ONE = exact(1.0, "surface")


@dataclass(frozen=True, kw_only=True)
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
    """Print the pairs and return the exit code: 1 one too far apart, 3 one left open, else 0."""
    text, code = compare_metals(
        asked.names or [],
        areas=asked.areas,
        water=asked.water,
        salinity=asked.salinity,
        temperature=asked.temperature,
        series=asked.basis_series or [],
        stray=asked.stray,
        every=asked.every,
        as_json=asked.json,
    )
    give(text, None, False)
    return code


def compare_metals(
    names: Sequence[str],
    *,
    areas: str | None,
    water: str,
    salinity: str | None,
    temperature: str | None,
    series: Sequence[str],
    stray: str | None,
    every: bool,
    as_json: bool,
) -> tuple[str, int]:
    """Return what to print and the exit code: 1 a pair too far apart, 3 one left open, else 0."""
    one_series = _one_series(series)
    if water == "fresh":
        return no_series(names, as_json), 3
    by = named_metals.yardstick(water, one_series)
    found = _found(names, by, every)
    surfaces = _areas(areas, len(found))
    salt = _water(water, salinity, temperature, by)
    limit = by.limit_V
    pairs = [named_metals.compare(a, b, by, limit_V=limit) for a, b in combinations(found, 2)]
    rated = salt is not None and len(pairs) <= MANY and not every
    indices = list(combinations(range(len(found)), 2))
    rows = []
    for pair, (i, k) in zip(pairs, indices, strict=True):
        rate = None
        if rated and salt is not None and pair.wastes is not None:
            both = (surfaces[i], surfaces[k]) if surfaces else (_ONE, _ONE)
            rate = rates([pair.a, pair.b], areas=both, water=salt)
        rows.append(Row(pair, rate, not surfaces, _read(pair, by, bool(surfaces))))
    bond = None
    if rated and salt is not None and len(found) > 2 and surfaces:
        bond = rates(found, areas=surfaces, water=salt)
    lost = _stray(names, stray)
    verdicts = {pair.verdict for pair in pairs}
    code = 1 if "inadequate" in verdicts else 3 if "undetermined" in verdicts else 0
    if as_json:
        document = document_of(rows, bond, found, by, water, salt, lost)
        return json.dumps(document, indent=2, ensure_ascii=False) + "\n", code
    lines = list(lines_of(rows, bond, found, by, water, salt, lost))
    return "\n".join(lines) + "\n", code


# -- reading what was given --------------------------------------------------------------------


def _one_series(series: Sequence[str]) -> str:
    given = [part.strip() for text in series for part in text.split(",") if part.strip()]
    if len(set(given)) > 1:
        raise InputError(
            f"two galvanic series were given ({', '.join(given)}): potentials of different "
            "sources are never mixed in one comparison.",
            remedy=f"Give one of {', '.join(named_metals.SERIES)}; ask again for another.",
        )
    return given[0] if given else named_metals.SERIES[0]


def _found(names: Sequence[str], by: Yardstick, every: bool) -> list[Named]:
    if every:
        if names:
            raise InputError("--all was given beside names.", remedy="Give one or the other.")
        return named_metals.every_row(by)
    if len(names) < 2:
        raise InputError(
            "fewer than two metals were given.", remedy="Give two or more: elec metals bronze 316"
        )
    found = [named_metals.named(name, by) for name in names]
    lacking = [named_metals.not_held(one, by) for one in found if one.missing or not one.found]
    if lacking:
        raise InputError(
            f"{'; '.join(printable(words) for words in lacking)}.",
            remedy="'elec table metal_names' lists every name known.",
        )
    return found


def _areas(text: str | None, count: int) -> list[Noted]:
    if text is None:
        return []
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != count:
        raise InputError(
            f"--areas: {len(parts)} for {count} metals.",
            remedy="Give one bare wetted surface each, in their order: --areas 2m2,0.1m2",
        )
    read = []
    for part in parts:
        try:
            area = noted.read(part, "surface")
        except InputError as error:
            raise InputError(f"--areas: {error.message}", remedy=error.remedy) from None
        if not area.seen:
            raise InputError("--areas: '?' was given.", remedy="Leave --areas out instead.")
        read.append(area)
    return read


def _option(name: str, text: str | None, quantity: str) -> Noted:
    if text is None:
        return unseen(quantity)
    try:
        return noted.read(text, quantity)
    except InputError as error:
        raise InputError(f"--{name}: {error.message}", remedy=error.remedy) from None


def _water(
    water: str, salinity: str | None, temperature: str | None, by: Yardstick
) -> Water | None:
    salt = _option("salinity", salinity, "salinity")
    warmth = _option("temperature", temperature, "temperature")
    if by.air:
        if salt.seen or warmth.seen:
            raise InputError(
                f"--salinity and --temperature are for water, not for {water}.",
                remedy="Leave them out, or give --water sea or brackish.",
            )
        return None
    return water_of(water, salt, warmth)


def _stray(names: Sequence[str], text: str | None) -> list[dict[str, Any]]:
    if text is None:
        return []
    current = _option("stray", text, "current")
    lost = []
    for name in names:
        loss = stray_loss(current.span[1], name) if current.seen else None
        lost.append(
            {
                "metal": name,
                "current_A": current.span[1] if current.seen else None,
                "kg_per_year": {"low": loss[0], "high": loss[1]} if loss else None,
                "as": loss[2] if loss else None,
            }
        )
    return lost


def _read(pair: Pair, by: Yardstick, areas: bool) -> tuple[str, ...]:
    asks = [f"'{one.name}': {one.ask}" for one in (pair.a, pair.b) if one.ask]
    if pair.wastes is None or pair.verdict == "undetermined":
        asks.append(
            "the plating or alloy of both parts"
            if by.air
            else "a reference-cell reading of each of the two, apart"
        )
    if not by.air and not areas and pair.wastes is not None:
        asks.append("the bare wetted surface of each")
    return tuple(asks)
