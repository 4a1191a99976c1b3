"""The commands for metals and anodes, as a user runs them: answers, exit codes, bad input."""

import contextlib
import io
import json
import sys
import time
from typing import NamedTuple

import pytest

from elec.cli import main
from elec.cli.metals import compare_metals


class Done(NamedTuple):
    stdout: str
    stderr: str
    returncode: int


def elec(*arguments):
    out, err = io.StringIO(), io.StringIO()
    with (
        pytest.MonkeyPatch.context() as patch,
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        patch.setattr(sys, "argv", ["elec", *map(str, arguments)])
        with pytest.raises(SystemExit) as ended:
            main()
    return Done(out.getvalue(), err.getvalue(), int(ended.value.code or 0))


def document(*arguments):
    done = elec(*arguments, "--json")
    assert not done.stderr, done.stderr
    return json.loads(done.stdout), done.returncode


def value(found, name):
    return next(line for line in found["values"] if line["name"] == name)


# -- metals ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("aluminium 6061", "nab"), 1),
        (("bronze", "316"), 3),
        (("silicon bronze", "copper"), 0),
        (("bronze", "316", "--water", "fresh"), 3),
        (("copper", "stainless 316", "--water", "splash"), 0),
    ],
)
def test_exit_code_of_a_comparison(arguments, code):
    found, returned = document("metals", *arguments)
    assert returned == code
    assert found["water"] in ("sea", "fresh", "splash")


def test_who_wastes_how_sure_how_fast_and_what_to_read():
    out = elec(
        "metals", "aluminium", "nab", "bronze", "--areas", "0.4m2,0.2..0.3m2,~1ft2",
        "--temperature", "15C", "--salinity", "35PSU",
    ).stdout  # fmt: skip
    assert all(len(line) <= 80 for line in out.splitlines())
    out = " ".join(out.split())
    assert "'aluminium' is the one that wastes. Sure" in out
    assert "0.54 to 0.86 V apart" in out
    assert "oxygen at the cathode feeds" in out
    assert "mm (best" in out
    assert "kg (best" in out
    assert "Direction only: no published couple tells" in out
    assert "read 'bronze': the alloy mark" in out
    assert "provisional" in out


def test_rate_grows_with_the_cathode_and_with_the_cold():
    def best(areas, celsius):
        found, _ = document(
            "metals", "mild steel", "nab", "--areas", areas, "--temperature", celsius
        )
        return found["pairs"][0]["rate"]["loss"]["best"]

    assert best("1m2,1m2", "20C") < best("1m2,2m2", "20C")
    assert best("1m2,1m2", "25C") < best("1m2,1m2", "5C")


def test_metals_on_one_bond_balance():
    found, _ = document(
        "metals", "mild steel", "nab", "17-4 PH", "--areas", "2m2,1m2,0.5m2", "--temperature", "20C"
    )
    currents = [one["current"]["best"] for one in found["bond"]["metals"]]
    assert currents[0] > 0 > max(currents[1:])
    # best values are medians, each by itself
    assert sum(currents) == pytest.approx(0.0, abs=0.05 * currents[0])


def test_stray_current_by_metal():
    # Faraday's law, 8760 h a year: 20.77 kg of copper as Cu(I) for each ampere, 9.126 kg of iron.
    found, _ = document("metals", "copper", "mild steel", "--stray", "1A")
    kilograms = [one["kg_per_year"]["high"] for one in found["stray"]]
    assert kilograms == pytest.approx([20.77, 9.126], rel=5e-4)


def test_another_series_is_another_answer_by_itself():
    first, _ = document("metals", "copper", "mild steel", "--basis-series", "NRL")
    second, _ = document("metals", "copper", "mild steel", "--basis-series", "BOAT_CHART")
    assert (first["yardstick"]["cell"], second["yardstick"]["cell"]) == ("SCE", "Ag/AgCl")
    assert first["pairs"][0]["smallest_V"] == pytest.approx(0.25)  # -0.61 and -0.36 V
    assert second["pairs"][0]["smallest_V"] == pytest.approx(0.39)
    # -0.79 and -0.34 V, with the chart's own 0.040 and 0.020 V either way


