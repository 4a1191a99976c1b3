"""The records of a boat file: one class per trade word, one field per thing noted aboard."""

from __future__ import annotations

import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from elec.boat.curve import NO_CURVE, Opens
from elec.boat.fields import Amount, Factor, Gauge, GaugeNoted, Id, Presence, Words, Year, YearNoted
from elec.boat.spellings import legs_named, service_named
from elec.noted import Noted, unseen

__all__ = [
    "STANDARD_CONDITIONS",
    "AcLoad",
    "Alternator",
    "Anode",
    "Bank",
    "BatteryString",
    "Boat",
    "BoatFile",
    "Bus",
    "Charger",
    "Cord",
    "Couple",
    "DcLoad",
    "Dock",
    "Entry",
    "Generator",
    "Inlet",
    "Inverter",
    "Metal",
    "Period",
    "Protection",
    "Reading",
    "Run",
    "Solar",
    "Terminal",
    "Transformer",
]

#: Operating conditions every boat has; a boat may add its own.
STANDARD_CONDITIONS = ("shore", "anchor", "under way", "manoeuvring")

Service = Annotated[
    Literal[
        "120 V",
        "120/240 V",
        "120/208 V two legs",
        "120/208 V three-phase",
        "230 V",
        "230/400 V three-phase",
        "?",
    ],
    BeforeValidator(service_named),
]
Legs = Annotated[
    Literal["L1", "L2", "L3", "L1-L2", "L2-L3", "L3-L1", "all", "?"], BeforeValidator(legs_named)
]
Chemistry = Literal["flooded", "gel", "agm", "lfp", "?"]
Environment = Literal["sea", "brackish", "fresh", "splash", "bilge", "dry", "?"]

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
#: A boat's paint; a durability of ABS; a category of DNV.
Coating = Literal["bare", "painted", "low", "medium", "high", "I", "II", "III", "IV", "?"]
Series = Literal["LAQUE_ACA", "E2_RANGES", "BOAT_CHART", "NRL", "STEADY_SCE"]
Volume = Annotated[Noted, Amount("volume")]


_NO_SIZE = GaugeNoted(None, False, "?")
_NO_YEAR = YearNoted((), "?")


class _Record(BaseModel):
    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        arbitrary_types_allowed=True,
        populate_by_name=True,
        defer_build=True,  # the file's own reads all of them: none is built for itself alone
    )


class Entry(_Record):
    """What every entry of the file may have."""

    id: Id
    where: Words | None = Field(default=None, description="place aboard")
    kind: Words | None = Field(default=None, description="entry of the catalogue of typical gear")
    year: Year = _NO_YEAR
    note: Words | None = None


class Boat(_Record):
    """The boat as a whole."""

    name: Words
    length: Length = unseen("length")
    built: Year = _NO_YEAR
    surveyed: datetime.date | None = Field(default=None, description="date of the walk, YYYY-MM-DD")
    hull: Literal["grp", "wood", "steel", "aluminium", "?"] = "?"
    water: Literal["sea", "brackish", "fresh", "?"] = "?"
    fuel: Literal["diesel", "petrol", "none", "?"] = "?"
    salinity: Salinity = unseen("salinity")
    water_temperature: Temperature = unseen("temperature")
    water_resistivity: Resistivity = unseen("resistivity")
    basis: Literal["us", "iso"] = Field(
        default="us", description="the family of tables to judge by"
    )
    series: Series = Field("LAQUE_ACA", description="galvanic series to judge immersed metals by")
    place: Words | None = None
    runs_traced: Literal["some", "all", "?"] = Field(
        default="?",
        description="all: every DC cable run aboard is in this file; a load, busbar or fuse that "
        "no run joins is then refused as a mistake of the file",
    )
    conditions: tuple[Words, ...] = Field(
        default=(), description="conditions besides the standard four"
    )
    note: Words | None = None


