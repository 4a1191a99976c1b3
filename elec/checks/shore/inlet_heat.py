"""Heat at a shore inlet: marks, the rise of its terminals, and what a hot contact gives off."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

from elec import units
from elec.boat.possible import possible
from elec.boat.records import Inlet
from elec.calc import ac
from elec.checks.cannot import CannotJudge
from elec.checks.presence import presence_finding
from elec.checks.question import Question
from elec.checks.registry import Answer, each
from elec.finding import Finding, Step
from elec.noted import Choice, Noted
from elec.published import Table, table

__all__ = ["judge_heat", "to_read"]

_CHECK = "inlet-protection"
_SCHEME = "NETA MTS"
_CONTACT = "drop of a contact over that of a like one"
_CAUTION = (
    "Do not use this inlet. A hot contact sets fire to what is round it at a current that no "
    "breaker acts on. Pedestal breaker off, cord out at the dock first."
)


class _Beside(NamedTuple):
    """What a hot terminal is held against: its field, its column of the classes, its words."""

    field: str
    column: str
    words: str


_BESIDE = (
    _Beside("terminal_similar", "similar", "a like terminal at the same current"),
    _Beside("terminal_ambient", "ambient", "the air"),
)


def to_read(inlet: Inlet) -> str:
    """Return all that was not seen of an inlet's protection, as one thing to go back for."""
    parts: dict[str, Choice | Noted] = {
        "heat marks": inlet.heat_marks,
        "leakage button and mA": inlet.ground_fault_protection,
        "breaker poles": inlet.double_pole,
        "polarity lamp": inlet.polarity_indicator,
        "neutral-earth join": inlet.neutral_earth_bond,
        "cable to breaker": inlet.breaker_distance,
    }
    unseen = [words for words, given in parts.items() if not given.seen]
    return f"'{inlet.id}': {', '.join(unseen) or 'ratings and readings once more'}"


def judge_heat(inlet: Inlet) -> Iterator[Answer]:
    """Judge marks of heat, the drop across a contact, and each rise of temperature."""
    yield _marks(inlet)
    yield from each(_CHECK, [inlet], _drop)
    yield from each(_CHECK, [inlet], _rises)


def _contact(inlet: Inlet) -> list[Step]:
    if not (inlet.terminal_drop.seen and inlet.terminal_current.seen):
        return []
    amps, volts = inlet.terminal_current.span[1], inlet.terminal_drop.span[1]
    return [
        Step(
            "P",
            "contact heating, I V",
            f"{amps:g} x {volts:g}",
            float(ac.contact_heating_W(amps, drop_V=volts)),
            "W",
        ),
        Step(
            "R",
            "contact resistance, V / I",
            f"{volts:g} / {amps:g}",
            float(ac.contact_resistance_ohm(amps, drop_V=volts)),
            "ohm",
        ),
        *_at_rating(inlet, amps, volts / amps),
    ]


def _at_rating(inlet: Inlet, amps: float, ohms: float) -> list[Step]:
    if not inlet.rating.seen or inlet.rating.span[1] <= amps:
        return []
    full = inlet.rating.span[1]
    return [
        Step(
            "P(rating)",
            "R I², at its rating",
            f"{ohms:.3g} x {full:g}²",
            float(ac.contact_heating_W(full, drop_V=ohms * full)),
            "W",
        )
    ]


