import pytest

from elec.calc.cables import terminations
from elec.errors import InputError


def test_resistance_and_heat_of_a_joint():
    # 0.2 V at 80 A: 2.5 milliohm, 16 W
    ohms = terminations.joint_resistance_ohm(0.2, current_A=80.0)
    assert ohms == pytest.approx(0.0025)
    assert terminations.joint_heat_W(80.0, resistance_ohm=ohms) == pytest.approx(16.0)


def test_the_odd_joint_stands_out():
    found = terminations.joint_to_like([0.010, 0.011, 0.009, 0.110])
    assert found.argmax() == 3
    assert found[3] > 10


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: terminations.joint_resistance_ohm(0.1, current_A=0), "current_A"),
        (lambda: terminations.joint_heat_W(1, resistance_ohm=-1), "resistance_ohm"),
        (lambda: terminations.joint_to_like([0.1, 0.0]), "drops_V"),
    ],
)
def test_bad_values_are_refused_by_name(call, named):
    with pytest.raises(InputError, match=named):
        call()
