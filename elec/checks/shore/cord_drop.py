"""The drop along the cords of an inlet: those in line are one line, and their drops one sum."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from elec import noted, units
from elec.boat.ac_loads import AcDraw, Service, practice
from elec.boat.records import BoatFile, Cord, Inlet
from elec.calc import ac
from elec.checks.cables.impedance import Impedance, impedance_of
from elec.checks.legs.leg_load import LegLoad
from elec.checks.question import Question
from elec.checks.shore.cord_size import cords_of
from elec.checks.shore.inlet_adapter import TWO_FEEDS
from elec.checks.shore.inlet_rating import AtRating, heaviest_within
from elec.errors import TableRangeError
from elec.finding import Finding, NotChecked, Step
from elec.published import table

__all__ = ["Served", "judge_drop"]

CHECK = "cord"


@dataclass(frozen=True)
class Served:
    """A cord with the inlet it serves and what may run on it."""

    cord: Cord
    inlet: Inlet
    service: Service
    draws: Sequence[AcDraw]
    boat: BoatFile

    def load(self, question: Question, *, neutral: bool) -> tuple[LegLoad | AtRating, str]:
        """Add the heaviest that its inlet carries; return it and its words."""
        return heaviest_within(
            question, self.boat, self.inlet, self.draws, self.service, neutral=neutral
        )

    def in_line(self) -> list[Cord]:
        """Return the cords of its line; two that feed an adapter stand side by side."""
        cords = cords_of(self.inlet, self.boat)
        return [self.cord] if self.inlet.adapter.is_surely(TWO_FEEDS) and len(cords) > 1 else cords


@dataclass(frozen=True)
class _Part:
    """One cord of a line with its impedance, and the name of its length."""

    cord: Cord
    ohms: Impedance
    name: str


def _parts(cords: Sequence[Cord]) -> tuple[list[_Part], list[NotChecked]]:
    """Return the cords that were read, and what was not read of the rest."""
    parts, missing = [], []

    def miss(cord: Cord, reason: str, read: str = "") -> None:
        missing.append(NotChecked(CHECK, cord.id, reason, cord.where, read))

    for number, cord in enumerate(cords):
        if not cord.length.seen:
            miss(cord, "its length was not noted: no drop", f"the length of '{cord.id}'")
        elif cord.size.size is None:
            miss(cord, "its size was not noted: no drop", f"the size printed on '{cord.id}'")
        else:
            try:
                parts.append(_Part(cord, impedance_of(cord.size.size), f"length_{number}_m"))
            except TableRangeError as error:
                miss(cord, str(error))
    return parts, missing


def judge_drop(served: Served) -> Finding | NotChecked | None:
    """Judge the drop of the line that a cord is the first of; None for the others of it."""
    cords = served.in_line()
    parts, missing = _parts(cords)
    mine = next((item for item in missing if item.subject == served.cord.id), None)
    if mine is not None and (len(cords) == 1 or not parts):
        return mine
    if not parts or parts[0].cord is not served.cord:
        return mine
    found = _judge(served, parts, [item.subject for item in missing])
    if missing and found.verdict != "inadequate":
        read = ", ".join(f"'{part.cord.id}'" for part in parts)
        share = units.show(found.value.high, "percentage")
        reason = f"the drop of its whole line; {read} alone drops up to {share}"
        return NotChecked(CHECK, served.cord.id, reason, served.cord.where)
    return found


def _judge(served: Served, parts: Sequence[_Part], missing: Sequence[str]) -> Finding:
    service = served.service
    question = Question()
    load, words = served.load(question, neutral=True)
    for part in parts:
        question.noted(part.name, part.cord.length, entry=part.cord, field="length", worse="higher")
    _ask_power_factor(question, load, served.inlet, parts)
    limit = table("voltage_drop_limits").exact("max_drop_pct", instrument="NEC", circuit="branch")
    question.exact("limit", limit / 100)

    def drop_V(given: dict[str, Any], through: Any, which: Sequence[_Part] = parts) -> Any:
        return sum(
            ac.voltage_drop_V(
                through,
                length_one_way_m=given[part.name],
                resistance_ohm_per_m=part.ohms.R_ohm_per_m,
                reactance_ohm_per_m=part.ohms.X_ohm_per_m,
                power_factor=given["power_factor"],
                circuit="balanced split-phase leg",  # one conductor; leg and neutral are added here
            )
            for part in which
        )

    def both_A(given: dict[str, Any]) -> Any:
        return load.heaviest_A(given) + load.neutral_A(given)

    ruling = question.rule(
        lambda **given: (
            drop_V(given, both_A(given)) / service.to_neutral_V,
            given["limit"] + 0.0 * given["uneven"],
        ),
        "at most",
    )
    best = question.best_values()
    amps = float(load.heaviest_A(best))
    notes = list(dict.fromkeys(note for part in parts for note in part.ohms.notes()))
    notes += [f"'{name}' in line with it was not read, and its drop adds." for name in missing]
    feet = sum(part.cord.length.span[1] for part in parts)
    names = " and ".join(f"'{part.cord.id}'" for part in parts)
    steps: list[Step] = []
    for part in parts:
        whole_V = float(_between(service) * drop_V(best, amps, [part]))
        steps += [_between_step(part, service, amps, whole_V)]
        steps += part.ohms.steps(amps, part.cord.length.span[1])
    many = len(parts) > 1
    return question.finding(
        ruling,
        check=CHECK,
        entry=parts[0].cord,
        sense="at most",
        quantity="percentage",
        worst="C",
        statement=lambda value, limit: (
            f"{'Cords' if many else 'Cord'} {names}{' in line' if many else ''} "
            f"({units.show(feet, 'length')} one way, "
            f"{units.show(2 * feet, 'length')} of conductor) {'drop' if many else 'drops'} {value} "
            f"of {service.to_neutral_V:g} V {words}; advice on land is {limit}."
        ),
        working=[
            *steps,
            Step(
                "I + I(N)",
                "heavier leg and neutral",
                f"{amps:.4g} + {float(load.neutral_A(best)):.4g}",
                float(both_A(best)),
                "A",
            ),
            Step(
                "e",
                "(I + I(N)) L (R cos + X sin) / volts to neutral" + (", of all" if many else ""),
                "",
                float(drop_V(best, both_A(best))) / service.to_neutral_V * 100,
                "%",
            ),
        ],
        sources=[
            *dict.fromkeys(part.ohms.source for part in parts),
            table("voltage_drop_limits").source(instrument="NEC", circuit="branch"),
        ],
        remedy="A shorter cord, or {cord}, or less load at once.",
        notes=notes,
        part="drop",
    )


def _between(service: Service) -> float:
    """Return how many conductors' drop lies between the legs, all of them carrying alike."""
    return 3**0.5 if len(service.legs) == 3 else 2.0


