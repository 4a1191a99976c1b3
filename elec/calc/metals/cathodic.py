"""Sacrificial anodes: current asked for, current given, mass, number and life.

Every design value (current densities, coating breakdown, closed-circuit potentials, capacities,
utilization) comes as an argument from one edition of one source; editions must not be mixed. A
year of such a source is 8760 h.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, finite, positive, up_to_one, within
from elec.calc.metals.faraday import HOURS_PER_YEAR
from elec.errors import InputError

__all__ = [
    "Breakdown",
    "Wastage",
    "anode_life_h",
    "anode_mass_kg",
    "anode_output_A",
    "anodes_needed",
    "capacity_at_temperature_Ah_per_kg",
    "coating_breakdown",
    "current_demand_A",
    "current_from_wastage_A",
    "driving_voltage_V",
    "equivalent_radius_m",
    "final_radius_m",
    "long_flush_resistance_ohm",
    "long_slender_resistance_ohm",
    "other_shape_resistance_ohm",
    "short_slender_resistance_ohm",
    "standoff_factor",
    "wastage",
    "wetted_area_m2",
]

Floats = npt.NDArray[np.float64]

# Mass and current ratios that should be whole come out a few units of round-off above.
_WHOLE = 1e-9


@dataclass(frozen=True)
class Breakdown:
    """Share of a coated surface that takes current as if bare [-].

    ``capped`` is true where the coating is counted as gone before the end, so that the final
    value was held at 1 and the mean follows the course up to there.
    """

    initial: Floats
    mean: Floats
    final: Floats
    capped: npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Wastage:
    """How fast an anode goes [1/h], and how long until the share at which to renew it [h].

    A negative time says for how long it has been overdue.
    """

    rate_per_h: Floats
    left_h: Floats


def wetted_area_m2(
    length_m: npt.ArrayLike,
    *,
    beam_m: npt.ArrayLike,
    draught_m: npt.ArrayLike,
    side_factor: npt.ArrayLike,
    bottom_factor: npt.ArrayLike,
) -> Floats:
    r"""Wetted surface of a hull by the rule-of-thumb forms, which differ only in two factors [m²].

    .. math:: A = L \, (k_b B + k_s D)

    Boats by displacement :math:`k_b = k_s` of 0.5 to 1; barges 1 and 2; ships, block coefficient
    and 1.8.

    Parameters
    ----------
    length_m : float or array
        Waterline length :math:`L`. [m]
    beam_m : float or array
        Beam at the waterline :math:`B`. [m]
    draught_m : float or array
        Mean draught of the hull :math:`D`, without fin keel. [m]
    side_factor : float or array
        Factor :math:`k_s` on the draught. [-]
    bottom_factor : float or array
        Factor :math:`k_b` on the beam. [-]

    References
    ----------
    Forms as printed in trade guidance; see the table of hull factors for each.

    Examples
    --------
    >>> round(float(wetted_area_m2(
    ...     15.0, beam_m=2.0, draught_m=0.7, side_factor=2.0, bottom_factor=1.0)), 6)
    51.0
    """
    bottom = positive("bottom_factor", bottom_factor) * positive("beam_m", beam_m)
    side = positive("side_factor", side_factor) * positive("draught_m", draught_m)
    return (positive("length_m", length_m) * (bottom + side))[()]


def coating_breakdown(
    initial: npt.ArrayLike, *, rate_per_year: npt.ArrayLike, time_h: npt.ArrayLike
) -> Breakdown:
    r"""Give the share of a coating that counts as bare: at the start, on the mean, at the end.

    .. math::
        f_i = a \qquad f_f = \min(1,\; a + b t) \qquad
        f_m = \begin{cases} a + b t / 2 & a + b t \le 1 \\
              1 - \frac{(1 - a)^2}{2 b t} & \text{otherwise} \end{cases}

    Parameters
    ----------
    initial : float or array
        Share :math:`a` bare at the start, 0 to 1. [-]
    rate_per_year : float or array
        Growth :math:`b` of the share in a year of 8760 h. [1/year]
    time_h : float or array
        Design life :math:`t`. [h]

    Returns
    -------
    Breakdown
        The three shares, and whether the last was held at one. [-]

    References
    ----------
    DNV-RP-B401, coating breakdown factors.

    Examples
    --------
    >>> f = coating_breakdown(0.05, rate_per_year=0.025, time_h=2 * 8760.0)
    >>> [round(float(x), 4) for x in (f.initial, f.mean, f.final)]
    [0.05, 0.075, 0.1]
    """
    a = within("initial", initial, 0.0, 1.0)
    growth = at_least_zero("rate_per_year", rate_per_year) * (
        positive("time_h", time_h) / HOURS_PER_YEAR
    )
    a, growth = np.broadcast_arrays(a, growth)
    capped = a + growth > 1.0
    after_cap = 1.0 - (1.0 - a) ** 2 / (2.0 * np.where(capped, growth, 1.0))
    return Breakdown(
        initial=a[()],
        mean=np.where(capped, after_cap, a + growth / 2.0)[()],
        final=np.minimum(1.0, a + growth)[()],
        capped=np.asarray(capped)[()],
    )


def current_demand_A(
    area_m2: npt.ArrayLike,
    *,
    current_density_A_per_m2: npt.ArrayLike,
    breakdown: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Protective current that a surface takes [A].

    .. math:: I_c = A \, i_c \, f_c

    Parameters
    ----------
    area_m2 : float or array
        Surface :math:`A` in the water. [m²]
    current_density_A_per_m2 : float or array
        Design current density :math:`i_c` of bare metal; of the painted hull where the source
        prints that, and then without a breakdown. [A/m²]
    breakdown : float or array, default 1
        Share :math:`f_c` of the surface counted as bare, 0 to 1. [-]

    References
    ----------
    DNV-RP-B401, current demand calculations.

    Examples
    --------
    >>> round(float(current_demand_A(40.0, current_density_A_per_m2=0.20, breakdown=0.05)), 6)
    0.4
    """
    bare = at_least_zero("area_m2", area_m2) * within("breakdown", breakdown, 0.0, 1.0)
    return (bare * at_least_zero("current_density_A_per_m2", current_density_A_per_m2))[()]


