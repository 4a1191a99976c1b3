"""A DC network prepared for solving: whether it hangs together, and the order to solve it in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from elec.calc.network import _elimination
from elec.calc.network._names import listed, nearest
from elec.calc.network.network_parts import RETURN, Bank, ChargeSource, Load, Network, Run
from elec.errors import InputError

__all__ = ["prepare"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


def prepare(
    runs: Sequence[Run],
    *,
    banks: Sequence[Bank],
    sources: Sequence[ChargeSource] = (),
    loads: Sequence[Load] = (),
) -> Network:
    r"""Prepare a network: check that it hangs together, and find the order to solve it in.

    .. math:: \mathbf{G} = \mathbf{A}^T \operatorname{diag}(g) \, \mathbf{A}

    Buses need no list: they are the ends of the runs and the places of the sources. The values
    themselves are checked when they are used.

    Parameters
    ----------
    runs : sequence of Run
        Cable runs; open ones are left out. [-]
    banks : sequence of Bank
        Banks. [-]
    sources : sequence of ChargeSource, default none
        Chargers, alternators and converters. [-]
    loads : sequence of Load, default none
        Loads. [-]

    Returns
    -------
    Network
        The network, to be solved as often as wanted. [-]

    Raises
    ------
    InputError
        If two parts of a kind have one id, a part has both ends on one bus, a load lies on no
        run, a bus has no source or no way to the return, or a value is not a number.

    Examples
    --------
    >>> network = prepare(
    ...     [Run("feeder", "battery", "panel", 0.004)],
    ...     banks=[Bank("house", "battery", emf_V=12.6, resistance_ohm=0.006)],
    ...     loads=[Load("windlass", "panel", power_W=1000.0)],
    ... )
    >>> network.buses
    ('battery', 'panel')
    """
    kinds: dict[str, Sequence[Any]] = {
        "run": runs,
        "bank": banks,
        "source": sources,
        "load": loads,
    }
    for kind, parts in kinds.items():
        _check_ids(kind, parts)
    closed = kinds["run"] = [run for run in runs if run.closed]
    fed: list[Any] = [*banks, *sources]
    start = [run.start for run in closed] + [part.bus for part in fed]
    end = [run.end for run in closed] + [part.back for part in fed]
    buses = tuple(name for name in dict.fromkeys(start + end) if name != RETURN)
    place = dict(zip(buses, range(len(buses)), strict=True)) | {RETURN: -1}
    _check_loads(loads, place, runs)
    start += [load.bus for load in loads]
    end += [load.back for load in loads]
    terminals = np.array([[place[name] for name in names] for names in (start, end)], np.intp)
    terminals = terminals.reshape(2, -1)
    _check_ends(kinds, terminals)
    island = _check_joined(buses, terminals, len(closed), len(fed))
    _check_fed(loads, terminals, island, len(closed), len(fed))

    def values(kind: str, name: str) -> Floats:
        return _values(kind, kinds[kind], name)

    return Network(
        buses=buses,
        runs=tuple(run.id for run in closed),
        banks=tuple(bank.id for bank in banks),
        sources=tuple(source.id for source in sources),
        loads=tuple(load.id for load in loads),
        run_ohm=values("run", "resistance_ohm"),
        bank_V=values("bank", "emf_V"),
        bank_ohm=values("bank", "resistance_ohm"),
        source_V=values("source", "set_V"),
        source_ohm=values("source", "resistance_ohm"),
        source_limit_A=values("source", "limit_A"),
        load_A=values("load", "current_A"),
        load_W=values("load", "power_W"),
        load_ohm=values("load", "resistance_ohm"),
        terminals=terminals,
        island=island,
        pattern=_elimination.pattern(len(buses), start=terminals[0], end=terminals[1]),
    )


def _values(kind: str, parts: Sequence[Any], name: str) -> Floats:
    """Return one value of all parts, the parts along the last axis."""
    given = [getattr(part, name) for part in parts]
    try:  # all floats, or all of one shape: one call
        return np.moveaxis(np.array(given, dtype=np.float64), 0, -1)
    except (TypeError, ValueError):
        columns = []
    for part, value in zip(parts, given, strict=True):
        try:
            columns.append(np.asarray(value, dtype=np.float64))
        except (TypeError, ValueError):
            raise InputError(
                f"{kind} '{part.id}', {name}: {value!r} is not a number.", remedy="Give a number."
            ) from None
    try:
        return np.stack(np.broadcast_arrays(*columns), axis=-1)
    except ValueError:
        raise InputError(
            f"{kind}s, {name}: the numbers of samples do not fit together.",
            remedy="Give floats, or arrays that broadcast together.",
        ) from None


def _check_ids(kind: str, parts: Sequence[Any]) -> None:
    seen = set()
    for part in parts:
        if part.id in seen:
            raise InputError(
                f"{kind} '{part.id}': two of them have this id.",
                remedy="Give each an id of its own.",
            )
        seen.add(part.id)


def _check_ends(kinds: dict[str, Sequence[Any]], terminals: Ints) -> None:
    names = [f"{kind} '{part.id}'" for kind, parts in kinds.items() for part in parts]
    for i in np.flatnonzero(terminals[0] == terminals[1])[:1]:
        raise InputError(
            f"{names[i]}: both of its ends are on one bus.", remedy="Give two different buses."
        )
    from_return = terminals[0] < 0
    from_return[: len(kinds["run"])] = False
    for i in np.flatnonzero(from_return)[:1]:
        raise InputError(
            f"{names[i]}: its bus is '{RETURN}'.",
            remedy="Give the bus on its positive side, and as 'back' the one on its negative side.",
        )


def _check_loads(loads: Sequence[Load], place: dict[str, int], runs: Sequence[Run]) -> None:
    for load in loads:
        for bus in (load.bus, load.back):
            if bus in place:
                continue
            open_runs = [run.id for run in runs if not run.closed and bus in (run.start, run.end)]
            if open_runs:
                raise InputError(
                    f"load '{load.id}': only open runs go to bus '{bus}': {listed(open_runs)}.",
                    remedy="Close one of them, or leave the load out.",
                )
            raise InputError(
                f"load '{load.id}': no run goes to bus '{bus}'.", remedy=nearest(bus, place)
            )


def _islands(number: int, start: Ints, end: Ints) -> Ints:
    """Label what is joined; the return, -1 among the ends, comes last.

    Each joined pair hooks its two labels to the lower one and every label is followed to its
    root, until no pair differs. Loading a graph library would cost a survey more than this.
    """
    first, second = start % (number + 1), end % (number + 1)
    label = np.arange(number + 1, dtype=np.intp)
    while True:
        one, other = label[first], label[second]
        if np.array_equal(one, other):
            return label
        low = np.minimum(one, other)
        np.minimum.at(label, one, low)
        np.minimum.at(label, other, low)
        while not np.array_equal(label, root := label[label]):
            label = root


def _check_joined(buses: tuple[str, ...], terminals: Ints, runs: int, fed: int) -> Ints:
    """Return the islands of buses, each found to have a source and a way back."""
    start, end = terminals
    island = _islands(len(buses), start[:runs], end[:runs])
    live = np.concatenate([start[runs : runs + fed], end[runs : runs + fed], [-1]])
    dead = np.flatnonzero(~np.isin(island[:-1], island[live]))
    if len(dead):
        raise InputError(
            f"bus {listed([buses[i] for i in dead])}: no bank, charger or alternator feeds it.",
            remedy="Join it to a source by a closed run, or leave it out with its runs and loads.",
        )
    whole = _islands(len(buses), start[: runs + fed], end[: runs + fed])
    adrift = np.flatnonzero(whole[:-1] != whole[-1])
    if len(adrift):
        raise InputError(
            f"bus {listed([buses[i] for i in adrift])}: has no way to the return.",
            remedy=f"Join the negative side of its source to '{RETURN}' by a run.",
        )
    return island


def _check_fed(loads: Sequence[Load], terminals: Ints, island: Ints, runs: int, fed: int) -> None:
    live = island[terminals[0, runs : runs + fed]]
    dead = ~np.isin(island[terminals[0, runs + fed :]], live)
    for i in np.flatnonzero(dead)[:1]:
        raise InputError(
            f"load '{loads[i].id}': no bank, charger or alternator feeds bus '{loads[i].bus}'.",
            remedy="Give the bus that feeds it, and as 'back' the one it goes back to.",
        )
