"""The voltage that a run is judged at, and the current of each thing that it feeds."""

from __future__ import annotations

from typing import Any, Literal

from elec import noted, units
from elec.boat.ac_loads import Service, draw, loads_of, service_of, taken_from_shore
from elec.boat.possible import possible, typical
from elec.boat.records import (
    AcLoad,
    Alternator,
    Bank,
    BoatFile,
    Bus,
    Charger,
    DcLoad,
    Entry,
    Generator,
    Inlet,
    Inverter,
    Protection,
    Run,
    Solar,
    Transformer,
)
from elec.boat.typical import dc_current, gear, power, scaled
from elec.calc import ac
from elec.checks.cables.cable import Load
from elec.checks.cannot import CannotJudge
from elec.noted import Noted
from elec.published import table

__all__ = ["carries", "is_direct", "loads_on", "voltage_of"]

_DIRECT = (Bank, DcLoad, Alternator, Solar, Bus)
_ALTERNATING = (Inlet, AcLoad, Generator, Transformer)
#: The most that a bank is charged at over its nominal voltage; common practice, no source.
_CHARGED_AT = 1.25


def carries(
    run: Run, boat: BoatFile, known: frozenset[str] = frozenset()
) -> Literal["direct", "alternating"] | None:
    """Return the kind of current by what feeds a run, else by what it feeds; None if not known.

    A voltage by itself says it only below 50 V, or above that of every bank aboard.
    """
    start = boat.find(run.start or "")
    if isinstance(start, (Bank, Alternator, Solar, Charger)):
        return "direct"
    fed = [boat.find(name) for name in (*run.serves, run.end or "")]
    for one in (start, *fed):
        if isinstance(one, _ALTERNATING):
            return "alternating"
        if isinstance(one, _DIRECT) and not isinstance(one, Bus):
            return "direct"
    if isinstance(start, Inverter):
        return "alternating"
    if isinstance(start, Bus) and start.id not in known:
        feeders = [one for one in boat.run if one.end == start.id and one is not run]
        kinds = {carries(one, boat, known | {start.id}) for one in feeders} - {None}
        if len(kinds) == 1:
            return kinds.pop()
    if not run.voltage.seen or run.voltage.span[2] < 50:
        return "direct"
    charged_V = [one.voltage.span[2] * _CHARGED_AT for one in boat.bank if one.voltage.seen]
    unread = any(not one.voltage.seen for one in boat.bank)
    return None if unread or run.voltage.span[0] <= max(charged_V, default=0) else "alternating"


def voltage_of(run: Run, boat: BoatFile) -> tuple[float, list[str]]:
    """Return the voltage a run is judged at, the lowest that is possible, and what to say of it.

    Refused if it cannot be had from anything noted.
    """
    if run.voltage.seen:
        return _lowest(run.voltage, "the run")
    named = [boat.find(name) for name in (run.start, run.end, *run.serves) if name]
    alternating = [one for one in named if isinstance(one, _ALTERNATING)]
    direct = [one for one in named if isinstance(one, _DIRECT)]
    if all(isinstance(one, Bus) for one in direct) and carries(run, boat) == "alternating":
        return _supply_V(run, boat)
    if direct and not alternating:
        for one in [*direct, *named]:
            bank_id = one.id if isinstance(one, Bank) else getattr(one, "bank", None)
            bank = boat.find(bank_id) if bank_id else None
            if isinstance(bank, Bank) and bank.voltage.seen:
                return _lowest(bank.voltage, f"bank '{bank.id}'")
        banks = [bank for bank in boat.bank if bank.voltage.seen]
        if len(banks) == len(boat.bank) and len({bank.voltage.span for bank in banks}) == 1:
            return _lowest(banks[0].voltage, f"bank '{banks[0].id}'")
    raise CannotJudge(
        "the system voltage was not noted",
        f"the system voltage of '{run.id}', and whether it carries direct or alternating current",
    )


def _lowest(voltage: Noted, whose: str) -> tuple[float, list[str]]:
    low = voltage.span[0]
    if voltage.settled:
        return low, []
    shown = units.show(low, "voltage")
    return low, [f"Judged at {shown}, the lowest of the {voltage.text} noted of {whose}."]


