"""Load cards: the limit is the weakest link read, every set is listed, and no load is left out.

Sets are held against plain enumeration; ratings are those of the plates noted, NFPA 70-2017 Table
400.5(A)(1) for cords; generators lose 3 % per 5 °C above 40 °C and 3 % per 500 m above 1000 m
(a training chart and two operator manuals, read as republished).
"""

import json
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.boat.read import from_data
from elec.checks.load_card import SHOWN, heading, in_words
from elec.report.json_text import render
from elec.survey import survey


def load(name, current, legs, **changes):
    volts = "240 V" if "-" in legs else "120 V"
    about = {"id": name, "inlet": "i", "current": f"{current} A", "volts": volts, "legs": legs}
    return about | {"when": ["shore"], "use": "choice", "behaviour": "resistance"} | changes


def cards(loads, only=("load-card",), inlet=None, **lists):
    source = {"id": "i", "rating": "50 A", "service": "120/240 V", "supply": "240 V"}
    data = {"boat": {"name": "T"}, "inlet": [source | (inlet or {})], "ac_load": loads, **lists}
    return survey(from_data(data, "t"), only=only)


def names_of(one):
    return {*one.loads, *(name for some in one.any_of for name in some.loads)}


# -- what limits ---------------------------------------------------------------------------------

PAIR = [load("a", 40, "L1"), load("b", 40, "L2")]


@pytest.mark.parametrize(
    ("inlet", "lists", "amps", "by"),
    [
        ({}, {}, 50, "(50 A a leg;"),
        ({"pedestal": "30 A"}, {}, 30, "limited by the breaker on the dock"),
        ({"breaker": "40 A"}, {}, 40, "limited by the main breaker"),
        ({"adapter": "two 30 A into one 50 A"}, {}, 30, "two 30 A into one 50 A"),
        # 8 AWG with two loaded conductors: 40 A
        ({}, {"cord": [{"id": "c", "inlet": "i", "size": "8 AWG"}]}, 40, "limited by cord 'c'"),
        ({}, {"transformer": [{"id": "t", "inlet": "i", "rating": "9 kVA"}]}, 37.5, "'t'"),
        ({}, {"cord": [{"id": "c", "inlet": "i"}]}, 50, "(50 A a leg;"),  # not read: not counted
    ],
)
def test_the_weakest_link_read_is_the_limit_and_is_named(inlet, lists, amps, by):
    (card,) = cards(PAIR, inlet=inlet, **lists).cards
    assert card.limit_low_A == pytest.approx(amps)
    assert by in heading(card)
    assert "phasors" in heading(card)
    assert card.surely_count == (2 if amps < 40 else 0)


def test_one_feed_gives_the_sum_of_both_legs_and_nothing_between_them():
    loads = [load("a", 20, "L1"), load("b", 20, "L2"), load("c", 5, "L1-L2")]
    (card,) = cards(loads, inlet={"adapter": "one 50 A into 30 A"}).cards
    assert card.limit_low_A == 30
    assert [one.loads for one in card.surely] == [("a", "b")]
    assert card.dead == ("c",)


def test_a_generator_high_up_gives_less():
    # 45 °C and 2000 m leave 0.97 x 0.94 of 10 kVA: 38.0 A a leg of 120/240 V
    loads = [load("h", 20, "L1-L2", inlet="g"), load("k", 19, "L1-L2", inlet="g")]
    source = {"id": "g", "apparent_power": "10 kVA", "service": "120/240 V"}
    hot = source | {"intake": "45 °C", "altitude": "2000 m"}
    (card,) = cards(loads, generator=[hot]).cards
    assert card.limit_low_A == pytest.approx(0.97 * 0.94 * 10_000 / 240)
    assert card.surely_count == 1
    assert "less what heat and height take" in heading(card)
    cool = source | {"intake": "25 °C", "altitude": "0 m"}
    (card,) = cards(loads, generator=[cool]).cards
    assert (card.limit_low_A, card.surely_count) == (pytest.approx(10_000 / 240), 0)


# -- every set, and every load -------------------------------------------------------------------

MANY = [load(f"l{n}", 11 + 0.1 * n, "L1") for n in range(9)]


def test_every_smallest_set_is_in_the_json_and_the_text_counts_the_rest():
    result = cards(MANY)
    (card,) = result.cards
    document = json.loads(render([result]))["load_cards"][0]
    listed = {frozenset(one["loads"]) for one in document["surely_overload"]}
    amps = {one["id"]: float(one["current"].split()[0]) for one in MANY}
    over = [
        frozenset(c)
        for k in range(1, 10)
        for c in combinations(amps, k)
        if sum(amps[n] for n in c) > 50
    ]
    smallest = {s for s in over if not any(t < s for t in over)}
    assert listed == smallest
    assert document["surely_count"] == len(smallest) > SHOWN
    assert document["listed_at_most"] >= len(smallest)
    text = " ".join(in_words(card))
    assert text.count("Not together: l") == SHOWN
    assert f"{len(smallest) - SHOWN} more combinations" in text


def test_amps_of_a_listed_set_are_those_of_its_loads():
    (card,) = cards(MANY).cards
    amps = {one["id"]: float(one["current"].split()[0]) for one in MANY}
    for one in card.surely:
        assert one.high_A == pytest.approx(sum(amps[name] for name in one.loads))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(1, 30), st.sampled_from(["L1", "L2", "L1-L2"])),
        min_size=1,
        max_size=8,
    ),
    st.integers(10, 60),
)
def test_every_load_that_fits_at_all_is_in_a_set_that_is_shown(loads, rating):
    entries = [load(f"l{n}", a, legs) for n, (a, legs) in enumerate(loads)]
    (card,) = cards(entries, inlet={"rating": f"{rating} A"}).cards
    shown = set().union(*(names_of(one) for one in card.fits_shown))
    assert shown == {f"l{n}" for n, (amps, _) in enumerate(loads) if amps <= rating}
    amps = {f"l{n}": one for n, one in enumerate(loads)}
    for one in card.fits_shown:
        held = [
            *one.loads,
            *(name for some in one.any_of for name in some.loads[: some.number]),
        ]

        def fits(members):
            return all(
                sum(amps[m][0] for m in members if leg in amps[m][1]) <= rating
                for leg in ("L1", "L2")
            )

        assert fits(held)
        assert not any(fits([*held, other]) for other in amps if other not in held)


def test_sets_that_fit_and_are_not_shown_are_counted():
    (card,) = cards(MANY).cards
    # any four of nine: 4 x 11.8 = 47.2 A at most, five are 55 A
    assert card.fits_count == 126
    more = card.fits_count - len(card.fits_shown)
    assert f"Together at most: {more} more combinations." in in_words(card)
    assert len(card.fits) == 126


def test_power_factors_are_named_only_where_they_are_open():
    (card,) = cards([load("a", 30, "?", volts="120 V"), load("b", 30, "L1")]).cards
    assert card.possibly_count == 1
    assert not any("power factors" in line for line in in_words(card))
