"""The current that each AC load takes from its source, noted or typical, and on which legs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from elec import noted
from elec.boat.possible import possible, typical, value_of
from elec.boat.records import (
    AcLoad,
    Bank,
    BoatFile,
    Charger,
    DcLoad,
    Dock,
    Entry,
    Generator,
    Inlet,
    Inverter,
)
from elec.boat.typical import gear, power, scaled
from elec.noted import Choice, Noted

__all__ = [
    "OF_230_V",
    "PAIRS",
    "SERVICES",
    "AcDraw",
    "Service",
    "charger_noted",
    "draw",
    "is_always",
    "loads_of",
    "passed_on",
    "runs",
    "service_of",
    "taken_from_shore",
]


#: How far the voltage of a thing may lie from that of its source. Our own convention, wider than
#: any published limit.
_LEAST_V, _MOST_V = 0.8, 1.25


@dataclass(frozen=True)
class Service:
    """A shore service as the trade names it: legs, and nominal voltages."""

    legs: tuple[str, ...]
    to_neutral_V: float
    between_legs_V: float | None
    system: str = "single"

    @property
    def supply_V(self) -> float:
        """Voltage by which a supply is named: between legs, or to neutral on one leg."""
        return self.between_legs_V or self.to_neutral_V

    def apparent_VA(self, leg_A: Any) -> Any:
        """Return the apparent power of currents on the legs, added over the first axis."""
        return self.to_neutral_V * sum(leg_A)

    def gives(self, volts: float) -> bool:
        """Whether something of so many volts may be fed by it, to neutral or between legs."""
        own = (self.to_neutral_V, self.between_legs_V or self.to_neutral_V)
        return any(_LEAST_V <= volts / one <= _MOST_V for one in own)


#: Legs between which a load may be connected.
PAIRS = ("L1-L2", "L2-L3", "L3-L1")
_UNREAD_LEGS: Choice = AcLoad.model_fields["legs"].default
#: Services of one leg at 230 V and of three.
OF_230_V = ("230 V", "230/400 V three-phase")

SERVICES = {
    "120 V": Service(("L1",), 120.0, None),
    "230 V": Service(("L1",), 230.0, None),
    "120/240 V": Service(("L1", "L2"), 120.0, 240.0, "split-phase"),
    "120/208 V two legs": Service(("L1", "L2"), 120.0, 208.0, "wye two legs"),
    "120/208 V three-phase": Service(("L1", "L2", "L3"), 120.0, 208.0, "three-phase wye"),
    "230/400 V three-phase": Service(("L1", "L2", "L3"), 230.0, 400.0, "three-phase wye"),
}


def service_of(entry: Entry | None) -> Service | None:
    """Return the service of what gives one, None where it was not noted."""
    if isinstance(entry, Inlet | Generator | Inverter | Dock) and entry.service.seen:
        return SERVICES[entry.service.word]
    return None


@dataclass(frozen=True)
class AcDraw:
    """One AC load: current of one piece at its rated voltage, legs, behaviour off that voltage."""

    load: AcLoad
    current: Noted
    rated_V: float
    legs: tuple[str, ...]  # empty when the leg is not known
    behaviour: str
    #: Fed by an inverter of which it was not noted whether it passes shore power on.
    perhaps: bool = False
    #: Neither noted nor known of its kind: it may be of constant power, or a resistance.
    behaviour_open: bool = False

    @property
    def between_legs(self) -> bool:
        """Whether it is connected between legs."""
        return len(self.legs) > 1

    @property
    def leads(self) -> bool:
        """Whether its power factor was noted as leading."""
        return self.load.power_factor.text.endswith("leading")

    @property
    def in_watts(self) -> bool:
        """Whether its current comes from watts, so that less power factor is more current."""
        return not (self.load.current.seen or self.load.apparent_power.seen)

    @property
    def power_factor(self) -> Noted:
        """Power factor: noted, that of a heater, or what it may be where it was not read."""
        if self.behaviour == "resistance" and not self.load.power_factor.seen:
            return noted.exact(1.0, "ratio")
        return value_of(self.load, "power_factor")


def loads_of(boat: BoatFile, source_id: str) -> list[AcLoad]:
    """Return the AC loads that an inlet, generator or inverter feeds, chargers among them.

    A charger counts by its own entry unless an AC load of kind or name "charger" on the same
    source stands for it.
    """
    alone = len(boat.inlet) == 1 and boat.inlet[0].id == source_id
    loads = [
        load for load in boat.ac_load if load.inlet == source_id or (load.inlet is None and alone)
    ]
    if any("charger" in f"{load.kind} {load.id}".lower() for load in loads):
        return loads
    fed = (source_id, None) if alone else (source_id,)
    chargers = [_input_of(one, boat) for one in boat.charger if one.inlet in fed]
    own = [_charger_in(one) for one in boat.inverter if one.inlet in fed and _charges(one, boat)]
    return loads + chargers + own


def _charges(one: Inverter, boat: BoatFile) -> bool:
    """Whether an inverter has, or may have, a charger that no other entry stands for."""
    if one.input.seen:
        return one.input.span[2] > 0
    return one.passes_through.is_surely("yes") and not charger_noted(boat, one)


def charger_noted(boat: BoatFile, one: Inverter) -> bool:
    """Whether a charger of its bank on the same inlet may be the one in an inverter."""
    return any(
        other.bank == one.bank and other.inlet in (None, one.inlet) for other in boat.charger
    ) or any("charger" in f"{load.kind} {load.id}".lower() for load in boat.ac_load)


def _charger_in(one: Inverter) -> AcLoad:
    """Return the charger in an inverter-charger as a load, of its kind where it was not read."""
    load = AcLoad(
        id=one.id,
        where=one.where,
        kind="battery charger",
        inlet=one.inlet,
        apparent_power=one.input,
        behaviour=Choice(("constant power",)),
        use=Choice(("always",)),
    )
    watts = power(load)
    if one.input.seen or watts is None:
        return load
    source = f"no charger in it to the largest of its kind, {watts.source}"
    return load.model_copy(update={"power": typical(0.0, watts.span[2], "power", source)})


def taken_from_shore(one: Inverter, boat: BoatFile, service: Service) -> Noted | None:
    """Return what an inverter draws on its AC input: its loads at once, and its own charger.

    None where its charger's input was not noted, nor that it has none.
    """
    if not one.input.seen:
        return None
    least, best, most = draw(_charger_in(one), service).current.span
    if not one.passes_through.is_surely("no"):
        passed = [(load.count, draw(load, service).current.span) for load in loads_of(boat, one.id)]
        sure = one.passes_through.is_surely("yes")
        least += sum(count * span[0] for count, span in passed) if sure else 0.0
        best += sum(count * span[1] for count, span in passed)
        most += sum(count * span[2] for count, span in passed)
    words = f"what '{one.id}' passes on, and its charger's input"
    if least == most:
        return noted.between(least, most, "current", text=words)
    return typical(least, most, "current", words, best)


def passed_on(boat: BoatFile, inlet: Inlet) -> list[tuple[AcLoad, bool]]:
    """Return the loads of inverters that pass an inlet's power on, and whether they surely do."""
    found = []
    for one in boat.inverter:
        if one.passes_through.is_surely("no") or one.inlet not in (None, inlet.id):
            continue
        sure = one.passes_through.is_surely("yes") and (
            one.inlet is not None or len(boat.inlet) == 1
        )
        own, ashore = service_of(one), service_of(inlet)
        if own is not None and ashore is not None and not ashore.gives(own.to_neutral_V):
            continue
        for load in loads_of(boat, one.id):
            changes: dict[str, Any] = {}
            if own is not None and not load.volts.seen:
                volts = _rated_V(load, own)
                changes["volts"] = noted.between(volts, volts, "voltage")
            if own is None or len(own.legs) == 1:
                # the one leg of an inverter may be any of the inlet's
                changes["legs"] = _UNREAD_LEGS
            found.append((load.model_copy(update=changes), sure))
    return found


