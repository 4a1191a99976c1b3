"""Dissimilar metals that touch: how far apart, which one wastes, and how hard.

A direction is the sign of the potential of ``a`` less that of ``b``: -1 says that ``a`` is the
less noble and wastes, +1 that ``b`` wastes, 0 that the data cannot say. Potentials of different
published series, or against different reference cells, must never meet in one call.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, finite, positive, within
from elec.errors import InputError

__all__ = [
    "SAME_V",
    "Difference",
    "Joint",
    "anode_current_density_A_per_m2",
    "area_ratio",
    "at_most_V",
    "cathode_limited_current_A",
    "earth_path_current_A",
    "index_difference_V",
    "potential_difference_V",
    "worst_joint",
]

Floats = npt.NDArray[np.float64]

# Tables print hundredths of a volt, and 0.50 - 0.35 is not exactly 0.15 in binary: differences
# closer than this are the same printed number.
SAME_V = 1e-9


@dataclass(frozen=True)
class Difference:
    """How far apart two metals can be [V], and the direction: -1 a wastes, +1 b wastes, 0 unsure.

    ``overlap`` is true where their ranges share a value, so that the difference may be nothing.
    """

    smallest_V: Floats
    largest_V: Floats
    direction: npt.NDArray[np.int_]
    overlap: npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Joint:
    """The joint of a stack with the largest difference [V]; ``place`` 0 is between parts 0 and 1.

    ``direction`` is -1 where the earlier part wastes, +1 where the later, 0 unsure.
    """

    place: npt.NDArray[np.int_]
    smallest_V: Floats
    largest_V: Floats
    direction: npt.NDArray[np.int_]


def _range(name: str, low: npt.ArrayLike, high: npt.ArrayLike) -> tuple[Floats, Floats]:
    bottom, top = finite(f"{name}_low_V", low), finite(f"{name}_high_V", high)
    if np.any(bottom > top):
        raise InputError(
            f"{name}_low_V: a lower end above {name}_high_V was given.",
            remedy="Accepted: the lower end first; for potentials the more negative one.",
        )
    return bottom, top


def potential_difference_V(
    a_low_V: npt.ArrayLike,
    *,
    a_high_V: npt.ArrayLike,
    b_low_V: npt.ArrayLike,
    b_high_V: npt.ArrayLike,
) -> Difference:
    r"""Smallest and largest difference of two metals whose potentials are known as ranges.

    .. math::
        \Delta_\text{min} = \max(0,\; a_\text{low} - b_\text{high},\; b_\text{low} - a_\text{high})
        \qquad
        \Delta_\text{max} = \max(a_\text{high} - b_\text{low},\; b_\text{high} - a_\text{low})

    Where the ranges touch or overlap either metal may be the less noble, so the direction is 0. A
    single published value is a range whose ends are equal. The series gives direction, not rate.

    Parameters
    ----------
    a_low_V, a_high_V : float or array
        Most negative and least negative potential of ``a``. [V]
    b_low_V, b_high_V : float or array
        The same for ``b``: same series, same reference cell. [V]

    Returns
    -------
    Difference
        Smallest and largest difference, direction and overlap, in the broadcast shape. [V]

    References
    ----------
    ASTM G82, guide for the galvanic series (a less noble metal wastes; ranges, not points).

    Examples
    --------
    Aluminium alloys -1.00..-0.76 V and silicon bronze -0.29..-0.26 V:

    >>> d = potential_difference_V(-1.00, a_high_V=-0.76, b_low_V=-0.29, b_high_V=-0.26)
    >>> round(float(d.smallest_V), 2), round(float(d.largest_V), 2), int(d.direction)
    (0.47, 0.74, -1)
    """
    a_low, a_high = _range("a", a_low_V, a_high_V)
    b_low, b_high = _range("b", b_low_V, b_high_V)
    a_below, b_below = b_low - a_high, a_low - b_high
    return Difference(
        smallest_V=np.maximum(0.0, np.maximum(a_below, b_below))[()],
        largest_V=np.maximum(a_high - b_low, b_high - a_low)[()],
        direction=np.asarray((b_below > 0).astype(int) - (a_below > 0).astype(int))[()],
        overlap=np.asarray((a_below <= 0) & (b_below <= 0))[()],
    )


def index_difference_V(
    a_low_V: npt.ArrayLike,
    *,
    b_low_V: npt.ArrayLike,
    a_high_V: npt.ArrayLike | None = None,
    b_high_V: npt.ArrayLike | None = None,
) -> Difference:
    r"""Difference of two anodic indices, for parts in air; the higher index wastes.

    .. math:: \Delta = |a - b|

    The index counts volts below gold, and is for atmospheric contact only: never for immersed
    parts, and never to be taken from a potential. An alloy listed in two groups has a range.

    Parameters
    ----------
    a_low_V : float or array
        Anodic index of ``a``, or the lower end of its range. [V]
    b_low_V : float or array
        The same for ``b``. [V]
    a_high_V, b_high_V : float or array, optional
        Upper ends, where an alloy is listed in more than one group. [V]

    Returns
    -------
    Difference
        Smallest and largest difference, direction and overlap, in the broadcast shape. [V]

    References
    ----------
    MIL-DTL-14072F, Table VI and 3.13 (groups; members within 0.05 V of each other).

    Examples
    --------
    >>> d = index_difference_V(0.90, b_low_V=0.35)
    >>> round(float(d.largest_V), 2), int(d.direction)
    (0.55, -1)
    """
    a_low, b_low = at_least_zero("a_low_V", a_low_V), at_least_zero("b_low_V", b_low_V)
    a_high = a_low if a_high_V is None else a_high_V
    b_high = b_low if b_high_V is None else b_high_V
    a_low, a_high = _range("a", a_low, a_high)
    b_low, b_high = _range("b", b_low, b_high)
    return potential_difference_V(-a_high, a_high_V=-a_low, b_low_V=-b_high, b_high_V=-b_low)


def at_most_V(difference_V: npt.ArrayLike, *, limit_V: npt.ArrayLike) -> npt.NDArray[np.bool_]:
    r"""Whether a difference of printed values keeps a limit, exactly at the limit included [-].

    .. math:: \Delta \le L + 10^{-9}\,\text{V}

    Parameters
    ----------
    difference_V : float or array
        Difference of two printed indices or potentials, zero or more. [V]
    limit_V : float or array
        Largest difference allowed. [V]

    Examples
    --------
    >>> bool(0.50 - 0.35 <= 0.15), bool(at_most_V(0.50 - 0.35, limit_V=0.15))
    (False, True)
    """
    difference = at_least_zero("difference_V", difference_V)
    limit = at_least_zero("limit_V", limit_V)
    return np.asarray(difference <= limit + SAME_V)[()]


def worst_joint(index_low_V: npt.ArrayLike, *, index_high_V: npt.ArrayLike | None = None) -> Joint:
    r"""Joint of a stack of parts (lug, washer, stud, nut) with the largest index difference.

    .. math:: \max_k |a_k - a_{k+1}|

    Only neighbours touch; a part counts with its plating, not the metal beneath.

    Parameters
    ----------
    index_low_V : array
        Anodic index of each part, two or more, as they are stacked, along the last axis. [V]
    index_high_V : array, optional
        Upper ends, where a part is listed in more than one group. [V]

    Returns
    -------
    Joint
        Place, smallest and largest difference of that joint, and direction. [V]

    References
    ----------
    MIL-DTL-14072F, 3.13.1 (use the plating, not the base metal).

    Examples
    --------
    Tinned lug, stainless washer, brass stud:

    >>> joint = worst_joint([0.65, 0.50, 0.40])
    >>> int(joint.place), round(float(joint.largest_V), 2), int(joint.direction)
    (0, 0.15, -1)
    """
    low = at_least_zero("index_low_V", index_low_V)
    high = low if index_high_V is None else at_least_zero("index_high_V", index_high_V)
    low, high = np.broadcast_arrays(low, high)
    if low.ndim == 0 or low.shape[-1] < 2:
        raise InputError(
            "index_low_V: fewer than two parts were given.",
            remedy="Accepted: a stack of two or more.",
        )
    joints = index_difference_V(
        low[..., :-1], a_high_V=high[..., :-1], b_low_V=low[..., 1:], b_high_V=high[..., 1:]
    )
    # Round-off must not decide between two joints that print the same difference.
    worst = joints.largest_V >= joints.largest_V.max(axis=-1, keepdims=True) - SAME_V
    place = np.asarray(worst.argmax(axis=-1))

    def chosen(values: npt.NDArray[np.generic]) -> npt.NDArray[np.generic]:
        return np.take_along_axis(values, place[..., None], axis=-1)[..., 0]

    return Joint(
        place=place[()],
        smallest_V=chosen(joints.smallest_V),  # type: ignore[arg-type]
        largest_V=chosen(joints.largest_V),  # type: ignore[arg-type]
        direction=chosen(joints.direction),  # type: ignore[arg-type]
    )


def area_ratio(cathode_area_m2: npt.ArrayLike, *, anode_area_m2: npt.ArrayLike) -> Floats:
    r"""Wetted area of the noble metal for each unit of the wasting one [-].

    .. math:: r = A_c / A_a

    Parameters
    ----------
    cathode_area_m2 : float or array
        Wetted, unpainted area :math:`A_c` of the metal that does not waste. [m²]
    anode_area_m2 : float or array
        Wetted, unpainted area :math:`A_a` of the metal that wastes. [m²]

    Examples
    --------
    >>> float(area_ratio(2.0, anode_area_m2=0.5))
    4.0
    """
    ratio = positive("cathode_area_m2", cathode_area_m2) / positive("anode_area_m2", anode_area_m2)
    return ratio[()]


def anode_current_density_A_per_m2(
    cathode_current_density_A_per_m2: npt.ArrayLike,
    *,
    cathode_area_m2: npt.ArrayLike,
    anode_area_m2: npt.ArrayLike,
    own_corrosion_A_per_m2: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Give the current density on the wasting metal when the noble one sets the current [A/m²].

    .. math:: i_a = i_c \, \frac{A_c}{A_a} + i_\text{own}

    Holds until the anode itself, or the resistance of water or metal, sets the current. Doubling
    the cathode doubles the rate: paint the cathode first, never only the anode.

    Parameters
    ----------
    cathode_current_density_A_per_m2 : float or array
        Current density :math:`i_c` that the cathode carries. [A/m²]
    cathode_area_m2 : float or array
        Wetted, unpainted cathode area. [m²]
    anode_area_m2 : float or array
        Wetted, unpainted anode area. [m²]
    own_corrosion_A_per_m2 : float or array, default 0
        What the anode metal loses on its own, uncoupled. [A/m²]

    References
    ----------
    MIL-STD-1250A, 5.6 (the inverse effect of area).

    Examples
    --------
    >>> i = anode_current_density_A_per_m2(0.1287, cathode_area_m2=4.0, anode_area_m2=1.0)
    >>> round(float(i), 3)
    0.515
    """
    density = at_least_zero("cathode_current_density_A_per_m2", cathode_current_density_A_per_m2)
    own = at_least_zero("own_corrosion_A_per_m2", own_corrosion_A_per_m2)
    return (density * area_ratio(cathode_area_m2, anode_area_m2=anode_area_m2) + own)[()]


