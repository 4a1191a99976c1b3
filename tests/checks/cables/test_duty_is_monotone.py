"""A noted duty: more current or less copper never comes out better, cooler or with less drop."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from elec.checks.sizing.cable_size import size_cable
from elec.cli.app import app
from elec.cli.cable import Asked, described

ORDER = ["adequate", "marginal", "undetermined", "inadequate"]


def sized(current, **more):
    given_ = {"length": "3m", "volts": "24V", "duty": "2 min on", "insulation": "105C"} | more
    cable, others = described(Asked(current=f"{current}A", **given_))
    return size_cable(cable, wire="awg", **others)


def test_more_current_is_no_better_and_no_cooler():
    found = [sized(amps, size="2 AWG").judged for amps in range(150, 320, 5)]
    places = [ORDER.index(one.verdict) for one in found]
    assert places == sorted(places)
    for name in ("conductor_temp_C", "drop_physical_V"):
        values = [getattr(one, name) for one in found]
        assert values == sorted(values)


@pytest.mark.parametrize("duty", ["2 min on", "2 min on 10 min off", "35 %", "20 min on"])
@given(amps=st.integers(20, 500))
@settings(max_examples=8, deadline=None)
def test_thicker_cable_is_no_worse_and_no_hotter(duty, amps):
    found = sized(amps, duty=duty).candidates
    heat = [next(f for f in one.findings if f.check == "run-ampacity") for one in found]
    margins = [one.margin.low for one in heat]
    assert margins == sorted(margins)
    warm = [one.conductor_temp_C for one in found if one.conductor_temp_C is not None]
    assert warm == sorted(warm, reverse=True)


@given(amps=st.integers(20, 400), percent=st.integers(5, 100))
@settings(max_examples=25, deadline=None)
def test_what_holds_for_ever_holds_for_any_duty(amps, percent):
    for duty in (f"{percent} %", "3 min on", f"{percent} s on 60 s off"):
        steady, timed = (sized(amps, duty=one).candidates for one in (None, duty))
        for one, other in zip(steady, timed, strict=True):
            assert ORDER.index(other.verdict) <= ORDER.index(one.verdict)


def test_the_current_that_a_size_serves_is_where_it_stops_holding():
    # at 24 V, 2 AWG: by the largest listed device within 1.5 x 210 A (33 CFR 183.455(c)(1) and
    # 183.425, Table 5; NFPA 70, 240.6(A)), short of what 2 min on would let through
    for amps in (205, 215, 250):
        found = sized(amps, size="2 AWG")
        assert found.most_current_A == pytest.approx(300)
    # by the heat itself, with one device for all: S2 of 20 min
    most = sized(100, duty="20 min on", size="2 AWG", fuse="100A").most_current_A
    for factor, holds in ((0.999, True), (1.001, False)):
        heat = sized(most * factor, duty="20 min on", size="2 AWG").judged.findings[0]
        assert (heat.margin.low >= 0) is holds


def test_a_run_adequate_as_continuous_is_said_to_be():
    arguments = ["cable", "--current", "100A", "--length", "3m", "--volts", "24V", "--json"]
    result = CliRunner().invoke(
        app, [*arguments, "--duty", "2 min on", "--insulation", "105C", "--size", "2 AWG"]
    )
    heat = json.loads(result.output)["findings"][0]
    assert any("continuous load it would be adequate" in note for note in heat["notes"])
