"""Puts each thing of a quote into the boat, in place of what it replaces."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from elec import noted, units
from elec.boat.fields import YearNoted
from elec.boat.records import (
    AcLoad,
    Alternator,
    Bank,
    BoatFile,
    Charger,
    Entry,
    Inverter,
    Protection,
    Run,
    Solar,
)
from elec.noted import Noted
from elec.quote.place import LISTS, item_of_line, list_of, new_id, targets
from elec.quote.records import Line, QuoteFile
from elec.quote.words import meaning

__all__ = ["Fitted", "Placed", "fit", "pieces", "total_length"]


@dataclass(frozen=True)
class Placed:
    """One line that was put into the boat: what it became there, or why it was not put in."""

    line: str
    subject: str
    words: str

    def as_dict(self) -> dict[str, str]:
        """Return the JSON form."""
        return {"line": self.line, "subject": self.subject, "as": self.words}


@dataclass(frozen=True)
class Fitted:
    """The boat with the quote carried out."""

    boat: BoatFile
    placed: tuple[Placed, ...]
    left: tuple[Placed, ...]


def fit(file: QuoteFile, boat: BoatFile) -> Fitted:
    """Return the boat as it would be with every line of the quote carried out."""
    placed: list[Placed] = []
    left: list[Placed] = []
    for line in file.line:
        item = item_of_line(line)
        for name in line.replaces:
            found = list_of(boat, name)
            if found not in LISTS.get(item, ()):
                words = f"a line for '{item}' cannot take the place of '{name}', listed as {found}"
                left.append(Placed(line.id, name, words))
                continue
            first = next((p.line for p in placed if p.subject == name), None)
            if first is not None:
                if not _again(line, file.find(first)):
                    words = f"line '{first}' takes the place of '{name}' already"
                    left.append(Placed(line.id, name, words))
                continue
            if found == "run" and item != "cable":
                boat = _put(boat, found, name, _CHANGES[item](line, boat.find(name), boat))
            else:
                boat = _renewed(line, item, boat, found, name)
            placed.append(Placed(line.id, name, f"in place of '{name}'"))
            if item == "charger":
                boat = _without_stand_in(boat, name)
    # cables, fuses and the like come last: they may belong to things that the quote adds
    for line in sorted(file.line, key=lambda ln: item_of_line(ln) in _LAST):
        if not line.replaces:
            boat = _added(line, item_of_line(line), file, boat, placed, left)
    return Fitted(boat, tuple(placed), tuple(left))


def _again(line: Line, first: Line | None) -> bool:
    """Whether a line is the same thing once more, as one line for each conductor of a cable."""
    return (
        first is not None
        and (line.size.show(), line.insulation, line.legend)
        == (
            first.size.show(),
            first.insulation,
            first.legend,
        )
        and item_of_line(line) == "cable"
    )


def _put(boat: BoatFile, list_name: str, name: str, changes: dict[str, Any]) -> BoatFile:
    entries = tuple(
        entry.model_copy(update=changes) if entry.id == name else entry
        for entry in getattr(boat, list_name)
    )
    return boat.model_copy(update={list_name: entries})


def _renewed(line: Line, item: str, boat: BoatFile, list_name: str, name: str) -> BoatFile:
    """Return the boat with a new thing in an old one's place; what was read off the old is gone."""
    old = boat.find(name)
    assert old is not None
    kept = {
        field: getattr(old, field)
        for field in ("id", "where", "kind", *_STAYS[list_name])
        if getattr(old, field) is not None
    }
    fresh = type(old).model_construct(**kept)
    fresh = fresh.model_copy(update=_CHANGES[item](line, old, boat))
    entries = tuple(fresh if e.id == name else e for e in getattr(boat, list_name))
    return boat.model_copy(update={list_name: entries})


