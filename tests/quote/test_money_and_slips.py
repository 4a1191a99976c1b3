"""Money as yards print it, and which slip a wrong figure most likely is.

Expected values are decimal arithmetic done by hand; forms of numbers are common practice, no
source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.errors import InputError
from elec.quote import money
from elec.quote.slips import likely_figure, likely_product

MARKED = [
    ("1,234.50", "point", "1234.50"),
    ("1.234,50", "comma", "1234.50"),
    ("1 234,50", "comma", "1234.50"),
    ("1'234.50", "point", "1234.50"),
    ("12.5", "point", "12.5"),
    ("0,185", "comma", "0.185"),
    ("1,234,567", "point", "1234567"),
    ("1,00,000.00", "point", "100000.00"),
    ("-12.30", "point", "-12.30"),
    ("(120.00)", "point", "-120.00"),
    ("12.30-", "point", "-12.30"),
    ("€ 12.30", "point", "12.30"),
    ("12,30 EUR", "comma", "12.30"),
    ("$1,234.00", "point", "1234.00"),
    ("-$5.00", "point", "-5.00"),
    ("kr 12,50", "comma", "12.50"),
]


@pytest.mark.parametrize(("text", "mark", "value"), MARKED)
def test_numbers_as_printed(text, mark, value):
    cell = money.printed(text)
    assert cell.mark == mark
    assert cell.value(mark) == Decimal(value)


def test_a_lone_mark_before_three_digits_says_nothing_by_itself():
    cell = money.printed("1.234")
    assert cell.mark is None
    assert cell.unclear
    assert money.the_mark([cell, money.printed("5,50")]) == "comma"
    assert cell.value("comma") == 1234
    assert cell.value("point") == Decimal("1.234")
    with pytest.raises(InputError, match="may be a decimal or thousands"):
        money.the_mark([cell])


def test_marks_that_contradict_are_refused():
    with pytest.raises(InputError, match="decimal point and"):
        money.the_mark([money.printed("1.50"), money.printed("2,50")])


@pytest.mark.parametrize(
    "text",
    ["=A1*2", "@SUM(A1)", "+cmd()", "1e999", "inf", "nan", "12 34", "1.2.3,4,5", "abc", "--5",
     "1 2345", "(5", "0x10", "१२", "1,2345.00", "9" * 30, "1." + "1" * 9],
)  # fmt: skip
def test_what_is_no_number_is_refused_in_words(text):
    def value():
        cell = money.printed(text)
        return cell.value(cell.mark or "point")

    with pytest.raises(InputError) as caught:
        value()
    assert caught.value.remedy


@given(st.decimals(min_value=0, max_value=10**12, places=2, allow_nan=False), st.sampled_from(".,"))
def test_what_is_written_is_read_back(number, mark):
    text = f"{number:,.2f}"
    if mark == ",":
        text = text.translate(str.maketrans(".,", ",."))
    cell = money.printed(text)
    assert cell.value(money.the_mark([cell])) == number


@given(st.integers(0, 10**9), st.integers(0, 10**6))
def test_products_are_exact(quantity, rate):
    product = money.EXACT.multiply(Decimal(quantity), Decimal(rate).scaleb(-4))
    assert product.scaleb(4) == quantity * rate


def test_a_half_coin_may_go_either_way():
    assert money.to_coin(Decimal("2.345"), 2) == Decimal("2.35")
    assert money.to_coin(Decimal("2.345"), 2, even=True) == Decimal("2.34")
    assert money.half_coin(2) == Decimal("0.005")
    assert money.half_coin(0) == Decimal("0.5")


def test_figures():
    assert "swapped" in likely_figure(Decimal("3354.00"), Decimal("3534.00"), 2)
    assert "mark" in likely_figure(Decimal("1460.00"), Decimal("146.00"), 2)
    assert "one digit" in likely_figure(Decimal("3534.00"), Decimal("3634.00"), 2)
    assert "sign" in likely_figure(Decimal("-5.00"), Decimal("5.00"), 2)
    assert likely_figure(Decimal("5.00"), Decimal("5.00"), 2) == ""
    assert likely_figure(Decimal("912.00"), Decimal("345.00"), 2) == ""


def test_products():
    # 64 ft at 4.60 a metre: 64 x 0.3048 x 4.60 = 89.73
    assert "metres" in likely_product(Decimal(64), Decimal("4.60"), Decimal("89.73"), "ft", 2)
    # 20 m at 3.00 a foot: 20 x 3.28084 x 3.00 = 196.85
    assert "feet" in likely_product(Decimal(20), Decimal("3.00"), Decimal("196.85"), "m", 2)
    assert "twice" in likely_product(Decimal(3), Decimal("58"), Decimal("348.00"), "each", 2)
    assert "half" in likely_product(Decimal(4), Decimal("58"), Decimal("116.00"), "each", 2)
    assert "quantity of 54" in likely_product(
        Decimal(45), Decimal("7.10"), Decimal("383.40"), "each", 2
    )
    assert "rate of 7.01" in likely_product(
        Decimal(45), Decimal("7.10"), Decimal("315.45"), "each", 2
    )
