"""Readings of a reference cell: conversion, correction, and judging them against a range.

A potential is that of the metal less that of the cell, so noble is positive. A number without its
cell means nothing; the cells' own potentials come as arguments, from the table of reference cells.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, finite
from elec.errors import InputError

__all__ = [
    "HullState",
    "Shift",
    "bonding_drop_V",
    "convert_V",
    "corrected_for_salinity_V",
    "hull_state",
    "shore_shift",
]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class HullState:
    """A reading against a range that limits on both sides.

    ``state`` is +1 where not negative enough (under-protected), -1 where too negative
    (over-protected), 0 where it keeps every limit given. ``certain`` is true where the
    uncertainty of the reading cannot change that and both limits are given. The margins [V] are
    positive where the limit is kept, NaN where no such limit is given.
    """

    under_margin_V: Floats
    over_margin_V: Floats
    state: npt.NDArray[np.int_]
    certain: npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Shift:
    """Change of a reading on connecting [V].

    ``direction`` is +1 where it moved toward noble (protection lost to metal beyond the
    connection), -1 where toward active (protected by something beyond it), 0 where the change is
    within the uncertainty of two readings.
    """

    shift_V: Floats
    direction: npt.NDArray[np.int_]


def convert_V(
    potential_V: npt.ArrayLike,
    *,
    from_reference_V: npt.ArrayLike,
    to_reference_V: npt.ArrayLike,
) -> Floats:
    r"""Potential against another reference cell [V].

    .. math:: E_B = E_A + E_{\text{ref},A} - E_{\text{ref},B}

    Parameters
    ----------
    potential_V : float or array
        Potential :math:`E_A` against the cell that was used. [V]
    from_reference_V : float or array
        That cell against standard hydrogen. [V]
    to_reference_V : float or array
        The wanted cell against standard hydrogen, at the same temperature. [V]

    References
    ----------
    "Reference Electrodes in Metal Corrosion", International Journal of Corrosion 2010, 756950.

    Examples
    --------
    Silicon bronze, -0.26 V against silver chloride, against a zinc 1.03 V below that cell:

    >>> round(float(convert_V(-0.26, from_reference_V=0.25, to_reference_V=-0.78)), 3)
    0.77
    """
    reading, cell = finite("potential_V", potential_V), finite("from_reference_V", from_reference_V)
    return (reading + cell - finite("to_reference_V", to_reference_V))[()]


def corrected_for_salinity_V(reading_V: npt.ArrayLike, *, shift_V: npt.ArrayLike) -> Floats:
    r"""Correct the reading of an open silver chloride cell to what full seawater would give [V].

    .. math:: E_{35} = E_\text{read} + \Delta

    Parameters
    ----------
    reading_V : float or array
        Reading taken in water of another salinity. [V]
    shift_V : float or array
        How far the cell stood above its value in seawater of salinity 35. [V]

    Examples
    --------
    A reading that seems to pass -0.90 V does not, once corrected:

    >>> round(float(corrected_for_salinity_V(-0.92, shift_V=0.0299)), 4)
    -0.8901
    """
    return (finite("reading_V", reading_V) + finite("shift_V", shift_V))[()]


def hull_state(
    reading_V: npt.ArrayLike,
    *,
    least_negative_V: npt.ArrayLike,
    most_negative_V: npt.ArrayLike | None = None,
    uncertainty_V: npt.ArrayLike = 0.0,
) -> HullState:
    r"""Judge a reading against a published range; both ends are limits.

    .. math:: m_\text{under} = E_\text{least} - E \qquad m_\text{over} = E - E_\text{most}

    Above the range metal wastes; below it aluminium, paint and the wood at fittings are attacked
    and hard steels take up hydrogen. A source that prints no lower limit has not said that there
    is none, so a reading is then never certain to be within.

    Parameters
    ----------
    reading_V : float or array
        Reading, against the cell for which the range is printed. [V]
    least_negative_V : float or array
        Upper end of the range. [V]
    most_negative_V : float or array, optional
        Lower end; left out or NaN where the source prints none. [V]
    uncertainty_V : float or array, default 0
        Largest error of the reading, either way. [V]

    Returns
    -------
    HullState
        Both margins, the state and whether it is certain. [V]

    Examples
    --------
    -0.94 V by a cell good to 20 mV, where -0.95 to -1.10 V is asked:

    >>> h = hull_state(
    ...     -0.94, least_negative_V=-0.95, most_negative_V=-1.10, uncertainty_V=0.02)
    >>> int(h.state), bool(h.certain), round(float(h.under_margin_V), 3)
    (1, False, -0.01)
    """
    reading, least = finite("reading_V", reading_V), finite("least_negative_V", least_negative_V)
    most = np.asarray(np.nan if most_negative_V is None else most_negative_V, dtype=np.float64)
    finite("most_negative_V", most[~np.isnan(most)])
    if np.any(most > least):
        raise InputError(
            "most_negative_V: an end above least_negative_V was given.",
            remedy="Accepted: the more negative end of the range, such as -1.1 for -0.8 to -1.1.",
        )
    error = at_least_zero("uncertainty_V", uncertainty_V)
    under, over = np.broadcast_arrays(least - reading, reading - most)
    state = (under < 0).astype(int) - (over < 0).astype(int)
    settled = np.abs(under) >= error
    certain = np.where(
        under < 0, settled, np.where(over < 0, np.abs(over) >= error, settled & (over >= error))
    )
    return HullState(under[()], over[()], np.asarray(state)[()], certain[()])


def shore_shift(
    unplugged_V: npt.ArrayLike,
    *,
    plugged_V: npt.ArrayLike,
    uncertainty_V: npt.ArrayLike = 0.0,
) -> Shift:
    r"""Change of the hull's reading on plugging in.

    .. math:: \Delta = E_\text{plugged} - E_\text{unplugged}

    A change either way shows that the shore earth conducts. Toward noble the boat's anodes work
    for metal ashore or next door; toward active something beyond the plug protects, or
    over-protects, this boat. No change does not prove that there is an isolator: the metals
    beyond may simply stand at the same potential.

    Parameters
    ----------
    unplugged_V : float or array
        Reading with the shore cord out. [V]
    plugged_V : float or array
        Reading with it in; same cell, same place. [V]
    uncertainty_V : float or array, default 0
        Largest difference of two readings of the same thing. [V]

    Returns
    -------
    Shift
        Change and its direction. [V]

    Examples
    --------
    >>> change = shore_shift(-0.41, plugged_V=-0.33, uncertainty_V=0.02)
    >>> round(float(change.shift_V), 3), int(change.direction)
    (0.08, 1)
    """
    shift = finite("plugged_V", plugged_V) - finite("unplugged_V", unplugged_V)
    shown = np.abs(shift) > at_least_zero("uncertainty_V", uncertainty_V)
    return Shift(shift[()], np.where(shown, np.sign(shift), 0).astype(int)[()])


def bonding_drop_V(current_A: npt.ArrayLike, *, resistance_ohm: npt.ArrayLike) -> Floats:
    r"""Protection that a fitting loses in the resistance of its bond.

    .. math:: \Delta E = I \, R

    Parameters
    ----------
    current_A : float or array
        Protective current that the fitting takes. [A]
    resistance_ohm : float or array
        Resistance from anode to fitting. [ohm]

    Returns
    -------
    float or array
        How much less negative the fitting stays than the anode's end of the bond. [V]

    Examples
    --------
    >>> float(bonding_drop_V(0.05, resistance_ohm=2.0))
    0.1
    """
    current = at_least_zero("current_A", current_A)
    return (current * at_least_zero("resistance_ohm", resistance_ohm))[()]
