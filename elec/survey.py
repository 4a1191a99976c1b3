"""The whole survey of a boat: every check that the notes allow, the go-back list, what was not."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from elec import __version__
from elec.boat.records import BoatFile
from elec.checks.aboard.load_analysis import Analysis, load_analysis
from elec.checks.aboard.load_card import LoadCard
from elec.errors import ElecError, InputError, in_words
from elec.finding import Finding, NotChecked

__all__ = ["CHECKS", "GoBack", "Survey", "survey"]

Check = Callable[[BoatFile, str], tuple[list[Finding], list[NotChecked]]]

#: The questions asked, each with what it judges.
CHECKS = {
    "inlet-load": "each leg of an inlet against its rating, by condition",
    "inlet-demand": "demand by the method for boats; hours-long load; the largest motor",
    "load-card": "which loads may not run together, and which may",
    "leg-balance": "whether moving loads from leg to leg would ease the heavier leg",
    "inlet-path": "the link from dock to panel that limits",
    "inlet-protection": "leakage protection, main breaker, poles, polarity, bond, heat",
    "source-bond": "neutral and earth joined at a generator or inverter",
    "cord": "ampacity, protection and drop of a shore cord",
    "transformer": "rating of a shore transformer, and whether it isolates",
    "generator": "load by leg, kW, starting of the largest motor, light load",
    "inverter": "output and surge of an inverter against what it carries",
    "ignition-protection": "gear that may spark in spaces with petrol",
    "run-ampacity": "current of a run against the ampacity of its cable",
    "run-drop": "voltage drop of a DC run against what its circuit allows",
    "run-protection": "rating of a fuse or breaker against the cable it protects",
    "run-size": "size of a conductor against the least allowed",
    "protection-place": "distance of a fuse or breaker from its source",
    "interrupting": "what a fuse or breaker can break against what its bank can push",
    "smallest-fault": "whether a fuse or breaker opens on the smallest fault",
    "fault-withstand": "whether it opens before the cable is harmed",
    "network-drop": "drop of a DC load with everything else running",
    "brown-out": "what electronics see while windlass and thrusters run",
    "bank-share": "how banks in parallel share what their loads draw",
    "bank-autonomy": "how long a bank carries a condition",
    "charger-size": "charging current against the bank",
    "charger-recharge": "time to full against the time asked",
    "charger-profile": "what a charger is set to against the chemistry of its bank",
    "bank-through-time": "lowest charge of a bank through its timetable or days",
    "bank-balance": "charge put in on a day against the charge used",
    "solar": "how long a bank lasts with its panels",
    "start-reserve": "what is left for starting in a bank that carries loads as well",
    "bank-restraint": "whether a bank is held fast",
    "bank-covers": "whether its terminals are covered",
    "bank-rings": "rings on one post",
    "lithium": "what has to be aboard with a lithium bank",
    "bank-mix": "strings of different age or type in one bank",
    "bank-age": "age or tested capacity against the life of its kind",
    "bank-ventilation": "air for the gas of charging",
    "alternator": "what an alternator feeds against what it can give",
    "cranking": "cranking current against what the engine needs",
    "starter-loop": "drop of the starter's cables for each 100 A",
    "inverter-draw": "what an inverter takes from its bank at full power",
    "parasitic-drain": "how long a bank stands with everything off",
    "metal-couple": "two metals in contact, by where they are",
    "corrosion-rate": "how fast the wasting metal of a couple or bond goes",
    "stray-current": "direct current that leaves a metal into the water",
    "anode": "share of an anode gone, and how long the rest lasts",
    "anode-material": "whether an anode's metal suits the water",
    "anode-life": "how long anodes carry the surface that they protect",
    "anode-output": "current that anodes give by their shape",
    "reading": "a reference-cell reading against every published range",
    "shore-shift": "what a reading does on plugging in",
    "bonding": "resistance of a bond",
    "frequency": "a motor of 50 or 60 Hz on the other",
    "supply-resistance": "resistance from the dock, from volts read without and with a load",
    "dock-feeder": "a dock's feeder by its receptacles, where a dock was noted",
    "shore-path": "what stands in the earth of an inlet",
    "isolator-rating": "rating of an isolator against its inlet",
    "isolator-test": "whether an isolator is sound",
    "isolator-block": "what an isolator blocks against the metals it parts",
    "ac-leakage": "alternating current that leaves by another way than the cord",
    "terminal-stack": "lug, washer and stud by anodic index",
}


@dataclass(frozen=True)
class GoBack:
    """One thing to go back and read, with the findings that wait for it."""

    where: str | None
    read: str
    settles: float
    checks: tuple[str, ...]
    weight: float

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "where": self.where,
            "read": self.read,
            "settles": round(self.settles, 4),
            "findings": list(self.checks),
        }


@dataclass(frozen=True)
class Survey:
    """What a survey says."""

    boat: BoatFile
    basis: str
    findings: tuple[Finding, ...]
    go_back: tuple[GoBack, ...]
    not_checked: tuple[NotChecked, ...]
    cards: tuple[LoadCard, ...] = ()
    loads: Analysis = field(default_factory=lambda: Analysis((), (), ()))

    @property
    def exit_code(self) -> int:
        """Return 1 if anything is inadequate, else 3 if anything is open, else 0.

        Open is what is undetermined, what could not be judged for want of a reading, and a survey
        in which nothing could be judged at all.
        """
        verdicts = {finding.verdict for finding in self.findings}
        if "inadequate" in verdicts:
            return 1
        wanting = any(item.read for item in self.not_checked)
        nothing = not verdicts and not self.cards
        return 3 if "undetermined" in verdicts or wanting or nothing else 0

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON document."""
        about = self.boat.boat
        return {
            "elec": __version__,
            "boat": {
                "name": about.name,
                "place": about.place,
                "surveyed": about.surveyed.isoformat() if about.surveyed else None,
                "length": about.length.text if about.length.seen else None,
                "hull": about.hull,
                "water": about.water,
            },
            "basis": self.basis,
            "findings": [finding.as_dict() for finding in self.findings],
            "go_back": [item.as_dict() for item in self.go_back],
            "not_checked": [item.as_dict() for item in self.not_checked],
            "load_cards": [card.as_dict() for card in self.cards],
            "load_analysis": self.loads.as_dict(),
        }


