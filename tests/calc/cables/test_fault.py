"""Fault current: laws of sources, and how fast it rises."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.cables import fault
from elec.errors import InputError

OHM = st.floats(1e-4, 0.1)


@given(cell=OHM, strings=st.integers(1, 8), series=st.integers(1, 24))
def test_parallel_strings_add_and_cells_in_series_do_not(cell, strings, series):
    def short(cells, parallel):
        ohms = fault.bank_resistance_ohm(cell, cells_in_series=cells, strings_in_parallel=parallel)
        return fault.prospective_fault_A(2.1 * cells, bank_ohm=ohms)

    assert short(series, strings) == pytest.approx(strings * short(1, 1))


@given(cell=OHM, strings=st.integers(1, 8), volts=st.floats(1, 60))
def test_like_strings_as_one_source(cell, strings, volts):
    one = fault.parallel_sources([volts] * strings, resistance_ohm=cell)
    assert one.potential_V == pytest.approx(volts)
    assert one.resistance_ohm == pytest.approx(
        fault.bank_resistance_ohm(cell, cells_in_series=1, strings_in_parallel=strings)
    )


@given(
    volts=st.lists(st.floats(1, 60), min_size=2, max_size=4),
    ohms=st.lists(OHM, min_size=4, max_size=4),
)
def test_unlike_sources_short_together_as_each_alone(volts, ohms):
    ohms = ohms[: len(volts)]
    one = fault.parallel_sources(volts, resistance_ohm=ohms)
    assert min(volts) - 1e-9 <= one.potential_V <= max(volts) + 1e-9
    together = sum(v / r for v, r in zip(volts, ohms, strict=True))
    assert one.potential_V / one.resistance_ohm == pytest.approx(together)


@given(bank=OHM, near=st.floats(0, 0.01), more=st.floats(0, 0.1), weak=st.floats(1, 4))
def test_the_smallest_fault_is_never_above_the_largest(bank, near, more, weak):
    found = fault.fault_range_A(
        12.7,
        bank_ohm=bank,
        near_cold_loop_ohm=near,
        far_hot_loop_ohm=near + more,
        weak_multiple=weak,
    )
    assert found.least_A <= found.greatest_A
    weaker = fault.fault_range_A(
        12.7,
        bank_ohm=bank,
        near_cold_loop_ohm=near,
        far_hot_loop_ohm=near + more,
        weak_multiple=weak,
        weak_open_circuit_V=11.8,
    )
    assert weaker.least_A < found.least_A
    assert weaker.greatest_A == found.greatest_A


def test_smallest_and_largest_by_hand():
    # full: 12.7 / (0.004 + 0.001) = 2540; weak: 12.7 / (0.012 + 0.0134) = 500
    found = fault.fault_range_A(
        12.7,
        bank_ohm=0.004,
        near_cold_loop_ohm=0.001,
        far_hot_loop_ohm=0.0134,
        weak_multiple=3,
    )
    assert found.greatest_A == pytest.approx(2540)
    assert found.least_A == pytest.approx(500)


def test_motors_add_to_it():
    # IEEE 946-2020, annex D: up to about ten times the rated current
    assert fault.motor_contribution_A(140.0, multiple=10) == 1400


def test_rise():
    tau = fault.loop_time_constant_s(5e-6, resistance_ohm=0.005)
    assert tau == pytest.approx(1e-3)

    def after(time):
        return fault.current_after_A(time, prospective_A=2540, time_constant_s=tau)

    assert after(0) == 0
    # one time constant: 63.2 % of the way, by any textbook
    assert after(tau) / 2540 == pytest.approx(0.632, abs=0.0005)
    assert after(1.0) == pytest.approx(2540)


@given(share=st.floats(0, 0.999), tau=st.floats(1e-5, 1))
def test_time_to_reach_a_level_is_the_rise_turned_round(share, tau):
    time = fault.time_to_reach_s(1000 * share, prospective_A=1000, time_constant_s=tau)
    back = fault.current_after_A(time, prospective_A=1000, time_constant_s=tau)
    assert back == pytest.approx(1000 * share)


def test_a_level_at_or_above_the_prospective_current_is_never_reached():
    found = fault.time_to_reach_s([999.0, 1000, 1001], prospective_A=1000, time_constant_s=1e-3)
    assert np.isfinite(found).tolist() == [True, False, False]


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: fault.prospective_fault_A(12, bank_ohm=0), "bank_ohm"),
        (lambda: fault.prospective_fault_A(0, bank_ohm=1), "open_circuit_V"),
        (lambda: fault.prospective_fault_A(12, bank_ohm=1, loop_ohm=-1), "loop_ohm"),
        (
            lambda: fault.bank_resistance_ohm(1, cells_in_series=0, strings_in_parallel=1),
            "cells_in_series",
        ),
        (lambda: fault.parallel_sources([12], resistance_ohm=[0]), "resistance_ohm"),
        (
            lambda: fault.fault_range_A(
                12, bank_ohm=1, near_cold_loop_ohm=0.2, far_hot_loop_ohm=0.1, weak_multiple=3
            ),
            "far_hot_loop_ohm",
        ),
        (
            lambda: fault.fault_range_A(
                12, bank_ohm=1, near_cold_loop_ohm=0.1, far_hot_loop_ohm=0.1, weak_multiple=0.9
            ),
            "weak_multiple",
        ),
        (lambda: fault.current_after_A(-1, prospective_A=1, time_constant_s=1), "time_s"),
        (lambda: fault.loop_time_constant_s(-1, resistance_ohm=1), "inductance_H"),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()
