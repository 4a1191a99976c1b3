"""Faults of what cable runs join: a ring of runs that nothing can feed."""

from __future__ import annotations

from collections.abc import Iterator

from elec.boat.records import AcLoad, BoatFile, DcLoad, Run

__all__ = ["loop_faults"]


def loop_faults(boat: BoatFile) -> Iterator[tuple[int, str, str, str]]:
    """Say which run closes a ring of buses that no other thing aboard is joined to by any run."""
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
    loads = {one.id for _, one in boat.entries() if isinstance(one, (DcLoad, AcLoad))}
    # a run whose start was not noted may be what feeds it
    outside = {
        end
        for run in boat.run
        for end, far in ((run.start, run.end), (run.end, run.start))
        if end in buses and far not in buses and (far not in loads | {None} or end == run.end)
    }
    for index, run in rings:
        group = groups[run.start or ""]
        if not group & outside:
            names = ", ".join(f"'{bus}'" for bus in sorted(group))
            text = f"it closes a ring of {names}, which no bank, charger or other source feeds"
            remedy = "Note the run that feeds one of them, or correct what the runs start from."
            yield index, "from", text, remedy
