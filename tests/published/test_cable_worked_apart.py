"""Sizing against a second reckoning, written from the published formulas and figures alone.

Figures are typed here, not read from this package's tables: 33 CFR 183.425, Table 5 at 105 °C with
notes 1 and 2; NEC chapter 9, Table 8 areas; SAE J1127/J1128 least areas, as republished; ISO
13297:2020 Table A.1 at 105 °C with its factors, unconfirmed; 33 CFR 183.455(c)(1); ISO 13297:2020,
13.1.5; ABYC E-11 and ISO 10133 annex drop formulas; fuse ratings of NFPA 70, 240.6(A), and
by common practice, no source.
"""

import math
import random

import pytest

from elec.checks.sizing.cable_size import size_cable
from elec.cli.cable import Asked, described

CMIL_MM2 = 5.067075e-4
US = {  # size: ampacity at 105 °C, AWG area, SAE least area
    "18": (20, 1620, 1537), "16": (25, 2580, 2336), "14": (35, 4110, 3702),
    "12": (45, 6530, 5833), "10": (60, 10380, 9343), "8": (80, 16510, 14810),
    "6": (120, 26240, 24538), "4": (160, 41740, 37360), "2": (210, 66360, 62450),
    "1": (245, 83690, 77790), "1/0": (285, 105600, 98980), "2/0": (330, 133100, 125100),
    "3/0": (385, 167800, 158600), "4/0": (445, 211600, 205500),
}  # fmt: skip
ISO = {
    0.75: 16, 1: 20, 1.5: 25, 2.5: 35, 4: 45, 6: 60, 10: 90, 16: 130, 25: 170, 35: 210, 50: 270,
    70: 330, 95: 390, 120: 450, 150: 475,
}  # fmt: skip
FUSES = [
    1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175,
    200, 225, 250, 300, 350, 400, 450, 500, 600,
]  # fmt: skip


def bundle_iso(together):
    return 1 if together < 4 else 0.7 if together <= 6 else 0.6 if together <= 24 else 0.5


def reckon(case):
    """Return every size with its figures, and the first that holds."""
    amps, metres, volts = case["amps"], case["metres"], case["volts"]
    rows = []
    for size in ISO if case["basis"] == "iso" else US:
        if case["basis"] == "iso":
            factor = (0.86 if case["engine"] else 1) * bundle_iso(case["together"])
            ampacity, area, least = ISO[size] * factor, size, 0.75 if case["sheathed"] else 1
            drop = 0.0164 * amps * 2 * metres / area / volts
            most, label = ampacity, f"{size:g} mm²"
        else:
            ampacity = US[size][0] * (0.85 if case["engine"] else 1)  # below 50 V: no note 2
            area = US[size][2 if case["wire"] == "sae" else 1]
            least = US["18" if case["sheathed"] else "16"][2 if case["wire"] == "sae" else 1]
            drop = 10.75 * amps * 2 * metres / 0.3048 / area / volts
            most, label = 1.5 * ampacity, f"{size} AWG"
        fuse = max((f for f in FUSES if f <= most * (1 + 1e-9)), default=0)
        margins = {
            "ampacity": 1 - amps / ampacity,
            "drop": 1 - drop / case["drop"],
            "least size": area / least - 1,
            "protection": 1 - amps / fuse if fuse else -math.inf,
        }
        fails = {name for name, margin in margins.items() if margin < -1e-9}
        rows.append((label, ampacity, drop, most, fuse, fails, min(margins.values())))
    return rows, next((row for row in rows if not row[5]), None)


def drawn(seed):
    pick = random.Random(seed)
    basis = pick.choice(["us", "iso"])
    return {
        "basis": basis,
        "wire": pick.choice(["awg", "sae"]) if basis == "us" else "metric",
        "amps": round(math.exp(pick.uniform(-1, 5.7)), 3),
        "metres": round(pick.uniform(0.5, 20), 3),
        "volts": pick.choice([12, 24, 32, 48]),
        "drop": pick.choice([0.03, 0.05, 0.1]),
        "engine": pick.random() < 0.4,
        "together": pick.choice([1, 2, 3, 4, 6, 7, 24, 25]),
        "sheathed": pick.random() < 0.4,
        "round trip": pick.random() < 0.3,
    }


