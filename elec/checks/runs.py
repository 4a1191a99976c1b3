"""Cable runs: ampacity where it lies, voltage drop, and the rating of its protection."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from elec import units
from elec.boat.records import BoatFile, Protection, Run
from elec.boat.typical import gear
from elec.calc import conductors
from elec.calc import protection as rules
from elec.checks.cable import Cable, CannotJudge, cable_of, not_checked
from elec.checks.question import Option, Question
from elec.finding import Finding, NotChecked, Step
from elec.noted import Noted
from elec.published import Source, table

__all__ = ["ampacity", "check", "drop", "protection"]

CHECKS = ("run-ampacity", "run-drop", "run-protection")
_HOT = (
    "A cable that carries more than its ampacity overheats and can start a fire. Disconnect and "
    "lock off every source before touching it."
)


def check(boat: BoatFile, basis: str) -> tuple[list[Finding], list[NotChecked]]:
    """Ask the three questions of every run."""
    findings: list[Finding] = []
    skipped: list[NotChecked] = []
    for run in boat.run:
        try:
            cable = cable_of(run, boat, basis)
        except CannotJudge as error:
            skipped.extend(not_checked(name, run, error) for name in CHECKS)
            continue
        for ask in (ampacity, drop, protection):
            try:
                findings.append(ask(cable, boat))
            except CannotJudge as error:
                skipped.append(not_checked(f"run-{ask.__name__}", run, error))
    return findings, skipped


# -- ampacity --------------------------------------------------------------------------------


def ampacity(cable: Cable, _boat: BoatFile) -> Finding:
    """Judge a run's current against the ampacity of its cable where it lies."""
    run, basis = cable.run, cable.basis
    question = Question()
    total = cable.ask_current(question)
    cable.ask_size(question, area=False)
    cable.ask_insulation(question)
    cable.ask_route(question)
    notes = list(cable.notes)
    _ask_duty(cable, question, notes)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return total(given) * given["duty_multiplier"], cable.ampacity(given)

    ruling = question.rule(requirement, "at most")
    best = {name: question.best(name) for name in ("row", "insulation", "engine", "bundle")}
    base = float(basis.ampacity_A[round(best["row"]), round(best["insulation"])])
    engine = float(basis.engine_factor[round(best["insulation"])]) if best["engine"] else 1.0
    size = cable.row_label(question)
    rating = basis.insulation_C[round(best["insulation"])]
    working = (
        Step(
            "Iz",
            "table x engine-space factor x bundling factor",
            f"{base:g} A x {engine:g} x {best['bundle']:g}",
            base * engine * best["bundle"],
            "A",
            f"{basis.instrument}, {size} at {rating} °C",
        ),
        Step("I", "current of the run", "as noted", float(ruling.value.best), "A"),
    )
    if cable.voltage_V < 50 and basis.name == "us":
        notes.append(
            "Below 50 V the regulation takes nothing off for bundling; recent voluntary standards "
            "do, by factors not held here."
        )
    uses_engine = question.ends("engine")[1] > 0.5
    uses_bundle = question.ends("bundle")[0] < 1.0
    remedy = _smallest_size(cable, question, requirement)
    return question.finding(
        ruling,
        check="run-ampacity",
        entry=run,
        sense="at most",
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"Run '{run.id}' carries {value} on {size} cable of ampacity {limit} where it lies."
        ),
        working=working,
        sources=basis.sources(engine=uses_engine, bundle=uses_bundle),
        remedy=remedy,
        caution=_HOT,
        notes=notes,
    )


