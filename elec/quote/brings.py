"""What each thing of a quote brings with it, what it changes nearby."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from elec import noted, units
from elec.boat.fields import YearNoted
from elec.boat.records import (
    Alternator,
    Bank,
    BoatFile,
    Charger,
    Cord,
    DcLoad,
    Generator,
    Inlet,
    Inverter,
    Protection,
    Run,
    Solar,
    Transformer,
)
from elec.noted import NO, YES, Noted
from elec.quote.records import Line
from elec.quote.words import meaning

__all__ = ["CHANGES", "EFFECTS", "pieces", "total_length"]

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


def _fuse(line: Line, old: Protection, _boat: BoatFile) -> dict[str, Any]:
    return {
        "rating": line.rating,
        "device": line.device if line.device.seen else old.device,
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
        "service": line.service if line.service.seen else old.service,
    }


def _alternator(line: Line, old: Alternator, _boat: BoatFile) -> dict[str, Any]:
    return {"current": line.rating, "voltage": _stated(line.voltage, old.voltage)}


def _solar(line: Line, _old: Solar, _boat: BoatFile) -> dict[str, Any]:
    return {"power": line.power}


def _inlet(line: Line, old: Inlet, _boat: BoatFile) -> dict[str, Any]:
    service = line.service if line.service.seen else old.service
    return {"rating": line.rating, "service": service, "heat_marks": NO}


def _cord(line: Line, old: Cord, _boat: BoatFile) -> dict[str, Any]:
    length = _stated(line.length, old.length)
    return {"rating": line.rating, "size": line.size, "length": length, "legend": line.legend}


def _transformer(line: Line, _old: Transformer, _boat: BoatFile) -> dict[str, Any]:
    return {"rating": line.apparent_power}


def _generator(line: Line, old: Generator, _boat: BoatFile) -> dict[str, Any]:
    service = line.service if line.service.seen else old.service
    return {"power": line.power, "apparent_power": line.apparent_power, "service": service}


def _load(line: Line, old: DcLoad | Run, _boat: BoatFile) -> dict[str, Any]:
    if isinstance(old, Run):
        return {"current": line.rating} if line.rating.seen else {}
    return {"current": line.rating, "power": line.power}


#: What a new thing reads at its entry.
CHANGES: dict[str, Change] = {
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

#: What a thing changes at the entry that it belongs to: its list, and the keys.
EFFECTS: dict[str, tuple[str, Callable[[Line], dict[str, Any]]]] = {
    "hold-down": ("bank", lambda _line: {"secured": YES}),
    "terminal cover": ("bank", lambda _line: {"covers": YES}),
    "ventilation": ("bank", lambda line: {"vented": YES, "opening": line.opening}),
    "busbar": ("bank", lambda line: {"rings_on_post": line.rings}),
    "management system": (
        "bank",
        lambda line: {
            "management": YES,
            **{k: getattr(line, k) for k in ("cold_cutoff", "alarm") if getattr(line, k).seen},
        },
    ),
    "regulator": ("alternator", lambda _line: {"regulator": YES}),
    "dc-dc charger": ("alternator", lambda line: {"converter": line.rating}),
    "residual-current device": ("inlet", lambda _line: {"ground_fault_protection": YES}),
    "isolator": (
        "inlet",
        lambda line: {"isolator": YES, "isolator_rating": line.rating},
    ),
}


def total_length(line: Line) -> Noted | None:
    """Return the length of single conductor that a line of cable charges, if it counts length."""
    unit = meaning("unit", line.unit) if line.unit else None
    if line.quantity is None or line.quantity <= 0 or unit not in ("m", "ft"):
        return None
    length = units.to_base(float(line.quantity), unit, "length") * line.conductors
    return noted.exact(length, "length", text=f"{line.quantity:f} {unit}")
