"""A cable and what it carries: the inputs that the questions of a run share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from elec.boat.records import Entry, Run
from elec.calc.cables import conductors
from elec.checks.basis import Basis, area_mm2
from elec.checks.cables.legend import promise_of
from elec.checks.cables.size_ladder import Ladder, ladder_of, sae_mm2
from elec.checks.cannot import CannotJudge
from elec.checks.question import Option, Question
from elec.errors import TableRangeError
from elec.noted import Noted
from elec.published import Source, table
from elec.units import Size

__all__ = ["Cable", "Load"]


class Load(NamedTuple):
    """What hangs on a run: the field and entry of its current, that of one piece, how many."""

    field: str
    entry: Entry
    current: Noted
    pieces: int


@dataclass(frozen=True)
class Cable:
    """One run with its basis, voltage and load."""

    run: Run
    basis: Basis
    voltage_V: float
    loads: tuple[Load, ...]
    length: Noted
    short_time: bool
    notes: tuple[str, ...]
    together: tuple[int, ...] = ()  # loaded conductors in its bundle, or all that they may be
    wire: str = ""
    said: tuple[str, ...] = ()  # of the voltage it is judged at
    nominal: Noted | None = None  # the voltage where it is a range, all on one side of 50 V
    tried: bool = False  # a size tried among many, for which no remedy is worked out
    direct: bool = True  # direct current, by what feeds it
    then_cold: bool = False  # its time on is all it is on for, until it is cold again
    ways: int = 2  # out and back; one where it is the return of other runs
    no_load: CannotJudge | None = None  # why it is not known what it carries

    @property
    def parallel(self) -> int:
        """How many like conductors in parallel make up each of the two."""
        return self.run.conductors_in_parallel

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
        question.noted("nominal_V", self.nominal, entry=self.run, field="voltage", worse="lower")

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

    def ask_length(self, question: Question) -> None:
        """Add the length, one way."""
        question.noted(
            "length_m",
            self.length,
            entry=self.run,
            field="length",
            worse="higher",
            read=f"the length of '{self.run.id}' along its route, one way",
        )

    def ask_size(self, question: Question, *, area: bool) -> None:
        """Add the size: its place among the sizes it may be, and with ``area`` its standard."""
        run, ladder = self.run, self.ladder
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
        return self.run.size.among if one is None else (one,)

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

    def need_load(self) -> None:
        """Refuse a run of which it is not known what it carries."""
        if self.no_load is not None:
            raise self.no_load

    def need_ampacity(self) -> None:
        """Refuse a size for which the table holds no ampacity."""
        if self.outside:
            read = f"the maker's ampacity of the cable of '{self.run.id}'"
            raise CannotJudge(self.outside, read)

    @cached_property
    def ladder(self) -> Ladder:
        """The sizes among which the input "row" is a place."""
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
        ladder = self.ladder
        place = np.asarray(np.rint(given["row"]), dtype=int)
        small = np.asarray(given["small"]) > 0.5
        return np.where(small, ladder.small_mm2[place], ladder.normal_mm2[place])

    def least_mm2(self) -> float:
        """Return the smallest metal area of the sizes that it may be, of all in parallel."""
        ladder, size = self.ladder, self.run.size.size
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

    def ampacity_sources(self, question: Question) -> list[Source]:
        """Return where the ampacity is from, with what was asked of insulation and route."""
        column = round(question.best("insulation")) if question.settled("insulation") else None
        return self.basis.sources(
            column=column,
            engine=question.ends("engine")[1] > 0.5,
            bundle=question.ends("bundle")[0] < 1.0,
        )

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
                field="insulation",
                worse="lower",
                best=float(basis.insulation_C.index(105)),
                more="or higher",
                source=f"every column of table {basis.ampacity_table}",
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
            field="insulation",
            worse="lower",
            best=float(low),
            noted=rating.text,
            more="or higher",
            read=f"the insulation rating of '{run.id}'",
        )

    def ask_route(self, question: Question) -> None:
        """Add engine space (0 or 1) and the bundling factor."""
        run = self.run
        places = [
            Option(value, name)
            for word, value, name in (
                ("no", 0.0, "outside engine spaces"),
                ("yes", 1.0, "through an engine space"),
            )
            if run.engine_space.may_be(word)
        ]
        question.among(
            "engine",
            places,
            entry=run,
            field="engine_space",
            worse="higher",
            best=places[-1].value,
        )
        factors: dict[float, str] = {}
        for count in self.together or [max(1, first) for first in self.basis.bundle_from]:
            factor = self.basis.bundle_factor_of(count, voltage_V=self.voltage_V)
            more = " or more" if count > 1 and not self.together else ""
            factors.setdefault(factor, f"{count}{more} together")
        ordered = [Option(f, factors[f]) for f in sorted(factors)]
        question.among(
            "bundle",
            ordered,
            entry=run,
            field="bundled",
            worse="lower",
            best=ordered[-1].value,
            more="or fewer",
        )
        if run.ambient.seen:
            question.ask("ambient_C", run, "ambient", worse="higher")

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
        return self.basis.ampacity_A[self.ladder.rows[place], column]

    def size_words(self, label: str = "") -> str:
        """Return its size, or one that it may have, in words, with how many are in parallel."""
        shown = label or self.run.size.show()
        return f"{self.parallel} x {shown} in parallel" if self.parallel > 1 else shown

    def row_label(self, question: Question) -> str:
        """Return the size as noted, or of the place taken as best."""
        if self.run.size.size is not None:
            return self.run.size.size.label
        return self.ladder.labels[round(question.best("row"))]