def _ask_duty(cable: Cable, question: Question, notes: list[str]) -> None:
    """Add the share at which a short-time current counts, from a published table, where due."""
    if not cable.short_time:
        question.exact("duty_multiplier", 1.0)
        return
    rows = table("duty_nec_630_11_multiplier").rows()
    options = [
        Option(float(r["multiplier_nonmotor_generator"]), f"{r['duty_cycle_percent']} % duty cycle")
        for r in sorted(rows, key=lambda r: float(r["multiplier_nonmotor_generator"]))
    ]
    question.among(
        "duty_multiplier",
        options,
        entry=cable.run,
        field="duty cycle",
        worse="higher",
        best=1.0,
        source="NFPA 70, 630.11(A), a published short-time method; not a marine rule",
        read=f"the duty class on the motor plate of '{cable.run.id}'",
    )
    notes.append(
        "A short-time load: the regulation allows brief surges above the table without defining "
        "them. The duty cycle considered follows NFPA 70, 630.11(A), which is not a marine rule; "
        "read the motor's duty class."
    )


def _smallest_size(
    cable: Cable, question: Question, requirement: Callable[..., tuple[Any, Any]]
) -> str | None:
    """Return the smallest listed size that holds over everything else that is possible."""
    for row, label in enumerate(cable.basis.size_labels):
        ruling = question.with_exact("row", float(row)).rule(requirement, "at most")
        if ruling.verdict in ("adequate", "marginal"):
            noted = cable.run.size.size
            if noted is not None and row <= cable.basis.size_rows(noted)[0]:
                return None
            return f"Fit {label} or larger, of the same insulation rating and route."
    return (
        f"No listed size up to {cable.basis.size_labels[-1]} is enough: divide the load, shorten "
        "the run, raise the voltage, or run conductors in parallel."
    )


# -- voltage drop ----------------------------------------------------------------------------


def _critical(run: Run, cable: Cable, instrument: str) -> list[tuple[float, str]]:
    """Return the drop that the instrument allows, or both where the circuit is not known."""
    rows = table("voltage_drop_limits").rows()
    by_circuit = {
        r["circuit"]: float(r["max_drop_pct"]) / 100 for r in rows if r["instrument"] == instrument
    }
    circuit = run.circuit
    if circuit is None:
        for _, entry, _, _ in cable.loads:
            known = gear(getattr(entry, "kind", None)) or gear(run.kind)
            if known is not None and known.row.get("circuit"):
                circuit = known.row["circuit"]
    if circuit is not None:
        words = circuit.strip().lower()
        for name, limit in by_circuit.items():
            if words == name or words.rstrip("s") == name.rstrip("s"):
                return [(limit, name)]
        return [(by_circuit["other"], words)]
    return sorted((limit, f"{limit * 100:g} % circuit") for limit in set(by_circuit.values()))


_INSTRUMENTS = {
    "us": ("ABYC E-11", "circular-mil formula, ABYC E-11"),
    "iso": ("ISO 10133:2012", "metric formula, ISO 10133 annex C"),
}


