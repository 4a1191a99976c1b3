"""Quotes as yards export them, good and hostile; what is wrong is said with its place.

Forms of files are common practice, no source.
"""

from __future__ import annotations

import tempfile
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given as given_that
from hypothesis import settings
from hypothesis import strategies as st

from elec.errors import BoatFileError
from elec.quote.read import read
from elec.quote.sums import add_up

HEAD = "line,description,qty,unit,rate,amount\n"


def sheet(tmp_path: Path, content: str | bytes, name: str = "quote.csv"):
    path = tmp_path / name
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read(path)


def refused(tmp_path: Path, content: str | bytes, name: str = "quote.csv") -> str:
    with pytest.raises(BoatFileError) as caught:
        sheet(tmp_path, content, name)
    return str(caught.value)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_delimiters(tmp_path, delimiter):
    text = (HEAD + "1,Fuse,2,each,12.50,25.00\n").replace(",", delimiter)
    line = sheet(tmp_path, text).file.line[0]
    assert (line.text, line.quantity, line.amount) == ("Fuse", 2, Decimal("25.00"))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings(tmp_path, encoding):
    text = (
        "Pos.;Beschreibung;Menge;Einheit;Einzelpreis;Gesamtpreis\n"
        "1;Kabel für Bugstrahlruder;10;m;1.234,50;12.345,00\n"
    )
    line = sheet(tmp_path, text.encode(encoding)).file.line[0]
    assert line.text == "Kabel für Bugstrahlruder"
    assert line.rate == Decimal("1234.50")
    assert line.amount == Decimal("12345.00")


def test_columns_in_any_order_with_others_between(tmp_path):
    given = sheet(tmp_path, "Amount,Shelf,Description,Rate,Qty\n25.00,B4,Fuse,12.50,2\n")
    assert given.unread == ("Shelf",)
    assert given.file.line[0].rate == Decimal("12.50")
    assert given.file.line[0].id == "1"


def test_rows_below_the_lines(tmp_path):
    text = HEAD + (
        "1,Fuse,2,each,12.50,25.00\n,Subtotal,,,,25.00\n,Discount 10 %,,,,-2.50\n"
        ",VAT 20 %,,,,4.50\n,Grand total,,,,27.00\n"
    )
    quote = sheet(tmp_path, text).file.quote
    assert quote.subtotal == Decimal("25.00")
    assert quote.discount.best == pytest.approx(0.10)
    assert quote.tax_amount == Decimal("4.50")
    assert quote.total == Decimal("27.00")


def test_a_thing_that_is_called_total_is_a_line(tmp_path):
    text = HEAD + "1,Total isolation switch,1,each,40.00,40.00\n2,Tax,,,,8.00\n"
    given = sheet(tmp_path, text)
    assert [line.text for line in given.file.line] == ["Total isolation switch"]


def test_rows_of_words_alone_head_those_below(tmp_path):
    text = HEAD + (
        ",Batteries,,,,\n1,Battery 12 V,2,each,100.00,200.00\n,Lugs included,,,,\n"
        ",Cables,,,,\n2,Cable,2,m,10.00,20.00\n,Subtotal Cables,,,,20.00\n"
    )
    given = sheet(tmp_path, text)
    assert [(ln.section, ln.text) for ln in given.file.line] == [
        ("Batteries", "Battery 12 V"),
        ("Batteries", "Lugs included"),
        ("Cables", "Cable"),
    ]
    assert add_up(given).slips == ()


def test_formula_where_a_number_belongs(tmp_path):
    said = refused(tmp_path, HEAD + "1,Fuse,2,each,12.50,=C2*E2\n")
    assert "quote.csv:2" in said
    assert "is a formula" in said
    assert "Export the values" in said


def test_formula_in_words_is_words(tmp_path):
    given = sheet(tmp_path, HEAD + '1,"=HYPERLINK(""x"")",2,each,12.50,25.00\n')
    assert given.file.line[0].text.startswith("=HYPERLINK")


@pytest.mark.parametrize("number", ["9" * 40, "1e999", "1e9999999", "NaN", "Infinity", "-1e-999"])
def test_huge_numbers(tmp_path, number):
    said = refused(tmp_path, HEAD + f"1,Fuse,2,each,12.50,{number}\n")
    assert "line '1', amount" in said
    assert len(said) < 500


@pytest.mark.parametrize("number", ["1e999999999", "inf", "nan", "1e-30", "true", "[1]"])
def test_huge_numbers_in_toml(tmp_path, number):
    said = refused(tmp_path, f'[[line]]\nid = "1"\ntext = "Fuse"\namount = {number}\n', "q.toml")
    assert "amount" in said
    assert len(said) < 500


def test_mixed_encodings(tmp_path):
    content = HEAD.encode() + "1,Câble,1,m,5.00,5.00\n".encode() + b"2,C\xe2ble,1,m,5.00,5.00\n"
    said = refused(tmp_path, content)
    assert "quote.csv:3" in said
    assert "mixed encodings" in said


