"""Bonded metals: balance, limits, monotony, and closed forms. Kinetics here are invented."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.calc.metals import galvanic
from elec.calc.metals.mixed_potential import Reaction, bond
from elec.errors import InputError


@st.composite
def metals(draw, at_least=1, at_most=6):
    """Areas, resistances and reactions about a free potential, as (n,) arrays."""
    n = draw(st.integers(at_least, at_most))

    def array(low, high):
        return np.array(draw(st.lists(st.floats(low, high), min_size=n, max_size=n)))

    return {
        "potential": array(-1.6, 0.3),
        "density": 10 ** array(-4.0, -1.0),
        "anodic": array(0.02, 0.3),
        "cathodic": -array(0.05, 0.3),
        "limit": 10 ** array(-2.0, 0.0),
        "area": 10 ** array(-3.0, 2.0),
        "resistance": 10 ** array(-5.0, 2.0) * draw(st.sampled_from([0.0, 1.0])),
    }


def solved(m):
    return bond(
        [
            Reaction(m["potential"], m["density"], m["anodic"]),
            Reaction(m["potential"], m["density"], m["cathodic"], m["limit"]),
        ],
        area_m2=m["area"],
        resistance_ohm=m["resistance"],
    )


def with_one_more(m, **extra):
    return {name: np.append(values, extra.get(name, values[0])) for name, values in m.items()}


class TestProperties:
    @settings(deadline=None)
    @given(metals())
    def test_currents_balance(self, m):
        settled = solved(m)
        dissolved, reduced = settled.dissolving_A.sum(), settled.reducing_A.sum()
        assert abs(dissolved - reduced) <= 1e-12 * dissolved

    @settings(deadline=None)
    @given(metals())
    def test_every_surface_obeys_ohm_and_its_own_reactions(self, m):
        settled = solved(m)
        drop = m["resistance"] * settled.net_A
        assert settled.surface_V + drop == pytest.approx(
            np.full(drop.shape, settled.potential_V), abs=1e-9
        )
        tafel = 10 ** ((settled.surface_V - m["potential"]) / m["anodic"])
        assert settled.dissolving_A == pytest.approx(m["area"] * m["density"] * tafel, rel=1e-9)

    @settings(deadline=None)
    @given(metals())
    def test_bond_lies_between_the_free_potentials(self, m):
        settled = solved(m)
        free = settled.free_potential_V
        assert free.min() - 1e-12 <= settled.potential_V <= free.max() + 1e-12
        wastes_for_others = settled.net_A > 1e-9 * settled.dissolving_A.sum()
        assert np.all(free[wastes_for_others] <= settled.potential_V)

    @settings(deadline=None)
    @given(metals(at_least=2), st.floats(1.0, 100.0))
    def test_bigger_cathode_never_slows_the_anode(self, m, larger):
        before = solved(m)
        anode, cathode = np.argmax(before.net_A), np.argmin(before.net_A)
        after = solved(
            m | {"area": np.where(np.arange(len(m["area"])) == cathode, larger, 1.0) * m["area"]}
        )
        assert after.dissolving_A[anode] >= before.dissolving_A[anode] * (1 - 1e-9)

    @settings(deadline=None)
    @given(metals(), st.floats(0.01, 1.0), st.floats(-3.0, 2.0), st.floats(-3.0, 0.0))
    def test_adding_an_anode_never_raises_a_protected_metals_rate(self, m, below, area, density):
        before = solved(m)
        anode = {
            "potential": before.potential_V - below,
            "density": 10**density,
            "area": 10**area,
            # Its own reduction must not move its free potential off the one chosen.
            "limit": 1e9,
        }
        after = solved(with_one_more(m, **anode))
        assert after.potential_V <= before.potential_V + 1e-12
        assert np.all(after.dissolving_A[:-1] <= before.dissolving_A * (1 + 1e-9))

    @settings(deadline=None)
    @given(metals(at_least=2), st.floats(-1.0, 1.0))
    def test_another_reference_cell_moves_potentials_and_no_current(self, m, cell):
        one, other = solved(m), solved(m | {"potential": m["potential"] + cell})
        assert other.potential_V == pytest.approx(one.potential_V + cell, abs=1e-9)
        assert other.dissolving_A == pytest.approx(one.dissolving_A, rel=1e-6)

    @settings(deadline=None)
    @given(metals(at_least=2))
    def test_order_of_the_metals_does_not_matter(self, m):
        one = solved(m)
        other = solved({name: values[::-1] for name, values in m.items()})
        assert other.potential_V == pytest.approx(one.potential_V, abs=1e-12)
        assert other.dissolving_A[::-1] == pytest.approx(one.dissolving_A, rel=1e-9)


class TestClosedForms:
    def test_unlimited_metal_keeps_its_free_potential(self):
        alone = bond([Reaction(-0.6, 0.1, 0.06), Reaction(-0.6, 0.1, -0.12)], area_m2=3.0)
        assert alone.potential_V == pytest.approx(-0.6, abs=1e-12)
        assert alone.dissolving_A == pytest.approx([0.3], rel=1e-12)
        assert alone.free_dissolving_A == pytest.approx([0.3], rel=1e-12)
        assert alone.net_A == pytest.approx([0.0], abs=1e-12)

    def test_crossing_of_two_lines(self):
        # E_a + b_a log(i/i_a) = E_c - b_c log(i/i_c), solved for log i by hand:
        # log i = (0.5 + 0.06 log 0.01 + 0.12 log 0.001) / 0.18 = (0.5 - 0.12 - 0.36) / 0.18.
        pair = bond(
            [Reaction(-0.7, [0.01, 0.0], 0.06), Reaction(-0.2, [0.0, 0.001], -0.12)], area_m2=1.0
        )
        assert np.log10(pair.dissolving_A[0]) == pytest.approx(0.02 / 0.18, abs=1e-12)
        assert pair.potential_V == pytest.approx(-0.7 + 0.06 * (2 + 0.02 / 0.18), abs=1e-12)
        assert pair.dissolving_A[1] == pair.reducing_A[0] == 0.0
        assert np.isnan(pair.free_potential_V).all()
        assert np.isnan(pair.free_dissolving_A).all()

    def test_large_resistance_leaves_the_difference_over_resistance(self):
        # Both metals hardly polarise: I tends to (E_c - E_a)/(R_a + R_c).
        pair = bond(
            [Reaction([-1.0, -0.3], 1.0, 0.03), Reaction([-1.0, -0.3], 1.0, -0.03)],
            area_m2=10.0,
            resistance_ohm=[400.0, 600.0],
        )
        assert pair.net_A == pytest.approx([0.7 / 1000, -0.7 / 1000], rel=1e-3)
        assert pair.surface_V[1] - pair.surface_V[0] == pytest.approx(
            pair.net_A[0] * 1000, rel=1e-9
        )

    def test_oxygen_limited_cathode_gives_the_area_law(self):
        areas = np.array([1.0, 2.0, 4.0, 8.0])
        couples = bond(
            [Reaction(-0.9, [1e-3, 0.0], 0.03), Reaction(0.1, [0.0, 1e-2], -0.12, 0.13)],
            area_m2=np.stack([np.ones(4), areas], axis=-1),
        )
        by_law = galvanic.cathode_limited_current_A(0.13, cathode_area_m2=areas)
        assert couples.dissolving_A[:, 0] == pytest.approx(by_law, rel=1e-3)

    def test_painting_the_anode_alone_makes_it_worse(self):
        def depth(painted):
            areas = np.where([painted, False], 0.01, 1.0)
            couple = bond(
                [Reaction(-0.9, [1e-3, 0.0], 0.03), Reaction(0.1, [0.0, 1e-2], -0.12, 0.13)],
                area_m2=areas,
            )
            return couple.dissolving_A[0] / areas[0]

        assert depth(painted=True) == pytest.approx(100 * depth(painted=False), rel=1e-2)

    def test_passive_film_holds_the_dissolution(self):
        couple = bond(
            [Reaction(-0.9, [1e-3, 0.0], 0.03, [0.01, 1.0]), Reaction(0.1, [0.0, 1e-2], -0.12)],
            area_m2=1.0,
        )
        assert couple.dissolving_A[0] == pytest.approx(0.01, rel=1e-3)
        # The reduction is strong enough to run into the limit, so the noble end is reached.
        assert couple.potential_V > -0.1

    def test_several_reductions_add(self):
        # Oxygen to its limit and hydrogen on the same metal; at this potential hydrogen alone is
        # 1e-4 times ten to (0.41/0.12), oxygen its limit.
        alone = bond(
            [
                Reaction(-1.0, 0.3, 0.03),
                Reaction(0.1, 1e-2, -0.12, 0.2),
                Reaction(-0.6, 1e-4, -0.12),
            ],
            area_m2=1.0,
        )
        hydrogen = 1e-4 * 10 ** ((-0.6 - alone.potential_V) / 0.12)
        assert alone.dissolving_A[0] == pytest.approx(0.2 + hydrogen, rel=1e-6)


class TestMany:
    def sampled(self, samples):
        rng = np.random.default_rng(20)
        shape = (samples, 12)
        potential = np.linspace(-1.05, 0.0, 12) + rng.normal(0.0, 0.02, shape)
        density = 10 ** rng.uniform(-3.5, -1.5, shape)
        return {
            "potential": potential,
            "density": density,
            "anodic": rng.uniform(0.04, 0.10, shape),
            "cathodic": -rng.uniform(0.10, 0.16, shape),
            "limit": rng.uniform(0.05, 0.40, shape),
            "area": 10 ** rng.uniform(-2.0, 0.5, shape),
            "resistance": rng.uniform(0.0, 2.0, shape),
        }

    def test_samples_are_solved_as_if_alone(self):
        m = self.sampled(16)
        together = solved(m)
        assert together.potential_V.shape == (16,)
        assert together.dissolving_A.shape == (16, 12)
        for k in (0, 7, 15):
            alone = solved({name: values[k] for name, values in m.items()})
            assert alone.potential_V == pytest.approx(together.potential_V[k], abs=1e-13)
            assert alone.dissolving_A == pytest.approx(together.dissolving_A[k], rel=1e-11)

    def test_many_samples_balance(self):
        settled = solved(self.sampled(512))
        dissolved = settled.dissolving_A.sum(axis=-1)
        assert np.all(np.abs(settled.net_A.sum(axis=-1)) <= 1e-12 * dissolved)

    def test_samples_of_one_parameter_broadcast(self):
        couples = bond(
            [
                Reaction(-0.9, [1e-3, 0.0], 0.03),
                Reaction(0.1, [0.0, 1e-2], -0.12, np.array([0.1, 0.2, 0.4])[:, None]),
            ],
            area_m2=[1.0, 2.0],
        )
        assert couples.dissolving_A[:, 0] == pytest.approx([0.2, 0.4, 0.8], rel=1e-3)


class TestRefused:
    GOOD = (Reaction(-0.9, 1e-3, 0.03), Reaction(0.1, 1e-2, -0.12))

    @pytest.mark.parametrize("missing", [0, 1])
    def test_one_sided_bond(self, missing):
        kind = ("dissolution", "reduction")[missing]
        with pytest.raises(InputError, match=kind):
            bond([self.GOOD[1 - missing]], area_m2=1.0)

    def test_one_sided_sample_among_good_ones(self):
        with pytest.raises(InputError, match="dissolution"):
            bond([Reaction(-0.9, [[1e-3], [0.0]], 0.03), self.GOOD[1]], area_m2=[1.0])

    def test_nothing_at_all(self):
        with pytest.raises(InputError, match="reactions"):
            bond([], area_m2=1.0)

    @pytest.mark.parametrize(
        ("reaction", "name"),
        [
            (Reaction(-0.9, 1e-3, 0.0), "slope_V_per_decade"),
            (Reaction(-0.9, -1e-3, 0.03), "density_A_per_m2"),
            (Reaction(-0.9, 1e-3, 0.03, 0.0), "limit_A_per_m2"),
            (Reaction(-0.9, 1e-3, 0.03, np.nan), "limit_A_per_m2"),
            (Reaction(np.nan, 1e-3, 0.03), "potential_V"),
        ],
    )
    def test_bad_reaction(self, reaction, name):
        with pytest.raises(InputError, match=name):
            bond([reaction, self.GOOD[1]], area_m2=1.0)

    def test_no_area(self):
        with pytest.raises(InputError, match="area_m2"):
            bond(self.GOOD, area_m2=0.0)

    def test_negative_resistance(self):
        with pytest.raises(InputError, match="resistance_ohm"):
            bond(self.GOOD, area_m2=1.0, resistance_ohm=-1.0)
