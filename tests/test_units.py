"""Units against published exact definitions, and against every misreading we know of."""

import math
import os
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from elec import units
from elec._quantities import HELD
from elec.errors import InputError

SP811 = "NIST SP 811 (2008), appendix B.8"
SI = "SI Brochure, 9th edition, table 8 or prefixes"


def refused(text, quantity):
    with pytest.raises(InputError) as caught:
        units.read(text, quantity)
    assert "\n" not in caught.value.message
    assert caught.value.remedy
    return caught.value


# Printed digits are those of the source; the tolerance is half of the last one. An exact factor
# has no tolerance but that of floating point.
EXACT = [
    ("1 ft", "length", 0.3048, SP811),
    ("1 in", "length", 0.0254, SP811),
    ("1 yd", "length", 0.9144, SP811),
    ("1 lb", "mass", 0.45359237, SP811),
    ("1 ft²", "surface", 0.09290304, SP811),
    ("1 gal", "volume", 3.785411784, "US gallon of 231 cubic inches, NIST Handbook 44, appendix C"),
    ("1 mm", "length", 0.001, SI),
    ("1 cm", "length", 0.01, SI),
    ("1 mA", "current", 0.001, SI),
    ("1 kA", "current", 1000.0, SI),
    ("1 mV", "potential", 0.001, SI),
    ("1 kV", "voltage", 1000.0, SI),
    ("1 kW", "power", 1e3, SI),
    ("1 MW", "power", 1e6, SI),
    ("1 kVA", "apparent_power", 1e3, SI),
    ("1 mAh", "charge", 1e-3, SI),
    ("1 kWh", "energy", 1e3, SI),
    ("1 cm²", "surface", 1e-4, SI),
    ("1 mohm", "resistance", 1e-3, SI),
    ("1 µΩ", "resistance", 1e-6, SI),
    ("1 ohm·cm", "resistivity", 0.01, SI),
    ("1 g", "mass", 0.001, SI),
    ("1 min", "duration", 1 / 60, SI),
    ("36 s", "duration", 0.01, SI),
    ("1 d", "duration", 24.0, SI),
    ("1 L/s", "flow", 3.6, SI),
    ("1 L/min", "flow", 0.06, SI),
    ("1 kn", "speed", 1852 / 3600, SP811),
    ("1 %", "fraction", 0.01, "ISO 80000-1, the percent sign"),
    ("1 PSU", "salinity", 1.0, "common practice, no source: PSU taken as g/kg"),
    ("32 °F", "temperature", 0.0, SP811),
    ("212 °F", "temperature", 100.0, SP811),
    ("-40 °F", "temperature", -40.0, SP811),
    ("273.15 K", "temperature", 0.0, SI),
    ("0 K", "temperature", -273.15, SI),
    ("9 Δ°F", "temperature_difference", 5.0, SP811),
    ("5 Δ°C", "temperature_difference", 5.0, SI),
]
PRINTED = [
    ("1 hp", "power", "745.6999", SP811 + ", horsepower (550 ft·lbf/s)"),
    ("1 BTU/h", "cooling", "0.2930711", SP811 + ", Btu(IT) per hour"),
    ("1e4 cmil", "area", "5.067075", SP811 + ", circular mil 5.067075 E-04 mm²"),
    ("1 kcmil", "area", "0.5067075", SP811 + ", circular mil 5.067075 E-04 mm²"),
    ("1 gal/h", "fuel_rate", "3.785412", SP811 + ", gallon (US) 3.785412 E-03 m³"),
]


@pytest.mark.parametrize(("text", "quantity", "expected", "source"), EXACT)
def test_conversion_equals_the_exact_definition(text, quantity, expected, source):
    assert units.read(text, quantity) == pytest.approx(expected, rel=1e-15, abs=1e-15)


@pytest.mark.parametrize(("text", "quantity", "printed", "source"), PRINTED)
def test_conversion_matches_the_last_printed_digit(text, quantity, printed, source):
    half_digit = 0.5 * 10.0 ** -len(printed.partition(".")[2])
    assert units.read(text, quantity) == pytest.approx(float(printed), abs=half_digit)


@pytest.mark.parametrize("percent", range(101))
def test_percent_is_the_nearest_float_to_the_hundredth(percent):
    assert units.read(f"{percent} %", "fraction") == float(Decimal(percent) / 100)


