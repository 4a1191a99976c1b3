"""A cable run as noted, brought to the inputs that its three questions share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from elec.calc.cables import conductors
from elec.checks.basis import Basis, area_mm2, basis_of
from elec.checks.cables.legend import promise_of
from elec.checks.cables.size_ladder import Ladder, ladder_of, sae_mm2
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question
from elec.errors import TableRangeError
from elec.finding import NotChecked
from elec.noted import Noted, hull
from elec.published import Source, table

if TYPE_CHECKING:
    from elec.boat.records import BoatFile, Run
    from elec.checks.cables.run_load import Load
    from elec.units import Size

__all__ = ["Cable", "CannotJudge", "cable_of", "not_checked", "notes_of", "short_time", "unloaded"]


@dataclass(frozen=True)
class Cable:
    """One run with its basis, voltage and load."""

    run: Run
    basis: Basis
    voltage_V: float
    loads: tuple[tuple[str, Any, Noted, int], ...]
    length: Noted
    short_time: bool
    notes: tuple[str, ...]
    wire: str = ""
    said: tuple[str, ...] = ()  # of the voltage it is judged at
    nominal: Noted | None = None  # the voltage where it is a range, all on one side of 50 V
    tried: bool = False  # a size tried among many, for which no remedy is worked out
    direct: bool = True  # direct current, by what feeds it
    then_cold: bool = False  # its time on is all it is on for, until it is cold again
    ways: int = 2  # out and back; one where it is the return of other runs

    @property
    def parallel(self) -> int:
        """How many like conductors in parallel make up each of the two."""
        return int(getattr(self.run, "conductors_in_parallel", 1))

    @property
    def timed(self) -> bool:
        """Whether it was noted for how long, or for what share of its time, it draws."""
        return self.run.on_time.seen or self.run.duty.seen

    # -- inputs ------------------------------------------------------------------------------

    def ask_voltage(self, question: Question) -> None:
        """Add the nominal voltage, of which a drop is a fraction."""
        if self.nominal is None:
            question.exact("nominal_V", self.voltage_V)
            return
        question.noted(
            "nominal_V",
            self.nominal,
            entry=self.run,
            field="nominal voltage",
            worse="lower",
            read=f"the nominal voltage of the system that feeds '{self.run.id}'",
        )

    def volts(self) -> str:
        """Return the nominal voltage in words."""
        if self.nominal is None:
            return f"{self.voltage_V:g} V"
        low, _, high = self.nominal.span
        return f"{low:g} V" if low == high else f"{low:g} to {high:g} V"

    def ask_current(self, question: Question) -> Callable[..., Any]:
        """Add the current of the run; return the function that sums it from the inputs."""
        names = []
        for number, (field, entry, current, count) in enumerate(self.loads):
            name = f"current_{number}_A"
            question.noted(name, current, entry=entry, field=field, worse="higher")
            names.append((name, count))

        def total(given: dict[str, Any]) -> Any:
            return sum(given[name] * count for name, count in names)

        return total

    def ask_size(self, question: Question, *, area: bool) -> None:
        """Add the size: its place among the sizes it may be, and with ``area`` its standard."""
        run, ladder = self.run, self.ladder()
        if run.size.size is None:
            rows = [Option(float(i), label) for i, label in enumerate(ladder.labels)]
            question.among(
                "row",
                rows,
                entry=run,
                field="size",
                worse="lower",
                best=float(len(rows) // 2),
                more="or larger",
                noted="not seen" if run.size.text == "?" else run.size.text,
                source=f"every size of table {self.basis.ampacity_table}",
                read=f"the size printed on the cable of '{run.id}'",
            )
        else:
            question.exact("row", float(self.own_row()))
        if not area:
            return
        places = range(len(ladder.labels)) if run.size.size is None else [question.best("row")]
        two = all(np.isfinite(ladder.small_mm2[int(place)]) for place in places)
        if run.size.ambiguous and not self.wire and two:
            question.among(
                "small",
                [Option(0.0, "AWG area"), Option(1.0, "SAE minimum area")],
                entry=run,
                field="size standard",
                worse="higher",
                best=0.0,
                noted=run.size.text,
                read=f"whether the cable of '{run.id}' is marked AWG or SAE",
            )
        else:
            question.exact("small", 0.0)

    def sizes(self) -> tuple[Size, ...]:
        """Return the sizes that it may be, smallest first; none where that is any of the table."""
        one = self.run.size.size
        return getattr(self.run.size, "among", ()) if one is None else (one,)

    def own_row(self) -> int:
        """Return the row of its size; outside the table the nearer end, with metal of its own."""
        size, basis = self.run.size.size, self.basis
        assert size is not None
        if self.outside:
            return 0 if area_mm2(size) < basis.area_mm2[0] else len(basis.size_labels) - 1
        return basis.size_rows(size)[0]

    @property
    def outside(self) -> str:
        """Why no ampacity is listed for its size; nothing where one is."""
        size = self.run.size.size
        try:
            if size is not None:
                self.basis.size_rows(size)
        except TableRangeError as error:
            return f"{error}: judge it by its maker's ampacity"
        return ""

    def need_ampacity(self) -> None:
        """Refuse a size for which the table holds no ampacity.

        Raises
        ------
        CannotJudge
            If its size lies outside the table.
        """
        if self.outside:
            read = f"the maker's ampacity of the cable of '{self.run.id}'"
            raise CannotJudge(self.outside, read)

    def ladder(self) -> Ladder:
        """Return the sizes among which the input "row" is a place."""
        basis, sizes = self.basis, self.sizes()
        if self.run.size.size is None and sizes:
            return ladder_of(sizes, basis, sae=self.wire == "sae", parallel=self.parallel)
        rows = np.arange(len(basis.size_labels))
        return Ladder(basis.size_labels, rows, *self.areas_mm2())

    def areas_mm2(self) -> tuple[Any, Any]:
        """Return the metal area by row, in the normal and in the smaller (SAE) standard.

        Of conductors in parallel, that of all of them.
        """
        normal, small = self.basis.area_mm2.copy(), self.basis.small_area_mm2.copy()
        size = self.run.size.size
        if size is not None:
            row = self.own_row()
            if self.basis.size_labels[row] != size.label:
                normal[row] = area_mm2(size)
                small[row] = sae_mm2(size)
        normal, small = normal * self.parallel, small * self.parallel
        return (small, small) if self.wire == "sae" else (normal, small)

    def metal_mm2(self, given: dict[str, Any]) -> Any:
        """Return the metal area at the given places and standards."""
        ladder = self.ladder()
        place = np.asarray(np.rint(given["row"]), dtype=int)
        small = np.asarray(given["small"]) > 0.5
        return np.where(small, ladder.small_mm2[place], ladder.normal_mm2[place])

    def least_mm2(self) -> float:
        """Return the smallest metal area of the sizes that it may be, of all in parallel."""
        ladder, size = self.ladder(), self.run.size.size
        places = slice(None) if size is None else self.own_row()
        small, normal = ladder.small_mm2[places], ladder.normal_mm2[places]
        ambiguous = self.run.size.ambiguous and not self.wire and np.isfinite(small).all()
        return float(np.min(small if ambiguous else normal))

    def rating(self) -> Noted:
        """Return the insulation rating, noted, or what the legend printed on it promises."""
        promised = promise_of(self.run.legend)
        return promised.rating if promised and not self.run.insulation.seen else self.run.insulation

    def least_rated_C(self) -> float:
        """Return the lowest listed insulation rating that is possible."""
        listed, rating = self.basis.insulation_C, self.rating()
        column = self.basis.insulation_column(rating.span[0])[0] if rating.seen else 0
        return float(listed[column])

    def legend_sources(self) -> list[Source]:
        """Return where the rating of a legend is from, if that was taken."""
        promised = promise_of(self.run.legend)
        return [promised.source] if promised and not self.run.insulation.seen else []

    def load_A(self) -> tuple[float, float, float]:
        """Return the least, best and most current of all that it feeds."""
        low, best, high = (
            sum(current.span[end] * count for _, _, current, count in self.loads)
            for end in range(3)
        )
        return low, best, high

    def ask_insulation(self, question: Question) -> None:
        """Add the insulation's column in the ampacity table."""
        run, basis = self.run, self.basis
        rating = self.rating()
        if not rating.seen:
            columns = [Option(float(i), f"{t} °C") for i, t in enumerate(basis.insulation_C)]
            question.among(
                "insulation",
                columns,
                entry=run,
                field="insulation rating",
                worse="lower",
                best=float(basis.insulation_C.index(105)),
                more="or higher",
                source=f"every column of table {basis.ampacity_table}",
                read=f"the temperature printed on the cable of '{run.id}'",
            )
            return
        least, _, most = rating.span
        low, _ = basis.insulation_column(least)
        high, _ = basis.insulation_column(most)
        columns = [Option(float(i), f"{basis.insulation_C[i]} °C") for i in range(low, high + 1)]
        question.among(
            "insulation",
            columns,
            entry=run,
            field="insulation rating",
            worse="lower",
            best=float(low),
            noted=rating.text,
            more="or higher",
        )

    def ask_route(self, question: Question) -> None:
        """Add engine space (0 or 1) and the bundling factor."""
        run = self.run
        places = {"no": [0.0], "yes": [1.0], "?": [0.0, 1.0]}[run.engine_space.text]
        names = {0.0: "outside engine spaces", 1.0: "through an engine space"}
        question.among(
            "engine",
            [Option(p, names[p]) for p in places],
            entry=run,
            field="engine space",
            worse="higher",
            best=places[-1],
            read=f"whether '{run.id}' passes an engine space",
        )
        if isinstance(run.bundled, tuple):
            counts = list(run.bundled)
        elif run.bundled == "?":
            counts = [max(1, first) for first in self.basis.bundle_from]
        else:
            counts = [int(run.bundled)]
        factors: dict[float, str] = {}
        for count in counts:
            factor = self.basis.bundle_factor_of(count, voltage_V=self.voltage_V)
            words = (
                f"{count} or more together"
                if run.bundled == "?" and count > 1
                else (f"{count} together")
            )
            factors.setdefault(factor, words)
        ordered = [Option(f, factors[f]) for f in sorted(factors)]
        question.among(
            "bundle",
            ordered,
            entry=run,
            field="conductors bundled",
            worse="lower",
            best=ordered[-1].value,
            more="or fewer",
            read=f"how many loaded conductors lie together with '{run.id}'",
        )
        if run.ambient.seen:
            question.noted("ambient_C", run.ambient, entry=run, field="ambient", worse="higher")

    def ambient_C(self, given: dict[str, Any]) -> Any:
        """Return the air round the cable: noted, or that of the table or of engine spaces."""
        table_C, engine_C = self._surroundings()
        usual = np.where(np.asarray(given["engine"]) > 0.5, engine_C, table_C)
        return np.maximum(usual, given["ambient_C"]) if "ambient_C" in given else usual

    def _surroundings(self) -> tuple[float, float]:
        row = table("ampacity_surroundings").row(basis=self.basis.name)
        return float(row["table_ambient_C"]), float(row["engine_space_ambient_C"])

    def ampacity(self, given: dict[str, Any]) -> Any:
        """Return the ampacity at the given rows, columns and route, by table x factors.

        Like conductors in parallel share alike and carry their number times one.
        """
        return self.listed_A(given) * self.derating(given) * self.parallel

    def derating(self, given: dict[str, Any]) -> Any:
        """Return the factors on the current in the table, of surroundings and bundle."""
        basis = self.basis
        column = np.asarray(np.rint(given["insulation"]), dtype=int)
        engine = np.where(np.asarray(given["engine"]) > 0.5, basis.engine_factor[column], 1.0)
        if "ambient_C" in given:
            warmer = conductors.ambient_factor(
                np.maximum(given["ambient_C"], self._surroundings()[0]),
                table_ambient_C=self._surroundings()[0],
                rated_C=np.asarray(basis.insulation_C)[column],
            )
            engine = np.minimum(engine, warmer)
        return engine * given["bundle"]

    def listed_A(self, given: dict[str, Any]) -> Any:
        """Return the current in the table at the given places and columns, before any factor."""
        place = np.asarray(np.rint(given["row"]), dtype=int)
        column = np.asarray(np.rint(given["insulation"]), dtype=int)
        return self.basis.ampacity_A[self.ladder().rows[place], column]

    def size_words(self, label: str = "") -> str:
        """Return its size, or one that it may have, in words, with how many are in parallel."""
        shown = label or self.run.size.show()
        return f"{self.parallel} x {shown} in parallel" if self.parallel > 1 else shown

    def row_label(self, question: Question) -> str:
        """Return the size as noted, or of the place taken as best."""
        if self.run.size.size is not None:
            return self.run.size.size.label
        return self.ladder().labels[round(question.best("row"))]


