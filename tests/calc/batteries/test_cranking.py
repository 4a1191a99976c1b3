"""Cranking: edges and properties; printed answers are in tests/published."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.batteries import cranking
from elec.errors import InputError

COPPER = {"resistivity_ohm_mm2_per_m": 0.0175}


@given(st.floats(0.02, 0.4), st.floats(10.0, 120.0), st.floats(0.0, 1e-4))
def test_longest_loop_is_on_the_limit(limit, area, connections):
    length = cranking.loop_length_m(limit, area_mm2=area, connections_ohm=connections, **COPPER)
    drop = cranking.loop_drop_per_100A_V(
        length, area_mm2=area, connections_ohm=connections, **COPPER
    )
    assert drop == pytest.approx(limit, rel=1e-9)


def test_connections_alone_may_use_up_the_drop():
    assert cranking.loop_length_m(0.1, area_mm2=50.0, connections_ohm=2e-3, **COPPER) == 0.0


def test_drop_scales():
    one, other = cranking.loop_drop_V(0.10, current_A=[0.0, 250.0])
    assert one == 0.0
    assert other == pytest.approx(0.25)


def test_need_by_size_of_engine():
    # Rule of thumb printed as 2 A for each cubic inch (common practice): 61.0 in3 to the litre.
    per_litre = 2 * 1000 / 2.54**3
    assert per_litre == pytest.approx(122.0, abs=0.5)
    needed = cranking.cranking_needed_A(2.0, cold_cranking_A_per_L=per_litre)
    assert needed == pytest.approx(244.0, abs=0.5)


@pytest.mark.parametrize(
    "call",
    [
        lambda: cranking.marine_cranking_A(500.0, ratio=0.9),
        lambda: cranking.marine_cranking_A(0.0, ratio=1.3),
        lambda: cranking.loop_drop_per_100A_V(0.0, area_mm2=50.0, **COPPER),
        lambda: cranking.loop_drop_per_100A_V(1.0, area_mm2=50.0, connections_ohm=-1.0, **COPPER),
        lambda: cranking.cranking_needed_A(-2.0, cold_cranking_A_per_L=122.0),
    ],
)
def test_bad_input_is_refused(call):
    with pytest.raises(InputError):
        call()
