"""What clashes between AC loads, inlets and their services."""

from __future__ import annotations

from collections.abc import Iterator

from elec.boat.ac_loads import OF_230_V, PAIRS, SERVICES, service_of
from elec.boat.records import AcLoad, BoatFile, Generator, Inlet
from elec.noted import Choice, Noted
from elec.published import table

__all__ = ["ac_load_faults", "below_real_power", "supply_faults"]

Found = Iterator[tuple[str, ...]]

_LEGS_OF_SERVICE = {
    "120 V": {"L1"},
    "230 V": {"L1"},
    "120/240 V": {"L1", "L2", "L1-L2"},
    "120/208 V two legs": {"L1", "L2", "L1-L2"},
    "120/208 V three-phase": {"L1", "L2", "L3", "L1-L2", "L2-L3", "L3-L1", "all"},
    "230/400 V three-phase": {"L1", "L2", "L3", "L1-L2", "L2-L3", "L3-L1", "all"},
}
#: How far a dock may lie from the nominal voltage of its service. Our own convention, wider than
#: any published limit.
_LOWEST, _HIGHEST = 0.8, 1.25
#: How far a plate may lie from it: 110 to 127 V on 120 V, 220 to 250 V on 230 V, 380 to 440 V on
#: 400 V; not 100 V on 120 V, nor 277 V on 240 V. Our own convention.
_PLATE_LOWEST, _PLATE_HIGHEST = 0.85, 1.1
#: Gear of either voltage is run between legs of either American service.
_BETWEEN_LEGS = {208.0: (208.0, 240.0), 240.0: (208.0, 240.0)}
#: The least that a voltage may fall to by a load: less is read between other conductors, to
#: neutral (half, or 1/√3) after between legs. Our own convention.
_SAME_CONDUCTORS = 0.65
#: How far watts over volt-amperes may lie from the power factor of the same plate, all of them
#: printed rounded. Our own convention.
_PLATE_AGREES = 0.1


def _near(volts: tuple[float, float, float], nominal: float) -> bool:
    return any(
        volts[2] >= _PLATE_LOWEST * each and volts[0] <= _PLATE_HIGHEST * each
        for each in _BETWEEN_LEGS.get(nominal, (nominal,))
    )


def ac_load_faults(boat: BoatFile, entry: AcLoad) -> Found:
    """Say what clashes in an AC load, and between it and the service that feeds it."""
    alone = boat.inlet[0].id if len(boat.inlet) == 1 else None
    fed_by = entry.inlet or alone
    feeder: Choice | None = getattr(boat.find(fed_by) if fed_by else None, "service", None)
    service = "?" if feeder is None else feeder.text
    allowed = _LEGS_OF_SERVICE.get(service)
    if entry.legs.seen and allowed and not entry.legs.is_surely(*allowed):
        between = entry.legs.is_surely(*PAIRS, "all")
        words = "connects between legs, and there is one leg" if between else "is not a leg"
        if len(allowed) > 1:
            words = "is not a leg"
        yield (
            "legs",
            f"'{entry.legs}' {words} of {service} at '{fed_by}'"
            if words == "is not a leg"
            else f"'{entry.legs}' {words} on {service} at '{fed_by}'",
            f"Accepted there: {', '.join(sorted(allowed))}.",
        )
    elif allowed and entry.volts.seen:
        yield from _volts(entry, service, fed_by)
    yield from _plate(entry)
    if entry.current.seen and not entry.volts.seen and service in {"120/240 V", "?"}:
        yield (
            "volts",
            "missing beside 'current'",
            'Give the voltage that the current was read at, as in volts = "240 V".',
        )


def _volts(entry: AcLoad, service: str, fed_by: str | None) -> Found:
    known = SERVICES[service]
    ways = {known.to_neutral_V: "to neutral"}
    if known.between_legs_V:
        ways[known.between_legs_V] = "between legs"
    if entry.legs.is_surely("L1", "L2", "L3"):
        ways = {known.to_neutral_V: "to neutral"}
    elif entry.legs.seen and known.between_legs_V:
        ways = {known.between_legs_V: "between legs"}
    if any(_near(entry.volts.span, nominal) for nominal in ways):
        return
    accepted = " or ".join(f"{volts:g} V {words}" for volts, words in ways.items())
    more = ""
    if known.between_legs_V is None and _near(entry.volts.span, 2 * known.to_neutral_V):
        more = ": a load between legs cannot run on one leg"
    yield (
        "volts",
        f"{entry.volts.text} on {service} at '{fed_by}'{more}",
        f"That service gives {accepted}. Read the plate again, or name the inlet that feeds it.",
    )


def _plate(entry: AcLoad) -> Found:
    given = [name for name in ("current", "power", "apparent_power") if getattr(entry, name).seen]
    if "current" in given and len(given) > 1:
        yield (given[1], f"{' and '.join(given[:2])} are both given", "Give one of them.", "")
    yield from below_real_power(entry)
    factor = entry.power_factor
    if factor.seen and not (factor.span[0] > 0 and factor.span[2] <= 1):
        yield (
            "power_factor",
            f"{factor.text} is no power factor",
            "Give one above 0, up to 1, as 0.8; leave it out if it is not on the plate.",
        )
    elif factor.seen and entry.power.seen and entry.apparent_power.seen:
        yield from _three_of_a_plate(entry.power, entry.apparent_power, factor)
    yield from _locked_rotor(entry)
    yield from _code_letter(entry)