def driving_voltage_V(
    anode_closed_circuit_V: npt.ArrayLike, *, protected_V: npt.ArrayLike
) -> Floats:
    r"""Voltage that drives an anode's current once the metal is protected.

    .. math:: \Delta E = E_c - E_a

    Parameters
    ----------
    anode_closed_circuit_V : float or array
        Closed-circuit potential :math:`E_a` of the anode alloy, by one edition. [V]
    protected_V : float or array
        Potential :math:`E_c` of the metal once protected, against the same cell. [V]

    Returns
    -------
    float or array
        Driving voltage; zero or negative where this alloy cannot protect that metal. [V]

    References
    ----------
    DNV-RP-B401, anode current output.

    Examples
    --------
    >>> round(float(driving_voltage_V(-1.05, protected_V=-0.80)), 6)
    0.25
    """
    anode = finite("anode_closed_circuit_V", anode_closed_circuit_V)
    return (finite("protected_V", protected_V) - anode)[()]


def anode_output_A(driving_V: npt.ArrayLike, *, resistance_ohm: npt.ArrayLike) -> Floats:
    r"""Compute the current that one anode gives.

    .. math:: I_a = \Delta E / R_a

    Parameters
    ----------
    driving_V : float or array
        Driving voltage :math:`\Delta E`. [V]
    resistance_ohm : float or array
        Resistance :math:`R_a` from anode to water, with that of its fastening. [ohm]

    Returns
    -------
    float or array
        Output; negative where the anode is the one that would be protected. [A]

    References
    ----------
    DNV-RP-B401, anode current output.

    Examples
    --------
    >>> float(anode_output_A(0.25, resistance_ohm=0.125))
    2.0
    """
    return (finite("driving_V", driving_V) / positive("resistance_ohm", resistance_ohm))[()]


def equivalent_radius_m(perimeter_m: npt.ArrayLike) -> Floats:
    r"""Radius that stands for a cross-section that is not round [m].

    .. math:: r = c / 2\pi

    Parameters
    ----------
    perimeter_m : float or array
        Perimeter :math:`c` of the cross-section. [m]

    References
    ----------
    DNV-RP-B401, anode resistance formulas.

    Examples
    --------
    >>> round(float(equivalent_radius_m(0.2)), 4)
    0.0318
    """
    return (positive("perimeter_m", perimeter_m) / (2.0 * np.pi))[()]


