"""Potential and currents of connected metals in one water, by mixed-potential theory.

Each metal carries electrode reactions. Bonded metals settle at the one potential at which what
leaves some of them enters the others. Every current rises with potential, so that potential
exists, is single, and can be bracketed: nothing here can settle on a false answer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, finite, positive
from elec.errors import InputError

__all__ = ["Bond", "Reaction", "bond"]

Floats = npt.NDArray[np.float64]

_LN10 = np.log(10.0)
# Stands for the logarithm of a reaction that does not take place: nothing beside any real one,
# and still a number, so that a metal without a dissolution or a reduction needs no special case.
_NOTHING = -1000.0
_ROUNDS = 200
_ULPS = 32


@dataclass(frozen=True)
class Reaction:
    """One electrode reaction on each of the metals, metals along the last axis.

    ``density_A_per_m2`` is the current density at ``potential_V`` (an exchange density at the
    equilibrium potential, or a corrosion density at the corrosion potential); zero on a metal
    that does not carry the reaction. ``slope_V_per_decade`` is positive for a dissolution
    (anodic) and negative for a reduction (cathodic). ``limit_A_per_m2`` is what diffusion or a
    film lets through; leave it out where nothing limits.
    """

    potential_V: npt.ArrayLike
    density_A_per_m2: npt.ArrayLike
    slope_V_per_decade: npt.ArrayLike
    limit_A_per_m2: npt.ArrayLike = field(default=np.inf)


@dataclass(frozen=True)
class Bond:
    """Metals on one bond, settled.

    ``potential_V`` is what a reference cell far from all of them reads. The rest has the metals
    along the last axis: the potential that each metal's own surface stands at, the current that
    dissolves it and the current that it takes up; and for each on its own, unbonded, the free
    potential and what dissolves it there (NaN where a metal lacks one of the two kinds of
    reaction, and so has none).
    """

    potential_V: Floats
    surface_V: Floats
    dissolving_A: Floats
    reducing_A: Floats
    free_potential_V: Floats
    free_dissolving_A: Floats

    @property
    def net_A(self) -> Floats:
        """Current from each metal into the water: positive wastes for others, negative is fed."""
        return self.dissolving_A - self.reducing_A


@dataclass(frozen=True)
class _Branch:
    """A reaction checked and in logarithms, broadcast over samples and metals."""

    log_density: Floats
    log_limit: Floats
    potential_V: Floats
    per_V: Floats  # natural logarithm of the current for each volt
    limited: bool

    def log_current(self, potential_V: Floats) -> tuple[Floats, Floats]:
        """Return the logarithm of the density at a potential, and its derivative."""
        activated = self.log_density + self.per_V * (potential_V - self.potential_V)
        if not self.limited:
            return activated, self.per_V
        held = np.logaddexp(0.0, activated - self.log_limit)
        return activated - held, self.per_V * np.exp(-held)


@dataclass(frozen=True)
class _Metals:
    """All reactions, as those that dissolve and those that reduce, with areas."""

    dissolving: tuple[_Branch, ...]
    reducing: tuple[_Branch, ...]
    log_area: Floats

    def log_currents(self, potential_V: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Return ln of the dissolving current, its derivative, and both for the reducing one."""
        log_a, slope_a = _added([b.log_current(potential_V) for b in self.dissolving])
        log_c, slope_c = _added([b.log_current(potential_V) for b in self.reducing])
        return log_a + self.log_area, slope_a, log_c + self.log_area, slope_c


def _added(parts: Sequence[tuple[Floats, Floats]]) -> tuple[Floats, Floats]:
    """Add currents given by their logarithms and derivatives."""
    log_total, slope = parts[0]
    for log_part, part_slope in parts[1:]:
        both = np.logaddexp(log_total, log_part)
        slope = slope * np.exp(log_total - both) + part_slope * np.exp(log_part - both)
        log_total = both
    return log_total, slope


def _rising_root(
    function: Callable[[Floats], tuple[Floats, Floats]], low: Floats, high: Floats, start: Floats
) -> Floats:
    """Solve ``function(x) = 0`` elementwise; it returns value and derivative, and rises.

    Newton's method, bisecting where a step would leave the bracket or gains too little.
    """
    x = np.clip(start, low, high)
    step = before = high - low
    done = np.zeros(x.shape, dtype=bool)
    for _ in range(_ROUNDS):
        value, slope = function(x)
        low, high = np.where(value <= 0, x, low), np.where(value >= 0, x, high)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            newton_step = np.where(value == 0, 0.0, value / slope)
        inside = (x - newton_step >= low) & (x - newton_step <= high)
        trusted = inside & (2 * np.abs(newton_step) <= np.abs(before))
        middle = 0.5 * (low + high)
        # Where round-off makes the last digits, the last step is still taken, and then no more.
        enough = _ULPS * np.spacing(np.maximum(np.abs(x), 1e-3))
        settled = (inside & (np.abs(newton_step) <= enough)) | (high - low <= enough)
        following = np.where(trusted | settled, np.clip(x - newton_step, low, high), middle)
        before, step = step, x - following
        x = np.where(done, x, following)
        done |= settled
        if done.all():
            return x
    raise InputError(
        "the metals on the bond do not settle.",
        remedy="Check the slopes of the reactions; tenths of a volt a decade are usual.",
    )


