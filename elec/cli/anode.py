"""The anode command: mass, number, life, months left, and output by shape, without a boat file."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

import typer

from elec import noted, units
from elec.calc.metals import cathodic
from elec.checks.metals import anode_sums
from elec.checks.metals.anode import months_left
from elec.checks.metals.anode_sums import Demand, Dimensions, Shape
from elec.checks.metals.couple_rates import Span, constant, water_of
from elec.cli.anode_shown import Sheet, as_text, json_text
from elec.cli.options import Json
from elec.cli.writing import give
from elec.errors import InputError
from elec.noted import Noted, between, exact, unseen
from elec.published import table

__all__ = ["Asked", "judge"]

WIDTH = 80
_METALS = ("zinc", "aluminium", "magnesium")
_WATERS = ("sea", "brackish", "fresh")
_QUANTITIES = {
    "area": "surface",
    "current_density": "current_density",
    "current": "current",
    "life": "life",
    "mass": "mass",
    "wasted": "fraction",
    "after": "life",
    "length": "length",
    "width": "length",
    "thickness": "length",
    "standoff": "length",
    "core": "length",
    "waterline": "length",
    "beam": "length",
    "draught": "length",
    "salinity": "salinity",
    "temperature": "temperature",
    "resistivity": "resistivity",
}


@dataclass(frozen=True, kw_only=True)
class Asked:
    """Work out sacrificial anodes: mass, number, life, months left, output by shape.

    Exit code: 0 adequate, 1 something inadequate, 3 something open, 2 bad input.
    """

    material: Annotated[str, typer.Option(help="zinc, aluminium or magnesium.")]
    area: Annotated[
        str | None, typer.Option("--area", "--surface", help="Surface protected, 12m2.")
    ] = None
    form: Annotated[
        str | None, typer.Option(help="Of the hull, for its surface: full displacement, ...")
    ] = None
    waterline: Annotated[str | None, typer.Option(help="Waterline length, 12m.")] = None
    beam: Annotated[str | None, typer.Option(help="At the waterline, 3.5m.")] = None
    draught: Annotated[str | None, typer.Option(help="Without a fin keel, 0.8m.")] = None
    coating: Annotated[
        str | None,
        typer.Option(help="painted (boats); bare, low, medium, high (ABS); I, II, III, IV (DNV)."),
    ] = None
    hull: Annotated[str, typer.Option(help="steel or aluminium.")] = "steel"
    current_density: Annotated[str | None, typer.Option(help="20mA/m2, paint counted in.")] = None
    current: Annotated[str | None, typer.Option(help="Current asked for, 0.3A.")] = None
    life: Annotated[str | None, typer.Option(help="Time it should last, 1year.")] = None
    mass: Annotated[str | None, typer.Option(help="Of one, without its core, 5kg.")] = None
    count: Annotated[int, typer.Option(help="How many.")] = 1
    wasted: Annotated[str | None, typer.Option(help="Share gone, 60%.")] = None
    after: Annotated[str | None, typer.Option(help="Time since it was new, 8months.")] = None
    mount: Annotated[str | None, typer.Option(help="flush or stand-off.")] = None
    length: Annotated[str | None, typer.Option(help="Of one, 36cm.")] = None
    width: Annotated[str | None, typer.Option(help="Of one, 15cm.")] = None
    thickness: Annotated[str | None, typer.Option(help="Of one, 3cm.")] = None
    standoff: Annotated[str | None, typer.Option(help="From hull to anode, 20cm.")] = None
    core: Annotated[str | None, typer.Option(help="Radius of the steel core, 10mm.")] = None
    water: Annotated[str, typer.Option(help="sea, brackish or fresh.")] = "sea"
    salinity: Annotated[str | None, typer.Option(help="For example 35PSU.")] = None
    temperature: Annotated[str | None, typer.Option(help="Of the water, 15C.")] = None
    resistivity: Annotated[str | None, typer.Option(help="Of the water, measured, 0.25 ohm·m.")] = (
        None
    )
    json: Json = False

    def read(self, name: str) -> Noted:
        """Return a value given, or one not seen."""
        text = getattr(self, name)
        if text is None:
            return unseen(_QUANTITIES[name])
        option = f"--{name.replace('_', '-')}"
        try:
            value = noted.read(text, _QUANTITIES[name])
        except InputError as error:
            raise InputError(f"{option}: {error.message}", remedy=error.remedy) from None
        if not value.seen:
            raise InputError(f"{option}: '?' was given.", remedy="Leave it out instead.")
        if name in ("mass", "wasted") and value.span[0] <= 0:
            raise InputError(
                f"{option}: {value.text} is or may be zero.",
                remedy="Give a value above zero, or leave it out.",
            )
        return value


def judge(asked: Asked) -> int:
    """Print what is worked out and return the exit code."""
    _check_words(asked)
    sheet = Sheet()
    _suits(asked, sheet)
    shape = _shape(asked)
    life = asked.read("life")
    current = _demand(asked, sheet, life)
    capacity, sources = anode_sums.capacity(asked.material)
    capacity = _warm(asked, capacity, sheet)
    use = (shape.utilization,) * 3 if shape else anode_sums.utilizations()
    _by_source(asked, sheet)
    sheet.add("capacity", capacity, "Ah/kg", f"{asked.material}, published design values")
    sheet.add("share that can be used", use, "-", shape.words if shape else "shape not given")
    sheet.sources += [*sources, shape.source if shape else table("anode_utilization").source()]
    if current is not None:
        _mass_and_life(asked, sheet, current, life, capacity, use)
    _wasted(asked, sheet, capacity)
    if shape is not None:
        _output(asked, sheet, shape, current)
    if current is None and not asked.read("wasted").seen and shape is None:
        raise InputError(
            "nothing to work out was given.",
            remedy="Give --area with --coating or --current-density, or --wasted with --after, or "
            "the dimensions.",
        )
    found = {one["verdict"] for one in sheet.verdicts}
    code = 1 if "inadequate" in found else 3 if "undetermined" in found else 0
    give(
        json_text(asked.material, asked.water, asked.count, sheet)
        if asked.json
        else as_text(asked.material, asked.water, sheet),
        None,
        False,
    )
    return code


# -- what was given ----------------------------------------------------------------------------


def _check_words(asked: Asked) -> None:
    for option, given, known in (
        ("material", asked.material, _METALS),
        ("water", asked.water, _WATERS),
        ("hull", asked.hull, ("steel", "aluminium")),
        ("coating", asked.coating, (None, *anode_sums.COATINGS)),
        ("mount", asked.mount, (None, "flush", "stand-off")),
    ):
        if given not in known:
            accepted = ", ".join(word for word in known if word)
            raise InputError(
                f"--{option}: '{given}' is not known.", remedy=f"Accepted: {accepted}."
            )
    if asked.count < 1:
        raise InputError(f"--count: {asked.count} anodes.", remedy="Accepted: 1 or more.")


def _suits(asked: Asked, sheet: Sheet) -> None:
    row = table("anode_choice_by_water").row(material=asked.material, water=asked.water)
    good = row["suits"] == "yes"
    words = f"{asked.material} in {asked.water} water" + ("" if good else f": it {row['why']}")
    sheet.judge("metal for the water", "adequate" if good else "inadequate", words)
    sheet.sources.append(table("anode_choice_by_water").source())


def _shape(asked: Asked) -> Shape | None:
    sizes = [asked.read(name) for name in ("length", "width", "thickness")]
    if not any(size.seen for size in sizes):
        return None
    if asked.mount is None or not all(size.seen for size in sizes):
        raise InputError(
            "the shape needs --mount, --length, --width and --thickness.",
            remedy="For example --mount flush --length 36cm --width 15cm --thickness 3cm",
        )
    standoff = asked.read("standoff")
    length, width, thickness = (size.span[1] for size in sizes)
    away = standoff.span[0] if standoff.seen else None
    return anode_sums.shape_of(Dimensions(asked.mount, length, width, thickness, away))


def _published(asked: Asked, hours: float, sheet: Sheet) -> Demand:
    """Return the printed demand over every climate that the water may have."""
    warmth = asked.read("temperature")
    cold, warm = constant("temperature of the water")
    ends = (warmth.span[0], warmth.span[2]) if warmth.seen else (cold, warm)
    coating = asked.coating or "painted"
    if coating in ("I", "II", "III", "IV") and not warmth.seen:
        sheet.notes.append(f"The temperature was not given: {cold:g} to {warm:g} °C taken.")
    found = [
        anode_sums.demand(asked.hull, coating, life_h=hours, temperature_C=temperature)
        for temperature in ends
    ]
    if found[0].mean_A_per_m2 == found[1].mean_A_per_m2:
        return found[0]

    def over(when: str) -> Span:
        spans: list[Span] = [getattr(one, f"{when}_A_per_m2") for one in found]
        low, high = min(span[0] for span in spans), max(span[2] for span in spans)
        return low, (low + high) / 2, high

    words = f"{found[0].words} to {found[1].words.rpartition(', ')[2]}"
    return Demand(over("initial"), over("mean"), over("final"), words, found[0].sources)


@dataclass(frozen=True)
class _Current:
    """Current asked for when new, on the mean, at the end [A]."""

    initial: Span
    mean: Span
    final: Span


def _surface(asked: Asked, sheet: Sheet) -> Noted:
    """Return the surface as given, or from the form of the hull."""
    area = asked.read("area")
    sizes = [asked.read(name) for name in ("waterline", "beam", "draught")]
    if area.seen or not any(size.seen for size in sizes):
        return area
    held = table("hull_wetted_area")
    forms = held.text("hull_form")
    if asked.form not in forms or not all(size.seen for size in sizes):
        raise InputError(
            "the surface of a hull needs --form, --waterline, --beam and --draught.",
            remedy=f"Forms: {', '.join(forms)}.",
        )
    row = held.row(hull_form=asked.form)
    length, beam, draught = (size.span for size in sizes)
    ends = ("low", "high", "high")
    low, _, high = (
        float(
            cathodic.wetted_area_m2(
                length[i],
                beam_m=beam[i],
                draught_m=draught[i],
                bottom_factor=float(row[f"bottom_factor_{ends[i]}"]),
                side_factor=float(row[f"side_factor_{ends[i]}"]),
            )
        )
        for i in range(3)
    )
    sheet.add("wetted surface", (low, (low + high) / 2, high), "m²", f"{asked.form}, by rule")
    sheet.sources.append(held.source(hull_form=asked.form))
    return between(low, high, "surface", text=f"{asked.form}")


def _demand(asked: Asked, sheet: Sheet, life: Noted) -> _Current | None:
    amperes, area = asked.read("current"), _surface(asked, sheet)
    density = asked.read("current_density")
    if amperes.seen:
        sheet.add("current", amperes.span, "A", "as given")
        return _Current(amperes.span, amperes.span, amperes.span)
    if not area.seen:
        if density.seen or asked.coating:
            raise InputError("no surface was given.", remedy="Give --area, for example 12m2.")
        return None
    if density.seen:
        demand = Demand(density.span, density.span, density.span, "as given", ())
    else:
        hours = life.span[1] if life.seen else units.to_base(1, "year", "life")
        demand = _published(asked, hours, sheet)
    sheet.sources += demand.sources
    spans = []
    for when in ("initial", "mean", "final"):
        span: Span = getattr(demand, f"{when}_A_per_m2")
        spans.append((span[0] * area.span[0], span[1] * area.span[1], span[2] * area.span[2]))
    sheet.add("current density on the mean", demand.mean_A_per_m2, "A/m²", demand.words)
    if demand.initial_A_per_m2 != demand.mean_A_per_m2:
        sheet.add("current when new", spans[0], "A", "surface x density x share bare")
        sheet.add("current at the end", spans[2], "A", "surface x density x share bare")
    sheet.add("current on the mean", spans[1], "A", "surface x density")
    return _Current(*spans)


def _by_source(asked: Asked, sheet: Sheet) -> None:
    """Say what each source gives for the capacity: editions are never averaged."""
    listed = [f"{ah:g} Ah/kg, {edition}" for ah, edition in anode_sums.capacities(asked.material)]
    sheet.notes.append(f"Capacity by source: {'; '.join(listed)}.")


def _warm(asked: Asked, capacity: Span, sheet: Sheet) -> Span:
    """Return the capacity of aluminium in warm water, its least end by the printed loss."""
    warmth = asked.read("temperature")
    start = constant("temperature from which aluminium loses capacity")[0]
    if asked.material != "aluminium" or not warmth.seen or warmth.span[2] <= start:
        return capacity
    least = float(
        cathodic.capacity_at_temperature_Ah_per_kg(
            warmth.span[2],
            capacity_Ah_per_kg=constant("capacity of aluminium that the loss starts from")[0],
            warm_from_C=start,
            loss_Ah_per_kg_K=constant("capacity of aluminium lost per kelvin")[0],
        )
    )
    name = "capacity of aluminium lost per kelvin"
    sheet.sources.append(table("corrosion_constants").source(name=name))
    sheet.notes.append(
        f"In water of {warmth.show()} aluminium gives {least:.0f} Ah/kg by the ABS loss."
    )
    return min(least, capacity[0]), min(least, capacity[1]), capacity[2]


# -- mass, number, life ------------------------------------------------------------------------


def _mass_and_life(
    asked: Asked, sheet: Sheet, current: _Current, life: Noted, capacity: Span, use: Span
) -> None:
    year = units.to_base(1, "year", "life")
    wanted = life if life.seen else exact(year, "life")
    if not life.seen:
        sheet.notes.append("No life was asked: a year taken.")
        name = "time that an anode is to last"
        sheet.sources.append(table("corrosion_constants").source(name=name))
    mass = tuple(
        float(
            cathodic.anode_mass_kg(
                current.mean[i],
                life_h=wanted.span[i],
                capacity_Ah_per_kg=capacity[2 - i],
                utilization=use[2 - i],
            )
        )
        for i in range(3)
    )
    sheet.add("net mass for the life", mass, "kg", "I t / (u capacity)")  # type: ignore[arg-type]
    one = asked.read("mass")
    if not one.seen:
        return
    number = tuple(math.ceil(mass[i] / one.span[2 - i] * (1 - 1e-9)) for i in range(3))
    sheet.add("number for the mass", number, "-", f"of {one.show()} each")  # type: ignore[arg-type]
    hours = tuple(
        float(
            cathodic.anode_life_h(
                one.span[i] * asked.count,
                current_A=current.mean[2 - i],
                capacity_Ah_per_kg=capacity[i],
                utilization=use[i],
            )
        )
        for i in range(3)
    )
    months = tuple(units.from_base(h, "life", "months") for h in hours)
    sheet.add(f"life of {asked.count}", months, "months", "m u capacity / I")  # type: ignore[arg-type]
    verdict = (
        "adequate"
        if hours[0] >= wanted.span[2]
        else "inadequate"
        if hours[2] < wanted.span[0]
        else "undetermined"
    )
    asked_for = units.show(wanted.span[1], "life", unit="months")
    sheet.judge(
        "life",
        verdict,
        f"{asked.count} of {one.show()} last {months[0]:.1f} to {months[2]:.1f} months; "
        f"{asked_for} is asked, for which {number[2]} are sure to do",
    )


def _wasted(asked: Asked, sheet: Sheet, capacity: Span) -> None:
    gone, after = asked.read("wasted"), asked.read("after")
    if not gone.seen:
        if after.seen:
            raise InputError("--after was given without --wasted.", remedy="Give both.")
        return
    renew, source = anode_sums.renew_at()
    sheet.sources.append(source)
    low, best, high = gone.span
    verdict = "adequate" if high <= renew else "inadequate" if low > renew else "undetermined"
    share = units.show(best, "percentage")
    sheet.judge("share gone", verdict, f"{share} is gone; renewed at {renew * 100:.0f} %")
    if not after.seen:
        sheet.notes.append("How long the rest lasts needs --after, the time since it was new.")
        return
    left = (
        months_left(high, after.span[0], renew),
        months_left(best, after.span[1], renew),
        months_left(low, after.span[2], renew),
    )
    a_year = units.to_base(1, "year", "life")
    pace = (low / after.span[2], best / after.span[1], high / after.span[0])
    sheet.add("pace", tuple(p * a_year * 100 for p in pace), "%/year", "gone / time")  # type: ignore[arg-type]
    sheet.add("left until it is to be renewed", left, "months", "(renew - gone) / pace")
    one = asked.read("mass")
    if one.seen:
        shown = tuple(
            float(
                cathodic.current_from_wastage_A(
                    one.span[i] * asked.count,
                    gone=gone.span[i],
                    elapsed_h=after.span[2 - i],
                    capacity_Ah_per_kg=capacity[i],
                )
            )
            for i in range(3)
        )
        sheet.add("current that the loss shows", shown, "A", "m gone capacity / t")  # type: ignore[arg-type]


# -- shape -------------------------------------------------------------------------------------


def _resistivity(asked: Asked) -> Span:
    given = asked.read("resistivity")
    if given.seen:
        return given.span
    if asked.water == "fresh":
        raise InputError(
            "the resistivity of fresh water is not known.", remedy="Give --resistivity, measured."
        )
    water = water_of(asked.water, asked.read("salinity"), asked.read("temperature"))
    return water.resistivity


def _output(asked: Asked, sheet: Sheet, shape: Shape, current: _Current | None) -> None:
    rho = _resistivity(asked)
    sheet.add("resistivity of the water", rho, "ohm·m")
    resistance = tuple(float(shape.resistance_ohm(r)) for r in rho)
    sheet.add("resistance of one, new", resistance, "ohm", shape.words)  # type: ignore[arg-type]
    potentials = anode_sums.closed_circuit(asked.material)
    outputs = sorted(float(shape.output_A(r, volts)) for r in rho for volts, _ in potentials)
    span = (outputs[0], outputs[len(outputs) // 2], outputs[-1])
    sheet.add("output of one, new", span, "A", "(protected - anode) / R")
    sheet.sources += [source for _, source in potentials]
    sheet.notes.append(
        "Driving voltage by edition: "
        + "; ".join(f"{volts:g} V, {source.edition}" for volts, source in potentials)
        + "."
    )
    core, one = asked.read("core"), asked.read("mass")
    worn: Span | None = None
    if core.seen and one.seen:
        ends = [
            float(
                anode_sums.worn_resistance_ohm(
                    shape,
                    material=asked.material,
                    net_mass_kg=one.span[1],
                    core_radius_m=core.span[1],
                    resistivity_ohm_m=r,
                )
            )
            for r in rho
        ]
        sheet.add("resistance of one, worn", (ends[0], ends[1], ends[2]), "ohm")
        scaled = sorted(
            o * new / old for o in span for new, old in zip(resistance, ends, strict=True)
        )
        worn = (scaled[0], scaled[len(scaled) // 2], scaled[-1])
        sheet.add("output of one, worn", worn, "A")
    if current is None:
        return
    _enough(asked, sheet, current, span, worn)


def _enough(asked: Asked, sheet: Sheet, current: _Current, new: Span, worn: Span | None) -> None:
    if new[0] <= 0:
        sheet.judge("output", "inadequate", f"{asked.material} does not drive current onto steel")
        return
    asks = [("when new", current.initial, new)]
    asks += [("at the end", current.final, worn)] if worn else []
    for words, wanted, gives in asks:
        number = tuple(math.ceil(wanted[i] / gives[2 - i] * (1 - 1e-9)) for i in range(3))
        sheet.add(f"number for the current {words}", number, "-")  # type: ignore[arg-type]
        total = tuple(g * asked.count for g in gives)
        verdict = (
            "adequate"
            if total[0] >= wanted[2]
            else "inadequate"
            if total[2] < wanted[0]
            else "undetermined"
        )
        sheet.judge(
            f"output {words}",
            verdict,
            f"{asked.count} give {total[0]:.2g} to {total[2]:.2g} A; {wanted[0]:.2g} to "
            f"{wanted[2]:.2g} A is asked",
        )
