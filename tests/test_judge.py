"""The judge against brute force written apart from it, against algebra, and at its edges."""

import math
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.errors import ElecError, InputError
from elec.judge import HOLDS_WITHIN, MARGIN, Input, Requirement, Span, judge
from elec.judge import holds as holds_throughout

between, among, exact = Input.between, Input.among, Input.exact


def ruling_of(function, *inputs, sense="at most"):
    return judge(Requirement(function, inputs, sense))


def within(t, intervals):
    return any(a <= t <= b for a, b in intervals)


# --- Brute force: the definitions of the verdicts, on a plain grid ------------------------------

STEPS = {0: 1, 1: 2001, 2: 201, 3: 41, 4: 17}
#: By so much may a plain grid miss an extreme of the smooth functions used here.
MISSED = 0.02


@dataclass
class Brute:
    axes: dict[str, np.ndarray]
    margin: np.ndarray

    def verdict(self, allowance=0.0):
        least, greatest = self.margin.min() - allowance, self.margin.max() + allowance
        if greatest < 0:
            return "inadequate"
        if least < 0:
            return "undetermined"
        return "marginal" if least < 0.1 else "adequate"

    def over_others(self, name):
        axis = list(self.axes).index(name)
        rest = tuple(k for k in range(self.margin.ndim) if k != axis)
        return self.margin.min(axis=rest), self.margin.max(axis=rest)


def brute_force(requirement):
    unsettled = [i for i in requirement.inputs if i.low != i.high]
    axes = {
        i.name: np.array(i.choices)
        if i.choices
        else np.linspace(i.low, i.high, STEPS[len(unsettled)])
        for i in unsettled
    }
    grids = np.meshgrid(*axes.values(), indexing="ij")
    settled = {i.name: i.best for i in requirement.inputs if i.low == i.high}
    value, limit = requirement.function(**settled, **dict(zip(axes, grids, strict=True)))
    value, limit = value + 0 * sum(grids), limit + 0 * sum(grids)
    if requirement.sense == "at most":
        return Brute(axes, np.asarray(1 - value / limit))
    return Brute(axes, np.asarray(value / limit - 1))


# --- Random requirements: each input has one positive factor, combined by +, * or / --------------

RISING = (lambda x, a: 1 + a * x, lambda x, a: np.sqrt(x + a), lambda x, a: x**2 + a)
FALLING = (lambda x, a: 1 / (x + a), lambda x, a: np.exp(-a * x), lambda x, a: 5 - x * a / 2)
EITHER = (
    lambda x, a: 1 + a * (x - 1.3) ** 2,
    lambda x, a: 2 + np.sin(2 * x + 6 * a),
    lambda x, a: 1.5 + a * np.cos(3 * x) * x / 3,
)
OTHER_WAY = {"higher": "lower", "lower": "higher", None: None}


def random_requirement(seed):
    rng = np.random.default_rng(seed)
    sense = rng.choice(["at most", "at least"])
    inputs, factors, places = [], {}, {}
    unsettled = int(rng.integers(1, 5))
    for k in range(unsettled + 1):
        name = f"x{k}"
        kind = rng.choice(["rising", "falling", "either", "listed"], p=[0.35, 0.3, 0.2, 0.15])
        place = str(rng.choice(["above", "below", "limit"], p=[0.6, 0.25, 0.15]))
        a = float(rng.uniform(0.2, 1.0))
        low, best, high = sorted(rng.uniform(0.2, 2.5, 3))
        middle, width = (low + high) / 2, rng.choice([0.1, 0.5, 1.0])
        low, best, high = (middle + width * (x - middle) for x in (low, best, high))
        if k == unsettled:
            inputs.append(exact(name, best))
            factors[name] = (RISING[0], a)
        elif kind == "listed":
            printed = rng.uniform(0.5, 2.0, int(rng.integers(2, 8)))
            inputs.append(among(name, range(len(printed))))
            factors[name] = (lambda x, a, p=printed: p[np.asarray(x).astype(int)], a)
        else:
            family = {"rising": RISING, "falling": FALLING, "either": EITHER}[str(kind)]
            worse = {"rising": "higher", "falling": "lower", "either": None}[str(kind)]
            if (place == "above") == (sense == "at least"):
                worse = OTHER_WAY[worse]
            inputs.append(between(name, low, best, high, worse=worse))
            factors[name] = (family[rng.integers(3)], a)
        places[name] = place
    adds = bool(rng.integers(2))

    def unscaled(**x):
        part = {name: factor(x[name], a) for name, (factor, a) in factors.items()}
        above = [part[name] for name in part if places[name] == "above"] or [1.0]
        below = math.prod((part[n] for n in part if places[n] == "below"), start=1.0)
        limit = math.prod((part[n] for n in part if places[n] == "limit"), start=1.0)
        return (sum(above) if adds else math.prod(above)) / below, limit

    value, limit = unscaled(**{i.name: i.best for i in inputs})
    scale = float(value / limit * rng.uniform(0.5, 1.8))
    order = rng.permutation(len(inputs))
    return Requirement(
        lambda **x: (unscaled(**x)[0], scale * unscaled(**x)[1]),
        tuple(inputs[k] for k in order),
        str(sense),
    )


