"""The DC network: closed forms, laws it cannot break, and what it must refuse.

Random networks against a circuit simulator are in tests/published. The closed forms here are
circuit theory found in any textbook; where a figure is worked by hand it is shown.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from elec.calc.network import (
    RETURN,
    Bank,
    ChargeSource,
    Load,
    Run,
    bank_shares,
    prepare,
    solve,
)
from elec.calc.network.network_fault import faults
from elec.errors import InputError

HOUSE = Bank("house", "post", emf_V=12.6, resistance_ohm=0.005)
FEEDER = Run("feeder", "post", "bow", 0.010)
RESISTANCE = HOUSE.resistance_ohm + FEEDER.resistance_ohm
MOST_W = HOUSE.emf_V**2 / (4 * RESISTANCE)  # maximum power transfer


def two_bus(**asked):
    return prepare([FEEDER], banks=[HOUSE], loads=[Load("windlass", "bow", **asked)])


# -- two buses in closed form ------------------------------------------------------------------


@pytest.mark.parametrize("share", [1e-6, 0.1, 0.5, 0.9, 0.99, 1 - 1e-4, 1 - 1e-8])
def test_constant_power_by_the_quadratic_up_to_the_nose(share):
    found = solve(two_bus(power_W=share * MOST_W))
    expected = HOUSE.emf_V / 2 * (1 + math.sqrt(1 - share))
    assert found.supplied
    # At the nose the voltage hangs on the last digits of the power: by 1/sqrt(1 - share).
    assert found.at_load_V("windlass") == pytest.approx(expected, abs=1e-9)
    assert found.in_run_A("feeder") == pytest.approx(share * MOST_W / expected, abs=1e-6)


@pytest.mark.parametrize("share", [1 + 1e-8, 1.001, 2.0, 1e3, 1e6])
def test_more_than_the_greatest_power_is_said_to_be_too_much(share):
    found = solve(two_bus(power_W=share * MOST_W))
    assert not found.supplied
    assert found.supplied_fraction * share == pytest.approx(1.0, rel=2e-6)
    assert found.gives_way == 0
    assert "'windlass' at bus 'bow'" in found.statement()
    assert found.supplied_fraction < 1
    for values in (found.bus_V, found.run_A, found.bank_A, found.load_A, found.load_drop_V):
        assert np.isfinite(values).all()
    assert found.at_load_V("windlass") == pytest.approx(HOUSE.emf_V / 2, rel=2e-3)


def test_statement_gives_the_power_asked_and_the_most_there_is():
    text = solve(two_bus(power_W=4000.0)).statement()
    assert "W of the 4000 W asked" in text
    most = float(text.partition(" W of")[0].rpartition(" ")[2])
    assert most == pytest.approx(MOST_W, rel=2e-3)
    assert solve(two_bus(power_W=100.0)).statement() == "The network carries its loads."


def test_constant_current():
    found = solve(two_bus(current_A=100.0))
    assert found.at_load_V("windlass") == pytest.approx(12.6 - 100 * 0.015, abs=1e-12)
    assert found.along_run_V("feeder") == pytest.approx(1.0, abs=1e-12)
    assert found.load_drop_V[0] == pytest.approx(1.0, abs=1e-12)  # from the posts of the bank
    short = HOUSE.emf_V / RESISTANCE
    assert solve(two_bus(current_A=0.999 * short)).supplied
    too_much = solve(two_bus(current_A=2 * short))
    assert not too_much.supplied
    assert too_much.supplied_fraction == pytest.approx(0.5, abs=1e-5)


def test_constant_resistance_and_a_mixed_load():
    found = solve(two_bus(resistance_ohm=0.105))
    assert found.load_A[0] == pytest.approx(12.6 / 0.120, abs=1e-9)
    # Power beside a resistance: the resistance makes a divider, the rest is the quadratic.
    ohm, watt = 0.2, 500.0
    divided_V = 12.6 * ohm / (ohm + RESISTANCE)
    divided_ohm = ohm * RESISTANCE / (ohm + RESISTANCE)
    expected = divided_V / 2 * (1 + math.sqrt(1 - 4 * divided_ohm * watt / divided_V**2))
    mixed = solve(two_bus(resistance_ohm=ohm, power_W=watt))
    assert mixed.at_bus_V("bow") == pytest.approx(expected, abs=1e-9)


def test_nothing_drawn_drops_nothing():
    found = solve(two_bus(power_W=0.0))
    assert found.at_bus_V("bow") == pytest.approx(12.6, abs=1e-12)
    assert found.in_run_A("feeder") == pytest.approx(0.0, abs=1e-12)
    empty = solve(prepare([FEEDER], banks=[HOUSE]))
    assert empty.supplied
    assert empty.load_V.shape == (0,)


def test_like_branches_are_one_branch_of_their_resistance_in_parallel():
    """So their greatest power together is known: E^2 / 4 (r + R/n)."""
    most_W = 12.6**2 / (4 * (0.005 + 0.02 / 5))

    def star(total_W):
        runs = [Run(f"run {i}", "post", f"end {i}", 0.02) for i in range(5)]
        loads = [Load(f"load {i}", f"end {i}", power_W=total_W / 5) for i in range(5)]
        return solve(prepare(runs, banks=[HOUSE], loads=loads))

    assert star(0.9999 * most_W).supplied
    over = star(1.25 * most_W)
    assert over.supplied_fraction == pytest.approx(0.8, abs=1e-5)
    assert over.bus_V[1:] == pytest.approx(np.full(5, 6.3), abs=0.02)  # half the EMF at the nose


def test_the_load_that_gives_way_is_the_one_on_the_thin_run():
    network = prepare(
        [Run("main", "post", "panel", 0.001), Run("thin", "panel", "masthead", 0.8)],
        banks=[HOUSE],
        loads=[
            Load("fridge", "panel", power_W=900.0),
            Load("lights", "masthead", current_A=2.0),
            Load("radar", "masthead", power_W=60.0),
        ],
    )
    found = solve(network)
    assert not found.supplied
    assert network.loads[found.gives_way] in {"lights", "radar"}
    assert "'masthead'" in found.statement()


# -- banks, chargers, shared returns -----------------------------------------------------------


def test_parallel_banks_share_by_resistance_and_a_weak_one_is_charged():
    banks = [Bank("new", "post", 12.8, 0.004), Bank("old", "post", 12.2, 0.012)]
    network = prepare([FEEDER], banks=banks, loads=[Load("windlass", "bow", current_A=[0, 200])])
    found = solve(network)
    # At rest (12.8 - 12.2) / 0.016 = 37.5 A go round; a load splits 3 : 1 on top of that.
    assert found.bank_A == pytest.approx(np.array([[37.5, -37.5], [187.5, 12.5]]), abs=1e-9)
    assert bank_shares(found) == pytest.approx(np.array([[0, 0], [0.9375, 0.0625]]), abs=1e-12)
    assert found.at_bus_V("post") == pytest.approx([12.65, 12.05], abs=1e-9)


def test_charger_holds_its_voltage_gives_no_more_than_its_limit_takes_nothing_back():
    def with_charger(set_V, limit_A):
        return solve(
            prepare(
                [FEEDER],
                banks=[HOUSE],
                sources=[ChargeSource("charger", "post", set_V, 0.001, limit_A)],
                loads=[Load("windlass", "bow", current_A=60.0)],
            )
        )

    limited = with_charger(14.2, 90.0)
    assert limited.source_A[0] == pytest.approx(90.0, abs=1e-9)
    assert limited.bank_A[0] == pytest.approx(-30.0, abs=1e-9)
    # Between: (13 - V)/0.001 + (12.6 - V)/0.005 = 60 A, so V = (13000 + 2520 - 60) / 1200.
    held = with_charger(13.0, 500.0)
    assert held.at_bus_V("post") == pytest.approx(15460 / 1200, abs=1e-9)
    assert held.source_A[0] == pytest.approx(13000 - 15460 / 1.2, abs=1e-6)
    idle = with_charger(12.0, 90.0)
    assert idle.source_A[0] == 0.0
    assert idle.bank_A[0] == pytest.approx(60.0, abs=1e-9)
    assert with_charger(14.2, 0.0).source_A[0] == 0.0


def test_charger_just_above_the_bank_settles_between_its_two_edges():
    """Newton's method alone jumps from one edge to the other for ever here."""
    network = prepare(
        [],
        banks=[Bank("house", "post", 12.9, 0.006)],
        sources=[ChargeSource("charger", "post", 13.0, 1e-6, 100.0)],
    )
    found = solve(network)
    assert found.bus_V[0] == pytest.approx(13.0, abs=1e-4)
    assert found.source_A[0] == pytest.approx((13.0 - 12.9) / 0.006001, abs=1e-6)


