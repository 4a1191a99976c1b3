"""How fast connected metals waste in salt water: bounds from what is published, or direction only.

All that the literature spreads (potentials within their bands, own rates, slopes, the oxygen that
reaches a cathode) is sampled at low discrepancy, hardest and easiest ends included.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from elec import units
from elec.calc.metals import cathodic, faraday, galvanic
from elec.calc.metals.mixed_potential import Bond, bond
from elec.calc.metals.polarisation import reactions_of
from elec.checks.metals.corrosion_constants import Span
from elec.checks.metals.named_metals import Candidate, Named
from elec.checks.metals.salt_water import Water
from elec.judge.space import spread
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["Rates", "ends_words", "equivalent", "rates", "rates_limit"]

Floats = npt.NDArray[np.float64]
SAMPLES = 1024


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
    held = [_held(metal) for metal in metals]
    lacking = [f"'{m.name}'" for m, one in zip(metals, held, strict=True) if not one]
    if lacking:
        return _closed(f"nothing is held on how {' and '.join(lacking)} polarises")
    samples = _Samples(held)
    area = np.stack(
        [_between(a.span, u) for a, u in zip(areas, samples.draw["area"], strict=True)], axis=-1
    )
    settled = _settled(samples, area, water, bond_ohm)
    weight, density = samples.of("weight"), samples.of("density")
    dissolved = np.asarray(settled.dissolving_A)
    loss = faraday.penetration_mm_per_year(
        dissolved / area, equivalent_weight_g=weight, density_g_per_cm3=density
    )
    mass = faraday.mass_rate_kg_per_year(dissolved, equivalent_weight_g=weight)
    net_A, efficiency = np.asarray(settled.net_A), _spans(samples.of("efficiency"))
    return Rates(
        _spans(net_A),
        _spans(loss),
        _spans(mass),
        _spans(np.asarray(settled.potential_V)[:, None])[0],
        _law(net_A, efficiency, areas, water) if len(metals) == 2 else None,
        efficiency,
        _open(metals, samples, net_A < 0),
        _sources(metals),
    )


def _settled(samples: _Samples, area: Floats, water: Water, bond_ohm: Sequence[float]) -> Bond:
    """Let the metals settle at one potential, in every sample."""
    own = faraday.current_density_A_per_m2(
        samples.within("own", ratio=True),
        equivalent_weight_g=samples.of("weight"),
        density_g_per_cm3=samples.of("density"),
    )
    limit = _between(water.oxygen_limit, samples.draw["limit"])[:, None]
    resistivity = _between(water.resistivity, samples.draw["resistivity"])[:, None]
    to_water = cathodic.other_shape_resistance_ohm(resistivity, exposed_area_m2=area)
    wires = np.asarray(bond_ohm) if len(bond_ohm) else 0.0
    return bond(
        reactions_of(
            samples.within("potential"),
            own_A_per_m2=own,
            anodic_slope_V_per_decade=samples.within("anodic"),
            cathodic_slope_V_per_decade=samples.within("cathodic"),
            oxygen_limit_A_per_m2=limit * samples.of("efficiency"),
            film=samples.of("film") > 0.5,
        ),
        area_m2=area,
        resistance_ohm=samples.draw["resistance"][:, None] * to_water + wires,
    )


def _open(metals: Sequence[Named], samples: _Samples, fed: npt.NDArray[np.bool_]) -> str:
    """Say why no rate is carried, where a metal is fed or wastes of which too little is held."""
    without = np.asarray((fed & (samples.of("has_row") < 0.5)).any(axis=0))
    weightless = np.asarray((~fed & (samples.of("has_weight") < 0.5)).any(axis=0))
    reasons = []
    if without.any():
        names = _names(metals, without)
        reasons.append(f"no published couple tells how much oxygen {names} uses as a cathode")
    if weightless.any():
        reasons.append(f"no equivalent weight is held for {_names(metals, weightless)}")
    return "; ".join(reasons)


def _closed(reason: str) -> Rates:
    return Rates((), (), (), (0.0, 0.0, 0.0), None, (), reason, ())


def _names(metals: Sequence[Named], which: npt.NDArray[np.bool_]) -> str:
    return " and ".join(f"'{m.name}'" for m, one in zip(metals, which, strict=True) if one)


def _law(net_A: Floats, efficiency: Sequence[Span], areas: Sequence[Noted], water: Water) -> Span:
    """Return the cathode-limited current, the metal that is fed being the cathode."""
    cathode = int(np.argmin(np.median(net_A, axis=0)))
    low, best, high = (
        float(
            galvanic.cathode_limited_current_A(limit, cathode_area_m2=area, cathode_efficiency=part)
        )
        for limit, area, part in zip(
            water.oxygen_limit, areas[cathode].span, efficiency[cathode], strict=True
        )
    )
    return low, best, high


def _spans(values: Floats) -> tuple[Span, ...]:
    return tuple(
        (float(column.min()), float(np.median(column)), float(column.max())) for column in values.T
    )


def _between(span: Span, share: Floats) -> Floats:
    return span[0] + (span[2] - span[0]) * share


class _Samples:
    """What each metal is in each sample: one row a sample, one column a metal."""

    def __init__(self, held: Sequence[dict[str, Floats]]) -> None:
        self.draw = _draw(len(held))
        self._held = held
        kinds = [len(one["own_low"]) for one in held]
        self._which = [
            np.minimum((share * count).astype(int), count - 1)
            for share, count in zip(self.draw["choice"], kinds, strict=True)
        ]

    def of(self, name: str) -> Floats:
        """Return a value of what each metal is taken for."""
        each = zip(self._held, self._which, strict=True)
        return np.stack([one[name][which] for one, which in each], axis=-1)

    def within(self, name: str, *, ratio: bool = False) -> Floats:
        """Return values drawn evenly between their ends, or evenly by ratio."""
        low, high, share = self.of(f"{name}_low"), self.of(f"{name}_high"), self.draw[name].T
        return np.asarray(low * (high / low) ** share if ratio else low + (high - low) * share)


def _draw(metals: int) -> dict[str, Floats]:
    """Return shares 0 to 1 for every parameter; the first samples are the ends of all together."""
    each = ("potential", "own", "anodic", "cathodic", "area", "choice")
    common = ("limit", "resistivity", "resistance")
    width = len(each) * metals + len(common)
    points = spread(width, SAMPLES).T
    signs = np.array([[k >> i & 1 for i in range(width)] for k in range(64)], dtype=float)
    points = np.concatenate([points, signs, 1.0 - signs, np.full((1, width), 0.5)])
    found = {name: points[:, i * metals : (i + 1) * metals].T for i, name in enumerate(each)}
    return found | {name: points[:, len(each) * metals + i] for i, name in enumerate(common)}


def _held(metal: Named) -> dict[str, Floats]:
    """Return what is held of all that a metal may be; nothing if one of them is not held."""
    rows = {(row["family"], row["state"]): row for row in table("metal_kinetics").rows()}
    columns: dict[str, list[float]] = {}
    for one in metal.found:
        row = rows.get((one.family, one.state or "n/a"))
        if row is None:
            return {}
        weight, density, _ = equivalent(one.metal_id) or (None, None, "")
        efficiency = _efficiency(one)
        for name, value in (
            ("potential_low", one.low_V),
            ("potential_high", one.high_V),
            ("own_low", float(row["own_rate_low_mm_per_year"])),
            ("own_high", float(row["own_rate_high_mm_per_year"])),
            ("anodic_low", float(row["anodic_slope_low_V_per_decade"])),
            ("anodic_high", float(row["anodic_slope_high_V_per_decade"])),
            ("cathodic_low", float(row["cathodic_slope_low_V_per_decade"])),
            ("cathodic_high", float(row["cathodic_slope_high_V_per_decade"])),
            ("film", float(row["film"] == "yes")),
            ("has_row", float(efficiency is not None)),
            ("has_weight", float(weight is not None)),
            # A metal without a row is drawn as using all the oxygen; if it is then fed, no rate
            # is carried. One without a weight likewise loses as iron would.
            ("efficiency", 1.0 if efficiency is None else efficiency),
            ("weight", 27.922 if weight is None else weight),
            ("density", 7.87 if density is None else density),
        ):
            columns.setdefault(name, []).append(value)
    return {name: np.asarray(column) for name, column in columns.items()}


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


def ends_words(low: float, high: float, unit: str) -> str:
    """Return the bounds of a value."""
    return f"{units.plain(low, digits=3)} to {units.plain(high, digits=3)} {unit}"