@pytest.mark.parametrize("block", range(20))
def test_verdict_and_turning_points_agree_with_brute_force(block):
    told_apart = 0
    for seed in range(50 * block, 50 * block + 50):
        requirement = random_requirement(seed)
        brute, ruling = brute_force(requirement), judge(requirement)
        smooth = any(
            not i.choices and i.worse is None and not i.settled for i in requirement.inputs
        )
        assert ruling.rigorous == (not smooth), seed
        assert ruling.margin.low <= brute.margin.min() + 1e-9, seed
        assert ruling.margin.high >= brute.margin.max() - 1e-9, seed
        missed = MISSED if smooth else 1e-9
        assert ruling.margin.low >= brute.margin.min() - missed, seed
        assert ruling.margin.high <= brute.margin.max() + missed, seed
        if brute.verdict(missed) == brute.verdict(-missed):
            told_apart += 1
            assert ruling.verdict == brute.verdict(), seed
        assert bool(ruling.turns_on) == (ruling.verdict == "undetermined"), seed
        for point in ruling.turns_on:
            least, greatest = brute.over_others(point.input)
            for t, worst, best in zip(brute.axes[point.input], least, greatest, strict=True):
                holds, fails = within(t, point.adequate_if), within(t, point.inadequate_if)
                assert not (holds and worst < -1e-7), (seed, point, t)
                assert not (fails and best >= 1e-7), (seed, point, t)
                assert holds or worst <= missed, (seed, point, t)
                assert fails or best >= -missed, (seed, point, t)
    assert told_apart >= 45


@pytest.mark.parametrize("block", range(5))
def test_whether_it_holds_is_what_would_be_ruled(block):
    for seed in range(100 * block, 100 * block + 100):
        requirement = random_requirement(seed)
        answer = holds_throughout(requirement)
        assert answer == (judge(requirement).verdict in ("adequate", "marginal")), seed


def test_whether_it_holds_takes_one_evaluation_where_all_have_a_hardest_end():
    evaluated = []

    def drop(length_m, current_A):
        evaluated.append(np.size(length_m))
        return 0.001 * length_m * current_A, 0.36

    inputs = [between("length_m", 5, 7, 9, worse="higher")]
    inputs += [between("current_A", 30, 35, 41, worse="higher")]
    assert not holds_throughout(Requirement(drop, tuple(inputs), "at most"))
    assert len(evaluated) == 1


def test_the_random_requirements_are_of_every_kind():
    requirements = [random_requirement(seed) for seed in range(1000)]
    assert {r.sense for r in requirements} == {"at most", "at least"}
    verdicts = [brute_force(r).verdict() for r in requirements]
    for verdict in ("adequate", "marginal", "inadequate", "undetermined"):
        assert verdicts.count(verdict) >= 50
    assert {sum(not i.settled for i in r.inputs) for r in requirements} == {1, 2, 3, 4}


# --- Closed forms: expected values by algebra ---------------------------------------------------

RESISTIVITY = 0.0172


def drop_V(current_A, length_m, area_mm2, limit_V=0.36):
    """V = 2 I L rho / A."""
    return 2 * current_A * length_m * RESISTIVITY / area_mm2, limit_V


def test_turning_length_of_a_voltage_drop():
    ruling = ruling_of(
        drop_V,
        between("current_A", 25, 30, 33, worse="higher"),
        between("length_m", 2, 4.5, 8, worse="higher"),
        exact("area_mm2", 13.3),
    )
    assert ruling.verdict == "undetermined"
    assert ruling.rigorous
    length = next(point for point in ruling.turns_on if point.input == "length_m")
    holds_to = 0.36 * 13.3 / (2 * 33 * RESISTIVITY)
    fails_from = 0.36 * 13.3 / (2 * 25 * RESISTIVITY)
    assert length.adequate_if == ((2, pytest.approx(holds_to, rel=1e-9)),)
    assert length.inadequate_if == ((pytest.approx(fails_from, rel=3e-9), 8),)
    assert length.settles == pytest.approx(1 - (fails_from - holds_to) / 6, abs=1e-8)
    assert ruling.turns_on[0] == length  # the current alone decides less often