def test_zero_bytes(tmp_path):
    assert "zero byte" in refused(tmp_path, HEAD.encode() + b"1,\x00Fuse,1,each,5.00,5.00\n")


def test_missing_columns(tmp_path):
    said = refused(tmp_path, "line,description,qty,rate\n1,Fuse,2,12.50\n")
    assert "no column for amount" in said
    assert "Example: line,description,quantity,unit,rate,amount" in said


def test_no_headings_at_all(tmp_path):
    assert "no column for" in refused(tmp_path, "1,Fuse,2,each,12.50,25.00\n")


def test_two_columns_that_say_the_same(tmp_path):
    said = refused(tmp_path, "description,amount,betrag\nFuse,2.00,3.00\n")
    assert "say the same" in said


def test_more_cells_than_headings(tmp_path):
    said = refused(tmp_path, HEAD + "1,Fuse, big,2,each,12.50,25.00\n")
    assert "7 cells under 6 headings" in said


def test_ambiguous_numbers_are_asked_about(tmp_path):
    assert "may be a decimal" in refused(tmp_path, HEAD + "1,Fuse,1,each,1.234,1.234\n")


def test_two_currencies(tmp_path):
    said = refused(tmp_path, HEAD + "1,Fuse,1,each,€ 1.20,€ 1.20\n2,Lug,1,each,£ 1.20,£ 1.20\n")
    assert "more than one currency" in said


def test_all_faults_in_one_go(tmp_path):
    said = refused(
        tmp_path,
        "line,description,qty,unit,rate,amount,size,chemistry\n"
        "1,Cable,abc,m,5.00,5.00,99 zz,\n"
        "2,Battery,1,each,5.00,5.00,,agn\n2,Fuse,1,each,1.00,1.00,,\n",
    )
    for words in ("quantity", "size", "Did you mean 'agm'"):
        assert words in said


def test_same_number_twice(tmp_path):
    said = refused(tmp_path, HEAD + "1,Fuse,1,each,5.00,5.00\n1,Lug,1,each,5.00,5.00\n")
    assert "has the same number" in said


def test_unknown_key(tmp_path):
    said = refused(tmp_path, '[[line]]\nid = "1"\ntext = "Fuse"\nprize = 5\n', "q.toml")
    assert "unknown key 'prize'" in said


@pytest.mark.parametrize(
    "content", ["", "\n\n", "[quote]\n", "line = 3\n", "quote = 1\nline = []\n"]
)
def test_empty(tmp_path, content):
    for name in ("q.csv", "q.toml"):
        assert refused(tmp_path, content, name)


def test_no_file(tmp_path):
    with pytest.raises(BoatFileError, match="no such file"):
        read(tmp_path / "none.csv")
    with pytest.raises(BoatFileError, match="directory"):
        read(tmp_path)


def test_not_stated_ranges_and_about(tmp_path):
    line = sheet(
        tmp_path,
        '[[line]]\nid = "1"\ntext = "Cable"\nsize = "not stated"\nlength = "~12 m"\n'
        'rating = "60..80 A"\ncapacity = "?"\n',
        "q.toml",
    ).file.line[0]
    assert not line.size.seen
    assert line.length.span == pytest.approx((9.6, 12.0, 14.4))
    assert line.rating.span == (60.0, 70.0, 80.0)
    assert not line.capacity.seen


def test_quantity_with_its_unit(tmp_path):
    line = sheet(tmp_path, HEAD + "1,Cable,12.5 m,,4.00,50.00\n").file.line[0]
    assert (line.quantity, line.unit) == (Decimal("12.5"), "m")


CELLS = st.sampled_from(
    ["", "1", "Fuse", "=1+1", "-5", "1.234,5", "1,5", "m", "h", "Total", "Subtotal A", "10 %", '"',
     "VAT 20 %", "€ 3", "1e99", "?", "house|x", "2 AWG", "\x00", "é", "a;b", "'"]
)  # fmt: skip
HEADS = st.sampled_from(["description,qty,rate,amount", "pos;text;amount", "text\tamount", "a,b"])


@settings(max_examples=150, deadline=None)
@given_that(HEADS, st.lists(st.lists(CELLS, max_size=6), max_size=6), st.sampled_from(",;\t"))
def test_whatever_the_cells_a_quote_is_read_or_refused_in_words(head, rows, delimiter):
    text = "\n".join([head, *(delimiter.join(row) for row in rows)])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "q.csv"
        path.write_bytes(text.encode())
        try:
            sums = add_up(read(path))
        except BoatFileError as error:
            assert error.faults  # noqa: PT017
        else:
            assert sums.total_right.is_finite()


@settings(max_examples=150, deadline=None)
@given_that(st.binary(max_size=60), st.sampled_from(["q.csv", "q.toml"]))
def test_any_bytes_are_read_or_refused(content, name):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(b"description,amount\n" + content if name == "q.csv" else content)
        try:
            given_quote = read(path)
        except BoatFileError as error:
            assert str(error).isprintable() or "\n" in str(error)  # noqa: PT017
        else:
            assert given_quote.file.line