# What pint by itself reads wrongly, accepts, or cannot read at all.
@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [
        ("100 ah", "charge", 100.0),
        ("10 mm2", "area", 10.0),
        ("25 degC", "temperature", 25.0),
        ("25 °C", "temperature", 25.0),
        ("12 v", "voltage", 12.0),
        ("1 kw", "power", 1000.0),
        ("50 a", "current", 50.0),
        ("50A", "current", 50.0),
        ("50 AMPS", "current", 50.0),
        ("50 Amps", "current", 50.0),
        ("9.2 mohm", "resistance", 0.0092),
        ("5.5 L/h", "fuel_rate", 5.5),
        ("650 CCA", "cranking", 650.0),
        ("650 A CCA", "cranking", 650.0),
        ("6 ft", "length", 1.8288),
        ("6'", "length", 1.8288),
        ('10"', "length", 0.254),
        ("35 sq mm", "area", 35.0),
        ("50 per cent", "fraction", 0.5),
        ("-0.41 V", "potential", -0.41),
        ("−0.41 V", "potential", -0.41),
        ("-0,41 V", "potential", -0.41),
        ("-410 mV", "potential", -0.41),
        ("50\u00a0A", "current", 50.0),
        ("50\u202fA", "current", 50.0),
        (" 50  A\n", "current", 50.0),
        ("1.2e3 W", "power", 1200.0),
        ("1e3W", "power", 1000.0),
        ("+5 A", "current", 5.0),
        (".5 A", "current", 0.5),
        ("12. A", "current", 12.0),
        ("0,750 A", "current", 0.75),
        ("0 A", "current", 0.0),
        ("100 %", "fraction", 1.0),
        ("1.2", "ratio", 1.2),
        ("150 %", "percentage", 1.5),
        ("-273.15 °C", "temperature", -273.15),
        ("-5 K", "temperature_difference", -5.0),
        ("50 \u00b5ohm", "resistance", 50e-6),
        ("50 \u03bcohm", "resistance", 50e-6),
        ("5 \u2126", "resistance", 5.0),
    ],
)
def test_written_as_people_write_it(text, quantity, value):
    assert units.read(text, quantity) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "quantity", "cause"),
    [
        ("100 Ah", "current", "'100 Ah' is a charge, not a current."),
        ("100 ah", "current", "is a charge, not a current."),
        ("5 C", "current", "is a temperature, not a current."),
        ("12 M", "length", "unit 'M' is not accepted for a length."),
        ("20 c", "temperature", "unit 'c' is not accepted"),
        ("5 kVA", "power", "is an apparent power, not a power."),
        ("5 VA", "power", "is an apparent power, not a power."),
        ("5 W", "apparent_power", "is a power, not an apparent power."),
        ("5 kW", "apparent_power", "is a power, not an apparent power."),
        ("5 °C", "temperature_difference", "is a temperature, not a temperature difference."),
        ("5 Δ°C", "temperature", "is a temperature difference, not a temperature."),
        ("100 A", "charge", "is a current, not a charge."),
        ("100 Wh", "power", "is an energy, not a power."),
        ("100 W", "energy", "is a power, not an energy."),
        ("12 mm", "area", "is a length, not a conductor area."),
        ("2 m²", "area", "is a surface, not a conductor area."),
        ("35 mm²", "surface", "is a conductor area, not a surface."),
        ("650 A", "cranking", "is a current, not a cold cranking current."),
        ("650 CCA", "current", "is a cold cranking current, not a current."),
        ("650 MCA", "cranking", "unit 'MCA' is not accepted"),
        ("650 CA", "cranking", "unit 'CA' is not accepted"),
        ("650 A EN", "cranking", "unit 'A EN' is not accepted"),
        ("650 DIN", "cranking", "unit 'DIN' is not accepted"),
        ("10 PS", "power", "unit 'PS' is not accepted"),
        ("24 VDC", "voltage", "unit 'VDC' is not accepted"),
        ("10 MA", "current", "unit 'MA' is not accepted"),
        ("5 mw", "power", "unit 'mw' is not accepted"),
        ("100 MAh", "charge", "unit 'MAh' is not accepted"),
        ("5 Mohm", "resistance", "unit 'Mohm' is not accepted"),
        ("5 ms", "duration", "unit 'ms' is not accepted"),
        ("50", "current", "'50' has no unit."),
        ("0.5", "fraction", "'0.5' has no unit."),
        ("1", "percentage", "'1' has no unit."),
        ("A", "current", "does not begin with a number"),
        ("", "current", "An empty text"),
        ("   ", "current", "An empty text"),
        ("nan A", "current", "does not begin with a number"),
        ("inf A", "current", "does not begin with a number"),
        ("-inf V", "potential", "does not begin with a number"),
        ("-5 A", "current", "a current must be zero or more"),
        ("-0.001 A", "current", "a current must be zero or more"),
        ("0 V", "voltage", "a voltage must be above zero"),
        ("0 m", "length", "a length must be above zero"),
        ("-274 °C", "temperature", "must be -273.15 °C or more"),
        ("101 %", "fraction", "at most 100 %"),
        ("1e999 A", "current", "'1e999' is not a plain finite number"),
        ("1" * 60 + " A", "current", "is not a plain finite number"),
        ("1,500 W", "power", "more than one way"),
        ("1.500,0 W", "power", "more than one way"),
        ("1,500.0 W", "power", "more than one way"),
        ("1,500,000 W", "power", "more than one way"),
        ("1 500 W", "power", "more than one value"),
        ("5 ft 6 in", "length", "more than one value"),
        ("6'2\"", "length", "more than one value"),
        ("5 A 5 A", "current", "more than one value"),
        ("4/0", "current", "more than one value"),
        ("1.2.3 A", "current", "not a plain finite number"),
        ("1_000 A", "current", "more than one value"),
        ("0x10 A", "current", "more than one value"),
        ("5 * A", "current", "not accepted"),
        ("５0 A", "current", "hidden character, or a digit other than 0 to 9"),
        ("٣ A", "current", "hidden character, or a digit other than 0 to 9"),
        ("50\x1b[31m A", "current", "hidden character"),
        ("50\x00A", "current", "hidden character"),
        ("50\tA", "current", "hidden character"),
        ("50\u200bA", "current", "hidden character"),
        ("50\u202eA", "current", "hidden character"),
        ("5² A", "current", "not accepted"),
        ("9" * 10_000 + " A", "current", "10002 characters long"),
        (50, "current", "'50' is not text with a unit"),
        (True, "current", "is not text with a unit"),
        (None, "current", "is not text with a unit"),
        ("5 A", "curent", "'curent' is not a quantity"),
        ("1.2 A", "ratio", "is a current, not a pure number."),
        ("1.2 x", "ratio", "unit 'x' is not accepted for a pure number."),
    ],
)
def test_refused_with_its_reason(text, quantity, cause):
    error = refused(text, quantity)
    assert cause in error.message
    assert len(error.message) < 200
    assert error.message.isprintable()


