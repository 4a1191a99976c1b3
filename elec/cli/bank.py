"""The bank command: one bank without a boat file, by the same records and the same checks."""

from __future__ import annotations

import datetime
import math
import re
import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from elec.cli.options import Brief, Json, Tables, among, options, read
from elec.cli.writing import tell
from elec.errors import InputError

if TYPE_CHECKING:
    from elec.boat.records import BoatFile
    from elec.noted import Noted

__all__ = ["Asked", "judge"]

#: What is asked of one bank; the charger's questions only where there is one.
_CHEMISTRIES = ("flooded", "gel", "agm", "lfp", "?")
#: Hours on the charger that the figure shows.
_CHARGING_H = 12.0


@options
class Asked:
    """Judge one bank: how long it carries its loads, and whether its charger brings it back.

    Every value may be exact ('490 Ah'), a range ('10..12 A'), about ('~11 A'), or ?.
    """

    capacity: Annotated[
        str, typer.Option(help="Rated capacity of one string, as '490 Ah'; ? if not seen.")
    ]
    volts: Annotated[str, typer.Option(help="Nominal voltage, as '24 V'.")]
    chemistry: Annotated[str, typer.Option(help="flooded, gel, agm or lfp; ? if not seen.")] = "?"
    rate: Annotated[str | None, typer.Option(help="Hour rate of the capacity, as '20 h'.")] = None
    strings: Annotated[int, typer.Option(min=1, max=100, help="Strings in parallel.")] = 1
    year: Annotated[
        str | None, typer.Option(help="Year made, as '2019', '2014..2016' or '2005 or 2015'.")
    ] = None
    remaining: Annotated[
        str | None, typer.Option(help="Capacity left if it was tested, as '80 %'.")
    ] = None
    usable: Annotated[
        str | None, typer.Option(help="Share to be used, as '50 %'; by chemistry if not given.")
    ] = None
    temperature: Annotated[str | None, typer.Option(help="Coldest battery, as '10 C'.")] = None
    load: Annotated[
        list[str] | None, typer.Option(help="Average current day and night, as '11.3 A'.")
    ] = None
    daily: Annotated[
        list[str] | None, typer.Option(help="A use of the day, as 'lights 160 Wh'; repeatable.")
    ] = None
    autonomy: Annotated[
        str | None, typer.Option(help="Time it is to carry the loads; 24 h if not given.")
    ] = None
    charger: Annotated[str | None, typer.Option(help="Current of its charger, as '100 A'.")] = None
    profile: Annotated[
        str | None, typer.Option(help="Battery type that the charger is set to.")
    ] = None
    recharge: Annotated[str | None, typer.Option(help="Recharge time wanted, as '10 h'.")] = None
    charge_return: Annotated[
        str | None, typer.Option(help="Charge put back over charge taken, as '115 %'.")
    ] = None
    charge_limit: Annotated[
        str | None, typer.Option(help="Most that the battery's maker lets in, as '60 A'.")
    ] = None
    json: Json = False
    brief: Brief = False
    tables: Tables = None


def judge(asked: Asked) -> int:
    """Judge the bank, print findings and figure; return the exit code."""
    from elec.checks.registry import asked_by
    from elec.survey import survey

    boat = _boat(asked)
    given = {"charger-profile": asked.profile, "charger-size": asked.charger}
    found = survey(boat, only=[name for name in asked_by("bank") if given.get(name, True)])
    course = _course(boat)
    return tell(
        found,
        json=asked.json,
        brief=asked.brief,
        more={"state_of_charge": course},
        after=_figure(course) if course and not asked.json else "",
    )


def _boat(asked: Asked) -> BoatFile:
    from pydantic import ValidationError

    from elec.boat.cross_bounds import senseless
    from elec.boat.records import BoatFile

    bank = {
        "id": "bank",
        "capacity": read("capacity", asked.capacity, "charge"),
        "voltage": read("volts", asked.volts, "voltage"),
        "chemistry": among("chemistry", asked.chemistry, _CHEMISTRIES),
        "rate": read("rate", asked.rate, "duration"),
        "in_parallel": asked.strings,
        "remaining": read("remaining", asked.remaining, "fraction"),
        "usable": read("usable", asked.usable, "fraction"),
        "temperature": read("temperature", asked.temperature, "temperature"),
        "autonomy": read("autonomy", asked.autonomy, "duration"),
        "charge_return": read("charge-return", asked.charge_return, "percentage"),
        "charge_limit": read("charge-limit", asked.charge_limit, "current"),
    }
    if asked.year is not None:
        bank["year"] = int(asked.year) if asked.year.isdigit() else asked.year
    about: dict[str, Any] = {"name": "One bank"}
    today = datetime.date.today()
    if asked.year is not None:  # only an age needs to know what day it is
        about["surveyed"] = today
    data: dict[str, Any] = {
        "boat": about,
        "bank": [bank],
        "dc_load": _loads(asked),
    }
    if asked.charger is not None:
        data["charger"] = [
            {
                "id": "charger",
                "bank": "bank",
                "current": read("charger", asked.charger, "current"),
                "profile": among("profile", asked.profile or "?", _CHEMISTRIES),
                "recharge": read("recharge", asked.recharge, "duration"),
            }
        ]
    elif asked.recharge or asked.profile:
        raise InputError("a recharge time or profile without a charger.", remedy="Add --charger.")
    try:
        boat = BoatFile.model_validate(data)
    except ValidationError as error:
        fault = error.errors()[0]
        option = str(fault["loc"][-1]).replace("_", "-")
        said = fault.get("ctx", {}).get("error", fault["msg"])
        first, _, rest = str(said).partition("\n")
        raise InputError(f"--{option}: {first}", remedy=rest.strip()) from None
    years = boat.bank[0].year.years
    if years and min(years) > today.year:
        raise InputError(
            f"--year: {asked.year} is after today, {today.isoformat()}.",
            remedy="Give the year the batteries were made or bought.",
        )
    for name, entries in (("bank", boat.bank), ("charger", boat.charger)):
        for entry in entries:
            for field, text, remedy in senseless(entry):
                option = "charger" if (name, field) == ("charger", "current") else field
                raise InputError(f"--{option.replace('_', '-')}: {text}.", remedy=remedy)
    return boat


