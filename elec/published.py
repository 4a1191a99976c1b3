"""Published tables: found, loaded with their papers, looked up; never extrapolated.

A table is ``NAME.csv`` beside its papers ``NAME.toml``. A table without papers is refused. Digits
stay as printed: columns are kept as text and turned into numbers on demand.
"""

from __future__ import annotations

import csv
import dataclasses
import importlib.resources
import io
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, cast

from elec.errors import TableError, TableRangeError

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

__all__ = [
    "LOOKUPS",
    "READ",
    "Column",
    "Papers",
    "Source",
    "Table",
    "names",
    "remembered",
    "table",
    "tables_folders",
    "use_tables_from",
]

F = TypeVar("F", bound=Callable[..., Any])

#: How the numbers of a table were read, surest first.
READ = ("text", "republished", "computed", "practice", "memory")
#: How a table may be looked up.
LOOKUPS = ("exact", "next-larger", "band", "linear", "list")

_ORDERS = ("", "ascending", "descending")
_DIRECTIONS = ("", "increasing", "decreasing", "non-decreasing", "non-increasing")
_BETWEEN = ("", "upper")
_REQUIRED = (
    "title",
    "publisher",
    "edition",
    "clause",
    "read",
    "read_how",
    "conditions",
    "lookup",
    "cautions",
    "columns",
)

_NO_EDITION = ("", "none", "per row")

_own_folders: list[Path] = []
_forget: list[Callable[[], None]] = []


@dataclass(frozen=True)
class Column:
    """What one column holds: its unit (``text`` for words), meaning, and direction along rows."""

    unit: str
    meaning: str
    monotonic: str = ""


@dataclass(frozen=True)
class Source:
    """Where a number of a finding came from, one to one with ``sources`` of the JSON."""

    table: str
    title: str
    edition: str
    clause: str
    read: str

    @property
    def cited(self) -> str:
        """Title, edition and clause in one line, without those that there are not."""
        parts = [part for part in (self.edition, self.clause) if part not in _NO_EDITION]
        return f"{self.title}: {', '.join(parts)}" if parts else self.title

    @property
    def provisional(self) -> bool:
        """Whether the number is from memory, and so must be shown as provisional."""
        return self.read == "memory"


@dataclass(frozen=True)
class Papers:
    """The papers of a table: who published it, how it was read, what it holds for.

    ``between = "upper"``: bands are printed in whole steps (..1100, 1101..), and a value between
    two of them belongs to the upper one.
    """

    title: str
    publisher: str
    edition: str
    clause: str
    read: str
    read_how: str
    conditions: str
    lookup: str
    cautions: tuple[str, ...]
    columns: dict[str, Column]
    key: tuple[str, ...] = ()
    ordered: str = ""
    row_status: str = ""
    row_source: str = ""
    between: str = ""
    cross_check: str = ""


