"""Motors and generators: starting, dip, derating, fuel."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, up_to_one, within
from elec.errors import InputError

__all__ = [
    "derated_VA",
    "fuel_L_per_h",
    "largest_start_VA",
    "locked_rotor_VA",
    "starting_dip",
]

Floats = npt.NDArray[np.float64]


def locked_rotor_VA(rated_hp: npt.ArrayLike, *, kVA_per_hp: npt.ArrayLike) -> Floats:
    r"""Return the apparent power of a motor held still, from its code letter [VA].

    .. math:: S_{LR} = 1000 \, s \, p

    Parameters
    ----------
    rated_hp : float or array
        Rated shaft power :math:`p`. [hp]
    kVA_per_hp : float or array
        An end of the band of the code letter :math:`s`; an open end has no value. [kVA/hp]

    Notes
    -----
    On motors below 1/2 hp some plates are said to give kVA itself: take those as unknown.

    References
    ----------
    NFPA 70-2017, 430.7(B) and Table 430.7(B).
    """
    return np.asarray(1000.0 * positive("rated_hp", rated_hp) * positive("kVA_per_hp", kVA_per_hp))[
        ()
    ]


def starting_dip(
    starting_VA: npt.ArrayLike,
    *,
    generator_VA: npt.ArrayLike,
    transient_reactance: npt.ArrayLike,
) -> Floats:
    r"""Estimate how far a generator's voltage falls when a motor starts.

    .. math:: d = \frac{S}{S + S_g / X'_d}

    Parameters
    ----------
    starting_VA : float or array
        Apparent power of the motor held still :math:`S`, at rated voltage. [VA]
    generator_VA : float or array
        Rated apparent power of the generator :math:`S_g`. [VA]
    transient_reactance : float or array
        :math:`X'_d`, per unit of the generator's own rating. [-]

    Returns
    -------
    float or array
        Dip :math:`d` as a fraction of the voltage before; within about 0.05. [-]

    Notes
    -----
    Two reactances in series. Leaves out power factor, the voltage regulator and load already on.
    """
    start = at_least_zero("starting_VA", starting_VA)
    short_circuit = positive("generator_VA", generator_VA) / positive(
        "transient_reactance", transient_reactance
    )
    return np.asarray(start / (start + short_circuit))[()]


def largest_start_VA(
    generator_VA: npt.ArrayLike, *, transient_reactance: npt.ArrayLike, dip: npt.ArrayLike
) -> Floats:
    r"""Return the starting power that gives a stated dip: `starting_dip` solved for it [VA].

    .. math:: S = \frac{d}{1 - d} \, \frac{S_g}{X'_d}

    Parameters
    ----------
    generator_VA : float or array
        Rated apparent power of the generator :math:`S_g`. [VA]
    transient_reactance : float or array
        :math:`X'_d`, per unit of the generator's own rating. [-]
    dip : float or array
        Dip :math:`d` allowed, 0 to below 1. [-]
    """
    allowed = within("dip", dip, 0, np.nextafter(1, 0))
    short_circuit = positive("generator_VA", generator_VA) / positive(
        "transient_reactance", transient_reactance
    )
    return np.asarray(allowed / (1 - allowed) * short_circuit)[()]


def derated_VA(
    rating_VA: npt.ArrayLike, *, ambient_factor: npt.ArrayLike, altitude_factor: npt.ArrayLike
) -> Floats:
    r"""Return what is left of an alternator's rating where it is hot or high.

    .. math:: S = S_r \, k_\theta \, k_h

    Parameters
    ----------
    rating_VA : float or array
        Rating :math:`S_r` at the reference conditions. [VA]
    ambient_factor : float or array
        :math:`k_\theta` for the air at the intake, above 0 to 1. [-]
    altitude_factor : float or array
        :math:`k_h`, above 0 to 1. [-]

    Returns
    -------
    float or array
        Rating left :math:`S`. The engine derates apart: take the smaller of the two. [VA]
    """
    return np.asarray(
        positive("rating_VA", rating_VA)
        * up_to_one("ambient_factor", ambient_factor)
        * up_to_one("altitude_factor", altitude_factor)
    )[()]


def fuel_L_per_h(
    load_fraction: npt.ArrayLike,
    *,
    listed_fraction: npt.ArrayLike,
    listed_L_per_h: npt.ArrayLike,
) -> Floats:
    """Return the fuel of a generator at a load, linear between the rows of its own chart [L/h].

    Parameters
    ----------
    load_fraction : float or array
        Load as a fraction of the rating, inside the listed ones. [-]
    listed_fraction : array
        Loads of the chart for that one set, ascending. [-]
    listed_L_per_h : array
        Fuel at those loads. [L/h]
    """
    fraction = at_least_zero("listed_fraction", listed_fraction)
    fuel = positive("listed_L_per_h", listed_L_per_h)
    if fraction.ndim != 1 or fraction.shape != fuel.shape or np.any(np.diff(fraction) <= 0):
        raise InputError(
            "listed_fraction: the chart is not ascending with one fuel for each load.",
            remedy="Give the rows of one set only, the smallest load first.",
        )
    load = within("load_fraction", load_fraction, float(fraction[0]), float(fraction[-1]))
    return np.asarray(np.interp(load, fraction, fuel))[()]
