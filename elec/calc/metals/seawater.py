"""Properties of seawater that set corrosion: how it conducts, how much oxygen it holds.

Published equations of state, not tables, so that nothing is interpolated. They hold for seawater
and for the sea diluted by rain. River, lake and mixed marina water need a measured value.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from numpy.polynomial import polynomial

from elec.calc._given import at_least_zero, positive, within
from elec.calc.metals.faraday import FARADAY_C_PER_MOL

__all__ = [
    "CONDUCTIVITY_35_15_0_mS_PER_CM",
    "conductivity_mS_per_cm",
    "density_kg_per_m3",
    "oxygen_limit_A_per_m2",
    "oxygen_saturation_mol_per_m3",
    "oxygen_saturation_umol_per_kg",
    "resistivity_ohm_m",
]

Floats = npt.NDArray[np.float64]

# Practical Salinity Scale 1978 and its ratio r_t: Fofonoff and Millard, "Algorithms for
# computation of fundamental properties of seawater", UNESCO technical papers in marine science
# 44, 1983. Powers of the square root of R_t, rising; then powers of temperature, rising.
_SALINITY_A = (0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081)
_SALINITY_B = (0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144)
_SALINITY_K = 0.0162
_RATIO_C = (0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9)
CONDUCTIVITY_35_15_0_mS_PER_CM = 42.914  # Culkin and Smith 1980, the constant used with the scale

# One-atmosphere equation of state of seawater 1980, same report.
_DENSITY_WATER = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
_DENSITY_S = (0.824493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
_DENSITY_S_1_5 = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
_DENSITY_S_2 = 4.8314e-4

# Oxygen at saturation with moist air at one atmosphere: Garcia and Gordon, Limnology and
# Oceanography 37, 1992, equation 8 with the coefficients fitted to Benson and Krause.
_OXYGEN_A = (5.80871, 3.20291, 4.17887, 5.10006, -9.86643e-2, 3.80369)
_OXYGEN_B = (-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3)
_OXYGEN_C = -2.75915e-7

# The equations are written for the temperature scale of 1968.
_SCALE_1968 = 1.00024

_SALTIEST = 42.0
_COLDEST_C, _HOTTEST_C = -2.0, 35.0


def _temperature_1968(temperature_C: npt.ArrayLike) -> Floats:
    return within("temperature_C", temperature_C, _COLDEST_C, _HOTTEST_C) * _SCALE_1968


def _salinity_and_slope(root: Floats, t68: Floats) -> tuple[Floats, Floats]:
    """Return practical salinity at a root of R_t, and its derivative by that root."""
    off = t68 - 15.0
    weight = off / (1.0 + _SALINITY_K * off)

    def both(a: tuple[float, ...], b: tuple[float, ...]) -> Floats:
        return np.asarray(polynomial.polyval(root, a) + weight * polynomial.polyval(root, b))

    slopes = [tuple(polynomial.polyder(c)) for c in (_SALINITY_A, _SALINITY_B)]
    return both(_SALINITY_A, _SALINITY_B), both(slopes[0], slopes[1])


def conductivity_mS_per_cm(salinity: npt.ArrayLike, *, temperature_C: npt.ArrayLike) -> Floats:
    r"""Conductivity of surface seawater, by the practical salinity scale turned round [mS/cm].

    .. math:: C = C_{35,15,0} \; r_t(t) \; R_t(S, t)

    Parameters
    ----------
    salinity : float or array
        Practical salinity :math:`S`, 2 to 42. [-]
    temperature_C : float or array
        Temperature of the water :math:`t`, -2 to 35. [°C]

    References
    ----------
    Practical Salinity Scale 1978; UNESCO technical papers in marine science 44, 1983.

    Examples
    --------
    >>> round(float(conductivity_mS_per_cm(35.0, temperature_C=15.0)), 1)
    42.9
    """
    wanted = within("salinity", salinity, 2.0, _SALTIEST)
    t68 = _temperature_1968(temperature_C)
    # Newton's method; salinity rises with the root and bends little, five steps reach round-off.
    root = np.sqrt(wanted / 35.0)
    for _ in range(6):
        value, slope = _salinity_and_slope(root, t68)
        root = root - (value - wanted) / slope
    ratio = np.asarray(polynomial.polyval(t68, _RATIO_C), dtype=np.float64)
    conductivity: Floats = CONDUCTIVITY_35_15_0_mS_PER_CM * ratio * root**2
    return conductivity[()]


def resistivity_ohm_m(salinity: npt.ArrayLike, *, temperature_C: npt.ArrayLike) -> Floats:
    r"""Resistivity of seawater at the surface [ohm·m].

    .. math:: \rho = 10 / C \qquad (C \text{ in mS/cm})

    Parameters
    ----------
    salinity : float or array
        Practical salinity, 2 to 42. [-]
    temperature_C : float or array
        Temperature of the water, -2 to 35. [°C]

    References
    ----------
    Practical Salinity Scale 1978; UNESCO technical papers in marine science 44, 1983.

    Examples
    --------
    >>> round(float(resistivity_ohm_m(35.0, temperature_C=15.0)), 4)
    0.233
    """
    return (10.0 / conductivity_mS_per_cm(salinity, temperature_C=temperature_C))[()]


def density_kg_per_m3(salinity: npt.ArrayLike, *, temperature_C: npt.ArrayLike) -> Floats:
    r"""Density of seawater at the surface [kg/m³].

    .. math:: \rho = \rho_w(t) + A(t)\,S + B(t)\,S^{3/2} + C\,S^2

    Parameters
    ----------
    salinity : float or array
        Practical salinity :math:`S`, 0 to 42. [-]
    temperature_C : float or array
        Temperature of the water :math:`t`, -2 to 35. [°C]

    References
    ----------
    International equation of state of seawater 1980, at one atmosphere; UNESCO technical papers
    in marine science 44, 1983.

    Examples
    --------
    >>> round(float(density_kg_per_m3(35.0, temperature_C=5.0)), 2)
    1027.68
    """
    S, t = within("salinity", salinity, 0.0, _SALTIEST), _temperature_1968(temperature_C)
    density = (
        polynomial.polyval(t, _DENSITY_WATER)
        + polynomial.polyval(t, _DENSITY_S) * S
        + polynomial.polyval(t, _DENSITY_S_1_5) * S**1.5
        + _DENSITY_S_2 * S**2
    )
    return np.asarray(density)[()]


def oxygen_saturation_umol_per_kg(
    salinity: npt.ArrayLike, *, temperature_C: npt.ArrayLike
) -> Floats:
    r"""Oxygen in seawater at rest under moist air at one atmosphere [µmol/kg].

    .. math::
        \ln C = \sum_j A_j T_s^j + S \sum_j B_j T_s^j + C_0 S^2
        \qquad
        T_s = \ln \frac{298.15 - t}{273.15 + t}

    Polluted or crowded water holds less.

    Parameters
    ----------
    salinity : float or array
        Practical salinity :math:`S`, 0 to 42. [-]
    temperature_C : float or array
        Temperature of the water :math:`t`, -2 to 35. [°C]

    References
    ----------
    Garcia and Gordon, Limnology and Oceanography 37, 1992, equation 8.

    Examples
    --------
    >>> round(float(oxygen_saturation_umol_per_kg(35.0, temperature_C=10.0)), 1)
    274.6
    """
    S, t = within("salinity", salinity, 0.0, _SALTIEST), _temperature_1968(temperature_C)
    scaled = np.log((298.15 - t) / (273.15 + t))
    exponent = (
        polynomial.polyval(scaled, _OXYGEN_A)
        + S * polynomial.polyval(scaled, _OXYGEN_B)
        + _OXYGEN_C * S**2
    )
    return np.exp(exponent)[()]


def oxygen_saturation_mol_per_m3(
    salinity: npt.ArrayLike, *, temperature_C: npt.ArrayLike
) -> Floats:
    r"""Oxygen in a volume of seawater at rest under moist air at one atmosphere [mol/m³].

    .. math:: c = C \, \rho

    Parameters
    ----------
    salinity : float or array
        Practical salinity, 0 to 42. [-]
    temperature_C : float or array
        Temperature of the water, -2 to 35. [°C]

    Examples
    --------
    >>> round(float(oxygen_saturation_mol_per_m3(35.0, temperature_C=10.0)), 3)
    0.282
    """
    micro = oxygen_saturation_umol_per_kg(salinity, temperature_C=temperature_C)
    return (micro * 1e-6 * density_kg_per_m3(salinity, temperature_C=temperature_C))[()]


def oxygen_limit_A_per_m2(
    oxygen_mol_per_m3: npt.ArrayLike,
    *,
    diffusivity_m2_per_s: npt.ArrayLike,
    layer_m: npt.ArrayLike,
    electrons: npt.ArrayLike = 4.0,
) -> Floats:
    r"""Largest current density that oxygen diffusing through still water can feed [A/m²].

    .. math:: i_L = \frac{n F D c}{\delta}

    An order of magnitude: the layer thins with flow, and fouling thickens it.

    Parameters
    ----------
    oxygen_mol_per_m3 : float or array
        Dissolved oxygen :math:`c`. [mol/m³]
    diffusivity_m2_per_s : float or array
        Diffusivity :math:`D` of oxygen in the water. [m²/s]
    layer_m : float or array
        Thickness :math:`\delta` of the still layer. [m]
    electrons : float or array, default 4
        Electrons :math:`n` per molecule: 4 to hydroxide, 2 where it stops at peroxide. [-]

    References
    ----------
    Fick's and Faraday's laws.

    Examples
    --------
    >>> i = oxygen_limit_A_per_m2(0.2542, diffusivity_m2_per_s=2.0e-9, layer_m=0.5e-3)
    >>> round(float(i), 3)
    0.392
    """
    oxygen = at_least_zero("oxygen_mol_per_m3", oxygen_mol_per_m3)
    charge = positive("electrons", electrons) * FARADAY_C_PER_MOL
    diffusivity = positive("diffusivity_m2_per_s", diffusivity_m2_per_s)
    return (charge * diffusivity * oxygen / positive("layer_m", layer_m))[()]