def test_spans_of_a_voltage_drop():
    ruling = ruling_of(
        drop_V,
        between("current_A", 25, 30, 33, worse="higher"),
        between("length_m", 2, 4.5, 8, worse="higher"),
        between("area_mm2", 12, 13.3, 14, worse="lower"),
    )
    low, best, high = (
        2 * 25 * 2 * 0.0172 / 14,
        2 * 30 * 4.5 * 0.0172 / 13.3,
        2 * 33 * 8 * 0.0172 / 12,
    )
    assert ruling.value == Span(*(pytest.approx(x, rel=1e-12) for x in (low, best, high)))
    assert ruling.limit == Span(0.36, 0.36, 0.36)
    assert ruling.margin == Span(
        *(pytest.approx(1 - x / 0.36, rel=1e-12) for x in (high, best, low))
    )


def test_value_and_limit_each_have_their_own_extremes():
    """x + y at most 3 - x + y/2: at the hard corner neither y is at its own greatest."""
    ruling = ruling_of(
        lambda x, y: (x + y, 3 - x + y / 2),
        between("x", 0, 0.5, 1, worse="higher"),
        between("y", 0, 0.5, 1, worse="higher"),
    )
    assert (ruling.value.low, ruling.value.high) == (0, 2)
    assert (ruling.limit.low, ruling.limit.high) == (2, 3.5)


def test_a_single_open_input_is_settled_by_reading_it():
    (point,) = ruling_of(lambda x: (x, 6), between("x", 5, 6, 9, worse="higher")).turns_on
    assert point.adequate_if == ((5, pytest.approx(6, rel=1e-9)),)
    assert point.inadequate_if == ((pytest.approx(6, rel=3e-9), 9),)
    assert point.adequate_if[0][1] <= 6 < point.inadequate_if[0][0]
    assert point.settles == pytest.approx(1, abs=1e-8)
    assert point.swing == pytest.approx(4 / 6)


def test_turning_point_within_a_smooth_hump():
    """A sine of height 1 is at most 1/2 up to 30 degrees and from 150 degrees."""
    (point,) = ruling_of(
        lambda x: (np.sin(np.radians(x)), 0.5), between("x", 0, 90, 180, worse=None)
    ).turns_on
    assert point.adequate_if == (
        (0, pytest.approx(30, abs=1e-6)),
        (pytest.approx(150, abs=1e-6), 180),
    )
    assert point.inadequate_if == ((pytest.approx(30, abs=1e-6), pytest.approx(150, abs=1e-6)),)
    assert max(math.sin(math.radians(end)) for end in np.ravel(point.adequate_if)) <= 0.5


def test_extremes_between_the_points_of_the_sample_are_found():
    """cos x is least at pi, and the parabola in y tops at e/2: neither is a point of the grid."""
    ruling = ruling_of(
        lambda x, y: (5 + np.cos(x) - (y - math.e / 2) ** 2, 3.0),
        between("x", 0.3, 1, 5, worse=None),
        between("y", 0.1, 1, 2.2, worse=None),
        sense="at least",
    )
    assert ruling.margin.low == pytest.approx((4 - (0.1 - math.e / 2) ** 2) / 3 - 1, abs=1e-12)
    assert ruling.margin.high == pytest.approx((5 + math.cos(0.3)) / 3 - 1, abs=1e-12)


def test_the_search_starts_from_the_hard_end_of_the_declared_inputs():
    """Two narrow humps in y, off the grid; the higher is there only at the hard end of x."""

    def humps(x, y):
        low, high = (np.exp(-(((y - c) / 0.02) ** 2)) for c in (0.2113, 0.7337))
        return low + 2 * x * high, 4.0

    ruling = ruling_of(
        humps, between("x", 0, 0.2, 1, worse="higher"), between("y", 0, 0.5, 1, worse=None)
    )
    assert ruling.verdict == "adequate"
    assert ruling.margin.low == pytest.approx(0.5, abs=1e-12)


def test_the_lower_on_the_sample_may_be_the_higher_between_its_points():
    """A hump of 1 on a point of the sample, and one of 1.01 midway between two."""

    def humps(y):
        first, second = (np.exp(-(((y - c) / 0.02) ** 2)) for c in (32 / 128, 96.5 / 128))
        return first + 1.01 * second, 2.0

    ruling = ruling_of(humps, between("y", 0, 0.5, 1, worse=None))
    assert ruling.value.high == pytest.approx(1.01, abs=1e-12)


