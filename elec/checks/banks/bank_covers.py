"""Whether the terminals of a bank are covered."""

from __future__ import annotations

from elec.boat.records import Bank, BoatFile
from elec.checks.presence import fitting_of, presence_finding
from elec.checks.registry import Check
from elec.finding import Finding
from elec.published import table

__all__ = ["CHECK"]

_DUTIES = "standards_duties"
_SHORT = "A tool across two terminals melts and burns: insulate tools, take rings and watches off."


def _covers(bank: Bank, _boat: BoatFile, _basis: str) -> Finding:
    return presence_finding(
        bank.covers,
        check="bank-covers",
        entry=bank,
        field="terminal covers",
        read=fitting_of(bank),
        words={
            "yes": f"The terminals of bank '{bank.id}' are covered.",
            "no": f"The terminals of bank '{bank.id}' are bare.",
            "?": f"Whether the terminals of bank '{bank.id}' are covered was not seen.",
        },
        worst="B",
        sources=[table(_DUTIES).source(duty_id="abyc_e10")],
        remedy=f"Cover the positive terminals of '{bank.id}', or close the box.",
        caution=_SHORT,
    )


CHECK = Check(
    name="bank-covers",
    judges="whether its terminals are covered",
    system="batteries and charging",
    place=352,
    of="bank",
    ask=_covers,
)
