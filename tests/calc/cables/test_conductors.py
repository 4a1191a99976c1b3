"""Edges and laws of copper runs; printed answers are in the published tests."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import conductors
from elec.errors import InputError
from elec.published import table

CURRENT = st.floats(0, 2000)
LENGTH = st.floats(0.01, 200)
AREA = st.floats(0.2, 200)
TEMPERATURE = st.floats(-60, 260)
COPPER = {"resistivity_20C_ohm_mm2_per_m": 0.017241, "temperature_coefficient_per_K": 0.00393}

DROPS = [
    pytest.param(
        lambda current, length, area: conductors.drop_circular_mil_V(
            current, length_one_way_m=length, area_cmil=area, k_ohm_cmil_per_ft=10.75
        ),
        id="circular mil",
    ),
    pytest.param(
        lambda current, length, area: conductors.drop_metric_V(
            current, length_one_way_m=length, area_mm2=area, constant_ohm_mm2_per_m=0.0164
        ),
        id="metric",
    ),
    pytest.param(
        lambda current, length, area: conductors.drop_physical_V(
            current,
            length_one_way_m=length,
            ohm_per_km_20C=17.241 / area,
            temperature_coefficient_per_K=0.00393,
            conductor_temp_C=60.0,
        ),
        id="physical",
    ),
]


@pytest.mark.parametrize("drop", DROPS)
@given(current=CURRENT, length=LENGTH, area=AREA, more=st.floats(1, 5))
def test_longer_or_more_current_never_drops_less_and_thicker_never_more(
    drop, current, length, area, more
):
    base = drop(current, length, area)
    assert base >= 0
    assert drop(current, length * more, area) >= base
    assert drop(current * more, length, area) >= base
    assert drop(current, length, area * more) <= base


@given(current=st.floats(0.1, 2000), length=LENGTH, allowed=st.floats(0.01, 10))
def test_area_needed_just_uses_up_the_drop(current, length, allowed):
    cmil = conductors.area_needed_cmil(
        current, length_one_way_m=length, allowed_drop_V=allowed, k_ohm_cmil_per_ft=10.75
    )
    mm2 = conductors.area_needed_mm2(
        current, length_one_way_m=length, allowed_drop_V=allowed, constant_ohm_mm2_per_m=0.0164
    )
    by_cmil, by_mm2 = DROPS[0].values[0], DROPS[1].values[0]
    assert by_cmil(current, length, cmil) == pytest.approx(allowed)
    assert by_mm2(current, length, mm2) == pytest.approx(allowed)


@given(length=LENGTH, area=AREA, cold=TEMPERATURE, warmer=st.floats(0, 100))
def test_hotter_copper_never_resists_less(length, area, cold, warmer):
    def ohms(temperature):
        return conductors.resistance_ohm(
            length, area_mm2=area, conductor_temp_C=temperature, **COPPER
        )

    assert 0 < ohms(cold) <= ohms(min(cold + warmer, 260))


@given(ambient=st.floats(-40, 300), warmer=st.floats(0, 50), rated=st.sampled_from([60, 105, 200]))
def test_hotter_never_carries_more(ambient, warmer, rated):
    def factor(temperature):
        return conductors.ambient_factor(temperature, table_ambient_C=30, rated_C=rated)

    assert factor(ambient + warmer) <= factor(ambient)
    assert factor(30) == 1


def test_nothing_is_carried_from_the_rating_upwards():
    found = conductors.ambient_factor([104.999, 105, 120], table_ambient_C=30, rated_C=105)
    assert found[0] > 0
    assert found[1:].tolist() == [0, 0]


def test_thicker_never_carries_less():
    base = table("cfr183_table5_ampacity")
    for rated in (60, 75, 80, 90, 105, 125, 200):
        found = conductors.ampacity_A(
            base.numbers(f"ampacity_A_at_insulation_{rated}C"),
            engine_space_factor=0.85,
            bundle_factor=0.6,
        )
        assert np.all(np.diff(found) >= 0)


@given(load=st.floats(0, 1), ambient=st.floats(-20, 70))
def test_temperature_at_no_load_and_at_ampacity(load, ambient):
    def temperature(current):
        return conductors.conductor_temperature_C(
            current, ampacity_A=100, ambient_C=ambient, rated_C=105
        )

    assert temperature(0) == ambient
    assert temperature(100) == pytest.approx(105)
    assert ambient <= temperature(100 * load) <= 105 + 1e-9


def test_overload_is_shown_hotter_than_the_rating():
    # twice the ampacity, four times the rise: 30 + 4 * 75
    found = conductors.conductor_temperature_C(200, ampacity_A=100, ambient_C=30, rated_C=105)
    assert found == pytest.approx(330)


def test_samples_and_sizes_broadcast():
    found = conductors.drop_circular_mil_V(
        np.array([[10.0], [20.0]]),
        length_one_way_m=3.0,
        area_cmil=np.array([6530, 10380, 16510]),
        k_ohm_cmil_per_ft=10.75,
    )
    assert found.shape == (2, 3)
    assert found[1] == pytest.approx(2 * found[0])


def test_a_scalar_in_is_a_scalar_out():
    found = conductors.drop_V(1.0, length_one_way_m=1.0, ohm_per_m=1.0)
    assert isinstance(found, float)


@pytest.mark.parametrize("length", [0, -1, float("nan"), float("inf"), "12"])
def test_a_senseless_length_is_refused_by_name(length):
    if length == "12":
        length = "twelve"
    with pytest.raises(InputError, match="length_one_way_m"):
        conductors.drop_V(1.0, length_one_way_m=length, ohm_per_m=0.001)


@pytest.mark.parametrize(
    ("function", "arguments", "named"),
    [
        (conductors.drop_V, {"current_A": -1, "length_one_way_m": 1, "ohm_per_m": 1}, "current_A"),
        (conductors.ampacity_A, {"base_A": 45, "bundle_factor": 1.1}, "bundle_factor"),
        (conductors.ampacity_A, {"base_A": 0}, "base_A"),
        (
            conductors.ambient_factor,
            {"ambient_C": 30, "table_ambient_C": 90, "rated_C": 90},
            "table_ambient_C",
        ),
        (
            conductors.conductor_temperature_C,
            {"current_A": 1, "ampacity_A": 1, "ambient_C": 105, "rated_C": 105},
            "ambient_C",
        ),
        (
            conductors.resistance_ohm,
            {"length_m": 1, "area_mm2": 1, "conductor_temp_C": 261, **COPPER},
            "conductor_temp_C",
        ),
    ],
)
def test_bad_values_are_refused_by_name(function, arguments, named):
    first, *_ = arguments
    with pytest.raises(InputError, match=named):
        function(arguments.pop(first), **arguments)
