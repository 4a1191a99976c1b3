"""Faults of what runs join: a ring without a source; what joins nothing, all runs being traced."""

from __future__ import annotations

from collections.abc import Iterator

from elec.boat.records import (
    STANDARD_CONDITIONS,
    AcLoad,
    Alternator,
    Bank,
    BoatFile,
    Charger,
    DcLoad,
    Generator,
    Inlet,
    Inverter,
    Protection,
    Run,
    Solar,
    Transformer,
)

__all__ = ["device_faults", "loop_faults", "traced_faults"]

_SOURCES = (Bank, Charger, Alternator, Solar, Generator, Inlet, Inverter, Transformer)
#: What cannot be noted of a device that is not there.
_OF_A_DEVICE = ("rating", "distance", "interrupting", "marked_voltage", "family")


def loop_faults(boat: BoatFile) -> Iterator[tuple[int, str, str, str]]:
    """Say which run cannot be as noted: of its ring, its switch, its return.

    A ring of buses is none that no other thing aboard is joined to by any run.
    """
    for index, group in _rings(boat):
        names = ", ".join(f"'{bus}'" for bus in sorted(group))
        text = f"it closes a ring of {names}, which no bank, charger or other source feeds"
        remedy = "Note the run that feeds one of them, or correct what the runs start from."
        yield index, "from", text, remedy
    for index, run in enumerate(boat.run):
        for field, text, remedy in (*_switch_faults(boat, run), *_return_faults(boat, run)):
            yield index, field, text, remedy


def _switch_faults(boat: BoatFile, run: Run) -> Iterator[tuple[str, str, str]]:
    if run.closed_when is None:
        return
    if not run.switch.is_surely("closed"):
        text = f'given beside switch = "{run.switch.text}"'
        yield "closed_when", text, "Give how the switch stands, or when it is closed, not both."
    if not run.closed_when:
        text = "the list is empty: by it the switch is never closed"
        yield "closed_when", text, 'Say switch = "open" in its place, or name the conditions.'
    known = [*STANDARD_CONDITIONS, *boat.boat.conditions]
    for word in run.closed_when:
        if word not in known:
            text = f"'{word}' is not a condition of this boat"
            remedy = f"Known: {', '.join(known)}; add others to 'conditions' under [boat]."
            yield "closed_when", text, remedy


def _return_faults(boat: BoatFile, run: Run) -> Iterator[tuple[str, str, str]]:
    if run.return_by is None:
        return
    back = boat.find(run.return_by)
    if not isinstance(back, Run) or back is run:
        others = ", ".join(one.id for one in boat.run if one is not run) or "none in this file"
        text = f"'{run.return_by}' names no other run"
        yield "return_by", text, f"Give the id of the run that is its return: {others}."
    elif back.return_by or not any(
        isinstance(boat.find(end or ""), Bank) for end in (back.start, back.end)
    ):
        text = f"'{back.id}' does not go back to a bank by itself"
        yield "return_by", text, f"Note the bank as 'from' or 'to' of '{back.id}'."


def _rings(boat: BoatFile) -> list[tuple[int, set[str]]]:
    """Return each run that closes a ring that nothing feeds, and the buses joined by it."""
    buses = {bus.id for bus in boat.bus}
    groups: dict[str, set[str]] = {bus: {bus} for bus in buses}
    rings: list[tuple[int, Run]] = []
    for index, run in enumerate(boat.run):
        if run.start not in buses or run.end not in buses:
            continue
        assert run.start is not None
        assert run.end is not None
        one, other = groups[run.start], groups[run.end]
        if one is other:
            rings.append((index, run))
            continue
        one |= other
        for bus in other:
            groups[bus] = one
    loads = _loads(boat)
    # a run whose start was not noted may be what feeds it
    outside = {
        end
        for run in boat.run
        for end, far in ((run.start, run.end), (run.end, run.start))
        if end in buses and far not in buses and (far not in loads | {None} or end == run.end)
    }
    found = ((index, groups[run.start or ""]) for index, run in rings)
    return [(index, group) for index, group in found if not group & outside]


def _loads(boat: BoatFile) -> set[str]:
    return {one.id for _, one in boat.entries() if isinstance(one, (DcLoad, AcLoad))}


def traced_faults(boat: BoatFile) -> Iterator[tuple[str, int, str, str, str]]:
    """Say what joins nothing, where the file states that every DC run aboard is in it.

    A list, the place in it, what is wrong, what is accepted, and an example.
    """
    if not boat.boat.runs_traced.is_surely("all"):
        return
    undo = 'or say runs_traced = "some" under [boat].'
    served = {name for run in boat.run for name in (*run.serves, run.end)}
    for name, list_name in (("dc_load", boat.dc_load), ("inverter", boat.inverter)):
        for index, load in enumerate(list_name):
            through = isinstance(load, DcLoad) and load.inverter is not None and load.bank is None
            if load.id not in served and not through:
                yield (
                    name,
                    index,
                    "no run serves it, and every DC run aboard is said to be in this file",
                    f"Note the run that feeds it, {undo}",
                    f'serves = ["{load.id}"] under its [[run]].',
                )
    fed = _fed(boat).union(*(group for _, group in _rings(boat)))  # a ring is told by itself
    for index, bus in enumerate(boat.bus):
        if bus.id not in fed:
            yield (
                "bus",
                index,
                "no bank, charger or other source feeds it by any run, and every DC run aboard is "
                "said to be in this file",
                f"Note the run that feeds it, {undo}",
                f'to = "{bus.id}" under its [[run]].',
            )
    guards = {run.protection for run in boat.run}
    for index, device in enumerate(boat.protection):
        if device.id not in guards and not device.at_battery.is_surely("yes"):
            yield (
                "protection",
                index,
                "no run names it, nor does it stand at a battery: it lies between nothing, and "
                "every DC run aboard is said to be in this file",
                f"Name it at the run that it protects, {undo}",
                f'protection = "{device.id}" under its [[run]].',
            )


def _fed(boat: BoatFile) -> set[str]:
    """Return what runs join to a source, or to a run of which one end was not noted."""
    fed = {one.id for _, one in boat.entries() if isinstance(one, _SOURCES)}
    loads = _loads(boat)
    joins = [{run.start, run.end, *run.serves} - loads - {None} for run in boat.run]
    fed |= {run.end for run in boat.run if run.start is None and run.end is not None}
    while more := {name for ends in joins if ends & fed for name in ends if name} - fed:
        fed |= more
    return fed


def device_faults(device: Protection) -> Iterator[tuple[str, str, str]]:
    """Say which fields of a protection contradict that there is no device."""
    if not device.device.is_surely("none"):
        return
    for field in _OF_A_DEVICE:
        if getattr(device, field).seen:
            yield (
                field,
                'given of a device that is not there (device = "none")',
                "Leave it out, or say what device stands there.",
            )
