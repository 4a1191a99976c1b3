"""The two families of tables by which a run is judged, behind one set of names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from elec import units
from elec.errors import TableRangeError
from elec.published import Source, remembered, table

__all__ = ["Basis", "basis_of"]

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Basis:
    """The ampacity table of a family: sizes, insulation columns, factors, and their sources."""

    name: Literal["us", "iso"]
    instrument: str
    ampacity_table: str
    engine_table: str
    bundle_table: str
    size_labels: tuple[str, ...]
    area_mm2: Floats
    area_cmil: Floats
    small_area_mm2: Floats
    small_area_cmil: Floats
    insulation_C: tuple[int, ...]
    ampacity_A: Floats
    engine_factor: Floats
    bundle_from: tuple[int, ...]
    bundle_factor: tuple[float, ...]
    bundle_below_50_V: bool

    def size_rows(self, size: units.Size) -> tuple[int, str]:
        """Return the row for a size as noted, and what to say if another row stands in for it.

        A size that is not listed takes the next smaller listed area, on the safe side.
        """
        kind = "AWG" if self.name == "us" else "mm2"
        label = size.label
        if size.kind == kind and label in self.size_labels:
            return self.size_labels.index(label), ""
        area = area_mm2(size)
        fits = np.flatnonzero(self.area_mm2 <= area * (1 + 1e-9))
        if fits.size == 0 or area > self.area_mm2[-1] * 1.35:
            raise TableRangeError(
                f"{label} is outside the ampacities of {self.instrument} "
                f"({self.size_labels[0]} to {self.size_labels[-1]}), which are not extrapolated"
            )
        row = int(fits[-1])
        return row, (
            f"{label} is not in the table; the ampacity of {self.size_labels[row]}, "
            "the next smaller listed, is taken."
        )

    def insulation_column(self, rating_C: float) -> tuple[int, str]:
        """Return the column for an insulation rating, the next lower one if it is not listed."""
        fits = [i for i, listed in enumerate(self.insulation_C) if listed <= rating_C + 1e-9]
        if not fits:
            raise TableRangeError(
                f"insulation rated {rating_C:g} °C is below table '{self.ampacity_table}' "
                f"(from {self.insulation_C[0]} °C)"
            )
        column = fits[-1]
        listed = self.insulation_C[column]
        if abs(listed - rating_C) < 1e-9:
            return column, ""
        return column, f"{rating_C:g} °C insulation is not listed; the {listed} °C column is taken."

    def bundle_factor_of(self, conductors: int, *, voltage_V: float) -> float:
        """Return the factor for so many current-carrying conductors together."""
        if voltage_V < 50 and not self.bundle_below_50_V:
            return 1.0
        factor = 1.0
        for first, value in zip(self.bundle_from, self.bundle_factor, strict=True):
            if conductors >= first:
                factor = value
        return factor

    def sources(self, *, column: int | None, engine: bool, bundle: bool) -> list[Source]:
        """Return the sources of an ampacity; ``column`` where one insulation rating was used."""
        found = [table(self.ampacity_table).source()]
        if engine and self.engine_table != self.bundle_table:
            rating = (
                {} if column is None else {"insulation_rating_C": str(self.insulation_C[column])}
            )
            found.append(table(self.engine_table).source(**rating))
        if bundle or (engine and self.engine_table == self.bundle_table):
            found.append(table(self.bundle_table).source())
        return found


def area_mm2(size: units.Size) -> float:
    """Return the nominal metal area of a size."""
    if size.kind == "mm2":
        return float(size.number)
    if size.kind == "kcmil":
        return units.to_base(float(size.number) * 1000, "cmil", "area")
    cmil = table("conductor_area_awg_sae").columns["size"]
    if size.number in cmil:
        area = table("conductor_area_awg_sae").exact("AWG_area_cmil_NEC_ch9_t8", size=size.number)
    else:
        area = table("awg_geometry_computed").exact("area_cmil", size_AWG=size.number)
    return units.to_base(area, "cmil", "area")


def _cmil_to_mm2(area_cmil: Floats) -> Floats:
    return area_cmil * units.to_base(1.0, "cmil", "area")


@remembered
def basis_of(name: str) -> Basis:
    """Return the basis ``us`` (33 CFR 183.425) or ``iso`` (ISO 13297)."""
    return _us() if name == "us" else _iso()


def _us() -> Basis:
    ampacity = table("cfr183_table5_ampacity")
    insulation = (60, 75, 80, 90, 105, 125, 200)
    numbers = ampacity.text("size_AWG")
    computed = table("awg_geometry_computed")
    areas = table("conductor_area_awg_sae")
    printed = dict(zip(areas.text("size"), areas.numbers("AWG_area_cmil_NEC_ch9_t8"), strict=True))
    sae = dict(zip(areas.text("size"), areas.numbers("SAE_min_area_cmil"), strict=True))
    cmil = [
        printed[n] if n in printed else computed.exact("area_cmil", size_AWG=n) for n in numbers
    ]
    # no SAE minimum was found for 3 AWG: it is left out of the ambiguous sizes by taking NaN
    small = [sae.get(n, float("nan")) for n in numbers]
    engine = table("cfr183_table5_note1_engine_space_factor")
    bundle = table("cfr183_table5_note2_bundle_factor")
    area_cmil, small_cmil = np.asarray(cmil), np.asarray(small)
    return Basis(
        name="us",
        instrument="33 CFR 183.425",
        ampacity_table=ampacity.name,
        engine_table=engine.name,
        bundle_table=bundle.name,
        size_labels=tuple(f"{n} AWG" for n in numbers),
        area_mm2=_cmil_to_mm2(area_cmil),
        area_cmil=area_cmil,
        small_area_mm2=_cmil_to_mm2(small_cmil),
        small_area_cmil=small_cmil,
        insulation_C=insulation,
        ampacity_A=np.column_stack(
            [ampacity.numbers(f"ampacity_A_at_insulation_{t}C") for t in insulation]
        ),
        engine_factor=np.asarray(
            [engine.exact("factor", insulation_rating_C=str(t)) for t in insulation]
        ),
        bundle_from=tuple(int(v) for v in bundle.numbers("conductors_min")),
        bundle_factor=tuple(float(v) for v in bundle.numbers("factor")),
        bundle_below_50_V=False,
    )


def _iso() -> Basis:
    ampacity = table("iso13297_tableA1_ampacity")
    insulation = {60: "60C", 70: "70C", 85: "85_90C", 105: "105C", 125: "125C", 200: "200C"}
    factors = table("iso13297_factors")
    rows = [r for r in factors.rows() if r["kind"] == "engine_space"]
    engine = [float(r["factor"]) if r["factor"] else 0.0 for r in rows]
    bundles = [r for r in factors.rows() if r["kind"] == "bundle"]
    numbers = ampacity.text("area_mm2")
    area = ampacity.numbers("area_mm2")
    cmil = area / units.to_base(1.0, "cmil", "area")
    return Basis(
        name="iso",
        instrument="ISO 13297:2020 Table A.1",
        ampacity_table=ampacity.name,
        engine_table=factors.name,
        bundle_table=factors.name,
        size_labels=tuple(f"{n} mm²" for n in numbers),
        area_mm2=area,
        area_cmil=cmil,
        small_area_mm2=area,
        small_area_cmil=cmil,
        insulation_C=tuple(insulation),
        ampacity_A=np.column_stack(
            [ampacity.numbers(f"ampacity_A_at_insulation_{c}") for c in insulation.values()]
        ),
        engine_factor=np.asarray(engine),
        bundle_from=tuple(int(r["key"].split("-")[0].split("+")[0].split()[0]) for r in bundles),
        bundle_factor=tuple(float(r["factor"]) for r in bundles),
        bundle_below_50_V=True,
    )
