"""How fast connected metals waste in salt water: bounds from what is published, or direction only.

All that the literature spreads (potentials within their bands, own rates, slopes, the oxygen that
reaches a cathode) is sampled at low discrepancy, hardest and easiest ends included.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from elec import units
from elec.calc.metals import cathodic, faraday, galvanic, seawater
from elec.calc.metals.mixed_potential import bond
from elec.calc.metals.polarisation import reactions_of
from elec.checks.metals.named_metals import Candidate, Named
from elec.errors import InputError
from elec.judge.space import spread
from elec.noted import Noted, between
from elec.published import Source, table

__all__ = [
    "Rates",
    "Span",
    "Water",
    "constant",
    "equivalent",
    "rates",
    "rates_limit",
    "typical",
    "water_of",
]

Floats = npt.NDArray[np.float64]
Span = tuple[float, float, float]
SAMPLES = 1024
_SALINITY = "salinity"
_LEAST, _MOST = 2.0, 42.0


def constant(name: str) -> tuple[float, float]:
    """Return the ends of a constant of corrosion."""
    row = table("corrosion_constants").row(name=name)
    return float(row["low"]), float(row["high"])


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
        return tuple(  # type: ignore[return-value]
            float(seawater.resistivity_ohm_m(a, temperature_C=b))
            for a, b in ((s[2], t[2]), (s[1], t[1]), (s[0], t[0]))
        )


def water_of(where: str, salinity: Noted, temperature: Noted) -> Water:
    """Return the water of a place, taking typical ranges for what was not noted.

    Raises
    ------
    InputError
        If the place is not in salt water, or a value lies outside what the formulas hold for.
    """
    if where not in ("sea", "brackish"):
        raise InputError(
            f"{where}: rates are carried for metals in salt water only.",
            remedy="Fresh water, splash and air have no published rate here.",
        )
    if not salinity.seen:
        name = "salinity of the open sea" if where == "sea" else "salinity of brackish water"
        salinity = typical(name, _SALINITY)
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
    if coldest < -2 or hottest > 35:
        raise InputError(
            f"temperature: {temperature.text or temperature.show()} lies outside -2 to 35 °C, "
            "where the formulas of seawater hold.",
            remedy="Accepted: -2 to 35 °C.",
        )
    return Water(salinity, temperature)


def typical(name: str, quantity: str) -> Noted:
    """Return a typical value of the constants, marked as not seen."""
    low, high = constant(name)
    source = f"table corrosion_constants, {name}"
    return between(low, high, quantity, origin="typical", source=source)


@dataclass(frozen=True)
class Rates:
    """What leaves each metal of a bond, low, best, high; best is the median of the samples.

    ``driven_A`` is the current that each feeds to the others (negative: it is fed); the losses
    count its own corrosion too. ``law_A`` is the cathode-limited current of a couple, the most
    that it can be. ``open`` says why no rate is carried, where it is not.
    """

    driven_A: tuple[Span, ...]
    mm_per_year: tuple[Span, ...]
    kg_per_year: tuple[Span, ...]
    bond_V: Span
    law_A: Span | None
    efficiency: tuple[Span, ...]
    open: str
    sources: tuple[Source, ...]


@dataclass(frozen=True)
class _Choices:
    """What a metal may be, one value a candidate."""

    values: dict[str, Floats]
    has_row: npt.NDArray[np.bool_]
    has_weight: npt.NDArray[np.bool_]

    def take(self, name: str, which: npt.NDArray[np.int_]) -> Floats:
        """Return a value for each sample."""
        return self.values[name][which]


def rates_limit() -> tuple[float, Source]:
    """Return the current density of a couple that passes by measurement, and where it stands."""
    limits = table("compatibility_thresholds")
    row = limits.row(rule_id="NASA_6012_I")
    density = units.to_base(float(row["limit"]), row["unit"], "current_density")
    return density, limits.source(rule_id="NASA_6012_I")


def rates(
    metals: Sequence[Named],
    *,
    areas: Sequence[Noted],
    water: Water,
    bond_ohm: Sequence[float] = (),
) -> Rates:
    """Solve metals on one bond over everything that they and the water may be.

    Parameters
    ----------
    metals : sequence of Named
        Two or more, on the galvanic series. [-]
    areas : sequence of Noted
        Bare surface of each. [m²]
    water : Water
        The water. [-]
    bond_ohm : sequence of float, default ()
        Resistance of each one's wire to the bond, none if empty. [ohm]

    Returns
    -------
    Rates
        Currents [A], losses [mm/year, kg/year], or why only the direction can be told. [-]
    """
    choices = [_choices(metal) for metal in metals]
    lacking = [f"'{m.name}'" for m, c in zip(metals, choices, strict=True) if "own" not in c.values]
    if lacking:
        return _closed(f"nothing is held on how {' and '.join(lacking)} polarises")
    draw = _draw(len(metals))
    limit = _between(water.oxygen_limit, draw["limit"])
    which = [
        np.minimum((u * len(m.found)).astype(int), len(m.found) - 1)
        for u, m in zip(draw["choice"], metals, strict=True)
    ]

    def stack(name: str) -> Floats:
        return np.stack([c.take(name, w) for c, w in zip(choices, which, strict=True)], axis=-1)

    def spread(name: str, key: str, *, ratio: bool = False) -> Floats:
        low, high, share = stack(f"{name}_low"), stack(f"{name}_high"), draw[key].T
        return np.asarray(low * (high / low) ** share if ratio else low + (high - low) * share)

    area = np.stack(
        [_between(a.span, u) for a, u in zip(areas, draw["area"], strict=True)], axis=-1
    )
    own = faraday.current_density_A_per_m2(
        spread("own", "own", ratio=True),
        equivalent_weight_g=stack("weight"),
        density_g_per_cm3=stack("density"),
    )
    efficiency = stack("efficiency")
    resistivity = _between(water.resistivity, draw["resistivity"])[:, None]
    to_water = cathodic.other_shape_resistance_ohm(resistivity, exposed_area_m2=area)
    wires = np.asarray(bond_ohm) if len(bond_ohm) else 0.0
    settled = bond(
        reactions_of(
            spread("potential", "potential"),
            own_A_per_m2=own,
            anodic_slope_V_per_decade=spread("anodic", "anodic"),
            cathodic_slope_V_per_decade=spread("cathodic", "cathodic"),
            oxygen_limit_A_per_m2=limit[:, None] * efficiency,
            film=stack("film") > 0.5,
        ),
        area_m2=area,
        resistance_ohm=draw["resistance"][:, None] * to_water + wires,
    )
    fed = settled.net_A < 0
    has_row = np.stack([c.has_row[w] for c, w in zip(choices, which, strict=True)], axis=-1)
    has_weight = np.stack([c.has_weight[w] for c, w in zip(choices, which, strict=True)], axis=-1)
    without = (fed & ~has_row).any(axis=0)
    weightless = (~fed & ~has_weight).any(axis=0)
    reasons = []
    if without.any():
        names = _names(metals, without)
        reasons.append(f"no published couple tells how much oxygen {names} uses as a cathode")
    if weightless.any():
        reasons.append(f"no equivalent weight is held for {_names(metals, weightless)}")
    dissolved = np.asarray(settled.dissolving_A)
    loss = faraday.penetration_mm_per_year(
        dissolved / area,
        equivalent_weight_g=stack("weight"),
        density_g_per_cm3=stack("density"),
    )
    mass = faraday.mass_rate_kg_per_year(dissolved, equivalent_weight_g=stack("weight"))
    return Rates(
        _spans(np.asarray(settled.net_A)),
        _spans(loss),
        _spans(mass),
        _spans(np.asarray(settled.potential_V)[:, None])[0],
        _law(settled.net_A, efficiency, areas, water) if len(metals) == 2 else None,
        _spans(efficiency),
        "; ".join(reasons),
        _sources(metals),
    )


def _closed(reason: str) -> Rates:
    return Rates((), (), (), (0.0, 0.0, 0.0), None, (), reason, ())


def _names(metals: Sequence[Named], which: npt.NDArray[np.bool_]) -> str:
    return " and ".join(f"'{m.name}'" for m, one in zip(metals, which, strict=True) if one)


def _law(net_A: Any, efficiency: Floats, areas: Sequence[Noted], water: Water) -> Span:
    """Return the cathode-limited current, the metal that is fed being the cathode."""
    cathode = int(np.argmin(np.median(np.asarray(net_A), axis=0)))
    share = _spans(efficiency)[cathode]
    return tuple(  # type: ignore[return-value]
        float(
            galvanic.cathode_limited_current_A(limit, cathode_area_m2=area, cathode_efficiency=part)
        )
        for limit, area, part in zip(water.oxygen_limit, areas[cathode].span, share, strict=True)
    )


def _spans(values: Floats) -> tuple[Span, ...]:
    return tuple(
        (float(column.min()), float(np.median(column)), float(column.max())) for column in values.T
    )


def _between(span: Span, share: Floats) -> Floats:
    return span[0] + (span[2] - span[0]) * share


def _draw(metals: int) -> dict[str, Any]:
    """Return shares 0 to 1 for every parameter; the first samples are the ends of all together."""
    each = ("potential", "own", "anodic", "cathodic", "area", "choice")
    common = ("limit", "resistivity", "resistance")
    width = len(each) * metals + len(common)
    points = spread(width, SAMPLES).T
    signs = np.array([[k >> i & 1 for i in range(width)] for k in range(64)], dtype=float)
    points = np.concatenate([points, signs, 1.0 - signs, np.full((1, width), 0.5)])
    found: dict[str, Any] = {
        name: points[:, i * metals : (i + 1) * metals].T for i, name in enumerate(each)
    }
    return found | {name: points[:, len(each) * metals + i] for i, name in enumerate(common)}


def _choices(metal: Named) -> _Choices:
    kinetics = table("metal_kinetics").rows()
    rows = {(row["family"], row["state"]): row for row in kinetics}
    columns: dict[str, list[float]] = {}
    has_row, has_weight = [], []
    for one in metal.found:
        row = rows.get((one.family, one.state or "n/a"))
        if row is None:
            return _Choices({}, np.zeros(0, dtype=bool), np.zeros(0, dtype=bool))
        weight, density, _ = equivalent(one.metal_id) or (None, None, "")
        efficiency = _efficiency(one)
        has_row.append(efficiency is not None)
        has_weight.append(weight is not None)
        for name, value in (
            ("potential_low", one.low_V),
            ("potential_high", one.high_V),
            ("own", 0.0),
            ("own_low", float(row["own_rate_low_mm_per_year"])),
            ("own_high", float(row["own_rate_high_mm_per_year"])),
            ("anodic_low", float(row["anodic_slope_low_V_per_decade"])),
            ("anodic_high", float(row["anodic_slope_high_V_per_decade"])),
            ("cathodic_low", float(row["cathodic_slope_low_V_per_decade"])),
            ("cathodic_high", float(row["cathodic_slope_high_V_per_decade"])),
            ("film", float(row["film"] == "yes")),
            # A metal without a row is drawn as using all the oxygen; if it is then fed, no rate
            # is carried. One without a weight likewise loses as iron would.
            ("efficiency", 1.0 if efficiency is None else efficiency),
            ("weight", 27.922 if weight is None else weight),
            ("density", 7.87 if density is None else density),
        ):
            columns.setdefault(name, []).append(value)
    values = {name: np.asarray(column) for name, column in columns.items()}
    return _Choices(values, np.asarray(has_row), np.asarray(has_weight))


def _efficiency(one: Candidate) -> float | None:
    rows = {r["metal_id"]: r["material_2"] for r in table("cathode_efficiency_rows").rows()}
    material = rows.get(one.metal_id)
    if material is None:
        return None
    couples = table("mil_std_889d_aluminium_couples")
    rate = couples.exact("anode_rate_um_per_year", material_2=material)
    return rate / couples.exact("anode_rate_um_per_year", material_2="platinum")


def equivalent(metal_id: str) -> tuple[float, float, str] | None:
    """Return equivalent weight [g] and density [g/cm³] of a metal, and by which row; if held."""
    row = next((r for r in table("metal_equivalents").rows() if r["metal_id"] == metal_id), None)
    if row is None:
        return None
    held = table(row["table"])
    if row["table"] == "equivalent_weights_alloys":
        keys, column = {"alloy": row["row"], "valences": row["valences"]}, "_computed"
    else:
        keys, column = {"metal": row["row"], "ion": row["valences"]}, ""
    weight = held.exact(f"equivalent_weight_g{column}", **keys)
    density = held.exact("density_g_per_cm3", **keys)
    return weight, density, f"{row['row']} as {row['valences']}"


def _sources(metals: Sequence[Named]) -> tuple[Source, ...]:
    kinetics = [
        table("metal_kinetics").source(family=c.family, state=c.state or "n/a")
        for m in metals
        for c in m.found
    ]
    weakest = max(kinetics, key=lambda s: s.provisional)
    return (
        weakest,
        table("mil_std_889d_aluminium_couples").source(),
        table("corrosion_constants").source(name="still layer over a cathode"),
        table("metal_equivalents").source(),
    )