def _slender(
    resistivity_ohm_m: npt.ArrayLike, length_m: npt.ArrayLike, radius_m: npt.ArrayLike
) -> tuple[Floats, Floats, Floats]:
    return (
        positive("resistivity_ohm_m", resistivity_ohm_m),
        positive("length_m", length_m),
        positive("radius_m", radius_m),
    )


def _only(name: str, fits: npt.NDArray[np.bool_], shape: str, instead: str) -> None:
    if not np.all(fits):
        raise InputError(f"{name}: does not fit a {shape} anode.", remedy=f"Accepted: {instead}.")


def long_slender_resistance_ohm(
    resistivity_ohm_m: npt.ArrayLike, *, length_m: npt.ArrayLike, radius_m: npt.ArrayLike
) -> Floats:
    r"""Resistance to water of a long slender stand-off anode [ohm].

    .. math:: R = \frac{\rho}{2 \pi L} \left[\ln \frac{4 L}{r} - 1\right] \qquad L \ge 4 r

    With :math:`2L` in place of :math:`4L` it would be the same rod far from any surface, which
    gives a lower resistance and promises too much current.

    Parameters
    ----------
    resistivity_ohm_m : float or array
        Resistivity :math:`\rho` of the water. [ohm·m]
    length_m : float or array
        Length :math:`L` of the anode. [m]
    radius_m : float or array
        Radius :math:`r`, or that of a circle of the same perimeter. [m]

    References
    ----------
    DNV-RP-B401, 2010, Table 10-7; the same as the rod of MIL-HDBK-1004/10.

    Examples
    --------
    >>> round(float(long_slender_resistance_ohm(0.25, length_m=1.0, radius_m=0.05)), 4)
    0.1346
    """
    rho, length, radius = _slender(resistivity_ohm_m, length_m, radius_m)
    _only("length_m", length >= 4 * radius, "long slender", "a length of four radii or more")
    resistance: Floats = rho / (2 * np.pi * length) * (np.log(4 * length / radius) - 1)
    return resistance[()]


def short_slender_resistance_ohm(
    resistivity_ohm_m: npt.ArrayLike, *, length_m: npt.ArrayLike, radius_m: npt.ArrayLike
) -> Floats:
    r"""Resistance to water of a short slender stand-off anode [ohm].

    .. math::
        R = \frac{\rho}{2 \pi L} \left[\ln\left\{\frac{2L}{r}\,(1 + q)\right\}
        + \frac{r}{2L} - q\right]
        \qquad q = \sqrt{1 + \left(\frac{r}{2L}\right)^2}, \; L < 4 r

    Parameters
    ----------
    resistivity_ohm_m : float or array
        Resistivity :math:`\rho` of the water. [ohm·m]
    length_m : float or array
        Length :math:`L` of the anode. [m]
    radius_m : float or array
        Radius :math:`r`, or that of a circle of the same perimeter. [m]

    References
    ----------
    DNV-RP-B401, 2010, Table 10-7.

    Examples
    --------
    >>> round(float(short_slender_resistance_ohm(0.25, length_m=0.3, radius_m=0.1)), 4)
    0.2181
    """
    rho, length, radius = _slender(resistivity_ohm_m, length_m, radius_m)
    _only("length_m", length < 4 * radius, "short slender", "a length under four radii")
    half = radius / (2 * length)
    root = np.sqrt(1 + half**2)
    resistance: Floats = rho / (2 * np.pi * length) * (np.log((1 + root) / half) + half - root)
    return resistance[()]


def long_flush_resistance_ohm(
    resistivity_ohm_m: npt.ArrayLike,
    *,
    length_m: npt.ArrayLike,
    width_m: npt.ArrayLike,
    thickness_m: npt.ArrayLike,
) -> Floats:
    r"""Resistance to water of a long anode flush on the hull [ohm].

    .. math:: R = \frac{\rho}{2 S} \qquad S = \frac{L + w}{2}

    Parameters
    ----------
    resistivity_ohm_m : float or array
        Resistivity :math:`\rho` of the water. [ohm·m]
    length_m : float or array
        Length :math:`L`, four times width and thickness or more. [m]
    width_m : float or array
        Width :math:`w`. [m]
    thickness_m : float or array
        Thickness, which only decides whether the formula applies. [m]

    References
    ----------
    DNV-RP-B401, 2010, Table 10-7 (the meaning of S from memory).

    Examples
    --------
    >>> round(float(long_flush_resistance_ohm(
    ...     0.25, length_m=0.6, width_m=0.12, thickness_m=0.03)), 3)
    0.347
    """
    rho, length = positive("resistivity_ohm_m", resistivity_ohm_m), positive("length_m", length_m)
    width, thickness = positive("width_m", width_m), positive("thickness_m", thickness_m)
    # A plate of 0.48 by 0.12 is long: 4 * 0.12 must not fail by round-off.
    long = length * (1 + _WHOLE) >= 4 * np.maximum(width, thickness)
    _only("length_m", long, "long flush", "four times width and thickness or more")
    return (rho / (length + width))[()]


