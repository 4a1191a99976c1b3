"""What protects people and boat at a shore inlet: is it there, and what each absence means."""

from __future__ import annotations

from collections.abc import Sequence

from elec import units
from elec.boat.records import BoatFile, Inlet, Transformer
from elec.boat.typical import run_length
from elec.checks.heat import judge_heat, to_read
from elec.checks.presence import presence_finding
from elec.checks.question import Question
from elec.finding import Finding, NotChecked
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["CHECKS", "check"]

CHECK = "inlet-protection"
CHECKS = (CHECK,)
_CAUTION = (
    "Shore power can kill, on board and in the water round the boat; no swimming near a dock that "
    "has it. Pedestal breaker off, cord out at the dock first, before a panel is opened."
)


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask every inlet for each of its protections."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for inlet in boat.inlet:
        isolating = any(one.isolating == "yes" for one in _behind(boat, inlet))
        findings.append(_leakage(inlet, boat, basis))
        findings.append(_breaker_distance(boat, inlet, basis))
        if inlet.breaker.seen and inlet.rating.seen:
            findings.append(_breaker_rating(inlet))
        findings.append(_double_pole(inlet, basis))
        if not isolating and inlet.double_pole != "yes":
            findings.append(_polarity(inlet, basis))
        findings.append(_bond(inlet, basis))
        for answer in judge_heat(inlet):
            if isinstance(answer, Finding):
                findings.append(answer)
            else:
                skipped.append(answer)
    return findings, skipped


def _caution(noted: str) -> str | None:
    return None if noted == "?" else _CAUTION


def _behind(boat: BoatFile, inlet: Inlet) -> list[Transformer]:
    """Return the transformers behind an inlet, also that of the only inlet aboard."""
    alone = len(boat.inlet) == 1
    return [t for t in boat.transformer if t.inlet == inlet.id or (t.inlet is None and alone)]


def _rule(rule_id: str) -> Source:
    return table("shore_protection_rules").source(rule_id=rule_id)


def _figure(rule_id: str) -> float:
    row = table("shore_protection_rules").row(rule_id=rule_id)
    return float(units.to_base(float(row["value"]), row["unit"], "length"))


def _leakage(inlet: Inlet, boat: BoatFile, basis: str) -> Finding:
    """Ask for protection that trips on leakage, or an isolation transformer near the inlet."""
    limits = table("leakage_and_trip_limits")
    trip = limits.exact("limit_mA", rule_id="abyc_elci")
    time = limits.exact("trip_time_ms", rule_id="abyc_elci")
    asked = f"at most {trip:g} mA in {time:g} ms"
    near, perhaps = _stands_in(boat, inlet)
    given = inlet.ground_fault_protection
    present = "yes" if near else "?" if given == "no" and perhaps else given
    notes = []
    for one in perhaps:
        reach = units.show(_figure("leakage_exception"), "length", unit="m")
        notes.append(
            f"Transformer '{one.id}' stands in for it only if it isolates and is within {reach} "
            "(10 ft) of the inlet."
        )
    if given == "yes" and not near:
        notes.append("That it is there does not say that it trips: press its test button.")
    if basis == "iso":
        notes.append("The clause of ISO 13297 on it was not seen: the figures are those of ABYC.")
    read = to_read(inlet)
    if present == "?" and given == "no":
        read = f"whether {_named(perhaps)} isolates, and its distance from inlet '{inlet.id}'"
    return presence_finding(
        present,
        check=CHECK,
        entry=inlet,
        field="leakage protection" if given != "no" else "isolation transformer in its place",
        part="leakage",
        read=read,
        words={
            "yes": (
                f"Inlet '{inlet.id}' has an isolation transformer near it, which stands in for "
                "leakage protection."
                if near
                else f"Inlet '{inlet.id}' has protection that trips on leakage."
            ),
            "no": f"Inlet '{inlet.id}' has no protection that trips on leakage ({asked}): a fault "
            "into the water or a hand is not cut off.",
            "?": f"Whether inlet '{inlet.id}' has protection that trips on leakage ({asked}) was "
            "not seen."
            if given == "?"
            else f"Inlet '{inlet.id}' has no protection that trips on leakage ({asked}); whether "
            f"{_named(perhaps)} stands in for it is open.",
        },
        worst="A" if present == "no" else "B",
        sources=[limits.source(rule_id="abyc_elci"), _rule("leakage_exception")],
        remedy=f"Fit a main breaker that trips on leakage, {asked}, near the inlet; whether law or "
        "dock demands it differs by place and by the boat's age.",
        caution=_caution(present),
        notes=notes,
    )


def _named(transformers: Sequence[Transformer]) -> str:
    return " or ".join(f"transformer '{one.id}'" for one in transformers)


def _stands_in(boat: BoatFile, inlet: Inlet) -> tuple[bool, list[Transformer]]:
    """Return whether an isolation transformer surely stands in, and those that may."""
    most = _figure("leakage_exception") * (1 + 1e-9)
    perhaps = []
    for one in _behind(boat, inlet):
        if one.isolating == "no" or (one.distance.seen and one.distance.span[0] > most):
            continue
        if one.isolating == "yes" and one.distance.seen and one.distance.span[2] <= most:
            return True, []
        perhaps.append(one)
    return False, perhaps


