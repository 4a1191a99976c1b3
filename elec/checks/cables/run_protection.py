"""The rating of a run's fuse or breaker against the ampacity of the cable it protects."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import Bank, BoatFile, Protection, Run
from elec.calc.cables import protection as rules
from elec.calc.cables.sizing import HOLDS_WITHIN
from elec.checks.cables.cable import Cable
from elec.checks.cables.run_ampacity import HOT
from elec.checks.cables.run_noted import as_noted, sure_of_size
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding, Step, Verdict
from elec.published import Source, remembered, table

__all__ = [
    "CHECK",
    "SOLD",
    "Rule",
    "feeds_cranking",
    "judge_device",
    "rule_of",
    "standard_ratings_A",
]

#: The series of ratings from which a device to fit is named.
SOLD = ("common", "NFPA 70")


@dataclass(frozen=True)
class Rule:
    """The rating rule of one instrument: most device rating from an ampacity."""

    most_A: Callable[[Any], Any]
    words: str
    source: Source


def _judge_run(cable: Cable, boat: BoatFile) -> Finding:
    run = cable.run
    device = boat.find(run.protection) if run.protection else None
    if not isinstance(device, Protection):
        raise CannotJudge(
            "no fuse or breaker was noted for it; none seen is not none needed",
            f"the fuse or breaker of '{run.id}': its rating and where it sits",
        )
    if device.device.is_surely("none"):
        return _no_device(cable, boat)
    return judge_device(cable, device)


def judge_device(cable: Cable, device: Protection) -> Finding:
    """Judge the rating of a device on a run."""
    cable.need_ampacity()
    run, basis = cable.run, cable.basis
    question = Question()
    cable.ask_size(question, area=False)
    cable.ask_insulation(question)
    cable.ask_route(question)
    _ask_rating(cable, device, question)
    rule = rule_of(cable)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["rating_A"], rule.most_A(cable.ampacity(given))

    ruling = question.rule(requirement, "at most")
    iz = float(cable.ampacity(question.best_values()))
    notes = [*cable.notes, *_opens_in_use(cable, device)]
    if basis.name == "us":
        notes += _other_rule(device, question, cable, ruling.verdict)
    else:
        notes.append(
            "The DC clause of ISO 13297 was not read; the rule of its AC clause 13.1.5 is applied."
        )
    return question.finding(
        ruling,
        check="run-protection",
        entry=run,
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"Run '{run.id}' is protected by '{device.id}' rated {value}; at most {limit} is "
            "allowed on its cable."
        ),
        working=[
            Step("Iz", "ampacity where it lies", "as under run-ampacity", iz, "A"),
            Step(
                "In max",
                rule.words,
                "",
                float(np.asarray(rule.most_A(iz))),
                "A",
                rule.source.edition,
            ),
        ],
        sources=[
            rule.source,
            *cable.ampacity_sources(question),
            *cable.legend_sources(),
        ],
        remedy=_remedy(cable, float(np.asarray(ruling.limit.low))),
        caution=HOT,
        notes=notes,
    )


@remembered
def standard_ratings_A(*instruments: str) -> tuple[float, ...]:
    """Return the listed device ratings of instruments, ascending [A]."""
    rows = table("standard_device_ratings").rows()
    listed = (r for r in rows if any(one in r["instrument"] for one in instruments))
    return tuple(sorted({float(row["rating_A"]) for row in listed}))


def _opens_in_use(cable: Cable, device: Protection) -> list[str]:
    """Say so where the device is rated less than its load for certain."""
    least_A = cable.load_A()[0]
    if not device.rating.seen or device.rating.span[2] >= least_A * (1 - HOLDS_WITHIN):
        return []
    return [
        f"The device is rated less than the {units.show(least_A, 'current')} "
        "that the run carries, and may open in use."
    ]


def _ask_rating(cable: Cable, device: Protection, question: Question) -> None:
    if device.rating.seen:
        question.ask("rating_A", device, "rating", worse="higher")
        return
    listed = sorted(set(table("standard_device_ratings").numbers("rating_A").tolist()))
    options = [Option(v, f"{v:g} A") for v in listed]
    options.append(Option(10 * listed[-1], "a larger one, or none at all"))
    question.among(
        "rating_A",
        options,
        entry=device,
        field="rating",
        worse="higher",
        best=listed[len(listed) // 2],
        source="every listed device rating, and beyond",
        read=f"the rating on the fuse or breaker of '{cable.run.id}'",
    )


def rule_of(cable: Cable) -> Rule:
    """Return the rule by which devices on a run are rated."""
    if cable.basis.name == "iso":
        return _rule("iso_ac")
    return _rule("cfr_below_50V" if cable.voltage_V < 50 else "cfr_50V_or_more")


def _rule(rule_id: str) -> Rule:
    rating_rules = table("ocpd_rating_rules")
    row = rating_rules.row(rule_id=rule_id)
    factor, source = float(row["max_factor"]), rating_rules.source(rule_id=rule_id)
    if not row["max_factor_next_size"]:
        words = "the ampacity" if factor == 1 else f"{factor:.2f} x the ampacity"
        return Rule(lambda iz: rules.greatest_device_A(iz, multiple=factor), words, source)
    cap, standard = float(row["max_factor_next_size"]), standard_ratings_A("NFPA 70")
    return Rule(
        lambda iz: rules.greatest_standard_A(iz, standard_A=standard, most_multiple=cap),
        f"the ampacity, or the next standard size up if within {cap:.2f} x",
        source,
    )


def _other_rule(
    device: Protection, question: Question, cable: Cable, verdict: Verdict
) -> list[str]:
    """Say so where the voluntary standard would turn the verdict of the regulation."""
    notes = [
        "Engine-space and bundling factors are applied before the rule's own factor, the safe side."
    ]
    if cable.voltage_V >= 50 or not device.rating.seen:
        return notes
    stricter = _rule("abyc_non_motor")
    worst = question.worst_values()
    most = float(np.asarray(stricter.most_A(cable.ampacity(worst))))
    _, _, rated = device.rating.span
    if rated > most * (1 + 1e-9) and verdict in ("adequate", "marginal"):
        shown = units.show_limit(most, "current", sense="at most")
        notes.append(
            f"{stricter.source.edition} (as republished) allows {shown} on a load that is no motor "
            f"({stricter.words}): by it this device would be inadequate."
        )
    return notes


def _remedy(cable: Cable, most_A: float) -> str | None:
    fits = [v for v in standard_ratings_A(*SOLD) if v <= most_A * (1 + 1e-9)]
    if not fits:
        return "Fit a larger cable: no listed device is small enough for this one."
    if fits[-1] < cable.load_A()[0]:
        return "Fit a larger cable: no device both carries the load and protects this one."
    shown = units.show(fits[-1], "current")
    return f"Fit a device of {shown} or less, on every ungrounded conductor."


def feeds_cranking(run: Run, boat: BoatFile) -> bool | None:
    """Whether a run is the feed of a cranking motor and of nothing else; None if it may be."""
    to = (run.end or "").casefold()
    bank = boat.find(run.start or "")
    engine = bank.starts if isinstance(bank, Bank) else None
    if run.serves:
        return False
    if engine is not None and to == engine.casefold():
        return True
    words = f"{run.id} {run.kind} {run.circuit} {to}".casefold()
    return None if any(w in words for w in ("starter", "cranking", "engine start")) else False


def _cranking(cable: Cable, boat: BoatFile) -> list[Option]:
    exempt, needed = (
        Option(0.0, "the cable of a cranking motor alone"),
        Option(1.0, "any other cable"),
    )
    alone = feeds_cranking(cable.run, boat)
    return [exempt, needed] if alone is None else [exempt if alone else needed]


def _no_device(cable: Cable, boat: BoatFile) -> Finding:
    question = Question()
    options = _cranking(cable, boat)
    question.exact("devices", 0.0)
    question.among(
        "needed",
        options,
        entry=cable.run,
        field="what it feeds",
        worse="higher",
        best=options[-1].value,
        more="",
        read=f"whether '{cable.run.id}' feeds a cranking motor and nothing else",
    )
    ruling = question.rule(lambda devices, needed: (devices, needed), "at least")
    spared = options[0].value == 0
    places = table("ocpd_placement_rules")
    return question.finding(
        ruling,
        check="run-protection",
        entry=cable.run,
        quantity="presence",
        worst="A",
        statement=lambda _value, _limit: (
            f"Run '{cable.run.id}' has no fuse or breaker"
            + (
                ": the conductors of a cranking motor need none."
                if len(options) == 1 and spared
                else ": nothing limits a fault on it."
            )
        ),
        sources=[places.source(rule_id="abyc_crank") if spared else places.source()],
        remedy="Fit a fuse or breaker at the source, within the distance that the rule allows.",
        caution=HOT,
    )


CHECK = Check(
    name="run-protection",
    judges="rating of a fuse or breaker against the cable it protects",
    system="cables and protection",
    place=243,
    of="run",
    prepare=as_noted,
    ask=sure_of_size(_judge_run),
)