def _without_stand_in(boat: BoatFile, name: str) -> BoatFile:
    """Take out the AC load that stood for a charger's input, so that the new one's counts."""
    charger = boat.find(name)
    inlet = getattr(charger, "inlet", None)
    if inlet is None or sum(c.inlet == inlet for c in boat.charger) != 1:
        return boat

    def stands(load: AcLoad) -> bool:
        return load.inlet == inlet and "charger" in f"{load.kind} {load.id}".lower()

    kept = tuple(load for load in boat.ac_load if not stands(load))
    return boat.model_copy(update={"ac_load": kept})


# -- what each thing brings with it ---------------------------------------------------------------

Change = Callable[[Line, Any, BoatFile], dict[str, Any]]


def _stated(new: Noted, old: Noted) -> Noted:
    return new if new.seen else old


def _cable(line: Line, old: Run, _boat: BoatFile) -> dict[str, Any]:
    return {
        "size": line.size,
        "insulation": line.insulation,
        "legend": line.legend,
        "length": _stated(line.length, old.length),
    }


def _fuse(line: Line, old: Any, _boat: BoatFile) -> dict[str, Any]:
    return {
        "rating": line.rating,
        "device": line.device if line.device != "?" else old.device,
        "interrupting": line.interrupting,
        "marked_voltage": line.voltage,
        "distance": _stated(line.distance, old.distance),
    }


def pieces(line: Line) -> int | None:
    """Return how many pieces a line charges, if it counts pieces or pairs."""
    kind = meaning("unit", line.unit) if line.unit else "each"
    if line.quantity is None or line.quantity != int(line.quantity) or kind not in ("each", "pair"):
        return None
    return int(line.quantity) * (2 if kind == "pair" else 1)


def _battery(line: Line, old: Bank, boat: BoatFile) -> dict[str, Any]:
    series = line.in_series if line.in_series != "?" else old.in_series
    if line.voltage.seen and old.voltage.seen and line.in_series == "?":
        ratio = old.voltage.span[1] / line.voltage.span[1]
        series = round(ratio) if ratio >= 1 and abs(ratio - round(ratio)) < 0.15 else series
    voltage = old.voltage
    if line.voltage.seen and isinstance(series, int):
        low, best, high = (v * series for v in line.voltage.span)
        voltage = Noted("voltage", low, best, high, line.voltage.origin, line.voltage.text)
    parallel: int | str = line.in_parallel
    count = pieces(line)
    if parallel == "?" and count is not None and isinstance(series, int) and count % series == 0:
        parallel = count // series
    same = line.chemistry == old.chemistry
    surveyed = boat.boat.surveyed
    year = surveyed.year if surveyed else None
    return {
        "voltage": voltage,
        "chemistry": line.chemistry,
        "capacity": line.capacity,
        "rate": line.hour_rate,
        "in_series": series,
        "in_parallel": parallel,
        **({k: getattr(old, k) for k in ("usable", "charge_return")} if same else {}),
        "mass": line.mass,
        "charge_limit": line.charge_limit,
        "discharge_limit": line.discharge_limit,
        "short_circuit": line.short_circuit,
        "management": line.management,
        "cold_cutoff": line.cold_cutoff,
        "alarm": line.alarm,
        "year": YearNoted((year,), str(year)) if year else YearNoted((), "?"),
    }


def _charger(line: Line, old: Charger, _boat: BoatFile) -> dict[str, Any]:
    return {
        "current": line.rating,
        "voltage": _stated(line.voltage, old.voltage),
        "profile": line.profile,
        "input": line.input,
    }


def _inverter(line: Line, old: Inverter, _boat: BoatFile) -> dict[str, Any]:
    return {
        "power": line.power,
        "efficiency": line.efficiency,
        "lowest_voltage": line.lowest_voltage,
        "service": line.service if line.service != "?" else old.service,
    }


def _alternator(line: Line, old: Any, _boat: BoatFile) -> dict[str, Any]:
    return {"current": line.rating, "voltage": _stated(line.voltage, old.voltage)}


def _solar(line: Line, _old: Solar, _boat: BoatFile) -> dict[str, Any]:
    return {"power": line.power}


def _inlet(line: Line, old: Any, _boat: BoatFile) -> dict[str, Any]:
    service = line.service if line.service != "?" else old.service
    return {"rating": line.rating, "service": service, "heat_marks": "no"}


