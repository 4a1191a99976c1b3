"""From dock to panel: the weakest link, those not read, adapters, and hours-long load.

Ratings: NEC services of 30 A and 50 A; the opposite legs of an adapter are common practice.
"""

import pytest

from made import CORD, FEEDER, ac_load, surveyed

INLET = {"id": "i", "rating": "50 A", "service": "120/240 V", "breaker": "50 A"}


def path(*loads, cord=(CORD,), run=(FEEDER,), basis="us", **changes):
    lists = {"inlet": [INLET | {"supply": "240 V"} | changes], "ac_load": list(loads)}
    lists |= {"cord": list(cord), "run": list(run)}
    return {found.part: found for found in surveyed("inlet-path", basis=basis, **lists).findings}


ALL = ac_load("a", 32, "L1-L2", behaviour="resistance")
TWO = {"adapter": "two 30 A into one 50 A"}


def test_two_30_A_joined_into_one_50_A_give_30_A_a_leg():
    found = path(ALL, **TWO, adapter_legs="opposite")
    assert (found[""].limit.best, found[""].verdict) == (30, "inadequate")
    assert (
        path(ac_load("a", 26, "L1-L2", behaviour="resistance"), **TWO, adapter_legs="opposite")[
            ""
        ].verdict
        == "adequate"
    )
    assert (
        path(ac_load("a", 29, "L1-L2", behaviour="resistance"), **TWO, adapter_legs="opposite")[
            ""
        ].verdict
        == "marginal"
    )


@pytest.mark.parametrize(
    ("legs", "verdict", "priority", "words"),
    [
        ("opposite", "adequate", None, "as they must be"),
        ("same", "inadequate", "A", "neutral carries the sum"),
        ("?", "undetermined", "B", "0 V is one leg"),
    ],
)
def test_its_two_receptacles_must_be_on_opposite_legs_whatever_the_load(
    legs, verdict, priority, words
):
    found = path(ac_load("a", 5, "L1", behaviour="resistance"), **TWO, adapter_legs=legs)[
        "adapter legs"
    ]
    assert (found.verdict, found.priority) == (verdict, priority)
    assert words in found.statement
    assert bool(found.remedy) == (verdict != "adequate")
    if legs == "?":
        assert "volts between the two receptacles" in found.turns_on[0].read


def test_eighty_percent_of_an_adapter_is_a_verdict_of_its_own():
    # 0.8 x 30 A = 24 A; the rating itself still holds
    found = path(ac_load("a", 26, "L1-L2", behaviour="resistance"), **TWO, adapter_legs="opposite")
    assert found[""].verdict == "adequate"
    assert (found["hours"].limit.best, found["hours"].verdict) == (24, "inadequate")
    assert "good practice" in found["hours"].statement
    assert "80 % of adapter" in found["hours"].statement
    at_limit = path(
        ac_load("a", 24, "L1-L2", behaviour="resistance"), **TWO, adapter_legs="opposite"
    )["hours"]
    assert at_limit.verdict == "marginal"
    assert "hours" not in path(ALL)  # the inlet's own 80 % is judged under inlet-demand


def test_one_50_A_into_30_A_says_that_the_dock_does_not_protect_the_cord():
    one = {"rating": "30 A", "service": "120 V", "supply": "120 V", "breaker": "30 A"}
    cord = CORD | {"size": "10 AWG"}
    adapter = {"adapter": "one 50 A into 30 A", "pedestal": "50 A"}
    found = path(ac_load("a", 20, "L1", behaviour="resistance"), cord=[cord], **one, **adapter)[""]
    assert (found.limit.best, found.verdict) == (30, "adequate")
    assert any("does not protect it" in n and "(50 A)" in n for n in found.notes)


def test_behind_it_both_legs_of_a_50_A_inlet_draw_on_one_30_A():
    loads = [
        ac_load("a", 20, "L1", behaviour="resistance"),
        ac_load("b", 15, "L2", behaviour="resistance"),
        ac_load("between", 10, "L1-L2", behaviour="resistance"),
    ]
    found = path(*loads, adapter="one 50 A into 30 A")[""]
    assert found.value.best == pytest.approx(35)  # 20 + 15; what is between the legs is dead
    assert found.verdict == "inadequate"
    assert any("between the legs is dead" in note for note in found.notes)


# -- links not read ------------------------------------------------------------------------------


def test_the_weakest_link_read_and_what_the_rest_must_carry_are_one_sentence():
    found = path(ALL, cord=[], run=[])[""]
    assert found.verdict == "undetermined"
    assert (
        "Of the links read, inlet 'i' and main breaker limit, at 50.0 A a leg; cord and cable "
        "from inlet to panel are open: adequate if each carries 32.0 A or more." in found.statement
    )
    turn = next(t for t in found.turns_on if "least of cord" in t.input)
    assert "35 A" in turn.adequate_if
    assert "30 A" in turn.inadequate_if


def test_one_open_link_alone():
    assert "cord is open: adequate if it carries 32.0 A or more" in path(ALL, cord=[])[""].statement
    ranged = path(ALL, breaker="30..50 A")[""]
    assert "main breaker is open" in ranged.statement
    assert ranged.verdict == "undetermined"


def test_an_open_link_cannot_save_what_a_known_one_fails():
    found = path(ALL, cord=[CORD | {"size": "10 AWG"}], run=[])[""]
    assert found.verdict == "inadequate"
    assert "too little, whatever cable from inlet to panel may carry" in found.statement


@pytest.mark.parametrize("current", [15, 9])
def test_links_not_read_of_the_smallest_inlet_are_open_too(current):
    # a breaker, cord or cable of 6.3 to 12.5 A may hang behind an inlet of 16 A (IEC 60059)
    heat = ac_load("a", current, "L1", volts="230 V", behaviour="resistance")
    inlet = {"rating": "16 A", "service": "230 V", "supply": "230 V", "breaker": "?"}
    found = path(heat, run=[], cord=[CORD | {"size": "2.5 mm²"}], basis="iso", **inlet)[""]
    assert found.verdict == "undetermined"
    assert "10 A" in found.turns_on[0].adequate_if or current == 15


def test_an_extension_counts_as_a_link():
    weak = CORD | {"id": "extension", "size": "10 AWG"}
    found = path(ALL, cord=[CORD, weak])[""]
    assert "cord 'extension' limits: 30.0 A a leg" in found.statement
    assert found.verdict == "inadequate"
