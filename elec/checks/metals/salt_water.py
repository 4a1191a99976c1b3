"""Salt water as noted, or as it may be: its salt and warmth, and what follows from them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from elec.boat.records import BoatFile
from elec.calc.metals import seawater
from elec.checks.cannot import CannotJudge
from elec.checks.metals.corrosion_constants import Span, constant, typical
from elec.errors import InputError
from elec.noted import Noted

__all__ = ["IMMERSED", "Water", "typical_salinity", "water_at", "water_of"]

IMMERSED = ("sea", "brackish")
#: Salinity [g/kg] and temperature [°C] for which the formulas of seawater hold.
_LEAST, _MOST = 2.0, 42.0
_COLDEST, _WARMEST = -2.0, 35.0


@dataclass(frozen=True)
class Water:
    """Salt water as noted, or as it may be."""

    salinity: Noted
    temperature: Noted

    @property
    def oxygen_limit(self) -> Span:
        """Current density that oxygen can feed on a cathode that uses all of it [A/m²]."""
        layers = constant("still layer over a cathode")
        (diffusivity, _) = constant("diffusivity of oxygen in seawater")

        def limit(salinity: float, temperature: float, layer: float) -> float:
            oxygen = seawater.oxygen_saturation_mol_per_m3(salinity, temperature_C=temperature)
            return float(
                seawater.oxygen_limit_A_per_m2(
                    oxygen, diffusivity_m2_per_s=diffusivity, layer_m=layer
                )
            )

        s, t = self.salinity.span, self.temperature.span
        best = limit(s[1], t[1], float(np.sqrt(layers[0] * layers[1])))
        return limit(s[2], t[2], layers[1]), best, limit(s[0], t[0], layers[0])

    @property
    def resistivity(self) -> Span:
        """Resistivity of the water [ohm·m]."""
        s, t = self.salinity.span, self.temperature.span
        low, best, high = (
            float(seawater.resistivity_ohm_m(s[end], temperature_C=t[end])) for end in (2, 1, 0)
        )
        return low, best, high


def typical_salinity(*, brackish: bool) -> Noted:
    """Return the salinity of water in which it was not measured."""
    water = "brackish water" if brackish else "the open sea"
    return typical(f"salinity of {water}", "salinity")


def water_of(where: str, salinity: Noted, temperature: Noted) -> Water:
    """Return the water of a place, taking typical ranges for what was not noted.

    Raises
    ------
    InputError
        If the place is not in salt water, or a value lies outside what the formulas hold for.
    """
    if where not in IMMERSED:
        raise InputError(
            f"{where}: rates are carried for metals in salt water only.",
            remedy="Fresh water, splash and air have no published rate here.",
        )
    if not salinity.seen:
        salinity = typical_salinity(brackish=where == "brackish")
    if not temperature.seen:
        temperature = typical("temperature of the water", "temperature")
    low, _, high = salinity.span
    if low < _LEAST or high > _MOST:
        raise InputError(
            f"salinity: {salinity.text or salinity.show()} lies outside 2 to 42 g/kg, where the "
            "formulas of seawater hold.",
            remedy="Accepted: 2 to 42 PSU; fresher water needs its measured resistivity.",
        )
    coldest, _, hottest = temperature.span
    if coldest < _COLDEST or hottest > _WARMEST:
        raise InputError(
            f"temperature: {temperature.text or temperature.show()} lies outside -2 to 35 °C, "
            "where the formulas of seawater hold.",
            remedy="Accepted: -2 to 35 °C.",
        )
    return Water(salinity, temperature)


def water_at(where: str, boat: BoatFile) -> Water:
    """Return the water of a place aboard, for what is judged there.

    Raises
    ------
    CannotJudge
        If nothing is published for it.
    """
    try:
        return water_of(where, boat.boat.salinity, boat.boat.water_temperature)
    except InputError as error:
        raise CannotJudge(error.message.rstrip(".")) from None