def cathode_limited_current_A(
    limiting_current_density_A_per_m2: npt.ArrayLike,
    *,
    cathode_area_m2: npt.ArrayLike,
    cathode_efficiency: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Couple current when oxygen reaching the cathode sets it, as usual in seawater [A].

    .. math:: I_g = i_L \, \varepsilon_c \, A_c

    Parameters
    ----------
    limiting_current_density_A_per_m2 : float or array
        Oxygen limit :math:`i_L` of the water. [A/m²]
    cathode_area_m2 : float or array
        Wetted, unpainted cathode area, zero where painted whole. [m²]
    cathode_efficiency : float or array, default 1
        Share :math:`\varepsilon_c` of the limit that this metal carries, 0 to 1; the measured
        couples give it as a ratio to platinum. [-]

    References
    ----------
    MIL-STD-889D, anode rates of aluminium couples at equal areas (the ranking of cathodes).

    Examples
    --------
    >>> float(cathode_limited_current_A(0.25, cathode_area_m2=2.0, cathode_efficiency=0.5))
    0.25
    """
    limit = at_least_zero("limiting_current_density_A_per_m2", limiting_current_density_A_per_m2)
    area = at_least_zero("cathode_area_m2", cathode_area_m2)
    return (limit * within("cathode_efficiency", cathode_efficiency, 0.0, 1.0) * area)[()]


def earth_path_current_A(
    potential_difference_V: npt.ArrayLike,
    *,
    resistance_ohm: npt.ArrayLike,
    block_V: npt.ArrayLike = 0.0,
    bias_V: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Galvanic current that the shore earth carries between two boats' metals [A].

    .. math:: I = \frac{\max(0,\; |\Delta E| + |V_\text{bias}| - V_\text{block})}{R}

    An isolator blocks what stays below its threshold; a bias already standing on the conductor
    uses up the threshold. Without an isolator, or with one failed closed, the block is zero. One
    failed open carries nothing, and has lost the safety earth. This steady value is an upper
    bound: metals polarise and the true difference shrinks as current flows.

    Parameters
    ----------
    potential_difference_V : float or array
        Difference :math:`\Delta E` of the metals at the two ends; its sign does not matter. [V]
    resistance_ohm : float or array
        Whole loop: conductor, and metal to water at both ends. [ohm]
    block_V : float or array, default 0
        Threshold :math:`V_\text{block}` of the isolator. [V]
    bias_V : float or array, default 0
        Direct voltage on the conductor from elsewhere, at its worst sign. [V]

    Examples
    --------
    Zinc to bronze 0.75 V over 2 ohm, without and with a block of 1.2 V:

    >>> float(earth_path_current_A(0.75, resistance_ohm=2.0))
    0.375
    >>> float(earth_path_current_A(0.75, resistance_ohm=2.0, block_V=1.2))
    0.0
    """
    drive = np.abs(finite("potential_difference_V", potential_difference_V))
    drive = drive + np.abs(finite("bias_V", bias_V)) - at_least_zero("block_V", block_V)
    return (np.maximum(0.0, drive) / positive("resistance_ohm", resistance_ohm))[()]
