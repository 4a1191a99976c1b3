"""Laws of the adiabatic equation; printed answers are in the published tests."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import withstand
from elec.errors import InputError


@given(area=st.floats(0.5, 120), time=st.floats(0.01, 5), k=st.floats(50, 250))
def test_one_law_solved_for_each_of_its_terms(area, time, k):
    current = np.sqrt(withstand.withstand_A2s(area, k_A_sqrt_s_per_mm2=k) / time)
    assert withstand.withstand_time_s(
        current, area_mm2=area, k_A_sqrt_s_per_mm2=k
    ) == pytest.approx(time)
    assert withstand.adiabatic_area_mm2(
        current, time_s=time, k_A_sqrt_s_per_mm2=k
    ) == pytest.approx(area)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: withstand.withstand_A2s(0, k_A_sqrt_s_per_mm2=115), "area_mm2"),
        (lambda: withstand.withstand_time_s(0, area_mm2=1, k_A_sqrt_s_per_mm2=115), "current_A"),
        (lambda: withstand.adiabatic_area_mm2(1, time_s=-1, k_A_sqrt_s_per_mm2=115), "time_s"),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()
