"""What the sources of AC aboard give, and the loads that each of them feeds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from elec.boat.ac_loads import SERVICES, AcDraw, Service, service_of
from elec.boat.records import BoatFile, Generator, Inlet, Inverter
from elec.checks.legs.running import draws_of

__all__ = ["AcSource", "ac_sources", "fed_by", "misfits_of", "plate_of", "service_given"]

AcSource = Inlet | Generator | Inverter


def ac_sources(boat: BoatFile) -> list[AcSource]:
    """Return everything aboard that feeds AC loads."""
    return [*boat.inlet, *boat.generator, *boat.inverter]


def service_given(boat: BoatFile, source: AcSource, basis: str) -> Service | None:
    """Return the service of a source: noted, or that of the inlets where all are alike."""
    known = service_of(source)
    if known is not None:
        return known
    if isinstance(source, Inverter):
        return SERVICES["120 V" if basis == "us" else "230 V"]
    ashore = {inlet.service.word for inlet in boat.inlet if inlet.service.seen}
    return SERVICES[ashore.pop()] if len(ashore) == 1 else None


def plate_of(source: AcSource) -> str:
    """Return where the rating of a source is read."""
    if isinstance(source, Inlet):
        return f"the rating moulded on inlet '{source.id}'"
    if isinstance(source, Generator):
        return f"kW, kVA and voltages on the plate of '{source.id}'"
    return f"W or VA on the plate of '{source.id}'"


def fed_by(boat: BoatFile, source: AcSource, service: Service) -> list[AcDraw]:
    """Return what each load on a source draws; a generator carries those of its inlets as well."""
    fed: list[AcSource] = [source]
    if isinstance(source, Generator):
        fed += [one for one in boat.inlet if source.feeds is None or one.id in source.feeds]
    draws = [draw for one in fed for draw in draws_of(boat, one, service)]
    if len(service.legs) == 1:  # one leg feeds loads of every leg
        draws = [replace(d, legs=service.legs) if len(d.legs) == 1 else d for d in draws]
    return draws


def misfits_of(service: Service, draws: Sequence[AcDraw]) -> list[AcDraw]:
    """Return the loads that a service cannot feed: of another voltage, or between its one leg."""
    return [
        d
        for d in draws
        if not set(d.legs) <= set(service.legs)
        or (d.load.legs.is_surely("all") and len(service.legs) < 3)
        or not service.gives(d.rated_V)
    ]
