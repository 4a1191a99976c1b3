"""The drop along the cords of an inlet: those in line are one line, and their drops one sum."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from elec import noted, units
from elec.boat.ac_loads import AcDraw, Service
from elec.boat.possible import possible, typical
from elec.boat.records import BoatFile, Cord, Inlet
from elec.calc import ac
from elec.checks.cables.impedance import Impedance, impedance_of
from elec.checks.cannot import CannotJudge
from elec.checks.legs.leg_load import LegLoad
from elec.checks.question import Question, asked_for
from elec.checks.shore.cord_size import cords_of
from elec.checks.shore.inlet_adapter import TWO_FEEDS
from elec.checks.shore.inlet_rating import AtRating, heaviest_within
from elec.errors import TableRangeError
from elec.finding import Finding, Step
from elec.published import table

__all__ = ["Served", "judge_drop"]


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


def _parts(cords: Sequence[Cord]) -> tuple[list[_Part], dict[str, CannotJudge]]:
    """Return the cords that were read, and what was not read of the rest, by id."""
    parts, missing = [], {}
    for number, cord in enumerate(cords):
        size = cord.size.size
        if size is None or not cord.length.seen:
            words, read = asked_for(cord, "size" if cord.length.seen else "length")
            missing[cord.id] = CannotJudge(f"its {words} was not noted: no drop", read)
            continue
        try:
            parts.append(_Part(cord, impedance_of(size), f"length_{number}_m"))
        except TableRangeError as error:
            missing[cord.id] = CannotJudge(str(error))
    return parts, missing


def judge_drop(served: Served) -> Finding | None:
    """Judge the drop of the line that a cord is the first of; None for the others of it."""
    parts, missing = _parts(served.in_line())
    if served.cord.id in missing:
        raise missing[served.cord.id]
    if not parts or parts[0].cord is not served.cord:
        return None
    found = _judge(served, parts, list(missing))
    if missing and found.verdict != "inadequate":
        read = ", ".join(f"'{part.cord.id}'" for part in parts)
        share = units.show(found.value.high, "percentage")
        raise CannotJudge(f"the drop of its whole line; {read} alone drops up to {share}")
    return found


def _judge(served: Served, parts: Sequence[_Part], missing: Sequence[str]) -> Finding:
    service = served.service
    question = Question()
    load, words = served.load(question, neutral=True)
    for part in parts:
        question.ask(part.name, part.cord, "length", worse="higher")
    _ask_power_factor(question, load, served.inlet, parts)
    advice = table("voltage_drop_limits")
    limit = advice.exact("max_drop_pct", instrument="NEC", circuit="branch")
    question.exact("limit", limit / 100)

    def both_A(given: dict[str, Any]) -> Any:
        # what a leg carries comes back in the neutral, but for what the other leg takes of it
        return load.heaviest_A(given) + load.neutral_A(given)

    def share(given: dict[str, Any]) -> Any:
        return _drop_V(parts, given, both_A(given)) / service.to_neutral_V

    ruling = question.rule(lambda **given: (share(given), given["limit"]), "at most")
    best = question.best_values()
    formula = "(I + I(N)) L (R cos + X sin) / volts to neutral"
    formula += ", of all" if len(parts) > 1 else ""
    amps = float(load.heaviest_A(best))
    notes = list(dict.fromkeys(note for part in parts for note in part.ohms.notes()))
    notes += [f"'{name}' in line with it was not read, and its drop adds." for name in missing]
    return question.finding(
        ruling,
        entry=parts[0].cord,
        quantity="percentage",
        worst="C",
        statement=lambda value, limit: (
            f"{_line_in_words(parts)} {value} of {service.to_neutral_V:g} V {words}; advice on "
            f"land is {limit}."
        ),
        working=[
            *(step for part in parts for step in _steps(part, service, amps, best)),
            Step(
                "I + I(N)",
                "heavier leg and neutral",
                f"{amps:.4g} + {float(load.neutral_A(best)):.4g}",
                float(both_A(best)),
                "A",
            ),
            Step("e", formula, "", float(share(best)) * 100, "%"),
        ],
        sources=[
            *dict.fromkeys(part.ohms.source for part in parts),
            advice.source(instrument="NEC", circuit="branch"),
        ],
        remedy="A shorter cord, or {cord}, or less load at once.",
        notes=notes,
        part="drop",
    )


def _drop_V(parts: Sequence[_Part], given: dict[str, Any], through: Any) -> Any:
    """Return the drop of a current along one conductor of each part."""
    return sum(
        ac.voltage_drop_V(
            through,
            length_one_way_m=given[part.name],
            resistance_ohm_per_m=part.ohms.R_ohm_per_m,
            reactance_ohm_per_m=part.ohms.X_ohm_per_m,
            power_factor=given["power_factor"],
            circuit="balanced split-phase leg",  # one conductor; leg and neutral are added here
        )
        for part in parts
    )


def _line_in_words(parts: Sequence[_Part]) -> str:
    feet = sum(part.cord.length.span[1] for part in parts)
    names = " and ".join(f"'{part.cord.id}'" for part in parts)
    many = len(parts) > 1
    return (
        f"{'Cords' if many else 'Cord'} {names}{' in line' if many else ''} "
        f"({units.show(feet, 'length')} one way, {units.show(2 * feet, 'length')} of conductor) "
        f"{'drop' if many else 'drops'}"
    )


def _steps(part: _Part, service: Service, amps: float, best: dict[str, Any]) -> list[Step]:
    """Return the drop of one cord between the legs, all of them carrying alike, and its ohms."""
    formula, factor, conductors = {
        1: ("2 I L R, there and back", "2", 2.0),
        2: ("2 I L R, between the legs, both alike", "2", 2.0),
        3: ("√3 I L R, between the legs, all alike", "√3", 3**0.5),
    }[len(service.legs)]
    metres, ohms = part.cord.length.span[1], part.ohms.R_ohm_per_m * 1000
    between = Step(
        "E",
        formula,
        f"{factor} x {amps:.4g} A x {metres:.4g} m x {ohms:.4g} ohm/km",
        float(conductors * _drop_V([part], best, amps)),
        "V",
        part.ohms.words,
    )
    return [between, *part.ohms.steps(amps, metres)]


def _ask_power_factor(
    question: Question, load: LegLoad | AtRating, inlet: Inlet, parts: Sequence[_Part]
) -> None:
    if load.heaters_only or not any(part.ohms.X_ohm_per_m for part in parts):
        question.exact("power_factor", 1.0)
        return
    low, high, source = possible("power factor not read")
    factor = typical(low, high, "ratio", source, best=high)
    if isinstance(load, LegLoad) and not any(c.one.leads for c in load.counted):
        # that of a sum lies between those of its parts, all of them lagging
        factors = [c.one.power_factor for c in load.counted]
        low, high = min(f.span[0] for f in factors), max(f.span[2] for f in factors)
        factor = typical(low, high, "ratio", source, best=high)
        if all(f.origin != "typical" for f in factors):
            factor = noted.between(low, high, "ratio", text="as noted")
    words = "power factor of what runs"
    question.noted("power_factor", factor, entry=inlet, field=words, worse=None)
