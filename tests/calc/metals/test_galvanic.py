"""Couples: direction and how sure it is, index, area, stacks, the shore earth."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.calc.metals import galvanic
from elec.errors import InputError

HUNDREDTHS = st.integers(-170, 30)
POSITIVE = st.floats(1e-3, 1e3)

# Ranges against calomel in flowing seawater, LaQue's list as republished by the Australasian
# Corrosion Association, educational guide "Seawater corrosion".
ALUMINIUM = (-1.00, -0.76)
ZINC = (-1.03, -0.98)
MILD_STEEL = (-0.72, -0.60)
COPPER = (-0.37, -0.30)
SILICON_BRONZE = (-0.29, -0.25)


def difference(a, b):
    return galvanic.potential_difference_V(a[0], a_high_V=a[1], b_low_V=b[0], b_high_V=b[1])


class TestPotentialDifference:
    def test_apart(self):
        d = difference(ALUMINIUM, SILICON_BRONZE)
        assert d.smallest_V == pytest.approx(0.47)
        assert d.largest_V == pytest.approx(0.75)
        assert (d.direction, d.overlap) == (-1, False)

    def test_overlap_has_no_direction(self):
        d = difference(ALUMINIUM, ZINC)
        assert (d.smallest_V, d.direction, d.overlap) == (0.0, 0, True)
        assert d.largest_V == pytest.approx(0.27)

    @pytest.mark.parametrize(
        ("b_low", "direction"),
        [(-0.2999, -1), (-0.30, 0), (-0.3001, 0)],
        ids=["just apart", "touching", "just overlapping"],
    )
    def test_edge(self, b_low, direction):
        assert difference(COPPER, (b_low, 0.0)).direction == direction

    def test_one_metal_against_itself(self):
        d = difference(COPPER, COPPER)
        assert (d.smallest_V, d.direction, d.overlap) == (0.0, 0, True)

    def test_equal_single_values_say_nothing(self):
        assert difference((-0.2, -0.2), (-0.2, -0.2)).direction == 0

    def test_all_pairs_at_once(self):
        low, high = np.array([ALUMINIUM, MILD_STEEL, COPPER]).T
        d = galvanic.potential_difference_V(
            low[:, None], a_high_V=high[:, None], b_low_V=low, b_high_V=high
        )
        assert d.direction.tolist() == [[0, -1, -1], [1, 0, -1], [1, 1, 0]]

    @given(st.lists(HUNDREDTHS, min_size=4, max_size=4), st.integers(-1100, 400))
    def test_noble_and_base_never_swap_with_units_or_cell(self, hundredths, cell_mV):
        ends = np.array(hundredths) / 100.0
        a, b = sorted(ends[:2]), sorted(ends[2:])
        volts = difference(a, b)
        other_cell = difference(np.array(a) + cell_mV / 1000, np.array(b) + cell_mV / 1000)
        millivolts = difference(np.array(a) * 1000, np.array(b) * 1000)
        assert volts.direction == other_cell.direction == millivolts.direction
        assert millivolts.largest_V == pytest.approx(volts.largest_V * 1000, abs=1e-9)

    @given(st.lists(HUNDREDTHS, min_size=4, max_size=4))
    def test_turning_the_couple_round_turns_the_direction(self, hundredths):
        ends = np.array(hundredths) / 100.0
        a, b = sorted(ends[:2]), sorted(ends[2:])
        one, other = difference(a, b), difference(b, a)
        assert one.direction == -other.direction
        assert (one.smallest_V, one.largest_V) == (other.smallest_V, other.largest_V)

    @given(st.lists(HUNDREDTHS, min_size=4, max_size=4), st.floats(0, 1), st.floats(0, 1))
    def test_every_possible_pair_lies_between(self, hundredths, of_a, of_b):
        ends = np.array(hundredths) / 100.0
        a, b = sorted(ends[:2]), sorted(ends[2:])
        d = difference(a, b)
        actual = (a[0] + of_a * (a[1] - a[0])) - (b[0] + of_b * (b[1] - b[0]))
        assert d.smallest_V - 1e-12 <= abs(actual) <= d.largest_V + 1e-12
        assert d.direction in (0, np.sign(actual))

    def test_range_the_wrong_way_round(self):
        with pytest.raises(InputError, match="a_low_V"):
            difference((-0.2, -0.3), COPPER)

    @pytest.mark.parametrize("bad", [np.nan, np.inf, "zinc"])
    def test_not_a_number(self, bad):
        with pytest.raises(InputError, match="b_low_V"):
            galvanic.potential_difference_V(-1.0, a_high_V=-0.9, b_low_V=bad, b_high_V=0.0)


# MIL-DTL-14072F groups, indices as republished; aluminium and zinc from memory.
INDEX = {
    "nickel": 0.30,
    "copper": 0.35,
    "brass": 0.40,
    "stainless": 0.50,
    "tin": 0.65,
    "aluminium": 0.90,
    "zinc": 1.25,
}


class TestIndex:
    @pytest.mark.parametrize(
        ("part", "onto", "apart"),
        [
            ("tin", "brass", 0.25),
            ("copper", "brass", 0.05),
            ("tin", "stainless", 0.15),
            ("copper", "stainless", 0.15),
            ("tin", "copper", 0.30),
            ("copper", "aluminium", 0.55),
            ("nickel", "copper", 0.05),
            ("zinc", "copper", 0.90),
        ],
    )
    def test_common_joints(self, part, onto, apart):
        d = galvanic.index_difference_V(INDEX[part], b_low_V=INDEX[onto])
        assert d.largest_V == pytest.approx(apart, abs=1e-12)
        passes = galvanic.at_most_V(d.largest_V, limit_V=0.15)
        assert bool(passes) == (apart <= 0.15)
        assert d.direction == (-1 if INDEX[part] > INDEX[onto] else 1)

    def test_exactly_at_the_limit(self):
        assert 0.50 - 0.35 > 0.15
        assert galvanic.at_most_V(0.50 - 0.35, limit_V=0.15)
        assert not galvanic.at_most_V(0.1501, limit_V=0.15)

    def test_alloy_in_two_groups(self):
        # Nickel-copper alloys are listed at 0.15 and at 0.30.
        d = galvanic.index_difference_V(0.15, a_high_V=0.30, b_low_V=0.40)
        assert (d.smallest_V, d.largest_V) == (pytest.approx(0.10), pytest.approx(0.25))
        assert d.direction == 1

    def test_index_below_gold_is_refused(self):
        with pytest.raises(InputError, match="a_low_V"):
            galvanic.index_difference_V(-0.1, b_low_V=0.3)

    def test_worst_joint_of_a_stack(self):
        stack = [INDEX[m] for m in ("tin", "stainless", "brass", "aluminium")]
        joint = galvanic.worst_joint(stack)
        assert (joint.place, joint.direction) == (2, 1)
        assert joint.largest_V == pytest.approx(0.50)

    def test_only_neighbours_count(self):
        # Tin and nickel, 0.35 apart, do not touch.
        assert galvanic.worst_joint([0.65, 0.50, 0.30]).largest_V == pytest.approx(0.20)

    def test_first_of_equal_joints(self):
        # 0.65 - 0.50 and 0.50 - 0.35 print alike but differ by round-off.
        assert galvanic.worst_joint([0.65, 0.50, 0.35]).place == 0
        assert galvanic.worst_joint([0.35, 0.50, 0.65]).place == 0

    def test_many_stacks(self):
        joint = galvanic.worst_joint([[0.65, 0.35, 0.40], [0.35, 0.40, 0.90]])
        assert joint.place.tolist() == [0, 1]
        assert joint.direction.tolist() == [-1, 1]

    def test_one_part_is_no_stack(self):
        with pytest.raises(InputError, match="two parts"):
            galvanic.worst_joint([0.35])


class TestArea:
    @given(POSITIVE, POSITIVE, POSITIVE, st.floats(1.0, 100.0), st.floats(0, 1))
    def test_bigger_cathode_never_slows_the_anode(self, density, cathode, anode, more, own):
        small, big = (
            galvanic.anode_current_density_A_per_m2(
                density,
                cathode_area_m2=area,
                anode_area_m2=anode,
                own_corrosion_A_per_m2=own,
            )
            for area in (cathode, cathode * more)
        )
        assert big >= small >= own

    @pytest.mark.parametrize("name", ["cathode_area_m2", "anode_area_m2"])
    def test_no_area(self, name):
        areas = {"cathode_area_m2": 1.0, "anode_area_m2": 1.0} | {name: 0.0}
        with pytest.raises(InputError, match=name):
            galvanic.anode_current_density_A_per_m2(0.1, **areas)

    def test_cathode_painted_whole(self):
        assert galvanic.cathode_limited_current_A(0.2, cathode_area_m2=0.0) == 0.0

    def test_efficiency_above_one(self):
        with pytest.raises(InputError, match="cathode_efficiency"):
            galvanic.cathode_limited_current_A(0.2, cathode_area_m2=1.0, cathode_efficiency=1.1)


class TestShoreEarth:
    @pytest.mark.parametrize(
        ("couple", "blocked_at_1_0", "blocked_at_1_2"),
        [(0.75, True, True), (1.0, True, True), (1.1, False, True), (1.3, False, False)],
        ids=["zinc-bronze", "zinc-passive stainless", "magnesium-steel", "zinc-graphite"],
    )
    def test_isolator_against_couples(self, couple, blocked_at_1_0, blocked_at_1_2):
        # Differences and thresholds as common practice has them.
        for block, blocked in ((1.0, blocked_at_1_0), (1.2, blocked_at_1_2)):
            current = galvanic.earth_path_current_A(couple, resistance_ohm=1.0, block_V=block)
            assert (current == 0.0) == blocked

    def test_bias_uses_up_the_threshold(self):
        current = galvanic.earth_path_current_A(
            0.75, resistance_ohm=0.5, block_V=1.2, bias_V=[0.0, 0.45, -0.65]
        )
        assert current == pytest.approx([0.0, 0.0, 0.4], abs=1e-12)

    def test_sign_of_the_couple_does_not_matter(self):
        one, other = (galvanic.earth_path_current_A(e, resistance_ohm=2.0) for e in (0.75, -0.75))
        assert one == other == 0.375

    def test_no_resistance(self):
        with pytest.raises(InputError, match="resistance_ohm"):
            galvanic.earth_path_current_A(0.75, resistance_ohm=0.0)


def test_scalars_in_scalars_out():
    assert isinstance(galvanic.area_ratio(2.0, anode_area_m2=1.0), float)
    assert np.ndim(difference(COPPER, ZINC).direction) == 0