def drop(cable: Cable, _boat: BoatFile) -> Finding:
    """Judge the voltage drop of a DC run by its basis's own formula; the physics beside it."""
    run, basis, volts = cable.run, cable.basis, cable.voltage_V
    if volts >= 50:
        raise CannotJudge("the drop of an AC run, with its reactance, is not checked yet")
    question = Question()
    total = cable.ask_current(question)
    cable.ask_size(question, area=True)
    question.noted(
        "length_m",
        cable.length,
        entry=run,
        field="length",
        worse="higher",
        read=f"the length of '{run.id}' along its route, one way",
    )
    normal, small = cable.areas_mm2()
    instrument, _ = _INSTRUMENTS[basis.name]
    if run.drop.seen:
        question.noted("limit", run.drop, entry=run, field="drop allowed", worse="lower")
        limits: list[tuple[float, str]] = []
    else:
        limits = _critical(run, cable, instrument)
        question.among(
            "limit",
            [Option(v, w) for v, w in limits],
            entry=run,
            field="kind of circuit",
            worse="lower",
            best=limits[-1][0],
            source=f"both limits of {instrument}",
            read=f"what '{run.id}' feeds",
        )

    def area(given: dict[str, Any]) -> Any:
        row = np.asarray(np.rint(given["row"]), dtype=int)
        return np.where(np.asarray(given["small"]) > 0.5, small[row], normal[row])

    def us_formula(given: dict[str, Any]) -> Any:
        constant = table("resistivity_constants").exact("value", name="ABYC K")
        area_cmil = area(given) / units.to_base(1.0, "cmil", "area")
        return conductors.drop_circular_mil_V(
            total(given),
            length_one_way_m=given["length_m"],
            area_cmil=area_cmil,
            k_ohm_cmil_per_ft=constant,
        )

    def iso_formula(given: dict[str, Any]) -> Any:
        constant = table("resistivity_constants").exact("value", name="ISO constant")
        return conductors.drop_metric_V(
            total(given),
            length_one_way_m=given["length_m"],
            area_mm2=area(given),
            constant_ohm_mm2_per_m=constant,
        )

    own, other = (us_formula, iso_formula) if basis.name == "us" else (iso_formula, us_formula)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return own(given) / volts, given["limit"]

    def other_requirement(**given: Any) -> tuple[Any, Any]:
        return other(given) / volts, given["limit"]

    ruling = question.rule(requirement, "at most")
    best = {name: question.best(name) for name in ("row", "small", "length_m", "limit")}
    best |= {f"current_{i}_A": c.span[1] for i, (_, _, c, _) in enumerate(cable.loads)}
    current = float(total(best))
    drop_V = float(own(best))
    hot_V = _physical(current, best["length_m"], float(area(best)))
    working = _drop_working(cable, best, current, drop_V, hot_V, float(area(best)))
    notes = [note for note in cable.notes if "ampacity" not in note and "insulation" not in note]
    against = question.rule(other_requirement, "at most")
    other_name = _INSTRUMENTS["iso" if basis.name == "us" else "us"][1]
    other_drop = float(other(best)) / volts
    if (against.verdict == "inadequate") != (ruling.verdict == "inadequate"):
        notes.append(
            f"By the {other_name} the drop is {units.show(other_drop, 'fraction', digits=4)} and "
            f"the verdict would be {against.verdict}."
        )
    else:
        notes.append(f"By the {other_name} it is {units.show(other_drop, 'fraction', digits=4)}.")
    if hot_V / volts > best["limit"] * (1 + 1e-9) and ruling.verdict in ("adequate", "marginal"):
        notes.append(
            f"Warning: copper at 60 °C drops {units.show(hot_V / volts, 'fraction')}, over the "
            "limit; the formula passes because it assumes cooler metal."
        )
    vital = any(w in f"{run.circuit} {run.kind} {run.id}".lower() for w in ("bilge", "navigation"))
    flips = None
    if ruling.verdict == "inadequate" and question.settled("row"):
        reach = best["length_m"] * best["limit"] * volts / drop_V
        flips = f"As it is, it would hold for {units.show(reach, 'length')} one way"
    remedy = _smallest_size(cable, question, requirement)
    if remedy and flips:
        remedy += f" {flips}."
    return question.finding(
        ruling,
        check="run-drop",
        entry=run,
        sense="at most",
        quantity="fraction",
        worst="A" if vital else "B",
        statement=lambda value, limit: (
            f"Run '{run.id}' ({_both_ways(cable.length)}) drops {value} of {volts:g} V; "
            f"{limit} is allowed"
            + (f" ({limits[0][1]}, {instrument})." if len(limits) == 1 else ".")
        ),
        working=working,
        sources=_drop_sources(basis.name, run),
        remedy=remedy,
        notes=notes,
    )


def _both_ways(length: Noted) -> str:
    low, _, high = length.span
    if low == high:
        one, both = units.show(low, "length"), units.show(2 * low, "length")
        return f"{one} one way, {both} of conductor"
    how = "not measured" if length.origin == "typical" else "as noted"
    return f"{units.show_range(low, high, 'length')} one way, {how}"


