"""Legs and neutral: closed forms, an oracle, properties, a circuit simulator."""

import cmath
import math
import shutil
import subprocess

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from elec.calc import ac
from elec.errors import InputError

AMPS = st.floats(0.0, 100.0)
FACTORS = st.floats(0.05, 1.0)


# -- an oracle: loads one by one, plain complex numbers, angles written out ------------------------

VOLTAGE_ANGLE_DEG = {
    "single": {"L1-N": 0},
    "split-phase": {"L1-N": 0, "L2-N": 180, "L1-L2": 0},
    # line to line of a wye: 30 degrees ahead of the first leg
    "wye two legs": {"L1-N": 0, "L2-N": -120, "L1-L2": 30},
    "three-phase wye": {
        "L1-N": 0,
        "L2-N": -120,
        "L3-N": -240,
        "L1-L2": 30,
        "L2-L3": -90,
        "L3-L1": 150,
    },
}


def oracle(loads, system):
    """Sum, phasor magnitude by leg, and neutral, of (amps, factor, connection)."""
    count = {"single": 1, "three-phase wye": 3}.get(system, 2)
    sums, legs, neutral = [0.0] * count, [0j] * count, 0j
    for amps, factor, connection in loads:
        lag = math.degrees(math.acos(factor))
        if connection == "three-phase":
            for leg in range(3):
                sums[leg] += amps
                legs[leg] += cmath.rect(amps, math.radians(-120 * leg - lag))
            continue
        angle = VOLTAGE_ANGLE_DEG[system][connection] - lag
        flow = cmath.rect(amps, math.radians(angle))
        start, end = connection.split("-")
        sums[int(start[1]) - 1] += amps
        legs[int(start[1]) - 1] += flow
        if end == "N":
            neutral += flow
        else:
            sums[int(end[1]) - 1] += amps
            legs[int(end[1]) - 1] -= flow
    return sums, [abs(leg) for leg in legs], abs(neutral)


@st.composite
def installations(draw):
    system = draw(st.sampled_from(sorted(ac.LEGS)))
    load = st.tuples(AMPS, FACTORS, st.sampled_from(ac.connections(system)))
    return system, draw(st.lists(load, min_size=1, max_size=12))


def solved(loads, system):
    amps, factors, connection = zip(*loads, strict=True)
    return ac.leg_currents_A(amps, power_factor=factors, connection=connection, system=system)


@given(installations())
@settings(max_examples=300, deadline=None)
def test_phasors_equal_the_oracle(installation):
    system, loads = installation
    found = solved(loads, system)
    sums, legs, neutral = oracle(loads, system)
    assert found.sum_A == pytest.approx(sums, rel=1e-9, abs=1e-9)
    assert found.phasor_A == pytest.approx(legs, rel=1e-9, abs=1e-6)
    assert found.neutral_A == pytest.approx(neutral, rel=1e-9, abs=1e-6)


@given(installations())
@settings(max_examples=200, deadline=None)
def test_sum_of_magnitudes_is_never_below_the_phasor(installation):
    found = solved(installation[1], installation[0])
    assert np.all(found.sum_A >= found.phasor_A * (1 - 1e-12) - 1e-12)


@given(installations(), st.tuples(AMPS, FACTORS))
@settings(max_examples=200, deadline=None)
def test_a_load_more_never_lowers_the_sum_of_a_leg(installation, load):
    system, loads = installation
    more = [*loads, (*load, ac.connections(system)[-1])]
    assert np.all(solved(more, system).sum_A >= solved(loads, system).sum_A)


@given(installations(), st.floats(0.01, 100))
@settings(max_examples=100, deadline=None)
def test_currents_scale(installation, scale):
    system, loads = installation
    scaled = [(scale * a, f, c) for a, f, c in loads]
    once, often = solved(loads, system), solved(scaled, system)
    assert often.phasor_A == pytest.approx(scale * once.phasor_A, rel=1e-9, abs=1e-9)
    assert often.neutral_A == pytest.approx(scale * once.neutral_A, rel=1e-9, abs=1e-9)


