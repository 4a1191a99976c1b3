"""What the loads of a bank take: which run under which condition, and how much a day."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import noted
from elec.boat.records import AcLoad, Bank, BoatFile, DcLoad, Inverter
from elec.boat.typical import dc_current, dc_duty, dc_hours, possible
from elec.calc import storage
from elec.checks.question import Option, Question
from elec.finding import NotChecked
from elec.noted import Noted

__all__ = [
    "DOCK",
    "Daily",
    "ask_daily",
    "away_conditions",
    "daily_Ah",
    "loads_of",
    "main_condition",
    "through_inverter",
    "total",
]

#: The condition in which the dock feeds the boat.
DOCK = "shore"


@dataclass(frozen=True)
class Daily:
    """The charge of one load: from its inputs and a span, in words, under which conditions.

    ``runs`` holds for each condition whether it runs, or the name of the input that says so. In
    a span shorter than a day all of its hours a day may fall, as far as they fit.
    """

    load: DcLoad
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
    own = [main] if loads_of(boat, bank, main) else []
    return list(dict.fromkeys([*own, *named]))


def _owned(boat: BoatFile, bank: Bank) -> list[DcLoad]:
    found = []
    for load in boat.dc_load:
        through = boat.find(load.inverter) if load.inverter else None
        owner = load.bank or (through.bank if isinstance(through, Inverter) else None)
        if owner is None and len(boat.bank) == 1:
            owner = bank.id
        if owner == bank.id:
            found.append(load)
    return found


def loads_of(boat: BoatFile, bank: Bank, condition: str) -> list[DcLoad]:
    """Return the loads of a bank that run, or may run, under a condition."""
    return [load for load in _owned(boat, bank) if load.when is None or condition in load.when]


def through_inverter(boat: BoatFile, bank: Bank, condition: str) -> list[AcLoad]:
    """Return the AC loads that an inverter on this bank feeds, or may feed, under a condition."""
    fed_by = {inverter.id for inverter in boat.inverter if inverter.bank == bank.id}
    return [
        load
        for load in boat.ac_load
        if load.inlet in fed_by and (load.when is None or condition in load.when)
    ]


def ask_daily(
    question: Question, boat: BoatFile, bank: Bank, conditions: Sequence[str], check: str
) -> tuple[list[Daily], list[NotChecked]]:
    """Ask what each load takes in a day, once, and whether it runs under each condition."""
    voltage = bank.voltage.best
    assert voltage is not None
    parts: list[Daily] = []
    skipped: list[NotChecked] = []
    for number, load in enumerate(_owned(boat, bank)):
        if not any(load.when is None or word in load.when for word in conditions):
            continue
        asked = _ask_load(question, boat, load, voltage, number)
        if asked is None:
            skipped.append(
                NotChecked(
                    check,
                    load.id,
                    f"neither its current nor its daily use was noted: not counted on '{bank.id}'",
                    load.where,
                    f"the current on the plate of '{load.id}', and its hours a day",
                )
            )
            continue
        runs: dict[str, bool | str] = {}
        for place, word in enumerate(conditions):
            if load.when is not None:
                runs[word] = word in load.when
                continue
            name = runs[word] = f"runs_{number}_{place}"
            question.among(
                name,
                [Option(0.0, "does not run"), Option(1.0, "runs")],
                entry=load,
                field=f"running in condition '{word}'",
                worse="higher",
                best=1.0,
                read=f"whether '{load.id}' runs in condition '{word}'",
            )
        parts.append(Daily(load, *asked, runs))
    return parts, skipped


def total(
    parts: Sequence[Daily], condition: str, given: dict[str, Any], span_h: float = 24.0
) -> Any:
    """Return what all loads take in a span of at most a day under a condition [Ah]."""
    return sum((part.under(condition, given, span_h) for part in parts), start=np.asarray(0.0))


def daily_Ah(boat: BoatFile, bank: Bank, condition: str) -> tuple[float, float, float]:
    """Return the charge a bank gives in a day under a condition: least, best and most."""
    if not loads_of(boat, bank, condition) or not bank.voltage.seen:
        return 0.0, 0.0, 0.0
    question = Question()
    parts, _ = ask_daily(question, boat, bank, [condition], "")
    values = (question.easiest_values(), question.best_values(), question.worst_values())
    low, best, high = (float(total(parts, condition, given)) for given in values)
    return low, best, high


_Asked = tuple[Callable[[dict[str, Any], float], Any], Callable[[dict[str, Any], float], str]]


def _ask_load(
    question: Question, boat: BoatFile, load: DcLoad, voltage: float, number: int
) -> _Asked | None:
    count = load.count
    if load.charge_per_day.seen:
        name = f"charge_{number}_Ah"
        question.noted(
            name, load.charge_per_day, entry=load, field="charge per day", worse="higher"
        )
        return lambda g, _: g[name] * count, lambda g, _: _times(count, f"{g[name]:.4g} Ah")
    if load.energy_per_day.seen:
        energy, efficiency = f"energy_{number}_Wh", f"efficiency_{number}"
        question.noted(
            energy, load.energy_per_day, entry=load, field="energy per day", worse="higher"
        )
        through = _efficiency(boat, load)
        question.noted(efficiency, through, entry=load, field="efficiency", worse="lower")
        return (
            lambda g, _: (
                count
                * storage.charge_from_energy_Ah(
                    g[energy], voltage_V=voltage, efficiency=g[efficiency]
                )
            ),
            lambda g, _: _times(
                count, f"{g[energy]:.4g} Wh / ({voltage:g} V x {g[efficiency]:.3g})"
            ),
        )
    current = dc_current(load, voltage)
    if current is None:
        return None
    amps, duty, hours = f"current_{number}_A", f"duty_{number}", f"hours_{number}_h"
    question.noted(
        amps,
        current,
        entry=load,
        field="current",
        worse="higher",
        read=f"the current or power on the plate of '{load.id}'",
    )
    question.noted(
        duty,
        dc_duty(load),
        entry=load,
        field="duty",
        worse="higher",
        read=f"the share of time that '{load.id}' really runs",
    )
    question.noted(
        hours,
        dc_hours(load),
        entry=load,
        field="hours",
        worse="higher",
        read=f"the hours a day that '{load.id}' is on",
    )
    return (
        lambda g, span: (
            count
            * storage.daily_charge_Ah(g[amps], duty=g[duty], hours_h=np.minimum(g[hours], span))
        ),
        lambda g, span: _times(
            count, f"{g[amps]:.4g} A x {g[duty] * 100:.3g} % x {min(g[hours], span):.3g} h"
        ),
    )


def _times(count: int, words: str) -> str:
    return words if count == 1 else f"{count} x {words}"


def _efficiency(boat: BoatFile, load: DcLoad) -> Noted:
    if load.efficiency.seen:
        return load.efficiency
    if load.inverter is None:
        return noted.exact(1.0, "fraction")
    inverter = boat.find(load.inverter)
    if isinstance(inverter, Inverter) and inverter.efficiency.seen:
        return inverter.efficiency
    low, high, source = possible("inverter efficiency")
    return noted.between(low, high, "fraction", origin="typical", source=source, text="not seen")
