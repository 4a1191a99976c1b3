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

from elec.checks.aboard.load_card import SHOWN, heading, in_words
from elec.json_form import as_json
from elec.report.json_text import render
from made import ac_load, inlet, surveyed


def load(name, current, legs, **changes):
    chosen = {"use": "choice", "behaviour": "resistance"}
    return ac_load(name, current, legs, **chosen | changes)


def cards(loads, only=("load-card",), source=None, **lists):
    return surveyed(*only, inlet=[inlet(**source or {})], ac_load=loads, **lists)


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
    (card,) = cards(PAIR, source=inlet, **lists).cards
    assert card.limit_low_A == pytest.approx(amps)
    assert by in heading(card)
    assert "phasors" in heading(card)
    assert card.surely_count == (2 if amps < 40 else 0)


def test_one_feed_gives_the_sum_of_both_legs_and_nothing_between_them():
    loads = [load("a", 20, "L1"), load("b", 20, "L2"), load("c", 5, "L1-L2")]
    (card,) = cards(loads, source={"adapter": "one 50 A into 30 A"}).cards
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
    (card,) = cards(entries, source={"rating": f"{rating} A"}).cards
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


# -- limits beside the legs ----------------------------------------------------------------------


def words(card):
    return " ".join(in_words(card))


def heater(name, watts, **changes):
    about = {"id": name, "inlet": "i", "volts": "240 V", "power": f"{watts} W"}
    about |= {"behaviour": "resistance", "when": ["anchor"], "use": "choice"}
    return about | changes


@pytest.mark.parametrize(("kW", "over"), [("10 kW", True), ("11 kW", False)])
def test_kW_limits_a_generator_as_kVA_does(kW, over):
    source = {"id": "g", "power": kW, "apparent_power": "12.5 kVA", "intake": "25 °C"}
    loads = [heater("a", 6000), heater("b", 5000)]  # 11 kW
    inlet, card = cards(loads, generator=[source | {"service": "120/240 V"}]).cards
    assert words(inlet) == "Everything may run together."
    assert ("Not together: a + b (11.0 kW of its 10.0 kW)." in words(card)) is over
    assert ("Everything" in words(card)) is not over


def test_a_card_names_what_a_generator_cannot_feed():
    source = {"id": "g", "apparent_power": "10 kVA", "service": "120 V"}
    _, card = cards([load("a", 30, "L1-L2")], generator=[source]).cards
    assert words(card) == "It cannot feed, by its volts or legs: a."
    assert as_json(card)["cannot_feed"] == ["a"]
    both = [load("a", 30, "L1-L2"), load("b", 5, "L2")]
    _, card = cards(both, generator=[source]).cards
    assert "Everything else may run together." in words(card)
    assert card.choices == ("b",)


def inverter_boat(loads, **changes):
    one = {"id": "v", "power": "2 kW", "service": "120 V", "inlet": "i", "input": "0 VA"}
    one |= {"passes_through": "yes", "transfer": "15 A"} | changes
    inlet = {"rating": "30 A", "service": "120 V", "supply": "120 V"}
    loads = [load(name, amps, "L1", inlet="v", **rest) for name, amps, rest in loads]
    return cards(loads, source=inlet, inverter=[one]).cards


@pytest.mark.parametrize(
    ("passes", "transfer", "said"),
    [
        (
            "yes",
            "15 A",
            "Not together: x + z (24.0 A through inverter 'v', which passes on 15.0 A)",
        ),
        ("?", "15 A", "Perhaps not together: x + z (0 to 24.0 A through inverter 'v'"),
        ("yes", "24 A", "Everything may run together."),
    ],
)
def test_what_an_inverter_passes_on_limits_its_inlet(passes, transfer, said):
    found = inverter_boat([("x", 12, {}), ("z", 12, {})], passes_through=passes, transfer=transfer)
    assert said in words(found[0])