class Inlet(Entry):
    """A shore-power inlet."""

    rating: Current = unseen("current")
    service: Service = "?"
    supply: Voltage = Field(
        default=unseen("voltage"),
        description="voltage that the dock really gives: between legs, or to neutral on one leg",
    )
    breaker: Current = unseen("current")
    breaker_distance: Length = unseen("length")
    ground_fault_protection: Presence = "?"
    polarity_indicator: Presence = "?"
    heat_marks: Presence = "?"
    isolator: Presence = "?"
    isolator_rating: Current = unseen("current")
    isolator_block: Voltage = Field(
        default=unseen("voltage"), description="voltage that the isolator blocks, from its papers"
    )
    isolator_tested: Presence = Field(
        default="?", description="tested: it blocks, and carries a fault"
    )
    frequency: Frequency = unseen("frequency")
    no_load_voltage: Voltage = Field(
        default=unseen("voltage"), description="read aboard just before a load is switched on"
    )
    loaded_voltage: Voltage = Field(
        default=unseen("voltage"), description="read at the same place with that load on"
    )
    loaded_current: Current = Field(
        default=unseen("current"), description="that the load adds in that reading"
    )
    leakage: Current = Field(
        default=unseen("current"), description="AC clamped round the whole shore cord, plugged in"
    )
    pedestal: Current = Field(
        default=unseen("current"), description="breaker of the receptacle on the dock"
    )
    adapter: Literal["none", "two 30 A into one 50 A", "one 50 A into 30 A", "?"] = Field(
        default="?", description="between the dock's receptacle and the cord"
    )
    adapter_legs: Literal["opposite", "same", "?"] = Field(
        default="?",
        description="legs of the two receptacles of an adapter, by the volts between them",
    )
    area: Surface = Field(
        default=unseen("surface"),
        description="living space whose lights and sockets it feeds, no engine spaces or decks",
    )
    double_pole: Presence = Field(
        default="?", description="its breakers open both or all conductors"
    )
    neutral_earth_bond: Presence = Field(
        default="?", description="neutral and earth joined aboard while on shore power"
    )
    terminal_hot: Temperature = Field(
        default=unseen("temperature"), description="hottest terminal or pin, under load"
    )
    terminal_similar: Temperature = Field(
        default=unseen("temperature"), description="a like terminal at the same current"
    )
    terminal_ambient: Temperature = Field(
        default=unseen("temperature"), description="air at the inlet during that reading"
    )
    terminal_current: Current = Field(
        default=unseen("current"), description="current during that reading"
    )
    terminal_drop: Voltage = Field(
        default=unseen("voltage"), description="drop across the hottest contact at that current"
    )
    terminal_similar_drop: Voltage = Field(
        default=unseen("voltage"), description="drop across a like contact at the same current"
    )


class Cord(Entry):
    """A shore cord or extension."""

    inlet: Id | None = None
    rating: Current = unseen("current")
    size: Gauge = _NO_SIZE
    length: Length = unseen("length")
    legend: Words | None = None


class Dock(Entry):
    """Receptacles of one kind on a feeder of a dock; only for the demand of that feeder."""

    rating: Current = unseen("current")
    service: Service = "?"
    count: Annotated[int, Field(ge=1, le=1000, strict=True)] = 1
    feeder: Words = Field("feeder", description="name of the feeder, one for all if left out")
    feeder_rating: Current = Field(
        default=unseen("current"), description="breaker of the feeder, on any of its entries"
    )
    feeder_service: Service = "?"


class Transformer(Entry):
    """A shore transformer."""

    inlet: Id | None = None
    rating: ApparentPower = unseen("apparent_power")
    isolating: Presence = "?"
    distance: Length = Field(
        default=unseen("length"), description="from the inlet, along the conductors"
    )
    ignition_protected: Presence = "?"