@pytest.mark.parametrize("asked", [{"current_A": 40.0}, {"power_W": 40.0 * 14.0}])
def test_charger_alone_carries_its_limit_and_no_more(asked):
    def alone(limit_A):
        return solve(
            prepare(
                [Run("feeder", "charger", "panel", 0.01)],
                banks=[],
                sources=[ChargeSource("charger", "charger", 14.4, 0.01, limit_A)],
                loads=[Load("fridge", "panel", **asked)],
            )
        )

    assert alone(60.0).supplied
    assert alone(60.0).source_A[0] == pytest.approx(alone(np.inf).source_A[0], abs=1e-9)
    over = alone(20.0)
    assert not over.supplied
    assert over.source_A[0] == pytest.approx(20.0, rel=1e-5)
    assert over.load_A[0] == pytest.approx(20.0, rel=1e-5)
    off = alone(0.0)
    assert off.supplied_fraction == 0.0
    assert off.bus_V == pytest.approx(0.0, abs=1e-6)


def test_shared_return_lets_one_load_pull_down_another():
    runs = [
        Run("out 1", "post", "bow", 0.004),
        Run("out 2", "post", "mast", 0.050),
        Run("own", "bow-", "joint", 0.004),
        Run("own too", "mast-", "joint", 0.050),
        Run("shared", "joint", RETURN, 0.003),
    ]
    loads = [
        Load("thruster", "bow", current_A=[0.0, 250.0], back="bow-"),
        Load("plotter", "mast", current_A=4.0, back="mast-"),
    ]
    found = solve(prepare(runs, banks=[HOUSE], loads=loads))
    rest = 12.6 - 4 * (0.005 + 0.050 + 0.050 + 0.003)
    both = rest - 250 * (0.005 + 0.003)
    assert found.at_load_V("plotter") == pytest.approx([rest, both], abs=1e-9)
    assert found.at_bus_V("joint") == pytest.approx([4 * 0.003, 254 * 0.003], abs=1e-9)
    assert found.at_load_V("thruster")[1] == pytest.approx(
        12.6 - 254 * 0.008 - 250 * 0.008, abs=1e-9
    )