@dataclass(frozen=True)
class Table:
    """A published table with its papers.

    Look-ups raise :class:`elec.errors.TableRangeError` outside the rows.
    """

    name: str
    papers: Papers
    columns: dict[str, tuple[str, ...]]
    folder: str = field(default="", compare=False)

    def __len__(self) -> int:
        return len(next(iter(self.columns.values()), ()))

    def text(self, column: str) -> tuple[str, ...]:
        """Return a column as printed."""
        try:
            return self.columns[column]
        except KeyError:
            known = ", ".join(self.columns)
            raise TableError(f"table '{self.name}' has no column '{column}' ({known})") from None

    def numbers(self, column: str) -> npt.NDArray[np.float64]:
        """Return a column as floats; a blank cell is NaN, any other non-number raises."""
        import numpy as np

        cells = self.text(column)
        values = [self._number(column, cell) if cell else np.nan for cell in cells]
        return np.asarray(values, dtype=np.float64)

    def rows(self) -> tuple[dict[str, str], ...]:
        """Return the rows as dictionaries of text, not to be changed."""
        return self._rows

    @cached_property
    def _rows(self) -> tuple[dict[str, str], ...]:
        names = list(self.columns)
        return tuple(
            dict(zip(names, cells, strict=True))
            for cells in zip(*self.columns.values(), strict=True)
        )

    def where(self, **keys: str) -> Table:
        """Return the table of only the rows whose cells equal ``keys``; raises if there is none."""
        asked = tuple(keys.items())
        if asked in self._parts:
            return self._parts[asked]
        kept = self._kept(keys)
        columns = {name: tuple(cells[i] for i in kept) for name, cells in self.columns.items()}
        part = self._parts[asked] = dataclasses.replace(self, columns=columns)
        return part

    @cached_property
    def _parts(self) -> dict[tuple[tuple[str, str], ...], Table]:
        """Parts of the table asked for before, by what was asked."""
        return {}

    def _kept(self, keys: dict[str, str]) -> list[int]:
        """Return the numbers of the rows whose cells equal ``keys``; raises if there is none."""
        names = tuple(keys)
        if names not in self._places:
            places: dict[tuple[str, ...], list[int]] = {}
            columns = [self.text(name) for name in names]
            for number in range(len(self)):
                places.setdefault(tuple(cells[number] for cells in columns), []).append(number)
            self._places[names] = places
        try:
            return self._places[names][tuple(keys.values())]
        except KeyError:
            raise TableRangeError(
                f"table '{self.name}' has no row with {self._named(keys)}; tables are not "
                "extrapolated"
            ) from None

    def _named(self, keys: dict[str, str]) -> str:
        """Return cells of key columns in words: the columns' names without unit, then the cell."""
        named = []
        for name, cell in keys.items():
            unit = self.papers.columns[name].unit
            words = name.removesuffix(f"_{unit}").replace("_", " ")
            named.append(f"{words} {cell}" + ("" if unit in ("text", "-") else f" {unit}"))
        return ", ".join(named)

    @cached_property
    def _places(self) -> dict[tuple[str, ...], dict[tuple[str, ...], list[int]]]:
        """Numbers of the rows by their cells, for the columns asked for before."""
        return {}

    def row(self, **keys: str) -> dict[str, str]:
        """Return the one row whose cells equal ``keys``, not to be changed."""
        kept = self._kept(keys)
        if len(kept) > 1:
            raise TableError(f"table '{self.name}' has {len(kept)} rows with {self._named(keys)}")
        return self._rows[kept[0]]

    def exact(self, column: str, **keys: str) -> float:
        """Return the number in ``column`` of the one row whose cells equal ``keys``."""
        self.text(column)
        cell = self.row(**keys)[column]
        if not cell:
            raise TableRangeError(
                f"table '{self.name}', {self._named(keys)}: no value is printed in '{column}'"
            )
        return self._number(column, cell)

    def next_larger(self, key_column: str, wanted: npt.ArrayLike) -> npt.NDArray[np.int_]:
        """Return the row of the smallest listed ``key_column`` that is at least ``wanted``.

        Works on arrays. Raises beyond the largest listed value.
        """
        import numpy as np

        keys = self.numbers(key_column)
        order = np.argsort(keys, kind="stable")[: np.count_nonzero(~np.isnan(keys))]
        wanted = np.asarray(wanted, dtype=np.float64)
        place = np.searchsorted(keys[order], wanted, side="left")
        beyond = (place >= len(order)) | np.isnan(wanted)
        if np.any(beyond):
            raise TableRangeError(
                f"table '{self.name}': {key_column} {wanted[beyond].flat[0]:g} is above its last "
                f"row ({keys[order].max(initial=-np.inf):g}); tables are not extrapolated"
            )
        return np.asarray(order[place], dtype=int)

    def band(
        self, low_column: str, high_column: str, wanted: npt.ArrayLike
    ) -> npt.NDArray[np.int_]:
        """Return the first row whose band ``low..high`` (ends in) holds ``wanted``.

        One blank end is open; a row with both ends blank holds nothing. Works on arrays. Raises
        where no band holds the value.
        """
        import numpy as np

        low, high = self.numbers(low_column), self.numbers(high_column)
        rows = np.flatnonzero(~(np.isnan(low) & np.isnan(high)))
        low = np.nan_to_num(low[rows], nan=-np.inf)
        high = np.nan_to_num(high[rows], nan=np.inf)
        if self.papers.between == "upper":
            order = np.argsort(high, kind="stable")
            just_above = np.nextafter(high[order[:-1]], np.inf)
            low[order[1:]] = np.minimum(low[order[1:]], just_above)
        wanted = np.asarray(wanted, dtype=np.float64)
        inside = (wanted[..., None] >= low) & (wanted[..., None] <= high)
        held = inside.any(axis=-1)
        if not np.all(held):
            raise TableRangeError(
                f"table '{self.name}' has no row for {low_column} to {high_column} = "
                f"{wanted[~held].flat[0]:g}; tables are not extrapolated"
            )
        return np.asarray(rows[inside.argmax(axis=-1)], dtype=int)

    def linear(
        self, x_column: str, y_column: str, wanted: npt.ArrayLike
    ) -> npt.NDArray[np.float64]:
        """Interpolate ``y`` at ``wanted`` where the papers allow it (``lookup = "linear"``)."""
        import numpy as np

        if self.papers.lookup != "linear":
            raise TableError(f"table '{self.name}' may not be interpolated ({self.papers.lookup})")
        x, y = self.numbers(x_column), self.numbers(y_column)
        printed = ~(np.isnan(x) | np.isnan(y))
        x, y = x[printed], y[printed]
        wanted = np.asarray(wanted, dtype=np.float64)
        lowest, highest = x.min(initial=np.inf), x.max(initial=-np.inf)
        outside = ~((wanted >= lowest) & (wanted <= highest))
        if np.any(outside):
            raise TableRangeError(
                f"table '{self.name}': {x_column} must lie in {lowest:g}..{highest:g}, not "
                f"{wanted[outside].flat[0]:g}; tables are not extrapolated"
            )
        order = np.argsort(x, kind="stable")
        return np.asarray(np.interp(wanted, x[order], y[order]), dtype=np.float64)

    def source(self, **keys: str) -> Source:
        """Return the source to attach to a finding; ``keys`` name the row, for its own papers."""
        about = self.papers
        read, edition, clause = about.read, about.edition, about.clause
        if keys and about.row_status:
            read = _read(self.row(**keys)[about.row_status], otherwise=read)
        if keys and about.row_source:
            edition, clause = self.row(**keys)[about.row_source], ""
        return Source(self.name, about.title, edition, clause, read)

    def _number(self, column: str, cell: str) -> float:
        try:
            return float(cell)
        except ValueError:
            raise TableError(
                f"table '{self.name}', column '{column}': '{cell}' is not a number"
            ) from None


