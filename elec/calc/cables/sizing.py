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

from elec.calc._given import at_least_zero, finite, positive
from elec.calc.cables.conductors import largest_current_A, longest_run_m
from elec.errors import InputError

__all__ = [
    "HOLDS_WITHIN",
    "Choice",
    "Reach",
    "margin_at_least",
    "margin_at_most",
    "reach",
    "run_margins",
    "smallest_size",
]

Floats = npt.NDArray[np.float64]
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


@dataclass(frozen=True)
class Reach:
    """What one size serves, by ampacity and drop together.

    ``longest_m`` [m] is one way at the current asked, ``current_A`` [A] at the length asked.
    """

    longest_m: Floats
    current_A: Floats


def margin_at_most(value: npt.ArrayLike, *, limit: npt.ArrayLike) -> Floats:
    r"""Margin of a value that must not exceed a limit.

    .. math:: m = 1 - x / l

    Parameters
    ----------
    value : float or array
        Value :math:`x`. [any]
    limit : float or array
        Limit :math:`l`, above zero, in the unit of the value. [any]

    Returns
    -------
    float or array
        Margin as a fraction of the limit. [-]

    Raises
    ------
    InputError
        If a value is not finite or a limit not above zero.

    Examples
    --------
    >>> round(float(margin_at_most(0.03003, limit=0.03)), 6)
    -0.001
    """
    return (1.0 - finite("value", value) / positive("limit", limit))[()]


def margin_at_least(value: npt.ArrayLike, *, limit: npt.ArrayLike) -> Floats:
    r"""Margin of a value that must reach a limit.

    .. math:: m = x / l - 1

    Parameters
    ----------
    value : float or array
        Value :math:`x`. [any]
    limit : float or array
        Limit :math:`l`, above zero, in the unit of the value. [any]

    Returns
    -------
    float or array
        Margin as a fraction of the limit. [-]

    Raises
    ------
    InputError
        If a value is not finite or a limit not above zero.
    """
    return (finite("value", value) / positive("limit", limit) - 1.0)[()]


def run_margins(
    current_A: npt.ArrayLike,
    *,
    length_one_way_m: npt.ArrayLike,
    allowed_drop_V: npt.ArrayLike,
    ampacity_A: npt.ArrayLike,
    ohm_per_m: npt.ArrayLike,
    area_mm2: npt.ArrayLike | None = None,
    least_area_mm2: npt.ArrayLike | None = None,
    heating_current_A: npt.ArrayLike | None = None,
) -> dict[str, Floats]:
    r"""Margins of every size of a run in ampacity, drop and, if asked, least area.

    .. math:: m_I = 1 - \frac{I_h}{I_z}, \quad m_E = 1 - \frac{2 I L R'}{E}, \quad
              m_S = \frac{S}{S_{min}} - 1

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`, one for each sample. [A]
    length_one_way_m : float or array
        Source to load :math:`L`, one for each sample. [m]
    allowed_drop_V : float or array
        Drop allowed :math:`E`, one for each sample. [V]
    ampacity_A : array
        Ampacity :math:`I_z` where it lies, sizes along the last axis, after any of samples;
        zero where the size may carry nothing. [A]
    ohm_per_m : array
        Resistance of a metre :math:`R'` by the formula in force, sizes along the last axis. [ohm/m]
    area_mm2 : array, optional
        Metal areas :math:`S`, sizes along the last axis. [mm²]
    least_area_mm2 : float or array, optional
        Smallest area :math:`S_{min}` that is allowed at all, one for each sample. [mm²]
    heating_current_A : float or array, optional
        Continuous current that heats alike :math:`I_h`, for short-time duty; else the load. [A]

    Returns
    -------
    dict
        ``"ampacity"``, ``"drop"`` and, if asked, ``"least area"``: margins of every sample and
        size. [-]

    Raises
    ------
    InputError
        If a value is outside its range, or one of the two areas was given without the other.
    """
    current = at_least_zero("current_A", current_A)
    heating = at_least_zero(
        "heating_current_A", current_A if heating_current_A is None else heating_current_A
    )
    length = positive("length_one_way_m", length_one_way_m)
    per_ohm = 2.0 * current * length / positive("allowed_drop_V", allowed_drop_V)
    margins = {
        "ampacity": _ampacity_margin(heating[..., None], at_least_zero("ampacity_A", ampacity_A)),
        "drop": _one_minus(per_ohm[..., None] * positive("ohm_per_m", ohm_per_m)),
    }
    if (area_mm2 is None) != (least_area_mm2 is None):
        raise InputError(
            "area_mm2 and least_area_mm2: one was given without the other.",
            remedy="Give both, or neither where no least area is asked.",
        )
    if area_mm2 is not None and least_area_mm2 is not None:
        least = positive("least_area_mm2", least_area_mm2)[..., None]
        margins["least area"] = margin_at_least(area_mm2, limit=least)
    return margins


def _one_minus(part: Floats) -> Floats:
    return np.subtract(1.0, part, out=part)


def _ampacity_margin(heating_A: Floats, ampacity_A: Floats) -> Floats:
    none = ampacity_A == 0
    margin = _one_minus(heating_A / np.where(none, 1.0, ampacity_A))
    return np.where(none, -np.inf, margin) if none.any() else margin


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

    Raises
    ------
    InputError
        If there is no requirement, or a margin is not a number.

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


def reach(
    current_A: npt.ArrayLike,
    *,
    length_one_way_m: npt.ArrayLike,
    allowed_drop_V: npt.ArrayLike,
    ampacity_A: npt.ArrayLike,
    ohm_per_m: npt.ArrayLike,
) -> Reach:
    r"""How long a run and how large a current a size serves.

    .. math:: L_{max} = \frac{E}{2 I R'}, \quad
              I_{max} = \min\left(I_z, \frac{E}{2 L R'}\right)

    Parameters
    ----------
    current_A : float or array
        Load current :math:`I`, above zero. [A]
    length_one_way_m : float or array
        Source to load :math:`L`. [m]
    allowed_drop_V : float or array
        Drop allowed :math:`E`. [V]
    ampacity_A : float or array
        Ampacity of the size where it lies :math:`I_z`. [A]
    ohm_per_m : float or array
        Resistance of a metre of the size :math:`R'`. [ohm/m]

    Returns
    -------
    Reach
        Longest run, zero where the ampacity is exceeded, and largest current. [m, A]

    Raises
    ------
    InputError
        If a value is outside its range.
    """
    ampacity = at_least_zero("ampacity_A", ampacity_A)
    longest = longest_run_m(current_A, allowed_drop_V=allowed_drop_V, ohm_per_m=ohm_per_m)
    carried = positive("current_A", current_A) <= ampacity * (1 + HOLDS_WITHIN)
    by_drop = largest_current_A(
        length_one_way_m, allowed_drop_V=allowed_drop_V, ohm_per_m=ohm_per_m
    )
    return Reach(np.where(carried, longest, 0.0)[()], np.minimum(by_drop, ampacity)[()])
