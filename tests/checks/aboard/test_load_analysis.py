"""The load analysis and the balance of legs, the sums by hand beside each test."""

import pytest

from made import ac_load, inlet, one, surveyed


def test_leg_balance_names_the_move_and_what_it_gives():
    loads = [ac_load("a", 30, "L1"), ac_load("b", 18, "L1"), ac_load("c", 10, "L2")]
    found = one(surveyed("leg-balance", inlet=[inlet()], ac_load=loads), "leg-balance")
    assert found.verdict == "inadequate"
    assert "'b' to L2" in found.remedy
    assert "30.0 A" in found.remedy


def test_load_analysis_multiplies_connected_by_factor_and_adds_up():
    loads = [
        ac_load("a", 10, "L1", duty="50 %"),
        ac_load("b", 5, "L1-L2", duty="20 %", count=2, when=["shore", "anchor"]),
    ]
    analysis = surveyed(inlet=[inlet()], ac_load=loads).loads
    connected = {row.load: row.connected[1] for row in analysis.rows}
    assert connected == pytest.approx({"a": 1200, "b": 2400})
    (total,) = analysis.totals
    assert total.connected[1] == pytest.approx(3600)
    assert total.demand["shore"][1] == pytest.approx(0.5 * 1200 + 0.2 * 2400)
    assert total.demand["anchor"][1] == pytest.approx(0.2 * 2400)
    assert total.demand["under way"][1] == 0
    assert total.open == 0


def dc(name, **changes):
    return {"id": name, "bank": "b", "when": ["anchor"]} | changes


BANK = {"id": "b", "voltage": "24 V", "chemistry": "agm", "capacity": "100 Ah"}


def test_dc_demand_is_the_mean_of_the_day_where_hours_or_the_day_were_noted():
    loads = [
        dc("toilet", current="18 A", hours="0.15 h"),  # 432 W x 0.15/24 = 2.7 W
        dc("lights", charge_per_day="7 Ah"),  # 7 x 24 / 24 = 7 W
        dc("heater fan", current="1.5 A", hours="12 h", duty="50 %"),  # 36 x 0.5 x 0.5 = 9 W
        dc("instruments", current="0.4 A"),  # 9.6 W, no hours noted: while it runs
    ]
    analysis = surveyed(bank=[BANK], dc_load=loads).loads
    shown = {row.load: row.demand["anchor"][1] for row in analysis.rows}
    assert shown == pytest.approx({"toilet": 2.7, "lights": 7, "heater fan": 9, "instruments": 9.6})
    (total,) = analysis.totals
    assert total.demand["anchor"][1] == pytest.approx(28.3)
    assert (total.open_connected, total.open_demand["anchor"]) == (1, 0)


def test_totals_say_of_each_column_whether_anything_is_missing():
    from elec.report.loads import analysis_rows

    loads = [
        dc("lights", charge_per_day="7 Ah"),  # its power is not known
        dc("pump", current="10 A", hours="2.4 h"),
        dc("radio", current="1 A", when=None),  # not known when it runs
    ]
    loads[2].pop("when")
    rows = analysis_rows(surveyed(bank=[BANK], dc_load=loads[:2]).loads, ["anchor", "shore"])
    assert rows[-1][1:] == ("240+", "", "31", "-")
    rows = analysis_rows(surveyed(bank=[BANK], dc_load=loads).loads, ["anchor", "shore"])
    assert rows[-1][1:] == ("264+", "", "31+", "?")
