"""Seawater by its published equations, against printed check values and another implementation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.metals import seawater
from elec.errors import InputError

SALINITY = st.floats(2.0, 42.0)
CELSIUS = st.floats(-2.0, 35.0)
SCALE_1968 = 1.00024


@pytest.mark.parametrize(
    ("salinity", "celsius_1968", "density"),
    [
        (0.0, 5.0, "999.96675"),
        (0.0, 25.0, "997.04796"),
        (35.0, 5.0, "1027.67547"),
        (35.0, 25.0, "1023.34306"),
    ],
)
def test_density_check_values(salinity, celsius_1968, density):
    # UNESCO technical papers in marine science 44, 1983, check values at one atmosphere (from
    # memory).
    found = seawater.density_kg_per_m3(salinity, temperature_C=celsius_1968 / SCALE_1968)
    assert found == pytest.approx(float(density), abs=0.6e-5)


def test_oxygen_check_value():
    # Garcia and Gordon 1992, check value at 10 °C and salinity 35 (from memory): 274.610 µmol/kg.
    found = seawater.oxygen_saturation_umol_per_kg(35.0, temperature_C=10.0 / SCALE_1968)
    assert found == pytest.approx(274.610, abs=0.0005)


@given(SALINITY, CELSIUS, st.floats(0.01, 1.0))
def test_saltier_or_warmer_water_conducts_better(salinity, celsius, more):
    one = seawater.resistivity_ohm_m(salinity, temperature_C=celsius)
    if salinity + more <= 42.0:
        assert seawater.resistivity_ohm_m(salinity + more, temperature_C=celsius) < one
    if celsius + more <= 35.0:
        assert seawater.resistivity_ohm_m(salinity, temperature_C=celsius + more) < one


@given(st.floats(0.0, 42.0), st.floats(-2.0, 34.0))
def test_warmer_water_holds_less_oxygen(salinity, celsius):
    cold, warm = seawater.oxygen_saturation_mol_per_m3(
        salinity, temperature_C=np.array([celsius, celsius + 1.0])
    )
    assert warm < cold


def test_against_the_oceanographic_toolbox():
    gsw = pytest.importorskip("gsw")
    salinity, celsius = np.meshgrid([2.0, 5.0, 20.0, 35.0, 42.0], [0.0, 5.0, 15.0, 25.0, 35.0])
    assert seawater.conductivity_mS_per_cm(salinity, temperature_C=celsius) == pytest.approx(
        gsw.C_from_SP(salinity, celsius, 0.0), rel=1e-12
    )
    assert seawater.oxygen_saturation_umol_per_kg(salinity, temperature_C=celsius) == pytest.approx(
        gsw.O2sol_SP_pt(salinity, celsius), rel=1e-12
    )
    absolute = gsw.SA_from_SP(salinity, 0.0, 0.0, 50.0)
    # The equation of state of 2010 against that of 1980.
    assert seawater.density_kg_per_m3(salinity, temperature_C=celsius) == pytest.approx(
        gsw.rho_t_exact(absolute, celsius, 0.0), abs=0.02
    )


@pytest.mark.parametrize(
    ("layer_mm", "limit"), [(0.5, "0.327"), (0.85, "0.192")], ids=["textbook", "modelling code"]
)
def test_oxygen_limit(layer_mm, limit):
    # Arithmetic: 4 F 2.0e-9 0.2116 / layer at 25 °C and salinity 35.
    found = seawater.oxygen_limit_A_per_m2(
        0.2116, diffusivity_m2_per_s=2.0e-9, layer_m=layer_mm * 1e-3
    )
    assert found == pytest.approx(float(limit), abs=5e-4)


def test_oxygen_limit_meets_the_design_currents_of_bare_steel():
    # DNV-RP-B401, initial current densities at 0-30 m: 0.15 (tropical) to 0.25 A/m² (arctic).
    for celsius, design in ((25.0, 0.15), (4.0, 0.25)):
        limit = seawater.oxygen_limit_A_per_m2(
            seawater.oxygen_saturation_mol_per_m3(35.0, temperature_C=celsius),
            diffusivity_m2_per_s=2.0e-9,
            layer_m=0.85e-3,
        )
        assert design / 2 < limit < design * 2


@pytest.mark.parametrize("salinity", [1.99, 42.01, np.nan])
def test_salinity_outside_the_scale(salinity):
    with pytest.raises(InputError, match="salinity"):
        seawater.resistivity_ohm_m(salinity, temperature_C=15.0)


@pytest.mark.parametrize("celsius", [-2.01, 35.01])
def test_temperature_outside_the_scale(celsius):
    with pytest.raises(InputError, match="temperature_C"):
        seawater.resistivity_ohm_m(35.0, temperature_C=celsius)


def test_ends_of_the_scale():
    ends = seawater.resistivity_ohm_m(np.array([2.0, 42.0]), temperature_C=np.array([-2.0, 35.0]))
    assert np.all(ends > 0)