def _three_of_a_plate(watts: Noted, volt_amperes: Noted, factor: Noted) -> Found:
    if not 0 < watts.span[0] <= volt_amperes.span[2] or volt_amperes.span[0] <= 0:
        return
    low, high = watts.span[0] / volt_amperes.span[2], watts.span[2] / volt_amperes.span[0]
    if low > factor.span[2] * (1 + _PLATE_AGREES) or high < factor.span[0] * (1 - _PLATE_AGREES):
        yield (
            "power_factor",
            f"{factor.text} does not go with {watts.text} and {volt_amperes.text}, which make "
            f"{watts.span[1] / volt_amperes.span[1]:.2g}",
            "Read the plate again, or leave one of the three out.",
        )


def _locked_rotor(entry: AcLoad) -> Found:
    """Say if a motor would take less on starting than it does running."""
    if not entry.locked_rotor.seen:
        return
    running = entry.current.span[0] if entry.current.seen else 0.0
    if entry.volts.seen and not entry.current.seen:
        drawn = max((v.span[0] for v in (entry.power, entry.apparent_power) if v.seen), default=0.0)
        running = drawn / entry.volts.span[2] / (3**0.5 if entry.legs.is_surely("all") else 1.0)
    if entry.locked_rotor.span[2] < running * (1 - 1e-9):
        yield (
            "locked_rotor",
            f"{entry.locked_rotor.text} is below the {running:.3g} A that it runs at",
            "A motor takes a multiple of it on starting: read LRA on its plate again.",
        )


def _code_letter(entry: AcLoad) -> Found:
    if entry.code_letter is None:
        return
    listed = table("motor_code_letters").text("code_letter")
    if entry.code_letter.strip().upper() not in listed:
        yield (
            "code_letter",
            f"'{entry.code_letter}' is no code letter of a motor",
            f"Accepted: {', '.join(listed)}; leave it out if it cannot be read.",
        )


def below_real_power(entry: AcLoad | Generator) -> Found:
    """Say if volt-amperes are less than watts, of a load or of a generator."""
    watts, volt_amperes = entry.power, entry.apparent_power
    if watts.seen and volt_amperes.seen and volt_amperes.span[2] < watts.span[0] * (1 - 1e-9):
        yield (
            "apparent_power",
            f"{volt_amperes.text} is below the real power of {watts.text}",
            "Apparent power is never below real power: read both again.",
        )


def _adapter(entry: Inlet) -> Found:
    service = service_of(entry)
    if entry.adapter.may_be("none") or service is None:
        return
    joins = entry.adapter.word.startswith("two")
    if entry.service.is_surely(*OF_230_V) or (joins and len(service.legs) != 2):
        yield (
            "adapter",
            f"'{entry.adapter}' does not give {entry.service}",
            "It joins 120 V receptacles: read the service of the inlet and the adapter again.",
        )


def _isolator(entry: Inlet) -> Found:
    if not entry.isolator.is_surely("no"):
        return
    for field in ("isolator_rating", "isolator_block", "isolator_tested"):
        if getattr(entry, field).seen:
            yield (
                field,
                'given beside isolator = "no"',
                "Look again whether there is one: 'yes', or leave this out.",
            )


def supply_faults(entry: Inlet) -> Found:
    """Say if a voltage or an adapter at an inlet is one that it cannot have."""
    yield from _adapter(entry)
    before, after = entry.no_load_voltage, entry.loaded_voltage
    if before.seen and after.seen and after.span[0] > before.span[2]:
        yield (
            "loaded_voltage",
            f"{after.text} is above the {before.text} read without the load",
            "The dock moved between the readings: take both again, close together.",
        )
    elif before.seen and after.seen and after.span[2] < _SAME_CONDUCTORS * before.span[0]:
        yield (
            "loaded_voltage",
            f"{after.text} beside {before.text} without the load is no drop of a supply",
            "Read both between the same two conductors, one right after the other.",
        )
    yield from _isolator(entry)
    if entry.terminal_current.seen and entry.terminal_current.span[2] <= 0:
        yield (
            "terminal_current",
            f"{entry.terminal_current.text} heats nothing",
            "Give the current that flowed while drop or temperature was read, or leave it out.",
        )
    service = service_of(entry)
    if not entry.supply.seen or service is None:
        return
    nominal = service.supply_V
    low, _, high = entry.supply.span
    if low < _LOWEST * nominal or high > _HIGHEST * nominal:
        which = "between legs" if service.between_legs_V else "to neutral"
        yield (
            "supply",
            f"{entry.supply.text} is no voltage of a {entry.service} service",
            f"It gives about {nominal:g} V {which}; read it again, {which}.",
        )