def _drop(inlet: Inlet) -> Finding | None:
    """Judge the drop across a contact against a like one: no limit in watts is published."""
    drop, like = inlet.terminal_drop, inlet.terminal_similar_drop
    if not drop.seen:
        return None
    if not (like.seen or inlet.terminal_current.seen):
        raise CannotJudge(
            f"{drop.show()} was read across its contact, with neither the current nor the drop "
            "of a like contact",
            f"the current through inlet '{inlet.id}', and the drop across its other contacts at it",
        )
    if not like.seen:
        watts, ohms = _contact(inlet)[:2]
        raise CannotJudge(
            f"its contact gives off {units.show(watts.result, 'power')} "
            f"({ohms.result * 1000:.3g} mΩ), and no limit in watts is published: it is held "
            "against a like contact, whose drop was not read",
            f"the drop across the other contacts of inlet '{inlet.id}' at the same current",
        )
    most, _, _ = possible(_CONTACT)
    question = Question()
    question.ask("drop_V", inlet, "terminal_drop", worse="higher")
    question.ask("like_V", inlet, "terminal_similar_drop", worse="lower")
    ruling = question.rule(lambda **given: (given["drop_V"], most * given["like_V"]), "at most")
    numbers = f"{most:g} x {like.span[1]:g}"
    return question.finding(
        ruling,
        entry=inlet,
        quantity="voltage",
        worst="B",
        statement=lambda value, limit: (
            f"Across the contact of inlet '{inlet.id}' {value} is lost; at most {limit} is "
            f"sound, {most:g} times that of a like contact at the same current."
        ),
        working=[
            Step("V most", f"{most:g} x like contact", numbers, most * like.span[1], "V"),
            *_contact(inlet),
        ],
        sources=[table("ac_practice").source(field=_CONTACT)],
        remedy="Take the contact apart, clean or replace it with its plug, and read it again.",
        caution=_CAUTION,
        part="contact",
    )


def _marks(inlet: Inlet) -> Finding:
    opposite = inlet.heat_marks.turned(yes="no", no="yes")
    notes = []
    if inlet.heat_marks.is_surely("yes"):
        notes.append("No breaker acts on it: the current stays below its rating.")
    return presence_finding(
        opposite,
        entry=inlet,
        field="heat_marks",
        labels=("marks are there", "none"),
        part="heat marks",
        read=to_read(inlet),
        words={
            "yes": f"No marks of heat were seen on inlet '{inlet.id}'.",
            "no": f"Inlet '{inlet.id}' has marks of heat: it has been overheated at its contacts.",
            "?": f"Inlet '{inlet.id}' was not looked at for marks of heat.",
        },
        worst="A" if inlet.heat_marks.is_surely("yes") else "B",
        sources=[table("shore_protection_rules").source(rule_id="heat_marks")],
        remedy="Replace the inlet and both halves of its plug together, with the burnt length of "
        "cable."
        if inlet.heat_marks.is_surely("yes")
        else "Look at face, pins and terminals.",
        caution=_CAUTION if inlet.heat_marks.is_surely("yes") else None,
        working=_contact(inlet),
        notes=notes,
    )


def _rises(inlet: Inlet) -> Iterator[Answer]:
    """Judge the rise of a terminal over what was read beside it."""
    if not inlet.terminal_hot.seen:
        return
    beside = [one for one in _BESIDE if getattr(inlet, one.field).seen]
    for one in beside:
        yield from each(_CHECK, [inlet], partial(_rise, over=one))
    if not beside:
        raise CannotJudge(
            f"its terminal was read at {inlet.terminal_hot.show()}, with nothing to hold that "
            "against",
            f"beside the hot terminal of inlet '{inlet.id}': the air near it, and a like terminal "
            "at the same current",
        )