def _read(status: str, *, otherwise: str) -> str:
    """Return the least sure of the ways of reading that a row's status names."""
    words = {"read in the text": "text"} | {word: word for word in READ if word != "text"}
    named = [read for word, read in words.items() if word in status.lower()]
    return max(named, key=READ.index, default=otherwise)


def _shipped_folder() -> Path:
    inside = importlib.resources.files("elec") / "tables"
    if inside.is_dir():
        return Path(str(inside))
    beside = Path(__file__).resolve().parents[1] / "tables"
    if beside.is_dir():
        return beside
    raise TableError("the folder of published tables was not found beside the package")


def use_tables_from(*folders: Path | str) -> None:
    """Let tables in ``folders`` replace the shipped ones of the same name, first folder first."""
    for folder in folders:
        if not Path(folder).is_dir():
            raise TableError(f"'{folder}' is not a folder of tables")
    _own_folders[:] = [Path(folder) for folder in folders]
    for forget in _forget:
        forget()


def tables_folders() -> tuple[Path, ...]:
    """Return the folders searched, first the user's own, last the shipped one."""
    return (*_own_folders, _shipped_folder())


def names() -> tuple[str, ...]:
    """Return the names of all tables, in order."""
    return tuple(sorted(set().union(*map(_held, tables_folders()))))


def remembered(function: F) -> F:
    """Cache what a function reads out of tables, until other tables are used."""
    kept = cache(function)
    _forget.append(kept.cache_clear)
    return cast(F, kept)