def test_samples_in_front_of_loads():
    rng = np.random.default_rng(7)
    amps, factors = rng.uniform(0, 30, (4, 5, 3)), rng.uniform(0.5, 1, (4, 5, 3))
    names = ("L1-N", "L2-N", "L1-L2")
    found = ac.leg_currents_A(amps, power_factor=factors, connection=names, system="wye two legs")
    assert found.sum_A.shape == found.phasor_A.shape == (4, 5, 2)
    assert found.neutral_A.shape == (4, 5)
    one = solved(list(zip(amps[2, 3], factors[2, 3], names, strict=True)), "wye two legs")
    assert found.phasor_A[2, 3] == pytest.approx(one.phasor_A, rel=1e-12)
    # one power factor for all loads, many samples of current; and the other way round
    assert ac.leg_currents_A(amps, connection=names, system="split-phase").neutral_A.shape == (4, 5)
    assert ac.leg_currents_A(
        [1.0, 2, 3], power_factor=factors, connection=names, system="split-phase"
    ).sum_A.shape == (4, 5, 2)


# -- against a circuit simulator: loads as impedances on ideal sources -----------------------------


def simulate(loads, system):
    """Leg and neutral currents by ngspice, AC analysis at 60 Hz."""
    volts, hertz = 120.0, 60.0
    angles = {
        "split-phase": (0, 180),
        "wye two legs": (0, -120),
        "three-phase wye": (0, -120, 120),
    }[system]
    lines = ["* loads on legs"]
    for leg, angle in enumerate(angles, start=1):
        lines.append(f"V{leg} L{leg} 0 DC 0 AC {volts} {angle}")
    lines.append("VN N 0 DC 0")
    ends = []
    for amps, factor, connection in loads:
        if connection == "three-phase":
            ends += [(amps, factor, f"L{leg}", "S", volts) for leg in (1, 2, 3)]
        else:
            start, end = connection.split("-")
            across = volts
            if end != "N":
                across *= 2.0 if system == "split-phase" else math.sqrt(3)
            ends.append((amps, factor, start, end, across))
    for number, (amps, factor, start, end, across) in enumerate(ends):
        ohms = across / amps
        henry = ohms * math.sqrt(1 - factor**2) / (2 * math.pi * hertz)
        lines.append(f"R{number} {start} M{number} {ohms * factor:.15g}")
        # the tie of the star point to neutral carries nothing when its three loads are alike
        node = "N" if end == "S" else end
        lines.append(f"X{number} M{number} {node} COIL{number}")
        lines += [f".subckt COIL{number} a b", f"L1 a b {max(henry, 1e-12):.15g}", ".ends"]
    names = [f"V{leg + 1}" for leg in range(len(angles))] + ["VN"]
    lines += [
        f".ac lin 1 {hertz} {hertz}",
        ".control",
        "set numdgt=14",
        "run",
        *(f"print i({name})" for name in names),
        ".endc",
        ".end",
    ]
    text = subprocess.run(
        ["ngspice", "-b"],
        input="\n".join(lines) + "\n",
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    ).stdout
    found = {}
    for line in text.splitlines():
        name, equals, value = line.partition("=")
        if equals and name.strip().lower().startswith("i("):
            real, imaginary = value.split(",")
            found[name.strip().lower()] = abs(complex(float(real), float(imaginary)))
    return [found[f"i({name.lower()})"] for name in names]


