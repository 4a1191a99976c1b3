"""Anodes: edges and properties. Published values are in tests/published."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.metals import cathodic
from elec.errors import InputError

YEAR_H = 8760.0


class TestCoating:
    @given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.5, 40.0))
    def test_mean_is_that_of_the_capped_course(self, initial, rate, years):
        found = cathodic.coating_breakdown(initial, rate_per_year=rate, time_h=years * YEAR_H)
        time = np.linspace(0.0, years, 20001)
        course = np.minimum(1.0, initial + rate * time)
        mean = 0.5 * (course[1:] + course[:-1]).mean()
        assert found.mean == pytest.approx(mean, abs=1e-6)
        assert 0 <= found.initial <= found.mean + 1e-12
        assert found.mean <= found.final + 1e-12 <= 1 + 1e-12

    @pytest.mark.parametrize(("rate", "capped"), [(0.0899, False), (0.09, False), (0.0901, True)])
    def test_cap_begins_where_nothing_is_left(self, rate, capped):
        found = cathodic.coating_breakdown(0.1, rate_per_year=rate, time_h=10 * YEAR_H)
        assert found.capped == capped
        assert found.mean == pytest.approx(0.55, abs=1e-3)

    def test_no_coating(self):
        found = cathodic.coating_breakdown(1.0, rate_per_year=0.1, time_h=YEAR_H)
        assert (found.initial, found.mean, found.final) == (1.0, 1.0, 1.0)

    def test_share_above_one(self):
        with pytest.raises(InputError, match="initial"):
            cathodic.coating_breakdown(5.0, rate_per_year=0.1, time_h=YEAR_H)


class TestResistance:
    LONG = pytest.mark.parametrize("factor", [4.0, 4.001, 40.0])
    SHORT = pytest.mark.parametrize("factor", [0.5, 2.0, 3.999])

    @LONG
    def test_long_shape_alone_fits_a_long_anode(self, factor):
        size = {"length_m": factor * 0.0625, "radius_m": 0.0625}
        assert cathodic.long_slender_resistance_ohm(0.25, **size) > 0
        with pytest.raises(InputError, match="short slender"):
            cathodic.short_slender_resistance_ohm(0.25, **size)

    @SHORT
    def test_short_shape_alone_fits_a_short_anode(self, factor):
        size = {"length_m": factor * 0.0625, "radius_m": 0.0625}
        assert cathodic.short_slender_resistance_ohm(0.25, **size) > 0
        with pytest.raises(InputError, match="long slender"):
            cathodic.long_slender_resistance_ohm(0.25, **size)

    def test_short_shape_by_hand(self):
        # 0.3 m, radius 0.1 m, 0.25 ohm·m: 0.132629 (2.491779 + 0.166667 - 1.013794) ohm.
        found = cathodic.short_slender_resistance_ohm(0.25, length_m=0.3, radius_m=0.1)
        assert found == pytest.approx(0.21813, abs=5e-6)

    @pytest.mark.parametrize(
        ("width", "thickness", "long"),
        [(0.12, 0.03, True), (0.15, 0.03, True), (0.1501, 0.03, False), (0.03, 0.1501, False)],
    )
    def test_flush_plate_must_be_long(self, width, thickness, long):
        size = {"length_m": 0.6, "width_m": width, "thickness_m": thickness}
        if long:
            assert cathodic.long_flush_resistance_ohm(0.25, **size) > 0
        else:
            with pytest.raises(InputError, match="long flush"):
                cathodic.long_flush_resistance_ohm(0.25, **size)

    def test_plate_of_four_widths_does_not_fail_by_round_off(self):
        length = 0.28
        width = np.nextafter(length / 4, 1.0)
        assert length < 4 * width
        cathodic.long_flush_resistance_ohm(0.25, length_m=length, width_m=width, thickness_m=0.01)

    def test_other_shape_by_hand(self):
        # 0.315 times 0.25 over the root of 0.09 m².
        found = cathodic.other_shape_resistance_ohm(0.25, exposed_area_m2=0.09)
        assert found == pytest.approx(0.2625, rel=1e-12)

    @given(st.floats(0.2, 5.0), st.floats(1.01, 5.0))
    def test_saltier_water_gives_more_current(self, resistivity, fresher):
        salt, fresh = (
            cathodic.anode_output_A(
                0.25,
                resistance_ohm=cathodic.long_slender_resistance_ohm(
                    rho, length_m=0.5, radius_m=0.04
                ),
            )
            for rho in (resistivity, resistivity * fresher)
        )
        assert salt > fresh

    @pytest.mark.parametrize(("distance", "factor"), [(0.15, 1.3), (0.2999, 1.3), (0.30, 1.0)])
    def test_stand_off(self, distance, factor):
        # DNV-RP-B401, 2010, Table 10-7, notes.
        limits = {"full_m": 0.30, "closest_m": 0.15, "close_factor": 1.3}
        assert cathodic.standoff_factor(distance, **limits) == factor

    def test_closer_than_the_notes_go(self):
        with pytest.raises(InputError, match="standoff_m"):
            cathodic.standoff_factor(0.14, full_m=0.30, closest_m=0.15, close_factor=1.3)

    def test_round_bar_has_its_own_radius(self):
        assert cathodic.equivalent_radius_m(2 * np.pi * 0.05) == pytest.approx(0.05, rel=1e-12)


class TestMassAndLife:
    @given(
        st.floats(0.01, 10.0), st.floats(0.1, 30.0), st.floats(500.0, 3000.0), st.floats(0.1, 1.0)
    )
    def test_mass_for_a_life_lasts_that_life(self, current, years, capacity, utilization):
        alloy = {"capacity_Ah_per_kg": capacity, "utilization": utilization}
        mass = cathodic.anode_mass_kg(current, life_h=years * YEAR_H, **alloy)
        life = cathodic.anode_life_h(mass, current_A=current, **alloy)
        assert life / YEAR_H == pytest.approx(years, rel=1e-12)

    def test_utilization_enters_once(self):
        whole, part = (
            cathodic.anode_mass_kg(
                1.0, life_h=YEAR_H, capacity_Ah_per_kg=780.0, utilization=utilization
            )
            for utilization in (1.0, 0.5)
        )
        assert part == 2 * whole

    @pytest.mark.parametrize("utilization", [0.0, 1.01])
    def test_no_use_or_more_than_all(self, utilization):
        with pytest.raises(InputError, match="utilization"):
            cathodic.anode_life_h(
                5.0, current_A=0.05, capacity_Ah_per_kg=780.0, utilization=utilization
            )

    def test_whole_numbers_are_not_rounded_up_by_round_off(self):
        assert 0.3 / 0.1 != 3.0
        found = cathodic.anodes_needed([0.3, 3.001, 0.0], one_gives=[0.1, 1.0, 1.0])
        assert found.tolist() == [3, 4, 0]

    def test_an_anode_that_gives_nothing(self):
        with pytest.raises(InputError, match="one_gives"):
            cathodic.anodes_needed(0.5, one_gives=0.0)

    def test_magnesium_and_the_edition_of_zinc(self):
        # Zinc at -1.00 V (DNV-RP-B401, 2005 to 2017) and at -1.03 V (2021): 15 % more output.
        old, new = cathodic.driving_voltage_V([-1.00, -1.03], protected_V=-0.80)
        assert new / old == pytest.approx(1.15, abs=1e-9)

    def test_anode_nobler_than_the_metal_drives_the_other_way(self):
        voltage = cathodic.driving_voltage_V(-0.60, protected_V=-0.80)
        assert voltage == pytest.approx(-0.20)
        assert cathodic.anode_output_A(voltage, resistance_ohm=0.5) < 0


class TestWear:
    # Invented anodes; arithmetic by hand.
    def test_sixty_percent_gone_in_eight_months(self):
        found = cathodic.wastage(0.60, elapsed_h=8 * 730.0, renew_at=[0.50, 0.60, 0.75, 1.0])
        assert found.rate_per_h * 730.0 == pytest.approx(0.075)
        assert found.left_h / 730.0 == pytest.approx([-4 / 3, 0.0, 2.0, 16 / 3])

    @pytest.mark.parametrize("gone", [0.0, 1.01, -0.1])
    def test_share_that_tells_nothing(self, gone):
        with pytest.raises(InputError, match="gone"):
            cathodic.wastage(gone, elapsed_h=1000.0, renew_at=0.5)

    @given(st.floats(0.5, 20.0), st.floats(0.05, 0.95), st.floats(500.0, 20000.0))
    def test_rest_lasts_as_the_current_shown_says(self, mass, gone, elapsed):
        current = cathodic.current_from_wastage_A(
            mass, gone=gone, elapsed_h=elapsed, capacity_Ah_per_kg=780.0
        )
        whole_life = cathodic.anode_life_h(mass, current_A=current, capacity_Ah_per_kg=780.0)
        left = cathodic.wastage(gone, elapsed_h=elapsed, renew_at=1.0).left_h
        assert elapsed + left == pytest.approx(whole_life, rel=1e-9)

    def test_radius_at_the_end(self):
        size = {"length_m": 0.9, "density_g_per_cm3": 2.7, "core_radius_m": 0.01}
        assert cathodic.final_radius_m(20.0, utilization=1.0, **size) == pytest.approx(0.01)
        # Alloy left: 2 kg / 2700 kg/m³ over pi 0.9 m is 2.6198e-4 m², on a core of 1e-4 m².
        assert cathodic.final_radius_m(20.0, utilization=0.9, **size) == pytest.approx(
            np.sqrt(3.6198e-4), rel=1e-4
        )

    def test_warm_water(self):
        # ABS guidance notes, 2017 (second hand): 2000 - 27 (T - 20) Ah/kg.
        rule = {"capacity_Ah_per_kg": 2000.0, "warm_from_C": 20.0, "loss_Ah_per_kg_K": 27.0}
        found = cathodic.capacity_at_temperature_Ah_per_kg([5.0, 20.0, 21.0, 40.0], **rule)
        assert found == pytest.approx([2000, 2000, 1973, 1460])
        with pytest.raises(InputError, match="temperature_C"):
            cathodic.capacity_at_temperature_Ah_per_kg(95.0, **rule)


class TestSurface:
    def test_published_forms_are_two_factors(self):
        # 12 by 3.5 m, 0.6 m: arithmetic. Boats (ABYC study guide as republished), medium 0.75;
        # ships 1.8 L D + Cb L B (paper abstract).
        hull = {"beam_m": 3.5, "draught_m": 0.6}
        boat = cathodic.wetted_area_m2(12.0, side_factor=0.75, bottom_factor=0.75, **hull)
        ship = cathodic.wetted_area_m2(12.0, side_factor=1.8, bottom_factor=0.5, **hull)
        assert boat == pytest.approx(12.0 * (3.5 + 0.6) * 0.75)
        assert ship == pytest.approx(1.8 * 12.0 * 0.6 + 0.5 * 12.0 * 3.5)

    def test_no_surface_no_current(self):
        assert cathodic.current_demand_A(0.0, current_density_A_per_m2=0.1) == 0.0

    def test_coating_share_above_one(self):
        with pytest.raises(InputError, match="breakdown"):
            cathodic.current_demand_A(1.0, current_density_A_per_m2=0.1, breakdown=10.0)
