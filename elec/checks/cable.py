"""A cable run as noted, brought to the inputs that its three questions share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from elec.calc import conductors
from elec.checks.basis import Basis, area_mm2, basis_of
from elec.checks.cannot import CannotJudge
from elec.checks.legend import promise_of
from elec.checks.question import Option, Question
from elec.errors import TableRangeError
from elec.finding import NotChecked
from elec.noted import Noted
from elec.published import Source, table

if TYPE_CHECKING:
    from elec.boat.records import BoatFile, Run

__all__ = [
    "Cable",
    "CannotJudge",
    "cable_of",
    "not_checked",
    "notes_of",
    "short_time",
]


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

    # -- inputs ------------------------------------------------------------------------------

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
        """Add the size: its row in the ampacity table, and with ``area`` its metal area in mm²."""
        run, basis = self.run, self.basis
        if run.size.size is None:
            rows = [Option(float(i), label) for i, label in enumerate(basis.size_labels)]
            question.among(
                "row",
                rows,
                entry=run,
                field="size",
                worse="lower",
                best=float(len(rows) // 2),
                more="or larger",
                source=f"every size of table {basis.ampacity_table}",
                read=f"the size printed on the cable of '{run.id}'",
            )
            if area:
                question.exact("small", 0.0)
            return
        row, _ = basis.size_rows(run.size.size)
        question.exact("row", float(row))
        if area and run.size.ambiguous and not self.wire and np.isfinite(basis.small_area_mm2[row]):
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
        elif area:
            question.exact("small", 0.0)

    def areas_mm2(self) -> tuple[Any, Any]:
        """Return the metal area by row, in the normal and in the smaller (SAE) standard."""
        if self.wire == "sae":
            return self.basis.small_area_mm2, self.basis.small_area_mm2
        normal = self.basis.area_mm2.copy()
        if self.run.size.size is not None:
            row, note = self.basis.size_rows(self.run.size.size)
            if note:
                normal[row] = area_mm2(self.run.size.size)
        return normal, self.basis.small_area_mm2

    def metal_mm2(self, given: dict[str, Any]) -> Any:
        """Return the metal area at the given rows and standards."""
        normal, small = self.areas_mm2()
        row = np.asarray(np.rint(given["row"]), dtype=int)
        return np.where(np.asarray(given["small"]) > 0.5, small[row], normal[row])

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
        places = {"no": [0.0], "yes": [1.0], "?": [0.0, 1.0]}[run.engine_space]
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
        """Return the ampacity at the given rows, columns and route, by table x factors."""
        basis = self.basis
        row = np.asarray(np.rint(given["row"]), dtype=int)
        column = np.asarray(np.rint(given["insulation"]), dtype=int)
        base = basis.ampacity_A[row, column]
        engine = np.where(np.asarray(given["engine"]) > 0.5, basis.engine_factor[column], 1.0)
        if "ambient_C" in given:
            warmer = conductors.ambient_factor(
                np.maximum(given["ambient_C"], self._surroundings()[0]),
                table_ambient_C=self._surroundings()[0],
                rated_C=np.asarray(basis.insulation_C)[column],
            )
            engine = np.minimum(engine, warmer)
        return base * engine * given["bundle"]

    def row_label(self, question: Question) -> str:
        """Return the size as noted, or of the row taken as best."""
        if self.run.size.size is not None:
            return self.run.size.size.label
        return self.basis.size_labels[round(question.best("row"))]


def short_time(kind: str | None) -> bool:
    """Whether a kind of gear runs for minutes at a time: windlasses, thrusters, cranes, davits."""
    words = ("windlass", "thruster", "crane", "davit", "passerelle", "capstan", "trim-tab")
    return bool(kind) and any(word in kind.lower() for word in words)  # type: ignore[union-attr]


def cable_of(run: Run, boat: BoatFile, basis_name: str) -> Cable:
    """Bring a run as noted to what its questions need.

    Raises
    ------
    CannotJudge
        If voltage or current cannot be had from anything noted.
    """
    from elec.boat.typical import run_length
    from elec.checks.run_load import loads_on, voltage_of

    basis = basis_of(basis_name)
    voltage_V, said = voltage_of(run, boat)
    loads = loads_on(run, boat, voltage_V)
    alone = loads[0][1].kind if len(loads) == 1 else None
    brief = any(short_time(words) for words in (run.kind, run.circuit, alone))
    notes, length = tuple(notes_of(run, basis)), run_length(run, boat.boat)
    return Cable(run, basis, voltage_V, tuple(loads), length, brief, notes, said=tuple(said))


def notes_of(run: Run, basis: Basis) -> list[str]:
    """Say what stands in for a size, insulation or ambient that the tables do not list.

    Raises
    ------
    CannotJudge
        If a size or insulation lies outside the tables.
    """
    notes = []
    if run.size.size is not None:
        try:
            _, note = basis.size_rows(run.size.size)
        except TableRangeError as error:
            raise CannotJudge(str(error)) from None
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
