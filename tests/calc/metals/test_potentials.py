"""Reference cells and readings: edges, properties, and two invented boats."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.metals import potentials
from elec.errors import InputError

VOLTS = st.floats(-2.0, 1.0)


class TestConversion:
    @given(VOLTS, VOLTS, VOLTS)
    def test_there_and_back(self, reading, one, other):
        there = potentials.convert_V(reading, from_reference_V=one, to_reference_V=other)
        back = potentials.convert_V(there, from_reference_V=other, to_reference_V=one)
        assert back == pytest.approx(reading, abs=1e-12)

    @given(VOLTS, VOLTS, VOLTS, VOLTS)
    def test_a_difference_of_two_metals_does_not_change(self, a, b, one, other):
        converted = potentials.convert_V(
            np.array([a, b]), from_reference_V=one, to_reference_V=other
        )
        assert converted[0] - converted[1] == pytest.approx(a - b, abs=1e-12)

    def test_steel_criterion_by_the_reviewed_cells(self):
        # -0.800 V against silver chloride, with the potentials of International Journal of
        # Corrosion 2010, 756950, Table 2 (silver chloride in seawater 0.25 from memory): the
        # traditional equivalents (-0.85, -0.78, +0.25 V; NACE SP0176 from memory) within 20 mV.
        for cell, by_table, traditional in (
            (0.316, -0.866, -0.85),
            (0.241, -0.791, -0.78),
            (-0.78, 0.23, 0.25),
        ):
            found = potentials.convert_V(-0.800, from_reference_V=0.25, to_reference_V=cell)
            assert found == pytest.approx(by_table, abs=1e-9)
            assert found == pytest.approx(traditional, abs=0.02 + 1e-9)


class TestHull:
    @pytest.mark.parametrize(
        ("reading", "state"),
        [(-0.79, 1), (-0.80, 0), (-0.81, 0), (-1.10, 0), (-1.11, -1)],
        ids=["just short", "upper end", "inside", "lower end", "just too much"],
    )
    def test_both_ends_are_limits(self, reading, state):
        # Steel in aerobic seawater, ABS guidance notes, December 2017, section 2, Table 1.
        found = potentials.hull_state(reading, least_negative_V=-0.80, most_negative_V=-1.10)
        assert found.state == state

    def test_unknown_lower_limit_is_not_safe(self):
        for left_out in (None, np.nan):
            found = potentials.hull_state(-1.4, least_negative_V=-0.60, most_negative_V=left_out)
            assert (found.state, found.certain) == (0, False)
            assert np.isnan(found.over_margin_V)
        short = potentials.hull_state(-0.5, least_negative_V=-0.60)
        assert (short.state, short.certain) == (1, True)

    def test_rows_with_and_without_a_lower_limit(self):
        found = potentials.hull_state(
            -1.2, least_negative_V=[-0.8, -0.6], most_negative_V=[-1.1, np.nan]
        )
        assert found.state.tolist() == [-1, 0]
        assert found.certain.tolist() == [True, False]

    @pytest.mark.parametrize(
        ("reading", "certain"),
        [(-0.81, False), (-0.95, True), (-1.095, False), (-1.105, False), (-1.20, True)],
    )
    def test_uncertainty_of_the_cell(self, reading, certain):
        found = potentials.hull_state(
            reading, least_negative_V=-0.80, most_negative_V=-1.10, uncertainty_V=0.02
        )
        assert found.certain == certain

    @given(VOLTS, st.floats(-1.0, -0.3), st.floats(0.0, 0.5), st.floats(0, 0.1), st.floats(-1, 1))
    def test_what_is_certain_stays_so_within_the_uncertainty(
        self, reading, least, width, error, part
    ):
        limits = {"least_negative_V": least, "most_negative_V": least - width}
        found = potentials.hull_state(reading, uncertainty_V=error, **limits)
        truth = potentials.hull_state(reading + part * error * (1 - 1e-9), **limits)
        if found.certain:
            assert truth.state == found.state

    def test_range_upside_down(self):
        with pytest.raises(InputError, match="most_negative_V"):
            potentials.hull_state(-0.9, least_negative_V=-1.1, most_negative_V=-0.8)


class TestInventedBoats:
    """Two invented boats and the ranges they are held against; arithmetic by hand."""

    # Ranges against silver chloride: "recommended range" of ABYC E-2 from memory, and one trade
    # guidance page.
    GRP, GRP_TRADE = (-0.55, -1.10), (-0.75, -1.00)
    DRIVE_TRADE, DRIVE = (-0.90, -1.05), (-0.95, -1.10)

    def state(self, reading, limits, uncertainty=0.02):
        return potentials.hull_state(
            reading,
            least_negative_V=limits[0],
            most_negative_V=limits[1],
            uncertainty_V=uncertainty,
        )

    def test_motor_yacht_is_under_protected_on_every_range(self):
        for reading in (-0.41, -0.33):
            for limits in (self.GRP, self.GRP_TRADE):
                found = self.state(reading, limits)
                assert (found.state, found.certain) == (1, True)

    def test_motor_yacht_shifts_on_plugging_in(self):
        change = potentials.shore_shift(-0.41, plugged_V=-0.33, uncertainty_V=0.02)
        assert change.shift_V * 1000 == pytest.approx(80, abs=1e-9)
        assert change.direction == 1

    def test_sloop_with_a_drive(self):
        change = potentials.shore_shift(-0.94, plugged_V=-0.82, uncertainty_V=0.02)
        assert change.shift_V * 1000 == pytest.approx(120, abs=1e-9)
        assert change.direction == 1
        for limits in (self.DRIVE_TRADE, self.DRIVE):
            assert self.state(-0.82, limits).state == 1
        passes = self.state(-0.94, self.DRIVE_TRADE)
        assert (passes.state, passes.certain) == (0, True)
        misses = self.state(-0.94, self.DRIVE)
        assert misses.under_margin_V * 1000 == pytest.approx(-10, abs=1e-9)
        assert (misses.state, misses.certain) == (1, False)


class TestShiftAndBond:
    @pytest.mark.parametrize(
        ("plugged", "direction"), [(-0.90, 0), (-0.875, 1), (-0.925, -1), (-0.885, 0)]
    )
    def test_direction(self, plugged, direction):
        change = potentials.shore_shift(-0.90, plugged_V=plugged, uncertainty_V=0.02)
        assert change.direction == direction

    def test_drop_in_a_bond(self):
        assert potentials.bonding_drop_V(0.1, resistance_ohm=[0.0, 1.0]) == pytest.approx([0, 0.1])
