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

#: One look for all that is asked of how a bank is fitted.
_FITTING = (
    "how '{id}' is fitted: held fast every way, terminals covered, rings on each post, free area "
    "of its air openings"
)


class BatteryString(Record):
    """One of the parallel strings of a bank."""

    year: Year = declared("plate")
    date_code: Words | None = declared("plate", example='"C5"')
    remaining: Fraction = declared("meter", bound=A_TEST)
    label: Words | None = declared("plate", "make and type on its label, for comparison")
    note: Words | None = declared("look", sheet=False)


class Bank(Entry):
    """A battery bank."""

    voltage: Voltage = declared("plate", stays=True)
    chemistry: Chemistry = declared("plate", read="the chemistry on the label of '{id}'")
    capacity: Charge = declared("plate", "of one battery, at its hour rate", bound=ABOVE_ZERO)
    rate: Duration = declared(
        "plate",
        words="hour rate",
        read="the hour rate beside the Ah on one battery of '{id}'",
        may_be="hour rate of a capacity",
        best=20.0,
        bound=ABOVE_ZERO,
    )
    in_series: Annotated[int, Field(ge=1, le=400, strict=True)] | Literal["?"] = declared(
        "look", default=1
    )
    in_parallel: Annotated[int, Field(ge=1, le=100, strict=True)] | Literal["?"] = declared(
        "look", words="strings in parallel", default=1
    )
    string: tuple[BatteryString, ...] = declared("look", sheet=False)
    group: Words | None = declared("plate", "box size, as BCI 31, 4D, 8D", example='"8D"')
    remaining: Fraction = declared(
        "meter",
        "capacity left, as a share of rated, if it was tested",
        words="remaining capacity",
        read="a capacity test of '{id}', or its invoice for the age",
        bound=A_TEST,
    )
    usable: Fraction = declared("papers", words="usable share", bound=ABOVE_ZERO)
    temperature: Temperature = declared(
        "meter",
        read="the temperature of '{id}' when it is coldest in use",
        may_be="battery temperature",
        best=25.0,
        bound=AIR,
        stays=True,
    )
    autonomy: Duration = declared("look", words="autonomy asked", bound=ABOVE_ZERO, stays=True)
    condition: Words | None = declared(
        "look", "condition for which autonomy is asked", stays=True, example='"anchor"'
    )
    charge_return: Percentage = declared("papers", bound=AT_LEAST_ALL, example='"115 %"')
    charge_limit: Current = declared("papers")
    cranking: Cranking = declared(
        "plate", words="cold cranking current", read="the CCA on the label of '{id}'"
    )
    reserve: Duration = declared(
        "plate",
        "reserve capacity of one battery: time at 25 A",
        words="reserve capacity",
        bound=ABOVE_ZERO,
        example='"450 min"',
    )
    mass: Mass = declared("plate", "of one battery")
    starts: Words | None = declared(
        "look", "engine that it starts", stays=True, example='"port engine"'
    )
    cranking_needed: Cranking = declared(
        "papers",
        "asked by the maker of the engine it starts",
        words="cranking current needed",
        read="the cranking current in the manual of the engine that '{id}' starts",
        stays=True,
    )
    displacement: Volume = declared(
        "papers", "displacement of the engine it starts", bound=ABOVE_ZERO, stays=True
    )
    start_reserve: Fraction = declared(
        "look",
        "charge to be kept for starting",
        words="charge kept for starting",
        stays=True,
    )
    discharge_limit: Current = declared("papers", "most that its maker lets it give for long")
    drain: Current = declared("meter", "drawn with everything switched off", stays=True)
    unattended: Duration = declared(
        "look", "longest time it is left without charging", words="time unattended", stays=True
    )
    rings_on_post: Annotated[int, Field(ge=0, le=100, strict=True)] | Literal["?"] = declared(
        "look", words="rings on a post", read=_FITTING, stays=True
    )
    secured: Presence = declared(
        "look",
        "held against moving, heel and rolling included",
        words="fastening",
        read=_FITTING,
        stays=True,
    )
    covers: Presence = declared(
        "look",
        "terminals covered against a short by a tool",
        words="terminal covers",
        read=_FITTING,
        stays=True,
    )
    vented: Presence = declared(
        "look",
        "its space is aired to the outside",
        words="air openings",
        read=_FITTING,
        stays=True,
    )
    opening: Surface = declared(
        "look", "free area of each of its two air openings", words="air opening", stays=True
    )
    management: Presence = declared(
        "look",
        "battery management system, of a lithium bank",
        words="battery management system",
        read="the management system of '{id}'",
    )
    cold_cutoff: Presence = declared(
        "papers",
        "charging is stopped below freezing",
        words="cut-off below freezing",
        read="what stops charging in cold of '{id}'",
    )
    alarm: Presence = declared(
        "look",
        "warns before the management system shuts it down",
        words="alarm before shut-down",
        read="the alarm before it shuts down of '{id}'",
    )
    short_circuit: Current = declared(
        "papers", "short-circuit current of one battery, by its maker", bound=ABOVE_ZERO
    )
    resistance: Resistance = declared(
        "papers", "inside one battery, by its maker", bound=ABOVE_ZERO
    )


