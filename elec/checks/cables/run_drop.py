"""A DC run's voltage drop, by its basis's own formula, against what its circuit allows.

The other basis's formula and the metal itself at 60 °C stand beside it; where they would turn the
verdict, the finding says so.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from elec import noted, units
from elec.calc.cables import conductors
from elec.checks.cables.cable import Cable, CannotJudge
from elec.checks.cables.size_remedy import Asked, remedy
from elec.checks.question import Option, Question
from elec.finding import Finding, Step
from elec.judge import Ruling
from elec.published import Source, table

if TYPE_CHECKING:
    from elec.boat.records import BoatFile

__all__ = [
    "CHECK",
    "FORMULAS",
    "ask_limit",
    "asked",
    "formula_V",
    "judge_run",
    "limit_sources",
]

CHECK = "run-drop"
_VITAL = {"bilge pump", "bilge blower", "navigation lights", "vital"}
_WARM_C = 60.0
FORMULAS = {
    "us": ("ABYC K", "circular-mil formula of ABYC E-11"),
    "iso": ("ISO constant", "metric formula of ISO 10133 annex C"),
}


def asked(cable: Cable) -> Asked:
    """Return the question of drop, with no words to it."""
    return _ask(cable)[0]


def _ask(cable: Cable) -> tuple[Asked, Callable[[dict[str, Any], str], Any], list[Option]]:
    """Return the question, the drop in volts by a formula, and the standard's limits."""
    question = Question()
    total = cable.ask_current(question)
    cable.ask_size(question, area=True)
    question.noted(
        "length_m",
        cable.length,
        entry=cable.run,
        field="length",
        worse="higher",
        read=f"the length of '{cable.run.id}' along its route, one way",
    )
    cable.ask_voltage(question)
    limits = ask_limit(cable, question)

    def drop_V(given: dict[str, Any], formula: str) -> Any:
        half_m = given["length_m"] * cable.ways / 2
        return formula_V(total(given), half_m, cable.metal_mm2(given), formula)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return drop_V(given, cable.basis.name) / given["nominal_V"], given["limit"]

    return Asked(question, requirement), drop_V, limits


def judge_run(cable: Cable, boat: BoatFile | None = None) -> Finding:
    """Judge the drop of one run."""
    run, basis, volts = cable.run, cable.basis, cable.voltage_V
    if not cable.direct:
        raise CannotJudge("the drop of an AC run, with its reactance, is not checked yet")
    drop, drop_V, limits = _ask(cable)
    question = drop.question
    other = "iso" if basis.name == "us" else "us"

    def other_requirement(**given: Any) -> tuple[Any, Any]:
        return drop_V(given, other) / given["nominal_V"], given["limit"]

    ruling = question.rule(drop.requirement, "at most")
    against = question.rule(other_requirement, "at most")
    best = question.best_values()
    current, length = cable.load_A()[1], float(best["length_m"])
    nominal = float(best["nominal_V"])
    mm2 = float(cable.metal_mm2(best))
    dropped, limit = float(drop_V(best, basis.name)), float(best["limit"])
    warm_V = _warm_V(current, length * cable.ways, mm2)
    notes = list(cable.said)
    share = units.show(float(drop_V(best, other)) / nominal, "percentage", digits=4)
    turned = (against.verdict == "inadequate") != (ruling.verdict == "inadequate")
    notes.append(
        f"By the {FORMULAS[other][1]} it is {share}"
        + (f", and the verdict would be {against.verdict}." if turned else ".")
    )
    if warm_V / volts > limit * (1 + 1e-9) and ruling.verdict in ("adequate", "marginal"):
        notes.append(
            f"Warning: with its copper at {_WARM_C:g} °C it drops "
            f"{units.show(warm_V / volts, 'percentage')}, over the limit; the formula passes "
            "because it assumes cooler metal."
        )
    failed = ruling.verdict in ("inadequate", "undetermined")
    change = _remedy(cable, drop) if failed else None
    if change and ruling.verdict == "inadequate" and cable.run.size.size is not None:
        change += f" {_reach(cable, ruling)}"
    notes += _looser(cable, limits, boat) + _alone(cable, boat)
    vital = bool(_VITAL & _circuits(cable))
    return question.finding(
        ruling,
        check=CHECK,
        entry=run,
        sense="at most",
        quantity="percentage",
        worst="A" if vital else "B",
        statement=lambda value, limit: (
            f"Run '{run.id}' ({_both_ways(cable)}) drops {value} of {cable.volts()}; "
            f"at most {limit} is allowed{_by_whom(cable, limits, boat)}."
        ),
        working=_working(cable, current, length, mm2, dropped, warm_V, nominal),
        sources=_sources(cable, limits),
        remedy=change,
        notes=notes,
    )


