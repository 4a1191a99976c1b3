"""What must hold of every finding, whatever the boat: order, units, edges, unknowns."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from made import PASSES, judged, run, surveyed

SETTINGS = settings(max_examples=25, deadline=None)


amps = st.floats(0.1, 40).map(lambda x: round(x, 2))
lengths = st.floats(0.5, 40).map(lambda x: round(x, 3))
currents = st.floats(1, 400).map(lambda x: round(x, 2))
sizes = st.sampled_from(["18 AWG", "10 AWG", "2 AWG", "4/0 AWG", "2.5 mm²", "35 mm²", "95 mm²"])
bases = st.sampled_from(["us", "iso"])


@SETTINGS
@given(lengths, lengths, currents, sizes, bases)
def test_a_longer_run_never_drops_less(first, second, current, size, basis):
    short, long = (
        judged(
            "run-drop", basis=basis, run=[run(length=f"{x} m", current=f"{current} A", size=size)]
        )
        for x in sorted((first, second))
    )
    assert short.value.best <= long.value.best
    assert not (short.verdict == "inadequate" and long.verdict in PASSES)


@SETTINGS
@given(currents, st.sampled_from([15, 30, 50, 100]), st.sampled_from([15, 30, 50, 100]))
def test_a_bigger_inlet_never_turns_adequate_into_inadequate(current, first, second):
    small, big = (
        judged(
            "inlet-load",
            inlet=[{"id": "i", "rating": f"{rating} A", "service": "120 V"}],
            ac_load=[
                {
                    "id": "l",
                    "inlet": "i",
                    "current": f"{current} A",
                    "volts": "120 V",
                    "when": ["shore"],
                }
            ],
        )
        for rating in sorted((first, second))
    )
    assert small.margin.low <= big.margin.low
    assert not (small.verdict in PASSES and big.verdict == "inadequate")


@SETTINGS
@given(st.integers(1, 400), currents, sizes, bases)
def test_units_never_change_a_verdict(length_in, current, size, basis):
    texts = [
        (f"{length_in} in", f"{current} A"),
        (f"{length_in * 0.0254!r} m", f"{current * 1000!r} mA"),
        (f"{length_in * 25.4!r} mm", f"{current / 1000!r} kA"),
    ]
    for check in ("run-drop", "run-ampacity"):
        found = [
            judged(check, basis=basis, run=[run(length=length, current=amps, size=size)])
            for length, amps in texts
        ]
        assert len({f.verdict for f in found}) == 1
        assert found[1].value.best == pytest.approx(found[0].value.best, rel=1e-12)


@SETTINGS
@given(st.floats(1, 20), st.floats(0, 10), st.floats(0, 1), st.floats(0, 1), currents, bases)
def test_a_tighter_range_never_turns_adequate_into_anything_else(
    low, width, start, end, current, basis
):
    def verdict(a, b):
        text = f"{a!r} m" if a == b else f"{a!r}..{b!r} m"
        return judged(
            "run-drop", basis=basis, run=[run(length=text, current=f"{current} A")]
        ).verdict

    first, last = sorted((low + start * width, low + end * width))
    wide, tight = verdict(low, low + width), verdict(first, last)
    if wide in PASSES or wide == "inadequate":
        assert (tight in PASSES) == (wide in PASSES)
    if wide == "adequate":
        assert tight == "adequate"


UNSEEN = {"length": "?", "size": "?", "insulation": "?", "engine_space": "?", "bundled": "?"}


@pytest.mark.parametrize("basis", ["us", "iso"])
@pytest.mark.parametrize("field", UNSEEN)
@pytest.mark.parametrize("check", ["run-drop", "run-ampacity"])
@pytest.mark.parametrize("current", ["2 A", "40 A", "150 A", "900 A"])
def test_not_seen_is_never_safer_than_seen(basis, field, check, current):
    seen = judged(check, basis=basis, run=[run(current=current)])
    result = surveyed(check, basis=basis, run=[run(current=current) | {field: UNSEEN[field]}])
    if not result.findings:  # not checked: said to be neither
        assert field == "size"
        assert result.not_checked
        return
    (unseen,) = result.findings
    assert unseen.margin.low <= seen.margin.low + 1e-12
    assert unseen.margin.high >= seen.margin.high - 1e-12
    if seen.verdict == "inadequate":
        assert unseen.verdict not in PASSES
    if unseen.verdict == "undetermined":
        assert unseen.turns_on


@pytest.mark.parametrize("basis", ["us", "iso"])
def test_nothing_seen_is_not_checked_and_says_what_to_read(basis):
    result = surveyed("run-drop", basis=basis, run=[{"id": "r"}])
    assert not result.findings
    (missing,) = result.not_checked
    assert "voltage" in missing.reason
    assert missing.read
    assert result.exit_code == 3


@pytest.mark.parametrize(
    ("basis", "size"),
    [("us", "4/0 AWG"), ("us", "18 AWG"), ("iso", "150 mm²"), ("iso", "0.75 mm²")],
)
def test_first_and_last_row_of_the_tables(basis, size):
    assert judged("run-ampacity", basis=basis, run=[run(size=size)]).sources


@pytest.mark.parametrize(
    ("basis", "size"),
    [
        ("us", "20 AWG"),
        ("us", "500 kcmil"),
        ("us", "0.5 mm²"),
        ("iso", "240 mm²"),
        ("iso", "20 AWG"),
    ],
)
def test_outside_the_tables_is_not_checked_and_not_extrapolated(basis, size):
    result = surveyed("run-ampacity", basis=basis, run=[run(size=size)])
    assert not result.findings
    assert "not extrapolated" in result.not_checked[0].reason


def test_insulation_below_the_table_is_not_checked():
    result = surveyed("run-ampacity", odd=True, run=[run(insulation="55 °C")])
    assert not result.findings
    assert "below table" in result.not_checked[0].reason


def test_sixty_degree_insulation_is_not_accepted_in_an_engine_space_by_iso():
    found = judged(
        "run-ampacity",
        basis="iso",
        run=[run(size="35 mm²", insulation="60 °C", engine_space="yes", current="1 A")],
    )
    assert found.verdict == "inadequate"


def test_a_drop_of_3_003_percent_fails_a_3_percent_circuit():
    # E = K I L / CM with K 10.75 (ABYC E-11 as republished), 24 V, 2 AWG 66,360 cmil
    length_m = 0.03003 * 24 * 66360 / (10.75 * 40) / 2 * 0.3048
    found = judged("run-drop", run=[run(size="2 AWG", length=f"{length_m!r} m", circuit="vital")])
    assert found.verdict == "inadequate"
    assert "3.003 %" in found.statement


def test_a_gauge_without_its_standard_is_judged_by_both():
    awg, either = (
        judged("run-drop", run=[run(size=size, length="20 m", current="30 A")])
        for size in ("8 AWG", "8 gauge")
    )
    assert either.value.high > awg.value.high
    assert either.value.low == pytest.approx(awg.value.low)


@SETTINGS
@given(st.lists(amps, min_size=1, max_size=7), amps, amps)
def test_loads_of_unknown_leg_are_bounded_by_every_assignment(unknown, on_l1, on_l2):
    loads = [("L1", on_l1), ("L2", on_l2), *(("?", amps) for amps in unknown)]
    found = judged(
        "inlet-load",
        inlet=[{"id": "i", "rating": "50 A", "service": "120/240 V"}],
        ac_load=[
            {
                "id": f"l{n}",
                "inlet": "i",
                "volts": "120 V",
                "current": f"{amps!r} A",
                "legs": leg,
                "when": ["shore"],
            }
            for n, (leg, amps) in enumerate(loads)
        ],
    )
    heaviest = [
        max(
            on_l1 + sum(a for a, leg in zip(unknown, legs, strict=True) if leg == 1),
            on_l2 + sum(a for a, leg in zip(unknown, legs, strict=True) if leg == 2),
        )
        for legs in product((1, 2), repeat=len(unknown))
    ]
    assert found.value.low <= min(heaviest) * (1 + 1e-9)
    assert found.value.high >= max(heaviest) * (1 - 1e-9)
    if found.verdict in PASSES:
        assert max(heaviest) <= 50 * (1 + 1e-9)
    if found.verdict == "inadequate":
        assert min(heaviest) > 50 * (1 - 1e-9)


def test_an_unread_fuse_may_be_too_large_or_missing():
    found = judged(
        "run-protection", run=[run(size="4/0 AWG", protection="f")], protection=[{"id": "f"}]
    )
    assert found.verdict == "undetermined"
    assert "none at all" in found.turns_on[0].inadequate_if


def test_no_fuse_is_inadequate_and_urgent():
    found = judged(
        "run-protection", run=[run(protection="f")], protection=[{"id": "f", "device": "none"}]
    )
    assert (found.verdict, found.priority) == ("inadequate", "A")


def bank(**changes):
    return {
        "id": "b",
        "voltage": "24 V",
        "chemistry": "agm",
        "capacity": "100 Ah",
        "rate": "20 h",
        "remaining": "100 %",
        "autonomy": "24 h",
    } | changes


def load(**changes):
    return {"id": "l", "bank": "b", "current": "2 A", "hours": "24 h", "when": ["anchor"]} | changes


@pytest.mark.parametrize(
    "change",
    [
        {"remaining": "80 %"},
        {"capacity": "90 Ah"},
        {"temperature": "0 °C"},
        {"usable": "40 %"},
    ],
)
def test_less_bank_never_lasts_longer(change):
    full, less = (
        judged("bank-autonomy", bank=[b], dc_load=[load()]) for b in (bank(), bank(**change))
    )
    assert less.value.best < full.value.best


def test_two_strings_carry_twice_as_long_and_two_in_series_no_longer():
    single, series, parallel = (
        judged("bank-autonomy", bank=[bank(**change)], dc_load=[load()]).value.best
        for change in ({}, {"in_series": 2}, {"in_parallel": 2})
    )
    assert series == pytest.approx(single)
    assert parallel == pytest.approx(2 * single)


def test_an_hour_rate_that_was_not_noted_is_said():
    found = judged("bank-autonomy", bank=[bank(rate="?")], dc_load=[load()])
    assert any("No hour rate was noted" in note for note in found.notes)


def test_same_metal_is_adequate_and_far_ones_are_not():
    near = judged(
        "metal-couple",
        couple=[{"id": "c", "a": "silicon bronze", "b": "silicon bronze", "exposure": "sea"}],
    )
    far = judged(
        "metal-couple", couple=[{"id": "c", "a": "zinc", "b": "silicon bronze", "exposure": "sea"}]
    )
    assert near.verdict in PASSES
    assert far.verdict == "inadequate"
    assert "'zinc' is the one that wastes" in far.statement


def test_naming_the_two_metals_the_other_way_round_changes_nothing():
    first, second = (
        judged("metal-couple", couple=[{"id": "c", "a": a, "b": b, "exposure": "sea"}])
        for a, b in (("bronze", "stainless steel"), ("stainless steel", "bronze"))
    )
    assert first.verdict == second.verdict
    assert first.value == second.value


def test_an_index_difference_equal_to_its_limit_passes():
    # tin 0.65 on stainless 0.50 in air lies exactly at 0.15 V: MIL-F-14072 practice for salt air
    found = judged(
        "metal-couple",
        couple=[{"id": "c", "a": "copper", "b": "stainless steel 316", "exposure": "bilge"}],
    )
    assert found.value.best == pytest.approx(0.15)
    assert found.verdict == "marginal"


def test_stainless_in_salt_air_is_said_to_be_commonly_the_nobler():
    plain, film = (
        judged("metal-couple", couple=[{"id": "c", "a": "zinc", "b": b, "exposure": "bilge"}])
        for b in ("copper", "stainless steel 316")
    )
    assert any("nobler" in note for note in film.notes)
    assert not any("nobler" in note for note in plain.notes)


def test_fresh_water_has_no_series_and_is_not_checked():
    result = surveyed(
        "metal-couple", couple=[{"id": "c", "a": "zinc", "b": "bronze", "exposure": "fresh"}]
    )
    assert not result.findings
    assert "fresh water" in result.not_checked[0].reason


def test_an_unknown_metal_is_not_checked_and_the_nearest_are_named():
    result = surveyed(
        "metal-couple", couple=[{"id": "c", "a": "silicn bronze", "b": "zinc", "exposure": "sea"}]
    )
    assert "silicon bronze" in result.not_checked[0].reason
