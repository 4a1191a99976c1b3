"""What the loads of a bank take: which run under which condition, and how much a day."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import noted
from elec.boat.ac_loads import SERVICES, draw, runs
from elec.boat.possible import possible, value_of
from elec.boat.records import AcLoad, Bank, BoatFile, DcLoad, Inverter
from elec.boat.typical import dc_current, duty_of, hours_of, power, scaled
from elec.calc.batteries import storage
from elec.checks.question import Option, Question
from elec.noted import Noted

__all__ = [
    "DOCK",
    "Daily",
    "ac_power",
    "ask_daily",
    "away_conditions",
    "daily_Ah",
    "efficiency_of",
    "inverter_of",
    "main_condition",
    "owner_of",
    "takes",
    "total",
]

#: The condition in which the dock feeds the boat.
DOCK = "shore"

Load = AcLoad | DcLoad


@dataclass(frozen=True)
class Daily:
    """The charge of one load: from its inputs and a span, in words, under which conditions.

    ``runs`` holds for each condition whether it runs, or the name of the input that says so. In
    a span shorter than a day all of its hours a day may fall, as far as they fit.
    """

    load: Load
    charge: Callable[[dict[str, Any], float], Any]
    words: Callable[[dict[str, Any], float], str]
    runs: Mapping[str, bool | str]

    def under(self, condition: str, given: dict[str, Any], span_h: float = 24.0) -> Any:
        """Return its charge in a span of at most a day under a condition [Ah]."""
        runs = self.runs[condition]
        if runs is False:
            return np.asarray(0.0)
        charge = self.charge(given, span_h)
        return charge if runs is True else charge * given[runs]


def main_condition(bank: Bank) -> str:
    """Return the condition for which its autonomy is asked."""
    return bank.condition or "anchor"


def away_conditions(boat: BoatFile, bank: Bank) -> list[str]:
    """Return the conditions away from the dock in which a bank carries loads, its own first."""
    main = main_condition(bank)
    loads = _owned(boat, bank)
    named = [word for load in loads for word in load.when or () if word != DOCK]
    own = [main] if any(runs(load, main) is not False for load in loads) else []
    return list(dict.fromkeys([*own, *named]))


def inverter_of(boat: BoatFile, load: Load) -> Inverter | None:
    """Return the inverter that feeds a load, if one does."""
    name = load.inverter if isinstance(load, DcLoad) else load.inlet
    if name is None and isinstance(load, AcLoad) and not boat.inlet and not boat.generator:
        return boat.inverter[0] if len(boat.inverter) == 1 else None
    found = boat.find(name) if name else None
    return found if isinstance(found, Inverter) else None


def owner_of(boat: BoatFile, entry: Load | Inverter) -> str | None:
    """Return the bank of a load or inverter: its own, its inverter's, or the only one."""
    if isinstance(entry, Inverter):
        owner = entry.bank
    else:
        through = inverter_of(boat, entry)
        if through is None and isinstance(entry, AcLoad):
            return None
        own = entry.bank if isinstance(entry, DcLoad) else None
        owner = own or (through.bank if through else None)
    return boat.bank[0].id if owner is None and len(boat.bank) == 1 else owner


def _owned(boat: BoatFile, bank: Bank) -> list[Load]:
    loads: list[Load] = [*boat.dc_load, *boat.ac_load]
    return [load for load in loads if owner_of(boat, load) == bank.id]


def _idles(boat: BoatFile, bank: Bank) -> list[tuple[DcLoad, Inverter]]:
    """Return what each inverter takes by itself, unless a load was noted that stands for it."""
    noted_so = [
        load
        for load in boat.dc_load
        if owner_of(boat, load) == bank.id and "idle" in f"{load.kind} {load.id}".lower()
    ]
    return [
        (
            DcLoad(
                id=f"{inverter.id} idle",
                where=inverter.where,
                kind="inverter idle",
                bank=bank.id,
                current=inverter.idle,
            ),
            inverter,
        )
        for inverter in boat.inverter
        if owner_of(boat, inverter) == bank.id
        and not any(load.inverter in (None, inverter.id) for load in noted_so)
    ]