class Charger(Entry):
    """A mains charger."""

    bank: Id = declared("look", default=..., names=("bank",), stays=True)
    inlet: Id | None = declared("look", names=("inlet", "generator", "inverter"), stays=True)
    current: Current = declared("plate", bound=ABOVE_ZERO)
    voltage: Voltage = declared("plate", stays=True)
    profile: Chemistry = declared("look", read="the battery type that '{id}' is set to")
    recharge: Duration = declared(
        "look", "recharge time wanted", words="recharge time", bound=ABOVE_ZERO, stays=True
    )
    input: ApparentPower = declared("plate", "AC input at full output")
    ignition_protected: Presence = ignition_protection()


class Alternator(Entry):
    """An engine alternator, or a converter that it feeds."""

    bank: Id = declared("look", default=..., names=("bank",), stays=True)
    current: Current = declared("plate", bound=ABOVE_ZERO)
    voltage: Voltage = declared("plate", stays=True)
    converter: Current = declared("plate", bound=ABOVE_ZERO, stays=True)
    charging_voltage: Voltage = declared("plate", "on the bank's side of the converter", stays=True)
    efficiency: Fraction = declared(
        "papers", may_be="efficiency of a converter", bound=ABOVE_ZERO, stays=True
    )
    regulator: Presence = declared(
        "look",
        "regulator that limits it by temperature or current",
        read="what limits '{id}': a regulator with a temperature sensor, or a converter to the "
        "bank",
        stays=True,
    )


class Solar(Entry):
    """Solar panels on a bank."""

    bank: Id = declared("look", default=..., names=("bank",), stays=True)
    power: Power = declared("plate")
    sun: Duration = declared(
        "look", "full-sun hours a day", words="full-sun hours a day", bound=IN_A_DAY, stays=True
    )
    factor: Fraction = declared(
        "papers", words="system factor", may_be="solar system factor", stays=True
    )


class DcLoad(Entry):
    """A load on direct current."""

    kind: Words | None = declared(
        "look", "entry of the catalogue of typical gear", example='"windlass"', sheet=False
    )
    bank: Id | None = declared("look", names=("bank",), stays=True)
    inverter: Id | None = declared(
        "look", "inverter through which it is fed", names=("inverter",), stays=True
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
    when: tuple[Words, ...] | None = declared("look", stays=True, sheet=False)


class Period(Entry):
    """A stretch of a timetable, in hours from its beginning, the banks full."""

    condition: Words = declared("look", default=..., example='"anchor"')
    start: Duration = declared("look", default=..., example='"0 h"')
    end: Duration = declared("look", default=..., example='"24 h"')
    generator: Duration = declared(
        "look", "hours of it that the generator charges", example='"2 h"'
    )
