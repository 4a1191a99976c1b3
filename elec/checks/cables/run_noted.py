"""A run as noted, brought to the cable that its questions judge."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from elec.boat.records import BoatFile, Run
from elec.boat.typical import run_length
from elec.checks.basis import Basis, basis_of
from elec.checks.cables.cable import Cable, Load
from elec.checks.cables.feeder import bank_voltage, loads_fed
from elec.checks.cables.legend import promise_of
from elec.checks.cables.run_load import carries, loads_on, voltage_of
from elec.checks.cannot import CannotJudge, cannot
from elec.errors import ElecError, TableRangeError
from elec.finding import Finding
from elec.noted import Noted, hull

__all__ = ["as_noted", "cable_of", "notes_of", "short_time", "sure_of_size"]


def short_time(kind: str | None) -> bool:
    """Whether a kind of gear runs for minutes at a time: windlasses, thrusters, cranes, davits."""
    words = ("windlass", "thruster", "crane", "davit", "passerelle", "capstan", "trim-tab")
    return kind is not None and any(word in kind.lower() for word in words)


def cable_of(
    run: Run, boat: BoatFile, basis_name: str, *, fed: bool = True, listed: bool = True
) -> Cable:
    """Bring a run as noted to what its questions need.

    With ``fed`` the loads of a feeder of a bus, whose own current was not noted, are those of all
    that hangs on it; else those that it serves itself. Only if not ``listed`` may its size lie
    outside the table of ampacities.

    Refused if voltage or current, or of which kind it is, cannot be had from anything noted.
    """
    cable = _unloaded(run, boat, basis_name, listed=listed)
    return _loaded(cable, boat, fed=fed)


def as_noted(run: Run, boat: BoatFile, basis: str) -> Cable:
    """Return the cable of a run for all that is asked of it; what it carries may be unknown.

    Refused if its voltage, or which kind of current it carries, cannot be had from anything noted.
    """
    cable = _unloaded(run, boat, basis, listed=False)
    try:
        return _loaded(cable, boat)
    except ElecError as error:
        return replace(cable, no_load=cannot(error))


def sure_of_size(
    judge: Callable[[Cable, BoatFile], Finding],
) -> Callable[[Cable, BoatFile, str], Finding]:
    """Return the question of a run which refuses what holds for every listed size of one not read.

    A smaller one may lie there.
    """

    def ask(cable: Cable, boat: BoatFile, _basis: str) -> Finding:
        found, run = judge(cable, boat), cable.run
        taken = any(item.input == f"{run.id}: size" for item in found.typical)
        if taken and found.verdict in ("adequate", "marginal"):
            raise CannotJudge(
                f"its size was not read: every size from {cable.basis.size_labels[0]} up would be "
                f"{found.verdict}, but a smaller one may lie there",
                f"the size printed on the cable of '{run.id}'",
            )
        return found

    return ask


def _loaded(cable: Cable, boat: BoatFile, *, fed: bool = True) -> Cable:
    run = cable.run
    ends = cable.nominal.span[::2] if cable.nominal else (cable.voltage_V,)
    loads, said = loads_fed(run, boat, ends) if fed else None, cable.said
    if loads is None:
        loads = _hull([loads_on(run, boat, volts) for volts in ends])
    elif cable.ways == 1:
        out = " and ".join(f"'{one.id}'" for one in boat.run if one.return_by == run.id)
        said = (*said, f"It is the return of {out}, whose currents it carries by one conductor.")
    else:
        said = (*said, f"Its current is that of all that hangs on '{run.end}'.")
    alone = loads[0].entry.kind if len(loads) == 1 else None
    brief = any(short_time(words) for words in (run.kind, run.circuit, alone))
    return replace(cable, loads=tuple(loads), short_time=brief, said=said)


def _unloaded(run: Run, boat: BoatFile, basis_name: str, *, listed: bool) -> Cable:
    basis = basis_of(basis_name)
    voltage_V, said, nominal = _voltage(run, boat)
    kind = carries(run, boat)
    if kind is None:
        raise CannotJudge(
            "whether it carries direct or alternating current was not noted",
            f"what feeds '{run.id}'",
        )
    return Cable(
        run,
        basis,
        voltage_V,
        (),
        run_length(run, boat.boat),
        False,
        tuple(notes_of(run, basis, listed=listed)),
        (run.bundled,) if isinstance(run.bundled, int) else (),
        said=tuple(said),
        nominal=nominal,
        direct=kind == "direct",
        ways=1 if kind == "direct" and any(o.return_by == run.id for o in boat.run) else 2,
    )


def _voltage(run: Run, boat: BoatFile) -> tuple[float, list[str], Noted | None]:
    """Return the lowest voltage possible, what to say of it, and the whole of it if a range."""
    volts = run.voltage if run.voltage.seen else bank_voltage(run, boat)
    if volts is None:
        return *voltage_of(run, boat), None
    low, _, high = volts.span
    if low < 50 <= high:
        raise CannotJudge(
            f"its voltage, {volts.text}, reaches across 50 V, where other rules begin",
            f"the system voltage of '{run.id}'",
        )
    return low, [], None if volts.settled else volts


def _hull(by_voltage: list[list[Load]]) -> list[Load]:
    """Return each load over the range of the voltage: one of a known power draws more at less."""
    return [
        first._replace(current=hull([one[place].current for one in by_voltage]))
        for place, first in enumerate(by_voltage[0])
    ]


def notes_of(run: Run, basis: Basis, *, listed: bool = True) -> list[str]:
    """Say what stands in for a size, insulation or ambient that the tables do not list.

    Refused if a size, unless it need not be ``listed``, or insulation lies outside the tables.
    """
    notes = []
    one = run.size.size
    for size in run.size.among if one is None else (one,):
        try:
            _, note = basis.size_rows(size)
        except TableRangeError as error:
            if not listed:
                continue
            raise CannotJudge(
                f"{error}: judge it by its maker's ampacity",
                f"the maker's ampacity of the cable of '{run.id}'",
            ) from None
        if note:
            notes.append(note)
    promised = promise_of(run.legend)
    if promised:
        notes.append(promised.note)
    if run.insulation.seen and run.insulation.low is not None:
        try:
            _, note = basis.insulation_column(run.insulation.low)
        except TableRangeError as error:
            raise CannotJudge(str(error)) from None
        if note:
            notes.append(note)
    if run.ambient.seen:
        notes.append(
            f"{basis.instrument} gives no factor for other ambients; that of NFPA 70, 310.15(B), "
            "is taken, or the engine-space factor where it is less."
        )
    return notes
