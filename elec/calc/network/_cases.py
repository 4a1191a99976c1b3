"""Values of a network checked, and cut into blocks of samples that fit the processor's cache."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
import numpy.typing as npt

from elec.calc.network.network_parts import Network
from elec.errors import InputError

__all__ = ["Case", "cases", "samples_of", "together"]

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]

_BLOCK = 200_000  # numbers in the work array of a block


@dataclass(frozen=True)
class Case:
    """Values of the parts: conductances [S], voltages [V], currents [A] and powers [W].

    Parts along the first axis, samples along the second; no second axis for one sample alone.
    """

    run_S: Floats
    bank_V: Floats
    bank_S: Floats
    source_V: Floats
    source_S: Floats
    limit_A: Floats
    load_A: Floats
    load_W: Floats
    load_S: Floats

    def only(self, some: Bools) -> Case:
        """Return the case of some of the samples."""
        return Case(*(getattr(self, part.name)[:, some] for part in fields(self)))


def samples_of(network: Network) -> tuple[int, ...]:
    """Return the shape of the samples, all values having been found to be in range."""
    shapes = []
    for kind, ids, name, values, zero, endless in (
        ("run", network.runs, "resistance_ohm", network.run_ohm, False, False),
        ("bank", network.banks, "emf_V", network.bank_V, False, False),
        ("bank", network.banks, "resistance_ohm", network.bank_ohm, False, False),
        ("source", network.sources, "set_V", network.source_V, False, False),
        ("source", network.sources, "resistance_ohm", network.source_ohm, False, False),
        ("source", network.sources, "limit_A", network.source_limit_A, True, True),
        ("load", network.loads, "current_A", network.load_A, True, False),
        ("load", network.loads, "power_W", network.load_W, True, False),
        ("load", network.loads, "resistance_ohm", network.load_ohm, False, True),
    ):
        array = np.asarray(values, dtype=np.float64)
        if array.ndim == 0 or array.shape[-1] != len(ids):
            raise InputError(
                f"{kind}s, {name}: an array of shape {array.shape} for {len(ids)} of them.",
                remedy="Give one value for each along the last axis.",
            )
        good = (array >= 0) if zero else (array > 0)
        good &= ~np.isnan(array) if endless else np.isfinite(array)
        if not good.all():
            *_, worst = np.argwhere(~good)[0]
            accepted = "zero or more" if zero else "above zero"
            raise InputError(
                f"{kind} '{ids[worst]}', {name}: {array[~good].flat[0]:g} was given.",
                remedy=f"Accepted: a {'' if endless else 'finite '}number {accepted}.",
            )
        shapes.append(array.shape[:-1])
    try:
        shape = np.broadcast_shapes(*shapes)
    except ValueError:
        raise InputError(
            "network: the numbers of samples of its values do not fit together.",
            remedy="Give floats, or arrays that broadcast together.",
        ) from None
    if 0 in shape:
        raise InputError("network: no samples were given.", remedy="Give one at least.")
    return shape


def cases(network: Network, shape: tuple[int, ...]) -> Iterator[Case]:
    """Cut the samples into blocks."""
    samples = int(np.prod(shape))
    length = max(1, _BLOCK // network.pattern.size)
    for first in range(0, samples, length):
        some = slice(first, min(first + length, samples))
        yield _case(network, shape, some)


def _case(network: Network, shape: tuple[int, ...], some: slice) -> Case:
    alone = np.prod(shape, dtype=int) == 1

    def block(values: Floats) -> Floats:
        values = np.asarray(values, dtype=np.float64)
        number = values.shape[-1]
        if values.ndim == 1:
            wanted = np.broadcast_to(values, (some.stop - some.start, number))
        else:
            wanted = np.broadcast_to(values, (*shape, number)).reshape(-1, number)[some]
        return wanted[0] if alone else np.ascontiguousarray(wanted.T)

    return Case(
        run_S=1.0 / block(network.run_ohm),
        bank_V=block(network.bank_V),
        bank_S=1.0 / block(network.bank_ohm),
        source_V=block(network.source_V),
        source_S=1.0 / block(network.source_ohm),
        limit_A=block(network.source_limit_A),
        load_A=block(network.load_A),
        load_W=block(network.load_W),
        load_S=1.0 / block(network.load_ohm),
    )


def together(blocks: Sequence[npt.NDArray[np.generic]], shape: tuple[int, ...]) -> Any:
    """Join the blocks of a result again: samples first, in their shape, then the parts."""
    if np.prod(shape, dtype=int) == 1:
        return np.reshape(blocks[0], (*shape, *np.shape(blocks[0])))[()]
    values = np.concatenate(blocks, axis=-1)
    return values.T.reshape(*shape, *values.shape[:-1])
