"""Short-time and intermittent current in a conductor: published methods, each under its name.

No marine rule read here gives short-time ampacities. The functions named after NFPA 70 apply to
the machines named there; the others are a first-order thermal model. Times are in seconds.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from elec.calc._given import at_least_zero, positive, up_to_one, within
from elec.errors import InputError

__all__ = [
    "iec60092_352_short_time_factor",
    "iec60092_352_time_constant_s",
    "intermittent_factor",
    "nec_430_22E_ampacity_A",
    "nec_610_14A_ampacity_15min_A",
    "nec_630_11_ampacity_A",
    "pue_1_3_3_factor",
    "short_time_factor",
    "time_constant_from_rating_s",
]

Floats = npt.NDArray[np.float64]


# -- published methods -------------------------------------------------------------------------


def nec_630_11_ampacity_A(rated_current_A: npt.ArrayLike, *, multiplier: npt.ArrayLike) -> Floats:
    r"""Ampacity that an arc welder's supply conductors need [A].

    .. math:: I_z = m I

    Parameters
    ----------
    rated_current_A : float or array
        Rated primary current :math:`I`. [A]
    multiplier : float or array
        Multiplier :math:`m` of the table for the duty cycle, above 0 to 1. [-]

    References
    ----------
    NFPA 70, 630.11(A).

    Examples
    --------
    >>> round(float(nec_630_11_ampacity_A(40.0, multiplier=0.71)), 1)
    28.4
    """
    m = up_to_one("multiplier", multiplier)
    return (at_least_zero("rated_current_A", rated_current_A) * m)[()]


def nec_430_22E_ampacity_A(nameplate_current_A: npt.ArrayLike, *, percent: npt.ArrayLike) -> Floats:
    r"""Ampacity that the conductors of a motor not on continuous duty need [A].

    .. math:: I_z = \frac{p}{100} I

    Parameters
    ----------
    nameplate_current_A : float or array
        Current on the motor's plate :math:`I`. [A]
    percent : float or array
        Percentage :math:`p` of the table for the service and time rating of the motor. [%]

    References
    ----------
    NFPA 70, 430.22(E) and its table.
    """
    current = at_least_zero("nameplate_current_A", nameplate_current_A)
    return (current * positive("percent", percent) / 100.0)[()]


def nec_610_14A_ampacity_15min_A(
    ampacity_30min_A: npt.ArrayLike, *, multiple: npt.ArrayLike
) -> Floats:
    r"""Short-time ampacity for 15-minute motors of cranes and hoists [A].

    .. math:: I_{15} = m I_{30}

    The 30 and 60 minute values are read straight from the table.

    Parameters
    ----------
    ampacity_30min_A : float or array
        Value :math:`I_{30}` of the table for 30-minute motors. [A]
    multiple : float or array
        Multiple :math:`m` of the table's note. [-]

    References
    ----------
    NFPA 70, Table 610.14(A), note.
    """
    return (positive("ampacity_30min_A", ampacity_30min_A) * positive("multiple", multiple))[()]


def iec60092_352_time_constant_s(
    diameter_mm: npt.ArrayLike, *, coefficient_min: npt.ArrayLike, exponent: npt.ArrayLike
) -> Floats:
    r"""Thermal time constant of a ship's cable from its overall diameter [s].

    .. math:: \tau = 60 \, a \, d^n

    Parameters
    ----------
    diameter_mm : float or array
        Overall diameter :math:`d`. [mm]
    coefficient_min : float or array
        Coefficient :math:`a`, for :math:`d` in millimetres and minutes. [min]
    exponent : float or array
        Exponent :math:`n`. [-]

    References
    ----------
    IEC 60092-352, short-time duty; from memory, not confirmed.
    """
    power = positive("diameter_mm", diameter_mm) ** positive("exponent", exponent)
    return (60.0 * positive("coefficient_min", coefficient_min) * power)[()]


def iec60092_352_short_time_factor(
    on_s: npt.ArrayLike, *, time_constant_s: npt.ArrayLike, overheat: npt.ArrayLike
) -> Floats:
    r"""Factor on the continuous current for one short spell in a ship's cable [-].

    .. math:: f = \sqrt{\frac{h}{1 - e^{-t/\tau}}}

    Parameters
    ----------
    on_s : float or array
        Time on :math:`t`, above zero. [s]
    time_constant_s : float or array
        Time constant :math:`\tau`. [s]
    overheat : float or array
        Temperature rise let through :math:`h`, relative to the continuous one, from 1. [-]

    References
    ----------
    IEC 60092-352, short-time duty; from memory, not confirmed.
    """
    allowed = within("overheat", overheat, 1, 2)
    cold = short_time_factor(on_s, time_constant_s=time_constant_s)
    return (np.sqrt(allowed) * cold)[()]


def pue_1_3_3_factor(share_on: npt.ArrayLike, *, coefficient: npt.ArrayLike) -> Floats:
    r"""Factor on the continuous current of copper above 10 mm² in short cycles [-].

    .. math:: f = \max(1, a / \sqrt{d})

    Near to continuous duty the quotient falls below one, and the continuous current stands.

    Parameters
    ----------
    share_on : float or array
        Time on over time from start to start :math:`d`, above 0 to 1. [-]
    coefficient : float or array
        Coefficient of the rule :math:`a`. [-]

    References
    ----------
    Rules for electrical installations (PUE), Russia, 1.3.3, as republished; for cycles to 10 min
    and 4 min on. The coefficient is from memory.
    """
    share = up_to_one("share_on", share_on)
    return np.maximum(1.0, positive("coefficient", coefficient) / np.sqrt(share))[()]


# -- first-order thermal model -----------------------------------------------------------------


def time_constant_from_rating_s(
    ampacity_A: npt.ArrayLike,
    *,
    area_mm2: npt.ArrayLike,
    ambient_C: npt.ArrayLike,
    rated_C: npt.ArrayLike,
    resistivity_hot_ohm_mm2_per_m: npt.ArrayLike,
    heat_capacity_J_per_K_mm3: npt.ArrayLike,
) -> Floats:
    r"""Thermal time constant of a conductor that follows from its own ampacity [s].

    .. math:: \tau = \frac{c \, S^2 \, (T_r - T_a)}{I_z^2 \, \rho / 1000}

    At ampacity the heat made is the heat lost; that gives the loss per kelvin, and the heat held
    by the metal does the rest. Insulation holds heat too and is left out, so the time is short and
    what follows from it is on the safe side.

    Parameters
    ----------
    ampacity_A : float or array
        Ampacity :math:`I_z` in the ambient given. [A]
    area_mm2 : float or array
        Metal area :math:`S`. [mm²]
    ambient_C : float or array
        Ambient :math:`T_a`, below the rating. [°C]
    rated_C : float or array
        Temperature rating of the insulation :math:`T_r`. [°C]
    resistivity_hot_ohm_mm2_per_m : float or array
        Resistivity at the rating :math:`\rho`. [ohm mm²/m]
    heat_capacity_J_per_K_mm3 : float or array
        Heat held by the metal :math:`c`. [J/(K mm³)]

    References
    ----------
    Heat balance of a conductor with one thermal resistance and one heat capacity; physics.
    """
    rise = _rise(ambient_C, rated_C)
    held = positive("heat_capacity_J_per_K_mm3", heat_capacity_J_per_K_mm3) * rise
    rho = positive("resistivity_hot_ohm_mm2_per_m", resistivity_hot_ohm_mm2_per_m)
    density = positive("ampacity_A", ampacity_A) / positive("area_mm2", area_mm2)
    return (held / (density**2 * rho / 1000.0))[()]


def _rise(ambient_C: npt.ArrayLike, rated_C: npt.ArrayLike) -> Floats:
    ambient = within("ambient_C", ambient_C, -60, 1000)
    rise = within("rated_C", rated_C, 0, 1000) - ambient
    if np.any(rise <= 0):
        raise InputError(
            f"ambient_C: {float(ambient.max()):g} °C is not below rated_C.",
            remedy="Accepted: an ambient below the rating of the insulation.",
        )
    return rise


def _warmed(time_s: Floats, time_constant_s: npt.ArrayLike) -> Floats:
    return np.asarray(-np.expm1(-time_s / positive("time_constant_s", time_constant_s)))


def short_time_factor(
    on_s: npt.ArrayLike, *, time_constant_s: npt.ArrayLike, preload: npt.ArrayLike = 0.0
) -> Floats:
    r"""Factor on the continuous current for one spell, the metal ending at its rating [-].

    .. math:: f = \sqrt{\frac{1 - p^2 e^{-t/\tau}}{1 - e^{-t/\tau}}}

    Parameters
    ----------
    on_s : float or array
        Time on :math:`t`, above zero. [s]
    time_constant_s : float or array
        Time constant :math:`\tau`. [s]
    preload : float or array, default 0
        Steady current before, over the continuous current :math:`p`, 0 to 1; 0 is from cold. [-]

    References
    ----------
    First-order heating; physics.

    Examples
    --------
    On for one time constant, from cold:

    >>> round(float(short_time_factor(300.0, time_constant_s=300.0)), 3)
    1.258
    """
    warmed = _warmed(positive("on_s", on_s), time_constant_s)
    left = within("preload", preload, 0, 1) ** 2 * (1.0 - warmed)
    return np.sqrt((1.0 - left) / warmed)[()]


def intermittent_factor(
    on_s: npt.ArrayLike, *, cycle_s: npt.ArrayLike, time_constant_s: npt.ArrayLike
) -> Floats:
    r"""Factor on the continuous current for a spell repeated for ever [-].

    .. math:: f = \sqrt{\frac{1 - e^{-T/\tau}}{1 - e^{-t/\tau}}}

    Of cycles short beside the time constant it is one over the root of the duty.

    Parameters
    ----------
    on_s : float or array
        Time on :math:`t` in each cycle, above zero. [s]
    cycle_s : float or array
        Time from start to start :math:`T`, at least the time on. [s]
    time_constant_s : float or array
        Time constant :math:`\tau`. [s]

    References
    ----------
    First-order heating; physics.
    """
    on, cycle = positive("on_s", on_s), positive("cycle_s", cycle_s)
    if np.any(cycle < on):
        raise InputError(
            "cycle_s: shorter than on_s.", remedy="Give the time from one start to the next."
        )
    return np.sqrt(_warmed(cycle, time_constant_s) / _warmed(on, time_constant_s))[()]