def _service(run: Run, boat: BoatFile, known: frozenset[str] = frozenset()) -> Service | None:
    """Return the service of what feeds an AC run, through buses too where all agree on it."""
    sources = [run.start, *(getattr(boat.find(name), "inlet", None) for name in run.serves)]
    for name in filter(None, [*sources, *run.serves, run.end]):
        if (service := service_of(boat.find(name))) is not None:
            return service
    if not run.start and len(boat.inlet) == 1 and boat.inlet[0].service.seen:
        return service_of(boat.inlet[0])
    if isinstance(boat.find(run.start or ""), Bus) and run.start not in known:
        feeders = [one for one in boat.run if one.end == run.start and one is not run]
        found = {_service(one, boat, known | {run.start or ""}) for one in feeders}
        return found.pop() if len(found) == 1 else None
    return None


def _supply_V(run: Run, boat: BoatFile) -> tuple[float, list[str]]:
    loads = [one for one in map(boat.find, run.serves) if isinstance(one, AcLoad)]
    marked = [one.volts.span[0] for one in loads if one.volts.seen]
    if marked and len(marked) == len(run.serves):
        return min(marked), []
    service = _service(run, boat)
    if service is None:
        raise CannotJudge(
            "the voltage of the AC supply was not noted", f"the system voltage of '{run.id}'"
        )
    between = loads and all(draw(one, service).between_legs for one in loads)
    if between and service.between_legs_V is not None:
        return service.between_legs_V, []
    if service.between_legs_V is None:
        return service.to_neutral_V, []
    shown = units.show(service.to_neutral_V, "voltage")
    return service.to_neutral_V, [
        f"Judged at {shown}, the lower voltage of its supply; note the run's own where it is not."
    ]


def loads_on(run: Run, boat: BoatFile, voltage_V: float) -> list[Load]:
    """Return the current noted on a run, or else those of what it serves, or of its kind.

    Refused if a current cannot be had from anything noted.
    """
    if run.current.seen:
        return [Load("current", run, run.current, 1)]
    if run.serves:
        return [_served(run, name, boat, voltage_V) for name in run.serves]
    known = gear(run.kind)
    if known is None and (name := _at_its_ends(run, boat)):
        return [_served(run, name, boat, voltage_V)]
    if known is None:
        raise CannotJudge(
            "neither its current nor the loads it serves were noted",
            f"what '{run.id}' feeds, and the current on its plate",
        )
    low, high = known.number("power_low_W"), known.number("power_high_W")
    if low is None or high is None:
        raise CannotJudge("its current was not noted", f"the current of '{run.id}'")
    watts = typical(low, high, "power", known.source)
    return [Load("current", run, scaled(watts, 1 / voltage_V, 1 / voltage_V, "current"), 1)]


def _at_its_ends(run: Run, boat: BoatFile) -> str | None:
    """Return the load at the end of a run, or the charger or alternator that it leads from."""
    if isinstance(boat.find(run.end or ""), (DcLoad, AcLoad, Inverter, Charger)):
        return run.end
    return run.start if isinstance(boat.find(run.start or ""), (Charger, Alternator)) else None


def _served(run: Run, name: str, boat: BoatFile, voltage_V: float) -> Load:
    entry = boat.find(name)
    current = _current_of(run, entry, boat, voltage_V)
    if isinstance(entry, DcLoad) and not entry.current.seen and power(entry) is None:
        current = _up_to_device(dc_current(entry, voltage_V), run, boat)
    if current is None and isinstance(entry, Inverter) and carries(run, boat) == "alternating":
        raise CannotJudge(
            f"what '{name}' takes from the shore was not noted: the AC input of its own charger, "
            "and what it passes on",
            f"the AC input on the plate of '{name}', and which loads it feeds",
        )
    if entry is None or current is None:
        raise CannotJudge(
            f"the current of '{name}' was not noted and no typical range is held for it",
            f"the current on the plate of '{name}'",
        )
    return Load("current", entry, current, getattr(entry, "count", 1))


