"""The temperature rating that a legend printed on a cable stands for."""

from __future__ import annotations

from dataclasses import dataclass

from elec import noted
from elec.noted import Noted
from elec.published import Source, remembered, table

__all__ = ["promise_of"]


@dataclass(frozen=True)
class Promise:
    """What a legend promises: its rating, what is remarked of it, and where that is from."""

    rating: Noted
    note: str
    source: Source


@remembered
def promise_of(legend: str | None) -> Promise | None:
    """Return what a printed legend stands for, by its longest mark that is listed, or None."""
    text = (legend or "").upper().replace(" ", "")
    found: list[tuple[int, dict[str, str]]] = []
    for row in table("cable_legends").rows():
        for mark in row["legend"].replace(" or ", "/").split("/"):
            key = mark.upper().replace(" ", "")
            if row["rated_dry_C"] and len(key) >= 4 and key in text:
                found.append((len(key), row))
    if not found:
        return None
    row = max(found, key=lambda one: one[0])[1]
    low, high = float(row["rated_dry_C"]), float(row["rated_dry_high_C"] or row["rated_dry_C"])
    if row["used_at_C"]:
        low = high = float(row["used_at_C"])
    origin = "noted" if low == high else "range"
    rating = noted.between(low, high, "temperature", origin=origin, text=f"legend '{legend}'")  # type: ignore[arg-type]
    note = f"Legend '{row['legend']}': {row['kind']}" + (
        f"; {row['note']}." if row["note"] else "."
    )
    return Promise(rating, note, table("cable_legends").source(legend=row["legend"]))
