"""What no cable, device or DC load aboard can have is refused in one message, exit 2."""

import pytest
from typer.testing import CliRunner

from elec.cli.app import app
from elec.errors import BoatFileError
from elec.survey import survey
from made import changed, from_text, one

BOAT = """
[boat]
name = "x"
[[bank]]
id = "house"
voltage = "12 V"
[[run]]
id = "r4"
from = "house"
to = "l"
serves = ["l"]
length = "3 m"
size = "6 AWG"
insulation = "105 °C"
protection = "p"
[[dc_load]]
id = "l"
current = "20 A"
[[protection]]
id = "p"
rating = "40 A"
"""


def noted(old, new):
    return from_text(changed(BOAT, (old, new)))


def asked(tmp_path, old, new):
    path = tmp_path / "boat.toml"
    path.write_text(changed(BOAT, (old, new)), encoding="utf-8")
    return CliRunner().invoke(app, ["survey", str(path)])


@pytest.mark.parametrize(
    ("old", "new", "field", "words"),
    [
        ("6 AWG", "99 AWG", "size", "no gauge of cable"),
        ("6 AWG", "7 AWG", "size", "no gauge of cable"),
        ("6 AWG", "500 mm²", "size", "met nowhere aboard"),
        ("6 AWG", "1000 kcmil", "size", "met nowhere aboard"),
        ("6 AWG", "0.1 mm²", "size", "met nowhere aboard"),
        ("105 °C", "50 °C", "insulation", "no cable's insulation"),
        ("105 °C", "50..75 °C", "insulation", "no cable's insulation"),
        ("105 °C", "300 °C", "insulation", "no cable's insulation"),
        ('"40 A"', '"0 A"', "rating", "zero"),
        ('"40 A"', '"40 A"\ninterrupting = "0 A"', "interrupting", "zero"),
        ('"40 A"', '"40 A"\nmarked_voltage = "0 V"', "marked_voltage", "zero"),
        ('"3 m"', '"3 m"\ndrop = "0 %"', "drop", "zero"),
        ('["l"]', '["l", "l"]', "serves", "named twice"),
        ('"20 A"', '"20 A"\npower = "1 kW"', "power", "does not go with"),
        ('"20 A"', '"20 A"\npower = "100 W"', "power", "does not go with"),
    ],
)
def test_each_is_refused_once_with_its_field(old, new, field, words):
    with pytest.raises(BoatFileError) as caught:
        noted(old, new)
    (fault,) = caught.value.faults
    assert fault.field == field
    assert words in str(fault)


def test_an_example_is_as_it_is_typed(tmp_path):
    result = asked(tmp_path, '"3 m"', '"3 m"\nconductors_in_parallel = 0')
    assert "Example: conductors_in_parallel = 2" in str(result.exception)


@pytest.mark.parametrize("power", ["240 W", "200..300 W"])
def test_power_that_goes_with_a_current_is_taken(power):
    noted('"20 A"', f'"20 A"\npower = "{power}"')


def test_a_size_that_no_table_holds_is_told_once_with_what_to_do(tmp_path):
    result = asked(tmp_path, "6 AWG", "300 mm²")
    text = " ".join(result.output.split())
    assert text.count("300 mm² is outside") == 1
    assert "judge it by its maker's ampacity" in text


def test_a_gauge_between_two_listed_takes_the_smaller():
    found = one(survey(noted("6 AWG", "5 AWG"), only=["run-ampacity"]))
    # 33 CFR 183.425, Table 5: 6 AWG at 105 °C, 120 A, in engine spaces 0.85 of it
    assert found.limit.high == pytest.approx(120)
    assert any("next smaller" in note for note in found.notes)


@pytest.mark.parametrize(("size", "code"), [("7 AWG", 2), ("300 mm²", 2), ("5 AWG", 0)])
def test_the_command_names_its_option(size, code):
    asked = ["cable", "--current", "20A", "--length", "3m", "--volts", "12V", "--size", size]
    result = CliRunner().invoke(app, asked)
    if code == 0:
        assert result.exit_code == 0
        return
    from elec.errors import InputError

    error = result.exception
    assert isinstance(error, InputError)
    assert error.message.startswith("--size:")
    assert error.remedy
    assert all(len(line) <= 80 for line in str(error).splitlines())
