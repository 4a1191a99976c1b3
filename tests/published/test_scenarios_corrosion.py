"""The metals of two invented boats, worked through by hand; the survey must reproduce them.

The boats are invented (examples/ostrelline.toml, examples/vindle_sorrel.toml) and the arithmetic
was done apart from this package. The ranges are those of one trade guidance page and of ABYC E-2,
the latter from memory.
"""

import pytest

from elec.survey import survey
from made import example, one, step

ASKED = (
    "reading",
    "shore-shift",
    "shore-path",
    "isolator-rating",
    "isolator-test",
    "anode",
    "metal-couple",
)


# -- Ostrelline, 15 ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("subject", "volts", "short_of_E2", "short_of_page"),
    [("bonding, unplugged", -0.41, 140, 340), ("bonding, plugged in", -0.33, 220, 420)],
)
def test_a15_under_protected_by_both_published_ranges(
    a, subject, volts, short_of_E2, short_of_page
):
    found = one(a, "reading", subject)
    assert step(found, "E") == pytest.approx(volts, abs=1e-9)
    # -0.55 to -1.10 V (ABYC E-2, from memory) and -0.75 to -1.00 V (a trade guidance page)
    assert step(found, "short(ABYC E-2)") == pytest.approx(short_of_E2, abs=0.5)
    assert step(found, "short(trade guidance page)") == pytest.approx(short_of_page, abs=0.5)
    assert found.verdict == "inadequate"
    assert found.priority == "B"
    assert "under-protected by every one" in found.statement
    assert found.provisional


def test_a15_shift_of_80_mV_shows_a_shore_path(a):
    found = one(a, "shore-shift", "bonding, plugged in")
    assert step(found, "shift") == pytest.approx(80, abs=0.5)
    assert found.verdict == "inadequate"
    assert "80 mV toward noble: the shore earth conducts" in found.statement
    assert "'climate'" in found.remedy


def test_a15_isolator_of_30_A_on_a_circuit_of_50_A(a):
    found = one(a, "isolator-rating", "house")
    assert (found.value.best, found.limit.best) == (30, 50)
    assert found.verdict == "inadequate"


def test_a15_one_isolator_does_not_serve_two_inlets(a):
    house = one(a, "shore-path", "house")
    assert any("parts nothing while 'climate'" in note for note in house.notes)
    assert one(a, "shore-path", "climate").verdict == "undetermined"
    seen = survey(example("ostrelline", ('isolator = "?"', 'isolator = "no"')), only=ASKED)
    assert one(seen, "shore-path", "climate").verdict == "inadequate"


def test_a15_anodes_to_replace(a):
    found = one(a, "anode", "hull plates")
    assert (found.value.best, found.verdict, found.priority) == (0.80, "inadequate", "B")


# -- Vindle Sorrel, 13 -------------------------------------------------------------------------


def test_b13_shift_of_120_mV_toward_noble(b):
    found = one(b, "shore-shift", "saildrive, plugged in")
    assert step(found, "shift") == pytest.approx(120, abs=0.5)
    assert "120 mV toward noble" in found.statement
    assert (found.verdict, found.priority) == ("inadequate", "B")


def test_b13_plugged_in_is_under_protected_on_both_ranges(b):
    found = one(b, "reading", "saildrive, plugged in")
    assert step(found, "E") == pytest.approx(-0.82, abs=1e-9)
    assert step(found, "short(trade guidance page)") > 0  # -0.90 to -1.05 V, a trade guidance page
    assert step(found, "short(ABYC E-2)") > 0  # -0.95 to -1.10 V, ABYC E-2 from memory
    assert found.verdict == "inadequate"


def test_b13_unplugged_passes_one_and_misses_the_other_by_10_mV(b):
    found = one(b, "reading", "saildrive, unplugged")
    assert step(found, "short(trade guidance page)") < 0
    assert step(found, "beyond(trade guidance page)") < 0
    assert step(found, "short(ABYC E-2)") == pytest.approx(10, abs=0.5)
    assert "10 mV short of it, which is inside the error of the cell" in found.statement
    assert found.verdict == "undetermined"


def test_b13_unmarked_brass_cannot_be_called_safe(b):
    found = one(b, "metal-couple", "valves and propeller")
    assert found.verdict == "undetermined"
    assert any("alloy mark on the body" in turn.read for turn in found.turns_on)
    assert any("loses its zinc" in note for note in found.notes)


def test_b13_isolator_or_transformer(b):
    assert one(b, "shore-path", "inlet").verdict == "undetermined"
