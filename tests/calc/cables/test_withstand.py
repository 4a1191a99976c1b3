"""Laws of the adiabatic equation; printed answers are in the published tests."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import withstand
from elec.errors import InputError

COPPER = {"metal_A_sqrt_s_per_mm2": 226.0, "zero_resistance_C": 234.5}  # IEC 60949
MELTING = {
    "ambient_C": 25.0,
    "melting_C": 1083.0,
    "zero_resistance_C": 234.0,
    "metal_cmil2_per_A2_s": 33.0,
}


@given(
    area=st.floats(0.5, 120),
    time=st.floats(0.01, 5),
    start=st.floats(0, 105),
    rise=st.floats(1, 200),
)
def test_one_law_solved_for_each_of_its_terms(area, time, start, rise):
    k = withstand.adiabatic_k(start, final_C=start + rise, **COPPER)
    current = withstand.withstand_current_A(time, area_mm2=area, k_A_sqrt_s_per_mm2=k)
    assert withstand.withstand_time_s(
        current, area_mm2=area, k_A_sqrt_s_per_mm2=k
    ) == pytest.approx(time)
    assert withstand.adiabatic_area_mm2(
        current, time_s=time, k_A_sqrt_s_per_mm2=k
    ) == pytest.approx(area)
    assert withstand.withstand_A2s(area, k_A_sqrt_s_per_mm2=k) == pytest.approx(current**2 * time)
    end = withstand.adiabatic_temperature_C(
        current, time_s=time, area_mm2=area, initial_C=start, **COPPER
    )
    assert end == pytest.approx(start + rise)


@given(start=st.floats(0, 200), warmer=st.floats(0, 50))
def test_a_hotter_start_never_survives_more(start, warmer):
    cold = withstand.adiabatic_k(start, final_C=250.0, **COPPER)
    assert withstand.adiabatic_k(start + warmer, final_C=250.0, **COPPER) <= cold


def test_no_room_to_heat_survives_nothing():
    assert withstand.adiabatic_k(105.0, final_C=105.0, **COPPER) == 0


def test_far_beyond_melting_is_infinite_not_an_error():
    end = withstand.adiabatic_temperature_C(
        1e6, time_s=10.0, area_mm2=0.5, initial_C=20.0, **COPPER
    )
    assert end == np.inf


@given(time=st.floats(0.01, 5), more=st.floats(1, 2))
def test_longer_melts_at_less(time, more):
    base = withstand.melting_current_A(time, area_cmil=2580.0, **MELTING)
    assert withstand.melting_current_A(time * more, area_cmil=2580.0, **MELTING) <= base
    assert withstand.melting_current_A(time, area_cmil=2580.0 * more, **MELTING) >= base


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: withstand.adiabatic_k(105.0, final_C=104.0, **COPPER), "final_C"),
        (lambda: withstand.adiabatic_k(np.nan, final_C=104.0, **COPPER), "initial_C"),
        (lambda: withstand.withstand_A2s(0, k_A_sqrt_s_per_mm2=115), "area_mm2"),
        (
            lambda: withstand.withstand_time_s(0, area_mm2=1, k_A_sqrt_s_per_mm2=115),
            "current_A",
        ),
        (
            lambda: withstand.withstand_current_A(0, area_mm2=1, k_A_sqrt_s_per_mm2=115),
            "time_s",
        ),
        (lambda: withstand.melting_current_A(10.1, area_cmil=1000, **MELTING), "time_s"),
        (lambda: withstand.melting_current_A(0, area_cmil=1000, **MELTING), "time_s"),
        (
            lambda: withstand.melting_current_A(
                1, area_cmil=1000, **(MELTING | {"ambient_C": 1083.0})
            ),
            "melting_C",
        ),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()