class Generator(Entry):
    """A generator."""

    power: Power = unseen("power")
    apparent_power: ApparentPower = unseen("apparent_power")
    service: Service = "?"
    frequency: Frequency = unseen("frequency")
    hours: Duration = Field(
        default=unseen("duration"), description="hours a day that it runs away from the dock"
    )
    feeds: tuple[Id, ...] | None = Field(
        default=None, description="ids of the inlets whose loads it can carry; all if left out"
    )
    intake: Temperature = Field(
        default=unseen("temperature"), description="air at its intake, at full load"
    )
    altitude: Altitude = Field(
        default=unseen("altitude"), description="of the water above the sea; left out at sea"
    )
    reactance: Ratio = Field(
        default=unseen("ratio"), description="transient reactance X'd, per unit, from its papers"
    )
    neutral_earth_bond: Presence = Field(
        default="?", description="neutral and earth joined at it, while it feeds"
    )
    ignition_protected: Presence = "?"


class Inverter(Entry):
    """An inverter fed by a bank."""

    bank: Id | None = None
    power: Power = unseen("power")
    efficiency: Fraction = unseen("fraction")
    idle: Current = unseen("current")
    surge: Power = Field(default=unseen("power"), description="for seconds, from its papers")
    lowest_voltage: Voltage = Field(
        default=unseen("voltage"), description="of the bank, at which it switches off"
    )
    service: Service = "?"
    inlet: Id | None = Field(default=None, description="id of the inlet that feeds its AC input")
    passes_through: Presence = Field(
        default="?", description="passes shore power on to its loads, as an inverter-charger does"
    )
    transfer: Current = Field(
        default=unseen("current"), description="most that it passes on from the shore, by its plate"
    )
    input: ApparentPower = Field(
        default=unseen("apparent_power"),
        description="AC input of its own charger; 0 VA if none, or noted as a charger",
    )
    neutral_earth_bond: Presence = Field(
        default="?", description="neutral and earth joined at it, while it feeds"
    )
    ignition_protected: Presence = "?"


class AcLoad(Entry):
    """A load on alternating current."""

    inlet: Id | None = Field(
        default=None, description="id of the inlet, generator or inverter that feeds it"
    )
    count: Annotated[int, Field(ge=1, le=1000, strict=True)] = 1
    volts: Voltage = unseen("voltage")
    current: Current = unseen("current")
    power: Power = unseen("power")
    apparent_power: ApparentPower = unseen("apparent_power")
    cooling: Cooling = unseen("cooling")
    power_factor: PowerFactor = Field(
        default=unseen("ratio"), description="of its plate, as 0.8, or 0.95 leading"
    )
    third_harmonic: Fraction = Field(
        default=unseen("fraction"),
        description="third harmonic of its current, as a share of the fundamental",
    )
    duty: Fraction = Field(
        default=unseen("fraction"), description="share of its switched-on time that it draws"
    )
    hours: Duration = Field(default=unseen("duration"), description="hours a day switched on")
    locked_rotor: Current = Field(
        default=unseen("current"), description="on starting, as LRA on the plate"
    )
    code_letter: Words | None = Field(
        default=None, description="locked-rotor code letter of a motor"
    )
    shaft_power: Power = Field(default=unseen("power"), description="of a motor, at its shaft")
    soft_start: Presence = "?"
    legs: Legs = Field(
        default="?", description="L1, L2, L3, L1-L2 (across two legs), all (three-phase)"
    )
    behaviour: Literal["constant power", "resistance", "motor", "?"] = "?"
    when: tuple[Words, ...] | None = Field(
        default=None, description="conditions under which it runs"
    )
    use: Literal["always", "choice", "?"] = "?"
    rated_frequency: Literal["50 Hz", "60 Hz", "50/60 Hz", "?"] = Field(
        default="?", description="on its plate"
    )


class BatteryString(_Record):
    """One of the parallel strings of a bank."""

    year: Year = _NO_YEAR
    date_code: Words | None = None
    remaining: Fraction = unseen("fraction")
    label: Words | None = Field(
        default=None, description="make and type on its label, for comparison"
    )
    note: Words | None = None


