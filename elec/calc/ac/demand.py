"""Demand by published methods. Every number of a method is an argument."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, within
from elec.errors import InputError

__all__ = [
    "LegDemand",
    "fixed_appliances_A",
    "general_load_VA",
    "largest_motor_extra_A",
    "leg_demand_A",
    "range_demand_VA",
    "stepped_demand_VA",
]

Floats = npt.NDArray[np.float64]


def general_load_VA(
    floor_area: npt.ArrayLike,
    *,
    VA_per_area: npt.ArrayLike,
    circuits: npt.ArrayLike = 0,
    circuit_VA: npt.ArrayLike = 0.0,
    other_VA: npt.ArrayLike = 0.0,
) -> Floats:
    r"""Return the connected load of lighting, sockets and small appliances [VA].

    .. math:: T = a A + n S_c + S_o

    Parameters
    ----------
    floor_area : float or array
        Area :math:`A` as the method defines it, in the unit of the density. [m² or ft²]
    VA_per_area : float or array
        Density :math:`a` as printed for that unit; the printed figures for the two units differ,
        so one is not converted into the other. [VA/m² or VA/ft²]
    circuits : float or array, default 0
        Number of small-appliance circuits :math:`n`. [-]
    circuit_VA : float or array, default 0
        Allowance for each of them :math:`S_c`. [VA]
    other_VA : float or array, default 0
        Further allowance, such as a laundry circuit :math:`S_o`. [VA]

    References
    ----------
    NFPA 70-2017, 220.52, 550.18(A), 552.47(A) for the form of the method.
    """
    return np.asarray(
        at_least_zero("floor_area", floor_area) * at_least_zero("VA_per_area", VA_per_area)
        + at_least_zero("circuits", circuits) * at_least_zero("circuit_VA", circuit_VA)
        + at_least_zero("other_VA", other_VA)
    )[()]


def stepped_demand_VA(
    total_VA: npt.ArrayLike, *, breakpoints_VA: npt.ArrayLike, factors: npt.ArrayLike
) -> Floats:
    r"""Return the demand when each further slice of a load counts by its own factor [VA].

    .. math:: D = \sum_k f_k \, [\min(T, b_k) - b_{k-1}]_+ ,
              \qquad b_0 = 0, \ b_{last} = \infty

    Parameters
    ----------
    total_VA : float or array
        Connected load :math:`T`. [VA]
    breakpoints_VA : float or array
        Ends :math:`b_k` of all slices but the last, ascending. [VA]
    factors : array
        Factor :math:`f_k` of each slice, one more than breakpoints. [-]

    References
    ----------
    NFPA 70-2017, Table 220.42 and 550.18(A)(5) for the form of the method.

    Examples
    --------
    >>> float(stepped_demand_VA(9000, breakpoints_VA=3000, factors=[1, 0.35]))
    5100.0
    """
    ends = np.atleast_1d(positive("breakpoints_VA", breakpoints_VA))
    factor = np.atleast_1d(within("factors", factors, 0, 1))
    if len(factor) != len(ends) + 1 or np.any(np.diff(ends) <= 0):
        raise InputError(
            f"breakpoints_VA: {len(ends)} for {len(factor)} factors, or not ascending.",
            remedy="Give ascending breakpoints and one factor more than breakpoints.",
        )
    total = at_least_zero("total_VA", total_VA)[..., None]
    start, end = np.append(0.0, ends), np.append(ends, np.inf)
    return np.asarray((np.clip(total, start, end) - start) @ factor)[()]


def range_demand_VA(
    rated_W: npt.ArrayLike,
    *,
    over_W: npt.ArrayLike,
    to_W: npt.ArrayLike,
    use_VA: npt.ArrayLike,
    use_fraction: npt.ArrayLike,
) -> Floats:
    """Return the demand of a cooking range, from a table of bands of its rating [VA].

    Parameters
    ----------
    rated_W : float or array
        Rating on the plate. [W]
    over_W : array
        Lower ends of the bands, not themselves in the band. [W]
    to_W : array
        Upper ends of the bands, in the band. [W]
    use_VA : array
        Demand of each band; NaN where a fraction is printed. [VA]
    use_fraction : array
        Fraction of the rating to use; NaN where a demand is printed. [-]

    Raises
    ------
    InputError
        If no band holds a rating: the table is not extrapolated.

    References
    ----------
    Indiana Administrative Code 675 IAC 15-2-100; NFPA 70-2017, 550.18(B)(5), 552.47(B)(5).
    """
    rating = positive("rated_W", rated_W)
    low, high, volt_amperes, fraction = (
        np.asarray(column, dtype=np.float64) for column in (over_W, to_W, use_VA, use_fraction)
    )
    inside = (rating[..., None] > low) & (rating[..., None] <= high)
    if not np.all(inside.any(axis=-1)):
        outside = rating[~inside.any(axis=-1)].flat[0]
        raise InputError(
            f"rated_W: no band of the table holds {outside:g} W.",
            remedy=f"The table runs to {np.max(high):g} W and is not extrapolated.",
        )
    band = inside.argmax(axis=-1)
    demand = np.where(np.isnan(volt_amperes[band]), fraction[band] * rating, volt_amperes[band])
    if np.any(np.isnan(demand)):
        raise InputError(
            "use_VA: a band has neither a demand nor a fraction.", remedy="Give one of the two."
        )
    return np.asarray(demand)[()]


def fixed_appliances_A(
    current_A: npt.ArrayLike,
    *,
    use_factor: npt.ArrayLike,
    on_leg: npt.ArrayLike,
    group_minimum: int,
    group_factor: npt.ArrayLike,
) -> Floats:
    r"""Return the demand of fixed appliances on each leg, legs on the last axis [A].

    .. math:: I_l = g_l \sum_i m_{il} u_i I_i , \qquad
              g_l = \begin{cases} g & n_l \ge n_{min} \\ 1 & \text{else} \end{cases}

    Parameters
    ----------
    current_A : array
        Plate current of each appliance :math:`I_i`, appliances on the last axis; on both legs
        where it is connected line to line. [A]
    use_factor : float or array
        Use factor :math:`u_i` of each, 0 to 1. [-]
    on_leg : array of bool
        Whether each is on each leg :math:`m_{il}`, appliances by legs. [-]
    group_minimum : int
        Number of appliances on a leg :math:`n_{min}` from which the group factor holds. [-]
    group_factor : float or array
        Group factor :math:`g`, 0 to 1. [-]

    Notes
    -----
    With the printed minimum of four, a fourth small appliance can lower the demand of a leg. That
    is the method's doing, not an error.

    References
    ----------
    NFPA 70-2017, 220.53 and 550.18(B)(4) for the form of the method.
    """
    amps = np.atleast_1d(at_least_zero("current_A", current_A))
    legs = np.asarray(on_leg, dtype=bool)
    if legs.ndim != 2 or len(legs) != amps.shape[-1]:
        raise InputError(
            f"on_leg: shape {legs.shape} for {amps.shape[-1]} appliances.",
            remedy="Give a row for each appliance and a column for each leg.",
        )
    used = amps * within("use_factor", use_factor, 0, 1)
    group = np.asarray(within("group_factor", group_factor, 0, 1))[..., None]
    grouped = legs.sum(axis=0) >= group_minimum
    return np.asarray(used @ legs.astype(np.float64) * np.where(grouped, group, 1.0))


def largest_motor_extra_A(motor_A: npt.ArrayLike, *, fraction: npt.ArrayLike) -> Floats:
    r"""Return the allowance for starting the largest motor [A].

    .. math:: I = f \max_i I_i

    Parameters
    ----------
    motor_A : array
        Plate current of each motor :math:`I_i`, motors on the last axis; empty for none. [A]
    fraction : float or array
        Share of the largest that is added :math:`f`, 0 to 1. [-]

    References
    ----------
    NFPA 70-2017, 430.24 and 550.18(B)(3).
    """
    amps = np.atleast_1d(at_least_zero("motor_A", motor_A))
    return np.asarray(amps.max(axis=-1, initial=0.0) * within("fraction", fraction, 0, 1))[()]


@dataclass(frozen=True)
class LegDemand:
    """Demand of each leg and the parts it is made of; legs on the last axis."""

    general_A: Floats
    range_A: Floats
    fixed_A: Floats
    nameplate_A: Floats
    motor_extra_A: Floats
    total_A: Floats


def leg_demand_A(
    general_VA: npt.ArrayLike,
    *,
    supply_V: npt.ArrayLike,
    breakpoints_VA: npt.ArrayLike,
    factors: npt.ArrayLike,
    fixed_A: npt.ArrayLike,
    range_VA: npt.ArrayLike = 0.0,
    nameplate_A: npt.ArrayLike = 0.0,
    motor_extra_A: npt.ArrayLike = 0.0,
) -> LegDemand:
    r"""Return the demand of each leg of an inlet: the method of boats and mobile homes.

    .. math:: I_l = \frac{D(T) + S_{range}}{V} + I_{fixed,l} + I_{plate,l} + I_{motor,l}

    Parameters
    ----------
    general_VA : float or array
        Connected general load :math:`T`, from `general_load_VA`. [VA]
    supply_V : float or array
        Voltage that divides it: line to line on a two-leg inlet, whose legs carry it alike. [V]
    breakpoints_VA : float or array
        Breakpoints of the demand of the general load. [VA]
    factors : array
        Factors of its slices, one more than breakpoints. [-]
    fixed_A : array
        Demand of fixed appliances on each leg, from `fixed_appliances_A`. [A]
    range_VA : float or array, default 0
        Demand of a range, from `range_demand_VA`. [VA]
    nameplate_A : float or array, default 0
        Plate currents that count whole on each leg: motors, and the larger of heating and
        cooling. [A]
    motor_extra_A : float or array, default 0
        Allowance for the largest motor on each leg. [A]

    Returns
    -------
    LegDemand
        Parts and total, legs on the last axis; the inlet is judged by its larger leg. [A]

    References
    ----------
    NFPA 70-2017, 550.18 and 552.47; 675 IAC 15-2-100. The method for boats has the same form.
    """
    volts = positive("supply_V", supply_V)
    general = stepped_demand_VA(general_VA, breakpoints_VA=breakpoints_VA, factors=factors) / volts
    cooking = at_least_zero("range_VA", range_VA) / volts
    parts = np.broadcast_arrays(
        np.asarray(general)[..., None],
        np.asarray(cooking)[..., None],
        at_least_zero("fixed_A", fixed_A),
        at_least_zero("nameplate_A", nameplate_A),
        at_least_zero("motor_extra_A", motor_extra_A),
    )
    general, cooking, fixed, nameplate, motor = parts
    return LegDemand(general, cooking, fixed, nameplate, motor, np.sum(parts, axis=0))
