"""What stands in the shore earth: isolators, transformers, several inlets, leakage; terminals."""

import pytest

from elec.boat.read import read
from elec.checks.earth import isolator_block, shore_path
from elec.checks.metals import terminal_stack

BOAT = """
[boat]
name = "T"
water = "sea"
[[inlet]]
id = "one"
rating = "50 A"
INLET
[[anode]]
id = "plate"
material = "MATERIAL"
"""


def ask(tmp_path, inlet="", *, material="zinc", more="", module=shore_path):
    path = tmp_path / "boat.toml"
    text = BOAT.replace("INLET", inlet).replace("MATERIAL", material)
    path.write_text(text + more)
    return module.check(read(path), "us")


def verdicts(found):
    return {(f.check, f.subject): f.verdict for f in found}


@pytest.mark.parametrize(
    ("isolator", "expected"), [("yes", "adequate"), ("no", "inadequate"), ("?", "undetermined")]
)
def test_isolator_seen_or_not(tmp_path, isolator, expected):
    found, _ = ask(tmp_path, f'isolator = "{isolator}"')
    assert verdicts(found)["shore-path", "one"] == expected


@pytest.mark.parametrize(
    ("isolator", "expected", "open_on"),
    [
        ("yes", "adequate", 0),
        ("no", "undetermined", 1),
        ("?", "undetermined", 3),
    ],
)
def test_metal_not_noted_is_not_metal_absent(tmp_path, isolator, expected, open_on):
    path = tmp_path / "boat.toml"
    text = BOAT.partition("[[anode]]")[0].replace("INLET", f'isolator = "{isolator}"')
    transformer = '[[transformer]]\nid = "t"\ninlet = "one"\nisolating = "ISO"\n'
    path.write_text(text + transformer.replace("ISO", "no" if isolator == "no" else "?"))
    (one,) = [f for f in shore_path.check(read(path), "us")[0] if f.check == "shore-path"]
    assert one.verdict == expected
    assert len(one.turns_on) == open_on
    if open_on == 1:
        assert one.turns_on[0].adequate_if == "none is"
        assert one.turns_on[0].inadequate_if == "metal is in the water"


def test_isolating_transformer_parts_the_path(tmp_path):
    transformer = '[[transformer]]\nid = "t"\ninlet = "one"\nisolating = "ISO"\n'
    for isolating, expected in (("yes", "adequate"), ("no", "inadequate"), ("?", "undetermined")):
        more = transformer.replace("ISO", isolating)
        found, _ = ask(tmp_path, 'isolator = "no"', more=more)
        assert verdicts(found)["shore-path", "one"] == expected


def test_one_isolator_of_two_inlets(tmp_path):
    more = '[[inlet]]\nid = "two"\nisolator = "no"\n'
    found, _ = ask(tmp_path, 'isolator = "yes"', more=more)
    assert verdicts(found)["shore-path", "two"] == "inadequate"
    (one,) = [f for f in found if (f.check, f.subject) == ("shore-path", "one")]
    assert any("parts nothing while 'two'" in note for note in one.notes)


# Rated at least as the inlet: ABYC A-28, from memory.
@pytest.mark.parametrize(
    ("rating", "expected"), [("30 A", "inadequate"), ("50 A", "adequate"), ("60 A", "adequate")]
)
def test_isolator_rating(tmp_path, rating, expected):
    found, _ = ask(tmp_path, f'isolator = "yes"\nisolator_rating = "{rating}"')
    assert verdicts(found)["isolator-rating", "one"] == expected


def test_isolator_rating_not_read(tmp_path):
    _, left = ask(tmp_path, 'isolator = "yes"')
    assert any(item.check == "isolator-rating" and item.read for item in left)