def _physical(current_A: float, length_m: float, area_mm2: float) -> float:
    constants = table("resistivity_constants")
    rho = constants.exact("equivalent_ohm_mm2_per_m", name="IACS annealed copper 20 C")
    alpha = constants.exact("value", name="copper alpha20")
    resistance = conductors.resistance_ohm(
        2 * length_m,
        area_mm2=area_mm2,
        resistivity_20C_ohm_mm2_per_m=rho,
        temperature_coefficient_per_K=alpha,
        conductor_temp_C=60.0,
    )
    return float(current_A * resistance)


def _drop_working(
    cable: Cable, best: dict[str, Any], current: float, drop_V: float, hot_V: float, mm2: float
) -> tuple[Step, ...]:
    volts, length = cable.voltage_V, best["length_m"]
    if cable.basis.name == "us":
        feet = units.from_base(2 * length, "length", "ft")
        cmil = units.from_base(mm2, "area", "cmil")
        first = Step(
            "E",
            "K I L / CM, L out and back in feet",
            f"10.75 x {current:.4g} x {feet:.4g} / {cmil:,.0f}",
            drop_V,
            "V",
            "circular-mil formula, ABYC E-11 as republished",
        )
    else:
        first = Step(
            "E",
            "0.0164 I L / S, L out and back in metres",
            f"0.0164 x {current:.4g} x {2 * length:.4g} / {mm2:.4g}",
            drop_V,
            "V",
            "ISO 10133 annex C as republished",
        )
    return (
        first,
        Step("e", "E / nominal voltage", f"{drop_V:.4g} / {volts:g}", drop_V / volts * 100, "%"),
        Step(
            "E60",
            "I L rho(60 °C) / S, the metal itself",
            f"{current:.4g} x {2 * length:.4g} x 0.01995 / {mm2:.4g}",
            hot_V,
            "V",
            "annealed copper, IEC 60028, alpha 0.00393/K",
        ),
    )


def _drop_sources(name: str, run: Run) -> list[Source]:
    constants = table("resistivity_constants")
    found = [constants.source()]
    if not run.drop.seen:
        found.append(table("voltage_drop_limits").source())
    if name == "us":
        found.append(table("conductor_area_awg_sae").source())
    return found


# -- protection ------------------------------------------------------------------------------


