"""What makes and takes alternating current, as noted: generators, inverters, loads."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from elec.boat.bounds import ABOVE_ZERO, AIR, IN_A_DAY
from elec.boat.declared import declared
from elec.boat.fields import Id, OneOf, Presence, Words
from elec.boat.records.entry import Entry, ignition_protection
from elec.boat.records.kinds import (
    Altitude,
    ApparentPower,
    Cooling,
    Current,
    Duration,
    Fraction,
    Frequency,
    Legs,
    Power,
    PowerFactor,
    Ratio,
    Service,
    Temperature,
    Voltage,
)
from elec.noted import Choice

__all__ = ["AcLoad", "Generator", "Inverter"]


def _bond_at_source() -> Any:
    return declared(
        "specialist",
        "neutral and earth joined at it, while it feeds",
        words="neutral and earth at it, while it feeds",
        read="whether neutral and earth are joined at '{id}', and part when shore power feeds",
    )


class Generator(Entry):
    """A generator."""

    power: Power = declared("plate", words="kW", bound=ABOVE_ZERO)
    apparent_power: ApparentPower = declared(
        "plate",
        words="kVA",
        read="kVA and power factor on the plate of '{id}'",
        bound=ABOVE_ZERO,
        example='"1800 VA"',
    )
    service: Service = declared("plate", stays=True)
    frequency: Frequency = declared("plate", read="Hz of '{id}'", stays=True)
    hours: Duration = declared(
        "look", "hours a day that it runs away from the dock", bound=IN_A_DAY, stays=True
    )
    feeds: tuple[Id, ...] | None = declared(
        "look",
        "ids of the inlets whose loads it can carry; all if left out",
        names=("inlet",),
        stays=True,
        sheet=True,
    )
    intake: Temperature = declared(
        "meter",
        "air at its intake, at full load",
        words="air at its intake",
        read="the air at the intake of '{id}' after an hour at full load",
        may_be="air at a generator's intake",
        best=40.0,
        bound=AIR,
        stays=True,
    )
    altitude: Altitude = declared("look", "of the water above the sea; left out at sea", stays=True)
    reactance: Ratio = declared(
        "papers",
        "transient reactance X'd, per unit, from its papers",
        words="transient reactance",
        read="X'd of '{id}' in its papers",
        may_be="transient reactance of a generator",
    )
    neutral_earth_bond: Presence = _bond_at_source()
    ignition_protected: Presence = ignition_protection()


class Inverter(Entry):
    """An inverter fed by a bank."""

    bank: Id | None = declared("look", names=("bank",), stays=True)
    power: Power = declared("plate", words="output", bound=ABOVE_ZERO)
    efficiency: Fraction = declared("papers", may_be="inverter efficiency", bound=ABOVE_ZERO)
    idle: Current = declared("papers")
    surge: Power = declared("papers", "for seconds, from its papers", bound=ABOVE_ZERO)
    lowest_voltage: Voltage = declared("papers", "of the bank, at which it switches off")
    service: Service = declared("plate", stays=True)
    inlet: Id | None = declared("look", "id of the inlet that feeds its AC input", names=("inlet",))
    passes_through: Presence = declared(
        "plate",
        "passes shore power on to its loads, as an inverter-charger does",
        words="power passed on from the shore",
        read="whether '{id}' passes shore power on",
    )
    transfer: Current = declared(
        "plate",
        "most that it passes on from the shore, by its plate",
        words="transfer rating",
        bound=ABOVE_ZERO,
    )
    input: ApparentPower = declared(
        "plate", "AC input of its own charger; 0 VA if none, or noted as a charger"
    )
    neutral_earth_bond: Presence = _bond_at_source()
    ignition_protected: Presence = ignition_protection()


class AcLoad(Entry):
    """A load on alternating current."""

    kind: Words | None = declared(
        "look", "entry of the catalogue of typical gear", example='"dishwasher"', sheet=False
    )
    inlet: Id | None = declared(
        "look",
        "id of the inlet, generator or inverter that feeds it",
        names=("inlet", "generator", "inverter"),
    )
    count: Annotated[int, Field(ge=1, le=1000, strict=True)] = declared("look", default=1)
    volts: Voltage = declared("plate", example='"120 V"')
    current: Current = declared("plate")
    power: Power = declared("plate", instead=True)
    apparent_power: ApparentPower = declared("plate", example='"1800 VA"', instead=True)
    cooling: Cooling = declared("plate", instead=True)
    power_factor: PowerFactor = declared(
        "plate",
        "of its plate, as 0.8, or 0.95 leading",
        may_be="power factor not read",
        best=1.0,
        example='"0.8"',
    )
    third_harmonic: Fraction = declared(
        "meter", "third harmonic of its current, as a share of the fundamental"
    )
    duty: Fraction = declared("meter", "share of its switched-on time that it draws")
    hours: Duration = declared("look", "hours a day switched on", bound=IN_A_DAY)
    locked_rotor: Current = declared("plate", "on starting, as LRA on the plate")
    code_letter: Words | None = declared(
        "plate", "locked-rotor code letter of a motor", example='"G"'
    )
    shaft_power: Power = declared("plate", "of a motor, at its shaft")
    soft_start: Presence = declared("look")
    legs: Legs = declared("specialist", "L1, L2, L3, L1-L2 (across two legs), all (three-phase)")
    behaviour: Annotated[Choice, OneOf("constant power", "resistance", "motor")] = declared("look")
    when: tuple[Words, ...] | None = declared("look", "conditions under which it runs", sheet=False)
    use: Annotated[Choice, OneOf("always", "choice")] = declared("look")
    rated_frequency: Annotated[Choice, OneOf("50 Hz", "60 Hz", "50/60 Hz")] = declared(
        "plate", "on its plate"
    )