def short_time(kind: str | None) -> bool:
    """Whether a kind of gear runs for minutes at a time: windlasses, thrusters, cranes, davits."""
    words = ("windlass", "thruster", "crane", "davit", "passerelle", "capstan", "trim-tab")
    return bool(kind) and any(word in kind.lower() for word in words)  # type: ignore[union-attr]


def cable_of(
    run: Run, boat: BoatFile, basis_name: str, *, fed: bool = True, listed: bool = True
) -> Cable:
    """Bring a run as noted to what its questions need.

    With ``fed`` the loads of a feeder of a bus, whose own current was not noted, are those of all
    that hangs on it; else those that it serves itself. Only if not ``listed`` may its size lie
    outside the table of ampacities.

    Raises
    ------
    CannotJudge
        If voltage or current, or of which kind it is, cannot be had from anything noted.
    """
    from elec.checks.cables.feeder import loads_fed
    from elec.checks.cables.run_load import loads_on

    cable = unloaded(run, boat, basis_name, listed=listed)
    ends = cable.nominal.span[::2] if cable.nominal else (cable.voltage_V,)
    loads, said = loads_fed(run, boat, ends) if fed else None, cable.said
    if loads is None:
        loads = _hull([loads_on(run, boat, volts) for volts in ends])
    elif cable.ways == 1:
        out = " and ".join(f"'{one.id}'" for one in boat.run if one.return_by == run.id)
        said = (*said, f"It is the return of {out}, whose currents it carries by one conductor.")
    else:
        said = (*said, f"Its current is that of all that hangs on '{run.end}'.")
    alone = loads[0][1].kind if len(loads) == 1 else None
    brief = any(short_time(words) for words in (run.kind, run.circuit, alone))
    return replace(cable, loads=tuple(loads), short_time=brief, said=said)