def test_remedy_names_the_accepted_units_and_an_example():
    assert refused("100 Ah", "current").remedy.endswith(
        "Give a current in A, mA or kA, for example '50 A'."
    )
    assert "power factor" in refused("5 kVA", "power").remedy
    assert "Capital and small letters" in refused("10 MA", "current").remedy


@pytest.mark.parametrize("quantity", units.QUANTITIES.values(), ids=lambda q: q.name)
def test_every_quantity_reads_its_own_example_and_every_spelling(quantity):
    units.read(quantity.example, quantity.name)
    for spelling in quantity.units:
        written = f"1 {spelling}".strip()
        assert units.clean(written) == written, "a spelling nobody can type"
        assert units.split_unit(f"1 {spelling}") == ("1", spelling)
        if quantity.name != "fraction":
            assert math.isfinite(units.read(f"1 {spelling}", quantity.name))
    if quantity.base != "fraction":
        assert units.to_base(7.25, quantity.base, quantity.name) == 7.25


@pytest.mark.parametrize("quantity", units.QUANTITIES.values(), ids=lambda q: q.name)
def test_no_spelling_differs_from_another_unit_only_in_prefix_case(quantity):
    # "mA" and "MA", "mW" and "MW": two units must never part by the case of one letter.
    for one in quantity.units:
        for other in quantity.units:
            if one.casefold() == other.casefold():
                assert quantity.units[one] == quantity.units[other], (one, other)


def every_unit():
    return st.sampled_from([(q.name, unit) for q in units.QUANTITIES.values() for unit in q.units])


@given(pair=every_unit(), value=st.floats(-1e9, 1e9))
def test_a_unit_never_changes_the_value(pair, value):
    quantity, unit = pair
    there = units.from_base(value, quantity, unit)
    assert units.to_base(there, unit, quantity) == pytest.approx(value, rel=1e-12, abs=1e-12)