def takes(boat: BoatFile, load: Load, condition: str) -> bool | None:
    """Whether a load takes from the bank under a condition; None where that is not known."""
    running, through = runs(load, condition), inverter_of(boat, load)
    if running is False or condition != DOCK or through is None:
        return running
    # At the dock an inverter may pass the shore's power on.
    return {"yes": False, "no": running, "?": None}[through.passes_through.text]


def ask_daily(
    question: Question, boat: BoatFile, bank: Bank, conditions: Sequence[str]
) -> list[Daily]:
    """Ask what each load takes in a day, once, and whether it runs under each condition."""
    voltage = bank.voltage.best
    assert voltage is not None
    loads = _owned(boat, bank)
    running = [(load, {word: takes(boat, load, word) for word in conditions}) for load in loads]
    for idle, inverter in _idles(boat, bank):
        fed = [how for load, how in running if inverter_of(boat, load) is inverter]
        on = {word: True if any(how[word] for how in fed) else None for word in conditions}
        running.append((idle, on))
    parts: list[Daily] = []
    for number, (load, on) in enumerate(running):
        if all(one is False for one in on.values()):
            continue
        charge, words = _ask_load(question, boat, load, voltage, number)
        answers: dict[str, bool | str] = {}
        for place, (word, one) in enumerate(on.items()):
            if one is not None:
                answers[word] = one
                continue
            name = answers[word] = f"runs_{number}_{place}"
            question.among(
                name,
                [Option(0.0, "does not run"), Option(1.0, "runs")],
                entry=load,
                field=f"running in condition '{word}'",
                worse="higher",
                best=1.0,
                read=f"whether '{load.id}' runs on '{bank.id}' in condition '{word}'",
            )
        parts.append(Daily(load, charge, words, answers))
    return parts


def total(
    parts: Sequence[Daily], condition: str, given: dict[str, Any], span_h: float = 24.0
) -> Any:
    """Return what all loads take in a span of at most a day under a condition [Ah]."""
    return sum((part.under(condition, given, span_h) for part in parts), start=np.asarray(0.0))


def daily_Ah(boat: BoatFile, bank: Bank, condition: str) -> tuple[float, float, float]:
    """Return the charge a bank gives in a day under a condition: least, best and most."""
    if not bank.voltage.seen:
        return 0.0, 0.0, 0.0
    question = Question()
    parts = ask_daily(question, boat, bank, [condition])
    values = (question.easiest_values(), question.best_values(), question.worst_values())
    low, best, high = (float(total(parts, condition, given)) for given in values)
    return low, best, high


_Asked = tuple[Callable[[dict[str, Any], float], Any], Callable[[dict[str, Any], float], str]]


def _ask_load(
    question: Question, boat: BoatFile, load: Load, voltage: float, number: int
) -> _Asked:
    """Add what a load takes in a day: its charge, its energy, or its current and hours."""
    if isinstance(load, DcLoad) and load.charge_per_day.seen:
        name, count = f"charge_{number}_Ah", load.count
        question.ask(name, load, "charge_per_day", worse="higher")
        return lambda g, _: g[name] * count, lambda g, _: _times(count, f"{g[name]:.4g} Ah")
    if isinstance(load, DcLoad) and load.energy_per_day.seen:
        return _ask_energy(question, boat, load, voltage, number)
    return _ask_current(question, boat, load, voltage, number)