def _between_step(part: _Part, service: Service, amps: float, whole_V: float) -> Step:
    formula, factor = {
        1: ("2 I L R, there and back", "2"),
        2: ("2 I L R, between the legs, both alike", "2"),
        3: ("√3 I L R, between the legs, all alike", "√3"),
    }[len(service.legs)]
    metres, ohms = part.cord.length.span[1], part.ohms.R_ohm_per_m * 1000
    return Step(
        "E",
        formula,
        f"{factor} x {amps:.4g} A x {metres:.4g} m x {ohms:.4g} ohm/km",
        whole_V,
        "V",
        part.ohms.words,
    )


def _ask_power_factor(
    question: Question, load: LegLoad | AtRating, inlet: Inlet, parts: Sequence[_Part]
) -> None:
    if load.heaters_only or not any(part.ohms.X_ohm_per_m for part in parts):
        question.exact("power_factor", 1.0)
        return
    low, high, source = practice("power factor not read")
    if isinstance(load, LegLoad) and not any(c.one.leads for c in load.counted):
        # that of a sum lies between those of its parts, all of them lagging
        factors = [c.one.power_factor for c in load.counted]
        low, high = min(f.span[0] for f in factors), max(f.span[2] for f in factors)
        if all(f.origin != "typical" for f in factors):
            question.noted(
                "power_factor",
                noted.between(low, high, "ratio", text="as noted"),
                entry=inlet,
                field="power factor of what runs",
                worse=None,
            )
            return
    question.noted(
        "power_factor",
        noted.between(
            low, high, "ratio", origin="typical", source=source, text="not seen", best=high
        ),
        entry=inlet,
        field="power factor of what runs",
        worse=None,
    )
