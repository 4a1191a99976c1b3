"""Whether the metal of an anode suits the water she lies in."""

from __future__ import annotations

from typing import Any

import numpy as np

from elec.boat.records import Anode, BoatFile
from elec.checks.question import Option, Question
from elec.checks.registry import Check
from elec.finding import Finding
from elec.noted import Choice
from elec.published import table

_METALS = ("zinc", "aluminium", "magnesium")
_WATERS = ("sea", "brackish", "fresh")


def _material(anode: Anode, boat: BoatFile, _basis: str) -> Finding:
    choice, water = table("anode_choice_by_water"), boat.boat.water
    suits = {(row["material"], row["water"]): row["suits"] == "yes" for row in choice.rows()}
    held = np.asarray([[suits[m, w] for w in _WATERS] for m in _METALS], dtype=float)
    question = Question()
    question.among(
        "metal", _options(anode.material, _METALS), entry=anode, field="material", best=0.0, more=""
    )
    question.among(
        "water",
        _options(water, _WATERS),
        entry=anode,
        field="water",
        best=0.0,
        more="",
        read="the salinity of the water",
    )
    question.exact("needed", 0.5)  # suits is 1, does not suit 0

    def requirement(**given: Any) -> tuple[Any, Any]:
        metal, lies_in = (np.asarray(np.rint(given[k]), dtype=int) for k in ("metal", "water"))
        return held[metal, lies_in], given["needed"]

    why = ""
    if anode.material.seen and water.seen:
        why = choice.row(material=anode.material.word, water=water.word)["why"]
    right = [m for m in _METALS if not water.seen or suits[m, water.word]]
    what = f"of {anode.material}" if anode.material.seen else "of a metal not noted"
    where = f"{water} water" if water.seen else "water not noted"
    what_suits = ", ".join(
        f"{' or '.join(m for m in _METALS if suits[m, w])} in {w} water" for w in water.words
    )
    return question.finding(
        question.rule(requirement, "at least"),
        entry=anode,
        quantity="presence",
        worst="B",
        statement=lambda _value, _limit: (
            f"'{anode.id}' is {what}, in {where}"
            f"{f': there it {why}' if why else ''}. What suits: {what_suits}."
        ),
        sources=[choice.source()],
        remedy=f"Fit anodes of {' or '.join(right)} for the water she lies in.",
    )


def _options(choice: Choice, known: tuple[str, ...]) -> list[Option]:
    return [Option(float(known.index(word)), word) for word in choice.words]


CHECK = Check(
    name="anode-material",
    judges="whether an anode's metal suits the water",
    system="metals",
    place=422,
    of="anode",
    ask=_material,
)
