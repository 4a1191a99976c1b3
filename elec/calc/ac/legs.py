"""Legs of a supply: their voltages, and the currents of loads in each and in the neutral.

Loads lie on the last axis of an array and samples in front of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, one_of, up_to_one
from elec.errors import InputError

__all__ = [
    "LEGS",
    "LegCurrents",
    "connections",
    "leg_angles_rad",
    "leg_currents_A",
]

Floats = npt.NDArray[np.float64]

#: Supply system -> its hot legs.
LEGS = {
    "single": ("L1",),
    "split-phase": ("L1", "L2"),
    "wye two legs": ("L1", "L2"),
    "three-phase wye": ("L1", "L2", "L3"),
}

_LEG_ANGLES_DEG = {
    "single": (0.0,),
    "split-phase": (0.0, 180.0),
    "wye two legs": (0.0, -120.0),
    "three-phase wye": (0.0, -120.0, 120.0),
}


def _phasor(current: Floats, factor: Floats, leading: npt.ArrayLike) -> npt.NDArray[np.complex128]:
    # Lagging: the current is behind its voltage.
    side = np.where(np.asarray(leading, dtype=bool), 1j, -1j)
    return np.asarray(current * (factor + side * np.sqrt(1 - factor**2)))


def leg_angles_rad(system: str) -> Floats:
    """Return the angle of the voltage of each leg to neutral, the first at zero [rad].

    Parameters
    ----------
    system : str
        One of `LEGS`. [text]

    Examples
    --------
    >>> leg_angles_rad("split-phase").round(3).tolist()
    [0.0, 3.142]
    """
    return np.radians(_LEG_ANGLES_DEG[one_of("system", system, tuple(LEGS))])


def _leg_voltages(system: str) -> npt.NDArray[np.complex128]:
    return np.asarray(np.exp(1j * leg_angles_rad(system)))


def connections(system: str) -> tuple[str, ...]:
    """List the ways in which a load may be connected to a system.

    Parameters
    ----------
    system : str
        One of `LEGS`. [text]

    Returns
    -------
    tuple of str
        For example ``("L1-N", "L2-N", "L1-L2")``. [text]

    Examples
    --------
    >>> connections("split-phase")
    ('L1-N', 'L2-N', 'L1-L2')
    """
    legs = LEGS[one_of("system", system, tuple(LEGS))]
    neutral = tuple(f"{leg}-N" for leg in legs)
    lines = {1: (), 2: ("L1-L2",), 3: ("L1-L2", "L2-L3", "L3-L1", "three-phase")}
    return neutral + lines[len(legs)]


@dataclass(frozen=True)
class LegCurrents:
    """Currents of a set of loads, by leg and in the neutral.

    `sum_A` adds magnitudes, as is done on paper; `phasor_A` adds phasors. The sum is never the
    smaller. Both have the legs on the last axis; `neutral_A` has the samples only.
    """

    legs: tuple[str, ...]
    sum_A: Floats
    phasor_A: Floats
    neutral_A: Floats


def _flow(connection: str, voltages: npt.NDArray[np.complex128]) -> npt.NDArray[np.complex128]:
    """Phasor in each leg of a load that draws 1 A in phase with its own voltage."""
    flow = np.zeros(len(voltages), dtype=np.complex128)
    if connection == "three-phase":
        return voltages
    out, _, back = connection.partition("-")
    start = int(out[1]) - 1
    if back == "N":
        flow[start] = voltages[start]
        return flow
    end = int(back[1]) - 1
    across = voltages[start] - voltages[end]
    flow[start], flow[end] = across / abs(across), -across / abs(across)
    return flow


def leg_currents_A(
    current_A: npt.ArrayLike,
    *,
    connection: Sequence[str],
    system: str,
    power_factor: npt.ArrayLike = 1.0,
    leading: npt.ArrayLike = False,
) -> LegCurrents:
    r"""Return the current in each leg and in the neutral, of loads connected in any way.

    .. math::

        \underline I_l = \sum_i m_{il} \, I_i (\cos\varphi_i - j \sin\varphi_i), \qquad
        \underline I_N = \sum_{i \in LN} \underline I_i

    where :math:`m_{il}` is the direction of the voltage across load :math:`i`, with its sign in
    leg :math:`l`. A line-to-line load counts with its whole current in both its legs.

    Parameters
    ----------
    current_A : float or array
        Current of each load at its own terminals :math:`I_i`; of a three-phase load, in each
        line. Loads on the last axis, samples in front. [A]
    connection : sequence of str
        How each load is connected, one of ``connections(system)``. [text]
    system : str
        One of `LEGS`. [text]
    power_factor : float or array, default 1
        :math:`\cos\varphi_i` of each load, above 0 to 1. [-]
    leading : bool or array, default False
        Whether the power factor of each load leads; the sine is then negative. [-]

    Returns
    -------
    LegCurrents
        Arithmetic sum and phasor sum for each leg, and phasor in the neutral. [A]

    Notes
    -----
    Balanced supply voltages, currents without harmonics; for the neutral of electronic loads see
    `elec.calc.ac.neutral`.

    References
    ----------
    Circuit theory.

    Examples
    --------
    >>> loads = leg_currents_A([30, 50], connection=("L1-N", "L2-N"), system="split-phase")
    >>> loads.sum_A.tolist(), round(float(loads.neutral_A), 6)
    ([30.0, 50.0], 20.0)
    """
    voltages = _leg_voltages(system)
    accepted = connections(system)
    for place, name in enumerate(connection, start=1):
        if name not in accepted:
            raise InputError(
                f"connection: load {place} is connected {name!r}, which a {system!r} supply "
                "does not have.",
                remedy=f"Accepted: {', '.join(accepted)}.",
            )
    current = np.atleast_1d(at_least_zero("current_A", current_A))
    factor = np.atleast_1d(up_to_one("power_factor", power_factor))
    if current.shape[-1] != len(connection) or factor.shape[-1] not in (1, len(connection)):
        raise InputError(
            f"connection: {len(connection)} connections for {current.shape[-1]} currents and "
            f"{factor.shape[-1]} power factors.",
            remedy="Give one connection for each load, loads on the last axis.",
        )
    flows = np.array([_flow(name, voltages) for name in connection]).reshape(-1, len(voltages))
    to_neutral = np.array([name.endswith("-N") for name in connection], dtype=bool)
    phasors = _phasor(current, factor, leading)
    own = flows[to_neutral].sum(axis=-1)
    return LegCurrents(
        legs=LEGS[system],
        sum_A=np.asarray(np.broadcast_to(current, phasors.shape) @ (abs(flows) > 0).astype(float)),
        phasor_A=np.asarray(abs(phasors @ flows)),
        neutral_A=np.asarray(abs(phasors[..., to_neutral] @ own))[()],
    )
