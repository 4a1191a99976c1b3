"""Whether neutral and earth are joined at each source aboard, while it feeds."""

from __future__ import annotations

from elec.boat.records import BoatFile, Generator, Inverter
from elec.checks.presence import presence_finding
from elec.checks.registry import Check
from elec.finding import Finding
from elec.noted import YES
from elec.published import table

_CAUTION = (
    "With neutral adrift a fault to earth trips nothing, and leakage protection behind this source "
    "may not work: gear that is touched may be live."
)


def _sources(boat: BoatFile) -> list[Generator | Inverter]:
    """Return every generator, and every inverter that feeds loads."""
    fed = {load.inlet for load in boat.ac_load}
    return [*boat.generator, *(one for one in boat.inverter if one.id in fed)]


def _bond(one: Generator | Inverter, boat: BoatFile, basis: str) -> Finding:
    kind = "Generator" if isinstance(one, Generator) else "Inverter"
    # a neutral that floats on purpose is safe where every breaker opens it with the line
    floats = boat.inlet and all(inlet.double_pole.is_surely("yes") for inlet in boat.inlet)
    given = YES if one.neutral_earth_bond.is_surely("no") and floats else one.neutral_earth_bond
    return presence_finding(
        given,
        entry=one,
        field="neutral_earth_bond",
        labels=("not joined", "joined"),
        words={
            "yes": f"{kind} '{one.id}' has neutral and earth joined at it while it feeds."
            if one.neutral_earth_bond.is_surely("yes")
            else f"{kind} '{one.id}' lets its neutral float, and the breakers open every pole.",
            "no": f"{kind} '{one.id}' has neutral and earth not joined at it while it feeds: a "
            "fault to earth trips nothing.",
            "?": f"Whether neutral and earth are joined at {kind.lower()} '{one.id}' while it "
            "feeds was not seen.",
        },
        worst="B",
        sources=[
            table("shore_protection_rules").source(rule_id="bond" if basis == "iso" else "bond_us")
        ],
        remedy="Join them at the source, by a switch that parts them when shore power feeds; or "
        "let the neutral float, with breakers that open every pole throughout.",
        caution=_CAUTION if given.is_surely("no") else None,
    )


CHECK = Check(
    name="source-bond",
    judges="neutral and earth joined at a generator or inverter",
    system="AC and generator",
    place=151,
    of=_sources,
    ask=_bond,
)
