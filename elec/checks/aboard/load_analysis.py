"""Load analysis: every load under every condition, with its demand factor, AC and DC."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from elec.boat.ac_loads import SERVICES, Service, draw, loads_of, runs, service_of
from elec.boat.records import STANDARD_CONDITIONS, AcLoad, Bank, BoatFile, DcLoad, Entry, Generator
from elec.boat.typical import duty_of, gear
from elec.boat.typical import power as power_of
from elec.json_form import form, span
from elec.noted import Noted

__all__ = ["Analysis", "Row", "Total", "load_analysis"]


@dataclass(frozen=True)
class Row:
    """One load: what is connected [VA or W], its demand factor, and the demand by condition.

    A condition is None where it is not known whether the load runs, 0 where it does not.
    """

    side: str
    source: str
    load: str
    where: str | None
    count: int
    connected: tuple[float, float, float] | None
    unit: str
    factor: tuple[float, float, float]
    factor_from: str
    demand: dict[str, tuple[float, float, float] | None]

    JSON = form(
        "side source load where count connected unit demand_factor demand_factor_from demand",
        connected=lambda row: span(row.connected),
        demand_factor=lambda row: span(row.factor),
        demand_factor_from="factor_from",
        demand=lambda row: {name: span(value) for name, value in row.demand.items()},
    )


@dataclass(frozen=True)
class Total:
    """Sums over the loads of a source, and how many loads are not in them.

    ``open`` counts loads of unknown power or condition, ``open_connected`` those of unknown power,
    ``open_demand`` those of which a condition is not known to ask anything.
    """

    side: str
    source: str
    unit: str
    connected: tuple[float, float, float]
    demand: dict[str, tuple[float, float, float]]
    open: int
    open_connected: int
    open_demand: dict[str, int]

    JSON = form(
        "side source unit connected demand open open_connected open_demand",
        connected=lambda total: span(total.connected),
        demand=lambda total: {name: span(value) for name, value in total.demand.items()},
    )


@dataclass(frozen=True)
class Analysis:
    """The whole table."""

    conditions: tuple[str, ...]
    rows: tuple[Row, ...]
    totals: tuple[Total, ...]

    JSON = form("conditions loads totals", loads="rows")


def load_analysis(boat: BoatFile, basis: str) -> Analysis:
    """Return every AC and DC load with connected power, demand factor and demand by condition."""
    conditions = tuple(dict.fromkeys([*STANDARD_CONDITIONS, *boat.boat.conditions]))
    rows = [*_ac_rows(boat, basis, conditions), *_dc_rows(boat, conditions)]
    return Analysis(conditions, tuple(rows), tuple(_totals(rows, conditions)))


def _times(a: Sequence[float], b: Sequence[float]) -> tuple[float, float, float]:
    return a[0] * b[0], a[1] * b[1], a[2] * b[2]


def _ac_rows(boat: BoatFile, basis: str, conditions: Sequence[str]) -> list[Row]:
    sources: list[Entry] = [*boat.inlet, *boat.generator, *boat.inverter]
    rows, seen = [], set()
    for source in sources:
        for load in loads_of(boat, source.id):
            seen.add(load.id)
            rows.append(_ac_row(load, source.id, _service(source, basis), conditions))
    loose = [load for load in boat.ac_load if load.id not in seen]
    rows += [_ac_row(load, "", _service(None, basis), conditions) for load in loose]
    return rows


def _service(source: Entry | None, basis: str) -> Service:
    if (service := service_of(source)) is not None:
        return service
    if isinstance(source, Generator) or basis == "us":
        return SERVICES["120/240 V" if basis == "us" else "230 V"]
    return SERVICES["230 V"]


def _ac_row(load: AcLoad, source: str, service: Service, conditions: Sequence[str]) -> Row:
    one = draw(load, service)
    connected = None
    if one is not None:
        volts = one.rated_V * (3**0.5 if load.legs.is_surely("all") else 1.0) * load.count
        connected = _times(one.current.span, (volts,) * 3)
    factor, where_from = _ac_factor(load)
    demand = {c: _demand(connected, factor, runs(load, c)) for c in conditions}
    return Row(
        "AC", source, load.id, load.where, load.count, connected, "VA", factor, where_from, demand
    )


def _ac_factor(load: AcLoad) -> tuple[tuple[float, float, float], str]:
    if load.duty.seen:
        return load.duty.span, "noted"
    known = gear(load.kind, "ac")
    low, high = (
        (known.number("duty_low_pct"), known.number("duty_high_pct")) if known else (None, None)
    )
    if low is None or high is None:
        return (1.0, 1.0, 1.0), "none held: in full"
    return (low / 100, (low + high) / 200, high / 100), "typical"


def _demand(
    connected: tuple[float, float, float] | None,
    factor: tuple[float, float, float],
    state: bool | None,
) -> tuple[float, float, float] | None:
    if state is False:
        return 0.0, 0.0, 0.0
    return None if state is None or connected is None else _times(connected, factor)


def _dc_rows(boat: BoatFile, conditions: Sequence[str]) -> list[Row]:
    rows = []
    for load in boat.dc_load:
        bank = boat.find(load.bank) if load.bank else None
        volts = bank.voltage if isinstance(bank, Bank) else None
        connected = None
        watts = power_of(load) if not load.current.seen else None
        if load.current.seen and volts is not None and volts.seen:
            connected = _times(_times(load.current.span, volts.span), (load.count,) * 3)
        elif watts is not None:
            connected = _times(watts.span, (load.count,) * 3)
        daily = _daily(load, volts)
        duty: Noted = duty_of(load)
        factor, where_from = duty.span, str(duty.origin)
        if load.hours.seen:
            # the mean of the day, as for a load noted by the day, so that both add up
            factor = _times(factor, [hours / 24 for hours in load.hours.span])
            where_from = "hours noted"
        demand: dict[str, tuple[float, float, float] | None] = {}
        for condition in conditions:
            state = condition in load.when if load.when is not None else None
            demand[condition] = daily if daily and state else _demand(connected, factor, state)
        rows.append(
            Row(
                "DC",
                load.bank or load.inverter or "",
                load.id,
                load.where,
                load.count,
                connected,
                "W",
                factor,
                "mean of the day" if daily else where_from,
                demand,
            )
        )
    return rows


def _daily(load: DcLoad, volts: Noted | None) -> tuple[float, float, float] | None:
    """Return the mean power over a day of a load noted by the day."""
    if load.energy_per_day.seen:
        return _times(load.energy_per_day.span, (load.count / 24,) * 3)
    if load.charge_per_day.seen and volts is not None and volts.seen:
        return _times(_times(load.charge_per_day.span, volts.span), (load.count / 24,) * 3)
    return None


def _totals(rows: Sequence[Row], conditions: Sequence[str]) -> list[Total]:
    groups: dict[tuple[str, str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.side, row.source, row.unit), []).append(row)
    return [
        Total(
            side,
            source,
            unit,
            _sum([row.connected for row in group]),
            {c: _sum([row.demand[c] for row in group]) for c in conditions},
            sum(row.connected is None or None in row.demand.values() for row in group),
            sum(row.connected is None for row in group),
            {c: sum(row.demand[c] is None for row in group) for c in conditions},
        )
        for (side, source, unit), group in groups.items()
    ]


def _sum(values: Sequence[tuple[float, float, float] | None]) -> tuple[float, float, float]:
    known = [value for value in values if value is not None]
    return tuple(sum(value[i] for value in known) for i in range(3))  # type: ignore[return-value]
