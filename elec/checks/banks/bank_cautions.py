"""What to mind in working on a bank."""

from __future__ import annotations

from elec.boat.records import Bank

__all__ = ["GAS", "LITHIUM", "SHORT", "caution_of"]

GAS = (
    "A charging battery gives off hydrogen: ventilate, no sparks, and disconnect the negative "
    "before working on it. A short through a tool can melt it."
)
LITHIUM = "Never charge lithium cells below freezing or with their management system bypassed."
SHORT = "A tool across two terminals melts and burns: insulate tools, take rings and watches off."


def caution_of(bank: Bank) -> str:
    """Return what to mind in charging or discharging a bank."""
    return LITHIUM if bank.chemistry.is_surely("lfp") else GAS