@given(pair=every_unit(), low=st.floats(-1e9, 1e9), high=st.floats(-1e9, 1e9))
def test_a_unit_keeps_the_order(pair, low, high):
    assume(low < high)
    quantity, unit = pair
    assert units.to_base(low, unit, quantity) <= units.to_base(high, unit, quantity)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_neither_converted_nor_shown(value):
    for call in (
        lambda: units.to_base(value, "A", "current"),
        lambda: units.from_base(value, "current", "A"),
        lambda: units.check(value, "current"),
        lambda: units.show(value, "current"),
        lambda: units.show_range(0.0, value, "current"),
        lambda: units.show_against(value, 1.0, "current", sense="at most"),
    ):
        with pytest.raises(InputError, match="finite"):
            call()


@pytest.mark.parametrize(
    ("value", "quantity", "unit", "shown"),
    [
        (45.2, "current", None, "45.2 A"),
        (12.0, "length", None, "12.0 m"),
        (0.03, "percentage", None, "3.00 %"),
        (0.5, "fraction", None, "50.0 %"),
        (0.0092, "resistance", None, "9.20 mohm"),
        (1.0, "resistance", None, "1.00 ohm"),
        (0.0, "resistance", None, "0 ohm"),
        (9999.0, "power", None, "9999 W"),
        (10_000.0, "power", None, "10.0 kW"),
        (21_500.0, "power", None, "21.5 kW"),
        (1253.4, "energy", None, "1253 Wh"),
        (123_456.0, "energy", None, "123456 Wh"),
        (-0.41, "potential", None, "-0.410 V"),
        (-0.41, "potential", "mV", "-410 mV"),
        (9.996, "current", None, "10.0 A"),
        (0.09996, "current", None, "0.100 A"),
        (0.0, "current", None, "0 A"),
        (-0.0, "current", None, "0 A"),
        (0.000123, "length", None, "0.000123 m"),
        (1.2e-9, "length", None, "1.20e-9 m"),
        (12.192, "length", "ft", "40.0 ft"),
        (30.0, "temperature", "°F", "86.0 °F"),
        (1.2, "ratio", None, "1.20"),
        (1.0, "duration", None, "1.00 h"),
        (0.5, "duration", None, "30.0 min"),
        (1 / 60, "duration", None, "1.00 min"),
        (0.5 / 3600, "duration", None, "0.500 s"),
    ],
)
def test_shown(value, quantity, unit, shown):
    assert units.show(value, quantity, unit=unit) == shown


@given(
    pair=st.sampled_from(["current", "potential", "length", "percentage", "resistance"]),
    value=st.floats(1e-5, 1e9),
)
def test_what_is_shown_reads_back_within_half_of_the_third_digit(pair, value):
    assert units.read(units.show(value, pair), pair) == pytest.approx(value, rel=0.0051)


def test_a_range_is_shown_in_one_unit_with_ends_apart():
    assert units.show_range(6.096, 9.144, "length") == "6.10 to 9.14 m"
    assert units.show_range(6.096, 6.097, "length") == "6.096 to 6.097 m"
    assert units.show_range(5.0, 5.0, "length") == "5.00 m"
    assert units.show_range(0.5, 2.0, "resistance") == "0.500 to 2.00 ohm"
    assert units.show_range(900.0, 12_000.0, "power") == "0.900 to 12.0 kW"


@pytest.mark.parametrize(
    ("value", "limit", "quantity", "sense", "shown"),
    [
        (0.03003, 0.03, "percentage", "at most", ("3.003 %", "3.000 %")),
        (0.029999, 0.03, "percentage", "at most", ("2.9999 %", "3.0000 %")),
        (0.03, 0.03, "percentage", "at most", ("3.00 %", "3.00 %")),
        (45.2, 50.0, "current", "at most", ("45.2 A", "50.0 A")),
        (1253.0, 1253.4, "power", "at least", ("1253 W", "1254 W")),
        (1253.0, 1253.4, "power", "at most", ("1253.0 W", "1253.4 W")),
        (-0.548, -0.55, "potential", "at most", ("-0.548 V", "-0.550 V")),
        (0.0, 0.0, "potential", "at most", ("0 V", "0 V")),
        (1e-9, 0.0, "potential", "at most", ("1.00e-9 V", "0 V")),
        (0.5, 1.0, "resistance", "at most", ("0.500 ohm", "1.00 ohm")),
    ],
)
def test_shown_against_its_limit(value, limit, quantity, sense, shown):
    assert units.show_against(value, limit, quantity, sense=sense) == shown


