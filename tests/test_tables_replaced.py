"""What is worked out once of the shipped tables is worked out again when others replace them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from elec import published
from elec.boat.typical import gear
from elec.checks.basis import basis_of
from elec.quote.words import listed


@pytest.mark.parametrize(
    ("function", "given"), [(basis_of, "us"), (listed, "item"), (gear, "windlass")]
)
def test_worked_out_once_until_tables_are_replaced(
    function: Callable[[str], object], given: str
) -> None:
    first = function(given)
    assert function(given) is first
    published.use_tables_from()
    assert function(given) is not first