def other_shape_resistance_ohm(
    resistivity_ohm_m: npt.ArrayLike, *, exposed_area_m2: npt.ArrayLike
) -> Floats:
    r"""Resistance to water of a short flush anode, a bracelet or any other shape [ohm].

    .. math:: R = \frac{0.315 \, \rho}{\sqrt{A}}

    Parameters
    ----------
    resistivity_ohm_m : float or array
        Resistivity :math:`\rho` of the water. [ohm·m]
    exposed_area_m2 : float or array
        Surface :math:`A` of the anode that the water sees. [m²]

    References
    ----------
    DNV-RP-B401, 2010, Table 10-7.

    Examples
    --------
    >>> round(float(other_shape_resistance_ohm(0.25, exposed_area_m2=0.04)), 5)
    0.39375
    """
    rho = positive("resistivity_ohm_m", resistivity_ohm_m)
    return (0.315 * rho / np.sqrt(positive("exposed_area_m2", exposed_area_m2)))[()]


def standoff_factor(
    standoff_m: npt.ArrayLike,
    *,
    full_m: npt.ArrayLike,
    closest_m: npt.ArrayLike,
    close_factor: npt.ArrayLike,
) -> Floats:
    r"""Factor on the resistance of a slender anode that stands close to the hull [-].

    .. math:: k = 1 \text{ from } d_\text{full}, \quad k_\text{close} \text{ from } d_\text{closest}

    Parameters
    ----------
    standoff_m : float or array
        Distance from anode to hull. [m]
    full_m : float or array
        Distance from which the formulas hold as they are. [m]
    closest_m : float or array
        Distance down to which the factor is given. [m]
    close_factor : float or array
        Factor between the two distances. [-]

    Raises
    ------
    InputError
        If the anode is closer than the factor is given for.

    References
    ----------
    DNV-RP-B401, 2010, Table 10-7, notes.

    Examples
    --------
    >>> float(standoff_factor(0.20, full_m=0.30, closest_m=0.15, close_factor=1.3))
    1.3
    """
    distance, full = positive("standoff_m", standoff_m), positive("full_m", full_m)
    near = distance >= positive("closest_m", closest_m)
    _only("standoff_m", near, "stand-off", "the printed distance or more; else use a flush shape")
    return np.where(distance >= full, 1.0, positive("close_factor", close_factor))[()]


