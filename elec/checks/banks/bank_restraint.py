"""Whether a bank is held fast."""

from __future__ import annotations

from elec.boat.records import Bank, BoatFile
from elec.calc.batteries import storage
from elec.checks.banks.bank_cautions import GAS
from elec.checks.presence import presence_finding
from elec.checks.registry import Check
from elec.finding import Finding, Step
from elec.published import table

_DUTIES = "standards_duties"
# Newtons of a pound-force, by definition (NIST SP 811, appendix B.8).
_NEWTON_PER_LBF = 4.4482216152605


def _restraint(bank: Bank, boat: BoatFile, basis: str) -> Finding:
    duties = table(_DUTIES)
    us = basis == "us"
    movement = "cfr183_420_movement" if us else "iso10133_movement"
    row = duties.row(duty_id=movement)
    sources = [duties.source(duty_id=movement)]
    working: list[Step] = []
    if us:
        pull = duties.row(duty_id="cfr183_420_pull")
        sources.append(duties.source(duty_id="cfr183_420_pull"))
        if bank.mass.seen and bank.mass.best:
            most = float(pull["value"]) * _NEWTON_PER_LBF
            force = storage.restraint_pull_N(bank.mass.best, weight_multiple=2.0, most_N=most)
            numbers = f"lesser of {most:.4g} N and 2 x {bank.mass.best:.4g} kg x 9.807 m/s²"
            working = [Step("F", "pull it is held against", numbers, float(force), "N")]
    limit = f"{row['value']} {row['unit']}"
    return presence_finding(
        bank.secured,
        entry=bank,
        field="secured",
        words={
            "yes": f"Bank '{bank.id}' is held fast.",
            "no": f"Bank '{bank.id}' is not held fast; {row['document']} lets it move {limit} "
            "at most.",
            "?": f"Whether bank '{bank.id}' is held fast was not seen.",
        },
        worst="A" if boat.boat.fuel.is_surely("petrol") else "B",
        sources=sources,
        remedy=f"Hold '{bank.id}' down so that it moves {limit} at most, whichever way the boat "
        "heels.",
        caution=GAS,
        working=working,
        notes=("33 CFR 183.420 binds boats with inboard petrol engines; elsewhere a yardstick.",)
        if us
        else (),
    )


CHECK = Check(
    name="bank-restraint",
    judges="whether a bank is held fast",
    system="batteries and charging",
    place=351,
    of="bank",
    ask=_restraint,
)