def _cord(line: Line, old: Any, _boat: BoatFile) -> dict[str, Any]:
    length = _stated(line.length, old.length)
    return {"rating": line.rating, "size": line.size, "length": length, "legend": line.legend}


def _transformer(line: Line, _old: Any, _boat: BoatFile) -> dict[str, Any]:
    return {"rating": line.apparent_power}


def _generator(line: Line, old: Any, _boat: BoatFile) -> dict[str, Any]:
    service = line.service if line.service != "?" else old.service
    return {"power": line.power, "apparent_power": line.apparent_power, "service": service}


def _load(line: Line, old: Any, _boat: BoatFile) -> dict[str, Any]:
    if isinstance(old, Run):
        return {"current": line.rating} if line.rating.seen else {}
    return {"current": line.rating, "power": line.power}


_CHANGES: dict[str, Change] = {
    "cable": _cable,
    "fuse": _fuse,
    "battery": _battery,
    "charger": _charger,
    "inverter": _inverter,
    "alternator": _alternator,
    "solar": _solar,
    "inlet": _inlet,
    "cord": _cord,
    "transformer": _transformer,
    "generator": _generator,
    "windlass": _load,
    "thruster": _load,
}

_LAST = ("cable", "fuse")
#: What belongs to the place and its wiring, and so stays when the thing there is renewed.
_STAYS: dict[str, tuple[str, ...]] = {
    "bank": (
        "voltage",
        "temperature",
        "autonomy",
        "condition",
        "starts",
        "cranking_needed",
        "displacement",
        "start_reserve",
        "drain",
        "unattended",
        "rings_on_post",
        "secured",
        "covers",
        "vented",
        "opening",
    ),
    "run": (
        "start",
        "end",
        "voltage",
        "current",
        "serves",
        "length",
        "engine_space",
        "bundled",
        "sheathed",
        "circuit",
        "drop",
        "ambient",
        "on_time",
        "duty",
        "when",
        "protection",
    ),
    "protection": (
        "device",
        "distance",
        "at_battery",
        "sheathed",
        "not_at_source",
        "not_near_source",
    ),
    "charger": ("bank", "inlet", "voltage", "recharge"),
    "inverter": ("bank", "service"),
    "alternator": ("bank", "voltage", "converter", "charging_voltage", "efficiency", "regulator"),
    "solar": ("bank", "sun", "factor"),
    "inlet": (
        "service",
        "supply",
        "breaker",
        "breaker_distance",
        "ground_fault_protection",
        "polarity_indicator",
        "isolator",
        "isolator_rating",
        "isolator_block",
        "isolator_tested",
        "leakage",
        "pedestal",
        "area",
        "double_pole",
        "neutral_earth_bond",
    ),
    "cord": ("inlet", "length"),
    "transformer": ("inlet", "isolating", "distance"),
    "generator": ("service", "frequency", "hours", "feeds", "intake", "altitude"),
    "dc_load": ("bank", "inverter", "count", "duty", "hours", "efficiency", "when"),
}
_MODELS: dict[str, type[Entry]] = {
    "charger": Charger,
    "inverter": Inverter,
    "solar": Solar,
    "alternator": Alternator,
}

#: What a thing changes at the entry that it belongs to: its list, and the keys.
_EFFECTS: dict[str, tuple[str, Callable[[Line], dict[str, Any]]]] = {
    "hold-down": ("bank", lambda _line: {"secured": "yes"}),
    "terminal cover": ("bank", lambda _line: {"covers": "yes"}),
    "ventilation": ("bank", lambda line: {"vented": "yes", "opening": line.opening}),
    "busbar": ("bank", lambda line: {"rings_on_post": line.rings}),
    "management system": (
        "bank",
        lambda line: {
            "management": "yes",
            **{k: getattr(line, k) for k in ("cold_cutoff", "alarm") if getattr(line, k) != "?"},
        },
    ),
    "regulator": ("alternator", lambda _line: {"regulator": "yes"}),
    "dc-dc charger": ("alternator", lambda line: {"converter": line.rating}),
    "residual-current device": ("inlet", lambda _line: {"ground_fault_protection": "yes"}),
    "isolator": (
        "inlet",
        lambda line: {"isolator": "yes", "isolator_rating": line.rating},
    ),
}