def test_a_free_input_among_the_others_does_not_widen_an_interval():
    """x + (1 - (y - c)**2) at most 1: holds for every y up to x = 0, c off every grid point."""
    c = 1 / math.pi
    ruling = ruling_of(
        lambda x, y: (x + 1 - (y - c) ** 2, 1.0),
        between("x", -0.4, 0, 0.7, worse="higher"),
        between("y", 0, 0.5, 1, worse=None),
    )
    x = next(point for point in ruling.turns_on if point.input == "x")
    assert x.adequate_if == ((-0.4, pytest.approx(0, abs=2e-9)),)
    assert x.inadequate_if == ((pytest.approx((1 - c) ** 2, abs=2e-9), 0.7),)


def test_the_worst_of_the_other_inputs_is_followed_along_an_input():
    """As before, but the y that is worst moves with x: it is 0.4 where the verdict turns."""
    ruling = ruling_of(
        lambda x, y: (1 + x - (y - 0.4 - x / 3) ** 2, 1.0),
        between("x", -0.4, 0, 0.7, worse=None),
        between("y", 0, 0.5, 1, worse=None),
    )
    x = next(point for point in ruling.turns_on if point.input == "x")
    assert x.adequate_if == ((-0.4, pytest.approx(0, abs=2e-9)),)


def test_what_lies_between_the_points_of_the_sample_shows_in_the_turning_points():
    """1 - (y - c)**2 exceeds 1 - 1e-6 within 1/1000 of c, far less than a step of the sample."""
    c = 1 / math.pi
    y, z = between("y", 0, 0.5, 1, worse=None), between("z", 0, 0.5, 1, worse=None)
    (point,) = ruling_of(lambda y: (1 - (y - c) ** 2, 1 - 1e-6), y).turns_on
    ends = (0, pytest.approx(c - 1e-3, abs=1e-6)), (pytest.approx(c + 1e-3, abs=1e-6), 1)
    assert point.adequate_if == ends
    for point in ruling_of(lambda y, z: (1 - (y - c) ** 2 - (z - c) ** 2, 1 - 1e-6), y, z).turns_on:
        assert point.adequate_if == ends
        assert point.inadequate_if == ()


def test_turning_choice():
    """Of fuses 30 to 60 A, those up to 40 A are within 1.5 times 30 A = 45 A."""
    ruling = ruling_of(
        lambda fuse_A, ampacity_A: (fuse_A, 1.5 * ampacity_A),
        among("fuse_A", [60, 30, 50, 40, 35], worse="higher"),
        exact("ampacity_A", 30),
    )
    (point,) = ruling.turns_on
    assert (point.low, point.best, point.high) == (30, 40, 60)
    assert point.adequate_if == ((30, 40),)
    assert point.inadequate_if == ((50, 60),)
    assert point.settles == 1
    assert ruling.rigorous


def test_choices_without_direction_give_runs_of_neighbours():
    grades = np.array([1.0, 3.0, 1.5, 1.2, 4.0])
    (point,) = ruling_of(
        lambda grade: (grades[grade.astype(int)], 2.0), among("grade", range(5))
    ).turns_on
    assert point.adequate_if == ((0, 0), (2, 3))
    assert point.inadequate_if == ((1, 1), (4, 4))


def test_ranking_is_by_chance_to_settle_then_by_swing():
    """u decides over a third of its range; v and w alone nowhere, and v moves the margin more."""
    ruling = ruling_of(
        lambda u, v, w: (u + v + w, 3.0),
        between("w", 0, 0.2, 0.4, worse="higher"),
        between("v", 0, 0.3, 0.6, worse="higher"),
        between("u", 1, 2.5, 4, worse="higher"),
    )
    assert [point.input for point in ruling.turns_on] == ["u", "v", "w"]
    assert ruling.turns_on[0].settles == pytest.approx(2 / 3, abs=1e-8)
    assert [point.settles for point in ruling.turns_on[1:]] == [0, 0]


