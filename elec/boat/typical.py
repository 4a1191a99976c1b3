"""What a thing not seen typically is, from the published catalogue of gear and its companions.

A value noted aboard always wins. Every range taken here carries where it is from.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from elec import noted, units
from elec.boat.possible import possible, typical, value_of
from elec.boat.records import (
    AcLoad,
    Alternator,
    Bank,
    BatteryString,
    Boat,
    DcLoad,
    Entry,
    Solar,
)
from elec.noted import Noted
from elec.published import remembered, table

__all__ = [
    "Gear",
    "charge_return",
    "charging_voltage",
    "cold_cranking",
    "dc_current",
    "duty_of",
    "gear",
    "hour_rate",
    "hours_of",
    "kinds",
    "length_within",
    "nearest_kinds",
    "power",
    "remaining",
    "run_length",
    "spanned",
    "strings_counted",
    "sun_hours",
    "unit_capacity",
]

CATALOGUE = "typical_gear"


@dataclass(frozen=True)
class Gear:
    """One kind of the catalogue, with the size given in its name if there was one."""

    kind: str
    row: dict[str, str]
    cooling_W: float | None = None

    @property
    def source(self) -> str:
        """Where the figures of this kind are from."""
        return f"table {CATALOGUE}, '{self.kind}' ({self.row['status']})"

    def number(self, column: str) -> float | None:
        """Return a cell as a number, or None if it is blank."""
        return float(self.row[column]) if self.row.get(column) else None


def kinds() -> tuple[str, ...]:
    """Return every kind of the catalogue."""
    return table(CATALOGUE).text("kind")


def nearest_kinds(kind: str) -> list[str]:
    """Return the kinds most like ``kind``."""
    name = _split(kind)[0]
    close = difflib.get_close_matches(name, kinds(), n=3, cutoff=0.5)
    return close or [known for known in kinds() if set(name.split()) & set(known.split())][:3]


def _split(kind: str) -> tuple[str, float | None]:
    text = re.sub(r"\s+", " ", kind.strip().lower())
    if found := re.search(r"\s([\d.,]+)\s*(btu(?:/h)?)$", text):
        cooling = units.read(f"{found[1]} BTU/h", "cooling")
        return text[: found.start()].strip(), cooling
    return text, None


@remembered
def gear(kind: str | None, side: str = "") -> Gear | None:
    """Return the catalogue's entry for a kind as noted, or None if it holds none.

    ``side`` ("ac" or "dc") picks the entry for that supply where the catalogue holds both.
    """
    if not kind:
        return None
    name, cooling = _split(kind)
    for candidate in (f"{name} {side}", name) if side else (name,):
        row = next((row for row in table(CATALOGUE).rows() if row["kind"] == candidate), None)
        if row is not None and (not side or row["side"] in (side, "both")):
            return Gear(candidate, row, cooling)
    return None


def power(load: AcLoad | DcLoad) -> Noted | None:
    """Return the electrical input of one piece of a load, noted or typical, or None."""
    if load.power.seen:
        return load.power
    known = gear(load.kind, "ac" if isinstance(load, AcLoad) else "dc")
    if known is None:
        return None
    low, high = known.number("power_low_W"), known.number("power_high_W")
    cooling = load.cooling if isinstance(load, AcLoad) and load.cooling.seen else None
    if cooling is None and known.cooling_W is not None:
        cooling = noted.exact(known.cooling_W, "cooling")
    per_low = known.number("power_low_W_per_1000_BTU_h")
    per_high = known.number("power_high_W_per_1000_BTU_h")
    if cooling is not None and per_low is not None and per_high is not None:
        least, _, most = cooling.span
        thousand = units.to_base(1000.0, "BTU/h", "cooling")
        low, high = per_low * least / thousand, per_high * most / thousand
    if low is None or high is None:
        return None
    return typical(low, high, "power", known.source)


def scaled(value: Noted, factor_low: float, factor_high: float, quantity: str) -> Noted:
    """Return ``value`` times a factor between two bounds, in another quantity, same origin."""
    low, best, high = value.span
    return Noted(
        quantity,
        low * factor_low,
        best * (factor_low + factor_high) / 2,
        high * factor_high,
        value.origin,
        value.text,
        value.source,
    )


def dc_current(load: DcLoad, voltage_V: float) -> Noted:
    """Return the current of one piece of a DC load while it runs: noted, typical or anything.

    A windlass works at more than the power on its plate over its voltage, by a range of practice.
    """
    if load.current.seen:
        return load.current
    watts = power(load)
    if watts is None:
        low, high, source = possible("current of a load of unknown kind")
        return typical(low, high, "current", source)
    if load.power.seen and "windlass" in (load.kind or "").lower():
        low, high, source = possible("windlass current over rated power and voltage")
        least, _, most = watts.span
        source = f"{watts.text} on its plate, {source}"
        return typical(least * low / voltage_V, most * high / voltage_V, "current", source)
    return scaled(watts, 1 / voltage_V, 1 / voltage_V, "current")


def duty_of(load: AcLoad | DcLoad) -> Noted:
    """Return the share of its switched-on time that a load really runs."""
    if load.duty.seen:
        return load.duty
    known = gear(load.kind, "ac" if isinstance(load, AcLoad) else "dc")
    low, high = (
        (known.number("duty_low_pct"), known.number("duty_high_pct")) if known else (None,) * 2
    )
    if known is None or low is None or high is None:
        if load.current.seen or load.power.seen:
            return noted.exact(1.0, "fraction")
        low_, high_, source = possible("measured duty of a load")
        return typical(low_, high_, "fraction", source)
    return typical(low / 100, high / 100, "fraction", known.source)


def hours_of(load: AcLoad | DcLoad) -> Noted:
    """Return the hours a day that a load is switched on."""
    if load.hours.seen:
        return load.hours
    known = gear(load.kind, "ac" if isinstance(load, AcLoad) else "dc")
    low, high = (
        (known.number("hours_low_h"), known.number("hours_high_h")) if known else (None,) * 2
    )
    if known is None or low is None or high is None:
        return typical(0.0, 24.0, "duration", "any share of the day considered")
    return typical(low, high, "duration", known.source)


def run_length(run: Entry, boat: Boat) -> Noted:
    """Return the one-way length of a run, noted, or what fits in the boat."""
    length: Noted = run.length  # type: ignore[attr-defined]
    return length if length.seen else length_within(boat)


def length_within(boat: Boat) -> Noted:
    """Return the one-way length of any cable that fits in the boat."""
    low_share, high_share, source = possible("run length over boat length")
    if boat.length.seen:
        low, _, high = boat.length.span
        return typical(low_share * low, high_share * high, "length", source)
    low, high, _ = possible("boat length")
    return typical(low_share * low, high_share * high, "length", source)


def spanned(
    rows: Iterable[Mapping[str, str]],
    lowest: str,
    highest: str,
    quantity: str,
    source: str,
    *,
    times: float = 1.0,
) -> Noted:
    """Return what runs from the least of one column of some rows to the most of another."""
    chosen = list(rows)
    low, high = min(float(r[lowest]) for r in chosen), max(float(r[highest]) for r in chosen)
    return typical(low * times, high * times, quantity, source)


def _box_sizes(bank: Bank) -> list[dict[str, str]]:
    """Return what is held of the box size of a bank's batteries."""
    if not bank.group:
        return []
    name = bank.group.upper().removeprefix("BCI").removeprefix("GROUP").strip().split(" ")[0]
    rows = table("battery_groups").rows()
    return [r for r in rows if r["group"].upper().split(" ")[0] == name]


