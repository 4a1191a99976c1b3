"""The metal of a size under load: how warm it is, what it drops, and by printed resistances.

Figures are those at the hardest end of what is not settled, as of the rest of a size.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from elec import units
from elec.calc.cables import conductors
from elec.checks.cables.cable import Cable
from elec.finding import Finding
from elec.published import table

__all__ = ["HOTTER", "NO_WARMTH", "Metal", "Printed", "Resistance", "metal_of", "printed_of"]

#: Beyond this no law of the metal's warmth is followed: our choice, the temperature at which a
#: short circuit on the best common insulation is taken to end (IEC 60949).
_HOTTEST_C = 250.0
_KFT_M = 304.8
NO_WARMTH = (
    f"so far over its ampacity that the metal would pass {_HOTTEST_C:g} °C, beyond which neither "
    "its warmth nor its resistance is followed"
)
HOTTER = (
    "hotter than its insulation is rated for, and in truth hotter still: its resistance is taken "
    "as at that rating"
)


@dataclass(frozen=True)
class Metal:
    """Temperature [°C] and drop [V] of annealed copper; ``note`` says why none, or how unsure."""

    temperature_C: float | None
    drop_V: float | None
    note: str | None


@dataclass(frozen=True)
class Resistance:
    """What one make of conductor drops, by the resistance printed for it at 20 °C."""

    conductor: str
    ohm_per_km_20C: float
    drop_V: float
    drop_fraction: float


@dataclass(frozen=True)
class Printed:
    """Drops of one size by the resistances of a table, or in ``note`` why there are none."""

    size: str
    table: str | None
    edition: str | None
    conductor_temp_C: float | None
    drops: tuple[Resistance, ...]
    note: str


def metal_of(cable: Cable, heat: Finding) -> Metal:
    """Return the metal at the current that heats it."""
    run = cable.run
    given: dict[str, Any] = {"engine": 0.0 if run.engine_space.is_surely("no") else 1.0}
    if run.ambient.seen:
        given["ambient_C"] = run.ambient.span[2]
    ambient, rated = float(cable.ambient_C(given)), cable.least_rated_C()
    if heat.limit.low <= 0 or ambient >= rated:
        return Metal(
            None,
            None,
            f"its insulation of {rated:g} °C may carry nothing in {ambient:g} °C: no current of "
            "the table to reckon its warmth from",
        )
    temperature = float(
        conductors.conductor_temperature_C(
            heat.value.high, ampacity_A=heat.limit.low, ambient_C=ambient, rated_C=rated
        )
    )
    if temperature > _HOTTEST_C:
        return Metal(None, None, NO_WARMTH)
    note = HOTTER if temperature > rated * (1 + 1e-9) else None
    return Metal(temperature, _annealed_V(cable, temperature), note)


def _annealed_V(cable: Cable, temperature_C: float) -> float:
    constants = table("resistivity_constants")
    ohm = conductors.resistance_ohm(
        cable.ways * cable.length.span[2],
        area_mm2=cable.least_mm2(),
        resistivity_20C_ohm_mm2_per_m=constants.exact(
            "equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C"
        ),
        temperature_coefficient_per_K=constants.exact("value", name="copper alpha20"),
        conductor_temp_C=temperature_C,
    )
    return float(cable.load_A()[2] * ohm)


def printed_of(cable: Cable, temperature_C: float | None) -> Printed | None:
    """Return the drops of a DC run by printed resistances; of the smallest size it may be."""
    size = cable.sizes()[0]
    if not cable.direct:
        return None  # its own question takes the printed resistance, with its reactance
    if temperature_C is None:
        return Printed(size.label, None, None, None, (), "its metal is past any valid temperature")
    if size.kind == "mm2":
        return _metric(cable, size, temperature_C)
    return _gauge(cable, size, temperature_C)


def _metric(cable: Cable, size: units.Size, temperature_C: float) -> Printed:
    listed = table("iec60228_resistance_20C")
    source = listed.source()
    row = next((r for r in listed.rows() if float(r["area_mm2"]) == float(size.number)), None)
    if row is None:
        note = f"{size.label} is no area of {source.title.lower()}, {source.edition}"
        return Printed(size.label, None, None, temperature_C, (), note)
    drops = tuple(
        _drop(
            cable, f"class {number}, {words}", float(row[f"class{number}_{metal}"]), temperature_C
        )
        for number in (2, 5)
        for metal, words in (("plain_ohm_per_km", "plain"), ("tinned_ohm_per_km", "tinned"))
    )
    return Printed(
        size.label,
        source.title,
        f"IEC {source.edition}",
        temperature_C,
        drops,
        "the most that the standard allows a conductor of this area",
    )


def _gauge(cable: Cable, size: units.Size, temperature_C: float) -> Printed:
    """Return drops by the handbook table of gauges: the metric standard lists none."""
    listed = table("nec_ch9_table8_copper_75C")
    source = listed.source()
    rows = [r for r in listed.rows() if r["size_AWG"] == size.number and r["stranding"] != "solid"]
    none = "IEC 60228 lists no gauge sizes"
    if cable.wire == "sae":
        note = f"{none}; for the smaller SAE areas no table of resistances is held"
        return Printed(size.label, None, None, temperature_C, (), note)
    if size.kind != "AWG" or not rows:
        note = f"{none}, and {size.label} is not in {source.edition}, {source.clause}"
        return Printed(size.label, None, None, temperature_C, (), note)
    alpha = table("resistivity_constants").exact("value", name="copper alpha20")
    drops = tuple(
        _drop(
            cable,
            f"{rows[0]['stranding']}, {words}",
            float(rows[0][column]) / _KFT_M * 1000 / (1 + alpha * (75 - 20)),
            temperature_C,
        )
        for column, words in (
            ("R75_uncoated_ohm_per_kft", "plain"),
            ("R75_coated_ohm_per_kft", "tinned"),
        )
    )
    note = f"the nearest table, of usual values; {none} and so no most that is allowed"
    edition = f"{source.clause.replace('Chapter', 'chapter')} of {source.edition}"
    return Printed(size.label, source.title, edition, temperature_C, drops, note)


def _drop(cable: Cable, conductor: str, ohm_per_km_20C: float, temperature_C: float) -> Resistance:
    volts = float(
        conductors.drop_physical_V(
            cable.load_A()[2] / cable.parallel,
            length_one_way_m=cable.length.span[2] * cable.ways / 2,
            ohm_per_km_20C=ohm_per_km_20C,
            temperature_coefficient_per_K=table("resistivity_constants").exact(
                "value", name="copper alpha20"
            ),
            conductor_temp_C=temperature_C,
        )
    )
    return Resistance(conductor, ohm_per_km_20C, volts, volts / cable.voltage_V)
