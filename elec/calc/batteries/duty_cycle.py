"""Size of a bank for a duty cycle, the way stationary batteries are sized for float service.

The load is a row of periods of steady current. The bank must be large enough at the end of every
section (the first one, two, three ... periods), not only at the end of all.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive
from elec.calc.batteries.storage import peukert_capacity_in_Ah
from elec.errors import InputError

__all__ = ["DutySize", "duty_cycle_size", "peukert_hours_h"]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class DutySize:
    """Size for a duty cycle.

    ``section_Ah`` [Ah] has what each section needs, before factors; ``governing`` [-] is the
    index of the largest; ``random_Ah`` [Ah] what the random load adds; ``needed_Ah`` [Ah] is the
    rated capacity, factors included.
    """

    section_Ah: Floats
    governing: int
    random_Ah: float
    needed_Ah: float


def peukert_hours_h(
    time_h: npt.ArrayLike, *, rate_h: npt.ArrayLike, exponent: npt.ArrayLike
) -> Floats:
    r"""Rated capacity needed for each ampere carried for a time, from Peukert's relation [h].

    .. math:: K(t) = t \left(\frac{\min(t, H)}{H}\right)^{1/k - 1}

    Stands in for a maker's capacity rating factors where none are at hand.

    Parameters
    ----------
    time_h : float or array
        Time :math:`t` the current is carried. [h]
    rate_h : float or array
        Hour rate :math:`H` of the rated capacity. [h]
    exponent : float or array
        Peukert exponent :math:`k`, 1 to 1.6. [-]
    """
    return positive("time_h", time_h) / peukert_capacity_in_Ah(
        1.0, rate_h=rate_h, time_h=time_h, exponent=exponent
    )


def duty_cycle_size(
    current_A: npt.ArrayLike,
    *,
    duration_h: npt.ArrayLike,
    hours_factor_h: Callable[[Floats], Floats],
    random_current_A: float = 0.0,
    random_duration_h: float = 1.0,
    temperature_size_factor: float,
    design_margin: float,
    ageing_factor: float,
) -> DutySize:
    r"""Rated capacity for a duty cycle.

    .. math::

        F = \max_S \sum_{P=1}^{S} (A_P - A_{P-1}) \, K(T_{P,S}), \quad
        C = (F + F_\text{random}) \, f_T \, f_\text{margin} \, f_\text{age}

    with :math:`T_{P,S}` from the start of period P to the end of section S. For float service:
    the ageing factor stands for the capacity lost by the end of life. A bank that is cycled has
    a usable fraction instead; to apply both is a choice that must be stated.

    Parameters
    ----------
    current_A : sequence of floats
        Current of each period :math:`A_P`. [A]
    duration_h : sequence of floats
        How long each lasts. [h]
    hours_factor_h : callable
        Gives the rated capacity for each ampere carried for a time, :math:`K`. [h]
    random_current_A : float, default 0
        Load that may come at any time; it is added to the governing section. [A]
    random_duration_h : float, default 1
        How long the random load lasts; without a random load of no effect. [h]
    temperature_size_factor : float
        Factor :math:`f_T` by which a size is multiplied at the electrolyte temperature. [-]
    design_margin : float
        Factor :math:`f_\text{margin}` for loads to come, one or more. [-]
    ageing_factor : float
        Factor :math:`f_\text{age}` for the capacity lost at the end of life, one or more. [-]

    Returns
    -------
    DutySize
        What each section needs, which governs, and the rated capacity. [Ah]

    References
    ----------
    IEEE Std 485, cell sizing by sections (method from memory; its structure is confirmed by the
    contents of the 1983 edition).

    Examples
    --------
    >>> size = duty_cycle_size([10.0, 5.0], duration_h=[1.0, 4.0], hours_factor_h=lambda t: t,
    ...     temperature_size_factor=1.0, design_margin=1.0, ageing_factor=1.25)
    >>> size.section_Ah.tolist(), size.needed_Ah
    ([10.0, 30.0], 37.5)
    """
    current = at_least_zero("current_A", current_A)
    duration = positive("duration_h", duration_h)
    if current.ndim != 1 or current.shape != duration.shape or not current.size:
        raise InputError(
            f"current_A has shape {current.shape}, duration_h {duration.shape}.",
            remedy="Give one current and one duration for each period.",
        )
    for name, factor in (("design_margin", design_margin), ("ageing_factor", ageing_factor)):
        if positive(name, factor) < 1.0:
            raise InputError(f"{name}: {factor:g} was given.", remedy="Accepted: one or more.")
    ends = np.cumsum(duration)
    starts = ends - duration
    rise = np.diff(current, prepend=0.0)
    section = np.array(
        [rise[: i + 1] @ hours_factor_h(end - starts[: i + 1]) for i, end in enumerate(ends)]
    )
    random = 0.0
    if at_least_zero("random_current_A", random_current_A) > 0:
        lasts = positive("random_duration_h", random_duration_h)
        random = random_current_A * float(hours_factor_h(lasts))
    factors = (
        float(positive("temperature_size_factor", temperature_size_factor))
        * design_margin
        * ageing_factor
    )
    governing = int(section.argmax())
    return DutySize(section, governing, random, (float(section[governing]) + random) * factors)
