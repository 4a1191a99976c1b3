r"""How near its source a fuse or breaker must stand: the rules' logic over distances given.

A rule allows a distance if facts about the conductor hold. Facts not noted are tried both ways, so
that the answer says "conditional" exactly where it hangs on one of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

from elec.calc._given import at_least_zero
from elec.calc.cables.sizing import HOLDS_WITHIN
from elec.errors import InputError

__all__ = ["ALLOWS", "FACTS", "Allowance", "Placement", "allowances", "place"]

#: What may be noted about the conductor from its source to the device.
FACTS = {
    "from_battery": "connected directly to a battery terminal",
    "cranking": "feeds a cranking motor",
    "charging_source": "comes from a charger, alternator or other charging source",
    "sheathed": "in a sheath or enclosure over the whole distance",
    "not_at_source": "a device at the source itself is physically impractical",
    "not_near_source": "a device within the distance for bare conductors is impractical too",
    "inside_source": "the device is inside the source",
    "self_limiting": "the source cannot exceed what the conductor carries",
    "covered_to_panel": "in a protective covering as far as the panel",
}

#: For each row of the table of placement rules: the facts under which its distance is allowed
#: (``""``), or under which any distance is (``"any"``).
ALLOWS: dict[str, tuple[tuple[str, dict[str, bool]], ...]] = {
    "cfr_0": (("", {}),),
    "cfr_7": (("", {"not_at_source": True}),),
    "cfr_40": (("", {"not_at_source": True, "not_near_source": True, "sheathed": True}),),
    "cfr_72": (("", {"from_battery": True, "cranking": False}),),
    "abyc_7": (("", {}),),
    "abyc_40": (("", {"from_battery": False, "sheathed": True}),),
    "abyc_72": (("", {"from_battery": True, "sheathed": True}),),
    "abyc_crank": (("any", {"cranking": True}),),
    "iso_200": (("", {}),),
    "iso_1800": (
        ("", {"charging_source": True}),
        ("any", {"charging_source": True, "inside_source": True}),
        ("any", {"charging_source": True, "self_limiting": True}),
    ),
    "iso_ac_500": (("", {}), ("any", {"covered_to_panel": True})),
    "iso_ac_3000": (("", {}),),
    "iso_pwc_180": (("", {}),),
    "iso_pwc_500": (("", {"sheathed": True}),),
    "iso_pwc_900": (("", {"from_battery": True}),),
}


@dataclass(frozen=True)
class Allowance:
    """``rule_id`` allows up to ``most_m`` [m] where every fact of ``when`` is as it says."""

    rule_id: str
    most_m: float
    when: Mapping[str, bool]


@dataclass(frozen=True)
class Placement:
    """The answer, the rule it rests on, and the facts not noted that it hangs on.

    ``rule_id`` is the tightest rule by which it meets, or would; blank when it fails.
    ``sure_m`` [m] is allowed whatever the facts not noted, ``most_m`` [m] if they are at their
    best; both are zero if nothing is allowed but the source itself.
    """

    verdict: Literal["meets", "fails", "conditional"]
    rule_id: str
    hangs_on: tuple[str, ...]
    sure_m: float
    most_m: float


def allowances(distances_m: Mapping[str, float]) -> tuple[Allowance, ...]:
    """Join the rules' distances, as printed, to the facts under which they hold.

    Parameters
    ----------
    distances_m : mapping
        Distance by rule, keys of ``ALLOWS``; an exempting rule may have any. [m]

    Returns
    -------
    tuple of Allowance
        All ways in which a distance is allowed. [m]
    """
    found = []
    for rule_id, most_m in distances_m.items():
        if rule_id not in ALLOWS:
            raise InputError(
                f"distances_m: no rule '{rule_id}' is known.",
                remedy=f"Accepted: {', '.join(ALLOWS)}.",
            )
        for kind, when in ALLOWS[rule_id]:
            most = float("inf") if kind == "any" else float(at_least_zero(rule_id, most_m))
            found.append(Allowance(rule_id, most, when))
    return tuple(found)


def place(
    distance_m: float, *, allowed: Sequence[Allowance], facts: Mapping[str, bool | None]
) -> Placement:
    """Judge where a device stands, trying facts not noted both ways.

    Parameters
    ----------
    distance_m : float
        Source to device, along the conductor. [m]
    allowed : sequence of Allowance
        All ways in which a distance is allowed, of one instrument. [m]
    facts : mapping
        Facts as noted, keys of ``FACTS``; not noted if left out or None. [text]

    Returns
    -------
    Placement
        ``meets`` if allowed whatever the facts not noted, ``fails`` if never. [text]

    References
    ----------
    33 CFR 183.455(b) and 183.460; ABYC E-11 (2015), as republished; ISO 10133:2000, 8.1;
    ISO 13297:2020, 12.3 and 13.2.2.

    Examples
    --------
    >>> bare_or_sheathed = allowances({"abyc_7": 0.178, "abyc_72": 1.829})
    >>> found = place(1.2, allowed=bare_or_sheathed, facts={"from_battery": True})
    >>> found.verdict, found.rule_id, found.hangs_on
    ('conditional', 'abyc_72', ('sheathed',))
    """
    distance = float(at_least_zero("distance_m", distance_m))
    if not allowed:
        raise InputError("allowed: no rule was given.", remedy="Give at least one.")
    unknown = sorted(set(facts) - set(FACTS))
    if unknown:
        raise InputError(
            f"facts: '{unknown[0]}' is not known.", remedy=f"Accepted: {', '.join(FACTS)}."
        )
    asked = {fact for way in allowed for fact in way.when}
    noted = {fact: facts[fact] for fact in asked if facts.get(fact) is not None}
    open_facts = [fact for fact in FACTS if fact in asked and fact not in noted]
    reach = {
        values: _reach(allowed, noted | dict(zip(open_facts, values, strict=True)))
        for values in product((False, True), repeat=len(open_facts))
    }
    meets = {values: distance <= most * (1 + HOLDS_WITHIN) for values, most in reach.items()}
    if all(meets.values()):
        verdict: Literal["meets", "fails", "conditional"] = "meets"
    else:
        verdict = "conditional" if any(meets.values()) else "fails"
    hangs_on = tuple(
        fact
        for i, fact in enumerate(open_facts)
        if any(meets[v] != meets[(*v[:i], not v[i], *v[i + 1 :])] for v in meets)
    )
    possible = [
        way
        for way in allowed
        if distance <= way.most_m * (1 + HOLDS_WITHIN)
        and all(noted.get(fact, value) == value for fact, value in way.when.items())
    ]
    sure = [way for way in possible if all(noted.get(f) == v for f, v in way.when.items())]
    by = min(sure or possible, key=lambda way: way.most_m, default=None)
    return Placement(
        verdict, by.rule_id if by else "", hangs_on, min(reach.values()), max(reach.values())
    )


def _reach(allowed: Sequence[Allowance], facts: Mapping[str, bool | None]) -> float:
    """Return the largest distance that any rule allows with all facts settled."""
    held = [w.most_m for w in allowed if all(facts[f] == v for f, v in w.when.items())]
    return max(held, default=0.0)
