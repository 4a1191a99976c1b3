"""AC runs and shore cords: whose limit of drop counts, and what a cord in mm² carries.

Figures: IEC 60228 class 5 resistance at 20 °C; NFPA 70 advice on drop (3 % on a branch).
"""

import pytest

from elec.boat.read import from_data
from elec.survey import survey


def surveyed(*only, basis="iso", **lists):
    boat = {"name": "Test", "basis": basis, "length": "12 m"}
    return survey(from_data({"boat": boat, **lists}, "test"), only=only)


def one(result, words=""):
    found = [f for f in result.findings if words in f.statement]
    assert len(found) == 1, [f.statement for f in result.findings]
    return found[0]


# -- drop of an AC run: the maker's limit and the advice on land ----------------------------------


def drop_of(**changes):
    run = {
        "id": "r",
        "voltage": "230 V",
        "current": "16 A",
        "length": "20 m",
        "size": "2.5 mm²",
    } | changes
    return one(surveyed("run-drop", run=[run]))


@pytest.mark.parametrize(
    ("length", "maker", "verdict", "priority", "note"),
    [
        # 2 x 16 A x 20 m x 7.98 ohm/km = 5.11 V = 2.22 % of 230 V (30 m: 3.33 %, 40 m: 4.44 %)
        ("20 m", None, "adequate", None, None),
        ("20 m", "2 %", "inadequate", "B", "advice on land allows 3.00 %, and by that the verdict "
         "would be adequate"),
        ("30 m", "5 %", "inadequate", "C", "its maker allows 5.00 %, and by that the verdict would "
         "be adequate"),
        ("40 m", "4 %", "inadequate", "C", "would be the same"),
        ("20 m", "5 %", "adequate", None, "would be the same"),
        ("20 m", "3 %", "adequate", None, None),
        ("20 m", "2..5 %", "undetermined", "B", "advice on land allows 3.00 %"),
    ],
)  # fmt: skip
def test_of_the_makers_drop_and_the_advice_the_stricter_is_followed(
    length, maker, verdict, priority, note
):
    found = drop_of(length=length, **({"drop": maker} if maker else {}))
    assert (found.verdict, found.priority) == (verdict, priority)
    assert found.value.best == pytest.approx(2 * 16 * float(length[:2]) * 0.00798 / 230, rel=1e-6)
    said = [n for n in found.notes if "stricter" in n]
    assert [note in n for n in said] == ([True] if note else [])


def test_both_limits_stand_in_the_statement_and_both_sources_are_named():
    found = drop_of(drop="2 %")
    assert "2.00 % is allowed (by its maker; advice on land is 3.00 %)" in found.statement
    assert "voltage_drop_limits" in {source.table for source in found.sources}


def test_the_voltage_and_the_load_it_is_judged_at_are_said():
    assert "230 V at its noted current" in drop_of().statement
    assert "at its noted current in 'shore'" in drop_of(when=["shore"]).statement
    assert any("lowest of the 220..240 V" in n for n in drop_of(voltage="220..240 V").notes)
    inlet = {"id": "i", "rating": "32 A", "service": "230 V"}
    loads = [{"id": n, "inlet": "i", "current": "5 A", "volts": "230 V"} for n in ("a", "b")]
    run = {"id": "r", "from": "i", "serves": ["a", "b"], "length": "10 m", "size": "2.5 mm²"}
    found = one(surveyed("run-drop", inlet=[inlet], ac_load=loads, run=[run]))
    assert "with all that it feeds on at once" in found.statement