def unloaded(run: Run, boat: BoatFile, basis_name: str, *, listed: bool = True) -> Cable:
    """Return the cable of a run with no load, for what needs none.

    Raises
    ------
    CannotJudge
        If its voltage, or which kind of current it carries, cannot be had from anything noted.
    """
    from elec.boat.typical import run_length
    from elec.checks.cables.run_load import carries

    basis = basis_of(basis_name)
    voltage_V, said, nominal = _voltage(run, boat)
    kind = carries(run, boat)
    if kind is None:
        raise CannotJudge(
            "whether it carries direct or alternating current was not noted",
            f"what feeds '{run.id}'",
        )
    return Cable(
        run,
        basis,
        voltage_V,
        (),
        run_length(run, boat.boat),
        False,
        tuple(notes_of(run, basis, listed=listed)),
        said=tuple(said),
        nominal=nominal,
        direct=kind == "direct",
        ways=1 if kind == "direct" and any(o.return_by == run.id for o in boat.run) else 2,
    )


def _voltage(run: Run, boat: BoatFile) -> tuple[float, list[str], Noted | None]:
    """Return the lowest voltage possible, what to say of it, and the whole of it if a range."""
    from elec.checks.cables.feeder import bank_voltage
    from elec.checks.cables.run_load import voltage_of

    volts = run.voltage if run.voltage.seen else bank_voltage(run, boat)
    if volts is None:
        return *voltage_of(run, boat), None
    low, _, high = volts.span
    if low < 50 <= high:
        raise CannotJudge(
            f"its voltage, {volts.text}, reaches across 50 V, where other rules begin",
            f"the system voltage of '{run.id}'",
        )
    return low, [], None if volts.settled else volts


