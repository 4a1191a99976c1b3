"""Impedance of one conductor of a cord or feeder on AC, by its size, with where it is from."""

from __future__ import annotations

from dataclasses import dataclass

from elec import units
from elec.errors import TableRangeError
from elec.finding import Step
from elec.published import Source, table

__all__ = ["Impedance", "impedance_of"]

_KFT_M = 304.8
_WARM_C = 60.0


@dataclass(frozen=True)
class Impedance:
    """Resistance and reactance of one conductor; reactance 0 where no table holds it."""

    R_ohm_per_m: float
    X_ohm_per_m: float
    words: str
    source: Source
    area_mm2: float | None = None

    def steps(self, current_A: float, length_m: float) -> list[Step]:
        """Return what stands beside the drop: the metric constant, and the copper when warm."""
        if self.area_mm2 is None:
            return []
        constants = table("resistivity_constants")
        constant = constants.exact("value", name="ISO constant")
        alpha = constants.exact("value", name="copper alpha20")
        both = 2 * current_A * length_m
        return [
            Step(
                "E(0.0164)",
                "k I L / S, L there and back",
                f"{constant:g} x {current_A:.4g} x {2 * length_m:.4g} / {self.area_mm2:g}",
                constant * both / self.area_mm2,
                "V",
                "metric formula of ISO 10133 annex C",
            ),
            Step(
                f"E{_WARM_C:g}",
                f"E (1 + alpha ({_WARM_C:g} - 20))",
                f"alpha {alpha:g} per K",
                both * self.R_ohm_per_m * (1 + alpha * (_WARM_C - 20)),
                "V",
                "annealed copper, IEC 60028",
            ),
        ]

    def notes(self) -> list[str]:
        """Return what to say of the figure."""
        if self.area_mm2 is None:
            return ["Resistance at 75 °C: cooler copper drops up to 18 % less."]
        return [
            f"Resistance at 20 °C; copper at {_WARM_C:g} °C drops 16 % more. The metric constant "
            "gives less: it is optimistic for a fine-stranded cord.",
        ]


def impedance_of(size: units.Size) -> Impedance:
    """Return the impedance of a size: AWG and kcmil at 75 °C with reactance, mm² at 20 °C.

    Refused if neither table holds the size.
    """
    if size.kind == "mm2":
        metric = table("iec60228_resistance_20C")
        number = size.label.split()[0]
        rows = [r for r in metric.rows() if float(r["area_mm2"]) == float(number)]
        if not rows:
            raise TableRangeError(
                f"{size.label} is not in table '{metric.name}'; tables are not extrapolated"
            )
        return Impedance(
            float(rows[0]["class5_plain_ohm_per_km"]) / 1000,
            0.0,
            "IEC 60228 class 5, 20 °C",
            metric.source(),
            float(number),
        )
    listed = table("nec_ch9_table9_copper")
    label = size.label if "kcmil" in size.label else size.label.split()[0]
    if label not in listed.text("size"):
        return _small(size, label)
    return Impedance(
        listed.exact("R_ohm_per_kft_pvc", size=label) / _KFT_M,
        listed.exact("X_ohm_per_kft_pvc_or_al_conduit", size=label) / _KFT_M,
        "NFPA 70-2017, chapter 9, Table 9, 75 °C",
        listed.source(),
    )


def _small(size: units.Size, label: str) -> Impedance:
    """Return the impedance of a wire too small for the AC table: its reactance is nothing."""
    listed = table("nec_ch9_table8_copper_75C")
    rows = [r for r in listed.rows() if r["size_AWG"] == label and r["stranding"] != "solid"]
    if not rows:
        raise TableRangeError(
            f"no resistance of a {size.label} conductor is held (NFPA 70-2017, chapter 9, tables 8 "
            "and 9, print none; tables are not extrapolated)"
        )
    ohms = float(rows[0]["R75_uncoated_ohm_per_kft"]) / _KFT_M
    words = "NFPA 70-2017, chapter 9, Table 8, 75 °C, stranded"
    return Impedance(ohms, 0.0, words, listed.source())