def _branch(reaction: Reaction, sign: int, shape: tuple[int, ...]) -> _Branch | None:
    """Return the part of a reaction that dissolves (+1) or reduces (-1) metal, if any."""
    slope = finite("slope_V_per_decade", reaction.slope_V_per_decade)
    if np.any(slope == 0):
        raise InputError(
            "slope_V_per_decade: 0 was given.",
            remedy="Accepted: above zero for a dissolution, below zero for a reduction.",
        )
    density = at_least_zero("density_A_per_m2", reaction.density_A_per_m2)
    limit = np.asarray(reaction.limit_A_per_m2, dtype=np.float64)
    positive("limit_A_per_m2", limit[~np.isposinf(limit)])
    present = (np.sign(slope) == sign) & (density > 0)
    if not np.any(present):
        return None
    log_density = np.where(present, np.log(np.where(present, density, 1.0)), _NOTHING)
    per_V = sign * _LN10 / np.abs(slope)
    return _Branch(
        log_density=np.broadcast_to(log_density, shape),
        log_limit=np.broadcast_to(np.log(limit), shape),
        potential_V=np.broadcast_to(finite("potential_V", reaction.potential_V), shape),
        per_V=np.broadcast_to(per_V, shape),
        limited=bool(np.isfinite(limit).any()),
    )


def _metals(
    reactions: Sequence[Reaction], area_m2: npt.ArrayLike, resistance_ohm: npt.ArrayLike
) -> tuple[_Metals, Floats]:
    area = positive("area_m2", area_m2)
    resistance = at_least_zero("resistance_ohm", resistance_ohm)
    given = [area, resistance]
    for r in reactions:
        given += [
            np.asarray(part, dtype=np.float64)
            for part in (r.potential_V, r.density_A_per_m2, r.slope_V_per_decade, r.limit_A_per_m2)
        ]
    shape = np.broadcast_shapes((1,), *(part.shape for part in given))
    sides = []
    for sign, kind in ((1, "dissolution (slope above zero)"), (-1, "reduction (slope below zero)")):
        found = tuple(b for r in reactions if (b := _branch(r, sign, shape)) is not None)
        if not found or not _carries(found).any(axis=-1).all():
            raise InputError(
                f"reactions: no {kind} on any metal was given.",
                remedy="Accepted: at least one dissolution and one reduction in the whole bond.",
            )
        sides.append(found)
    log_area = np.broadcast_to(np.log(area), shape)
    return _Metals(sides[0], sides[1], log_area), np.broadcast_to(resistance, shape)


def _carries(branches: tuple[_Branch, ...]) -> npt.NDArray[np.bool_]:
    """Return which metals carry any of the reactions at all."""
    return np.asarray(np.any([b.log_density > _NOTHING for b in branches], axis=0))


def _free_potential(metals: _Metals) -> Floats:
    """Return the potential at which each metal, on its own, dissolves and reduces alike."""
    branches = metals.dissolving + metals.reducing
    low = np.minimum.reduce([b.potential_V for b in branches]) - 1.0
    high = np.maximum.reduce([b.potential_V for b in branches]) + 1.0

    def excess(potential_V: Floats) -> tuple[Floats, Floats]:
        log_a, slope_a, log_c, slope_c = metals.log_currents(potential_V)
        return log_a - log_c, slope_a - slope_c

    width = 1.0
    while np.any(outside := excess(low)[0] > 0):
        low = np.where(outside, low - width, low)
        width *= 2
    width = 1.0
    while np.any(outside := excess(high)[0] < 0):
        high = np.where(outside, high + width, high)
        width *= 2
    return _rising_root(excess, low, high, 0.5 * (low + high))


def _amperes(log_current: Floats) -> Floats:
    # Far off the answer an exponential may overflow; any large number points the same way back.
    return np.exp(np.minimum(log_current, 300.0))


