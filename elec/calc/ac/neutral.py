"""The neutral of several legs: bounds where power factors or legs are not known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within
from elec.calc.ac.legs import LEGS, leg_angles_rad
from elec.errors import InputError

__all__ = [
    "NeutralLoad",
    "neutral_bounds_A",
]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class NeutralLoad:
    """A line-to-neutral load: its current, the legs it may be on, and its power factor.

    `third_harmonic` is a share of the fundamental, at most.
    """

    low_A: float
    high_A: float
    legs: tuple[str, ...]
    power_factor_low: float = 1.0
    power_factor_high: float = 1.0
    leading: bool = False
    third_harmonic: float = 0.0

    @property
    def arc_rad(self) -> tuple[float, float]:
        """Directions that its current may have against its voltage."""
        far, near = np.arccos([self.power_factor_low, self.power_factor_high])
        return (float(near), float(far)) if self.leading else (-float(far), -float(near))


def neutral_bounds_A(loads: Sequence[NeutralLoad], *, system: str) -> tuple[float, float]:
    r"""Return bounds of the neutral current over all that its loads may be.

    .. math::

        h(d) = \sum_i \max_{z \in K_i} \langle d, z \rangle, \qquad
        I_N \le \max_d h(d), \quad I_N \ge \max\big(0, -\min_d h(d)\big)

    over the directions :math:`d`, where :math:`K_i` holds every phasor that load :math:`i` may
    have: any current and power factor in range, on any leg that it may be on.

    Parameters
    ----------
    loads : sequence of NeutralLoad
        The line-to-neutral loads. [A]
    system : str
        One of `elec.calc.ac.LEGS`. [text]

    Returns
    -------
    tuple of float
        Least and greatest neutral current. The greatest is attained but for third harmonics. [A]

    Raises
    ------
    InputError
        If a range runs backwards, or a load is on a leg that the system does not have.

    Notes
    -----
    Third harmonics are added to the greatest only: all of them on a wye, whose neutral adds them;
    those of the larger leg on split phase, whose neutral has their difference. The rms of a load
    stays as given, so its fundamental is the less the more third harmonic it has.

    References
    ----------
    Circuit theory; the support function of a sum of sets is the sum of theirs.

    Examples
    --------
    >>> motor = NeutralLoad(10, 10, ("L1",), power_factor_low=0.8)
    >>> heater = NeutralLoad(10, 10, ("L2",))
    >>> [round(end, 2) for end in neutral_bounds_A([motor, heater], system="split-phase")]
    [0.0, 6.32]
    """
    angles = dict(zip(LEGS.get(system, ()), leg_angles_rad(system), strict=True))
    for one in loads:
        _checked(one, system, angles)
    if not loads:
        return 0.0, 0.0
    turns = [
        (angles[leg] + end + quarter * np.pi / 2) % (2 * np.pi)
        for one in loads
        for leg in one.legs
        for end in one.arc_rad
        for quarter in range(4)
    ] + [
        ((angles[a] + x + angles[b] + y) / 2 + half * np.pi) % (2 * np.pi)
        for one in loads
        for a in one.legs
        for b in one.legs
        for x in one.arc_rad
        for y in one.arc_rad
        for half in range(2)
        if (a, x) != (b, y)
    ]
    # Ends nearer to one another than this are one: the bound itself is never taken from them.
    ends = np.unique(np.round(turns, 9))
    between = (ends + np.diff(ends, append=ends[0] + 2 * np.pi) / 2) % (2 * np.pi)
    # Between two ends the bound is a constant and a sine: three points of it give where that is
    # greatest and, half a turn on, least.
    step = np.diff(ends, append=ends[0] + 2 * np.pi) / 4
    less, here, more = (_support(loads, angles, between + k * step) for k in (-1, 0, 1))
    slope, curve = (more - less) / (2 * np.sin(step)), (2 * here - more - less)
    real = curve / (2 - 2 * np.cos(step))
    peak = between + np.arctan2(slope, real)
    found = _support(loads, angles, np.concatenate([ends, peak, peak + np.pi]))
    # sums that cancel leave what binary fractions of decimals leave
    least = 1e-9 * sum(one.high_A for one in loads)
    low, high = (end if end > least else 0.0 for end in (-float(found.min()), float(found.max())))
    return low, float(np.hypot(high, _third_A(loads, system)))


def _checked(one: NeutralLoad, system: str, angles: dict[str, float]) -> None:
    at_least_zero("low_A", one.low_A)
    within("high_A", one.high_A, one.low_A, np.inf)
    positive("power_factor_low", one.power_factor_low)
    within("power_factor_high", one.power_factor_high, one.power_factor_low, 1)
    within("third_harmonic", one.third_harmonic, 0, 1)
    for leg in one.legs:
        if leg not in angles:
            raise InputError(
                f"legs: {leg!r} is no leg of {system!r}.", remedy=f"Accepted: {', '.join(angles)}."
            )


def _support(loads: Sequence[NeutralLoad], angles: dict[str, float], d: Floats) -> Floats:
    """Return how far the loads together may reach in each direction."""
    total = np.zeros_like(d)
    for one in loads:
        first, last = one.arc_rad
        ways = []
        for leg in one.legs:
            off = (d - angles[leg] - first + np.pi) % (2 * np.pi) - np.pi
            inside = (off >= 0) & (off <= last - first)
            reach = np.where(inside, 1.0, np.maximum(np.cos(off), np.cos(off - (last - first))))
            # What the third harmonic takes of the rms is not counted on: it may be absent.
            least = one.low_A / np.sqrt(1 + one.third_harmonic**2)
            ways.append(np.where(reach > 0, one.high_A, least) * reach)
        total += np.max(ways, axis=0)
    return total


def _third_A(loads: Sequence[NeutralLoad], system: str) -> float:
    """Return the most third harmonic that the neutral may carry."""
    thirds = [one.high_A * one.third_harmonic / np.hypot(1, one.third_harmonic) for one in loads]
    if "wye" in system:
        return float(sum(thirds))
    by_leg = [
        sum(third for one, third in zip(loads, thirds, strict=True) if leg in one.legs)
        for leg in LEGS[system]
    ]
    return float(max(by_leg))