@pytest.mark.skipif(not shutil.which("ngspice"), reason="no circuit simulator here")
@pytest.mark.parametrize("system", ["split-phase", "wye two legs", "three-phase wye"])
@pytest.mark.parametrize("seed", range(4))
def test_phasors_equal_a_circuit_simulator(system, seed):
    # ngspice, AC analysis; random unbalanced loads; 1e-6.
    rng = np.random.default_rng(seed)
    loads = [
        (float(rng.uniform(1, 30)), float(rng.uniform(0.3, 0.999)), str(connection))
        for connection in rng.choice(ac.connections(system), 9)
    ]
    found = solved(loads, system)
    *legs, neutral = simulate(loads, system)
    assert found.phasor_A == pytest.approx(legs, rel=1e-6)
    assert found.neutral_A == pytest.approx(neutral, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_leading_loads_turn_the_other_way(seed):
    # circuit theory: the current of a leading load is the conjugate of that of a lagging one
    rng = np.random.default_rng(seed)
    amps, factors, leads = rng.uniform(1, 30, 6), rng.uniform(0.2, 1, 6), rng.random(6) < 0.5
    found = ac.leg_currents_A(
        amps, connection=["L1-N"] * 6, system="single", power_factor=factors, leading=leads
    )
    turns = [math.acos(f) * (1 if lead else -1) for f, lead in zip(factors, leads, strict=True)]
    by_hand = abs(sum(cmath.rect(a, t) for a, t in zip(amps, turns, strict=True)))
    assert found.phasor_A[0] == pytest.approx(by_hand, rel=1e-12)
    assert found.phasor_A[0] <= found.sum_A[0]


# -- neutral: closed forms -------------------------------------------------------------------------


def neutral_A(legs, system, **more):
    """Neutral current of one line-to-neutral load on each leg."""
    connection = [f"L{leg}-N" for leg in range(1, len(legs) + 1)]
    return ac.leg_currents_A(legs, connection=connection, system=system, **more).neutral_A


@given(AMPS, AMPS, FACTORS)
def test_neutral_closed_forms_at_one_power_factor(first, second, factor):
    one = {"power_factor": factor}
    legs = [first, second]
    assert neutral_A(legs, system="split-phase", **one) == pytest.approx(
        abs(first - second), abs=1e-6
    )
    assert neutral_A(legs, system="wye two legs", **one) == pytest.approx(
        math.sqrt(first**2 + second**2 - first * second), abs=1e-5
    )


@given(AMPS, AMPS, AMPS, FACTORS)
def test_neutral_of_three_legs(a, b, c, factor):
    found = neutral_A([a, b, c], system="three-phase wye", power_factor=factor)
    inside = a * a + b * b + c * c - a * b - b * c - c * a
    assert found == pytest.approx(math.sqrt(max(inside, 0)), abs=1e-5)


@pytest.mark.parametrize(
    ("legs", "system", "neutral"),
    [
        # arithmetic of the closed forms above
        ([30, 50], "split-phase", 20.0),
        ([40, 40], "wye two legs", 40.0),
        ([30, 40], "wye two legs", 36.06),
        ([29.7, 23.6], "split-phase", 6.1),
        ([29.7, 23.6], "wye two legs", 27.2),
    ],
)
def test_neutral_by_hand(legs, system, neutral):
    decimals = len(str(neutral).partition(".")[2])
    found = neutral_A(legs, system=system)
    assert found == pytest.approx(neutral, abs=0.5 * 10**-decimals)


def test_neutral_of_unlike_power_factors():
    # by hand: 22 A at 0.80 lagging = 17.6 - j13.2, against 35 A at 1: |-17.4 - j13.2| = 21.84 A
    found = neutral_A([22, 35], system="split-phase", power_factor=[0.8, 1])
    assert found == pytest.approx(21.84, abs=0.005)
    assert found != pytest.approx(35 - 22, abs=1)  # the scalar difference, a published error


def test_two_circuits_of_one_leg_add_in_the_neutral():
    # both 30 A receptacles of an adapter on one leg: the neutral carries the sum
    found = ac.leg_currents_A([30, 30], connection=("L1-N", "L1-N"), system="split-phase")
    assert found.neutral_A == pytest.approx(60, rel=1e-12)


def test_total_power_does_not_show_an_uneven_leg():
    # 12 000 VA or less on a 50 A 125/250 V inlet, and one leg at 70 A
    found = ac.leg_currents_A([70, 20], connection=("L1-N", "L2-N"), system="split-phase")
    assert 120 * found.sum_A.sum() <= 12_000
    assert found.sum_A.max() > 50


def test_line_to_line_load_counts_whole_on_both_legs():
    # 12 000 VA at 240 V: 50 A on each leg, not 25 A
    amps = ac.current_A(12_000, voltage_V=240)
    found = ac.leg_currents_A([amps], connection=("L1-L2",), system="split-phase")
    assert found.sum_A == pytest.approx([50, 50], rel=1e-12)


def test_line_to_line_and_neutral_loads_of_a_wye_add_at_30_degrees():
    # by hand: 10 A at 0 degrees and 10 A at +30: 2 x 10 cos 15 = 19.319 A
    found = ac.leg_currents_A([10, 10], connection=("L1-N", "L1-L2"), system="wye two legs")
    assert found.phasor_A[0] == pytest.approx(20 * math.cos(math.radians(15)), rel=1e-12)
    assert found.sum_A[0] == 20


@pytest.mark.parametrize(
    ("connection", "system"),
    [
        ("L3-N", "split-phase"),
        ("L1-L2", "single"),
        ("three-phase", "wye two legs"),
        ("A", "single"),
    ],
)
def test_connection_that_the_supply_lacks(connection, system):
    with pytest.raises(InputError, match=f"load 2 is connected '{connection}'"):
        ac.leg_currents_A([1, 2], connection=("L1-N", connection), system=system)


def test_bad_shapes_systems_and_factors():
    with pytest.raises(InputError, match="2 connections for 3 currents"):
        ac.leg_currents_A([1, 2, 3], connection=("L1-N", "L2-N"), system="split-phase")
    with pytest.raises(InputError, match="'delta' was given"):
        neutral_A([1, 2], system="delta")
    for factor in (0, 1.01, -0.9, math.nan):
        with pytest.raises(InputError, match="power_factor"):
            ac.current_A(100, voltage_V=120, power_factor=factor)


# -- invented boats, arithmetic checked by hand ----------------------------------------------------

# A 19 m motor yacht with two 50 A 125/250 V inlets: amps from plates.
CLIMATE = {"saloon": 10.5, "deck": 7.2, "owner": 7.2, "guest": 4.8, "pump": 3.5, "dive": 12.0}
EVENING = [
    ("L1-L2", 12.5),  # water heater
    ("L1-L2", 14.0),  # charger
    ("L1-N", 12.0),  # washer-dryer
    ("L1-N", 12.5),  # galley
    ("L1-N", 5.2),  # lights
    ("L2-N", 12.9),  # microwave
    ("L2-N", 5.5),  # refrigerator
    ("L2-N", 5.2),  # lights
]


def test_evening_set_by_hand():
    connection, amps = zip(*EVENING, strict=True)
    found = ac.leg_currents_A(amps, connection=connection, system="split-phase")
    assert found.sum_A == pytest.approx([56.2, 50.1], abs=0.05)
    assert found.neutral_A == pytest.approx(6.1, abs=0.05)
    wye = ac.leg_currents_A(amps, connection=connection, system="wye two legs")
    assert wye.neutral_A == pytest.approx(27.2, abs=0.05)
    # the charger's input at which L1 carries 50 A
    assert 14.0 - (found.sum_A[0] - 50) == pytest.approx(7.8, abs=0.05)


def test_generator_and_both_inlets_by_hand():
    assert ac.current_A(21_500, voltage_V=240) == pytest.approx(89.6, abs=0.05)
    connection, amps = zip(*EVENING, *(("L1-L2", a) for a in CLIMATE.values()), strict=True)
    found = ac.leg_currents_A(amps, connection=connection, system="split-phase")
    assert found.sum_A[0] == pytest.approx(101.4, abs=0.05)


def test_scalars_in_scalars_out():
    for value in (
        ac.current_A(100, voltage_V=10),
        ac.current_at_supply_A(1, rated_V=2, supply_V=3, behaviour="motor"),
        neutral_A([1, 2], system="split-phase"),
        ac.voltage_drop_V(1, length_one_way_m=1, resistance_ohm_per_m=1),
        ac.supply_resistance_ohm(2, loaded_V=1, added_current_A=1),
    ):
        assert isinstance(value, float)
