"""The records of a quote file: what the yard printed, and what it says about each thing."""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field, WithJsonSchema

from elec.boat.declared import Record, declared
from elec.boat.fields import Gauge, Id, OneOf, Presence, Words
from elec.boat.records import (
    ApparentPower,
    Charge,
    Chemistry,
    Current,
    Duration,
    Fraction,
    Length,
    Mass,
    Power,
    Service,
    Surface,
    Temperature,
    Voltage,
)
from elec.noted import Choice

__all__ = ["ITEMS", "Line", "Quote", "QuoteFile", "Subtotal"]

Money = Annotated[
    Decimal,
    WithJsonSchema(
        {
            "anyOf": [{"type": "string"}, {"type": "number"}],
            "description": "a decimal number as printed, currency beside it or not",
            "examples": ["1234.50", "1.234,50"],
        }
    ),
]


def _several(given: Any) -> Any:
    if isinstance(given, str):
        return tuple(part.strip() for part in given.split("|") if part.strip())
    return given


Ids = Annotated[
    tuple[Id, ...],
    BeforeValidator(_several),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]

Item = Literal[
    "cable",
    "fuse",
    "lug",
    "busbar",
    "switch",
    "battery",
    "hold-down",
    "terminal cover",
    "monitor",
    "management system",
    "charger",
    "inverter",
    "alternator",
    "regulator",
    "dc-dc charger",
    "temperature sensor",
    "solar",
    "solar controller",
    "inlet",
    "cord",
    "residual-current device",
    "isolator",
    "transformer",
    "generator",
    "panel",
    "windlass",
    "thruster",
    "anode",
    "ventilation",
    "labels",
    "drawings",
    "commissioning",
    "disposal",
    "haul-out",
    "labour",
    "other",
]
#: What a line may be for. The words behind each, in several languages, are in table quote_words.
ITEMS: tuple[str, ...] = get_args(Item)

_IDS: tuple[str, ...] = ()


class Quote(Record):
    """The quote as a whole, and what stands below its lines."""

    title: Words = "refit quote"
    yard: Words | None = None
    number: Words | None = None
    date: datetime.date | None = Field(None, description="YYYY-MM-DD")
    currency: Words | None = None
    decimal: Literal["point", "comma"] | None = Field(
        None, description="decimal mark of its numbers; read from them if left out"
    )
    decimals: Annotated[int, Field(ge=0, le=4)] | None = Field(
        None, description="digits of the smallest coin; read from its amounts if left out"
    )
    subtotal: Money | None = Field(None, description="sum of all lines, as printed")
    contingency: Fraction = declared("papers")
    contingency_on: Literal["lines", "labour"] = "lines"
    contingency_amount: Money | None = None
    discount: Fraction = declared("papers")
    discount_amount: Money | None = None
    tax: Fraction = declared("papers", "on lines and contingency less discount")
    tax_amount: Money | None = None
    total: Money | None = None
    note: Words | None = None


class Line(Record):
    """One line: what is charged, and what is known of the thing."""

    id: Id = Field(description="number or name of the line")
    section: Words | None = None
    text: Words
    item: Item | None = Field(None, description="what it is; read from its text if left out")
    quantity: Money | None = None
    unit: Words | None = Field(None, description="each, pair, m, ft, h, ...")
    rate: Money | None = Field(None, description="price of one unit")
    amount: Money | None = Field(None, description="as printed")
    replaces: Ids = Field(_IDS, description="ids in the boat file that it takes the place of")
    belongs: Ids = Field(
        _IDS, alias="for", description="ids in the boat file, or lines, that it belongs to"
    )
    size: Gauge = declared("papers")
    insulation: Temperature = declared("papers")
    legend: Words | None = None
    length: Length = declared("papers", "of the run, one way")
    conductors: Annotated[int, Field(ge=1, le=10)] = Field(
        1, description="conductors in one unit of cable: 2 in a twin cable"
    )
    rating: Current = declared("papers", "of a fuse, inlet, charger ...")
    device: Annotated[Choice, OneOf("fuse", "breaker")] = declared("papers")
    interrupting: Current = declared("papers")
    distance: Length = declared("papers", "of a fuse along the conductor from its source")
    chemistry: Chemistry = declared("papers")
    capacity: Charge = declared("papers", "of one battery")
    hour_rate: Duration = declared("papers")
    voltage: Voltage = declared("papers", "of one battery or piece; marked, of a fuse")
    in_series: Annotated[int, Field(ge=1, le=400)] | Literal["?"] = declared("papers")
    in_parallel: Annotated[int, Field(ge=1, le=100)] | Literal["?"] = declared("papers")
    charge_limit: Current = declared("papers", "that its maker sets for the whole bank")
    discharge_limit: Current = declared("papers")
    short_circuit: Current = declared(
        "papers", "short-circuit current of one battery, by its maker"
    )
    mass: Mass = declared("papers")
    management: Presence = declared("papers")
    cold_cutoff: Presence = declared("papers")
    alarm: Presence = declared("papers")
    rings: Annotated[int, Field(ge=0, le=100)] | Literal["?"] = declared(
        "papers", "most rings left on one post, with a bus bar fitted"
    )
    opening: Surface = declared("papers", "free area of each of two air openings")
    profile: Chemistry = declared("papers")
    input: ApparentPower = declared("papers")
    power: Power = declared("papers")
    apparent_power: ApparentPower = declared("papers")
    efficiency: Fraction = declared("papers")
    lowest_voltage: Voltage = declared("papers")
    service: Service = declared("papers")
    note: Words | None = None


class Subtotal(Record):
    """The printed sum of one section."""

    section: Words
    amount: Money


class QuoteFile(Record):
    """A whole quote file."""

    quote: Quote = Field(default_factory=lambda: Quote.model_validate({}))
    line: tuple[Line, ...] = Field(min_length=1)
    subtotal: tuple[Subtotal, ...] = ()

    def find(self, line_id: str) -> Line | None:
        """Return the line of this id, or None."""
        return next((line for line in self.line if line.id == line_id), None)
