"""An AC run's voltage drop, with its reactance, against the advice for circuits on land."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from elec import noted, units
from elec.boat.ac_loads import service_of
from elec.boat.possible import possible, typical
from elec.boat.records import AcLoad, BoatFile
from elec.calc import ac
from elec.checks.cables.cable import Cable
from elec.checks.cables.impedance import Impedance, impedance_of
from elec.checks.cannot import CannotJudge
from elec.checks.question import Question
from elec.errors import TableRangeError
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.noted import Noted
from elec.published import table

__all__ = ["judge"]

Requires = Callable[..., tuple[Any, Any]]
_ADVICE = {"instrument": "NEC", "circuit": "branch"}


def judge(cable: Cable, boat: BoatFile | None) -> Finding:
    """Judge the drop of one run on alternating current."""
    run, every = cable.run, _impedances(cable)
    circuit = "three-phase line-to-line" if boat and _three_phase(cable, boat) else "two-wire"
    question = Question()
    total = cable.ask_current(question)
    cable.ask_length(question)
    if len(every) > 1:
        cable.ask_size(question, area=False)
    cable.ask_voltage(question)
    _ask_power_factor(cable, question, every)
    advice = _advice()
    strict = _stricter(run.drop, advice)
    question.noted("limit", strict, entry=run, field="drop", worse="lower")
    R, X = (
        np.array([getattr(one, name) for one in every]) for name in ("R_ohm_per_m", "X_ohm_per_m")
    )

    def drop_V(given: dict[str, Any]) -> Any:
        place = np.asarray(np.rint(given["row"]), dtype=int) if len(every) > 1 else 0
        return ac.voltage_drop_V(
            total(given) / cable.parallel,
            length_one_way_m=given["length_m"],
            resistance_ohm_per_m=R[place],
            reactance_ohm_per_m=X[place],
            power_factor=given["power_factor"],
            circuit=circuit,
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        return drop_V(given) / given["nominal_V"], given["limit"]

    ruling = question.rule(requirement, "at most")
    best = question.best_values()
    amps, dropped = float(total(best)) / cable.parallel, float(np.asarray(drop_V(best)))
    ohms = every[len(every) // 2]
    return question.finding(
        ruling,
        check="run-drop",
        entry=run,
        quantity="percentage",
        worst="B" if strict.span[0] < advice else "C",
        statement=lambda value, limit: (
            f"Run '{run.id}' ({_way(cable)}) drops {value} of {cable.volts()} {_when(cable)}; "
            + (
                f"advice on land is {limit}."
                if strict.span[0] == advice
                else f"at most {limit} is allowed ({'by its maker' if boat else 'as asked'}; "
                f"advice on land is {units.show(advice, 'percentage')})."
            )
        ),
        working=_working(ohms, circuit, amps, dropped, best),
        sources=[ohms.source, table("voltage_drop_limits").source(**_ADVICE)],
        remedy=_remedy(cable, ruling),
        notes=[
            *cable.said,
            *ohms.notes(),
            *_other_limit(cable, boat, ruling, question, requirement),
        ],
    )


def _impedances(cable: Cable) -> list[Impedance]:
    """Return the impedance of each size that it may be, smallest first."""
    if not cable.sizes():
        read = f"the size printed on the cable of '{cable.run.id}'"
        raise CannotJudge("its size was not noted", read)
    try:
        return [impedance_of(size) for size in cable.sizes()]
    except TableRangeError as error:
        raise CannotJudge(str(error)) from None


def _ask_power_factor(cable: Cable, question: Question, every: list[Impedance]) -> None:
    """Add the power factor, which counts only where there is reactance."""
    if not any(one.X_ohm_per_m for one in every):
        question.exact("power_factor", 1.0)
        return
    low, high, source = possible("power factor not read")
    question.noted(
        "power_factor",
        typical(low, high, "ratio", source, best=high),
        entry=cable.run,
        field="power factor of its load",
        worse=None,
    )


def _way(cable: Cable) -> str:
    low, length, high = cable.length.span
    if not cable.length.settled:
        return f"{units.show_range(low, high, 'length')} one way"
    one, both = (units.show(n * length, "length") for n in (1, 2))
    return f"{one} one way, {both} of conductor"


def _working(
    ohms: Impedance, circuit: str, amps: float, dropped: float, best: dict[str, Any]
) -> list[Step]:
    length, nominal = float(best["length_m"]), float(best["nominal_V"])
    return [
        Step(
            "E",
            f"{ac.CIRCUITS[circuit]:.4g} I L (R cos + X sin)",
            f"{amps:.4g} A, {length:.4g} m, R {ohms.R_ohm_per_m * 1000:.4g} and "
            f"X {ohms.X_ohm_per_m * 1000:.4g} ohm/km",
            dropped,
            "V",
            ohms.words,
        ),
        *ohms.steps(amps, length),
        Step(
            "e",
            "E / nominal voltage",
            f"{dropped:.4g} / {nominal:g}",
            dropped / nominal * 100,
            "%",
        ),
    ]


def _remedy(cable: Cable, ruling: Ruling) -> str:
    longest = cable.length.span[2] / (1.0 - ruling.margin.low)
    reach = units.show_limit(longest, "length", sense="at most")
    known = ruling.value.low == ruling.value.high and ruling.limit.low == ruling.limit.high
    end = "this current" if known else "the hardest end of what is not settled"
    return f"A larger size, or a run of {reach} one way at most at {end}."


def _advice() -> float:
    return table("voltage_drop_limits").exact("max_drop_pct", **_ADVICE) / 100


def _stricter(maker: Noted, advice: float) -> Noted:
    """Return the smaller of what its maker allows, if noted, and the advice."""
    if not maker.seen:
        return noted.between(advice, advice, "fraction")
    low, best, high = (min(one, advice) for one in maker.span)
    return noted.between(low, high, "fraction", best=best, text=maker.text)


def _other_limit(
    cable: Cable,
    boat: BoatFile | None,
    ruling: Ruling,
    question: Question,
    requirement: Requires,
) -> list[str]:
    """Say what the limit that is not followed is, and the verdict by it where it differs."""
    maker, advice = cable.run.drop, _advice()
    if not maker.seen or maker.span == (advice,) * 3:
        return []
    by_maker = maker.span[0] < advice
    other = advice if by_maker else maker.span[0]
    allows = units.show(other, "percentage")
    who = f"its maker allows {allows}" if boat else f"{allows} was asked"
    words = f"advice on land allows {allows}" if by_maker else who
    verdict = question.rule(lambda **g: (requirement(**g)[0], other), "at most")
    turned = verdict.verdict != ruling.verdict
    return [
        f"The stricter limit is followed; {words}, and by that the verdict would "
        f"be {verdict.verdict if turned else 'the same'}."
    ]


def _when(cable: Cable) -> str:
    """Say which load it is judged under: noted of the run itself, or all that it serves."""
    run = cable.run
    if run.current.seen:
        named = " and ".join(f"'{one}'" for one in run.when or ())
        return f"at its noted current{f' in {named}' if named else ''}"
    return "with all that it feeds on at once" if len(cable.loads) > 1 else "at its load"


def _three_phase(cable: Cable, boat: BoatFile) -> bool:
    """Whether the run feeds a three-phase load or comes from a three-phase inlet."""
    fed = (one.entry for one in cable.loads)
    if any(isinstance(one, AcLoad) and one.legs.is_surely("all") for one in fed):
        return True
    service = service_of(boat.find(cable.run.start or ""))
    return service is not None and len(service.legs) == 3
