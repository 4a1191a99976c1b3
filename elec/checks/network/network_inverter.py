"""An inverter as a load of its bank: what it takes in each condition."""

from __future__ import annotations

from elec import noted
from elec.boat.possible import possible
from elec.boat.records import STANDARD_CONDITIONS, BoatFile, Inverter
from elec.calc import ac
from elec.checks.banks.bank_loads import ac_power, inverter_of, takes
from elec.checks.cannot import CannotJudge
from elec.noted import Noted

__all__ = ["drawn"]


def drawn(inverter: Inverter, boat: BoatFile, volts: float) -> list[tuple[Noted, tuple[str, ...]]]:
    """Return what an inverter takes from its bank [A], and the conditions in which it does.

    That of the AC loads noted on it, each counted as far as it may run; without any, anything
    from nothing on to full power.

    Refused if neither its output nor a load on it was noted.
    """
    loads = [load for load in boat.ac_load if inverter_of(boat, load) is inverter]
    conditions = (*STANDARD_CONDITIONS, *boat.boat.conditions)
    sources: list[str] = []
    if inverter.efficiency.seen:
        worst, _, best = inverter.efficiency.span
    else:
        worst, best, source = possible("inverter efficiency")
        sources.append(source)
    idle, source = _idle(inverter, boat, volts)
    sources += [source] if source else []

    def current(least_W: float, most_W: float, text: str) -> Noted:
        least, most = (
            float(ac.inverter_dc_current_A(watts, bank_V=volts, efficiency=share, idle_A=idle_A))
            for watts, share, idle_A in (
                (least_W, best, idle[0]),
                (most_W, worst, idle[1]),
            )
        )
        said = "; ".join(dict.fromkeys([text, *sources]))
        return noted.between(least, most, "current", origin="typical", source=said, text=text)

    if not loads and any(one.inverter == inverter.id for one in boat.dc_load):
        # those loads have places of their own
        return [(current(0.0, 0.0, "with nothing on"), conditions)] if idle[1] else []
    if not loads:
        if not inverter.power.seen:
            raise CannotJudge(
                "neither its output nor what it carries was noted",
                f"the plate of '{inverter.id}', and what it carries",
            )
        text = f"nothing to full power, {inverter.power.text}"
        return [(current(0.0, inverter.power.span[2], text), conditions)]
    found: list[tuple[Noted, tuple[str, ...]]] = []
    for condition in conditions:
        least = most = 0.0
        for load in loads:
            runs = takes(boat, load, condition)
            low, _, high = ac_power(boat, load).span
            least += low * load.count if runs else 0.0
            most += high * load.count if runs is not False else 0.0
        if most:
            found.append((current(least, most, "its AC loads"), (condition,)))
    return found


def _idle(inverter: Inverter, boat: BoatFile, volts: float) -> tuple[tuple[float, float], str]:
    """Return what it takes with nothing on [A]: none where a load was noted that stands for it."""
    if any("idle" in f"{load.kind} {load.id}".lower() for load in boat.dc_load):
        return (0.0, 0.0), ""
    if inverter.idle.seen:
        low, _, high = inverter.idle.span
        return (low, high), ""
    low, high, source = possible("idle draw of an inverter at 12 V")
    if not inverter.power.seen:
        return (0.0, 0.0), "its idle draw left out, its output not noted"
    per_kW = 12 / volts / 1000
    least, _, most = inverter.power.span
    return (low * least * per_kW, high * most * per_kW), source