def _input_of(charger: Charger, boat: BoatFile) -> AcLoad:
    """Return a charger as a load on its AC side, at full output."""
    taken = charger.input
    bank = boat.find(charger.bank)
    volts = charger.voltage
    if not volts.seen and isinstance(bank, Bank):
        volts = bank.voltage
    if not taken.seen and charger.current.seen and volts.seen:
        rise_low, rise_high, source = possible("charging voltage over nominal")
        good_low, good_high, _ = possible("charger efficiency")
        factor_low, factor_high, _ = possible("charger power factor")
        (least_A, _, most_A), (least_V, _, most_V) = charger.current.span, volts.span
        taken = typical(
            least_A * least_V * rise_low / (good_high * factor_high),
            most_A * most_V * rise_high / (good_low * factor_low),
            "apparent_power",
            f"its output over efficiency and power factor, {source}",
        )
    return AcLoad(
        id=charger.id,
        where=charger.where,
        kind="battery charger",
        inlet=charger.inlet,
        apparent_power=taken,
        behaviour=Choice(("constant power",)),
        use=Choice(("always",)),
    )


def runs(load: AcLoad | DcLoad, condition: str) -> bool | None:
    """Whether a load runs under a condition; None where its conditions were not noted."""
    if isinstance(load, AcLoad) and load.use.is_surely("always"):
        return True
    if load.when is not None:
        return condition in load.when
    return True if is_always(load) else None


