"""Mains chargers of a bank, together: no more current than it takes, and enough to charge it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from elec import units
from elec.boat.records import Bank, BoatFile, Charger
from elec.boat.typical import charge_return
from elec.calc.batteries import charging, cranking
from elec.checks.banks.bank_capacity import Capacity, ask_capacity, usable_best, why_not
from elec.checks.banks.bank_cautions import caution_of
from elec.checks.basis import area_mm2
from elec.checks.cannot import CannotJudge
from elec.checks.charging.charged_bank import ask_bands, ask_most, standing
from elec.checks.question import Question, Worse
from elec.checks.registry import Answer, Check, each
from elec.finding import Finding, Step
from elec.published import table


@dataclass(frozen=True)
class _Together:
    """The chargers of one bank whose current was read, and the names of those not read."""

    chargers: Sequence[Charger]
    bank: Bank
    unread: Sequence[str]

    @property
    def single(self) -> bool:
        """Whether it is but one."""
        return len(self.chargers) == 1

    @property
    def subject(self) -> Charger | Bank:
        """What the findings are about."""
        return self.chargers[0] if self.single else self.bank

    @property
    def charge(self) -> str:
        """How they are called, with the verb."""
        if self.single:
            return f"Charger '{self.chargers[0].id}' charges"
        named = " and ".join(f"'{one.id}'" for one in self.chargers)
        return f"Chargers {named} together charge"

    @property
    def notes(self) -> list[str]:
        """What to say of those not read."""
        return [f"Without {', '.join(map(repr, self.unread))}, not read."] if self.unread else []


def _chargers(bank: Bank, boat: BoatFile, _basis: str) -> Iterator[Answer]:
    chargers = [one for one in boat.charger if one.bank == bank.id]
    unread = [one for one in chargers if not one.current.seen]
    yield from each("charger-size", unread, _unread)
    read = [one for one in chargers if one.current.seen]
    together = _Together(read, bank, [one.id for one in unread])
    # where it cannot be asked, the first of them stands for all
    yield from each("charger-size", read[:1], lambda _first: _both(together, boat))


def _unread(charger: Charger) -> None:
    raise CannotJudge(
        "its DC output current was not noted", f"the output current on the plate of '{charger.id}'"
    )


def _both(together: _Together, boat: BoatFile) -> Iterator[Finding]:
    if stop := why_not(together.bank):
        raise stop
    yield _most(together, boat)
    yield _least(together, boat)


def _most(together: _Together, boat: BoatFile) -> Finding:
    bank, question, notes = together.bank, Question(), together.notes
    total = _ask_currents(question, together.chargers, "higher")
    capacity, requirement, sources = ask_most(question, bank, boat, total, notes)
    allowed = (
        "the limit noted for it is"
        if bank.charge_limit.seen
        else "the published limits for its chemistry are"
    )
    notes += [drop for one in together.chargers if (drop := _cable_drop(one, bank, boat))]
    worst = question.worst_values()
    most = units.show_limit(
        float(requirement(**worst)[1]) * float(capacity(worst)), "current", sense="at most"
    )
    limited = repr(together.chargers[0].id) if together.single else "them together"
    return question.finding(
        question.rule(requirement, "at most"),
        entry=together.subject,
        quantity="ratio",
        worst="B",
        statement=lambda value, limit: (
            f"{together.charge} bank '{bank.id}' at {value} C, amperes for each Ah of its rated "
            f"capacity; {allowed} {limit} C."
        ),
        working=(_share(question, capacity, total), _bulk(question, capacity, total, bank, boat)),
        sources=sources,
        remedy=f"Limit {limited} to {most}, the least of the limits that may apply.",
        caution=caution_of(bank),
        notes=notes,
        part="most",
    )


def _least(together: _Together, boat: BoatFile) -> Finding:
    """Judge, as advice, whether the chargers reach the low end of the published bands."""
    bank, question, notes = together.bank, Question(), together.notes
    total = _ask_currents(question, together.chargers, "lower")
    capacity = ask_capacity(question, bank, boat, aged=False, worse="higher")
    source = ask_bands(question, bank, notes, end="low")

    def requirement(**given: Any) -> tuple[Any, Any]:
        share = charging.charger_fraction(total(given), capacity_Ah=capacity(given))
        return share, given["band"]

    worst = question.worst_values()
    needed = units.show_limit(
        float(worst["band"]) * float(capacity(worst)), "current", sense="at least"
    )
    return question.finding(
        question.rule(requirement, "at least"),
        entry=together.subject,
        quantity="ratio",
        worst="C",
        statement=lambda value, limit: (
            f"{together.charge} bank '{bank.id}' at {value} C, amperes for each Ah of its rated "
            f"capacity; the published bands for its chemistry begin at {limit} C."
        ),
        working=(_share(question, capacity, total),),
        sources=(source,),
        remedy=f"{needed} of charging in all reach the start of every band, if the batteries may "
        "take it; a smaller charger fills the bank slowly, and seldom wholly.",
        notes=notes,
        part="least",
    )


_Total = Callable[[dict[str, Any]], Any]


def _ask_currents(question: Question, chargers: Sequence[Charger], worse: Worse) -> _Total:
    """Add the current of each charger; return the function of their sum [A]."""
    names = [f"charger_{number}_A" for number in range(len(chargers))]
    for name, one in zip(names, chargers, strict=True):
        question.ask(name, one, "current", worse=worse)
    return lambda given: sum(given[name] for name in names)


def _share(question: Question, capacity: Capacity, total: _Total) -> Step:
    best = question.best_values()
    amps, held = float(total(best)), float(capacity(best))
    numbers = f"{amps:.4g} / {held:.4g}"
    return Step("f", "charger current / rated capacity", numbers, amps / held, "C")


def _bulk(
    question: Question, capacity: Capacity, total: _Total, bank: Bank, boat: BoatFile
) -> Step:
    best = question.best_values()
    amps, load = float(total(best)), standing(boat, bank)[1]
    back = charge_return(bank).span[1]
    removed = float(capacity(best)) * usable_best(bank)
    hours = charging.recharge_bulk_h(removed, return_factor=back, charger_A=amps, standing_A=load)
    return Step(
        "t",
        "charge removed x return factor / (charger - standing load)",
        f"{removed:.4g} x {back:.3g} / ({amps:.4g} - {load:.3g})",
        float(hours),
        "h",
        "least time to the end of bulk; the absorption tail is not included",
    )


def _cable_drop(charger: Charger, bank: Bank, boat: BoatFile) -> str:
    """Say what the cable between charger and bank takes from the charging voltage, if noted."""
    ends = {charger.id, bank.id}
    current_A = charger.current.span[1]
    for run in boat.run:
        if {run.start, run.end} != ends or not run.length.seen or run.size.size is None:
            continue
        resistivity = table("resistivity_constants")
        rho = resistivity.exact("equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C")
        per_100_A = cranking.loop_drop_per_100A_V(
            2.0 * run.length.span[2],
            area_mm2=area_mm2(run.size.size),
            resistivity_ohm_mm2_per_m=rho,
        )
        volts = float(cranking.loop_drop_V(per_100_A, current_A=current_A))
        return (
            f"Cable '{run.id}' takes {units.show(volts, 'voltage')} at {current_A:.4g} A (20 °C, "
            "longest noted length): a charger that senses at its own terminals holds so much less "
            "at the bank, and absorption comes sooner and lasts longer."
        )
    return ""


CHECK = Check(
    name="charger-size",
    judges="charging current against the bank",
    system="batteries and charging",
    place=301,
    of="bank",
    ask=_chargers,
    commands=("bank",),
)
