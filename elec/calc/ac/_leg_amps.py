"""Amps on a leg from the phasors of loads, some of whose power factors are known only in a range.

Every measure here never falls when a load is added, so that searches over sets may rest on it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["Draws", "LegAmps", "greatest", "least", "within_right_angle"]

Floats = npt.NDArray[np.float64]
Complex = npt.NDArray[np.complex128]
#: State of a set of loads on a leg, columns by sets: watts and vars as currents, and amps of
#: any direction within an arc.
State = npt.NDArray[np.float64]

_RIGHT_ANGLE = np.pi / 2
_SAME = 1e-12


@dataclass(frozen=True)
class Draws:
    """Currents of loads on legs, loads by legs.

    `phasor_A` is what has one direction, against the voltage of its leg (lagging: imaginary part
    negative). `any_A` is what has some direction between the two of `arc_rad`, legs by two.
    """

    phasor_A: Complex
    any_A: Floats
    arc_rad: Floats

    def only(self, rows: npt.ArrayLike) -> Draws:
        """Return the draws of some of the loads."""
        kept = np.asarray(rows, dtype=np.intp)
        return Draws(self.phasor_A[kept], self.any_A[kept], self.arc_rad)

    def columns(self) -> Floats:
        """Return loads by numbers: what tells one load from another."""
        return np.column_stack([self.phasor_A.real, self.phasor_A.imag, self.any_A])


@dataclass(frozen=True)
class LegAmps:
    """One leg: what is on before any load is chosen, what each load adds, and the amps of both.

    ``magnitude_A`` bounds by how much a load can change the amps.
    """

    start: Floats
    loads: Floats
    magnitude_A: Floats
    amps: Callable[[State], Floats]


def _length(x: Floats, y: Floats) -> Floats:
    return np.asarray(np.sqrt(x * x + y * y))


def _directions(phasors: Complex) -> Floats:
    return np.asarray(np.angle(phasors[abs(phasors) > 0]))


def _scalar(start: float, loads: Floats) -> LegAmps:
    return LegAmps(np.array([start]), loads[:, None], loads, lambda state: state[0])


def _parts(always: Draws, draws: Draws, leg: int) -> tuple[Complex, Floats]:
    """Return phasors and amps of any direction of one leg, what is always on first."""
    start = always.phasor_A[:, leg].sum(keepdims=True)
    phasors = np.concatenate([start, draws.phasor_A[:, leg]])
    return phasors, np.concatenate([always.any_A[:, leg].sum(keepdims=True), draws.any_A[:, leg]])


def _state(phasors: Complex, anywhere: Floats, amps: Callable[[State], Floats]) -> LegAmps:
    rows = np.column_stack([phasors.real, phasors.imag, anywhere])
    return LegAmps(rows[0], rows[1:], (abs(phasors) + anywhere)[1:], amps)


def greatest(always: Draws, draws: Draws, leg: int) -> LegAmps:
    """Return amps that are never below those of any power factors in range.

    Those themselves, where the phasor sum lies within the arc. Phasors more than a right angle
    apart may undo one another, so there the magnitudes are added.
    """
    phasors, anywhere = _parts(always, draws, leg)
    found = _directions(np.concatenate([always.phasor_A[:, leg], draws.phasor_A[:, leg]]))
    spread = float(np.ptp(found)) if len(found) else 0.0
    if spread < _SAME or spread > _RIGHT_ANGLE + _SAME:
        apart = abs(always.phasor_A[:, leg]).sum(keepdims=True)
        sizes = np.concatenate([apart, abs(draws.phasor_A[:, leg])]) + anywhere
        return _scalar(float(sizes[0]), sizes[1:])
    if not anywhere.any():
        return _state(phasors, anywhere, lambda s: _length(s[0], s[1]))
    return _state(phasors, anywhere, lambda s: _length(s[0], s[1]) + s[2])


def _span(always: Draws, draws: Draws, leg: int) -> tuple[float, float]:
    """Return the ends of the directions that anything on a leg may have."""
    found = _directions(np.concatenate([always.phasor_A[:, leg], draws.phasor_A[:, leg]]))
    if draws.any_A[:, leg].any() or always.any_A[:, leg].any():
        found = np.concatenate([found, draws.arc_rad[leg]])
    return (float(found.min()), float(found.max())) if len(found) else (0.0, 0.0)


def within_right_angle(always: Draws, draws: Draws, leg: int) -> bool:
    """Whether no load can take anything away from another."""
    first, last = _span(always, draws, leg)
    return last - first <= _RIGHT_ANGLE + _SAME


def least(always: Draws, draws: Draws, leg: int, limit_A: float) -> LegAmps:
    r"""Return amps that are never above those of any power factors in range.

    .. math:: \max_d \min_{z} \langle d, z \rangle

    over the sums :math:`z` of phasors and of chords of the arcs, and over the directions :math:`d`
    less than a right angle from every load, so that no further load can lower it. Exact where all
    power factors are known and less than a right angle apart.
    """
    phasors, anywhere = _parts(always, draws, leg)
    low, high = draws.arc_rad[leg]
    first, last = _span(always, draws, leg)
    half = (high - low) / 2
    if last - first <= _RIGHT_ANGLE + _SAME:
        # The chord is short of a load alone; one that overloads alone does so with any others.
        alone = anywhere > limit_A
        alone[0] = False
        anywhere = np.where(
            alone, np.maximum(anywhere, (1 + _SAME) * limit_A / np.cos(half)), anywhere
        )
        if last - first < _SAME or not abs(phasors).any():
            sizes = abs(phasors) + anywhere * np.cos(half)
            return _scalar(float(sizes[0]), sizes[1:])
        if not anywhere.any():
            return _state(phasors, anywhere, lambda s: _length(s[0], s[1]))
        return _state(phasors, anywhere, _to_chord(low, high))
    if last - first >= np.pi - _SAME:
        return _scalar(0.0, np.zeros(len(anywhere) - 1))
    fan = np.linspace(last - _RIGHT_ANGLE, first + _RIGHT_ANGLE, 9)
    return _state(phasors, anywhere, _along(fan, low, high))


def _to_chord(low: float, high: float) -> Callable[[State], Floats]:
    """Return the distance of a phasor and a chord, added, from nothing."""
    tips = np.exp(1j * np.array([low, high]))
    chord = tips[1] - tips[0]
    ahead = chord / abs(chord)

    def amps(state: State) -> Floats:
        x, y = state[0] + state[2] * tips[0].real, state[1] + state[2] * tips[0].imag
        along = -(x * ahead.real + y * ahead.imag)
        along = np.minimum(np.maximum(along, 0), state[2] * abs(chord))
        return _length(x + along * ahead.real, y + along * ahead.imag)

    return amps


def _along(fan: Floats, low: float, high: float) -> Callable[[State], Floats]:
    """Return the greatest projection on directions of which none lowers with a further load."""
    ends = np.minimum(np.cos(fan - low), np.cos(fan - high))

    def amps(state: State) -> Floats:
        best = np.zeros_like(state[0])
        for d, end in zip(fan, ends, strict=True):
            best = np.maximum(best, state[0] * np.cos(d) + state[1] * np.sin(d) + state[2] * end)
        return np.asarray(best)

    return amps
