"""Which circuits may drop 3 % and which 10 %: each basis by its own list.

ABYC E-11, as republished, the bilge pump by the standards body's member quiz of 2015; ISO
10133:2012, note to 4.8, as excerpted; ISO 13297:2020 for all other circuits, as republished. The
regulation, 33 CFR part 183, has no limit of drop in the text held.
"""

import pytest

from made import judged

LISTS = {  # circuit: percent by ABYC E-11, by ISO
    "panel feeder": (3, 3),
    "navigation lights": (3, 3),
    "bilge blower": (3, 3),
    "bilge pump": (10, 3),
    "electronics": (3, 10),
    "vital": (3, 3),
    "other": (10, 10),
}
KINDS = {  # gear of the catalogue, by what the lists name
    "bilge blower": (3, 3),
    "bilge pump": (10, 3),
    "navigation lights": (3, 3),
    "anchor light": (3, 3),
    "radar": (3, 10),
    "windlass": (10, 10),
    "bow thruster": (10, 10),
    "lighting": (10, 10),
}


def limit(basis, **changes):
    run = {"id": "run", "from": "bank", "length": "5 m", "size": "10 AWG", "current": "5 A"}
    bank = {"id": "bank", "voltage": "12 V"}
    return judged("run-drop", basis=basis, bank=[bank], run=[run | changes]).limit


@pytest.mark.parametrize("circuit", LISTS)
@pytest.mark.parametrize("basis", ["us", "iso"])
def test_circuits(basis, circuit):
    percent = LISTS[circuit][basis == "iso"]
    found = limit(basis, circuit=circuit)
    assert (found.low, found.high) == (pytest.approx(percent / 100),) * 2


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("basis", ["us", "iso"])
def test_kinds_of_gear(basis, kind):
    percent = KINDS[kind][basis == "iso"]
    found = limit(basis, kind=kind)
    assert (found.low, found.high) == (pytest.approx(percent / 100),) * 2


@pytest.mark.parametrize("basis", ["us", "iso"])
def test_a_circuit_not_noted_may_be_either(basis):
    found = limit(basis)
    assert (found.low, found.high) == (pytest.approx(0.03), pytest.approx(0.10))