# --- Edges --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "limit", "sense", "verdict", "margin"),
    [
        (2.7, 3.0, "at most", "adequate", 0.1),  # ten per cent in hand is enough
        (2.7000001, 3.0, "at most", "marginal", 0.1),
        (3.0, 3.0, "at most", "marginal", 0.0),
        (3.003, 3.0, "at most", "inadequate", -0.001),
        (3.3, 3.0, "at least", "adequate", 0.1),
        (3.2999999, 3.0, "at least", "marginal", 0.1),
        (3.0, 3.0, "at least", "marginal", 0.0),
        (2.997, 3.0, "at least", "inadequate", -0.001),
        (-0.95, -0.80, "at most", "adequate", 0.15 / 0.80),
        (-0.70, -0.80, "at most", "inadequate", -0.10 / 0.80),
        (0.0, 0.0, "at most", "marginal", 0.0),
        (0.0, 0.0, "at least", "marginal", 0.0),
        (1e-6, 0.0, "at most", "inadequate", -math.inf),
        (1e-6, 0.0, "at least", "adequate", math.inf),
        (-1.0, 0.0, "at most", "adequate", math.inf),
        (math.inf, 3.0, "at most", "inadequate", -math.inf),
        (math.inf, 3.0, "at least", "adequate", math.inf),
        (3.0, math.inf, "at most", "adequate", 1.0),
        (3.0, math.inf, "at least", "inadequate", -1.0),
    ],
)
def test_no_unsettled_input(value, limit, sense, verdict, margin):
    ruling = ruling_of(lambda x: (x, limit), exact("x", 1.0), sense=sense)
    assert ruling.verdict == ruling_of(lambda: (1.0, limit), sense=sense).verdict
    ruling = ruling_of(lambda x: (x * value, limit), exact("x", 1.0), sense=sense)
    assert ruling.verdict == verdict
    assert ruling.margin.low == ruling.margin.high == pytest.approx(margin, abs=1e-7)
    assert (ruling.rigorous, ruling.turns_on) == (True, ())


def test_the_margin_that_is_called_marginal():
    assert MARGIN == 0.10  # design convention, no source


def test_a_conversion_of_units_turns_no_verdict():
    assert 10 * 0.3048 != 3.048 or 0.1 * 3 != 0.3  # such roundings are real
    assert ruling_of(lambda x: (x, 0.3), exact("x", 0.1 * 3)).verdict == "marginal"
    assert (
        ruling_of(lambda x: (x, 0.1 * 3), exact("x", 0.3), sense="at least").verdict == "marginal"
    )
    assert ruling_of(lambda x: (x, 0.9), exact("x", 0.9 * (1 + 2e-9))).verdict == "inadequate"


def test_whole_numbers_are_no_steps():
    whole = ruling_of(lambda x: (x, 2.5), between("x", 1, 2, 4, worse="higher"))
    assert whole == ruling_of(lambda x: (x, 2.5), between("x", 1.0, 2.0, 4.0, worse="higher"))
    assert type(whole.turns_on[0].low) is float
    assert among("x", range(3)).choices == (0.0, 1.0, 2.0)


def test_what_just_holds_at_its_best_is_not_inadequate():
    assert (
        ruling_of(lambda x: (x, 0.3), between("x", 0.1 * 3, 0.4, 0.6, worse="higher")).verdict
        == "undetermined"
    )


def test_one_choice_is_settled():
    only = among("x", [4.0])
    assert only.settled
    assert ruling_of(lambda x: (x, 5), only).verdict == "adequate"


def test_an_input_that_the_function_ignores():
    ruling = ruling_of(
        lambda x, y: (x, 6),
        between("y", 0, 1, 2, worse="higher"),
        between("x", 5, 6, 9, worse="higher"),
    )
    assert [point.input for point in ruling.turns_on] == ["x", "y"]
    ignored = ruling.turns_on[1]
    assert (ignored.adequate_if, ignored.inadequate_if) == ((), ())
    assert (ignored.settles, ignored.swing) == (0, 0)


def test_every_input_unknown():
    wide = [between(name, 0.01, 1, 1000, worse="higher") for name in "abcd"]
    ruling = ruling_of(lambda a, b, c, d: (a * b * c * d, 1.0), *wide)
    assert ruling.verdict == "undetermined"
    assert {point.input for point in ruling.turns_on} == set("abcd")
    assert all(point.settles == 0 for point in ruling.turns_on)


def test_a_range_of_a_few_roundings_ends():
    high = 1 + 1e-14
    (point,) = ruling_of(
        lambda x: (np.where(x > 1, 2.0, 0.5), 1.0), between("x", 1, 1, high, worse="higher")
    ).turns_on
    assert point.adequate_if[0][0] == 1
    assert point.inadequate_if[0][1] == high