def unit_capacity(bank: Bank) -> Noted | None:
    """Return the rated capacity of one battery, noted, or what its box size may hold."""
    if bank.capacity.seen:
        return bank.capacity
    ends = "Ah20_low_Ah", "Ah20_high_Ah", "charge"
    if rows := _box_sizes(bank):
        return spanned(rows, *ends, f"table battery_groups, group {rows[0]['group']}")
    if bank.chemistry.is_surely("lfp"):
        return None
    rows = [r for r in table("battery_groups").rows() if r["nominal_V"] == "12"]
    return spanned(rows, *ends, "table battery_groups, every 12 V box size")


def hour_rate(bank: Bank) -> Noted:
    """Return the hour rate of its capacity: noted, that of a box size, or any usual one."""
    if not bank.rate.seen and not bank.capacity.seen:
        return typical(20.0, 20.0, "duration", "table battery_groups, by the 20-hour rate")
    return value_of(bank, "rate")


def cold_cranking(bank: Bank) -> Noted | None:
    """Return the cold cranking current of one battery, noted or by its box size."""
    if bank.cranking.seen:
        return bank.cranking
    rows = [r for r in _box_sizes(bank) if r["CCA_low_A"] and r["CCA_high_A"]]
    if not rows:
        return None
    source = f"table battery_groups, group {rows[0]['group']}"
    return spanned(rows, "CCA_low_A", "CCA_high_A", "cranking", source)


