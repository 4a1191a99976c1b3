"""Messages say what they are about in words: no name of an argument or column reaches a user."""

import pytest

from elec.boat.read import from_data
from elec.errors import in_words
from elec.survey import survey


@pytest.mark.parametrize(
    ("message", "words"),
    [
        ("added_current_A: 0 was given.", "added current (A): 0 was given."),
        (
            "bank 'house_bank', resistance_ohm: inf was given.",
            "bank 'house_bank', resistance (ohm): inf was given.",
        ),
        (
            "table 'a_b': salinity_PSU must lie in 1..35, not 0",
            "table 'a_b': salinity (PSU) must lie in 1..35, not 0",
        ),
        ("return_factor: 0.5 was given.", "return factor: 0.5 was given."),
        # what the user wrote stays as written
        (
            "my_boat_A.toml:3: run 'feed_1_A', size: '2'",
            "my_boat_A.toml:3: run 'feed_1_A', size: '2'",
        ),
    ],
)
def test_names_of_arguments_are_put_in_words(message, words):
    assert in_words(message) == words


def test_a_reason_for_not_checking_names_no_argument():
    data = {
        "boat": {"name": "Test", "water": "sea", "salinity": "0 PSU"},
        "metal": [{"id": "m", "metal": "bronze", "exposure": "sea"}],
        "reading": [{"id": "r", "potential": "-0.6 V", "cell": "Ag/AgCl seawater", "of": "m"}],
    }
    (left,) = survey(from_data(data, "test"), only=["reading"]).not_checked
    assert "salinity (PSU) must lie in 1..35, not 0" in left.reason
