"""The metals command: which wastes, how sure, how fast, exit codes, bad input."""

import time
from itertools import combinations

import pytest

from commands import answered, elec, flat, refused
from elec.boat.read import from_data
from elec.survey import survey


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
    found, returned = answered("metals", *arguments)
    assert returned == code
    assert found["water"] in ("sea", "fresh", "splash")


def test_who_wastes_how_sure_how_fast_and_what_to_read():
    out = elec(
        "metals", "aluminium", "nab", "bronze", "--areas", "0.4m2,0.2..0.3m2,~1ft2",
        "--temperature", "15C", "--salinity", "35PSU",
    ).stdout  # fmt: skip
    assert all(len(line) <= 80 for line in out.splitlines())
    out = flat(out)
    assert "0.540 V to 0.860 V apart" in out
    assert "'aluminium' is the one that wastes." in out
    assert "aluminium and nab: sure" in out
    assert "the most that oxygen feeds" in out
    assert "mm (best" in out
    assert "kg (best" in out
    assert "direction only: 'aluminium' wastes; no published couple tells" in out
    assert "the alloy mark cast or stamped in the part" in out
    assert "PROVISIONAL" in out


def test_how_fast_at_a_square_metre_of_each_where_no_surface_was_given():
    # Rates of 1 m² each, told beside the findings; nothing is judged by them.
    found, code = answered("metals", "mild steel", "nab", "--temperature", "15C")
    given, _ = answered("metals", "mild steel", "nab", "--temperature", "15C", "--areas", "1m2,1m2")
    assert code == 1
    assert {one["check"] for one in found["findings"]} == {"metal-couple"}
    assert found["pairs"][0]["rate"] == given["pairs"][0]["rate"]
    out = flat(elec("metals", "mild steel", "nab").stdout)
    assert "'mild steel', at 1 m² bare of each: loss" in out


def test_rate_grows_with_the_cathode_and_with_the_cold():
    def best(areas, celsius):
        found, _ = answered(
            "metals", "mild steel", "nab", "--areas", areas, "--temperature", celsius
        )
        return found["pairs"][0]["rate"]["loss"]["best"]

    assert best("1m2,1m2", "20C") < best("1m2,2m2", "20C")
    assert best("1m2,1m2", "25C") < best("1m2,1m2", "5C")


def test_metals_on_one_bond_balance():
    found, _ = answered(
        "metals", "mild steel", "nab", "17-4 PH", "--areas", "2m2,1m2,0.5m2", "--temperature", "20C"
    )
    currents = [one["current"]["best"] for one in found["bond"]["metals"]]
    assert currents[0] > 0 > max(currents[1:])
    # best values are medians, each by itself
    assert sum(currents) == pytest.approx(0.0, abs=0.05 * currents[0])


def test_stray_current_by_metal():
    # Faraday's law, 8760 h a year: 20.77 kg of copper as Cu(I) for each ampere, 9.126 kg of iron.
    found, _ = answered("metals", "copper", "mild steel", "--stray", "1A")
    kilograms = [one["kg_per_year"]["high"] for one in found["stray"]]
    assert kilograms == pytest.approx([20.77, 9.126], rel=5e-4)


def test_another_series_is_another_answer_by_itself():
    first, _ = answered("metals", "copper", "mild steel", "--basis-series", "NRL")
    second, _ = answered("metals", "copper", "mild steel", "--basis-series", "BOAT_CHART")
    assert (first["yardstick"]["cell"], second["yardstick"]["cell"]) == ("SCE", "Ag/AgCl")
    assert first["pairs"][0]["smallest_V"] == pytest.approx(0.25)  # -0.61 and -0.36 V
    assert second["pairs"][0]["smallest_V"] == pytest.approx(0.39)
    # -0.79 and -0.34 V, with the chart's own 0.040 and 0.020 V either way


def test_every_pair_of_the_largest_series_in_a_second():
    began = time.process_time()
    text = elec("metals", "--all").stdout
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
    said = refused("metals", *arguments, words=[words])
    assert len(said.strip().splitlines()) == 3  # error, cause, remedy


METALS = ("aluminium", "nab", "bronze", "316", "zinc", "mang bronze", "mild steel", "copper")


@pytest.mark.parametrize("water", ["sea", "brackish", "splash", "dry"])
def test_the_command_and_the_survey_judge_alike(water):
    found, code = answered("metals", *METALS, "--water", water)
    data = {
        "boat": {"name": "T"},
        "couple": [
            {"id": f"{a} and {b}", "a": a, "b": b, "exposure": water}
            for a, b in combinations(METALS, 2)
        ],
    }
    whole = survey(from_data(data, "boat.toml"), only=["metal-couple"])
    told = {f"{one['a']} and {one['b']}": one["verdict"] for one in found["pairs"]}
    assert told == {one.subject: one.verdict for one in whole.findings}
    assert code == whole.exit_code
    if water == "sea":
        assert set(told.values()) == {"adequate", "marginal", "inadequate", "undetermined"}


def test_the_list_of_all_pairs_passes_what_the_check_passes():
    # rows of the index stand for one metal each, so a couple of them can be asked for by name
    listed, _ = answered("metals", "--all", "--water", "dry")
    pairs = [one for one in listed["pairs"] if one["a"] != one["b"]][::29]
    assert len(pairs) > 20
    passes = {"adequate": "adequate", "marginal": "adequate"}
    for pair in pairs:
        found, _ = answered("metals", pair["a"], pair["b"], "--water", "dry")
        (one,) = found["findings"]
        assert passes.get(one["verdict"], one["verdict"]) == pair["verdict"]


def test_many_metals_are_a_table():
    out = elec("metals", *METALS, "tin", "lead").stdout
    assert len([line for line in out.splitlines() if ".." in line]) == 45
    assert all(len(line) <= 80 for line in out.splitlines())


def test_names_that_are_no_ids_are_compared_too():
    names = ("precipitation hardened stainless", "nickel chromium molybdenum alloy", "316", "316")
    found, _ = answered("metals", *names)
    assert [(one["a"], one["b"]) for one in found["pairs"]] == list(combinations(names, 2))