def _hull(by_voltage: list[list[Load]]) -> list[Load]:
    """Return each load over the range of the voltage: one of a known power draws more at less."""
    return [
        (field, entry, hull([one[place][2] for one in by_voltage]), count)
        for place, (field, entry, _, count) in enumerate(by_voltage[0])
    ]


def notes_of(run: Run, basis: Basis, *, listed: bool = True) -> list[str]:
    """Say what stands in for a size, insulation or ambient that the tables do not list.

    Raises
    ------
    CannotJudge
        If a size, unless it need not be ``listed``, or insulation lies outside the tables.
    """
    notes = []
    one = run.size.size
    for size in getattr(run.size, "among", ()) if one is None else (one,):
        try:
            _, note = basis.size_rows(size)
        except TableRangeError as error:
            if not listed:
                continue
            raise CannotJudge(
                f"{error}: judge it by its maker's ampacity",
                f"the maker's ampacity of the cable of '{run.id}'",
            ) from None
        if note:
            notes.append(note)
    promised = promise_of(run.legend)
    if promised:
        notes.append(promised.note)
    if run.insulation.seen and run.insulation.low is not None:
        try:
            _, note = basis.insulation_column(run.insulation.low)
        except TableRangeError as error:
            raise CannotJudge(str(error)) from None
        if note:
            notes.append(note)
    if run.ambient.seen:
        notes.append(
            f"{basis.instrument} gives no factor for other ambients; that of NFPA 70, 310.15(B), "
            "is taken, or the engine-space factor where it is less."
        )
    return notes


def not_checked(check: str, run: Run, error: CannotJudge) -> NotChecked:
    """Return the record of a question about a run that could not be asked."""
    return NotChecked(check, run.id, error.reason, run.where, error.read)