def _reach(cable: Cable, ruling: Ruling) -> str:
    """Say what length the size serves at the hardest end of all that is not settled."""
    longest = cable.length.span[2] / (1.0 - ruling.margin.low)
    reach = units.show_limit(longest, "length", sense="at most")
    known = cable.length.settled and ruling.value.low == ruling.value.high
    end = (
        "this current"
        if known and ruling.limit.low == ruling.limit.high
        else ("the hardest end of what is not settled")
    )
    return f"The size it has would serve {reach} one way at {end}."


def _remedy(cable: Cable, drop: Asked) -> str | None:
    from elec.checks.cables import run_ampacity

    return remedy(cable, run_ampacity.asked(cable), drop)


def _by_whom(cable: Cable, limits: list[Option], boat: BoatFile | None) -> str:
    """Say whose limit it is, where it is one only."""
    if len(limits) != 1:
        return ""
    words = f"{limits[0].label}, {_instrument(limits[0].label, cable.basis.name)}"
    if cable.run.drop.seen and cable.run.drop.span[0] < limits[0].value:
        whose = "as asked" if boat is None else "by its maker"
        return f" ({whose}; {units.show(limits[0].value, 'percentage')} for {words})"
    return f" ({words})"


def _looser(cable: Cable, limits: list[Option], boat: BoatFile | None) -> list[str]:
    """Say so where more is allowed by a maker, or asked, than by the standard that is followed."""
    noted = cable.run.drop
    if not noted.seen or noted.span[2] <= limits[0].value * (1 + 1e-9):
        return []
    most = units.show(noted.span[2], "percentage")
    whose = f"{most} was asked" if boat is None else f"Its maker allows {most}"
    return [f"{whose}; the standard allows less where it applies, and counts."]


def _alone(cable: Cable, boat: BoatFile | None) -> list[str]:
    """Say that drops add up, unless the run goes all the way from a battery to one load."""
    if boat is None:
        return []
    from elec.boat.records import Bank, Bus

    run = cable.run
    if run.return_by:
        words = f"Out and back at its own size; '{run.return_by}', its return, is in network-drop."
        return [words]
    if cable.ways == 1:
        return ["This return alone: the whole way, out and back by it, is in network-drop."]
    whole = isinstance(boat.find(run.start or ""), Bank) and not _feeder(cable)
    if whole and not isinstance(boat.find(run.end or ""), Bus):
        return []
    return ["This run alone: the drop of what feeds it, and of what it feeds, comes on top."]


def ask_limit(cable: Cable, question: Question) -> list[Option]:
    """Add the drop allowed, the smaller of maker's and standard's; return the standard's limits."""
    run = cable.run
    by_circuit = _limits(cable.basis.name)
    circuit = _circuit(cable)
    if circuit is not None:
        name = _listed(circuit, by_circuit)
        options = [Option(by_circuit[name][0], circuit if name == "other" else name)]
    else:
        options = [
            Option(limit, f"{limit * 100:g} % circuit")
            for limit in sorted({limit for limit, _ in by_circuit.values()})
        ]
    if run.drop.seen and (len(options) == 1 or run.drop.span[2] <= options[0].value):
        low, best, high = (min(one, options[0].value) for one in run.drop.span)
        both = noted.between(low, high, "fraction", best=best, text=run.drop.text)
        question.noted("limit", both, entry=run, field="drop allowed", worse="lower")
        return options
    most = run.drop.span[0] if run.drop.seen else 1.0
    question.among(
        "limit",
        [Option(min(option.value, most), option.label) for option in options],
        entry=run,
        field="kind of circuit",
        worse="lower",
        best=min(options[-1].value, most),
        source="both limits of the standard",
        read=(
            f"whether '{run.id}' feeds a panel, or one circuit"
            if _feeder(cable)
            else f"what '{run.id}' feeds"
        ),
    )
    return options


def _limits(basis: str) -> dict[str, tuple[float, str]]:
    """Return the drop allowed by kind of circuit, with the instrument; later rows supersede."""
    return {
        row["circuit"]: (float(row["max_drop_pct"]) / 100, row["instrument"])
        for row in table("voltage_drop_limits").rows()
        if row["basis"] == basis
    }


def _listed(circuit: str, by_circuit: dict[str, tuple[float, str]]) -> str:
    words = circuit.strip().lower()
    same = [name for name in by_circuit if name.rstrip("s") == words.rstrip("s")]
    return same[0] if same else "other"


def _instrument(circuit: str, basis: str) -> str:
    by_circuit = _limits(basis)
    return by_circuit[_listed(circuit, by_circuit)][1]


