"""What comes back in the neutral of an inlet, against what its pin, cord and feeder carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from elec import noted, units
from elec.boat.ac_loads import SERVICES, AcDraw, Service, runs
from elec.boat.records import BoatFile, Inlet
from elec.checks.legs.dock_volts import systems
from elec.checks.legs.leg_sums import neutral_of
from elec.checks.legs.running import conditions_ashore, draws_of, in_words, named
from elec.checks.question import Question
from elec.checks.shore.inlet_rating import load_on
from elec.finding import Finding, Step
from elec.published import table

__all__ = ["judge_neutral"]

#: Links that have a neutral conductor; a breaker may have none.
_CARRY = ("inlet", "cord", "cable")
_SLACK = 1 + 1e-9


def judge_neutral(
    boat: BoatFile, inlet: Inlet, links: Sequence[tuple[str, float, float]]
) -> list[Finding]:
    """Return the conditions under which a neutral is, or may be, above the least of its links.

    Nothing where no leg carries less: what the legs are judged by then holds for the neutral.
    """
    service = SERVICES[inlet.service.word]
    draws = draws_of(boat, inlet, service)
    carry = [link for link in links if link[0].startswith(_CARRY)]
    if len(service.legs) < 2 or not carry:
        return []
    found = []
    for conditions in conditions_ashore(boat, draws):
        if conditions and (one := _judge(inlet, service, draws, conditions, carry)) is not None:
            found.append(one)
    return found


def _judge(
    inlet: Inlet,
    service: Service,
    draws: Sequence[AcDraw],
    conditions: tuple[str, ...],
    links: Sequence[tuple[str, float, float]],
) -> Finding | None:
    states = [(one, runs(one.load, conditions[0])) for one in draws]
    on = [one if sure else replace(one, perhaps=True) for one, sure in states if sure is not False]
    spans = [neutral_of(on, service, inlet.supply, s) for s in systems(service, inlet.supply)]
    low = min(span[0] for span in spans)
    best = max(span[1] for span in spans)
    high = max(span[2] for span in spans)
    name, least, most = min(links, key=lambda link: link[1])
    if high <= least * _SLACK or high <= _heaviest_A(inlet, service, draws, conditions) * _SLACK:
        return None
    most = max(least, min(link[2] for link in links))
    question = Question()
    question.noted(
        "neutral_A",
        noted.between(low, high, "current", best=min(max(best, low), high), text="by its loads"),
        entry=inlet,
        field="current in its neutral",
        worse="higher",
        read=f"legs, power factors and third harmonics of the loads to neutral on '{inlet.id}'",
    )
    limit = noted.between(least, most, "current", text="as read")
    question.noted("limit_A", limit, entry=inlet, field=name, worse="lower")
    ruling = question.rule(lambda **given: (given["neutral_A"], given["limit_A"]), "at most")
    if ruling.verdict not in ("inadequate", "undetermined"):
        return None
    keep = units.show_limit(least, "current", sense="at most")
    return question.finding(
        ruling,
        entry=inlet,
        quantity="current",
        worst="A" if ruling.verdict == "inadequate" else "B",
        statement=lambda value, limit: (
            f"The neutral of inlet '{inlet.id}' {in_words(conditions)} carries {value}; {name} "
            f"carries {limit} a conductor."
        ),
        working=[
            Step("I(N) least", "phasor sum and third harmonics", "", low, "A", "circuit theory"),
            Step("I(N) most", "phasor sum and third harmonics", "", high, "A", "circuit theory"),
        ],
        sources=[table("shore_services").source()],
        remedy=f"Run less of the electronic loads to neutral at once: {keep} in it at most.",
        caution="No breaker watches the neutral: it can burn at a current that trips nothing.",
        notes=["Third harmonics add up in the neutral; those that were not noted are not in it."],
        part=f"neutral {named(conditions)}",
    )


def _heaviest_A(
    inlet: Inlet, service: Service, draws: Sequence[AcDraw], conditions: tuple[str, ...]
) -> float:
    question = Question()
    load = load_on(question, inlet, service, draws, conditions)
    return float(load.heaviest_A(question.worst_values()))