near = st.one_of(st.floats(-1e6, 1e6), st.floats(0.9, 1.1), st.floats(0.02999, 0.03001))


@given(
    value=near,
    limit=near,
    ulps=st.integers(-3, 3),
    same=st.booleans(),
    sense=st.sampled_from(["at most", "at least"]),
    how=st.sampled_from([("potential", None), ("potential", "mV"), ("percentage", None)]),
)
def test_rounding_never_crosses_or_touches_the_limit(value, limit, ulps, same, sense, how):
    if same:
        value = limit
        for _ in range(abs(ulps)):
            value = math.nextafter(value, math.copysign(math.inf, ulps))
    quantity, unit = how
    texts = units.show_against(value, limit, quantity, sense=sense, unit=unit)
    shown_value, shown_limit = (Decimal(units.split_unit(text)[0]) for text in texts)
    assert (shown_value > shown_limit) == (value > limit)
    assert (shown_value < shown_limit) == (value < limit)


@given(limit=st.floats(1e-6, 1e6), sense=st.sampled_from(["at most", "at least"]))
def test_whoever_keeps_to_a_shown_limit_keeps_to_the_limit(limit, sense):
    shown = units.read(units.show_limit(limit, "potential", sense=sense), "potential")
    noise = 2e-9 * limit
    assert shown <= limit + noise if sense == "at most" else shown >= limit - noise


def test_the_noise_of_floating_point_does_not_move_a_shown_limit():
    assert units.show_limit(12 * 0.1, "voltage", sense="at least") == "1.20 V"
    assert units.show_limit(0.1 + 0.7, "voltage", sense="at most") == "0.800 V"


@pytest.mark.parametrize(
    ("value", "written"),
    [(1.26, "1.260"), (12345.0, "12345"), (0.0, "0"), (-0.5, "-0.5000"), (math.inf, "inf")],
)
def test_plain(value, written):
    assert units.plain(value) == written


def test_a_sense_of_another_name_is_refused():
    with pytest.raises(InputError, match="not a sense"):
        units.show_limit(1.0, "current", sense="below")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", 12.0),
        ("-0.41", -0.41),
        ("0,75", 0.75),
        ("12,5", 12.5),
        ("1.500", 1.5),
        ("1234,567", 1234.567),
        ("-0,500", -0.5),
        ("1e3", 1000.0),
        ("−3", -3.0),
    ],
)
def test_number(text, value):
    assert units.number(text) == value


@pytest.mark.parametrize(
    "text",
    [
        "",
        "nan",
        "inf",
        "-inf",
        "1e999",
        "1e-999",
        "1,500",
        "1.500,0",
        "1,500.0",
        "1,2,3",
        "1 2",
        "--1",
        "1e",
        "e3",
        "0x10",
        "1_0",
        "½",
        "²",
        ".",
        ",",
        "-",
        "１",
        "1/2",
        "1e5.5",
        "Infinity",
    ],
)
def test_not_a_number(text):
    with pytest.raises(InputError):
        units.number(text)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_but_never_crashes(text):
    messages = []
    for call in (units.number, units.size, lambda t: units.read(t, "current")):
        try:
            call(text)
        except InputError as error:
            messages.append(str(error))
    assert all(message.replace("\n", "").isprintable() for message in messages)


@given(value=st.floats(-1e9, 1e9, allow_nan=False))
def test_number_reads_plain_decimals_as_python_does(value):
    text = f"{value:.6f}"
    assert units.number(text) == float(text)


def test_read_difference_drops_the_offset_of_a_temperature_scale():
    assert units.read_difference("5 °C", "temperature") == 5.0
    assert units.read_difference("9 °F", "temperature") == 5.0
    assert units.read_difference("2 ft", "length") == pytest.approx(0.6096, rel=1e-15)
    with pytest.raises(InputError, match="not a length"):
        units.read_difference("2 A", "length")


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("4/0 AWG", "4/0 AWG"),
        ("0000 AWG", "4/0 AWG"),
        ("4/0", "4/0 AWG"),
        ("0 AWG", "1/0 AWG"),
        ("1/0 AWG", "1/0 AWG"),
        ("2 AWG", "2 AWG"),
        ("2awg", "2 AWG"),
        ("AWG 2", "2 AWG"),
        ("AWG2", "2 AWG"),
        ("#2", "2 AWG"),
        ("#2/0 AWG", "2/0 AWG"),
        ("No. 2", "2 AWG"),
        ("12 gauge", "12 AWG"),
        ("12ga", "12 AWG"),
        ("250 kcmil", "250 kcmil"),
        ("250 MCM", "250 kcmil"),
        ("35 mm²", "35 mm²"),
        ("35mm2", "35 mm²"),
        ("35 mm^2", "35 mm²"),
        ("35 sq mm", "35 mm²"),
        ("35.0 mm2", "35 mm²"),
        ("1,5 mm2", "1.5 mm²"),
        ("1.5 mm²", "1.5 mm²"),
        ("0.75\u00a0mm²", "0.75 mm²"),
    ],
)
def test_size(text, label):
    assert units.size(text).label == label
    assert units.size(label) == units.size(text)


