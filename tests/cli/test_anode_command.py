"""The anode command: mass, number, life, months left, output, exit codes, bad input."""

import numpy as np
import pytest

from commands import answered, elec, finding, flat, refused
from elec.boat.read import from_data
from elec.report.json_text import document
from elec.survey import survey


def value(found, name):
    return next(line for line in found["values"] if line["name"] == name)


def test_mass_of_a_coated_steel_hull_for_two_years():
    # DNV-RP-B401 2021 tables: 40 m², temperate, category II, aluminium at 2000 Ah/kg, u = 0.85:
    # 0.400, 0.300 and 0.520 A, and 3.092 kg; zinc at 780 Ah/kg 7.928 kg.
    for material, kilograms in (("aluminium", 3.092), ("zinc", 7.928)):
        found, code = answered(
            "anode", "--material", material, "--area", "40m2", "--coating", "II",
            "--temperature", "10C", "--life", "2years",
        )  # fmt: skip
        assert code == 0
        assert value(found, "current when new")["best"] == pytest.approx(0.400, rel=1e-3)
        assert value(found, "current at the end")["best"] == pytest.approx(0.520, rel=1e-3)
        assert value(found, "net mass for the life")["best"] == pytest.approx(kilograms, rel=1e-3)


def test_life_of_five_kilograms_of_zinc():
    # m u capacity / I = 5 x 0.85 x 780 / 0.05 h = 7.57 years of 8760 h.
    found, _ = answered(
        "anode", "--material", "zinc", "--current", "0.05A", "--mass", "5kg", "--life", "1year"
    )
    years = finding(found, "anode-life")["value"]["best"] / 8760
    assert years == pytest.approx(7.57, rel=1e-3)


def test_share_gone_and_months_left():
    found, code = answered(
        "anode", "--material", "zinc", "--wasted", "30%", "--after", "6months", "--mass", "5kg"
    )
    assert code == 0
    assert value(found, "left until it is to be renewed")["best"] == pytest.approx(4.0)
    # 1.5 kg x 780 Ah/kg over 6 months of 730.5 h
    shown = value(found, "current that the loss shows")["best"]
    assert shown == pytest.approx(1.5 * 780 / (6 * 730.5), rel=1e-6)