def test_banks_in_series_with_a_tap():
    banks = [
        Bank("low", "middle", 12.5, 0.01),
        Bank("high", "top", 12.5, 0.01, back="middle"),
    ]
    loads = [Load("inverter", "top", power_W=1000.0), Load("radio", "middle", current_A=10.0)]
    found = solve(prepare([Run("tie", "middle", "panel", 0.01)], banks=banks, loads=loads))
    amperes = found.load_A[0]
    assert found.bank_A == pytest.approx([amperes + 10.0, amperes], abs=1e-9)
    assert found.at_bus_V("top") == pytest.approx(25.0 - 0.02 * amperes - 0.1, abs=1e-9)
    assert amperes * found.at_bus_V("top") == pytest.approx(1000.0, abs=1e-6)


def test_states_of_the_loads_are_samples():
    """What electronics see as windlass, thruster and both run."""
    windlass, thruster = [0, 1200, 0, 1200], [0, 0, 2500, 2500]
    network = prepare(
        [FEEDER, Run("panel", "post", "panel", 0.006)],
        banks=[HOUSE],
        loads=[
            Load("windlass", "bow", power_W=windlass),
            Load("thruster", "post", power_W=thruster),
            Load("electronics", "panel", current_A=10.0),
        ],
    )
    found = solve(network)
    assert found.supplied.tolist() == [True] * 4
    seen = found.at_load_V("electronics")
    assert np.all(seen[0] > seen[1:])
    assert np.all(seen[3] < seen[:3])
    for state in range(4):
        alone = solve(replace(network, load_W=network.load_W[state]))
        assert found.bus_V[state] == pytest.approx(alone.bus_V, abs=1e-9)


def test_open_run_is_left_out():
    spare = Run("spare", "post", "bow", 0.010, closed=False)
    load = Load("windlass", "bow", current_A=100.0)
    assert solve(prepare([FEEDER, spare], banks=[HOUSE], loads=[load])).network.runs == ("feeder",)
    closed = solve(prepare([FEEDER, replace(spare, closed=True)], banks=[HOUSE], loads=[load]))
    assert closed.run_A == pytest.approx([50.0, 50.0], abs=1e-9)