def _up_to_device(current: Noted, run: Run, boat: BoatFile) -> Noted:
    """Let a load of which nothing is known draw all that the run's fuse or breaker carries."""
    device = boat.find(run.protection or "")
    low, _, high = current.span
    if (
        isinstance(device, Protection)
        and not device.device.is_surely("none")
        and device.rating.seen
    ):
        most_A, words = device.rating.span[2], f"the rating of '{device.id}'"
    else:
        ratings = table("standard_device_ratings")
        listed = [r for r in ratings.rows() if "common" in r["instrument"]]
        most_A = max(float(row["rating_A"]) for row in listed)
        words = f"the largest common rating of table {ratings.name}"
    if most_A <= high:
        return current
    source = f"{current.source}; up to {words}"
    return typical(low, most_A, "current", source)


def _current_of(run: Run, entry: Entry | None, boat: BoatFile, voltage_V: float) -> Noted | None:
    if isinstance(entry, DcLoad):
        return dc_current(entry, voltage_V)
    if isinstance(entry, AcLoad):
        return _alternating_current(entry, run, boat, voltage_V)
    if isinstance(entry, Charger):
        if carries(run, boat) == "alternating":
            return _alternating_current(_input_of(entry, boat), run, boat, voltage_V)
        return entry.current if entry.current.seen else None
    if isinstance(entry, Alternator):
        given = entry.converter if entry.converter.seen else entry.current
        return given if given.seen else None
    if isinstance(entry, Inlet):
        return entry.rating if entry.rating.seen else None
    if isinstance(entry, Inverter):
        if carries(run, boat) != "alternating":
            return _inverter_current(entry, voltage_V)
        service = None if run.voltage.seen else _service(run, boat)
        return taken_from_shore(entry, boat, service or Service(("L1",), voltage_V, None))
    return None


def _alternating_current(load: AcLoad, run: Run, boat: BoatFile, voltage_V: float) -> Noted:
    """Return the draw of an AC load on the service of its supply, or at the voltage noted."""
    service = None if run.voltage.seen else _service(run, boat)
    return draw(load, service or Service(("L1",), voltage_V, None)).current


def _input_of(charger: Charger, boat: BoatFile) -> AcLoad:
    """Return a charger as a load on its AC side, whatever feeds it."""
    alone = boat.model_copy(
        update={"ac_load": (), "charger": (charger.model_copy(update={"inlet": charger.id}),)}
    )
    return loads_of(alone, charger.id)[0]


def _inverter_current(inverter: Inverter, voltage_V: float) -> Noted | None:
    """Return what an inverter takes from its bank at full power, the bank as low as it works."""
    watts = inverter.power
    if not watts.seen:
        return None
    sources = []
    if inverter.efficiency.seen:
        worst, _, best = inverter.efficiency.span
    else:
        worst, best, source = possible("inverter efficiency")
        sources.append(source)
    if inverter.lowest_voltage.seen:
        lowest_V, _, highest_V = inverter.lowest_voltage.span
    else:
        low, high, source = possible("lowest bank voltage over nominal")
        lowest_V, highest_V = low * voltage_V, high * voltage_V
        sources.append(source)
    if inverter.idle.seen:
        idle_low_A, _, idle_high_A = inverter.idle.span
    else:
        low, high, source = possible("idle draw of an inverter at 12 V")
        idle_low_A, idle_high_A = (
            per_kW * watts.span[end] / 1000 * 12 / voltage_V
            for per_kW, end in ((low, 0), (high, 2))
        )
        sources.append(source)
    least, most = (
        float(ac.inverter_dc_current_A(W, bank_V=V, efficiency=share, idle_A=idle_A))
        for W, V, share, idle_A in (
            (watts.span[0], highest_V, best, idle_low_A),
            (watts.span[2], lowest_V, worst, idle_high_A),
        )
    )
    if not sources:
        origin: Any = "noted" if least == most else "range"
        return noted.between(least, most, "current", origin=origin, text=watts.text)
    source = f"{watts.text} at full power, " + "; ".join(dict.fromkeys(sources))
    return noted.between(least, most, "current", origin="typical", source=source, text=watts.text)


def is_direct(run: Run, boat: BoatFile) -> bool:
    """Whether a run carries direct current, or may."""
    return carries(run, boat) != "alternating"
