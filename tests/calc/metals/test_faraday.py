"""Metal and current: edges and properties. Published values are in tests/published."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.metals import faraday
from elec.errors import InputError

AMPERES = st.floats(1e-6, 100.0)
WEIGHT = st.floats(5.0, 110.0)
DENSITY = st.floats(1.5, 22.0)


@given(AMPERES, WEIGHT, DENSITY)
def test_rate_and_current_density_are_inverse(current, weight, density):
    metal = {"equivalent_weight_g": weight, "density_g_per_cm3": density}
    rate = faraday.penetration_mm_per_year(current, **metal)
    assert faraday.current_density_A_per_m2(rate, **metal) == pytest.approx(current, rel=1e-12)


@given(AMPERES, WEIGHT, DENSITY, st.floats(0.01, 50.0))
def test_weighed_loss_shows_the_same_rate(current, weight, density, area):
    lost = faraday.mass_rate_kg_per_year(current, equivalent_weight_g=weight)
    by_weight = faraday.coupon_rate_mm_per_year(
        lost, area_m2=area, time_h=8760.0, density_g_per_cm3=density
    )
    by_current = faraday.penetration_mm_per_year(
        current / area, equivalent_weight_g=weight, density_g_per_cm3=density
    )
    assert by_weight == pytest.approx(by_current, rel=1e-12)


@given(WEIGHT)
def test_capacity_is_the_inverse_of_consumption(weight):
    used = faraday.consumption_kg_per_A_year(faraday.capacity_Ah_per_kg(weight))
    assert used == pytest.approx(
        faraday.mass_rate_kg_per_year(1.0, equivalent_weight_g=weight), rel=1e-12
    )


def test_copper_to_valence_one_loses_twice_as_much():
    once, twice = faraday.equivalent_weight_g(63.546, valence=[2, 1])
    assert twice == 2 * once


def test_pure_metal_as_an_alloy_of_one():
    found = faraday.alloy_equivalent_weight_g([1.0], molar_masses_g_per_mol=[65.38], valences=[2])
    assert found == pytest.approx(32.69, rel=1e-12)


@pytest.mark.parametrize("fractions", [[0.5, 0.3], [0.7, 0.4], [0.7, -0.1]])
def test_fractions_that_are_no_alloy(fractions):
    with pytest.raises(InputError, match="mass_fractions"):
        faraday.alloy_equivalent_weight_g(
            fractions, molar_masses_g_per_mol=[63.5, 65.4], valences=[1, 2]
        )


def test_current_into_the_metal_loses_nothing_and_is_refused():
    with pytest.raises(InputError, match="current_A"):
        faraday.mass_loss_kg(-0.1, time_h=1.0, equivalent_weight_g=30.0)


def test_no_time_no_loss():
    assert faraday.mass_loss_kg(0.1, time_h=0.0, equivalent_weight_g=30.0) == 0.0


def test_efficiency_above_one():
    with pytest.raises(InputError, match="efficiency"):
        faraday.mass_loss_kg(0.1, time_h=1.0, equivalent_weight_g=30.0, efficiency=1.01)
