"""The kinds of fields that records have: values with their quantity, words that may be unread."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator

from elec.boat.fields import Amount, Factor, OneOf
from elec.boat.spellings import legs_named, service_named
from elec.noted import Choice, Noted

Service = Annotated[
    Choice,
    OneOf(
        "120 V",
        "120/240 V",
        "120/208 V two legs",
        "120/208 V three-phase",
        "230 V",
        "230/400 V three-phase",
    ),
    BeforeValidator(service_named),
]
Legs = Annotated[
    Choice,
    OneOf("L1", "L2", "L3", "L1-L2", "L2-L3", "L3-L1", "all"),
    BeforeValidator(legs_named),
]
Chemistry = Annotated[Choice, OneOf("flooded", "gel", "agm", "lfp")]
Environment = Annotated[Choice, OneOf("sea", "brackish", "fresh", "splash", "bilge", "dry")]

Current = Annotated[Noted, Amount("current")]
Voltage = Annotated[Noted, Amount("voltage")]
Power = Annotated[Noted, Amount("power")]
ApparentPower = Annotated[Noted, Amount("apparent_power")]
Charge = Annotated[Noted, Amount("charge")]
Energy = Annotated[Noted, Amount("energy")]
Length = Annotated[Noted, Amount("length")]
Altitude = Annotated[Noted, Amount("altitude")]
Duration = Annotated[Noted, Amount("duration")]
Temperature = Annotated[Noted, Amount("temperature")]
Fraction = Annotated[Noted, Amount("fraction")]
Percentage = Annotated[Noted, Amount("percentage")]
Cooling = Annotated[Noted, Amount("cooling")]
Surface = Annotated[Noted, Amount("surface")]
Mass = Annotated[Noted, Amount("mass")]
Potential = Annotated[Noted, Amount("potential")]
Cranking = Annotated[Noted, Amount("cranking")]
Frequency = Annotated[Noted, Amount("frequency")]
Resistance = Annotated[Noted, Amount("resistance")]
Ratio = Annotated[Noted, Amount("ratio")]
PowerFactor = Annotated[Noted, Factor()]
Salinity = Annotated[Noted, Amount("salinity")]
Life = Annotated[Noted, Amount("life")]
CurrentDensity = Annotated[Noted, Amount("current_density")]
Resistivity = Annotated[Noted, Amount("resistivity")]
Series = Literal["LAQUE_ACA", "E2_RANGES", "BOAT_CHART", "NRL", "STEADY_SCE"]
Volume = Annotated[Noted, Amount("volume")]
