"""The current that each AC load takes from its source, noted or typical, and on which legs."""

from __future__ import annotations

from dataclasses import dataclass

from elec import noted
from elec.boat.records import AcLoad, BoatFile
from elec.boat.typical import gear, possible, power, scaled
from elec.noted import Noted

__all__ = ["SERVICES", "AcDraw", "Service", "draw", "loads_of", "runs"]


@dataclass(frozen=True)
class Service:
    """A shore service as the trade names it: legs, and nominal voltages."""

    legs: tuple[str, ...]
    to_neutral_V: float
    between_legs_V: float | None


SERVICES = {
    "120 V": Service(("L1",), 120.0, None),
    "230 V": Service(("L1",), 230.0, None),
    "120/240 V": Service(("L1", "L2"), 120.0, 240.0),
    "120/208 V two legs": Service(("L1", "L2"), 120.0, 208.0),
    "120/208 V three-phase": Service(("L1", "L2", "L3"), 120.0, 208.0),
    "230/400 V three-phase": Service(("L1", "L2", "L3"), 230.0, 400.0),
}


@dataclass(frozen=True)
class AcDraw:
    """One AC load: current of one piece at its rated voltage, legs, behaviour off that voltage."""

    load: AcLoad
    current: Noted
    rated_V: float
    legs: tuple[str, ...]  # empty when the leg is not known
    behaviour: str

    @property
    def between_legs(self) -> bool:
        """Whether it is connected between legs."""
        return len(self.legs) > 1


def loads_of(boat: BoatFile, source_id: str) -> list[AcLoad]:
    """Return the AC loads that an inlet, generator or inverter feeds."""
    return [load for load in boat.ac_load if load.inlet == source_id]


def runs(load: AcLoad, condition: str) -> bool | None:
    """Whether a load runs under a condition; None where its conditions were not noted."""
    if load.use == "always":
        return True
    if load.when is not None:
        return condition in load.when
    known = gear(load.kind, "ac")
    always = load.use == "?" and known is not None and known.row["use"] == "always"
    return True if always else None


def _legs(load: AcLoad, service: Service, rated_V: float) -> tuple[str, ...]:
    if load.legs == "all":
        return service.legs
    if load.legs != "?":
        return tuple(load.legs.split("-"))
    if len(service.legs) == 1:
        return service.legs
    if service.between_legs_V and rated_V > 1.4 * service.to_neutral_V:
        return service.legs[:2] if len(service.legs) == 2 else ()
    return ()


def _rated_V(load: AcLoad, service: Service) -> float:
    if load.volts.seen and load.volts.best is not None:
        return load.volts.best
    if service.between_legs_V is None:
        return service.to_neutral_V
    if len(load.legs.split("-")) == 2 or load.legs == "all":
        return service.between_legs_V
    known = gear(load.kind, "ac")
    across = known is not None and known.row.get("phase_hint") == "line-to-line"
    return service.between_legs_V if across and load.legs == "?" else service.to_neutral_V


def draw(load: AcLoad, service: Service) -> AcDraw | None:
    """Return what one piece of a load draws, or None if neither noted nor in the catalogue."""
    rated_V = _rated_V(load, service)
    known = gear(load.kind, "ac")
    behaviour = load.behaviour
    if behaviour == "?":
        behaviour = (known.row["behaviour"] if known else "") or "constant power"  # type: ignore[assignment]
    phases = 3**0.5 if load.legs == "all" else 1.0
    current: Noted
    if load.current.seen:
        current = load.current
    elif load.apparent_power.seen:
        current = scaled(load.apparent_power, 1 / rated_V / phases, 1 / rated_V / phases, "current")
    else:
        watts = power(load)
        if watts is None:
            return None
        low, high = 1 / rated_V / phases, 1 / rated_V / phases
        if behaviour == "motor":
            worst_pf, best_pf, source = possible("power factor of a motor load")
            low, high = low / best_pf, high / worst_pf
            current = scaled(watts, low, high, "current")
            if watts.origin == "noted":
                least, _, most = current.span
                current = noted.between(
                    least,
                    most,
                    "current",
                    origin="typical",
                    source=f"{watts.text} at a power factor from {source}",
                    text=watts.text,
                )
        else:
            current = scaled(watts, low, high, "current")
    return AcDraw(load, current, rated_V, _legs(load, service, rated_V), behaviour)
