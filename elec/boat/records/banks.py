"""Banks and what charges and loads them, as noted."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from elec.boat.bounds import A_TEST, ABOVE_ZERO, AIR, AT_LEAST_ALL, IN_A_DAY
from elec.boat.declared import Record, declared
from elec.boat.fields import Id, Presence, Words, Year
from elec.boat.records.entry import Entry, ignition_protection
from elec.boat.records.kinds import (
    ApparentPower,
    Charge,
    Chemistry,
    Cranking,
    Current,
    Duration,
    Energy,
    Fraction,
    Mass,
    Percentage,
    Power,
    Resistance,
    Surface,
    Temperature,
    Voltage,
    Volume,
)

__all__ = ["Alternator", "Bank", "BatteryString", "Charger", "DcLoad", "Period", "Solar"]


class BatteryString(Record):
    """One of the parallel strings of a bank."""

    year: Year = declared("plate")
    date_code: Words | None = declared("plate", example='"C5"')
    remaining: Fraction = declared("meter", bound=A_TEST)
    label: Words | None = declared("plate", "make and type on its label, for comparison")
    note: Words | None = declared("look")


class Bank(Entry):
    """A battery bank."""

    voltage: Voltage = declared("plate", stays=True)
    chemistry: Chemistry = declared("plate")
    capacity: Charge = declared("plate", "of one battery, at its hour rate", bound=ABOVE_ZERO)
    rate: Duration = declared("plate", bound=ABOVE_ZERO)
    in_series: Annotated[int, Field(ge=1, le=400, strict=True)] | Literal["?"] = declared(
        "look", default=1
    )
    in_parallel: Annotated[int, Field(ge=1, le=100, strict=True)] | Literal["?"] = declared(
        "look", default=1
    )
    string: tuple[BatteryString, ...] = declared("look")
    group: Words | None = declared("plate", "box size, as BCI 31, 4D, 8D", example='"8D"')
    remaining: Fraction = declared(
        "meter", "capacity left, as a share of rated, if it was tested", bound=A_TEST
    )
    usable: Fraction = declared("papers", bound=ABOVE_ZERO)
    temperature: Temperature = declared("meter", bound=AIR, stays=True)
    autonomy: Duration = declared("look", bound=ABOVE_ZERO, stays=True)
    condition: Words | None = declared(
        "look", "condition for which autonomy is asked", stays=True, example='"anchor"'
    )
    charge_return: Percentage = declared("papers", bound=AT_LEAST_ALL, example='"115 %"')
    charge_limit: Current = declared("papers")
    cranking: Cranking = declared("plate")
    reserve: Duration = declared(
        "plate",
        "reserve capacity of one battery: time at 25 A",
        bound=ABOVE_ZERO,
        example='"450 min"',
    )
    mass: Mass = declared("plate", "of one battery")
    starts: Words | None = declared(
        "look", "engine that it starts", stays=True, example='"port engine"'
    )
    cranking_needed: Cranking = declared(
        "papers", "asked by the maker of the engine it starts", stays=True
    )
    displacement: Volume = declared(
        "papers", "displacement of the engine it starts", bound=ABOVE_ZERO, stays=True
    )
    start_reserve: Fraction = declared("look", "charge to be kept for starting", stays=True)
    discharge_limit: Current = declared("papers", "most that its maker lets it give for long")
    drain: Current = declared("meter", "drawn with everything switched off", stays=True)
    unattended: Duration = declared("look", "longest time it is left without charging", stays=True)
    rings_on_post: Annotated[int, Field(ge=0, le=100, strict=True)] | Literal["?"] = declared(
        "look", stays=True
    )
    secured: Presence = declared(
        "look", "held against moving, heel and rolling included", stays=True
    )
    covers: Presence = declared("look", "terminals covered against a short by a tool", stays=True)
    vented: Presence = declared("look", "its space is aired to the outside", stays=True)
    opening: Surface = declared("look", "free area of each of its two air openings", stays=True)
    management: Presence = declared("look", "battery management system, of a lithium bank")
    cold_cutoff: Presence = declared("papers", "charging is stopped below freezing")
    alarm: Presence = declared("look", "warns before the management system shuts it down")
    short_circuit: Current = declared(
        "papers", "short-circuit current of one battery, by its maker", bound=ABOVE_ZERO
    )
    resistance: Resistance = declared(
        "papers", "inside one battery, by its maker", bound=ABOVE_ZERO
    )


class Charger(Entry):
    """A mains charger."""

    bank: Id = declared("look", default=..., names=("bank",), stays=True, example='"bank 1"')
    inlet: Id | None = declared(
        "look", names=("inlet", "generator", "inverter"), stays=True, example='"inlet 1"'
    )
    current: Current = declared("plate", bound=ABOVE_ZERO)
    voltage: Voltage = declared("plate", stays=True)
    profile: Chemistry = declared("look")
    recharge: Duration = declared("look", "recharge time wanted", bound=ABOVE_ZERO, stays=True)
    input: ApparentPower = declared("plate", "AC input at full output")
    ignition_protected: Presence = ignition_protection()


class Alternator(Entry):
    """An engine alternator, or a converter that it feeds."""

    bank: Id = declared("look", default=..., names=("bank",), stays=True, example='"bank 1"')
    current: Current = declared("plate", bound=ABOVE_ZERO)
    voltage: Voltage = declared("plate", stays=True)
    converter: Current = declared("plate", bound=ABOVE_ZERO, stays=True)
    charging_voltage: Voltage = declared("plate", "on the bank's side of the converter", stays=True)
    efficiency: Fraction = declared("papers", bound=ABOVE_ZERO, stays=True)
    regulator: Presence = declared(
        "look", "regulator that limits it by temperature or current", stays=True
    )


class Solar(Entry):
    """Solar panels on a bank."""

    bank: Id = declared("look", default=..., names=("bank",), stays=True, example='"bank 1"')
    power: Power = declared("plate")
    sun: Duration = declared("look", "full-sun hours a day", bound=IN_A_DAY, stays=True)
    factor: Fraction = declared("papers", stays=True)


class DcLoad(Entry):
    """A load on direct current."""

    bank: Id | None = declared("look", names=("bank",), stays=True, example='"bank 1"')
    inverter: Id | None = declared(
        "look",
        "inverter through which it is fed",
        names=("inverter",),
        stays=True,
        example='"inverter 1"',
    )
    count: Annotated[int, Field(ge=1, le=1000, strict=True)] = declared(
        "look", default=1, stays=True
    )
    current: Current = declared("plate")
    power: Power = declared("plate", instead=True)
    duty: Fraction = declared("meter", stays=True)
    hours: Duration = declared("look", "hours a day switched on", bound=IN_A_DAY, stays=True)
    charge_per_day: Charge = declared("papers", instead=True)
    energy_per_day: Energy = declared("papers", instead=True)
    efficiency: Fraction = declared("papers", bound=ABOVE_ZERO, stays=True)
    lowest_voltage: Voltage = declared("papers", "at which it still works, from its papers")
    when: tuple[Words, ...] | None = declared("look", stays=True)


class Period(Entry):
    """A stretch of a timetable, in hours from its beginning, the banks full."""

    condition: Words = declared("look", default=..., example='"anchor"')
    start: Duration = declared("look", default=..., example='"0 h"')
    end: Duration = declared("look", default=..., example='"24 h"')
    generator: Duration = declared(
        "look", "hours of it that the generator charges", example='"2 h"'
    )