def _breaker_distance(boat: BoatFile, inlet: Inlet, basis: str) -> Finding:
    rule_id = f"main_breaker_{basis}"
    question = Question()
    distance: Noted = inlet.breaker_distance
    if not distance.seen:
        distance = run_length(_LengthOf(inlet), boat.boat)  # type: ignore[arg-type]
    question.noted(
        "distance_m",
        distance,
        entry=inlet,
        field="distance of its main breaker",
        worse="higher",
        read=to_read(inlet),
    )
    question.exact("limit_m", _figure(rule_id))
    row = table("shore_protection_rules").row(rule_id=rule_id)
    ruling = question.rule(lambda **given: (given["distance_m"], given["limit_m"]), "at most")
    notes = [f"Status of the rule: {row['status']}."]
    looser = _figure("main_breaker_us")
    if basis == "iso" and ruling.verdict != "adequate" and distance.span[0] <= looser:
        notes.append(
            "The clause allows another way where that is impractical, which was not seen; by ABYC "
            f"E-11 {units.show(looser, 'length', unit='m')} (10 ft) would do."
        )
    return question.finding(
        ruling,
        check=CHECK,
        entry=inlet,
        sense="at most",
        quantity="length",
        worst="B",
        statement=lambda value, limit: (
            f"The main breaker of inlet '{inlet.id}' is {value} of cable from it; the most is "
            f"{row['value']} {row['unit']}, {limit} ({row['instrument']})."
        ),
        sources=[_rule(rule_id)],
        remedy="Fit a breaker of the inlet's rating, opening every loaded conductor, within "
        f"{units.show_limit(_figure(rule_id), 'length', sense='at most')} of the inlet.",
        caution=_caution(inlet.breaker_distance.text),
        notes=notes,
        part="distance",
    )


class _LengthOf:
    """An inlet as something whose length was not noted."""

    def __init__(self, inlet: Inlet) -> None:
        self.length = inlet.breaker_distance
        self.id = inlet.id


def _breaker_rating(inlet: Inlet) -> Finding:
    most, least = inlet.breaker.span, inlet.rating.span
    state = "yes" if most[2] <= least[0] else "no" if most[0] > least[2] else "?"
    breaker, rating = inlet.breaker.show(), inlet.rating.show()
    return presence_finding(
        state,
        check=CHECK,
        entry=inlet,
        field="main breaker against its rating",
        labels=("above it", "not above it"),
        part="breaker",
        read=f"the ratings of inlet '{inlet.id}' and of its main breaker",
        words={
            "yes": f"The main breaker of inlet '{inlet.id}' ({breaker}) is not above its rating "
            f"({rating}).",
            "no": f"The main breaker of inlet '{inlet.id}' is {breaker}, above its rating of "
            f"{rating}: it lets the inlet be overloaded.",
            "?": f"Whether the main breaker ({breaker}) of inlet '{inlet.id}' is within its "
            f"rating ({rating}) is open.",
        },
        worst="A",
        sources=[table("shore_services").source()],
        remedy=f"Fit a main breaker of {rating} or less.",
        caution=_caution(state),
    )


def _double_pole(inlet: Inlet, basis: str) -> Finding:
    unpolarised = inlet.service.startswith("230")
    what = "every loaded conductor (both poles)"
    return presence_finding(
        inlet.double_pole,
        check=CHECK,
        entry=inlet,
        field="breakers of all poles",
        part="poles",
        read=to_read(inlet),
        words={
            "yes": f"The breakers of inlet '{inlet.id}' open {what}.",
            "no": f"The breakers of inlet '{inlet.id}' do not open {what}: with line and neutral "
            "crossed at the dock, switched-off gear stays live.",
            "?": f"Whether the breakers of inlet '{inlet.id}' open {what} was not seen.",
        },
        worst="A" if inlet.double_pole == "no" and unpolarised else "B",
        sources=[_rule(f"double_pole_{basis}")],
        remedy="Fit a main breaker that opens every loaded conductor together.",
        caution=_caution(inlet.double_pole),
    )


def _polarity(inlet: Inlet, basis: str) -> Finding:
    return presence_finding(
        inlet.polarity_indicator,
        check=CHECK,
        entry=inlet,
        field="polarity indicator",
        part="polarity",
        read=to_read(inlet),
        words={
            "yes": f"Inlet '{inlet.id}' has a polarity indicator.",
            "no": f"Inlet '{inlet.id}' has no polarity indicator, and its branch breakers may open "
            "one conductor only.",
            "?": f"Whether inlet '{inlet.id}' has a polarity indicator was not seen.",
        },
        worst="B",
        sources=[_rule(f"polarity_{basis}")],
        remedy="Fit an indicator ahead of the main breaker, or breakers of all poles throughout, "
        "or an isolation transformer, behind which none is needed.",
        caution=_caution(inlet.polarity_indicator),
    )


def _bond(inlet: Inlet, basis: str) -> Finding:
    opposite = {"yes": "no", "no": "yes", "?": "?"}[inlet.neutral_earth_bond]
    return presence_finding(
        opposite,
        check=CHECK,
        entry=inlet,
        field="neutral and earth on shore power",
        labels=("joined aboard", "not joined aboard"),
        part="bond",
        read=to_read(inlet),
        words={
            "yes": f"On shore power by inlet '{inlet.id}', neutral and earth are not joined "
            "aboard.",
            "no": f"Neutral and earth are joined aboard on shore power by inlet '{inlet.id}': load "
            "current returns by the earth wire and the water.",
            "?": f"Whether neutral and earth are joined aboard on shore power by inlet "
            f"'{inlet.id}' was not seen.",
        },
        worst="A" if inlet.neutral_earth_bond == "yes" else "B",
        sources=[_rule("bond" if basis == "iso" else "bond_us")],
        remedy="Take the join out: the shore neutral is earthed ashore. Generator, inverter and "
        "isolation transformer carry their own, at that source, and it must switch with them.",
        caution=_caution(inlet.neutral_earth_bond),
    )