def test_a_step_is_found_where_it_is():
    (point,) = ruling_of(
        lambda x: (np.where(x < 7.4, 0.5, 2.0), 1.0), between("x", 0, 1, 10, worse="higher")
    ).turns_on
    assert point.adequate_if == ((0, pytest.approx(7.4, abs=1.01e-9)),)
    assert point.inadequate_if == ((pytest.approx(7.4, abs=1.01e-9), 10),)
    assert point.adequate_if[0][1] < 7.4 <= point.inadequate_if[0][0]


def test_infinite_values_turn_too():
    """1/x without bound at zero: at most 2 from x = 0.5."""
    (point,) = ruling_of(lambda x: (1 / x, 2.0), between("x", 0, 1, 4, worse="lower")).turns_on
    assert point.adequate_if == ((pytest.approx(0.5, rel=1e-9), 4),)
    assert point.swing == math.inf


def test_no_number_is_never_a_verdict():
    def root(x, y):
        return np.sqrt(x), y

    with pytest.raises(ElecError, match=r"root.*y = 3, x = -1"):
        ruling_of(root, between("x", -1, 0, 1, worse="higher"), exact("y", 3))
    with pytest.raises(ElecError, match="both sides infinite"):
        ruling_of(lambda: (math.inf, math.inf))


@pytest.mark.parametrize("sense", ["at most", "at least"])
@pytest.mark.parametrize(
    "function", [lambda x, y: (x * y, 5.0), lambda x, y: (y + (x - 1.5) ** 2, 5.0)]
)
def test_a_wrong_direction_is_named(function, sense):
    wrong = "lower" if sense == "at most" else "higher"
    with pytest.raises(ElecError, match=r"^x: declared worse when"):
        ruling_of(
            function,
            exact("y", 3),
            between("x", 1, 2, 3, worse=wrong),
            sense=sense,
        )


def test_a_direction_that_turns_within_the_range_is_named():
    """(x - 1.5)**2 is greater at 3 than at 1, but falls before it rises."""
    with pytest.raises(ElecError, match=r"^x: declared worse when higher"):
        ruling_of(lambda x: ((x - 1.5) ** 2, 50.0), between("x", 1, 2, 3, worse="higher"))


def test_a_direction_that_turns_only_where_the_others_are_worst_is_named():
    with pytest.raises(ElecError, match=r"^x: declared worse when higher"):
        ruling_of(
            lambda x, y: (x + y * np.sin(np.pi * x) ** 2, 0.9),
            between("x", 0, 0, 1, worse="higher"),
            between("y", 0, 0, 3, worse="higher"),
        )


def test_a_direction_that_turns_with_another_input_is_named():
    with pytest.raises(ElecError, match=r"^x: declared worse when higher"):
        ruling_of(
            lambda x, y: (10 + x * y, 20.0),
            between("x", 0, 1, 2, worse="higher"),
            between("y", -1, 1, 2, worse="higher"),
        )


def test_beyond_zero_the_ratio_has_no_say_in_the_direction():
    """-1 at most 1 and -1 at most 10: both hold, though the second has less in proportion."""
    ruling = ruling_of(lambda x: (-1.0, x), between("x", 1, 2, 10, worse="lower"))
    assert ruling.verdict == "adequate"


@pytest.mark.parametrize(
    "make",
    [
        lambda: between("x", 2, 1, 3, worse=None),
        lambda: between("x", 1, 2, math.inf, worse=None),
        lambda: between("x", math.nan, 2, 3, worse=None),
        lambda: between("x", 1, 2, 3, worse="more"),
        lambda: among("x", []),
        lambda: among("x", [1, 2], best=3),
        lambda: Input("x", 1, 2, 3, None, (1, 3)),
        lambda: Input("x", 1, 2, 3, None, (1, 2, 2, 3)),
        lambda: Input("x", 0, 2, 3, None, (1, 2, 3)),
        lambda: Requirement(drop_V, (exact("x", 1), exact("x", 2)), "at most"),
        lambda: Requirement(drop_V, (), "below"),
    ],
)
def test_what_is_no_input(make):
    with pytest.raises(InputError):
        make()


def test_the_best_choice_if_not_given_is_the_middle_one():
    assert among("x", [3, 1, 2]).best == 2
    assert among("x", [4, 3, 1, 2]).best == 2
    assert among("x", [4, 3, 1, 2], best=3).best == 3


# --- Many inputs --------------------------------------------------------------------------------


def test_more_declared_inputs_than_corners_are_laid_out():
    names = [f"x{k}" for k in range(14)]
    inputs = [between(name, 0.9, 1, 1.1, worse="higher") for name in names]
    ruling = ruling_of(lambda **x: (sum(x.values()), 14.0), *inputs)
    assert ruling.verdict == "undetermined"
    assert ruling.rigorous
    assert (ruling.value.low, ruling.value.high) == (pytest.approx(12.6), pytest.approx(15.4))
    assert ruling.points < 2000


