"""The two invented boats that were worked by hand, surveyed once."""

import pytest

from elec.survey import survey
from made import example


@pytest.fixture(scope="session")
def a():
    return survey(example("ostrelline"))


@pytest.fixture(scope="session")
def b():
    return survey(example("vindle_sorrel"))