def is_always(load: AcLoad | DcLoad) -> bool:
    """Whether a load is always on, as noted or by its kind."""
    if isinstance(load, AcLoad) and load.use.seen:
        return load.use.is_surely("always")
    known = gear(load.kind, "ac" if isinstance(load, AcLoad) else "dc")
    return known is not None and known.row["use"] == "always"


def _legs(load: AcLoad, service: Service, rated_V: float) -> tuple[str, ...]:
    if load.legs.is_surely("all"):
        return service.legs
    if load.legs.seen:
        return tuple(load.legs.word.split("-"))
    if len(service.legs) == 1:
        return service.legs
    if service.between_legs_V and rated_V > 1.4 * service.to_neutral_V:
        return service.legs[:2] if len(service.legs) == 2 else ()
    return ()


def _rated_V(load: AcLoad, service: Service) -> float:
    """Return the voltage of a load, noted, or the one its legs or its source leave it."""
    if load.volts.seen and load.volts.best is not None:
        return load.volts.best
    between = load.legs.is_surely(*PAIRS) or load.legs.is_surely("all")
    if between and service.between_legs_V is not None:
        return service.between_legs_V
    return service.to_neutral_V


def _perhaps_V(load: AcLoad, service: Service) -> float | None:
    """Return the volts between legs where a load may be on them, for all that was noted."""
    return None if load.legs.seen or load.volts.seen else service.between_legs_V


def _typical_of(value: Noted, low: float, high: float, why: str) -> Noted:
    """Return a current from a power noted or typical, times a factor only known in a range."""
    current = scaled(value, low, high, "current")
    least, best, most = current.span
    if value.origin == "typical":
        return current
    source = f"{value.text} at an unknown {why}"
    return noted.between(
        least, most, "current", best=best, origin="typical", source=source, text=value.text
    )


def draw(load: AcLoad, service: Service) -> AcDraw:
    """Return what one piece of a load draws, noted, by its kind, or anything it may."""
    rated_V = _rated_V(load, service)
    known = gear(load.kind, "ac")
    of_kind = known.row["behaviour"] if known else ""
    behaviour = load.behaviour.word if load.behaviour.seen else of_kind
    phases = 3**0.5 if load.legs.is_surely("all") else 1.0
    high = 1 / rated_V / phases
    perhaps_V = _perhaps_V(load, service)
    low = 1 / perhaps_V if perhaps_V else high
    watts = power(load)
    current: Noted
    if load.current.seen:
        current = load.current
    elif load.apparent_power.seen:
        current = scaled(load.apparent_power, high, high, "current")
        if low < high:
            current = _typical_of(load.apparent_power, low, high, "voltage, both considered")
    elif watts is None:
        least, most, source = possible("current of a load of unknown kind")
        current = typical(least, most, "current", source)
    else:
        if load.power_factor.seen:
            least_pf, _, most_pf = load.power_factor.span
            current = scaled(watts, low / most_pf, high / least_pf, "current")
        elif behaviour != "resistance":
            worst_pf, best_pf, source = possible("power factor of a load that is no heater")
            current = _typical_of(watts, low / best_pf, high / worst_pf, f"power factor, {source}")
        elif low < high:
            current = _typical_of(watts, low, high, "voltage, both considered")
        else:
            current = scaled(watts, low, high, "current")
    legs = _legs(load, service, rated_V)
    return AcDraw(
        load, current, rated_V, legs, behaviour or "constant power", behaviour_open=not behaviour
    )
