"""A boat of one network, part by part, for the tests that work it by Ohm's law by hand."""

from elec.survey import survey
from made import from_text

HEAD = '[boat]\nname = "Test"\nsurveyed = 2026-01-01\n'
BANK = """
[[bank]]
id = "house"
voltage = "12 V"
chemistry = "agm"
capacity = "200 Ah"
short_circuit = "2500 A"
"""
FEEDER = """
[[bus]]
id = "panel"

[[run]]
id = "feeder"
from = "house"
to = "panel"
voltage = "12 V"
length = "5 m"
size = "2 AWG"
circuit = "panel feeder"
"""
LIGHTS = """
[[run]]
id = "lights"
from = "panel"
voltage = "12 V"
current = "10 A"
when = ["anchor"]
length = "6 m"
size = "12 AWG"
circuit = "other"
"""
PUMP = """
[[run]]
id = "pump"
from = "panel"
voltage = "12 V"
current = "40 A"
when = ["anchor"]
length = "2 m"
size = "8 AWG"
circuit = "other"
"""
WINDLASS = """
[[run]]
id = "windlass"
kind = "windlass"
from = "house"
voltage = "12 V"
current = "100 A"
length = "10 m"
size = "1/0 AWG"
circuit = "other"
"""
PLOTTER = """
[[dc_load]]
id = "plotter"
bank = "house"
current = "2 A"
lowest_voltage = "11 V"
when = ["under way"]
"""
#: mm², NFPA 70-2020 (NEC), chapter 9, table 8
AREAS = {
    "14 AWG": 2.08, "12 AWG": 3.31, "10 AWG": 5.261, "8 AWG": 8.367, "6 AWG": 13.30,
    "4 AWG": 21.15, "3 AWG": 26.67, "2 AWG": 33.62, "1 AWG": 42.41, "1/0 AWG": 53.49,
    "2/0 AWG": 67.43, "3/0 AWG": 85.01, "4/0 AWG": 107.2,
}  # fmt: skip
SECOND = """
[[bank]]
id = "second"
voltage = "12 V"
chemistry = "agm"
capacity = "200 Ah"
short_circuit = "2500 A"

[[run]]
id = "second feeder"
from = "second"
to = "panel"
length = "5 m"
size = "2 AWG"
"""
HALF_V, FULL_V = 12.1, 13.2
_AT_60_C = '[[run]]\ninsulation = "60 °C"\nambient = "60 °C"\n'


def asked(text, only, *, at_60_C=True):
    """The survey of a network whose metal is at 60 °C, unless its faults are asked for."""
    if at_60_C and not {*only} & {"interrupting", "smallest-fault", "fault-withstand"}:
        text = text.replace("[[run]]\n", _AT_60_C)
    return survey(from_text(text), only=only)


def ohms(length_m, area_mm2, temp_C=60, conductors=2):
    """Out and back, annealed copper of IEC 60028."""
    return conductors * length_m * 0.017241 * (1 + 0.00393 * (temp_C - 20)) / area_mm2
