import pytest

from elec.calc.batteries import kinetic


@pytest.fixture(scope="session")
def two_wells():
    """The bank of an open simulation core's own tests: capacity in 1, 10 and 20 h."""
    return kinetic.identify([1.0, 10.0, 20.0], capacity_Ah=[60.0, 93.0, 100.0])
