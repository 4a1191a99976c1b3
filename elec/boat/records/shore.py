"""Shore power as noted: inlets, cords, docks, transformers."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from elec.boat.bounds import ABOVE_ZERO, AIR
from elec.boat.declared import declared
from elec.boat.fields import Gauge, Id, OneOf, Presence, Words
from elec.boat.records.entry import Entry, ignition_protection
from elec.boat.records.kinds import (
    ApparentPower,
    Current,
    Frequency,
    Length,
    Service,
    Surface,
    Temperature,
    Voltage,
)
from elec.noted import Choice

__all__ = ["Cord", "Dock", "Inlet", "Transformer"]


class Inlet(Entry):
    """A shore-power inlet."""

    rating: Current = declared("plate", bound=ABOVE_ZERO)
    service: Service = declared("plate", stays=True, read="the voltages moulded on inlet '{id}'")
    supply: Voltage = declared(
        "meter",
        "voltage that the dock really gives: between legs, or to neutral on one leg",
        stays=True,
        words="supply voltage",
        read="the voltage at '{id}' under load",
        example='"120 V"',
    )
    breaker: Current = declared("plate", bound=ABOVE_ZERO, stays=True, words="main breaker")
    breaker_distance: Length = declared("look", stays=True, words="distance of its main breaker")
    ground_fault_protection: Presence = declared("look", stays=True, words="leakage protection")
    polarity_indicator: Presence = declared("look", stays=True)
    heat_marks: Presence = declared("look", words="marks of heat")
    isolator: Presence = declared(
        "look", stays=True, read="what stands in the earth of '{id}', traced from it"
    )
    isolator_rating: Current = declared(
        "plate", bound=ABOVE_ZERO, stays=True, read="the rating on the isolator of '{id}'"
    )
    isolator_block: Voltage = declared(
        "papers",
        "voltage that the isolator blocks, from its papers",
        stays=True,
        read="the voltage that the isolator of '{id}' blocks, in its papers",
    )
    isolator_tested: Presence = declared(
        "specialist",
        "tested: it blocks, and carries a fault",
        stays=True,
        read="the isolator of '{id}', tested both ways by a licensed marine electrician",
    )
    frequency: Frequency = declared("meter", read="Hz of '{id}'")
    no_load_voltage: Voltage = declared(
        "meter", "read aboard just before a load is switched on", words="voltage without the load"
    )
    loaded_voltage: Voltage = declared(
        "meter", "read at the same place with that load on", words="voltage with the load"
    )
    loaded_current: Current = declared(
        "meter",
        "that the load adds in that reading",
        bound=ABOVE_ZERO,
        words="current of the load",
    )
    leakage: Current = declared(
        "meter",
        "AC clamped round the whole shore cord, plugged in",
        stays=True,
        words="AC leakage",
    )
    pedestal: Current = declared(
        "plate",
        "breaker of the receptacle on the dock",
        bound=ABOVE_ZERO,
        stays=True,
        words="breaker on the dock",
    )
    adapter: Annotated[Choice, OneOf("none", "two 30 A into one 50 A", "one 50 A into 30 A")] = (
        declared("look", "between the dock's receptacle and the cord")
    )
    adapter_legs: Annotated[Choice, OneOf("opposite", "same")] = declared(
        "meter",
        "legs of the two receptacles of an adapter, by the volts between them",
        words="the two receptacles of its adapter",
        read="the volts between the two receptacles of the adapter of '{id}'",
    )
    area: Surface = declared(
        "look",
        "living space whose lights and sockets it feeds, no engine spaces or decks",
        stays=True,
        words="living space served",
    )
    double_pole: Presence = declared(
        "look",
        "its breakers open both or all conductors",
        stays=True,
        words="breakers of all poles",
    )
    neutral_earth_bond: Presence = declared(
        "specialist",
        "neutral and earth joined aboard while on shore power",
        stays=True,
        words="neutral and earth on shore power",
    )
    terminal_hot: Temperature = declared(
        "specialist",
        "hottest terminal or pin, under load",
        words="temperature of its hottest terminal",
    )
    terminal_similar: Temperature = declared(
        "specialist",
        "a like terminal at the same current",
        words="temperature of a like terminal at the same current",
    )
    terminal_ambient: Temperature = declared(
        "specialist",
        "air at the inlet during that reading",
        bound=AIR,
        words="temperature of the air",
    )
    terminal_current: Current = declared("meter", "current during that reading")
    terminal_drop: Voltage = declared(
        "specialist",
        "drop across the hottest contact at that current",
        words="drop across its contact",
    )
    terminal_similar_drop: Voltage = declared(
        "specialist",
        "drop across a like contact at the same current",
        words="drop across a like contact",
    )


class Cord(Entry):
    """A shore cord or extension."""

    inlet: Id | None = declared("look", names=("inlet",), stays=True)
    rating: Current = declared("plate", bound=ABOVE_ZERO)
    size: Gauge = declared("plate", read="the size printed on '{id}'")
    length: Length = declared("look", stays=True)
    legend: Words | None = declared(
        "plate",
        example='"BC-5W2 105C"',
        words="kind of cord",
        read="the legend printed on '{id}', as H07RN-F",
    )


class Dock(Entry):
    """Receptacles of one kind on a feeder of a dock; only for the demand of that feeder."""

    rating: Current = declared("plate", bound=ABOVE_ZERO)
    service: Service = declared("plate")
    count: Annotated[int, Field(ge=1, le=1000, strict=True)] = declared("look", default=1)
    feeder: Words = declared(
        "look", "name of the feeder, one for all if left out", default="feeder"
    )
    feeder_rating: Current = declared(
        "plate",
        "breaker of the feeder, on any of its entries",
        bound=ABOVE_ZERO,
        words="feeder breaker",
    )
    feeder_service: Service = declared("plate")


class Transformer(Entry):
    """A shore transformer."""

    inlet: Id | None = declared("look", names=("inlet",), stays=True)
    rating: ApparentPower = declared("plate", bound=ABOVE_ZERO)
    isolating: Presence = declared(
        "plate",
        stays=True,
        words="isolating windings",
        read="the diagram on '{id}', and whether the shore earth wire ends at it",
    )
    distance: Length = declared("look", "from the inlet, along the conductors", stays=True)
    ignition_protected: Presence = ignition_protection()
