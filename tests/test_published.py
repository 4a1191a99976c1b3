"""The loader of published tables: what it refuses, how it looks up, where it stops."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec import published
from elec.errors import ElecError, TableError, TableRangeError

PAPERS = """\
title = "Invented"
publisher = "nobody"
edition = "none"
clause = "none"
read = "text"
read_how = "invented for this test"
conditions = "none"
lookup = "linear"
key = ["size"]
ordered = ""
row_status = "status"
cautions = []
[columns.size]
unit = "text"
meaning = "name"
[columns.x_A]
unit = "A"
meaning = "rising"
[columns.y_V]
unit = "V"
meaning = "what is looked up"
[columns.status]
unit = "text"
meaning = "how the row was read"
"""
ROWS = """\
size,x_A,y_V,status
small,1,10,read in the text
middle,2.5,40,read as republished
large,4,20,"from memory, not confirmed"
"""
BAND_PAPERS = """\
title = "Invented bands"
publisher = "nobody"
edition = "none"
clause = "none"
read = "text"
read_how = "invented for this test"
conditions = "none"
lookup = "band"
key = ["factor"]
cautions = []
[columns.low_C]
unit = "°C"
meaning = "from"
[columns.high_C]
unit = "°C"
meaning = "to"
[columns.factor]
unit = "-"
meaning = "factor"
"""
BANDS = "low_C,high_C,factor\n,10,1\n11,15,2\n,,3\n16,20,4\n"


@pytest.fixture(autouse=True)
def _own_tables() -> Iterator[None]:
    yield
    published.use_tables_from()


def put(folder: Path, rows: str = ROWS, papers: str = PAPERS, name: str = "invented") -> None:
    (folder / f"{name}.csv").write_text(rows, encoding="utf-8")
    (folder / f"{name}.toml").write_text(papers, encoding="utf-8")
    published.use_tables_from(folder)


@pytest.fixture
def invented(tmp_path: Path) -> published.Table:
    put(tmp_path)
    return published.table("invented")


@pytest.fixture
def bands(tmp_path: Path) -> published.Table:
    put(tmp_path, BANDS, BAND_PAPERS)
    return published.table("invented")


# -- what is refused -------------------------------------------------------------------------


def test_table_without_papers_is_refused(tmp_path: Path) -> None:
    (tmp_path / "bare.csv").write_text(ROWS, encoding="utf-8")
    published.use_tables_from(tmp_path)
    assert "bare" in published.names()
    with pytest.raises(TableError, match="without papers"):
        published.table("bare")


@pytest.mark.parametrize(
    "line",
    [
        'title = "Invented"',
        'publisher = "nobody"',
        'edition = "none"',
        'clause = "none"',
        'read = "text"',
        'read_how = "invented for this test"',
        'conditions = "none"',
        'lookup = "linear"',
        "cautions = []",
    ],
)
def test_incomplete_papers_are_refused(tmp_path: Path, line: str) -> None:
    put(tmp_path, papers=PAPERS.replace(f"{line}\n", "", 1))
    with pytest.raises(TableError, match=f"lack {line.split()[0]}"):
        published.table("invented")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('read = "text"', 'read = "hearsay"', "read = 'hearsay'"),
        ('lookup = "linear"', 'lookup = "guess"', "lookup = 'guess'"),
        ('ordered = ""', 'ordered = "upwards"', "ordered = 'upwards'"),
        ("cautions = []", 'cautions = []\nbetween = "lower"', "between = 'lower'"),
        ('meaning = "rising"', 'meaning = "rising"\nmonotonic = "up"', "monotonic of x_A = 'up'"),
        ('meaning = "rising"', 'sense = "rising"', "sense"),
        ('conditions = "none"', 'conditions = "none"\nremark = "none"', "remark"),
        ('key = ["size"]', 'key = ["gauge"]', "gauge"),
        ('row_status = "status"', 'row_status = "certainty"', "certainty"),
        ('row_status = "status"', 'row_source = "whence"', "whence"),
        ("[columns.y_V]", "[columns.y_kV]", "y_V, y_kV"),
        ("key =", "key", "invented.toml"),
    ],
)
def test_wrong_papers_are_refused(tmp_path: Path, old: str, new: str, says: str) -> None:
    assert PAPERS.count(old) == 1
    put(tmp_path, papers=PAPERS.replace(old, new))
    with pytest.raises(TableError) as caught:
        published.table("invented")
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ("", "at least one row"),
        ("size,x_A,y_V,status\n", "at least one row"),
        ("size,x_A,status\nsmall,1,text\n", "differ in columns: y_V"),
        ("size,x_A,y_V,status,status\nsmall,1,10,,\n", "differ in columns"),
        (ROWS + "huge,8\n", "line 5: 2 cells, not 4"),
        (ROWS + "\n", "line 5: 0 cells, not 4"),
        (ROWS + "large,8,9,\n", "line 5: key 'large' is blank or repeated"),
        (ROWS + ",8,9,\n", "line 5: key '' is blank or repeated"),
    ],
)
def test_wrong_rows_are_refused(tmp_path: Path, rows: str, says: str) -> None:
    put(tmp_path, rows)
    with pytest.raises(TableError, match=says):
        published.table("invented")


def test_table_that_is_not_utf8_is_refused(tmp_path: Path) -> None:
    put(tmp_path)
    (tmp_path / "invented.csv").write_bytes(ROWS.encode() + b"\xb0,9,9,\n")
    with pytest.raises(TableError, match="UTF-8"):
        published.table("invented")


def test_unknown_table_names_the_nearest(tmp_path: Path) -> None:
    put(tmp_path)
    with pytest.raises(TableError, match="Nearest: invented"):
        published.table("invented_")


# -- whole columns and rows ------------------------------------------------------------------


def test_digits_stay_as_printed_and_blanks_become_nan(tmp_path: Path) -> None:
    put(tmp_path, ROWS.replace("2.5,40", "2.50,"))
    table = published.table("invented")
    assert len(table) == 3
    assert table.text("x_A") == ("1", "2.50", "4")
    assert table.numbers("x_A").tolist() == [1, 2.5, 4]
    assert np.isnan(table.numbers("y_V")).tolist() == [False, True, False]


def test_words_are_not_numbers(invented: published.Table) -> None:
    with pytest.raises(TableError, match="'small' is not a number"):
        invented.numbers("size")
    with pytest.raises(TableError, match="'small' is not a number"):
        invented.exact("size", size="small")


def test_unknown_column_names_the_known(invented: published.Table) -> None:
    for attempt in (
        lambda: invented.text("z"),
        lambda: invented.exact("z", size="small"),
        lambda: invented.row(z="1"),
    ):
        with pytest.raises(TableError, match=r"no column 'z' \(size, x_A, y_V, status"):
            attempt()


def test_row_and_where(tmp_path: Path) -> None:
    put(tmp_path, ROWS + "huge,4,9,\n")
    table = published.table("invented")
    assert table.row(size="middle")["y_V"] == "40"
    both = table.where(x_A="4")
    assert both.text("size") == ("large", "huge")
    assert both.papers == table.papers
    assert both.row(size="huge")["y_V"] == "9"
    with pytest.raises(TableError, match="2 rows with x 4 A"):
        table.row(x_A="4")
    with pytest.raises(TableRangeError, match="no row with size tiny"):
        table.where(size="tiny")


# -- exact -----------------------------------------------------------------------------------


def test_exact(invented: published.Table) -> None:
    assert invented.exact("y_V", size="middle") == 40


def test_exact_refuses_what_is_not_printed(tmp_path: Path) -> None:
    put(tmp_path, ROWS.replace("2.5,40", "2.5,") + "huge,4,9,\n")
    table = published.table("invented")
    with pytest.raises(TableRangeError, match="size middle: no value is printed in 'y_V'"):
        table.exact("y_V", size="middle")
    with pytest.raises(TableRangeError, match="no row with size tiny"):
        table.exact("y_V", size="tiny")
    with pytest.raises(TableError, match="2 rows"):
        table.exact("y_V", x_A="4")


# -- next larger -----------------------------------------------------------------------------


def test_next_larger_at_between_and_beyond_the_rows(invented: published.Table) -> None:
    wanted = [0.0, 1.0, np.nextafter(1.0, 2.0), 2.5, 3.0, 4.0]
    assert invented.next_larger("x_A", wanted).tolist() == [0, 0, 1, 1, 2, 2]
    assert int(invented.next_larger("x_A", 2.0)) == 1
    assert invented.next_larger("x_A", np.full((2, 3), 2.0)).shape == (2, 3)
    for beyond in (np.nextafter(4.0, 5.0), float("inf"), float("nan"), [1.0, 4.5]):
        with pytest.raises(TableRangeError, match=r"above its last row \(4\)"):
            invented.next_larger("x_A", beyond)


def test_next_larger_names_the_value_beyond(invented: published.Table) -> None:
    with pytest.raises(TableRangeError, match=r"x_A 7\.5 is above"):
        invented.next_larger("x_A", [1.0, 7.5, 2.0])


def test_next_larger_does_not_take_a_blank_for_a_large_value(tmp_path: Path) -> None:
    put(tmp_path, ROWS + "huge,,9,\n")
    table = published.table("invented")
    assert int(table.next_larger("x_A", 4.0)) == 2
    with pytest.raises(TableRangeError):
        table.next_larger("x_A", 4.1)


@given(wanted=st.floats(min_value=-10, max_value=4), order=st.permutations(range(1, 4)))
def test_next_larger_is_the_smallest_that_is_enough(wanted: float, order: list[int]) -> None:
    papers = published.table("range_demand").papers
    table = published.Table("invented", papers, {"x": tuple(str(v) for v in [*order, 4])})
    found = table.numbers("x")[table.next_larger("x", wanted)]
    assert found >= wanted
    assert not any(wanted <= x < found for x in table.numbers("x"))


# -- bands -----------------------------------------------------------------------------------


def test_band_ends_are_in_and_one_blank_end_is_open(bands: published.Table) -> None:
    wanted = [-273.0, 10.0, 11.0, 15.0, 16.0, 20.0]
    assert bands.band("low_C", "high_C", wanted).tolist() == [0, 0, 1, 1, 3, 3]
    assert int(bands.band("low_C", "high_C", 12.0)) == 1


@pytest.mark.parametrize("outside", [10.5, 15.5, 20.1, float("nan"), [5.0, 99.0]])
def test_band_holds_nothing_between_or_beyond(bands: published.Table, outside: float) -> None:
    with pytest.raises(TableRangeError, match="no row for low_C to high_C"):
        bands.band("low_C", "high_C", outside)


def test_a_row_without_ends_holds_nothing(tmp_path: Path) -> None:
    put(tmp_path, "low_C,high_C,factor\n,,3\n", BAND_PAPERS)
    with pytest.raises(TableRangeError):
        published.table("invented").band("low_C", "high_C", 12.0)


def test_between_bands_belongs_to_the_upper_one_where_the_papers_say_so(tmp_path: Path) -> None:
    upper = BAND_PAPERS.replace("cautions", 'between = "upper"\ncautions')
    put(tmp_path, BANDS, upper)
    table = published.table("invented")
    wanted = [10.0, np.nextafter(10.0, 11.0), 10.5, 11.0, 15.0, 15.5, 20.0]
    assert table.band("low_C", "high_C", wanted).tolist() == [0, 1, 1, 1, 1, 3, 3]
    with pytest.raises(TableRangeError):
        table.band("low_C", "high_C", 20.1)


# -- linear ----------------------------------------------------------------------------------


def test_linear_at_the_rows_and_between(invented: published.Table) -> None:
    found = invented.linear("x_A", "y_V", [1.0, 1.75, 2.5, 3.25, 4.0])
    assert found.tolist() == [10, 25, 40, 30, 20]


@pytest.mark.parametrize("outside", [np.nextafter(1, 0), np.nextafter(4, 5), np.nan, np.inf])
def test_linear_stops_at_its_ends(invented: published.Table, outside: float) -> None:
    with pytest.raises(TableRangeError, match=r"must lie in 1\.\.4, not"):
        invented.linear("x_A", "y_V", [2.0, outside])


def test_linear_ends_where_values_are_printed(tmp_path: Path) -> None:
    put(tmp_path, ROWS.replace("4,20", "4,"))
    table = published.table("invented")
    assert float(table.linear("x_A", "y_V", 2.5)) == 40
    with pytest.raises(TableRangeError, match=r"must lie in 1\.\.2\.5"):
        table.linear("x_A", "y_V", 3.0)


def test_linear_only_where_the_papers_allow(bands: published.Table) -> None:
    with pytest.raises(TableError, match="may not be interpolated"):
        bands.linear("low_C", "factor", 12.0)


@given(wanted=st.floats(min_value=1, max_value=4))
def test_linear_stays_within_the_printed_values(wanted: float) -> None:
    papers = published.table("alternator_derate_ambient").papers
    columns = {"x": ("1", "2.5", "4"), "y": ("10", "40", "20")}
    assert 10 <= float(published.Table("t", papers, columns).linear("x", "y", wanted)) <= 40


# -- sources ---------------------------------------------------------------------------------


def test_a_row_says_how_it_was_read(invented: published.Table) -> None:
    assert invented.source().read == "text"
    assert invented.source(size="small").read == "text"
    assert invented.source(size="middle").read == "republished"
    assert invented.source(size="large").read == "memory"
    assert invented.source(size="large").provisional
    assert not invented.source(size="middle").provisional


@pytest.mark.parametrize(
    ("status", "read"),
    [
        ("", "text"),
        ("something else", "text"),
        ("Read as republished; capacity computed", "computed"),
        ("common practice, no source", "practice"),
        ("read as republished; the voltage from memory", "memory"),
    ],
)
def test_the_least_sure_word_of_a_status_counts(tmp_path: Path, status: str, read: str) -> None:
    put(tmp_path, ROWS.replace("read in the text", f'"{status}"'))
    assert published.table("invented").source(size="small").read == read


def test_a_row_read_better_than_its_table_says_so(tmp_path: Path) -> None:
    put(tmp_path, papers=PAPERS.replace('read = "text"', 'read = "memory"'))
    table = published.table("invented")
    assert table.source().provisional
    assert table.source(size="small").read == "text"


def test_a_row_says_where_it_stands(tmp_path: Path) -> None:
    put(tmp_path, papers=PAPERS.replace("row_status", 'row_source = "size"\nrow_status'))
    table = published.table("invented")
    assert (table.source().edition, table.source().clause) == ("none", "none")
    assert table.source(size="large").edition == "large"
    assert table.source(size="large").title == "Invented"


# -- the user's own copies -------------------------------------------------------------------


def test_own_tables_replace_shipped_ones_first_folder_first(tmp_path: Path) -> None:
    shipped = published.table("range_demand")
    first, second = tmp_path / "first", tmp_path / "second"
    for folder, title in ((first, "Mine"), (second, "Other")):
        folder.mkdir()
        put(folder, papers=PAPERS.replace("Invented", title), name="range_demand")
    published.use_tables_from(first, second)
    assert published.table("range_demand").papers.title == "Mine"
    assert published.table("range_demand").folder == str(first)
    assert set(published.names()) >= {"range_demand", "shore_services"}
    assert published.tables_folders()[:2] == (first, second)
    published.use_tables_from()
    assert published.table("range_demand") == shipped


def test_what_is_remembered_of_a_table_is_forgotten_with_it(tmp_path: Path) -> None:
    @published.remembered
    def title() -> str:
        return published.table("range_demand").papers.title

    shipped = title()
    put(tmp_path, papers=PAPERS.replace("Invented", "Mine"), name="range_demand")
    published.use_tables_from(tmp_path)
    assert title() == "Mine"
    published.use_tables_from()
    assert title() == shipped


def test_cautions_that_are_no_list_are_refused(tmp_path: Path) -> None:
    put(tmp_path, papers=re.sub(r"(?m)^cautions = .*$", 'cautions = "One sentence."', PAPERS))
    with pytest.raises(TableError, match="cautions is a list"):
        published.table("invented")


def test_a_table_is_found_in_a_folder_of_its_subject(tmp_path: Path) -> None:
    (tmp_path / "cables").mkdir()
    put(tmp_path / "cables")
    published.use_tables_from(tmp_path)
    assert published.table("invented").folder == str(tmp_path / "cables")


def test_one_name_in_two_folders_of_subjects_is_refused(tmp_path: Path) -> None:
    for subject in ("cables", "shore"):
        (tmp_path / subject).mkdir()
        put(tmp_path / subject)
    published.use_tables_from(tmp_path)
    with pytest.raises(TableError, match="'invented' stands twice"):
        published.table("invented")


def test_a_missing_folder_is_refused_and_nothing_changes(tmp_path: Path) -> None:
    before = published.tables_folders()
    with pytest.raises(TableError, match="not a folder"):
        published.use_tables_from(tmp_path, tmp_path / "missing")
    assert published.tables_folders() == before


def test_errors_fit_ordinary_except_clauses() -> None:
    assert issubclass(TableRangeError, (TableError, LookupError))
    assert issubclass(TableError, ElecError)
