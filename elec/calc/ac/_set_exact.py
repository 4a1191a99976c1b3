"""Every set of loads by its exact phasor sum, where phasors may undo one another.

A set counts as too much if any part of it is: whatever of it is switched off first.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

__all__ = ["MOST_EXACT", "largest", "over_of_sets", "smallest"]

Complex = npt.NDArray[np.complex128]
Bools = npt.NDArray[np.bool_]
Masks = npt.NDArray[np.uint64]

#: Loads of which every set is added up.
MOST_EXACT = 16


def over_of_sets(
    always: Complex, loads: Complex, limit_A: npt.NDArray[np.float64]
) -> tuple[Bools, Bools]:
    """Return which sets are too much, alone or in part, and the legs that each itself overloads.

    Sets are in the order of their bit masks; `always` by legs, `loads` by loads and legs.
    """
    sums = always[None, :]
    for row in loads:
        sums = np.concatenate([sums, sums + row])
    legs: Bools = np.asarray(abs(sums) > limit_A)
    over: Bools = np.asarray(legs.any(axis=1))
    for load in range(len(loads)):
        pairs = over.reshape(-1, 2, 1 << load)
        pairs[:, 1] |= pairs[:, 0]
    return over, legs


def smallest(over: Bools, loads: int) -> Masks:
    """Return the sets that are too much, and no part of which is; smallest first."""
    found = over.copy()
    for load in range(loads):
        pairs, kept = over.reshape(-1, 2, 1 << load), found.reshape(-1, 2, 1 << load)
        kept[:, 1] &= ~pairs[:, 0]
    return _by_size(found)


def largest(over: Bools, loads: int) -> Masks:
    """Return the sets that fit, and with no load more; largest first."""
    found = ~over
    for load in range(loads):
        pairs, kept = over.reshape(-1, 2, 1 << load), found.reshape(-1, 2, 1 << load)
        kept[:, 0] &= pairs[:, 1]
    return _by_size(found)[::-1]


def _by_size(found: Bools) -> Masks:
    masks = np.flatnonzero(found).astype(np.uint64)
    return masks[np.argsort(np.bitwise_count(masks), kind="stable")]
