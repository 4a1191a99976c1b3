"""Fault current: laws of sources."""

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


def test_motors_add_to_it():
    # IEEE 946-2020, annex D: up to about ten times the rated current
    assert fault.motor_contribution_A(140.0, multiple=10) == 1400


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
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()
