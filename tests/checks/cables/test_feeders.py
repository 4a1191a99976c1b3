"""A feeder of a bus carries what hangs on it; what needs no load is judged without one."""

import pytest

from elec.survey import survey
from made import boat_of, one

ROUTE = {"insulation": "105 °C", "engine_space": "no", "bundled": 2, "sheathed": "no"}


def cable(name, start, end, size, length="2 m", **more):
    return {"id": name, "from": start, "to": end, "size": size, "length": length, **ROUTE, **more}


def boat(*, when=("manoeuvring", "manoeuvring"), feed=None, **lists):
    loads = [
        {"id": "windlass", "current": "90 A"} | ({"when": [when[0]]} if when[0] else {}),
        {"id": "thruster", "current": "200 A"} | ({"when": [when[1]]} if when[1] else {}),
    ]
    runs = [
        cable("bow feed", "house", "bow box", "2/0 AWG", "9 m", **(feed or {})),
        cable("windlass run", "bow box", "windlass", "2 AWG", serves=["windlass"]),
        cable("thruster run", "bow box", "thruster", "1/0 AWG", serves=["thruster"]),
    ]
    given = {
        "bank": [{"id": "house", "voltage": "12 V"}],
        "bus": [{"id": "bow box"}],
        "dc_load": loads + lists.pop("dc_load", []),
        "run": runs + lists.pop("run", []),
    }
    return boat_of(odd=True, **given | lists)


def of(boat, check, run="bow feed"):
    return one(survey(boat, only=[check]), subject=run)


def test_its_current_is_the_sum_of_what_hangs_on_it():
    # 90 A and 200 A on 2/0 AWG, 330 A at 105 °C (33 CFR 183.425, Table 5)
    heat = of(boat(), "run-ampacity")
    assert (heat.value.low, heat.value.high, heat.limit.low) == (290, 290, 330)
    assert heat.verdict == "adequate"
    # ABYC E-11 as republished: 10.75 x 290 A x 59.06 ft / 133,100 cmil of 12 V
    drop = of(boat(), "run-drop")
    assert drop.value.best == pytest.approx(10.75 * 290 * 18 / 0.3048 / 133100 / 12, rel=1e-3)
    assert drop.verdict == "inadequate"


def test_what_is_not_noted_to_run_together_may_or_may_not():
    for when in ((None, None), ("anchor", "manoeuvring")):
        heat = of(boat(when=when), "run-ampacity")
        assert (heat.value.low, heat.value.high) == (200, 290)


def test_a_feeder_below_a_feeder_and_what_it_serves_itself_count():
    lamps = {"id": "lamps", "current": "50 A", "when": ["manoeuvring"]}
    pump = {"id": "pump", "current": "15 A", "when": ["manoeuvring"]}
    deeper = [
        cable("locker feed", "bow box", "locker", "6 AWG"),
        cable("pump run", "locker", "pump", "10 AWG", serves=["pump"]),
    ]
    bus = [{"id": "bow box"}, {"id": "locker"}]
    found = boat(feed={"serves": ["lamps"]}, dc_load=[lamps, pump], run=deeper, bus=bus)
    assert of(found, "run-ampacity").value.best == 90 + 200 + 50 + 15
    assert of(found, "run-ampacity").verdict == "inadequate"
    assert of(found, "run-ampacity", "locker feed").value.best == 15


def test_a_bus_fed_twice_is_left_to_the_network_but_size_and_fuse_are_judged():
    found = boat(
        feed={"protection": "main"},
        bank=[{"id": "house", "voltage": "12 V"}, {"id": "other", "voltage": "12.0 V"}],
        run=[cable("second", "other", "bow box", "2/0 AWG")],
        protection=[{"id": "main", "rating": "600 A"}],
    )
    (skipped,) = [
        n for n in survey(found, only=("run-ampacity",)).not_checked if n.subject == "bow feed"
    ]
    assert "fed by 'second' too" in skipped.reason
    assert of(found, "run-size").verdict == "adequate"
    # 33 CFR 183.455(c)(1): 150 % of 330 A is 495 A
    assert of(found, "run-protection").verdict == "inadequate"


def test_size_and_fuse_of_a_run_whose_load_is_not_known():
    found = boat(
        run=[cable("spare", "house", None, "18 AWG", protection="p")],
        protection=[{"id": "p", "rating": "100 A"}],
    )
    # 33 CFR 183.425(e): 16 AWG alone; 33 CFR 183.455(c)(1) with Table 5: 1.5 x 20 A
    assert of(found, "run-size", "spare").verdict == "inadequate"
    assert of(found, "run-protection", "spare").verdict == "inadequate"


@pytest.mark.parametrize("size", ["2/0 AWG", None])
def test_the_command_takes_a_feeder(size, tmp_path):
    from typer.testing import CliRunner

    from elec.cli.app import app

    path = tmp_path / "boat.toml"
    path.write_text(
        """
[boat]
name = "Test"
[[bank]]
id = "house"
voltage = "12 V"
[[bus]]
id = "bow box"
[[run]]
id = "bow feed"
from = "house"
to = "bow box"
size = "2/0 AWG"
length = "9 m"
insulation = "105 °C"
[[run]]
id = "thruster run"
from = "bow box"
to = "thruster"
serves = ["thruster"]
[[dc_load]]
id = "thruster"
current = "200 A"
""",
        encoding="utf-8",
    )
    asked = ["cable", "--boat", str(path), "--run", "bow feed"]
    result = CliRunner().invoke(app, [*asked, *(["--size", size] if size else [])])
    assert result.exit_code in (0, 1, 3), result.output
    assert "200 A at 12 V" in result.output


@pytest.mark.parametrize(
    "ends",
    [
        {"from": "windlass", "to": "house"},
        {"from": "house", "to": "windlass"},
        {"from": "bow box", "to": "house"},
        {"from": "house"},
        {"to": "house"},
    ],
)
def test_a_return_is_judged_whichever_way_it_is_drawn(ends):
    # 90 A and 200 A come back by 2 AWG, 210 A at 105 °C (33 CFR 183.425, Table 5)
    back = {"id": "back", "size": "2 AWG", "length": "9 m", **ROUTE, **ends}
    heat = of(boat(feed={"return_by": "back"}, run=[back]), "run-ampacity", "back")
    assert (heat.value.low, heat.value.high, heat.limit.low) == (290, 290, 210)
    assert heat.verdict == "inadequate"


def test_the_drop_of_a_return_is_that_of_one_conductor(tmp_path):
    back = {"id": "back", "from": "house", "size": "2 AWG", "length": "9 m", **ROUTE}
    drop = of(boat(feed={"return_by": "back"}, run=[back]), "run-drop", "back")
    # ABYC E-11 as republished: 10.75 x 290 A x 29.53 ft / 66,360 cmil of 12 V
    assert drop.value.best == pytest.approx(10.75 * 290 * 9 / 0.3048 / 66360 / 12, rel=1e-3)
    assert "9.00 m of conductor" in drop.statement
    assert any("return of 'bow feed'" in note for note in drop.notes)
