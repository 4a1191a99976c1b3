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


def test_current_into_the_metal_loses_nothing_and_is_refused():
    with pytest.raises(InputError, match="current_A"):
        faraday.mass_loss_kg(-0.1, time_h=1.0, equivalent_weight_g=30.0)


def test_no_time_no_loss():
    assert faraday.mass_loss_kg(0.1, time_h=0.0, equivalent_weight_g=30.0) == 0.0


def test_efficiency_above_one():
    with pytest.raises(InputError, match="efficiency"):
        faraday.mass_loss_kg(0.1, time_h=1.0, equivalent_weight_g=30.0, efficiency=1.01)
