"""The drop that a DC circuit is allowed, and the formula of each basis for it."""

from __future__ import annotations

from typing import Any

from elec import noted, units
from elec.boat.typical import gear
from elec.calc.cables import conductors
from elec.checks.cables.cable import Cable
from elec.checks.question import Option, Question
from elec.published import Source, table

__all__ = [
    "FORMULAS",
    "ask_limit",
    "circuits_of",
    "formula_V",
    "instrument_of",
    "is_feeder",
    "limit_sources",
]


FORMULAS = {
    "us": ("ABYC K", "circular-mil formula of ABYC E-11"),
    "iso": ("ISO constant", "metric formula of ISO 10133 annex C"),
}


def ask_limit(cable: Cable, question: Question) -> list[Option]:
    """Add the drop allowed, the smaller of maker's and standard's; return the standard's limits."""
    run = cable.run
    by_circuit = _limits(cable.basis.name)
    circuit = _circuit_of(cable)
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
        question.noted("limit", both, entry=run, field="drop", worse="lower")
        return options
    most = run.drop.span[0] if run.drop.seen else 1.0
    question.among(
        "limit",
        [Option(min(option.value, most), option.label) for option in options],
        entry=run,
        field="circuit",
        worse="lower",
        best=min(options[-1].value, most),
        source="both limits of the standard",
        read=f"whether '{run.id}' feeds a panel, or one circuit" if is_feeder(cable) else "",
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


def instrument_of(circuit: str, basis: str) -> str:
    """Return whose limit a kind of circuit has."""
    by_circuit = _limits(basis)
    return by_circuit[_listed(circuit, by_circuit)][1]


def is_feeder(cable: Cable) -> bool:
    """Whether the run may be the feeder of a panel: several things hang on it."""
    return len(cable.loads) > 1


def circuits_of(cable: Cable) -> set[str]:
    """Return the kinds of circuit that a run is known to be, noted or by the catalogue."""
    if cable.run.circuit is not None:
        return {cable.run.circuit.strip().lower()}
    kinds = [one.entry.kind for one in cable.loads] or [cable.run.kind]
    known = [gear(kind) for kind in kinds]
    return {one.row["circuit"] if one is not None else "" for one in known}


def _circuit_of(cable: Cable) -> str | None:
    """Return the kind of circuit; the strictest of several; None if it may be another."""
    circuits = circuits_of(cable)
    if "" in circuits:
        return None
    by_circuit = _limits(cable.basis.name)
    name = min(sorted(circuits), key=lambda one: by_circuit[_listed(one, by_circuit)][0])
    loose = _listed(name, by_circuit) == "other"
    return None if loose and cable.run.circuit is None and is_feeder(cable) else name


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