@pytest.mark.parametrize(
    ("text", "cause"),
    [
        ("2", "may be a gauge number or square millimetres"),
        ("35", "may be a gauge number or square millimetres"),
        ("1,5", "may be a gauge number or square millimetres"),
        ("-2 AWG", "not a conductor size"),
        ("5/0", "not a conductor size"),
        ("5/0 AWG", "not a conductor size"),
        ("00000 AWG", "not a conductor size"),
        ("2.5 AWG", "not a conductor size"),
        ("02 AWG", "not a conductor size"),
        ("6/3 AWG", "not a conductor size"),
        ("-35 mm²", "not a conductor size"),
        ("0 mm²", "above zero"),
        ("1,500 mm²", "more than one way"),
        ("35 mm", "not a conductor size"),
        ("35 m²", "not a conductor size"),
        ("3 x 2.5 mm²", "not a conductor size"),
        ("", "An empty text"),
        ("nan mm²", "not a conductor size"),
        ("1e3 mm²", "not a conductor size"),
        (35, "not text"),
    ],
)
def test_not_a_size(text, cause):
    with pytest.raises(InputError, match=cause):
        units.size(text)


def python(code, **environment):
    return subprocess.run(
        [sys.executable, "-c", code],
        env={"PATH": os.environ["PATH"], **environment},
        capture_output=True,
        text=True,
        check=False,
    )


def test_import_loads_nothing_heavy_and_the_working_unit_needs_no_library():
    done = python(
        "import sys; from elec import units, noted; units.read('12 m', 'length');"
        "print([m for m in ('pint', 'numpy', 'scipy') if m in sys.modules])"
    )
    assert done.stdout.strip() == "[]", done.stderr


@pytest.mark.parametrize(
    ("unit", "base"), [(unit, base) for base, units in HELD.items() for unit in units]
)
def test_held_factors_are_those_of_pint(unit, base):
    by_pint = units._line_by_pint(unit, base)
    for ours, theirs in zip(units._line(unit, base), by_pint, strict=True):
        if "circular_mil" in unit:  # held to 20 digits, for it is a multiple of pi
            assert abs(ours / theirs - 1 if theirs else ours) < Fraction(1, 10**19)
        else:
            assert ours == theirs


def test_only_units_of_the_list_are_held():
    pairs = {
        (unit, quantity.units.get(quantity.base, "dimensionless"))
        for quantity in units.QUANTITIES.values()
        for unit in quantity.units.values()
    }
    assert {(unit, base) for base, held in HELD.items() for unit in held} <= pairs


def test_conversion_works_whatever_the_state_of_the_cache_folder(tmp_path):
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    damaged = tmp_path / "damaged"
    code = "from elec import units; print(units.read('1 gal', 'volume'))"
    first = python(code, HOME=str(tmp_path), XDG_CACHE_HOME=str(damaged))
    assert first.stdout.strip() == "3.785411784", first.stderr
    kept = [path for path in (damaged / "elec" / "pint").rglob("*") if path.is_file()]
    assert kept, "nothing was cached"
    for path in kept:
        path.write_bytes(b"not what was written")
    for environment in (
        {"HOME": str(tmp_path), "XDG_CACHE_HOME": str(damaged)},
        {"HOME": str(tmp_path)},
        {"HOME": ""},
        {},
        {"HOME": str(in_the_way)},
        {"HOME": str(tmp_path), "XDG_CACHE_HOME": "relative"},
        {"HOME": str(tmp_path), "XDG_CACHE_HOME": str(in_the_way)},
    ):
        done = python(code, **environment)
        assert done.stdout.strip() == "3.785411784", (environment, done.stderr)
