"""The cable questions of the two invented boats, worked by hand apart from this package."""

import pytest

from elec.survey import survey
from made import example, one

AT_71_IN = 'distance = "71 in"\nat_battery = "yes"\nsheathed = "no"'


def test_a12_breaker_71_in_from_the_battery_in_bare_cable():
    # ABYC E-11: 7 in bare, 72 in sheathed and at the battery; 33 CFR 183.460 allows 72 in, from
    # memory, and binds petrol boats
    found = one(
        survey(example("ostrelline"), only=["protection-place"]), subject="windlass breaker"
    )
    assert (found.verdict, found.priority) == ("inadequate", "A")
    assert found.limit.best == pytest.approx(7 * 0.0254)
    assert "ABYC E-11" in found.statement
    assert "sheathe" in found.remedy
    assert any("petrol boats, allows it" in note and "memory" in note for note in found.notes)


@pytest.mark.parametrize(
    ("noted", "verdict"),
    [
        ('distance = "71 in"\nat_battery = "yes"\nsheathed = "yes"', "marginal"),
        ('distance = "73 in"\nat_battery = "yes"\nsheathed = "yes"', "inadequate"),
        ('distance = "71 in"\nat_battery = "no"\nsheathed = "yes"', "inadequate"),
        ('distance = "40 in"\nat_battery = "no"\nsheathed = "yes"', "marginal"),
        ('distance = "41 in"\nat_battery = "no"\nsheathed = "yes"', "inadequate"),
        ('distance = "7 in"\nat_battery = "no"\nsheathed = "no"', "marginal"),
        ('distance = "7.1 in"\nat_battery = "no"\nsheathed = "no"', "inadequate"),
        ('distance = "6 in"\nat_battery = "?"\nsheathed = "?"', "adequate"),
    ],
)
def test_the_distances_of_e11_at_their_edges(noted, verdict):
    # ABYC E-11 as republished: 7 in bare, 40 in sheathed, 72 in sheathed from a battery terminal
    result = survey(example("ostrelline", (AT_71_IN, noted)), only=["protection-place"])
    assert one(result, subject="windlass breaker").verdict == verdict


def test_what_was_not_noted_leaves_it_open_and_is_asked_for():
    noted = 'distance = "71 in"\nat_battery = "yes"'
    # the run is noted as without a sheath farther on, which settles nothing before the device
    result = survey(example("ostrelline", (AT_71_IN, noted)), only=["protection-place"])
    found = one(result, subject="windlass breaker")
    assert found.verdict == "undetermined"
    assert "sheathed or enclosed" in found.turns_on[0].read
    assert result.exit_code in (1, 3)


def test_b12_main_fuse_0_9_m_from_its_battery():
    # ISO 10133:2000, 8.1, as cited in a public rule listing: 200 mm
    found = one(
        survey(example("vindle_sorrel"), only=["protection-place"]), subject="main house fuse"
    )
    assert (found.verdict, found.priority) == ("inadequate", "A")
    assert found.limit.best == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("distance", "verdict"), [("200 mm", "marginal"), ("201 mm", "inadequate")]
)
def test_b12_at_the_edge(distance, verdict):
    result = survey(
        example("vindle_sorrel", ('distance = "0.9 m"', f'distance = "{distance}"')),
        only=["protection-place"],
    )
    assert one(result, subject="main house fuse").verdict == verdict


@pytest.mark.parametrize(
    ("size", "sheathed", "verdict"),
    [
        # 33 CFR 183.425(d) to (g): 16 AWG alone, 18 AWG in a sheath
        ("16 AWG", "no", "marginal"),
        ("18 AWG", "no", "inadequate"),
        ("18 AWG", "yes", "marginal"),
        ("18 AWG", "?", "undetermined"),
        ("14 AWG", "?", "adequate"),
    ],
)
def test_least_size_by_the_regulation(size, sheathed, verdict):
    old = 'size = "2 AWG"\ninsulation = "105 °C"\nengine_space = "no"\nbundled = 2\nsheathed = "no"'
    new = old.replace("2 AWG", size).replace('sheathed = "no"', f'sheathed = "{sheathed}"')
    result = survey(example("ostrelline", (old, new)), only=["run-size"])
    assert one(result, subject="windlass").verdict == verdict


@pytest.mark.parametrize(
    ("size", "sheathed", "verdict"),
    [
        # ISO 13297:2020: 1 mm² alone, 0.75 mm² in a sheath
        ("1.0 mm²", "no", "marginal"),
        ("0.75 mm²", "no", "inadequate"),
        ("0.75 mm²", "yes", "marginal"),
        ("0.75 mm²", "?", "undetermined"),
    ],
)
def test_least_size_by_iso(size, sheathed, verdict):
    old = 'size = "1.0 mm²"\nengine_space = "no"'
    new = f'size = "{size}"\nsheathed = "{sheathed}"\nengine_space = "no"'
    result = survey(example("vindle_sorrel", (old, new)), only=["run-size"])
    assert one(result, subject="bilge pump").verdict == verdict