@remembered
def _held(folder: Path) -> dict[str, Path]:
    """Return the tables of a folder by name, in it or in the folders of subjects within it."""
    found: dict[str, Path] = {}
    for path in sorted([*folder.glob("*.csv"), *folder.glob("*/*.csv")]):
        if path.is_file() and found.setdefault(path.stem, path) != path:
            raise TableError(f"table '{path.stem}' stands twice: {found[path.stem]} and {path}")
    return found


@remembered
def table(name: str) -> Table:
    """Load one table with its papers.

    Parameters
    ----------
    name : str
        File name without its ending. [text]

    Raises
    ------
    TableError
        If there is no such table, its papers are missing or incomplete, or the two do not match.
    """
    for folder in tables_folders():
        path = _held(folder).get(name)
        if path is not None:
            return _load(path)
    import difflib

    near = difflib.get_close_matches(name, names(), n=3, cutoff=0.4)
    hint = f" Nearest: {', '.join(near)}." if near else ""
    raise TableError(f"there is no table '{name}'.{hint}")


def _load(path: Path) -> Table:
    papers = _papers(path)
    try:
        content = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise TableError(f"{path}: cannot be read as UTF-8 text ({error})") from None
    lines = list(csv.reader(io.StringIO(content)))
    if len(lines) < 2:
        raise TableError(f"{path}: a header and at least one row are needed")
    header, *rows = lines
    if set(header) != set(papers.columns) or len(set(header)) != len(header):
        odd = sorted(set(header) ^ set(papers.columns))
        raise TableError(f"{path}: header and papers differ in columns: {', '.join(odd) or header}")
    for number, cells in enumerate(rows, start=2):
        if len(cells) != len(header):
            raise TableError(f"{path}, line {number}: {len(cells)} cells, not {len(header)}")
    columns = {name: tuple(row[i].strip() for row in rows) for i, name in enumerate(header)}
    _check_keys(path, papers, columns)
    return Table(path.stem, papers, columns, str(path.parent))


def _check_keys(path: Path, papers: Papers, columns: dict[str, tuple[str, ...]]) -> None:
    unknown = {*papers.key, papers.row_status, papers.row_source} - {"", *columns}
    if unknown:
        raise TableError(
            f"{path}: key, row_status or row_source names no column: {', '.join(sorted(unknown))}"
        )
    seen: set[tuple[str, ...]] = set()
    keys = zip(*(columns[name] for name in papers.key), strict=True)
    for number, key in enumerate(keys, start=2):
        if "" in key or key in seen:
            raise TableError(f"{path}, line {number}: key {', '.join(key)!r} is blank or repeated")
        seen.add(key)


def _papers(path: Path) -> Papers:
    sidecar = path.with_suffix(".toml")
    try:
        data = tomllib.loads(sidecar.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise TableError(
            f"{path}: table without papers; {sidecar.name} must say where it is from"
        ) from None
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise TableError(f"{sidecar}: {error}") from None
    missing = [key for key in _REQUIRED if key not in data]
    if missing:
        raise TableError(f"{sidecar}: papers lack {', '.join(missing)}")
    for key in ("cautions", "key"):
        if isinstance(data.get(key), str):
            raise TableError(f'{sidecar}: {key} is a list, as {key} = ["..."]')
    try:
        columns = {name: Column(**about) for name, about in data.pop("columns").items()}
        papers = Papers(
            columns=columns,
            cautions=tuple(data.pop("cautions")),
            key=tuple(data.pop("key", ())),
            **data,
        )
    except (TypeError, AttributeError) as error:
        raise TableError(f"{sidecar}: {error}") from None
    choices: list[tuple[str, str, tuple[str, ...]]] = [
        ("read", papers.read, READ),
        ("lookup", papers.lookup, LOOKUPS),
        ("ordered", papers.ordered, _ORDERS),
        ("between", papers.between, _BETWEEN),
    ]
    choices += [(f"monotonic of {name}", c.monotonic, _DIRECTIONS) for name, c in columns.items()]
    for what, given, known in choices:
        if given not in known:
            accepted = ", ".join(filter(None, known))
            raise TableError(f"{sidecar}: {what} = '{given}' is not one of {accepted}")
    return papers
