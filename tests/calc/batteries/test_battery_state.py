"""State of a battery from what is read: bands, and tests of capacity and load."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.batteries import battery_state
from elec.errors import InputError

# 80 F row of a published chart for flooded batteries (the same as the BCI table).
FLOODED = ([12.65, 12.45, 12.24, 12.06, 11.89], [1.0, 0.75, 0.50, 0.25, 0.0])
# Two of the published tables for AGM, which disagree; the first ends at 25 %.
AGM = [
    ([12.8, 12.6, 12.3, 12.0], [1.0, 0.75, 0.50, 0.25]),
    ([12.9, 12.6, 12.3, 12.0, 11.8], [1.0, 0.75, 0.50, 0.25, 0.0]),
]


def band(reading, curves, uncertainty=0.0):
    return battery_state.state_of_charge_band(reading, curves=curves, uncertainty=uncertainty)


@pytest.mark.parametrize(("voltage", "state"), list(zip(*FLOODED, strict=True)))
def test_printed_rows_come_back(voltage, state):
    low, high = band(voltage, [FLOODED])
    assert low == pytest.approx(state)
    assert high == pytest.approx(state)


def test_a_meter_of_one_percent_is_some_15_percent_of_charge():
    # A monitor manual: a meter of 1 % is 0.12 V on 12 V, about 15 % of charge either way.
    low, high = band(12.24, [FLOODED], 0.12)
    assert (high - low) / 2 == pytest.approx(0.15, abs=0.02)


def test_band_spans_disagreeing_tables():
    low, high = band(12.85, AGM)
    assert low == pytest.approx(0.75 + 0.25 * 0.25 / 0.3)
    assert high == 1.0  # at or above the top of the first table


def test_a_table_that_ends_early_says_only_at_most():
    low, high = band(11.9, AGM)
    assert low == 0.0
    assert high == pytest.approx(0.25)


def test_hydrometer_is_read_the_same_way():
    # 80 F row of the same chart; the reading corrected to 80 F beforehand.
    gravity = ([1.265, 1.225, 1.190, 1.155, 1.120], [1.0, 0.75, 0.50, 0.25, 0.0])
    low, high = band(1.200, [gravity], 0.005)
    assert low == pytest.approx(0.50 + 0.25 * 5 / 35)
    assert high == pytest.approx(0.50 + 0.25 * 15 / 35)


@given(st.floats(11.89, 12.65), st.floats(0.0, 0.3), st.floats(0.0, 0.3))
def test_a_worse_meter_never_narrows_the_band(voltage, one, other):
    fine, coarse = (band(voltage, [*AGM, FLOODED], off) for off in sorted((one, other)))
    assert coarse[0] <= fine[0] + 1e-12
    assert coarse[1] >= fine[1] - 1e-12
    assert 0.0 <= coarse[0] <= coarse[1] <= 1.0


@pytest.mark.parametrize(("voltage", "said"), [(13.4, "above a full"), (10.5, "below an empty")])
def test_no_battery_at_rest_reads_that(voltage, said):
    with pytest.raises(InputError, match=said):
        band(np.array([12.2, voltage]), [FLOODED], 0.05)


@pytest.mark.parametrize(
    "curves",
    [
        [],
        [([12.0], [0.5])],
        [([12.0, 12.0], [0.2, 0.5])],
        [([12.0, 12.5], [0.5, 0.2])],
        [([12.0, 12.5], [0.0, 100.0])],
    ],
)
def test_bad_curve_is_refused(curves):
    with pytest.raises(InputError, match="curve"):
        band(12.2, curves)


# Service manuals of one vehicle group; the temperatures as printed in Celsius.
ROWS = {
    "table_temperature_C": [20, 16, 10, 4, -1, -7, -12, -18],
    "table_minimum_V": [9.6, 9.5, 9.4, 9.3, 9.1, 8.9, 8.7, 8.5],
}


class TestLoadTest:
    def test_rows_and_between(self):
        least = battery_state.load_test_minimum_V([20.0, 13.0, -18.0], **ROWS)
        assert least == pytest.approx([9.6, 9.45, 8.5])

    def test_warmest_row_holds_above_it(self):
        assert battery_state.load_test_minimum_V(35.0, **ROWS) == pytest.approx(9.6)

    def test_colder_than_the_table_is_refused(self):
        with pytest.raises(InputError, match="temperature_C"):
            battery_state.load_test_minimum_V([0.0, -18.1], **ROWS)


def test_capacity_tests():
    assert battery_state.capacity_test_fraction(0.0, rated_h=8.0) == 0.0
    # A battery that gives its rating in the cold is better than its rating (IEEE 450: 0.670, 40 F).
    cold = battery_state.capacity_test_fraction(8.0, rated_h=8.0, temperature_test_factor=0.670)
    assert cold == pytest.approx(1 / 0.670)
    with pytest.raises(InputError, match="rated_h"):
        battery_state.capacity_test_fraction(8.0, rated_h=0.0)