# -- samples -----------------------------------------------------------------------------------


def wide_spread(rng, samples):
    """A boat of 60 runs, its samples from idle to far beyond what it can carry."""
    runs = [
        Run(
            f"r{i}", f"b{max(0, i - 1 - int(rng.integers(0, 6)))}", f"b{i}", rng.uniform(1e-3, 8e-3)
        )
        for i in range(1, 60)
    ]
    runs.append(Run("tie", "b3", "b40", 0.004))
    network = prepare(
        runs,
        banks=[Bank("house", "b0", 12.6, 0.004), Bank("start", "b9", 12.9, 0.008)],
        sources=[ChargeSource("alternator", "b5", 14.2, 0.002, 90.0)],
        loads=[
            Load(f"load {i}", f"b{i}", power_W=1.0, resistance_ohm=50.0) for i in range(2, 60, 2)
        ],
    )
    watts = rng.uniform(0, 60, (*samples, 29)) * 10.0 ** rng.uniform(-2, 1, (*samples, 1))
    ohms = network.run_ohm * rng.uniform(0.8, 1.25, (samples[-1], 60))
    return replace(network, load_W=watts, run_ohm=ohms)


def test_samples_at_once_are_the_samples_one_by_one():
    network = wide_spread(np.random.default_rng(3), (4, 20))
    found = solve(network)
    assert found.bus_V.shape == (4, 20, 60)
    assert 5 < np.count_nonzero(found.supplied) < 75
    for state in range(4):
        for sample in range(20):
            alone = solve(
                replace(
                    network,
                    load_W=network.load_W[state, sample],
                    run_ohm=network.run_ohm[sample],
                )
            )
            at = (state, sample)
            assert alone.supplied == found.supplied[at]
            assert found.supplied_fraction[at] == pytest.approx(alone.supplied_fraction, rel=3e-6)
            assert found.gives_way[at] == alone.gives_way
            if alone.supplied:
                assert found.bus_V[at] == pytest.approx(alone.bus_V, abs=1e-9)
                assert found.source_A[at] == pytest.approx(alone.source_A, abs=1e-6)


def test_blocks_do_not_show():
    network = wide_spread(np.random.default_rng(4), (3000,))
    found = solve(network)
    some = [0, 1499, 2999]
    again = solve(replace(network, load_W=network.load_W[some], run_ohm=network.run_ohm[some]))
    assert found.bus_V[some] == pytest.approx(again.bus_V, abs=1e-9)
    assert np.isfinite(found.bus_V).all()
    assert np.isfinite(found.load_drop_V).all()
    current = faults(network, charging=True).bus_A
    assert current[some] == pytest.approx(faults(again.network, charging=True).bus_A, rel=1e-12)


def test_order_of_the_parts_does_not_matter():
    rng = np.random.default_rng(6)
    runs = [Run(f"r{i}", f"b{i // 2}", f"b{i + 1}", rng.uniform(1e-3, 9e-3)) for i in range(40)]
    loads = [Load(f"l{i}", f"b{i}", power_W=20.0) for i in range(1, 41, 3)]
    banks = [Bank("house", "b0", 12.6, 0.004), Bank("bow", "b20", 12.7, 0.01)]
    one = solve(prepare(runs, banks=banks, loads=loads))
    turned = [replace(run, start=run.end, end=run.start) for run in runs]
    other = solve(prepare(turned[::-1], banks=banks[::-1], loads=loads[::-1]))
    for bus in one.network.buses:
        assert one.at_bus_V(bus) == pytest.approx(other.at_bus_V(bus), abs=1e-9)
    assert one.run_A == pytest.approx(-other.run_A[::-1], abs=1e-9)


# -- laws --------------------------------------------------------------------------------------


@st.composite
def radial(draw):
    """A passive radial network on one bank; loads of one kind each."""
    number = draw(st.integers(2, 25))
    ohm = st.floats(1e-4, 0.05)
    runs = [
        Run(f"r{i}", f"b{draw(st.integers(0, i - 1))}", f"b{i}", draw(ohm))
        for i in range(1, number)
    ]
    loads = []
    for i in range(1, number):
        kind = draw(st.sampled_from(["current_A", "power_W", "resistance_ohm"]))
        size = draw(st.floats(0.0, 20.0))
        value = {"current_A": size, "power_W": 12 * size, "resistance_ohm": 12 / (size + 0.01)}
        loads.append(Load(f"l{i}", f"b{i}", **{kind: value[kind]}))
    bank = Bank("house", "b0", draw(st.floats(10.0, 14.0)), draw(st.floats(1e-3, 0.02)))
    return runs, bank, loads


