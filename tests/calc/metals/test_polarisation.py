"""Metals drawn from their rest: alone they rest where they were drawn, and lose their own rate."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.metals.mixed_potential import bond
from elec.calc.metals.polarisation import reactions_of
from elec.errors import InputError

STEEL = {
    "own_A_per_m2": 0.1,
    "anodic_slope_V_per_decade": 0.06,
    "cathodic_slope_V_per_decade": 0.12,
    "oxygen_limit_A_per_m2": 0.25,
}


@given(
    st.floats(-1.6, 0.2),
    st.floats(1e-4, 0.2),
    st.floats(0.02, 0.12),
    st.floats(0.04, 0.14),
    st.floats(1.01, 50.0),
)
def test_alone_it_rests_at_its_free_potential_and_loses_its_own_rate(rest, own, b_a, b_c, above):
    alone = bond(
        reactions_of(
            rest,
            own_A_per_m2=own,
            anodic_slope_V_per_decade=b_a,
            cathodic_slope_V_per_decade=b_c,
            oxygen_limit_A_per_m2=own * above,
        ),
        area_m2=2.0,
    )
    assert alone.potential_V == pytest.approx(rest, abs=1e-9)
    assert alone.dissolving_A[0] == pytest.approx(2.0 * own, rel=1e-9)


def test_a_film_holds_the_loss_at_its_own_rate_beside_a_nobler_metal():
    filmed = reactions_of(np.array([-0.2, 0.2]), film=np.array([True, True]), **STEEL)
    both = bond(filmed, area_m2=1.0)
    assert both.dissolving_A[0] == pytest.approx(0.1, rel=1e-6)
    open_ = bond(reactions_of(np.array([-0.2, 0.2]), **STEEL), area_m2=1.0)
    assert open_.dissolving_A[0] > 0.15


@given(st.floats(0.1, 10.0), st.floats(1.0, 10.0))
def test_a_larger_noble_metal_never_slows_the_wasting_one(area, larger):
    reactions = reactions_of(np.array([-0.9, -0.2]), **STEEL)
    small, large = (
        bond(reactions, area_m2=np.array([1.0, size])).dissolving_A[0]
        for size in (area, area * larger)
    )
    assert large >= small * (1 - 1e-12)


@given(st.floats(0.01, 10.0))
def test_an_anode_never_raises_the_loss_of_the_metals_it_protects(size):
    without = bond(reactions_of(np.array([-0.65, -0.2]), **STEEL), area_m2=1.0)
    with_one = bond(
        reactions_of(np.array([-0.65, -0.2, -1.03]), **STEEL), area_m2=np.array([1.0, 1.0, size])
    )
    assert np.all(with_one.dissolving_A[:2] <= without.dissolving_A * (1 + 1e-12))


def test_more_corrosion_than_oxygen_feeds_is_refused():
    with pytest.raises(InputError, match="own_A_per_m2"):
        reactions_of(-0.65, **STEEL | {"own_A_per_m2": 0.25})


@pytest.mark.parametrize("name", [name for name in STEEL if name != "film"])
def test_nothing_at_all_is_refused(name):
    with pytest.raises(InputError, match=name):
        reactions_of(-0.65, **STEEL | {name: 0.0})