class Bank(Entry):
    """A battery bank."""

    voltage: Voltage = unseen("voltage")
    chemistry: Chemistry = "?"
    capacity: Charge = Field(
        default=unseen("charge"), description="of one battery, at its hour rate"
    )
    rate: Duration = unseen("duration")
    in_series: Annotated[int, Field(ge=1, le=400, strict=True)] | Literal["?"] = 1
    in_parallel: Annotated[int, Field(ge=1, le=100, strict=True)] | Literal["?"] = 1
    string: tuple[BatteryString, ...] = ()
    group: Words | None = Field(default=None, description="box size, as BCI 31, 4D, 8D")
    remaining: Fraction = Field(
        default=unseen("fraction"),
        description="capacity left, as a share of rated, if it was tested",
    )
    usable: Fraction = unseen("fraction")
    temperature: Temperature = unseen("temperature")
    autonomy: Duration = unseen("duration")
    condition: Words | None = Field(
        default=None, description="condition for which autonomy is asked"
    )
    charge_return: Percentage = unseen("percentage")
    charge_limit: Current = unseen("current")
    cranking: Cranking = unseen("cranking")
    reserve: Duration = Field(
        default=unseen("duration"), description="reserve capacity of one battery: time at 25 A"
    )
    mass: Mass = Field(default=unseen("mass"), description="of one battery")
    starts: Words | None = Field(default=None, description="engine that it starts")
    cranking_needed: Cranking = Field(
        default=unseen("cranking"), description="asked by the maker of the engine it starts"
    )
    displacement: Volume = Field(
        default=unseen("volume"), description="displacement of the engine it starts"
    )
    start_reserve: Fraction = Field(
        default=unseen("fraction"), description="charge to be kept for starting"
    )
    discharge_limit: Current = Field(
        default=unseen("current"), description="most that its maker lets it give for long"
    )
    drain: Current = Field(
        default=unseen("current"), description="drawn with everything switched off"
    )
    unattended: Duration = Field(
        default=unseen("duration"), description="longest time it is left without charging"
    )
    rings_on_post: Annotated[int, Field(ge=0, le=100, strict=True)] | Literal["?"] = "?"
    secured: Presence = Field(
        default="?", description="held against moving, heel and rolling included"
    )
    covers: Presence = Field(default="?", description="terminals covered against a short by a tool")
    vented: Presence = Field(default="?", description="its space is aired to the outside")
    opening: Surface = Field(
        default=unseen("surface"), description="free area of each of its two air openings"
    )
    management: Presence = Field(
        default="?", description="battery management system, of a lithium bank"
    )
    cold_cutoff: Presence = Field(default="?", description="charging is stopped below freezing")
    alarm: Presence = Field(
        default="?", description="warns before the management system shuts it down"
    )
    short_circuit: Current = Field(
        default=unseen("current"), description="short-circuit current of one battery, by its maker"
    )
    resistance: Resistance = Field(
        default=unseen("resistance"), description="inside one battery, by its maker"
    )


class Charger(Entry):
    """A mains charger."""

    bank: Id
    inlet: Id | None = None
    current: Current = unseen("current")
    voltage: Voltage = unseen("voltage")
    profile: Chemistry = "?"
    recharge: Duration = Field(default=unseen("duration"), description="recharge time wanted")
    input: ApparentPower = Field(
        default=unseen("apparent_power"), description="AC input at full output"
    )
    ignition_protected: Presence = "?"


class Alternator(Entry):
    """An engine alternator, or a converter that it feeds."""

    bank: Id
    current: Current = unseen("current")
    voltage: Voltage = unseen("voltage")
    converter: Current = unseen("current")
    charging_voltage: Voltage = Field(
        default=unseen("voltage"), description="on the bank's side of the converter"
    )
    efficiency: Fraction = unseen("fraction")
    regulator: Presence = Field(
        default="?", description="regulator that limits it by temperature or current"
    )


class Solar(Entry):
    """Solar panels on a bank."""

    bank: Id
    power: Power = unseen("power")
    sun: Duration = Field(default=unseen("duration"), description="full-sun hours a day")
    factor: Fraction = unseen("fraction")


