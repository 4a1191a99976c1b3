"""Every table in ``tables/`` has full papers, tidy rows, and the shape that its papers promise."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from elec import published

FOLDER = published.tables_folders()[-1]
FILES = sorted(FOLDER.glob("*/*"))
NAMES = published.names()
WORDS = ("text", "AWG")  # units of cells that are words: sizes such as 4/0 are names, not numbers
NO_UNIT = ("-", "text", "per row")
BAND_ENDS = (("_from", "_to"), ("_min", "_max"), ("_over", "_to"), ("_low", "_high"))
SPELLED = {
    "BTU/h": "BTU_h",
    "%": "pct",
    "²": "2",
    "³": "3",
    "°": "",
    "Ω": "ohm",
    "µ": "u",
    "/": "_per_",
    "'": "",
}


def spelled(unit: str) -> str:
    """Spell a unit as it appears in a header: ``ohm mm²/m`` is ``ohm_mm2_per_m``."""
    for sign, word in SPELLED.items():
        unit = unit.replace(sign, word)
    return "_".join(re.findall(r"\w+", unit)).replace("__", "_").removeprefix("1_")


def in_header(unit: str, header: str) -> bool:
    """Whether the header shows the unit as whole words between underscores."""
    header = f"_{header}_".replace("_percent_", "_pct_")
    if unit == "AWG":
        return "_AWG_" in header or "_size_" in header
    return f"_{spelled(unit)}_" in header


@pytest.fixture(params=NAMES)
def table(request: pytest.FixtureRequest) -> published.Table:
    return published.table(request.param)


def groups(table: published.Table) -> list[list[int]]:
    """Return the rows, in order, that share all key columns but the last."""
    shared = table.papers.key[:-1]
    found: dict[tuple[str, ...], list[int]] = {}
    for row in range(len(table)):
        found.setdefault(tuple(table.text(name)[row] for name in shared), []).append(row)
    return list(found.values())


def runs(values: Sequence[float] | np.ndarray, direction: str) -> bool:
    """Whether the values, blanks left out, run in the direction."""
    steps = np.diff([v for v in values if not np.isnan(v)])
    return bool(
        np.all(
            {
                "increasing": steps > 0,
                "ascending": steps > 0,
                "decreasing": steps < 0,
                "descending": steps < 0,
                "non-decreasing": steps >= 0,
                "non-increasing": steps <= 0,
            }[direction]
        )
    )


# -- the folder ------------------------------------------------------------------------------


def test_there_are_tables_and_nothing_but_tables_and_papers() -> None:
    assert NAMES
    assert all(path.is_dir() for path in FOLDER.iterdir())
    assert {path.suffix for path in FILES} <= {".csv", ".toml"}


def test_no_papers_without_a_table() -> None:
    alone = {path.stem for path in FOLDER.glob("*/*.toml")} - set(NAMES)
    assert not alone


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_files_are_clean_text(path: Path) -> None:
    content = path.read_bytes()
    text = content.decode("utf-8")
    assert not content.startswith(b"\xef\xbb\xbf")
    assert "\r" not in text
    assert "\t" not in text
    assert text.endswith("\n")
    assert not text.endswith("\n\n")
    assert not any(line != line.rstrip() for line in text.split("\n"))
    if path.suffix == ".csv":
        assert "\n\n" not in text
        assert not re.search(r"^[,\s]*$", text[:-1], re.MULTILINE)


# -- the papers ------------------------------------------------------------------------------


def test_papers_say_something(table: published.Table) -> None:
    papers = table.papers
    for word in ("title", "publisher", "edition", "clause", "read_how", "conditions"):
        value = getattr(papers, word)
        assert isinstance(value, str), word
        assert value.strip(), word
    assert all(caution.strip() for caution in papers.cautions)
    assert papers.read in published.READ
    assert papers.lookup in published.LOOKUPS


def test_what_is_not_a_list_can_be_looked_up(table: published.Table) -> None:
    assert table.papers.key or table.papers.lookup == "list"


def test_every_column_is_described(table: published.Table) -> None:
    for name, column in table.papers.columns.items():
        assert re.fullmatch(r"\w+", name), name
        assert column.unit.strip(), name
        assert column.meaning.strip(), name


def test_headers_show_their_units(table: published.Table) -> None:
    for name, column in table.papers.columns.items():
        if column.unit == "per row":
            assert "unit" in table.columns, f"{name}: no column says the unit of each row"
        if column.unit not in NO_UNIT:
            assert in_header(column.unit, name), f"{name} does not show its unit {column.unit}"


def test_each_row_says_how_it_was_read_and_where_it_stands(table: published.Table) -> None:
    for column in (table.papers.row_status, table.papers.row_source):
        assert not column or all(table.text(column)), column


# -- the rows --------------------------------------------------------------------------------


def test_numbers_are_finite_numbers(table: published.Table) -> None:
    for name, column in table.papers.columns.items():
        if column.unit not in WORDS:
            cells = table.text(name)
            assert any(cells), f"{name} is blank throughout"
            numbers = table.numbers(name)
            assert np.isfinite(numbers[[bool(cell) for cell in cells]]).all(), name


def test_sizes_are_gauge_numbers(table: published.Table) -> None:
    for name, column in table.papers.columns.items():
        if column.unit == "AWG":
            for cell in table.text(name):
                assert re.fullmatch(r"(\d{1,2}|[1-4]/0|)", cell), f"{name}: {cell!r}"


def test_keys_are_unique_and_not_blank(table: published.Table) -> None:
    keys = [tuple(row[name] for name in table.papers.key) for row in table.rows()]
    if table.papers.key:
        assert all(all(key) for key in keys)
        assert len(set(keys)) == len(keys)


def test_rows_run_as_declared(table: published.Table) -> None:
    papers = table.papers
    if not papers.ordered:
        return
    running = papers.key[-1]
    assert papers.columns[running].unit not in WORDS
    values = table.numbers(running)
    for rows in groups(table):
        assert runs(values[rows], papers.ordered)


def test_columns_run_as_declared(table: published.Table) -> None:
    for name, column in table.papers.columns.items():
        if column.monotonic:
            values = table.numbers(name)
            for rows in groups(table):
                assert runs(values[rows], column.monotonic), f"{name} is not {column.monotonic}"


def test_bands_join_without_overlap_and_are_open_only_at_their_ends(
    table: published.Table,
) -> None:
    if table.papers.lookup != "band":
        return
    pairs = [
        (name, name.replace(start, end, 1))
        for name in table.columns
        for start, end in BAND_ENDS
        if start in name and name.replace(start, end, 1) in table.columns
    ]
    assert pairs, f"a band table names its ends by one of {BAND_ENDS}"
    pairs = [pair for pair in pairs if table.papers.key[-1] in pair] or pairs
    for low_name, high_name in pairs:
        low, high = table.numbers(low_name), table.numbers(high_name)
        for rows in groups(table):
            banded = [r for r in rows if not (np.isnan(low[r]) and np.isnan(high[r]))]
            below = -np.inf
            for place, row in enumerate(
                sorted(banded, key=lambda r: np.nan_to_num(low[r], nan=-9e9))
            ):
                assert place == 0 or not np.isnan(low[row])
                assert place == len(banded) - 1 or not np.isnan(high[row])
                assert np.isnan(low[row]) or low[row] >= below
                assert np.isnan(high[row]) or np.isnan(low[row]) or high[row] >= low[row]
                below = high[row]


# -- the rules above can fail ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("unit", "header", "shown"),
    [
        ("A", "ampacity_A_at_insulation_105C", True),
        ("A", "ampacity_at_insulation_105C", False),
        ("A", "rating_Ah", False),
        ("%", "demand_pct", True),
        ("%", "duty_cycle_percent", True),
        ("%", "demand", False),
        ("mm²", "area_mm2", True),
        ("mm²", "area_mm", False),
        ("°C", "ambient_C", True),
        ("°C", "ambient", False),
        ("ohm/km", "R20_ohm_per_km", True),
        ("ohm mm²/m", "rho_ohm_mm2_per_m", True),
        ("ohm mm²/m", "rho_ohm_per_m", False),
        ("1/K", "alpha_per_K", True),
        ("A sqrt(s)/mm²", "k_A_sqrt_s_per_mm2", True),
        ("AWG", "size", True),
        ("AWG", "gauge", False),
    ],
)
def test_rule_of_headers(unit: str, header: str, shown: bool) -> None:
    assert in_header(unit, header) is shown


@pytest.mark.parametrize(
    ("values", "direction", "does"),
    [
        ([1, 2, np.nan, 3], "increasing", True),
        ([1, 2, np.nan, 2], "increasing", False),
        ([1, 2, 2], "non-decreasing", True),
        ([3, 2, 2], "decreasing", False),
        ([3, 2, 2], "non-increasing", True),
        ([1, 2], "descending", False),
    ],
)
def test_rule_of_directions(values: list[float], direction: str, does: bool) -> None:
    assert runs(values, direction) is does