def test_an_inverter_in_watts_carries_watts():
    # 1000 W at 1 and 900 W at 0.7: 1900 W, 2286 VA
    about = {"volts": "120 V", "when": ["anchor"], "use": "choice", "inlet": "v"}
    loads = [
        about | {"id": "a", "power": "1000 W", "power_factor": "1"},
        about | {"id": "c", "power": "900 W", "power_factor": "0.7"},
    ]
    one = {"id": "v", "power": "2 kW", "service": "120 V"}
    found = cards(loads, inverter=[one]).cards[-1]
    assert (heading(found), words(found)) == ("v (2000 W)", "Everything may run together.")
    found = cards(loads, inverter=[one | {"power": "1.8 kW"}]).cards[-1]
    assert "Not together: a + c (1900 W of its 1800 W)." in words(found)


@pytest.mark.parametrize(
    ("amps", "said"),
    # DIN VDE 0298-4:2013-06 Table 11: 1 mm² carries 10 A hand-held, 15 A heavy
    [
        (15.5, "Not together: a"),
        (12, "Perhaps not together: a"),
        (9.5, "Everything may run together."),
    ],
)
def test_a_cord_of_unread_kind_limits_from_the_least_to_the_most(amps, said):
    inlet = {"rating": "16 A", "service": "230 V", "supply": "230 V"}
    one = load("a", amps, "L1", volts="230 V")
    (card,) = cards([one], source=inlet, cord=[{"id": "c", "inlet": "i", "size": "1 mm²"}]).cards
    assert (card.limit_low_A, card.limit_high_A) == (10, 15)
    assert heading(card).startswith("i (10.0 to 15.0 A, limited by cord 'c'")
    assert said in words(card)


def test_a_cord_of_unread_size_is_told_and_nothing_is_promised():
    inlet = {"rating": "30 A", "service": "120 V", "supply": "120 V"}
    one = load("a", 20, "L1")
    (card,) = cards([one], source=inlet, cord=[{"id": "c", "inlet": "i"}]).cards
    assert "Cord 'c', whose size was not read, may carry" in words(card)
    assert "Everything may run together" not in words(card)
    assert as_json(card)["not_known"]


# -- leading against lagging, and counting -------------------------------------------------------


def test_what_undoes_another_is_summed_as_it_is():
    # 23 A at 0.6 lagging and 3.1 A at 1 always on: |16.9 - 18.4j| = 25.0 A
    about = {"volts": "120 V", "behaviour": "constant power"}
    given_loads = [
        ("l0", 23, "0.6", "always"),
        ("l1", 3.1, "1", "always"),
        ("l2", 11.8, "0.95 leading", "choice"),
        ("l3", 11.9, "0.6 leading", "choice"),
    ]
    loads = [
        load(n, amps, "L1", **about, power_factor=factor, use=use)
        for n, amps, factor, use in given_loads
    ]
    inlet = {"rating": "32 A", "service": "120 V", "supply": "120 V"}
    (card,) = cards(loads, source=inlet).cards
    assert card.always_A == (pytest.approx(24.98, abs=0.01),) * 2
    assert "Always on: l0, l1 (25.0 A)." in words(card)
    # with l2 |28.11 - 14.72j| = 31.7 A, with l3 |24.04 - 8.88j| = 25.6 A, with both 35.6 A
    assert "Together at most: l2 (31.7 A)." in words(card)
    assert "Not together: l2 + l3 (35.6 A)." in words(card)
    assert "erhaps" not in words(card)


def test_two_between_legs_of_a_wye_meet_by_phasors():
    # |20 at -66.87° + 20 at +30°| = 26.5 A on the leg that they share
    about = {"volts": "208 V"}
    loads = [
        load("a", 20, "L1-L2", **about, power_factor="0.8", behaviour="motor"),
        load("b", 20, "L2-L3", **about, power_factor="1"),
    ]
    inlet = {"rating": "30 A", "service": "120/208 V three-phase", "supply": "208 V"}
    (card,) = cards(loads, source=inlet).cards
    assert words(card) == "Everything may run together."