def sized(case, **changes):
    asked = Asked(
        **{
            "current": f"{case['amps']:.9g} A",
            "length": f"{case['metres'] * (2 if case['round trip'] else 1):.12g} m",
            "round_trip": case["round trip"],
            "volts": f"{case['volts']} V",
            "drop": f"{case['drop'] * 100:g} %",
            "insulation": "105 C",
            "engine_space": "yes" if case["engine"] else None,
            "bundled": str(case["together"]),
            "sheathed": "yes" if case["sheathed"] else None,
            "basis": case["basis"],
            "wire": case["wire"],
        }
        | changes
    )
    cable, given = described(asked)
    return size_cable(cable, wire=case["wire"], **given)


@pytest.mark.parametrize("seed", range(40))
def test_every_size_and_the_choice(seed):
    case = drawn(seed)
    rows, chosen = reckon(case)
    found = sized(case)
    judged = {candidate.size: candidate for candidate in found.candidates}
    for label, ampacity, drop, _, _, fails, least in rows:
        one = judged[label]
        assert one.ampacity_A == pytest.approx(ampacity, rel=1e-9)
        assert one.drop_fraction == pytest.approx(drop, rel=1e-6)
        assert set(one.fails_on) == fails
        verdict = "inadequate" if fails else "marginal" if least < 0.1 else "adequate"
        assert one.verdict == verdict
    if chosen is None:
        assert found.chosen is None
        return
    label, ampacity, drop, most, fuse, _, _ = chosen
    # 3 AWG lies between: no printed area of it is typed here
    if found.chosen.size != "3 AWG":
        assert found.chosen.size == label
        assert found.protection.least_A == pytest.approx(case["amps"])
        assert found.protection.most_A == pytest.approx(most)
        assert found.protection.rating_A == next(f for f in FUSES if f >= case["amps"])
        assert found.longest_m == pytest.approx(case["metres"] * case["drop"] / drop, rel=1e-6)
        by_drop = case["amps"] * case["drop"] / drop
        assert found.most_current_A == pytest.approx(min(ampacity, fuse, by_drop), rel=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_what_it_reaches_holds_and_a_thousandth_more_does_not(seed):
    case = drawn(100 + seed)
    found = sized(case)
    assert found.chosen is not None
    size = found.chosen.size
    for factor, holds in ((1.0, True), (1.001, False)):
        longer = case | {"metres": found.longest_m * factor}
        more = case | {"amps": found.most_current_A * factor}
        for changed in (longer, more):
            judged = sized(changed, size=size, current=f"{changed['amps']:.12g} A").judged
            assert (judged.verdict in ("adequate", "marginal")) == holds


@pytest.mark.parametrize("seed", range(6))
def test_round_trip_is_half_the_length_each_way(seed):
    case = drawn(200 + seed)
    one, two = (sized(case | {"round trip": both}) for both in (False, True))
    assert one.chosen == two.chosen or one.chosen.size == two.chosen.size
    for first, second in zip(one.candidates, two.candidates, strict=True):
        assert first.drop_V == pytest.approx(second.drop_V, rel=1e-9)


# -- resistances beside the formula ------------------------------------------------------------

IEC_60228 = {  # IEC 60228:2004, ohm/km at 20 °C: class 2 and 5, plain and metal-coated
    "4 mm²": (4.61, 4.70, 4.95, 5.09),
    "16 mm²": (1.15, 1.16, 1.21, 1.24),
    "50 mm²": (0.387, 0.391, 0.386, 0.393),
}


@pytest.mark.parametrize(("size", "amps"), [("4 mm²", 40), ("16 mm²", 100), ("50 mm²", 200)])
def test_largest_resistances_of_metric_sizes(size, amps):
    case = drawn(0) | {
        "basis": "iso", "wire": "metric", "amps": amps, "metres": 5.0, "volts": 24,
        "engine": False, "together": 2, "round trip": False,
    }  # fmt: skip
    printed = sized(case, size=size).printed
    ampacity = ISO[float(size.split()[0])]
    warm = 30 + 75 * (amps / ampacity) ** 2  # Tc = Ta + (Tr - Ta)(I/Iz)^2
    assert printed.conductor_temp_C == pytest.approx(warm)
    assert [one.conductor for one in printed.drops] == [
        "class 2, plain", "class 2, tinned", "class 5, plain", "class 5, tinned",
    ]  # fmt: skip
    for one, ohm_per_km in zip(printed.drops, IEC_60228[size], strict=True):
        volts = 2 * 5 * amps * ohm_per_km / 1000 * (1 + 0.00393 * (warm - 20))
        assert one.drop_V == pytest.approx(volts, rel=1e-9)
        assert one.drop_fraction == pytest.approx(volts / 24, rel=1e-9)


def test_a_gauge_size_gets_the_handbook_table_and_the_reason():
    # NEC chapter 9, Table 8: 2 AWG of 7 strands 0.194 and coated 0.201 ohm/kft at 75 °C
    case = drawn(0) | {
        "basis": "us", "wire": "awg", "amps": 85.0, "metres": 14.0, "volts": 24,
        "engine": False, "together": 2, "round trip": False,
    }  # fmt: skip
    printed = sized(case, size="2 AWG").printed
    warm = 30 + 75 * (85 / 210) ** 2
    for one, ohm_per_kft in zip(printed.drops, (0.194, 0.201), strict=True):
        cold = ohm_per_kft / 304.8 / (1 + 0.00393 * 55)
        volts = 2 * 14 * 85 * cold * (1 + 0.00393 * (warm - 20))
        assert one.drop_V == pytest.approx(volts, rel=1e-9)
    assert "IEC 60228 lists no gauge sizes" in printed.note
    assert not sized(case | {"wire": "sae"}, size="2 AWG").printed.drops


def test_areas_outside_the_standard_say_so():
    case = drawn(0) | {"basis": "us", "wire": "metric", "amps": 20.0, "volts": 24}
    printed = sized(case, size="13 mm2").printed
    assert printed.drops == ()
    assert "13 mm²" in printed.note


@pytest.mark.parametrize("seed", range(6))
def test_no_warmth_without_a_reason(seed):
    # physics: Tc = Ta + (Tr - Ta)(I/Iz)^2; over 250 °C no law of it is followed, our choice
    case = drawn(300 + seed)
    for one in sized(case).candidates:
        hot = 50 if case["engine"] else 30
        warm = hot + (105 - hot) * (case["amps"] / one.ampacity_A) ** 2
        if warm > 250:
            assert one.conductor_temp_C is None
            assert one.drop_physical_V is None
            assert "would pass 250 °C" in one.physical_note
        else:
            assert one.conductor_temp_C == pytest.approx(warm)
            assert bool(one.physical_note) == (warm > 105 * (1 + 1e-9))


def test_no_warmth_where_the_insulation_may_carry_nothing():
    case = drawn(0) | {"basis": "us", "wire": "awg", "engine": False}
    for one in sized(case, ambient="110 C").candidates:
        assert one.conductor_temp_C is None
        assert "may carry nothing in 110 °C" in one.physical_note


# -- at the limit ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("metres", "verdict"),
    # 0.0164 x 15 x 2 L / 10 over 24.6 V is 3 % at L = 15 m exactly
    [("15", "marginal"), ("15.015", "inadequate"), ("15.000001", "inadequate")],
)
def test_three_percent_passes_and_no_more(metres, verdict):
    case = {
        "basis": "iso", "wire": "metric", "amps": 15.0, "metres": float(metres), "volts": 24.6,
        "drop": 0.03, "engine": False, "together": 2, "sheathed": False, "round trip": False,
    }  # fmt: skip
    judged = sized(case, size="10 mm2").judged
    assert judged.verdict == verdict
    assert judged.drop_fraction == pytest.approx(0.03 * float(metres) / 15, rel=1e-9)