def _rise(inlet: Inlet, over: _Beside) -> Finding:
    classes = table("thermal_criteria").where(scheme=_SCHEME)
    low, high = f"delta_T_{over.column}_low_C", f"delta_T_{over.column}_high_C"
    limit_K = max(float(r[high]) for r in classes.rows() if r["priority"] == "4" and r[high])
    worst_K = max(float(r[low]) for r in classes.rows() if r["priority"] == "1" and r[low])
    question = Question()
    question.ask("hot_C", inlet, "terminal_hot", worse="higher")
    question.ask("other_C", inlet, over.field, worse="lower")
    ruling = question.rule(lambda **given: (given["hot_C"] - given["other_C"], limit_K), "at most")
    # a fault warms with the square of the current: hot at a small one is hot, cool may be faulty
    if ruling.verdict in ("adequate", "marginal") and (why := _too_little(inlet)):
        raise CannotJudge(
            f"its rise over {over.words} cannot clear it: {why}",
            f"terminal temperatures of inlet '{inlet.id}' near its full load, with the current",
        )
    rise_K = float(ruling.value.best)
    major = float(ruling.value.high) > worst_K
    hottest_C, other_C = question.best("hot_C"), question.best("other_C")
    return question.finding(
        ruling,
        entry=inlet,
        quantity="temperature_difference",
        worst="A" if major else "B",
        statement=lambda value, limit: (
            f"The hottest terminal of inlet '{inlet.id}' is {value} over {over.words}: "
            f"{_class(classes, rise_K, low)}; nothing up to {limit} is a probable fault."
            + _scaled_words(inlet, classes, rise_K, low)
        ),
        working=[
            Step(
                "rise",
                f"hottest terminal - {over.words}",
                f"{hottest_C:g} - {other_C:g}",
                rise_K,
                "K",
            ),
            *_scaled(inlet, rise_K),
            *_contact(inlet),
        ],
        sources=[table("thermal_criteria").source()],
        remedy="Replace the inlet and both halves of its plug together."
        if major
        else "Take the contact apart, clean or replace it, and read it again under the same load.",
        caution=_CAUTION if major else None,
        notes=_load_notes(inlet),
        part=f"rise, {over.column}",
    )


def _scaled(inlet: Inlet, rise_K: float) -> list[Step]:
    """Return what the rise would be at the inlet's rating, as the square of the current."""
    if not (inlet.terminal_current.seen and inlet.rating.seen) or _too_little(inlet):
        return []
    read, full = inlet.terminal_current.span[1], inlet.rating.span[1]
    if full <= read or rise_K <= 0:
        return []
    return [
        Step(
            "rise(rating)",
            "rise x (rating / current)², an estimate",
            f"{rise_K:.4g} x ({full:g} / {read:g})²",
            rise_K * (full / read) ** 2,
            "K",
            "heating as the square of the current",
        )
    ]


def _scaled_words(inlet: Inlet, classes: Table, rise_K: float, low: str) -> str:
    for step in _scaled(inlet, rise_K):
        read, full = (
            units.show(one.span[1], "current") for one in (inlet.terminal_current, inlet.rating)
        )
        there = _class(classes, step.result, low)
        about = units.show(step.result, "temperature_difference", digits=2)
        return (
            f" Scaled from {read} to {full} as the square of the current, an estimate, it is about "
            f"{about}" + ("." if there == _class(classes, rise_K, low) else f": {there}.")
        )
    return ""


def _class(classes: Table, rise_K: float, low: str) -> str:
    """Return the class in words; a value between two printed bands is in the worse."""
    rows = sorted((r for r in classes.rows() if r[low]), key=lambda r: float(r[low]), reverse=True)
    for place, row in enumerate(rows):
        start = float(row[low])
        below = [float(r[low.replace("low", "high")] or 0) for r in rows[place + 1 : place + 2]]
        start = below[0] if below and below[0] else start
        if rise_K > start or (not below and rise_K >= float(row[low])):
            meaning = row["meaning"].removesuffix(" (above the value)")
            return f"class {row['priority']} of {_SCHEME}, {meaning}"
    return f"no class of {_SCHEME}"


def _too_little(inlet: Inlet) -> str:
    """Say why a cool reading says nothing, if it does not: the load was small or not noted."""
    share, _, _ = possible("least load for a thermal reading")
    if not inlet.terminal_current.seen or not inlet.rating.seen:
        return "the current during the reading was not noted"
    part = inlet.terminal_current.span[0] / inlet.rating.span[2]
    if part >= share:
        return ""
    amps = units.show(inlet.terminal_current.span[1], "current")
    return f"it was read at {amps}, below {share * 100:g} % of the rating"


def _load_notes(inlet: Inlet) -> list[str]:
    if not inlet.terminal_current.seen:
        return ["The current during the reading was not noted: at a larger one it is hotter."]
    amps = units.show(inlet.terminal_current.span[1], "current")
    return [f"Read at {amps}; hotter at more."]