def test_resistance_and_output_new_and_worn():
    # DNV-RP-B401, long slender: 1 m long, 0.05 m radius, 0.25 ohm·m, x 1.3 at 0.20 m: 0.1749 ohm.
    found, code = answered(
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
    potential = value(found, "potential at work")
    assert (potential["low"], potential["high"]) == (-1.03, -1.0)
    assert "-1.03 V, " in potential["formula"]
    assert "-1 V, " in potential["formula"]


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
    out = flat(out)
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
    refused("anode", "--material", *arguments, words=[words])


def test_surface_of_a_barge_by_its_form():
    # IIMS, The Report, June 2021, p. 108: 15 (2 + 2 x 0.7) = 51 m².
    found, _ = answered(
        "anode", "--material", "zinc", "--form", "flat-sided barge", "--waterline", "15m",
        "--beam", "2m", "--draught", "0.7m", "--coating", "painted",
    )  # fmt: skip
    assert value(found, "wetted surface")["best"] == pytest.approx(51.0)


# -- one judge ---------------------------------------------------------------------------------

CHECKS = ["anode-life", "anode-material"]


def test_the_command_and_the_survey_judge_alike_over_masses():
    verdicts = []
    for kilograms in np.arange(0.3, 3.001, 0.03):
        noted = {"area": "2 m2", "mass": f"{kilograms:.2f} kg"}
        options = [word for name, value in noted.items() for word in (f"--{name}", value)]
        found, code = answered("anode", "--material", "zinc", *options)
        boat = {"name": "T", "hull": "steel", "water": "sea"}
        plates = {"id": "anode", "material": "zinc", **noted}
        whole = survey(from_data({"boat": boat, "anode": [plates]}, "boat.toml"), only=CHECKS)
        assert found["findings"] == document(list(whole.findings))
        assert code == whole.exit_code
        verdicts.append(finding(found, "anode-life")["verdict"])
    assert list(dict.fromkeys(verdicts)) == ["inadequate", "undetermined", "marginal", "adequate"]


# Zinc of 0.80 kg on 1 m²: 12.4 months at the worst, less than a tenth over the twelve asked.
def test_a_life_with_little_in_hand_is_marginal():
    found, code = answered("anode", "--material", "zinc", "--area", "1m2", "--mass", "0.8kg")
    assert finding(found, "anode-life")["verdict"] == "marginal"
    months = finding(found, "anode-life")["value"]["low"] / 730.5
    assert months == pytest.approx(12.37, abs=0.01)
    assert code == 0


SHAPE = {
    "mount": "stand-off", "length": "1 m", "width": "8 cm", "thickness": "77 mm",
    "standoff": "20 cm", "core": "8..12 mm",
}  # fmt: skip


@pytest.mark.parametrize(
    ("about", "noted"),
    [
        ({"water": "sea"}, {"current": "0.2 A", "mass": "4..6 kg", "life": "2 years"}),
        ({"water": "sea"}, {"area": "40 m2", "coating": "II", "mass": "20 kg", **SHAPE}),
        ({"water": "brackish"}, {"area": "9 m2", "coating": "bare", "mass": "3 kg", **SHAPE}),
        ({"water": "fresh", "resistivity": "20 ohm·m"}, {"current": "0.1 A", "mass": "9 kg"}),
        ({"water": "sea", "temperature": "28 °C"}, {"area": "9 m2", "mass": "~2 kg"}),
        ({"water": "sea", "salinity": "30 PSU"}, {"wasted": "30..60 %", "after": "8 months"}),
    ],
)
def test_the_command_and_the_survey_judge_alike_whatever_is_noted(about, noted):
    given = {"material": "aluminium", "count": 2, **noted}
    options = [word for name, value in (about | given).items() for word in (f"--{name}", value)]
    found, code = answered("anode", *options)
    called = {"temperature": "water_temperature", "resistivity": "water_resistivity"}
    boat = {"name": "T", "hull": "steel"} | {called.get(k, k): v for k, v in about.items()}
    checks = [one["check"] for one in found["findings"]]
    whole = survey(
        from_data({"boat": boat, "anode": [{"id": "anode", **given}]}, "boat.toml"), only=checks
    )
    assert found["findings"] == document(list(whole.findings))
    assert code == whole.exit_code
    assert len(checks) > 1


def test_a_worn_anode_is_judged_by_its_core():
    # 20 kg for 2 years: of 0.520 A at the end, as above
    options = (
        "--mount", "stand-off", "--length", "1m", "--width", "8cm", "--thickness", "77mm",
        "--standoff", "20cm", "--resistivity", "2.5 ohm·m", "--mass", "20kg", "--area", "40m2",
        "--coating", "II", "--temperature", "10C", "--life", "2years",
    )  # fmt: skip
    new, _ = answered("anode", "--material", "zinc", *options)
    worn, code = answered("anode", "--material", "zinc", *options, "--core", "10mm")
    assert [one["part"] for one in new["findings"] if one["check"] == "anode-output"] == [None]
    at_end = next(one for one in worn["findings"] if one["part"] == "worn")
    assert at_end["limit"]["best"] == pytest.approx(0.520, rel=1e-3)
    assert at_end["verdict"] == "inadequate"
    assert code == 1


def test_fresh_water_needs_its_resistivity():
    shape = ("--mount", "flush", "--length", "36cm", "--width", "15cm", "--thickness", "3cm")
    fresh = ("anode", "--material", "magnesium", "--water", "fresh", *shape)
    refused(*fresh, words=["resistivity of fresh water"])
    measured, _ = answered(*fresh, "--resistivity", "20 ohm·m")
    # a plate less than four times as long as wide: 0.315 rho / sqrt(A), A = 0.054 + 0.0306 m²
    expected = 0.315 * 20 / (0.36 * 0.15 + 2 * 0.03 * (0.36 + 0.15)) ** 0.5
    assert value(measured, "resistance of one, new")["best"] == pytest.approx(expected)