def _feeder(cable: Cable) -> bool:
    """Whether the run may be the feeder of a panel: several things hang on it."""
    return len(cable.loads) > 1


def _circuits(cable: Cable) -> set[str]:
    """Return the kinds of circuit that a run is known to be, noted or by the catalogue."""
    if cable.run.circuit is not None:
        return {cable.run.circuit.strip().lower()}
    from elec.boat.typical import gear

    kinds = [getattr(entry, "kind", None) for _, entry, _, _ in cable.loads] or [cable.run.kind]
    known = [gear(kind) for kind in kinds]
    return {one.row["circuit"] if one is not None else "" for one in known}


def _circuit(cable: Cable) -> str | None:
    """Return the kind of circuit; the strictest of several; None if it may be another."""
    circuits = _circuits(cable)
    if "" in circuits:
        return None
    by_circuit = _limits(cable.basis.name)
    name = min(circuits, key=lambda one: by_circuit[_listed(one, by_circuit)][0])
    loose = _listed(name, by_circuit) == "other"
    return None if loose and cable.run.circuit is None and _feeder(cable) else name


def formula_V(current_A: Any, length_m: Any, area_mm2: Any, formula: str) -> Any:
    """Return the drop of a run out and back by the formula of a basis [V]."""
    constant = table("resistivity_constants").exact("value", name=FORMULAS[formula][0])
    if formula == "us":
        return conductors.drop_circular_mil_V(
            current_A,
            length_one_way_m=length_m,
            area_cmil=area_mm2 / units.to_base(1.0, "cmil", "area"),
            k_ohm_cmil_per_ft=constant,
        )
    return conductors.drop_metric_V(
        current_A, length_one_way_m=length_m, area_mm2=area_mm2, constant_ohm_mm2_per_m=constant
    )


def _warm_V(current_A: float, conductor_m: float, area_mm2: float) -> float:
    constants = table("resistivity_constants")
    resistance = conductors.resistance_ohm(
        conductor_m,
        area_mm2=area_mm2,
        resistivity_20C_ohm_mm2_per_m=constants.exact(
            "equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C"
        ),
        temperature_coefficient_per_K=constants.exact("value", name="copper alpha20"),
        conductor_temp_C=_WARM_C,
    )
    return float(current_A * resistance)


def _both_ways(cable: Cable) -> str:
    length = cable.length
    low, _, high = length.span
    if low == high:
        one, both = units.show(low, "length"), units.show(cable.ways * low, "length")
        return f"{one} one way, {both} of conductor"
    how = "not measured" if length.origin == "typical" else "as noted"
    return f"{units.show_range(low, high, 'length')} one way, {how}"


def _working(
    cable: Cable,
    current: float,
    length: float,
    mm2: float,
    dropped: float,
    warm_V: float,
    volts: float,
) -> list[Step]:
    basis = cable.basis.name
    name, words = FORMULAS[basis]
    constant = table("resistivity_constants").exact("value", name=name)
    path = "L out and back" if cable.ways == 2 else "L its one conductor"
    length *= cable.ways
    if basis == "us":
        feet = units.from_base(length, "length", "ft")
        cmil = units.from_base(mm2, "area", "cmil")
        formula = f"K I L / CM, {path} in feet"
        numbers = f"{constant:g} x {current:.4g} x {feet:.4g} / {cmil:,.0f}"
    else:
        formula = f"k I L / S, {path} in metres"
        numbers = f"{constant:g} x {current:.4g} x {length:.4g} / {mm2:.4g}"
    return [
        Step("E", formula, numbers, dropped, "V", words),
        Step("e", "E / nominal voltage", f"{dropped:.4g} / {volts:g}", dropped / volts * 100, "%"),
        Step(
            "E60",
            f"I L rho({_WARM_C:g} °C) / S, the metal itself",
            "",
            warm_V,
            "V",
            "annealed copper, IEC 60028",
        ),
    ]


def _sources(cable: Cable, limits: list[Option]) -> list[Source]:
    found = [table("resistivity_constants").source(name=FORMULAS[cable.basis.name][0])]
    found += limit_sources(cable, limits)
    if cable.basis.name == "us":
        found.append(table("conductor_area_awg_sae").source())
    return found


def limit_sources(cable: Cable, limits: list[Option]) -> list[Source]:
    """Return where the drop allowed is from."""
    found: list[Source] = []
    drops = table("voltage_drop_limits")
    by_circuit = _limits(cable.basis.name)
    if len(limits) == 1:
        circuit = _listed(limits[0].label, by_circuit)
        found.append(drops.source(instrument=by_circuit[circuit][1], circuit=circuit))
    elif limits:
        found.append(drops.source())
    return found
