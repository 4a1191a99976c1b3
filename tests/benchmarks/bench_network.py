"""Time of the DC network against a circuit simulator, with ratios taken in one run.

Run by hand: ``python tests/benchmarks/bench_network.py``; prints a Markdown table. The simulator's
times are its own figures. "Elapsed" is that of a process that reads the netlist and finds one
operating point; "in a row" and "analysis" are means over many operating points in one process,
the last without reading the netlist and keeping the results. All are the best of several; our
network is prepared beforehand, unless said otherwise.
"""

import math
import re
import shutil
import subprocess
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from elec.calc.network import Bank, Load, Run, prepare, solve

SHAPES = {"bushy": 10**9, "boat": 8, "chain": 1}  # how far back a run may branch off


def boat(runs, loads, *, shape="boat", seed=1):
    """A radial system whose constant-power loads ask 0.4 of the most that it can carry."""
    rng = np.random.default_rng(seed)
    reach = SHAPES[shape]
    ends = [(int(rng.integers(max(0, i - reach), i)), i) for i in range(1, runs + 1)]
    cables = [Run(f"r{b}", f"b{a}", f"b{b}", rng.uniform(0.4, 4) * 0.15 / runs) for a, b in ends]
    banks = [Bank("house", "b0", 12.6, 0.004)]
    at = rng.choice(np.arange(1, runs + 1), loads, replace=False)
    watts = 1e6 / loads * rng.uniform(0.1, 1.9, loads)
    every = [
        Load(f"l{i}", f"b{b}", power_W=w) for i, (b, w) in enumerate(zip(at, watts, strict=True))
    ]
    most = float(solve(prepare(cables, banks=banks, loads=every)).supplied_fraction)
    return cables, banks, [replace(one, power_W=0.4 * most * one.power_W) for one in every]


def best_of(number, run):
    """Shortest of several runs, in seconds."""
    times = []
    for _ in range(number):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def simulator_s(parts, *, points):
    """Analysis and elapsed time of one operating point, and the lowest voltage found."""
    runs, (bank,), loads = parts
    lines = ["* network", f"V1 e 0 {bank.emf_V}", f"R1 e {bank.bus} {bank.resistance_ohm}"]
    lines += [f"R{run.id} {run.start} {run.end} {run.resistance_ohm:.17g}" for run in runs]
    lines += [f"B{load.id} {load.bus} 0 I={load.power_W:.17g}/V({load.bus})" for load in loads]
    lines += [f".nodeset v({load.bus})={bank.emf_V}" for load in loads]
    lines += [".options reltol=1e-9 vntol=1e-9 abstol=1e-9", ".control", "set numdgt=15"]
    lines += ["op", "destroy all"] * (points - 1) + ["op"]
    lines += ["print " + " ".join(f"v({load.bus})" for load in loads[:50])]
    lines += ["rusage all", ".endc", ".end"]
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "network.cir"
        file.write_text("\n".join(lines))
        command = ["ngspice", "-b", str(file)]
        text = subprocess.run(command, capture_output=True, text=True, check=False).stdout
    seen = {bus: float(v) for bus, v in re.findall(r"^v\((b\d+)\) = (\S+)$", text, re.M)}
    analysis, elapsed = (
        float(re.search(rf"Total {kind} time \(seconds\) = (\S+)", text)[1]) / points
        for kind in ("analysis", "elapsed")
    )
    return analysis, elapsed, seen


def against(seen, found):
    """Greatest difference of a voltage from the simulator's."""
    return max(abs(found.at_bus_V(bus) - volts) for bus, volts in seen.items())


def solved(parts):
    runs, banks, loads = parts
    network = prepare(runs, banks=banks, loads=loads)
    assert np.all(solve(network).supplied)
    return network


def compared(parts, run, *, count, asked):
    """Rows that set as many of the simulator's operating points beside a run of ours."""
    if not shutil.which("ngspice"):
        return
    alone = min(simulator_s(parts, points=1)[1] for _ in range(9))
    analysis, in_a_row = np.min([simulator_s(parts, points=50)[:2] for _ in range(5)], axis=0)
    ours = best_of(15, run)
    for kind, each, wanted in (
        ("elapsed", alone, asked),
        ("in a row", in_a_row, ""),
        ("analysis", analysis, ""),
    ):
        each *= count
        shown = f"{each:.1f} s" if each > 1 else f"{1e3 * each:.1f} ms"
        yield f"– simulator, {kind}", shown, f"{each / ours:.1f} x", wanted


def point_of_1000(shape):
    parts = boat(1000, 300, shape=shape)
    network = solved(parts)
    ours = best_of(15, lambda: solve(network))
    yield f"1,000 runs, 300 loads, {shape}", f"{1e3 * ours:.1f} ms", "", ""
    yield from compared(parts, lambda: solve(network), count=1, asked="2 x")
    if shutil.which("ngspice"):
        *_, seen = simulator_s(parts, points=1)
        yield "– greatest difference", f"{against(seen, solve(network)):.0e} V", "", "1e-6 V"


def point_of_10000(shape):
    parts = boat(10_000, 3_000, shape=shape)
    runs, banks, loads = parts
    network = solved(parts)
    ours = best_of(7, lambda: solve(network))
    both = best_of(5, lambda: solve(prepare(runs, banks=banks, loads=loads)))
    yield f"10,000 runs, 3,000 loads, {shape}", f"{1e3 * ours:.1f} ms", "", "100 ms"
    yield "– prepared as well", f"{1e3 * both:.1f} ms", "", ""


def growth(shape):
    sizes = [100, 1000, 3000, 30_000]
    networks = [solved(boat(n, n * 3 // 10, shape=shape)) for n in sizes]
    times = [best_of(9, lambda network=network: solve(network)) for network in networks]
    for first, last in ((0, 3), (2, 3)):
        power = math.log(times[last] / times[first]) / math.log(sizes[last] / sizes[first])
        label = f"growth from {sizes[first]:,} to {sizes[last]:,} runs, {shape}"
        yield (
            label,
            f"{1e3 * times[first]:.1f} to {1e3 * times[last]:.1f} ms",
            f"n^{power:.2f}",
            "n^1.2",
        )


def batch():
    parts = boat(60, 40)
    network = solved(parts)
    rng = np.random.default_rng(2)
    network = replace(
        network,
        run_ohm=network.run_ohm * rng.uniform(0.8, 1.25, (4096, 60)),
        load_W=network.load_W * rng.uniform(0.5, 1.5, (4096, 40)),
        bank_ohm=network.bank_ohm * rng.uniform(1, 3, (4096, 1)),
    )
    assert solve(network).supplied.all()
    ours = best_of(7, lambda: solve(network))
    yield "4,096 samples of 60 runs, 40 loads", f"{1e3 * ours:.0f} ms", "", "1 s"
    yield from compared(parts, lambda: solve(network), count=4096, asked="20 x")


def main():
    print("| what | time | ratio | asked |\n| --- | ---: | ---: | ---: |")
    rows = [row for shape in SHAPES for row in point_of_1000(shape)]
    rows += [row for shape in SHAPES for row in point_of_10000(shape)]
    rows += [row for shape in SHAPES for row in growth(shape)]
    for row in [*rows, *batch()]:
        print("| " + " | ".join(row) + " |")
    if not shutil.which("ngspice"):
        print("\nngspice is not installed: not compared.")


if __name__ == "__main__":
    main()
