"""Whether the device of a run opens on the smallest fault.

A device is only taken to open where its curve, noted or published, says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from elec import units
from elec.boat.records import BoatFile
from elec.checks.cannot import CannotJudge
from elec.checks.network.alternating import listed
from elec.checks.network.opening import CARRIES, to_read
from elec.checks.network.run_fault import HOLDS, SmallestFault, guarded, smallest_faults
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, NotChecked
from elec.published import table


def _ask_all(
    faults: Sequence[SmallestFault | NotChecked], _boat: BoatFile, _basis: str
) -> Iterator[Answer]:
    alike: list[SmallestFault] = []
    for one in faults:
        if isinstance(one, NotChecked):
            yield one
        elif one.no_curve and not to_read(one.device):
            alike.append(one)
        else:
            yield from each("smallest-fault", [one], _opens)
    if alike:  # a walk does not yield the curve of a device whose kind is known
        yield NotChecked("smallest-fault", listed(one.id for one in alike), _without_curve(alike))


def _opens(fault: SmallestFault) -> Finding:
    if fault.no_curve:
        raise CannotJudge(_without_curve([fault]), to_read(fault.device))
    ruling, curve, device = fault.ruling, fault.curve, fault.device
    from_A = units.show_limit(float(ruling.limit.high), "current", sense="at least")
    times = f", {curve.currents[0]:g} times its rating" if curve.of_rating else ""
    return fault.question.finding(
        ruling,
        entry=fault.cable.run,
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"The smallest fault on run '{fault.id}' draws {value}; '{device.id}' "
            + (
                f"is known to open from {from_A} on{times}."
                if fault.known
                else f"carries {limit}, its rating, for ever."
            )
        ),
        working=fault.steps,
        sources=[*fault.sources, *([curve.source] if curve.source else [])],
        remedy=_remedy(fault),
        caution="A fault that no device clears heats its cable until something burns.",
        notes=[
            *fault.notes,
            f"By {curve.words}; below its first point nothing says that it opens.",
        ],
    )


def _without_curve(alike: Sequence[SmallestFault]) -> str:
    names = " and ".join(f"'{name}'" for name in dict.fromkeys(one.device.id for one in alike))
    return (
        f"no time-current curve was noted for {names}, nor is one held for that kind; the smallest "
        f"fault draws about {'; '.join(_draws(one) for one in alike)}"
    )


def _draws(fault: SmallestFault) -> str:
    shown, rating = units.show(fault.best_A, "current"), fault.device.rating
    if not rating.seen:
        return f"{shown} on '{fault.id}'"
    times = fault.best_A / rating.span[2]
    return f"{shown} on '{fault.id}', {times:.1f} times the rating of '{fault.device.id}'"


def _remedy(fault: SmallestFault) -> str | None:
    """Return the largest standard rating that opens, and the smallest size with which it does."""
    if fault.holds:
        return None
    ways, cable, curve = [], fault.cable, fault.curve
    if curve.of_rating and curve is not CARRIES:
        most_A = float(fault.ruling.value.low) / curve.currents[0]
        listed_A = table("standard_device_ratings").numbers("rating_A")
        fits = [rating for rating in listed_A if cable.load_A()[2] <= rating <= most_A]
        if fits:
            ways.append(f"a device of {max(fits):g} A or less of the same kind")
    if larger := fault.larger(lambda row: fault.with_row(row).verdict in HOLDS):
        ways.append(larger)
    from_A = units.show_limit(float(fault.ruling.value.low), "current", sense="at most")
    ways.append(f"a device that opens from {from_A} on")
    return f"Fit {', or '.join(ways)}."


CHECK = Check(
    name="smallest-fault",
    judges="whether a fuse or breaker opens on the smallest fault",
    system="cables and protection",
    place=271,
    of=guarded,
    prepare=smallest_faults,
    ask=_ask_all,
)