def _added(
    line: Line,
    item: str,
    file: QuoteFile,
    boat: BoatFile,
    placed: list[Placed],
    left: list[Placed],
) -> BoatFile:
    """Return the boat with a line that takes no other thing's place."""
    near = targets(line, file, boat)
    if item in _EFFECTS:
        list_name, changes = _EFFECTS[item]
        hit = [name for name in near if list_of(boat, name) == list_name]
        for name in hit:
            boat = _put(boat, list_name, name, changes(line))
            placed.append(Placed(line.id, name, f"with '{name}'"))
        if not hit:
            left.append(Placed(line.id, "", f"the quote does not say for which {list_name} it is"))
        return boat
    if item not in LISTS:
        return boat
    if item == "fuse":
        run_ids = [r.id for r in boat.run if r.id in near or set(near) & {*r.serves, r.end}]
        held = [r.protection for r in boat.run if r.id in run_ids]
        for name in dict.fromkeys(name for name in held if name):
            boat = _renewed(line, item, boat, "protection", name)
            placed.append(Placed(line.id, name, f"in place of '{name}'"))
        on_bank = any(list_of(boat, name) == "bank" for name in near)
        if (held and all(held)) or (near and not run_ids and not on_bank):
            return boat  # where it sits is not noted aboard: it counts as there
        near = (*run_ids, *near)
    added_id = new_id(line)
    made = _new(line, item, added_id, near, boat)
    if made is None:
        left.append(Placed(line.id, "", f"the quote does not say what this {item} belongs to"))
        return boat
    list_name, entry = made
    placed.append(Placed(line.id, added_id, f"added as '{added_id}'"))
    boat = boat.model_copy(update={list_name: (*getattr(boat, list_name), entry)})
    if item == "fuse":
        for run in (r for r in boat.run if r.id in near and r.protection is None):
            boat = _put(boat, "run", run.id, {"protection": added_id})
    return boat


def _new(
    line: Line, item: str, added_id: str, near: tuple[str, ...], boat: BoatFile
) -> tuple[str, Entry] | None:
    """Return a new entry for a thing that replaces nothing, if what it belongs to is named."""

    def of(list_name: str) -> str | None:
        return next((name for name in near if list_of(boat, name) == list_name), None)

    where = getattr(boat.find(near[0]), "where", None) if near else None
    entry: Entry
    if item == "cable":
        served = tuple(
            n for n in near if list_of(boat, n) in ("dc_load", "ac_load", "inverter", "charger")
        )
        if not served:
            return None
        entry = Run(id=added_id, where=where, serves=served)
    elif item == "fuse":
        if not any(r.id in near for r in boat.run) and of("bank") is None:
            return None
        at_battery = "yes" if of("bank") else "?"
        entry = Protection.model_validate(
            {"id": added_id, "where": where, "at_battery": at_battery}
        )
    elif item in ("charger", "inverter", "solar", "alternator") and (bank := of("bank")):
        data = {"id": added_id, "where": where, "bank": bank}
        if item == "charger":
            data["inlet"] = of("inlet")
        entry = _MODELS[item].model_validate(data)
    else:
        return None
    changes = _CHANGES[item](line, entry, boat)
    return LISTS[item][0], entry.model_copy(update=changes)


def total_length(line: Line) -> Noted | None:
    """Return the length of single conductor that a line of cable charges, if it counts length."""
    unit = meaning("unit", line.unit) if line.unit else None
    if line.quantity is None or line.quantity <= 0 or unit not in ("m", "ft"):
        return None
    length = units.to_base(float(line.quantity), unit, "length") * line.conductors
    return noted.exact(length, "length", text=f"{line.quantity:f} {unit}")
