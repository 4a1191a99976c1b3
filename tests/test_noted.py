"""Values as noted: what is written, what it may be, and what is refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec import noted, units
from elec.errors import InputError


@pytest.mark.parametrize(
    ("text", "quantity", "low", "best", "high", "origin"),
    [
        # 1 ft = 0.3048 m exactly, NIST SP 811 (2008), appendix B.8; the arithmetic is by hand.
        ("50 A", "current", 50, 50, 50, "noted"),
        ("40 ft", "length", 12.192, 12.192, 12.192, "noted"),
        ("20..30 ft", "length", 6.096, 7.62, 9.144, "range"),
        ("20 .. 30 ft", "length", 6.096, 7.62, 9.144, "range"),
        ("20 ft..30 ft", "length", 6.096, 7.62, 9.144, "range"),
        ("20 ft..9.144 m", "length", 6.096, 7.62, 9.144, "range"),
        ("20..20 ft", "length", 6.096, 6.096, 6.096, "range"),
        ("0.5..0.7 h", "duration", 0.5, 0.6, 0.7, "range"),
        ("0..2 A", "current", 0, 1, 2, "range"),
        ("0,5..0,7 h", "duration", 0.5, 0.6, 0.7, "range"),
        ("35..60 %", "fraction", 0.35, 0.475, 0.60, "range"),
        ("-0.45..-0.41 V", "potential", -0.45, -0.43, -0.41, "range"),
        ("−450..−410 mV", "potential", -0.45, -0.43, -0.41, "range"),
        ("-5..5 °C", "temperature", -5, 0, 5, "range"),
        ("~25 ft", "length", 6.096, 7.62, 9.144, "about"),
        ("~ 25 ft", "length", 6.096, 7.62, 9.144, "about"),
        ("~25 ft ± 10 %", "length", 6.858, 7.62, 8.382, "about"),
        ("~25 ft +/- 10%", "length", 6.858, 7.62, 8.382, "about"),
        ("~25 ft ± 10 per cent", "length", 6.858, 7.62, 8.382, "about"),
        ("~25 ft +- 2 ft", "length", 7.0104, 7.62, 8.2296, "about"),
        ("25 ft ± 2 ft", "length", 7.0104, 7.62, 8.2296, "about"),
        ("~25 ft ± 0.6096 m", "length", 7.0104, 7.62, 8.2296, "about"),
        ("~50 %", "fraction", 0.4, 0.5, 0.6, "about"),
        ("~30 °C ± 5 K", "temperature", 25, 30, 35, "about"),
        ("~30 °C ± 5 °C", "temperature", 25, 30, 35, "about"),
        ("~30 °C ± 9 °F", "temperature", 25, 30, 35, "about"),
        ("~86 °F ± 9 °F", "temperature", 25, 30, 35, "about"),
        ("~-0.41 V ± 20 mV", "potential", -0.43, -0.41, -0.39, "about"),
        ("?", "length", None, None, None, "not seen"),
        (" ? ", "length", None, None, None, "not seen"),
        ("not seen", "length", None, None, None, "not seen"),
        ("Not Seen", "length", None, None, None, "not seen"),
    ],
)
def test_read(text, quantity, low, best, high, origin):
    value = noted.read(text, quantity)
    assert value.origin == origin
    assert value.quantity == quantity
    assert value.seen == (low is not None)
    assert value.settled == (low is not None and low == high)
    if low is not None:
        given_back = (value.low, value.best, value.high)
        assert given_back == pytest.approx((low, best, high), rel=1e-14, abs=1e-14)
        assert value.text == units.clean(text)


@pytest.mark.parametrize(
    ("text", "quantity", "cause"),
    [
        ("20..9 m", "length", "runs from high to low"),
        ("-0.41..-0.45 V", "potential", "runs from high to low"),
        ("20 ft..30", "length", "'30' has no unit"),
        ("20..30", "length", "'20' has no unit"),
        ("20 ft..30 A", "length", "is a current, not a length"),
        ("20 A..30 ft", "length", "is a current, not a length"),
        ("20..30..40 ft", "length", "is not one range"),
        ("1...5 m", "length", "is not one range"),
        ("1…5 m", "length", "is not one range"),
        ("..30 ft", "length", "is not one range"),
        ("20 ft..", "length", "is not one range"),
        ("..", "length", "is not one range"),
        ("0..30 ft", "length", "must be above zero"),
        ("-5..5 A", "current", "must be zero or more"),
        ("50..110 %", "fraction", "at most 100 %"),
        ("20-30 ft", "length", "looks like a range"),
        ("20–30 ft", "length", "looks like a range"),
        ("20 to 30 ft", "length", "looks like a range"),
        ("20 ft to 30 ft", "length", "looks like a range"),
        ("-0.45 to -0.41 V", "potential", "looks like a range"),
        ("~20..30 ft", "length", "is not one value with one spread"),
        ("~25 ft ± 2 ft ± 1 ft", "length", "is not one value with one spread"),
        ("~25 ft ±", "length", "is not one value with one spread"),
        ("± 2 ft", "length", "is not one value with one spread"),
        ("~", "length", "is not one value with one spread"),
        ("~25 ft ± 0 ft", "length", "spread must be above zero"),
        ("~25 ft ± -2 ft", "length", "spread must be above zero"),
        ("~25 ft ± 0 %", "length", "spread must be above zero"),
        ("~25 ft ± -10 %", "length", "must be zero or more"),
        ("~0 A", "current", "spread must be above zero"),
        ("~25 ft ± 100 %", "length", "reaches out of what is possible"),
        ("~25 ft ± 30 ft", "length", "reaches out of what is possible"),
        ("~90 %", "fraction", "reaches out of what is possible"),
        ("~25 ft ± 2 A", "length", "is a current, not a length"),
        ("~25 ± 2 ft", "length", "'25' has no unit"),
        ("~25 ft ± 2", "length", "'2' has no unit"),
        ("~50 % ± 10 %", "fraction", "percentage points"),
        ("~30 °C", "temperature", "percentage of a temperature means nothing"),
        ("~30 °C ± 10 %", "temperature", "percentage of a temperature means nothing"),
        ("~-0.41 V", "potential", "percentage of a potential means nothing"),
        ("~25", "length", "'25' has no unit"),
        ("??", "length", "does not begin with a number"),
        ("unknown", "length", "does not begin with a number"),
        ("", "length", "An empty text"),
        ("100 Ah", "current", "'100 Ah' is a charge, not a current."),
        (50, "current", "is not text"),
        ("?", "lenght", "is not a quantity"),
    ],
)
def test_refused_with_its_reason(text, quantity, cause):
    with pytest.raises(InputError) as caught:
        noted.read(text, quantity)
    assert cause in caught.value.message
    assert "\n" not in caught.value.message
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (noted.read("12 m", "length"), "12.0 m"),
        (noted.read("40 ft", "length"), "12.2 m (40 ft as noted)"),
        (noted.read("20..30 ft", "length"), "6.10 to 9.14 m (20..30 ft as noted)"),
        (noted.read("~25 ft", "length"), "about 7.62 m, 6.10 to 9.14 m (~25 ft as noted)"),
        (noted.read("?", "length"), "not seen"),
        (noted.exact(12.0, "length"), "12.0 m"),
        (noted.between(600.0, 1500.0, "power"), "600 to 1500 W"),
        (
            noted.between(600.0, 1500.0, "power", origin="typical", source="a table"),
            "600 to 1500 W (typical, not seen)",
        ),
    ],
)
def test_shown(value, shown):
    assert value.show() == shown


def test_made_without_text():
    assert noted.exact(5.0, "current").settled
    assert noted.between(1.0, 3.0, "current").best == 2.0
    assert noted.between(1.0, 3.0, "current", best=1.5).best == 1.5
    typical = noted.between(1.0, 3.0, "current", origin="typical", source="a list")
    assert (typical.origin, typical.source, typical.seen) == ("typical", "a list", True)
    unseen = noted.unseen("current")
    assert (unseen.seen, unseen.settled, unseen.origin) == (False, False, "not seen")


@pytest.mark.parametrize(
    "make",
    [
        lambda: noted.exact(math.nan, "current"),
        lambda: noted.exact(math.inf, "current"),
        lambda: noted.exact(-1.0, "current"),
        lambda: noted.exact(1.0, "curent"),
        lambda: noted.between(3.0, 1.0, "current"),
        lambda: noted.between(1.0, math.inf, "current"),
        lambda: noted.between(1.0, 3.0, "current", best=4.0),
        lambda: noted.between(0.0, 1.0, "length"),
        lambda: noted.unseen("curent"),
        lambda: noted.Noted("current", 1.0, 1.0, 1.0, "not seen", "?"),
        lambda: noted.Noted("current", None, None, None, "noted", "1 A"),
        lambda: noted.Noted("current", 1.0, None, 2.0, "range", "1..2 A"),
    ],
)
def test_a_value_that_contradicts_itself_cannot_be_made(make):
    with pytest.raises(InputError):
        make()


plain_lengths = st.decimals("0.01", "9999", places=2)


@given(a=plain_lengths, b=plain_lengths, unit=st.sampled_from(["m", "cm", "ft", "in", "yd"]))
def test_a_range_holds_its_ends_and_middle(a, b, unit):
    low, high = sorted((a, b))
    value = noted.read(f"{low}..{high} {unit}", "length")
    assert value.low == units.read(f"{low} {unit}", "length")
    assert value.high == units.read(f"{high} {unit}", "length")
    assert value.low <= value.best <= value.high
    assert value.settled == (low == high)


@given(centre=plain_lengths, percent=st.integers(1, 99), unit=st.sampled_from(["m", "ft", "in"]))
def test_about_in_percent_and_in_the_unit_say_the_same(centre, percent, unit):
    by_percent = noted.read(f"~{centre} {unit} ± {percent} %", "length")
    by_unit = noted.read(f"~{centre} {unit} ± {centre * percent / 100:.6f} {unit}", "length")
    assert by_percent.low == pytest.approx(by_unit.low, rel=1e-6, abs=1e-6)
    assert by_percent.high == pytest.approx(by_unit.high, rel=1e-6, abs=1e-6)
    assert by_percent.low < by_percent.best < by_percent.high


@given(centre=plain_lengths, unit=st.sampled_from(["m", "ft", "in"]))
def test_about_alone_is_twenty_percent_either_side(centre, unit):
    # design convention of this package, no outside source
    assert noted.read(f"~{centre} {unit}", "length").low == pytest.approx(
        0.8 * units.read(f"{centre} {unit}", "length"), rel=1e-12
    )
    assert noted.read(f"~{centre} {unit}", "length").high == pytest.approx(
        1.2 * units.read(f"{centre} {unit}", "length"), rel=1e-12
    )


@given(st.text(alphabet="0123456789.,~±?+-/% ftmA\u00a0…", max_size=20))
def test_any_text_is_read_or_refused_but_never_crashes(text):
    try:
        value = noted.read(text, "length")
    except InputError:
        return
    assert value.show()
    assert not value.seen or value.low <= value.best <= value.high


# -- words that may be unread ----------------------------------------------------------------------


def test_a_choice_says_whether_it_may_be_or_surely_is() -> None:
    seen, unseen = noted.YES, noted.YES_OR_NO
    assert seen.seen
    assert seen.is_surely("yes")
    assert seen.may_be("yes")
    assert not seen.may_be("no")
    assert not unseen.seen
    assert unseen.may_be("yes")
    assert unseen.may_be("no")
    assert not unseen.is_surely("yes")
    assert unseen.is_surely("yes", "no")
    assert (str(seen), str(unseen)) == ("yes", "not seen")
    assert (seen.text, unseen.text) == ("yes", "?")


def test_the_one_word_of_an_unread_choice_is_refused() -> None:
    assert noted.NO.word == "no"
    with pytest.raises(InputError, match="yes or no: it was not seen"):
        _ = noted.YES_OR_NO.word


@pytest.mark.parametrize("choice", [noted.YES, noted.YES_OR_NO], ids=str)
def test_no_comparison_swallows_a_choice(choice: noted.Choice) -> None:
    """What compares, looks up or takes for true a word that may be unread is a mistake in code."""
    with pytest.raises(TypeError, match="may_be or is_surely"):
        _ = choice == "yes"
    with pytest.raises(TypeError, match="may_be or is_surely"):
        _ = choice != "?"
    with pytest.raises(TypeError, match="may_be or is_surely"):
        _ = choice in ("yes", "no")
    with pytest.raises(TypeError, match="may_be or is_surely"):
        _ = choice in {"yes": 1}
    with pytest.raises(TypeError, match="may_be or is_surely"):
        _ = bool(choice)


def test_a_choice_turned_into_other_words_stays_as_sure_as_it_was() -> None:
    assert noted.YES.turned(yes="no", no="yes").is_surely("no")
    assert not noted.YES_OR_NO.turned(yes="no", no="yes").seen


def test_a_hull_takes_in_all_values_and_keeps_the_words_of_the_first() -> None:
    first, other = noted.read("10 A", "current"), noted.read("8..12 A", "current")
    both = noted.hull([first, other])
    assert both.span == (8.0, 10.0, 12.0)
    assert both.text == "10 A"
    assert noted.hull([other, first]) is other
