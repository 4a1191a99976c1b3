"""The smallest size against brute force; edges of holding and failing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from elec.calc.cables import sizing
from elec.errors import InputError

IZ = np.array([20.0, 25, 35, 45, 60, 80, 120])
PER_M = np.array([0.0217, 0.0137, 0.00858, 0.0054, 0.0034, 0.00214, 0.00134])
AREA = np.array([0.82, 1.31, 2.08, 3.31, 5.26, 8.37, 13.3])


def size(current, length=5.0, allowed=0.36, **more):
    drop_V = 2.0 * np.multiply(current, length)[..., None] * PER_M
    margins = {"ampacity": 1 - np.asarray(current)[..., None] / IZ, "drop": 1 - drop_V / allowed}
    margins |= more
    return sizing.smallest_size(margins), margins


def slowly(margins):
    """Smallest size and what governs it, one sample and one size at a time."""
    names = list(margins)
    count = len(margins[names[0]])
    chosen = -1
    for j in range(count):
        if all(margins[name][j] >= -1e-9 for name in names):
            chosen = j
            break
    at = count - 1 if chosen < 0 else max(chosen - 1, 0)
    return chosen, min(range(len(names)), key=lambda r: margins[names[r]][at])


@given(arrays(float, (3, 5, 4), elements=st.sampled_from([-0.5, -1e-8, -1e-10, 0.0, 0.2, 1.0])))
def test_against_brute_force(values):
    margins = dict(zip("abc", values, strict=True))
    found = sizing.smallest_size(margins)
    for i in range(5):
        one = {name: margin[i] for name, margin in margins.items()}
        assert (found.index[i], found.governs[i]) == slowly(one)
    for name, margin in margins.items():
        assert np.array_equal(found.fails[name], margin < -1e-9)


@given(
    current=st.floats(0.1, 150),
    length=st.floats(0.1, 40),
    more=st.floats(1, 3),
)
def test_more_current_or_length_never_takes_a_smaller_size(current, length, more):
    def place(choice):
        return len(IZ) if choice.index < 0 else choice.index

    base = place(size(current, length)[0])
    assert place(size(current * more, length)[0]) >= base
    assert place(size(current, length * more)[0]) >= base
    assert place(size(current, length, 0.36 / more)[0]) >= base


def test_a_hair_over_the_limit_fails():
    # 3.003 % against 3 %; the limit itself holds, however it was rounded
    drops = np.array([0.03003, 0.03 * (1 + 1e-12), 0.03])
    fails = sizing.smallest_size({"drop": 1 - drops / 0.03}).fails["drop"]
    assert fails.tolist() == [True, False, False]


def test_what_governs():
    # 10 A, 5 m: 0.36 V allows 0.0036 ohm/m, the fifth size; the fourth fails by drop alone.
    by_drop, margins = size(10)
    assert (by_drop.index, by_drop.names[by_drop.governs]) == (4, "drop")
    assert margins["drop"][3] == pytest.approx(1 - 0.54 / 0.36)
    # 50 A over 0.2 m: by ampacity
    by_heat, _ = size(50, 0.2)
    assert (by_heat.index, by_heat.names[by_heat.governs]) == (4, "ampacity")
    # a least area above what both ask for
    by_area, _ = size(0.5, 0.2, **{"least area": AREA / 1.31 - 1})
    assert (by_area.index, by_area.names[by_area.governs]) == (1, "least area")


def test_none_is_large_enough():
    choice, _ = size(500)
    assert choice.index == -1
    assert choice.fails["ampacity"].all()
    assert choice.names[choice.governs] == "drop"


def test_samples_run_before_sizes():
    choice, margins = size(np.array([[1.0, 10.0, 100.0]]), np.array([[1.0], [20.0]]))
    assert choice.index.shape == choice.governs.shape == (2, 3)
    assert margins["drop"].shape == (2, 3, 7)
    assert choice.index[1, 1] == size(10, 20.0)[0].index


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: sizing.smallest_size({}), "margins"),
        (lambda: sizing.smallest_size({"drop": [0.1, np.nan]}), "drop"),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()