class DcLoad(Entry):
    """A load on direct current."""

    bank: Id | None = None
    inverter: Id | None = Field(default=None, description="inverter through which it is fed")
    count: Annotated[int, Field(ge=1, le=1000, strict=True)] = 1
    current: Current = unseen("current")
    power: Power = unseen("power")
    duty: Fraction = unseen("fraction")
    hours: Duration = Field(default=unseen("duration"), description="hours a day switched on")
    charge_per_day: Charge = unseen("charge")
    energy_per_day: Energy = unseen("energy")
    efficiency: Fraction = unseen("fraction")
    lowest_voltage: Voltage = Field(
        default=unseen("voltage"), description="at which it still works, from its papers"
    )
    when: tuple[Words, ...] | None = None


class Bus(Entry):
    """A busbar, panel or other point where runs meet; runs name it as 'from' or 'to'."""


class Period(Entry):
    """A stretch of a timetable, in hours from its beginning, the banks full."""

    condition: Words
    start: Duration
    end: Duration
    generator: Duration = Field(
        default=unseen("duration"), description="hours of it that the generator charges"
    )


class Run(Entry):
    """A cable run: both conductors from one point to another."""

    start: Id | None = Field(default=None, alias="from", description="where it starts, by id")
    end: Id | None = Field(default=None, alias="to", description="where it ends, by id")
    voltage: Voltage = unseen("voltage")
    current: Current = unseen("current")
    serves: tuple[Id, ...] = Field(default=(), description="ids of the loads that it feeds")
    length: Length = Field(default=unseen("length"), description="one way")
    size: Gauge = _NO_SIZE
    conductors_in_parallel: Annotated[int, Field(ge=1, le=8, strict=True)] = Field(
        default=1, description="like conductors joined at both ends, of the size noted, each way"
    )
    insulation: Temperature = unseen("temperature")
    legend: Words | None = None
    engine_space: Presence = "?"
    bundled: Annotated[int, Field(ge=1, le=200, strict=True)] | Literal["?"] = Field(
        default="?", description="current-carrying conductors together, this run's own included"
    )
    sheathed: Presence = "?"
    circuit: Words | None = Field(default=None, description="kind of circuit, for the drop allowed")
    drop: Fraction = Field(
        default=unseen("fraction"),
        description="drop allowed, where a maker asks for less than the standard",
    )
    ambient: Temperature = Field(
        default=unseen("temperature"), description="air round it, where hotter than usual"
    )
    on_time: Duration = Field(
        default=unseen("duration"), description="longest time on at a stretch"
    )
    duty: Fraction = Field(
        default=unseen("fraction"), description="share of its time that it draws, by its plate"
    )
    when: tuple[Words, ...] | None = Field(
        default=None, description="conditions under which a current noted on the run itself flows"
    )
    protection: Id | None = None
    switch: Literal["closed", "open", "?"] = Field(
        default="closed",
        description="how the battery switch or link in it stands; closed where there is none",
    )
    closed_when: tuple[Words, ...] | None = Field(
        default=None, description="conditions under which that switch is closed, where not always"
    )
    return_by: Id | None = Field(
        default=None,
        description="id of the run that is its return, shared with others or of another size, "
        "where it has none of its own",
    )


class Protection(Entry):
    """A fuse or breaker."""

    rating: Current = unseen("current")
    device: Literal["fuse", "breaker", "none", "?"] = "?"
    distance: Length = Field(
        default=unseen("length"), description="along the conductor, from its source"
    )
    at_battery: Presence = "?"
    sheathed: Presence = Field(
        default="?", description="conductor in a sheath or enclosure from the source to the device"
    )
    not_at_source: Presence = Field(default="?", description="no room for it at the source itself")
    not_near_source: Presence = Field(default="?", description="no room for it within 7 in either")
    interrupting: Current = Field(
        default=unseen("current"), description="marked, for direct current on a DC circuit"
    )
    marked_voltage: Voltage = Field(
        default=unseen("voltage"), description="voltage that it is marked for"
    )
    family: Literal[
        "blade", "ANL", "MIDI or AMI", "MEGA", "terminal fuse (MRBF)", "class T", "?"
    ] = Field(default="?", description="kind of fuse")
    opens: Opens = Field(
        default=NO_CURVE, description="its time-current curve: current, and longest time to open"
    )
    ignition_protected: Presence = "?"


