"""Motors of 50 and 60 Hz on the other, by the limits of NEMA MG 1-2011, 12.44.1."""

import pytest

from made import ac_load, inlet, one, surveyed


def motor_on(supply, plate, volts="230 V", dock="230 V"):
    motor = ac_load("m", 5, "L1", behaviour="motor", rated_frequency=plate, volts=volts)
    source = inlet(service="230 V", rating="16 A", supply=dock, frequency=supply)
    return surveyed("frequency", basis="iso", inlet=[source], ac_load=[motor])


@pytest.mark.parametrize(
    ("supply", "plate", "verdict", "value"),
    [
        ("50 Hz", "60 Hz", "inadequate", 1 / 6),
        ("60 Hz", "50 Hz", "inadequate", 0.2),
        ("50 Hz", "50/60 Hz", "adequate", 0),
        ("52.6 Hz", "50 Hz", "inadequate", 0.052),  # NEMA MG 1-2011, 12.44.1: 5 % at most
        ("?", "60 Hz", "undetermined", 0),
        ("?", "50/60 Hz", "adequate", 0),
    ],
)
def test_a_motor_of_one_frequency_on_the_other(supply, plate, verdict, value):
    found = one(motor_on(supply, plate), "frequency")
    assert found.verdict == verdict
    assert found.value.best == pytest.approx(value)


def test_volts_per_hertz_of_a_60_Hz_motor_on_50_Hz():
    # circuit theory: (230 / 50) / (230 / 60) = 1.2 of its flux, at 5/6 of its speed
    steps = {s.symbol: s.result for s in one(motor_on("50 Hz", "60 Hz"), "frequency").working}
    assert steps == pytest.approx({"V/Hz": 1.2, "n/n rated": 5 / 6})


@pytest.mark.parametrize(
    ("hertz", "volts", "verdict"),
    [
        # T. Bishop, nameplate ratings, EASA 2013: 5.1 % low and 1.6 % high are 6.7 %: within 10 %
        (50 * 1.016, 230 * (1 - 0.051), "adequate"),
        (50, 230 * 0.905, "marginal"),
        (50, 230 * 0.895, "inadequate"),
        (50 * 1.04, 230 * 0.93, "inadequate"),
    ],
)
def test_volts_and_frequency_off_the_plate_add_up_to_ten_percent(hertz, volts, verdict):
    result = motor_on(f"{hertz:.3f} Hz", "50 Hz", dock=f"{volts:.3f} V")
    found = one(result, "frequency")
    off = abs(hertz / 50 - 1) + abs(volts / 230 - 1)
    assert found.value.best == pytest.approx(off, abs=1e-5)
    assert found.verdict == verdict


def test_plates_not_read_are_said():
    result = motor_on("60 Hz", "?")
    assert not result.findings
    assert "'m'" in result.not_checked[0].reason
    assert result.exit_code == 3


def test_a_generator_of_another_frequency_is_judged_by_the_loads_it_can_carry():
    motor = ac_load("m", 5, "L1-L2", behaviour="motor", rated_frequency="60 Hz")
    source = {"id": "g", "service": "120/240 V", "frequency": "50 Hz"}
    result = surveyed(
        "frequency", inlet=[inlet(frequency="60 Hz")], generator=[source], ac_load=[motor]
    )
    assert {f.part: f.verdict for f in result.findings} == {
        "on 'i'": "adequate",
        "on 'g'": "inadequate",
    }
