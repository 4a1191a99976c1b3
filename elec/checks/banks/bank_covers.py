"""Whether the terminals of a bank are covered."""

from __future__ import annotations

from elec.boat.records import Bank, BoatFile
from elec.checks.banks.bank_cautions import SHORT
from elec.checks.presence import presence_finding
from elec.checks.registry import Check
from elec.finding import Finding
from elec.published import table


def _covers(bank: Bank, _boat: BoatFile, _basis: str) -> Finding:
    return presence_finding(
        bank.covers,
        entry=bank,
        field="covers",
        words={
            "yes": f"The terminals of bank '{bank.id}' are covered.",
            "no": f"The terminals of bank '{bank.id}' are bare.",
            "?": f"Whether the terminals of bank '{bank.id}' are covered was not seen.",
        },
        worst="B",
        sources=[table("standards_duties").source(duty_id="abyc_e10")],
        remedy=f"Cover the positive terminals of '{bank.id}', or close the box.",
        caution=SHORT,
    )


CHECK = Check(
    name="bank-covers",
    judges="whether its terminals are covered",
    system="batteries and charging",
    place=352,
    of="bank",
    ask=_covers,
)