def test_choices_beyond_the_bound_are_sampled_with_their_corners():
    names = "abcd"
    choices = [among(name, range(20)) for name in names]
    ruling = ruling_of(lambda **x: (sum(x.values()), 75.5), *choices)
    assert not ruling.rigorous
    assert ruling.verdict == "undetermined"
    assert (ruling.value.low, ruling.value.high) == (0, 76)


@pytest.mark.parametrize("count", [4, 6])
def test_many_free_inputs_are_tried_at_their_corners(count):
    names = [f"x{k}" for k in range(count)]
    inputs = [between(name, 0, 0.5, 1, worse=None) for name in names]
    ruling = ruling_of(lambda **x: (sum(x.values()), count - 1e-6), *inputs)
    assert ruling.verdict == "undetermined"
    assert not ruling.rigorous


#: Two banks on one bus: EMFs [V], their resistances and their feeders' [ohm], loads [A].
TWO_BANKS = {
    "emf_1": (12.2, 12.5, 12.8), "emf_2": (12.2, 12.4, 12.7), "bank_1": (0.004, 0.006, 0.01),
    "bank_2": (0.006, 0.01, 0.02), "way_1": (0.003, 0.004, 0.006), "way_2": (0.002, 0.003, 0.005),
    "load_1": (8, 9, 10), "load_2": (30, 35, 40), "load_3": (5, 6, 7),
}  # fmt: skip


def bus_V(*, emf_1, emf_2, bank_1, bank_2, way_1, way_2, load_1, load_2, load_3):
    """Kirchhoff's current law at the bus, solved by hand."""
    one, two = 1 / (bank_1 + way_1), 1 / (bank_2 + way_2)
    return (emf_1 * one + emf_2 * two - load_1 - load_2 - load_3) / (one + two)


@pytest.mark.parametrize("share", [0.05, 0.95])
def test_of_a_dear_function_the_corners_and_what_turns_on_them_are_found(share):
    inputs = tuple(between(name, *span, worse=None) for name, span in TWO_BANKS.items())
    corners = {
        name: values.ravel()
        for name, values in zip(
            TWO_BANKS,
            np.meshgrid(*[(low, high) for low, _, high in TWO_BANKS.values()], indexing="ij"),
            strict=True,
        )
    }
    at_corners = bus_V(**corners)  # each input alone moves the voltage one way only
    limit = at_corners.min() + share * np.ptp(at_corners)
    ruling = judge(Requirement(lambda **x: (bus_V(**x), limit), inputs, "at least", dear=True))
    assert ruling.value.low == pytest.approx(at_corners.min(), abs=1e-12)
    assert ruling.value.high == pytest.approx(at_corners.max(), abs=1e-12)
    assert ruling.verdict == "undetermined"
    assert ruling.points < 60_000
    kind = "inadequate_if" if share > 0.5 else "adequate_if"
    assert any(getattr(point, kind) for point in ruling.turns_on)
    for point in ruling.turns_on:
        name, (low, _, high) = point.input, TWO_BANKS[point.input]
        for held, intervals in ((True, point.adequate_if), (False, point.inadequate_if)):
            for end in (end for pair in intervals for end in pair):
                volts = bus_V(**corners | {name: end})
                assert volts.min() >= limit - 1e-6 if held else volts.max() < limit + 1e-6
                if low < end < high:  # and not far beyond it
                    step = 2e-5 * (high - low)
                    beyond = [bus_V(**corners | {name: end + k}) for k in (-step, step)]
                    ends = [v.min() >= limit if held else v.max() < limit for v in beyond]
                    assert not all(ends)


@pytest.mark.parametrize("block", range(4))
def test_a_dear_function_gets_the_same_verdict(block):
    for seed in range(100 * block, 100 * block + 100):
        requirement = random_requirement(seed)
        full, dear = judge(requirement), judge(replace(requirement, dear=True))
        assert dear.verdict == full.verdict or abs(full.margin.low) < MISSED, seed
        assert dear.margin.low == pytest.approx(full.margin.low, abs=MISSED), seed


def test_too_many_free_inputs_are_refused():
    inputs = [between(f"x{k}", 0, 0.5, 1, worse=None) for k in range(17)]
    with pytest.raises(ElecError, match="no declared direction"):
        ruling_of(lambda **x: (sum(x.values()), 100.0), *inputs)