def survey(boat: BoatFile, *, basis: str | None = None, only: Sequence[str] = ()) -> Survey:
    """Ask every question that the notes allow.

    Parameters
    ----------
    boat : BoatFile
        The boat as noted. [-]
    basis : str, optional
        "us" or "iso"; the boat's own if not given. [text]
    only : sequence of str, default ()
        Names of checks to ask, all if empty. [text]

    Returns
    -------
    Survey
        Findings worst first, the go-back list by place, what was not checked and why.

    Raises
    ------
    InputError
        If ``only`` names no check.
    """
    from elec.checks.aboard import (
        frequency,
        generator,
        ignition_protection,
        inverter,
        leg_balance,
        load_card,
        source_bond,
    )
    from elec.checks.banks import (
        bank_age,
        bank_autonomy,
        bank_draw,
        bank_install,
        bank_ventilation,
        cranking,
    )
    from elec.checks.cables import protection_place, runs
    from elec.checks.charging import alternator, bank_time, charger_size, chargers, solar
    from elec.checks.earth import isolator_block, shore_path, shore_shift
    from elec.checks.metals import (
        anode,
        anode_life,
        bonding,
        corrosion_rate,
        metal_couple,
        reading,
        terminal_stack,
    )
    from elec.checks.network import interrupting, network_drop, smallest_fault
    from elec.checks.shore import (
        cord,
        dock_feeder,
        inlet_demand,
        inlet_load,
        inlet_path,
        inlet_protection,
        supply_resistance,
        transformer,
    )

    chosen = basis or boat.boat.basis
    for name in only:
        if name not in CHECKS:
            near = difflib.get_close_matches(name, CHECKS, n=1, cutoff=0.4)
            hint = f" Did you mean '{near[0]}'?" if near else ""
            raise InputError(
                f"there is no check '{name}'.", remedy=f"Known: {', '.join(CHECKS)}.{hint}"
            )
    modules: tuple[tuple[Check, tuple[str, ...]], ...] = (
        (inlet_load.check, inlet_load.CHECKS),
        (inlet_demand.check, inlet_demand.CHECKS),
        (leg_balance.check, leg_balance.CHECKS),
        (inlet_path.check, inlet_path.CHECKS),
        (inlet_protection.check, inlet_protection.CHECKS),
        (source_bond.check, source_bond.CHECKS),
        (cord.check, cord.CHECKS),
        (transformer.check, transformer.CHECKS),
        (generator.check, generator.CHECKS),
        (inverter.check, inverter.CHECKS),
        (ignition_protection.check, ignition_protection.CHECKS),
        (frequency.check, frequency.CHECKS),
        (supply_resistance.check, supply_resistance.CHECKS),
        (dock_feeder.check, dock_feeder.CHECKS),
        (runs.check, runs.CHECKS),
        (protection_place.check, protection_place.CHECKS),
        (interrupting.check, interrupting.CHECKS),
        (smallest_fault.check, smallest_fault.CHECKS),
        (network_drop.check, network_drop.CHECKS),
        (bank_autonomy.check, bank_autonomy.CHECKS),
        (charger_size.check, charger_size.CHECKS),
        (chargers.check, chargers.CHECKS),
        (alternator.check, alternator.CHECKS),
        (bank_time.check, bank_time.CHECKS),
        (solar.check, solar.CHECKS),
        (bank_install.check, bank_install.CHECKS),
        (bank_age.check, bank_age.CHECKS),
        (bank_ventilation.check, bank_ventilation.CHECKS),
        (cranking.check, cranking.CHECKS),
        (bank_draw.check, bank_draw.CHECKS),
        (metal_couple.check, metal_couple.CHECKS),
        (corrosion_rate.check, corrosion_rate.CHECKS),
        (anode.check, anode.CHECKS),
        (anode_life.check, anode_life.CHECKS),
        (reading.check, reading.CHECKS),
        (shore_shift.check, shore_shift.CHECKS),
        (bonding.check, bonding.CHECKS),
        (shore_path.check, shore_path.CHECKS),
        (isolator_block.check, isolator_block.CHECKS),
        (terminal_stack.check, terminal_stack.CHECKS),
    )
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for ask, names in modules:
        if only and not set(only) & set(names):
            continue
        try:
            found, left = ask(boat, chosen)
        except ElecError as error:
            found, left = [], [_could_not(name, error) for name in names]
        findings += found
        skipped += left
    cards: list[load_card.LoadCard] = []
    if not only or load_card.CHECK in only:
        cards, without = load_card.cards(boat, chosen)
        skipped += without
    skipped = [replace(n, reason=in_words(n.reason), read=in_words(n.read)) for n in skipped]
    if only:
        findings = [f for f in findings if f.check in only]
        skipped = [n for n in skipped if n.check in only]
    return Survey(
        boat,
        chosen,
        tuple(_worst_first(findings)),
        tuple(_go_back(findings, skipped)),
        tuple(skipped),
        tuple(cards),
        Analysis((), (), ()) if only else load_analysis(boat, chosen),
    )