class Metal(Entry):
    """A piece of metal, under water or not."""

    metal: Words
    exposure: Environment = "?"
    area: Surface = Field(default=unseen("surface"), description="bare, in the water")
    bonded: Presence = "?"
    bond_resistance: Resistance = Field(
        default=unseen("resistance"), description="from the anode to it, meter leads taken off"
    )
    stray: Current = Field(
        default=unseen("current"), description="DC measured leaving it into the water"
    )


class Couple(Entry):
    """Two metals in electrical contact."""

    a: Words = Field(description="id of a metal entry, or a metal's name")
    b: Words
    exposure: Environment = "?"


class Anode(Entry):
    """A sacrificial anode."""

    material: Literal["zinc", "aluminium", "magnesium", "?"] = "?"
    count: Annotated[int, Field(ge=1, le=200, strict=True)] = 1
    mass: Mass = Field(default=unseen("mass"), description="of one, new, without its core")
    wasted: Fraction = unseen("fraction")
    after: Life = Field(default=unseen("life"), description="time since it was new")
    life: Life = Field(default=unseen("life"), description="time that it should last")
    protects: Words | None = None
    area: Surface = Field(default=unseen("surface"), description="surface that they protect")
    current_density: CurrentDensity = Field(
        default=unseen("current_density"), description="that the surface takes, paint counted in"
    )
    coating: Coating = Field(default="?", description="of that surface")
    current: Current = Field(default=unseen("current"), description="that the surface takes")
    mount: Literal["flush", "stand-off", "?"] = "?"
    length: Length = unseen("length")
    width: Length = unseen("length")
    thickness: Length = unseen("length")
    standoff: Length = Field(default=unseen("length"), description="from the hull to the anode")
    core: Length = Field(default=unseen("length"), description="radius of its steel core")


class Reading(Entry):
    """A reference-cell potential reading."""

    potential: Potential = unseen("potential")
    cell: Literal["Ag/AgCl seawater", "SCE", "CSE", "zinc", "?"] = "?"
    shore: Literal["plugged in", "unplugged", "?"] = "?"
    of: Words | None = Field(default=None, description="id of a metal entry, or what was touched")
    salinity: Salinity = unseen("salinity")


class Terminal(Entry):
    """A stack of lug, washers, stud and nut."""

    stack: tuple[Words, ...] = Field(
        description="metals or platings in the order they touch, two or more"
    )
    exposure: Environment = "?"


class BoatFile(_Record):
    """A whole boat file."""

    boat: Boat
    inlet: tuple[Inlet, ...] = ()
    cord: tuple[Cord, ...] = ()
    dock: tuple[Dock, ...] = ()
    transformer: tuple[Transformer, ...] = ()
    generator: tuple[Generator, ...] = ()
    inverter: tuple[Inverter, ...] = ()
    ac_load: tuple[AcLoad, ...] = ()
    bank: tuple[Bank, ...] = ()
    charger: tuple[Charger, ...] = ()
    alternator: tuple[Alternator, ...] = ()
    solar: tuple[Solar, ...] = ()
    dc_load: tuple[DcLoad, ...] = ()
    bus: tuple[Bus, ...] = ()
    period: tuple[Period, ...] = ()
    run: tuple[Run, ...] = ()
    protection: tuple[Protection, ...] = ()
    metal: tuple[Metal, ...] = ()
    couple: tuple[Couple, ...] = ()
    anode: tuple[Anode, ...] = ()
    reading: tuple[Reading, ...] = ()
    terminal: tuple[Terminal, ...] = ()

    def entries(self) -> list[tuple[str, Entry]]:
        """Return every entry with the name of its list, in file order of the lists."""
        found: list[tuple[str, Entry]] = []
        for name in type(self).model_fields:
            if name != "boat":
                found.extend((name, entry) for entry in getattr(self, name))
        return found

    def find(self, entry_id: str) -> Entry | None:
        """Return the entry with this id, or None."""
        lists = (getattr(self, name) for name in type(self).model_fields if name != "boat")
        return next((entry for some in lists for entry in some if entry.id == entry_id), None)
