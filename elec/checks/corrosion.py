"""Every question about metals in the water, in the order in which they are asked."""

from __future__ import annotations

from elec.checks import (
    anode_life,
    anodes,
    bonding,
    corrosion_rate,
    couples,
    isolator_block,
    readings,
    shore_path,
    shore_shift,
    terminals,
)

__all__ = ["MODULES"]

MODULES = tuple(
    (module.check, module.CHECKS)
    for module in (
        couples,
        corrosion_rate,
        anodes,
        anode_life,
        readings,
        shore_shift,
        bonding,
        shore_path,
        isolator_block,
        terminals,
    )
)