@pytest.mark.parametrize(
    ("tested", "expected", "priority"),
    [("yes", "adequate", None), ("no", "inadequate", "A"), ("?", "undetermined", "B")],
)
def test_isolator_tested(tmp_path, tested, expected, priority):
    found, _ = ask(tmp_path, f'isolator = "yes"\nisolator_tested = "{tested}"')
    (one,) = [f for f in found if f.check == "isolator-test"]
    assert (one.verdict, one.priority) == (expected, priority)
    assert "cut the safety earth" in one.statement


# Two diodes each way block up to 1.0 to 1.2 V (trade articles): zinc to bronze is held, zinc to
# passive stainless nearly so, magnesium is not.
@pytest.mark.parametrize(
    ("material", "block", "expected"),
    [
        ("zinc", "1.4 V", "adequate"),
        ("zinc", "?", "undetermined"),
        ("magnesium", "?", "undetermined"),
        ("magnesium", "0.8 V", "inadequate"),
    ],
)
def test_block_against_the_couples(tmp_path, material, block, expected):
    inlet = f'isolator = "yes"\nisolator_block = "{block}"'
    (found,), _ = ask(tmp_path, inlet, material=material, module=isolator_block)
    assert found.verdict == expected
    assert any("graphite beyond would stand" in note for note in found.notes)


def test_zinc_to_bronze_is_blocked_and_magnesium_to_bronze_is_not(tmp_path):
    for material, left in (("zinc", 0.0), ("magnesium", 0.39)):
        (found,), _ = ask(tmp_path, 'isolator = "yes"', material=material, module=isolator_block)
        step = next(s for s in found.working if "bronze of other boats" in s.symbol)
        assert step.result == pytest.approx(left, abs=0.005)


# NFPA 303-2021, 30 mA, as republished: a danger to swimmers, not corrosion.
@pytest.mark.parametrize(("leakage", "expected"), [("10 mA", "adequate"), ("31 mA", "inadequate")])
def test_alternating_leakage_is_a_shock_hazard(tmp_path, leakage, expected):
    found, _ = ask(tmp_path, f'leakage = "{leakage}"')
    (one,) = [f for f in found if f.check == "ac-leakage"]
    assert one.verdict == expected
    assert "not a cause of corrosion" in one.statement
    assert one.priority == (None if expected == "adequate" else "A")


def stack(tmp_path, parts, where):
    listed = ", ".join(f'"{part}"' for part in parts)
    more = f'[[terminal]]\nid = "stud"\nstack = [{listed}]\nexposure = "{where}"\n'
    return ask(tmp_path, more=more, module=terminal_stack)


# Indices of MIL-F-14072 groups, as republished; 0.15 V in the open and bilge, 0.25 V indoors.
@pytest.mark.parametrize(
    ("parts", "where", "expected"),
    [
        (("copper", "stainless 316"), "bilge", "marginal"),  # 0.15 V, exactly the limit
        (("copper", "tin"), "bilge", "inadequate"),  # 0.25 to 0.30 V
        (("copper", "aluminium 6061"), "dry", "inadequate"),  # 0.55 V
        (("copper", "copper"), "splash", "adequate"),
        (("tin", "stainless 316", "brass"), "dry", "adequate"),
        (("tin", "brass"), "?", "undetermined"),
    ],
)
def test_stacks_by_index_and_place(tmp_path, parts, where, expected):
    (found,), left = stack(tmp_path, parts, where)
    assert not left
    assert found.verdict == expected


def test_washer_between_is_what_touches(tmp_path):
    (direct,), _ = stack(tmp_path, ("tin", "brass"), "bilge")
    (parted,), _ = stack(tmp_path, ("tin", "stainless 316", "brass"), "bilge")
    assert direct.value.high > parted.value.high


@pytest.mark.parametrize(
    ("parts", "where"),
    [(("copper",), "dry"), (("copper", "unobtainium"), "dry"), (("copper", "tin"), "sea")],
)
def test_stack_that_cannot_be_judged(tmp_path, parts, where):
    found, (item,) = stack(tmp_path, parts, where)
    assert not found
    assert item.reason