def test_sets_of_loads_alike_are_counted_once_by_their_line():
    five = [load(f"h{n}", 12, "L1") for n in range(5)]
    (card,) = cards(five, source={"rating": "30 A", "service": "120 V", "supply": "120 V"}).cards
    assert card.fits_count == 10
    assert "any 2 of (h0, h1, h2, h3, h4)" in words(card)
    assert "more combination" not in words(card)


# -- held against plain enumeration --------------------------------------------------------------

amps = st.floats(0.5, 30).map(lambda x: round(x, 1))


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(amps, st.sampled_from(["L1", "L2", "L1-L2"])), min_size=1, max_size=7),
    st.integers(10, 60),
)
def test_load_card_equals_enumeration(loads, rating):
    entries = [
        ac_load(f"l{n}", a, legs, use="choice", behaviour="resistance")
        for n, (a, legs) in enumerate(loads)
    ]
    result = surveyed("load-card", inlet=[inlet(rating=f"{rating} A")], ac_load=entries)
    (card,) = result.cards

    def over(members):
        sums = [sum(loads[i][0] for i in members if leg in loads[i][1]) for leg in ("L1", "L2")]
        return max(sums) > rating * (1 + 1e-9)

    numbers = range(len(loads))
    every = [set(c) for k in range(len(loads) + 1) for c in combinations(numbers, k) if over(c)]
    smallest = [s for s in every if not any(t < s for t in every)]
    assert card.surely_count == len(smallest)
    assert card.possibly_count == 0
    for one_set in card.surely:
        names = [
            *one_set.loads,
            *(n for any_of in one_set.any_of for n in any_of.loads[: any_of.number]),
        ]
        assert {int(name[1:]) for name in names} in smallest
    if not every:
        assert len(card.fits[0].loads) == len(loads)


def test_loads_of_unknown_leg_are_possible_on_either():
    loads = [ac_load(f"l{n}", 30, "?", volts="120 V", use="choice") for n in range(2)]
    (card,) = surveyed("load-card", inlet=[inlet()], ac_load=loads).cards
    assert (card.surely_count, card.possibly_count) == (0, 1)


def test_power_factors_not_read_leave_an_overload_open():
    # circuit theory: 30 A at 1 and 22 A at 0.8 lagging are |47.6 - 13.2j| = 49.4 A, not 52
    pair = [ac_load("a", 30, "L1", use="choice"), ac_load("b", 22, "L1", use="choice")]
    (card,) = surveyed("load-card", inlet=[inlet()], ac_load=pair).cards
    assert (card.surely_count, card.possibly_count) == (0, 1)
    pair[0] |= {"behaviour": "resistance"}
    pair[1] |= {"power_factor": "0.8"}
    (card,) = surveyed("load-card", inlet=[inlet()], ac_load=pair).cards
    assert (card.surely_count, card.possibly_count) == (0, 0)
    pair[1] |= {"power_factor": "1"}
    (card,) = surveyed("load-card", inlet=[inlet()], ac_load=pair).cards
    assert (card.surely_count, card.possibly_count) == (1, 0)


def test_watts_add_up_whatever_the_power_factors():
    # 60 A worth of watts on 50 A: no lagging power factor makes it less
    pair = [ac_load(n, 1, "L1", use="choice") for n in "ab"]
    for entry in pair:
        del entry["current"]
        entry["power"] = "3120 W"
    (card,) = surveyed("load-card", inlet=[inlet()], ac_load=pair).cards
    assert (card.surely_count, card.possibly_count) == (1, 0)


def test_loads_alike_are_one_line():
    entries = [ac_load(f"l{n}", 15, "L1", use="choice", behaviour="resistance") for n in range(8)]
    (card,) = surveyed("load-card", inlet=[inlet()], ac_load=entries).cards
    (line,) = card.surely
    assert (line.any_of[0].number, len(line.any_of[0].loads)) == (4, 8)
    assert card.surely_count == 70  # 8 over 4


def test_always_on_alone_is_too_much():
    loads = [ac_load("a", 60, "L1", use="always"), ac_load("b", 1, "L2", use="choice")]
    (card,) = surveyed("load-card", inlet=[inlet()], ac_load=loads).cards
    assert card.surely[0].loads == ()
