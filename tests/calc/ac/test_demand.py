"""Demand by published methods: edges, properties, and invented boats reckoned by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.ac import demand
from elec.errors import InputError

LOADS = st.floats(0, 1e5)


# -- slices ----------------------------------------------------------------------------------------


@given(LOADS, st.floats(100, 1e4), st.floats(0, 1))
def test_two_slices_in_closed_form(total, first, factor):
    found = demand.stepped_demand_VA(total, breakpoints_VA=first, factors=[1, factor])
    assert found == pytest.approx(min(total, first) + factor * max(total - first, 0), rel=1e-12)


@given(LOADS, LOADS)
def test_more_load_never_lowers_the_demand(total, more):
    of = {"breakpoints_VA": [3000, 120_000], "factors": [1, 0.35, 0.25]}
    assert demand.stepped_demand_VA(total + more, **of) >= demand.stepped_demand_VA(total, **of)


def test_three_slices_at_their_edges():
    # by hand: 3000 + 0.35 x 117 000 = 43 950; 0.25 of what is above 120 000
    found = demand.stepped_demand_VA(
        [0, 3000, 3001, 120_000, 124_000], breakpoints_VA=[3000, 120_000], factors=[1, 0.35, 0.25]
    )
    assert found == pytest.approx([0, 3000, 3000.35, 43_950, 44_950], rel=1e-12)


@pytest.mark.parametrize(
    ("breakpoints", "factors"),
    [([3000], [1.0]), ([3000, 2000], [1, 0.5, 0.3]), ([2000], [1, 0.35, 0.2])],
)
def test_slices_refused(breakpoints, factors):
    with pytest.raises(InputError, match="breakpoints_VA"):
        demand.stepped_demand_VA(5000, breakpoints_VA=breakpoints, factors=factors)


def test_percent_for_a_factor_is_refused():
    with pytest.raises(InputError, match="factors: 35"):
        demand.stepped_demand_VA(5000, breakpoints_VA=2000, factors=[1, 35])


# -- range table -----------------------------------------------------------------------------------

BANDS = {
    "over_W": [0, 10_000, 12_000],
    "to_W": [10_000, 12_000, 14_000],
    "use_VA": [math.nan, 8000, 8500],
    "use_fraction": [0.8, math.nan, math.nan],
}


def test_range_bands():
    found = demand.range_demand_VA([5000, 10_000, 10_001, 12_000, 14_000], **BANDS)
    assert found == pytest.approx([4000, 8000, 8000, 8000, 8500], rel=1e-12)


@pytest.mark.parametrize("rated_W", [0, -5, 14_000.5, math.nan])
def test_range_refused(rated_W):
    with pytest.raises(InputError, match="rated_W"):
        demand.range_demand_VA(rated_W, **BANDS)


def test_band_without_a_figure_refused():
    with pytest.raises(InputError, match="neither"):
        demand.range_demand_VA(11_000, **(BANDS | {"use_VA": [math.nan] * 3}))


# -- fixed appliances ------------------------------------------------------------------------------


@given(st.lists(st.floats(0.1, 50), min_size=1, max_size=8), st.floats(0.1, 1))
def test_group_factor_from_its_minimum_up(amps, factor):
    found = demand.fixed_appliances_A(
        amps,
        use_factor=1.0,
        on_leg=np.ones((len(amps), 1)),
        group_minimum=4,
        group_factor=factor,
    )
    assert found[0] == pytest.approx(sum(amps) * (factor if len(amps) >= 4 else 1), rel=1e-12)


def test_each_leg_counts_its_own_appliances():
    # four on L1, three on L2: the group factor for L1 only
    found = demand.fixed_appliances_A(
        [10, 10, 10, 10],
        use_factor=[1, 1, 1, 0.5],
        on_leg=[[1, 1], [1, 1], [1, 1], [1, 0]],
        group_minimum=4,
        group_factor=0.6,
    )
    assert found == pytest.approx([21, 30], rel=1e-12)


def test_no_fixed_appliances():
    found = demand.fixed_appliances_A(
        [], use_factor=1.0, on_leg=np.ones((0, 2)), group_minimum=4, group_factor=0.6
    )
    assert found.tolist() == [0, 0]


def test_appliances_and_legs_must_agree():
    with pytest.raises(InputError, match=r"on_leg: shape \(1, 2\) for 2 appliances"):
        demand.fixed_appliances_A(
            [1, 2], use_factor=1, on_leg=[[1, 1]], group_minimum=4, group_factor=0.6
        )


@given(st.lists(st.floats(0, 50), max_size=6), st.floats(0, 1))
def test_largest_motor(amps, fraction):
    found = demand.largest_motor_extra_A(amps, fraction=fraction)
    assert found == pytest.approx(fraction * max(amps, default=0), rel=1e-12)


# -- an invented boat, by hand: factors from memory, so a check of arithmetic only -----------------

# House inlet of a 19 m motor yacht; appliances as (amps, use factor, on L1, on L2)
HOUSE = [
    (12.5, 1.00, 1, 1),  # water heater
    (14.0, 1.00, 1, 1),  # charger
    (12.0, 0.25, 1, 0),  # washer-dryer
    (10.0, 0.25, 1, 0),  # dishwasher
    (3.0, 0.50, 1, 0),  # ice maker
    (5.5, 1.00, 0, 1),  # refrigerator
    (12.9, 0.10, 0, 1),  # microwave
]


def house_demand(**more):
    amps, use, first, second = zip(*HOUSE, strict=True)
    fixed = demand.fixed_appliances_A(
        amps,
        use_factor=use,
        on_leg=np.column_stack([first, second]),
        group_minimum=4,
        group_factor=0.60,
    )
    return demand.leg_demand_A(
        demand.general_load_VA(624.3, VA_per_area=2, circuits=2, circuit_VA=1500),
        supply_V=240,
        breakpoints_VA=2000,
        factors=[1, 0.35],
        fixed_A=fixed,
        range_VA=demand.range_demand_VA(3600, **BANDS),
        **more,
    )


def test_house_inlet_by_hand():
    # 4249 W -> 2787 W -> 11.6 A; cooktop 12.0 A; groups 20.1 and 20.0 A; 43.7 and 43.6 A
    found = house_demand()
    assert found.general_A == pytest.approx([11.6, 11.6], abs=0.05)
    assert found.range_A == pytest.approx([12.0, 12.0], abs=0.05)
    assert found.fixed_A == pytest.approx([20.1, 20.0], abs=0.05)
    assert found.total_A == pytest.approx([43.7, 43.6], abs=0.05)


def test_parts_add_up():
    found = house_demand(nameplate_A=[3.0, 1.0], motor_extra_A=0.5)
    parts = (
        found.general_A,
        found.range_A,
        found.fixed_A,
        found.nameplate_A,
        found.motor_extra_A,
    )
    assert sum(parts) == pytest.approx(found.total_A, rel=1e-12)
    assert found.total_A - house_demand().total_A == pytest.approx([3.5, 1.5], rel=1e-12)


def test_demand_in_samples():
    found = demand.leg_demand_A(
        [4000, 5000, 6000],
        supply_V=[240, 230, 220],
        breakpoints_VA=2000,
        factors=[1, 0.35],
        fixed_A=[10.0, 12.0],
    )
    assert found.total_A.shape == (3, 2)
    assert found.total_A[1] == pytest.approx([3050 / 230 + 10, 3050 / 230 + 12], rel=1e-12)


def test_climate_inlet_with_largest_motor_by_hand():
    # 45.2 A and a quarter of the dive compressor's 12 A: 48.2 A
    motor = demand.largest_motor_extra_A([10.5, 7.2, 7.2, 4.8, 3.5, 12.0], fraction=0.25)
    found = demand.leg_demand_A(
        0,
        supply_V=240,
        breakpoints_VA=2000,
        factors=[1, 0.35],
        fixed_A=[0, 0],
        nameplate_A=45.2,
        motor_extra_A=motor,
    )
    assert found.total_A == pytest.approx([48.2, 48.2], abs=0.05)


def test_an_area_below_nothing_is_refused():
    with pytest.raises(InputError, match="floor_area"):
        demand.general_load_VA(-1, VA_per_area=3)