def entering(found):
    """What enters each bus, by adding up the currents of everything on it."""
    network = found.network
    leaving = np.concatenate([found.run_A, -found.bank_A, -found.source_A, found.load_A])
    total = np.zeros(len(network.buses) + 1)
    np.add.at(total, network.terminals[0], -leaving)
    np.add.at(total, network.terminals[1], leaving)
    return total


@settings(deadline=None, max_examples=60)
@given(radial(), st.data())
def test_longer_never_drops_less(parts, data):
    runs, bank, loads = parts
    which = data.draw(st.integers(0, len(runs) - 1))
    longer = data.draw(st.floats(1.0, 10.0))
    before = solve(prepare(runs, banks=[bank], loads=loads))
    runs = list(runs)
    runs[which] = replace(runs[which], resistance_ohm=runs[which].resistance_ohm * longer)
    after = solve(prepare(runs, banks=[bank], loads=loads))
    assume(before.supplied and after.supplied)
    drop = before.along_run_V(runs[which].id)
    assert after.along_run_V(runs[which].id) >= drop - 1e-9
    assert after.at_bus_V(runs[which].end) <= before.at_bus_V(runs[which].end) + 1e-9


@settings(deadline=None, max_examples=60)
@given(radial(), st.data())
def test_more_load_never_raises_a_voltage(parts, data):
    runs, bank, loads = parts
    which = data.draw(st.integers(0, len(loads) - 1))
    more = {data.draw(st.sampled_from(["current_A", "power_W"])): data.draw(st.floats(0.0, 50.0))}
    before = solve(prepare(runs, banks=[bank], loads=loads))
    more_load = Load("one more", loads[which].bus, **more)
    after = solve(prepare(runs, banks=[bank], loads=[*loads, more_load]))
    if not before.supplied:
        assert not after.supplied
        return
    assume(after.supplied)
    assert np.all(after.bus_V <= before.bus_V + 1e-9)


@settings(deadline=None, max_examples=60)
@given(radial(), st.data())
def test_current_in_equals_current_out_and_power_is_all_accounted_for(parts, data):
    runs, bank, loads = parts
    number = len(runs) + 1
    place = st.integers(0, number - 1)
    ties = [
        Run(f"tie {i}", f"b{a}", f"b{b}", 0.003)
        for i, (a, b) in enumerate(data.draw(st.lists(st.tuples(place, place), max_size=6)))
        if a != b
    ]
    banks = [bank, Bank("start", f"b{data.draw(place)}", 12.8, 0.006)]
    charger = ChargeSource(
        "charger", f"b{data.draw(place)}", data.draw(st.floats(11.0, 15.0)), 0.002,
        data.draw(st.floats(0.0, 150.0)),
    )  # fmt: skip
    found = solve(prepare([*runs, *ties], banks=banks, sources=[charger], loads=loads))
    assert np.abs(entering(found)[:-1]).max() < 1e-9
    network = found.network
    given_W = (found.bank_A * found.bus_V[network.terminals[0, len(network.runs) :][:2]]).sum()
    at_charger = found.bus_V[network.terminals[0, len(network.runs) + 2]]
    given_W += (found.source_A * at_charger).sum()
    used_W = (found.run_A * found.run_drop_V).sum() + (found.load_A * found.load_V).sum()
    assert given_W == pytest.approx(used_W, abs=1e-6)
    assert 0 <= found.source_A[0] <= charger.limit_A + 1e-6


@pytest.mark.parametrize("ohm", [1e-9, 1e-6, 1e-4])
def test_current_is_whole_where_a_run_is_next_to_nothing(ohm):
    """The difference of two voltages would leave amperes of rounding on a run of 1 nano-ohm."""
    runs = [Run("link", "post", "busbar", ohm), Run("thin", "busbar", "bow", 0.01)]
    found = solve(prepare(runs, banks=[HOUSE], loads=[Load("windlass", "bow", power_W=900.0)]))
    assert np.abs(entering(found)[:-1]).max() < 1e-9
    assert found.in_run_A("link") == pytest.approx(found.load_A[0], abs=1e-9)


