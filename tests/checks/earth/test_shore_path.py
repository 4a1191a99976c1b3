"""What stands in the shore earth: isolators, transformers, several inlets, leakage; terminals."""

import pytest

from elec.survey import survey
from made import alone, from_text, one, unjudged

EARTH = ("shore-path", "isolator-rating", "isolator-test", "ac-leakage")

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


def ask(inlet="", *, material="zinc", more="", only=EARTH):
    text = BOAT.replace("INLET", inlet).replace("MATERIAL", material)
    return survey(from_text(text + more), only=only)


@pytest.mark.parametrize(
    ("isolator", "expected"), [("yes", "adequate"), ("no", "inadequate"), ("?", "undetermined")]
)
def test_isolator_seen_or_not(isolator, expected):
    found = one(ask(f'isolator = "{isolator}"'), "shore-path", "one")
    assert found.verdict == expected


@pytest.mark.parametrize(
    ("isolator", "expected", "open_on"),
    [
        ("yes", "adequate", 0),
        ("no", "undetermined", 1),
        ("?", "undetermined", 3),
    ],
)
def test_metal_not_noted_is_not_metal_absent(isolator, expected, open_on):
    text = BOAT.partition("[[anode]]")[0].replace("INLET", f'isolator = "{isolator}"')
    transformer = '[[transformer]]\nid = "t"\ninlet = "one"\nisolating = "ISO"\n'
    text += transformer.replace("ISO", "no" if isolator == "no" else "?")
    found = one(survey(from_text(text), only=["shore-path"]))
    assert found.verdict == expected
    assert len(found.turns_on) == open_on
    if open_on == 1:
        assert found.turns_on[0].adequate_if == "none is"
        assert found.turns_on[0].inadequate_if == "metal is in the water"


def test_isolating_transformer_parts_the_path():
    transformer = '[[transformer]]\nid = "t"\ninlet = "one"\nisolating = "ISO"\n'
    for isolating, expected in (("yes", "adequate"), ("no", "inadequate"), ("?", "undetermined")):
        more = transformer.replace("ISO", isolating)
        found = one(ask('isolator = "no"', more=more), "shore-path", "one")
        assert found.verdict == expected


def test_one_isolator_of_two_inlets():
    more = '[[inlet]]\nid = "two"\nisolator = "no"\n'
    result = ask('isolator = "yes"', more=more)
    assert one(result, "shore-path", "two").verdict == "inadequate"
    notes = one(result, "shore-path", "one").notes
    assert any("parts nothing while 'two'" in note for note in notes)


# Rated at least as the inlet: ABYC A-28, from memory.
@pytest.mark.parametrize(
    ("rating", "expected"), [("30 A", "inadequate"), ("50 A", "adequate"), ("60 A", "adequate")]
)
def test_isolator_rating(rating, expected):
    result = ask(f'isolator = "yes"\nisolator_rating = "{rating}"')
    assert one(result, "isolator-rating", "one").verdict == expected


def test_isolator_rating_not_read():
    left = ask('isolator = "yes"').not_checked
    assert any(item.check == "isolator-rating" and item.read for item in left)


@pytest.mark.parametrize(
    ("tested", "expected", "priority"),
    [("yes", "adequate", None), ("no", "inadequate", "A"), ("?", "undetermined", "B")],
)
def test_isolator_tested(tested, expected, priority):
    found = one(ask(f'isolator = "yes"\nisolator_tested = "{tested}"'), "isolator-test")
    assert (found.verdict, found.priority) == (expected, priority)
    assert "cut the safety earth" in found.statement


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
def test_block_against_the_couples(material, block, expected):
    inlet = f'isolator = "yes"\nisolator_block = "{block}"'
    found = one(ask(inlet, material=material, only=["isolator-block"]))
    assert found.verdict == expected
    assert any("graphite beyond would stand" in note for note in found.notes)


def test_zinc_to_bronze_is_blocked_and_magnesium_to_bronze_is_not():
    for material, left in (("zinc", 0.0), ("magnesium", 0.39)):
        found = one(ask('isolator = "yes"', material=material, only=["isolator-block"]))
        step = next(s for s in found.working if "bronze of other boats" in s.symbol)
        assert step.result == pytest.approx(left, abs=0.005)


# NFPA 303-2021, 30 mA, as republished: a danger to swimmers, not corrosion.
@pytest.mark.parametrize(("leakage", "expected"), [("10 mA", "adequate"), ("31 mA", "inadequate")])
def test_alternating_leakage_is_a_shock_hazard(leakage, expected):
    found = one(ask(f'leakage = "{leakage}"'), "ac-leakage")
    assert found.verdict == expected
    assert "not a cause of corrosion" in found.statement
    assert found.priority == (None if expected == "adequate" else "A")


def stack(parts, where):
    listed = ", ".join(f'"{part}"' for part in parts)
    more = f'[[terminal]]\nid = "stud"\nstack = [{listed}]\nexposure = "{where}"\n'
    return ask(more=more, only=["terminal-stack"])


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
def test_stacks_by_index_and_place(parts, where, expected):
    assert alone(stack(parts, where)).verdict == expected


def test_washer_between_is_what_touches():
    direct = one(stack(("tin", "brass"), "bilge"))
    parted = one(stack(("tin", "stainless 316", "brass"), "bilge"))
    assert direct.value.high > parted.value.high


@pytest.mark.parametrize(
    ("parts", "where"),
    [(("copper",), "dry"), (("copper", "unobtainium"), "dry"), (("copper", "tin"), "sea")],
)
def test_stack_that_cannot_be_judged(parts, where):
    assert unjudged(stack(parts, where)).reason
