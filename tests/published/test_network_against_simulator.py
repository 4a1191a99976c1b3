"""Random networks against a circuit simulator (ngspice) and a dense solution written apart.

The dense solution shares nothing with the package: currents put in for loads and replaced until
the voltages stand still, every combination of the sources' states tried. Both are compared to
1e-6 V. Where ngspice is not installed only the dense solution is compared.
"""

import itertools
import re
import shutil
import subprocess
from dataclasses import dataclass, replace

import numpy as np
import pytest

from elec.calc.network import RETURN, Bank, ChargeSource, Load, Run, prepare, solve
from elec.calc.network.network_fault import faults

NGSPICE = shutil.which("ngspice")
TOLERANCE_V = 1e-6


@dataclass(frozen=True)
class Circuit:
    runs: list
    banks: list
    sources: list
    loads: list

    def prepared(self):
        return prepare(self.runs, banks=self.banks, sources=self.sources, loads=self.loads)


def random_circuit(seed, buses, *, loops=0, banks=1, sources=0, shared_return=False):
    """Loads of all three kinds, halved until the dense solution carries them."""
    rng = np.random.default_rng(seed)
    ohm = 0.2 / buses

    def pick():
        return int(rng.integers(1, buses))

    runs = [
        Run(
            f"run{i}",
            f"b{max(0, i - 1 - int(rng.integers(0, 6)))}",
            f"b{i}",
            ohm * rng.uniform(0.1, 2),
        )
        for i in range(1, buses)
    ]
    ends = [rng.choice(buses, 2, replace=False) for _ in range(loops)]
    runs += [
        Run(f"tie{i}", f"b{a}", f"b{b}", ohm * rng.uniform(0.1, 2)) for i, (a, b) in enumerate(ends)
    ]
    if shared_return:
        runs += [replace(r, id=f"{r.id}-", start=f"{r.start}-", end=f"{r.end}-") for r in runs]
        runs.append(Run("post", "b0-", RETURN, 0.0002))

    def back(bus):
        return f"{bus}-" if shared_return else RETURN

    volts = float(rng.choice([12.6, 25.4]))
    on = ["b0"] + [f"b{pick()}" for _ in range(banks - 1)]
    bank_list = [
        Bank(f"bank{i}", b, volts * rng.uniform(0.97, 1.01), rng.uniform(0.002, 0.02), back(b))
        for i, b in enumerate(on)
    ]
    source_list = [
        ChargeSource(
            f"charger{i}", b, volts * rng.uniform(0.98, 1.15), rng.uniform(0.001, 0.01),
            rng.uniform(5, 120), back(b),
        )
        for i, b in enumerate(f"b{pick()}" for _ in range(sources))
    ]  # fmt: skip
    loads = []
    for i in range(max(3, buses // 3)):
        b, size = f"b{pick()}", 300 * rng.uniform(0.2, 2) / max(3, buses // 3)
        kind = ("power_W", "current_A", "resistance_ohm", "power_W")[i % 4]
        value = {"power_W": size * volts, "current_A": size, "resistance_ohm": volts / size}[kind]
        loads.append(Load(f"load{i}", b, back=back(b), **{kind: value}))
    circuit = Circuit(runs, bank_list, source_list, loads)
    while dense_voltages(circuit) is None:
        loads = [
            replace(
                one,
                power_W=one.power_W / 2,
                current_A=one.current_A / 2,
                resistance_ohm=one.resistance_ohm * 2,
            )
            for one in circuit.loads
        ]
        circuit = replace(circuit, loads=loads)
    return circuit


def dense_voltages(circuit):
    """Bus voltages by name, or None where they collapse."""
    names = sorted({n for r in circuit.runs for n in (r.start, r.end)} - {RETURN})
    at = {name: i for i, name in enumerate(names)}
    fixed = np.zeros((len(names), len(names)))

    def stamp(matrix, a, b, siemens):
        for one, other in ((a, b), (b, a)):
            if one != RETURN:
                matrix[at[one], at[one]] += siemens
                if other != RETURN:
                    matrix[at[one], at[other]] -= siemens

    def inject(vector, bus, back, amperes):
        for end, sign in ((bus, 1), (back, -1)):
            if end != RETURN:
                vector[at[end]] += sign * amperes

    given = np.zeros(len(names))
    for run in circuit.runs:
        stamp(fixed, run.start, run.end, 1 / run.resistance_ohm)
    for bank in circuit.banks:
        stamp(fixed, bank.bus, bank.back, 1 / bank.resistance_ohm)
        inject(given, bank.bus, bank.back, bank.emf_V / bank.resistance_ohm)
    for load in circuit.loads:
        stamp(fixed, load.bus, load.back, 1 / load.resistance_ohm)
        inject(given, load.bus, load.back, -load.current_A)

    def across(v, part):
        return v[at[part.bus]] - (0.0 if part.back == RETURN else v[at[part.back]])

    for states in itertools.product(("holds", "limit", "off"), repeat=len(circuit.sources)):
        matrix, vector = fixed.copy(), given.copy()
        for state, source in zip(states, circuit.sources, strict=True):
            if state == "holds":
                stamp(matrix, source.bus, source.back, 1 / source.resistance_ohm)
                inject(vector, source.bus, source.back, source.set_V / source.resistance_ohm)
            elif state == "limit":
                inject(vector, source.bus, source.back, source.limit_A)
        inverse = np.linalg.inv(matrix)
        v = inverse @ vector
        for _ in range(500):
            drawn = vector.copy()
            for load in circuit.loads:
                if load.power_W and not across(v, load) > 0.25 * circuit.banks[0].emf_V:
                    break
                inject(
                    drawn,
                    load.bus,
                    load.back,
                    -load.power_W / across(v, load) if load.power_W else 0,
                )
            else:
                before, v = v, inverse @ drawn
                if np.abs(v - before).max() < 1e-12:
                    break
                continue
            return None
        else:
            return None
        wanted = [(s.set_V - across(v, s)) / s.resistance_ohm for s in circuit.sources]
        fits = {
            "holds": lambda amperes, most: 0 <= amperes <= most,
            "limit": lambda amperes, most: amperes >= most,
            "off": lambda amperes, most: amperes <= 0,
        }
        if all(
            fits[t](a, s.limit_A) for t, a, s in zip(states, wanted, circuit.sources, strict=True)
        ):
            return dict(zip(names, v, strict=True))
    return None


def netlist(circuit, *, guess, short=None):
    """The circuit for the simulator; loads of constant power as sources controlled by voltage."""

    def node(name):
        return "0" if name == RETURN else name.replace("-", "n")

    def pair(part):
        return f"{node(part.bus)} {node(part.back)}"

    lines = ["* network"]
    lines += [
        f"R{i} {node(r.start)} {node(r.end)} {r.resistance_ohm:.17g}"
        for i, r in enumerate(circuit.runs)
    ]
    for i, bank in enumerate(circuit.banks):
        lines.append(f"Vb{i} e{i} {node(bank.back)} {bank.emf_V:.17g}")
        lines.append(f"Rb{i} e{i} {node(bank.bus)} {bank.resistance_ohm:.17g}")
    for i, s in enumerate(circuit.sources):
        volts = f"(V({node(s.bus)})-V({node(s.back)}))"
        amperes = f"max(0,min({s.limit_A:.17g},({s.set_V:.17g}-{volts})/{s.resistance_ohm:.17g}))"
        lines.append(f"Bs{i} {node(s.back)} {node(s.bus)} I={amperes}")
    for i, load in enumerate(circuit.loads if short is None else []):
        volts = f"(V({node(load.bus)})-V({node(load.back)}))"
        if load.power_W:
            lines.append(f"Bp{i} {pair(load)} I={load.power_W:.17g}/{volts}")
        if load.current_A:
            lines.append(f"Ic{i} {pair(load)} {load.current_A:.17g}")
        if np.isfinite(load.resistance_ohm):
            lines.append(f"Rl{i} {pair(load)} {load.resistance_ohm:.17g}")
    if short is not None:
        lines.append(f"Vshort {node(short)} 0 0")
    lines += [f".nodeset v({node(name)})={volts:.17g}" for name, volts in guess.items()]
    lines += [
        ".options reltol=1e-9 vntol=1e-11 abstol=1e-9 itl1=1000",
        ".control", "set numdgt=15", "op", "print all", ".endc", ".end",
    ]  # fmt: skip
    return "\n".join(lines)


def simulated(circuit, tmp_path, *, guess=None, short=None):
    file = tmp_path / "network.cir"
    file.write_text(netlist(circuit, guess=guess or {}, short=short))
    done = subprocess.run(
        [NGSPICE, "-b", file], capture_output=True, text=True, timeout=120, check=False
    )
    found = dict(re.findall(r"^([a-z]\S*) = (\S+)$", done.stdout, re.M))
    assert found, done.stdout + done.stderr
    if short is not None:
        return float(found["vshort#branch"])
    return {name.replace("n", "-"): float(v) for name, v in found.items() if name[0] == "b"}


SHAPES = [
    pytest.param({"buses": 5}, id="radial of 5"),
    pytest.param({"buses": 40, "sources": 1}, id="radial of 40, a charger"),
    pytest.param({"buses": 500}, id="radial of 500"),
    pytest.param({"buses": 60, "banks": 3}, id="radial of 60, three banks"),
    pytest.param({"buses": 12, "loops": 4, "banks": 2, "sources": 2}, id="meshed of 12"),
    pytest.param({"buses": 150, "loops": 15, "banks": 2, "sources": 1}, id="meshed of 150"),
    pytest.param({"buses": 500, "loops": 120, "banks": 3}, id="meshed of 500"),
    pytest.param({"buses": 80, "loops": 240}, id="so meshed that part is solved dense"),
    pytest.param({"buses": 30, "shared_return": True}, id="shared return of 30"),
    pytest.param(
        {"buses": 120, "loops": 6, "banks": 3, "sources": 1, "shared_return": True},
        id="shared return of 120, meshed, three banks",
    ),
]


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("shape", SHAPES)
def test_bus_voltages(shape, seed, tmp_path):
    circuit = random_circuit(seed, **shape)
    expected = dense_voltages(circuit)
    found = solve(circuit.prepared())
    assert found.supplied
    got = dict(zip(found.network.buses, found.bus_V.tolist(), strict=True))
    assert got == pytest.approx(expected, abs=TOLERANCE_V)
    # The networks are such that getting them wrong would show.
    assert circuit.banks[0].emf_V - min(expected[load.bus] for load in circuit.loads) > 0.2
    if NGSPICE:
        # It begins at the nominal voltage, lest it divide by 0 V. With chargers it jumps to and
        # fro between their states, and has to begin at the dense solution.
        nominal = {load.bus: circuit.banks[0].emf_V for load in circuit.loads}
        guess = expected if circuit.sources else nominal
        assert got == pytest.approx(simulated(circuit, tmp_path, guess=guess), abs=TOLERANCE_V)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")
def test_fault_currents(seed, tmp_path):
    circuit = random_circuit(seed, buses=20, loops=3, banks=2, sources=1)
    network = circuit.prepared()
    without = replace(circuit, sources=[])
    for current, fed in ((faults(network, charging=False), without),
                         (faults(network, charging=True), circuit)):  # fmt: skip
        for bus in ("b0", "b7", "b19"):
            amperes = current.bus_A[network.buses.index(bus)]
            simulator = simulated(fed, tmp_path, short=bus)
            if fed is without:
                assert amperes == pytest.approx(simulator, rel=1e-6)
            else:  # at its limit the charger gives as much as is reckoned, elsewhere less
                assert amperes >= simulator * (1 - 1e-6)
                assert amperes == pytest.approx(simulator, rel=0.1)