# -- faults ------------------------------------------------------------------------------------


def test_fault_current_falls_along_a_run_and_sources_add_to_it():
    banks = [HOUSE, replace(HOUSE, id="other")]
    charger = ChargeSource("alternator", "post", 14.2, 0.002, 90.0)
    network = prepare([FEEDER], banks=banks, sources=[charger])
    alone = faults(network, charging=False)
    assert alone.bus_A == pytest.approx([12.6 / 0.0025, 12.6 / 0.0125], rel=1e-12)
    charging = faults(network, charging=True)
    assert charging.bus_A[0] == pytest.approx(12.6 / 0.0025 + 90.0, rel=1e-12)
    # At the far end the 90 A raise the bus by 90 x 0.0025 V behind the same 0.0125 ohm.
    assert charging.bus_A[1] == pytest.approx((12.6 + 90 * 0.0025) / 0.0125, rel=1e-12)


def test_greatest_and_least_are_the_same_network_with_other_values():
    network = prepare([FEEDER], banks=[HOUSE])
    weak = replace(network, bank_ohm=3 * network.bank_ohm, run_ohm=1.3 * network.run_ohm)
    greatest, least = faults(network, charging=True), faults(weak, charging=False)
    assert greatest.bus_A[0] == pytest.approx(2520.0, rel=1e-12)
    assert least.bus_A[1] == pytest.approx(12.6 / (0.015 + 0.013), rel=1e-12)


def test_fault_across_a_load_runs_through_the_shared_return():
    runs = [Run("out", "post", "bow", 0.004), Run("back", "bow-", RETURN, 0.003)]
    loads = [Load("thruster", "bow", current_A=250.0, back="bow-")]
    found = faults(prepare(runs, banks=[HOUSE], loads=loads), charging=False)
    assert found.load_A == pytest.approx([12.6 / (0.005 + 0.004 + 0.003)], rel=1e-12)


def test_charger_without_a_bank_feeds_a_fault_with_its_limit():
    charger = ChargeSource("charger", "charger", 14.4, 0.01, [0.0, 40.0, np.inf])
    network = prepare([Run("feeder", "charger", "panel", 0.02)], banks=[], sources=[charger])
    found = faults(network, charging=True).bus_A
    assert found == pytest.approx(np.array([[0, 0], [40, 40], [1440, 480]]), rel=1e-6, abs=1e-6)
    assert faults(network, charging=False).bus_A == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("ties", [0, 12, 300])
def test_faults_in_a_mesh_against_the_dense_inverse(ties):
    rng = np.random.default_rng(ties)
    ends = [(i, int(rng.integers(0, i))) for i in range(1, 60)]
    ends += [tuple(rng.choice(60, 2, replace=False)) for _ in range(ties)]
    ohms = rng.uniform(1e-3, 1e-2, (3, len(ends)))
    runs = [Run(f"r{i}", f"b{a}", f"b{b}", ohms[:, i]) for i, (a, b) in enumerate(ends)]
    banks = [Bank("house", "b0", 12.6, 0.004), Bank("bow", "b30", 12.8, 0.01)]
    network = prepare(runs, banks=banks)
    left_dense = network.pattern.core.stop - network.pattern.core.start
    assert (left_dense > 0) == (ties == 300)
    found = faults(network, charging=True).bus_A
    at = {name: i for i, name in enumerate(network.buses)}
    for sample in range(3):
        matrix, given = np.zeros((60, 60)), np.zeros(60)
        for (a, b), ohm in zip(ends, ohms[sample], strict=True):
            i, j = at[f"b{a}"], at[f"b{b}"]
            matrix[[i, j], [i, j]] += 1 / ohm
            matrix[[i, j], [j, i]] -= 1 / ohm
        for bank in banks:
            matrix[at[bank.bus], at[bank.bus]] += 1 / bank.resistance_ohm
            given[at[bank.bus]] += bank.emf_V / bank.resistance_ohm
        inverse = np.linalg.inv(matrix)
        assert found[sample] == pytest.approx(inverse @ given / np.diag(inverse), rel=1e-9)


# -- bad input ---------------------------------------------------------------------------------

