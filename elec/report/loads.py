"""The load analysis in cells, for a table in a report and as CSV of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from elec.checks.aboard.load_analysis import Analysis, Row, Total
from elec.report.csv_text import Row as CsvRow
from elec.report.csv_text import written
from elec.survey import Survey

__all__ = ["analysis_rows", "loads_csv", "used"]

_ENDS = ("low", "best", "high")


def used(analysis: Analysis) -> list[str]:
    """Return the conditions in which anything runs, or may."""
    return [
        c
        for c in analysis.conditions
        if any((row.demand[c] or (0, 1, 0))[1] for row in analysis.rows)
    ]


def _watts(value: tuple[float, float, float] | None) -> str:
    if value is None:
        return "?"
    return f"{value[1]:,.0f}" if value[1] else "-"


def _factor(row: Row) -> str:
    low, best, high = row.factor
    if row.factor_from == "mean of the day":
        return "day"
    shown = f"{best:.2f}" if best >= 0.1 else f"{best:.1g}"
    return shown if low == high else f"~{shown}"


def analysis_rows(analysis: Analysis, conditions: Sequence[str]) -> list[tuple[str, ...]]:
    """Return the cells of the table, loads under their source, each source with its totals."""
    cells: list[tuple[str, ...]] = []
    for total in analysis.totals:
        for row in analysis.rows:
            if (row.side, row.source, row.unit) == (total.side, total.source, total.unit):
                name = row.load if row.count == 1 else f"{row.load} x{row.count}"
                demand = [_watts(row.demand[c]) for c in conditions]
                cells.append((name, _watts(row.connected), _factor(row), *demand))
        sums = [_known(total.demand[c], total.open_demand[c]) for c in conditions]
        connected = _known(total.connected, total.open_connected)
        cells.append((_total_name(total), connected, "", *sums))
    return cells


def _known(value: tuple[float, float, float], missing: int) -> str:
    """Return a sum, marked where some loads are not in it."""
    shown = _watts(value)
    if not missing:
        return shown
    return "?" if shown == "-" else f"{shown}+"


def _total_name(total: Total) -> str:
    return f"TOTAL {total.source or 'source not noted'}, {total.side} {total.unit}"


def loads_csv(surveys: Sequence[Survey]) -> str:
    """Return the load analysis of every survey as CSV, a row a load and a row a total."""
    conditions = list(dict.fromkeys(c for s in surveys for c in s.loads.conditions))
    amounts = ("connected", "demand_factor")
    columns = [
        *["boat", "row", "side", "source", "load", "where", "count", "unit"],
        *(f"{name}_{end}" for name in amounts for end in _ENDS),
        "demand_factor_from",
        *(f"{c}, {end}" for c in conditions for end in _ENDS),
        "loads_not_known",
    ]
    return written(columns, (row for survey in surveys for row in _rows(survey)))


def _rows(survey: Survey) -> Iterator[CsvRow]:
    boat = survey.boat.boat.name
    for row in survey.loads.rows:
        yield {
            "boat": boat,
            "row": "load",
            "side": row.side,
            "source": row.source,
            "load": row.load,
            "where": row.where,
            "count": row.count,
            "unit": row.unit,
            **_ends("connected_", row.connected),
            **_ends("demand_factor_", row.factor),
            "demand_factor_from": row.factor_from,
            **_demands(row),
        }
    for total in survey.loads.totals:
        yield {
            "boat": boat,
            "row": "total",
            "side": total.side,
            "source": total.source,
            "unit": total.unit,
            **_ends("connected_", total.connected),
            **_demands(total),
            "loads_not_known": total.open,
        }


def _demands(one: Row | Total) -> dict[str, float]:
    return {
        name: number
        for condition, value in one.demand.items()
        for name, number in _ends(f"{condition}, ", value).items()
    }


def _ends(name: str, value: tuple[float, float, float] | None) -> dict[str, float]:
    return {f"{name}{end}": number for end, number in zip(_ENDS, value or (), strict=False)}
