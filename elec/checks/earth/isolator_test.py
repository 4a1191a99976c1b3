"""Whether a galvanic isolator was tested, and is sound."""

from __future__ import annotations

from elec.boat.records import BoatFile, Inlet
from elec.checks.earth.shore_earth import CUTS_EARTH
from elec.checks.presence import presence_finding
from elec.checks.registry import Check
from elec.finding import Finding
from elec.published import table


def _test(inlet: Inlet, _boat: BoatFile, _basis: str) -> Finding | None:
    if not inlet.isolator.is_surely("yes"):
        return None
    said = {
        "yes": "was tested: it blocks, and carries a fault",
        "no": "failed its test",
        "?": "was not tested",
    }
    # it may fail either way, and neither shows: open it cuts the earth, closed it blocks nothing
    failed = (
        "Failed open it has cut the safety earth; "
        "failed closed it lets the galvanic current pass unseen."
    )
    return presence_finding(
        inlet.isolator_tested,
        entry=inlet,
        field="isolator_tested",
        labels=("failed", "sound"),
        words={w: f"The isolator of inlet '{inlet.id}' {s}. {failed}" for w, s in said.items()},
        worst="A" if inlet.isolator_tested.is_surely("no") else "B",
        sources=[table("shore_protection_rules").source(rule_id="isolator_fail")],
        remedy="Have it tested with the shore cord out; renew it if it fails either way.",
        caution=CUTS_EARTH,
    )


CHECK = Check(
    name="isolator-test",
    judges="whether an isolator is sound",
    system="shore power",
    place=474,
    of="inlet",
    ask=_test,
)
