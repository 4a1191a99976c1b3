"""Sums of loads, shared by the searches over sets of them."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

__all__ = ["TOLERANCE", "top_sums"]

#: Sums of decimal amps are not exact in binary: within this share of a limit they equal it.
TOLERANCE = 1e-9


def top_sums(loads: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Return ``top[t, :, r]``: by column, the sum of the ``r`` largest loads from row ``t`` on."""
    count, columns = loads.shape
    top = np.zeros((count + 1, columns, count + 1))
    for start in range(count):
        falling = np.cumsum(-np.sort(-loads[start:], axis=0), axis=0).T
        top[start, :, 1 : count - start + 1] = falling
        top[start, :, count - start + 1 :] = falling[:, -1:]
    return top
