r"""The smallest listed size that satisfies every requirement, and why no smaller one does.

Samples and sizes broadcast: sizes run along the last axis, smallest first. A requirement is its
margin, as a fraction of the limit, positive when it holds; 3.003 % of drop against 3 % is a
margin of -0.001, and fails. Any further requirement of a caller joins as one more margin.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from elec.errors import InputError

__all__ = [
    "HOLDS_WITHIN",
    "Choice",
    "smallest_size",
]

Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.intp]

#: A requirement holds while its margin is no further below zero than this fraction of the limit.
HOLDS_WITHIN = 1e-9


@dataclass(frozen=True)
class Choice:
    """The smallest size that holds, for each sample.

    ``index`` [-] is its place, -1 where no size holds. ``governs`` [-] is the place in ``names``
    of the requirement that fails by most in the size below; where there is none below, of that
    with least in hand; where no size holds, of that which the largest size fails by most.
    ``fails`` [-] tells for each name which sizes fail it.
    """

    names: tuple[str, ...]
    index: Ints
    governs: Ints
    fails: dict[str, Bools]


def smallest_size(margins: Mapping[str, npt.ArrayLike]) -> Choice:
    r"""Find the smallest size that holds, and the requirement that governs it.

    .. math:: i = \min \{ j : \min_r m_{r,j} \ge -10^{-9} \}

    Parameters
    ----------
    margins : mapping
        Margin of each requirement by name, sizes along the last axis, smallest first. [-]

    Returns
    -------
    Choice
        Place of the size, what governs, and every failure. [-]

    Examples
    --------
    Four sizes; the second has the ampacity, the third the drop:

    >>> found = smallest_size(
    ...     {"ampacity": [-0.2, 0.1, 0.3, 0.5], "drop": [-0.9, -0.1, 0.2, 0.4]})
    >>> int(found.index), found.names[found.governs]
    (2, 'drop')
    """
    if not margins:
        raise InputError("margins: none were given.", remedy="Give at least one requirement.")
    names = tuple(margins)
    each = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(m, dtype=np.float64)) for m in margins.values())
    )
    for name, margin in zip(names, each, strict=True):
        if np.isnan(margin.min()):  # the least of any with a NaN is NaN; -inf passes
            raise InputError(
                f"margins: '{name}' is not a number somewhere.", remedy="Accepted: numbers."
            )
    fails = [np.asarray(margin < -HOLDS_WITHIN) for margin in each]
    broken = fails[0]
    for more in fails[1:]:
        broken = broken | more
    first = broken.argmin(axis=-1)
    some = ~_at(broken, first)
    below = np.where(some, np.maximum(first - 1, 0), broken.shape[-1] - 1)
    governs = np.argmin([_at(margin, below) for margin in each], axis=0)
    index = np.where(some, first, -1)
    return Choice(names, index[()], governs[()], dict(zip(names, fails, strict=True)))


def _at(values: npt.NDArray[Any], place: Ints) -> npt.NDArray[Any]:
    return np.take_along_axis(values, place[..., None], axis=-1)[..., 0]
