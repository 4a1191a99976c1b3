"""Conductors in parallel: they share alike, and none is below the least size for that."""

import json

import pytest
from typer.testing import CliRunner

from elec.cli.app import app
from made import judged, run


def of(check, **changes):
    known = {"voltage": "12 V", "current": "400 A", "length": "6 m", "size": "2/0 AWG"}
    known |= {"sheathed": "no", "protection": "p"}
    return judged(check, run=[run(**known | changes)], protection=[{"id": "p", "rating": "600 A"}])


def test_two_carry_twice_what_one_does_and_drop_half():
    # 2/0 AWG at 105 °C: 330 A (33 CFR 183.425, Table 5); Kirchhoff for two alike
    one, two = (of("run-ampacity", conductors_in_parallel=n) for n in (1, 2))
    assert (one.limit.best, two.limit.best) == (330, 660)
    assert (one.verdict, two.verdict) == ("inadequate", "adequate")
    assert "2 x 2/0 AWG in parallel" in two.statement
    one, two = (of("run-drop", conductors_in_parallel=n) for n in (1, 2))
    assert two.value.best == pytest.approx(one.value.best / 2)


def test_a_device_may_be_rated_by_all_of_them():
    # 33 CFR 183.455(c)(1): 1.5 x 330 A and 1.5 x 660 A
    one, two = (of("run-protection", conductors_in_parallel=n) for n in (1, 2))
    assert (one.limit.best, two.limit.best) == pytest.approx((495, 990))
    assert (one.verdict, two.verdict) == ("inadequate", "adequate")


@pytest.mark.parametrize(
    ("size", "verdict"),
    [("1 AWG", "inadequate"), ("1/0 AWG", "marginal"), ("2/0 AWG", "adequate")],
)
def test_least_size_in_parallel(size, verdict):
    # NFPA 70 (2017), 310.10(H)(1): 1/0 AWG and larger
    found = of("run-size", size=size, conductors_in_parallel=2)
    assert found.verdict == verdict
    assert any("NFPA 70" in source.edition + source.clause for source in found.sources)
    assert of("run-size", size="1 AWG").verdict == "adequate"


def test_each_of_them_is_warmed_alike_by_a_short_time_load():
    # half the current in each of two: the heat of one with half the current
    half = of("run-ampacity", current="250 A", on_time="2 min", duty="20 %")
    two = of(
        "run-ampacity", current="500 A", conductors_in_parallel=2, on_time="2 min", duty="20 %"
    )
    assert two.margin.low == pytest.approx(half.margin.low)


@pytest.mark.parametrize("voltage", ["12 V", "24 V"])
def test_the_remedy_names_two_where_no_single_size_is_enough(voltage):
    found = of("run-ampacity", current="600 A", length="1 m", voltage=voltage)
    # 4/0 AWG at 105 °C carries 445 A; two of 2/0 660 A, two of 1/0 570 A (Table 5)
    assert "2 x 2/0 AWG in parallel" in found.remedy
    assert "1 x" not in found.remedy


def asked(*options):
    return CliRunner().invoke(
        app, ["cable", "--current", "600A", "--volts", "12V", "--insulation", "105C", *options]
    )


def test_the_command_sizes_them():
    result = asked("--length", "1m", "--parallel", "2", "--json")
    document = json.loads(result.output)
    assert document["chosen"]["size"] == "2/0 AWG"
    assert document["conductors_in_parallel"] == 2
    assert document["to_fit"]["conductor_m"] == pytest.approx(4)
    small = next(one for one in document["candidates"] if one["size"] == "1 AWG")
    assert "least size" in small["fails_on"]


def test_the_command_names_two_where_no_single_size_holds():
    result = asked("--length", "1m")
    assert result.exit_code == 1
    assert "2 x 2/0 AWG in parallel" in " ".join(result.output.split())
