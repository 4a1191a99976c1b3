"""Every question about cables, their protection and the network that they make."""

from __future__ import annotations

from elec.checks import interrupting, network, protection_place, runs, smallest_fault

__all__ = ["MODULES"]

MODULES = tuple(
    (module.check, module.CHECKS)
    for module in (runs, protection_place, interrupting, smallest_fault, network)
)
