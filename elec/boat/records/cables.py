"""Cable runs, what joins them and what protects them, as noted."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from elec.boat.bounds import ABOVE_ZERO, AIR
from elec.boat.curve import Opens
from elec.boat.declared import declared
from elec.boat.fields import Gauge, Id, OneOf, Presence, Words
from elec.boat.records.entry import Entry, ignition_protection
from elec.boat.records.kinds import Current, Duration, Fraction, Length, Temperature, Voltage
from elec.noted import Choice

__all__ = ["Bus", "Protection", "Run"]


class Bus(Entry):
    """A busbar, panel or other point where runs meet; runs name it as 'from' or 'to'."""


class Run(Entry):
    """A cable run: both conductors from one point to another."""

    kind: Words | None = declared(
        "look", "entry of the catalogue of typical gear", example='"windlass"', sheet=False
    )
    start: Id | None = declared(
        "look", "where it starts, by id", alias="from", stays=True, example='"bank 1"'
    )
    end: Id | None = declared(
        "look", "where it ends, by id", alias="to", stays=True, example='"dc_load 1"'
    )
    voltage: Voltage = declared(
        "look",
        stays=True,
        words="nominal voltage",
        read="the nominal voltage of the system that feeds '{id}'",
    )
    current: Current = declared("plate", stays=True)
    serves: tuple[Id, ...] = declared(
        "look",
        "ids of the loads that it feeds",
        names=("dc_load", "ac_load", "inverter", "charger", "inlet"),
        stays=True,
        instead=True,
    )
    length: Length = declared("look", "one way", stays=True)
    size: Gauge = declared("look", read="the size printed on the cable of '{id}'")
    conductors_in_parallel: Annotated[int, Field(ge=1, le=8, strict=True)] = declared(
        "look", "like conductors joined at both ends, of the size noted, each way", default=1
    )
    insulation: Temperature = declared(
        "look",
        words="insulation rating",
        read="the temperature printed on the cable of '{id}'",
        example='"105 °C"',
    )
    legend: Words | None = declared("look", example='"BC-5W2 105C"')
    engine_space: Presence = declared(
        "look", read="whether '{id}' passes an engine space", stays=True
    )
    bundled: Annotated[int, Field(ge=1, le=200, strict=True)] | Literal["?"] = declared(
        "look",
        "current-carrying conductors together, this run's own included",
        words="conductors bundled",
        read="how many loaded conductors lie together with '{id}'",
        stays=True,
    )
    sheathed: Presence = declared(
        "look",
        words="sheath",
        read="whether the conductors of '{id}' lie in a sheath",
        stays=True,
    )
    circuit: Words | None = declared(
        "look",
        "kind of circuit, for the drop allowed",
        words="kind of circuit",
        read="what '{id}' feeds",
        stays=True,
        example='"panel feeder"',
    )
    drop: Fraction = declared(
        "papers",
        "drop allowed, where a maker asks for less than the standard",
        words="drop allowed",
        bound=ABOVE_ZERO,
        stays=True,
    )
    ambient: Temperature = declared(
        "meter", "air round it, where hotter than usual", bound=AIR, stays=True
    )
    on_time: Duration = declared(
        "look",
        "longest time on at a stretch",
        words="time on at a stretch",
        bound=ABOVE_ZERO,
        stays=True,
    )
    duty: Fraction = declared(
        "plate",
        "share of its time that it draws, by its plate",
        words="share of its time on",
        may_be="measured duty of a load",
        stays=True,
    )
    when: tuple[Words, ...] | None = declared(
        "look",
        "conditions under which a current noted on the run itself flows",
        stays=True,
        sheet=False,
    )
    protection: Id | None = declared("look", names=("protection",), stays=True, sheet=True)
    switch: Annotated[Choice, OneOf("closed", "open")] = declared(
        "look",
        "how the battery switch or link in it stands; closed where there is none",
        default=Choice(("closed",)),
    )
    closed_when: tuple[Words, ...] | None = declared(
        "look",
        "conditions under which that switch is closed, where not always",
        example='["manoeuvring"]',
        instead=True,
    )
    return_by: Id | None = declared(
        "look",
        "id of the run that is its return, shared with others or of another size, "
        "where it has none of its own",
        example='"run 2"',
        instead=True,
    )


class Protection(Entry):
    """A fuse or breaker."""

    rating: Current = declared("plate", bound=ABOVE_ZERO)
    device: Annotated[Choice, OneOf("fuse", "breaker", "none")] = declared("look", stays=True)
    distance: Length = declared(
        "look", "along the conductor, from its source", words="distance from source", stays=True
    )
    at_battery: Presence = declared(
        "look", read="whether the conductor of '{id}' starts at a battery terminal", stays=True
    )
    sheathed: Presence = declared(
        "look",
        "conductor in a sheath or enclosure from the source to the device",
        read="whether the conductor from the source to '{id}' is sheathed or enclosed all along",
        stays=True,
    )
    not_at_source: Presence = declared(
        "look",
        "no room for it at the source itself",
        read="whether '{id}' could stand at the source itself",
        stays=True,
    )
    not_near_source: Presence = declared(
        "look",
        "no room for it within 7 in either",
        read="whether '{id}' could stand within 7 in of the source",
        stays=True,
    )
    interrupting: Current = declared(
        "plate",
        "marked, for direct current on a DC circuit",
        words="interrupting capacity",
        read="the interrupting capacity marked on '{id}', for direct current",
        bound=ABOVE_ZERO,
    )
    marked_voltage: Voltage = declared("plate", "voltage that it is marked for", bound=ABOVE_ZERO)
    family: Annotated[
        Choice, OneOf("blade", "ANL", "MIDI or AMI", "MEGA", "terminal fuse (MRBF)", "class T")
    ] = declared("plate", "kind of fuse")
    opens: Opens = declared(
        "papers",
        "its time-current curve: current, and longest time to open",
        example='["135 % in 30 min", "200 % in 60 s"]',
        sheet=False,
    )
    ignition_protected: Presence = ignition_protection()