def _ask_energy(
    question: Question, boat: BoatFile, load: DcLoad, voltage: float, number: int
) -> _Asked:
    energy, efficiency, count = f"energy_{number}_Wh", f"efficiency_{number}", load.count
    question.ask(energy, load, "energy_per_day", worse="higher")
    through = efficiency_of(boat, load)
    question.noted(efficiency, through, entry=load, field="efficiency", worse="lower")

    def charge(given: dict[str, Any], _span_h: float) -> Any:
        return count * storage.charge_from_energy_Ah(
            given[energy], voltage_V=voltage, efficiency=given[efficiency]
        )

    def words(given: dict[str, Any], _span_h: float) -> str:
        shown = f"{given[energy]:.4g} Wh / ({voltage:g} V x {given[efficiency]:.3g})"
        return _times(count, shown)

    return charge, words


def _ask_current(
    question: Question, boat: BoatFile, load: Load, voltage: float, number: int
) -> _Asked:
    amps, duty, hours = f"current_{number}_A", f"duty_{number}", f"hours_{number}_h"
    efficiency, count = f"efficiency_{number}", load.count
    if isinstance(load, DcLoad):
        current = dc_current(load, voltage)
    else:
        current = scaled(ac_power(boat, load), 1 / voltage, 1 / voltage, "current")
    for name, value, field, read in (
        (amps, current, "current", f"the current or power on the plate of '{load.id}'"),
        (duty, duty_of(load), "duty", f"the share of time that '{load.id}' really runs"),
        (hours, hours_of(load), "hours", f"the hours a day that '{load.id}' is on"),
    ):
        question.noted(name, value, entry=load, field=field, worse="higher", read=read)
    if isinstance(load, DcLoad) and load.current.seen:
        question.exact(efficiency, 1.0)  # a current noted is the bank's
    else:
        through = efficiency_of(boat, load)
        question.noted(efficiency, through, entry=load, field="efficiency", worse="lower")

    def charge(given: dict[str, Any], span_h: float) -> Any:
        on_h = np.minimum(given[hours], span_h)
        taken = storage.daily_charge_Ah(given[amps], duty=given[duty], hours_h=on_h)
        return count * taken / given[efficiency]

    def words(given: dict[str, Any], span_h: float) -> str:
        shown = (
            f"{given[amps]:.4g} A x {given[duty] * 100:.3g} % x {min(given[hours], span_h):.3g} h"
        )
        share = float(given[efficiency])
        return _times(count, shown if share == 1.0 else f"{shown} / {share:.3g}")

    return charge, words


def _times(count: int, words: str) -> str:
    return words if count == 1 else f"{count} x {words}"


def ac_power(boat: BoatFile, load: AcLoad) -> Noted:
    """Return the real power of one piece of an AC load on an inverter, noted or what it may be."""
    watts = power(load)
    measured = load.current.seen or load.apparent_power.seen
    if load.power.seen or (watts is not None and not measured):
        assert watts is not None
        return watts
    inverter = inverter_of(boat, load)
    known = inverter is not None and inverter.service.seen
    services = [SERVICES[inverter.service.word]] if inverter and known else list(SERVICES.values())
    draws = [draw(load, service) for service in services]
    low, high, _ = possible("power factor of a load that is no heater")
    if load.power_factor.seen:
        low, _, high = load.power_factor.span
    elif draws[0].behaviour == "resistance":
        low = high = 1.0
    if load.apparent_power.seen and not load.current.seen:
        return scaled(load.apparent_power, low, high, "power")
    phases = 3**0.5 if load.legs.is_surely("all") else 1.0
    volts = [one.rated_V * phases for one in draws]
    return scaled(draws[0].current, low * min(volts), high * max(volts), "power")


def efficiency_of(boat: BoatFile, load: Load) -> Noted:
    """Return the efficiency between bank and load: noted, its inverter's, or one if direct."""
    if isinstance(load, DcLoad) and load.efficiency.seen:
        return load.efficiency
    inverter = inverter_of(boat, load)
    if inverter is None:
        return noted.exact(1.0, "fraction")
    return value_of(inverter, "efficiency")
