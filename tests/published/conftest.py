"""The two invented boats that were worked by hand, surveyed once; a battery worked elsewhere."""

import pytest

from elec.calc.batteries import kinetic
from elec.survey import survey
from made import example


@pytest.fixture(scope="session")
def a():
    return survey(example("ostrelline"))


@pytest.fixture(scope="session")
def b():
    return survey(example("vindle_sorrel"))


@pytest.fixture(scope="session")
def two_wells():
    """Fixture of the System Simulation Core (NREL, open source), lib_battery_capacity_test."""
    return kinetic.identify([1.0, 10.0, 20.0], capacity_Ah=[60.0, 93.0, 100.0])