def _log_sum(logs: Floats, weights: Floats) -> tuple[Floats, Floats]:
    """Return the logarithm of the sum over metals, and the mean of ``weights`` by current."""
    most = logs.max(axis=-1, keepdims=True)
    shares = np.exp(logs - most)
    total = shares.sum(axis=-1)
    return np.log(total) + most[..., 0], (shares * weights).sum(axis=-1) / total


def _surface_potential(
    metals: _Metals, resistance: Floats, free: Floats, bond_V: Floats, start: Floats
) -> Floats:
    """Return the potential of each surface, beyond the drop in its own resistance."""
    if not resistance.any():
        return np.broadcast_to(bond_V, free.shape)

    def excess(surface_V: Floats) -> tuple[Floats, Floats]:
        log_a, slope_a, log_c, slope_c = metals.log_currents(surface_V)
        a, c = _amperes(log_a), _amperes(log_c)
        return (
            surface_V - bond_V + resistance * (a - c),
            1.0 + resistance * (a * slope_a - c * slope_c),
        )

    return _rising_root(excess, np.minimum(bond_V, free), np.maximum(bond_V, free), start)


def bond(
    reactions: Sequence[Reaction],
    *,
    area_m2: npt.ArrayLike,
    resistance_ohm: npt.ArrayLike = 0.0,
) -> Bond:
    r"""Potential and currents of metals on one bond; one metal alone is the simplest case.

    .. math::
        \sum_k A_k\, i_k(\varphi_k) = 0 \qquad
        E = \varphi_k + R_k A_k\, i_k(\varphi_k) \qquad
        i_k = \sum_j \pm \left(\frac{1}{i_{jk}\, 10^{(\varphi_k - E_{jk})/b_{jk}}}
        + \frac{1}{i_{L,jk}}\right)^{-1}

    Two metals with resistance settle where :math:`E_c - E_a = I (R_c + R_a)`, the textbook form.
    Spread-out literature values are to be given as samples: leading axes are samples, the last
    axis is the metals.

    Parameters
    ----------
    reactions : sequence of Reaction
        All electrode reactions, each with potentials [V], densities and limits [A/m²] and slopes
        [V/decade] that broadcast to samples by metals. [-]
    area_m2 : float or array
        Wetted, unpainted area :math:`A_k` of each metal. [m²]
    resistance_ohm : float or array, default 0
        Resistance :math:`R_k` from each metal's surface to the common bond: its own to water plus
        that of its wire. [ohm]

    Returns
    -------
    Bond
        Potentials [V] and currents [A]. The dissolving and reducing currents of the whole bond
        agree to 1e-12 of either. [V, A]

    Raises
    ------
    InputError
        If a slope is zero, or the bond lacks any dissolution or any reduction.

    References
    ----------
    C. Wagner and W. Traud, Zeitschrift für Elektrochemie 44, 1938 (mixed potentials).

    Examples
    --------
    Zinc in acid, a textbook diagram:

    >>> zinc = Reaction(potential_V=-0.763, density_A_per_m2=1e-3, slope_V_per_decade=0.09)
    >>> hydrogen = Reaction(potential_V=0.0, density_A_per_m2=1e-6, slope_V_per_decade=-0.08)
    >>> alone = bond([zinc, hydrogen], area_m2=1.0)
    >>> round(float(alone.potential_V), 3), round(float(alone.dissolving_A[0]), 2)
    (-0.486, 1.19)
    """
    metals, resistance = _metals(reactions, area_m2, resistance_ohm)
    free = _free_potential(metals)
    surface = free

    def excess(potential_V: Floats) -> tuple[Floats, Floats]:
        nonlocal surface
        surface = _surface_potential(metals, resistance, free, potential_V[..., None], surface)
        log_a, slope_a, log_c, slope_c = metals.log_currents(surface)
        follows = 1.0 / (1.0 + resistance * (_amperes(log_a) * slope_a - _amperes(log_c) * slope_c))
        all_a, mean_a = _log_sum(log_a, slope_a * follows)
        all_c, mean_c = _log_sum(log_c, slope_c * follows)
        return all_a - all_c, mean_a - mean_c

    low, high = free.min(axis=-1), free.max(axis=-1)
    potential = _rising_root(excess, low, high, 0.5 * (low + high))
    excess(potential)
    log_a, _, log_c, _ = metals.log_currents(surface)
    has_both = _carries(metals.dissolving) & _carries(metals.reducing)
    return Bond(
        potential_V=potential[()],
        surface_V=surface,
        dissolving_A=_amperes(log_a),
        reducing_A=_amperes(log_c),
        free_potential_V=np.where(has_both, free, np.nan),
        free_dissolving_A=np.where(has_both, _amperes(metals.log_currents(free)[0]), np.nan),
    )
