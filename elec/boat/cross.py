"""Checks between the entries of a boat file: ids, references, conditions, things that clash."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from typing import Any

from elec.boat.cross_ac import ac_load_faults, below_real_power, supply_faults
from elec.boat.cross_bounds import senseless
from elec.boat.cross_cable import cable_faults, dc_load_faults
from elec.boat.cross_network import device_faults, loop_faults, traced_faults
from elec.boat.lines import Places
from elec.boat.records import (
    STANDARD_CONDITIONS,
    AcLoad,
    Bank,
    BoatFile,
    Charger,
    Couple,
    DcLoad,
    Entry,
    Generator,
    Inlet,
    Inverter,
    Protection,
    Run,
)
from elec.boat.typical import gear, nearest_kinds
from elec.errors import Fault, InputError
from elec.published import table

__all__ = ["duplicate_ids", "faults"]

#: Longest timetable, a year.
_LONGEST_H = 8784


def duplicate_ids(data: Any, name: str, places: Places) -> list[Fault]:
    """Return a fault for every id used twice, also when the file is faulty otherwise."""
    first: dict[str, str] = {}
    found: list[Fault] = []
    for list_name, entries in data.items() if isinstance(data, dict) else ():
        if not isinstance(entries, list):
            continue
        for index, entry in enumerate(entries):
            entry_id = entry.get("id") if isinstance(entry, dict) else None
            if not isinstance(entry_id, str):
                continue
            here = f"{list_name} number {index + 1}"
            if entry_id in first:
                found.append(
                    Fault(
                        name,
                        places.of(list_name, index, "id"),
                        here,
                        "id",
                        f"the id '{entry_id}' is taken by {first[entry_id]}",
                        "Every entry needs an id of its own.",
                        example=f'id = "{entry_id} 2"',
                    )
                )
            else:
                first[entry_id] = here
    return found


def faults(boat: BoatFile, data: Any, name: str, places: Places) -> list[Fault]:
    """Return every fault between entries of a file whose entries are sound by themselves."""
    found = duplicate_ids(data, name, places)
    for index, field, text, remedy in _timetable(boat):
        line = places.of("period", index, field)
        found.append(Fault(name, line, f"period '{boat.period[index].id}'", field, text, remedy))
    for index, field, text, remedy in loop_faults(boat):
        line = places.of("run", index, field)
        found.append(Fault(name, line, f"run '{boat.run[index].id}'", field, text, remedy))
    for list_name, index, text, remedy, example in traced_faults(boat):
        line = places.of(list_name, index, "id")
        words = f"{list_name} '{getattr(boat, list_name)[index].id}'"
        found.append(Fault(name, line, words, "id", text, remedy, example))
    for list_name, index, entry in _positions(boat):
        for field, text, remedy, *near in _entry_faults(boat, list_name, entry):
            line = places.of(list_name, index, field)
            words = f"{list_name} '{entry.id}'"
            found.append(Fault(name, line, words, field, text, remedy, suggestion="".join(near)))
    return found


def _positions(boat: BoatFile) -> Iterator[tuple[str, int, Entry]]:
    for list_name in type(boat).model_fields:
        if list_name != "boat":
            for index, entry in enumerate(getattr(boat, list_name)):
                yield list_name, index, entry


def _entry_faults(boat: BoatFile, list_name: str, entry: Entry) -> Iterator[tuple[str, ...]]:
    yield from _dangling(boat, entry)
    yield from _conditions(boat, entry)
    yield from _years(boat, entry)
    yield from senseless(entry)
    if isinstance(entry, AcLoad | DcLoad | Run) and entry.kind is not None:
        yield from _kind(list_name, entry)
    if isinstance(entry, AcLoad | DcLoad | Inverter):
        yield from _feeding(boat, entry)
    if isinstance(entry, AcLoad):
        yield from ac_load_faults(boat, entry)
    elif isinstance(entry, Inlet):
        yield from supply_faults(entry)
    elif isinstance(entry, Generator):
        yield from below_real_power(entry)
    elif isinstance(entry, Bank):
        yield from _bank(boat, entry)
    elif isinstance(entry, Charger):
        yield from _charger(boat, entry)
    elif isinstance(entry, Protection):
        yield from device_faults(entry)
    elif isinstance(entry, DcLoad):
        yield from dc_load_faults(boat, entry)
    elif isinstance(entry, Run):
        yield from cable_faults(entry)
        yield from _circuit(entry)
        yield from _run(boat, entry)
    elif isinstance(entry, Couple) and entry.a == entry.b:
        yield from _one_metal(boat, entry)


def _dangling(boat: BoatFile, entry: Entry) -> Iterator[tuple[str, ...]]:
    for field, facts in entry.declarations.items():
        given, lists = getattr(entry, field), facts.names
        if not lists:
            continue
        for wanted in (given,) if isinstance(given, str) else given or ():
            known = [other.id for each in lists for other in getattr(boat, each)]
            if wanted not in known:
                near = difflib.get_close_matches(wanted, known, n=1, cutoff=0.4)
                listed = ", ".join(known) if known else "none in this file"
                yield (
                    field,
                    f"'{wanted}' names no entry",
                    f"It must be the id of an entry under {' or '.join(lists)}: {listed}.",
                    near[0] if near else "",
                )


def _conditions(boat: BoatFile, entry: Entry) -> Iterator[tuple[str, ...]]:
    known = [*STANDARD_CONDITIONS, *boat.boat.conditions]
    used: list[tuple[str, str]] = [("when", word) for word in getattr(entry, "when", None) or ()]
    if getattr(entry, "condition", None):
        used.append(("condition", entry.condition))  # type: ignore[attr-defined]
    for field, word in used:
        if word not in known:
            near = difflib.get_close_matches(word, known, n=1, cutoff=0.4)
            yield (
                field,
                f"'{word}' is not a condition of this boat",
                f"Known: {', '.join(known)}; add others to 'conditions' under [boat].",
                near[0] if near else "",
            )


def _years(boat: BoatFile, entry: Entry) -> Iterator[tuple[str, ...]]:
    surveyed = boat.boat.surveyed
    if surveyed and entry.year.seen and min(entry.year.years) > surveyed.year:
        yield (
            "year",
            f"{entry.year.text} is after the survey of {surveyed.isoformat()}",
            "Give a year up to the survey's.",
        )


def _kind(list_name: str, entry: Entry) -> Iterator[tuple[str, ...]]:
    side = {"ac_load": "ac", "dc_load": "dc"}.get(list_name, "")
    assert entry.kind is not None
    if gear(entry.kind, side) is not None:
        return
    if side and gear(entry.kind) is not None:
        other = "DC" if side == "ac" else "AC"
        text = f"'{entry.kind}' is {other} gear in the catalogue"
    else:
        text = f"'{entry.kind}' is not in the catalogue of typical gear"
    near = nearest_kinds(entry.kind)
    yield (
        "kind",
        text,
        "'elec table typical_gear' lists every kind; leave 'kind' out for other gear.",
        near[0] if near and near[0] != entry.kind else "",
    )


def _feeding(boat: BoatFile, entry: AcLoad | DcLoad | Inverter) -> Iterator[tuple[str, ...]]:
    """Say which loads could be fed by several sources and name none: they would count nowhere."""
    if isinstance(entry, AcLoad):
        sources = [source.id for source in boat.inlet]
        if entry.inlet is None and len(sources) > 1:
            yield (
                "inlet",
                "missing, and there are several inlets",
                f"Name what feeds it: {', '.join(sources)}, a generator or an inverter.",
            )
    elif isinstance(entry, Inverter):
        feeds = any(load.inlet == entry.id for load in boat.ac_load) or any(
            load.inverter == entry.id and load.bank is None for load in boat.dc_load
        )
        if feeds and entry.bank is None and len(boat.bank) > 1:
            banks = ", ".join(bank.id for bank in boat.bank)
            yield "bank", "missing, and there are several banks", f"Name its bank: {banks}."
    elif entry.bank is None and entry.inverter is None and len(boat.bank) > 1:
        banks = ", ".join(bank.id for bank in boat.bank)
        yield "bank", "missing, and there are several banks", f"Name its bank: {banks}."


def _one_metal(boat: BoatFile, entry: Couple) -> Iterator[tuple[str, ...]]:
    if any(metal.id == entry.a for metal in boat.metal):
        yield "b", f"'{entry.b}' is the same piece as 'a'", "Name the other metal."


def _circuit(entry: Run) -> Iterator[tuple[str, ...]]:
    rows = table("voltage_drop_limits").rows()
    known = sorted({row["circuit"] for row in rows if row["basis"] in ("us", "iso")})
    if entry.circuit is not None:
        words = entry.circuit.strip().lower()
        if words.rstrip("s") not in {name.rstrip("s") for name in known}:
            near = difflib.get_close_matches(words, known, n=1, cutoff=0.4)
            yield (
                "circuit",
                f"'{entry.circuit}' is no kind of circuit known here",
                f"Known: {', '.join(known)}; leave it out if it is not known.",
                near[0] if near else "",
            )


def _timetable(boat: BoatFile) -> Iterator[tuple[int, str, str, str]]:
    """Say where the timetable overlaps or leaves hours out; its periods stand in order of time."""
    reached = 0.0
    for index, period in enumerate(boat.period):
        for field, value in (("start", period.start), ("end", period.end)):
            if not value.settled:
                yield index, field, f"{value.text} is no single hour", "Give hours, as '18 h'."
                return
        start, end = period.start.span[0], period.end.span[0]
        if end <= start:
            yield index, "end", f"{period.end.text} is not after its start", "End it later."
            return
        if start < reached - 1e-9:
            text = f"{period.start.text} lies within the period before it"
            yield index, "start", text, f"It may start at {reached:g} h, when that one ends."
        elif start > reached + 1e-9:
            text = f"{period.start.text} leaves the hours from {reached:g} h out"
            yield index, "start", text, "Give every hour from 0 h, the periods in order of time."
        if period.generator.seen and period.generator.span[2] > end - start + 1e-9:
            text = f"{period.generator.text} is longer than the period"
            yield index, "generator", text, f"It lasts {end - start:g} h."
        reached = end
    if reached > _LONGEST_H:
        text = f"the timetable runs to {reached:g} h"
        yield len(boat.period) - 1, "end", text, f"At most {_LONGEST_H} h."


def _bank(boat: BoatFile, entry: Bank) -> Iterator[tuple[str, ...]]:
    surveyed = boat.boat.surveyed
    for number, string in enumerate(entry.string, start=1):
        if surveyed and string.year.seen and min(string.year.years) > surveyed.year:
            text = f"string {number}: {string.year.text} is after the survey of {surveyed}"
            yield "string", text, "Give a year up to the survey's."
    readable = all(v.seen and v.span[0] > 0 for v in (entry.reserve, entry.capacity))
    if readable and (words := _exponent(entry)):
        yield ("reserve", words, "Read both again: minutes at 25 A, and the Ah with its hour rate.")
    parallel = entry.in_parallel
    if entry.string and parallel != "?" and parallel not in (1, len(entry.string)):
        yield (
            "in_parallel",
            f"{parallel} strings in parallel, but {len(entry.string)} are described",
            "Describe every string under [[bank.string]], or leave one of the two out.",
        )


def _exponent(bank: Bank) -> str:
    """Say what is wrong if reserve and rated capacity cannot be of one battery."""
    from elec.calc.batteries import storage

    try:
        storage.exponent_from_reserve(
            bank.reserve.span[1] * 60,
            reserve_current_A=table("standards_duties").exact("value", duty_id="reserve_current"),
            capacity_Ah=bank.capacity.span[1],
            rate_h=bank.rate.span[1] if bank.rate.seen else 20.0,
        )
    except InputError as error:
        text = f"{bank.reserve.text} does not go with a capacity of {bank.capacity.text}"
        return f"{text}: {str(error).splitlines()[0]}"
    return ""


def _charger(boat: BoatFile, entry: Charger) -> Iterator[tuple[str, ...]]:
    bank = boat.find(entry.bank)
    volts = getattr(bank, "voltage", None)
    if (
        entry.voltage.seen
        and volts is not None
        and volts.seen
        and not (0.8 * volts.low <= entry.voltage.high and entry.voltage.low <= 1.3 * volts.high)
    ):
        yield (
            "voltage",
            f"{entry.voltage.text} on the {volts.text} bank '{entry.bank}'",
            "A charger works at its bank's voltage.",
        )


def _run(boat: BoatFile, entry: Run) -> Iterator[tuple[str, ...]]:
    if entry.current.seen and entry.serves:
        yield (
            "serves",
            "given beside 'current'",
            "Give the current, or the loads that the run serves, not both.",
        )
    if entry.id in entry.serves:
        yield ("serves", "the run names itself", "Name the loads that it feeds.", "")
    known = [other.id for _, other in boat.entries() if other.id != entry.id]
    for field, end in (("from", entry.start), ("to", entry.end)):
        if end is not None and end not in known:
            near = difflib.get_close_matches(end, known, n=1, cutoff=0.4)
            yield (
                field,
                f"'{end}' names no entry",
                "Give the id of what it joins: a bank, a charger, a load, an inlet, or a busbar or "
                "panel listed under [[bus]].",
                near[0] if near else "",
            )
    if entry.start is not None and entry.start == entry.end:
        yield ("to", f"'{entry.end}' is where the run starts", "Give its other end.", "")
