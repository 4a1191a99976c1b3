"""AC runs and shore cords: whose limit of drop counts, and what a cord in mm² carries.

Figures: IEC 60228 class 5 resistance at 20 °C; NFPA 70 advice on drop (3 % on a branch).
"""

import pytest

from elec.published import table
from made import one, surveyed

# -- drop of an AC run: the maker's limit and the advice on land ----------------------------------


def drop_of(**changes):
    run = {
        "id": "r",
        "voltage": "230 V",
        "current": "16 A",
        "length": "20 m",
        "size": "2.5 mm²",
    } | changes
    return one(surveyed("run-drop", basis="iso", run=[run]))


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
    ranged = drop_of(voltage="220..240 V")
    assert "of 220 to 240 V" in ranged.statement
    assert ranged.value.high == pytest.approx(drop_of(voltage="220 V").value.best)
    inlet = {"id": "i", "rating": "32 A", "service": "230 V"}
    loads = [{"id": n, "inlet": "i", "current": "5 A", "volts": "230 V"} for n in ("a", "b")]
    run = {"id": "r", "from": "i", "serves": ["a", "b"], "length": "10 m", "size": "2.5 mm²"}
    found = one(surveyed("run-drop", basis="iso", inlet=[inlet], ac_load=loads, run=[run]))
    assert "with all that it feeds on at once" in found.statement


# -- cords in mm²: DIN VDE 0298-4:2013-06, Table 11, as two cable makers republish it --------------


def cord_of(size, amps="14 A", service="230 V", **changes):
    inlet = {"id": "i", "rating": "125 A", "service": service, "pedestal": "32 A"}
    loads = [{"id": "a", "inlet": "i", "current": amps, "when": ["shore"], "use": "always"}]
    if service != "230 V":
        loads[0] |= {"legs": "all", "volts": "400 V"}
    cord = {"id": "c", "inlet": "i", "size": size} | changes
    return surveyed("cord", basis="iso", inlet=[inlet], cord=[cord], ac_load=loads)


def ampacity(*given, **changes):
    return one(cord_of(*given, **changes), part="ampacity")


@pytest.mark.parametrize(
    ("size", "legend", "service", "low", "high"),
    [
        ("2.5 mm²", "H07RN-F", "230 V", 26, 26),
        ("2.5 mm²", "H05VV-F", "230 V", 25, 25),
        ("2.5 mm²", "H05VV-F", "230/400 V three-phase", 20, 20),  # three loaded: the lower column
        ("2.5 mm²", "H07RN-F", "230/400 V three-phase", 26, 26),
        ("2.5 mm²", None, "230 V", 25, 26),
        ("1.5 mm²", None, "230 V", 16, 18),
        ("6 mm²", None, "230/400 V three-phase", 44, 44),  # printed for the heavy kind only
        ("16 mm²", None, "230 V", 82, 82),
        ("95 mm²", "H07RN-F 5G95", "230/400 V three-phase", 250, 250),
    ],
)
def test_a_metric_cord_carries_what_the_table_prints(size, legend, service, low, high):
    found = ampacity(size, service=service, **({"legend": legend} if legend else {}))
    assert (found.limit.low, found.limit.high) == (low, high)
    assert "flexible_cord_ampacity_mm2" in {source.table for source in found.sources}


@pytest.mark.parametrize(
    ("amps", "verdict"), [("22 A", "adequate"), ("25 A", "marginal"), ("25.5 A", "undetermined"),
                          ("26.1 A", "inadequate")]
)  # fmt: skip
def test_between_the_two_kinds_of_cord_the_legend_decides(amps, verdict):
    found = ampacity("2.5 mm²", amps)
    assert found.verdict == verdict
    if verdict == "undetermined":
        assert "heavy kind (H07RN-F)" in found.turns_on[0].adequate_if
        assert "legend printed on 'c'" in found.turns_on[0].read
    if verdict == "inadequate":
        assert "4 mm² or larger" in found.remedy  # 34 A


def test_a_metric_cord_of_unknown_size_may_be_any_listed():
    found = ampacity("?")
    assert found.verdict == "undetermined"
    assert (found.limit.low, found.limit.high) == (3, 250)
    assert any("1.5 mm²" in (t.adequate_if or "") for t in found.turns_on)


def test_a_size_outside_the_table_is_said_and_its_marked_rating_serves():
    result = cord_of("120 mm²")
    assert any("0.5 to 95 mm²" in item.reason for item in result.not_checked)
    assert ampacity("120 mm²", rating="125 A").limit.best == 125
    assert ampacity("2.5 mm²", rating="16 A").limit.best == 16


def test_the_size_alone_says_which_table_holds():
    # NFPA 70-2017, Table 400.5(A)(1): 10 AWG, two loaded: 30 A
    assert ampacity("10 AWG").limit.best == 30


def test_a_larger_cord_carries_less_for_each_mm2():
    # heat leaves by the surface, which grows less than the area: I / area falls
    cords = table("flexible_cord_ampacity_mm2")
    heavy, area = cords.numbers("heavy_A")[1:], cords.numbers("area_mm2")[1:]
    assert all(heavy[1:] > heavy[:-1])
    assert all(heavy[1:] / area[1:] < heavy[:-1] / area[:-1])


def test_an_ac_run_to_or_from_a_panel_is_at_the_voltage_of_its_inlet():
    lies = {"size": "10 AWG", "length": "6 m", "insulation": "75 °C"}
    result = surveyed(
        "run-drop",
        "run-size",
        basis="us",
        inlet=[{"id": "in1", "rating": "30 A", "service": "120 V"}],
        bus=[{"id": "ac panel"}, {"id": "galley"}],
        ac_load=[{"id": "heater", "power": "1500 W", "inlet": "in1"}],
        run=[
            {"id": "inlet feed", "from": "in1", "to": "ac panel", **lies},
            {"id": "galley feed", "from": "ac panel", "to": "galley", **lies},
            {"id": "heater run", "from": "galley", "to": "heater", "serves": ["heater"], **lies},
        ],
    )
    sized = {found.subject for found in result.findings if found.check == "run-size"}
    assert sized == {"inlet feed", "galley feed", "heater run"}
    (drop,) = [found for found in result.findings if found.check == "run-drop"]
    assert (drop.subject, "of 120 V" in drop.statement) == ("heater run", True)
    assert not any("voltage" in item.reason for item in result.not_checked)