def anode_mass_kg(
    mean_current_A: npt.ArrayLike,
    *,
    life_h: npt.ArrayLike,
    capacity_Ah_per_kg: npt.ArrayLike,
    utilization: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Net mass of anode alloy needed for a life, of all anodes together [kg].

    .. math:: M = \frac{I_{cm} \, t}{u \, \varepsilon}

    This is net mass: the steel core comes on top, and the utilization enters only here. Metric
    zinc holds some 780 to 811 Ah/kg; the 368 found in print is ampere-hours per pound.

    Parameters
    ----------
    mean_current_A : float or array
        Mean current :math:`I_{cm}` over the life. [A]
    life_h : float or array
        Life :math:`t`. [h]
    capacity_Ah_per_kg : float or array
        Capacity :math:`\varepsilon` of the alloy. [Ah/kg]
    utilization : float or array, default 1
        Share :math:`u` of the mass that can be used, above 0, at most 1. [-]

    References
    ----------
    DNV-RP-B401, anode mass calculations.

    Examples
    --------
    >>> round(float(anode_mass_kg(
    ...     0.300, life_h=2 * 8760.0, capacity_Ah_per_kg=2000.0, utilization=0.85)), 3)
    3.092
    """
    charge = at_least_zero("mean_current_A", mean_current_A) * positive("life_h", life_h)
    return (charge / _usable_Ah_per_kg(capacity_Ah_per_kg, utilization))[()]


def _usable_Ah_per_kg(capacity_Ah_per_kg: npt.ArrayLike, utilization: npt.ArrayLike) -> Floats:
    return up_to_one("utilization", utilization) * positive(
        "capacity_Ah_per_kg", capacity_Ah_per_kg
    )


def anode_life_h(
    net_mass_kg: npt.ArrayLike,
    *,
    current_A: npt.ArrayLike,
    capacity_Ah_per_kg: npt.ArrayLike,
    utilization: npt.ArrayLike = 1.0,
) -> Floats:
    r"""Life of an anode at a steady current [h].

    .. math:: t = \frac{m \, u \, \varepsilon}{I}

    Parameters
    ----------
    net_mass_kg : float or array
        Net mass :math:`m` of anode alloy. [kg]
    current_A : float or array
        Mean current :math:`I` that it gives. [A]
    capacity_Ah_per_kg : float or array
        Capacity :math:`\varepsilon` of the alloy. [Ah/kg]
    utilization : float or array, default 1
        Share :math:`u` of the mass that can be used, above 0, at most 1. [-]

    References
    ----------
    DNV-RP-B401, anode life.

    Examples
    --------
    >>> life = anode_life_h(
    ...     5.0, current_A=0.05, capacity_Ah_per_kg=780.0, utilization=0.85)
    >>> round(float(life) / 8760.0, 2)
    7.57
    """
    charge = positive("net_mass_kg", net_mass_kg) * _usable_Ah_per_kg(
        capacity_Ah_per_kg, utilization
    )
    return (charge / positive("current_A", current_A))[()]


def anodes_needed(asked: npt.ArrayLike, *, one_gives: npt.ArrayLike) -> npt.NDArray[np.int_]:
    r"""Whole anodes that give what is asked: mass, life, or current when new or worn [-].

    .. math:: N = \left\lceil M / m_a \right\rceil

    Of several things asked, the largest number counts.

    Parameters
    ----------
    asked : float or array
        What is asked :math:`M`, such as net mass. [kg, h or A]
    one_gives : float or array
        What one anode gives of it :math:`m_a`. [kg, h or A]

    References
    ----------
    DNV-RP-B401, number of anodes.

    Examples
    --------
    Mass of 3.092 kg, of 1 kg each; 0.520 A at the end, of 0.1 A each:

    >>> anodes_needed([3.092, 0.520], one_gives=[1.0, 0.1]).tolist()
    [4, 6]
    """
    each = at_least_zero("asked", asked) / positive("one_gives", one_gives)
    return np.ceil(each * (1 - _WHOLE)).astype(int)[()]


def final_radius_m(
    net_mass_kg: npt.ArrayLike,
    *,
    length_m: npt.ArrayLike,
    utilization: npt.ArrayLike,
    density_g_per_cm3: npt.ArrayLike,
    core_radius_m: npt.ArrayLike,
) -> Floats:
    r"""Radius of a slender anode at the end of its life [m].

    .. math:: r_f = \sqrt{r_\text{core}^2 + \frac{m (1 - u)}{\rho_a \pi L_f}}

    Parameters
    ----------
    net_mass_kg : float or array
        Net mass :math:`m` when new. [kg]
    length_m : float or array
        Length :math:`L_f` left at the end, as the source shortens it. [m]
    utilization : float or array
        Share :math:`u` of the mass used by then, above 0, at most 1. [-]
    density_g_per_cm3 : float or array
        Density :math:`\rho_a` of the anode alloy. [g/cm³]
    core_radius_m : float or array
        Radius of the steel core. [m]

    References
    ----------
    DNV-RP-B401, anode dimensions at the end of life.

    Examples
    --------
    >>> round(float(final_radius_m(
    ...     20.0, length_m=0.9, utilization=0.9, density_g_per_cm3=2.7, core_radius_m=0.01)), 4)
    0.019
    """
    left_kg = positive("net_mass_kg", net_mass_kg) * (1.0 - up_to_one("utilization", utilization))
    volume = left_kg / (positive("density_g_per_cm3", density_g_per_cm3) * 1000.0)
    ring = volume / (np.pi * positive("length_m", length_m))
    return np.sqrt(positive("core_radius_m", core_radius_m) ** 2 + ring)[()]


def wastage(gone: npt.ArrayLike, *, elapsed_h: npt.ArrayLike, renew_at: npt.ArrayLike) -> Wastage:
    r"""Rate shown by an anode part gone, and the time left if it goes on like that.

    .. math:: w = g / t \qquad t_\text{left} = (g_\text{renew} - g) / w

    An anode of which nothing is gone shows no life; it may not be connected.

    Parameters
    ----------
    gone : float or array
        Share :math:`g` of the alloy gone, above 0, at most 1. [-]
    elapsed_h : float or array
        Time :math:`t` since it was new. [h]
    renew_at : float or array
        Share gone at which it is to be renewed, above 0, at most 1. [-]

    Returns
    -------
    Wastage
        Rate [1/h] and time left [h], negative where overdue. [1/h, h]

    Examples
    --------
    60 % gone after 8 months of 730 h, to be renewed at 75 %:

    >>> w = wastage(0.60, elapsed_h=8 * 730.0, renew_at=0.75)
    >>> round(float(w.left_h) / 730.0, 6)
    2.0
    """
    share, limit = up_to_one("gone", gone), up_to_one("renew_at", renew_at)
    rate = share / positive("elapsed_h", elapsed_h)
    return Wastage(rate[()], ((limit - share) / rate)[()])


def current_from_wastage_A(
    net_mass_kg: npt.ArrayLike,
    *,
    gone: npt.ArrayLike,
    elapsed_h: npt.ArrayLike,
    capacity_Ah_per_kg: npt.ArrayLike,
) -> Floats:
    r"""Mean current that an anode has given, from what is gone of it [A].

    .. math:: I = \frac{m \, g \, \varepsilon}{t}

    Parameters
    ----------
    net_mass_kg : float or array
        Net mass :math:`m` when new. [kg]
    gone : float or array
        Share :math:`g` gone, 0 to 1. [-]
    elapsed_h : float or array
        Time :math:`t` since it was new. [h]
    capacity_Ah_per_kg : float or array
        Capacity :math:`\varepsilon` of the alloy. [Ah/kg]

    References
    ----------
    Faraday's law, with the capacity of the alloy in practice.

    Examples
    --------
    >>> i = current_from_wastage_A(
    ...     1.0, gone=0.60, elapsed_h=8 * 730.0, capacity_Ah_per_kg=780.0)
    >>> round(float(i), 4)
    0.0801
    """
    charge = positive("net_mass_kg", net_mass_kg) * within("gone", gone, 0.0, 1.0)
    charge = charge * positive("capacity_Ah_per_kg", capacity_Ah_per_kg)
    return (charge / positive("elapsed_h", elapsed_h))[()]


def capacity_at_temperature_Ah_per_kg(
    temperature_C: npt.ArrayLike,
    *,
    capacity_Ah_per_kg: npt.ArrayLike,
    warm_from_C: npt.ArrayLike,
    loss_Ah_per_kg_K: npt.ArrayLike,
) -> Floats:
    r"""Capacity of an aluminium anode in warm water [Ah/kg].

    .. math:: \varepsilon(T) = \varepsilon_0 - c \, \max(0,\; T - T_0)

    Parameters
    ----------
    temperature_C : float or array
        Surface temperature of the anode :math:`T`. [°C]
    capacity_Ah_per_kg : float or array
        Capacity :math:`\varepsilon_0` in cooler water. [Ah/kg]
    warm_from_C : float or array
        Temperature :math:`T_0` from which it falls. [°C]
    loss_Ah_per_kg_K : float or array
        Fall :math:`c` for each degree. [Ah/(kg·K)]

    Raises
    ------
    InputError
        If nothing is left at that temperature.

    References
    ----------
    ABS guidance notes on cathodic protection of ships, 2017 (second hand).

    Examples
    --------
    >>> float(capacity_at_temperature_Ah_per_kg(
    ...     30.0, capacity_Ah_per_kg=2000.0, warm_from_C=20.0, loss_Ah_per_kg_K=27.0))
    1730.0
    """
    base = positive("capacity_Ah_per_kg", capacity_Ah_per_kg)
    warmer_K = np.maximum(
        0.0, finite("temperature_C", temperature_C) - finite("warm_from_C", warm_from_C)
    )
    left = base - at_least_zero("loss_Ah_per_kg_K", loss_Ah_per_kg_K) * warmer_K
    if np.any(left <= 0):
        raise InputError(
            "temperature_C: too warm for this relation, which leaves no capacity.",
            remedy="Accepted: water temperatures; give the maker's capacity above them.",
        )
    return left[()]