def charge_return(bank: Bank) -> Noted:
    """Return the charge to be put back over the charge taken."""
    if bank.charge_return.seen:
        return bank.charge_return
    held = table("charge_return_by_chemistry")
    rows = [r for r in held.rows() if bank.chemistry.may_be(r["chemistry"])]
    ends = "ah_in_over_out_low", "ah_in_over_out_high", "percentage"
    return spanned(rows, *ends, f"table {held.name}")


def charging_voltage(alternator: Alternator, bank: Bank) -> Noted | None:
    """Return the voltage on the bank's side of a converter, noted or as published."""
    if alternator.charging_voltage.seen:
        return alternator.charging_voltage
    held = table("charge_voltages_12V_block")
    rows = [
        r
        for r in held.rows()
        if r["stage"] == "absorption" and bank.chemistry.may_be(r["battery_type"])
    ]
    if bank.voltage.best is None or not rows:
        return None
    ends = "voltage_low_V", "voltage_high_V", "voltage"
    return spanned(rows, *ends, f"table {held.name}", times=bank.voltage.best / 12.0)


def sun_hours(panels: Solar) -> Noted:
    """Return the full-sun hours of a day: noted, or from none to the clearest published sky."""
    if panels.sun.seen:
        return panels.sun
    sky = table("solar_clear_sky_horizontal_pvlib")
    columns = [name for name in sky.columns if name.endswith("kWh_per_m2")]
    most = max(float(sky.numbers(name).max()) for name in columns)
    source = f"table {sky.name}, from no sun to the clearest day"
    return typical(0.0, most, "duration", source)


def remaining(bank: Bank, string: BatteryString | None, boat: Boat) -> tuple[Noted, str]:
    """Return the share of rated capacity left, tested, or by age; and the ages considered."""
    tested = string.remaining if string is not None and string.remaining.seen else bank.remaining
    if tested.seen:
        return tested, ""
    years = string.year if string is not None and string.year.seen else bank.year
    ages: tuple[int, ...] = ()
    if years.seen and boat.surveyed:
        ages = tuple(max(0, boat.surveyed.year - year) for year in years.years)
    family = "lfp" if bank.chemistry.is_surely("lfp") else "lead-acid"
    rows = [r for r in table("remaining_capacity_by_age").rows() if r["chemistry"] == family]
    if ages:
        rows = [
            r
            for r in rows
            if any(int(r["age_from_years"]) <= age <= int(r["age_to_years"]) for age in ages)
        ] or rows
    words = " or ".join(str(age) for age in sorted(set(ages))) if ages else "unknown"
    source = f"table remaining_capacity_by_age, age {words}" + (" years" if ages else "")
    return spanned(rows, "remaining_low", "remaining_high", "fraction", source), words


def strings_counted(bank: Bank) -> int | None:
    """Return how many strings of a bank are in parallel, by count or description, if known."""
    if isinstance(bank.in_parallel, int):
        return max(bank.in_parallel, len(bank.string))
    return len(bank.string) or None