def test_six_declared_inputs_take_few_calls():
    calls = []

    def function(**x):
        calls.append(len(x["x0"]))
        return math.prod(x.values()) ** 2, 1.05

    inputs = [between(f"x{k}", 0.99, 1, 1.01, worse="higher") for k in range(5)]
    ruling = ruling_of(function, *inputs, between("x5", 0.7, 1, 1.3, worse="higher"))
    assert ruling.turns_on[0].adequate_if
    assert ruling.turns_on[0].inadequate_if
    assert len(calls) <= 6
    assert ruling.points == sum(calls) <= 2500


def test_the_same_requirement_gets_the_same_ruling():
    for seed in (3, 5, 8):
        assert judge(random_requirement(seed)) == judge(random_requirement(seed))


# --- Properties ---------------------------------------------------------------------------------

fractions = st.floats(0, 1)
seeds = st.integers(0, 10**6)


def narrowed(entry, a, b):
    """Return a part of an input's range, or of its choices."""
    if entry.settled:
        return entry
    a, b = sorted((a, b))
    if entry.choices:
        last = len(entry.choices) - 1
        return among(
            entry.name, entry.choices[round(a * last) : round(b * last) + 1], worse=entry.worse
        )
    low, high = (entry.low + x * (entry.high - entry.low) for x in (a, b))
    high = min(high, entry.high)
    return between(entry.name, low, (low + high) / 2, max(low, high), worse=entry.worse)


@settings(deadline=None)
@given(seeds, st.lists(st.tuples(fractions, fractions), min_size=5, max_size=5))
def test_knowing_more_never_shakes_a_settled_verdict(seed, parts):
    """And so, read backwards, knowing less never makes anything adequate."""
    wide = random_requirement(seed)
    inputs = tuple(narrowed(entry, *part) for entry, part in zip(wide.inputs, parts, strict=False))
    before, after = judge(wide), judge(replace(wide, inputs=inputs))
    slack = 0 if before.rigorous else 1e-6
    assert after.margin.low >= before.margin.low - slack - 1e-12
    assert after.margin.high <= before.margin.high + slack + 1e-12
    close_to_call = min(abs(before.margin.low - m) for m in (0, 0.1)) < 1e-5
    if not close_to_call:
        allowed = {
            "adequate": {"adequate"},
            "marginal": {"adequate", "marginal"},
            "inadequate": {"inadequate"},
            "undetermined": {"adequate", "marginal", "inadequate", "undetermined"},
        }
        if before.verdict != "inadequate" or before.margin.high < -1e-5:
            assert after.verdict in allowed[before.verdict]


@settings(deadline=None)
@given(seeds, st.floats(-6, 6))
def test_units_do_not_matter(seed, power):
    plain = random_requirement(seed)
    k = {i.name: 1 if i.choices else 10**power for i in plain.inputs}  # choices are codes here
    scaled = Requirement(
        lambda **x: plain.function(**{name: value / k[name] for name, value in x.items()}),
        tuple(
            i
            if i.choices
            else between(i.name, *(k[i.name] * x for x in (i.low, i.best, i.high)), worse=i.worse)
            for i in plain.inputs
        ),
        plain.sense,
    )
    before, after = judge(plain), judge(scaled)
    assert after.verdict == before.verdict
    assert after.margin.low == pytest.approx(before.margin.low, rel=1e-9, abs=1e-9)
    ends = {p.input: np.ravel(p.adequate_if + p.inadequate_if) for p in before.turns_on}
    for point in after.turns_on:
        expected = ends[point.input] * k[point.input]
        found = np.ravel(point.adequate_if + point.inadequate_if)
        assert found == pytest.approx(expected, rel=1e-6)


@settings(deadline=None)
@given(seeds)
def test_reading_a_value_that_settles_it_does_settle_it(seed):
    """The ends of the intervals themselves hold, or fail, at every corner of the others."""
    requirement = random_requirement(seed)
    ruling = judge(requirement)
    for point in ruling.turns_on:
        others = [i for i in requirement.inputs if i.name != point.input]
        corners = product(*(i.choices or (i.low, i.best, i.high) for i in others))
        for corner in corners:
            given_values = dict(zip((i.name for i in others), corner, strict=True))
            for ends, holds in ((point.adequate_if, True), (point.inadequate_if, False)):
                for t in np.ravel(ends):
                    value, limit = requirement.function(**given_values, **{point.input: t})
                    margin = 1 - value / limit
                    if requirement.sense == "at least":
                        margin = -margin
                    if holds:
                        assert margin >= -HOLDS_WITHIN * 1.001
                    else:
                        assert margin <= -HOLDS_WITHIN * 0.999