def _could_not(check: str, error: ElecError) -> NotChecked:
    """Return the record of a question whose arithmetic refused a value, the rest going on."""
    cause = " ".join(str(error).split())
    return NotChecked(check, "all", f"it could not be worked out: {cause}", None, cause)


def _worst_first(findings: list[Finding]) -> list[Finding]:
    order = {"A": 0, "B": 1, "C": 2, None: 3}
    verdicts = {"inadequate": 0, "undetermined": 1, "marginal": 2, "adequate": 3}
    return sorted(findings, key=lambda f: (order[f.priority], verdicts[f.verdict]))


def _go_back(findings: list[Finding], skipped: list[NotChecked]) -> list[GoBack]:
    """Gather what to read, each thing once, by place; what settles most and weighs most first."""
    weight = {"A": 3.0, "B": 2.0, "C": 1.0, None: 0.0}
    gathered: dict[tuple[str | None, str], list[tuple[float, float, str]]] = {}
    for finding in findings:
        for place, item in enumerate(finding.turns_on):
            if item.settles <= 0 and place > 0:
                continue
            key = (item.where or finding.where, item.read)
            score = weight[finding.priority] * (item.settles + 0.01 / (1 + place))
            gathered.setdefault(key, []).append(
                (score, item.settles, f"{finding.check} {finding.subject}")
            )
    for missing in skipped:
        if missing.read:
            gathered.setdefault((missing.where, missing.read), []).append(
                (2.0, 1.0, f"{missing.check} {missing.subject}")
            )
    items = [
        (
            sum(score for score, _, _ in entries),
            GoBack(
                where,
                read,
                max(s for _, s, _ in entries),
                tuple(dict.fromkeys(name for _, _, name in entries)),
                sum(score for score, _, _ in entries),
            ),
        )
        for (where, read), entries in gathered.items()
    ]
    totals: dict[str | None, float] = {}
    for score, one in items:
        totals[one.where] = totals.get(one.where, 0.0) + score
    items.sort(
        key=lambda pair: (-totals[pair[1].where], pair[1].where or "", -pair[0], pair[1].read)
    )
    return [one for _, one in items]