def test_every_pair_of_the_largest_series_in_a_second():
    began = time.process_time()
    text, _ = compare_metals(
        [],
        areas=None,
        water="sea",
        salinity=None,
        temperature=None,
        series=[],
        stray=None,
        every=True,
        as_json=False,
    )
    assert len([line for line in text.splitlines() if ".." in line]) == 41 * 40 / 2
    # the figure is 1 s; three times that only tells a fault from a busy machine
    assert time.process_time() - began < 3.0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("brnze", "316"), "nearest names known are bronze"),
        (("nab", "zinc", "--areas", "0m2,1m2"), "must be above zero"),
        (("nab", "zinc", "--areas", "1m2"), "1 for 2 metals"),
        (("nab", "zinc", "--areas", "1m2,2"), "has no unit"),
        (("nab", "zinc", "--salinity", "50PSU"), "outside 2 to 42"),
        (("nab", "zinc", "--salinity", "1PSU"), "outside 2 to 42"),
        (("nab", "zinc", "--temperature", "50C"), "outside -2 to 35"),
        (("nab", "zinc", "--basis-series", "NRL,LAQUE_ACA"), "never mixed"),
        (("nab", "zinc", "--basis-series", "NRL", "--basis-series", "E2_RANGES"), "never mixed"),
        (("nab", "zinc", "--basis-series", "NLR"), "Did you mean 'NRL'?"),
        (("nab", "zinc", "--water", "lake"), "Accepted: sea, brackish"),
        (("nab", "zinc", "--water", "dry", "--salinity", "35PSU"), "not for dry"),
        (("nab",), "fewer than two"),
        (("nab", "--all"), "beside names"),
    ],
)
def test_bad_metals_get_one_clear_message(arguments, words):
    done = elec("metals", *arguments)
    assert done.returncode == 2
    assert not done.stdout
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 3  # error, cause, remedy


# -- anode -------------------------------------------------------------------------------------


def test_mass_of_a_coated_steel_hull_for_two_years():
    # DNV-RP-B401 2021 tables: 40 m², temperate, category II, aluminium at 2000 Ah/kg, u = 0.85:
    # 0.400, 0.300 and 0.520 A, and 3.092 kg; zinc at 780 Ah/kg 7.928 kg.
    for material, kilograms in (("aluminium", 3.092), ("zinc", 7.928)):
        found, code = document(
            "anode", "--material", material, "--area", "40m2", "--coating", "II",
            "--temperature", "10C", "--life", "2years",
        )  # fmt: skip
        assert code == 0
        assert value(found, "current when new")["best"] == pytest.approx(0.400, rel=1e-3)
        assert value(found, "current at the end")["best"] == pytest.approx(0.520, rel=1e-3)
        assert value(found, "net mass for the life")["best"] == pytest.approx(kilograms, rel=1e-3)


def test_life_of_five_kilograms_of_zinc():
    # m u capacity / I = 5 x 0.85 x 780 / 0.05 h = 7.57 years of 8760 h.
    found, _ = document(
        "anode", "--material", "zinc", "--current", "0.05A", "--mass", "5kg", "--life", "1year"
    )
    years = value(found, "life of 1")["best"] * 730.5 / 8760
    assert years == pytest.approx(7.57, rel=1e-3)


def test_share_gone_and_months_left():
    found, code = document(
        "anode", "--material", "zinc", "--wasted", "30%", "--after", "6months", "--mass", "5kg"
    )
    assert code == 0
    assert value(found, "left until it is to be renewed")["best"] == pytest.approx(4.0)
    # 1.5 kg x 780 Ah/kg over 6 months of 730.5 h
    shown = value(found, "current that the loss shows")["best"]
    assert shown == pytest.approx(1.5 * 780 / (6 * 730.5), rel=1e-6)