WINDLASS = Load("windlass", "bow", power_W=900.0)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"runs": [FEEDER, FEEDER]}, ["run 'feeder'", "two of them"]),
        ({"banks": [HOUSE, HOUSE]}, ["bank 'house'", "two of them"]),
        ({"loads": [WINDLASS, WINDLASS]}, ["load 'windlass'", "two of them"]),
        ({"runs": [Run("loop", "bow", "bow", 0.01)], "loads": []}, ["run 'loop'", "one bus"]),
        ({"loads": [Load("pump", "bow", 1.0, back="bow")]}, ["load 'pump'", "one bus"]),
        ({"loads": [Load("pump", "bwo", 1.0)]}, ["load 'pump'", "'bwo'", "Did you mean 'bow'?"]),
        ({"loads": [Load("pump", "keel", 1.0)]}, ["load 'pump'", "no run", "'keel'"]),
        ({"loads": [Load("pump", RETURN, 1.0, back="bow")]}, ["load 'pump'"]),
        ({"banks": []}, ["'post', 'bow'", "no bank, charger or alternator"]),
        (
            {"runs": [FEEDER, *(Run(f"{a}{b}", a, b, 1.0) for a, b in ("xy", "yz", "zx"))]},
            ["'x', 'y', 'z'", "no bank, charger or alternator"],
        ),
        (
            {"runs": [replace(FEEDER, closed=False)]},
            ["load 'windlass'", "only open runs", "'feeder'"],
        ),
        ({"banks": [replace(HOUSE, back="post-")]}, ["'post-'", "no way to the return"]),
        ({"banks": [replace(HOUSE, bus=RETURN, back="post")]}, ["bank 'house'", "'return'"]),
        (
            {"runs": [FEEDER, Run("earth", "bow-", RETURN, 1)], "loads": [Load("pump", "bow-", 1)]},
            ["load 'pump'", "'bow-'", "no bank"],
        ),
        ({"runs": [replace(FEEDER, resistance_ohm="thick")]}, ["run 'feeder'", "'thick'"]),
        (
            {"loads": [Load("a", "bow", [1.0, 2.0]), Load("b", "bow", [1.0, 2.0, 3.0])]},
            ["loads, current_A", "samples"],
        ),
    ],
)  # fmt: skip
def test_what_does_not_hang_together_is_named(changes, words):
    parts = {"runs": [FEEDER], "banks": [HOUSE], "sources": [], "loads": [WINDLASS]} | changes
    with pytest.raises(InputError) as error:
        prepare(parts.pop("runs"), **parts)
    for word in words:
        assert word in str(error.value)


@pytest.mark.parametrize("bad", [0.0, -0.01, math.nan, math.inf])
@pytest.mark.parametrize("part", ["run", "bank", "source"])
def test_resistance_has_to_be_above_zero(part, bad):
    ohms = {"run": 0.01, "bank": 0.005, "source": 0.002} | {part: bad}
    network = prepare(
        [Run("feeder", "post", "bow", ohms["run"])],
        banks=[Bank("house", "post", 12.6, ohms["bank"])],
        sources=[ChargeSource("charger", "post", 14.2, ohms["source"], 30.0)],
    )
    name = {"run": "feeder", "bank": "house", "source": "charger"}[part]
    for calculation in (solve, lambda network: faults(network, charging=True)):
        with pytest.raises(InputError, match=f"{part} '{name}', resistance_ohm: {bad:g} was given"):
            calculation(network)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"power_W": -1.0}, "power_W: -1 was given"),
        ({"power_W": [5.0, math.nan]}, "power_W: nan was given"),
        ({"current_A": math.inf}, "current_A: inf was given"),
        ({"resistance_ohm": 0.0}, "resistance_ohm: 0 was given"),
        ({"current_A": []}, "no samples"),
    ],
)
def test_load_has_to_be_a_load(asked, words):
    with pytest.raises(InputError, match=words):
        solve(two_bus(**asked))


def test_other_values_have_to_fit_the_network():
    network = two_bus(power_W=[1.0, 2.0])
    with pytest.raises(InputError, match="runs, resistance_ohm: an array of shape"):
        solve(replace(network, run_ohm=np.array([0.1, 0.2])))
    with pytest.raises(InputError, match="numbers of samples"):
        solve(replace(network, run_ohm=np.full((3, 1), 0.1)))


def test_unknown_names_get_the_nearest():
    found = solve(two_bus(power_W=1.0))
    with pytest.raises(InputError, match="Did you mean 'windlass'"):
        found.at_load_V("windlas")
    with pytest.raises(InputError, match="bus 'sternpost'"):
        found.at_bus_V("sternpost")
