"""Reactions of a metal from what is known of it alone: where it rests, how fast it goes there.

The literature gives a free potential, an own rate and two slopes, seldom exchange currents. From
these the dissolution and the oxygen reduction are drawn so that both pass the own rate at rest.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import finite, positive
from elec.calc.metals.mixed_potential import Reaction
from elec.errors import InputError

__all__ = ["reactions_of"]


def reactions_of(
    free_potential_V: npt.ArrayLike,
    *,
    own_A_per_m2: npt.ArrayLike,
    anodic_slope_V_per_decade: npt.ArrayLike,
    cathodic_slope_V_per_decade: npt.ArrayLike,
    oxygen_limit_A_per_m2: npt.ArrayLike,
    film: npt.ArrayLike = False,
) -> tuple[Reaction, Reaction]:
    r"""Return the dissolution and the oxygen reduction of metals, for ``mixed_potential.bond``.

    .. math::
        i_a = i_0\, 10^{(E - E_0)/b_a} \qquad
        \frac{1}{i_c} = \frac{10^{(E - E_0)/b_c}}{i_k} + \frac{1}{i_L} \qquad
        \frac{1}{i_k} = \frac{1}{i_0} - \frac{1}{i_L}

    so that at rest both are :math:`i_0`. Under a film the dissolution does not rise above it.

    Parameters
    ----------
    free_potential_V : float or array
        Potential :math:`E_0` of each metal on its own. [V]
    own_A_per_m2 : float or array
        What it loses on its own :math:`i_0`. [A/m²]
    anodic_slope_V_per_decade : float or array
        Slope :math:`b_a` of the dissolution. [V/decade]
    cathodic_slope_V_per_decade : float or array
        Slope :math:`b_c` of the reduction, without its sign. [V/decade]
    oxygen_limit_A_per_m2 : float or array
        What oxygen can feed on it :math:`i_L`, above its own rate. [A/m²]
    film : bool or array, default False
        Whether a passive film holds the dissolution at its own rate. [-]

    Returns
    -------
    tuple of Reaction
        The dissolution and the reduction. [A/m², V]

    Raises
    ------
    InputError
        If the own rate is not below the oxygen limit.

    Examples
    --------
    >>> from elec.calc.metals.mixed_potential import bond
    >>> steel = reactions_of(
    ...     -0.66,
    ...     own_A_per_m2=0.1,
    ...     anodic_slope_V_per_decade=0.06,
    ...     cathodic_slope_V_per_decade=0.12,
    ...     oxygen_limit_A_per_m2=0.25,
    ... )
    >>> alone = bond(steel, area_m2=1.0)
    >>> round(float(alone.potential_V), 6), round(float(alone.dissolving_A[0]), 6)
    (-0.66, 0.1)
    """
    rest = finite("free_potential_V", free_potential_V)
    own = positive("own_A_per_m2", own_A_per_m2)
    limit = positive("oxygen_limit_A_per_m2", oxygen_limit_A_per_m2)
    if np.any(own >= limit):
        raise InputError(
            "own_A_per_m2: as much as the oxygen limit, or more, was given.",
            remedy="Accepted: a metal whose own corrosion the oxygen can feed.",
        )
    anodic = positive("anodic_slope_V_per_decade", anodic_slope_V_per_decade)
    cathodic = positive("cathodic_slope_V_per_decade", cathodic_slope_V_per_decade)
    filmed = np.asarray(film, dtype=bool)
    # With a film: an exchange far above a limit that is the own rate, so that it stays there.
    dissolution = Reaction(
        rest,
        np.where(filmed, own * 1e9, own),
        anodic,
        np.where(filmed, own, np.inf),
    )
    reduction = Reaction(rest, 1.0 / (1.0 / own - 1.0 / limit), -cathodic, limit)
    return dissolution, reduction
