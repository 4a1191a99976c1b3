"""The inlet command: a load list against an inlet without a boat file, by the same checks."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from elec.cli.options import Brief, Family, Json, Tables, options
from elec.cli.writing import tell
from elec.errors import InputError

if TYPE_CHECKING:
    from elec.boat.records import BoatFile
    from elec.survey import Survey

__all__ = ["Asked", "judge"]

_PLACE = "the options"
#: The options that fields of the one inlet and its cord come from.
_OPTIONS = {
    "inlet 'inlet', ": "--",
    "cord 'cord', size": "--cord",
    "cord 'cord', length": "--cord-length",
    "boat, ": "--",
}


@options
class Asked:
    """Judge a load list against a shore inlet, without a boat file.

    All loads are taken to run together; the load card says which may not.
    """

    rating: Annotated[str, typer.Option(metavar="50A", help="Rating moulded on the inlet.")]
    service: Annotated[
        str, typer.Option(metavar="'120/240 V'", help="Service: its voltages and legs.")
    ]
    load: Annotated[
        list[str] | None,
        typer.Option(
            metavar="'NAME 3000W 240V'",
            help="A load: name, then W, A, VA or BTU/h, V, L1/L2/L1-L2, pf0.8, x2, always.",
        ),
    ] = None
    loads: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="A load list, one row a load.")
    ] = None
    supply: Annotated[
        str | None, typer.Option(metavar="208V", help="Voltage that the dock really gives.")
    ] = None
    area: Annotated[
        str | None, typer.Option(metavar="58m2", help="Living space it serves, for the demand.")
    ] = None
    length: Annotated[
        str | None,
        typer.Option(metavar="19.2m", help="Length of the boat, if the area is not known."),
    ] = None
    cord: Annotated[str | None, typer.Option(metavar="'6 AWG'", help="Size of the shore cord.")] = (
        None
    )
    cord_length: Annotated[
        str | None, typer.Option(metavar="50ft", help="Length of the shore cord.")
    ] = None
    basis: Annotated[Family | None, typer.Option(help="Family of tables.")] = None
    json: Json = False
    brief: Brief = False
    tables: Tables = None


def judge(asked: Asked) -> int:
    """Judge the inlet, print findings and the load card; return the exit code."""
    from elec.checks.registry import asked_by
    from elec.survey import survey

    boat = _boat(asked)
    found = survey(boat, only=asked_by("inlet"))
    if not boat.inlet[0].rating.seen:
        boat = _rated(boat)
        card = survey(boat, basis=found.basis, only=["load-card"])
        others = [item for item in found.not_checked if item.check != "load-card"]
        found = replace(found, cards=card.cards, not_checked=(*others, *card.not_checked))
    more = _sums(boat, found) if asked.json else {}
    return tell(found, json=asked.json, brief=asked.brief, more=more)


# -- reading what was typed ----------------------------------------------------------------------


def _boat(asked: Asked) -> BoatFile:
    from elec.boat.read import from_data
    from elec.cli.inlet_loads import EXAMPLE, listed, typed

    service = _service(asked.service)
    entries = [typed(text) for text in asked.load or ()] + listed(asked.loads)
    if not entries:
        raise InputError(
            "no load was given.", remedy=f"Give each as {EXAMPLE}, or a list as --loads FILE.csv."
        )
    taken: dict[str, int] = {}
    for entry in entries:
        name = entry["id"]
        taken[name] = taken.get(name, 0) + 1
        if taken[name] > 1:
            entry["id"] = f"{name} {taken[name]}"
        if "current" in entry and "volts" not in entry and (volts := _volts(service, entry)):
            entry["volts"] = volts
    inlet = {"id": "inlet", "rating": asked.rating, "service": service}
    if asked.supply is not None:
        inlet["supply"] = asked.supply
    if asked.area is not None:
        inlet["area"] = asked.area
    basis = asked.basis or ("iso" if service.startswith("230") else "us")
    about: dict[str, Any] = {"name": "One inlet", "basis": basis}
    if asked.length is not None:
        about["length"] = asked.length
    data: dict[str, Any] = {"boat": about, "inlet": [inlet], "ac_load": entries}
    if asked.cord is not None or asked.cord_length is not None:
        cord = {"id": "cord", "inlet": "inlet", "size": asked.cord or "?"}
        data["cord"] = [cord | ({"length": asked.cord_length} if asked.cord_length else {})]
    try:
        boat = from_data(data, _PLACE)
    except InputError as error:
        raise _as_typed(error) from None
    _power_known(boat)
    return boat


def _as_typed(error: InputError) -> InputError:
    """Return an error of what the options were put into, in the words of the options."""
    text = error.message.replace(f"{_PLACE}: ", "")
    text = re.sub(r"\bac_load ('[^']*'), (\w+)", lambda m: f"--load {m[1]}, {_said(m[2])}", text)
    for field, option in _OPTIONS.items():
        text = re.sub(rf"(?m)^{re.escape(field)}", option, text)
    text = text.replace(" at 'inlet'", " at the inlet")
    return InputError(text, remedy=error.remedy)


def _said(field: str) -> str:
    return field.replace("_", " ")


def _volts(service: str, entry: dict[str, Any]) -> str | None:
    """Return the volts that the legs typed with a load leave it; none if they leave two."""
    from elec.boat.ac_loads import SERVICES

    supply = SERVICES[service]
    legs = entry.get("legs")
    if len(supply.legs) == 1 or legs in supply.legs:
        return f"{supply.to_neutral_V:g} V"
    return f"{supply.between_legs_V:g} V" if legs and supply.between_legs_V else None


def _service(text: str) -> str:
    from elec.boat.spellings import service_named

    if text.strip() == "?":
        raise InputError(
            "--service: nothing can be judged without it.",
            remedy="Give the voltages moulded on the inlet, as '120/240 V' or '230 V'.",
        )
    try:
        return str(service_named(text))
    except InputError as error:
        raise InputError(f"--service: {error.message}", remedy=error.remedy) from None


def _power_known(boat: BoatFile) -> None:
    """Refuse a load of which nothing is known: here it could only be left out."""
    from elec.boat.typical import power
    from elec.cli.inlet_loads import EXAMPLE

    for load in boat.ac_load:
        if not (load.current.seen or load.apparent_power.seen) and power(load) is None:
            raise InputError(
                f"load '{load.id}': no current or power, and no typical range is held for it.",
                remedy=f"Give it as {EXAMPLE}, or name it as 'elec table typical_gear' does.",
            )


def _rated(boat: BoatFile) -> BoatFile:
    """Return the boat with the range of ratings that the findings take for one not read."""
    from elec import noted
    from elec.checks.question import Question
    from elec.checks.shore.inlet_rating import ask_rating

    (inlet,) = boat.inlet
    question = Question()
    ask_rating(question, inlet)
    (listed,) = question.typical
    rating = noted.between(
        *question.ends("rating_A"),
        "current",
        best=question.best("rating_A"),
        origin="typical",
        source=listed.source,
        text="not seen",
    )
    return boat.model_copy(update={"inlet": (inlet.model_copy(update={"rating": rating}),)})


# -- the sums beside the findings ----------------------------------------------------------------


def _sums(boat: BoatFile, found: Survey) -> dict[str, Any]:
    """Return legs, neutral, limits and sets, as the JSON document has them."""
    from elec.boat.ac_loads import SERVICES
    from elec.boat.possible import possible
    from elec.checks.legs.leg_sums import leg_sums, neutral_sums

    (inlet,) = boat.inlet
    service = SERVICES[inlet.service.word]
    low, best, high = inlet.rating.span
    share, _, _ = possible("hours-long load")
    return {
        "legs": leg_sums(boat, inlet, service),
        "neutral": neutral_sums(boat, inlet, service),
        "limits": {
            "rating": {"low": low, "best": best, "high": high, "unit": "A"},
            "hours_long": {
                "low": share * low,
                "best": share * best,
                "high": share * high,
                "unit": "A",
            },
        },
        "sets": found.cards[0] if found.cards else None,
    }
