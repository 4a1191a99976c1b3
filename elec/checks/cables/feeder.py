"""What a feeder of a bus carries: the loads that hang on it, and the voltage that it is at."""

from __future__ import annotations

from collections.abc import Sequence

from elec import noted
from elec.boat.records import (
    STANDARD_CONDITIONS,
    Alternator,
    Bank,
    BoatFile,
    Bus,
    Charger,
    DcLoad,
    Inverter,
    Run,
    Solar,
)
from elec.checks.cables.cable import Load
from elec.checks.cables.run_load import is_direct, loads_on
from elec.checks.cannot import CannotJudge
from elec.noted import Noted, hull

__all__ = ["bank_voltage", "loads_fed"]


def bank_voltage(run: Run, boat: BoatFile) -> Noted | None:
    """Return the voltage of the bank that a DC run joins, or that all banks share at its bus."""
    ends = [boat.find(name) for name in (run.start, run.end) if name]
    joined = [one for one in ends if isinstance(one, Bank)]
    if not (joined or any(isinstance(one, Bus) for one in ends)) or not is_direct(run, boat):
        return None
    seen = {one.voltage.span: one.voltage for one in joined or boat.bank if one.voltage.seen}
    return next(iter(seen.values())) if len(seen) == 1 else None


def loads_fed(run: Run, boat: BoatFile, voltages_V: Sequence[float]) -> list[Load] | None:
    """Return the loads that hang on the bus that a DC run feeds; None if it feeds none.

    Most that it can carry is all of them together. What surely runs together are the loads noted
    to run in one condition, of which the one that draws most counts; any other load may be off
    then.

    Refused if a bank hangs on the bus too, by any way, or the current of a load was not noted.
    """
    bus = boat.find(run.end or "")
    out = [one for one in boat.run if one.return_by == run.id]
    if run.current.seen or not (out or isinstance(bus, Bus)) or not is_direct(run, boat):
        return None
    if _charges(run, boat):
        return None
    # a return carries what went out by others, whichever way it is drawn
    below = [far for one in out for far in (one, *_beyond(one, boat))] or _below(run, boat)
    if not below and not run.serves:
        return None
    found: dict[str, Load] = {}
    for one in below if out and not run.serves else (run, *below):
        if not one.serves and _beyond(one, boat):
            continue  # what it carries is that of the runs that lead on
        if not one.serves and not one.current.seen and isinstance(boat.find(one.end or ""), Bus):
            continue  # it feeds a bus from which nothing is noted to lead on
        each = [_own(one, boat, volts) for volts in voltages_V]
        for place, first in enumerate(each[0]):
            drawn = hull([loads[place].current for loads in each])
            found.setdefault(first.entry.id, first._replace(field="current", current=drawn))
    if not found:
        return None
    return _together(list(found.values()))


def _own(run: Run, boat: BoatFile, voltage_V: float) -> list[Load]:
    noted_here = run.serves or run.current.seen
    if not noted_here and isinstance(boat.find(run.end or ""), (DcLoad, Inverter)):
        run = run.model_copy(update={"serves": (run.end,)})
    return loads_on(run, boat, voltage_V)


def _charges(run: Run, boat: BoatFile) -> bool:
    ends = [boat.find(name) for name in (run.start, run.end, *run.serves) if name]
    return any(isinstance(one, (Charger, Alternator, Solar)) for one in ends)


def _beyond(run: Run, boat: BoatFile) -> list[Run]:
    """Return the runs that lead on from a bus at the end of a run; none from anything else."""
    return _below(run, boat) if isinstance(boat.find(run.end or ""), Bus) else []


def _below(run: Run, boat: BoatFile) -> list[Run]:
    """Return the runs that lead on from the bus that a run feeds.

    Refused if another run feeds the bus or one below: what each carries is theirs to share.
    """
    found: list[Run] = []
    returns = {one.return_by for one in boat.run}
    reached, waiting = {run.start, run.end}, [run.end]
    while waiting:
        bus = waiting.pop()
        for one in boat.run:
            if one is run or one in found or bus not in (one.start, one.end):
                continue
            if one.id in returns or _charges(one, boat):
                continue
            far = one.end if one.start == bus else one.start
            if far in reached or isinstance(boat.find(far or ""), Bank):
                raise CannotJudge(
                    f"'{run.end}' is fed by '{one.id}' too: what each carries hangs on how they "
                    "share it, see network-drop",
                    f"the current in '{run.id}', by a clamp meter under its largest load",
                )
            found.append(one)
            if isinstance(boat.find(far or ""), Bus):
                reached.add(far)
                waiting.append(far)
    return found


def _together(loads: list[Load]) -> list[Load]:
    """Return the loads of the condition that draws most as they are, the others from nothing."""

    def least_A(some: list[Load]) -> float:
        return sum(one.current.span[0] * one.pieces for one in some)

    def noted_in(condition: str) -> list[Load]:
        return [one for one in loads if condition in _when(one)]

    named = {word for one in loads for word in _when(one)}
    order = [c for c in STANDARD_CONDITIONS if c in named] + sorted(named - {*STANDARD_CONDITIONS})
    groups = [noted_in(condition) for condition in order] + [[one] for one in loads]
    sure = max(groups, key=least_A)
    ids = {one.entry.id for one in sure}
    return [one if one.entry.id in ids else _perhaps(one) for one in loads]


def _when(load: Load) -> tuple[str, ...]:
    return getattr(load.entry, "when", None) or ()


def _perhaps(load: Load) -> Load:
    """Return a load that may be off while the others run."""
    _, likely, most = load.current.span
    perhaps = noted.between(0.0, most, "current", best=likely, text=load.current.text)
    return load._replace(field="current while the others run", current=perhaps)