def protection(cable: Cable, boat: BoatFile) -> Finding:
    """Judge the rating of a run's fuse or breaker against the ampacity of its cable."""
    run, basis, volts = cable.run, cable.basis, cable.voltage_V
    device = boat.find(run.protection) if run.protection else None
    if not isinstance(device, Protection):
        raise CannotJudge(
            "no fuse or breaker was noted for it; none seen is not none needed",
            f"the fuse or breaker of '{run.id}': its rating and where it sits",
        )
    if device.device == "none":
        return _no_device(cable)
    question = Question()
    cable.ask_size(question, area=False)
    cable.ask_insulation(question)
    cable.ask_route(question)
    ratings = table("standard_device_ratings")
    if device.rating.seen:
        question.noted("rating_A", device.rating, entry=device, field="rating", worse="higher")
    else:
        listed = sorted(set(ratings.numbers("rating_A").tolist()))
        question.among(
            "rating_A",
            [Option(v, f"{v:g} A") for v in listed],
            entry=device,
            field="rating",
            worse="higher",
            best=listed[len(listed) // 2],
            source="every listed device rating",
            read=f"the rating on the fuse or breaker of '{run.id}'",
        )
    rule, words, rule_sources = _rating_rule(basis.name, volts)

    def requirement(**given: Any) -> tuple[Any, Any]:
        return given["rating_A"], rule(cable.ampacity(given))

    ruling = question.rule(requirement, "at most")
    best = {name: question.best(name) for name in ("row", "insulation", "engine", "bundle")}
    iz = float(cable.ampacity({k: np.asarray(v) for k, v in best.items()}))
    working = (
        Step("Iz", "ampacity where it lies", "see run-ampacity", iz, "A", basis.instrument),
        Step("In max", words, f"Iz = {iz:.4g} A", float(np.asarray(rule(iz))), "A", words),
    )
    notes = list(cable.notes)
    if basis.name == "us" and volts < 50:
        stricter = rules.greatest_standard_A(iz, standard_A=_standard("NFPA 70"), most_multiple=1.5)
        if (
            device.rating.seen
            and device.rating.high is not None
            and (device.rating.high > float(stricter) * (1 + 1e-9))
            and ruling.verdict in ("adequate", "marginal")
        ):
            notes.append(
                f"ABYC E-11 as republished allows {units.show(float(stricter), 'current')} here "
                "(ampacity, or the next standard size up): by it this device is too large."
            )
        notes.append(
            "Engine-space and bundling factors are applied before the 150 %, the safe side."
        )
    if basis.name == "iso":
        notes.append(
            "The DC clause of ISO 13297 was not read; the rule of its AC clause 13.1.5 is applied."
        )
    limit_low = float(np.asarray(ruling.limit.low))
    fits = [v for v in _standard("DC") if v <= limit_low * (1 + 1e-9)]
    remedy = f"Fit a device of {units.show(fits[-1], 'current')} or less" if fits else None
    load_low = sum((c.low or 0.0) * n for _, _, c, n in cable.loads)
    if remedy and fits and fits[-1] < load_low:
        remedy = "Fit a larger cable: no device both carries the load and protects this one."
    elif remedy:
        remedy += ", on every ungrounded conductor."
    return question.finding(
        ruling,
        check="run-protection",
        entry=run,
        sense="at most",
        quantity="current",
        worst="A",
        statement=lambda value, limit: (
            f"Run '{run.id}' is protected by '{device.id}' rated {value}; at most {limit} is "
            "allowed on its cable."
        ),
        working=working,
        sources=[
            *basis.sources(
                engine=question.ends("engine")[1] > 0.5, bundle=question.ends("bundle")[0] < 1
            ),
            *rule_sources,
        ],
        remedy=remedy,
        caution=_HOT,
        notes=notes,
    )


def _standard(instrument: str) -> list[float]:
    rows = table("standard_device_ratings").rows()
    return sorted(float(r["rating_A"]) for r in rows if instrument in r["instrument"])


def _rating_rule(name: str, volts: float) -> tuple[Callable[[Any], Any], str, list[Source]]:
    rating_rules = table("ocpd_rating_rules")
    if name == "iso":
        return (
            lambda iz: rules.greatest_device_A(iz, multiple=1.0),
            "not above the ampacity (ISO 13297:2020 cl. 13.1.5)",
            [rating_rules.source()],
        )
    if volts < 50:
        return (
            lambda iz: rules.greatest_device_A(iz, multiple=1.5),
            "1.50 x ampacity below 50 V (33 CFR 183.455(c)(1))",
            [rating_rules.source()],
        )
    standard = _standard("NFPA 70")
    return (
        lambda iz: rules.greatest_standard_A(iz, standard_A=standard, most_multiple=1.5),
        "ampacity, or the next standard size up if not above 1.50 x (33 CFR 183.455(c)(2))",
        [rating_rules.source(), table("standard_device_ratings").source()],
    )


def _no_device(cable: Cable) -> Finding:
    from elec.judge import Input, Requirement, judge

    ruling = judge(
        Requirement(
            lambda devices: (devices, np.ones_like(np.asarray(devices))),
            (Input.exact("devices", 0.0),),
            "at least",
        )
    )
    question = Question()
    return question.finding(
        ruling,
        check="run-protection",
        entry=cable.run,
        sense="at least",
        quantity="",
        worst="A",
        statement=lambda _value, _limit: (
            f"Run '{cable.run.id}' has no fuse or breaker: nothing limits a fault on it."
        ),
        sources=[table("ocpd_rating_rules").source()],
        remedy="Fit a fuse or breaker at the source, within the distance that the rule allows.",
        caution=_HOT,
    )
