"""Joints: what their resistance does."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive

__all__ = [
    "joint_heat_W",
    "joint_resistance_ohm",
    "joint_to_like",
]

Floats = npt.NDArray[np.float64]


def joint_resistance_ohm(drop_V: npt.ArrayLike, *, current_A: npt.ArrayLike) -> Floats:
    r"""Resistance of a joint from the drop across it under load [ohm].

    .. math:: R = V / I

    Parameters
    ----------
    drop_V : float or array
        Drop across the joint :math:`V`. [V]
    current_A : float or array
        Current through it :math:`I`, above zero. [A]
    """
    return (at_least_zero("drop_V", drop_V) / positive("current_A", current_A))[()]


def joint_heat_W(current_A: npt.ArrayLike, *, resistance_ohm: npt.ArrayLike) -> Floats:
    r"""Heat made in a joint [W].

    .. math:: P = I^2 R

    Parameters
    ----------
    current_A : float or array
        Current :math:`I`. [A]
    resistance_ohm : float or array
        Resistance :math:`R`. [ohm]
    """
    ohms = at_least_zero("resistance_ohm", resistance_ohm)
    return (at_least_zero("current_A", current_A) ** 2 * ohms)[()]


def joint_to_like(drops_V: npt.ArrayLike) -> Floats:
    """Drop across each of several like joints under one current, over their middle one [-].

    No marine limit in millivolts was found; a joint that drops well over its like is the suspect.

    Parameters
    ----------
    drops_V : array
        Drops across like joints, along the last axis. [V]

    References
    ----------
    Common practice, no source.
    """
    drops = np.atleast_1d(positive("drops_V", drops_V))
    return np.asarray(drops / np.median(drops, axis=-1, keepdims=True))
