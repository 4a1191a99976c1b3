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
