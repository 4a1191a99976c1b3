"""Heat at an inlet: the drop across a contact against a like one, and a rise at its load.

NETA MTS: contacts half above the lowest of their like are looked into; classes of Table 100.18.
"""

import pytest

from elec.errors import InputError
from made import one, surveyed

INLET = {"id": "i", "rating": "50 A", "service": "120/240 V", "terminal_current": "38 A"}


def judged(**changes):
    return surveyed("inlet-protection", inlet=[INLET | changes])


def part(name, **changes):
    return one(judged(**changes), part=name)


@pytest.mark.parametrize(
    ("drop", "like", "verdict"),
    [
        ("0.10 V", "0.10 V", "adequate"),
        ("0.15 V", "0.10 V", "marginal"),  # 1.5 times, exactly
        ("0.151 V", "0.10 V", "inadequate"),
        ("0.35 V", "0.05 V", "inadequate"),
        ("0.10..0.20 V", "0.10 V", "undetermined"),
    ],
)
def test_a_contact_may_lose_half_as_much_again_as_a_like_one(drop, like, verdict):
    found = part("contact", terminal_drop=drop, terminal_similar_drop=like)
    assert found.verdict == verdict
    assert found.priority == {"inadequate": "B", "undetermined": "B", "marginal": "C"}.get(verdict)
    assert bool(found.remedy) == (verdict in ("inadequate", "undetermined"))


def test_watts_are_computed_and_scaled_and_say_what_they_are_held_against():
    # scenario A, finding 1: 0.35 V x 38 A = 13.3 W; 0.35 / 38 = 9.21 mohm; at 50 A 23.0 W
    found = part("contact", terminal_drop="0.35 V", terminal_similar_drop="0.05 V")
    steps = {step.symbol: step.result for step in found.working}
    assert steps["P"] == pytest.approx(13.3)
    assert steps["R"] == pytest.approx(0.35 / 38)
    assert steps["P(rating)"] == pytest.approx(0.35 / 38 * 50**2)
    alone = judged(terminal_drop="0.35 V")
    said = next(item for item in alone.not_checked if "no limit in watts" in item.reason)
    assert "13.3 W (9.21 mΩ)" in said.reason
    assert "other contacts" in said.read
    assert "contact" not in [f.part for f in alone.findings]


def test_a_rise_is_judged_at_its_load_and_scaled_to_the_rating_as_an_estimate():
    found = part("rise, ambient", terminal_hot="38 °C", terminal_ambient="29 °C")
    assert (found.verdict, found.value.best) == ("adequate", pytest.approx(9))
    scaled = next(step for step in found.working if step.symbol == "rise(rating)")
    assert scaled.result == pytest.approx(9 * (50 / 38) ** 2)
    assert "from 38.0 A to 50.0 A" in found.statement
    assert "an estimate, it is about 16 K: class 3" in found.statement


def test_nothing_is_scaled_from_full_load_nor_from_little():
    full = part("rise, ambient", terminal_hot="71 °C", terminal_ambient="29 °C",
                terminal_current="50 A")  # fmt: skip
    assert "estimate" not in full.statement
    little = part("rise, ambient", terminal_hot="71 °C", terminal_ambient="29 °C",
                  terminal_current="15 A")  # fmt: skip
    assert (little.verdict, "estimate" in little.statement) == ("inadequate", False)


@pytest.mark.parametrize(
    ("read", "missing"),
    [
        ({"terminal_hot": "90 °C"}, "the air near it, and a like terminal"),
        ({"terminal_drop": "150 mV", "terminal_current": "?"}, "the current through inlet 'i'"),
    ],
)
def test_a_reading_that_stands_alone_says_what_to_read_beside_it(read, missing):
    (said,) = [item for item in judged(**read).not_checked if missing in item.read]
    assert "90" in said.reason or "150" in said.reason


def test_a_contact_heats_at_no_current_of_nothing():
    with pytest.raises(InputError, match="terminal_current"):
        judged(terminal_hot="90 °C", terminal_current="0 A")
