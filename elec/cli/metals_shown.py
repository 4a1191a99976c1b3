"""How the metals command shows its pairs: text of 80 columns, or a JSON document."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from elec import __version__
from elec.checks.metals import named_metals
from elec.checks.metals.couple_rates import Rates
from elec.checks.metals.metal_couple import which_wastes
from elec.checks.metals.named_metals import Named, Pair, Yardstick
from elec.checks.metals.rate_words import loss_words
from elec.checks.metals.salt_water import Water
from elec.errors import printable
from elec.noted import Noted

__all__ = ["MANY", "Row", "document_of", "lines_of", "no_series"]

WIDTH = 80
#: More pairs than these are listed as a table, without rates.
MANY = 36
_STRAY = (
    "Metal is lost where direct current leaves it for the water. Alternating leakage is a danger "
    "to swimmers and crew, not a cause of corrosion."
)


@dataclass(frozen=True)
class Row:
    """A pair and its rate; ``rate`` is None where none was asked for."""

    pair: Pair
    rate: Rates | None
    equal: bool
    read: tuple[str, ...]


# -- text --------------------------------------------------------------------------------------


def _wrap(text: str, indent: str = "", hanging: str | None = None) -> str:
    return textwrap.fill(
        printable(text),
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )


def lines_of(
    rows: Sequence[Row],
    bond: Rates | None,
    found: Sequence[Named],
    by: Yardstick,
    water: str,
    salt: Water | None,
    lost: list[dict[str, Any]],
) -> Iterator[str]:
    """Return the lines of the text."""
    cell = f", volts against {by.cell}" if by.cell else ", volts below gold"
    yield f"METALS, {water.upper()}"
    yield _wrap(
        f"By the {by.words}{f' {by.series}' if by.series else ''}{cell}; up to "
        f"{by.limit_V:g} V apart passes without protection."
    )
    if salt is not None:
        yield _wrap(
            f"Water: salinity {salt.salinity.show()}, {salt.temperature.show()}. A difference "
            "tells direction and risk, not rate; rates hold while no anode protects."
        )
    yield "=" * WIDTH
    if len(rows) > MANY or not any(row.read or row.rate for row in rows):
        yield from _table(rows)
    else:
        for number, row in enumerate(rows, start=1):
            yield from _pair(number, row)
    if bond is not None:
        yield from _bond(bond, found)
    for one in lost:
        yield from _lost(one)
    yield ""
    for source in [*named_metals.sources_of(*found), by.limit_source]:
        yield _wrap(f"{source.cited} [table {source.table}, {_how(source.read)}]", "# ", "  ")
    if any(row.rate and not row.rate.open for row in rows):
        rated = next(row.rate for row in rows if row.rate and not row.rate.open)
        for source in rated.sources:
            yield _wrap(f"{source.cited} [table {source.table}, {_how(source.read)}]", "# ", "  ")


def _how(read: str) -> str:
    return "from memory, provisional" if read == "memory" else f"read: {read}"


def _span(pair: Pair) -> str:
    low, high = f"{pair.smallest_V:.2f}", f"{pair.largest_V:.2f}"
    return f"{low} V" if low == high else f"{low} to {high} V"


def _pair(number: int, row: Row) -> Iterator[str]:
    pair = row.pair
    yield ""
    yield _wrap(f"{number}. {pair.a.name} and {pair.b.name}", "", "   ")
    verdict = pair.verdict.upper()
    yield f"   {verdict} - {_span(pair)} apart"
    sure = f" {pair.sure[0].upper()}{pair.sure[1:]}." if pair.wastes else ""
    yield _wrap(f"{which_wastes(pair)}{sure}", "   ")
    if row.rate is not None and pair.wastes is not None:
        yield _wrap(_rate_words(row), "   ")
    for metal in (pair.a, pair.b):
        low, high = metal.low_V.min(), metal.high_V.max()
        ends = f"{low:g} V" if low == high else f"{low:g} to {high:g} V"
        labels = list(dict.fromkeys(one.label for one in metal.found))
        kinds = f" ({'; '.join(labels)})" if labels != [metal.name] else ""
        yield _wrap(f"{metal.name}: {ends}{kinds}", "   = ", "     ")
    for ask in row.read:
        yield _wrap(f"read {ask}", "   ? ", "     ")


def _rate_words(row: Row) -> str:
    pair, rate = row.pair, row.rate
    assert rate is not None
    assert pair.wastes is not None
    if rate.open:
        return f"Direction only: {rate.open}."
    wasting = 0 if pair.direction < 0 else 1
    amperes = _three(rate.driven_A[wasting], "A")
    kilograms = _three(rate.kg_per_year[wasting], "kg")
    at = "At 1 m² bare of each: " if row.equal else "At the surfaces given: "
    law = f"; oxygen at the cathode feeds {_three(rate.law_A, 'A')}" if rate.law_A else ""
    return (
        f"{at}'{pair.wastes.name}' gives {amperes} to the other{law}; with its own corrosion it "
        f"loses {loss_words(rate.mm_per_year[wasting])}, {kilograms} a year. Pits go deeper."
    )


def _three(span: tuple[float, float, float], unit: str) -> str:
    low, best, high = (f"{value:.2g}" for value in span)
    return f"{low} to {high} {unit} (best {best})"


def _table(rows: Sequence[Row]) -> Iterator[str]:
    from tabulate import tabulate

    def cut(text: str, width: int) -> str:
        shown = printable(text)
        return shown if len(shown) <= width else shown[: width - 1] + "…"

    cells = [
        (
            cut(row.pair.a.name, 22),
            cut(row.pair.b.name, 22),
            f"{row.pair.smallest_V:.2f}..{row.pair.largest_V:.2f}",
            {"adequate": "passes", "inadequate": "too far"}.get(row.pair.verdict, "open"),
            {-1: "first", 1: "second"}.get(row.pair.direction, "open"),
        )
        for row in rows
    ]
    headers = ("first", "second", "volts apart", "verdict", "wastes")
    yield tabulate(cells, headers=headers, tablefmt="simple", disable_numparse=True)


def _bond(bond: Rates, found: Sequence[Named]) -> Iterator[str]:
    yield ""
    yield "All on one bond"
    if bond.open:
        yield _wrap(f"Direction only: {bond.open}.", "   ")
        return
    yield _wrap(f"It settles at {_three(bond.bond_V, 'V')}.", "   ")
    for metal, driven, loss in zip(found, bond.driven_A, bond.mm_per_year, strict=True):
        if driven[1] >= 0:
            words = f"gives {_three(driven, 'A')}, loses {loss_words(loss)}"
        else:
            fed = (-driven[2], -driven[1], -driven[0])
            words = f"is fed {_three(fed, 'A')}, loses {loss_words(loss)}"
        yield _wrap(f"{metal.name} {words}", "   = ", "     ")


def _lost(one: dict[str, Any]) -> Iterator[str]:
    yield ""
    if one["kg_per_year"] is None:
        yield _wrap(f"Stray current: no equivalent weight is held for '{one['metal']}'.")
        return
    low, high = (f"{one['kg_per_year'][end]:.3g}" for end in ("low", "high"))
    span = f"{low} kg" if low == high else f"{low} to {high} kg"
    yield _wrap(
        f"{one['current_A']:g} A of stray direct current leaving '{one['metal']}' takes {span} a "
        f"year ({one['as']}). {_STRAY}"
    )


# -- JSON --------------------------------------------------------------------------------------


def _three_json(span: tuple[float, float, float], unit: str) -> dict[str, Any]:
    return {"low": span[0], "best": span[1], "high": span[2], "unit": unit}


def _rate_json(rate: Rates | None, wasting: int) -> dict[str, Any] | None:
    if rate is None or rate.open:
        return None
    return {
        "current": _three_json(rate.driven_A[wasting], "A"),
        "cathode_limited": _three_json(rate.law_A, "A") if rate.law_A else None,
        "loss": _three_json(rate.mm_per_year[wasting], "mm/year"),
        "mass": _three_json(rate.kg_per_year[wasting], "kg/year"),
    }


def document_of(
    rows: Sequence[Row],
    bond: Rates | None,
    found: Sequence[Named],
    by: Yardstick,
    water: str,
    salt: Water | None,
    lost: list[dict[str, Any]],
) -> dict[str, Any]:
    """Return the JSON document."""
    sources = [*named_metals.sources_of(*found), by.limit_source]
    sources += [s for row in rows if row.rate for s in row.rate.sources]
    return {
        "elec": __version__,
        "water": water,
        "salinity": _noted_json(salt.salinity, "g/kg") if salt else None,
        "temperature": _noted_json(salt.temperature, "°C") if salt else None,
        "yardstick": {"words": by.words, "series": by.series or None, "cell": by.cell or None},
        "metals": [
            {
                "name": metal.name,
                "may_be": [
                    {"label": one.label, "low_V": one.low_V, "high_V": one.high_V}
                    for one in metal.found
                ],
                "ask": metal.ask or None,
            }
            for metal in found
        ],
        "pairs": [
            {
                "a": row.pair.a.name,
                "b": row.pair.b.name,
                "smallest_V": row.pair.smallest_V,
                "largest_V": row.pair.largest_V,
                "limit_V": row.pair.limit_V,
                "verdict": row.pair.verdict,
                "wastes": row.pair.wastes.name if row.pair.wastes else None,
                "sure": row.pair.sure,
                "rate": _rate_json(row.rate, 0 if row.pair.direction < 0 else 1),
                "direction_only": row.rate.open or None if row.rate else None,
                "equal_surfaces": row.equal,
                "read": list(row.read),
            }
            for row in rows
        ],
        "bond": _bond_json(bond, found),
        "stray": lost,
        "sources": [
            {"table": s.table, "title": s.title, "edition": s.edition, "clause": s.clause}
            | {"read": s.read}
            for s in dict.fromkeys(sources)
        ],
    }


def _noted_json(value: Noted, unit: str) -> dict[str, Any]:
    return _three_json(value.span, unit) | {"noted": value.origin not in ("typical", "not seen")}


def _bond_json(bond: Rates | None, found: Sequence[Named]) -> dict[str, Any] | None:
    if bond is None:
        return None
    if bond.open:
        return {"direction_only": bond.open}
    return {
        "potential": _three_json(bond.bond_V, "V"),
        "metals": [
            {"name": metal.name, **(_rate_json(bond, i) or {})} for i, metal in enumerate(found)
        ],
    }


def no_series(names: Sequence[str], as_json: bool) -> str:
    """Return what is said where no series is published."""
    reason = (
        "no published series is held for fresh water, and that of seawater is not stretched to it"
    )
    read = "a reference-cell reading of each metal, apart, in that water"
    if as_json:
        left = {"check": "metal-couple", "subject": ", ".join(names), "reason": reason}
        document = {"elec": __version__, "water": "fresh", "pairs": [], "not_checked": [left]}
        return json.dumps(document, indent=2, ensure_ascii=False) + "\n"
    return "\n".join([_wrap(f"NOT CHECKED: {reason}."), _wrap(f"Read {read}.")]) + "\n"