def test_resistance_and_output_new_and_worn():
    # DNV-RP-B401, long slender: 1 m long, 0.05 m radius, 0.25 ohm·m, x 1.3 at 0.20 m: 0.1749 ohm.
    found, code = document(
        "anode", "--material", "zinc", "--mount", "stand-off", "--length", "1m", "--width", "8cm",
        "--thickness", "77.08mm", "--standoff", "20cm", "--resistivity", "0.25 ohm·m",
        "--mass", "20kg", "--core", "10mm", "--area", "40m2", "--coating", "II",
        "--temperature", "10C", "--life", "2years",
    )  # fmt: skip
    assert code == 0
    assert value(found, "resistance of one, new")["best"] == pytest.approx(0.1749, rel=2e-3)
    # 0.20 and 0.23 V by the editions
    output = value(found, "output of one, new")
    assert output["low"] == pytest.approx(0.20 / 0.1749, rel=2e-3)
    assert output["high"] == pytest.approx(0.23 / 0.1749, rel=2e-3)
    assert value(found, "output of one, worn")["high"] < output["high"]
    assert any("-1.03 V" in note and "-1 V" in note for note in found["notes"])


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("zinc", "--water", "fresh", "--wasted", "10%"), 1),
        (("zinc", "--wasted", "60%"), 1),
        (("zinc", "--wasted", "40..60%"), 3),
        (("zinc", "--area", "12m2", "--mass", "5kg"), 3),
        (("zinc", "--area", "12m2", "--mass", "20kg"), 0),
    ],
)
def test_exit_code_of_an_anode(arguments, code):
    assert elec("anode", "--material", *arguments).returncode == code


def test_text_of_an_anode_fits_and_names_its_tables():
    out = elec(
        "anode", "--material", "aluminium", "--surface", "12m2", "--hull", "aluminium",
        "--coating", "painted", "--life", "1year", "--mass", "2kg", "--count", "3",
        "--temperature", "28C",
    ).stdout  # fmt: skip
    assert all(len(line) <= 80 for line in out.splitlines())
    out = " ".join(out.split())
    assert "table anode_materials" in out
    assert "1784 Ah/kg by the ABS loss" in out  # 2000 - 27 (28 - 20)
    assert "by source: 2000 Ah/kg, DNV-RP-B401" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("tin",), "Accepted: zinc, aluminium, magnesium"),
        (("zinc",), "nothing to work out"),
        (("zinc", "--area", "0m2"), "must be above zero"),
        (("zinc", "--area", "12"), "has no unit"),
        (("zinc", "--coating", "II"), "no surface was given"),
        (("zinc", "--area", "9m2", "--coating", "V"), "Accepted"),
        (("zinc", "--area", "9m2", "--hull", "aluminium", "--coating", "I"), "for steel only"),
        (("zinc", "--after", "8months"), "without --wasted"),
        (("zinc", "--length", "1m"), "--mount"),
        (("zinc", "--wasted", "60%", "--after", "0months"), "above zero"),
        (("zinc", "--wasted", "0%", "--after", "8months"), "--wasted: 0% is or may be zero"),
        (("zinc", "--area", "9m2", "--mass", "0kg"), "--mass: 0kg is or may be zero"),
        (("zinc", "--area", "9m2", "--count", "0"), "1 or more"),
    ],
)
def test_bad_anodes_get_one_clear_message(arguments, words):
    done = elec("anode", "--material", *arguments)
    assert done.returncode == 2
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_surface_of_a_barge_by_its_form():
    # IIMS, The Report, June 2021, p. 108: 15 (2 + 2 x 0.7) = 51 m².
    found, _ = document(
        "anode", "--material", "zinc", "--form", "flat-sided barge", "--waterline", "15m",
        "--beam", "2m", "--draught", "0.7m", "--coating", "painted",
    )  # fmt: skip
    assert value(found, "wetted surface")["best"] == pytest.approx(51.0)