def _loads(asked: Asked) -> list[dict[str, Any]]:
    if not asked.load and not asked.daily:
        raise InputError(
            "no load was given.",
            remedy="Give the average current as --load 11.3A, or the day's uses as "
            "--daily 'lights 160 Wh' --daily 'refrigerator 28 Ah'.",
        )
    loads: list[dict[str, Any]] = []
    for number, text in enumerate(asked.load or (), start=1):
        name = "load" if len(asked.load or ()) == 1 else f"load {number}"
        current = read("load", text, "current")
        loads.append({"id": name, "bank": "bank", "current": current, "hours": _all_day()})
    for text in asked.daily or ():
        found = re.fullmatch(r"\s*(.*?)[\s:=]*([~+−-]?\s*\d.*)", text)
        if not found:
            raise InputError(
                f"--daily: '{text}' has no amount.",
                remedy="Give a name and Ah or Wh a day, as 'lights 160 Wh'.",
            )
        name, amount = found[1].strip() or "daily use", found[2]
        field = "energy_per_day" if re.search(r"wh\b", amount, re.I) else "charge_per_day"
        value = read("daily", amount, "energy" if field == "energy_per_day" else "charge")
        taken = [load["id"] for load in loads]
        unique = name if name not in taken else f"{name} {len(loads) + 1}"
        loads.append({"id": unique, "bank": "bank", field: value})
    for load in loads:
        load["when"] = ["anchor", "shore"]
    return loads


def _all_day() -> Noted:
    from elec import noted

    return noted.exact(24.0, "duration", text="24 h")


def _course(boat: BoatFile) -> dict[str, Any] | None:
    """Run the bank through the autonomy asked, then on its charger if it has one."""
    from elec.calc.batteries import simulation
    from elec.checks.banks.bank_capacity import why_not
    from elec.checks.charging.bank_course import Course, Stretch, ask_model
    from elec.checks.question import Question

    bank = boat.bank[0]
    if why_not(bank):
        return None
    asked_h = bank.autonomy.span[1] if bank.autonomy.seen else 24.0
    step = 0.25 if asked_h <= 72 else 1.0
    end = max(1, math.ceil(min(asked_h, 744.0) / step)) * step
    stretches = [Stretch("anchor", 0.0, end)]
    if boat.charger:
        stretches.append(Stretch("shore", end, end + _CHARGING_H))
    question = Question()
    model = ask_model(question, boat, bank, Course(tuple(stretches), step, True))
    if model is None:
        return None
    best, worst, easiest = (
        model.run(given)
        for given in (question.best_values(), question.worst_values(), question.easiest_values())
    )
    usable = question.best("usable")
    hours = float(simulation.hours_to_level_h(best, state_of_charge=1.0 - usable))
    return {
        "hours": [float(t) for t in best.time_h],
        **{
            name: [min(1.0, max(0.0, float(s))) for s in trace.state_of_charge]
            for name, trace in (("low", worst), ("best", best), ("high", easiest))
        },
        "usable_limit": 1.0 - usable,
        "limit_reached_h": hours if math.isfinite(hours) else None,
        "charging_from_h": end if boat.charger else None,
    }


def _figure(course: dict[str, Any]) -> str:
    from elec.report.figure_text import charge_figure

    encoding = (sys.stdout.encoding or "ascii").lower().replace("-", "")
    lines = [
        charge_figure(
            course["hours"],
            low=course["low"],
            best=course["best"],
            high=course["high"],
            limit=course["usable_limit"],
            plain=not encoding.startswith("utf"),
        )
    ]
    reached, charging = course["limit_reached_h"], course["charging_from_h"]
    said = f"reaches its usable limit after {reached:.3g} h" if reached else "stays above its limit"
    lines.append(f"At best values it {said}, by the kinetic model.")
    if charging is not None:
        lines.append(f"On its charger from {charging:.3g} h; near full the curve promises nothing.")
    return "\n".join(lines)
