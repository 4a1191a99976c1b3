"""Whether a run carries direct current follows from what feeds it; a load may draw anything."""

import pytest

from made import run, surveyed

LITHIUM = {
    "id": "house",
    "voltage": "51.2 V",
    "chemistry": "lfp",
    "capacity": "100 Ah",
    "short_circuit": "4 kA",
}
FUSE = {
    "id": "f",
    "device": "fuse",
    "family": "class T",
    "rating": "200 A",
    "distance": "5 in",
    "interrupting": "2 kA",
}
DC_CHECKS = ("run-drop", "protection-place", "interrupting", "smallest-fault")


def thruster(**changes):
    known = {"id": "run", "serves": ["thruster"], "length": "12 m", "size": "2 AWG"}
    known |= {"voltage": None, "current": None, "circuit": None, "protection": "f"}
    return run(**known | {"from": "house"} | changes)


def lithium(*only, bank=LITHIUM, **changes):
    load = {"id": "thruster", "kind": "bow thruster", "current": "150 A", "bank": "house"}
    lists = {"bank": [bank], "dc_load": [load], "protection": [FUSE], "run": [thruster(**changes)]}
    return surveyed(*only, **lists)


@pytest.mark.parametrize("volts", [None, "51.2 V", "48 V", "57.6 V"])
@pytest.mark.parametrize("start", ["house", None])
def test_a_bank_above_50_V_feeds_direct_current(volts, start):
    # ABYC E-11: 10.75 x 150 A x 24 m / 66,360 cmil (NFPA 70, chapter 9, table 8) = 1.913 V; 10 %
    result = lithium(*DC_CHECKS, voltage=volts, **{"from": start})
    found = {one.check: one for one in result.findings}
    assert found["run-drop"].limit.high == pytest.approx(0.10)
    nominal = float((volts or "51.2 V").split()[0])
    drop_V = 10.75 * 150 * (24 / 0.3048) / 66360
    assert found["run-drop"].value.high == pytest.approx(drop_V / nominal, rel=1e-3)
    assert found["interrupting"].verdict == "inadequate"  # 4 kA at least on 2 kA
    assert "protection-place" in found
    assert not any("alternating" in one.reason for one in result.not_checked)


def test_a_bus_carries_what_feeds_it():
    inlet = {"id": "shore", "rating": "30 A", "service": "120 V"}
    bus = {"id": "panel"}
    feeder = {"id": "feeder", "from": "shore", "to": "panel", "length": "2 m", "size": "10 AWG"}
    run = {"id": "run", "from": "panel", "voltage": "120 V", "current": "10 A", "length": "5 m"}
    run |= {"size": "12 AWG", "insulation": "105 °C"}
    lists = {"bank": [LITHIUM], "inlet": [inlet], "bus": [bus]}
    result = surveyed("run-drop", **lists, run=[feeder, run])
    (drop,) = [one for one in result.findings if one.subject == "run"]
    assert "advice on land" in drop.statement


def test_a_run_at_the_volts_of_a_bank_that_nothing_is_known_to_feed_is_asked_about():
    run = {"id": "run", "voltage": "54 V", "current": "10 A", "length": "5 m", "size": "12 AWG"}
    result = surveyed("run-drop", "run-ampacity", bank=[LITHIUM], run=[run])
    assert not result.findings
    assert all("direct or alternating" in one.reason for one in result.not_checked)
    assert result.exit_code == 3
    (found,) = surveyed("run-drop", run=[run | {"voltage": "120 V"}]).findings
    assert "advice on land" in found.statement


def test_what_is_not_judged_of_alternating_current_is_said_in_one_line_for_each_question():
    inlet = {"id": "shore", "rating": "30 A", "service": "120 V"}
    runs = [
        {"id": f"run {n}", "from": "shore", "current": "10 A", "length": "5 m", "size": "12 AWG"}
        | {"protection": f"f{n}"}
        for n in range(2)
    ]
    devices = [{"id": f"f{n}", "device": "breaker", "rating": "15 A"} for n in range(2)]
    asked = ("interrupting", "smallest-fault", "fault-withstand")
    result = surveyed(*asked, inlet=[inlet], run=runs, protection=devices)
    assert [(one.check, one.subject) for one in result.not_checked] == [
        ("interrupting", "f0, f1"),
        ("smallest-fault", "run 0, run 1"),
        ("fault-withstand", "run 0, run 1"),
    ]
    assert all("alternating" in one.reason and not one.read for one in result.not_checked)


# -- what was not noted ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("load", "device", "most_A"),
    [
        # nothing known of the load: anything up to what its fuse carries
        ({}, {"rating": "350 A"}, 350),
        ({}, {"rating": "15 A"}, 50),
        ({}, {"rating": "?"}, 500),
        ({}, None, 500),
        ({"current": "60 A"}, {"rating": "350 A"}, 60),
        ({"power": "1200 W"}, {"rating": "350 A"}, 50),
    ],
)
def test_a_load_of_which_nothing_is_known_draws_up_to_its_fuse(load, device, most_A):
    bank = LITHIUM | {"voltage": "24 V", "chemistry": "agm"}
    lists = {"bank": [bank], "dc_load": [{"id": "thruster"} | load]}
    lists["protection"] = [FUSE | (device or {})]
    run = thruster(size="2/0 AWG", insulation="75 °C", protection=device and "f")
    result = surveyed("run-ampacity", **lists, run=[run])
    (found,) = result.findings
    assert found.value.high == pytest.approx(most_A)
    # 33 CFR 183.425, Table 5: 2/0 AWG at 75 °C, 265 A
    assert (found.verdict == "undetermined") is (most_A > 265)


def test_one_run_that_cannot_be_worked_out_does_not_take_the_others_with_it():
    runs = [
        thruster(id="first", on_time="0 min", serves=None, current="20 A", size="6 AWG"),
        thruster(id="second", serves=None, current="200 A", size="16 AWG"),
    ]
    lists = {"bank": [LITHIUM], "protection": [FUSE], "run": runs}
    result = surveyed("run-ampacity", "run-drop", odd=True, **lists)
    verdicts = {(one.check, one.subject): one.verdict for one in result.findings}
    assert verdicts[("run-ampacity", "second")] == "inadequate"
    assert ("run-drop", "first") in verdicts
    assert result.exit_code == 1
